package draw

import "math"

// UnevenPoint says how uneven the torque is at one speed.
type UnevenPoint struct {
	Speed               float64 // crank speed [rad/s]
	Gas, Inertia, Total float64 // root mean squares of the torques less their means [N m]
}

// InertiaShare shows how uneven the torque of the gas, of inertia and of both is over the speed, and where inertia
// becomes the larger one.
//
//   - h: whose torque, at which load
//   - points: in ascending order of speed, at least two
//   - equal: speed at which gas and inertia are equally uneven [rad/s]; 0: none within the range
//
// Result [-]. Values that are not finite are left out. Definition.
func InertiaShare(h Head, points []UnevenPoint, equal float64) Figure {
	at := h.Speed
	h.Speed = 0
	s := newDriveSheet("inertia-share", "Gas and inertia in the uneven torque", h)
	const rpm = 30 / math.Pi
	var speed, gas, inertia, total []float64
	for _, p := range points {
		speed, gas = append(speed, p.Speed*rpm), append(gas, p.Gas)
		inertia, total = append(inertia, p.Inertia), append(total, p.Total)
	}
	_, high := rangeOf(gas, inertia, total)
	first, last := rangeOf(speed)
	if len(points) < 2 || !(last > first) || !(high > nothing) {
		return s.empty("There is no uneven torque to show")
	}
	factor, prefix := prefixFor(high)
	c := s.newChart(s.bottom+36, 230, tightScale(first, last, 5), evenScale(0, high/factor, 5), "crank speed in rpm",
		"root mean square of the uneven torque in "+prefix+"N m")
	if at := at * rpm; at > first && at < last {
		s.line(c.at(at, c.up.low), c.at(at, c.up.high), pen(soft, thin).in(dotted))
	}
	c.along(s, speed, times(total, 1/factor), pen(with, thick), "gas and inertia together")
	c.along(s, speed, times(gas, 1/factor), pen(against, 2).in(dashed), "gas")
	c.along(s, speed, times(inertia, 1/factor), pen(third, 2).in(chain), "inertia")
	if e := equal * rpm; e >= first && e <= last {
		c.mark(s, e, between(speed, inertia, e)/factor, ink, "equal at "+revolutions(equal))
		s.note("Gas and inertia are equally uneven at " + revolutions(equal) + "; above, what reaches the driver is more inertia than combustion.")
	} else if gas[len(gas)-1] > inertia[len(inertia)-1] {
		s.note("The gas is the more uneven one over the whole range.")
	} else {
		s.note("Inertia is the more uneven one over the whole range.")
	}
	c.names(s)
	n := len(points) - 1
	for _, i := range []int{0, n} {
		s.say("At " + revolutions(points[i].Speed) + ": gas " + quantity(gas[i], "N m") + ", inertia " + quantity(inertia[i], "N m") + ", together " + quantity(total[i], "N m") + ".")
	}
	return s.figure()
}

// between interpolates a line of ascending places.
func between(x, y []float64, at float64) float64 {
	for i := 1; i < len(x); i++ {
		if at <= x[i] && x[i] > x[i-1] {
			return y[i-1] + (y[i]-y[i-1])*(at-x[i-1])/(x[i]-x[i-1])
		}
	}
	return y[len(y)-1]
}
