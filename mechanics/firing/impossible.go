package firing

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// ImpossibleOrder says why a crank cannot fire in a given order, and in which orders it can.
type ImpossibleOrder struct {
	Order    []int // as given
	Cylinder int   // the cylinder that cannot fire
	After    int   // between this one
	Before   int   // and this one
	Together bool  // Cylinder and After share one top dead centre, and the order would have them fire at once
	Turns    int   // revolutions that the order needs
	Cycle    int   // revolutions that the cycle has

	Orders  int        // how many orders the crank can do, each counted once; 0 where unknown (more than MaxEnumerated cylinders)
	Even    int        // how many of them are even
	Closest []Schedule // possible orders with the most successions in common with the given one, best first
	Evenest []Schedule // the most even possible orders

	tdc   []string // top dead centres for the message [deg]
	Names []string // names of the cylinders by index; nil: index + 1
}

// Error returns the reason and the orders that are possible, angles in [deg]. Definition.
func (e *ImpossibleOrder) Error() string {
	name := func(c int) string { return nameOf(c, e.Names) }
	var b strings.Builder
	fmt.Fprintf(&b, "the crank cannot fire in the order %s: ", label(e.Order, e.Names))
	switch {
	case e.Together:
		fmt.Fprintf(&b, "cylinder %s cannot follow cylinder %s, because both reach top dead centre at %s°, so that they fire together or one revolution apart",
			name(e.Cylinder), name(e.After), e.tdc[e.Cylinder])
	default:
		fmt.Fprintf(&b, "cylinder %s (top dead centre at %s°) cannot fire between cylinders %s (%s°) and %s (%s°), because the order would then need %d revolutions and the cycle has %d",
			name(e.Cylinder), e.tdc[e.Cylinder], name(e.After), e.tdc[e.After], name(e.Before), e.tdc[e.Before], e.Turns, e.Cycle)
	}
	list := func(ss []Schedule) string {
		out := make([]string, len(ss))
		for i, s := range ss {
			out[i] = s.Label(e.Names)
		}
		return strings.Join(out, ", ")
	}
	switch {
	case e.Orders == 1:
		fmt.Fprintf(&b, "; this crank can do only %s", list(e.Evenest))
	case e.Orders > 1 && e.Orders == len(e.Evenest):
		fmt.Fprintf(&b, "; this crank can do %s (%d of %d even)", list(e.Evenest), e.Even, e.Orders)
	case e.Orders > 1:
		fmt.Fprintf(&b, "; this crank can do %d orders, %d of them even, the most even being %s, the closest %s",
			e.Orders, e.Even, list(e.Evenest), list(e.Closest))
	default:
		fmt.Fprintf(&b, "; the most even order that it can do is %s", list(e.Evenest))
	}
	return b.String()
}

// impossible explains why an order cannot be done.
func (r *ring) impossible(order []int) *ImpossibleOrder {
	e := &ImpossibleOrder{Order: slices.Clone(order), Cycle: r.turns(), tdc: make([]string, len(order))}
	for c, a := range r.tdc {
		e.tdc[c] = degrees(a)
	}
	e.Turns = r.winding(order)
	if e.Turns > r.turns() {
		k := r.culprit(order, e.Turns)
		n := len(order)
		e.After, e.Cylinder, e.Before = order[(k+n-1)%n], order[k], order[(k+1)%n]
	} else {
		e.blameTogether(r)
	}
	e.suggest(r)
	return e
}

// winding returns how many revolutions an order needs.
func (r *ring) winding(order []int) int {
	w := 0
	for k, a := range order {
		if b := order[(k+1)%len(order)]; r.tdc[b] < r.tdc[a] {
			w++
		}
	}
	return w
}

// culprit returns the place in the order of the cylinder whose removal helps most: it makes the
// order possible, or at least shorter by a revolution. Where there is none it is the first that
// comes too late.
func (r *ring) culprit(order []int, turns int) int {
	shorter := -1
	for k := 1; k < len(order); k++ {
		rest := slices.Delete(slices.Clone(order), k, k+1)
		w := r.winding(rest)
		if w <= r.turns() {
			return k
		}
		if w < turns && shorter < 0 {
			shorter = k
		}
	}
	if shorter >= 0 {
		return shorter
	}
	w := 0
	for k := 1; k < len(order); k++ {
		if r.tdc[order[k]] < r.tdc[order[k-1]] {
			w++
		}
		if w == r.turns() && r.tdc[order[k]] > r.tdc[order[0]] {
			return k
		}
	}
	return len(order) - 1
}

func (e *ImpossibleOrder) blameTogether(r *ring) {
	e.Together = true
	s, ok := r.assign(e.Order, nil)
	if !ok {
		return
	}
	for k, g := range s.Intervals {
		if g < Together {
			n := len(e.Order)
			e.After, e.Cylinder, e.Before = s.Order[k], s.Order[(k+1)%n], s.Order[(k+2)%n]
			return
		}
	}
}

// suggestions is how many orders a message names.
const suggestions = 3

func (e *ImpossibleOrder) suggest(r *ring) {
	if len(r.sorted) > MaxEnumerated {
		e.Evenest = []Schedule{r.fromRevolutions(r.evenest(nil, flat{}))}
		return
	}
	l := r.enumerate(flat{}, Options{Limit: 2048})
	e.Orders, e.Even = l.Orders, l.Even
	all := make([]Schedule, len(l.items))
	for i := range l.items {
		all[i] = r.fromMask(l.items[i].mask)
	}
	e.Evenest = all[:min(suggestions, len(all))]
	follows := make([]int, len(e.Order)) // who follows whom in the order that was asked for
	for k, c := range e.Order {
		follows[c] = e.Order[(k+1)%len(e.Order)]
	}
	kept := func(s Schedule) int {
		n := 0
		for k, c := range s.Order {
			if follows[c] == s.Order[(k+1)%len(s.Order)] {
				n++
			}
		}
		return n
	}
	closest := slices.Clone(all)
	slices.SortStableFunc(closest, func(a, b Schedule) int { return cmp.Compare(kept(b), kept(a)) })
	e.Closest = closest[:min(suggestions, len(closest))]
}
