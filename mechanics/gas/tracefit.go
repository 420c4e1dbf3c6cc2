package gas

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"crankwright/num"
)

// usualExponent and exponentScatter are the polytropic exponent of compression and how far it strays, common
// practice: 1.25 to 1.38 with heat to the walls. They only weigh where the noise of the trace leaves it open.
// usualFall is how much the exponent falls by the logarithm of the volume when top dead centre is sought: a third of
// what air without losses of heat does between 330 and 750 K (tables of air, from memory), so that neither a constant
// exponent nor one that falls as much misleads far.
const (
	usualExponent   = 1.32
	exponentScatter = 0.03
	usualFall       = 0.008
)

// mostShift is how far top dead centre is sought [rad], 15 deg; a fit that ends beyond nearEdge of it has found the
// edge and no top dead centre. Definition.
const (
	mostShift = math.Pi / 12
	nearEdge  = 0.97
)

// polytrope is what was fitted to a part of compression:
//
//	p = scale · e^{−n l − fall l²/2} − offset,  l = ln V(θ + shift)/V_max
//
// With fall = 0 it is the polytrope p V^n = const.
type polytrope struct {
	scale  float64       // [Pa]
	offset float64       // to be added to the trace [Pa]
	fall   float64       // of the exponent, by the logarithm of the volume [1]
	n      float64       // [1]
	shift  float64       // of the crank angle [rad]
	spread float64       // standard deviation of shift [rad]
	cov    [4][4]float64 // covariance of scale, offset, n and shift
	from   float64       // the window [rad]
	to     float64
}

// at returns the pressure of the trace that the polytrope expects, and its derivatives by scale, offset, n and shift.
func (f *polytrope) at(c Chamber, θ float64) (p float64, d [4]float64) {
	v, dv := c.Volume(num.Angle(θ + f.shift))
	l := math.Log(v * (c.Ratio - 1) / (c.Ratio * c.Displacement()))
	power := math.Exp(-l * (f.n + f.fall*l/2))
	p = f.scale * power
	return p - f.offset, [4]float64{power, -1, -p * l, -(f.n + f.fall*l) * p * dv / v}
}

// free says what a fit may change.
type free struct {
	offset, exponent, shift bool
}

// fit improves the polytrope until it meets the samples of its window with least squares.
//
//	min Σ ((p_i − p(θ_i))/σ)² + ((n − 1.32)/0.03)²
//
// σ is the noise of the trace, which its second differences give, and at least what a polytrope can be trusted to.
// Gauss and Newton's steps, halved where they go too far. It reports whether there was enough to fit.
func (f *polytrope) fit(c Chamber, s *samples, may free) bool {
	low, high := s.between(f.from, f.to)
	m := high - low
	if m < 8 {
		return false
	}
	θ, p := s.θ[low:high], s.p[low:high]
	noise := s.noise(low, high)
	cols := []int{0}
	for j, on := range []bool{may.offset, may.exponent, may.shift} {
		if on {
			cols = append(cols, j+1)
		}
	}
	k := len(cols)
	a, b := mat.NewDense(m+1, k, nil), mat.NewVecDense(m+1, nil)
	merit := func(g *polytrope) float64 {
		sum := 0.0
		for i := range θ {
			q, _ := g.at(c, θ[i])
			sum += (p[i] - q) * (p[i] - q) / (noise * noise)
		}
		if may.exponent {
			sum += math.Pow((g.n-usualExponent)/exponentScatter, 2)
		}
		return sum
	}
	best := merit(f)
	var qr mat.QR
	for range 40 {
		for i := range θ {
			q, d := f.at(c, θ[i])
			for j, col := range cols {
				a.Set(i, j, d[col]/noise)
			}
			b.SetVec(i, (p[i]-q)/noise)
		}
		for j, col := range cols {
			a.Set(m, j, 0)
			if col == 2 {
				a.Set(m, j, 1/exponentScatter)
				b.SetVec(m, (usualExponent-f.n)/exponentScatter)
			}
		}
		if !may.exponent {
			b.SetVec(m, 0)
		}
		// columns of like size keep the condition small
		var size [4]float64
		for j := range cols {
			size[j] = mat.Norm(a.ColView(j), 2)
			if !(size[j] > 0) {
				return false
			}
			for i := range m + 1 {
				a.Set(i, j, a.At(i, j)/size[j])
			}
		}
		qr.Factorize(a)
		var step mat.VecDense
		if qr.SolveVecTo(&step, false, b) != nil {
			return false
		}
		f.doubt(&qr, cols, size)
		g, share, better := *f, 1.0, false
		for range 12 {
			g = *f
			to := [4]*float64{&g.scale, &g.offset, &g.n, &g.shift}
			for j, col := range cols {
				*to[col] += share * step.AtVec(j) / size[j]
			}
			if now := merit(&g); g.scale > 0 && g.n > 0.5 && g.n < 2.5 && math.Abs(g.shift) < mostShift && now < best {
				better = best-now > 1e-9*best
				best, *f = now, g
				break
			}
			share /= 2
		}
		if !better {
			break
		}
	}
	return !math.IsNaN(best) && !math.IsInf(best, 0) && f.scale > 0
}

// doubt takes the covariance of the unknowns from the factor R of the normalised columns.
//
//	cov = R⁻¹ R⁻ᵀ, in the units of the columns;  the standard deviation of the shift is that of the last one
func (f *polytrope) doubt(qr *mat.QR, cols []int, size [4]float64) {
	k := len(cols)
	var r, inverse mat.Dense
	qr.RTo(&r)
	if inverse.Inverse(r.Slice(0, k, 0, k)) != nil {
		f.spread = math.Pi // nothing is known of it
		return
	}
	f.cov = [4][4]float64{}
	for i := range k {
		for j := range k {
			for l := range k {
				f.cov[cols[i]][cols[j]] += inverse.At(i, l) * inverse.At(j, l) / (size[i] * size[j])
			}
		}
	}
	f.spread = math.Min(math.Pi, math.Sqrt(f.cov[3][3]))
}

// started returns a polytrope to begin with: the scale from the samples, the rest as usual.
func started(c Chamber, s *samples, from, to, offset, n float64) polytrope {
	f := polytrope{scale: 1, offset: offset, n: n, from: from, to: to}
	low, high := s.between(from, to)
	sum, all := 0.0, 0.0
	for i := low; i < high; i++ {
		_, d := f.at(c, s.θ[i])
		sum += d[0] * (s.p[i] + offset)
		all += d[0] * d[0]
	}
	if all > 0 && sum > 0 {
		f.scale = sum / all
	}
	return f
}

// compression fits the polytrope and looks how far up it holds: the window grows step by step as long as the polytrope
// expects what stands a little further on, where combustion would already have lifted the pressure if it had begun in
// the window.
func compression(c Chamber, s *samples, from, earliest, latest float64, start polytrope, may free) (polytrope, bool) {
	const step, ahead = 2 * math.Pi / 180, 6 * math.Pi / 180
	f := start
	f.from, f.to = from, earliest
	if !f.fit(c, s, may) {
		return f, false
	}
	for f.to+step <= latest && !f.lifted(c, s, f.to+ahead-step, f.to+ahead) {
		f.to += step
		if !f.fit(c, s, may) {
			return f, false
		}
	}
	if f.to+step <= latest { // ended by combustion: what stands before its first sign is not trusted either
		f.to = math.Max(earliest, f.to-step)
		return f, f.fit(c, s, may)
	}
	return f, true
}

// lifted reports whether the samples of a range stand above the polytrope by more than the noise, the doubt of the fit
// and 0.3 % explain.
func (f *polytrope) lifted(c Chamber, s *samples, from, to float64) bool {
	low, high := s.between(from, to)
	if high <= low {
		return false
	}
	m := float64(high - low)
	excess, level := 0.0, 0.0
	var slope [4]float64
	for i := low; i < high; i++ {
		q, d := f.at(c, s.θ[i])
		excess += (s.p[i] - q) / m
		level = math.Max(level, math.Abs(q))
		for j := range d {
			slope[j] += d[j] / m
		}
	}
	a, b := s.between(f.from, f.to)
	variance := math.Pow(s.noise(a, b), 2) / m
	for i := range slope {
		for j := range slope {
			variance += slope[i] * f.cov[i][j] * slope[j]
		}
	}
	return excess > 3*math.Sqrt(math.Max(0, variance))+0.003*level
}
