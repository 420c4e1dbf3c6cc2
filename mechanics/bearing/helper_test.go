package bearing

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"crankwright/mechanics/firing"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

const rpm = math.Pi / 30

// pilotBoat returns an invented train with the given pins and axes in degrees, one list of axes for every pin, whose
// rods stand side by side and whose crank fills its length.
func pilotBoat(pins []float64, axes ...float64) *layout.Train {
	t := &layout.Train{Name: "pilot boat", Bore: 0.084, Crank: layout.CrankGeometry{
		MainJournal: layout.Journal{Diameter: 0.06, Width: 0.024},
		Crankpin:    layout.Journal{Diameter: 0.05, Width: 0.04},
		Web:         layout.Web{Thickness: 0.018, Width: 0.085}, Fillet: 0.002,
	}}
	for b, a := range axes {
		t.Banks = append(t.Banks, layout.Bank{Name: fmt.Sprint("bank ", b+1), Axis: num.Degrees(a)})
	}
	for i, p := range pins {
		t.Throws = append(t.Throws, layout.Throw{Name: fmt.Sprint("T", i+1), At: 0.1 * float64(i), Angle: num.Degrees(p), Radius: 0.045, Unbalance: 0.012, Pair: i})
		for b, a := range axes {
			t.Cylinders = append(t.Cylinders, layout.Cylinder{
				Name: fmt.Sprint(len(t.Cylinders) + 1), Throw: i, Bank: b, At: 0.1*float64(i) + 0.02*(float64(b)-float64(len(axes)-1)/2), Axis: num.Degrees(a),
				Piston: layout.Piston{Mass: 0.38},
				Rod:    layout.Rod{Length: 0.145, Mass: 0.55, CG: 0.04, Inertia: 0.0018},
			})
		}
	}
	return t
}

func veeEight() *layout.Train { return pilotBoat([]float64{0, 90, 270, 180}, -45, 45) }

// radialFive returns a master rod with four linked rods.
func radialFive() *layout.Train {
	t := pilotBoat([]float64{20}, 0, 72, 144, 216, 288)
	for i := range t.Cylinders {
		c := &t.Cylinders[i]
		c.At = 0.003
		if i > 0 {
			c.Rod = layout.Rod{Length: 0.11, Mass: 0.3, CG: 0.05, Inertia: 0.0007, Linked: true, KnuckleRadius: 0.035, KnuckleAngle: num.Degrees(72 * float64(i))}
		}
	}
	return t
}

func schedule(t testing.TB, train *layout.Train) firing.Schedule {
	t.Helper()
	s, err := firing.ForTrain(train)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func prepared(t testing.TB, train *layout.Train, opt Options) *Mechanism {
	t.Helper()
	m, err := NewMechanism(train, schedule(t, train), opt)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func loads(t testing.TB, m *Mechanism, pressure [][]float64, ω float64) *Loads {
	t.Helper()
	l, err := m.Loads(nil, pressure, 1e5, ω)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// smooth returns a pressure curve [Pa] from the firing on: one smooth hump a cycle.
func smooth(m *Mechanism) []float64 {
	p := make([]float64, m.CycleSamples())
	for j := range p {
		x := math.Remainder(float64(m.Angle(j))-0.25, float64(m.Cycle.Period()))
		p[j] = 1e5 + 60e5*math.Exp(-x*x/0.5)
	}
	return p
}

// anyTrain draws an engine with any pins, axes, offsets, counterweights and a linked rod now and then. Its crank has
// room for its webs.
func anyTrain(t *rapid.T) *layout.Train {
	f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	train := pilotBoat(make([]float64, rapid.IntRange(1, 4).Draw(t, "throws")), -30, 30)
	train.Cycle = layout.Cycle(rapid.IntRange(0, 1).Draw(t, "cycle"))
	train.Rotation = layout.Rotation(rapid.IntRange(0, 1).Draw(t, "rotation"))
	train.Bore = 0.015
	train.Reference = f("reference", -1, 1)
	for i := range train.Throws {
		th := &train.Throws[i]
		th.Angle, th.Radius, th.Unbalance = num.Degrees(f("pin", -180, 180)), f("radius", 0.03, 0.05), f("unbalance", 0, 0.03)
		train.Counterweights = append(train.Counterweights, layout.Unbalance{At: f("at", -0.2, 0.6), Angle: num.Degrees(f("angle", -180, 180)), Amount: f("amount", -0.03, 0.03)})
	}
	for i := range train.Cylinders {
		c := &train.Cylinders[i]
		c.Offset, c.Piston.PinOffset = f("offset", -0.01, 0.01), f("pin offset", -0.001, 0.001)
		c.Rod.Length, c.Rod.Inertia, c.Rod.CG = f("rod", 0.12, 0.2), f("inertia", 0, 0.003), f("cg", -0.01, 0.1)
		if i%2 == 1 && rapid.Bool().Draw(t, "linked") {
			c.Rod.Linked, c.Rod.Master, c.At = true, i-1, train.Cylinders[i-1].At
			c.Rod.KnuckleRadius, c.Rod.KnuckleAngle = 0.03, num.Degrees(f("knuckle", 50, 70))
		}
	}
	return train
}

// anyMechanism draws a mechanism, its schedule and pressures.
func anyMechanism(t *rapid.T, opt Options) (*Mechanism, firing.Schedule, [][]float64, float64) {
	train := anyTrain(t)
	s, err := firing.ForTrain(train)
	if err != nil {
		t.Skip(err)
	}
	m, err := NewMechanism(train, s, opt)
	if err != nil {
		t.Skip(err)
	}
	pressure := make([][]float64, len(train.Cylinders))
	for i := range pressure {
		if rapid.IntRange(0, 4).Draw(t, "fires") > 0 {
			pressure[i] = smooth(m)
		}
	}
	return m, s, pressure, rapid.Float64Range(0, 900).Draw(t, "speed")
}

// near fails unless two numbers agree to a share of a scale.
func near(t testing.TB, what string, got, want, tolerance, scale float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*scale) {
		t.Errorf("%s: %.12g, want %.12g, off by %.2g of %.4g", what, got, want, math.Abs(got-want)/scale, scale)
	}
}
