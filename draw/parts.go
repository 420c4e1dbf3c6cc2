package draw

import (
	"math"

	"crankwright/analysis"
	"crankwright/mechanics/parts"
	"crankwright/num"
)

// partsEntries are the figures of parts and cost. A result that has no Parts gets them counted.
func partsEntries() []Entry {
	entry := func(name, shows string, drive bool, f func(*analysis.Result, *analysis.Parts) Figure) Entry {
		return Entry{
			Name: name, Shows: shows, Defaults: Options{K: 2}, Drive: drive,
			draw: func(rs []*analysis.Result, _ Options) Figure {
				p := rs[0].Parts
				if p == nil {
					p = analysis.NewParts(rs[0], analysis.PartsOptions{})
				}
				return f(rs[0], p)
			},
		}
	}
	return []Entry{
		entry("cost-bars", "where the points of the cost index go", false, CostBars),
		entry("friction-parts", "which parts rub how much", true, FrictionParts),
	}
}

// stacked is one part of a whole.
type stacked struct {
	name  string
	value float64
}

// CostBars shows how the points of the cost index stack up by group.
//
//	each bar begins where the last one ends
//
// with
//   - r: a result
//   - p: its parts, priced
//
// Result [-], in points and [%]. Definition; the prices are invented, which the figure says.
func CostBars(r *analysis.Result, p *analysis.Parts) Figure {
	s := newSheet("cost-bars", "Cost index by group of parts", r)
	if p.Cost == nil || !(p.Cost.Points > 0) {
		if p.NoCost != "" {
			s.note(p.NoCost)
		}
		return s.empty("There are no points to show")
	}
	var rows []stacked
	for _, g := range p.Cost.Groups {
		rows = append(rows, stacked{string(g.Group), g.Points})
	}
	s.stack(rows, p.Cost.Points, func(v float64) string { return digits(v) + " points" })
	s.note("Cost index " + digits(p.Cost.Index) + ": " + digits(p.Cost.Points) + " points, of which " + digits(p.Cost.Prices.Reference) +
		" are an index of 1. Prices: " + p.Cost.Prices.Name + ".")
	s.note(parts.Invented)
	return s.figure()
}

// FrictionParts shows how the friction of the engine stacks up by the parts that rub.
//
//	each bar begins where the last one ends
//
// with
//   - r: a result
//   - p: its parts
//
// Result [-], in [bar] and [%] of the friction mean effective pressure. Definition.
func FrictionParts(r *analysis.Result, p *analysis.Parts) Figure {
	s := newSheet("friction-parts", "Friction by part", r)
	if len(p.Rubs) == 0 {
		if p.NoRubs != "" {
			s.note(p.NoRubs)
		}
		return s.empty("There is no friction to show")
	}
	var rows []stacked
	sum := 0.0
	for _, f := range p.Rubs {
		rows = append(rows, stacked{f.Name, f.OfAll / 1e5})
		sum += f.OfAll / 1e5
	}
	if !(sum > 0) {
		return s.empty("There is no friction to show")
	}
	s.stack(rows, sum, func(v float64) string { return digits(v) + " bar" })
	s.note("Friction mean effective pressure " + digits(sum) + " bar, split by the model of the parts, which stands within a factor of two.")
	return s.figure()
}

// stack draws the parts of a whole one below the other, each from where the last one ends.
func (s *sheet) stack(rows []stacked, whole float64, shown func(float64) string) {
	const row, bar = 24., 14.
	values := 0.
	var names, texts []string
	for _, r := range rows {
		names = append(names, r.name)
		texts = append(texts, shown(r.value)+", "+digits(100*r.value/whole)+" %")
		values = math.Max(values, textWidth(texts[len(texts)-1], sizeSmall, false))
	}
	nameWidth := nameColumn(names, 200)
	left := margin + nameWidth + 10
	right := column - margin - values - 10
	top := s.bottom + 14
	var words []string
	s.group("bars", "Parts of the whole", "", func(in *scene) {
		from := left
		for i, r := range rows {
			y := top + row*float64(i)
			cut, full := fitted(r.name, nameWidth, sizeSmall, false)
			in.text(label{at: point{margin, y + bar}, text: cut, size: sizeSmall, paint: ink, title: full})
			in.text(label{at: point{column - margin, y + bar}, text: texts[i], size: sizeSmall, align: end, paint: ink})
			words = append(words, r.name+" "+texts[i])
			w := (right - left) * r.value / whole
			in.add(rectangle(from, y+2, math.Max(w, 0.8), bar), pen(with, thin).filled(steel))
			from += w
			if i < len(rows)-1 {
				in.line(point{from, y + 2 + bar}, point{from, y + row + 2}, pen(soft, thin).in(dotted))
			}
		}
		in.line(point{left, top}, point{left, top + row*float64(len(rows))}, pen(soft, thin))
	})
	s.bottom = top + row*float64(len(rows)) + 4
	s.say(num.List(words, "and") + ".")
}
