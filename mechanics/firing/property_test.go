package firing

import (
	"cmp"
	"errors"
	"math"
	"slices"
	"testing"

	"crankwright/mechanics/layout"
	"crankwright/num"

	"pgregory.net/rapid"
)

// someTrain draws an engine with random banks, throws and places, and its top dead centres: some
// on a coarse grid, so that cylinders share them, some anywhere.
func someTrain(rt *rapid.T, most int) (*layout.Train, []num.Angle) {
	n := rapid.IntRange(1, most).Draw(rt, "n")
	t := &layout.Train{Cycle: layout.Cycle(rapid.IntRange(0, 1).Draw(rt, "cycle"))}
	step := rapid.SampledFrom([]float64{15, 30, 45, 60, 72, 90, 120, 360.0 / 7, 0}).Draw(rt, "step")
	tdc := make([]num.Angle, n)
	for c := range n {
		t.Cylinders = append(t.Cylinders, layout.Cylinder{Bank: rapid.IntRange(0, 1).Draw(rt, "bank"), Throw: c, At: float64(c)})
		t.Throws = append(t.Throws, layout.Throw{Pair: c})
		if step > 0 {
			tdc[c] = num.Degrees(step * float64(rapid.IntRange(0, 30).Draw(rt, "k")))
		} else {
			// Steps of 0.01 rad, because Orders takes schedules as equally even when their sums of
			// squares differ by less than 1e-9 of the cycle's.
			tdc[c] = num.Angle(rapid.IntRange(0, 628).Draw(rt, "tdc")) / 100
		}
	}
	return t, tdc
}

func evennesses(l OrderList) []float64 {
	var out []float64
	for _, o := range l.List {
		out = append(out, math.Round(o.Measures.Evenness*1e7))
	}
	slices.Sort(out)
	return out
}

func sorted(as []num.Angle) []float64 {
	out := degs(as)
	slices.SortFunc(out, cmp.Compare)
	return out
}

// What holds for every list of orders.
func TestOrdersProperties(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		train, tdc := someTrain(rt, 8)
		l, err := Orders(train, tdc, Options{Variants: true})
		if err != nil {
			rt.Fatal(err)
		}
		if len(l.List) != int(l.Schedules) {
			rt.Fatalf("%d schedules listed of %d", len(l.List), l.Schedules)
		}
		byOrder := 0
		seen := map[string]bool{}
		for i, o := range l.List {
			sum := num.Angle(0)
			for k, g := range o.Intervals {
				if g < 0 {
					rt.Fatalf("interval %v", g)
				}
				sum += g
				c := o.Order[k]
				if off := math.Remainder(float64(o.At[k]-tdc[c]), 2*math.Pi); math.Abs(off) > 2e-9 {
					rt.Fatalf("cylinder %d fires %g rad off its top dead centre", c, off)
				}
				next := (o.At[k] + g - o.At[(k+1)%len(o.At)]).Wrap(train.Cycle.Period())
				if math.Abs(math.Remainder(float64(next), float64(train.Cycle.Period()))) > 1e-8 {
					rt.Fatalf("interval %d is %v, the angles are %v", k, g, o.At)
				}
			}
			if math.Abs(float64(sum-train.Cycle.Period())) > 1e-9 {
				rt.Fatalf("intervals sum to %v", sum.Deg())
			}
			if i > 0 && l.List[i-1].Measures.Evenness < o.Measures.Evenness-2e-8 {
				rt.Fatal("not sorted by evenness")
			}
			again, err := FromAngles(tdc, train.Cycle, anglesOf(o.Schedule))
			if err != nil || !closeTo(degs(again.At), degs(o.At)) || !slices.Equal(again.Order, o.Order) {
				rt.Fatalf("FromAngles gives %v %v, %v", again, o.Schedule, err)
			}
			s, err := Assign(tdc, train.Cycle, o.Order)
			if o.ByOrder {
				byOrder++
				if seen[o.Label(nil)] {
					rt.Fatalf("%s stands twice", o.Label(nil))
				}
				seen[o.Label(nil)] = true
				if err != nil || !closeTo(degs(s.At), degs(o.At)) {
					rt.Fatalf("Assign(%s) gives %v, %v; want %v", o.Label(nil), degs(s.At), err, degs(o.At))
				}
			}
			if err == nil && s.Evenness() > l.List[0].Measures.Evenness+2e-8 {
				rt.Fatal("Assign is better than the best")
			}
		}
		if byOrder != l.Orders {
			rt.Fatalf("%d by order, %d counted", byOrder, l.Orders)
		}
		short, err := Orders(train, tdc, Options{})
		if err != nil || len(short.List) != l.Orders || short.Orders != l.Orders {
			rt.Fatalf("%d orders listed of %d", len(short.List), l.Orders)
		}
		if want := newRingFor(rt, tdc, train.Cycle).evenCount(); want != l.Even {
			rt.Fatalf("%d even, closed form %d", l.Even, want)
		}
		if math.Abs(short.List[0].Measures.Evenness-l.List[0].Measures.Evenness) > 2e-8 {
			rt.Fatal("the most even schedule needs no firing angles")
		}
	})
}

func anglesOf(s Schedule) []num.Angle {
	out := make([]num.Angle, len(s.Order))
	for k, c := range s.Order {
		out[c] = s.At[k]
	}
	return out
}

func newRingFor(rt *rapid.T, tdc []num.Angle, cycle layout.Cycle) *ring {
	r, err := newRing(tdc, cycle)
	if err != nil {
		rt.Fatal(err)
	}
	return r
}

// Every order, tried one by one by its definition: fire each cylinder at its next top dead centre
// and see whether the cycle suffices.
func TestOrdersAgainstPermutations(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(rt, "n")
		tdc := make([]num.Angle, n)
		for c := range tdc { // all different
			tdc[c] = num.Angle(float64(c) + rapid.Float64Range(0, 0.9).Draw(rt, "tdc"))
		}
		perm := rapid.Permutation(tdc).Draw(rt, "perm")
		possible := 0
		rest := make([]int, 0, n)
		for c := 1; c < n; c++ {
			rest = append(rest, c)
		}
		permute(rest, func(p []int) {
			at, total := perm[0], num.Angle(0)
			for _, c := range append(slices.Clone(p), 0) {
				h := (perm[c] - at).Wrap(num.Turn)
				total += h
				at = perm[c]
			}
			ok := total <= 2*num.Turn+1e-9
			if ok {
				possible++
			}
			order := append([]int{0}, p...)
			_, err := Assign(perm, layout.FourStroke, order)
			var e *ImpossibleOrder
			if ok != (err == nil) || !ok && !errors.As(err, &e) {
				rt.Fatalf("order %v of %v: possible %v, error %v", order, perm, ok, err)
			}
		})
		l := newRingFor(rt, perm, layout.FourStroke).enumerate(flat{}, Options{})
		// All top dead centres differ: the one order of a single revolution has N variants, every
		// other order has one.
		if want := 1<<(n-1) - n + 1; l.Orders != possible || l.Orders != want {
			rt.Fatalf("%d orders, %d by permutation, %d in closed form", l.Orders, possible, want)
		}
	})
}

func permute(list []int, visit func([]int)) {
	var rec func(k int)
	rec = func(k int) {
		if k == len(list) {
			visit(list)
			return
		}
		for i := k; i < len(list); i++ {
			list[k], list[i] = list[i], list[k]
			rec(k + 1)
			list[k], list[i] = list[i], list[k]
		}
	}
	rec(0)
}

// The dynamic programme finds what the enumeration finds, tie-breaks included.
func TestEvenestAgainstEnumeration(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		train, tdc := someTrain(rt, 10)
		r := newRingFor(rt, tdc, train.Cycle)
		q := newNear(train)
		best := r.enumerate(q, Options{Variants: true, Limit: 1}).items[0]
		s := r.fromRevolutions(r.evenest(nil, q))
		want := q.measure(train, r.fromMask(best.mask))
		got := q.measure(train, s)
		if math.Abs(got.Evenness-want.Evenness) > 2e-8 || len(got.Neighbours) != len(want.Neighbours) || got.SameBank != want.SameBank {
			rt.Fatalf("programme %v %d %d, enumeration %v %d %d", got.Evenness, len(got.Neighbours), got.SameBank,
				want.Evenness, len(want.Neighbours), want.SameBank)
		}
		fixed := make([]int, len(tdc))
		for c := range fixed {
			if fixed[c] = rapid.IntRange(-1, 1).Draw(rt, "fixed"); train.Cycle == layout.TwoStroke {
				fixed[c] = min(fixed[c], 0)
			}
		}
		rev := r.evenest(fixed, q)
		bestEven := 0.0
		for mask := range uint32(1 << len(tdc)) {
			revs := make([]int, len(tdc))
			ok := true
			for c := range revs {
				if train.Cycle == layout.FourStroke {
					revs[c] = int(mask >> c & 1)
				}
				ok = ok && (fixed[c] < 0 || fixed[c] == revs[c])
			}
			if ok {
				bestEven = max(bestEven, r.fromRevolutions(revs).Evenness())
			}
			if train.Cycle == layout.TwoStroke {
				break
			}
		}
		for c := range fixed {
			if fixed[c] >= 0 && rev[c] != fixed[c] {
				rt.Fatalf("fixed %v, found %v", fixed, rev)
			}
		}
		if e := r.fromRevolutions(rev).Evenness(); math.Abs(e-bestEven) > 1e-9 {
			rt.Fatalf("fixed: programme %v, enumeration %v", e, bestEven)
		}
	})
}

// A shift of the crank's origin leaves the intervals; a mirrored engine fires in the mirrored
// order; renumbering changes nothing but the numbers.
func TestSymmetries(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		train, tdc := someTrain(rt, 7)
		n := len(tdc)
		base, err := Orders(train, tdc, Options{Variants: true})
		if err != nil {
			rt.Fatal(err)
		}
		shift := num.Angle(rapid.Float64Range(-10, 10).Draw(rt, "shift"))
		moved, mirrored := make([]num.Angle, n), make([]num.Angle, n)
		perm := rapid.Permutation(index(n)).Draw(rt, "perm")
		renumbered := make([]num.Angle, n)
		other := *train
		other.Cylinders = make([]layout.Cylinder, n)
		for c := range tdc {
			moved[c], mirrored[c] = tdc[c]+shift, -tdc[c]
			renumbered[perm[c]] = tdc[c]
			other.Cylinders[perm[c]] = train.Cylinders[c]
		}
		for _, v := range []struct {
			name  string
			train *layout.Train
			tdc   []num.Angle
		}{{"shift", train, moved}, {"mirror", train, mirrored}, {"renumber", &other, renumbered}} {
			l, err := Orders(v.train, v.tdc, Options{Variants: true})
			if err != nil || !slices.Equal(evennesses(l), evennesses(base)) || l.Orders != base.Orders && !hasTies(base) || l.Even != base.Even {
				rt.Fatalf("%s: %d orders, %d even, best %v; before %d, %d, %v", v.name, l.Orders, l.Even, evennesses(l), base.Orders, base.Even, evennesses(base))
			}
		}
		for _, o := range base.List {
			at := anglesOf(o.Schedule)
			back := make([]num.Angle, n)
			forth := make([]num.Angle, n)
			for c := range at {
				back[c], forth[c] = -at[c], at[c]+shift
			}
			s, err := FromAngles(mirrored, train.Cycle, back)
			if err != nil || !closeTo(sorted(s.Intervals), sorted(o.Intervals)) {
				rt.Fatalf("mirror: %v, %v; %v", degs(s.Intervals), degs(o.Intervals), err)
			}
			reversed := slices.Clone(degs(o.Intervals))
			slices.Reverse(reversed)
			if !turned(degs(s.Intervals), reversed) {
				rt.Fatalf("mirror: %v, want %v turned", degs(s.Intervals), reversed)
			}
			s, err = FromAngles(moved, train.Cycle, forth)
			if err != nil || !turned(degs(s.Intervals), degs(o.Intervals)) {
				rt.Fatalf("shift: %v, %v; %v", degs(s.Intervals), degs(o.Intervals), err)
			}
		}
	})
}

func hasTies(l OrderList) bool { return l.Together != nil }

func index(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}

// Each change that the even-firing test proposes works, and turning fewer throws never does.
func TestEvenFiringProperties(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		train, tdc := someTrain(rt, 6)
		e, err := EvenFiring(train, tdc)
		if err != nil {
			rt.Fatal(err)
		}
		if e.Even {
			return
		}
		n := len(tdc)
		if e.Turn == nil || !e.Turn.Exact || len(e.Turn.Turns) >= n {
			rt.Fatalf("turn %+v", e.Turn)
		}
		g := newGrid(n, train.Cycle)
		changed := slices.Clone(tdc)
		for _, u := range e.Turn.Turns {
			changed[u.Throw] -= u.By
		}
		if !g.holds(changed) {
			rt.Fatalf("%v turned by %v is not even", degs(tdc), e.Turn.Turns)
		}
		if kept := mostKept(tdc, g); len(e.Turn.Turns) != n-kept {
			rt.Fatalf("%d throws turned, %d could stay of %d", len(e.Turn.Turns), kept, n)
		}
		for _, s := range e.Splits {
			changed := slices.Clone(tdc)
			for c := range changed {
				changed[c] += s.Change[slices.Index(s.Banks, train.Cylinders[c].Bank)]
			}
			if !g.holds(changed) {
				rt.Fatalf("%v split by %v is not even", degs(tdc), s.Change)
			}
		}
	})
}

// mostKept counts, for the best place of the grid, the cylinders that already stand right.
func mostKept(tdc []num.Angle, g grid) int {
	most := 0
	for _, anchor := range tdc {
		used := make([]int, g.slots)
		kept := 0
		for _, a := range tdc {
			if k, off := g.slot((a - anchor).Wrap(num.Turn)); math.Abs(float64(off)) < float64(EvenTolerance) && used[k] < g.capacity {
				used[k]++
				kept++
			}
		}
		most = max(most, kept)
	}
	return most
}
