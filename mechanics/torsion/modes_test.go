package torsion

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// thomson is Table 12.4-1 of Thomson, Theory of Vibration with Applications, p. 389.
func thomson() *Model {
	return &Model{
		Discs: []Disc{{Inertia: 5}, {Inertia: 11}, {Inertia: 22}},
		Spans: []Span{{A: 0, B: 1, Stiffness: 0.1e6}, {A: 1, B: 2, Stiffness: 0.2e6}},
	}
}

func TestThomson(t *testing.T) {
	all := modes(t, thomson())
	for i, want := range []struct {
		ω     float64
		shape []float64
	}{{0, []float64{1, 1, 1}}, {123.6658, []float64{1, .235338, -.344942}}, {202.6583, []float64{1, -1.053520, .299487}}} {
		near(t, "frequency", all[i].Frequency, want.ω, 5e-5)
		for d, v := range want.shape {
			near(t, "shape", all[i].Shape[d]/all[i].Shape[0], v, 1e-6)
		}
		if all[i].Nodes != i {
			t.Errorf("mode %d has %d nodes", i, all[i].Nodes)
		}
	}
	for _, c := range []struct {
		ω          float64
		twist, sum []float64
	}{{20, []float64{1, .980, .94844}, []float64{2e3, 6.312e3, 14658.27}}, {40, []float64{1, .920, .79904}, []float64{8e3, 24192, 52318.2}}} {
		rows, err := Holzer(thomson(), c.ω)
		if err != nil {
			t.Fatal(err)
		}
		for i, r := range rows {
			near(t, "twist", r.Twist, c.twist[i], 5e-6)
			near(t, "sum", r.Sum, c.sum[i], 0.05)
		}
	}
}

// The two methods agree, and the uniform chain has its closed form.
func TestUniformChain(t *testing.T) {
	for _, n := range []int{2, 6, 25} {
		m := &Model{}
		for i := range n {
			m.Discs = append(m.Discs, Disc{Inertia: 0.3})
			if i > 0 {
				m.Spans = append(m.Spans, Span{A: i - 1, B: i, Stiffness: 4e5})
			}
		}
		holzer, err := HolzerFrequencies(m)
		if err != nil {
			t.Fatal(err)
		}
		for j, mode := range modes(t, m) {
			want := 2 * math.Sqrt(4e5/0.3) * math.Sin(float64(j)*math.Pi/(2*float64(n)))
			near(t, "mode", mode.Frequency, want, 1e-9*want+1e-12)
			near(t, "Holzer", holzer[j], want, 1e-9*want+1e-12)
		}
	}
}

// Modes satisfy K θ = ω² J θ, are orthogonal, and Rayleigh's quotient gives their frequency again.
func TestModesOfAnyShaft(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyModel(t)
		all := modesOrFail(t, m)
		if len(all) != len(m.Discs) {
			t.Fatalf("%d modes of %d discs", len(all), len(m.Discs))
		}
		top := all[len(all)-1].Frequency
		for i, a := range all {
			if i > 0 && a.Frequency < all[i-1].Frequency-1e-9*top {
				t.Fatalf("modes %d and %d are out of sequence", i-1, i)
			}
			energy := 0.0
			for _, s := range m.Spans {
				d := a.Shape[s.A] - a.Shape[s.B]
				energy += s.Stiffness * d * d
			}
			for d, disc := range m.Discs {
				energy += disc.Ground * a.Shape[d] * a.Shape[d]
			}
			if off := math.Sqrt(energy/a.Mass) - a.Frequency; math.Abs(off) > 1e-9*top {
				t.Fatalf("mode %d: Rayleigh's quotient is %g off %g", i, off, a.Frequency)
			}
			for _, b := range all[:i] {
				sum := 0.0
				for d, disc := range m.Discs {
					sum += disc.Inertia * a.Shape[d] * b.Shape[d]
				}
				if math.Abs(sum) > 1e-8*math.Sqrt(a.Mass*b.Mass) {
					t.Fatalf("modes are not orthogonal: %g", sum)
				}
			}
		}
		holzer, err := HolzerFrequencies(m)
		if errors.Is(err, ErrNoChain) {
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		for i, ω := range holzer {
			if math.Abs(ω-all[i].Frequency) > 1e-8*top {
				t.Fatalf("mode %d: Holzer %g, eigenvalue %g", i, ω, all[i].Frequency)
			}
		}
	})
}

func modesOrFail(t *rapid.T, m *Model) []Mode {
	all, err := Modes(m)
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// Scaling: inertia ×a and stiffness ×b give frequencies ×√(b/a).
func TestScaling(t *testing.T) {
	m, big := thomson(), thomson()
	for i := range big.Discs {
		big.Discs[i].Inertia *= 7
	}
	for i := range big.Spans {
		big.Spans[i].Stiffness *= 3
	}
	a, b := modes(t, m), modes(t, big)
	for i := range a {
		near(t, "frequency", b[i].Frequency, a[i].Frequency*math.Sqrt(3./7), 1e-10*a[2].Frequency)
	}
}

func TestModelErrors(t *testing.T) {
	for name, spoil := range map[string]func(*Model){
		"no inertia":        func(m *Model) { m.Discs[1].Inertia = 0 },
		"not a number":      func(m *Model) { m.Discs[1].Inertia = math.NaN() },
		"infinite":          func(m *Model) { m.Spans[0].Stiffness = math.Inf(1) },
		"nothing joins":     func(m *Model) { m.Spans = m.Spans[:1] },
		"a span to itself":  func(m *Model) { m.Spans[0].B = 0 },
		"no such disc":      func(m *Model) { m.Spans[0].B = 3 },
		"no stiffness":      func(m *Model) { m.Spans[0].Stiffness = 0 },
		"negative damping":  func(m *Model) { m.Discs[0].Damping = -1 },
		"negative relative": func(m *Model) { m.Spans[0].Damping = -1 },
		"loss":              func(m *Model) { m.Spans[0].Loss = 3 },
		"modulus":           func(m *Model) { m.Spans[0].Modulus = -1 },
		"negative spring":   func(m *Model) { m.Discs[0].Ground = -1 },
		"no discs":          func(m *Model) { m.Discs = nil },
	} {
		m := thomson()
		spoil(m)
		if _, err := Modes(m); err == nil {
			t.Errorf("%s is not refused", name)
		}
	}
	branch := thomson()
	branch.Spans[1].A = 0
	if _, err := Holzer(branch, 10); !errors.Is(err, ErrNoChain) {
		t.Errorf("a branch has a Holzer table: %v", err)
	}
	if _, err := Holzer(thomson(), math.NaN()); err == nil {
		t.Error("a frequency that is no number is not refused")
	}
}

// An even row of viscous couplings leaves every part free.
func TestViscousPartsAreFree(t *testing.T) {
	m := thomson()
	d, err := ViscousDamper(5, 100, 0.5)
	if err != nil {
		t.Fatal(err)
	}
	with, err := m.With(0, d, 0)
	if err != nil {
		t.Fatal(err)
	}
	all, plain := modes(t, with), modes(t, m)
	if all[0].Frequency != 0 || all[1].Frequency != 0 {
		t.Errorf("shaft and ring should both turn freely: %v", all)
	}
	for i := 1; i < 3; i++ {
		near(t, "mode", all[i+1].Frequency, plain[i].Frequency, 1e-9)
	}
}

// Definition: a shape that is the same from both ends but for its sign goes through zero at the disc in the middle.
func TestNodeAtADiscThatStandsStill(t *testing.T) {
	m := &Model{
		Discs: []Disc{{Inertia: 0.3}, {Inertia: 0.2}, {Inertia: 0.3}, {Inertia: 0.2}, {Inertia: 0.3}},
		Spans: []Span{{A: 0, B: 1, Stiffness: 4e5}, {A: 1, B: 2, Stiffness: 3e5}, {A: 2, B: 3, Stiffness: 3e5}, {A: 3, B: 4, Stiffness: 4e5}},
	}
	for i, mode := range modes(t, m) {
		if mode.Nodes != i {
			t.Errorf("mode %d has %d nodes: %v", i, mode.Nodes, mode.Shape)
		}
	}
}

// Definition: Mode.Magnifier is what DampingFor was asked for; hysteresis η alone gives 1/η where all springs have it.
func TestMagnifierOfAMode(t *testing.T) {
	m := thomson()
	for i, mode := range modes(t, m) {
		if i == 0 {
			if got := mode.Magnifier(m); !math.IsInf(got, 1) {
				t.Errorf("turning as one is magnified %g times", got)
			}
			continue
		}
		c, err := mode.DampingFor([]int{0, 2}, 35)
		if err != nil {
			t.Fatal(err)
		}
		damped := &Model{Discs: append([]Disc(nil), m.Discs...), Spans: append([]Span(nil), m.Spans...)}
		damped.Discs[0].Damping, damped.Discs[2].Damping = c, c
		near(t, "magnifier", mode.Magnifier(damped), 35, 1e-9)
		damped.Discs[0].Damping, damped.Discs[2].Damping = 0, 0
		for s := range damped.Spans {
			damped.Spans[s].Loss = 0.02
		}
		near(t, "magnifier of hysteresis", mode.Magnifier(damped), 50, 1e-9)
		if got := mode.Magnifier(m); !math.IsInf(got, 1) {
			t.Errorf("nothing damps it, and it is magnified %g times", got)
		}
	}
}
