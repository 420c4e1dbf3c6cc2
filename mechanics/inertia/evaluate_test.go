package inertia

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// anyTrain draws a train: banks, throws on angles of a grid or between them, up to three kinds of cylinders, among them offset
// and linked ones, counterweights, balance shafts, either sense of rotation.
func anyTrain(rt *rapid.T) *layout.Train {
	number := func(lo, hi float64, name string) float64 { // no dust
		return math.Round(1e9*rapid.Float64Range(lo, hi).Draw(rt, name)) / 1e9
	}
	step := rapid.SampledFrom([]float64{180, 90, 120, 72, 60, 45, 30, 7, 1, 0.5, 0.3}).Draw(rt, "step")
	angle := func(name string) num.Angle { return num.Degrees(step * float64(rapid.IntRange(-8, 8).Draw(rt, name))) }
	t := &layout.Train{
		Name: "any", Bore: 0.08, Reference: number(-0.2, 0.2, "reference"),
		Rotation: rapid.SampledFrom([]layout.Rotation{layout.Anticlockwise, layout.Clockwise}).Draw(rt, "rotation"),
	}
	kinds := make([]layout.Cylinder, rapid.SampledFrom([]int{1, 1, 1, 2, 3}).Draw(rt, "kinds"))
	for i := range kinds {
		kinds[i] = layout.Cylinder{
			Piston: layout.Piston{Mass: number(0, 1, "piston")},
			Rod:    layout.Rod{Length: number(0.13, 0.2, "rod"), Mass: number(0, 1, "mass"), CG: number(0, 0.1, "cg"), Inertia: number(0, 0.004, "inertia")},
		}
		if rapid.Bool().Draw(rt, "beside") {
			kinds[i].Offset = number(-0.01, 0.01, "offset")
		}
	}
	banks := make([]num.Angle, rapid.IntRange(1, 3).Draw(rt, "banks"))
	for i := range banks[1:] {
		banks[1+i] = angle("bank")
	}
	for i := range rapid.IntRange(1, 6).Draw(rt, "throws") {
		at := rapid.SampledFrom([]float64{-0.15, -0.05, 0.05, 0.15, 0.02 * float64(i)}).Draw(rt, "at")
		t.Throws = append(t.Throws, layout.Throw{
			Name: fmt.Sprint("T", i), At: at, Angle: angle("throw"), Radius: 0.04, Pair: i,
			Unbalance: rapid.SampledFrom([]float64{0, 0.01}).Draw(rt, "unbalance"),
		})
		master := len(t.Cylinders)
		for j, bank := range banks {
			c := kinds[rapid.IntRange(0, len(kinds)-1).Draw(rt, "kind")]
			c.Name, c.Throw, c.At, c.Axis = fmt.Sprint(len(t.Cylinders)+1), i, at, bank
			if j > 0 && rapid.IntRange(0, 5).Draw(rt, "linked") == 0 {
				c.Rod.Linked, c.Rod.Master, c.Rod.KnuckleRadius, c.Rod.KnuckleAngle = true, master, 0.03, c.Axis-t.Cylinders[master].Axis
			}
			t.Cylinders = append(t.Cylinders, c)
		}
	}
	for range rapid.IntRange(0, 2).Draw(rt, "counterweights") {
		t.Counterweights = append(t.Counterweights, layout.Unbalance{At: number(-0.2, 0.2, "at"), Angle: angle("heavy"), Amount: number(0, 0.02, "amount")})
	}
	for range max(0, rapid.IntRange(-4, 2).Draw(rt, "shafts")) {
		t.Shafts = append(t.Shafts, layout.Shaft{
			SpeedRatio: rapid.SampledFrom([]float64{-2, -1, -0.5, 0.5, 1, 1.5, 2}).Draw(rt, "ratio"), Y: 0.1, Z: 0.05,
			Masses: []layout.Unbalance{{At: number(-0.2, 0.2, "at"), Angle: angle("heavy"), Amount: number(0, 0.02, "amount")}},
		})
	}
	return t
}

// Definition: a curve is the sum of its orders, whichever way it is found.
func TestEvaluateIsSolveAndCurves(t *testing.T) {
	e := newEvaluations()
	rapid.Check(t, e.check)
	t.Logf("%d trains shifted, at most %.1e apart", e.shifted, e.apart)
	if e.shifted == 0 {
		t.Error("no train's curves were shifted")
	}
}

func FuzzEvaluate(f *testing.F) { f.Fuzz(rapid.MakeFuzz(newEvaluations().check)) }

// evaluations holds what Evaluate finds against Solve and Curves, by a new solver and by one that has solved other trains.
type evaluations struct {
	used    Solver
	grids   map[int]*num.Grid
	shifted int     // trains of which the curves were shifted
	apart   float64 // the largest deviation, as a share of what it would be if nothing cancelled [1]
}

func newEvaluations() *evaluations {
	e := &evaluations{grids: map[int]*num.Grid{}}
	for _, n := range []int{720, 712, 728, 1000, 1440} {
		e.grids[n] = num.NewGrid(n)
	}
	return e
}

func (e *evaluations) check(rt *rapid.T) {
	train := anyTrain(rt)
	grid := e.grids[rapid.SampledFrom([]int{720, 720, 720, 712, 728, 1000, 1440}).Draw(rt, "angles")]
	opt, ω := Options{TwoMass: rapid.Bool().Draw(rt, "two masses")}, 600.0
	var plain, s Solver
	b, err := plain.Solve(nil, train, opt)
	if err != nil || len(b.Torque) > grid.Len() {
		rt.Skip("a rod that does not reach")
	}
	want := plain.Curves(nil, b, grid, ω)
	var gross [4]float64
	for _, d := range plain.groups {
		for _, q := range d.at {
			force := ω * ω * (q.size.with + q.size.against)
			for i, g := range [4]float64{force * d.magnitude[0], force * d.magnitude[2], ω * ω * q.size.torque * d.magnitude[0], ω * ω * q.size.roll * d.magnitude[0]} {
				gross[i] += g
			}
		}
	}
	for _, w := range plain.weight {
		for q, g := range [4]float64{w.with + w.against, w.momentWith + w.momentAgainst, w.torque, w.roll} {
			gross[q] += g * ω * ω
		}
	}

	var solved, again Balance
	var got, later Curves
	if err := s.Evaluate(&solved, &got, train, opt, grid, ω); err != nil {
		rt.Fatal(err)
	}
	if s.shift(grid) {
		e.shifted++
	}
	if err := e.used.Evaluate(&again, &later, train, opt, grid, ω); err != nil {
		rt.Fatal(err)
	}
	sameBalance(rt, &solved, b)
	sameBalance(rt, &again, b)
	for q := range curves {
		ours, theirs := *got.at(q), *want.at(q)
		if !slices.Equal(ours, *later.at(q)) {
			rt.Fatalf("curve %d is another one after other trains", q)
		}
		rests := !slices.ContainsFunc(theirs, func(v float64) bool { return v != 0 })
		for j, v := range theirs {
			gap := math.Abs(v - ours[j])
			if rests && gap != 0 || gap > 1e-13*gross[q.quantity()] {
				rt.Fatalf("curve %d: %g at %d, by orders %g, of %g", q, ours[j], j, v, gross[q.quantity()])
			}
			if gap > 0 {
				e.apart = max(e.apart, gap/gross[q.quantity()])
			}
		}
	}
}

func sameBalance(t *rapid.T, a, b *Balance) {
	t.Helper()
	for _, pair := range [][2][]complex128{
		{a.Force.With, b.Force.With},
		{a.Force.Against, b.Force.Against},
		{a.Moment.With, b.Moment.With},
		{a.Moment.Against, b.Moment.Against},
		{a.Torque, b.Torque},
		{a.Roll, b.Roll},
	} {
		if !slices.Equal(pair[0], pair[1]) {
			t.Fatalf("another balance: %v, %v", pair[0], pair[1])
		}
	}
}

func benchmarkEvaluate(b *testing.B, t *layout.Train, fresh bool) {
	b.Helper()
	var s Solver
	grid := num.NewGrid(720)
	var bal Balance
	var c Curves
	b.ReportAllocs()
	for b.Loop() {
		if fresh {
			s.forgetKinds()
		}
		if err := s.Evaluate(&bal, &c, t, Options{}, grid, 600); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFlatFourEvaluate(b *testing.B) { benchmarkEvaluate(b, flatFour(), false) }

func BenchmarkFlatFourEvaluateNewKind(b *testing.B) { benchmarkEvaluate(b, flatFour(), true) }

func BenchmarkCrossFourEvaluate(b *testing.B) { benchmarkEvaluate(b, crossFour(), false) }

func BenchmarkCrossFourEvaluateNewKind(b *testing.B) { benchmarkEvaluate(b, crossFour(), true) }

func BenchmarkCrossFourOrdersAnd720AngleCurvesNewKind(b *testing.B) {
	benchmarkCurves(b, crossFour(), true)
}

// Definition: lanes are another way to the same bits.
func TestInLineGivesTheSameBits(t *testing.T) {
	if !num.Wide() {
		t.Skip("this processor has no lanes")
	}
	rapid.Check(t, func(rt *rapid.T) {
		train := anyTrain(rt)
		train.Shafts = nil
		axis := num.Degrees(rapid.SampledFrom([]float64{0, 90, 180}).Draw(rt, "axis"))
		for i := range train.Cylinders {
			c := &train.Cylinders[i]
			c.Axis, c.Offset, c.Rod.Linked = axis, 0, false
		}
		var s Solver
		var b Balance
		if _, err := s.Solve(&b, train, Options{}); err != nil {
			rt.Fatal(err)
		}
		for parity := range 2 {
			s.setParts(parity)
			if len(s.parts) == 0 {
				continue
			}
			var left [2][2][4]int64
			var found [2]Balance
			for way := range found {
				found[way].reset(len(b.Torque)-1, 0)
				s.setInLine(&found[way], 2+parity)
				if way == 0 {
					addFour(&s.inline)
				} else {
					s.inline.plain(&found[way])
				}
				left[way] = s.inline.left
				for i := range left[way] {
					left[way][i][1], left[way][i][3] = 0, 0 // the same again, or nothing
				}
			}
			sameBalance(rt, &found[0], &found[1])
			if left[0] != left[1] {
				rt.Fatalf("%v are left, one by one %v", left[0], left[1])
			}
		}
	})
}
