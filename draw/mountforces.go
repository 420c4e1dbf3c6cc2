package draw

import (
	"fmt"
	"math"

	"crankwright/analysis"
)

// MountForces shows what reaches the structure over the speed, the force into each mount, and how much of what acts passes.
//
//   - r: whose engine
//   - m: of analysis.Driver
//
// Result [-], forces as root mean squares in N. Definition.
func MountForces(r *analysis.Result, m *analysis.Mounts) Figure {
	s := newSheet("mount-forces", "Force into the structure over speed", r)
	if len(m.Sweep) < 2 {
		return s.empty("There is nothing to show")
	}
	n := len(m.Sweep)
	speed, total, passes := make([]float64, n), make([]float64, n), make([]float64, n)
	most := make([]float64, n)
	for i, p := range m.Sweep {
		speed[i], total[i], passes[i] = p.Speed*30/math.Pi, p.Total, 100*p.Passes
		for _, f := range p.Forces {
			most[i] = max(most[i], f)
		}
	}
	first, last := rangeOf(speed)
	_, high := rangeOf(total)
	_, share := rangeOf(passes)
	if !(last > first) || !drawable(high) || !drawable(share) {
		return s.empty("There is nothing to show")
	}
	across := tightScale(first, last, 6)
	c := s.newChart(s.bottom+30, 170, across, evenScale(0, 1.05*high+1e-9, 5), "crank speed in rpm", "force in N, root mean square")
	c.along(s, speed, total, pen(with, thick), "all mounts")
	c.along(s, speed, most, pen(against, normal).in(dashed), "the most loaded mount")
	c.names(s)
	c = s.newChart(s.bottom+30, 110, across, evenScale(0, 1.05*share+1e-9, 4), "crank speed in rpm", "passes, in %")
	c.along(s, speed, passes, pen(with, thick), "of what acts")
	c.names(s)
	w := m.Worst()
	s.say(fmt.Sprintf("At most %s N at %s rpm; modes from %s to %s Hz.", digits(roundTo(w.Total, 0.1)), digits(math.Round(w.Speed*30/math.Pi)),
		digits(roundTo(m.Modes[0].Frequency/2/math.Pi, 0.1)), digits(roundTo(m.Modes[5].Frequency/2/math.Pi, 0.1))))
	s.note("Rigid engine and structure; real mounts stiffen with frequency and pass more.")
	return s.figure()
}
