package torsion

import (
	"errors"
	"fmt"
	"math"
)

// SteelShear is the shear modulus of steel [Pa]. Source: PRACTICE, 79 to 83 GPa for forged steels.
const SteelShear = 80e9

// Section is a round section, solid or bored.
type Section struct {
	Outer, Bore float64 // diameters [m]; Bore 0: solid
}

// Check says why a section cannot exist, nil where it can; name is what it is called in the message.
//
// Diameters in the message are in [mm]. Definition.
func (s Section) Check(name string) error {
	switch {
	case !(s.Outer >= 1e-4 && s.Outer <= 10):
		return fmt.Errorf("torsion: the diameter of the %s must lie between 0.1 mm and 10 m, it is %.4g mm", name, 1e3*s.Outer)
	case !(s.Bore >= 0 && s.Bore <= 0.99*s.Outer):
		return fmt.Errorf("torsion: the bore of the %s must be smaller than 99 %% of its diameter of %.4g mm, it is %.4g mm", name, 1e3*s.Outer, 1e3*s.Bore)
	}
	return nil
}

// fourth is D⁴ − d⁴ [m⁴].
func (s Section) fourth() float64 {
	o, b := s.Outer*s.Outer, s.Bore*s.Bore
	return (o - b) * (o + b)
}

// Modulus returns the polar section modulus.
//
//	W = π (D⁴ − d⁴)/(16 D)
//
// Result [m³]; the largest shear stress is torque over it. Source: DEFINITION, torsion of round shafts.
func (s Section) Modulus() float64 { return math.Pi / 16 * s.fourth() / s.Outer }

// Piece is a length of round shaft.
type Piece struct {
	Section
	Length float64 // [m]
}

// Stiffness returns the stiffness of round pieces one after the other.
//
//	1/k = Σ 32 L/(π G (D⁴ − d⁴))
//
// with
//   - shear: shear modulus G [Pa]
//   - pieces: at least one
//
// Results: stiffness k [N m/rad]; polar section modulus of the weakest piece [m³]. Errors: impossible sizes.
// Source: DEFINITION, torsion of round shafts.
func Stiffness(shear float64, pieces ...Piece) (k, modulus float64, err error) {
	if err := checkShear(shear); err != nil {
		return 0, 0, err
	}
	if len(pieces) == 0 {
		return 0, 0, errors.New("torsion: a shaft needs at least one piece, there is none")
	}
	sum := 0.0
	modulus = math.Inf(1)
	for _, p := range pieces {
		if err := p.Check("shaft"); err != nil {
			return 0, 0, err
		}
		if !(p.Length >= 1e-5 && p.Length <= 1e3) {
			return 0, 0, fmt.Errorf("torsion: a shaft must be between 0.01 mm and 1000 m long, it is %.4g mm", 1e3*p.Length)
		}
		sum += p.Length / p.fourth()
		modulus = min(modulus, p.Modulus())
	}
	return math.Pi / 32 * shear / sum, modulus, nil
}

func checkShear(g float64) error {
	if !(g >= 1e6 && g <= 1e12) {
		return fmt.Errorf("torsion: the shear modulus must lie between 0.001 and 1000 GPa, such as 80 GPa of steel; it is %g GPa", g/1e9)
	}
	return nil
}
