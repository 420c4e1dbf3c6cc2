package draw

import (
	"math"
	"slices"
)

// Head says whose and where a figure of gas and torque is.
type Head struct {
	Engine string
	Speed  float64 // crank speed [rad/s]; 0: over a range of speeds
	Load   float64 // brake torque over that of full load [1]
	Light  bool    // runs without load
}

// Cycle is the working cycle of cylinders that work alike.
type Cycle struct {
	Name     string    // such as "cylinders 1, 3"
	Volume   []float64 // at equal angles over the cycle [m³]
	Pressure []float64 // at the same angles [Pa]
	IMEP     float64   // net indicated mean effective pressure [Pa]
	Pumping  float64   // of it, from the exchange of the charge [Pa]
}

// mostCycles is how many cycles one figure tells apart.
const mostCycles = 4

// newDriveSheet begins a figure of gas and torque.
func newDriveSheet(id, title string, h Head) *sheet {
	s := newSheet(id, title, nil)
	where := ""
	if h.Speed > 0 {
		where += " at " + revolutions(h.Speed)
	}
	switch {
	case h.Light:
		where += ", without load"
	case h.Load >= 1:
		where += ", full load"
	case h.Load > 0:
		where += ", " + digits(100*h.Load) + " % of full load"
	}
	name := h.Engine
	if name == "" {
		name = "unnamed engine"
	}
	s.under(name, where)
	s.id += "-" + name
	s.say(title + " of " + name + where + ".")
	return s
}

// Indicator shows the pressure over the volume of the cylinder, on even and on logarithmic scales. On the second,
// compression and expansion are nearly straight and the exchange of the charge is large enough to be read.
//
//   - h: whose cycles, at which speed [rad/s]
//   - cycles: at most four are drawn; pressures [Pa], volumes [m³]
//
// Result [-]. Values that are not finite are left out. Definition.
func Indicator(h Head, cycles []Cycle) Figure {
	s := newDriveSheet("indicator", "Pressure over volume", h)
	cycles = fewCycles(s, cycles)
	var p, v [][]float64
	for _, c := range cycles {
		p, v = append(p, times(c.Pressure, 1e-5)), append(v, c.Volume)
	}
	lowV, highV := rangeOf(v...)
	lowP, highP := rangeOf(p...)
	if !(highV > 0) || !(highP > lowP) {
		return s.empty("The pressure in the cylinder is not known")
	}
	factor, unit := 1e6, "cm³"
	if highV > 3e-3 {
		factor, unit = 1e3, "l"
	}
	for i := range v {
		v[i] = times(v[i], factor)
	}
	even := s.newChart(s.bottom+36, 190, evenScale(0, highV*factor, 5), evenScale(0, highP, 4), "volume in "+unit, "pressure in bar")
	s.loops(even, cycles, v, p)
	even.names(s)
	low := math.Max(lowP, highP/1e4)
	double := s.newChart(s.bottom+46, 190, decadeScale(math.Max(lowV, highV/1e3)*factor, highV*factor), decadeScale(low, highP),
		"volume in "+unit+", logarithmic", "pressure in bar, logarithmic")
	s.loops(double, cycles, v, p)
	double.names(s)
	for i, c := range cycles {
		_, most := rangeOf(p[i])
		s.note(c.Name + ": " + digits(most) + " bar at most, mean effective pressure " + digits(c.IMEP/1e5) + " bar, of it " +
			digits(c.Pumping/1e5) + " bar from the exchange of the charge.")
	}
	return s.figure()
}

// fewCycles leaves out the cycles that one figure cannot tell apart, and says so. The last stays: cylinders that are
// switched off stand at the end.
func fewCycles[T any](s *sheet, cycles []T) []T {
	n := len(cycles)
	if n <= mostCycles {
		return cycles
	}
	s.note("Only " + count(mostCycles) + " of " + count(n) + " different cycles are drawn.")
	return append(slices.Clone(cycles[:mostCycles-1]), cycles[n-1])
}

// loops draws the closed curves of the cycles.
func (s *sheet) loops(c *chart, cycles []Cycle, v, p [][]float64) {
	for i := range cycles {
		c.along(s, closed(v[i]), closed(p[i]), lineLook(i), cycles[i].Name)
	}
}
