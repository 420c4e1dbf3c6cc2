package inertia

import (
	"math"
	"math/cmplx"
	"slices"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// group is the cylinders of one kind and axis.
type group struct {
	*harmonics
	kind      int        // index of it
	axis      num.Angle  // β [rad]
	place     complex128 // i e^{iβ} [1]
	magnitude [4]float64 // number of cylinders [1] and sum of the lengths of their arms [m], each twice
	parts     []part     // its stands that act in even orders, or in odd ones
	levers    bool       // whether those make moments
}

// stand is where cylinders of a group have their throws: all in one direction, or in it and the opposite one. In even orders
// they act alike; in odd ones those half a revolution on act the other way.
type stand struct {
	group  int          // index of it
	phase  num.Angle    // φ at crank angle 0, from the axis [rad]
	powers []complex128 // e^{inφ} by order n [1]
	acts   [2]sums      // in even and in odd orders
	shift  int          // φ in angles of a grid, where that is whole [1]
	halves int          // place of the kind's curves at those angles
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
	s.groups, s.stands = s.groups[:0], s.stands[:0]
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
		at, sign := s.standFor(s.groupFor(kind, axis), phase)
		m, arm := &s.groups[at.group].magnitude, t.Cylinders[i].At-t.Reference
		m[0]++
		m[2] += math.Abs(arm)
		at.acts[0].count++
		at.acts[0].arms += arm
		at.acts[1].count += sign
		at.acts[1].arms += sign * arm
	}
	for i := range s.groups {
		g := &s.groups[i]
		g.harmonics = &s.kinds[g.kind]
		g.magnitude[1], g.magnitude[3] = g.magnitude[0], g.magnitude[2]
	}
	for i := range s.stands {
		at := &s.stands[i]
		for p := range at.acts {
			at.acts[p].arms = above(at.acts[p].arms, 1e-15*s.groups[at.group].magnitude[2])
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

// groupFor finds the group of a cylinder.
func (s *Solver) groupFor(kind int, axis num.Angle) int {
	place := complex(0, 1)
	for i := range s.groups {
		if g := &s.groups[i]; g.axis == axis {
			if g.kind == kind {
				return i
			}
			place = g.place
		}
	}
	if axis != 0 && place == 1i {
		place *= s.turn(axis)[1]
	}
	s.groups = append(s.groups, group{kind: kind, axis: axis, place: place})
	return len(s.groups) - 1
}

// standFor finds the stand of a cylinder, and 1 where its throw has the direction of the stand or −1 where it has the opposite.
func (s *Solver) standFor(group int, phase num.Angle) (at *stand, sign float64) {
	for i := range s.stands {
		d := &s.stands[i]
		if d.group != group {
			continue
		}
		const half = float64(num.Turn / 2)
		apart := float64(phase - d.phase)
		halves := math.RoundToEven(apart / half)
		if math.Abs(apart-halves*half) <= same {
			return d, float64(1 - 2*(int(halves)&1))
		}
	}
	s.stands = append(s.stands, stand{group: group, phase: phase, powers: s.turnTo(phase, s.kinds[s.groups[group].kind].orders)})
	return &s.stands[len(s.stands)-1], 1
}

// part is a stand in orders of one parity.
type part struct {
	powers []complex128
	by     [4]float64 // count [1] and arms [m], each twice
}

// setParts sets what acts in even orders, or in odd ones.
func (s *Solver) setParts(parity int) {
	s.parts = slices.Grow(s.parts[:0], len(s.stands))
	for i := range s.groups {
		g, from := &s.groups[i], len(s.parts)
		g.levers = false
		for k := range s.stands {
			d := &s.stands[k]
			if d.group != i {
				continue
			}
			if a := &d.acts[parity]; a.count != 0 || a.arms != 0 {
				g.levers = g.levers || a.arms != 0
				n := len(s.parts)
				s.parts = s.parts[:n+1]
				p := &s.parts[n]
				p.powers = d.powers
				p.by[0], p.by[1], p.by[2], p.by[3] = a.count, a.count, a.arms, a.arms
			}
		}
		g.parts = s.parts[from:]
	}
}

// addCylinders adds all cylinders, those of a group together: order by order its harmonics times the sums of turns.
//
//	W⁺_n = i e^{iβ} c_n Σ e^{inφ}   W⁻_n = i e^{iβ} c_{−n} conj Σ e^{inφ}   moments: the same, times i x under the sum
func (s *Solver) addCylinders(b *Balance, inLine bool) {
	for parity := range 2 {
		s.setParts(parity)
		first := 2 - parity
		for i := range s.groups {
			g := &s.groups[i]
			if len(g.parts) == 0 {
				continue
			}
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
			b.Force.Against[k] += place * h.turned(q.against, cmplx.Conj(scalar))
			w.with += z.with * number
			w.against += z.against * number
			if g.levers {
				b.Moment.With[k] += across * h.turned(q.with, arm)
				b.Moment.Against[k] += across * h.turned(q.against, cmplx.Conj(arm))
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
