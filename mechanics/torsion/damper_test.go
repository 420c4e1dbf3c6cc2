package torsion

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"crankwright/num"
)

// held is one disc on a spring, the primary system of the published optima.
func held(inertia, ω float64) *Model {
	return &Model{Discs: []Disc{{Inertia: inertia, Ground: inertia * ω * ω}}}
}

// magnified is the largest twist of the primary disc over that of a resting torque, and where it is.
func magnified(t testing.TB, m *Model, k, ω float64) (peak, at float64) {
	t.Helper()
	torque := make([]complex128, len(m.Discs))
	torque[0] = complex(k, 0)
	top, err := Peak(m, torque, 0, 0.3*ω, 1.7*ω)
	if err != nil {
		t.Fatal(err)
	}
	return top.Twist, top.Frequency / ω
}

func damped(t testing.TB, m *Model, d Damper, err error) *Model {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	w, err := m.With(0, d, 0)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func TestViscousOptimum(t *testing.T) {
	const inertia, ω = 0.4, 900.0
	for _, c := range []struct{ μ, ζ, peak, at float64 }{{.2, .435194, 11, .95346}, {.5, .365148, 5, .89443}, {1, .288675, 3, .81650}} {
		d, err := ViscousDamper(inertia, ω, c.μ)
		m := damped(t, held(inertia, ω), d, err)
		near(t, "ζ", d.Zeta, c.ζ, 5e-7)
		peak, at := magnified(t, m, inertia*ω*ω, ω)
		near(t, "peak", peak, c.peak, 1e-6)
		near(t, "formula", d.Peak, c.peak, 1e-12)
		near(t, "place", at, c.at, 6e-6)
		for _, f := range []float64{0.97, 1.03} { // it is an optimum
			off := d
			off.Damping *= f
			if worse, _ := magnified(t, damped(t, held(inertia, ω), off, nil), inertia*ω*ω, ω); !(worse > peak+1e-4) {
				t.Errorf("μ %g: damping × %g is as good: %g, %g", c.μ, f, worse, peak)
			}
		}
	}
}

func TestTunedOptimum(t *testing.T) {
	const inertia, ω = 0.4, 900.0
	for _, c := range []struct{ μ, f, ζ, peak, theory float64 }{
		{.05, .952381, .127267, 6.40844, 6.40312}, {.1, .909091, .167852, 4.59022, 4.58258}, {.2, .833333, .208333, 3.32754, 3.31662},
	} {
		d, err := TunedDamper(inertia, ω, c.μ)
		m := damped(t, held(inertia, ω), d, err)
		near(t, "f", d.Tuning, c.f, 5e-7)
		near(t, "ζ", d.Zeta, c.ζ, 5e-7)
		near(t, "theory", d.Peak, c.theory, 5e-6)
		peak, _ := magnified(t, m, inertia*ω*ω, ω)
		near(t, "peak", peak, c.peak, 6e-6)
		rubber := d.Rubber()
		near(t, "loss", rubber.Loss, d.Damping*math.Sqrt(d.Stiffness/d.Ring)/d.Stiffness, 1e-12)
		if other, _ := magnified(t, damped(t, held(inertia, ω), rubber, nil), inertia*ω*ω, ω); math.Abs(other/peak-1) > 0.15 {
			t.Errorf("μ %g: hysteretic damping gives %g, viscous %g", c.μ, other, peak)
		}
	}
}

// On a crank the damper that is sized for the first mode tames it, about as the formula for one mode says, and its heat is what the torques give.
func TestDamperOnCrank(t *testing.T) {
	train := crossVee()
	c := crank(t, train, CrankSetting{FreeEnd: []Part{{Name: "hub", Inertia: 0.004}}})
	mode := modes(t, &c.Model)[1]
	j, err := mode.EquivalentInertia(0)
	if err != nil {
		t.Fatal(err)
	}
	for _, size := range []func(float64, float64, float64) (Damper, error){TunedDamper, ViscousDamper} {
		d, err := size(j, mode.Frequency, 0.3)
		if err != nil {
			t.Fatal(err)
		}
		m, err := c.With(0, d, 0)
		if err != nil {
			t.Fatal(err)
		}
		// torques that drive this mode alone
		torque := make([]complex128, len(m.Discs))
		for i, θ := range mode.Shape {
			torque[i] = complex(c.Discs[i].Inertia*θ, 0)
		}
		top, err := Peak(m, torque, 0, 0.5*mode.Frequency, 1.5*mode.Frequency)
		if err != nil {
			t.Fatal(err)
		}
		still := 1 / (mode.Frequency * mode.Frequency) * mode.Shape[0]
		if got := top.Twist / math.Abs(still); math.Abs(got/d.Peak-1) > 0.15 {
			t.Errorf("peak %g, the formula for one mode says %g", got, d.Peak)
		}
		e := excited(t, c, train, 300, 24)
		e.Gas, e.Inertia = append(e.Gas, nil), append(e.Inertia, nil)
		s, err := NewSolver(m)
		if err != nil {
			t.Fatal(err)
		}
		r, err := s.Respond(nil, e, 2*mode.Frequency/16, 24)
		if err != nil {
			t.Fatal(err)
		}
		p, err := s.Power(r, e)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "heat of the damper", p.Spans[len(p.Spans)-1], p.Work, 1e-6*p.Work)
		if !(p.Work > 0) {
			t.Errorf("%+v", p)
		}
	}
}

func TestDampingForMagnifier(t *testing.T) {
	c := crank(t, crossVee(), CrankSetting{})
	mode := modes(t, &c.Model)[1]
	damping, err := mode.DampingFor(c.Cylinders, 40)
	if err != nil {
		t.Fatal(err)
	}
	m := crank(t, crossVee(), CrankSetting{CylinderDamping: damping})
	e := NewExcitation(len(m.Discs))
	for i, θ := range mode.Shape {
		e.Gas[i] = num.Series{0, 0, complex(1e5*m.Discs[i].Inertia*θ, 0)}
	}
	r := run(t, &m.Model, e, 2, mode.Frequency).Points[0]
	near(t, "magnifier", r.Discs[0].Half*mode.Frequency*mode.Frequency/1e5/math.Abs(mode.Shape[0]), 40, 0.1)
	if g, ok := Magnifier(1, 1./80); !ok || math.Abs(g-40) > 1e-9 {
		t.Error(g)
	}
	if _, ok := Magnifier(1, 0); ok {
		t.Error("an endless magnifier passes")
	}
}

func TestDamperErrors(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := func(name string) float64 { return rapid.Float64().Draw(t, name) }
		j, ω, μ := x("J"), x("ω"), x("μ")
		for _, size := range []func(float64, float64, float64) (Damper, error){TunedDamper, ViscousDamper} {
			d, err := size(j, ω, μ)
			if err == nil && (!finite(d.Ring, d.Stiffness, d.Damping, d.Peak) || d.Damping <= 0) {
				t.Fatalf("%+v", d)
			}
		}
	})
	for _, bad := range [][3]float64{{0, 100, .2}, {1, 0, .2}, {1, 100, 0}, {1, 100, math.NaN()}} {
		if _, err := TunedDamper(bad[0], bad[1], bad[2]); err == nil {
			t.Errorf("%v is not refused", bad)
		}
	}
	mode := modes(t, thomson())[0]
	if _, err := mode.DampingFor([]int{0}, 20); err == nil {
		t.Error("a rigid mode has a magnifier")
	}
	if _, err := mode.EquivalentInertia(9); err == nil {
		t.Error("no such disc")
	}
}
