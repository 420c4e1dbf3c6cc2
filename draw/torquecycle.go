package draw

import (
	"math"
	"slices"

	"crankwright/num"
)

// Push is one tractive impulse of a torque.
type Push struct {
	At   num.Angle // crank angle of its peak [rad]
	Peak float64   // largest torque [N m]
	Gap  num.Angle // from its peak to that of the next [rad]
}

// TorqueParts are torques at equal crank angles over two revolutions.
type TorqueParts struct {
	Name                string    // of the cylinder; empty for the whole engine
	Gas, Inertia, Total []float64 // [N m]
}

// mostPushes is how many impulses a figure marks one by one.
const mostPushes = 24

// TorqueCycle shows the torque on the crank over two revolutions: of the gas, of inertia and of both, with its mean and
// the impulses that come out at the drive end.
//
//   - h: whose torque, at which speed [rad/s]
//   - whole: of the whole engine [N m]
//   - mean: of the torque [N m]
//   - pushes: the impulses of the sum, in sequence
//   - cylinders: where given, a row for each cylinder stands below, all on one scale
//
// Result [-]. Values that are not finite are left out. Definition.
func TorqueCycle(h Head, whole TorqueParts, mean float64, pushes []Push, cylinders []TorqueParts) Figure {
	s := newDriveSheet("torque", "Torque over two revolutions", h)
	low, high := rangeOf(whole.Gas, whole.Inertia, whole.Total)
	if !(high-low > nothing) {
		return s.empty("There is no torque at any crank angle")
	}
	factor, prefix := prefixFor(math.Max(-low, high))
	across := angleScale(0, 2*num.Turn)
	c := s.newChart(s.bottom+36, 230, across, evenScale(math.Min(0, low/factor), math.Max(0, high/factor), 5), "crank angle θ", "torque in "+prefix+"N m")
	draw := func(values []float64, l look, name string) {
		v := closed(times(values, 1/factor))
		c.along(s, evenly(0, 2*num.Turn, len(v)-1), v, l, name)
	}
	if drawable(mean) {
		c.level(s, mean/factor, pen(soft, 1.4).in(chain), "mean "+quantity(mean, "N m"))
	}
	draw(whole.Gas, pen(against, 1.8).in(dashed), "gas")
	draw(whole.Inertia, pen(third, 1.8).in(dotted), "inertia")
	draw(whole.Total, pen(with, thick), "gas and inertia")
	s.pushes(c, pushes, factor)
	c.names(s)
	least, most := rangeOf(whole.Total)
	s.say("The torque lies between "+quantity(least, "N m")+" and "+quantity(most, "N m")+".", "Its mean is "+quantity(mean, "N m")+".")
	s.byCylinder(cylinders, across)
	return s.figure()
}

// pushes marks the peaks of the impulses and, on a strip below, the gaps between them.
func (s *sheet) pushes(c *chart, pushes []Push, factor float64) {
	const turns = 2 * num.Turn
	pushes = slices.DeleteFunc(slices.Clone(pushes), func(p Push) bool {
		return !drawable(float64(p.At)) || !drawable(p.Peak) || !(p.Gap > 0 && p.Gap <= turns*(1+1e-9))
	})
	if len(pushes) == 0 {
		s.note("The torque is even: there are no impulses.")
		return
	}
	s.note(num.Counted(len(pushes), "impulse", "impulses") + " in two revolutions, a dot at each peak; the strip gives the crank angle from peak to peak.")
	if len(pushes) > mostPushes {
		return
	}
	x := func(θ num.Angle) float64 { return c.at(θ.Deg(), 0).x }
	base := s.bottom + 26
	s.group("impulses", "Impulses at the drive end", "", func(g *scene) {
		g.text(label{at: point{c.x - 8, base - 3}, text: "gaps", size: sizeSmall, align: end, paint: ink})
		g.line(point{c.x, base}, point{c.x + c.w, base}, pen(ink, thin))
		for _, p := range pushes {
			at := p.At.Wrap(turns)
			g.line(point{x(at), base - 16}, point{x(at), base}, pen(ink, 2.2))
			from, to := longerPiece(at, p.Gap, turns)
			text := degrees(p.Gap)
			if x(to)-x(from) >= textWidth(text, sizeSmall, false)+10 {
				g.text(label{at: point{(x(from) + x(to)) / 2, base - 5}, text: text, size: sizeSmall, align: middle, paint: ink, halo: true})
			}
		}
	})
	for i, p := range pushes {
		c.mark(s, p.At.Wrap(turns).Deg(), p.Peak/factor, with, "")
		if i < 12 {
			s.say("An impulse of " + quantity(p.Peak, "N m") + " at " + degrees(p.At) + ", the next " + degrees(p.Gap) + " later.")
		}
	}
	s.bottom = base + 4
}

// byCylinder draws the sum of each cylinder in a row of its own.
func (s *sheet) byCylinder(cylinders []TorqueParts, across scale) {
	var all [][]float64
	for _, c := range cylinders {
		all = append(all, c.Total)
	}
	low, high := rangeOf(all...)
	if !(high-low > nothing) {
		return
	}
	row := 40.
	if len(cylinders) > 10 {
		row = 20
	}
	s.text(label{at: point{margin, s.bottom + 26}, text: "Gas and inertia by cylinder", size: sizeText, bold: true, paint: ink})
	y := s.bottom + 36
	up := scale{low: low, high: high}
	s.group("cylinders", "Gas and inertia by cylinder", "", func(g *scene) {
		for _, cyl := range cylinders {
			c := chart{x: 58, y: y, w: column - 58 - margin, h: row - 4, across: across, up: up}
			zero := c.at(0, math.Max(low, math.Min(0, high)))
			g.line(zero, point{c.x + c.w, zero.y}, pen(rule, thin))
			cut, full := fitted(cyl.Name, c.x-margin-8, sizeSmall, true)
			g.text(label{at: point{c.x - 8, y + row/2 + 3}, text: cut, size: sizeSmall, bold: true, align: end, paint: ink, title: full})
			line := polygon{open: true}
			angles := evenly(0, 2*num.Turn, len(cyl.Total))
			for j, v := range closed(cyl.Total) {
				if drawable(v) {
					line.points = append(line.points, c.at(angles[j], v))
				}
			}
			g.titled(thinned(line), pen(with, normal), cyl.Name)
			y += row
		}
	})
	s.bottom = y
	s.note("The rows of the cylinders share one scale, from " + quantity(low, "N m") + " to " + quantity(high, "N m") + ".")
}
