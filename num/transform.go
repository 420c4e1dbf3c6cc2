package num

import (
	"math"

	"gonum.org/v1/gonum/dsp/fourier"
)

// Transform turns samples over one revolution into harmonics. It keeps its plan and the directions
// of its samples, and serves one goroutine at a time.
type Transform struct {
	fft  *fourier.CmplxFFT
	unit []complex128
	sin  []float64 // its imaginary parts
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
	t.sin = make([]float64, n)
	for j, u := range t.unit {
		t.sin[j] = imag(u)
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

// Even computes the harmonics of two functions that have even orders only, from a quarter of a revolution.
//
//	x(φ) = Σ_n A_n cos nφ   y(φ) = Σ_n B_n sin nφ,   n = 0, 2, 4 … N/2 − 2
//
// with
//   - a, b: receive A_n and B_n at index n, of length N/2; odd indices are left alone
//   - x, y: samples at φ = 2πj/N for j = 0 … N/4 [any unit]; overwritten
//
// Results [unit of x] and [unit of y]. Source: DEFINITION, discrete Fourier transform, in which the other three quarters of
// a revolution repeat the first but for signs.
func (t *Transform) Even(a, b, x, y []float64) {
	t.ends(x, y)
	for k := 0; k < t.Len()/2; k += 2 {
		p, q, at, mask := 0.0, 0.0, 0, len(t.unit)-1
		for j, v := range x {
			u := t.unit[at&mask]
			p += v * real(u)
			q += y[j] * imag(u)
			at += k
		}
		a[k], b[k] = p, q
	}
	a[0] /= 2
}

// Odd computes the harmonics of two functions that have sines of odd orders only, from a quarter of a revolution.
//
//	x(φ) = Σ_n A_n sin nφ   y(φ) = Σ_n B_n sin nφ,   n = 1, 3, 5 … N/2 − 1
//
// with
//   - a, b: receive A_n and B_n at index n, of length N/2; even indices are left alone
//   - x, y: samples at φ = 2πj/N for j = 0 … N/4 [any unit]; overwritten
//
// Results [unit of x] and [unit of y]. Source: DEFINITION, discrete Fourier transform; see Even.
func (t *Transform) Odd(a, b, x, y []float64) {
	t.ends(x, y)
	for k := 1; k < t.Len()/2; k += 2 {
		p, q, at, mask := 0.0, 0.0, 0, len(t.sin)-1
		for j, v := range x {
			u := t.sin[at&mask]
			p += v * u
			q += y[j] * u
			at += k
		}
		a[k], b[k] = p, q
	}
}

// ends scales the samples of a quarter: each stands for four of the revolution, those at its ends for two.
func (t *Transform) ends(x, y []float64) {
	last := t.Len() / 4
	if len(x) != last+1 || len(y) != last+1 {
		panic("num: a quarter of a revolution of N samples has N/4 + 1 of them")
	}
	scale := 8 / float64(t.Len())
	for j := range x {
		x[j] *= scale
		y[j] *= scale
	}
	for _, j := range [2]int{0, last} {
		x[j] /= 2
		y[j] /= 2
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
