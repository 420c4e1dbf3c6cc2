package torque

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"crankwright/mechanics/firing"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// pilotBoat returns an invented train with the given pins and axes in degrees, one list of axes for every pin.
func pilotBoat(pins []float64, axes ...float64) *layout.Train {
	t := &layout.Train{Name: "pilot boat", Bore: 0.084}
	for b, a := range axes {
		t.Banks = append(t.Banks, layout.Bank{Name: fmt.Sprint("bank ", b+1), Axis: num.Degrees(a)})
	}
	for i, p := range pins {
		t.Throws = append(t.Throws, layout.Throw{Name: fmt.Sprint("T", i+1), At: 0.12 * float64(i), Angle: num.Degrees(p), Radius: 0.045, Unbalance: 0.012, Pair: i})
		for b, a := range axes {
			t.Cylinders = append(t.Cylinders, layout.Cylinder{
				Name: fmt.Sprint(len(t.Cylinders) + 1), Throw: i, Bank: b, At: 0.12*float64(i) + 0.02*float64(b), Axis: num.Degrees(a),
				Piston: layout.Piston{Mass: 0.38},
				Rod:    layout.Rod{Length: 0.145, Mass: 0.55, CG: 0.04, Inertia: 0.0018},
			})
		}
	}
	return t
}

func prepared(t testing.TB, train *layout.Train, samples int) *Mechanism {
	t.Helper()
	s, err := firing.ForTrain(train)
	if err != nil {
		t.Fatal(err)
	}
	m, err := NewMechanism(train, s, samples)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// smooth is a pressure curve [Pa] by the angle from the firing: one smooth hump a cycle.
func smooth(θ float64, cycle layout.Cycle) float64 {
	x := math.Remainder(θ-0.25, float64(cycle.Period()))
	return 1e5 + 60e5*math.Exp(-x*x/0.5)
}

func smoothCurve(m *Mechanism) []float64 {
	p := make([]float64, m.CycleSamples())
	for j := range p {
		p[j] = smooth(float64(m.Step())*float64(j), m.Cycle)
	}
	return p
}

// anyTrain draws an engine with any pins, axes, offsets and a linked rod now and then.
func anyTrain(t *rapid.T) *layout.Train {
	f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	train := pilotBoat(make([]float64, rapid.IntRange(1, 3).Draw(t, "throws")), -30, 30)
	train.Cycle = layout.Cycle(rapid.IntRange(0, 1).Draw(t, "cycle"))
	train.Bore = 0.01
	for i := range train.Throws {
		train.Throws[i].Angle = num.Degrees(f("pin", -180, 180))
		train.Throws[i].Radius = f("radius", 0.03, 0.05)
	}
	for i := range train.Cylinders {
		c := &train.Cylinders[i]
		c.Offset, c.Piston.PinOffset = f("offset", -0.01, 0.01), f("pin offset", -0.001, 0.001)
		c.Rod.Length = f("rod", 0.12, 0.2)
		if i%2 == 1 && rapid.Bool().Draw(t, "linked") {
			c.Rod.Linked, c.Rod.Master = true, i-1
			c.Rod.KnuckleRadius, c.Rod.KnuckleAngle = 0.03, num.Degrees(f("knuckle", 50, 70))
		}
	}
	return train
}

func schedule(t testing.TB, train *layout.Train) firing.Schedule {
	t.Helper()
	s, err := firing.ForTrain(train)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func preparedOrSkip(t *rapid.T, train *layout.Train) *Mechanism {
	s, err := firing.ForTrain(train)
	if err != nil {
		t.Skip(err)
	}
	m, err := NewMechanism(train, s, 0)
	if err != nil {
		t.Skip(err)
	}
	return m
}
