package balance

import (
	"fmt"
	"math"
	"math/cmplx"
	"strings"
	"testing"

	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
	"crankwright/num"

	"pgregory.net/rapid"
)

// equalCrank returns a train of equal cylinders on the pins [deg], one cylinder on each pin for every axis [deg].
func equalCrank(pins, axes []float64) *layout.Train {
	t := &layout.Train{Name: "test", Bore: 0.08}
	for i, p := range pins {
		x := 0.1 * (float64(i) - float64(len(pins)-1)/2)
		t.Throws = append(t.Throws, layout.Throw{Name: fmt.Sprint("T", i+1), At: x, Angle: num.Degrees(p), Radius: 0.04, Pair: i, Unbalance: 0.01})
		for b, a := range axes {
			if i == 0 {
				t.Banks = append(t.Banks, layout.Bank{Name: string(rune('A' + b)), Axis: num.Degrees(a)})
			}
			t.Cylinders = append(t.Cylinders, layout.Cylinder{
				Name: fmt.Sprint(len(t.Cylinders) + 1), Throw: i, Bank: b, At: x, Axis: num.Degrees(a),
				Piston: layout.Piston{Mass: 0.35},
				Rod:    layout.Rod{Length: 0.14, Mass: 0.5, CG: 0.042, Inertia: 0.0015},
			})
		}
	}
	return t
}

func card(t *testing.T, e *layout.Train, k float64) *Card {
	t.Helper()
	c, err := BobweightCard(e, FileParts(e), k)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestBobweightsOfCommonCranks(t *testing.T) {
	for _, c := range []struct {
		name       string
		pins, axes []float64
		needless   bool
		against    bool // something turns against the crank
		words      string
	}{
		{"single", []float64{0}, []float64{0}, false, true, "more up and down, more makes it shake more from side to side"},
		{"360 twin", []float64{0, 0}, []float64{0}, false, true, "choice of direction"},
		{"flat four", []float64{0, 180, 180, 0}, []float64{0}, true, false, "Nothing of the first order is left"},
		{"in-line six", []float64{0, 120, 240, 240, 120, 0}, []float64{0}, true, false, "none is needed"},
		{"vee twin 90", []float64{0}, []float64{-45, 45}, false, false, "50 % leaves none of it"},
		{"vee twin 60", []float64{0}, []float64{-30, 30}, false, true, "50 % of what 50 % takes"},
		{"vee eight 90 cross", []float64{0, 90, 270, 180}, []float64{-45, 45}, false, false, "50 % leaves none of it"},
		{"vee six 90 shared", []float64{0, 240, 120}, []float64{-45, 45}, false, false, "kg mm² of moment"},
		{"vee twelve 60", []float64{0, 120, 240, 240, 120, 0}, []float64{-30, 30}, true, false, "cancel each other"},
	} {
		got := card(t, equalCrank(c.pins, c.axes), 0.5)
		if got.Needless() != c.needless {
			t.Errorf("%s: needless %v", c.name, got.Needless())
		}
		if against := got.Left.Against != 0 || got.Left.MomentAgainst != 0; against != c.against {
			t.Errorf("%s: against the crank %v", c.name, got.Left)
		}
		if got.Left.With != 0 || got.Left.MomentWith != 0 {
			t.Errorf("%s: 50 %% leaves %v", c.name, got.Left)
		}
		if words := strings.Join(got.Words(), " "); !strings.Contains(words, c.words) {
			t.Errorf("%s: %s", c.name, words)
		}
	}
}

func TestBackwardRestOfASharedPinVee(t *testing.T) {
	for _, v := range []float64{30, 45, 60, 72, 90, 120, 180} {
		c := card(t, equalCrank([]float64{0}, []float64{-v / 2, v / 2}), 0.5)
		if got, want := ratio(c.Left.Against, c.Sliding.With), math.Abs(math.Cos(v*math.Pi/180)); math.Abs(got-want) > 1e-9 {
			t.Errorf("%g°: %g, want |cos V| = %g", v, got, want)
		}
	}
}

func TestWeighedPartsAddUp(t *testing.T) {
	e := equalCrank([]float64{0, 90, 270, 180}, []float64{-45, 45})
	parts := []Part{
		{"big end", 0.35, 1, Rotating, 0},
		{"shell", 0.02, 2, Rotating, 0},
		{"oil", 0.005, 1, Rotating, 0},
		{"small end", 0.15, 1, Reciprocating, 0},
		{"piston", 0.3, 1, Reciprocating, 0},
		{"lock", 0.001, 2, Reciprocating, 0},
		{"sensor target", 0.1, 1, Reciprocating, 3},
	}
	c, err := BobweightCard(e, parts, 0.52)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := c.Bobs[0].Mass, 2*(0.395+0.52*0.452); math.Abs(got-want) > 1e-12 {
		t.Errorf("%g kg, want %g", got, want)
	}
	if got, want := c.Bobs[1].Mass, 2*0.395+0.52*(2*0.452+0.1); math.Abs(got-want) > 1e-12 {
		t.Errorf("%g kg, want %g", got, want)
	}
}

// Any crank: 50 % takes all that turns with the crank; k leaves (½ − k) of the sliding masses; what turns
// against the crank does not depend on k; a clockwise copy has the same card.
func TestBobweightIdentity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pins := rapid.SliceOfN(rapid.Float64Range(0, 360), 1, 5).Draw(t, "pins")
		axes := rapid.SliceOfNDistinct(rapid.Float64Range(-90, 90), 1, 3, func(v float64) int { return int(v) }).Draw(t, "axes")
		k := rapid.Float64Range(0, 1).Draw(t, "k")
		e := equalCrank(pins, axes)
		e.Bore = 0 // banks may overlap: the identity does not care
		c, err := BobweightCard(e, FileParts(e), k)
		if err != nil {
			t.Fatal(err)
		}
		near := func(a, b complex128, scale float64) bool { return cmplx.Abs(a-b) <= 2e-9*scale }
		if c.AtHalf.With != 0 || c.AtHalf.MomentWith != 0 {
			t.Fatalf("50 %% leaves %v", c.AtHalf)
		}
		want := complex(1-2*k, 0)
		if !near(c.Left.With, want*c.Sliding.With, c.force) || !near(c.Left.MomentWith, want*c.Sliding.MomentWith, c.moment+c.force) {
			t.Fatalf("left %v, want %v of %v", c.Left, want, c.Sliding)
		}
		if !near(c.Left.Against, c.AtHalf.Against, c.force) {
			t.Fatalf("against the crank %v, %v", c.Left, c.AtHalf)
		}
		other := *e
		other.Rotation = layout.Clockwise
		mirrored, err := BobweightCard(&other, FileParts(&other), k)
		if err != nil || mirrored.Left != c.Left || mirrored.Bobs[0].Mass != c.Bobs[0].Mass {
			t.Fatalf("clockwise %v %v", mirrored, err)
		}
		for _, w := range c.Words() {
			if strings.Contains(w, "NaN") || strings.Contains(w, "Inf") {
				t.Fatal(w)
			}
		}
	})
}

// The engine itself, its crank balanced with the bobweights of its own masses, shakes as the card says.
func TestCardAgreesWithTheEngine(t *testing.T) {
	e := equalCrank([]float64{0, 90}, []float64{-30, 30})
	for i := range e.Cylinders {
		e.Cylinders[i].Offset = 0.004
	}
	c := card(t, e, 0.6)
	if c.AtHalf.With == 0 {
		t.Error("an offset leaves nothing at 50 %")
	}
	if least := card(t, e, c.Best); cmplx.Abs(least.Left.With) > cmplx.Abs(card(t, e, c.Best+0.01).Left.With) ||
		cmplx.Abs(least.Left.With) > cmplx.Abs(card(t, e, c.Best-0.01).Left.With) {
		t.Errorf("%g is not the factor of least force", c.Best)
	}
	e.Counterweights = c.Counterweights(e)
	var s inertia.Solver
	b, err := s.Solve(nil, e, inertia.Options{})
	if err != nil {
		t.Fatal(err)
	}
	w, a := b.Force.Order(2)
	m, n := b.Moment.Order(2)
	for i, d := range []complex128{w - c.Left.With, a - c.Left.Against, m - c.Left.MomentWith, n - c.Left.MomentAgainst} {
		if cmplx.Abs(d) > 1e-12 {
			t.Errorf("part %d is off by %v", i, d)
		}
	}
}

func TestImpossibleCards(t *testing.T) {
	e := equalCrank([]float64{0}, []float64{0})
	good := FileParts(e)
	for _, c := range []struct {
		parts []Part
		k     float64
	}{
		{good, -0.1},
		{good, 1.1},
		{good, math.NaN()},
		{nil, 0.5},
		{[]Part{{"a", 1, 1, Rotating, 0}}, 0.5},
		{[]Part{{"a", 1, 1, Reciprocating, 0}}, 0.5},
		{append([]Part{{"a", -1, 1, Rotating, 0}}, good...), 0.5},
		{append([]Part{{"a", math.Inf(1), 1, Rotating, 0}}, good...), 0.5},
		{append([]Part{{"a", 1, 0, Rotating, 0}}, good...), 0.5},
		{append([]Part{{"a", 1, 1, Rotating, 2}}, good...), 0.5},
		{append([]Part{{"a", 1, 1, 5, 0}}, good...), 0.5},
	} {
		if _, err := BobweightCard(e, c.parts, c.k); err == nil {
			t.Errorf("accepted: %+v", c)
		} else {
			t.Log(err)
		}
	}
	if _, err := BobweightCard(&layout.Train{}, good, 0.5); err == nil {
		t.Error("an empty train was accepted")
	}
}

func BenchmarkBobweightCardVeeEight(b *testing.B) {
	e := equalCrank([]float64{0, 90, 270, 180}, []float64{-45, 45})
	parts := FileParts(e)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := BobweightCard(e, parts, 0.5); err != nil {
			b.Fatal(err)
		}
	}
}
