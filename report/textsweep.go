package report

import (
	"math"
	"slices"

	"crankwright/analysis"
	"crankwright/num"
)

// sweepOrders is the most orders that a sweep shows beside the largest values.
const sweepOrders = 3

// SweepText returns the balance of one engine over speed as a table.
func SweepText(r *analysis.Result, speeds []float64, screen Screen) string {
	s := &sheet{Screen: screen}
	points := r.Sweep(speeds)
	s.engine(r)
	if len(points) == 0 {
		return s.String()
	}
	var force, moment, torque, roll float64
	for _, p := range points {
		force, moment = math.Max(force, p.Force), math.Max(moment, p.Moment)
		torque, roll = math.Max(torque, p.Torque), math.Max(roll, p.Roll)
	}
	piston := scale{factor: 1, decimals: 2}
	f, m, q, o := scaleOf("N", force), scaleOf("N m", moment), scaleOf("N m", torque), scaleOf("N m", roll)
	s.heading("Largest over the cycle, by crank speed")
	heads := []column{
		{head: []string{"crank speed", "rpm"}},
		{head: []string{"piston speed", "m/s"}},
		{head: []string{"free force", f.unit}},
		{head: []string{"free moment", m.unit}},
		{head: []string{"inertia torque", q.unit}},
		{head: []string{"roll moment", o.unit}},
	}
	var rows [][]cell
	for _, p := range points {
		rows = append(rows, []cell{
			{text: num.Digits(rpm(p.Speed), 6), style: bold},
			{text: piston.show(p.MeanPistonSpeed)},
			{text: f.show(p.Force)},
			{text: m.show(p.Moment)},
			{text: q.show(p.Torque)},
			{text: o.show(p.Roll)},
		})
	}
	s.table(heads, rows)
	s.sweepByOrder(points)
	s.blank()
	s.paragraph("", "Inertia forces, moments and torques grow with the square of the speed.")
	if limit := r.Train.Speeds.Above(slices.Max(speeds)); limit > 0 {
		s.paragraph("", "Speeds above "+rpmOf(limit)+" rpm are above the "+limitOf(r.Train)+" of the engine.")
	}
	s.caution()
	return s.String()
}

// sweepByOrder writes the orders of force and moment that matter most.
func (s *sheet) sweepByOrder(points []analysis.SweepPoint) {
	forces := largest(points[0].Orders, func(o analysis.Order) float64 { return o.Force.Ellipse.Major })
	moments := largest(points[0].Orders, func(o analysis.Order) float64 { return o.Moment.Ellipse.Major })
	if len(forces)+len(moments) == 0 {
		return
	}
	heads := []column{{head: []string{"crank speed", "rpm"}}}
	last := points[len(points)-1].Orders
	var scales []scale
	for _, i := range forces {
		c := scaleOf("N", last[i].Force.Ellipse.Major)
		scales = append(scales, c)
		heads = append(heads, column{head: []string{"force", "order " + orderShown(last[i].K), c.unit}})
	}
	for _, i := range moments {
		c := scaleOf("N m", last[i].Moment.Ellipse.Major)
		scales = append(scales, c)
		heads = append(heads, column{head: []string{"moment", "order " + orderShown(last[i].K), c.unit}})
	}
	var rows [][]cell
	for _, p := range points {
		row := []cell{{text: num.Digits(rpm(p.Speed), 6), style: bold}}
		for j, i := range forces {
			row = append(row, cell{text: scales[j].show(p.Orders[i].Force.Ellipse.Major)})
		}
		for j, i := range moments {
			row = append(row, cell{text: scales[len(forces)+j].show(p.Orders[i].Moment.Ellipse.Major)})
		}
		rows = append(rows, row)
	}
	s.heading("The largest orders of free force and free moment")
	s.table(heads, rows)
}

// largest returns the indices of the largest orders, in the sequence of the orders.
func largest(orders []analysis.Order, of func(analysis.Order) float64) []int {
	most := 0.0
	for _, o := range orders {
		most = math.Max(most, of(o))
	}
	var out []int
	for i, o := range orders {
		if v := of(o); v > 0.01*most && len(out) < sweepOrders {
			out = append(out, i)
		}
	}
	return out
}
