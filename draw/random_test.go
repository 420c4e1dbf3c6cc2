package draw

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"crankwright/analysis"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// randomTrain draws a train that may or may not be possible.
func randomTrain(t *rapid.T) *layout.Train {
	size := math.Pow(10, rapid.Float64Range(-3, 1).Draw(t, "size"))
	r := rapid.Float64Range(0.2, 1).Draw(t, "radius") * size
	tr := &layout.Train{
		Name:     rapid.String().Draw(t, "name"),
		Cycle:    layout.Cycle(rapid.IntRange(0, 1).Draw(t, "cycle")),
		Rotation: layout.Rotation(rapid.IntRange(0, 1).Draw(t, "rotation")),
		Speeds:   layout.Speeds{Rated: rapid.Float64Range(0.01, 3000).Draw(t, "speed")},
	}
	if rapid.Bool().Draw(t, "bore known") {
		tr.Bore = rapid.Float64Range(0.3, 3).Draw(t, "bore") * size
	}
	if rapid.Bool().Draw(t, "crank known") {
		tr.Crank = layout.CrankGeometry{
			MainJournal: layout.Journal{Diameter: 0.7 * size, Width: 0.3 * size},
			Crankpin:    layout.Journal{Diameter: 0.6 * size, Width: 0.3 * size},
			Web:         layout.Web{Thickness: 0.2 * size, Width: 1.1 * size},
		}
	}
	angle := rapid.Float64Range(-7, 7)
	banks := rapid.IntRange(1, 6).Draw(t, "banks")
	for range banks {
		tr.Banks = append(tr.Banks, layout.Bank{Axis: num.Angle(angle.Draw(t, "axis"))})
	}
	throws := rapid.IntRange(1, 8).Draw(t, "throws")
	for i := range throws {
		tr.Throws = append(tr.Throws, layout.Throw{
			Name: count(i + 1), At: 4 * size * float64(i), Angle: num.Angle(angle.Draw(t, "pin")), Radius: r,
			Unbalance: rapid.Float64Range(0, 1).Draw(t, "unbalance"), Pair: i,
		})
		for b := range banks {
			if i == 0 && b == 0 || rapid.Bool().Draw(t, "cylinder") {
				tr.Cylinders = append(tr.Cylinders, layout.Cylinder{
					Name: count(len(tr.Cylinders) + 1), Throw: i, Bank: b, Axis: tr.Banks[b].Axis,
					At:     4*size*float64(i) + rapid.Float64Range(-0.2, 0.2).Draw(t, "stagger")*size,
					Offset: rapid.Float64Range(-0.2, 0.2).Draw(t, "offset") * r,
					Piston: layout.Piston{Mass: rapid.Float64Range(0, 10).Draw(t, "piston")},
					Rod:    layout.Rod{Length: rapid.Float64Range(1.3, 6).Draw(t, "rod") * r, Mass: rapid.Float64Range(0, 10).Draw(t, "rod mass"), CG: r / 2, Inertia: 0},
				})
			}
		}
	}
	for range rapid.IntRange(0, 3).Draw(t, "counterweights") {
		tr.Counterweights = append(tr.Counterweights, layout.Unbalance{At: rapid.Float64Range(-1, 9).Draw(t, "at") * size, Angle: num.Angle(angle.Draw(t, "weight")), Amount: rapid.Float64Range(-1, 1).Draw(t, "amount")})
	}
	for range rapid.IntRange(0, 2).Draw(t, "shafts") {
		tr.Shafts = append(tr.Shafts, layout.Shaft{
			SpeedRatio: float64(rapid.SampledFrom([]int{-4, -2, -1, 1, 2, 4}).Draw(t, "ratio")) / 2,
			Y:          rapid.Float64Range(-3, 3).Draw(t, "y") * size, Z: rapid.Float64Range(-3, 3).Draw(t, "z") * size,
			Masses: []layout.Unbalance{{At: size, Angle: num.Angle(angle.Draw(t, "mass")), Amount: rapid.Float64Range(-1, 1).Draw(t, "amount")}},
		})
	}
	return tr
}

// Whatever train can be analysed can be drawn, and every figure keeps its promises.
func TestAnyTrainCanBeDrawn(t *testing.T) {
	drawn := 0
	rapid.Check(t, func(rt *rapid.T) {
		r, err := analysis.Run(randomTrain(rt), analysis.Options{Samples: 144})
		if err != nil {
			return
		}
		drawn++
		o := Options{
			K:        rapid.IntRange(1, 24).Draw(rt, "order"),
			Quantity: Quantity(rapid.IntRange(0, 1).Draw(rt, "quantity")),
			Angle:    num.Angle(rapid.Float64Range(-20, 20).Draw(rt, "angle")),
		}
		for _, e := range Gallery() {
			check(t, e.Name, e.Draw(o, r))
		}
	})
	if drawn < 20 {
		t.Errorf("only %d of the random trains could be analysed; the test proves nothing", drawn)
	}
}

func TestComparisonOfOddValues(t *testing.T) {
	f := ComparisonBars([]Group{
		{Label: "all unknown", Unit: "N", Values: []float64{math.NaN(), math.Inf(1)}},
		{Label: "zero & <nothing>", Unit: "", Values: []float64{0, 0}, LowerIsBetter: true},
		{Label: "signs", Unit: "N m", Values: []float64{-5, 1e30}},
		{Label: "too few", Unit: "%", Values: []float64{3}},
	}, []string{"first engine with a name that goes on and on and on", "二"})
	check(t, "comparison-bars", f)
	check(t, "comparison-bars", ComparisonBars(nil, nil))
}
