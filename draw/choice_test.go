package draw

import (
	"bytes"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

const longName = "six in a row with two balance shafts and a damper at each end of the crank"

// choiceFigures are the figures of a choice among alternatives, which need no engine.
func choiceFigures() map[string]Figure {
	names := []string{"inline four", "flat six", "V8, cross-plane", longName, "three in a row"}
	shares := [][]float64{{0.62, 0.25, 0.1, 0.03, 0}, {0.34, 0.4, 0.2, 0.06, 0}, {0.036, 0.2, 0.4, 0.2, 0.164}, {0.004, 0.15, 0.25, 0.5, 0.096}, {0, 0, 0.05, 0.21, 0.74}}
	var ranks []RankShares
	for i, name := range names {
		ranks = append(ranks, RankShares{Name: name, Shares: shares[i]})
	}
	ranks = append(ranks, RankShares{Name: "eight in a row", Shares: make([]float64, 5), RuledOut: "280 mm too long"})
	length := Criterion{Name: "length", Unit: "mm", LowerIsBetter: true, Limits: []Bound{{Value: 720, AtMost: true}}}
	force := Criterion{Name: "free force, order 2", Unit: "N", LowerIsBetter: true}
	power := Criterion{Name: "power", Unit: "kW", Limits: []Bound{{Value: 90}}}
	points := []TradePoint{
		{Name: names[0], X: Spread{Value: 560, Low: 545, High: 590}, Y: Spread{Value: 3120, Low: 2900, High: 3300}},
		{Name: names[1], X: Spread{Value: 610}, Y: Spread{}},
		{Name: names[2], X: Spread{Value: 645}, Y: Spread{Value: 410, Low: 200, High: 900}},
		{Name: names[3], X: Spread{Value: 758}, Y: Spread{}, RuledOut: "38 mm too long"},
		{Name: names[4], X: Spread{Value: 470, Low: 455, High: 500}, Y: Spread{Value: 4400, Low: 4000, High: 5000}},
	}
	var many []TradePoint
	for i := range 30 {
		p := TradePoint{Name: fmt.Sprint("variant ", i+1), X: Spread{Value: 80 + 7*float64(i%6) + float64(i)/3}, Y: Spread{Value: 500 + 40*float64(i*i%11)}}
		p.X.Low, p.X.High = p.X.Value-3, p.X.Value+4
		if i%9 == 4 {
			p.RuledOut = "too heavy"
		}
		if p.Y.Value < 560 {
			p.RuledOut = "too weak"
		}
		many = append(many, p)
	}
	aims := []string{"smoothness", "even torque", "compactness", "low centre", "cost", "service"}
	var scores []ScoreParts
	for i, name := range names {
		a := ScoreParts{Name: name, Parts: []float64{0.24 - 0.05*float64(i), 0.11, 0.05 + 0.02*float64(i), 0.04, 0.13 - 0.03*float64(i), 0.02}}
		for _, p := range a.Parts {
			a.Total.Value += max(0, p)
		}
		a.Total.Low, a.Total.High = a.Total.Value-0.07, a.Total.Value+0.06
		scores = append(scores, a)
	}
	scores[3].RuledOut = "38 mm too long"
	corners := []WorthAt{{Value: 450, Worth: 1}, {Value: 600, Worth: 0.7}, {Value: 720, Worth: 0}}
	marks := []WorthAt{{names[0], 560, 0.78}, {names[1], 610, 0.642}, {names[2], 645, 0.4375}, {names[3], 758, 0}, {names[4], 470, 0.96}}
	weights := []CentralWeight{
		{names[0], 0.62, []float64{0.22, 0.1, 0.2, 0.08, 0.3, 0.1}},
		{names[1], 0.34, []float64{0.38, 0.12, 0.15, 0.13, 0.12, 0.1}},
		{names[2], 0.036, []float64{0.3, 0.3, 0.1, 0.1, 0.1, 0.1}},
		{names[4], 0, nil},
	}
	ranges := []AimRange{{aims[0], 0.15, 0.45}, {aims[1], 0.05, 0.35}, {aims[2], 0.1, 0.25}, {aims[3], 0.05, 0.15}, {aims[4], 0.05, 0.4}, {aims[5], 0.1, 0.1}}
	flips := []Flip{
		{Name: "weight of cost", Unit: "%", Now: 22, High: 40, BriefLow: 15, BriefHigh: 30, At: []Lead{{18.4, "flat six"}}},
		{Name: "piston mass of the inline four", Unit: "g", Now: 412, Low: 350, High: 470, At: []Lead{{412.3, "flat six"}}},
		{Name: "weight of smoothness", Unit: "%", Now: 26, Low: 0, High: 60, BriefLow: 18, BriefHigh: 35, At: []Lead{{44, "flat six"}, {15.5, longName}}},
		{Name: "price of a balance shaft", Unit: "points", Now: 4, Low: 3, High: 6},
		{Name: "weight of service", Unit: "%", Now: 10, Low: 10, High: 10},
	}
	return map[string]Figure{
		"rank-acceptability":   RankAcceptability("harbour pilot boat", ranks),
		"trade-off.boat":       TradeOff("harbour pilot boat", length, force, points),
		"trade-off.many":       TradeOff("", Criterion{Name: "mass", Unit: "kg", LowerIsBetter: true}, power2(power), many),
		"worths":               Worths("harbour pilot boat", aims, scores, 1),
		"value-function":       ValueFunction(length, corners, marks),
		"central-weights":      CentralWeights("harbour pilot boat", ranges, weights),
		"flips":                Flips(names[0], flips),
		"flips.none":           Flips(names[0], flips[3:]),
		"rank-acceptability.1": RankAcceptability("", []RankShares{{Name: "only one", Shares: []float64{1}}}),
	}
}

// power2 is a criterion of which higher is better, with a lower limit in the middle of the values.
func power2(c Criterion) Criterion {
	c.Limits = []Bound{{Value: 560}}
	return c
}

// Snapshots: go test ./draw -update writes testdata/choice/<figure>.svg anew.
func TestChoiceSnapshots(t *testing.T) {
	again := choiceFigures()
	for name, f := range choiceFigures() {
		snapshot(t, "choice", name, f)
		if !bytes.Equal(f.SVG(), again[name].SVG()) {
			t.Errorf("%s: not the same twice", name)
		}
		if _, err := f.PDF(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		checkChoice(t, name, f)
	}
	kept, err := filepath.Glob("testdata/choice/*.svg")
	if err != nil || len(kept) != len(again) {
		t.Errorf("there are %d snapshots for %d figures, %v", len(kept), len(again), err)
	}
}

// checkChoice holds a figure to what all promise, and to labels that do not lie on each other.
func checkChoice(t *testing.T, name string, f Figure) {
	t.Helper()
	check(t, name, f)
	var boxes []box
	var texts []string
	eachLabel(f.nodes, func(l label) {
		b := boxOf(l)
		b = box{b.x0 + 3, b.y0 + 4, b.x1 - 3, b.y1 - 3} // the ink, without the air round it
		for i, c := range boxes {
			if b.overlaps(c) {
				t.Errorf("%s: %q lies on %q", name, l.text, texts[i])
			}
		}
		boxes, texts = append(boxes, b), append(texts, l.text)
	})
	eachShape(f.nodes, func(g shape) {
		for _, s := range g.geometry.outline() {
			for _, p := range s.p[:map[byte]int{'M': 1, 'L': 1, 'C': 3}[s.op]] {
				if !(p.x >= -0.01 && p.x <= f.Width+0.01 && p.y >= -0.01 && p.y <= f.Height+0.01) {
					t.Fatalf("%s: a mark leaves the figure at %v", name, p)
				}
			}
		}
	})
}

func eachShape(nodes []node, do func(shape)) {
	for _, n := range nodes {
		switch n := n.(type) {
		case shape:
			do(n)
		case *group:
			eachShape(n.nodes, do)
		}
	}
}

// anyChoice draws names and values of alternatives, odd ones and equal ones among them.
type anyChoice struct{ t *rapid.T }

func (a anyChoice) name() string {
	return rapid.OneOf(rapid.StringN(0, 60, -1), rapid.SampledFrom([]string{"a & b <c>", longName, "twin"})).Draw(a.t, "name")
}

func (a anyChoice) value() float64 {
	return rapid.OneOf(rapid.Float64Range(-100, 1000), rapid.SampledFrom([]float64{0, 0, 1, 1e-12, 620, 620.0000001, 1e14, -1e300, math.NaN(), math.Inf(1)})).Draw(a.t, "value")
}

func (a anyChoice) spread() Spread {
	v := Spread{Value: a.value()}
	if rapid.Bool().Draw(a.t, "ranged") {
		v.Low, v.High = a.value(), a.value()
	}
	return v
}

func (a anyChoice) part() float64 {
	return rapid.OneOf(rapid.Float64Range(0, 1), rapid.SampledFrom([]float64{0, 0, 1, 0.001, -1, 7, math.NaN()})).Draw(a.t, "part")
}

func (a anyChoice) parts(n int) (out []float64) {
	for range n {
		out = append(out, a.part())
	}
	return out
}

func (a anyChoice) criterion() Criterion {
	c := Criterion{Name: a.name(), Unit: rapid.SampledFrom([]string{"", "mm", "°", "%", "N m"}).Draw(a.t, "unit"), LowerIsBetter: rapid.Bool().Draw(a.t, "lower")}
	for range rapid.IntRange(0, 2).Draw(a.t, "limits") {
		c.Limits = append(c.Limits, Bound{a.value(), rapid.Bool().Draw(a.t, "at most")})
	}
	return c
}

func TestAnyChoiceCanBeDrawn(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		a := anyChoice{rt}
		n, m := rapid.IntRange(0, 30).Draw(rt, "alternatives"), rapid.IntRange(0, 15).Draw(rt, "aims")
		var ranks []RankShares
		var points []TradePoint
		var scores []ScoreParts
		var marks, corners []WorthAt
		var weights []CentralWeight
		for range n {
			p := TradePoint{Name: a.name(), X: a.spread(), Y: a.spread()}
			if rapid.IntRange(0, 4).Draw(rt, "out") == 0 {
				p.RuledOut = a.name()
			}
			ranks = append(ranks, RankShares{a.name(), a.parts(n), p.RuledOut})
			points = append(points, p)
			scores = append(scores, ScoreParts{a.name(), a.parts(m), a.spread(), p.RuledOut})
			marks = append(marks, WorthAt{a.name(), a.value(), a.part()})
			weights = append(weights, CentralWeight{a.name(), a.part(), a.parts(m)})
		}
		var aims []string
		var ranges []AimRange
		var flips []Flip
		for range m {
			aims = append(aims, a.name())
			ranges = append(ranges, AimRange{a.name(), a.part(), a.part()})
			f := Flip{Name: a.name(), Unit: "mm", Now: a.value(), Low: a.value(), High: a.value(), BriefLow: a.value(), BriefHigh: a.value()}
			for range rapid.IntRange(0, 2).Draw(rt, "leads") {
				f.At = append(f.At, Lead{a.value(), a.name()})
			}
			flips = append(flips, f)
		}
		for v := 0.0; v < 4; v++ {
			corners = append(corners, WorthAt{Value: v * a.value(), Worth: a.part()})
		}
		slices.SortFunc(corners, func(p, q WorthAt) int { return int(math.Copysign(1, p.Value-q.Value)) })
		checkChoice(t, "ranks", RankAcceptability(a.name(), ranks))
		checkChoice(t, "trade-off", TradeOff(a.name(), a.criterion(), a.criterion(), points))
		checkChoice(t, "worths", Worths(a.name(), aims, scores, 1))
		checkChoice(t, "value function", ValueFunction(a.criterion(), corners, marks))
		checkChoice(t, "weights", CentralWeights(a.name(), ranges, weights))
		checkChoice(t, "flips", Flips(a.name(), flips))
		if t.Failed() {
			rt.FailNow()
		}
	})
}
