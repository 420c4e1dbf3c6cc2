package inertia

import (
	"math"
	"math/cmplx"
	"slices"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Evaluate computes the balance of a train and its curves at once.
//
//   - b, c: receive the results; their slices are reused where they are long enough
//   - t: a train that layout.Validate accepts
//   - grid: crank angles over two revolutions
//   - ω: crank speed [rad/s]
//
// Results as of Solve and Curves: the balance to the last bit; the curves to 1e-13 of what they would be if nothing
// cancelled, and zero where those of Curves are. Where all cylinders are at whole angles of the grid, their curves are
// shifted and added up, as far as that takes fewer terms than there are orders; else the curves are those of Curves. The
// train, the options and the grid decide it, never what was evaluated before. Errors as of Solve. Source: DEFINITION,
// sums of the same harmonics.
func (s *Solver) Evaluate(b *Balance, c *Curves, t *layout.Train, opt Options, grid *num.Grid, ω float64) error {
	if _, err := s.Solve(b, t, opt); err != nil {
		return err
	}
	if !s.shift(grid) {
		s.Curves(c, b, grid, ω)
		return nil
	}
	for q := range curves {
		to := c.at(q)
		if shaken := q != torque && len(t.Shafts) > 0; shaken || !s.gather(b, q, grid, ω*ω) {
			*to = s.sample(*to, b, q, grid, ω*ω)
		} else {
			*to = grid.Whole(*to, s.terms[0], s.terms[1])
		}
	}
	return nil
}

// mostShifted is for how many kinds of cylinders in one train shifted curves are worth making.
const mostShifted = 2

// whole is how far from an angle of a grid a cylinder may be that counts as on it [rad].
const whole = 1e-14

// The curves of one kind of cylinder, with the crank angle counted from its base axis.
const (
	along      = iota // force along the base axis, without its first order [kg m]
	across            // force across it, likewise
	ownTorque         // [kg m²]
	ownRoll           // [kg m²]
	quantities        // how many there are
)

// halves are those curves over one revolution: what repeats after half of it, and what changes sign then.
type halves struct {
	kind   int // index of it
	angles int // of the grid [1]
	of     [quantities][2]half
}

// mostHalves is of how many kinds of cylinders a solver keeps curves from one train to the next.
const mostHalves = 12

// halvesOf returns the place of the curves of a kind.
func (s *Solver) halvesOf(kind, angles int) int {
	for i := range s.halves {
		if h := &s.halves[i]; h.kind == kind && h.angles == angles {
			return i
		}
	}
	n := len(s.halves)
	if n < cap(s.halves) {
		s.halves = s.halves[:n+1] // keeps the slices of earlier ones
	} else {
		s.halves = append(s.halves, halves{})
	}
	h := &s.halves[n]
	h.kind, h.angles = kind, angles
	for q := range h.of {
		for p := range h.of[q] {
			h.of[q][p].made = false
		}
	}
	return n
}

// half is one of the two.
type half struct {
	made bool
	row  []float64 // empty where no order acts
}

// shift finds how many angles of the grid each stand is on, and its curves. It reports whether curves are to be shifted: all
// stands are on whole angles, and there are few kinds.
func (s *Solver) shift(grid *num.Grid) bool {
	turn := grid.Len() / 2
	step := float64(num.Turn) / float64(turn)
	for i := range s.stands {
		d := &s.stands[i]
		φ := float64(d.phase)
		at := math.RoundToEven(φ / step)
		if !(math.Abs(φ-at*step) <= whole) {
			return false
		}
		if d.shift = int(at) % turn; d.shift < 0 {
			d.shift += turn
		}
	}
	kinds := 0
	for i := range s.groups {
		if !slices.ContainsFunc(s.groups[:i], func(o group) bool { return o.kind == s.groups[i].kind }) {
			kinds++
		}
	}
	if kinds > mostShifted {
		return false
	}
	if len(s.halves) > mostHalves {
		s.halves = s.halves[:0]
	}
	for i := range s.stands {
		d := &s.stands[i]
		d.halves = s.halvesOf(s.groups[d.group].kind, grid.Len())
	}
	return true
}

// gather collects the terms of a curve, and reports whether they are worth it.
func (s *Solver) gather(b *Balance, q curve, grid *num.Grid, square float64) bool {
	s.terms[0], s.terms[1] = s.terms[0][:0], s.terms[1][:0]
	orders := s.orders[q.quantity()]
	if orders == 0 {
		return true
	}
	factor := square
	if b.Force.Reversed && (q == forceY || q == momentZ || q == roll) {
		factor = -square
	}
	moment := q.quantity() == 1
	for i := range s.stands {
		d := &s.stands[i]
		g := &s.groups[d.group]
		switch q {
		case torque:
			s.add(d, ownTorque, factor, grid, false)
		case roll:
			s.add(d, ownRoll, factor, grid, false)
		default:
			p := q.turned(g.place)
			s.add(d, along, factor*real(p), grid, moment)
			if !g.central { // there the first order is the only one across
				s.add(d, across, -factor*imag(p), grid, moment)
			}
		}
	}
	rests := false
	if q < torque {
		c := b.order(q, 2)
		s.first(grid, square*real(c), -square*imag(c))
		rests = c == 0 && len(s.terms[0])+len(s.terms[1]) > 0 && b.rests(q)
	}
	if rests {
		s.terms[0], s.terms[1] = s.terms[0][:0], s.terms[1][:0]
	}
	return len(s.terms[0])+len(s.terms[1]) < orders
}

// add adds the curve of the cylinders of a stand.
func (s *Solver) add(d *stand, quantity int, factor float64, grid *num.Grid, moment bool) {
	if factor == 0 {
		return
	}
	central := s.groups[d.group].central
	s.addHalf(d, quantity, 0, factor, grid, moment)
	if !central || quantity != along { // the force of a central crank has no odd orders but the first
		s.addHalf(d, quantity, 1, factor, grid, moment)
	}
}

// addHalf adds what repeats after half a revolution, or what changes sign then.
func (s *Solver) addHalf(d *stand, quantity, parity int, factor float64, grid *num.Grid, moment bool) {
	f := factor * d.acts[parity].count
	if moment {
		f = factor * d.acts[parity].arms
	}
	if f == 0 {
		return
	}
	if quantity == ownRoll && parity == 0 && s.groups[d.group].central { // what turns the crank turns the block back
		quantity, f = ownTorque, -f
	}
	h := &s.halves[d.halves].of[quantity][parity]
	if !h.made {
		s.make(h, s.groups[d.group].harmonics, quantity, parity, grid)
	}
	if len(h.row) == 0 {
		return
	}
	from, quarter := d.shift, len(h.row)/2
	if from >= quarter { // half a revolution on
		from -= quarter
		if parity == 1 {
			f = -f
		}
	}
	s.terms[parity] = append(s.terms[parity], num.Term{Factor: f, Row: h.row[from:]})
}

// first adds a first order.
func (s *Solver) first(grid *num.Grid, cos, sin float64) {
	if len(s.cos) != grid.Len()/2 {
		s.cos = grid.Halved(s.cos, num.Series{0, 0, 1}, true)
		s.sin = grid.Halved(s.sin, num.Series{0, 0, -1i}, true)
	}
	if cos != 0 {
		s.terms[1] = append(s.terms[1], num.Term{Factor: cos, Row: s.cos})
	}
	if sin != 0 {
		s.terms[1] = append(s.terms[1], num.Term{Factor: sin, Row: s.sin})
	}
}

// make makes a curve of a kind.
func (s *Solver) make(to *half, h *harmonics, quantity, parity int, grid *num.Grid) {
	s.series = grown(s.series, 2*h.orders+1)
	clear(s.series)
	first := 2 - parity
	if first == 1 && quantity <= across {
		first = 3
	}
	for n := first; n <= h.orders; n += 2 {
		s.series[2*n] = h.at[n].of(quantity)
	}
	to.made, to.row = true, grid.Halved(to.row, s.series, parity == 1)
}

// of returns what stands in the series of a curve.
func (q *harmonic) of(quantity int) complex128 {
	switch quantity {
	case along:
		return q.with + cmplx.Conj(q.against)
	case across:
		d := q.with - cmplx.Conj(q.against)
		return complex(imag(d), -real(d))
	case ownTorque:
		return q.torque
	default:
		return q.roll
	}
}
