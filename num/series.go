package num

import "math"

// Series is a periodic scalar as harmonics by half orders.
//
//	q(θ) = Re Σ_k Q_k e^{ikθ/2}
//
// Index k is order k/2 per crank revolution; the unit is that of q.
type Series []complex128

// At returns the value of the series at one crank angle.
//
//   - θ: crank angle [rad], any value
//
// Result [unit of q]. Cost: one sine and cosine, then a complex product per index. Definition.
func (s Series) At(θ Angle) float64 {
	q, _, _ := s.derivatives(θ)
	return q
}

// derivatives returns q, dq/dθ and d²q/dθ².
func (s Series) derivatives(θ Angle) (q, dq, ddq float64) {
	step := (θ / 2).Unit()
	e := complex(1, 0)
	for k, c := range s {
		if c != 0 {
			n := float64(k) / 2
			v := c * e
			q += real(v)
			dq -= n * imag(v)
			ddq -= n * n * real(v)
		}
		e *= step
	}
	return q, dq, ddq
}

// Order returns the complex amplitude of one order, zero where the series is shorter.
//
//   - k: twice the order [1], not negative
//
// Result [unit of q]: q(θ) = Re Q e^{inθ} for that order. Definition.
func (s Series) Order(k int) complex128 {
	if k < len(s) {
		return s[k]
	}
	return 0
}

// tie is the share by which a later peak must be higher, so that of equal ones the first is named.
const tie = 1e-9

// Peak returns the largest magnitude of the series over the cycle and where it occurs.
//
//   - samples: the series on a Grid, in any scale: they only show where to look [-]
//
// Result [unit of q] and [rad], the first of equal peaks. The best sample is refined with Newton steps on dq/dθ, so the value
// does not depend on the number of samples once they resolve the highest order. Definition.
func (s Series) Peak(samples []float64) (float64, Angle) {
	best := 0
	for j, v := range samples {
		if math.Abs(v) > math.Abs(samples[best])*(1+tie) {
			best = j
		}
	}
	h := 2 * Turn / Angle(len(samples))
	start := Angle(best) * h
	θ := refine(start, h, func(θ Angle) (float64, float64) {
		_, d, dd := s.derivatives(θ)
		return d, dd
	})
	if v, at := math.Abs(s.At(θ)), math.Abs(s.At(start)); v < at {
		return at, start
	} else {
		return v, θ
	}
}

// RMS returns the root mean square of the series over the cycle.
//
//	rms² = Q_0² + ½ Σ_{k>0} |Q_k|²
//
// Result [unit of q]. Source: DEFINITION, Parseval's identity.
func (s Series) RMS() float64 {
	sum := 0.0
	for k, c := range s {
		p := real(c)*real(c) + imag(c)*imag(c)
		if k == 0 {
			p = 2 * real(c) * real(c)
		}
		sum += p / 2
	}
	return math.Sqrt(sum)
}

// refine improves an extremum by Newton steps on the derivative, never leaving start ± h.
func refine(start, h Angle, slope func(Angle) (d, dd float64)) Angle {
	θ := start
	for range 20 {
		d, dd := slope(θ)
		if dd == 0 {
			return θ
		}
		step := Angle(d / dd)
		next := θ - step
		if math.IsNaN(float64(next)) || next < start-h || next > start+h {
			return start
		}
		θ = next
		if math.Abs(float64(step)) < 1e-13 {
			break
		}
	}
	return θ
}
