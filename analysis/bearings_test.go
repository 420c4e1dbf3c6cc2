package analysis_test

import (
	"errors"
	"math"
	"math/cmplx"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"crankwright/analysis"
	"crankwright/estimate"
	"crankwright/mechanics/bearing"
	"crankwright/mechanics/layout"
)

func bearingsOf(t testing.TB, train *layout.Train, opt analysis.BearingOptions) *analysis.Bearings {
	t.Helper()
	d, err := analysis.NewDriver(train)
	if err != nil {
		t.Fatal(err)
	}
	r, err := d.At(analysis.DriveOptions{})
	if err != nil {
		t.Fatal(err)
	}
	b, err := d.Bearings(r, opt)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func examples(t testing.TB, f func(name string, train *layout.Train)) {
	t.Helper()
	files, err := filepath.Glob("../examples/*.engine.yaml")
	if err != nil || len(files) < 20 {
		t.Fatal(files, err)
	}
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".engine.yaml")
		f(name, exampleTrain(t, name))
	}
}

// TestBearingsOfExamples holds every example against what two chapters must agree in and what a film must be: the torque of
// rods on the crank is that of gas and inertia; forces on the mains sum to the same however they share; films repeat.
func TestBearingsOfExamples(t *testing.T) {
	examples(t, func(name string, train *layout.Train) {
		t.Run(name, func(t *testing.T) {
			b := bearingsOf(t, train, analysis.BearingOptions{Films: true, Others: true})
			largest := 0.0
			for _, v := range b.Drive.Curves.Total {
				largest = math.Max(largest, math.Abs(v))
			}
			for j, v := range b.Loads.Torque {
				within(t, "torque on the crank", v, b.Drive.Curves.Total[2*j], 2e-4*largest) // a firing between two angles is interpolated
			}
			for _, list := range [][]analysis.Carried{b.Mains, b.BigEnds} {
				for _, c := range list {
					if c.Film == nil {
						if c.NoFilm == "" || name != "offset-pair" {
							t.Errorf("%s has no film: %q", c.Name, c.NoFilm)
						}
						continue
					}
					if !c.Floats() || !(c.Film.MinFilm > 0 && c.Film.MinFilm < c.Gap.Clearance) || !(c.Film.MeanPower > 0) || !(c.Use > 0) {
						t.Errorf("%s: film %g of %g, power %g, settled %v, touches %d, use %g", c.Name, c.Film.MinFilm, c.Gap.Clearance, c.Film.MeanPower, c.Film.Settled, c.Film.Touches, c.Use)
					}
				}
			}
			if len(b.Policies) != 5 || b.Policies[0].Worst.Force < b.Mains[0].Specific.Force*(1-1e-9) {
				t.Errorf("policies: %+v", b.Policies)
			}
			if name == "offset-pair" != (b.NoBudget != "") || name == "offset-pair" != (b.NoBeam != "") {
				t.Errorf("no budget %q, no beam %q", b.NoBudget, b.NoBeam)
			}
		})
	})
}

// TestSharingKeepsTheSum: however the mains share, their sum is what rods and crank load onto them at every angle.
func TestSharingKeepsTheSum(t *testing.T) {
	for _, name := range []string{"vee-eight-90-cross", "opposed-six", "vee-six-90-split"} {
		train := exampleTrain(t, name)
		beam := bearingsOf(t, train, analysis.BearingOptions{})
		train.Bearings.Sharing = layout.SharedByBays
		bays := bearingsOf(t, train, analysis.BearingOptions{})
		if beam.Method == bays.Method {
			t.Fatal(name, "shares one way only")
		}
		for j := range beam.Loads.Torque {
			var a, b complex128
			for k := range beam.Loads.Mains {
				a += beam.Loads.Mains[k][j]
				b += bays.Loads.Mains[k][j]
			}
			if cmplx.Abs(a-b) > 1e-6*beam.Mains[0].Specific.Force {
				t.Fatalf("%s, %d°: %v by beam, %v by bays", name, j, a, b)
			}
		}
	}
}

// TestBackwardsIsTheMirrorImage: a clockwise engine has the forces of its mirror image, and the same films.
func TestBackwardsIsTheMirrorImage(t *testing.T) {
	train := exampleTrain(t, "vee-eight-90-cross")
	there := bearingsOf(t, train, analysis.BearingOptions{Films: true})
	train.Rotation = layout.Clockwise
	back := bearingsOf(t, train, analysis.BearingOptions{Films: true})
	for k := range there.Mains {
		a, b := &there.Mains[k], &back.Mains[k]
		within(t, a.Name, b.Specific.Force, a.Specific.Force, 1e-6*a.Specific.Force)
		within(t, a.Name+" film", b.Film.MinFilm, a.Film.MinFilm, 1e-6*a.Film.MinFilm)
		for j := range there.Loads.Mains[k] {
			if f, g := there.Loads.Mains[k][j], back.Loads.Mains[k][j]; cmplx.Abs(f+cmplx.Conj(g)) > 1e-6*a.Specific.Force {
				t.Fatalf("%s at %d°: %v and %v", a.Name, j, f, g)
			}
		}
	}
}

// TestTrendsOfTheTrade holds the model against what everybody of the trade knows; source: common practice.
func TestTrendsOfTheTrade(t *testing.T) {
	base := func() *layout.Train { return exampleTrain(t, "inline-four-flat") }
	film := func(t *testing.T, train *layout.Train) (main, big analysis.Carried) {
		t.Helper()
		b := bearingsOf(t, train, analysis.BearingOptions{Films: true})
		return b.Mains[1], b.BigEnds[0]
	}
	main, big := film(t, base())

	// A narrower bearing carries more on each square millimetre, on a thinner film. The crank keeps its length.
	narrow := base()
	narrow.Crank.MainJournal.Width *= 0.7
	narrow.Crank.Crankpin.Width *= 0.7
	narrow.Crank.Web.Thickness += 0.15 * (base().Crank.MainJournal.Width + base().Crank.Crankpin.Width)
	m, p := film(t, narrow)
	if !(m.Specific.Peak > main.Specific.Peak && m.Film.MinFilm < main.Film.MinFilm && p.Specific.Peak > big.Specific.Peak && p.Film.MinFilm < big.Film.MinFilm) {
		t.Errorf("narrower: main %g MPa %g µm, big end %g MPa %g µm", m.Specific.Peak/1e6, m.Film.MinFilm*1e6, p.Specific.Peak/1e6, p.Film.MinFilm*1e6)
	}
	// A groove all round costs film.
	grooved := base()
	grooved.Bearings.Main.Grooved = true
	if m, _ := film(t, grooved); !(m.Film.MinFilm < 0.7*main.Film.MinFilm && m.Specific.Peak > main.Specific.Peak) {
		t.Errorf("grooved: %g µm, plain %g µm", m.Film.MinFilm*1e6, main.Film.MinFilm*1e6)
	}
	// Hot or thin oil carries less.
	hot := base()
	hot.Bearings.Feed += 30
	if m, _ := film(t, hot); !(m.Film.MinFilm < main.Film.MinFilm && m.Film.MeanPower < main.Film.MeanPower) {
		t.Errorf("hot oil: %g µm %g W", m.Film.MinFilm*1e6, m.Film.MeanPower)
	}
	// Counterweights relieve the mains of a flat four, the middle one most of all.
	b := bearingsOf(t, base(), analysis.BearingOptions{Others: true})
	var none, turning analysis.PolicyLoads
	for _, q := range b.Policies {
		switch q.Name {
		case "none":
			none = q
		case "turning masses alone":
			turning = q
		}
	}
	if !(turning.Mean < 0.6*none.Mean) || none.Mains[2].MeanForce < none.Mains[1].MeanForce {
		t.Errorf("none: mean %g, middle %g; turning masses: mean %g", none.Mean, none.Mains[2].MeanForce, turning.Mean)
	}
	// An opposed engine on own pins has less web and narrower bearings than an inline of equal bore at the same spacing.
	opposed := exampleTrain(t, "opposed-four-own-pins")
	inline := base()
	if opposed.Bore != inline.Bore || !(opposed.Crank.Web.Thickness < inline.Crank.Web.Thickness && opposed.Crank.MainJournal.Width < inline.Crank.MainJournal.Width && opposed.Crank.Crankpin.Width < inline.Crank.Crankpin.Width) {
		t.Errorf("opposed %+v, inline %+v", opposed.Crank, inline.Crank)
	}
	need := bearing.Needs{Main: inline.Crank.MainJournal.Width, Pin: inline.Crank.Crankpin.Width, Web: inline.Crank.Web.Thickness}
	budget, _, err := analysis.Room(opposed, need)
	if err != nil {
		t.Fatal(err)
	}
	if len(budget.Conflicts()) == 0 {
		t.Error("the opposed engine has room for the inline's journals and webs")
	}
	// An opposed engine's two cylinders fire against each other's bearings: without a main between two pins the load is larger.
	own := bearingsOf(t, opposed, analysis.BearingOptions{Films: true})
	if !(own.BigEnds[0].Specific.Peak > big.Specific.Peak && own.BigEnds[0].Film.MinFilm < big.Film.MinFilm) {
		t.Errorf("opposed big end %g MPa, inline %g MPa", own.BigEnds[0].Specific.Peak/1e6, big.Specific.Peak/1e6)
	}
}

// TestAnyLasting draws sizes, bearings, steel and shafts at random: an error or finite results, never a panic.
func TestAnyLasting(t *testing.T) {
	base := exampleTrain(t, "vee-twin-52")
	rapid.Check(t, func(t *rapid.T) {
		train := *base
		c := &train.Crank
		w := estimate.Working{Crank: *c, Bearings: train.Bearings, Steel: train.Steel, Twisting: train.Twisting, Turning: train.Turning}
		var at []*float64
		for _, f := range w.Fields() {
			if section, _, _ := strings.Cut(f.Key, "."); section != "gas" && section != "friction" {
				at = append(at, f.At)
			}
		}
		at = append(at, &train.Flywheel, &train.Bore)
		g := &w.Crank
		at = append(at, &g.MainJournal.Diameter, &g.MainJournal.Width, &g.MainJournal.Bore, &g.Crankpin.Diameter, &g.Crankpin.Width, &g.Crankpin.Bore, &g.Web.Thickness, &g.Web.Width, &g.Fillet)
		for range rapid.IntRange(1, 4).Draw(t, "changes") {
			p := at[rapid.IntRange(0, len(at)-1).Draw(t, "field")]
			*p = rapid.OneOf(
				rapid.Custom(func(t *rapid.T) float64 { return *p * rapid.Float64Range(0, 3).Draw(t, "factor") }),
				rapid.SampledFrom([]float64{0, -1, math.NaN(), math.Inf(1), 1e300, 1e-300, 1e9}),
			).Draw(t, "value")
		}
		train.Crank, train.Bearings, train.Steel, train.Twisting, train.Turning = w.Crank, w.Bearings, w.Steel, w.Twisting, w.Turning
		if rapid.Bool().Draw(t, "parts") {
			part := layout.ShaftPart{Name: "pump", Inertia: rapid.Float64Range(-1, 2).Draw(t, "inertia"), Stiffness: rapid.Float64Range(-1, 1e6).Draw(t, "stiffness"), Ratio: rapid.Float64Range(-2, 2).Draw(t, "ratio")}
			train.Twisting.Driven = []layout.ShaftPart{part}
		}
		train.Twisting.Damper.Kind = rapid.SampledFrom([]layout.DamperKind{layout.NoDamper, layout.Rubber, layout.Viscous, "odd"}).Draw(t, "damper")
		train.Twisting.Damper.Ring = rapid.SampledFrom([]float64{0, 1e-9, 0.01, 1e5}).Draw(t, "ring")
		d, err := analysis.NewDriver(&train)
		if err != nil {
			return
		}
		r, err := d.At(analysis.DriveOptions{Speed: 200})
		if err != nil {
			return
		}
		finiteNumber := func(what string, v float64) {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("%s is %g", what, v)
			}
		}
		if b, err := d.Bearings(r, analysis.BearingOptions{Films: true, Others: true}); err == nil {
			for _, list := range [][]analysis.Carried{b.Mains, b.BigEnds} {
				for _, c := range list {
					finiteNumber(c.Name, c.Specific.Peak)
					if c.Film != nil {
						finiteNumber(c.Name+" film", c.Film.MinFilm)
						finiteNumber(c.Name+" power", c.Film.MeanPower)
					}
				}
			}
		}
		if x, err := d.Torsion(0); err == nil {
			for _, p := range x.Spans {
				finiteNumber(p.Name, p.Stress)
			}
			for _, y := range x.Tries {
				finiteNumber(string(y.Kind), y.Stress)
			}
		}
	})
}

func TestBearingsSayWhatIsMissing(t *testing.T) {
	train := exampleTrain(t, "inline-four-flat")
	train.Bearings.Oil = "castor"
	b := bearingsOf(t, train, analysis.BearingOptions{Films: true})
	if b.Mains[0].Film != nil || !strings.Contains(b.Mains[0].NoFilm, `"castor"`) {
		t.Errorf("no film: %q", b.Mains[0].NoFilm)
	}
	train = exampleTrain(t, "single")
	train.Flywheel, train.Turning.Driven = 0, 0
	d, err := analysis.NewDriver(train)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := d.Torsion(0); !errors.Is(err, analysis.ErrStiff) {
		t.Errorf("a single disc: %v", err)
	}
	d, err = analysis.NewDriver(exampleTrain(t, "offset-pair"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := d.Torsion(0); err == nil || !strings.Contains(err.Error(), "diameter of the main journals is missing") {
		t.Errorf("no sizes: %v", err)
	}
}

// BenchmarkBearings is one engine at one speed: loads, films, policies, room.
func BenchmarkBearings(b *testing.B) {
	for _, name := range []string{"inline-four-flat", "vee-eight-90-cross"} {
		d, err := analysis.NewDriver(exampleTrain(b, name))
		if err != nil {
			b.Fatal(err)
		}
		r, err := d.At(analysis.DriveOptions{})
		if err != nil {
			b.Fatal(err)
		}
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := d.Bearings(r, analysis.BearingOptions{Films: true, Others: true}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkTorsion is one engine over its speeds: gas at some, four sweeps, firing orders.
func BenchmarkTorsion(b *testing.B) {
	for _, name := range []string{"inline-four-flat", "vee-eight-90-cross"} {
		d, err := analysis.NewDriver(exampleTrain(b, name))
		if err != nil {
			b.Fatal(err)
		}
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := d.Torsion(0); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// TestOverloadLosesTheFilm: bearings far too small touch, and the words say so.
func TestOverloadLosesTheFilm(t *testing.T) {
	b := bearingsOf(t, engineOf(t, `name: Overload
cycle: four-stroke
bore: 100 mm
stroke: 100 mm
layout: {arrangement: inline, cylinders: 2, pins: [0, 180] deg, cylinder_spacing: 110 mm}
crank:
  main_journal: {diameter: 40 mm, width: 9 mm}
  crankpin: {diameter: 36 mm, width: 9 mm}
  web: {thickness: 10 mm, width: 60 mm}
  fillet_radius: 1.5 mm
gas: {compression_ratio: 17, imep: 25 bar}
speeds: {rated: 1500 rpm}
`), analysis.BearingOptions{Films: true})
	for _, list := range [][]analysis.Carried{b.Mains, b.BigEnds} {
		for _, c := range list {
			if c.Film == nil || c.Floats() || !(c.Use > 1) {
				t.Errorf("%s: film %+v, use %g", c.Name, c.Film != nil, c.Use)
			}
		}
	}
}

// TestThickFilmIsNotLost: cold thick oil under a light load never settles, and is not called lost; no metals touch.
func TestThickFilmIsNotLost(t *testing.T) {
	train := exampleTrain(t, "inline-four-flat")
	train.Bearings.Oil, train.Bearings.Feed = "15W-40", bearing.Zero-20
	d, err := analysis.NewDriver(train)
	if err != nil {
		t.Fatal(err)
	}
	r, err := d.At(analysis.DriveOptions{Speed: train.Speeds.Idle, Light: true})
	if err != nil {
		t.Fatal(err)
	}
	b, err := d.Bearings(r, analysis.BearingOptions{Films: true})
	if err != nil {
		t.Fatal(err)
	}
	open := 0
	for _, c := range b.Mains {
		if c.Lost() || c.Film.Touches > 0 || c.Film.MinFilm < 5e-6 {
			t.Errorf("%s is lost: touches %d, %g µm", c.Name, c.Film.Touches, 1e6*c.Film.MinFilm)
		}
		if !c.Film.Settled {
			open++
			if c.Floats() {
				t.Errorf("%s floats on a path that does not repeat", c.Name)
			}
		}
	}
	if open == 0 {
		t.Error("every path repeats: this tests nothing")
	}
}

// TestRodsInOnePlane: rods of one throw in one plane share one bearing, which carries what all of them push onto the pin.
func TestRodsInOnePlane(t *testing.T) {
	star := engineOf(t, `name: Plain five
cycle: four-stroke
bore: 80 mm
stroke: 79.6 mm
layout: {arrangement: radial, cylinders: 5, pins: [0] deg, rods: plain}
rod: {length: 129 mm, mass: 0.405 kg, cg_from_big_end: 36.1 mm, inertia: 0.00124 kg m2}
piston: {mass: 0.323 kg}
speeds: {rated: 5500 rpm}
`)
	b := bearingsOf(t, star, analysis.BearingOptions{Films: true})
	if len(b.BigEnds) != 1 || b.BigEnds[0].Name != "big end 1+2+3+4+5" {
		t.Fatalf("%d big ends", len(b.BigEnds))
	}
	pin := 0.0
	for _, f := range b.Loads.Pins[0] {
		pin = math.Max(pin, cmplx.Abs(f))
	}
	c := &b.BigEnds[0]
	within(t, "largest load of the pin", c.Specific.Force, pin, 1e-9*pin)
	within(t, "its specific load", c.Specific.Peak, pin/(c.Bearing.Diameter*c.Bearing.Width), 1e-9*c.Specific.Peak)
	if c.Film == nil || c.Film.MinFilm <= 0 {
		t.Errorf("film: %q", c.NoFilm)
	}
	// Fork and blade: what two rods side by side share in width, they share in load when they move into one plane.
	twin := exampleTrain(t, "vee-twin-90")
	beside := bearingsOf(t, twin, analysis.BearingOptions{})
	if len(beside.BigEnds) != 2 {
		t.Fatalf("%d big ends side by side", len(beside.BigEnds))
	}
	twin.Cylinders[1].At = twin.Cylinders[0].At
	fork := bearingsOf(t, twin, analysis.BearingOptions{})
	if len(fork.BigEnds) != 1 || fork.BigEnds[0].Specific.Force < beside.BigEnds[0].Specific.Force {
		t.Errorf("fork rods: %d big ends, %g N; side by side %g N", len(fork.BigEnds), fork.BigEnds[0].Specific.Force, beside.BigEnds[0].Specific.Force)
	}
}

// TestSpecificLoadIsThatOfTheLand: a specific load is the force over what carries it, less the groove.
func TestSpecificLoadIsThatOfTheLand(t *testing.T) {
	for _, grooved := range []bool{false, true} {
		train := exampleTrain(t, "inline-four-flat")
		train.Bearings.Main.Grooved = grooved
		c := bearingsOf(t, train, analysis.BearingOptions{}).Mains[1]
		within(t, "specific load", c.Specific.Peak, c.Specific.Force/(c.Land.Diameter*c.Land.Width), 1e-9*c.Specific.Peak)
		if (c.Land.Width < c.Bearing.Width) != grooved {
			t.Errorf("grooved %v: %g mm of %g mm carry", grooved, 1e3*c.Land.Width, 1e3*c.Bearing.Width)
		}
	}
}
