package torque

import (
	"math"
	"testing"

	"crankwright/mechanics/layout"
)

func twoLitres() Rubbing {
	return Rubbing{
		Cylinders: 4, Bore: 0.084, Stroke: 0.09,
		Mains: Bearings{Count: 5, Diameter: 0.055, Width: 0.025}, Pins: Bearings{Count: 4, Diameter: 0.048, Width: 0.022}, Valves: 16, Drives: 3, RingGas: 2e5,
	}
}

// TestRubbingIsPlausible: a warm two-litre engine loses about 0.5 to 1.3 bar at 3000 rpm without pumping, from
// memory of motored teardown tests (common practice).
func TestRubbingIsPlausible(t *testing.T) {
	l, err := twoLitres().FMEP(UsualFriction(), 3000*math.Pi/30)
	if err != nil {
		t.Fatal(err)
	}
	if l.Total < 0.5e5 || l.Total > 1.3e5 {
		t.Errorf("%+v", l)
	}
	t.Logf("%+v", l)
}

// TestMoreBearingsRubMore: of two engines with one swept volume the one with more and shorter throws differs by
// its bearings alone, in proportion to their number.
func TestMoreBearingsRubMore(t *testing.T) {
	k := UsualFriction()
	a := twoLitres()
	b := a
	b.Mains.Count = 3
	la, err := a.FMEP(k, 300)
	if err != nil {
		t.Fatal(err)
	}
	lb, err := b.FMEP(k, 300)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(lb.Mains-0.6*la.Mains) > 1e-12*la.Mains || lb.Pins != la.Pins || !(lb.Total < la.Total) {
		t.Errorf("%+v beside %+v", la, lb)
	}
	// Petroff by hand: 2π·0.01·300·0.0275²·0.025/0.001 N m each, five of them, 4π over 1.995 l
	want := 5 * 2 * math.Pi * 0.01 * 300 * 0.0275 * 0.0275 * 0.025 / 0.001 * 4 * math.Pi / (4 * math.Pi / 4 * 0.084 * 0.084 * 0.09)
	if math.Abs(la.Mains-want) > 1e-12*want {
		t.Errorf("mains %g Pa, want %g", la.Mains, want)
	}
	// the skirt's work by summing µ A v/δ over a revolution
	work := 0.0
	for j := range 1000 {
		v := 300 * 0.045 * math.Sin(2*math.Pi*float64(j)/1000)
		work += k.Viscosity * k.SkirtShare * math.Pi / 2 * 0.084 * 0.084 / k.SkirtFilm * v * v * 2 * math.Pi / 1000 / 300
	}
	if want := 2 * work / (math.Pi / 4 * 0.084 * 0.084 * 0.09); math.Abs(la.Skirts-want) > 1e-12*want {
		t.Errorf("skirts %g Pa, want %g", la.Skirts, want)
	}
}

func TestRubbingOfCounts(t *testing.T) {
	train := pilotBoat([]float64{0, 90, 270, 180}, -45, 45)
	train.Crank.MainJournal = layout.Journal{Diameter: 0.06, Width: 0.025}
	train.Crank.Crankpin = layout.Journal{Diameter: 0.05, Width: 0.04}
	train.Shafts = []layout.Shaft{{SpeedRatio: -1}}
	r := RubbingOf(train, 0.09, 4, 5)
	if r.Mains.Count != 5 || r.Pins.Count != 8 || r.Pins.Width != 0.02 || r.Valves != 32 || r.Drives != 6 {
		t.Errorf("%+v", r)
	}
}

func TestPowerCurve(t *testing.T) {
	const v, ω = 0.002, 300.0
	imep := 0.9 * 1.18 * 43e6 / 14.6 * 0.38           // of the charge, its fuel and an indicated efficiency of 38 %
	fuel := 0.9 * 1.18 * v * ω / (4 * math.Pi) / 14.6 // kg/s: the power is 38 % of its heat
	p, err := PowerCurve(v, layout.FourStroke, []float64{ω}, []float64{imep}, []float64{0})
	if err != nil {
		t.Fatal(err)
	}
	if want := 0.38 * 43e6 * fuel; math.Abs(p[0].Power-want) > 1e-12*want || p[0].Mechanical != 1 {
		t.Errorf("%+v, want %g W", p[0], want)
	}
	if back := MeanPressure(p[0].Torque, v, layout.FourStroke); math.Abs(back-imep) > 1e-12*imep {
		t.Errorf("mean pressure %g Pa, want %g", back, imep)
	}
	if p, err := PowerCurve(v, layout.TwoStroke, []float64{ω}, []float64{1e5}, []float64{2e5}); err != nil || p[0].Power >= 0 || p[0].Mechanical != 0 {
		t.Errorf("%+v %v", p, err)
	}
	if _, err := PowerCurve(v, layout.FourStroke, []float64{ω}, nil, nil); err == nil {
		t.Error("missing pressures are accepted")
	}
}

func TestCorrelationsSayWhereTheyEnd(t *testing.T) {
	for name, f := range map[string]func(float64) (FMEP, error){
		"piston speed": func(x float64) (FMEP, error) { return ChenFlynn().FMEP(70e5, x*20) },
		"spark":        func(x float64) (FMEP, error) { return SparkIgnitionMotored(x * 700) },
		"compression": func(x float64) (FMEP, error) {
			return CompressionIgnitionMotored(DirectInjection, x*500, 8)
		},
	} {
		if in, err := f(0.5); err != nil || in.Beyond != "" || !(in.Low < in.Value && in.Value < in.High) {
			t.Errorf("%s: %+v, %v", name, in, err)
		}
		if out, err := f(1.1); err != nil || out.Beyond == "" {
			t.Errorf("%s: %+v, %v; want a warning", name, out, err)
		}
		if _, err := f(math.NaN()); err == nil {
			t.Errorf("%s: accepts NaN", name)
		}
	}
}
