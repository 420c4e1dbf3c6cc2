package analysis_test

import (
	"math"
	"strings"
	"testing"

	"crankwright/analysis"
	"crankwright/mechanics/layout"
)

func strengthOf(t testing.TB, train *layout.Train, twist, beyond bool) *analysis.Strength {
	t.Helper()
	d, err := analysis.NewDriver(train)
	if err != nil {
		t.Fatal(err)
	}
	r, err := d.At(analysis.DriveOptions{})
	if err != nil {
		t.Fatal(err)
	}
	opt := analysis.StrengthOptions{Beyond: beyond}
	if twist {
		if opt.Torsion, err = d.Torsion(0); err != nil {
			t.Fatal(err)
		}
	}
	s, err := d.Strength(r, opt)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestStrengthOfExamples: two webs a throw beside mains, the torque behind the last throw is the engine's, and vibration
// never takes the torque of a stiff shaft below its own.
func TestStrengthOfExamples(t *testing.T) {
	examples(t, func(name string, train *layout.Train) {
		if name == "offset-pair" {
			return // it has no sizes
		}
		t.Run(name, func(t *testing.T) {
			stiff, swings := strengthOf(t, train, false, false), strengthOf(t, train, true, false)
			pairs := map[int]bool{}
			for _, th := range train.Throws {
				pairs[th.Pair] = true
			}
			if len(stiff.Webs) != 2*len(pairs) {
				t.Fatalf("%d webs for %d throws", len(stiff.Webs), len(pairs))
			}
			lo, hi := math.Inf(1), math.Inf(-1)
			for _, v := range stiff.Drive.Curves.Total {
				lo, hi = math.Min(lo, v), math.Max(hi, v)
			}
			last := stiff.Webs[len(stiff.Webs)-1]
			within(t, "torque behind the last throw", last.Loads.JournalTorque, (hi-lo)/2, 2e-3*(hi-lo))
			for i := range stiff.Webs {
				a, b := &stiff.Webs[i], &swings.Webs[i]
				if a.Assessment == nil && !strings.Contains(a.Refused, "the rule holds") {
					t.Errorf("%s: %q", a.Name, a.Refused)
				}
				if b.Loads.Bending != a.Loads.Bending || a.Assessment != nil && !(b.Assessment.Worst().Q > 0) {
					t.Errorf("%s: %+v %+v", a.Name, a.Loads, b.Loads)
				}
			}
		})
	})
}

// TestStrengthTrends holds strength against what everybody of the trade knows; source: common practice.
func TestStrengthTrends(t *testing.T) {
	q := func(train *layout.Train) float64 {
		return strengthOf(t, train, false, false).Worst().Assessment.Worst().Q
	}
	base := exampleTrain(t, "inline-four-flat")
	was := q(base)
	thin := *base
	thin.Crank.Web.Thickness *= 0.85
	if now := q(&thin); !(now < was) {
		t.Errorf("thinner webs: Q %g after %g", now, was)
	}
	cast := *base
	cast.Steel.Make = layout.CastSteel
	if now := q(&cast); !(now < was) {
		t.Errorf("cast steel: Q %g after %g", now, was)
	}
	boost := *base
	boost.Gas.IntakePressure *= 1.8
	if now := q(&boost); !(now < was) {
		t.Errorf("boosted: Q %g after %g", now, was)
	}
	// an opposed engine on own pins, whose webs and bearings share the room of one throw, is weaker than an inline of equal bore
	if opposed := q(exampleTrain(t, "opposed-four-own-pins")); !(opposed < was) {
		t.Errorf("opposed: Q %g, inline %g", opposed, was)
	}
}

// TestStrengthOutsideTheRule: a fillet too small for the rule is refused by name, and labelled where it is asked for.
func TestStrengthOutsideTheRule(t *testing.T) {
	train := exampleTrain(t, "inline-four-flat")
	train.Crank.Fillet, train.Crank.JournalFillet = 0.001, 0.001
	s := strengthOf(t, train, false, false)
	if s.Worst() != nil || !strings.Contains(s.Webs[0].Refused, "fillet radius of the pin over the pin's diameter is 0.02, and the rule holds from 0.03 to 0.13") {
		t.Errorf("%+v", s.Webs[0])
	}
	s = strengthOf(t, train, false, true)
	if s.Worst() == nil || len(s.Worst().Assessment.Outside) != 2 {
		t.Errorf("%+v", s.Webs[0])
	}
	train.Crank.Fillet = 0
	d, err := analysis.NewDriver(train)
	if err != nil {
		t.Fatal(err)
	}
	r, err := d.At(analysis.DriveOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := d.Strength(r, analysis.StrengthOptions{}); err == nil || !strings.Contains(err.Error(), "fillet radius") {
		t.Errorf("no fillet: %v", err)
	}
}

func BenchmarkStrength(b *testing.B) {
	d, err := analysis.NewDriver(exampleTrain(b, "vee-eight-90-cross"))
	if err != nil {
		b.Fatal(err)
	}
	r, err := d.At(analysis.DriveOptions{})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := d.Strength(r, analysis.StrengthOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}
