package draw

import (
	"math"
	"math/cmplx"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"crankwright/analysis"
	"crankwright/estimate"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// working gives a train gas, friction and what turns.
func working(t *layout.Train, change func(t *layout.Train, w *estimate.Working)) *layout.Train {
	t.Speeds = layout.Speeds{Idle: 80, Rated: 400, Limit: 450}
	w := estimate.UnknownWorking()
	if change != nil {
		change(t, &w)
	}
	w, t.Assumed = estimate.FillWorking(t, estimate.General, w)
	t.Gas, t.Friction, t.Turning, t.Block, t.Making = w.Gas, w.Friction, w.Turning, w.Block, w.Making
	t.Bearings, t.Steel, t.Twisting = w.Bearings, w.Steel, w.Twisting
	t.Crank.JournalFillet, t.Crank.OilBore, t.Crank.OilBoreAngle = w.Crank.JournalFillet, w.Crank.OilBore, w.Crank.OilBoreAngle
	t.Flywheel = 0.1
	return t
}

// driven are the engines of the snapshots of gas and torque, by short name.
func driven(tb testing.TB) map[string]*analysis.Result {
	tb.Helper()
	out := map[string]*analysis.Result{}
	run := func(name string, t *layout.Train, opt analysis.Options) {
		opt.Drive = true
		r, err := analysis.Run(t, opt)
		if err != nil {
			tb.Fatalf("%s: %v", name, err)
		}
		if r.Drive == nil {
			tb.Fatalf("%s: %s", name, r.NoDrive)
		}
		out[name] = r
	}
	run("gas-i4", working(inline("Inline four, flat-plane", 0, 180, 180, 0).train(), nil), analysis.Options{})
	run("gas-v8-off", working(vee("V8 90°, cross-plane <test> & \"co\", a name too long to stand in a line of its own", 90, 0, 90, 270, 180).train(),
		func(_ *layout.Train, w *estimate.Working) { w.Gas.Off = []int{2, 5} }), analysis.Options{Load: 0.3, Speed: 300})
	run("gas-two-stroke", working(build{name: "Two-stroke twin", pins: []float64{0, 180}, pinAt: []float64{0, 0.1}, banks: []float64{0}, cyl: [][3]float64{{0, 0, 0}, {1, 0, 0.1}}, cycle: layout.TwoStroke, known: true}.train(), nil),
		analysis.Options{})
	run("gas-diesel-light", working(inline("", 0, 120, 240).train(),
		func(_ *layout.Train, w *estimate.Working) { w.Gas.CompressionRatio = 17 }), analysis.Options{Light: true, Speed: 150})
	return out
}

// The torque in the sense of rotation does not care which way the crank turns.
func TestClockwiseDrivesTheSame(t *testing.T) {
	var figures [2]map[string]Figure
	for i, rotation := range []layout.Rotation{layout.Anticlockwise, layout.Clockwise} {
		train := working(inline("offset", 30, 150).train(), nil)
		train.Cylinders[0].Offset = 0.012
		train.Rotation = rotation
		r, err := analysis.Run(train, analysis.Options{Drive: true})
		if err != nil || r.Drive == nil {
			t.Fatal(err, r.NoDrive)
		}
		figures[i] = map[string]Figure{}
		for _, e := range Gallery() {
			if e.Drive {
				figures[i][e.Name] = e.Draw(Options{ByCylinder: true}, r)
			}
		}
	}
	for name, f := range figures[0] {
		if same := string(f.SVG()) == string(figures[1][name].SVG()); same == (name == "polar-main") { // that one is seen from the drive end
			t.Errorf("%s: same picture as of the mirror image: %v", name, same)
		}
	}
	if len(figures[0]) != 16 {
		t.Errorf("%d figures of gas, torque, crank, bearings and friction, want 16", len(figures[0]))
	}
}

// A drawn curve must pass through its values: the mean over the curve's area is the work.
func TestTorqueCurveIsDrawnToScale(t *testing.T) {
	r := driven(t)["gas-i4"]
	f := torqueOf(r.Drive, false)
	g := curveOf(f.nodes, "gas and inertia")
	mean := curveOf(f.nodes, "mean "+quantity(r.Drive.Curves.Mean, "N m"))
	if len(g) < 20 || len(mean) != 2 {
		t.Fatalf("curves of %d and %d points", len(g), len(mean))
	}
	area := 0.0
	for i := 1; i < len(g); i++ {
		area += (g[i].x - g[i-1].x) * (g[i].y + g[i-1].y) / 2
	}
	if got, want := area/(g[len(g)-1].x-g[0].x), mean[0].y; math.Abs(got-want) > 0.1 {
		t.Errorf("the mean of the drawn curve stands at %g, the mean line at %g", got, want)
	}
}

// An ideal gas compressed by p V^n = constant is a straight line on logarithmic scales.
func TestPolytropeIsStraight(t *testing.T) {
	var c Cycle
	c.Name = "polytrope"
	for i := range 200 {
		v := 5e-5 * math.Pow(10, float64(i)/199)
		c.Volume, c.Pressure = append(c.Volume, v), append(c.Pressure, 1e5*math.Pow(5e-4/v, 1.3))
	}
	f := Indicator(Head{Engine: "x", Speed: 100, Load: 1}, []Cycle{c})
	var curves [][]point
	for _, n := range f.nodes {
		if n, ok := n.(shape); ok && n.title == "polytrope" {
			if g, ok := n.geometry.(polygon); ok {
				curves = append(curves, g.points)
			}
		}
	}
	if len(curves) != 2 {
		t.Fatalf("%d curves, want an even and a logarithmic one", len(curves))
	}
	bend := func(g []point) float64 {
		a, b := g[0], g[0]
		for _, p := range g {
			if p.minus(a).length() > b.minus(a).length() {
				b = p
			}
		}
		most := 0.0
		for _, p := range g {
			most = math.Max(most, toSegment(p, a, b))
		}
		return most
	}
	if even, double := bend(curves[0]), bend(curves[1]); even < 20 || double > 0.1 {
		t.Errorf("the line bends by %g on even and by %g on logarithmic scales", even, double)
	}
}

// Where a two-stroke's openings or a four-stroke's wrap round the end of the figure, nothing of them is lost.
func TestOpeningsKeepTheirLength(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		period := num.Turn * num.Angle(rapid.IntRange(1, 2).Draw(rt, "turns"))
		c := PressureCycle{Cycle: Cycle{Name: "all", Pressure: []float64{5e5, 4e5, 1e5, 1e5}}, Period: period}
		c.IntakeOpens = num.Angle(rapid.Float64Range(-7, 7).Draw(rt, "opens"))
		c.IntakeCloses = c.IntakeOpens + num.Angle(rapid.Float64Range(0.1, 0.99).Draw(rt, "open for"))*period
		c.ExhaustOpens, c.ExhaustCloses = 0, 1
		f := Pressure(Head{}, []PressureCycle{c}, false)
		length := 0.0
		for _, n := range f.nodes {
			if g, ok := n.(*group); ok && g.role == "openings" {
				for _, m := range g.nodes {
					if m, ok := m.(shape); ok && m.look.fill == with {
						p := m.geometry.(polygon).points
						length += p[1].x - p[0].x
					}
				}
			}
		}
		want := (column - 58 - margin) * float64((c.IntakeCloses-c.IntakeOpens)/period)
		if math.Abs(length-want) > 1e-6 {
			rt.Errorf("drawn %g long, want %g", length, want)
		}
		check(t, "pressure", f)
	})
}

// anyFloats draws values that may be anything.
func anyFloats(t *rapid.T, name string) []float64 {
	odd := rapid.SampledFrom([]float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, 1e300, -1e300, 5e-324})
	usual := rapid.Float64Range(-1e6, 1e6)
	any1 := rapid.Custom(func(t *rapid.T) float64 {
		if rapid.IntRange(0, 9).Draw(t, "kind") == 0 {
			return odd.Draw(t, "odd")
		}
		return usual.Draw(t, "usual")
	})
	return rapid.SliceOfN(any1, 0, 40).Draw(t, name)
}

// Whatever the numbers are, the figures keep their promises.
func TestAnyNumbersCanBeDrawn(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		one := func(name string) float64 {
			list := anyFloats(rt, name)
			if len(list) == 0 {
				return 0
			}
			return list[0]
		}
		h := Head{Engine: rapid.String().Draw(rt, "engine"), Speed: one("speed"), Load: one("load"), Light: rapid.Bool().Draw(rt, "light")}
		cycle := Cycle{Name: rapid.String().Draw(rt, "name"), Volume: anyFloats(rt, "volume"), Pressure: anyFloats(rt, "pressure"), IMEP: one("imep")}
		check(t, "indicator", Indicator(h, []Cycle{cycle, cycle, {}, cycle, cycle}))
		p := PressureCycle{
			Cycle: cycle, Period: num.Angle(rapid.IntRange(0, 2).Draw(rt, "period")) * num.Turn, Released: anyFloats(rt, "released"),
			IntakeOpens: num.Angle(one("io")), IntakeCloses: num.Angle(one("ic")), ExhaustOpens: num.Angle(one("eo")), ExhaustCloses: num.Angle(one("ec")),
		}
		check(t, "pressure", Pressure(h, []PressureCycle{p, p}, rapid.Bool().Draw(rt, "compact")))
		parts := TorqueParts{Name: cycle.Name, Gas: anyFloats(rt, "gas"), Inertia: anyFloats(rt, "inertia"), Total: anyFloats(rt, "total")}
		push := Push{At: num.Angle(one("at")), Peak: one("peak"), Gap: num.Angle(one("gap"))}
		check(t, "torque", TorqueCycle(h, parts, one("mean"), []Push{push, push}, []TorqueParts{parts, parts}))
		check(t, "crank-speed", CrankSpeed(h, SpeedCycle{At: parts.Gas, Mean: one("mean"), Least: one("least"), Most: one("most"), LeastAt: num.Angle(one("l")), MostAt: num.Angle(one("m")), Fluctuation: one("f"), Rotor: one("j")}))
		var uneven []UnevenPoint
		var power []PowerPoint
		var orders []TorqueOrder
		for range rapid.IntRange(0, 5).Draw(rt, "points") {
			uneven = append(uneven, UnevenPoint{one("speed"), one("gas"), one("inertia"), one("total")})
			power = append(power, PowerPoint{one("speed"), one("torque"), one("power"), one("indicated"), one("brake"), one("friction"), one("low"), one("high"), true})
			orders = append(orders, TorqueOrder{rapid.IntRange(1, 99).Draw(rt, "k"), math.Abs(one("gas")), math.Abs(one("inertia")), math.Abs(one("total"))})
		}
		check(t, "inertia-share", InertiaShare(h, uneven, one("equal")))
		check(t, "power", PowerCurve(h, power, "anything"))
		check(t, "torque-orders", TorqueOrders(h, orders))
	})
}

// The bars are amplitudes of the same drive as the curve: the largest order of the sum is drawn longest in its row.
func TestOrdersAreThoseOfTheDrive(t *testing.T) {
	r := driven(t)["gas-i4"]
	f := torqueOrdersOf(r.Drive)
	for _, o := range r.Drive.Orders[:2] {
		if want := "Order " + orderName(o.K) + ": gas " + quantity(cmplx.Abs(o.Gas), "N m"); !strings.Contains(f.Desc, want) {
			t.Errorf("the description lacks %q: %s", want, f.Desc)
		}
	}
}

// Without gas the figures say why.
func TestFiguresOfNoDriveSayWhy(t *testing.T) {
	r, err := analysis.Run(inline("no gas", 0).train(), analysis.Options{Drive: true})
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range Gallery() {
		if e.Drive {
			f := e.Draw(e.Defaults, r)
			check(t, e.Name, f)
			if !strings.Contains(f.Desc, "compression ratio is missing") {
				t.Errorf("%s does not say why: %s", e.Name, f.Desc)
			}
		}
	}
}

// A crank that hardly fluctuates must not look rough, and the values at its axis must differ.
func TestAlmostEvenSpeed(t *testing.T) {
	c := SpeedCycle{Mean: 576, Least: 576 - 1e-7, Most: 576 + 1e-7, Fluctuation: 3.5e-10, Rotor: 1e6}
	for j := range 360 {
		c.At = append(c.At, 576+1e-7*math.Sin(float64(j)*math.Pi/90))
	}
	f := CrankSpeed(Head{Engine: "even", Speed: 576, Load: 1}, c)
	check(t, "crank-speed", f)
	seen := map[string]bool{}
	eachLabel(f.nodes, func(l label) {
		if l.at.x < 58 && l.align == end {
			if seen[l.text] {
				t.Errorf("%s stands at the axis twice", l.text)
			}
			seen[l.text] = true
		}
	})
	if len(seen) < 3 {
		t.Errorf("only %d values at the axis", len(seen))
	}
}

func BenchmarkTorqueFigure(b *testing.B) {
	r := driven(b)["gas-v8-off"]
	for b.Loop() {
		torqueOf(r.Drive, true).SVG()
	}
}

func BenchmarkPowerFigure(b *testing.B) {
	r := driven(b)["gas-i4"]
	for b.Loop() {
		sweep, err := sweepOf(r.Drive)
		if err != nil {
			b.Fatal(err)
		}
		powerOf(r.Drive, sweep).SVG()
	}
}

// However many cylinders differ, one that is switched off is seen.
func TestSwitchedOffCylinderIsSeen(t *testing.T) {
	train := working(radial(5), func(_ *layout.Train, w *estimate.Working) { w.Gas.Off = []int{1} })
	r, err := analysis.Run(train, analysis.Options{Drive: true})
	if err != nil || r.Drive == nil {
		t.Fatal(err, r.NoDrive)
	}
	if len(r.Drive.Cycles) <= mostCycles {
		t.Fatalf("only %d different cycles; the test proves nothing", len(r.Drive.Cycles))
	}
	for _, f := range []Figure{Indicator(HeadOf(r.Drive), CyclesOf(r.Drive)), Pressure(HeadOf(r.Drive), PressuresOf(r.Drive), true)} {
		check(t, f.Title, f)
		if !strings.Contains(string(f.SVG()), "cylinder 2, off") {
			t.Errorf("%s does not show the cylinder that is off", f.Title)
		}
	}
}
