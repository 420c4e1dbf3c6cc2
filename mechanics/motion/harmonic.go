package motion

import (
	"math"

	"crankwright/num"
)

// MostSamples is the largest number of samples per revolution that a motion may need [1].
// Definition: rods at the limit of layout.MinRodRatio need about a thousand.
const MostSamples = 1 << 14

// Samples returns how many samples over a revolution resolve the motion of a linkage to rounding.
//
//	q = λ/(1 + √(1 − λ²)),  λ = (r + |e|)/l
//
// Result [1], a power of two from 32 to MostSamples, for harmonics that fall as q^{n/1.15}. For a linked rod, from 128,
// the slower decay of the master's and of its own, with the knuckle radius added to the throw and λ ≤ 0.9: a starting
// value that the caller checks against the tail of its transform. Source: BIEZENO, the singularities of the square root
// in the exact motion lie at e^{±iφ} = ±i/q.
func (k Linkage) Samples() int {
	λ := (k.Radius + math.Abs(k.Offset)) / k.Length
	least := 32
	if k.Linked {
		master := (k.Radius + math.Abs(k.MasterOffset)) / k.MasterLength
		λ = math.Max(master, math.Min(0.9, (k.Radius+math.Abs(k.Offset)+k.Knuckle)/k.Length))
		least = 128
	}
	if !(λ < 1) {
		return MostSamples
	}
	// the second derivative has a few more bits to resolve: q^{1/1.15} leaves room for them
	q := λ / (1 + math.Sqrt(1-λ*λ))
	return num.Samples(-math.Log(q)/1.15, least, MostSamples)
}

// Harmonics returns the harmonics of the piston acceleration of a linkage, per crank radius.
//
//	−s''(φ)/r = Σ_n ( A_n cos nφ + B_n sin nφ )
//
// with
//   - orders: highest order [1], at least 1
//
// Results A and B [1], of length orders+1, index n for order n; B[0] is zero. For a central crank
// A_1 = 1, A_2 = λ + λ³/4 + 15λ⁵/128 + …, A_4 = −(λ³/4 + 3λ⁵/16 + …). ErrReach where the rod cannot
// reach. Accuracy: transform of the closed form, rounding only. Source: BIEZENO, TAYLOR2.
func (k Linkage) Harmonics(orders int) (a, b []float64, err error) {
	n := k.Samples()
	for n < 4*orders {
		n *= 2
	}
	t := num.NewTransform(n)
	x := make([]complex128, n)
	s := k.Sampler()
	for j := range x {
		state, err := s.At(t.Unit(j))
		if err != nil {
			return nil, nil, err
		}
		x[j] = complex(-real(state.Piston.Acc)/k.Radius, 0)
	}
	t.Harmonics(x)
	a, b = make([]float64, orders+1), make([]float64, orders+1)
	a[0] = real(x[0])
	for i := 1; i <= orders; i++ {
		a[i], b[i] = 2*real(x[i]), -2*imag(x[i])
	}
	return a, b, nil
}
