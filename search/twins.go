package search

import (
	"math"
	"math/rand/v2"
	"slices"

	"crankwright/brief"
	"crankwright/mechanics/firing"
	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
	"crankwright/num"
	"crankwright/spec"
)

// twins lists the phasings of a block, symmetric twins once where they are twins of this engine in all that the study asks for.
//
// A crank that is turned as a whole is the same crank. Mirror image and reversal are tried on the engine itself, with random
// phasings and all that varies beside them: a bank that stands nearer to the drive end, an offset or a counterweight in one
// place only makes two engines of them. The mirror image runs backwards through the firing cycle, so it is no twin in what
// gas does; an engine reversed end for end has its flywheel at the other end, so it is no twin in what winds up.
func (p *Problem) twins(b *block, rest []spec.Variation) error {
	for _, a := range b.axes {
		if a.kind == allOrders && b.dead == "" {
			f := newFirings(b.train.Cycle, make([]num.Angle, len(b.train.Cylinders)))
			if a.count = f.schedules(); a.count == 0 || len(b.train.Cylinders) > mostOrdered {
				return p.wrong(p.at(rest, ordersKey), "give a list of orders, or leave the order open: then the most even one is taken", "%s: the firing orders of %d cylinders are too many to try each", ordersKey, len(b.train.Cylinders))
			}
		}
	}
	for i, a := range b.axes {
		if a.kind != phasings || b.dead != "" {
			continue
		}
		v := rest[slices.IndexFunc(rest, func(v spec.Variation) bool { return v.Key == pinsKey })]
		var t Twins
		if i == b.pins && !v.Apart {
			t = b.symmetries(p.needs)
		}
		var err error
		if a.phasings, err = NewPhasings(b.places, len(b.units), t); err != nil {
			return p.wrong(v.At, "", "%s: %v", pinsKey, err)
		}
		a.count = a.phasings.Len()
	}
	for _, a := range b.axes {
		if a.count == 0 {
			a.count = 1 // a block without engines still has a candidate, which is left out
		}
	}
	return nil
}

// mostOrdered is the largest number of cylinders whose firing orders are all tried.
const mostOrdered = 20

// at returns where a study says what it varies by a key.
func (p *Problem) at(rest []spec.Variation, key string) spec.Position {
	for _, v := range rest {
		if v.Key == key {
			return v.At
		}
	}
	return spec.Position{}
}

// symmetries tries which operations on the phasing leave forces, moments and firing as they are.
func (b *block) symmetries(needs brief.Chapter) Twins {
	var t Twins
	t.Mirror = needs < brief.Drive && b.symmetric(negate)
	t.Reversal = needs < brief.Lasting && b.symmetric(reverse)
	t.Both = t.Mirror && t.Reversal || needs < brief.Drive && b.symmetric(func(a []int) { negate(a); reverse(a) })
	return t
}

// symmetric tries one operation on random phasings, with random values of everything else.
func (b *block) symmetric(do func([]int)) bool {
	rng := rand.New(rand.NewPCG(3, 3))
	tried := 0
	for range 40 {
		digits := slices.Clone(b.ref)
		for i, a := range b.axes {
			if a.kind != phasings && a.kind != allOrders && a.count > 0 {
				digits[i] = rng.IntN(a.count)
			}
		}
		rest := slices.Clone(b.ref)
		copy(rest, digits[:b.angles])
		t, err := b.build(rest, b.straight())
		if err != nil {
			continue
		}
		s, err := newSample(b, t, rest)
		if err != nil {
			continue
		}
		steps := make([]int, b.places)
		for i := range steps {
			steps[i] = rng.IntN(len(b.units))
		}
		one := slices.Clone(s.measure(b, digits, steps))
		do(steps)
		for i := range steps {
			steps[i] = (steps[i]%len(b.units) + len(b.units)) % len(b.units)
		}
		if !slices.EqualFunc(one, s.measure(b, digits, steps), func(x, y float64) bool { return math.Abs(x-y) < 1e-9 }) {
			return false
		}
		if tried++; tried == 12 {
			break
		}
	}
	return tried > 0
}

// sample measures phasings in all that the fast path gives, as shares of what they would be if nothing cancelled.
type sample struct {
	class   *class
	kernel  *kernel
	firings *firings
	given   []int
}

// newSample prepares to measure phasings of an engine, whose pins all point the same way.
func newSample(b *block, t *layout.Train, digits []int) (*sample, error) {
	c := b.classOf(t, digits)
	still := *t
	still.Rotation = layout.Anticlockwise
	var solver inertia.Solver
	k, err := newKernel(&solver, &still, []int{1, 2, 4, 6}, c.place, c.places, 1)
	if err != nil {
		return nil, err
	}
	top, err := firing.TopDeadCentres(t)
	if err != nil {
		return nil, err
	}
	return &sample{c, k, newFirings(t.Cycle, top), t.FiringOrder}, nil
}

// measure returns all that is measured of a phasing; nil where there is no such engine.
func (s *sample) measure(b *block, digits, steps []int) []float64 {
	by, ok := s.class.turning(b, digits)
	if !ok {
		return nil
	}
	s.kernel.load(by)
	s.kernel.phase(b.units, steps)
	var out []float64
	for o := range s.kernel.orders {
		f, m := s.kernel.spreads[o][0], s.kernel.spreads[o][1]
		out = append(out, share(s.kernel.force(o), f), share(s.kernel.moment(o), m))
		af, am := s.kernel.against(o)
		out = append(out, share(af, f), share(am, m))
	}
	gained := make([]float64, len(by.axis))
	s.kernel.gains(gained, by, steps, len(b.units))
	s.firings.turn(gained)
	switch {
	case b.orders >= 0 && b.axes[b.orders].kind == allOrders && len(s.firings.top) <= 12:
		var sums []float64
		for i := range s.firings.schedules() {
			s.firings.set(s.firings.mask(i))
			sums = append(sums, s.firings.sum)
		}
		slices.Sort(sums)
		out = append(out, sums...)
	case b.orders >= 0 && b.axes[b.orders].kind != allOrders:
		for _, o := range b.axes[b.orders].orderList {
			out = append(out, s.assigned(o))
		}
	case s.given != nil:
		out = append(out, s.assigned(s.given))
	default:
		s.firings.evenest()
		out = append(out, s.firings.sum)
	}
	return out
}

// assigned returns the sum of squares of the most even schedule of an order; −1 where the crank cannot fire in it.
func (s *sample) assigned(order []int) float64 {
	if !s.firings.assign(order) {
		return -1
	}
	return s.firings.sum
}

// share returns a part of something; 0 of nothing.
func share(x, of float64) float64 {
	if of == 0 {
		return 0
	}
	return x / of
}
