package draw

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// groupsOf returns the groups of a role in a figure.
func groupsOf(nodes []node, role string) (out []*group) {
	for _, n := range nodes {
		if g, ok := n.(*group); ok {
			if g.role == role {
				out = append(out, g)
			}
			out = append(out, groupsOf(g.nodes, role)...)
		}
	}
	return out
}

// firstBox returns the corners of the first rectangle of a group.
func firstBox(tb testing.TB, g *group) box {
	tb.Helper()
	for _, n := range g.nodes {
		if s, ok := n.(shape); ok {
			if r, ok := s.geometry.(polygon); ok && len(r.points) == 4 {
				return box{r.points[0].x, r.points[0].y, r.points[2].x, r.points[2].y}
			}
		}
	}
	tb.Fatalf("%s: no rectangle", g.title)
	return box{}
}

// Names are text, never markup, in all figures of a choice.
func TestNamesOfAChoiceAreText(t *testing.T) {
	const odd = `<b>"A" & 'B'</b>`
	c := Criterion{Name: odd, Unit: odd, Limits: []Bound{{Value: 2, AtMost: true}}}
	for name, f := range map[string]Figure{
		"ranks":     RankAcceptability(odd, []RankShares{{odd, []float64{1}, ""}}),
		"trade-off": TradeOff(odd, c, c, []TradePoint{{Name: odd, X: Spread{Value: 1}, Y: Spread{Value: 1}, RuledOut: odd}}),
		"worths":    Worths(odd, []string{odd}, []ScoreParts{{odd, []float64{1}, Spread{Value: 1}, ""}}, 1),
		"function":  ValueFunction(c, []WorthAt{{odd, 1, 1}, {odd, 2, 0}}, []WorthAt{{odd, 1, 1}}),
		"weights":   CentralWeights(odd, []AimRange{{odd, 0, 1}}, []CentralWeight{{odd, 1, []float64{1}}}),
		"flips":     Flips(odd, []Flip{{Name: odd, Unit: odd, Now: 1, Low: 0, High: 2, At: []Lead{{2, odd}}}}),
	} {
		checkChoice(t, name, f)
		if svg := string(f.SVG()); strings.Contains(svg, "<b>") || !strings.Contains(svg, "&lt;b&gt;") {
			t.Errorf("%s: the name is not escaped", name)
		}
	}
}

// Bars are as long as what they stand for.
func TestChoiceBarsAreToScale(t *testing.T) {
	shares := []float64{0.5, 0.3, 0.2}
	bars := groupsOf(RankAcceptability("", []RankShares{{"a", shares, ""}}).nodes, "share")
	parts := groupsOf(Worths("", []string{"x", "y", "z"}, []ScoreParts{{"a", shares, Spread{Value: 1}, ""}}, 1).nodes, "part")
	for kind, list := range map[string][]*group{"shares": bars, "parts": parts} {
		if len(list) != 3 {
			t.Fatalf("%s: %d bars, want 3", kind, len(list))
		}
		first, last := firstBox(t, list[0]), firstBox(t, list[2])
		for i, g := range list {
			b := firstBox(t, g)
			if got := (b.x1 - b.x0) / (last.x1 - first.x0); math.Abs(got-shares[i]) > 1e-9 {
				t.Errorf("%s: bar %d takes %g of the whole, want %g", kind, i, got, shares[i])
			}
		}
	}
	// the way of a flip from 20 to 25 is half the range from 20 to 30
	row := groupsOf(Flips("a", []Flip{{Name: "w", Unit: "%", Now: 20, Low: 20, High: 30, At: []Lead{{25, "b"}}}}).nodes, "flip")
	if len(row) != 1 {
		t.Fatal("no row")
	}
	whole := firstBox(t, row[0])
	var way box
	for _, n := range row[0].nodes {
		if s, ok := n.(shape); ok && s.look.fill == against {
			if r, ok := s.geometry.(polygon); ok && len(r.points) == 4 {
				way = box{r.points[0].x, r.points[0].y, r.points[2].x, r.points[2].y}
			}
		}
	}
	if got := (way.x1 - way.x0) / (whole.x1 - whole.x0); math.Abs(got-0.5) > 1e-9 {
		t.Errorf("the way takes %g of the range, want 0.5", got)
	}
}

// The front is what brute force finds, and no dot that may still win lies on the better side of the stairs.
func TestStaircaseIsTheFront(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		x := Criterion{Name: "x", LowerIsBetter: rapid.Bool().Draw(rt, "x lower")}
		y := Criterion{Name: "y", LowerIsBetter: rapid.Bool().Draw(rt, "y lower")}
		var list []TradePoint
		for range rapid.IntRange(1, 12).Draw(rt, "n") {
			p := TradePoint{Name: "a", X: Spread{Value: float64(rapid.IntRange(0, 6).Draw(rt, "x"))}, Y: Spread{Value: float64(rapid.IntRange(0, 6).Draw(rt, "y"))}}
			if rapid.IntRange(0, 3).Draw(rt, "out") == 0 {
				p.RuledOut = "too long"
			}
			list = append(list, p)
		}
		gain := func(c Criterion, v Spread) float64 {
			if c.LowerIsBetter {
				return -v.Value
			}
			return v.Value
		}
		left, want := 0, 0
		for _, p := range list {
			if p.RuledOut != "" {
				continue
			}
			left++
			beaten := false
			for _, q := range list {
				dx, dy := gain(x, q.X)-gain(x, p.X), gain(y, q.Y)-gain(y, p.Y)
				beaten = beaten || q.RuledOut == "" && min(dx, dy) >= 0 && max(dx, dy) > 0
			}
			if !beaten {
				want++
			}
		}
		f := TradeOff("", x, y, list)
		stairs := curveOf(f.nodes, "front")
		full, dots := 0, []point{}
		for _, g := range groupsOf(f.nodes, "alternative") {
			c := g.nodes[0].(shape)
			if c.look.fill == with {
				full++
			}
			if c.look.stroke != against {
				dots = append(dots, c.geometry.(circle).centre)
			}
		}
		if full != want || len(dots) != left {
			rt.Fatalf("%d full dots of %d, want %d of %d", full, len(dots), want, left)
		}
		// on paper, better is to the left for lower x and downwards for lower y
		sx, sy := 1.0, -1.0
		if x.LowerIsBetter {
			sx = -1
		}
		if y.LowerIsBetter {
			sy = 1
		}
		for _, d := range dots {
			behind := false
			for _, s := range stairs {
				behind = behind || sx*(s.x-d.x) > -0.01 && sy*(s.y-d.y) > -0.01
			}
			if !behind {
				rt.Fatalf("the dot at %v lies before the stairs %v", d, stairs)
			}
		}
		for _, s := range stairs { // nothing on the stairs is better than all dots
			reached := false
			for _, d := range dots {
				reached = reached || sx*(d.x-s.x) > -0.01 && sy*(d.y-s.y) > -0.01
			}
			if !reached {
				rt.Fatalf("the stairs at %v lie before every dot %v", s, dots)
			}
		}
		for i := 1; i < len(stairs); i++ {
			if d := stairs[i].minus(stairs[i-1]); math.Min(math.Abs(d.x), math.Abs(d.y)) > 0.01 {
				rt.Fatalf("a slanted step: %v", stairs)
			}
		}
	})
}

// What a reader who cannot see a figure is told.
func TestChoiceInWords(t *testing.T) {
	two := func(a, b Spread) Figure {
		return Worths("", []string{"cost", "mass"}, []ScoreParts{{"A", []float64{0.1, 0.3}, a, ""}, {"B", []float64{0.3, 0.1}, b, ""}}, 1)
	}
	low := Criterion{Name: "length", Unit: "mm", LowerIsBetter: true}
	high := Criterion{Name: "power", Unit: "kW"}
	at := func(name string, x, y float64) TradePoint {
		return TradePoint{Name: name, X: Spread{Value: x}, Y: Spread{Value: y}}
	}
	for _, c := range []struct {
		f    Figure
		want string
	}{
		{RankAcceptability("", []RankShares{{"A", []float64{0.3, 0.7}, ""}, {"B", []float64{0.7, 0.3}, ""}}), "B ranks first most often, in 70 % of all cases. Also first: A in 30 %."},
		{RankAcceptability("", []RankShares{{"A", []float64{0.5, 0.5}, ""}, {"B", []float64{0.5, 0.5}, ""}, {"C", nil, ""}}), "A and B rank first equally often, each in 50 % of all cases. Never first: C."},
		{RankAcceptability("", []RankShares{{"A", []float64{0.999, 0.001}, ""}, {"B", []float64{0.001, 0.999}, ""}}), "in over 99 % of all cases. Also first: B in under 1 %."},
		{RankAcceptability("", []RankShares{{"A", []float64{0, 0}, ""}}), "None of them ranks first."},
		{RankAcceptability("", []RankShares{{"A", []float64{1, 0}, "too long"}, {"B", []float64{1, 0}, ""}}), "B ranks first in all cases. A is ruled out: too long."},
		{RankAcceptability("", []RankShares{{"A", []float64{0}, "too long"}}), "None of them ranks first. A is ruled out: too long."},
		{two(Spread{Value: 0.4}, Spread{Value: 0.404}), "B scores highest, 0.40 of 1, the most from cost (0.30). A scores the same as far as can be shown."},
		{two(Spread{0.5, 0.45, 0.55}, Spread{0.4, 0.3, 0.46}), "B is next with 0.40; their ranges overlap."},
		{two(Spread{0.5, 0.47, 0.55}, Spread{0.4, 0.3, 0.46}), "B is next with 0.40."},
		{TradeOff("", low, high, []TradePoint{at("A", 600, 90), at("B", 500, 95)}), "B (500 mm, 95 kW) is best in both. Beaten in one and not better in the other: A by B."},
		{TradeOff("", low, high, []TradePoint{at("A", 600, 100), at("B", 500, 95)}), "from the best in length to the best in power: B (500 mm, 95 kW) and A (600 mm, 100 kW)."},
		{TradeOff("", low, high, []TradePoint{at("A", math.NaN(), 100), at("B", 500, 95)}), "B (500 mm, 95 kW) is the only one. A has no values."},
		{ValueFunction(low, []WorthAt{{"", 500, 1}, {"", 700, 0}}, []WorthAt{{"A", 600, 0.5}}), "Worth goes from 0.00 at 700 mm to 1.00 at 500 mm. A: 600 mm is worth 0.50."},
		{ValueFunction(low, []WorthAt{{"", 500, 1}}, nil), "Every value is worth 1.00."},
		{CentralWeights("", []AimRange{{"cost", 0, 1}, {"mass", 0, 1}}, []CentralWeight{{"A", 0.4, []float64{0.3, 0.7}}, {"B", 0.6, []float64{0.8, 0.2}}}), "Of the first two, B needs more weight on cost."},
		{CentralWeights("", []AimRange{{"cost", 1, 1}}, []CentralWeight{{"A", 0.5, []float64{1}}, {"B", 0.5, []float64{1}}}), "The weights do not tell A from B."},
		{Flips("A", []Flip{{Name: "bore", Unit: "mm", Now: 82, Low: 80, High: 90, At: []Lead{{82.01, "B"}}}, {Name: "stroke", Unit: "mm", Now: 90, Low: 85, High: 95}}), "Nearest to a change: bore, by under 1 % of its range. bore would have to go from 82 mm to 82.01 mm for B to lead. These, alone and within their ranges, would not take the lead from A: stroke."},
		{Flips("A", []Flip{{Name: "cost", Unit: "points", Now: 4, Low: 0, High: 10, At: []Lead{{6, "B"}, {1, "C"}}, BriefLow: 3, BriefHigh: 6}}), "cost would have to go from 4 points to 6 points for B to lead, which the brief allows. cost would have to go from 4 points to 1 points for C to lead, beyond what the brief allows."},
		{Flips("A", []Flip{{Name: "stroke", Unit: "mm", Now: 90, Low: 85, High: 95}}), "None of these, alone and within its range, would take the lead from A: stroke."},
	} {
		if !strings.Contains(c.f.Desc, c.want) {
			t.Errorf("%s says %q, want %q", c.f.Title, c.f.Desc, c.want)
		}
	}
}

// The largest trade-off that a brief can ask for, and many ranks.
func BenchmarkChoiceFigures(b *testing.B) {
	var points []TradePoint
	var ranks []RankShares
	for i := range 30 {
		v := float64(i * i % 31)
		points = append(points, TradePoint{Name: longName, X: Spread{v, v - 1, v + 1}, Y: Spread{Value: float64(i)}})
		shares := make([]float64, 30)
		for k := range shares {
			shares[k] = 1. / 30
		}
		ranks = append(ranks, RankShares{Name: longName, Shares: shares})
	}
	b.Run("trade-off", func(b *testing.B) {
		for b.Loop() {
			TradeOff("", Criterion{Name: "x", LowerIsBetter: true}, Criterion{Name: "y"}, points).SVG()
		}
	})
	b.Run("ranks", func(b *testing.B) {
		for b.Loop() {
			RankAcceptability("", ranks).SVG()
		}
	})
}
