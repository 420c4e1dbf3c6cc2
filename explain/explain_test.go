package explain

import (
	"fmt"
	"math"
	"math/cmplx"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"crankwright/analysis"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/torsion"
	"crankwright/num"
)

// engine builds a train from pins, axes and places in degrees and millimetres.
func engine(pins, axes, at []float64, throwOf []int) *layout.Train {
	t := &layout.Train{Name: "test", Cycle: layout.FourStroke, Bore: 0.06, Speeds: layout.Speeds{Rated: 500}}
	for i, p := range pins {
		t.Throws = append(t.Throws, layout.Throw{Name: fmt.Sprint(i + 1), At: at[i] / 1000, Angle: num.Degrees(p), Radius: 0.04, Pair: i})
	}
	banks := map[float64]int{}
	for i, a := range axes {
		throw := throwOf[i]
		if _, ok := banks[a]; !ok {
			banks[a] = len(t.Banks)
			t.Banks = append(t.Banks, layout.Bank{Name: fmt.Sprint(len(t.Banks) + 1), Axis: num.Degrees(a)})
		}
		t.Cylinders = append(t.Cylinders, layout.Cylinder{
			Name: fmt.Sprint(i + 1), Throw: throw, Bank: banks[a], At: t.Throws[throw].At, Axis: num.Degrees(a),
			Piston: layout.Piston{Mass: 0.4}, Rod: layout.Rod{Length: 0.14, Mass: 0.5, CG: 0.04, Inertia: 0.0015},
		})
	}
	return t
}

func explainOrder(t *testing.T, train *layout.Train, k int) string {
	t.Helper()
	r, err := analysis.Run(train, analysis.Options{})
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	for _, s := range Order(r, k) {
		b.WriteString(s.Heading + "\n" + strings.Join(s.Lines, "\n") + "\n")
	}
	return b.String()
}

func mustSay(t *testing.T, text string, phrases ...string) {
	t.Helper()
	for _, p := range phrases {
		if !strings.Contains(text, p) {
			t.Errorf("the explanation does not say %q:\n%s", p, text)
		}
	}
}

func TestFlatFour(t *testing.T) {
	train := engine([]float64{0, 180, 180, 0}, []float64{0, 0, 0, 0}, []float64{-150, -50, 50, 150}, []int{0, 1, 2, 3})
	mustSay(t, explainOrder(t, train, 2), "There is no free force of the 1st order.", "cylinders 1 and 4 (0°) stand opposite each other")
	mustSay(t, explainOrder(t, train, 4),
		"throws at 0°, 180°, 180° and 0° push as if they stood at 0°, 0°, 0° and 0°",
		"The force swings up and down with",
		"the vectors of cylinders 1, 2, 3 and 4 all point the same way, to 0°",
		"no counterweight can take it", "two equal shafts that turn opposite ways at twice crank speed take it")
}

func TestRightAngleTwin(t *testing.T) {
	train := engine([]float64{0}, []float64{-45, 45}, []float64{0}, []int{0, 0})
	mustSay(t, explainOrder(t, train, 2),
		"share one pin and have axes 90° apart", "the against-crank vector by 2δ", "against it, 180° apart and cancel",
		"has the constant size", "stands still on the crank, so a counterweight takes it")
	mustSay(t, explainOrder(t, train, 4), "The force swings from side to side with")
}

func TestThree(t *testing.T) {
	train := engine([]float64{0, 240, 120}, []float64{0, 0, 0}, []float64{-100, 0, 100}, []int{0, 1, 2})
	mustSay(t, explainOrder(t, train, 2), "120° apart, a closed triangle", "There is no free force of the 1st order.",
		"two opposite counterweights in different planes take it", "passes every point of the crank")
}

// TestUnseenCrank explains a crank that has no name: four throws at odd angles of which two are opposed.
func TestUnseenCrank(t *testing.T) {
	train := engine([]float64{10, 190, 77, 301}, []float64{0, 0, 0, 0}, []float64{-150, -50, 50, 150}, []int{0, 1, 2, 3})
	text := explainOrder(t, train, 2)
	mustSay(t, text, "stand opposite each other", "what is left", "from cylinder 3", "from cylinder 4")
	// order 1 of 77° and 301°: |e^{i77°} + e^{i301°}| = 2 cos 112°
	want := 0.5 * (0.4 + 0.5*0.04/0.14) * 0.04 * 500 * 500 * 2 * math.Abs(math.Cos(112*math.Pi/180))
	mustSay(t, text, "adds up to "+num.Shown(want, "N"))
}

// TestUnequalPair must not say that vectors of different length cancel.
func TestUnequalPair(t *testing.T) {
	train := engine([]float64{0}, []float64{-45, 45}, []float64{0}, []int{0, 0})
	train.Cylinders[1].Piston.Mass = 0.8
	text := explainOrder(t, train, 2)
	if strings.Contains(text, "and cancel.") {
		t.Errorf("unequal vectors are said to cancel:\n%s", text)
	}
	m := func(piston float64) float64 { return 0.5 * (piston + 0.5*0.04/0.14) * 0.04 * 500 * 500 }
	mustSay(t, text, "180° apart and add "+num.Shown(m(0.4), "N")+" and "+num.Shown(m(0.8), "N")+" to "+num.Shown(m(0.8)-m(0.4), "N"))
	train.Cylinders[1].Piston.Mass = 0.4
	mustSay(t, explainOrder(t, train, 4), "add to 1.41 times one of them")
}

func TestOrderWithoutForce(t *testing.T) {
	train := engine([]float64{0, 180}, []float64{0, 0}, []float64{-50, 50}, []int{0, 1})
	train.Cylinders[1].Offset = 0
	text := explainOrder(t, train, 6) // order 3: torque, no force
	mustSay(t, text, "No part of this engine has a force of the 3rd order.")
	if strings.Contains(text, "plane of the reference") || strings.Contains(text, "moment\n") {
		t.Errorf("a moment is explained where there is none:\n%s", text)
	}
}

// TestRemedies puts every remedy back into the engine as its file would say it: the part that it is
// for must vanish, and the other parts of that quantity stay. Clockwise engines too.
func TestRemedies(t *testing.T) {
	trains := []*layout.Train{
		engine([]float64{0}, []float64{-30, 41}, []float64{0}, []int{0, 0}),
		engine([]float64{0, 240, 120}, []float64{0, 0, 0}, []float64{-100, 0, 100}, []int{0, 1, 2}),
		engine([]float64{10, 77, 301}, []float64{5, 0, -60}, []float64{-150, -50, 120}, []int{0, 1, 2}),
	}
	for _, base := range trains {
		for _, rotation := range []layout.Rotation{layout.Anticlockwise, layout.Clockwise} {
			base.Rotation = rotation
			r, err := analysis.Run(base, analysis.Options{})
			if err != nil {
				t.Fatal(err)
			}
			for _, k := range []int{2, 4, 8} {
				for _, remedy := range Remedies(r, k) {
					cured := *base
					if remedy.SpeedRatio == 0 {
						cured.Counterweights = remedy.Masses
					} else {
						cured.Shafts = []layout.Shaft{{SpeedRatio: remedy.SpeedRatio, Masses: remedy.Masses}}
					}
					after, err := analysis.Run(&cured, analysis.Options{})
					if err != nil {
						t.Fatal(err)
					}
					a, b := r.Order(k).Force, after.Order(k).Force
					if remedy.Moment {
						a, b = r.Order(k).Moment, after.Order(k).Moment
					}
					gone, stays, stayed := b.With, a.Against, b.Against
					if remedy.Against {
						gone, stays, stayed = b.Against, a.With, b.With
					}
					if cmplx.Abs(gone) > 1e-9*(cmplx.Abs(a.With)+cmplx.Abs(a.Against)) {
						t.Errorf("%s, order %g: %+v leaves %v of %v", rotation, float64(k)/2, remedy, gone, a)
					}
					if cmplx.Abs(stays-stayed) > 1e-9*(cmplx.Abs(a.With)+cmplx.Abs(a.Against)) {
						t.Errorf("%s, order %g: %+v changes the other part from %v to %v", rotation, float64(k)/2, remedy, stays, stayed)
					}
				}
			}
		}
	}
}

// TestClockwiseSpeaksAsTheFile compares an engine with its clockwise twin: in the file's sense of angles
// they are explained in the same words.
func TestClockwiseSpeaksAsTheFile(t *testing.T) {
	train := engine([]float64{10, 77, 301}, []float64{5, 0, -60}, []float64{-150, -50, 120}, []int{0, 1, 2})
	for _, k := range []int{2, 4} {
		train.Rotation = layout.Anticlockwise
		one := explainOrder(t, train, k)
		train.Rotation = layout.Clockwise
		if other := explainOrder(t, train, k); one != other {
			t.Errorf("anticlockwise:\n%s\nclockwise:\n%s", one, other)
		}
	}
}

// TestSentences looks for words that do not join, over random engines.
func TestSentences(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(rt, "cylinders")
		var pins, axes, at []float64
		var on []int
		for i := range n {
			pins = append(pins, float64(15*rapid.IntRange(0, 23).Draw(rt, "pin")))
			axes = append(axes, float64(rapid.SampledFrom([]int{-45, 0, 0, 45}).Draw(rt, "axis")))
			at = append(at, 100*float64(i))
			on = append(on, i)
		}
		r, err := analysis.Run(engine(pins, axes, at, on), analysis.Options{})
		if err != nil {
			rt.Skip("impossible")
		}
		lines := append(Engine(r), Firing(r)...)
		for k := 1; k <= 12; k++ {
			for _, s := range Order(r, k) {
				if len(s.Lines) == 0 {
					rt.Fatalf("%s: nothing under the heading", s.Heading)
				}
				lines = append(lines, s.Lines...)
			}
		}
		for _, l := range lines {
			for _, bad := range []string{",,", "..", "  ", " ,", "NaN", "%!", ", ."} {
				if strings.Contains(l, bad) {
					rt.Fatalf("%q in: %s", bad, l)
				}
			}
		}
	})
}

// TestCancelKeepsTheSum takes polygons out of stars drawn at random: what is taken closes, and what
// remains has the sum of the star.
func TestCancelKeepsTheSum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var arrows []arrow
		sum, size := complex128(0), 0.0
		step := 360 / float64(rapid.SampledFrom([]int{4, 5, 6, 7, 8, 12, 16}).Draw(t, "sectors"))
		for i := range rapid.IntRange(1, 16).Draw(t, "arrows") {
			length := rapid.SampledFrom([]float64{1, 1, 1, 2, 0.3}).Draw(t, "length")
			v := complex(length, 0) * num.Degrees(step*float64(rapid.IntRange(0, 16).Draw(t, "direction"))).Unit()
			arrows = append(arrows, arrow{name: fmt.Sprintf("cylinder %d", i+1), vector: v})
			sum += v
			size += length
		}
		closed, rest := cancel(rays(arrows))
		for _, p := range closed {
			corner := complex128(0)
			for _, c := range p.corners {
				corner += cmplx.Rect(p.length, c.direction)
			}
			if cmplx.Abs(corner) > 1e-9*size {
				t.Fatalf("a polygon does not close: %v", corner)
			}
		}
		left := complex128(0)
		for _, r := range rest {
			left += cmplx.Rect(r.length, r.direction)
		}
		if cmplx.Abs(left-sum) > 1e-9*size {
			t.Fatalf("the rest adds up to %v, the star to %v", left, sum)
		}
		for _, line := range describe("With the crank", arrows, sum, "N") {
			if strings.Contains(line, "NaN") || !strings.HasSuffix(line, ".") {
				t.Fatalf("not a sentence: %s", line)
			}
		}
	})
}

func TestFiringSays(t *testing.T) {
	r, err := analysis.Run(engine([]float64{0}, []float64{-45, 45}, []float64{0}, []int{0, 0}), analysis.Options{})
	if err != nil {
		t.Fatal(err)
	}
	mustSay(t, strings.Join(Firing(r), "\n"), "intervals of", "longest interval 450°", "Exhaust group", "cannot fire every 360°")
	mustSay(t, strings.Join(Engine(r), "\n"), "Free force", "No free moment")
}

// TestLargestPart: "most of it" is said of more than half of a whole only.
func TestLargestPart(t *testing.T) {
	r := &analysis.Torsion{Own: -1, Crank: &torsion.Crank{}, Bare: []torsion.Mode{{}}, Spans: []analysis.SpanPeak{{Name: "T1 to flywheel", Stress: 19.4e6, OrderPart: 5.09e6, Order: 2, Speed: 500}}}
	mustSay(t, strings.Join(Torsion(r), "\n"), "largest vibratory stress is 19.4 MPa (nominal) in the span from T1 to flywheel at 4775 rpm, the largest part of order 1 (5.09 MPa)")
	r.Spans[0].OrderPart = 12e6
	mustSay(t, strings.Join(Torsion(r), "\n"), "most of it of order 1 (12 MPa)")
}
