package draw

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"crankwright/mechanics/balance"
	"crankwright/num"

	"pgregory.net/rapid"
)

// shopFigures are the figures of the balancing shop, which need no engine.
func shopFigures(tb testing.TB) map[string]Figure {
	tb.Helper()
	hole := func(name string, at, deg float64) balance.Site {
		return balance.Site{
			Name: name, At: at, Angle: num.Degrees(deg), Kind: balance.RadialHole, Radius: 0.074, Diameter: 0.014, Deepest: 0.024, Density: 7850,
		}
	}
	axial := hole("web 2", -0.1, 70)
	axial.Kind, axial.Radius = balance.AxialHole, 0.05
	slug := hole("slug", 0.12, 20)
	slug.Adds, slug.Density = true, 10150
	mass := balance.Site{Name: "bolt", At: 0.16, Angle: num.Degrees(60), Kind: balance.PlainMass, Adds: true, Radius: 0.09, Most: 0.02}
	planes := [2]balance.Plane{
		{Name: "free end", At: -0.12, Amount: 1.48e-3, Angle: num.Degrees(37), Permissible: 2.4e-4},
		{Name: "drive end", At: 0.12, Amount: 0.96e-3, Angle: num.Degrees(205), Permissible: 2.5e-4},
	}
	out := map[string]Figure{}
	for name, sites := range map[string][]balance.Site{
		"solved": {hole("web 1", -0.13, 20), axial, hole("web 8", 0.13, 180), slug, mass, hole("other side", -0.13, 160)},
		"short":  {hole("web 1", -0.13, 100)},
	} {
		c, err := balance.Correct(planes, sites)
		if err != nil {
			tb.Fatal(err)
		}
		out["unbalance-correction."+name] = UnbalanceCorrection("Pilot boat, crank 3", planes, sites, c)
	}
	out["card"] = CardFigure(Card{
		ID: "card", Title: "Bobweight card: pilot boat", Facts: "Factor 50 %.", Foot: "For concept work.",
		Sections: []CardSection{
			{Heading: "Pins", Heads: []string{"throw", "bobweight [g]"}, Rows: [][]string{{"T1", "713.2"}, {strings.Repeat("a very long name ", 20), "713.2"}}},
			{Heading: "Why", Lines: []string{strings.Repeat("Half of every sliding mass turns with the crank. ", 5)}},
		},
	})
	return out
}

// Snapshots: go test ./draw -update writes testdata/shop/<figure>.svg anew.
func TestShopSnapshots(t *testing.T) {
	for name, f := range shopFigures(t) {
		snapshot(t, "shop", name, f)
		if _, err := f.PNG(1); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if _, err := f.PDF(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Any job: a figure of the usual size with nothing outside it and no number that is none.
func TestUnbalanceCorrectionOfAnything(t *testing.T) {
	n := 0
	rapid.Check(t, func(r *rapid.T) {
		amount := func(name string) float64 { return math.Pow(10, rapid.Float64Range(-8, 2).Draw(r, name)) }
		planes := [2]balance.Plane{
			{Name: rapid.StringN(0, 30, -1).Draw(r, "plane"), Amount: amount("a"), Angle: num.Degrees(rapid.Float64Range(0, 360).Draw(r, "α")), Permissible: amount("p")},
			{Name: "B", At: 0.3, Amount: amount("b"), Permissible: amount("q")},
		}
		var sites []balance.Site
		for i := range rapid.IntRange(0, 12).Draw(r, "sites") {
			s := balance.Site{
				Name: fmt.Sprint("site ", i), At: rapid.Float64Range(-1, 1).Draw(r, "x"), Angle: num.Degrees(rapid.Float64Range(0, 360).Draw(r, "β")),
				Kind: balance.SiteKind(rapid.IntRange(0, 2).Draw(r, "kind")), Adds: rapid.Bool().Draw(r, "adds"),
				Radius: math.Pow(10, rapid.Float64Range(-3, 1).Draw(r, "R")), Density: 7850, Most: 1,
			}
			s.Diameter, s.Deepest = s.Radius*rapid.Float64Range(0.1, 1).Draw(r, "d"), s.Radius*rapid.Float64Range(0.1, 1).Draw(r, "h")
			sites = append(sites, s)
		}
		c, err := balance.Correct(planes, sites)
		if err != nil {
			r.Fatal(err)
		}
		n++
		check(t, fmt.Sprint("random ", n), UnbalanceCorrection(planes[0].Name, planes, sites, c))
	})
}
