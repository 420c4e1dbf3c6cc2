package draw

import (
	"math"

	"crankwright/analysis"
)

// TorqueCurve shows the inertia torque on the crank and the roll moment on the block over the crank
// angle, at the speed of the result.
//
//   - r: a result
//
// Result [-]. Definition.
func TorqueCurve(r *analysis.Result) Figure {
	s := newSheet("torque-curve", "Inertia torque and roll moment", r)
	if !(math.Max(r.Peaks.Torque, r.Peaks.Roll) > nothing) {
		return s.empty("Inertia torque and roll moment are zero at every crank angle")
	}
	period := periodOf(r.Balance.Torque, r.Balance.Roll)
	low, high := 0.0, 0.0
	for _, values := range [][]float64{r.Curves.Torque, r.Curves.Roll} {
		for _, v := range values {
			low, high = math.Min(low, v), math.Max(high, v)
		}
	}
	s.say("The inertia torque reaches "+quantity(r.Peaks.Torque, "N m")+" at crank angle "+degrees(r.Peaks.TorqueAt.Wrap(period))+".",
		"The roll moment reaches "+quantity(r.Peaks.Roll, "N m")+" at crank angle "+degrees(r.Peaks.RollAt.Wrap(period))+".")
	p := s.newPlot(s.bottom+36, 220, period, low, high, "torque", "N m")
	torque, roll := pen(with, 2.2), pen(against, 2.2).in(dashed)
	s.titled(p.curve(r.Angles, r.Curves.Roll), roll, "roll moment on the block")
	s.titled(p.curve(r.Angles, r.Curves.Torque), torque, "inertia torque on the crank")
	s.legend([]key{
		{look: torque, name: "inertia torque on the crank, " + quantity(r.Peaks.Torque, "N m") + " at most"},
		{look: roll, name: "roll moment on the block, " + quantity(r.Peaks.Roll, "N m") + " at most"},
	})
	if r.TwoMass.Used {
		s.note("Computed with each rod replaced by two masses; that changes the torque by up to " + quantity(r.TwoMass.TorqueError, "N m") + ".")
	}
	return s.figure()
}
