package firing

import (
	"strconv"
	"strings"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Together is the difference of two crank angles below which they count as one moment [rad].
// Definition: far above the rounding of a top dead centre (1e-15), far below what a crank grinder
// can hold (1e-4).
const Together num.Angle = 1e-9

// Schedule is the firing of one cycle: which cylinder fires at which crank angle.
type Schedule struct {
	Cycle     layout.Cycle
	Order     []int       // cylinder indices, first firing first; length N
	At        []num.Angle // crank angle of each firing [rad], from 0 up to below the cycle; in the sequence of Order it rises and passes the end of the cycle at most once; length N
	Intervals []num.Angle // crank angle from each firing to the next, the last to the first of the next cycle [rad]; zero: they fire together; length N
}

// Elapsed returns the crank angle from the first firing of the schedule to each of its firings.
//
//	elapsed_k = Σ_{j<k} interval_j
//
// Result [rad], not falling, the first 0; length N. Definition.
func (s Schedule) Elapsed() []num.Angle {
	out := make([]num.Angle, len(s.Intervals))
	for k := 1; k < len(out); k++ {
		out[k] = out[k-1] + s.Intervals[k-1]
	}
	return out
}

// FiringAngle returns the crank angle at which a cylinder fires.
//
//   - cylinder: index of the cylinder
//
// Result [rad], from 0 up to below the cycle; ok is false where the schedule has no such cylinder.
// Definition.
func (s Schedule) FiringAngle(cylinder int) (at num.Angle, ok bool) {
	for k, c := range s.Order {
		if c == cylinder {
			return s.At[k], true
		}
	}
	return 0, false
}

// Mean returns the mean firing interval.
//
//	mean = cycle / N
//
// Result [rad]; 0 for an empty schedule. Definition.
func (s Schedule) Mean() num.Angle {
	if len(s.Order) == 0 {
		return 0
	}
	return s.Cycle.Period() / num.Angle(len(s.Order))
}

// Evenness returns how evenly the firings are spread over the cycle.
//
//	evenness = cycle² / (N Σ interval²)
//
// Result [1], from 1/N (all fire together) to 1 (all intervals equal). It is the reciprocal of
// 1 + (coefficient of variation of the intervals)². Our own definition; the trade has no common
// one. Definition.
func (s Schedule) Evenness() float64 {
	n := len(s.Intervals)
	if n == 0 {
		return 0
	}
	sum := 0.0
	for _, g := range s.Intervals {
		sum += float64(g) * float64(g)
	}
	return evennessOf(sum, n, s.Cycle)
}

func evennessOf(sumOfSquares float64, n int, cycle layout.Cycle) float64 {
	p := float64(cycle.Period())
	return min(1, p*p/(float64(n)*sumOfSquares))
}

// Label returns the order as people write it, such as 1-3-4-2.
//
//   - names: names of the cylinders by index; nil: index + 1
//
// Result [-]: the names in the sequence of firing, joined by hyphens. Definition.
func (s Schedule) Label(names []string) string { return label(s.Order, names) }

func label(order []int, names []string) string {
	var b strings.Builder
	for k, c := range order {
		if k > 0 {
			b.WriteByte('-')
		}
		b.WriteString(nameOf(c, names))
	}
	return b.String()
}

func nameOf(c int, names []string) string {
	if c >= 0 && c < len(names) && names[c] != "" {
		return names[c]
	}
	return strconv.Itoa(c + 1)
}
