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
		"share one pin and have axes 90° apart", "the against-crank vector by 2δ", "180° apart against it, where they cancel",
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
