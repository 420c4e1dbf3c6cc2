package analysis_test

import (
	"fmt"

	"pgregory.net/rapid"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// anyTrain draws a crank train that nobody would build but mechanics must get right: throws at any
// angle and place, cylinders with any axis, offset and mass, linked rods, counterweights, shafts.
func anyTrain(t *rapid.T) *layout.Train {
	length := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	angle := func(name string) num.Angle { return num.Degrees(rapid.Float64Range(-180, 180).Draw(t, name)) }
	train := &layout.Train{
		Name: "any", Arrangement: layout.Custom,
		Cycle:     layout.Cycle(rapid.IntRange(0, 1).Draw(t, "cycle")),
		Reference: length("reference", -0.3, 0.3),
		Speeds:    layout.Speeds{Rated: length("speed", 10, 900)},
	}
	throws := rapid.IntRange(1, 4).Draw(t, "throws")
	for i := range throws {
		train.Throws = append(train.Throws, layout.Throw{
			Name: fmt.Sprint("T", i+1), Pair: i, At: 0.1 * float64(i), Angle: angle("throw"),
			Radius: length("radius", 0.02, 0.06), Unbalance: length("throw unbalance", 0, 0.02),
		})
	}
	for i := range rapid.IntRange(1, 6).Draw(t, "cylinders") {
		on := rapid.IntRange(0, throws-1).Draw(t, "on")
		c := layout.Cylinder{
			Name: fmt.Sprint(i + 1), Throw: on, Bank: i, At: train.Throws[on].At + 0.013*float64(i), Axis: angle("axis"),
			Offset: length("offset", -0.02, 0.02),
			Piston: layout.Piston{Mass: length("piston", 0, 1), PinOffset: length("pin offset", -0.002, 0.002)},
			Rod:    layout.Rod{Length: length("rod", 0.13, 0.2), Mass: length("rod mass", 0, 1), CG: length("cg", 0.01, 0.06), Inertia: length("inertia", 0, 0.004)},
		}
		if i > 0 && rapid.Bool().Draw(t, "linked") && !train.Cylinders[i-1].Rod.Linked {
			c.Throw, c.At = train.Cylinders[i-1].Throw, train.Cylinders[i-1].At+0.001
			c.Rod.Linked, c.Rod.Master = true, i-1
			c.Rod.KnuckleRadius = length("knuckle radius", 0.02, 0.04)
			c.Axis = train.Cylinders[i-1].Axis + num.Degrees(rapid.Float64Range(30, 90).Draw(t, "lean"))
			c.Rod.KnuckleAngle = c.Axis - train.Cylinders[i-1].Axis
		}
		train.Cylinders = append(train.Cylinders, c)
		train.Banks = append(train.Banks, layout.Bank{Name: c.Name, Axis: c.Axis})
	}
	for range rapid.IntRange(0, 2).Draw(t, "counterweights") {
		train.Counterweights = append(train.Counterweights, layout.Unbalance{At: length("at", -0.1, 0.4), Angle: angle("cw"), Amount: length("amount", 0, 0.03)})
	}
	for range rapid.IntRange(0, 2).Draw(t, "shafts") {
		train.Shafts = append(train.Shafts, layout.Shaft{
			SpeedRatio: rapid.SampledFrom([]float64{-2, -1, -0.5, 0.5, 1, 2}).Draw(t, "ratio"),
			Y:          length("y", -0.1, 0.1), Z: length("z", -0.1, 0.1),
			Masses: []layout.Unbalance{{At: length("at", -0.1, 0.4), Angle: angle("mass"), Amount: length("amount", 0, 0.03)}},
		})
	}
	return train
}

// clone copies a train so that its parts can be changed.
func clone(t *layout.Train) *layout.Train {
	c := *t
	c.Throws = append([]layout.Throw(nil), t.Throws...)
	c.Cylinders = append([]layout.Cylinder(nil), t.Cylinders...)
	c.Banks = append([]layout.Bank(nil), t.Banks...)
	c.Counterweights = append([]layout.Unbalance(nil), t.Counterweights...)
	c.Shafts = nil
	for _, s := range t.Shafts {
		s.Masses = append([]layout.Unbalance(nil), s.Masses...)
		c.Shafts = append(c.Shafts, s)
	}
	return &c
}
