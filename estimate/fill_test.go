package estimate_test

import (
	"maps"
	"math"
	"os"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"crankwright/estimate"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// floats lists the float64 fields of an engine with their names.
func floats(e *estimate.Engine) map[string]*float64 {
	fields := map[string]*float64{}
	v := reflect.ValueOf(e).Elem()
	for i := range v.NumField() {
		if v.Field(i).Type() == reflect.TypeFor[float64]() {
			fields[v.Type().Field(i).Name] = v.Field(i).Addr().Interface().(*float64)
		}
	}
	return fields
}

func TestUnknownKnowsNothing(t *testing.T) {
	e := estimate.Unknown()
	fields := floats(&e)
	if len(fields) != 24 {
		t.Errorf("Engine has %d quantities, this test knows 24: does fields() list the new one?", len(fields))
	}
	for name, at := range fields {
		if !math.IsNaN(*at) {
			t.Errorf("%s is %g", name, *at)
		}
	}
	full, list := estimate.Fill(e)
	if list != nil || !math.IsNaN(full.RodLength) {
		t.Error("something was estimated from nothing")
	}
}

// anyEngine draws an engine of any sensible size of which some values are known.
func anyEngine(t *rapid.T) estimate.Engine {
	e := estimate.Unknown()
	e.Bore = math.Exp(rapid.Float64Range(math.Log(0.020), math.Log(1.100)).Draw(t, "bore"))
	e.Stroke = e.Bore * rapid.Float64Range(0.5, 4).Draw(t, "stroke/bore")
	e.Duty = rapid.SampledFrom([]estimate.Duty{estimate.General, estimate.Light, estimate.Heavy}).Draw(t, "duty")
	e.Cycle = rapid.SampledFrom([]layout.Cycle{layout.FourStroke, layout.TwoStroke}).Draw(t, "cycle")
	e.Cylinders = rapid.IntRange(1, 56).Draw(t, "cylinders")
	e.RodsPerPin = rapid.SampledFrom([]int{1, 1, 2, 2, 2, 5}).Draw(t, "rods")
	if e.RodsPerPin == 2 {
		e.OwnPins = rapid.Bool().Draw(t, "own pins")
		e.PinSplit = num.Degrees(rapid.SampledFrom([]float64{0, 0, 15, 30, 60, -120, 180}).Draw(t, "split"))
		e.BankAngle = num.Degrees(rapid.SampledFrom([]float64{0, 0, 15, 60}).Draw(t, "bank angle"))
	}
	return e
}

// names returns the names of the quantities in a fixed order, so that a failing draw repeats.
func names(e *estimate.Engine) []string {
	return slices.Sorted(maps.Keys(floats(e)))
}

// know gives the engine one more value: that of the rules times a factor.
func know(t *rapid.T, e *estimate.Engine, name string, least, most float64) {
	full, _ := estimate.Fill(*e)
	*floats(e)[name] = *floats(&full)[name] * rapid.Float64Range(least, most).Draw(t, name)
}

func TestFillLeavesNothingOpen(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := anyEngine(t)
		for _, name := range names(&e) {
			if name != "Bore" && name != "Stroke" && rapid.IntRange(0, 5).Draw(t, "know "+name) == 0 {
				know(t, &e, name, 0, 2)
			}
		}
		full, list := estimate.Fill(e)
		given, filled := floats(&e), floats(&full)
		for name, at := range filled {
			switch v := *at; {
			case math.IsNaN(v) || math.IsInf(v, 0) || v < 0:
				t.Errorf("%s is %g", name, v)
			case !math.IsNaN(*given[name]) && v != *given[name]:
				t.Errorf("%s was given as %g and became %g", name, *given[name], v)
			}
		}
		open := 0
		for name, at := range given {
			silent := name == "KnuckleRadius" && e.RodsPerPin <= 2 || name == "BankStagger" && e.RodsPerPin != 2 || name == "CylinderOffset" && !estimate.Narrow(e)
			if math.IsNaN(*at) && !silent {
				open++
			}
		}
		if len(list) != open {
			t.Errorf("%d values were open, %d estimates are listed", open, len(list))
		}
		again, more := estimate.Fill(full)
		if len(more) != 0 || again != full {
			t.Error("filling a full engine changes it")
		}
	})
}

// along returns the length of one throw from the middle of one main journal to the next.
func along(e estimate.Engine) float64 {
	pins := e.PinWidth
	if e.OwnPins || e.PinSplit != 0 {
		pins += e.BankStagger
	}
	return e.MainWidth + 2*e.WebThickness + pins
}

func TestWidthsShareTheSpacing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := anyEngine(t)
		if rapid.Bool().Draw(t, "spacing known") {
			know(t, &e, "CylinderSpacing", 0.6, 1.2)
		}
		for _, name := range []string{"BankStagger", "PinWidth", "WebThickness", "MainWidth"} {
			if name == "BankStagger" && e.RodsPerPin != 2 {
				continue
			}
			if rapid.IntRange(0, 3).Draw(t, "know "+name) == 0 {
				know(t, &e, name, 0.6, 1.2)
			}
		}
		full, _ := estimate.Fill(e)
		known := true
		for _, v := range []float64{e.PinWidth, e.WebThickness, e.MainWidth} {
			known = known && !math.IsNaN(v)
		}
		room := along(full)
		rest := room // what the known values leave to the unknown ones
		for _, v := range []float64{e.PinWidth, 2 * e.WebThickness, e.MainWidth, e.BankStagger} {
			if !math.IsNaN(v) {
				rest -= v
			}
		}
		if !known && rest > 0.2*full.Bore && room > full.CylinderSpacing*(1+1e-9) {
			t.Errorf("journals, pins and webs take %g m of a spacing of %g m", room, full.CylinderSpacing)
		}
		if math.IsNaN(e.CylinderSpacing) && full.CylinderSpacing < full.Bore {
			t.Error("the cylinders overlap")
		}
	})
}

func TestStaggerLeavesRoom(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := anyEngine(t)
		e.RodsPerPin = 2
		switch rapid.IntRange(0, 2).Draw(t, "known") {
		case 1:
			know(t, &e, "BankStagger", 0.3, 2)
		case 2:
			know(t, &e, "CylinderSpacing", 0.7, 1.5)
		}
		full, _ := estimate.Fill(e)
		split := float64(e.PinSplit)
		if e.OwnPins && split == 0 {
			split = math.Pi
		}
		switch apart := full.Stroke * math.Abs(math.Sin(split/2)); {
		case split == 0: // side by side on one pin
			if full.PinWidth < 2*full.BankStagger*(1-1e-9) && full.PinWidth < full.BankStagger*(1+1e-9) {
				t.Errorf("a pin of %g m for rods %g m apart", full.PinWidth, full.BankStagger)
			}
		case apart >= 0.75*full.PinDiameter:
			if web := full.BankStagger - full.PinWidth; web < 0.01*full.Bore {
				t.Errorf("a web of %g m between the pins at %g m bore", web, full.Bore)
			}
		default:
			if full.BankStagger < full.PinWidth {
				t.Error("the two rods of overlapping pins run into each other")
			}
		}
	})
}

func TestFilledThrowsCanBeBuilt(t *testing.T) {
	for _, split := range []float64{15, 30, 55, 60, 72, 90, 120, 180} {
		e := estimate.Unknown()
		e.Bore, e.Stroke, e.Cylinders, e.RodsPerPin, e.PinSplit = 0.084, 0.090, 2, 2, num.Degrees(split)
		full, _ := estimate.Fill(e)
		cylinder := layout.Cylinder{Name: "1", Rod: layout.Rod{Length: full.RodLength}}
		other := cylinder
		other.Name, other.Throw, other.At, other.Axis = "2", 1, full.BankStagger, num.Degrees(90)
		train := layout.Train{
			Bore: full.Bore,
			Throws: []layout.Throw{
				{Name: "T1", Radius: full.Stroke / 2, Unbalance: full.ThrowUnbalance},
				{Name: "T2", Radius: full.Stroke / 2, At: full.BankStagger, Angle: e.PinSplit, Pair: 1},
			},
			Cylinders: []layout.Cylinder{cylinder, other},
			Crank:     layout.CrankGeometry{Crankpin: layout.Journal{Diameter: full.PinDiameter, Width: full.PinWidth}},
		}
		if err := layout.Validate(&train); err != nil {
			t.Errorf("split %g deg: %v", split, err)
		}
	}
}

func TestGivenValuesDriveTheRest(t *testing.T) {
	car := func() estimate.Engine {
		e := estimate.Unknown()
		e.Bore, e.Stroke, e.Cylinders, e.RodsPerPin = 0.084, 0.090, 4, 1
		return e
	}
	base, _ := estimate.Fill(car())
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-12*math.Abs(want) {
			t.Errorf("%s: %g, want %g", what, got, want)
		}
	}

	e := car()
	e.RodMass = 2 * base.RodMass
	full, _ := estimate.Fill(e)
	near("inertia of a rod of twice the mass", full.RodInertia, 2*base.RodInertia)

	e = car()
	e.RodInertia = 3 * base.RodInertia
	full, _ = estimate.Fill(e)
	near("mass of a rod of three times the inertia", full.RodMass,
		estimate.RodMassOfInertia(e.RodInertia, full.RodLength, full.RodCG))

	e = car()
	e.Limit = base.Rated
	full, _ = estimate.Fill(e)
	near("rated speed under a limit", full.Rated*estimate.LimitRatio(estimate.General), e.Limit)

	e = car()
	e.MainDiameter = 0.9 * base.PinDiameter
	full, _ = estimate.Fill(e)
	near("crankpin of a thin crank", full.PinDiameter, e.MainDiameter)

	e = car()
	e.PinDiameter = 1.1 * base.MainDiameter
	full, _ = estimate.Fill(e)
	near("main journal of a thick pin", full.MainDiameter, e.PinDiameter)

	e = car()
	e.RodsPerPin, e.BankStagger = 2, 0.010
	full, _ = estimate.Fill(e)
	if full.PinWidth > 2*e.BankStagger {
		t.Errorf("a pin of %g m for two rods 10 mm apart", full.PinWidth)
	}

	e = car()
	e.Bore = math.NaN()
	full, list := estimate.Fill(e)
	near("bore of a square engine", full.Bore, e.Stroke)
	if list[0].Key != "bore" {
		t.Errorf("the first estimate is %s", list[0].Key)
	}
}

// TestEstimatesTellEverything holds each estimate to a key, a unit, digits that people read, a rule
// and a source that docs/sources.toml knows.
func TestEstimatesTellEverything(t *testing.T) {
	sources := sourceKeys(t)
	read := regexp.MustCompile(`^[0-9]+(\.[0-9]+)? (mm|g|kg|kg mm|kg m2|kg mm2|rpm)$`)
	for _, d := range []estimate.Duty{estimate.General, estimate.Light, estimate.Heavy} {
		for rods := range 4 {
			for _, own := range []bool{false, true} {
				for _, bore := range []float64{0.02, 0.084, 1.1} {
					e := estimate.Unknown()
					e.Duty, e.RodsPerPin, e.OwnPins, e.Bore, e.Stroke, e.Cylinders = d, rods, own, bore, 1.2*bore, 6
					_, list := estimate.Fill(e)
					for _, est := range list {
						if est.Key == "" || est.Unit == "" || len(est.Rule) < 10 || strings.Contains(est.Rule, "%!") {
							t.Errorf("estimate without key, unit or rule: %+v", est)
						}
						if !read.MatchString(est.Shown) {
							t.Errorf("%s is shown as %q", est.Key, est.Shown)
						}
						if !sources[est.Source] {
							t.Errorf("%s names source %q, which docs/sources.toml lacks", est.Key, est.Source)
						}
					}
				}
			}
		}
	}
}

func sourceKeys(t *testing.T) map[string]bool {
	t.Helper()
	text, err := os.ReadFile("../docs/sources.toml")
	if err != nil {
		t.Fatal(err)
	}
	keys := map[string]bool{}
	for _, m := range regexp.MustCompile(`(?m)^\[([A-Z0-9]+)\]$`).FindAllStringSubmatch(string(text), -1) {
		if keys[m[1]] {
			t.Errorf("docs/sources.toml has two tables %s", m[1])
		}
		keys[m[1]] = true
	}
	return keys
}
