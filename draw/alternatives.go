package draw

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

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

// begun returns a text that begins with a capital.
func begun(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
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

// nameSpots sets number and name beside each dot where there is room, else the number, at a thin line where it stands off.
// Dots on each other share a label. It keeps off the other texts in the chart and returns how many dots found no room.
func (c *chart) nameSpots(s *sheet, spots []spot, texts []box) (unnamed int) {
	var heaps [][]spot
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
	loose := placer{limit: c.places.limit, taken: slices.Clone(texts)} // knows dots and texts, not lines
	if c.up.low < 0 && c.up.high > 0 {                                 // the line at zero
		c.places.keepLineFree(c.at(c.across.low, 0), c.at(c.across.high, 0), 1.5)
	}
	for _, one := range spots {
		r := spotRadius + 1
		b := box{one.at.x - r, one.at.y - r, one.at.x + r, one.at.y + r}
		c.places.keepFree(b)
		loose.keepFree(b)
	}
	for _, h := range heaps {
		var numbers, names []string
		for _, one := range h {
			numbers = append(numbers, strconv.Itoa(one.number))
			names = append(names, strconv.Itoa(one.number)+" "+one.name)
		}
		short := few(numbers, 5)
		long := short
		if len(heaps) <= mostNamed && len(h) == 1 {
			long, _ = fitted(names[0], 110, sizeSmall, false)
		}
		title := listed(names)
		placed := c.besideSpot(s, h[0].at, long, title, &c.places, &loose, 2, false) ||
			c.besideSpot(s, h[0].at, short, title, &c.places, &loose, 1, false) ||
			c.besideSpot(s, h[0].at, short, title, &loose, &c.places, 2, true)
		if !placed {
			unnamed += len(h)
		}
	}
	return unnamed
}

// besideSpot sets a text near a dot, farther out in the second round, where a placer finds room; both placers learn of it.
// A text that may lie on lines clears them.
func (c *chart) besideSpot(s *sheet, at point, text, title string, in, other *placer, rounds int, clear bool) bool {
	l := label{text: text, size: sizeSmall, align: middle, paint: ink, halo: true, title: title}
	half := textWidth(text, sizeSmall, false)/2 + 2
	var places []point
	for _, u := range []point{{1, 0}, {-1, 0}, {1, -1}, {1, 1}, {-1, -1}, {-1, 1}, {0, -1}, {0, 1}} {
		off := spotRadius + 1.5
		if u.x != 0 && u.y != 0 {
			off = spotRadius - 1
		}
		places = append(places, point{at.x + u.x*(off+half), at.y + u.y*(off+7) + 4.3})
	}
	near := len(places)
	if rounds > 1 {
		for _, u := range []point{{0, -1}, {0, 1}, {1, -0.4}, {-1, -0.4}, {1, 0.6}, {-1, 0.6}} {
			places = append(places, outwards(at.plus(u.unit().times(spotRadius+4)), u.unit(), l)...)
		}
	}
	for i, place := range places {
		l.at = place
		b := boxOf(l)
		if !in.free(b) {
			continue
		}
		if i >= near { // a thin line from the dot to the nearest point of the text
			to := point{math.Min(math.Max(at.x, b.x0), b.x1), math.Min(math.Max(at.y, b.y0), b.y1)}
			if d := to.minus(at); d.length() > spotRadius+1 {
				s.line(at.plus(d.unit().times(spotRadius)), to, pen(soft, thin))
			}
		}
		if clear {
			s.plate(l, b.y0+2, b.y1-2)
		}
		in.keepFree(b)
		other.keepFree(b)
		s.text(l)
		return true
	}
	return false
}
