package draw

import (
	"math"
	"strings"

	"crankwright/analysis"
	"crankwright/num"
)

// Group is one figure by which engines are compared.
type Group struct {
	Label         string    // what it is
	Unit          string    // SI unit, such as N or N m; "%" or "" for shares, "°" for angles in degrees
	Values        []float64 // one for each engine; NaN where it is not known
	LowerIsBetter bool
}

// ComparisonBars compares engines: for each figure a bar for every engine on one common scale, with
// the best and the worst marked in words.
//
//   - groups: the figures, one below the other
//   - names: of the engines, as many as each group has values
//
// Result [-]. Definition.
func ComparisonBars(groups []Group, names []string) Figure {
	s := newSheet("comparison-bars", "Comparison of "+count(len(names))+" engines", nil)
	if len(names) == 1 {
		s = newSheet("comparison-bars", "Figures of one engine", nil)
	}
	if len(groups) == 0 || len(names) == 0 {
		return s.empty("There is nothing to compare")
	}
	for _, g := range groups {
		s.comparisonGroup(g, names)
	}
	s.bottom += 4
	return s.figure()
}

// valueText writes a value of a group.
func (g Group) valueText(v float64) string {
	switch {
	case !finite(v):
		return unknown
	case g.Unit == "":
		return digits(v)
	case g.Unit == "%" || g.Unit == "°":
		return digits(v) + strings.Replace(" "+g.Unit, " °", "°", 1)
	}
	return quantity(v, g.Unit)
}

// extremes returns the best and worst known value, and whether they differ as shown.
func (g Group) extremes(n int) (best, worst float64, differ bool) {
	best, worst = math.NaN(), math.NaN()
	for i := range min(n, len(g.Values)) {
		v := g.Values[i]
		if !finite(v) {
			continue
		}
		if nearer := v < best == g.LowerIsBetter && v != best; math.IsNaN(best) || nearer {
			best = v
		}
		if farther := v > worst == g.LowerIsBetter && v != worst; math.IsNaN(worst) || farther {
			worst = v
		}
	}
	return best, worst, finite(best) && g.valueText(best) != g.valueText(worst)
}

func (s *sheet) comparisonGroup(g Group, names []string) {
	const row, bar = 21., 12.
	nameWidth := nameColumn(names, 190)
	left := margin + nameWidth + 8
	room := column - margin - left - 116
	s.bottom += 26
	heading, full := fitted(g.Label, column-2*margin-120, sizeText, true)
	s.text(label{at: point{margin, s.bottom}, text: heading, size: sizeText, bold: true, paint: ink, title: full})
	better := "higher is better"
	if g.LowerIsBetter {
		better = "lower is better"
	}
	s.text(label{at: point{column - margin, s.bottom}, text: better, size: sizeSmall, align: end, paint: soft})
	most := 0.0
	for i := range min(len(names), len(g.Values)) {
		if finite(g.Values[i]) {
			most = math.Max(most, math.Abs(g.Values[i]))
		}
	}
	best, worst, differ := g.extremes(len(names))
	top := s.bottom + 6
	var words []string
	s.group("bars", g.Label, "", func(in *scene) {
		for i, name := range names {
			v := math.NaN()
			if i < len(g.Values) {
				v = g.Values[i]
			}
			y := top + row*float64(i)
			cut, full := fitted(name, nameWidth, sizeSmall, false)
			in.text(label{at: point{margin, y + bar + 1}, text: cut, size: sizeSmall, paint: ink, title: full})
			text, w := g.valueText(v), 0.0
			if finite(v) && most > 0 {
				w = room * math.Abs(v) / most
			}
			words = append(words, name+" "+text)
			l, colour := pen(soft, thin).filled(steel), soft
			verdict := ""
			switch {
			case differ && text == g.valueText(best):
				l, colour, verdict = pen(third, 1.2).filled(third), third, "best"
			case differ && text == g.valueText(worst):
				l, colour, verdict = pen(against, 1.2), against, "worst"
			}
			if w > 0.3 {
				box := rectangle(left, y+3, w, bar)
				if verdict == "worst" {
					in.hatch(box, 6, pen(against, 1.4))
				}
				in.add(box, l)
			}
			all := textWidth(text, sizeSmall, false) + 8 + textWidth(verdict, sizeSmall, true)
			x := math.Min(left+w+7, column-margin-all)
			in.text(label{at: point{x, y + bar + 1}, text: text, size: sizeSmall, paint: ink, halo: true})
			if verdict != "" {
				in.text(label{at: point{x + textWidth(text, sizeSmall, false) + 8, y + bar + 1}, text: verdict, size: sizeSmall, bold: true, paint: colour})
			}
		}
		in.line(point{left, top}, point{left, top + row*float64(len(names))}, pen(soft, thin))
	})
	s.bottom = top + row*float64(len(names))
	sentence := g.Label + " (" + better + "): " + num.List(words, "and")
	if len(names) > 12 {
		sentence = g.Label + " (" + better + "): best " + g.valueText(best) + ", worst " + g.valueText(worst)
	}
	s.say(sentence + ".")
}

// GroupsOf returns the figures by which engines are compared when nobody asks for others.
//
//   - results: of the engines, at the speeds at which they shall be compared
//
// Results [N], [N m], [1] and [°]: groups and the names of the engines, ready for ComparisonBars.
// Definition.
func GroupsOf(results []*analysis.Result) (groups []Group, names []string) {
	order := func(k int, q Quantity) func(*analysis.Result) float64 {
		return func(r *analysis.Result) float64 { return q.pair(r.Order(k)).Ellipse.Major }
	}
	list := []struct {
		label, unit string
		lower       bool
		of          func(*analysis.Result) float64
	}{
		{"Free force, order 1", "N", true, order(2, Force)},
		{"Free force, order 2", "N", true, order(4, Force)},
		{"Free force, order 4", "N", true, order(8, Force)},
		{"Free moment, order 1", "N m", true, order(2, Moment)},
		{"Free moment, order 2", "N m", true, order(4, Moment)},
		{"Peak inertia torque", "N m", true, func(r *analysis.Result) float64 { return r.Peaks.Torque }},
		{"Evenness of firing", "", false, func(r *analysis.Result) float64 { return r.Measures.Evenness }},
		{"Longest firing interval", "°", true, func(r *analysis.Result) float64 { return r.Measures.Longest.Deg() }},
	}
	for _, r := range results {
		names = append(names, engineName(r.Train))
	}
	for _, l := range list {
		g := Group{Label: l.label, Unit: l.unit, LowerIsBetter: l.lower}
		for _, r := range results {
			g.Values = append(g.Values, l.of(r))
		}
		groups = append(groups, g)
	}
	return groups, names
}
