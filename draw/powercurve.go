package draw

import "math"

// PowerPoint is one point of a power curve.
type PowerPoint struct {
	Speed                     float64 // crank speed [rad/s]
	Torque                    float64 // brake torque [N m]
	Power                     float64 // brake power [W]
	Indicated, Brake          float64 // mean effective pressures [Pa]
	Friction                  float64 // friction mean effective pressure [Pa]
	FrictionLow, FrictionHigh float64 // what engines of the kind scatter between [Pa]
	Beyond                    bool    // the correlation is used beyond its engines
}

// PowerCurve shows torque and power at the brake over the speed and, below, the mean effective pressures: indicated, at
// the brake, and what friction takes of it, with its scatter.
//
//   - h: whose power, at which load
//   - points: in ascending order of speed, at least two
//   - law: where friction is taken from, in words
//
// Result [-]. Values that are not finite are left out. Definition.
func PowerCurve(h Head, points []PowerPoint, law string) Figure {
	h.Speed = 0
	s := newDriveSheet("power", "Torque, power and mean effective pressures", h)
	const rpm = 30 / math.Pi
	series := func(of func(p PowerPoint) float64) []float64 {
		out := make([]float64, len(points))
		for i, p := range points {
			out[i] = of(p)
		}
		return out
	}
	speed := series(func(p PowerPoint) float64 { return p.Speed * rpm })
	torque := series(func(p PowerPoint) float64 { return p.Torque })
	power := series(func(p PowerPoint) float64 { return p.Power })
	first, last := rangeOf(speed)
	if len(points) < 2 || !(last > first) {
		return s.empty("There is no power curve to show")
	}
	across := tightScale(first, last, 5)
	s.best(across, speed, torque, "brake torque", "N m", pen(with, thick))
	s.best(across, speed, power, "brake power", "W", pen(against, thick).in(dashed))
	s.pressures(across, speed, series, h)
	if law != "" {
		s.note("Friction: " + law + ".")
	}
	for _, p := range points {
		if p.Beyond {
			s.note("At some speeds the correlation of friction is used beyond the engines that it comes from.")
			break
		}
	}
	return s.figure()
}

// best draws one curve over the speed and marks its largest value.
func (s *sheet) best(across scale, speed, values []float64, name, unit string, l look) {
	low, high := rangeOf(values)
	factor, prefix := prefixFor(math.Max(-low, high))
	y := s.bottom + 30
	c := s.newChart(y, 110, across, evenScale(math.Min(0, low/factor), math.Max(high, nothing)/factor, 4), "", name+" in "+prefix+unit)
	c.along(s, speed, times(values, 1/factor), l, name)
	for i, v := range values {
		if v == high && high > 0 {
			text := quantity(high, unit) + " at " + digitsWhole(speed[i]) + " rpm"
			c.mark(s, speed[i], high/factor, l.stroke, text)
			s.say("The " + name + " reaches " + text + ".")
			break
		}
	}
}

// pressures draws the mean effective pressures, with the scatter of friction as an area.
func (s *sheet) pressures(across scale, speed []float64, series func(func(PowerPoint) float64) []float64, h Head) {
	bar := func(of func(p PowerPoint) float64) []float64 { return times(series(of), 1e-5) }
	indicated, brake := bar(func(p PowerPoint) float64 { return p.Indicated }), bar(func(p PowerPoint) float64 { return p.Brake })
	friction := bar(func(p PowerPoint) float64 { return p.Friction })
	least, most := bar(func(p PowerPoint) float64 { return p.FrictionLow }), bar(func(p PowerPoint) float64 { return p.FrictionHigh })
	low, high := rangeOf(indicated, brake, friction, least, most)
	y := s.bottom + 30
	c := s.newChart(y, 150, across, evenScale(math.Min(0, low), math.Max(high, nothing), 5), "crank speed in rpm", "mean effective pressure in bar")
	var area polygon
	for i := range speed {
		if drawable(least[i]) && drawable(speed[i]) {
			area.points = append(area.points, c.at(speed[i], least[i]))
		}
	}
	for i := len(speed) - 1; i >= 0; i-- {
		if drawable(most[i]) && drawable(speed[i]) {
			area.points = append(area.points, c.at(speed[i], most[i]))
		}
	}
	if len(area.points) > 3 {
		s.titled(area, pen(soft, thin).filled(metal), "scatter of friction")
	}
	c.along(s, speed, indicated, pen(fourth, 2), "indicated")
	if !h.Light {
		c.along(s, speed, brake, pen(with, 2).in(dashed), "brake")
	}
	c.along(s, speed, friction, pen(third, 2).in(chain), "friction")
	c.names(s)
	n := len(speed) - 1
	for _, i := range []int{0, n} {
		s.say("At " + digitsWhole(speed[i]) + " rpm: indicated " + digits(indicated[i]) + " bar, friction " + digits(friction[i]) + " bar, between " +
			digits(least[i]) + " and " + digits(most[i]) + " bar.")
	}
	s.note("The grey area about friction is what engines of the kind scatter between.")
}
