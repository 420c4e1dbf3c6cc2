package report

import (
	"math"
	"os"
	"strings"
	"testing"

	"crankwright/analysis"
	"crankwright/mechanics/balance"
	"crankwright/mechanics/inertia"
	"crankwright/spec"
)

// exampleEight analyses the vee eight of the examples.
func exampleEight(t *testing.T) *analysis.Result {
	t.Helper()
	train, _, err := spec.ReadEngineFile("../examples/vee-eight-90-cross.engine.yaml", spec.Options{})
	if err != nil {
		t.Fatal(err)
	}
	r, err := analysis.Run(train, analysis.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestTolerancesDoc(t *testing.T) {
	r := exampleEight(t)
	tol := balance.UsualTolerances(r.Train)
	d, err := NewTolerancesDoc(r.Train, r.Speed, tol, map[balance.ToleranceClass]bool{balance.PistonMass: true}, balance.SimOptions{Samples: 2000, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Encode(d); err != nil {
		t.Fatal(err)
	}
	if len(d.Residuals) != 12 || d.Samples != 2000 || d.SpeedRPM != 6500 {
		t.Errorf("%d residuals of %d samples at %g rpm", len(d.Residuals), d.Samples, d.SpeedRPM)
	}
	for _, x := range d.Tolerances {
		if x.Parts == 0 || x.Usual != (x.Class == "piston mass") {
			t.Errorf("%+v", x)
		}
	}
	for _, x := range d.Residuals {
		sum := 0
		for _, n := range x.Counts {
			sum += n
		}
		if sum != d.Samples || x.P50 > x.P90 || x.P99 > x.Largest {
			t.Errorf("%+v", x)
		}
		if x.Deviation != nil && math.Abs(*x.Deviation-*x.LinearDeviation) > 0.1**x.LinearDeviation {
			t.Errorf("%s of order %g: %g sampled, %g linear", x.Residual, x.Order, *x.Deviation, *x.LinearDeviation)
		}
	}
	text := TolerancesText(d, Screen{Width: 100})
	for _, want := range []string{"±0.99 g (common practice, from memory, not given)", "Force of order 1 [N]", "matters most: it makes", Caution[:40]} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing in\n%s", want, text)
		}
	}
	data, err := TolerancesCSV(d)
	if err != nil || strings.Count(string(data), "\r\n") != 13 {
		t.Errorf("%v\n%s", err, data)
	}
}

func TestTolerancesDocWithoutTolerance(t *testing.T) {
	r := exampleEight(t)
	d, err := NewTolerancesDoc(r.Train, r.Speed, balance.Tolerances{}, nil, balance.SimOptions{Samples: 5})
	if err != nil {
		t.Fatal(err)
	}
	if text := TolerancesText(d, Screen{}); !strings.Contains(text, "all engines are as drawn") || !strings.Contains(text, "None, whatever the parts.") {
		t.Error(text)
	}
}

func TestMatchDoc(t *testing.T) {
	r := exampleEight(t)
	const list = "../examples/pilot-boat-weighed.csv"
	data, err := os.ReadFile(list)
	if err != nil {
		t.Fatal(err)
	}
	pistons, rods, err := spec.ReadWeighed(list, data)
	if err != nil {
		t.Fatal(err)
	}
	d, err := NewMatchDoc(r.Train, r.Speed, pistons, rods, balance.MatchMeasure{}, balance.MatchOptions{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Encode(d); err != nil {
		t.Fatal(err)
	}
	if !d.Proven || d.Measure.Better != 1 || d.Measure.BestN >= d.Measure.ListedN || len(d.Cylinders) != 8 || len(d.Counts) != histogramBins {
		t.Errorf("%+v", d)
	}
	// the parts put in by hand and solved afresh leave what the document says
	u := *r.Train
	u.Cylinders = append(u.Cylinders[:0:0], u.Cylinders...)
	for i, c := range d.Cylinders {
		y := &u.Cylinders[i]
		y.Piston.Mass, y.Rod.Mass = c.PistonKg, c.RodBigKg+c.RodSmallKg
		y.Rod.CG = y.Rod.Length * c.RodSmallKg / y.Rod.Mass
	}
	var s inertia.Solver
	b, err := s.Solve(nil, &u, inertia.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if got := majorOf(b.Force, 2) * r.Speed * r.Speed; math.Abs(got-d.Residuals[0].BestN) > 1e-6 {
		t.Errorf("first-order force %g N, the document says %g N", got, d.Residuals[0].BestN)
	}
	text := MatchText(d, Screen{})
	for _, want := range []string{"that is proven", "The order of the list leaves", "Which part goes where", Caution[:40]} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing in\n%s", want, text)
		}
	}
	data, err = MatchCSV(d)
	if err != nil || strings.Count(string(data), "\r\n") != 9 {
		t.Errorf("%v\n%s", err, data)
	}
	half, err := NewMatchDoc(r.Train, r.Speed, pistons, nil, balance.MatchMeasure{FromDrawn: true}, balance.MatchOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if text := MatchText(half, Screen{}); !strings.Contains(text, "as drawn") || !strings.Contains(text, "the distance from the engine") {
		t.Error(text)
	}
}
