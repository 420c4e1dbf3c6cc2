package torsion

import (
	"fmt"
	"math"
)

// Damper is a ring on the shaft that takes energy from one mode: on rubber, or in a viscous film.
type Damper struct {
	Ring      float64 // moment of inertia of the ring [kg m²]
	Stiffness float64 // of the rubber [N m/rad]; 0: viscous
	Damping   float64 // viscous [N m s/rad]
	Loss      float64 // loss factor of the rubber in place of Damping [1], see Rubber

	Ratio  float64 // μ, ring over the equivalent inertia of the mode [1]
	Tuning float64 // frequency of the ring alone over that of the mode [1]; 0: viscous
	Zeta   float64 // ζ = c/(2 J_ring ω_n) [1]
	Peak   float64 // magnification by the formula [1]: of the fixed points for rubber, the true peak for viscous
	At     float64 // frequency of that peak over that of the mode [1]; 0 for rubber, which has two
}

func checkDamper(equivalent, ω, ratio float64) error {
	switch {
	case !(equivalent >= MinInertia && equivalent <= MaxInertia):
		return fmt.Errorf("torsion: the equivalent moment of inertia must lie between %g and %g kg m², it is %g kg m²", MinInertia, MaxInertia, equivalent)
	case !(ω >= 1e-2 && ω <= 1e6):
		return fmt.Errorf("torsion: the frequency of the mode must lie between 0.01 and 1e6 rad/s, it is %g rad/s", ω)
	case !(ratio >= 1e-4 && ratio <= 10):
		return fmt.Errorf("torsion: the inertia ratio of a damper must lie between 0.0001 and 10, such as 0.2, it is %g", ratio)
	}
	return nil
}

// TunedDamper returns the rubber damper of the published optimum for one mode.
//
//	f = 1/(1 + μ)   ζ = √( 3μ/(8 (1 + μ)³) )   k = μ J f² ω_n²   c = 2 ζ μ J ω_n   peak √(1 + 2/μ)
//
// with
//   - equivalent: J, equivalent moment of inertia of the mode where the damper sits [kg m²], see Mode.EquivalentInertia
//   - ω: natural frequency ω_n of the mode without damper [rad/s]
//   - ratio: μ, ring over J [1], from 0.0001 to 10
//
// Result [kg m²], [N m/rad], [N m s/rad]. The true peak lies above that of the fixed points by 0.1 to 0.5 % for μ up
// to 0.2. It holds for one mode without other damping. Errors: impossible values. Source: DENHARTOG, ch. 3.
func TunedDamper(equivalent, ω, ratio float64) (Damper, error) {
	if err := checkDamper(equivalent, ω, ratio); err != nil {
		return Damper{}, err
	}
	f := 1 / (1 + ratio)
	d := Damper{Ring: ratio * equivalent, Ratio: ratio, Tuning: f, Zeta: math.Sqrt(3*ratio/8) * math.Pow(f, 1.5), Peak: math.Sqrt(1 + 2/ratio)}
	d.Stiffness = d.Ring * f * f * ω * ω
	d.Damping = 2 * d.Zeta * d.Ring * ω
	return d, nil
}

// Rubber returns the damper with a loss factor in place of viscous damping, the same at the frequency of the ring.
//
//	η = c ω_d/k = 2 ζ/f
//
// Result: loss factor [1]; a viscous damper stays as it is. Errors: none. Definition.
func (d Damper) Rubber() Damper {
	if d.Stiffness > 0 {
		d.Loss, d.Damping = 2*d.Zeta/d.Tuning, 0
	}
	return d
}

// ViscousDamper returns the untuned viscous damper of the published optimum for one mode.
//
//	ζ = 1/√( 2 (1 + μ)(2 + μ) )   c = 2 ζ μ J ω_n   peak 1 + 2/μ at g = √( 2/(2 + μ) )
//
// with
//   - equivalent: J, equivalent moment of inertia of the mode where the damper sits [kg m²], see Mode.EquivalentInertia
//   - ω: natural frequency ω_n of the mode without damper [rad/s]
//   - ratio: μ, ring over J [1], from 0.0001 to 10
//
// Result [kg m²], [N m s/rad]. It holds for one mode without other damping. Note that some texts take ζ as c/(2√(J k)). Errors:
// impossible values. Source: CHASSISENG, eq. 5.47; DENHARTOG, ch. 3.
func ViscousDamper(equivalent, ω, ratio float64) (Damper, error) {
	if err := checkDamper(equivalent, ω, ratio); err != nil {
		return Damper{}, err
	}
	d := Damper{Ring: ratio * equivalent, Ratio: ratio, Zeta: 1 / math.Sqrt(2*(1+ratio)*(2+ratio)), Peak: 1 + 2/ratio, At: math.Sqrt(2 / (2 + ratio))}
	d.Damping = 2 * d.Zeta * d.Ring * ω
	return d, nil
}

// With returns the model with a damper on one of its discs: one disc more, the ring, and one span more, both the last.
//
//   - disc: index of the disc
//   - d: the damper
//   - housing: moment of inertia of its hub or housing, added to the disc [kg m²]
//
// Result in [kg m²] and [N m/rad]; the model itself stays. Errors: no such disc, those of Check. Definition.
func (m *Model) With(disc int, d Damper, housing float64) (*Model, error) {
	if err := m.Check(); err != nil {
		return nil, err
	}
	if disc < 0 || disc >= len(m.Discs) {
		return nil, fmt.Errorf("torsion: there is no disc with index %d", disc)
	}
	if !(housing >= 0) {
		return nil, fmt.Errorf("torsion: the moment of inertia of the damper's housing must not be negative, it is %g kg m²", housing)
	}
	out := &Model{
		Discs: append(append([]Disc(nil), m.Discs...), Disc{Name: "damper ring", Inertia: d.Ring}),
		Spans: append(append([]Span(nil), m.Spans...), Span{Name: "damper", A: disc, B: len(m.Discs), Stiffness: d.Stiffness, Damping: d.Damping, Loss: d.Loss}),
	}
	out.Discs[disc].Inertia += housing
	return out, out.Check()
}
