package firing

import (
	"cmp"
	"fmt"
	"iter"
	"math"
	"slices"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// ring holds the top dead centres of an engine, brought into one revolution and cleaned of
// rounding: those closer than Together have exactly the same value.
type ring struct {
	cycle  layout.Cycle
	tdc    []num.Angle // by cylinder, 0 ≤ tdc < 2π [rad]
	sorted []int       // cylinders by rising tdc, then by index
}

// newRing checks the top dead centres and cleans them.
func newRing(tdc []num.Angle, cycle layout.Cycle) (*ring, error) {
	n := len(tdc)
	if n == 0 || n > layout.MaxCylinders {
		return nil, layout.Problem{
			Where: "cylinders", What: fmt.Sprintf("there are %d top dead centres", n),
			Limit: fmt.Sprintf("1 to %d are needed", layout.MaxCylinders),
		}
	}
	if cycle != layout.FourStroke && cycle != layout.TwoStroke {
		return nil, layout.Problem{Where: "cycle", What: fmt.Sprintf("cycle %d is unknown", cycle), Limit: "four-stroke or two-stroke"}
	}
	r := &ring{cycle: cycle, tdc: make([]num.Angle, n), sorted: make([]int, n)}
	for i, a := range tdc {
		if err := finite(fmt.Sprintf("cylinders[%d].tdc", i), a); err != nil {
			return nil, err
		}
		r.tdc[i], r.sorted[i] = a.Wrap(num.Turn), i
	}
	slices.SortStableFunc(r.sorted, func(a, b int) int {
		return cmp.Or(cmp.Compare(r.tdc[a], r.tdc[b]), a-b)
	})
	for k := 1; k < n; k++ {
		if before := r.tdc[r.sorted[k-1]]; r.tdc[r.sorted[k]]-before < Together {
			r.tdc[r.sorted[k]] = before
		}
	}
	// Equal values now stand in a row, but perhaps not by index.
	for same := range r.runs() {
		slices.Sort(same)
	}
	return r, nil
}

// runs goes through the cylinders by top dead centre: those that share one together, as parts of sorted.
func (r *ring) runs() iter.Seq[[]int] {
	return func(yield func([]int) bool) {
		for i := 0; i < len(r.sorted); {
			j := i + 1
			for j < len(r.sorted) && r.tdc[r.sorted[j]] == r.tdc[r.sorted[i]] {
				j++
			}
			if !yield(r.sorted[i:j]) {
				return
			}
			i = j
		}
	}
}

func finite(where string, a num.Angle) error {
	if math.IsNaN(float64(a)) || math.Abs(float64(a)) > 1e9 {
		return layout.Problem{
			Where: where, What: fmt.Sprintf("the angle is %g rad", float64(a)),
			Limit: "a finite angle below 1e9 rad is needed",
		}
	}
	return nil
}

// turns returns the revolutions of a cycle.
func (r *ring) turns() int {
	if r.cycle == layout.TwoStroke {
		return 1
	}
	return 2
}

// ahead returns by how much the crank turns from the top dead centre of a to the next of b:
// 0 ≤ h < 2π.
func (r *ring) ahead(a, b int) num.Angle {
	h := r.tdc[b] - r.tdc[a]
	if h < 0 {
		h += num.Turn
	}
	return h
}

// fewestTogether returns the number of zero intervals that no schedule can avoid: cylinders with
// one top dead centre beyond the revolutions of the cycle.
func (r *ring) fewestTogether() int {
	count := 0
	for same := range r.runs() {
		count += max(0, len(same)-r.turns())
	}
	return count
}

// checkOrder says whether the order names each cylinder once.
func checkOrder(order []int, n int) error {
	if len(order) != n {
		return layout.Problem{
			Where: "firing_order", What: fmt.Sprintf("it names %d cylinders", len(order)),
			Limit: fmt.Sprintf("it names each of the %d cylinders once", n),
		}
	}
	seen := make([]bool, n)
	for _, c := range order {
		if c < 0 || c >= n || seen[c] {
			return layout.Problem{
				Where: "firing_order", What: fmt.Sprintf("cylinder %d is unknown or named twice", c+1),
				Limit: fmt.Sprintf("it names each of the %d cylinders once", n),
			}
		}
		seen[c] = true
	}
	return nil
}

// schedule builds a schedule from its order, the revolution in which its first cylinder fires and
// its intervals. It keeps the slices.
func (r *ring) schedule(order []int, revolution int, intervals []num.Angle) Schedule {
	s := Schedule{Cycle: r.cycle, Order: order, At: make([]num.Angle, len(order)), Intervals: intervals}
	at := r.tdc[order[0]] + num.Turn*num.Angle(revolution)
	for k, c := range order {
		s.At[k] = r.tdc[c] + num.Turn*num.Angle(r.revolution(c, at))
		at += intervals[k]
	}
	return s
}

// revolution returns in which revolution of the cycle a cylinder fires, 0 or 1, if it fires at a
// crank angle near at.
func (r *ring) revolution(c int, at num.Angle) int {
	k := int(math.Round(float64((at - r.tdc[c]) / num.Turn)))
	return ((k % r.turns()) + r.turns()) % r.turns()
}
