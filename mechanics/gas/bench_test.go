package gas

import "testing"

// BenchmarkCycle marches through one cycle of a four-stroke, to half a degree, with walls, valves and properties.
func BenchmarkCycle(b *testing.B) { march(b, false) }

// BenchmarkAuditedCycle is the last cycle, with samples, peak and the sums for the first law.
func BenchmarkAuditedCycle(b *testing.B) { march(b, true) }

func march(b *testing.B, audited bool) {
	s := pilotDiesel(b)
	from := solved(b, s).end
	p, err := newPlan(&s, 1)
	if err != nil {
		b.Fatal(err)
	}
	m, r := newMarcher(&s, p), newResult(&s)
	if !audited {
		r = nil
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := m.cycle(from, r); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(p.steps)), "steps")
}

// BenchmarkPlan lays the steps of a cycle.
func BenchmarkPlan(b *testing.B) {
	s := pilotDiesel(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := newPlan(&s, 1); err != nil {
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
