package draw

import (
	"math"
	"strconv"
	"strings"

	"crankwright/num"
)

// scale is one axis of a chart, in the unit that stands at it.
type scale struct {
	low, high float64
	ticks     []float64
	decades   bool // logarithmic
	text      func(v float64) string
}

// part returns where a value stands between the ends of the axis, 0 to 1 within.
func (a scale) part(v float64) float64 {
	switch {
	case !(a.high > a.low):
		return 0.5
	case a.decades:
		return math.Log(math.Max(v, a.low)/a.low) / math.Log(a.high/a.low)
	}
	return (v - a.low) / (a.high - a.low)
}

// evenScale chooses round limits round values, with some parts between its ticks.
func evenScale(low, high float64, parts int) scale {
	if !drawable(low) || !drawable(high) {
		low, high = 0, 1
	}
	if least := nothing + 1e-9*math.Max(math.Abs(low), math.Abs(high)); high-low < least {
		middle := (low + high) / 2
		low, high = middle-math.Max(1, math.Abs(middle))/2, middle+math.Max(1, math.Abs(middle))/2
	}
	step := niceStep(high-low, parts)
	a := scale{low: step * math.Floor(low/step+1e-9), high: step * math.Ceil(high/step-1e-9)}
	decimals := int(math.Max(0, -math.Floor(math.Log10(step)+1e-9)))
	a.text = func(v float64) string { return tickText(v, decimals) }
	for i := range int(math.Round((a.high-a.low)/step)) + 1 {
		a.ticks = append(a.ticks, roundTo(a.low+float64(i)*step, step))
	}
	return a
}

// tickText writes a number at an axis, in powers of ten where it would be too long.
func tickText(v float64, decimals int) string {
	text := signed(decimal(v, decimals))
	if textWidth(text, sizeSmall, false) > 44 {
		mantissa, exponent, _ := strings.Cut(strconv.FormatFloat(v, 'e', 1, 64), "e")
		sign := strings.TrimRight(exponent[:1], "+")
		text = signed(strings.TrimSuffix(mantissa, ".0") + "e" + sign + strings.TrimLeft(exponent[1:], "0"))
	}
	return text
}

// mostDrawn is the largest magnitude that finds a place on paper; no value of an engine comes near it.
const mostDrawn = 1e15

// drawable says whether a value can have a place.
func drawable(v float64) bool { return math.Abs(v) <= mostDrawn }

// tightScale keeps the limits and puts ticks at round values between them.
func tightScale(low, high float64, parts int) scale {
	a := evenScale(low, high, parts)
	if !(high > low) {
		return a
	}
	a.low, a.high = low, high
	kept := a.ticks[:0:0]
	for _, v := range a.ticks {
		if p := a.part(v); p >= -1e-9 && p <= 1+1e-9 {
			kept = append(kept, v)
		}
	}
	a.ticks = kept
	return a
}

// decadeScale is logarithmic, with ticks at 1, 2 and 5 times the powers of ten, or at the powers alone where there
// are many.
func decadeScale(low, high float64) scale {
	if !(low > 0) || !(high >= low) || !drawable(high) {
		low, high = 1, 10
	}
	low, high = low*0.9, high*1.1
	a := scale{low: low, high: high, decades: true, text: func(v float64) string { return tickText(v, 12) }}
	steps := []float64{1, 2, 5}
	if high/low > 2000 {
		steps = steps[:1]
	}
	for e := math.Floor(math.Log10(low)); e <= math.Ceil(math.Log10(high)) && len(a.ticks) < 24; e++ {
		for _, f := range steps {
			if v := f * math.Pow(10, e); v >= low && v <= high {
				a.ticks = append(a.ticks, v)
			}
		}
	}
	return a
}

// angleScale is a crank angle in degrees, with a tick each quarter of the period.
func angleScale(from, to num.Angle) scale {
	a := scale{low: from.Deg(), high: to.Deg(), text: func(v float64) string { return degrees(num.Degrees(v)) }}
	for i := range 5 {
		a.ticks = append(a.ticks, a.low+(a.high-a.low)*float64(i)/4)
	}
	return a
}

// chart is a pair of axes and the lines in it, with their names at them.
type chart struct {
	x, y, w, h float64
	across, up scale
	lines      []chartLine
	places     placer
}

// chartLine is a curve with a name.
type chartLine struct {
	points []point
	look   look
	name   string
}

// at returns the place of a pair of values.
func (c *chart) at(across, up float64) point {
	return point{c.x + c.w*c.across.part(across), c.y + c.h*(1-c.up.part(up))}
}

// newChart draws grid and axes; upName stands above the chart and acrossName below it, where it has one.
func (s *sheet) newChart(y, h float64, across, up scale, acrossName, upName string) *chart {
	c := &chart{x: 58, y: y, w: column - 58 - margin, h: h, across: across, up: up}
	c.places.limit = box{c.x + 2, c.y + 1, c.x + c.w - 2, c.y + c.h - 1}
	last := math.Inf(1)
	for _, v := range up.ticks {
		at := c.at(across.low, v)
		s.line(at, point{c.x + c.w, at.y}, pen(rule, thin))
		if last-at.y >= sizeSmall {
			s.text(label{at: point{c.x - 8, at.y + 4}, text: up.text(v), size: sizeSmall, align: end, paint: soft})
			last = at.y
		}
	}
	right := math.Inf(-1)
	for _, v := range across.ticks {
		at := c.at(v, up.low)
		s.line(point{at.x, c.y}, at, pen(rule, thin))
		if acrossName == "" {
			continue
		}
		s.line(at, point{at.x, at.y + 4}, pen(soft, thin))
		l := label{at: point{at.x, c.y + c.h + 18}, text: across.text(v), size: sizeSmall, align: middle, paint: soft}
		if b := boxOf(l); b.x1 > column-4 {
			l.at.x, l.align = c.x+c.w+8, end
		}
		if b := boxOf(l); b.x0 >= right {
			s.text(l)
			right = b.x1 + 4
		}
	}
	base := c.y + c.h
	if up.low < 0 && up.high > 0 {
		base = c.at(across.low, 0).y
	}
	s.line(point{c.x, base}, point{c.x + c.w, base}, pen(soft, 1.2))
	s.text(label{at: point{margin, y - 10}, text: upName, size: sizeSmall, paint: ink})
	s.bottom = y + h + 4
	if acrossName != "" {
		s.text(label{at: point{c.x + c.w, y + h + 34}, text: acrossName, size: sizeSmall, align: end, paint: soft})
		s.bottom = y + h + 38
	}
	return c
}

// along adds a curve to the chart. Values that have no place are left out.
func (c *chart) along(s *sheet, across, up []float64, l look, name string) {
	var g polygon
	g.open = true
	for j := range min(len(across), len(up)) {
		if drawable(across[j]) && drawable(up[j]) {
			g.points = append(g.points, c.at(across[j], up[j]))
		}
	}
	if len(g.points) == 0 {
		return
	}
	g = thinned(g)
	s.titled(g, l, name)
	c.lines = append(c.lines, chartLine{g.points, l, name})
	for i := 1; i < len(g.points); i++ {
		c.places.keepLineFree(g.points[i-1], g.points[i], 1.5)
	}
}

// level draws a horizontal line at a value.
func (c *chart) level(s *sheet, up float64, l look, name string) {
	c.along(s, []float64{c.across.low, c.across.high}, []float64{up, up}, l, name)
}

// mark sets a dot at a pair of values and a text beside it, or in a note where there is no room.
func (c *chart) mark(s *sheet, across, up float64, p paint, text string) {
	if !drawable(across) || !drawable(up) {
		return
	}
	at := c.at(across, up)
	s.add(circle{at, 3.4}, look{stroke: p, width: 1.6, fill: paper})
	c.places.keepFree(box{at.x - 4, at.y - 4, at.x + 4, at.y + 4})
	if text == "" {
		return
	}
	l := label{text: text, size: sizeSmall, align: middle, paint: ink, halo: true}
	var places []point
	for _, u := range []point{{0, -1}, {0, 1}, {1, 0}, {-1, 0}, {1, -1}, {-1, -1}, {1, 1}, {-1, 1}} {
		places = append(places, outwards(at, u.unit(), l)[:1]...)
	}
	for _, u := range []point{{0, -1}, {0, 1}, {1, -0.3}, {-1, -0.3}} {
		places = append(places, outwards(at, u.unit(), l)...)
	}
	if !c.places.try(&s.scene, l, places) {
		s.note("The dot: " + text + ".")
	}
}

// names sets the name of every line at it; those that find no place stand in a legend below.
func (c *chart) names(s *sheet) {
	var rest []key
	for _, line := range c.lines {
		if line.name != "" && !c.name(s, line) {
			rest = append(rest, key{look: line.look, name: line.name})
		}
	}
	s.legend(rest)
}

// name looks along a line for a place beside it that is nearer to it than to any other.
func (c *chart) name(s *sheet, line chartLine) bool {
	l := label{text: line.name, size: sizeSmall, align: middle, paint: line.look.stroke, halo: true}
	half := textWidth(l.text, l.size, false)/2 + 4
	for _, away := range []float64{7, 12} {
		for i := range 46 {
			f := 0.5 + float64((i+1)/2)/46*float64(1-2*(i%2)) // from the middle outwards
			at := pointAlong(line.points, f)
			for _, place := range []point{
				{at.x, at.y - away}, {at.x, at.y + away + 8}, {at.x + half + away, at.y + 4}, {at.x - half - away, at.y + 4},
			} {
				l.at = place
				b := boxOf(l)
				if c.places.free(b) && c.nearest(line, point{(b.x0 + b.x1) / 2, (b.y0 + b.y1) / 2}, at) {
					return c.places.try(&s.scene, l, []point{place})
				}
			}
		}
	}
	return false
}

// nearest says whether no other line comes nearer to a place than a point of its own line.
func (c *chart) nearest(line chartLine, place, own point) bool {
	reach := place.minus(own).length()
	for _, other := range c.lines {
		if &other.points[0] == &line.points[0] {
			continue
		}
		for i := range other.points {
			a, b := other.points[i], other.points[min(i+1, len(other.points)-1)]
			if toSegment(place, a, b) < 0.8*reach+4 {
				return false
			}
		}
	}
	return true
}

// toSegment returns the distance of a place from a segment.
func toSegment(p, a, b point) float64 {
	d, r := b.minus(a), p.minus(a)
	if square := d.x*d.x + d.y*d.y; square > 0 {
		f := math.Min(1, math.Max(0, (d.x*r.x+d.y*r.y)/square))
		r = r.minus(d.times(f))
	}
	return r.length()
}

// pointAlong returns the point at a share of the length of a line.
func pointAlong(points []point, share float64) point {
	whole := 0.0
	for i := 1; i < len(points); i++ {
		whole += points[i].minus(points[i-1]).length()
	}
	left := share * whole
	for i := 1; i < len(points); i++ {
		l := points[i].minus(points[i-1]).length()
		if left <= l && l > 0 {
			return points[i-1].towards(points[i], left/l)
		}
		left -= l
	}
	return points[len(points)-1]
}

// lineLook tells lines apart by colour, pattern and width together.
func lineLook(i int) look {
	return [...]look{pen(with, 2.2), pen(against, 2).in(dashed), pen(third, 2).in(chain), pen(fourth, 2.2).in(dotted)}[i%4]
}

// evenly returns the angles of n equal steps of a period in degrees, from a beginning, and the end.
func evenly(from, period num.Angle, n int) []float64 {
	out := make([]float64, n+1)
	for j := range out {
		out[j] = (from + period*num.Angle(j)/num.Angle(n)).Deg()
	}
	return out
}

// closed returns a periodic curve with its first value at the end.
func closed(values []float64) []float64 {
	if len(values) == 0 {
		return nil
	}
	return append(append(make([]float64, 0, len(values)+1), values...), values[0])
}

// times returns values in another unit.
func times(values []float64, f float64) []float64 {
	out := make([]float64, len(values))
	for i, v := range values {
		out[i] = f * v
	}
	return out
}

// rangeOf returns the least and the largest drawable value, zeros where there is none.
func rangeOf(lists ...[]float64) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, list := range lists {
		for _, v := range list {
			if drawable(v) {
				low, high = math.Min(low, v), math.Max(high, v)
			}
		}
	}
	if low > high {
		return 0, 0
	}
	return low, high
}
