package num

import "math"

// Angle is an angle [rad]. It is the only quantity with a type of its own, because degrees and
// radians are the one unit mistake that the compiler can catch for us.
type Angle float64

// Degrees returns the angle whose measure is d.
//
//	angle = d π/180
//
// with
//   - d: measure of the angle [deg], any value
//
// Result [rad]. Definition.
func Degrees(d float64) Angle { return Angle(d * (math.Pi / 180)) }

// Deg returns the measure of the angle in degrees.
//
// Result [deg]. Definition.
func (a Angle) Deg() float64 { return float64(a) * (180 / math.Pi) }

// Unit returns the unit phasor of the angle.
//
//	u = e^{ia}
//
// Result [1]. Definition.
func (a Angle) Unit() complex128 {
	s, c := math.Sincos(float64(a))
	return complex(c, s)
}

// Wrap returns the angle brought into one period.
//
//	result = a − period ⌊a/period⌋, a hair below a full period counted as zero
//
// with
//   - period: length of the period [rad], greater than zero
//
// Result [rad], from 0 up to but not including period. Values within 1e-9 rad of the period count
// as zero, so that rounding does not send a top dead centre to the other end of the cycle.
// Definition.
func (a Angle) Wrap(period Angle) Angle {
	w := Angle(math.Mod(float64(a), float64(period)))
	if w < 0 {
		w += period
	}
	if float64(period-w) < 1e-9 {
		return 0
	}
	return w
}

// Turn is one revolution [rad]. Definition.
const Turn Angle = 2 * math.Pi
