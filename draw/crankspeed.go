package draw

import (
	"math"

	"crankwright/num"
)

// SpeedCycle is the crank speed within the cycle.
type SpeedCycle struct {
	At                []float64 // crank speed at equal angles over two revolutions [rad/s]
	Mean, Least, Most float64   // [rad/s]
	LeastAt, MostAt   num.Angle // [rad]
	Fluctuation       float64   // coefficient (most − least)/mean [1]
	Rotor             float64   // moment of inertia of crank, flywheel and what is driven [kg m²]
	Unknown           string    // why there is no speed; empty where there is one
}

// CrankSpeed shows how the speed of the crank rises and falls about its mean within two revolutions.
//
//   - h: whose crank, at which mean speed [rad/s]
//   - c: the course of its speed
//
// Result [-]. Values that are not finite are left out. Definition.
func CrankSpeed(h Head, c SpeedCycle) Figure {
	s := newDriveSheet("crank-speed", "Crank speed within the cycle", h)
	if c.Unknown != "" || len(c.At) == 0 {
		why := c.Unknown
		if why == "" {
			why = "The speed within the cycle is not known"
		}
		s.note(why)
		return s.empty("There is no speed to show")
	}
	const rpm = 30 / math.Pi
	values := times(c.At, rpm)
	low, high := rangeOf(values)
	air := math.Max(0.18*(high-low), 1e-4*math.Abs(high)) // a speed that is almost even looks even
	chart := s.newChart(s.bottom+36, 210, angleScale(0, 2*num.Turn), evenScale(low-air, high+air, 5), "crank angle θ", "crank speed in rpm")
	chart.level(s, c.Mean*rpm, pen(soft, 1.4).in(chain), "mean")
	v := closed(values)
	chart.along(s, evenly(0, 2*num.Turn, len(v)-1), v, pen(with, thick), "")
	tell := func(ω float64) string { return fine(ω*rpm, (high-low)/300) + " rpm" }
	chart.mark(s, c.MostAt.Wrap(2*num.Turn).Deg(), c.Most*rpm, with, "most "+tell(c.Most))
	chart.mark(s, c.LeastAt.Wrap(2*num.Turn).Deg(), c.Least*rpm, with, "least "+tell(c.Least))
	chart.names(s)
	s.say("The crank is fastest at "+degrees(c.MostAt)+" with "+tell(c.Most)+" and slowest at "+degrees(c.LeastAt)+" with "+tell(c.Least)+".",
		"The mean speed is "+tell(c.Mean)+".")
	s.note("Coefficient of fluctuation " + digits(100*c.Fluctuation) + " %: the largest less the least speed over the mean, with a moment of inertia of " +
		digits(c.Rotor) + " kg m² of crank, flywheel and what is driven.")
	return s.figure()
}

// fine writes a number with as many decimals as a resolution asks for.
func fine(x, resolution float64) string {
	if !(math.Abs(x) < 1e6) {
		return digits(x)
	}
	decimals := 0
	if resolution > 0 {
		decimals = int(math.Min(4, math.Max(0, -math.Floor(math.Log10(resolution)))))
	}
	return signed(decimal(x, decimals))
}
