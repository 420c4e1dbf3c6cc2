package sound

import "math"

// Shape is the form of one pulse of flow out of the exhaust: it rises while the valve opens and dies away while the
// cylinder empties.
//
//	q(t) = e^{−t/fall} − e^{−t/rise}      t ≥ 0
type Shape struct {
	Rise float64 // time constant of the rise [s]
	Fall float64 // time constant of the fall [s]
}

// ShapeAt returns the pulse at a speed and a load.
//
//	fall = 20°/ω + 0.8 ms      rise = (6° − 4° load)/ω + 0.05 ms
//
// with
//   - ω: crank speed [rad/s], as Setting allows it
//   - load: share of the full load [1], 0 to 1
//
// Result [s]. Valve and piston move by the crank angle, gas dynamics by time, hence the two parts; more load steepens
// the edge. The height does not depend on the speed: the flow through the opening valve is choked. A stated choice for
// the ear, not a measured pulse. Definition.
func ShapeAt(ω, load float64) Shape {
	const degree = math.Pi / 180
	return Shape{Rise: (6-4*load)*degree/ω + 0.05e-3, Fall: 20*degree/ω + 0.8e-3}
}

// Flow returns the flow of the pulse.
//
//	q(t) = e^{−t/fall} − e^{−t/rise}
//
// with
//   - t: time since the exhaust opens [s]
//
// Result [1], 0 before the opening. Definition.
func (s Shape) Flow(t float64) float64 {
	if t <= 0 {
		return 0
	}
	return math.Exp(-t/s.Fall) - math.Exp(-t/s.Rise)
}

// Transform returns the transform of what the ear hears of the pulse: far from a small outlet the pressure
// follows the rate at which the flow changes.
//
//	H(Ω) = ∫ q'(t) e^{−iΩt} dt = iΩ (fall − rise) / ((1 + iΩ fall)(1 + iΩ rise))
//
// with
//   - angular: angular frequency Ω [rad/s]
//
// Result [1]: without content at frequency zero, highest at Ω² = 1/(rise fall). Source: PIERCE.
func (s Shape) Transform(angular float64) complex128 {
	return complex(0, angular*(s.Fall-s.Rise)) / (complex(1, angular*s.Fall) * complex(1, angular*s.Rise))
}
