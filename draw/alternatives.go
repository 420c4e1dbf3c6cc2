package draw

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"crankwright/num"
)

// What the figures of a choice among alternatives share. They know no engine: an alternative is a name with numbers.

// Spread is a value and the range in which it may lie, from uncertain estimates.
type Spread struct {
	Value     float64
	Low, High float64 // no range where High is not above Low
}

// ranged says whether there is a range that can be drawn.
func (v Spread) ranged() bool { return drawable(v.Low) && drawable(v.High) && v.High > v.Low }

// newChoiceSheet begins a figure of a choice: what is chosen stands below the title, where it has a name.
func newChoiceSheet(id, title, of string) *sheet {
	s := newSheet(id, title, nil)
	if of = strings.TrimSpace(of); of != "" {
		s.under(of, "")
		s.say(title + ": " + of + ".")
	}
	return s
}

// valued writes a value in the unit that stands with it.
func valued(v float64, unit string) string { return withUnit(digitsWhole(v), unit) }

func withUnit(number, unit string) string {
	switch {
	case number == unknown || unit == "":
		return number
	case unit == "°":
		return number + unit
	}
	return number + " " + unit
}

// apart writes two values with as many digits as it takes to tell them apart.
func apart(a, b float64, unit string) (first, second string) {
	first, second = digitsWhole(a), digitsWhole(b)
	for n := 4; n <= 8 && first == second && a != b && math.Abs(a) < 1e6 && math.Abs(b) < 1e6; n++ {
		first, second = signed(num.Digits(a, n)), signed(num.Digits(b, n))
	}
	return withUnit(first, unit), withUnit(second, unit)
}

// unitIn names a quantity and its unit, as at an axis.
func unitIn(name, unit string) string {
	if unit == "" {
		return name
	}
	return name + " in " + strings.Replace(unit, "°", "degrees", 1)
}

// percent writes a share of 0 to 1 in whole percent, and what is not quite none or all as such.
func percent(share float64) string {
	switch {
	case !finite(share):
		return unknown
	case share > 0 && share < 0.005:
		return "under 1 %"
	case share < 1 && share >= 0.995:
		return "over 99 %"
	}
	return digitsWhole(math.Round(100*share)) + " %"
}

// ordinal writes 1 as 1st.
func ordinal(n int) string {
	end := "th"
	if n%100 < 11 || n%100 > 13 {
		switch n % 10 {
		case 1:
			end = "st"
		case 2:
			end = "nd"
		case 3:
			end = "rd"
		}
	}
	return strconv.Itoa(n) + end
}

// share returns a part of a whole that can be drawn: what is negative or no number is nothing.
func share(list []float64, i int) float64 {
	if i >= len(list) || !drawable(list[i]) {
		return 0
	}
	return math.Max(0, list[i])
}

// named returns a name, never nothing.
func named(name string) string {
	if name = strings.TrimSpace(name); name != "" {
		return name
	}
	return "without a name"
}

// nameColumn returns the width that names take, up to a most.
func nameColumn(names []string, most float64) float64 {
	w := 40.
	for _, name := range names {
		w = math.Min(most, math.Max(w, textWidth(name, sizeSmall, false)))
	}
	return w
}

// pattern fills areas so that they differ without colour.
type pattern int

// The patterns of areas.
const (
	plainFill pattern = iota
	slanted
	hollow
	striped
)

// partLook tells parts of a whole apart by colour and pattern together; sixteen differ.
func partLook(i int) (paint, pattern) {
	return bankPaint(i), pattern((i + i/4) % 4)
}

// tile draws a rectangle in a colour and a pattern.
func (s *scene) tile(x, y, w, h float64, p paint, k pattern) {
	g := rectangle(x, y, w, h)
	if k == plainFill {
		s.add(g, pen(p, thin).filled(p))
		return
	}
	s.add(g, solid(paper))
	switch k {
	case slanted:
		s.hatch(g, 6, pen(p, 1.4))
	case striped:
		for at := y + 3; at < y+h-1; at += 4 {
			s.line(point{x, at}, point{x + w, at}, pen(p, 1.2))
		}
	}
	s.add(g, pen(p, 1.2))
}

// inTile writes the first of some texts that fits into a rectangle, or nothing.
func (s *scene) inTile(x, y, w, h float64, k pattern, texts ...string) {
	for _, text := range texts {
		if textWidth(text, sizeSmall, false)+8 > w {
			continue
		}
		l := label{at: point{x + w/2, y + h/2 + 4.3}, text: text, size: sizeSmall, align: middle, paint: paper}
		if k != plainFill {
			l.paint = ink
			s.plate(l, y+1.2, y+h-1.2)
		}
		s.text(l)
		return
	}
}

// plate clears the paper behind a text from one height to another, where lines would pass between its letters.
func (s *scene) plate(l label, top, bottom float64) {
	b := boxOf(l)
	s.rect(b.x0, top, b.x1-b.x0, bottom-top, solid(paper))
}

// tableBelow sets rows under a figure: the first column is text, the others end at their right; the last may be text of its own.
func (s *sheet) tableBelow(heads []string, rows [][]string) {
	const row, gap, most = 17., 12., 104.
	widths := make([]float64, len(heads))
	rest := column - 2*margin
	for i := 1; i < len(heads); i++ {
		widths[i] = textWidth(heads[i], sizeSmall, true)
		for _, r := range rows {
			widths[i] = math.Max(widths[i], textWidth(r[i], sizeSmall, false))
		}
		widths[i] = math.Min(widths[i], most)
		rest -= widths[i] + gap
	}
	widths[0] = rest
	put := func(cells []string, isBold bool) {
		s.bottom += row
		x := margin
		for i, text := range cells {
			l := label{at: point{x, s.bottom}, size: sizeSmall, bold: isBold, paint: ink}
			l.text, l.title = fitted(text, widths[i], sizeSmall, isBold)
			if i > 0 {
				l.at.x, l.align = x+widths[i], end
			}
			if l.text != "" {
				s.text(l)
			}
			x += widths[i] + gap
		}
	}
	s.bottom += 4
	put(heads, true)
	s.line(point{margin, s.bottom + 4}, point{column - margin, s.bottom + 4}, pen(rule, thin))
	s.bottom += 3
	for _, r := range rows {
		put(r, false)
	}
	s.bottom += 4
}

// spot is a numbered dot of a chart.
type spot struct {
	at     point
	number int
	name   string
}

const (
	spotRadius = 4.6
	mostNamed  = 14 // beyond, names would crowd a chart; the table below has them
)

// spotNames sets the names of dots in a chart.
type spotNames struct {
	all   *placer // keeps off lines too
	loose placer  // knows dots and texts alone
	texts []box   // what the lines from dots to their names must not cross
}

// nameSpots sets number and name beside each dot where there is room, else the number, at a thin line where it stands off.
// Dots on each other share a label. It keeps off the other texts in the chart and returns how many dots found no room.
func (c *chart) nameSpots(s *sheet, spots []spot, texts []box) (unnamed int) {
	n := spotNames{&c.places, placer{limit: c.places.limit, taken: slices.Clone(texts)}, slices.Clone(texts)}
	if c.up.low < 0 && c.up.high > 0 { // the line at zero
		c.places.keepLineFree(c.at(c.across.low, 0), c.at(c.across.high, 0), 1.5)
	}
	for _, one := range spots {
		r := spotRadius + 1
		n.keepFree(box{one.at.x - r, one.at.y - r, one.at.x + r, one.at.y + r})
	}
	heaps := heaped(spots)
	for _, h := range heaps {
		var numbers, names []string
		for _, one := range h {
			numbers = append(numbers, strconv.Itoa(one.number))
			names = append(names, strconv.Itoa(one.number)+" "+one.name)
		}
		l := label{text: few(numbers, 5), size: sizeSmall, align: middle, paint: ink, halo: true, title: num.List(names, "and")}
		long := l
		if len(heaps) <= mostNamed && len(h) == 1 {
			long.text, _ = fitted(names[0], 110, sizeSmall, false)
		}
		at := h[0].at
		if !n.beside(s, at, long, true, false) && !n.beside(s, at, l, false, false) && !n.beside(s, at, l, true, true) {
			unnamed += len(h)
		}
	}
	return unnamed
}

// heaped puts dots together that lie on each other.
func heaped(spots []spot) (heaps [][]spot) {
next:
	for _, one := range spots {
		for i, h := range heaps {
			if h[0].at.minus(one.at).length() < spotRadius {
				heaps[i] = append(h, one)
				continue next
			}
		}
		heaps = append(heaps, []spot{one})
	}
	return heaps
}

func (n *spotNames) keepFree(b box) {
	n.all.keepFree(b)
	n.loose.keepFree(b)
}

// beside sets a text near a dot, or far from it too, where there is room; a text that may lie on lines clears them.
func (n *spotNames) beside(s *sheet, at point, l label, far, onLines bool) bool {
	places := n.all
	if onLines {
		places = &n.loose
	}
	tries := besideSpot(at, l)
	near := len(tries)
	if far {
		for _, u := range []point{{0, -1}, {0, 1}, {1, -0.4}, {-1, -0.4}, {1, 0.6}, {-1, 0.6}} {
			tries = append(tries, outwards(at.plus(u.unit().times(spotRadius+4)), u.unit(), l)...)
		}
	}
	for i, place := range tries {
		l.at = place
		b := boxOf(l)
		// a line from the dot to the nearest point of a text that stands off
		to := point{math.Min(math.Max(at.x, b.x0), b.x1), math.Min(math.Max(at.y, b.y0), b.y1)}
		from := at.plus(to.minus(at).unit().times(spotRadius))
		led := i >= near && to.minus(at).length() > spotRadius+1
		if !places.free(b) || led && n.crossed(from, to) {
			continue
		}
		if led {
			s.line(from, to, pen(soft, thin))
			n.all.keepLineFree(from, to, 1)
			n.loose.keepLineFree(from, to, 1)
		}
		n.keepFree(b)
		n.texts = append(n.texts, b)
		if onLines {
			s.plate(l, b.y0+2, b.y1-2)
		}
		s.text(l)
		return true
	}
	return false
}

// besideSpot returns the places of a text at a dot, the best first.
func besideSpot(at point, l label) (out []point) {
	half := textWidth(l.text, l.size, false)/2 + 2
	for _, u := range []point{{1, 0}, {-1, 0}, {1, -1}, {1, 1}, {-1, -1}, {-1, 1}, {0, -1}, {0, 1}} {
		off := spotRadius + 1.5
		if u.x != 0 && u.y != 0 {
			off = spotRadius - 1
		}
		out = append(out, point{at.x + u.x*(off+half), at.y + u.y*(off+7) + 4.3})
	}
	return out
}

// crossed says whether a line would pass through a text.
func (n *spotNames) crossed(a, b point) bool {
	steps := int(b.minus(a).length()/3) + 1
	for i := range steps + 1 {
		p := a.towards(b, float64(i)/float64(steps))
		if slices.ContainsFunc(n.texts, func(t box) bool { return p.x > t.x0 && p.x < t.x1 && p.y > t.y0 && p.y < t.y1 }) {
			return true
		}
	}
	return false
}
