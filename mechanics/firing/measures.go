package firing

import (
	"cmp"
	"math"
	"math/cmplx"
	"slices"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// SpectrumOrders is how many half orders a Spectrum has: 0.5, 1, … 12 [1]. Definition.
const SpectrumOrders = 24

// Measures says how good a schedule is.
type Measures struct {
	Evenness  float64   // as Schedule.Evenness [1]
	Mean      num.Angle // mean interval [rad]
	Longest   num.Angle // longest interval [rad]
	Shortest  num.Angle // shortest interval [rad]
	Departure num.Angle // largest departure of an interval from the mean [rad]
	Quick     int       // impulses in quick succession: intervals shorter than half the mean

	// BeatError is the root mean square distance of the firings from the evenly spaced beat that
	// fits them best [rad]. Unlike Evenness it minds the sequence of the intervals. The speed of a
	// free flywheel that equal impulses drive against a constant load varies with the variance
	// (1/12 + (BeatError/Mean)²) of one impulse, so that it says what an uneven order costs there.
	BeatError num.Angle

	// Repetition is the crank angle after which the pattern of intervals repeats, the cycle at
	// most [rad].
	Repetition num.Angle

	// Spectrum is the order spectrum of equal impulses: |Σ_k e^{−i n θ_k}| for n = (index+1)/2
	// [1]. It is N where all impulses of an order add, 0 where they cancel, and 0 in the half
	// orders of a two-stroke engine.
	Spectrum [SpectrumOrders]float64

	Neighbours  [][2]int // successive firings of neighbours along the crank in one bank
	SharedThrow int      // successive firings of cylinders on one throw, its split pins included
	SameBank    int      // successive firings in one bank
	// AlternateShare is the share of successions that go from one bank to another [1]; 0 for one
	// cylinder.
	AlternateShare float64

	Exhaust []Group // exhaust groups, in the sequence of their first firing
}

// Measure computes the measures of a schedule.
//
//	Σ over the N successions of the cycle, the last to the first included
//
// with
//   - t: the crank train, of which banks, throws, axial places [m] and exhaust groups are read
//   - s: one of its schedules
//
// Result: see Measures, angles in [rad]. Errors: layout.Problem where the schedule is not one of this
// train. Definition.
func Measure(t *layout.Train, s Schedule) (Measures, error) {
	if t == nil {
		return Measures{}, layout.Problem{Where: "train", What: "there is none", Limit: "a crank train is needed"}
	}
	if err := checkOrder(s.Order, len(t.Cylinders)); err != nil {
		return Measures{}, err
	}
	if len(s.At) != len(s.Order) || len(s.Intervals) != len(s.Order) || len(s.Order) == 0 {
		return Measures{}, layout.Problem{Where: "schedule", What: "its lists differ in length", Limit: "use a schedule that this package made"}
	}
	return newNear(t).measure(t, s), nil
}

// Spectrum returns the order spectrum of equal impulses.
//
//	amplitude_n = |Σ_k e^{−i n θ_k}|
//
// with
//   - s: the schedule, whose firings stand at the crank angles θ_k [rad]
//
// Result [1]: amplitude of order n = (index+1)/2, up to 12; half orders of a two-stroke engine
// are 0. Not normalised: N where all impulses add. It is what books on torsional vibration call the
// phase-vector sum, with every cylinder counted alike. Definition.
func Spectrum(s Schedule) [SpectrumOrders]float64 {
	var out [SpectrumOrders]float64
	step := 1
	if s.Cycle == layout.TwoStroke {
		step = 2
	}
	for k := step - 1; k < SpectrumOrders; k += step {
		sum := complex(0, 0)
		for _, at := range s.At {
			sum += (-at * num.Angle(k+1) / 2).Unit()
		}
		if out[k] = cmplx.Abs(sum); out[k] < 1e-12*float64(len(s.At)) {
			out[k] = 0
		}
	}
	return out
}

// near knows which cylinders are neighbours.
type near struct {
	n    int
	next []bool // [a·n+b]: next to each other along the crank in one bank
	bank []int
	pair []int // throw, split pins counted as one
}

func newNear(t *layout.Train) *near {
	n := len(t.Cylinders)
	r := &near{n: n, next: make([]bool, n*n), bank: make([]int, n), pair: make([]int, n)}
	banks := map[int][]int{}
	for c := range t.Cylinders {
		cyl := &t.Cylinders[c]
		r.bank[c] = cyl.Bank
		banks[cyl.Bank] = append(banks[cyl.Bank], c)
		r.pair[c] = pairOf(t, cyl.Throw)
	}
	for _, list := range banks {
		slices.SortStableFunc(list, func(a, b int) int {
			return cmp.Compare(t.Cylinders[a].At, t.Cylinders[b].At)
		})
		for k := 1; k < len(list); k++ {
			a, b := list[k-1], list[k]
			r.next[a*n+b], r.next[b*n+a] = true, true
		}
	}
	return r
}

// pairOf returns the throw of which a pin is a part.
func pairOf(t *layout.Train, throw int) int {
	if throw < 0 || throw >= len(t.Throws) {
		return throw
	}
	if p := t.Throws[throw].Pair; p >= 0 && p < len(t.Throws) && t.Throws[p].Pair == p {
		return p
	}
	return throw
}

func (r *near) adjacent(a, b int) bool { return r.next[a*r.n+b] }
func (r *near) sameBank(a, b int) bool { return r.bank[a] == r.bank[b] }

func (r *near) measure(t *layout.Train, s Schedule) Measures {
	n := len(s.Order)
	m := Measures{
		Evenness: s.Evenness(), Mean: s.Mean(),
		Longest: slices.Max(s.Intervals), Shortest: slices.Min(s.Intervals),
		BeatError: beatError(s), Repetition: repetition(s), Spectrum: Spectrum(s), Exhaust: exhaustGroups(t, s),
	}
	m.Departure = max(m.Longest-m.Mean, m.Mean-m.Shortest)
	for _, g := range s.Intervals {
		if g < m.Mean/2-Together {
			m.Quick++
		}
	}
	for k, a := range s.Order {
		b := s.Order[(k+1)%n]
		if a == b {
			continue
		}
		if r.adjacent(a, b) {
			m.Neighbours = append(m.Neighbours, [2]int{a, b})
		}
		if r.pair[a] == r.pair[b] {
			m.SharedThrow++
		}
		if r.sameBank(a, b) {
			m.SameBank++
		} else {
			m.AlternateShare += 1 / float64(n)
		}
	}
	m.AlternateShare = math.Min(1, m.AlternateShare)
	return m
}

// repetition returns the smallest period of the pattern of intervals.
func repetition(s Schedule) num.Angle {
	n := len(s.Intervals)
	sum := num.Angle(0)
	for p := 1; p < n; p++ {
		sum += s.Intervals[p-1]
		if n%p == 0 && repeats(s.Intervals, p) {
			return sum
		}
	}
	return s.Cycle.Period()
}

func repeats(gaps []num.Angle, p int) bool {
	for k := range gaps {
		if math.Abs(float64(gaps[k]-gaps[(k+p)%len(gaps)])) > 1e3*float64(Together) {
			return false
		}
	}
	return true
}

// beatError returns the root mean square of δ_k = θ_k − k·mean about its own mean.
func beatError(s Schedule) num.Angle {
	sum, squares := 0.0, 0.0
	n := float64(len(s.Order))
	for k, at := range s.Elapsed() {
		d := float64(at - num.Angle(k)*s.Mean())
		sum += d
		squares += d * d
	}
	return num.Angle(math.Sqrt(math.Max(0, squares/n-sum*sum/(n*n))))
}
