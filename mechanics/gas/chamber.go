package gas

import (
	"fmt"
	"math"

	"crankwright/mechanics/layout"
	"crankwright/mechanics/motion"
	"crankwright/num"
)

// Chamber is the space above one piston.
type Chamber struct {
	Bore  float64 // [m]
	Ratio float64 // compression ratio: largest volume over smallest [1]

	stroke    float64        // [m]
	clearance float64        // smallest volume [m³]
	linkage   motion.Sampler // unless infinite
	infinite  bool
	top       num.Angle // crank angle of top dead centre in the linkage's frame [rad]
	out       float64   // piston pin from the crank axis at top dead centre [m]
	reach     float64   // crank radius [m]
}

// MaxRatio is the largest accepted compression ratio [1]. Definition: twice what compression ignition needs
// (common practice), so that a slip of the keyboard is told from an engine.
const MaxRatio = 50

// MaxBore is the largest accepted bore [m]. Definition: as layout.MaxRadius, so that a wrong unit is told from an
// engine.
const MaxBore = 10.0

// NewChamber returns the chamber over a linkage.
//
//	V_c = V_h/(ε − 1),  V_h = π/4 B² s
//
// with
//   - k: the linkage, whose stroke is s [m]
//   - bore: B [m], above 0 up to MaxBore
//   - ratio: compression ratio ε [1], from 1.01 up to MaxRatio
//
// Result [m³] by Volume. Errors: a bore, a ratio or a stroke that no engine has, motion.ErrReach. Definition.
func NewChamber(k motion.Linkage, bore, ratio float64) (Chamber, error) {
	top, _, err := k.DeadCentres()
	if err != nil {
		return Chamber{}, err
	}
	stroke, err := k.Stroke()
	if err != nil {
		return Chamber{}, err
	}
	s, err := k.At(top)
	if err != nil {
		return Chamber{}, err
	}
	c := Chamber{Bore: bore, Ratio: ratio, stroke: stroke, linkage: k.Sampler(), top: top, out: real(s.Piston.Pos), reach: k.Radius}
	return c.checked()
}

// InfiniteRod returns the chamber of a piston that moves as the cosine of the crank angle, as textbooks have it.
//
//	V = V_c + ½ V_h (1 − cos θ)
//
// with
//   - bore: [m], above 0 up to MaxBore
//   - stroke: [m], above 0.1 mm up to twice layout.MaxRadius
//   - ratio: compression ratio [1], from 1.01 up to MaxRatio
//
// Result [m³] by Volume. Errors: a dimension that no engine has. Definition.
func InfiniteRod(bore, stroke, ratio float64) (Chamber, error) {
	c := Chamber{Bore: bore, Ratio: ratio, stroke: stroke, infinite: true, reach: stroke / 2}
	return c.checked()
}

// ChamberOf returns the chamber of one cylinder of a valid train.
//
//   - t: a train that layout.Validate accepts, with its bore and compression ratio
//   - i: index of the cylinder
//
// Result [m³] by Volume. The pin offset and the linked rod are counted. Errors: those of NewChamber, an index
// that the train does not have. Definition.
func ChamberOf(t *layout.Train, i int) (Chamber, error) {
	if i < 0 || i >= len(t.Cylinders) {
		return Chamber{}, fmt.Errorf("gas: there is no cylinder %d; the train has %d", i+1, len(t.Cylinders))
	}
	k, _, _ := motion.LinkageOf(t, i)
	return NewChamber(k, t.Bore, t.Gas.CompressionRatio)
}

func (c Chamber) checked() (Chamber, error) {
	switch {
	case !(c.Bore > 0 && c.Bore <= MaxBore):
		return Chamber{}, fmt.Errorf("gas: a bore of %.4g mm; it must be greater than 0 mm and at most %g m", 1e3*c.Bore, MaxBore)
	case !(c.Ratio >= 1.01 && c.Ratio <= MaxRatio):
		return Chamber{}, fmt.Errorf("gas: a compression ratio of %.4g; it must lie between 1.01 and %d, such as 10.5", c.Ratio, MaxRatio)
	case !(c.stroke > 1e-4 && c.stroke <= 2*layout.MaxRadius):
		return Chamber{}, fmt.Errorf("gas: a stroke of %.4g mm; it must lie between 0.1 mm and %g m", 1e3*c.stroke, 2*layout.MaxRadius)
	}
	c.clearance = c.Displacement() / (c.Ratio - 1)
	return c, nil
}

// Displacement returns the volume that the piston sweeps.
//
//	V_h = π/4 B² s
//
// Result [m³], with the true stroke of the linkage. Definition.
func (c Chamber) Displacement() float64 { return math.Pi / 4 * c.Bore * c.Bore * c.stroke }

// Stroke returns the distance between the dead centres [m]. Definition.
func (c Chamber) Stroke() float64 { return c.stroke }

// Volume returns the volume above the piston and its derivative by crank angle.
//
//   - θ: crank angle from top dead centre [rad], any value
//
// Results [m³] and [m³/rad]. Accuracy: closed form, rounding only. Source: KOEHLER, offset slider-crank; see
// motion.Drive.
func (c Chamber) Volume(θ num.Angle) (v, dv float64) {
	area := math.Pi / 4 * c.Bore * c.Bore
	if c.infinite {
		sin, cos := math.Sincos(float64(θ))
		return c.clearance + area*c.reach*(1-cos), area * c.reach * sin
	}
	s, err := c.linkage.At((c.top + θ).Unit())
	if err != nil { // cannot be: NewChamber has found both dead centres
		return c.clearance, 0
	}
	return c.clearance + area*math.Max(0, c.out-real(s.Piston.Pos)), -area * real(s.Piston.Vel)
}

// surface returns the area of the walls: two flat ends and the liner between them [m²].
func (c Chamber) surface(v float64) float64 { return math.Pi/2*c.Bore*c.Bore + 4*v/c.Bore }
