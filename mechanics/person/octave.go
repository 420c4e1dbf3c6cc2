package person

import "math"

// ExactCentre returns the exact middle frequency of a third-octave band.
//
//	f = 10^{n/10}
//
// with
//   - n: number of the band; 0 is 1 Hz
//
// Result [Hz]. The standard for the hand prints its factors at these frequencies. Definition.
func ExactCentre(n int) float64 { return math.Pow(10, float64(n)/10) }

// NominalCentre returns the nominal middle frequency of a third-octave band: 1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8 times
// a power of ten. The standard for the whole body prints its factors at these frequencies.
//
//   - n: number of the band; 0 is 1 Hz
//
// Result [Hz]. Definition.
func NominalCentre(n int) float64 {
	names := [10]float64{1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8}
	decade := int(math.Floor(float64(n) / 10))
	return names[n-10*decade] * math.Pow(10, float64(decade))
}
