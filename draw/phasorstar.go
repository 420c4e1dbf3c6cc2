package draw

import (
	"fmt"
	"math"
	"math/cmplx"
	"strconv"

	"crankwright/analysis"
	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

func count(n int) string { return strconv.Itoa(n) }

// PhasorStar shows how the parts of an engine add up in one order.
//
// On the left stand the vectors that turn with the crank, on the right those that turn against it, both
// at θ = 0, with the sum of each as a hollow arrow; below, the ellipse that the two sums describe
// together.
//
//   - r: a result; its speed and reference are used
//   - k: twice the order [1]
//   - q: force or moment
//
// Result [-]. Vectors that lie on each other are one arrow with all names. Definition.
func PhasorStar(r *analysis.Result, k int, q Quantity) Figure {
	s := newSheet(fmt.Sprintf("phasor-star-%s-%d", q, k), fmt.Sprintf("%s, order %s", q.title(), orderName(k)), r)
	p := q.pair(r.Order(k))
	const r0, half = 84., column / 2
	top := s.bottom + 20
	centre := top + 34 + r0
	seen := map[inertia.SourceKind]bool{}
	low := 0.0
	for _, isWith := range []bool{true, false} {
		c := point{half / 2, centre}
		if !isWith {
			c.x += half
		}
		sum := p.With
		if !isWith {
			sum = p.Against
		}
		low = math.Max(low, s.halfStar(r, k, q, isWith, sum, c, r0, seen))
	}
	s.bottom = low
	s.ellipsePanel(p, q, k, r.Train.Rotation)
	var keys []key
	for _, kind := range []struct {
		kind inertia.SourceKind
		name string
	}{{inertia.FromThrow, "T: throw"}, {inertia.FromCounterweight, "W: counterweight"}, {inertia.FromShaft, "S: balance shaft"}} {
		if seen[kind.kind] {
			l := lookOf(kind.kind, true)
			keys = append(keys, key{name: kind.name, shape: func(s *scene, at point) {
				s.line(point{at.x - 13, at.y}, at, l)
				mark(s, kind.kind, point{at.x + 6, at.y}, point{1, 0}, l)
			}})
		}
	}
	keys = append(keys, key{name: "Σ: sum", shape: func(s *scene, at point) {
		s.blockArrow(point{at.x - 13, at.y}, point{at.x + 13, at.y}, false)
	}})
	s.legend(keys)
	if q == Moment {
		s.note("Moments are vectors along the axis they turn about, taken about x = " + millimetres(r.Train.Reference) + ".")
	}
	return s.figure()
}

func millimetres(x float64) string { return digits(1e3*x) + " mm" }

// turnWords says which way something turns, and how.
func turnWords(isWith bool) string {
	if isWith {
		return "with the crank"
	}
	return "against the crank"
}

// halfStar draws the vectors that turn one way and returns how far down it reached.
func (s *sheet) halfStar(r *analysis.Result, k int, q Quantity, isWith bool, sum complex128, c point, r0 float64, kinds map[inertia.SourceKind]bool) float64 {
	colour := turnPaint(isWith)
	all, still := phasors(r, k, q, isWith)
	longest := 0.0
	for _, v := range all {
		longest = math.Max(longest, cmplx.Abs(v.value))
		kinds[v.kind] = true
	}
	name := turnWords(isWith)
	s.group("star", "Vectors that turn "+name, "", func(g *scene) {
		heading := "turn " + name
		w := textWidth(heading, sizeText, true)
		g.turnSign(point{c.x - w/2 - 4, c.y - r0 - 38}, isWith == (r.Train.Rotation == layout.Anticlockwise), colour)
		g.text(label{at: point{c.x + 10, c.y - r0 - 34}, text: heading, size: sizeText, bold: true, align: middle, paint: colour})
		g.planeAxes(c, r0)
		size := cmplx.Abs(sum)
		scale, broken := 0.0, false
		if longest > 0 {
			scale = (r0 - 8) / math.Max(longest, size)
			if size > 2*longest {
				scale, broken = 0.6*r0/longest, true
			}
		}
		labels := placer{limit: box{c.x - column/4 + 2, c.y - r0 - 28, c.x + column/4 - 2, c.y + r0 + 24}}
		labels.keepFree(box{c.x - 6, c.y - r0 - 16, c.x + 6, c.y - r0 - 2})
		labels.keepFree(box{c.x + r0 + 2, c.y - 6, c.x + r0 + 12, c.y + 8})
		if size > 0 {
			length := size * scale
			if broken || scale == 0 {
				length = r0
			}
			tip := c.plus(onPaper(sum).unit().times(length))
			g.blockArrow(c, tip, broken)
			labels.keepLineFree(c, tip, 6)
		}
		type tipped struct {
			v   phasor
			tip point
			u   point
		}
		var tips []tipped
		for _, v := range all {
			u := onPaper(v.value).unit()
			from := c.plus(u.left().times(v.aside))
			tip := from.plus(u.times(cmplx.Abs(v.value) * scale))
			l := lookOf(v.kind, isWith)
			g.line(from, tip.minus(u.times(7)), l)
			mark(g, v.kind, tip, u, l)
			labels.keepLineFree(from, tip, 1)
			labels.keepFree(box{tip.x - 4, tip.y - 4, tip.x + 4, tip.y + 4})
			tips = append(tips, tipped{v, tip, u})
		}
		left := 0
		for _, t := range tips {
			l := label{text: few(t.v.names, 6), size: sizeText, bold: true, align: middle, paint: lookOf(t.v.kind, isWith).stroke, halo: true}
			if len(t.v.names) > 6 {
				l.title = num.List(t.v.names, "and")
			}
			if !labels.try(g, l, outwards(t.tip, t.u, l)) {
				left++
			}
		}
		if left > 0 {
			vectors := "1 vector that turns %s has no room for a name."
			if left > 1 {
				vectors = count(left) + " vectors that turn %s have no room for a name."
			}
			s.note(fmt.Sprintf(vectors, name))
		}
		g.add(circle{c, 2.5}, solid(ink))
	})
	y := c.y + r0 + 42
	line, detail := sumWords(sum, q, len(all), r.Train.Rotation)
	s.text(label{at: point{c.x, y}, text: line, size: sizeText, bold: true, align: middle, paint: ink})
	if len(all) > 0 {
		longestWords := "longest vector " + quantity(longest, q.unit())
		s.text(label{at: point{c.x, y + 17}, text: longestWords, size: sizeSmall, align: middle, paint: soft})
	}
	s.say(starWords(all, still, q, isWith, r.Train.Rotation), detail)
	if len(still) > 0 && len(all) > 0 {
		t, full := fitted("no share: "+few(still, 8), column/2-8, sizeSmall, false)
		s.text(label{at: point{c.x, y + 33}, text: t, size: sizeSmall, align: middle, paint: soft, title: full})
		return y + 37
	}
	return y + 21
}

// turnSign draws a small arc with an arrow: anticlockwise or clockwise.
func (s *scene) turnSign(c point, anticlockwise bool, p paint) {
	if anticlockwise {
		s.turning(c, 7, -2.3, 4.4, pen(p, normal), 6)
	} else {
		s.turning(c, 7, -0.84, -4.4, pen(p, normal), 6)
	}
}

// fromUpright writes a direction, given from +y about +x, as people and the explanations do: from upright, in
// the sense of rotation, within half a period to either side.
func fromUpright(a, period num.Angle, turn layout.Rotation) string {
	a -= num.Turn / 4
	if turn == layout.Clockwise {
		a = -a
	}
	if a = a.Wrap(period); a > period/2 {
		a -= period
	}
	return degrees(a)
}

// sumWords says what the vectors of a half add to: for the figure, and for the description.
func sumWords(sum complex128, q Quantity, n int, turn layout.Rotation) (line, sentence string) {
	size := cmplx.Abs(sum)
	switch {
	case size > 0 && finite(size):
		at := quantity(size, q.unit()) + " at " + fromUpright(num.Angle(cmplx.Phase(sum)), num.Turn, turn)
		return "Σ " + at, "Their sum is " + at + " from upright, counted in the sense of rotation."
	case n == 0:
		return "no vectors", ""
	default:
		return "Σ closes to zero", "They close to zero."
	}
}

// starWords lists the vectors of a half.
func starWords(all []phasor, still []string, q Quantity, isWith bool, turn layout.Rotation) string {
	if len(all) == 0 {
		return "No part has a vector that turns " + turnWords(isWith) + "."
	}
	var parts []string
	for i, v := range all {
		if i == 12 {
			parts = append(parts, count(len(all)-12)+" more")
			break
		}
		parts = append(parts, num.List(v.names, "and")+" "+quantity(cmplx.Abs(v.value), q.unit())+" at "+fromUpright(num.Angle(cmplx.Phase(v.value)), num.Turn, turn))
	}
	words := "Vectors that turn " + turnWords(isWith) + ", at crank angle 0, from upright in the sense of rotation: " + num.List(parts, "and") + "."
	if len(still) > 0 {
		words += " Without a share: " + num.List(still, "and") + "."
	}
	return words
}

// ellipsePanel draws the path that the two sums describe, and says what it is.
func (s *sheet) ellipsePanel(p analysis.Pair, q Quantity, k int, turn layout.Rotation) {
	const r0 = 76.
	e := p.Ellipse
	top := s.bottom + 18
	s.line(point{margin, top}, point{column - margin, top}, pen(rule, thin))
	c := point{column / 4, top + 44 + r0}
	words, lines := ellipseWords(p, q, k, turn)
	s.say(words)
	s.group("ellipse", "Path of the sum", words, func(g *scene) {
		g.text(label{at: point{c.x, top + 20}, text: "both together", size: sizeText, bold: true, align: middle, paint: ink})
		g.planeAxes(c, r0)
		if !(e.Major > 0) {
			g.add(circle{c, 4}, pen(ink, normal).filled(paper))
			return
		}
		f := (r0 - 6) / e.Major
		turned := -e.Axis.Deg()
		if e.Minor*f < 1 {
			along := point{math.Cos(float64(e.Axis)), -math.Sin(float64(e.Axis))}
			g.line(c.minus(along.times(e.Major*f)), c.plus(along.times(e.Major*f)), pen(ink, thick))
		} else {
			g.add(ellipse{c, e.Major * f, e.Minor * f, turned}, pen(ink, 2))
		}
		if e.Minor*f >= 1 && e.Major-e.Minor > 0.01*e.Major {
			along := point{math.Cos(float64(e.Axis)), -math.Sin(float64(e.Axis))}
			g.line(c.minus(along.times(e.Major*f)), c.plus(along.times(e.Major*f)), pen(soft, thin).in(chain))
			across := along.left()
			g.line(c.minus(across.times(e.Minor*f)), c.plus(across.times(e.Minor*f)), pen(soft, thin).in(chain))
		}
		aside := point{}
		if e.Sense == 0 { // beside the line, not on it
			aside = onPaper(p.With).unit().left().times(9)
		}
		a := c.plus(onPaper(p.With).times(f))
		b := a.plus(onPaper(p.Against).times(f))
		g.arrow(c.plus(aside), a.plus(aside), pen(with, normal))
		g.arrow(a.plus(aside), b.plus(aside), pen(against, normal).in(dashed))
		g.add(circle{b, 3.5}, pen(ink, 1.3).filled(paper))
		if e.Sense != 0 {
			senseHead(g, p, c, f, turn)
		}
	})
	x, y := column/2+8, top+44.
	for i, l := range lines {
		for j, part := range wrapped(l, column-margin-x, sizeText) {
			s.text(label{at: point{x, y}, text: part, size: sizeText, bold: i == 0 && j == 0, paint: ink})
			y += 18
		}
		y += 4
	}
	s.bottom = math.Max(c.y+r0+10, y)
}

// senseHead sets arrowheads on the path of an ellipse, in the direction in which its point moves.
func senseHead(g *scene, p analysis.Pair, c point, f float64, turn layout.Rotation) {
	at := func(t float64) complex128 {
		u := num.Angle(t).Unit()
		return p.With*u + p.Against*cmplx.Conj(u)
	}
	sign := 1.0
	if turn == layout.Clockwise {
		sign = -1
	}
	for _, t := range []float64{1, 1 + math.Pi} {
		here, next := c.plus(onPaper(at(t)).times(f)), c.plus(onPaper(at(t+0.02*sign)).times(f))
		if d := next.minus(here); d.length() > 1e-6 {
			g.add(arrowhead(here.plus(d.unit().times(5)), d.unit(), 11), solid(ink))
		}
	}
}

// ellipseWords says what path the sum of an order describes.
func ellipseWords(p analysis.Pair, q Quantity, k int, turn layout.Rotation) (sentence string, lines []string) {
	e, unit := p.Ellipse, q.unit()
	if !(e.Major > 0) || !finite(e.Major) {
		return "Both sums are zero: this order of the shaking " + q.String() + " cancels.",
			[]string{"closes to zero", "This order of the shaking " + q.String() + " cancels."}
	}
	rate := orderName(k) + " times per crank turn"
	if k == 2 {
		rate = "once per crank turn"
	}
	along := fromUpright(e.Axis, num.Turn/2, turn) + " from upright"
	switch d := e.Axis.Deg(); {
	case math.Abs(d-90) < 0.05:
		along = "z (up and down)"
	case d < 0.05 || d > 179.95:
		along = "y (sideways)"
	}
	size := quantity(e.Major, unit)
	switch {
	case e.Sense == 0:
		lines = []string{size, "to and fro along " + along, rate}
		sentence = "The sum swings by " + size + " to and fro along " + along + ", " + rate + "."
	case e.Major-e.Minor < 1e-6*e.Major:
		lines = []string{size, "a circle: constant, turns " + turnWords(e.Sense > 0), rate}
		sentence = "The sum is a constant " + size + " that turns " + turnWords(e.Sense > 0) + ", " + rate + "."
	default:
		lines = []string{size + " at most", quantity(e.Minor, unit) + " at least", "longest along " + along, "goes round " + turnWords(e.Sense > 0) + ", " + rate}
		sentence = "The sum describes an ellipse with semi-axes of " + size + " and " + quantity(e.Minor, unit) + ", longest along " + along +
			", and goes round " + turnWords(e.Sense > 0) + ", " + rate + "."
	}
	return sentence, lines
}
