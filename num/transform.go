package num

import (
	"math"

	"gonum.org/v1/gonum/dsp/fourier"
)

// Transform turns samples over one revolution into harmonics. It keeps its plan and the directions
// of its samples, and serves one goroutine at a time.
type Transform struct {
	fft      *fourier.CmplxFFT
	unit     []complex128
	cos, sin []float64 // its components
}

// NewTransform returns a transform of n samples over one revolution.
//
//   - n: number of samples [1], a power of two of at least 4; otherwise it panics
//
// Definition.
func NewTransform(n int) *Transform {
	if n < 4 || n&(n-1) != 0 {
		panic("num: a transform needs a power of two of at least 4 samples")
	}
	t := &Transform{fft: fourier.NewCmplxFFT(n), unit: make([]complex128, n)}
	for j := range t.unit {
		t.unit[j] = (Turn * Angle(j) / Angle(n)).Unit()
	}
	for q, u := range [4]complex128{1, 1i, -1, -1i} {
		t.unit[q*n/4] = u
	}
	t.cos, t.sin = make([]float64, n), make([]float64, n)
	for j, u := range t.unit {
		t.cos[j], t.sin[j] = real(u), imag(u)
	}
	return t
}

// Len returns the number of samples [1]. Definition.
func (t *Transform) Len() int { return len(t.unit) }

// Unit returns the direction of sample j.
//
//	e^{2πi j/n}
//
// with
//   - j: index of the sample [1]
//
// Result [1]. Definition.
func (t *Transform) Unit(j int) complex128 { return t.unit[j] }

// Harmonics replaces samples by their harmonics, normalised so that they add up to the samples.
//
//	x(φ) = Σ_n X_n e^{inφ},  X_n at index n, X_{−n} at index N − n
//
// with
//   - x: N samples [any unit], overwritten
//
// Result [unit of x], in x itself. Accuracy: rounding, where the samples resolve the motion.
// Source: DEFINITION, discrete Fourier transform.
func (t *Transform) Harmonics(x []complex128) {
	t.fft.Coefficients(x, x)
	f := complex(1/float64(len(x)), 0)
	for i := range x {
		x[i] *= f
	}
}

// Even computes the harmonics of an even function from half a revolution.
//
//	x(φ) = Σ_n A_n cos nφ,   n = 0 … N/2 − 1
//
// with
//   - dst: receives A_n, of length N/2
//   - x: samples at φ = 2πj/N for j = 0 … N/2 [any unit]; overwritten
//
// Result [unit of x], in dst. Half the work of Harmonics, and half again by folding at a quarter turn.
// Source: DEFINITION, discrete cosine transform.
func (t *Transform) Even(dst, x []float64) {
	x[0], x[len(t.unit)/2] = x[0]/2, x[len(t.unit)/2]/2
	project(dst, x, 1, t.cos)
	dst[0] /= 2
}

// Odd computes the harmonics of an odd function from half a revolution.
//
//	x(φ) = Σ_n B_n sin nφ,   n = 1 … N/2 − 1
//
// with
//   - dst: receives B_n, of length N/2; dst[0] is zero
//   - x: samples at φ = 2πj/N for j = 0 … N/2 [any unit]; overwritten
//
// Result [unit of x], in dst. Source: DEFINITION, discrete sine transform.
func (t *Transform) Odd(dst, x []float64) {
	x[0], x[len(t.unit)/2] = 0, 0
	project(dst, x, -1, t.sin)
}

// project sums x against cosines or sines. Sample N/2 − j repeats sample j but for a sign that
// alternates with the order: fold is that sign for even orders.
func project(dst, x []float64, fold float64, table []float64) {
	n := len(table)
	half, quarter := n/2, n/4
	for j := range quarter { // sums for even orders below, differences for odd orders above
		a, b := x[j], fold*x[half-j]
		x[j], x[half-j] = a+b, a-b
	}
	middle := x[quarter]
	scale := 4 / float64(n)
	for k := range half {
		sum, at := 0.0, 0
		if k%2 == 0 {
			for _, v := range x[:quarter] {
				sum += v * table[at&(n-1)]
				at += k
			}
		} else {
			for j := range quarter {
				sum += x[half-j] * table[at&(n-1)]
				at += k
			}
		}
		dst[k] = scale * (sum + middle*table[k*quarter&(n-1)])
	}
}

// Samples returns how many samples over a revolution resolve a function whose harmonics shrink by
// a factor q from one order to the next.
//
//	N = smallest power of two with q^{N/2} < 2^{−56}
//
// with
//   - q: ratio of successive harmonics [1], from 0 to below 1
//   - least, most: limits of the result [1], powers of two
//
// Result [1]. Source: DEFINITION, geometric decay of the Fourier coefficients of an analytic
// function.
func Samples(q float64, least, most int) int {
	n := least
	for n < most && q > 0 && float64(n)/2*math.Log(q) > -56*math.Ln2 {
		n *= 2
	}
	return n
}
