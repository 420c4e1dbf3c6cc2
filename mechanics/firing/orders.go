package firing

import (
	"math"
	"slices"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// MaxEnumerated is the number of cylinders up to which Orders looks at every schedule one by one
// [1]. Definition: 2^19 schedules take some 0.05 s.
const MaxEnumerated = 20

// MaxListed is the most orders that Orders lists when no limit is given [1]. Definition: all
// schedules of 14 cylinders.
const MaxListed = 1 << 13

// EvenTolerance is how far the intervals of an even order may lie from their mean [rad].
// Definition: 0.01°, below what a crank grinder holds and above the rounding of typed angles.
const EvenTolerance = num.Angle(0.01 * math.Pi / 180)

// Options says what Orders lists.
type Options struct {
	// Limit is the most entries that are listed; 0: MaxListed.
	Limit int
	// Variants lists every schedule. Otherwise an order stands only once, in its most even
	// schedule, and cylinders fire together only where the crank leaves no choice: the schedules
	// that a firing order alone can name.
	Variants bool
}

// Ordering is one firing order with its measures.
type Ordering struct {
	Schedule
	Measures Measures
	ByOrder  bool // the firing order alone names this schedule; otherwise it takes firing angles
}

// OrderList is what Orders finds.
type OrderList struct {
	List      []Ordering // best first
	Schedules uint64     // all ways to spread the cylinders over the revolutions, 2^(N−1) for four-stroke
	Orders    int        // distinct firing orders; 0 where not counted
	Even      int        // how many of them fire evenly, to within EvenTolerance
	Complete  bool       // every schedule was looked at; false: only the most even one was computed
	Together  [][]int    // cylinders with one top dead centre, each group by index
}

// Orders finds all firing orders that a crank allows, best first.
//
// Best is: the most even (to within 1e-9 cycle² of Σ interval²); then the fewest successive
// firings of neighbours (next to each other along the crank in one bank); then the fewest in one
// bank; then the first by number. Up to MaxEnumerated cylinders every schedule is looked at.
// Beyond, an exact dynamic programme finds the best one alone, the last tie-break left open, and
// Even is counted in closed form.
//
//   - t: the crank train; its firing order and firing angles are not read
//   - tdc: crank angle of a top dead centre of each cylinder [rad], any revolution; length N
//   - opt: what to list
//
// Result [rad]: schedules that begin with cylinder 0 in the first revolution. A two-stroke engine
// has exactly one; Together lists its ties. Errors: layout.Problem for input that makes no sense.
// Definition.
func Orders(t *layout.Train, tdc []num.Angle, opt Options) (OrderList, error) {
	r, err := trainRing(t, tdc)
	if err != nil {
		return OrderList{}, err
	}
	near := newNear(t)
	n := len(tdc)
	out := OrderList{Schedules: 1, Together: r.groups()}
	if r.cycle == layout.FourStroke {
		out.Schedules = 1 << (n - 1)
	}
	if n > MaxEnumerated && r.cycle == layout.FourStroke {
		s := r.fromRevolutions(r.evenest(nil, near))
		out.Even = r.evenCount()
		out.List = []Ordering{{Schedule: s, Measures: near.measure(t, s), ByOrder: r.byOrder(s)}}
		return out, nil
	}
	l := r.enumerate(near, opt)
	out.Orders, out.Even, out.Complete = l.Orders, l.Even, true
	out.List = make([]Ordering, len(l.items))
	for i := range l.items {
		s := r.fromMask(l.items[i].mask)
		out.List[i] = Ordering{Schedule: s, Measures: near.measure(t, s), ByOrder: l.items[i].byOrder}
	}
	return out, nil
}

// trainRing checks that the top dead centres are those of the train.
func trainRing(t *layout.Train, tdc []num.Angle) (*ring, error) {
	if t == nil {
		return nil, layout.Problem{Where: "train", What: "there is none", Limit: "a crank train is needed"}
	}
	if len(t.Cylinders) != len(tdc) {
		return nil, layout.Problem{
			Where: "cylinders", What: "their number is not that of the top dead centres",
			Limit: "one top dead centre a cylinder is needed",
		}
	}
	return newRing(tdc, t.Cycle)
}

// succession tells what is bad about cylinder b firing directly after cylinder a.
type succession interface {
	adjacent(a, b int) bool // neighbours along the crank in one bank
	sameBank(a, b int) bool
}

// flat is an engine of which only the top dead centres are known.
type flat struct{}

func (flat) adjacent(_, _ int) bool { return false }
func (flat) sameBank(_, _ int) bool { return false }

// groups lists the cylinders that share a top dead centre.
func (r *ring) groups() [][]int {
	var out [][]int
	for same := range r.runs() {
		if len(same) > 1 {
			out = append(out, slices.Clone(same))
		}
	}
	return out
}

// byOrder says whether Assign finds this schedule from its firing order alone.
func (r *ring) byOrder(s Schedule) bool {
	if r.together(s) > r.fewestTogether() {
		return false
	}
	b, ok := r.assign(s.Order, nil)
	if !ok {
		return false
	}
	for k := range b.Intervals {
		if math.Abs(float64(b.Intervals[k]-s.Intervals[k])) > float64(Together) {
			return false
		}
	}
	return true
}

// evenCount returns how many orders fire evenly where the top dead centres allow any:
// 2^(N/2−1) for an even number of cylinders, because each of N/2 pairs with one top dead centre
// can fire either way round; one for an odd number.
func (r *ring) evenCount() int {
	if !newGrid(len(r.tdc), r.cycle).holds(r.tdc) {
		return 0
	}
	if n := len(r.tdc); r.cycle == layout.FourStroke && n%2 == 0 {
		return 1 << (n/2 - 1)
	}
	return 1
}
