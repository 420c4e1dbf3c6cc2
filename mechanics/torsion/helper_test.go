package torsion

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"crankwright/mechanics/firing"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/torque"
	"crankwright/num"
)

// pilotBoat returns an invented train with the given pins and axes in degrees, one list of axes for every pin.
func pilotBoat(pins []float64, axes ...float64) *layout.Train {
	t := &layout.Train{Name: "pilot boat", Bore: 0.084, Flywheel: 0.35}
	t.Crank = layout.CrankGeometry{
		MainJournal: layout.Journal{Diameter: 0.058, Width: 0.026},
		Crankpin:    layout.Journal{Diameter: 0.05, Width: 0.032},
		Web:         layout.Web{Thickness: 0.02, Width: 0.085},
		Fillet:      0.003,
	}
	for b, a := range axes {
		t.Banks = append(t.Banks, layout.Bank{Name: fmt.Sprint("bank ", b+1), Axis: num.Degrees(a)})
	}
	for i, p := range pins {
		t.Throws = append(t.Throws, layout.Throw{Name: fmt.Sprint("T", i+1), At: 0.1 * float64(i), Angle: num.Degrees(p), Radius: 0.045, Unbalance: 0.012, Pair: i})
		t.Counterweights = append(t.Counterweights, layout.Unbalance{At: 0.1 * float64(i), Angle: num.Degrees(p + 180), Amount: 0.02, Throw: i + 1})
		for b, a := range axes {
			t.Cylinders = append(t.Cylinders, layout.Cylinder{
				Name: fmt.Sprint(len(t.Cylinders) + 1), Throw: i, Bank: b, At: 0.1*float64(i) + 0.015*float64(b), Axis: num.Degrees(a),
				Piston: layout.Piston{Mass: 0.38},
				Rod:    layout.Rod{Length: 0.145, Mass: 0.55, CG: 0.04, Inertia: 0.0018},
			})
		}
	}
	return t
}

func crossVee() *layout.Train { return pilotBoat([]float64{0, 90, 270, 180}, -45, 45) }

func schedule(t testing.TB, train *layout.Train) firing.Schedule {
	t.Helper()
	s, err := firing.ForTrain(train)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// curves returns the torques of a train under a smooth hump of pressure a cycle.
func curves(t testing.TB, train *layout.Train, ω float64) (*torque.Curves, *torque.Mechanism) {
	t.Helper()
	m, err := torque.NewMechanism(train, schedule(t, train), 0)
	if err != nil {
		t.Fatal(err)
	}
	p := make([]float64, m.CycleSamples())
	for j := range p {
		x := math.Remainder(float64(m.Step())*float64(j)-0.25, float64(m.Cycle.Period()))
		p[j] = 1e5 + 60e5*math.Exp(-x*x/0.5)
	}
	c, err := m.Curves(nil, [][]float64{p}, 1e5, ω)
	if err != nil {
		t.Fatal(err)
	}
	return c, m
}

func crank(t testing.TB, train *layout.Train, set CrankSetting) *Crank {
	t.Helper()
	c, err := NewCrank(train, set)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func modes(t testing.TB, m *Model) []Mode {
	t.Helper()
	all, err := Modes(m)
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func excited(t testing.TB, c *Crank, train *layout.Train, ω float64, orders int) *Excitation {
	t.Helper()
	k, _ := curves(t, train, ω)
	e, err := c.Excite(k, ω, orders)
	if err != nil {
		t.Fatal(err)
	}
	return e
}

func run(t testing.TB, m *Model, e *Excitation, orders int, speeds ...float64) *Sweep {
	t.Helper()
	s, err := Run(m, speeds, []*Excitation{e}, orders)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func near(t testing.TB, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.12g, want %.12g within %g", what, got, want, tol)
	}
}

// anyModel draws a damped shaft: a chain, a branch, or a loop, held to the block or free.
func anyModel(t *rapid.T) *Model {
	f := func(name string, lo, hi float64) float64 {
		return math.Pow(10, rapid.Float64Range(math.Log10(lo), math.Log10(hi)).Draw(t, name))
	}
	m := &Model{}
	n := rapid.IntRange(1, 9).Draw(t, "discs")
	for i := range n {
		d := Disc{Inertia: f("inertia", 1e-3, 10)}
		if rapid.Bool().Draw(t, "damped") {
			d.Damping = f("damping", 0.01, 100)
		}
		if rapid.IntRange(0, 5).Draw(t, "held") == 0 {
			d.Ground = f("ground", 1e3, 1e6)
		}
		m.Discs = append(m.Discs, d)
		if i == 0 {
			continue
		}
		to := i - 1
		if rapid.IntRange(0, 3).Draw(t, "branch") == 0 {
			to = rapid.IntRange(0, i-1).Draw(t, "from")
		}
		m.Spans = append(m.Spans, Span{A: to, B: i, Stiffness: f("stiffness", 1e3, 1e7), Damping: f("relative", 0.01, 100), Loss: rapid.Float64Range(0, 0.1).Draw(t, "loss"), Modulus: 1e-5})
	}
	if n > 2 && rapid.IntRange(0, 3).Draw(t, "loop") == 0 {
		m.Spans = append(m.Spans, Span{A: 0, B: n - 1, Stiffness: f("stiffness", 1e3, 1e7)})
	}
	return m
}

func anyExcitation(t *rapid.T, discs, orders int) *Excitation {
	e := NewExcitation(discs)
	part := rapid.Float64Range(-500, 500)
	for d := range discs {
		e.Gas[d], e.Inertia[d] = make(num.Series, orders+1), make(num.Series, orders+1)
		for k := 1; k <= orders; k++ {
			e.Gas[d][k] = complex(part.Draw(t, "re"), part.Draw(t, "im"))
			e.Inertia[d][k] = complex(1e-5*part.Draw(t, "inertia"), 0)
		}
	}
	return e
}
