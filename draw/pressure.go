package draw

import (
	"math"

	"crankwright/num"
)

// PressureCycle is the pressure in cylinders that work alike, over one cycle from firing top dead centre.
type PressureCycle struct {
	Cycle
	Period   num.Angle // of the cycle [rad]: two turns, or one of a two-stroke
	Released []float64 // share of the heat that has been released, at the same angles [1]; nil where unknown
	// Opens and closes of the valves or ports, from firing top dead centre [rad]; equal where unknown.
	IntakeOpens, IntakeCloses, ExhaustOpens, ExhaustCloses num.Angle
}

// Pressure shows the pressure in the cylinder over the crank angle, firing top dead centre in the middle; below it the
// heat that has been released, and when the valves or ports are open.
//
//   - h: whose cycles, at which speed [rad/s]
//   - cycles: at most four are drawn; heat and valves are those of the first [Pa], [rad]
//   - compact: without heat and valves
//
// Result [-]. Values that are not finite are left out. Definition.
func Pressure(h Head, cycles []PressureCycle, compact bool) Figure {
	s := newDriveSheet("pressure", "Cylinder pressure over the crank angle", h)
	cycles = fewCycles(s, cycles)
	var all [][]float64
	for _, c := range cycles {
		all = append(all, times(c.Pressure, 1e-5))
	}
	low, high := rangeOf(all...)
	if len(cycles) == 0 || !(high > low) || !(cycles[0].Period > 0) {
		return s.empty("The pressure in the cylinder is not known")
	}
	period := cycles[0].Period
	across := angleScale(-period/2, period/2)
	c := s.newChart(s.bottom+36, 200, across, evenScale(math.Min(0, low), high, 4), "crank angle from firing top dead centre", "pressure in bar")
	for i := range cycles {
		p := centred(all[i])
		c.along(s, evenly(-period/2, period, len(p)-1), p, lineLook(i), cycles[i].Name)
	}
	var marked []float64
	for i := range cycles {
		marked = s.highest(c, centred(all[i]), period, cycles[i].Name, i, marked)
	}
	c.names(s)
	if !compact {
		s.heatStrip(c, cycles[0])
		s.valveStrip(c, cycles[0])
	}
	return s.figure()
}

// highest marks the largest pressure, where none near it is marked already.
func (s *sheet) highest(c *chart, p []float64, period num.Angle, name string, i int, marked []float64) []float64 {
	best := -1
	for j, v := range p {
		if drawable(v) && (best < 0 || v > p[best]) {
			best = j
		}
	}
	if best < 0 {
		return marked
	}
	shift := 0.0 // of the true peak, by a parabola through the highest samples
	if best > 0 && best < len(p)-1 {
		a, b := p[best-1], p[best+1]
		if bend := a - 2*p[best] + b; drawable(a) && drawable(b) && bend < 0 {
			shift = (a - b) / (2 * bend)
		}
	}
	θ := -period/2 + period*num.Angle((float64(best)+shift)/float64(len(p)-1))
	text := digits(p[best]) + " bar at " + num.Digits(math.Round(10*θ.Deg())/10, 3) + "°"
	s.say(name + ": the pressure reaches " + text + ".")
	for _, m := range marked {
		if math.Abs(m-p[best]) < 0.15*(c.up.high-c.up.low) {
			return marked
		}
	}
	c.mark(s, θ.Deg(), p[best], lineLook(i).stroke, text)
	return append(marked, p[best])
}

// centred turns a curve that begins at firing top dead centre so that this stands in the middle, closed at the end.
func centred(values []float64) []float64 {
	half := len(values) / 2
	return closed(append(append([]float64{}, values[half:]...), values[:half]...))
}

// heatStrip draws the share of the heat that has been released.
func (s *sheet) heatStrip(over *chart, c PressureCycle) {
	if len(c.Released) == 0 {
		return
	}
	share := scale{low: 0, high: 100, ticks: []float64{0, 50, 100}, text: digits}
	strip := s.newChart(s.bottom+34, 60, over.across, share, "", "heat released in %")
	values := times(c.Released, 100)
	half := len(values) / 2
	turned := append(append([]float64{}, values[half:]...), values[:half]...)
	strip.along(s, evenly(-c.Period/2, c.Period, len(turned))[:len(turned)], turned, pen(ink, 2), "")
	for j, v := range turned {
		if v >= 50 {
			θ := -c.Period/2 + c.Period*num.Angle(j)/num.Angle(len(turned))
			strip.mark(s, θ.Deg(), v, ink, "half at "+degrees(θ))
			s.say("Half the heat has been released at " + degrees(θ) + " from firing top dead centre.")
			break
		}
	}
	s.bottom += 2
}

// valveStrip draws when intake and exhaust are open.
func (s *sheet) valveStrip(over *chart, c PressureCycle) {
	rows := []struct {
		name          string
		opens, closes num.Angle
		draw          func(g *scene, x, y, w, h float64)
	}{
		{"intake", c.IntakeOpens, c.IntakeCloses, func(g *scene, x, y, w, h float64) { g.rect(x, y, w, h, pen(with, 1.2).filled(with)) }},
		{"exhaust", c.ExhaustOpens, c.ExhaustCloses, againstBar},
	}
	if !(c.IntakeCloses > c.IntakeOpens) || !(c.ExhaustCloses > c.ExhaustOpens) {
		return
	}
	s.group("openings", "Intake and exhaust open", "", func(g *scene) {
		for _, r := range rows {
			y := s.bottom + 10
			g.text(label{at: point{over.x - 8, y + 10}, text: r.name, size: sizeSmall, align: end, paint: ink})
			opens := (r.opens + c.Period/2).Wrap(c.Period) - c.Period/2
			closes := opens + min(r.closes-r.opens, c.Period)
			end1 := min(closes, c.Period/2)
			x0, x1 := over.at(opens.Deg(), 0).x, over.at(end1.Deg(), 0).x
			r.draw(g, x0, y, x1-x0, 12)
			if closes > end1 {
				r.draw(g, over.x, y, over.at((closes-c.Period).Deg(), 0).x-over.x, 12)
			}
			s.bottom = y + 12
			shown := (closes + c.Period/2).Wrap(c.Period) - c.Period/2
			s.note("The " + r.name + " opens at " + degrees(opens) + " and closes at " + degrees(shown) + ".")
		}
	})
	s.bottom += 4
}
