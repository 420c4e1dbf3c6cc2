package firing

import (
	"bytes"
	"cmp"
	"math"
	"math/bits"
	"slices"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// item is one schedule in the enumeration, small enough to keep many.
type item struct {
	sum        int64 // Σ interval² in steps of 1e-9 cycle²
	neighbours int16
	sameBank   int16
	byOrder    bool
	mask       uint32 // bit p: the cylinder at place p of ring.sorted fires in the second revolution
	order      [layout.MaxCylinders]uint8
}

// compareItems puts the better first.
func compareItems(a, b *item) int {
	if c := cmp.Or(cmp.Compare(a.sum, b.sum), cmp.Compare(a.neighbours, b.neighbours), cmp.Compare(a.sameBank, b.sameBank)); c != 0 {
		return c
	}
	if c := bytes.Compare(a.order[:], b.order[:]); c != 0 || a.byOrder == b.byOrder {
		return cmp.Or(c, cmp.Compare(a.mask, b.mask))
	}
	if a.byOrder {
		return -1
	}
	return 1
}

type listing struct {
	items        []item
	Orders, Even int
}

// enumerate looks at every schedule. Cylinder 0 always fires in the first revolution.
func (r *ring) enumerate(q succession, opt Options) listing {
	limit := opt.Limit
	if limit <= 0 {
		limit = MaxListed
	}
	e := newEnumerator(r, q)
	zero := slices.Index(r.sorted, 0)
	count := uint32(1)
	if r.cycle == layout.FourStroke {
		count <<= len(r.sorted) - 1
	}
	var l listing
	worst := int64(math.MaxInt64) // Σ interval² of the last that still counts
	for m := range count {
		low := m & (1<<zero - 1)
		e.set((m-low)<<1 | low)
		if !opt.Variants && e.zeros > e.fewest {
			continue
		}
		byOrder := e.byOrder()
		if byOrder {
			l.Orders++
			if e.even() {
				l.Even++
			}
		}
		if (byOrder || opt.Variants) && e.sum <= worst {
			l.items = append(l.items, e.item(byOrder))
			if len(l.items) >= 2*limit+64 {
				l.items = best(l.items, limit)
				worst = l.items[limit-1].sum
			}
		}
	}
	l.items = best(l.items, limit)
	return l
}

// best sorts and keeps the best.
func best(items []item, limit int) []item {
	slices.SortFunc(items, func(a, b item) int { return compareItems(&a, &b) })
	return items[:min(limit, len(items))]
}

// fromMask builds the schedule of an enumerated item.
func (r *ring) fromMask(mask uint32) Schedule {
	rev := make([]int, len(r.sorted))
	if r.cycle == layout.FourStroke {
		for p, c := range r.sorted {
			rev[c] = int(mask >> p & 1)
		}
	}
	return r.fromRevolutions(rev)
}

// enumerator looks at one schedule after the other, in place.
type enumerator struct {
	r      *ring
	q      succession
	period float64
	fewest int       // zero intervals that cannot be avoided
	time   []float64 // top dead centre of each place [rad]

	mask  uint32
	sum   int64 // as item.sum
	zeros int   // zero intervals
	spare int   // whole revolutions in the intervals
}

func newEnumerator(r *ring, q succession) *enumerator {
	e := &enumerator{r: r, q: q, period: float64(r.cycle.Period()), fewest: r.fewestTogether()}
	for _, c := range r.sorted {
		e.time = append(e.time, float64(r.tdc[c]))
	}
	return e
}

// set measures the schedule in which the places of mask fire in the second revolution.
func (e *enumerator) set(mask uint32) {
	e.mask, e.zeros, e.spare = mask, 0, 0
	n := len(e.time)
	sum, first, before := 0.0, -1.0, 0.0
	step := func(t float64) {
		if first < 0 {
			first, before = t, t
			return
		}
		sum += e.gap(t - before)
		before = t
	}
	if e.r.cycle == layout.TwoStroke {
		for _, t := range e.time {
			step(t)
		}
	} else {
		for b := ^mask & (1<<n - 1); b != 0; b &= b - 1 {
			step(e.time[bits.TrailingZeros32(b)])
		}
		for b := mask; b != 0; b &= b - 1 {
			step(e.time[bits.TrailingZeros32(b)] + float64(num.Turn))
		}
	}
	sum += e.gap(first + e.period - before)
	// The odd fraction keeps round numbers away from the edge between two steps.
	e.sum = int64(sum/(e.period*e.period)*1e9 + 0.377)
}

// gap counts one interval and returns its square.
func (e *enumerator) gap(g float64) float64 {
	if g == 0 {
		e.zeros++
	} else if g > float64(num.Turn-Together) {
		e.spare++
		if g > float64(2*num.Turn-Together) {
			e.spare++
		}
	}
	return g * g
}

// even says whether the schedule is even. Only a sum of squares close to the least can be.
func (e *enumerator) even() bool {
	if n := int64(len(e.time)); e.sum > 1_000_100_000/n {
		return false
	}
	s := e.r.fromMask(e.mask)
	for _, g := range s.Intervals {
		if math.Abs(float64(g-s.Mean())) > float64(EvenTolerance) {
			return false
		}
	}
	return true
}

// byOrder says whether the firing order alone names this schedule: no cylinders fire together
// without need, and the revolutions to spare, if there are any, stand where Assign puts them.
func (e *enumerator) byOrder() bool {
	return e.zeros <= e.fewest && (e.spare == 0 || e.r.byOrder(e.r.fromMask(e.mask)))
}

// item keeps the schedule.
func (e *enumerator) item(byOrder bool) item {
	it := item{sum: e.sum, byOrder: byOrder, mask: e.mask}
	s := e.r.fromMask(e.mask)
	n := len(s.Order)
	for k, a := range s.Order {
		b := s.Order[(k+1)%n]
		it.order[k] = uint8(a)
		if n > 1 && e.q.adjacent(a, b) {
			it.neighbours++
		}
		if n > 1 && e.q.sameBank(a, b) {
			it.sameBank++
		}
	}
	return it
}
