package balance

import (
	"errors"
	"fmt"
	"math"
	"math/cmplx"

	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
)

// Measure says what an optimum of counterweights makes small: a weighted mean square of the shaking over
// the cycle, all orders counted.
//
//	J = mean of  w_Fy F_y² + w_Fz F_z² + ( w_My M_y² + w_Mz M_z² ) / L²
type Measure struct {
	ForceY, ForceZ   float64 // weights of the force across (y) and upright (z) [1]
	MomentY, MomentZ float64 // weights of the moment about y (pitch) and about z (yaw) [1]
	Length           float64 // L, by which moments are divided to stand beside forces [m]; 0: UsualLength
}

// EqualMeasure returns the measure in which all four parts weigh 1 [-]. Definition.
func EqualMeasure() Measure { return Measure{ForceY: 1, ForceZ: 1, MomentY: 1, MomentZ: 1} }

// UsualLength returns the length by which moments are divided where none is stated.
//
//   - t: any train
//
// Result [m]: the distance between the outermost cylinders; where that is no more than the largest crank radius, the
// distance between the outermost webs; where that is not either, the largest stroke. Definition.
func UsualLength(t *layout.Train) float64 {
	span := func(n int, at func(int) float64) float64 {
		lo, hi := math.Inf(1), math.Inf(-1)
		for i := range n {
			lo, hi = math.Min(lo, at(i)), math.Max(hi, at(i))
		}
		return hi - lo
	}
	webs := Webs(t)
	radius := largestRadius(t)
	for _, l := range []float64{
		span(len(t.Cylinders), func(i int) float64 { return t.Cylinders[i].At }),
		span(len(webs), func(i int) float64 { return webs[i].At }),
	} {
		if l > radius {
			return l
		}
	}
	return 2 * radius
}

// largestRadius returns the largest crank radius [m].
func largestRadius(t *layout.Train) float64 {
	radius := 0.0
	for _, th := range t.Throws {
		radius = math.Max(radius, th.Radius)
	}
	return radius
}

// Of returns the measure of a balance.
//
//	J = ½ Σ_k w_Fy |W⁺ + conj W⁻|² + w_Fz |W⁺ − conj W⁻|² + ( w_My |M⁺ + conj M⁻|² + w_Mz |M⁺ − conj M⁻|² ) / L²
//
// with
//   - b: a balance per ω²
//
// Result per ω⁴ [kg² m²]: times ω⁴ its root is a force [N]. Length must be given. Definition.
func (m Measure) Of(b *inertia.Balance) float64 {
	sum := 0.0
	for k := range b.Force.With {
		w, a := b.Force.Order(k)
		sum += m.ForceY*square(w+cmplx.Conj(a)) + m.ForceZ*square(w-cmplx.Conj(a))
		w, a = b.Moment.Order(k)
		sum += (m.MomentY*square(w+cmplx.Conj(a)) + m.MomentZ*square(w-cmplx.Conj(a))) / (m.Length * m.Length)
	}
	return sum / 2
}

func square(c complex128) float64 { return real(c)*real(c) + imag(c)*imag(c) }

var (
	errNoWeight = errors.New("no weight is above zero: give at least one of force across, force upright, moment about y and moment about z a weight, such as 1")
	errLength   = errors.New("the length by which moments are divided must lie between 0.1 mm and 1 km")
)

// mostWeight bounds weights, so that squares of them stay numbers.
const mostWeight = 1e9

// checked returns the measure with its length filled in, or says what is wrong with it.
func (m Measure) checked(t *layout.Train) (Measure, error) {
	most := 0.0
	for i, w := range [4]float64{m.ForceY, m.ForceZ, m.MomentY, m.MomentZ} {
		if !(w >= 0) || w > mostWeight {
			return m, fmt.Errorf("the weight of the %s is %g; a weight is a number from 0 to %g",
				[4]string{"force across", "force upright", "moment about y", "moment about z"}[i], w, mostWeight)
		}
		most = math.Max(most, w)
	}
	if most == 0 {
		return m, errNoWeight
	}
	if m.Length == 0 {
		m.Length = UsualLength(t)
	}
	if !(m.Length >= 1e-4) || m.Length > 1e3 {
		return m, errLength
	}
	return m, nil
}
