package independent

import (
	"fmt"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Engine is one crank train that is computed three times over.
type Engine struct {
	Stem  string       // name of its files
	Train layout.Train // Name says what it tests
	Speed float64      // [rad/s]
}

// Engines returns the crank trains, all invented: every feature of the model occurs, and no two
// features always occur together.
//
// Result: lengths [m], masses [kg], angles [rad]. Definition.
func Engines() []Engine {
	return []Engine{
		{"inline-four-flat", inlineFourFlat(), 630},
		{"inline-four-cross", inlineFourCross(), 700},
		{"single-offset", singleOffset(), 800},
		{"vee-six-split", veeSixSplit(), 580},
		{"radial-five", radialFive(), 250},
		{"inline-four-shafts", inlineFourShafts(), 600},
		{"opposed-four", opposedFour(), 610},
		{"odd-custom", oddCustom(), 420},
		{"vee-twin-clockwise", veeTwinClockwise(), 640},
		{"inline-three-found", inlineThreeFound(), 590},
		{"inline-four-found", inlineFourFound(), 570},
	}
}

// inline returns a train of equal cylinders in a row, one throw each, moments about the middle.
func inline(name string, spacing, radius float64, pins ...float64) layout.Train {
	t := layout.Train{Name: name, Arrangement: layout.Inline, Bore: 0.08}
	for i, pin := range pins {
		x := spacing * float64(i)
		t.Throws = append(t.Throws, layout.Throw{
			Name: fmt.Sprint("T", i+1), At: x, Angle: num.Degrees(pin), Radius: radius, Unbalance: 0.012, Pair: i,
		})
		t.Cylinders = append(t.Cylinders, layout.Cylinder{
			Name: fmt.Sprint(i + 1), Throw: i, At: x, Piston: layout.Piston{Mass: 0.38},
			Rod: layout.Rod{Length: 0.145, Mass: 0.55, CG: 0.04, Inertia: 0.0018},
		})
	}
	t.Reference = spacing * float64(len(pins)-1) / 2
	return t
}

func inlineFourFlat() layout.Train {
	t := inline("Inline four, flat crank, moments about a point beside the middle", 0.092, 0.045, 0, 180, 180, 0)
	t.Reference = 0.1
	return t
}

// crankOfFour is a crank for inlineFourCross, where journals and webs matter.
func crankOfFour() layout.CrankGeometry {
	return layout.CrankGeometry{
		MainJournal: layout.Journal{Diameter: 0.056, Width: 0.025}, Crankpin: layout.Journal{Diameter: 0.049, Width: 0.028}, Web: layout.Web{Thickness: 0.017, Width: 0.08},
	}
}

// crankOfSix is one for veeSixSplit.
func crankOfSix() layout.CrankGeometry {
	c := crankOfFour()
	c.Crankpin.Width, c.Web.Thickness = 0.018, 0.018
	return c
}

func inlineFourCross() layout.Train {
	t := inline("Inline four, cross-plane crank, one heavier piston", 0.092, 0.045, 0, 90, 270, 180)
	t.Cylinders[2].Piston.Mass = 0.43
	t.Counterweights = []layout.Unbalance{
		{At: -0.02, Angle: num.Degrees(160), Amount: 0.011},
		{At: 0.296, Angle: num.Degrees(-25), Amount: 0.009},
	}
	return t
}

func singleOffset() layout.Train {
	t := inline("Single, offset cylinder and piston pin, balance factor near a half", 0, 0.032, 20)
	c := &t.Cylinders[0]
	c.Offset, c.Piston.PinOffset, c.Axis = 0.010, -0.0015, num.Degrees(-12)
	c.Piston.Mass = 0.24
	c.Rod = layout.Rod{Length: 0.105, Mass: 0.26, CG: 0.029, Inertia: 0.00052}
	t.Counterweights = []layout.Unbalance{
		{At: 0.024, Angle: num.Degrees(200), Amount: 0.0119},
		{At: -0.024, Angle: num.Degrees(200), Amount: 0.0112},
	}
	t.Reference = 0.005
	return t
}

// veeSixSplit has six pins in three pairs, 30 degrees apart in a pair, so that a 90 degree vee
// fires evenly.
func veeSixSplit() layout.Train {
	t := layout.Train{Name: "Vee six 90 degrees, pins split by 30 degrees, bank stagger", Arrangement: layout.Vee, Bore: 0.088}
	t.Banks = []layout.Bank{{Name: "right", Axis: num.Degrees(-45)}, {Name: "left", Axis: num.Degrees(45)}}
	for pair, angle := range []float64{0, 120, 240} {
		for side, sign := range []float64{-1, 1} {
			x := float64(0.104*float64(pair)) + 0.022*float64(side) // rounded, not fused: the same on every processor
			i := len(t.Throws)
			t.Throws = append(t.Throws, layout.Throw{
				Name: fmt.Sprint("T", i+1), At: x, Angle: num.Degrees(angle + 15*sign), Radius: 0.042,
				Unbalance: 0.009, Pair: 2 * pair,
			})
			t.Cylinders = append(t.Cylinders, layout.Cylinder{
				Name: fmt.Sprint(3*side + pair + 1), Throw: i, Bank: side, At: x, Axis: t.Banks[side].Axis,
				Piston: layout.Piston{Mass: 0.41},
				Rod:    layout.Rod{Length: 0.151, Mass: 0.58, CG: 0.043, Inertia: 0.0021},
			})
		}
	}
	t.Reference = 0.115
	return t
}

// radialFive has a master and four linked rods of their own masses, the knuckles not quite at the
// cylinder angles, and an offset of one linked cylinder.
func radialFive() layout.Train {
	t := layout.Train{Name: "Radial five, master and linked rods", Arrangement: layout.Radial, Bore: 0.105}
	t.Throws = []layout.Throw{{Name: "T1", Angle: num.Degrees(10), Radius: 0.055, Unbalance: 0.08}}
	for i := range 5 {
		c := layout.Cylinder{
			Name: fmt.Sprint(i + 1), Axis: num.Degrees(72 * float64(i)), Bank: i, Piston: layout.Piston{Mass: 0.85},
			Rod: layout.Rod{Length: 0.230, Mass: 1.9, CG: 0.05, Inertia: 0.018},
		}
		if i > 0 {
			c.Rod = layout.Rod{
				Length: 0.178, Mass: 0.6 + float64(0.01*float64(i)), CG: 0.08, Inertia: 0.0026,
				Linked: true, Master: 0, KnuckleRadius: 0.052, KnuckleAngle: num.Degrees(71*float64(i) + 2),
			}
		}
		t.Banks = append(t.Banks, layout.Bank{Name: c.Name, Axis: c.Axis})
		t.Cylinders = append(t.Cylinders, c)
	}
	t.Cylinders[3].Offset = 0.004
	t.Counterweights = []layout.Unbalance{{At: -0.045, Angle: num.Degrees(190), Amount: 0.17}, {At: 0.045, Angle: num.Degrees(190), Amount: 0.15}}
	t.Reference = 0.02
	return t
}

func inlineFourShafts() layout.Train {
	t := inline("Inline four, flat crank, two second-order balance shafts at different heights", 0.095, 0.047, 0, 180, 180, 0)
	t.Shafts = []layout.Shaft{
		{SpeedRatio: 2, Y: 0.062, Z: 0.055, Masses: []layout.Unbalance{
			{At: 0.10, Angle: num.Degrees(180), Amount: 0.0025}, {At: 0.19, Angle: num.Degrees(180), Amount: 0.0025},
		}},
		{SpeedRatio: -2, Y: -0.058, Z: -0.070, Masses: []layout.Unbalance{
			{At: 0.12, Angle: num.Degrees(175), Amount: 0.0048}, {At: 0.16, Angle: num.Degrees(0), Amount: -0.0003},
		}},
	}
	return t
}

func opposedFour() layout.Train {
	t := inline("Opposed four, each rod on its own pin: no free force at all", 0.055, 0.040, 0, 180, 180, 0)
	t.Arrangement = layout.Opposed
	t.Banks = []layout.Bank{{Name: "right", Axis: num.Degrees(-90)}, {Name: "left", Axis: num.Degrees(90)}}
	for i := range t.Cylinders {
		t.Cylinders[i].Bank, t.Cylinders[i].Axis = i%2, t.Banks[i%2].Axis
		t.Cylinders[i].Rod.Length = 0.130
	}
	return t
}

// oddCustom follows no rule: throws of three radii at odd angles and places, two rods on one throw,
// a short rod, a linked rod, a shaft at one and a half times the speed.
func oddCustom() layout.Train {
	return layout.Train{
		Name: "Custom: odd throws, counterweights, a linked rod, a shaft at -1.5", Arrangement: layout.Custom, Bore: 0.07,
		Throws: []layout.Throw{
			{Name: "A", At: 0.013, Angle: num.Degrees(17), Radius: 0.050, Unbalance: 0.021, Pair: 0},
			{Name: "B", At: 0.131, Angle: num.Degrees(141.5), Radius: 0.038, Unbalance: 0.008, Pair: 1},
			{Name: "C", At: 0.207, Angle: num.Degrees(-101), Radius: 0.044, Unbalance: 0.013, Pair: 2},
		},
		Cylinders: []layout.Cylinder{
			{
				Name: "1", Throw: 0, At: 0.002, Axis: num.Degrees(-31), Piston: layout.Piston{Mass: 0.33},
				Rod: layout.Rod{Length: 0.112, Mass: 0.41, CG: 0.033, Inertia: 0.0011},
			}, // ratio 0.446
			{
				Name: "2", Throw: 0, At: 0.024, Axis: num.Degrees(44), Offset: -0.006, Piston: layout.Piston{Mass: 0.37, PinOffset: 0.001},
				Rod: layout.Rod{Length: 0.139, Mass: 0.52, CG: -0.004, Inertia: 0.0016},
			}, // centre of gravity below the big end
			{
				Name: "3", Throw: 1, At: 0.131, Axis: num.Degrees(8), Offset: 0.003, Piston: layout.Piston{Mass: 0.29},
				Rod: layout.Rod{Length: 0.160, Mass: 0.77, CG: 0.052, Inertia: 0.0030},
			},
			{
				Name: "4", Throw: 1, At: 0.131, Axis: num.Degrees(70), Piston: layout.Piston{Mass: 0.31},
				Rod: layout.Rod{
					Length: 0.118, Mass: 0.30, CG: 0.050, Inertia: 0.0007,
					Linked: true, Master: 2, KnuckleRadius: 0.041, KnuckleAngle: num.Degrees(63),
				},
			},
			{
				Name: "5", Throw: 2, At: 0.207, Axis: num.Degrees(163), Offset: 0.002, Piston: layout.Piston{Mass: 0.36},
				Rod: layout.Rod{Length: 0.150, Mass: 0.49, CG: 0.045, Inertia: 0.0017},
			},
		},
		Counterweights: []layout.Unbalance{
			{At: -0.030, Angle: num.Degrees(205), Amount: 0.019},
			{At: 0.075, Angle: num.Degrees(-77), Amount: -0.006},
			{At: 0.240, Angle: num.Degrees(99), Amount: 0.014},
		},
		Shafts: []layout.Shaft{{SpeedRatio: -1.5, Y: 0.09, Z: 0.02, Masses: []layout.Unbalance{
			{At: 0.05, Angle: num.Degrees(33), Amount: 0.004}, {At: 0.22, Angle: num.Degrees(-148), Amount: 0.0055},
		}}},
		Reference: 0.088,
	}
}

// veeTwinClockwise turns clockwise: the mirror image y → −y of what is written here.
func veeTwinClockwise() layout.Train {
	t := layout.Train{Name: "Vee twin 52 degrees on one pin, clockwise", Arrangement: layout.Vee, Rotation: layout.Clockwise, Bore: 0.09}
	t.Banks = []layout.Bank{{Name: "front", Axis: num.Degrees(-26)}, {Name: "rear", Axis: num.Degrees(26)}}
	t.Throws = []layout.Throw{{Name: "T1", At: 0.05, Angle: num.Degrees(-26), Radius: 0.0375, Unbalance: 0.014}}
	for i, bank := range t.Banks {
		t.Cylinders = append(t.Cylinders, layout.Cylinder{
			Name: fmt.Sprint(i + 1), Bank: i, At: 0.04 + 0.02*float64(i), Axis: bank.Axis, Offset: 0.002 * float64(i),
			Piston: layout.Piston{Mass: 0.40 + 0.01*float64(i)},
			Rod:    layout.Rod{Length: 0.135, Mass: 0.50, CG: 0.038, Inertia: 0.0015},
		})
	}
	t.Counterweights = []layout.Unbalance{{At: 0.03, Angle: num.Degrees(160), Amount: 0.02}, {At: 0.07, Angle: num.Degrees(160), Amount: 0.018}}
	t.Shafts = []layout.Shaft{{SpeedRatio: -1, Y: 0.08, Z: 0.01, Masses: []layout.Unbalance{{At: 0.045, Angle: num.Degrees(15), Amount: 0.012}}}}
	t.Reference = 0.055
	return t
}
