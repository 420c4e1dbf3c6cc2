package firing

import (
	"fmt"
	"math"
	"strings"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Assign finds when each cylinder fires if the engine fires in a given order.
//
//	h_k = (tdc_{k+1} − tdc_k) mod 2π,  w = Σ h_k / 2π,  interval_k = h_k + 2π m_k,
//	Σ m_k = cycle/2π − w,  Σ interval_k² as small as possible
//
// with
//   - tdc: crank angle of a top dead centre of each cylinder [rad], any revolution; length N
//   - cycle: four-stroke or two-stroke
//   - order: cylinder indices in the sequence of firing, each once; length N
//
// Result [rad]: the schedule begins with order[0], in the first revolution; where the crank leaves
// a choice it is the most even one, and among equals the one whose long interval comes last.
// Accuracy: exact, rounding only.
//
// Errors: layout.Problem for input that makes no sense; *ImpossibleOrder where the crank cannot
// fire in this order, with the reason and the orders that it can. Two cylinders with one top dead
// centre can fire together, but an order that lets one directly follow the other is refused where
// the cycle could keep them apart; who wants them to fire together says so with FromAngles.
// Definition.
func Assign(tdc []num.Angle, cycle layout.Cycle, order []int) (Schedule, error) {
	r, err := newRing(tdc, cycle)
	if err != nil {
		return Schedule{}, err
	}
	if err := checkOrder(order, len(tdc)); err != nil {
		return Schedule{}, err
	}
	s, ok := r.assign(order, nil)
	if !ok || r.together(s) > r.fewestTogether() {
		return Schedule{}, r.impossible(order)
	}
	return s, nil
}

// assign finds the most even schedule of an order. Where fixed is not nil, fixed[c] ≥ 0 is the
// revolution in which cylinder c must fire. It accepts cylinders that fire together.
func (r *ring) assign(order []int, fixed []int) (Schedule, bool) {
	n := len(order)
	gaps := make([]num.Angle, n)
	sum := 0.0
	for k := range order {
		gaps[k] = r.ahead(order[k], order[(k+1)%n])
		sum += float64(gaps[k])
	}
	spare := r.turns() - int(math.Round(sum/float64(num.Turn)))
	if spare < 0 {
		return Schedule{}, false
	}
	c := choice{ring: r, order: order, gaps: gaps, fixed: fixed, best: math.Inf(1)}
	switch spare {
	case 0:
		c.try()
	case 1:
		for k, h := range gaps {
			gaps[k] = h + num.Turn
			c.try()
			gaps[k] = h
		}
	default: // 2: all top dead centres are one
		for k := range gaps {
			gaps[k] += num.Turn
			for j := k; j < n; j++ {
				gaps[j] += num.Turn
				c.try()
				gaps[j] -= num.Turn
			}
			gaps[k] -= num.Turn
		}
	}
	if c.found == nil {
		return Schedule{}, false
	}
	for k, m := range c.found {
		gaps[k] = r.ahead(order[k], order[(k+1)%n]) + num.Turn*num.Angle(m)
	}
	return r.schedule(append([]int(nil), order...), c.revolution, gaps), true
}

// choice looks for the best way to spread the spare revolutions over the intervals.
type choice struct {
	ring       *ring
	order      []int
	gaps       []num.Angle // the intervals under trial [rad]
	fixed      []int
	best       float64 // Σ interval² of the best so far [rad²]
	found      []int   // revolutions in each interval of the best so far
	revolution int     // in which its first cylinder fires
}

// sameSum is the relative difference of Σ interval² below which two schedules are equally even
// [1]: far above rounding (1e-15), far below what the tolerance of a crank does to it (1e-5).
const sameSum = 1e-10

func (c *choice) try() {
	sum := 0.0
	for _, g := range c.gaps {
		sum += float64(g) * float64(g)
	}
	if sum > c.best*(1+sameSum) {
		return
	}
	for revolution := range c.ring.turns() {
		if !c.fits(revolution) {
			continue
		}
		c.best, c.revolution = math.Min(sum, c.best), revolution
		c.found = c.found[:0]
		for _, g := range c.gaps {
			c.found = append(c.found, int(g/num.Turn))
		}
		return
	}
}

// fits says whether the intervals under trial keep the revolutions that are fixed.
func (c *choice) fits(revolution int) bool {
	if c.fixed == nil {
		return true
	}
	at := c.ring.tdc[c.order[0]] + num.Turn*num.Angle(revolution)
	for k, cyl := range c.order {
		if c.fixed[cyl] >= 0 && c.ring.revolution(cyl, at) != c.fixed[cyl] {
			return false
		}
		at += c.gaps[k]
	}
	return true
}

// together counts the intervals of zero length.
func (r *ring) together(s Schedule) int {
	count := 0
	for _, g := range s.Intervals {
		if g < Together {
			count++
		}
	}
	return count
}

// SnapLimit is how far a given firing angle may lie from a true top dead centre [rad]. Definition:
// 2°, enough for rounded angles. Where a train is known, its nominal top dead centres are accepted
// too: those of central cylinders with their rods on the crankpin, as people write them for offset
// cylinders and articulated rods.
const SnapLimit = num.Angle(math.Pi / 90)

// Misfit is one given firing angle that is no top dead centre.
type Misfit struct {
	Cylinder int         // index
	Given    num.Angle   // the angle that was given [rad]
	True     []num.Angle // the top dead centres at which the cylinder could fire [rad]
}

// Misfits says which given firing angles are no top dead centres of their cylinders.
type Misfits struct {
	List  []Misfit
	Names []string // names of the cylinders by index; nil: index + 1
}

// Error returns all misfits, one a line, angles in [deg]. Definition.
func (m *Misfits) Error() string {
	lines := make([]string, len(m.List))
	for i, f := range m.List {
		angles := make([]string, len(f.True))
		for k, a := range f.True {
			angles[k] = degrees(a)
		}
		lines[i] = fmt.Sprintf("cylinder %s cannot fire at %s°: its top dead centres are at %s°",
			nameOf(f.Cylinder, m.Names), degrees(f.Given), strings.Join(angles, " and "))
	}
	return strings.Join(lines, "\n")
}

// FromAngles finds the schedule of cylinders whose firing angles are given.
//
//   - tdc: crank angle of a top dead centre of each cylinder [rad], any revolution; length N
//   - cycle: four-stroke or two-stroke
//   - at: crank angle at which each cylinder is said to fire [rad], any cycle; length N
//
// Result [rad]: the schedule begins with cylinder 0 and has the true top dead centres nearest to
// the given angles. Errors: layout.Problem for input that makes no sense; *Misfits where an angle is
// more than SnapLimit from every top dead centre of its cylinder. Definition.
func FromAngles(tdc []num.Angle, cycle layout.Cycle, at []num.Angle) (Schedule, error) {
	r, err := newRing(tdc, cycle)
	if err != nil {
		return Schedule{}, err
	}
	if len(at) != len(tdc) {
		return Schedule{}, layout.Problem{
			Where: "fires_at", What: fmt.Sprintf("there are %d angles", len(at)),
			Limit: fmt.Sprintf("one for each of the %d cylinders is needed", len(tdc)),
		}
	}
	given := make([]bool, len(at))
	for i := range given {
		given[i] = true
	}
	fixed, err := r.snap(at, given)
	if err != nil {
		return Schedule{}, err
	}
	return r.fromRevolutions(fixed), nil
}

// snap returns the revolution in which each cylinder with a given angle fires, −1 for the others.
func (r *ring) snap(at []num.Angle, given []bool) ([]int, error) {
	fixed := make([]int, len(at))
	var m Misfits
	for c, a := range at {
		if fixed[c] = -1; !given[c] {
			continue
		}
		if err := finite(fmt.Sprintf("cylinders[%d].fires_at", c), a); err != nil {
			return nil, err
		}
		fixed[c] = r.revolution(c, a)
		off := math.Remainder(float64(a-r.tdc[c]), float64(num.Turn))
		if math.Abs(off) > float64(SnapLimit+Together) {
			f := Misfit{Cylinder: c, Given: a}
			for k := range r.turns() {
				f.True = append(f.True, r.tdc[c]+num.Turn*num.Angle(k))
			}
			m.List = append(m.List, f)
		}
	}
	if m.List != nil {
		return nil, &m
	}
	return fixed, nil
}

// fromRevolutions builds the schedule in which cylinder c fires in revolution rev[c], beginning
// with cylinder 0.
func (r *ring) fromRevolutions(rev []int) Schedule {
	n := len(r.sorted)
	order := make([]int, 0, 2*n)
	for k := range r.turns() {
		for _, c := range r.sorted {
			if rev[c] == k {
				order = append(order, c)
			}
		}
	}
	start := 0
	for order[start] != 0 {
		start++
	}
	order = append(order[start:], order[:start]...)[:n:n]
	return r.schedule(order, rev[0], r.intervals(order, rev))
}

// intervals returns the intervals of cylinders that stand in the cyclic sequence of their firings.
func (r *ring) intervals(order, rev []int) []num.Angle {
	n := len(order)
	gaps := make([]num.Angle, n)
	for k, a := range order {
		b := order[(k+1)%n]
		g := r.tdc[b] - r.tdc[a] + num.Turn*num.Angle(rev[b]-rev[a])
		if k == n-1 && g <= 0 || g < 0 {
			g += r.cycle.Period()
		}
		gaps[k] = g
	}
	return gaps
}

// degrees writes an angle in degrees for people.
func degrees(a num.Angle) string { return fmt.Sprintf("%.6g", math.Round(a.Deg()*1e6)/1e6+0) }
