package analysis_test

import (
	"math"
	"math/cmplx"
	"slices"
	"strings"
	"testing"

	"crankwright/analysis"
	"crankwright/mechanics/layout"
)

func torsionOf(t testing.TB, train *layout.Train) *analysis.Torsion {
	t.Helper()
	d, err := analysis.NewDriver(train)
	if err != nil {
		t.Fatal(err)
	}
	r, err := d.Torsion(0)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestTorsionOfExamples holds every example against identities: a critical speed times its order is a natural frequency,
// vector sums are the sum of their parts, the engine's own order is among those ranked, a damper of the optimum brings the
// largest stress down or leaves it.
func TestTorsionOfExamples(t *testing.T) {
	examples(t, func(name string, train *layout.Train) {
		if name == "offset-pair" {
			return // it has no sizes
		}
		t.Run(name, func(t *testing.T) {
			r := torsionOf(t, train)
			if r.Winding < 0 || len(r.Spans) == 0 || len(r.Tries) != 3 {
				t.Fatalf("winding %d, %d spans, %d dampers", r.Winding, len(r.Spans), len(r.Tries))
			}
			for _, c := range r.Criticals {
				within(t, "critical speed", c.Speed*float64(c.K)/2, r.Modes[c.Mode].Frequency, 1e-9*r.Modes[c.Mode].Frequency)
			}
			for i, sums := range r.Vectors {
				for k := 1; k < len(sums); k++ {
					sum := complex(0, 0)
					for _, p := range r.VectorParts(i, k) {
						sum += p
					}
					if cmplx.Abs(sum-sums[k]) > 1e-9 {
						t.Fatalf("order %g: parts sum to %v, not %v", float64(k)/2, sum, sums[k])
					}
				}
			}
			if r.Own < 0 {
				t.Error("the engine's own firing order is not among those ranked")
			}
			none := r.Tries[0].Stress
			for _, y := range r.Tries[1:] {
				if y.Stress > 1.02*none || !(y.Heat > 0) {
					t.Errorf("%s: %.3g MPa with, %.3g MPa without, %.3g W", y.Kind, y.Stress/1e6, none/1e6, y.Heat)
				}
			}
		})
	})
}

// TestTorsionTrends holds the shaft against what everybody of the trade knows; source: common practice.
func TestTorsionTrends(t *testing.T) {
	frequency := func(train *layout.Train) float64 {
		r := torsionOf(t, train)
		return r.Bare[r.Winding].Frequency
	}
	base := exampleTrain(t, "inline-six")
	f := frequency(base)
	thick := *base
	thick.Crank.Crankpin.Diameter *= 1.1
	thick.Crank.MainJournal.Diameter *= 1.1
	if g := frequency(&thick); !(g > 1.1*f) {
		t.Errorf("thicker journals: %g, before %g", g, f)
	}
	wheel := *base
	wheel.Flywheel *= 3
	if g := frequency(&wheel); !(g < f) {
		t.Errorf("heavier flywheel: %g, before %g", g, f)
	}
	if four := frequency(exampleTrain(t, "inline-four-flat")); !(four > f) {
		t.Errorf("a four at %g, a longer six at %g", four, f)
	}
	// a long crank with the usual six-cylinder order feels order 4.5 in its first mode, and orders 3 and 6
	r := torsionOf(t, base)
	sums := r.Vectors[0]
	if !(cmplx.Abs(sums[9]) > cmplx.Abs(sums[8]) && cmplx.Abs(sums[9]) > cmplx.Abs(sums[10])) {
		t.Errorf("sums of orders 4, 4.5, 5: %.3g %.3g %.3g", cmplx.Abs(sums[8]), cmplx.Abs(sums[9]), cmplx.Abs(sums[10]))
	}
	// twice the magnifier: more stress, less than twice
	loud := *base
	loud.Twisting.Magnifier *= 2
	a, b := torsionOf(t, base).Tries[0].Stress, torsionOf(t, &loud).Tries[0].Stress
	if !(b > 1.2*a && b < 2*a) {
		t.Errorf("magnifier doubled: %g after %g", b, a)
	}
}

// TestFittedDamper holds a damper of the file against the one that the optimum sizes, and a driven line behind a gear
// against the same one as the crank feels it.
func TestFittedDamper(t *testing.T) {
	base := exampleTrain(t, "inline-six")
	bare := torsionOf(t, base)
	fitted := *base
	fitted.Twisting.Damper = layout.Damper{Kind: layout.Viscous, Ring: bare.Tries[2].Damper.Ring}
	r := torsionOf(t, &fitted)
	within(t, "stress with the fitted damper", r.Fitted.Stress, bare.Tries[2].Stress, 1e-9*r.Fitted.Stress)
	if len(r.Modes) != len(bare.Modes)+1 {
		t.Errorf("%d modes with a ring, %d without", len(r.Modes), len(bare.Modes))
	}
	worst := 0.0
	for _, p := range r.Spans {
		worst = math.Max(worst, p.Stress)
	}
	within(t, "largest stress of the spans", worst, r.Fitted.Stress, 1e-9*worst)

	geared, plain := *base, *base
	geared.Twisting.Driven = []layout.ShaftPart{{Name: "pump", Inertia: 0.02, Stiffness: 5e3, Ratio: 2}}
	plain.Twisting.Driven = []layout.ShaftPart{{Name: "pump", Inertia: 0.08, Stiffness: 2e4}}
	a, b := torsionOf(t, &geared), torsionOf(t, &plain)
	for i := range a.Bare {
		within(t, "frequency behind a gear", a.Bare[i].Frequency, b.Bare[i].Frequency, 1e-6*(1+b.Bare[i].Frequency))
	}
	if a.Winding == 1 {
		t.Error("the soft driven line is taken for the mode that winds the crank up")
	}
}

// TestNarrowResonance holds the sweep against the response at every critical speed: a driven line that hardly anything damps
// has resonances narrower than the step between two speeds. Definition.
func TestNarrowResonance(t *testing.T) {
	train := *exampleTrain(t, "inline-six")
	train.Twisting.Driven = []layout.ShaftPart{{Name: "pump", Inertia: 0.02, Stiffness: 4e4, Damping: 0.5, Ratio: 2, Diameter: 0.03}}
	r := torsionOf(t, &train)
	for _, c := range r.Criticals {
		if r.Modes[c.Mode].Magnifier(r.Model) > 1000 {
			continue
		}
		near := math.Inf(1)
		for _, ω := range r.Speeds {
			near = math.Min(near, math.Abs(ω-c.Speed))
		}
		if near > 1e-6*c.Speed {
			t.Errorf("no speed of the sweep lies at the critical speed %g of order %g", c.Speed, float64(c.K)/2)
		}
	}
	if !slices.ContainsFunc(r.Notes, func(n string) bool { return strings.Contains(n, "pump turns 2 times as fast") }) {
		t.Errorf("nothing says how the pump is shown: %q", r.Notes)
	}
	loose := train
	loose.Twisting.Driven = []layout.ShaftPart{{Name: "pump", Inertia: 1e-4, Stiffness: 200}}
	if r := torsionOf(t, &loose); !slices.ContainsFunc(r.Notes, func(n string) bool { return strings.HasPrefix(n, "Hardly anything damps") }) {
		t.Errorf("nothing says that the driven line is not damped: %q", r.Notes)
	}
}

// TestDamperCountsItsHub: the optimum is that of the shaft with the hub on its free end. Definition.
func TestDamperCountsItsHub(t *testing.T) {
	base := *exampleTrain(t, "inline-six")
	base.Twisting.Damper = layout.Damper{Kind: layout.Viscous}
	hubbed := base
	hubbed.Twisting.Damper.Hub = 0.004
	a, b := torsionOf(t, &base).Damper, torsionOf(t, &hubbed).Damper
	if !(b.Ring > a.Ring && b.Damping/b.Ring < a.Damping/a.Ring) {
		t.Errorf("with a hub a ring of %g and %g a ring, without %g and %g", b.Ring, b.Damping/b.Ring, a.Ring, a.Damping/a.Ring)
	}
}
