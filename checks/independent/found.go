package independent

import (
	"crankwright/mechanics/balance"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// The engines of this file carry the balance shafts that mechanics/balance found for them, written down
// with seven digits as an engine file has them. found_test.go searches again.

// bareThree is an inline three without counterweights.
func bareThree() layout.Train {
	return inline("Inline three with the counterweights and the shaft that the search found", 0.09, 0.045, 0, 240, 120)
}

func threeTask() balance.ShaftTask {
	return balance.ShaftTask{
		Crank: true, Targets: []balance.ShaftTarget{{K: 2, Aim: balance.AimForce}, {K: 2, Aim: balance.AimMoment}},
		Places: []balance.ShaftPlace{{Y: 0.085, Z: -0.0675}, {Y: -0.085, Z: -0.0675}, {Y: 0.085}, {Y: -0.085}, {Z: -0.085}},
	}
}

// bareFour is a flat inline four; its shafts may stand on either side, low or high.
func bareFour() layout.Train {
	return inline("Inline four, flat crank, with the shafts at two heights that the search found", 0.095, 0.044, 0, 180, 180, 0)
}

func fourTask() balance.ShaftTask {
	return balance.ShaftTask{
		Targets: []balance.ShaftTarget{{K: 4, Aim: balance.AimForce}, {K: 4, Aim: balance.AimRoll, Keep: 0.2}},
		Places:  []balance.ShaftPlace{{Y: 0.08, Z: -0.06}, {Y: -0.08, Z: -0.06}, {Y: 0.08, Z: 0.07}, {Y: -0.08, Z: 0.07}},
	}
}

func inlineThreeFound() layout.Train {
	t := bareThree()
	t.Counterweights = []layout.Unbalance{
		{At: 0, Angle: num.Degrees(150), Amount: 0.03627452},
		{At: 0.18, Angle: num.Degrees(330), Amount: 0.03627452},
	}
	t.Shafts = []layout.Shaft{{SpeedRatio: -1, Y: 0.085, Z: -0.0675, Masses: []layout.Unbalance{
		{At: 0, Angle: num.Degrees(210), Amount: 0.01036095},
		{At: 0.18, Angle: num.Degrees(30), Amount: 0.01036095},
	}}}
	return t
}

func inlineFourFound() layout.Train {
	t := bareFour()
	t.Shafts = []layout.Shaft{
		{SpeedRatio: -2, Y: 0.08, Z: -0.06, Masses: []layout.Unbalance{{At: 0.1425, Angle: num.Degrees(180), Amount: 0.003635161}}},
		{SpeedRatio: 2, Y: -0.08, Z: 0.07, Masses: []layout.Unbalance{{At: 0.1425, Angle: num.Degrees(180), Amount: 0.003635161}}},
	}
	return t
}
