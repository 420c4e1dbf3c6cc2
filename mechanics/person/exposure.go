package person

import (
	"fmt"
	"math"
)

// Line is one frequency of a vibration.
type Line struct {
	Frequency float64 // [Hz]
	Amplitude float64 // of the acceleration, peak of the sine [m/s²]
}

// Weighted returns the weighted acceleration of a vibration of single frequencies.
//
//	a_w = √ ½ Σ ( W(f) â )²
//
// with
//   - w: one of Weightings
//   - lines: frequencies above 0; lines of one frequency count as if their phases were by chance
//
// Result [m/s²], a root mean square. Errors: no such weighting, frequencies or amplitudes that are none. Source: ISO2631.
func (w Weighting) Weighted(lines []Line) (float64, error) {
	sum := 0.0
	for _, l := range lines {
		f, err := w.Factor(l.Frequency)
		if err != nil {
			return 0, err
		}
		if !(l.Amplitude >= 0 && l.Amplitude <= 1e9) {
			return 0, fmt.Errorf("person: an amplitude of %g m/s²: it must not be negative", l.Amplitude)
		}
		sum += f * f * l.Amplitude * l.Amplitude / 2
	}
	return math.Sqrt(sum), nil
}

// Purpose is what a combined value is for.
type Purpose int

// The purposes for which directions are combined.
const (
	Comfort Purpose = iota // all directions count alike
	Health                 // sitting, whole body: horizontal directions count 1.4 times
	Hand                   // hand and arm: all directions count alike
)

// Combined returns the vibration total value of three directions.
//
//	a_v = √( k_x² a_x² + k_y² a_y² + k_z² a_z² )
//
// with
//   - x, y, z: weighted accelerations [m/s²]; z is vertical
//   - p: purpose
//
// Result [m/s²]. Source: ISO2631 and ISO5349.
func Combined(x, y, z float64, p Purpose) float64 {
	k := 1.0
	if p == Health {
		k = 1.4
	}
	return math.Sqrt(k*k*(x*x+y*y) + z*z)
}

// Largest returns the largest of three directions, as the exposure of the whole body is judged.
//
//	max( 1.4 a_x, 1.4 a_y, a_z )
//
// with
//   - x, y, z: weighted accelerations [m/s²]; z is vertical
//
// Result [m/s²]. Source: EU2002.
func Largest(x, y, z float64) float64 { return math.Max(z, 1.4*math.Max(x, y)) }

const day = 24 * 3600 // [s]

// Daily returns the exposure of a day referred to eight hours.
//
//	A(8) = a √(T/8 h)
//
// with
//   - a: weighted acceleration [m/s²], the largest direction for the whole body, the total value for the hand
//   - time: of exposure a day [s], 0 to a day
//
// Result [m/s²]. Errors: values out of range. Source: EU2002.
func Daily(a, time float64) (float64, error) {
	if !(a >= 0 && a <= 1e9) || !(time >= 0 && time <= day) {
		return 0, fmt.Errorf("person: %g m/s² for %g h: an acceleration must not be negative and a time lie between 0 and 24 h", a, time/3600)
	}
	return a * math.Sqrt(time/(8*3600)), nil
}

// TimeTo returns how long a day a vibration may last until an exposure is reached.
//
//	T = 8 h (A/a)²
//
// with
//   - a: weighted acceleration [m/s²]
//   - exposure: A(8) [m/s²]
//
// Result [s], at most a day. Errors: values that are none. Source: EU2002.
func TimeTo(a, exposure float64) (float64, error) {
	if !(a >= 0 && a <= 1e9) || !(exposure > 0 && exposure <= 1e9) {
		return 0, fmt.Errorf("person: %g m/s² to an exposure of %g m/s²: give an acceleration that is not negative and an exposure above 0", a, exposure)
	}
	if a == 0 {
		return day, nil
	}
	return math.Min(day, 8*3600*(exposure/a)*(exposure/a)), nil
}

// Exposure are the action and limit values of a day, referred to eight hours.
type Exposure struct{ Action, Limit float64 } // [m/s²]

// WholeBody returns the values for the whole body [m/s²]. Source: EU2002, from memory.
func WholeBody() Exposure { return Exposure{0.5, 1.15} }

// HandArm returns the values for hand and arm [m/s²]. Source: EU2002, from memory.
func HandArm() Exposure { return Exposure{2.5, 5} }

// DoseOfSine returns the vibration dose value of a weighted sine.
//
//	VDV = ( ∫ a_w⁴ dt )^¼ = a ( 3T/2 )^¼
//
// with
//   - a: its root mean square [m/s²]
//   - time: T [s]
//
// Result [m/s^1.75]: of a sine, whose fourth power is 3/2 of the square of its mean square. Source: ISO2631.
func DoseOfSine(a, time float64) float64 { return a * math.Pow(1.5*time, 0.25) }
