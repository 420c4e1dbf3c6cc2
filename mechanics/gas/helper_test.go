package gas

import (
	"math"
	"testing"

	"crankwright/mechanics/layout"
	"crankwright/mechanics/motion"
	"crankwright/num"
)

// pilotDiesel is a cylinder of an invented pilot boat: direct injection, boosted.
func pilotDiesel(t testing.TB) Setting {
	t.Helper()
	c, err := NewChamber(motion.Linkage{Radius: 0.06, Length: 0.2, Offset: 0.001}, 0.105, 16.5)
	if err != nil {
		t.Fatal(err)
	}
	v := TypicalValves(c.Bore, layout.FourStroke)
	return Setting{
		Chamber: c, Speed: 2200 * math.Pi / 30, Intake: 2.2e5, Temperature: 325, Exhaust: 2.0e5,
		Fuel: DieselFuel(1.7), Release: DieselRelease(num.Degrees(-4), 0.15, num.Degrees(8), num.Degrees(65)),
		Wall: &Wall{Temperature: 450}, Valves: &v,
	}
}

// launchPetrol is a cylinder of its tender: spark ignition, throttled.
func launchPetrol(t testing.TB) Setting {
	t.Helper()
	c, err := NewChamber(motion.Linkage{Radius: 0.043, Length: 0.145}, 0.086, 10.5)
	if err != nil {
		t.Fatal(err)
	}
	v := TypicalValves(c.Bore, layout.FourStroke)
	return Setting{
		Chamber: c, Speed: 3000 * math.Pi / 30, Intake: 0.95e5, Temperature: 310, Exhaust: 1.05e5,
		Fuel: Petrol(1), Release: SparkRelease(num.Degrees(-20), num.Degrees(55)),
		Wall: &Wall{Temperature: 430}, Valves: &v,
	}
}

// outboard is a two-stroke with ports.
func outboard(t testing.TB) Setting {
	s := launchPetrol(t)
	v := TypicalValves(s.Chamber.Bore, layout.TwoStroke)
	s.Cycle, s.Valves = layout.TwoStroke, &v
	s.Intake, s.Exhaust = 1.25e5, 1.03e5
	return s
}

func solved(t testing.TB, s Setting) *Result {
	t.Helper()
	r, err := Solve(s)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// area returns ∮ p dV of the samples by the trapezoidal rule [J].
func area(s *Setting, r *Result) float64 {
	sum := 0.0
	for j, p := range r.Pressure {
		_, dv := s.Chamber.Volume(r.Angle(j))
		sum += p * dv
	}
	return sum * float64(r.Period) / float64(len(r.Pressure))
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.9g, want %.9g ± %.2g", what, got, want, tol)
	}
}
