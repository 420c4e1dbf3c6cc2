package draw

import (
	"math"
	"math/cmplx"

	"crankwright/analysis"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// orderLook tells the orders apart by dash as well as by colour.
func orderLook(k int) look {
	switch k {
	case 2:
		return pen(with, normal)
	case 4:
		return pen(against, normal).in(dashed)
	case 8:
		return pen(third, normal).in(chain)
	default:
		return pen(fourth, normal).in(dotted)
	}
}

// Resultant shows the shaking force or moment over the cycle: above, the path of its tip in the plane
// seen from the drive end; below, its magnitude against the crank angle. Both are given for the
// whole and for each order up to 4 that makes at least a thousandth of it.
//
//   - r: a result; its speed and reference are used
//   - q: force or moment
//
// Result [-]. Definition.
func Resultant(r *analysis.Result, q Quantity) Figure {
	s := newSheet("resultant-"+q.String(), q.title()+" over the cycle", r)
	orbit, ys, zs := r.Balance.Force, r.Curves.ForceY, r.Curves.ForceZ
	peak, at := r.Peaks.Force, r.Peaks.ForceAt
	if q == Moment {
		orbit, ys, zs = r.Balance.Moment, r.Curves.MomentY, r.Curves.MomentZ
		peak, at = r.Peaks.Moment, r.Peaks.MomentAt
	}
	if !(peak > nothing) || !finite(peak) {
		return s.empty("The shaking " + q.String() + " is zero at every crank angle")
	}
	period := periodOf(orbit.With, orbit.Against)
	var orders []analysis.Order
	for _, o := range r.Orders {
		if o.K <= 8 && q.pair(o).Ellipse.Major > 1e-3*peak {
			orders = append(orders, o)
		}
	}
	s.say("The largest value is " + quantity(peak, q.unit()) + " at crank angle " + degrees(at.Wrap(period)) + ".")
	for _, o := range orders {
		words, _ := ellipseWords(q.pair(o), q, o.K, r.Train.Rotation)
		s.say("Order " + orderName(o.K) + ": " + words)
	}
	whole := "all orders"
	if len(orders) == 1 { // it would lie on the whole
		whole += ", here order " + orderName(orders[0].K) + " alone"
		orders = nil
	}
	s.tipPath(orders, q, ys, zs, peak, r.Angles, period)
	s.magnitude(r, orders, q, ys, zs, period)

	keys := []key{{look: pen(ink, thick), name: whole}}
	for _, o := range orders {
		keys = append(keys, key{look: orderLook(o.K), name: "order " + orderName(o.K)})
	}
	s.legend(keys)
	if q == Moment {
		s.note("Moments are vectors along the axis they turn about, taken about x = " + millimetres(r.Train.Reference) + ".")
	}
	return s.figure()
}

// tipPath draws the paths in the plane y–z.
func (s *sheet) tipPath(orders []analysis.Order, q Quantity, ys, zs []float64, peak float64, angles []num.Angle, period num.Angle) {
	const r0 = 132.
	c := point{column / 2, s.bottom + 30 + r0}
	most := peak
	for _, o := range orders {
		most = math.Max(most, q.pair(o).Ellipse.Major)
	}
	f := r0 / most
	step := niceStep(most, 3)
	for v := step; v < 1.0001*most; v += step {
		s.add(circle{c, v * f}, pen(rule, thin))
	}
	s.planeAxes(c, r0+6)
	s.group("path", "Path of the tip", "", func(g *scene) {
		for _, o := range orders {
			p, l := q.pair(o), orderLook(o.K)
			if e := p.Ellipse; e.Minor*f < 0.7 {
				u := point{math.Cos(float64(e.Axis)), -math.Sin(float64(e.Axis))}.times(e.Major * f)
				g.line(c.minus(u), c.plus(u), l)
			} else {
				g.add(ellipse{c, e.Major * f, e.Minor * f, -e.Axis.Deg()}, l)
			}
		}
		all := polygon{}
		for j, θ := range angles {
			if j < len(ys) && θ < period-1e-9 {
				all.points = append(all.points, point{c.x + ys[j]*f, c.y - zs[j]*f})
			}
		}
		all = thinned(all)
		all.open = false
		g.add(all, pen(ink, thick))
		if n := len(ys); n > 8 {
			a, b := point{c.x + ys[0]*f, c.y - zs[0]*f}, point{c.x + ys[n/120+1]*f, c.y - zs[n/120+1]*f}
			if d := b.minus(a); d.length() > 0.2 {
				g.add(arrowhead(a.plus(d.unit().times(15)), d.unit(), 12), solid(ink))
			}
			g.add(circle{a, 4}, pen(ink, normal).filled(paper))
			l := label{text: "θ = 0", size: sizeSmall, paint: ink, halo: true, at: point{a.x + 9, a.y - 5}}
			if a.x > c.x+r0*0.6 {
				l.at, l.align = point{a.x - 9, a.y - 7}, end
			}
			g.text(l)
		}
	})
	for v := step; v < 1.0001*most; v += step {
		s.text(label{at: point{c.x + v*f*0.7071 + 3, c.y + v*f*0.7071 + 10}, text: quantity(v, q.unit()), size: sizeSmall, paint: soft, halo: true})
	}
	s.text(label{at: point{margin, c.y - r0 - 10}, text: "seen from the drive end", size: sizeSmall, paint: soft})
	s.bottom = c.y + r0 + 18
}

// magnitude draws the length of the vector against the crank angle.
func (s *sheet) magnitude(r *analysis.Result, orders []analysis.Order, q Quantity, ys, zs []float64, period num.Angle) {
	total := make([]float64, len(ys))
	most := 0.0
	for j := range ys {
		total[j] = math.Hypot(ys[j], zs[j])
		most = math.Max(most, total[j])
	}
	for _, o := range orders {
		most = math.Max(most, q.pair(o).Ellipse.Major)
	}
	p := s.newPlot(s.bottom+36, 130, period, 0, most, "magnitude", q.unit())
	for _, o := range orders {
		pair := q.pair(o)
		values := make([]float64, len(r.Angles))
		for j, θ := range r.Angles {
			u := (θ * num.Angle(o.N())).Unit()
			if r.Train.Rotation == layout.Clockwise { // what turns with the crank then turns clockwise
				u = cmplx.Conj(u)
			}
			values[j] = cmplx.Abs(pair.With*u + pair.Against*cmplx.Conj(u))
		}
		s.titled(p.curve(r.Angles, values), orderLook(o.K), "order "+orderName(o.K))
	}
	s.titled(p.curve(r.Angles, total), pen(ink, thick), "all orders")
}
