package inertia

import (
	"math"
	"slices"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// stand is where cylinders of one kind and axis have their throws: all in one direction, or in it and the opposite one. In
// even orders they act alike; in odd ones those half a revolution on act the other way.
type stand struct {
	kind   int          // index of it
	axis   num.Angle    // β [rad]
	phase  num.Angle    // φ at crank angle 0, from the axis [rad]
	shift  int          // the same in angles of a grid, where that is whole [1]
	halves int          // place of the kind's curves at those angles
	place  complex128   // i e^{iβ} [1]
	powers []complex128 // e^{inφ} at crank angle 0 by order n [1]
	acts   [2]sums      // in even and in odd orders
	number float64      // of cylinders [1]
	reach  float64      // sum of the lengths of their arms [m]
}

// sums are those of cylinders that act together.
type sums struct {
	count float64 // [1]
	arms  float64 // from the reference [m]
}

// turning is an angle and the powers of its unit phasor.
type turning struct {
	angle  num.Angle
	powers []complex128 // e^{inφ} by n [1]
}

// mostTurnings is how many angles a solver remembers from one train to the next, with their powers.
const mostTurnings = 24

// turn returns the powers of the unit phasor of an angle, from 0 to those that were needed, at least 1.
func (s *Solver) turn(φ num.Angle) []complex128 {
	for i := len(s.turning) - 1; i >= 0; i-- { // those of the train before stand last
		if s.turning[i].angle == φ {
			return s.turning[i].powers
		}
	}
	n := len(s.turning)
	if n < cap(s.turning) {
		s.turning = s.turning[:n+1] // keeps the slices of an earlier solve
	} else {
		s.turning = append(s.turning, turning{})
	}
	t := &s.turning[n]
	t.angle, t.powers = φ, append(t.powers[:0], 1, φ.Unit())
	return t.powers
}

// turnTo is turn with all powers up to an order.
func (s *Solver) turnTo(φ num.Angle, order int) []complex128 {
	powers := s.turn(φ)
	if len(powers) > order {
		return powers
	}
	step, u := powers[1], powers[len(powers)-1]
	for len(powers) <= order {
		u *= step
		powers = append(powers, u)
	}
	for i := range s.turning {
		if s.turning[i].angle == φ {
			s.turning[i].powers = powers
		}
	}
	return powers
}

// place finds the stands of the cylinders.
func (s *Solver) place(t *layout.Train, opt Options) error {
	s.forgetOldKinds()
	if len(s.turning) > mostTurnings {
		s.turning = s.turning[:0]
	}
	s.stands = s.stands[:0]
	kind := 0
	for i := range t.Cylinders {
		axis := t.Cylinders[i].Axis
		if i == 0 || !likeBefore(t, i) {
			var err error
			if kind, axis, err = s.kindFor(t, i, opt); err != nil {
				return err
			}
		}
		phase := t.Throws[t.Cylinders[i].Throw].Angle - axis
		at, sign := s.standFor(kind, axis, phase)
		arm := t.Cylinders[i].At - t.Reference
		at.number++
		at.reach += math.Abs(arm)
		at.acts[0].count++
		at.acts[0].arms += arm
		at.acts[1].count += sign
		at.acts[1].arms += sign * arm
	}
	for i := range s.stands {
		at := &s.stands[i]
		for p := range at.acts {
			at.acts[p].arms = above(at.acts[p].arms, 1e-15*at.reach)
		}
	}
	return nil
}

// likeBefore reports whether a cylinder is seen to be of the kind of the one before it, so that its own need not be looked up.
func likeBefore(t *layout.Train, i int) bool {
	c, before := &t.Cylinders[i], &t.Cylinders[i-1]
	return !c.Rod.Linked && c.Rod == before.Rod && c.Piston == before.Piston && c.Offset == before.Offset &&
		t.Throws[c.Throw].Radius == t.Throws[before.Throw].Radius
}

// same is how far apart, in half revolutions or whole ones, directions are that count as one [rad].
const same = 2e-15

// standFor finds the stand of a cylinder, and 1 where its throw has the direction of the stand or −1 where it has the opposite.
func (s *Solver) standFor(kind int, axis, phase num.Angle) (at *stand, sign float64) {
	place := complex(0, 1)
	for i := range s.stands {
		d := &s.stands[i]
		if d.axis != axis {
			continue
		}
		place = d.place
		if d.kind != kind {
			continue
		}
		const half = float64(num.Turn / 2)
		apart := float64(phase - d.phase)
		halves := math.RoundToEven(apart / half)
		if math.Abs(apart-halves*half) <= same {
			return d, float64(1 - 2*(int(halves)&1))
		}
	}
	if axis != 0 && place == 1i {
		place *= s.turn(axis)[1]
	}
	s.stands = append(s.stands, stand{kind: kind, axis: axis, phase: phase, place: place, powers: s.turnTo(phase, s.kinds[kind].orders)})
	return &s.stands[len(s.stands)-1], 1
}

// group is the cylinders of one kind and axis, in even orders or in odd ones.
type group struct {
	*harmonics
	place     complex128 // i e^{iβ} [1]
	parts     []part     // of the stands that act
	magnitude [4]float64 // number of cylinders [1] and sum of the lengths of their arms [m], each twice
	levers    bool       // whether moments act
}

// part is a stand in orders of one parity.
type part struct {
	powers []complex128
	by     [4]float64 // count [1] and arms [m], each twice
}

// findGroups finds the groups that act in even orders or in odd ones.
func (s *Solver) findGroups(parity int) {
	s.groups, s.parts = s.groups[:0], slices.Grow(s.parts[:0], len(s.stands))
	for i := range s.stands {
		first := &s.stands[i]
		together := func(d *stand) bool { return d.kind == first.kind && d.axis == first.axis }
		known := false
		for k := range i {
			known = known || together(&s.stands[k])
		}
		if known {
			continue
		}
		g := group{harmonics: &s.kinds[first.kind], place: first.place}
		from := len(s.parts)
		number, reach := 0.0, 0.0
		for k := i; k < len(s.stands); k++ {
			d := &s.stands[k]
			if !together(d) {
				continue
			}
			number += d.number
			reach += d.reach
			if a := d.acts[parity]; a.count != 0 || a.arms != 0 {
				g.levers = g.levers || a.arms != 0
				s.parts = append(s.parts, part{d.powers, [4]float64{a.count, a.count, a.arms, a.arms}})
			}
		}
		if g.parts = s.parts[from:]; len(g.parts) > 0 {
			g.magnitude = [4]float64{number, number, reach, reach}
			s.groups = append(s.groups, g)
		}
	}
}

// addCylinders adds all cylinders, those of one kind and axis together: order by order its harmonics times the sums of turns.
//
//	W⁺_n = i e^{iβ} c_n Σ e^{inφ}   W⁻_n = i e^{iβ} c_{−n} conj Σ e^{inφ}   moments: the same, times i x under the sum
func (s *Solver) addCylinders(b *Balance, inLine bool) {
	for parity := range 2 {
		s.findGroups(parity)
		first := 2 - parity
		for i := range s.groups {
			g := &s.groups[i]
			if !inLine {
				s.addOrders(b, g, first, g.orders)
			} else if first == 1 {
				s.addOrders(b, g, 1, 1)
			}
		}
		if inLine {
			s.addInLine(b, first+2*parity)
		}
	}
}

// addOrders adds every second order of a group.
func (s *Solver) addOrders(b *Balance, g *group, first, last int) {
	h, place, number, reach := g.harmonics, g.place, g.magnitude[0], g.magnitude[2]
	across := complex(-imag(place), real(place))
	for n := first; n <= last; n += 2 {
		var scalar, arm complex128
		k, q := 2*n, &h.at[n]
		w, z := &s.weight[k], &q.size
		shakes := z.with != 0 || z.against != 0
		for i := range g.parts {
			p := &g.parts[i]
			u := p.powers[n]
			scalar += times(u, p.by[0])
			if shakes && g.levers {
				arm += times(u, p.by[2])
			}
		}
		if shakes {
			b.Force.With[k] += place * h.turned(q.with, scalar)
			b.Force.Against[k] += place * h.turned(q.against, conj(scalar))
			w.with += z.with * number
			w.against += z.against * number
			if g.levers {
				b.Moment.With[k] += across * h.turned(q.with, arm)
				b.Moment.Against[k] += across * h.turned(q.against, conj(arm))
				w.momentWith += z.with * reach
				w.momentAgainst += z.against * reach
			}
		}
		if h.central { // products of imaginary ones
			ahead := complex(-imag(scalar), real(scalar))
			b.Torque[k] += times(ahead, imag(q.torque))
			b.Roll[k] += times(ahead, imag(q.roll))
		} else {
			b.Torque[k] += q.torque * scalar
			b.Roll[k] += q.roll * scalar
		}
		w.torque += z.torque * number
		w.roll += z.roll * number
	}
}

// turned returns a harmonic of the force times a sum of turns.
func (h *harmonics) turned(c, turn complex128) complex128 {
	if h.central {
		return times(turn, real(c))
	}
	return c * turn
}

func conj(c complex128) complex128 { return complex(real(c), -imag(c)) }
