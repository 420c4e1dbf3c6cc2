package gas

import "testing"

// BenchmarkCycle marches through one cycle of a four-stroke, to half a degree, with walls, valves and properties.
func BenchmarkCycle(b *testing.B) {
	s := pilotDiesel(b)
	_, from, err := solveFrom(&s, nil)
	if err != nil {
		b.Fatal(err)
	}
	p, err := newPlan(&s)
	if err != nil {
		b.Fatal(err)
	}
	m, r := newMarcher(&s, p), newResult(&s)
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := m.cycle(*from, r); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkIdealExchange solves the closed cycle with walls and properties: one march.
func BenchmarkIdealExchange(b *testing.B) {
	s := pilotDiesel(b)
	s.Valves = nil
	b.ReportAllocs()
	for b.Loop() {
		solved(b, s)
	}
}

// BenchmarkSteady finds the steady cycle from nothing.
func BenchmarkSteady(b *testing.B) {
	s := pilotDiesel(b)
	b.ReportAllocs()
	for b.Loop() {
		solved(b, s)
	}
}

// BenchmarkTarget finds the pressure of the intake for a mean effective pressure.
func BenchmarkTarget(b *testing.B) {
	s := launchPetrol(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := SolveIMEP(s, 6e5, ByIntake); err != nil {
			b.Fatal(err)
		}
	}
}
