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

	evenCos, evenSin, oddSin [][]float64 // by sample of a quarter, then by order; see Even
	terms                    terms
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
//   - a, b: receive A_{2i} and B_{2i} at index i, of length N/4
//   - x, y: samples at φ = 2πj/N for j = 0 … N/4 [any unit]; overwritten
//
// Results [unit of x] and [unit of y]. Needs memory for N² numbers, kept. Source: DEFINITION, discrete Fourier transform, in
// which the other three quarters of a revolution repeat the first but for signs.
func (t *Transform) Even(a, b, x, y []float64) {
	t.ends(x, y)
	t.sum(a, x, t.evenCos)
	t.sum(b, y, t.evenSin)
	a[0] /= 2
}

// Odd computes the harmonics of two functions that have sines of odd orders only, from a quarter of a revolution.
//
//	x(φ) = Σ_n A_n sin nφ   y(φ) = Σ_n B_n sin nφ,   n = 1, 3, 5 … N/2 − 1
//
// with
//   - a, b: receive A_{2i+1} and B_{2i+1} at index i, of length N/4
//   - x, y: samples at φ = 2πj/N for j = 0 … N/4 [any unit]; overwritten
//
// Results [unit of x] and [unit of y]. Source: DEFINITION, discrete Fourier transform; see Even.
func (t *Transform) Odd(a, b, x, y []float64) {
	t.ends(x, y)
	t.sum(a, x, t.oddSin)
	t.sum(b, y, t.oddSin)
}

// sum adds up rows, each times a sample.
func (t *Transform) sum(to, of []float64, rows [][]float64) {
	t.terms = t.terms[:0]
	for j, v := range of {
		t.terms = append(t.terms, Term{v, rows[j]})
	}
	t.terms.over(to, 0)
}

// quarter makes the tables of a quarter of a revolution.
func (t *Transform) quarter() {
	orders := t.Len() / 4
	table := func(first int, part func(complex128) float64) [][]float64 {
		rows := make([][]float64, orders+1)
		for j := range rows {
			rows[j] = make([]float64, orders)
			for i := range rows[j] {
				rows[j][i] = part(t.unit[j*(first+2*i)%len(t.unit)])
			}
		}
		return rows
	}
	cos, sin := func(u complex128) float64 { return real(u) }, func(u complex128) float64 { return imag(u) }
	t.evenCos, t.evenSin, t.oddSin = table(0, cos), table(0, sin), table(1, sin)
}

// ends scales the samples of a quarter: each stands for four of the revolution, those at its ends for two.
func (t *Transform) ends(x, y []float64) {
	last := t.Len() / 4
	if len(x) != last+1 || len(y) != last+1 {
		panic("num: a quarter of a revolution of N samples has N/4 + 1 of them")
	}
	if t.oddSin == nil {
		t.quarter()
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
// a factor e^{−d} from one order to the next.
//
//	N = smallest power of two with e^{−d N/2} ≤ 2^{−56}
//
// with
//   - decay: d [1]; up to zero, where they do not shrink, takes the most
//   - least, most: limits of the result [1], powers of two
//
// Result [1]. Source: DEFINITION, geometric decay of the Fourier coefficients of an analytic
// function.
func Samples(decay float64, least, most int) int {
	if !(decay > 0) {
		return most
	}
	n := least
	for n < most && float64(n)/2*decay < 56*math.Ln2 {
		n *= 2
	}
	return n
}
