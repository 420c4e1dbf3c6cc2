package balance

import (
	"fmt"
	"math"
	"math/cmplx"

	"crankwright/mechanics/layout"
)

// Bar is the half-round bar of which the masses of a balance shaft are made: a cylinder cut along its axis.
type Bar struct {
	Radius  float64 // [m]
	Density float64 // [kg/m³]
}

// BarPiece is the length of bar that makes one mass.
type BarPiece struct {
	At, Length float64 // axial place of its middle, length [m]
	Mass       float64 // [kg]
	Inertia    float64 // about the axis of the shaft [kg m²]
}

// PerLength returns unbalance, mass and moment of inertia of a half-round bar per length.
//
//	U' = ⅔ ρ R³   m' = ½ π ρ R²   J' = ¼ π ρ R⁴
//
// Results [kg], [kg/m], [kg m]: area ½ π R² with its centre of gravity 4R/3π off the axis. Source: DEFINITION,
// half disc about the middle of its diameter.
func (b Bar) PerLength() (unbalance, mass, inertia float64) {
	r, ρ := b.Radius, b.Density
	return 2 * ρ * r * r * r / 3, math.Pi * ρ * r * r / 2, math.Pi * ρ * r * r * r * r / 4
}

// Pieces returns the bars that make the masses of a shaft.
//
//	length = U / (⅔ ρ R³), its middle at the plane of the mass
//
// with
//   - s: a shaft with its masses [kg m]
//
// Result [m], [kg], [kg m²], one piece a mass. Errors: a radius or density that no bar has; pieces that
// would run into each other, with the radius that would do. The round parts between the pieces have no
// unbalance and are left out. Source: DEFINITION.
func (b Bar) Pieces(s layout.Shaft) ([]BarPiece, error) {
	if !(b.Radius > 0 && b.Radius <= 10) {
		return nil, fmt.Errorf("the radius of the bar must lie above 0 and up to 10 m, it is %.4g mm", 1e3*b.Radius)
	}
	if !(b.Density >= 100 && b.Density <= 25e3) {
		return nil, fmt.Errorf("the density of the bar must lie between 100 and 25000 kg/m³ (steel has 7850), it is %.4g kg/m³", b.Density)
	}
	unbalance, mass, inertia := b.PerLength()
	var out []BarPiece
	for _, m := range s.Masses {
		l := math.Abs(m.Amount) / unbalance
		out = append(out, BarPiece{At: m.At, Length: l, Mass: mass * l, Inertia: inertia * l})
	}
	needed := 0.0
	for i, p := range out {
		for _, q := range out[:i] {
			room := math.Abs(p.At - q.At)
			if reach := (p.Length + q.Length) / 2; reach > room*(1+1e-9) {
				needed = math.Max(needed, b.Radius*math.Cbrt(reach/math.Max(room, 1e-12)))
			}
		}
	}
	if needed > 10 {
		return out, fmt.Errorf("two masses stand in one plane; join them")
	}
	if needed > 0 {
		return out, fmt.Errorf("half-round bars of %.4g mm radius would run into each other between their planes; a radius of %.4g mm, or a heavier material, fits",
			1e3*b.Radius, 1e3*needed)
	}
	return out, nil
}

// ShaftBearings are the loads of the two bearings of a balance shaft, which turn with it.
type ShaftBearings struct {
	At   [2]float64 // axial places [m]
	Load [2]float64 // [N]
	Loss float64    // friction power of both [W]
}

// BearingLoads returns what a balance shaft puts on its two bearings and what their friction takes.
//
//	F = s² ω² U e^{ia}   B2 = Σ F (x − x1)/(x2 − x1)   B1 = Σ F − B2   P = μ |s| ω r (|B1| + |B2|)
//
// with
//   - s: the shaft with its masses [kg m]
//   - at: axial places of the bearings [m], apart
//   - ω: crank speed [rad/s]
//   - radius: of the bearing [m]
//   - friction: coefficient of friction μ of the plain bearing [1]
//
// Result [N] and [W]. The shaft is stiff and stands on two supports; its weight, the drive's force, the drag
// of gears or chain and windage are left out. Errors: bearings in one place, values below zero or not finite.
// Source: DEFINITION, statics; friction after Coulomb with the coefficient given.
func BearingLoads(s layout.Shaft, at [2]float64, ω, radius, friction float64) (ShaftBearings, error) {
	b := ShaftBearings{At: at}
	span := at[1] - at[0]
	switch {
	case !(math.Abs(span) >= 1e-6 && math.Abs(span) <= 1e4):
		return b, fmt.Errorf("a shaft needs two bearings apart from each other; they stand at %.6g mm and %.6g mm", 1e3*at[0], 1e3*at[1])
	case !(ω >= 0 && ω <= 1e5):
		return b, fmt.Errorf("the speed must lie between 0 and 1e5 rad/s, it is %g rad/s", ω)
	case !(radius >= 0 && radius <= 10):
		return b, fmt.Errorf("the radius of the bearing must lie between 0 and 10 m, it is %g m", radius)
	case !(friction >= 0 && friction <= 1):
		return b, fmt.Errorf("the coefficient of friction must lie between 0 and 1, it is %g", friction)
	}
	var all, second complex128
	for _, m := range s.Masses {
		f := complex(s.SpeedRatio*s.SpeedRatio*ω*ω*m.Amount, 0) * m.Angle.Unit()
		all += f
		second += f * complex((m.At-at[0])/span, 0)
	}
	b.Load = [2]float64{cmplx.Abs(all - second), cmplx.Abs(second)}
	b.Loss = friction * math.Abs(s.SpeedRatio) * ω * radius * (b.Load[0] + b.Load[1])
	return b, nil
}
