package balance

import (
	"fmt"
	"slices"
	"testing"

	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
	"crankwright/num"

	"pgregory.net/rapid"
)

// crankOf returns a train with cylinders on throws 100 mm apart; axes of the cylinders on each throw in
// degrees.
func crankOf(pins []float64, axes ...float64) *layout.Train {
	t := &layout.Train{Name: "pilot boat", Bore: 0.084, Speeds: layout.Speeds{Rated: 400}}
	t.Crank.Crankpin = layout.Journal{Diameter: 0.048, Width: 0.024}
	t.Crank.Web.Thickness = 0.018
	t.Crank.MainJournal.Diameter = 0.055
	for i, p := range pins {
		at := 0.1 * (float64(i) - float64(len(pins)-1)/2)
		t.Throws = append(t.Throws, layout.Throw{Name: fmt.Sprint("T", i+1), At: at, Angle: num.Degrees(p), Radius: 0.045, Unbalance: 0.012, Pair: i})
		for _, a := range axes {
			t.Cylinders = append(t.Cylinders, layout.Cylinder{
				Name: fmt.Sprint(len(t.Cylinders) + 1), Throw: i, At: at, Axis: num.Degrees(a),
				Piston: layout.Piston{Mass: 0.38},
				Rod:    layout.Rod{Length: 0.145, Mass: 0.55, CG: 0.04, Inertia: 0.0018},
			})
		}
	}
	return t
}

func solved(t testing.TB, train *layout.Train, weights []layout.Unbalance) *inertia.Balance {
	t.Helper()
	c := *train
	c.Counterweights = weights
	var s inertia.Solver
	b, err := s.Solve(nil, &c, inertia.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// anyCrank draws a crank with any pins, axes, places, offsets, pin splits and widths.
func anyCrank(t *rapid.T, offsets bool) *layout.Train {
	length := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	angle := func(name string) num.Angle { return num.Degrees(rapid.Float64Range(-180, 180).Draw(t, name)) }
	train := &layout.Train{
		Name: "any", Rotation: layout.Rotation(rapid.IntRange(0, 1).Draw(t, "rotation")),
		Reference: length("reference", -0.3, 0.3), Speeds: layout.Speeds{Rated: 300}, Bore: 0.005,
	}
	if rapid.Bool().Draw(t, "widths") {
		train.Crank.Crankpin.Width, train.Crank.Web.Thickness = 0.02, 0.015
	}
	throws := rapid.IntRange(1, 5).Draw(t, "throws")
	for i := range throws {
		pair := i
		if i > 0 && train.Throws[i-1].Pair == i-1 && rapid.Bool().Draw(t, "split") {
			pair = i - 1
		}
		train.Throws = append(train.Throws, layout.Throw{
			Name: fmt.Sprint("T", i+1), Pair: pair, At: 0.1 * float64(i), Angle: angle("throw"),
			Radius: length("radius", 0.02, 0.06), Unbalance: length("throw unbalance", 0, 0.02),
		})
	}
	for i := range rapid.IntRange(1, 6).Draw(t, "cylinders") {
		on := rapid.IntRange(0, throws-1).Draw(t, "on")
		c := layout.Cylinder{
			Name: fmt.Sprint(i + 1), Throw: on, At: train.Throws[on].At + 0.013*float64(i), Axis: angle("axis"),
			Piston: layout.Piston{Mass: length("piston", 0, 1)},
			Rod:    layout.Rod{Length: length("rod", 0.13, 0.2), Mass: length("rod mass", 0, 1), CG: length("cg", 0.01, 0.06)},
		}
		c.Rod.Inertia = 0.8 * c.Rod.Mass * c.Rod.CG * (c.Rod.Length - c.Rod.CG) // most mass is near the eyes
		if offsets {
			c.Offset = length("offset", -0.02, 0.02)
		} else { // on its pin: what a counterweight of the throw takes has no moment left
			c.At = train.Throws[on].At
			train.Bore = 0
		}
		train.Cylinders = append(train.Cylinders, c)
	}
	return train
}

// row returns a train of equal cylinders: pins and axes in degrees, one throw a cylinder.
func row(spacing float64, pins, axes []float64, x []float64) *layout.Train {
	t := &layout.Train{Name: "test", Bore: 0.08}
	for i, pin := range pins {
		t.Throws = append(t.Throws, layout.Throw{
			Name: fmt.Sprint("T", i+1), At: spacing * x[i], Angle: num.Degrees(pin), Radius: 0.045, Unbalance: 0.012, Pair: i,
		})
		t.Banks = append(t.Banks, layout.Bank{Name: fmt.Sprint(i), Axis: num.Degrees(axes[i])})
		t.Cylinders = append(t.Cylinders, layout.Cylinder{
			Name: fmt.Sprint(i + 1), Throw: i, Bank: i, At: spacing * x[i], Axis: num.Degrees(axes[i]), Piston: layout.Piston{Mass: 0.38},
			Rod: layout.Rod{Length: 0.145, Mass: 0.55, CG: 0.04, Inertia: 0.0018},
		})
	}
	t.Reference = spacing * (slices.Min(x) + slices.Max(x)) / 2
	return t
}

func inlineOf(pins ...float64) *layout.Train {
	x := make([]float64, len(pins))
	for i := range x {
		x[i] = float64(i)
	}
	return row(0.09, pins, make([]float64, len(pins)), x)
}

// veeOf has the pins of a pair split by an angle.
func veeOf(bank, split float64, pins ...float64) *layout.Train {
	var p, a, x []float64
	for i, pin := range pins {
		p = append(p, pin+split/2, pin-split/2)
		a = append(a, -bank/2, bank/2)
		x = append(x, float64(i), float64(i))
	}
	return row(0.1, p, a, x)
}
