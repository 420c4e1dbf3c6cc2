package torsion

import (
	"fmt"
	"math"
	"math/cmplx"

	"crankwright/num"
)

// Response is the steady vibration of a shaft at one crank speed, order by order. Index k of a series is order k/2.
type Response struct {
	Speed  float64      // of the crank [rad/s]
	Twist  []num.Series // of each disc, about its steady turning [rad]
	Torque []num.Series // in each span, about its mean [N m]; positive where disc A drives disc B
}

// Respond computes the steady vibration of all orders at one crank speed.
//
//	Ω = kω/2      torque of a span  (k(1 + iη) + iΩc)(Θ_A − Θ_B)
//
// with
//   - dst: receives the result; its slices are reused; nil allocates
//   - e: excitation
//   - ω: crank speed [rad/s], greater than 0
//   - orders: highest half order k [1]
//
// Result [rad] and [N m]. Errors: an excitation of another shaft, a speed out of range, ErrUndamped.
// Source: DENHARTOG, forced vibration.
func (s *Solver) Respond(dst *Response, e *Excitation, ω float64, orders int) (*Response, error) {
	if err := e.check(len(s.m.Discs)); err != nil {
		return nil, err
	}
	return s.respond(dst, e, ω, orders)
}

func (s *Solver) respond(dst *Response, e *Excitation, ω float64, orders int) (*Response, error) {
	if err := checkOrders(orders); err != nil {
		return nil, err
	}
	if !(ω >= 1e-3 && ω <= MaxSpeed) {
		return nil, fmt.Errorf("torsion: the crank speed must lie between 0.001 and %g rad/s, it is %g rad/s", MaxSpeed, ω)
	}
	if dst == nil {
		dst = &Response{}
	}
	dst.Speed = ω
	dst.Twist, dst.Torque = cleared(dst.Twist, len(s.m.Discs), orders), cleared(dst.Torque, len(s.m.Spans), orders)
	t, x := s.t, s.twist
	for k := 1; k <= orders; k++ {
		none := true
		for d := range t {
			t[d] = e.at(d, k, ω*ω)
			none = none && t[d] == 0
		}
		if none {
			continue
		}
		Ω := float64(k) * ω / 2
		var err error
		if x, err = s.harmonic(x, t, Ω); err != nil {
			return nil, fmt.Errorf("order %g at %.5g rad/s: %w", float64(k)/2, ω, err)
		}
		for d := range x {
			dst.Twist[d][k] = x[d]
		}
		for i := range s.m.Spans {
			w := &s.m.Spans[i]
			dst.Torque[i][k] = w.dynamic(Ω) * (x[w.A] - x[w.B])
		}
	}
	return dst, nil
}

func cleared(list []num.Series, n, orders int) []num.Series {
	if len(list) != n || n > 0 && len(list[0]) != orders+1 {
		list = make([]num.Series, n)
		all := make(num.Series, n*(orders+1))
		for i := range list {
			list[i] = all[i*(orders+1) : (i+1)*(orders+1) : (i+1)*(orders+1)]
		}
		return list
	}
	for _, s := range list {
		clear(s)
	}
	return list
}

// Swing is the size of a vibration of many orders.
type Swing struct {
	Half  float64 // (max − min)/2 over the cycle, the phases of the orders kept [rad or N m]
	Root  float64 // √Σ|x_k|², the phases not asked [rad or N m]
	Worst int     // half order with the largest share; 0: it is still
	Size  float64 // amplitude of that order [rad or N m]
}

// Synth sums the orders of vibrations over the cycle. It has scratch memory and serves one goroutine at a time.
type Synth struct {
	orders  int
	grid    *num.Grid
	samples []float64
}

// NewSynth prepares the sum of orders.
//
//   - orders: highest half order [1]
//
// Result ready for Swing in [rad] or [N m]. Errors: a number out of range. Definition.
func NewSynth(orders int) (*Synth, error) {
	if err := checkOrders(orders); err != nil {
		return nil, err
	}
	return &Synth{orders: orders, grid: num.NewGrid(192 * ((orders + 23) / 24))}, nil
}

// Swing returns the size of a vibration.
//
//	half = ½ (max x − min x)      root = √Σ|x_k|²      x(θ) = Re Σ_{k>0} x_k e^{ikθ/2}
//
// with
//   - x: the orders of a twist [rad] or a torque [N m]; index 0 and what lies above the prepared orders do not count
//
// Result in the unit of x. The two highest tops of samples, of which the highest order has at least 8, are refined by Newton's
// method; where more are almost alike, the result can be a thousandth of the root too small. Source: DEFINITION, synthesis of the orders.
func (y *Synth) Swing(x num.Series) Swing {
	var r Swing
	x = x[:min(len(x), y.orders+1)]
	for k := 1; k < len(x); k++ {
		a := cmplx.Abs(x[k])
		r.Root += a * a
		if a > r.Size {
			r.Size, r.Worst = a, k
		}
	}
	r.Root = math.Sqrt(r.Root)
	if r.Worst == 0 {
		return r
	}
	y.samples = y.grid.Sample(y.samples, x)
	r.Half = (y.most(x, 1) - y.most(x, -1)) / 2 // the mean drops out
	return r
}

// most is the largest value of x, or for a sign of −1 the smallest: the two highest tops of parabolas, refined.
func (y *Synth) most(x num.Series, sign float64) float64 {
	n := len(y.samples)
	first, second := math.Inf(-1), math.Inf(-1)
	at, next := 0.0, 0.0 // where they are, in steps
	a, b := sign*y.samples[n-2], sign*y.samples[n-1]
	for j, v := range y.samples {
		c := sign * v
		if b >= a && b >= c { // sample j − 1
			top, off := b, 0.0
			if bend := a - 2*b + c; bend < 0 {
				off = (a - c) / (2 * bend)
				top = b - (a-c)*off/4
			}
			switch where := float64(j-1) + off; {
			case top > first:
				second, next = first, at
				first, at = top, where
			case top > second:
				second, next = top, where
			}
		}
		a, b = b, c
	}
	value := sign * refined(x, sign, at, n)
	if !math.IsInf(second, -1) {
		value = max(value, sign*refined(x, sign, next, n))
	}
	return sign * value
}

// refined is the extreme of a series near a place in steps of n over two revolutions, by Newton's method.
func refined(x num.Series, sign, at float64, n int) float64 {
	step := 4 * math.Pi / float64(n)
	θ, value := at*step, math.Inf(-1)
	for range 3 {
		v, slope, bend := expand(x, θ)
		value = max(value, sign*v)
		if !(sign*bend < 0) || math.Abs(slope) >= step*math.Abs(bend) {
			break // not in the reach of Newton's method
		}
		θ -= slope / bend
	}
	return sign * value
}

// expand is a series with its first two derivatives by the crank angle.
func expand(x num.Series, θ float64) (v, slope, bend float64) {
	step := num.Angle(θ / 2).Unit()
	turn := step
	v = real(x[0])
	for k := 1; k < len(x); k++ {
		q, half := x[k]*turn, float64(k)/2
		v += real(q)
		slope -= half * imag(q)
		bend -= half * half * real(q)
		turn *= step
	}
	return v, slope, bend
}

// Power is where the work of the vibration goes, on the mean of the cycle.
type Power struct {
	Work  float64   // that the torques do on the vibration [W]
	Discs []float64 // that the damping of each disc against the block takes [W]
	Spans []float64 // that each span turns to heat [W]
	Lost  float64   // sum of Discs and Spans [W]; equal to Work but for rounding
}

// Power returns the work and the heat of a vibration.
//
//	work  ½ Re Σ T conj(iΩΘ)      disc  ½ c Ω²|Θ|²      span  ½ (c Ω² + η k Ω)|Θ_A − Θ_B|²
//
// with
//   - r: a response of this solver's model
//   - e: the excitation that made it
//
// Result [W]; the heat of a damper is that of its span. Errors: a response or excitation of another shaft.
// Source: DEFINITION, conservation of energy.
func (s *Solver) Power(r *Response, e *Excitation) (*Power, error) {
	if err := e.check(len(s.m.Discs)); err != nil {
		return nil, err
	}
	if r == nil || len(r.Twist) != len(s.m.Discs) || len(r.Torque) != len(s.m.Spans) {
		return nil, fmt.Errorf("torsion: the response does not belong to this shaft of %d discs", len(s.m.Discs))
	}
	p := &Power{Discs: make([]float64, len(s.m.Discs)), Spans: make([]float64, len(s.m.Spans))}
	for i, d := range s.m.Discs {
		for k, Θ := range r.Twist[i] {
			Ω := float64(k) * r.Speed / 2
			p.Work += 0.5 * real(e.at(i, k, r.Speed*r.Speed)*cmplx.Conj(complex(0, Ω)*Θ))
			p.Discs[i] += 0.5 * d.Damping * Ω * Ω * square(Θ)
		}
		p.Lost += p.Discs[i]
	}
	for i := range s.m.Spans {
		w := &s.m.Spans[i]
		for k := 1; k < min(len(r.Twist[w.A]), len(r.Twist[w.B])); k++ {
			Ω := float64(k) * r.Speed / 2
			p.Spans[i] += 0.5 * Ω * imag(w.dynamic(Ω)) * square(r.Twist[w.A][k]-r.Twist[w.B][k])
		}
		p.Lost += p.Spans[i]
	}
	return p, nil
}

func square(c complex128) float64 { return real(c)*real(c) + imag(c)*imag(c) }
