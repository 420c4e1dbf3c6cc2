package draw

import (
	"math/cmplx"
	"slices"

	"crankwright/analysis"
)

// OrderBars shows the shaking force and the shaking moment of one engine order by order, each bar split
// into the part that turns with the crank and the part that turns against it. The length of a bar
// is the largest value of the order.
//
//   - r: a result; its speed and reference are used
//
// Result [-]. Orders 1, 2 and 4 are always listed, others up to 8 where they are
// a thousandth of the largest or more. Definition.
func OrderBars(r *analysis.Result) Figure {
	s := newSheet("order-bars", "Free forces and moments by order", r)
	for _, q := range []Quantity{Force, Moment} {
		s.orderBars(r, q)
	}
	s.legend([]key{
		{name: "turns with the crank", shape: func(s *scene, at point) { s.rect(at.x-13, at.y-6, 26, 12, pen(with, 1.2).filled(with)) }},
		{name: "turns against the crank", shape: func(s *scene, at point) { againstBar(s, at.x-13, at.y-6, 26, 12) }},
	})
	s.note("Moments are taken about x = " + millimetres(r.Train.Reference) + ".")
	return s.figure()
}

// againstBar is a bar of what turns against the crank: outlined and hatched.
func againstBar(s *scene, x, y, w, h float64) {
	g := rectangle(x, y, w, h)
	s.hatch(g, 6, pen(against, 1.4))
	s.add(g, pen(against, 1.2))
}

func (s *sheet) orderBars(r *analysis.Result, q Quantity) {
	ks := []int{2, 4, 8}
	most := 0.0
	for _, o := range r.Orders {
		most = max(most, q.pair(o).Ellipse.Major)
	}
	for _, o := range r.Orders {
		if o.K <= 16 && q.pair(o).Ellipse.Major > max(nothing, 1e-3*most) && !slices.Contains(ks, o.K) {
			ks = append(ks, o.K)
		}
	}
	slices.Sort(ks)
	const left, row, bar = margin + 62, 25., 14.
	y := s.bottom + 26
	s.text(label{at: point{margin, y}, text: q.title(), size: sizeText, bold: true, paint: ink})
	y += 8
	s.group("bars", q.title()+" by order", "", func(g *scene) {
		for i, k := range ks {
			p := q.pair(r.Order(k))
			top := y + row*float64(i) + 4
			g.text(label{at: point{margin, top + bar - 3}, text: "order " + orderName(k), size: sizeSmall, paint: ink})
			value := quantity(p.Ellipse.Major, q.unit())
			room := column - margin - left - 92.
			a, b := 0.0, 0.0
			if most > nothing {
				a, b = room*cmplx.Abs(p.With)/most, room*cmplx.Abs(p.Against)/most
			}
			switch {
			case !(p.Ellipse.Major > nothing):
				value = "0, cancels"
				s.say("Order " + orderName(k) + " of the shaking " + q.String() + " cancels.")
			default:
				s.say("Order " + orderName(k) + " of the shaking " + q.String() + ": " + value + ", of it " + quantity(cmplx.Abs(p.With), q.unit()) +
					" with the crank and " + quantity(cmplx.Abs(p.Against), q.unit()) + " against it.")
			}
			if a > 0.05 {
				g.rect(left, top, a, bar, pen(with, 1.2).filled(with))
			}
			if b > 0.05 {
				againstBar(g, left+a, top, b, bar)
			}
			g.text(label{at: point{left + a + b + 8, top + bar - 3}, text: value, size: sizeSmall, paint: ink})
		}
		bottom := y + row*float64(len(ks))
		g.line(point{left, y}, point{left, bottom}, pen(soft, thin))
		s.bottom = bottom + 4
	})
}
