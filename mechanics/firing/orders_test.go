package firing

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

func list(t *testing.T, train *layout.Train, opt Options) OrderList {
	t.Helper()
	return must(Orders(train, must(TopDeadCentres(train))(t), opt))(t)
}

func labels(l OrderList) []string {
	var out []string
	for _, o := range l.List {
		out = append(out, o.Label(nil))
	}
	return out
}

// Numbers of orders that a crank allows. Source: CHECKS §5, "derived by hand".
func TestKnownCounts(t *testing.T) {
	for _, c := range []struct {
		name         string
		train        *layout.Train
		orders, even int
		best         string
	}{
		{"single", inline(layout.FourStroke, 0), 1, 1, "1"},
		{"inline 2, 360", inline(layout.FourStroke, 0, 0), 1, 1, "1-2"},
		{"inline 2, 180", inline(layout.FourStroke, 0, 180), 1, 0, "1-2"},
		{"inline 3", inline(layout.FourStroke, 0, 240, 120), 2, 1, "1-3-2"},
		{"inline 3, other sense", inline(layout.FourStroke, 0, 120, 240), 2, 1, "1-2-3"},
		{"inline 4 flat", inline(layout.FourStroke, 0, 180, 180, 0), 2, 2, "1-2-4-3 1-3-4-2"},
		{"inline 6", inline(layout.FourStroke, 0, 240, 120, 120, 240, 0), 4, 4, "1-5-3-6-2-4 1-2-4-6-5-3 1-5-4-6-2-3 1-2-3-6-5-4"},
		{"two-stroke inline 4", inline(layout.TwoStroke, 0, 180, 180, 0), 1, 0, "1-4-2-3"},
		{"two-stroke inline 3", inline(layout.TwoStroke, 0, 240, 120), 1, 1, "1-2-3"},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := list(t, c.train, Options{})
			if l.Orders != c.orders || l.Even != c.even || len(l.List) != c.orders || !l.Complete {
				t.Errorf("%d orders, %d even, %d listed; want %d, %d", l.Orders, l.Even, len(l.List), c.orders, c.even)
			}
			want := strings.Fields(c.best)
			if got := labels(l)[:len(want)]; !slices.Equal(got, want) {
				t.Errorf("%v, want %v", got, want)
			}
		})
	}
	if l := list(t, radial(5), Options{}); l.Even != 1 || l.List[0].Label(nil) != "1-3-5-2-4" {
		t.Errorf("radial 5: %d even, best %s", l.Even, l.List[0].Label(nil))
	}
	if l := list(t, radial(7), Options{}); l.Even != 1 || l.List[0].Label(nil) != "1-3-5-7-2-4-6" {
		t.Errorf("radial 7: %d even, best %s", l.Even, l.List[0].Label(nil))
	}
	if l := list(t, inline(layout.TwoStroke, 0, 180, 180, 0), Options{}); fmt.Sprint(l.Together) != "[[0 3] [1 2]]" {
		t.Errorf("ties %v", l.Together)
	}
}

// Firing orders in print and the cranks that belong to them. Source: CHECKS §5. Where the source
// numbers alternately along the crank, alternate is set; a negative bank angle puts bank 1 where
// that source has it, on the side that fires later.
func TestPrintedOrders(t *testing.T) {
	for _, c := range []struct {
		order     string
		train     *layout.Train
		alternate bool
	}{
		{"1-3-2", inline(layout.FourStroke, 0, 240, 120), false},
		{"1-3-4-2", inline(layout.FourStroke, 0, 180, 180, 0), false},
		{"1-2-4-3", inline(layout.FourStroke, 0, 180, 180, 0), false},
		{"1-2-4-5-3", inline(layout.FourStroke, 0, 216, 144, 72, 288), false},
		{"1-5-2-3-4", inline(layout.FourStroke, 0, 72, 288, 144, 216), false},
		{"1-5-3-6-2-4", inline(layout.FourStroke, 0, 240, 120, 120, 240, 0), false},
		{"1-2-4-6-5-3", inline(layout.FourStroke, 0, 240, 120, 120, 240, 0), false},
		{"1-4-2-6-3-5", inline(layout.FourStroke, 0, 120, 240, 240, 120, 0), false},
		{"1-6-2-5-8-3-7-4", inline(layout.FourStroke, 0, 180, 270, 90, 90, 270, 180, 0), false},
		{"1-3-5-2-4", radial(5), false},
		{"1-3-5-7-2-4-6", radial(7), false},
		{"1-5-4-2-6-3-7-8", vee(90, 0, 0, 90, 270, 180), false},
		{"1-3-7-2-6-5-4-8", vee(90, 0, 0, 90, 270, 180), false},
		{"1-8-3-6-4-5-2-7", vee(90, 0, 0, 180, 180, 0), false},
		{"1-8-4-3-6-5-7-2", vee(-90, 0, 0, 90, 270, 180), true},
		{"1-4-2-5-3-6", vee(60, 60, 0, 120, 240), false},
		{"1-6-5-4-3-2", vee(-90, -30, 0, 240, 120), true},
		{"1-2-3-4-5-6", vee(60, 60, 0, 120, 240), true},
		{"1-10-9-4-3-6-5-8-7-2", vee(-72, 0, 0, 72, 288, 144, 216), true},
		{"1-4-3-2", vee(180, 180, 0, 180), false},
		{"1-3-2-4", vee(180, 180, 0, 180), true},
		{"1-6-2-4-3-5", vee(180, 180, 0, 120, 240), false},
		{"1-7-5-11-3-9-6-12-2-8-4-10", vee(60, 0, 0, 240, 120, 120, 240, 0), false},
	} {
		t.Run(c.order, func(t *testing.T) {
			order := parseOrder(c.order)
			n := len(order)
			if c.alternate {
				for k, cyl := range order {
					order[k] = cyl%2*(n/2) + cyl/2
				}
			}
			c.train.FiringOrder = order
			s := must(ForTrain(c.train))(t)
			if got := degs(s.Intervals); !closeTo(got, rep(n, 720/float64(n))) {
				t.Errorf("intervals %v", got)
			}
			l := list(t, c.train, Options{})
			if want := map[bool]int{true: 1 << (n/2 - 1), false: 1}[n%2 == 0]; l.Even != want {
				t.Errorf("%d even orders, want %d", l.Even, want)
			}
			if !slices.ContainsFunc(l.List, func(o Ordering) bool { return slices.Equal(o.Order, order) && o.ByOrder }) {
				t.Errorf("not among the %d orders", l.Orders)
			}
		})
	}
}

// Source: CHECKS §2, V4 90 with pins 0, 90, and common practice for the shared-pin vee six of 90°.
func TestNamedIntervals(t *testing.T) {
	train := vee(90, 0, 0, 90)
	found := 0
	for _, o := range list(t, train, Options{}).List {
		if turned(degs(o.Intervals), []float64{90, 90, 270, 270}) {
			found++
			if o.Measures.Evenness > 0.8+1e-12 || o.Measures.Evenness < 0.8-1e-12 { // 720² / (4 (2·90² + 2·270²))
				t.Errorf("evenness %v", o.Measures.Evenness)
			}
		}
	}
	if found != 2 {
		t.Errorf("90-90-270-270 found %d times", found)
	}
	six := vee(90, 0, 0, 240, 120)
	six.FiringOrder = parseOrder("1-4-3-6-2-5")
	if s := must(ForTrain(six))(t); !closeTo(degs(s.Intervals), []float64{90, 150, 90, 150, 90, 150}) {
		t.Errorf("%v", degs(s.Intervals))
	}
}

// A vee twin on one pin fires at its bank angle or 360° later (common practice).
func TestSharedPinVee(t *testing.T) {
	for _, angle := range []float64{15, 45, 52, 60, 72, 90, 120, 180} {
		l := list(t, vee(angle, 0, 0), Options{Variants: true})
		if l.Schedules != 2 || l.Orders != 1 || len(l.List) != 2 || !l.List[0].ByOrder || l.List[1].ByOrder {
			t.Fatalf("%+v", l)
		}
		if got := degs(l.List[1].Intervals); !closeTo(got, []float64{angle, 720 - angle}) && angle != 180 {
			t.Errorf("%g: %v", angle, got)
		}
		if got := degs(l.List[0].Intervals); !turned(got, []float64{360 + angle, 360 - angle}) {
			t.Errorf("%g: %v", angle, got)
		}
	}
}

func TestStartsWhereTheOrderSays(t *testing.T) {
	train := inline(layout.FourStroke, 0, 180, 180, 0)
	train.FiringOrder = parseOrder("3-4-2-1")
	s := must(ForTrain(train))(t)
	if s.Label(nil) != "3-4-2-1" || !closeTo(degs(s.At), []float64{180, 360, 540, 0}) || !closeTo(degs(s.Elapsed()), []float64{0, 180, 360, 540}) {
		t.Errorf("%s %v", s.Label(nil), degs(s.At))
	}
	if a, ok := s.FiringAngle(0); a != 0 || !ok {
		t.Errorf("cylinder 1 fires at %v", a)
	}
	if _, ok := s.FiringAngle(9); ok {
		t.Error("cylinder 10 fires")
	}
}

func TestImpossibleOrders(t *testing.T) {
	for _, c := range []struct {
		order, want string
		train       *layout.Train
	}{
		{
			"1-2-3-4", "the crank cannot fire in the order 1-2-3-4: cylinder 3 cannot follow cylinder 2, because both reach top dead centre at 180°, so that they fire together or one revolution apart; this crank can do 1-2-4-3, 1-3-4-2 (2 of 2 even)",
			inline(layout.FourStroke, 0, 180, 180, 0),
		},
		{
			"1-3-2-4-5", "the crank cannot fire in the order 1-3-2-4-5: cylinder 3 (top dead centre at 216°) cannot fire between cylinders 1 (0°) and 2 (144°), because the order would then need 3 revolutions and the cycle has 2; this crank can do 12 orders, 1 of them even, the most even being 1-2-4-5-3, 1-2-3-5-4, 1-3-4-5-2, the closest 1-2-4-5-3, 1-3-4-5-2, 1-3-5-2-4",
			inline(layout.FourStroke, 0, 216, 144, 72, 288),
		},
		{
			"1-3-2", "the crank cannot fire in the order 1-3-2: cylinder 3 (top dead centre at 240°) cannot fire between cylinders 1 (0°) and 2 (120°), because the order would then need 2 revolutions and the cycle has 1; this crank can do only 1-2-3",
			inline(layout.TwoStroke, 0, 240, 120),
		},
	} {
		c.train.FiringOrder = parseOrder(c.order)
		_, err := ForTrain(c.train)
		var e *ImpossibleOrder
		if !errors.As(err, &e) {
			t.Fatalf("%s: %v", c.order, err)
		}
		if err.Error() != c.want {
			t.Errorf("got  %s\nwant %s", err, c.want)
		}
		for _, s := range append(e.Evenest, e.Closest...) {
			if _, err := Assign(must(TopDeadCentres(c.train))(t), c.train.Cycle, s.Order); err != nil {
				t.Errorf("suggested %s: %v", s.Label(nil), err)
			}
		}
	}
}

func TestFiringAngles(t *testing.T) {
	tdc := []num.Angle{0, num.Degrees(180), num.Degrees(180), 0}
	at := func(ds ...float64) []num.Angle {
		var out []num.Angle
		for _, d := range ds {
			out = append(out, num.Degrees(d))
		}
		return out
	}
	s := must(FromAngles(tdc, layout.FourStroke, at(358.5, 541, 181, 0)))(t)
	if s.Label(nil) != "1-2-4-3" || !closeTo(degs(s.At), []float64{360, 540, 0, 180}) {
		t.Errorf("%s %v", s.Label(nil), degs(s.At))
	}
	if s := must(FromAngles(tdc, layout.FourStroke, at(0, 180, 180, 0)))(t); !closeTo(degs(s.Intervals), []float64{0, 180, 0, 540}) {
		t.Errorf("big bang: %s %v", s.Label(nil), degs(s.Intervals))
	}
	_, err := FromAngles(tdc, layout.FourStroke, at(0, 90, 180, 400))
	var m *Misfits
	if !errors.As(err, &m) || len(m.List) != 2 ||
		!strings.Contains(err.Error(), "cylinder 2 cannot fire at 90°: its top dead centres are at 180 and 540°") {
		t.Errorf("%v", err)
	}
}

func TestForTrainKeepsWhatIsGiven(t *testing.T) {
	give := func(train *layout.Train, c int, deg float64) {
		train.Cylinders[c].FiresGiven, train.Cylinders[c].FiresAt = true, num.Degrees(deg)
	}
	train := inline(layout.FourStroke, 0, 180, 180, 0)
	give(train, 1, 540)
	if s := must(ForTrain(train))(t); s.Label(nil) != "1-3-4-2" || s.At[3].Deg() != 540 {
		t.Errorf("some given: %s %v", s.Label(nil), degs(s.At))
	}
	train.FiringOrder = parseOrder("1-2-4-3")
	if s := must(ForTrain(train))(t); !closeTo(degs(s.At), []float64{360, 540, 0, 180}) {
		t.Errorf("order and one angle: %v", degs(s.At))
	}
	give(train, 2, 540)
	_, err := ForTrain(train)
	var c *Contradiction
	if !errors.As(err, &c) {
		t.Errorf("contradiction: %v", err)
	}
	train.FiringOrder = nil
	give(train, 0, 0)
	give(train, 3, 0)
	if s := must(ForTrain(train))(t); !closeTo(degs(s.Intervals), []float64{0, 540, 0, 180}) {
		t.Errorf("all given: %s %v", s.Label(nil), degs(s.Intervals))
	}
}

func TestMeasures(t *testing.T) {
	six := list(t, inline(layout.FourStroke, 0, 240, 120, 120, 240, 0), Options{}).List[0].Measures
	for k, a := range six.Spectrum { // only orders 3, 6, 9, 12 remain, each 6. Source: CHECKS §5.
		want := 0.0
		if (k+1)%6 == 0 {
			want = 6
		}
		if a < want-1e-9 || a > want+1e-9 {
			t.Errorf("order %g: %g, want %g", float64(k+1)/2, a, want)
		}
	}
	cross := vee(90, 0, 0, 90, 270, 180)
	cross.FiringOrder = parseOrder("1-5-4-2-6-3-7-8")
	m := must(Measure(cross, must(ForTrain(cross))(t)))(t)
	// Banks 1-2-1-1-2-1-2-2: the cross-plane vee eight fires twice in succession in each bank, 90° apart.
	if m.SameBank != 2 || m.AlternateShare != 0.75 || len(m.Exhaust) != 2 || m.Exhaust[0].BackToBack != 1 || m.Exhaust[1].BackToBack != 1 {
		t.Errorf("%+v", m)
	}
	if got := degs(m.Exhaust[0].Intervals); !closeTo(got, []float64{180, 90, 180, 270}) {
		t.Errorf("bank 1: %v", got)
	}
	if len(m.Neighbours) != 1 || m.Neighbours[0] != [2]int{6, 7} || m.SharedThrow != 3 || m.Repetition.Deg() != 90 {
		t.Errorf("neighbours %v, shared throw %d, repetition %v", m.Neighbours, m.SharedThrow, m.Repetition.Deg())
	}
	bang := vee(90, 0, 0, 0)
	bang.Cylinders[1].Exhaust, bang.Cylinders[3].Exhaust = "rear", "rear"
	for c := range bang.Cylinders {
		bang.Cylinders[c].FiresGiven, bang.Cylinders[c].FiresAt = true, must(TopDeadCentres(bang))(t)[c]
	}
	m = must(Measure(bang, must(ForTrain(bang))(t)))(t)
	if m.Quick != 2 || m.Shortest != 0 || len(m.Exhaust) != 3 || m.Exhaust[1].Name != "rear" || m.Repetition.Deg() != 720 {
		t.Errorf("big bang: %+v", m)
	}
	two := inline(layout.TwoStroke, 0, 180)
	if m := must(Measure(two, must(ForTrain(two))(t)))(t); m.Spectrum[0] != 0 || m.Spectrum[3] != 2 || m.Repetition.Deg() != 180 {
		t.Errorf("two-stroke: %+v", m)
	}
}

// Engines beyond the enumeration: the closed form counts their even orders, and the best is even.
func TestManyCylinders(t *testing.T) {
	for _, n := range []int{22, 24, 42, 56} {
		train, tdc := benchTrain(n), evenTDC(n)
		l := must(Orders(train, tdc, Options{}))(t)
		if l.Complete || l.Even != 1<<(n/2-1) || l.Schedules != 1<<(n-1) || len(l.List) != 1 || l.List[0].Measures.Evenness < 1-1e-9 {
			t.Errorf("%d: %+v", n, l)
		}
		order := l.List[0].Order
		order[1], order[n-1] = order[n-1], order[1]
		if _, err := Assign(tdc, layout.FourStroke, order); err == nil || !strings.Contains(err.Error(), "the most even order that it can do is 1-") {
			t.Errorf("%d: %v", n, err)
		}
	}
}

// An articulated rod moves the top dead centres, so that the best order is even only nearly; it is
// still the one of the plain radial.
func TestMasterAndLink(t *testing.T) {
	train := radial(5)
	for c := 1; c < 5; c++ {
		train.Cylinders[c].Rod = layout.Rod{Length: 0.115, Linked: true, KnuckleRadius: 0.03, KnuckleAngle: train.Cylinders[c].Axis}
	}
	l := list(t, train, Options{})
	if l.List[0].Label(nil) != "1-3-5-2-4" || l.Even != 0 {
		t.Errorf("%s, %d even", l.List[0].Label(nil), l.Even)
	}
	if m := l.List[0].Measures; m.Departure.Deg() < 0.1 || m.Departure.Deg() > 6 || m.Evenness < 0.995 {
		t.Errorf("departs by %v deg, evenness %v", m.Departure.Deg(), m.Evenness)
	}
	e := test(t, train)
	if e.Even || e.Splits != nil || e.Turn != nil {
		t.Errorf("%+v", e)
	}
}

func TestBeatError(t *testing.T) {
	six := vee(90, 0, 0, 240, 120)
	six.FiringOrder = parseOrder("1-4-3-6-2-5")
	if m := must(Measure(six, must(ForTrain(six))(t)))(t); m.BeatError.Deg() < 15-1e-9 || m.BeatError.Deg() > 15+1e-9 { // alternately 15° early and late
		t.Errorf("beat error %v deg", m.BeatError.Deg())
	}
}
