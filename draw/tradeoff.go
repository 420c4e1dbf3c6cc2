package draw

import (
	"math"
	"slices"
	"strconv"

	"crankwright/num"
)

// Criterion is an axis of a trade-off.
type Criterion struct {
	Name          string
	Unit          string // in which the values are given, such as "mm"
	LowerIsBetter bool
	Limits        []Bound // may be empty
}

// Bound is a limit to the values of a criterion.
type Bound struct {
	Value  float64
	AtMost bool // else at least
}

// TradePoint is an alternative between two criteria.
type TradePoint struct {
	Name     string
	X, Y     Spread
	RuledOut string // why, in words; empty where it is not ruled out
}

// TradeOff shows two criteria against each other: a dot for every alternative, those that no other beats joined by the
// front, a staircase on whose far side every alternative would lose to one of them.
//
//   - of: what is chosen, such as the name of a brief; may be empty
//   - x, y: the criteria, with the direction of better and limits
//   - list: the alternatives, numbered from 1 in this order; those without values are listed only, and one beyond a limit
//     counts as ruled out only where it says so
//
// Result [-], values in the units of the criteria. Alternatives that are ruled out are not on the front. Definition.
func TradeOff(of string, x, y Criterion, list []TradePoint) Figure {
	x.Name, y.Name = named(x.Name), named(y.Name)
	s := newChoiceSheet("trade-off-"+x.Name+"-"+y.Name, num.Capital(y.Name+" against "+x.Name), of)
	xs, ys := spreadsOf(list, false), spreadsOf(list, true)
	shown := 0
	for i := range list {
		if list[i].drawable() {
			shown++
		}
	}
	if shown == 0 {
		return s.empty("There is no alternative of which both are known")
	}
	across := criterionScale(x, xs)
	upName, _ := fitted(unitIn(y.Name, y.Unit), 300, sizeSmall, false)
	acrossName, _ := fitted(unitIn(x.Name, x.Unit), 280, sizeSmall, false)
	c := s.newChart(s.bottom+34, 290, across, criterionScale(y, ys), acrossName, upName)
	s.betterArrows(c, x, y, acrossName, upName)
	s.boundsOf(c, x, y)
	onFront := front(x, y, list)
	s.staircase(c, x, y, list, onFront)
	spots := s.dots(c, x, y, list, onFront)
	unnamed := c.nameSpots(s, spots, s.boundNames(c, x, y))
	s.tradeLegend(list, onFront)
	s.tradeTable(x, y, list, onFront)
	if unnamed > 0 {
		s.note(num.Counted(unnamed, "dot has", "dots have") + " no room for a number in the picture; the table has them.")
	}
	s.sayTrade(x, y, list, onFront, shown)
	return s.figure()
}

// spreadsOf returns the values of one criterion, the second or the first, that can be drawn.
func spreadsOf(list []TradePoint, second bool) []Spread {
	var out []Spread
	for i := range list {
		switch p := &list[i]; {
		case !p.drawable():
		case second:
			out = append(out, p.Y)
		default:
			out = append(out, p.X)
		}
	}
	return out
}

func (p *TradePoint) drawable() bool { return drawable(p.X.Value) && drawable(p.Y.Value) }

// criterionScale is an axis with all values, their ranges and the limits, and room round them.
func criterionScale(c Criterion, values []Spread) scale {
	var all []float64
	for _, v := range values {
		all = append(all, v.Value)
		if v.ranged() {
			all = append(all, v.Low, v.High)
		}
	}
	for _, b := range c.Limits {
		all = append(all, b.Value)
	}
	low, high := rangeOf(all)
	return roomyScale(low, high)
}

// roomyScale is an axis from low to high with room at both ends.
func roomyScale(low, high float64) scale {
	const parts = 5
	if high-low < 1e-6*math.Max(math.Abs(low), math.Abs(high)) || high-low < nothing {
		return evenScale(low, low, parts)
	}
	pad := 0.09 * (high - low)
	return tightScale(low-pad, high+pad, parts)
}

// beats says whether a is as good as b in both criteria and better in one.
func beats(x, y Criterion, a, b *TradePoint) bool {
	dx, dy := a.X.Value-b.X.Value, a.Y.Value-b.Y.Value
	if x.LowerIsBetter {
		dx = -dx
	}
	if y.LowerIsBetter {
		dy = -dy
	}
	return dx >= 0 && dy >= 0 && (dx > 0 || dy > 0)
}

// front returns the places in a list of those that no other beats, from the best to the worst of x.
func front(x, y Criterion, list []TradePoint) []int {
	var out []int
	for i := range list {
		if list[i].RuledOut != "" || !list[i].drawable() {
			continue
		}
		if !slices.ContainsFunc(list, func(p TradePoint) bool {
			return p.RuledOut == "" && p.drawable() && beats(x, y, &p, &list[i])
		}) {
			out = append(out, i)
		}
	}
	bestFirst(x, list, out)
	return out
}

// bestFirst sorts indices into a list by a criterion.
func bestFirst(x Criterion, list []TradePoint, order []int) {
	slices.SortStableFunc(order, func(a, b int) int {
		switch d := list[a].X.Value - list[b].X.Value; {
		case d == 0:
			return 0
		case d < 0 == x.LowerIsBetter:
			return -1
		}
		return 1
	})
}

// betterArrows says at each axis which way is better.
func (s *sheet) betterArrows(c *chart, x, y Criterion, acrossName, upName string) {
	s.group("better", "Which way is better", "", func(in *scene) {
		at := margin + textWidth(upName, sizeSmall, false) + 16
		from, to := point{at, c.y - 6}, point{at, c.y - 22}
		if y.LowerIsBetter {
			from, to = to, from
		}
		in.arrow(from, to, pen(third, normal))
		in.text(label{at: point{at + 8, c.y - 10}, text: "better", size: sizeSmall, bold: true, paint: third})
		base := c.y + c.h + 34
		right := c.x + c.w - textWidth(acrossName, sizeSmall, false) - 12
		from, to = point{right - 20, base - 4}, point{right, base - 4}
		if x.LowerIsBetter {
			from, to = to, from
		}
		in.arrow(from, to, pen(third, normal))
		in.text(label{at: point{right - 26, base}, text: "better", size: sizeSmall, bold: true, align: end, paint: third})
	})
}

// boundsOf hatches what the limits forbid and draws their lines.
func (s *sheet) boundsOf(c *chart, x, y Criterion) {
	area := func(lo, hi point) {
		s.hatch(rectangle(lo.x, lo.y, hi.x-lo.x, hi.y-lo.y), 9, pen(steel, thin))
	}
	for _, b := range x.Limits {
		if !drawable(b.Value) {
			continue
		}
		at := c.at(b.Value, c.up.low).x
		if b.AtMost {
			area(point{at, c.y}, point{c.x + c.w, c.y + c.h})
		} else {
			area(point{c.x, c.y}, point{at, c.y + c.h})
		}
		s.titled(segment{point{at, c.y}, point{at, c.y + c.h}}, pen(against, 1.8).in(dashed), x.Name+": "+b.text(x.Unit))
		c.places.keepLineFree(point{at, c.y}, point{at, c.y + c.h}, 1.5)
	}
	for _, b := range y.Limits {
		if !drawable(b.Value) {
			continue
		}
		at := c.at(c.across.low, b.Value).y
		if b.AtMost {
			area(point{c.x, c.y}, point{c.x + c.w, at})
		} else {
			area(point{c.x, at}, point{c.x + c.w, c.y + c.h})
		}
		s.titled(segment{point{c.x, at}, point{c.x + c.w, at}}, pen(against, 1.8).in(dashed), y.Name+": "+b.text(y.Unit))
		c.places.keepLineFree(point{c.x, at}, point{c.x + c.w, at}, 1.5)
	}
}

func (b Bound) text(unit string) string {
	if b.AtMost {
		return "at most " + valued(b.Value, unit)
	}
	return "at least " + valued(b.Value, unit)
}

// boundNames writes the limits at their lines, on the forbidden side where there is room, and returns what the texts take.
func (s *sheet) boundNames(c *chart, x, y Criterion) (taken []box) {
	put := func(name string, places func(l label) []point, text string) {
		l := label{text: text, size: sizeSmall, align: middle, paint: against, halo: true, title: name + " " + text}
		if !c.places.try(&s.scene, l, places(l)) {
			s.note("The broken line: " + name + " " + text + ".")
			return
		}
		taken = append(taken, c.places.taken[len(c.places.taken)-1])
	}
	for _, b := range x.Limits {
		if drawable(b.Value) {
			put(x.Name, func(l label) (out []point) {
				off := textWidth(l.text, l.size, false)/2 + 6
				if !b.AtMost {
					off = -off
				}
				for _, side := range []float64{off, -off} {
					for i := range 19 {
						out = append(out, point{c.at(b.Value, 0).x + side, c.y + 14 + (c.h-20)*float64(i)/18})
					}
				}
				return out
			}, b.text(x.Unit))
		}
	}
	for _, b := range y.Limits {
		if drawable(b.Value) {
			put(y.Name, func(l label) (out []point) {
				half := textWidth(l.text, l.size, false)/2 + 5
				offs := []float64{-6, 15}
				if !b.AtMost {
					offs = []float64{15, -6}
				}
				for _, off := range offs {
					for i := range 19 {
						out = append(out, point{c.x + half + (c.w-2*half)*float64(i)/18, c.at(c.across.low, b.Value).y + off})
					}
				}
				return out
			}, b.text(y.Unit))
		}
	}
	return taken
}

// staircase draws the front: beyond it, seen from the better side, every alternative loses to one on it.
func (s *sheet) staircase(c *chart, x, y Criterion, list []TradePoint, onFront []int) {
	if len(onFront) == 0 {
		return
	}
	worstX, worstY := c.x+c.w, c.y
	if !x.LowerIsBetter {
		worstX = c.x
	}
	if !y.LowerIsBetter {
		worstY = c.y + c.h
	}
	at := func(i int) point { return c.at(list[i].X.Value, list[i].Y.Value) }
	points := []point{{at(onFront[0]).x, worstY}, at(onFront[0])}
	for k := 1; k < len(onFront); k++ {
		before, now := at(onFront[k-1]), at(onFront[k])
		points = append(points, point{now.x, before.y}, now)
	}
	points = append(points, point{worstX, points[len(points)-1].y})
	s.titled(polygon{points: points, open: true}, pen(with, normal), "front")
	for i := 1; i < len(points); i++ {
		c.places.keepLineFree(points[i-1], points[i], 1.5)
	}
}

// dots draws the alternatives and their ranges.
func (s *sheet) dots(c *chart, x, y Criterion, list []TradePoint, onFront []int) []spot {
	var out []spot
	bar := func(a, b point) {
		s.line(a, b, pen(soft, thin))
		u := b.minus(a).unit().left().times(3)
		for _, e := range []point{a, b} {
			s.line(e.plus(u), e.minus(u), pen(soft, thin))
		}
		c.places.keepLineFree(a, b, 1.5)
	}
	for i := range list {
		p := &list[i]
		if !p.drawable() {
			continue
		}
		if p.X.ranged() {
			bar(c.at(p.X.Low, p.Y.Value), c.at(p.X.High, p.Y.Value))
		}
		if p.Y.ranged() {
			bar(c.at(p.X.Value, p.Y.Low), c.at(p.X.Value, p.Y.High))
		}
	}
	for i := range list {
		p := &list[i]
		if !p.drawable() {
			continue
		}
		title := strconv.Itoa(i+1) + " " + named(p.Name) + ": " + valued(p.X.Value, x.Unit) + ", " + valued(p.Y.Value, y.Unit)
		if p.RuledOut != "" {
			title += "; ruled out: " + p.RuledOut
		}
		at := c.at(p.X.Value, p.Y.Value)
		s.group("alternative", title, "", func(in *scene) { tradeDot(in, at, p.RuledOut != "", slices.Contains(onFront, i)) })
		out = append(out, spot{at, i + 1, named(p.Name)})
	}
	return out
}

// tradeDot is full on the front, hollow behind it and crossed where it is ruled out.
func tradeDot(in *scene, at point, ruledOut, onFront bool) {
	switch {
	case ruledOut:
		in.add(circle{at, spotRadius}, pen(against, normal).filled(paper))
		for _, u := range []point{{1, 1}, {1, -1}} {
			d := u.unit().times(spotRadius + 2)
			in.line(at.plus(d), at.minus(d), pen(against, normal))
		}
	case onFront:
		in.add(circle{at, spotRadius}, pen(with, normal).filled(with))
	default:
		in.add(circle{at, spotRadius}, pen(soft, normal).filled(paper))
	}
}
