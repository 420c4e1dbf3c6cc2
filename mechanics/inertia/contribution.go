package inertia

import (
	"math/cmplx"

	"crankwright/mechanics/layout"
)

// SourceKind says what kind of part a contribution comes from.
type SourceKind int

// The kinds of parts that shake.
const (
	FromCylinder      SourceKind = iota // piston and rod of one cylinder
	FromThrow                           // unbalance of pin and webs of one throw
	FromCounterweight                   // a mass fixed to the crank
	FromShaft                           // a mass on a balance shaft
)

// Contribution is what one part adds to one order, per ω².
type Contribution struct {
	Kind  SourceKind
	Index int // of the cylinder, throw, counterweight or shaft
	At    float64

	With, Against complex128 // shaking force [kg m]
	Torque, Roll  complex128 // inertia torque and roll moment [kg m²]
}

// MomentWith returns the part's shaking moment that turns with the crank.
//
//	M⁺ = i (x − x_ref) W⁺
//
// with
//   - reference: x about which the moment is taken [m]
//
// Result per ω² [kg m²]. Definition.
func (c Contribution) MomentWith(reference float64) complex128 {
	return complex(0, c.At-reference) * c.With
}

// MomentAgainst returns the part's shaking moment that turns against the crank.
//
//	M⁻ = i (x − x_ref) W⁻
//
// with
//   - reference: x about which the moment is taken [m]
//
// Result per ω² [kg m²]. Definition.
func (c Contribution) MomentAgainst(reference float64) complex128 {
	return complex(0, c.At-reference) * c.Against
}

// Contributions returns what every part of a train adds to one order.
//
//   - t: a train that layout.Validate accepts
//   - k: twice the order [1], at least 1
//
// Result per ω² [kg m] and [kg m²], cylinders first, parts without a share left out; a clockwise
// train's are mirrored as in Solve. Their sums are the balance of Solve. motion.ErrReach where a rod
// cannot reach. Source: DEFINITION, the terms of the sums in Solve.
func (s *Solver) Contributions(t *layout.Train, k int, opt Options) ([]Contribution, error) {
	var parts []Contribution
	add := func(c Contribution) {
		if c.With != 0 || c.Against != 0 || c.Torque != 0 || c.Roll != 0 {
			parts = append(parts, c)
		}
	}
	s.forgetOldKinds()
	if k%2 == 0 && k > 0 {
		n := k / 2
		for i := range t.Cylinders {
			kind, axis, err := s.kindFor(t, i, opt)
			if err != nil {
				return nil, err
			}
			h := &s.kinds[kind]
			if n > h.orders {
				continue
			}
			q := &h.at[n]
			phase := t.Throws[t.Cylinders[i].Throw].Angle - axis
			place, turn := 1i*axis.Unit(), cmplx.Pow(phase.Unit(), complex(float64(n), 0))
			add(Contribution{
				Kind: FromCylinder, Index: i, At: t.Cylinders[i].At,
				With: place * q.with * turn, Against: place * q.against * cmplx.Conj(turn),
				Torque: q.torque * turn, Roll: q.roll * turn,
			})
		}
	}
	if k == 2 {
		for i, th := range t.Throws {
			add(Contribution{Kind: FromThrow, Index: i, At: th.At, With: complex(0, th.Unbalance) * th.Angle.Unit()})
		}
		for i, c := range t.Counterweights {
			add(Contribution{Kind: FromCounterweight, Index: i, At: c.At, With: complex(0, c.Amount) * c.Angle.Unit()})
		}
	}
	for i, shaft := range t.Shafts {
		if shaftIndex(shaft) != k {
			continue
		}
		for _, m := range shaft.Masses {
			c := Contribution{Kind: FromShaft, Index: i, At: m.At}
			c.With, c.Against, c.Roll = shaftForce(shaft, m)
			add(c)
		}
	}
	if t.Rotation == layout.Clockwise {
		for i := range parts {
			p := &parts[i]
			p.With, p.Against, p.Roll = -cmplx.Conj(p.With), -cmplx.Conj(p.Against), -p.Roll
		}
	}
	return parts, nil
}

// shaftForce returns the force of one mass of a balance shaft on its bearings and the roll moment
// that it makes about the crank axis, per ω².
//
//	F = k² U i e^{i(α + kθ)}   R = Im(conj w0 · F), w0 the place of the shaft
func shaftForce(shaft layout.Shaft, m layout.Unbalance) (with, against, roll complex128) {
	f := complex(0, shaft.SpeedRatio*shaft.SpeedRatio*m.Amount) * m.Angle.Unit()
	moment := -1i * cmplx.Conj(complex(shaft.Y, shaft.Z)) * f // Re(moment·e^{ikθ}) = Im(conj w0 · F)
	if shaft.SpeedRatio < 0 {
		return 0, f, cmplx.Conj(moment)
	}
	return f, 0, moment
}

// Scaled returns the contribution times a factor.
//
//   - f: factor, the square of the crank speed for newtons [rad²/s²]
//
// Result [N] and [N m]. Definition.
func (c Contribution) Scaled(f float64) Contribution {
	g := complex(f, 0)
	c.With, c.Against, c.Torque, c.Roll = c.With*g, c.Against*g, c.Torque*g, c.Roll*g
	return c
}
