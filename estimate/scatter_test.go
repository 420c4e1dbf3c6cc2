package estimate_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"crankwright/docs"
	"crankwright/estimate"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// estimated lists every key that Fill and FillWorking can estimate, with an estimate of each.
func estimated(t *testing.T) map[string]layout.Estimate {
	t.Helper()
	all := map[string]layout.Estimate{}
	for _, rods := range []int{1, 2, 5} {
		for _, square := range []bool{false, true} {
			e := estimate.Unknown()
			e.Cylinders, e.RodsPerPin = 2*rods, rods
			if rods == 2 {
				e.BankAngle = num.Degrees(15)
			}
			if square {
				e.Bore = 0.086
			} else {
				e.Stroke = 0.086
			}
			_, list := estimate.Fill(e)
			for _, x := range list {
				all[x.Key] = x
			}
		}
	}
	w := estimate.UnknownWorking()
	for _, f := range w.Fields() {
		all[f.Key] = layout.Estimate{Key: f.Key, Unit: f.Unit}
	}
	train := &layout.Train{Bore: 0.086, Throws: []layout.Throw{{Radius: 0.043}}, Cylinders: []layout.Cylinder{{Rod: layout.Rod{Length: 0.14}}}}
	_, list := estimate.FillWorking(train, estimate.General, w)
	for _, x := range list {
		all[x.Key] = x
	}
	return all
}

func TestEveryEstimateScattersOrIsChosen(t *testing.T) {
	all := estimated(t)
	if len(all) < 95 {
		t.Errorf("only %d keys were found", len(all))
	}
	for key := range all {
		s, ok := estimate.Scatter(key)
		why, chosen := estimate.Chosen(key)
		switch {
		case ok == chosen:
			t.Errorf("%s: scatter %t, chosen %t: give it one of the two in scatter.go", key, ok, chosen)
		case chosen && why == "":
			t.Errorf("%s: nothing says why it is chosen", key)
		case ok && (!(s.Less > 0) || !(s.More > 0) || s.Rule == "" || !s.Absolute && s.Less >= 1):
			t.Errorf("%s: %+v is no scatter", key, s)
		}
		if _, known := docs.Find(s.Source); ok && !known {
			t.Errorf("%s: the source %q is not in docs/sources.toml", key, s.Source)
		}
		for _, held := range s.Holds {
			if _, known := all[held]; !known {
				t.Errorf("%s holds %s, which nothing estimates", key, held)
			}
		}
	}
	if _, ok := estimate.Scatter("layout.cylinders"); ok {
		t.Error("the number of cylinders scatters")
	}
}

// TestScatterIsThatOfTheSources holds spreads against what the sources that were read say; the numbers are those of the
// doc comments of the rules.
func TestScatterIsThatOfTheSources(t *testing.T) {
	for _, c := range []struct {
		key         string
		value       float64
		least, most float64
		source      string
	}{
		{key: "crank.main_journal.diameter", value: 0.70, least: 0.65, most: 0.76, source: "MANUALS"},
		{key: "crank.crankpin.diameter", value: 0.58, least: 0.54, most: 0.65, source: "MANUALS"},
		{key: "rod.length", value: 1.6, least: 1.52, most: 1.79, source: "RODRATIO"},
		{key: "rod.inertia", value: 1, least: estimate.TwoMassExcess / 1.22, most: estimate.TwoMassExcess / 0.9735, source: "ICEF2002"},
		{key: "rod.cg_from_big_end", value: 0.28, least: 0.25, most: 0.33, source: "PRACTICE"},
		{key: "speeds.limit", value: 1.12, least: 1.05, most: 1.2, source: "PRACTICE"},
		{key: "speeds.idle", value: estimate.IdlePistonSpeed, least: 1.8, most: 3, source: "PRACTICE"},
		{key: "layout.cylinder_spacing", value: 1.15, least: 1.08, most: 1.3, source: "PRACTICE"},
		{key: "crank.web.thickness", value: 0.22, least: 0.18, most: 0.27, source: "PRACTICE"},
	} {
		s, ok := estimate.Scatter(c.key)
		low, high := s.Ends(c.value)
		if !ok || math.Abs(low-c.least) > 0.015*c.value || math.Abs(high-c.most) > 0.015*c.value || s.Source != c.source {
			t.Errorf("%s: %g scatters from %g to %g by %s, the source says %g to %g by %s", c.key, c.value, low, high, s.Source, c.least, c.most, c.source)
		}
	}
}

func TestEndsHoldTheEstimate(t *testing.T) {
	all := estimated(t)
	var keys []string
	for key := range all {
		if _, ok := estimate.Scatter(key); ok {
			keys = append(keys, key)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		key := rapid.SampledFrom(keys).Draw(t, "key")
		s, _ := estimate.Scatter(key)
		value := rapid.Float64Range(0, 1e6).Draw(t, "value")
		low, high := s.Ends(value)
		if !(low <= value && value <= high) || !s.Absolute && low < 0 {
			t.Fatalf("%s: %g lies not within %g to %g", key, value, low, high)
		}
		if all[key].Unit == "share" && value <= 1 && high > 1 {
			t.Fatalf("%s: a share of %g", key, high)
		}
		if low, high = s.Ends(0); !s.Absolute && (low != 0 || high != 0) {
			t.Fatalf("%s: nothing scatters from %g to %g", key, low, high)
		}
	})
}

func TestCommonKey(t *testing.T) {
	for key, want := range map[string]string{
		"rod.mass": "rod.mass",
		"layout.cylinders[12].rod.cg_from_big_end": "rod.cg_from_big_end",
		"layout.cylinders[0].piston.mass":          "piston.mass",
		"layout.throws[3].unbalance":               "crank.throw_unbalance",
		"layout.throws[3].radius":                  "layout.throws[3].radius",
		"layout.cylinder_spacing":                  "layout.cylinder_spacing",
		"layout.cylinders[":                        "layout.cylinders[",
	} {
		if got := estimate.CommonKey(key); got != want {
			t.Errorf("%s: %s, not %s", key, got, want)
		}
	}
	a, _ := estimate.Scatter("layout.cylinders[1].rod.mass")
	b, _ := estimate.Scatter("rod.mass")
	if a.Rule == "" || a.Rule != b.Rule || a.Less != b.Less {
		t.Error("a rod of the custom form scatters in a way of its own")
	}
	if strings.Contains(estimate.Shown(0.084, "m"), "e") || estimate.Shown(0.084, "m") != "84 mm" {
		t.Error(estimate.Shown(0.084, "m"))
	}
}
