package gas

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"

	"gonum.org/v1/gonum/dsp/fourier"

	"crankwright/num"
)

// samples is one curve of a trace over one cycle: crank angles from firing top dead centre in −period/2 … period/2,
// growing, and pressures.
type samples struct {
	θ, p   []float64 // [rad], [Pa]
	period float64   // [rad]
	gap    float64   // longest part without a sample [rad], which begins at …
	gapAt  float64   // [rad]
}

// sampled puts a curve in the order of the angles of its cylinder, corrected by a shift.
func sampled(angles []num.Angle, p []float64, shift num.Angle, period num.Angle) (*samples, error) {
	if len(angles) != len(p) || len(p) < 36 {
		return nil, fmt.Errorf("gas: a trace with %d angles and %d pressures; it needs one pressure an angle and at least 36 of them", len(angles), len(p))
	}
	s := &samples{period: float64(period)}
	order := make([]int, len(p))
	at := make([]float64, len(p))
	for i, a := range angles {
		if math.IsNaN(float64(a)) || math.Abs(float64(a)) > 1e4 || !(math.Abs(p[i]) <= 1e9) {
			return nil, fmt.Errorf("gas: sample %d of the trace, %.4g rad and %.4g Pa; both must be finite, the pressure at most 1e9 Pa", i+1, float64(a), p[i])
		}
		order[i], at[i] = i, float64((a+shift+period/2).Wrap(period)-period/2)
	}
	slices.SortStableFunc(order, func(i, j int) int {
		return cmp.Compare(at[i], at[j])
	})
	for _, i := range order {
		if n := len(s.θ); n > 0 && at[i]-s.θ[n-1] < 1e-9 {
			continue // the same angle twice: the end of a closed cycle
		}
		s.θ, s.p = append(s.θ, at[i]), append(s.p, p[i])
	}
	last := len(s.θ) - 1
	if s.θ[0]+s.period-s.θ[last] < 1e-9 {
		s.θ, s.p = s.θ[:last], s.p[:last]
	}
	for i := range s.θ {
		if d := s.next(i) - s.θ[i]; d > s.gap {
			s.gap, s.gapAt = d, s.θ[i]
		}
	}
	return s, nil
}

// next is the angle of the sample after i, on into the next cycle.
func (s *samples) next(i int) float64 {
	if i+1 < len(s.θ) {
		return s.θ[i+1]
	}
	return s.θ[0] + s.period
}

// between returns the range of the samples from ≤ θ < to.
func (s *samples) between(from, to float64) (low, high int) {
	return sort.SearchFloat64s(s.θ, from), sort.SearchFloat64s(s.θ, to)
}

// noise returns the standard deviation of what the second differences hold that is not curvature.
//
//	σ² = mean (p_{i−1} − 2 p_i + p_{i+1})²/6
//
// It is at least 1/2000 of the largest pressure of the range: better no polytrope describes compression.
func (s *samples) noise(low, high int) float64 {
	sum, count, largest := 0.0, 0, 0.0
	for i := max(low, 1); i < min(high, len(s.p)-1); i++ {
		d := s.p[i-1] - 2*s.p[i] + s.p[i+1]
		sum += d * d
		count++
		largest = math.Max(largest, math.Abs(s.p[i]))
	}
	floor := math.Max(1, largest/2000)
	if count == 0 {
		return floor
	}
	return math.Max(floor, math.Sqrt(sum/float64(6*count)))
}

// mean is the mean pressure of the samples in a range; ok is false where it has none.
func (s *samples) mean(from, to float64) (p float64, ok bool) {
	low, high := s.between(from, to)
	for i := low; i < high; i++ {
		p += s.p[i] / float64(high-low)
	}
	return p, high > low
}

// resample returns n samples at equal angles, the first at firing top dead centre.
//
// Between the samples of the trace runs the monotone cubic of Fritsch and Carlson, which never goes beyond its
// neighbours. Where n is coarser than the trace the curve is first taken as fine as the trace and then passed through
// a low-pass, its harmonics up to n/4 whole and from there to n/2 fading, so that noise does not fold into the low
// orders; the work ∮ p dV depends on the first few orders only and is kept.
func (s *samples) resample(n int) []float64 {
	finest := s.period
	for i := range s.θ {
		finest = math.Min(finest, s.next(i)-s.θ[i])
	}
	// as many points as the trace would have at its usual step, not at a chance pair of near samples
	fine := n
	usual := len(s.θ)
	if dense := s.period / math.Max(finest, s.period/float64(4*usual)); dense > float64(usual) {
		usual = int(math.Ceil(dense - 1e-6))
	}
	for fine < usual {
		fine += n
	}
	x := s.interpolate(fine)
	if fine == n {
		return x
	}
	fft := fourier.NewFFT(fine)
	c := fft.Coefficients(nil, x)
	out := make([]complex128, n/2+1)
	for k := range out {
		w := 1.0
		if 4*k > n {
			w = math.Pow(math.Cos(math.Pi/2*(4*float64(k)/float64(n)-1)), 2)
		}
		out[k] = c[k] * complex(w/float64(fine), 0)
	}
	return fourier.NewFFT(n).Sequence(nil, out)
}

// interpolate returns n values of the monotone cubic at equal angles from 0. Source: memory of Fritsch and Carlson, 1980,
// with the harmonic mean of the slopes of both sides.
func (s *samples) interpolate(n int) []float64 {
	m := len(s.θ)
	slope, chord, width := make([]float64, m), make([]float64, m), make([]float64, m)
	for i := range m {
		width[i] = s.next(i) - s.θ[i]
		chord[i] = (s.p[(i+1)%m] - s.p[i]) / width[i]
	}
	for i := range m {
		before := (i + m - 1) % m
		a, b := chord[before], chord[i]
		if a*b <= 0 {
			continue // a peak or a valley of the samples stays one
		}
		ha, hb := width[before], width[i]
		w1, w2 := 2*hb+ha, hb+2*ha
		slope[i] = (w1 + w2) / (w1/a + w2/b)
	}
	out := make([]float64, n)
	for j := range out {
		at := s.period * float64(j) / float64(n)
		if at >= s.period/2 {
			at -= s.period
		}
		i := sort.SearchFloat64s(s.θ, at+1e-12) - 1
		if i < 0 {
			i, at = m-1, at+s.period
		}
		h := width[i]
		u := math.Min(1, math.Max(0, (at-s.θ[i])/h))
		a, b := s.p[i], s.p[(i+1)%m]
		out[j] = a + (b-a)*u*u*(3-2*u) + h*u*(1-u)*((1-u)*slope[i]-u*slope[(i+1)%m])
	}
	return out
}
