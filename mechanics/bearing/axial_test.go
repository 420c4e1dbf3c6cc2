package bearing

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

func budget(t testing.TB, train *layout.Train, need Needs) *Budget {
	t.Helper()
	b, err := Axial(train, nil, need)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// A vee eight whose crank fills its spacing of 100 mm: 24 + 2·18 + 40, and bores of 84 mm with walls of 6.72 mm.
func TestBudgetOfAVeeEight(t *testing.T) {
	b := budget(t, veeEight(), Needs{})
	if len(b.Parts) != 5+4+8 || len(b.Pitches) != 3 || len(b.Conflicts()) != 0 {
		t.Fatalf("%d parts, %d pitches, conflicts %v", len(b.Parts), len(b.Pitches), b.Conflicts())
	}
	for i, p := range b.Parts {
		near(t, p.Name, p.Slack(), 0, 1e-12, 1)
		if i > 0 {
			near(t, "no gap before "+p.Name, p.From, b.Parts[i-1].To, 1e-12, 1)
		}
	}
	for _, p := range b.Pitches {
		near(t, "crank", p.Crank, 0.1, 1e-12, 1)
		near(t, "bores", p.Bores, 0.084*1.08, 1e-12, 1)
		if p.BoresSet() {
			t.Error("bores set the length")
		}
	}
	slim := budget(t, veeEight(), Needs{Main: 0.018, Pin: 0.036, Web: 0.016}) // 18 + 2·16 + 36 = 86 mm
	near(t, "least crank", slim.Pitches[1].Crank, 0.086, 1e-12, 1)
	if p := slim.Pitches[1]; !p.BoresSet() || len(slim.Conflicts()) != 0 || !(p.Slack() > 0) {
		t.Errorf("with slim journals the bores set the length: %+v", p)
	}
	near(t, "slack of a main", slim.Parts[0].Slack(), 0.006, 1e-12, 1)
	wide := veeEight()
	wide.Bore = 0.096
	if p := budget(t, wide, Needs{}).Pitches[0]; !p.BoresSet() || !(p.Slack() < 0) {
		t.Errorf("bores of 96 mm at 100 mm: %+v", p)
	}
}

// The trade's trend: two own pins in a bay of an opposed engine leave less web than one pin does in an inline engine of
// equal bore and pitch of its own, and split pins that overlap stand between.
func TestOwnPinsNeedAFlyingWeb(t *testing.T) {
	pair := func(split float64) *layout.Train {
		train := pilotBoat([]float64{0, split, 180, 180 + split}, 90)
		for i := range train.Throws {
			train.Throws[i].Pair = i - i%2
			train.Throws[i].At = 0.15*float64(i/2) + 0.044*float64(i%2)
			c := &train.Cylinders[i]
			c.At, c.Axis, c.Bank = train.Throws[i].At, num.Degrees(90-180*float64(i%2)), 0
		}
		return train
	}
	kinds := func(b *Budget) (k []PartKind) {
		for _, p := range b.Parts {
			k = append(k, p.Kind)
		}
		return k
	}
	own, split := budget(t, pair(180), Needs{}), budget(t, pair(30), Needs{})
	if got := kinds(own)[3]; got != FlyingWeb {
		t.Errorf("own pins are joined by a %s", got)
	}
	if got := kinds(split)[3]; got != Flange {
		t.Errorf("split pins are joined by a %s", got)
	}
	near(t, "flying web", own.Parts[3].Need, 0.6*0.018, 1e-15, 1)
	near(t, "flange", split.Parts[3].Need, 0.03*0.084, 1e-15, 1)
	if own.Parts[3].Slack() > 0 || split.Parts[3].Slack() < 0 || len(own.Conflicts()) != 2 {
		t.Errorf("4 mm between the pins: own %g, split %g", own.Parts[3].Slack(), split.Parts[3].Slack())
	}
	// What is left for webs in a bay of one bore and wall, journals kept:
	one, err := WidthsOf(pilotBoat([]float64{0, 180}, 0), nil, 0, Needs{})
	if err != nil {
		t.Fatal(err)
	}
	two, err := WidthsOf(pair(180), nil, 0, Needs{})
	if err != nil {
		t.Fatal(err)
	}
	a, errA := one.Wish(0.1, 0)
	b, errB := two.Wish(0.1, 0)
	if errA != nil || errB != nil || !(b.Webs.Web < a.Webs.Web) {
		t.Errorf("webs: own pins %g, one pin %g (%v %v)", b.Webs.Web, a.Webs.Web, errA, errB)
	}
}

// Wishes by hand: a vee with rods side by side at 20 mm, its bay of 100 mm full.
func TestWishes(t *testing.T) {
	w, err := WidthsOf(veeEight(), nil, 1, Needs{})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		what      string
		got, want float64
	}{{"stagger", w.Stagger, .02}, {"rod", w.Rod, .02}, {"slack", w.Slack, 0}, {"spacing", w.Spacing, .1}, {"least", w.Least, .09072}} {
		near(t, c.what, c.got, c.want, 1e-12, 1)
	}
	less, err := w.Wish(0, 0.018)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "rods", less.Webs.Rod, 0.018, 1e-12, 1)
	near(t, "pin", less.All.Pin, 0.036, 1e-12, 1)
	near(t, "webs win", less.Webs.Web, 0.020, 1e-12, 1)
	near(t, "main wins", less.Bearings.Main, 0.028, 1e-12, 1)
	near(t, "both win", less.All.Main/0.024, 64./60, 1e-12, 1)
	near(t, "both win", less.All.Web/0.018, 64./60, 1e-12, 1)
	short, err := w.Wish(0.092, 0)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "webs give", short.Webs.Web, 0.014, 1e-12, 1)
	near(t, "main gives", short.Bearings.Main, 0.016, 1e-12, 1)
	if !short.Webs.Possible() {
		t.Error("92 mm are not possible")
	}
	if tooShort, _ := w.Wish(0.09, 0); tooShort.Webs.Lacks() != "the bores need 90.72 mm" {
		t.Errorf("bores of 84 mm with walls stand 90 mm apart: %q", tooShort.Webs.Lacks())
	}
	if none, _ := w.Wish(0, 0.05); none.Webs.Lacks() != "nothing is left of the webs" {
		t.Errorf("%q", none.Webs.Lacks())
	}
	if alone, err := WidthsOf(pilotBoat([]float64{0}, 0), nil, 0, Needs{}); err != nil || alone.Least != 0 {
		t.Errorf("a bay alone wants its bores %g m apart: %v", alone.Least, err)
	}
	if _, err := w.Wish(math.NaN(), 0); err == nil {
		t.Error("a spacing that is no number was taken")
	}
	inline, err := WidthsOf(pilotBoat([]float64{0, 180}, 0), nil, 0, Needs{})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := inline.Wish(0, 0.01); err == nil {
		t.Error("an inline engine has no stagger to change")
	}
	narrow, err := inline.Wish(0.092, 0)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "main and pin give", narrow.Bearings.Pin, 0.04*56/64, 1e-12, 1)
	near(t, "main and pin give", narrow.Bearings.Main, 0.024*56/64, 1e-12, 1)
	near(t, "all give", narrow.All.Web, 0.018*0.92, 1e-12, 1)
}

// In every wish the lengths add up; no wish at all changes nothing; free room goes first.
func TestWishesAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		w := Widths{Main: f("main", .01, .03), Web: f("web", .01, .03), Pin: f("pin", .02, .05), Pins: rapid.IntRange(1, 2).Draw(t, "pins"), Slack: f("slack", -.005, .01), Least: .05}
		w.Rod = w.Pin
		if w.Pins == 2 {
			w.Middle = f("middle", .002, .02)
			w.Stagger = w.Pin + w.Middle
		} else if rapid.Bool().Draw(t, "two rods") {
			w.Stagger = f("share", .5, .8) * w.Pin
			w.Rod = w.Pin - w.Stagger
		}
		w.Spacing = w.filled() + w.Slack
		same, err := w.Wish(0, 0)
		if err != nil {
			t.Fatal(err)
		}
		if w.Slack >= 0 {
			for _, x := range []Widths{same.Webs, same.Bearings, same.All} {
				for _, d := range []float64{x.Main - w.Main, x.Web - w.Web, x.Pin - w.Pin, x.Middle - w.Middle, x.Rod - w.Rod, x.Slack - w.Slack} {
					if math.Abs(d) > 1e-12 {
						t.Fatalf("no wish made %+v of %+v", x, w)
					}
				}
			}
			little, err := w.Wish(w.Spacing-0.5*w.Slack, 0)
			if err != nil || math.Abs(little.Webs.Web-w.Web) > 1e-12 || math.Abs(little.All.Main-w.Main) > 1e-12 {
				t.Fatalf("half the free room taken: %+v, %v", little, err)
			}
		}
		stagger := 0.0
		if w.Stagger > 0 {
			stagger = f("wished stagger", .005, .06)
		}
		r, err := w.Wish(f("wished spacing", .05, .2), stagger)
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range []Widths{r.Webs, r.Bearings, r.All} {
			if math.Abs(x.filled()+x.Slack-x.Spacing) > 1e-12 || x.Slack < -1e-12 {
				t.Fatalf("%+v does not add up", x)
			}
			if w.Pins == 2 && math.Abs(x.Pin+x.Middle-x.Stagger) > 1e-12 {
				t.Fatalf("pin and middle of %+v are not its stagger", x)
			}
		}
		if d := r.Webs.Pin - r.Bearings.Pin; w.Pins == 1 && w.Stagger > 0 && d != 0 {
			t.Fatalf("the stagger sets the pin, whoever gives way: %g", d)
		}
	})
}

func TestAxialRefusals(t *testing.T) {
	bare := veeEight()
	bare.Crank = layout.CrankGeometry{}
	boreless := veeEight()
	boreless.Bore = 0
	for _, c := range []struct {
		says  string
		train *layout.Train
		need  Needs
	}{
		{"there is none", nil, Needs{}},
		{"geometry is missing", bare, Needs{}},
		{"bore is missing", boreless, Needs{}},
		{"least width", veeEight(), Needs{Wall: -1}},
		{"no throw", &layout.Train{}, Needs{}},
	} {
		if _, err := Axial(c.train, nil, c.need); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("got %v, want an error that says %q", err, c.says)
		}
	}
	if _, err := WidthsOf(veeEight(), nil, 4, Needs{}); err == nil {
		t.Error("a fifth bay was found")
	}
	far := []Main{{At: 1, Width: 0.02, Diameter: 0.06}, {At: 2, Width: 0.02, Diameter: 0.06}}
	if _, err := WidthsOf(veeEight(), far, 0, Needs{}); err == nil {
		t.Error("a bay without a main beside it was taken")
	}
}

// Specific loads by hand, bearings without their fillets, and materials in order.
func TestSpecificLoads(t *testing.T) {
	force := []complex128{3000, complex(0, 6000), complex(-2400, 3200), 0}
	s, err := SpecificLoad(force, layout.Journal{Diameter: 0.05, Width: 0.02})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "peak", s.Peak, 6e6, 1e-12, 6e6)
	near(t, "mean", s.Mean, 3.25e6, 1e-12, 6e6)
	near(t, "angle", s.PeakAt.Deg(), 180, 1e-12, 180)
	for _, j := range []layout.Journal{{}, {Diameter: math.NaN(), Width: 1}, {Diameter: 1, Width: -1}} {
		if _, err := SpecificLoad(force, j); err == nil {
			t.Errorf("a bearing of %v was taken", j)
		}
	}
	if _, err := SpecificLoad([]complex128{complex(math.NaN(), 0)}, layout.Journal{Diameter: 1, Width: 1}); err == nil {
		t.Error("a force that is no number was taken")
	}
	if _, err := SpecificLoad(nil, layout.Journal{Diameter: 1, Width: 1}); err == nil {
		t.Error("no force was taken")
	}
	train := veeEight()
	pin, err := PinBearing(train, 0)
	if err != nil || math.Abs(pin.Width-0.018) > 1e-15 {
		t.Errorf("big end %v, %v", pin, err)
	}
	radial, err := PinBearing(radialFive(), 0)
	if err != nil || math.Abs(radial.Width-0.036) > 1e-15 {
		t.Errorf("master's big end %v, %v", radial, err)
	}
	main, err := MainBearing(train, Mains(train)[0])
	if err != nil || math.Abs(main.Width-0.020) > 1e-15 {
		t.Errorf("main %v, %v", main, err)
	}
	train.Crank.Fillet = 0.03
	if _, err := PinBearing(train, 0); err == nil {
		t.Error("fillets wider than the pin were taken")
	}
	if _, err := PinBearing(train, 9); err == nil {
		t.Error("a tenth throw was found")
	}
	for _, m := range Materials() {
		if !(m.Low > 0 && m.High >= m.Low) || m.Name == "" || m.Source == "" || m.Use(m.High) != 1 {
			t.Errorf("%+v", m)
		}
	}
}

// Narrower bearings carry more per area, whichever engine.
func TestNarrowerIsHarder(t *testing.T) {
	train := veeEight()
	m := prepared(t, train, Options{})
	l := loads(t, m, [][]float64{smooth(m)}, 4000*rpm)
	last := 0.0
	for _, width := range []float64{0.03, 0.024, 0.018} {
		s, err := SpecificLoad(l.Mains[2], layout.Journal{Diameter: 0.06, Width: width})
		if err != nil || !(s.Peak > last && s.Mean < s.Peak) {
			t.Errorf("width %g: %+v after %g, %v", width, s, last, err)
		}
		last = s.Peak
	}
}
