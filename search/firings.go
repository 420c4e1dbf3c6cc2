package search

import (
	"math"
	"math/bits"

	"crankwright/mechanics/firing"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// turn is a revolution of the crank [rad].
const turn = 2 * math.Pi

// firings measures the firing of crank trains that differ in angles only, without allocation.
type firings struct {
	cycle layout.Cycle
	top   []float64 // top dead centre of each cylinder of the reference train, in one turn [rad]

	time   []float64 // top dead centres of the candidate, rising [rad]; closer than firing.Together they are equal
	who    []int     // cylinders in that sequence
	zero   int       // place of cylinder 0 in it
	fewest int       // cylinders that cannot but fire together with another

	sum, longest, shortest float64 // of the intervals of a schedule: squares [rad²], extremes [rad]
	zeros                  int     // intervals of 0
	spare                  bool    // an interval holds a whole revolution

	place, gaps, first, second []float64 // room to work in
	sequence                   []int
}

func newFirings(cycle layout.Cycle, top []num.Angle) *firings {
	n := len(top)
	f := &firings{cycle: cycle, time: make([]float64, n), who: make([]int, n)}
	f.place, f.gaps, f.first, f.second = make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	for _, a := range top {
		f.top = append(f.top, float64(a))
	}
	return f
}

// schedules returns the number of schedules that the crank allows: each cylinder but the first in either revolution.
func (f *firings) schedules() int {
	if f.cycle == layout.TwoStroke {
		return 1
	}
	return revolutions(len(f.top))
}

// revolutions is the number of ways in which n cylinders can be shared out between the two revolutions of a four-stroke
// cycle, the first in the first; 0 where there are too many.
func revolutions(n int) int {
	if n < 1 || n > bits.UintSize/2 {
		return 0
	}
	return 1 << (n - 1)
}

// turn sets the candidate: every top dead centre comes earlier by the phase that its cylinder gained [rad].
func (f *firings) turn(gained []float64) {
	n := len(f.top)
	for c, top := range f.top {
		t := top - gained[c]
		if t < 0 || t >= turn {
			t -= turn * math.Floor(t/turn)
			if t >= turn || turn-t < 1e-11 { // rounding must not send 0 to the end
				t = 0
			}
		}
		k := c // insertion keeps equal ones in the sequence of cylinders
		for k > 0 && f.time[k-1] > t {
			f.time[k], f.who[k] = f.time[k-1], f.who[k-1]
			k--
		}
		f.time[k], f.who[k] = t, c
	}
	f.fewest = 0
	free := 1 // cylinders with one top dead centre that need not fire together: one a revolution of the cycle
	if f.cycle == layout.FourStroke {
		free = 2
	}
	run := 1
	for k := 1; k < n; k++ {
		if f.time[k]-f.time[k-1] >= float64(firing.Together) {
			run = 1
			continue
		}
		f.time[k] = f.time[k-1]
		for j := k; j > 0 && f.time[j-1] == f.time[j] && f.who[j-1] > f.who[j]; j-- {
			f.who[j-1], f.who[j] = f.who[j], f.who[j-1]
		}
		if run++; run > free {
			f.fewest++
		}
	}
	for k, c := range f.who {
		if c == 0 {
			f.zero = k
		}
	}
}

// mask turns the number of a schedule into the places that fire in the second revolution; cylinder 0 never does. Bit j of the
// number is cylinder j+1.
func (f *firings) mask(schedule int) uint32 {
	m := uint32(0)
	for k, c := range f.who {
		if c > 0 && schedule>>(c-1)&1 == 1 {
			m |= 1 << k
		}
	}
	return m
}

// set measures a schedule by its mask.
func (f *firings) set(mask uint32) {
	f.begin()
	first, before := -1.0, 0.0
	if f.cycle == layout.TwoStroke {
		for _, t := range f.time {
			if first < 0 {
				first = t
			} else {
				f.gap(t - before)
			}
			before = t
		}
		f.gap(first + turn - before)
		return
	}
	for b := ^mask & (1<<len(f.time) - 1); b != 0; b &= b - 1 {
		t := f.time[bits.TrailingZeros32(b)]
		if first < 0 {
			first = t
		} else {
			f.gap(t - before)
		}
		before = t
	}
	for b := mask; b != 0; b &= b - 1 {
		t := f.time[bits.TrailingZeros32(b)] + turn
		f.gap(t - before)
		before = t
	}
	f.gap(first + 2*turn - before)
}

// begin starts the measures of a schedule anew.
func (f *firings) begin() {
	f.sum, f.longest, f.shortest, f.zeros, f.spare = 0, 0, math.Inf(1), 0, false
}

// gap adds an interval to them [rad].
func (f *firings) gap(g float64) {
	f.sum += g * g
	if g > f.longest {
		f.longest = g
	}
	if g < f.shortest {
		f.shortest = g
	}
	if g == 0 {
		f.zeros++
	} else if g > turn-float64(firing.Together) {
		f.spare = true
	}
}

// evenness is firing.Schedule.Evenness of the schedule that set measured [1].
func (f *firings) evenness() float64 {
	p := float64(f.cycle.Period())
	return min(1, p*p/(float64(len(f.top))*f.sum))
}

// order returns the cylinders in the sequence of firing, cylinder 0 first.
func (f *firings) order(dst []int, mask uint32) []int {
	dst = f.places(dst, mask)
	for i, place := range dst {
		dst[i] = f.who[place]
	}
	return dst
}

// places returns the places in the sequence of firing, that of cylinder 0 first: it and what follows in its revolution, the
// other revolution, what comes before cylinder 0.
func (f *firings) places(dst []int, mask uint32) []int {
	dst = dst[:0]
	all := uint32(1)<<len(f.who) - 1
	before := uint32(1)<<f.zero - 1
	for _, b := range [3]uint32{all &^ mask &^ before, mask, before &^ mask} {
		for ; b != 0; b &= b - 1 {
			dst = append(dst, bits.TrailingZeros32(b))
		}
	}
	return dst
}

// named tells whether the firing order alone names a schedule in which a whole revolution passes without a firing: whether that
// revolution lies where package firing puts it, in the shortest of the intervals and of equal ones in the last.
func (f *firings) named(mask uint32) bool {
	n := len(f.who)
	f.sequence = f.places(f.sequence, mask)
	at := func(k, cycle int) float64 {
		place := f.sequence[k]
		if mask>>place&1 == 0 && place < f.zero { // in the cycle after that in which cylinder 0 has fired
			cycle++
		}
		return f.time[place] + turn*float64(mask>>place&1) + 2*turn*float64(cycle)
	}
	shortest, lies := math.Inf(1), -1
	last := -1
	next := at(0, 0)
	for k := range n {
		before := next
		if k+1 < n {
			next = at(k+1, 0)
		} else {
			next = at(0, 1)
		}
		gap, whole := next-before, 0
		for gap >= turn-float64(firing.Together) {
			gap -= turn
			whole++
		}
		gap = max(0, gap)
		if whole > 1 { // nothing else fires in two revolutions
			return f.namedBySearch(mask)
		}
		if whole == 1 {
			if lies >= 0 {
				return f.namedBySearch(mask)
			}
			lies = k
		}
		if gap <= shortest+1e-9 {
			shortest, last = min(gap, shortest), k
		}
	}
	return lies == last
}

// namedBySearch asks package firing; it allocates.
func (f *firings) namedBySearch(mask uint32) bool {
	tdc := make([]num.Angle, len(f.who))
	for k, c := range f.who {
		tdc[c] = num.Angle(f.time[k])
	}
	s, err := firing.Assign(tdc, f.cycle, f.order(nil, mask))
	if err != nil {
		return false
	}
	for k, c := range f.who {
		at, _ := s.FiringAngle(c)
		if second := at > num.Angle(f.time[k])+num.Turn/2; second != (mask>>k&1 == 1) {
			return false
		}
	}
	return true
}

// assign measures the most even schedule of a firing order; false where the crank cannot fire in it. As firing.Assign.
func (f *firings) assign(order []int) bool {
	n, turns := len(order), 2
	if f.cycle == layout.TwoStroke {
		turns = 1
	}
	at := f.place
	for k, c := range f.who {
		at[c] = f.time[k]
	}
	whole := 0.0
	for k, c := range order {
		h := at[order[(k+1)%n]] - at[c]
		if h < 0 {
			h += turn
		}
		f.gaps[k] = h
		whole += h
	}
	spare := turns - int(math.Round(whole/turn))
	if spare < 0 {
		return false
	}
	for range spare { // g² grows least where g is smallest
		k := 0
		for j, g := range f.gaps {
			if g < f.gaps[k] {
				k = j
			}
		}
		f.gaps[k] += turn
	}
	f.begin()
	for _, g := range f.gaps {
		f.gap(g)
	}
	return f.zeros <= f.fewest
}

// evenest measures the sum of squares alone, of the most even schedule that there is: the firings are two rows of rising
// times, one a revolution; the row of the earliest top dead centre is the first, whose cylinder also begins the cycle, and the
// other row begins at any later one. Going through the cylinders by time, all that matters of the past is the last of each row.
func (f *firings) evenest() {
	n := len(f.time)
	if f.cycle == layout.TwoStroke || n == 1 {
		f.set(0)
		return
	}
	t := f.time
	square := func(g float64) float64 { return g * g }
	f.set(0) // all in one revolution
	best := f.sum
	for begin := 1; begin < n; begin++ {
		sum := 0.0
		for k := 1; k < begin; k++ {
			sum += square(t[k] - t[k-1])
		}
		// after begin, the second row ends with begin and the first with begin−1
		first, second := f.first, f.second // by the last of the other row: the cylinder that came last is in the first, in the second
		for l := range n {
			first[l], second[l] = math.Inf(1), math.Inf(1)
		}
		second[begin-1] = sum
		for k := begin + 1; k < n; k++ {
			// k joins the row of k−1, or the other one
			step := square(t[k] - t[k-1])
			a, b := math.Inf(1), math.Inf(1)
			for l := range k - 1 {
				a = min(a, second[l]+square(t[k]-t[l])) // joins the first row, which ended with l
				b = min(b, first[l]+square(t[k]-t[l]))  // joins the second row
				first[l] += step
				second[l] += step
			}
			first[k-1], second[k-1] = a, b
		}
		for l := range n - 1 {
			// the first row ends with n−1, the second with l, or the other way round
			if l >= begin {
				best = min(best, first[l]+square(t[begin]+turn-t[n-1])+square(t[0]+turn-t[l]))
			}
			best = min(best, second[l]+square(t[begin]+turn-t[l])+square(t[0]+turn-t[n-1]))
		}
	}
	f.sum = best
}
