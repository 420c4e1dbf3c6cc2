package num

import (
	"math"
	"math/cmplx"
)

// Orbit is a periodic plane vector w = y + i·z as harmonics by half orders.
//
//	w(θ) = Σ_k ( W⁺_k e^{+ikθ/2} + W⁻_k e^{−ikθ/2} )
//
// With[k] = W⁺_k turns with the crank, Against[k] = W⁻_k against it; index k is order k/2. A
// constant stands in With[0]. Both slices have the same length.
//
// Where Reversed is set the crank turns clockwise, against the sense in which angles are counted, and
// so does With: the two exponents change places.
type Orbit struct {
	With, Against []complex128
	Reversed      bool
}

// senses returns the phasors that turn anticlockwise and clockwise.
func (o Orbit) senses() (plus, minus []complex128) {
	if o.Reversed {
		return o.Against, o.With
	}
	return o.With, o.Against
}

// NewOrbit returns a zero orbit with room for all half orders up to index k.
//
//   - k: twice the highest order [1], not negative
//
// Definition.
func NewOrbit(k int) Orbit {
	return Orbit{With: make([]complex128, k+1), Against: make([]complex128, k+1)}
}

// Order returns the two counter-turning phasors of one order, zero where the orbit is shorter.
//
//   - k: twice the order [1], not negative
//
// Results [unit of w]: W⁺, W⁻. Definition.
func (o Orbit) Order(k int) (with, against complex128) {
	if k < len(o.With) {
		return o.With[k], o.Against[k]
	}
	return 0, 0
}

// At returns the plane vector at one crank angle.
//
//   - θ: crank angle [rad], any value
//
// Result [unit of w]. Definition.
func (o Orbit) At(θ Angle) complex128 {
	w, _, _ := o.derivatives(θ)
	return w
}

// derivatives returns w, dw/dθ and d²w/dθ².
func (o Orbit) derivatives(θ Angle) (w, dw, ddw complex128) {
	step := (θ / 2).Unit()
	e := complex(1, 0)
	plus, minus := o.senses()
	for k, p := range plus {
		if m := minus[k]; p != 0 || m != 0 {
			n := float64(k) / 2
			a, b := p*e, m*cmplx.Conj(e)
			w += a + b
			dw += complex(-n*(imag(a)-imag(b)), n*(real(a)-real(b)))
			ddw -= complex(n*n, 0) * (a + b)
		}
		e *= step
	}
	return w, dw, ddw
}

// Y returns the horizontal component of the orbit as a series.
//
//	Y_k = W⁺_k + conj W⁻_k   (Reversed: W⁻_k + conj W⁺_k)
//
// with
//   - dst: receives the result, of the orbit's length; nil allocates
//
// Result [unit of w]. Definition.
func (o Orbit) Y(dst Series) Series {
	dst = sized(dst, len(o.With))
	plus, minus := o.senses()
	for k := range dst {
		dst[k] = plus[k] + cmplx.Conj(minus[k])
	}
	return dst
}

// Z returns the vertical component of the orbit as a series.
//
//	Z_k = −i W⁺_k + i conj W⁻_k
//
// with
//   - dst: receives the result, of the orbit's length; nil allocates
//
// Result [unit of w]. Definition.
func (o Orbit) Z(dst Series) Series {
	dst = sized(dst, len(o.With))
	plus, minus := o.senses()
	for k := range dst {
		d := plus[k] - cmplx.Conj(minus[k])
		dst[k] = complex(imag(d), -real(d))
	}
	if len(dst) > 0 {
		dst[0] = complex(imag(o.With[0]+o.Against[0]), 0)
	}
	return dst
}

func sized(dst Series, n int) Series {
	if cap(dst) < n {
		return make(Series, n)
	}
	return dst[:n]
}

// Ellipse is the path that one order of an orbit describes.
type Ellipse struct {
	Major, Minor float64 // semi-axes, Major ≥ Minor ≥ 0
	Axis         Angle   // direction of the major axis, from +y about +x, in [0, π) [rad]
	Sense        int     // +1: the vector turns with the crank, −1: against it, 0: straight line or nothing
}

// EllipseOf returns the ellipse that two counter-turning phasors describe together.
//
//	Major = |W⁺| + |W⁻|   Minor = ||W⁺| − |W⁻||   Axis = (arg W⁺ + arg W⁻)/2
//
// with
//   - with, against: the phasors W⁺ and W⁻ [any one unit]
//
// Result [that unit]; Axis [rad] is zero where the path is a circle, which has no major axis.
// Definition.
func EllipseOf(with, against complex128) Ellipse {
	p, q := cmplx.Abs(with), cmplx.Abs(against)
	e := Ellipse{Major: p + q, Minor: math.Abs(p - q)}
	const round = 1e-12 // below this share of the other the smaller phasor is rounding
	if p > round*q && q > round*p {
		e.Axis = Angle((cmplx.Phase(with) + cmplx.Phase(against)) / 2).Wrap(Turn / 2)
	}
	switch {
	case e.Minor <= round*e.Major:
		e.Minor = 0
	case p > q:
		e.Sense = 1
	default:
		e.Sense = -1
	}
	return e
}

// Mirror returns the orbit reflected at the x–z plane, as seen by a crank that turns the other way.
//
//	vector: w → −conj w    axial vector (moment): w → conj w
//
// with
//   - axial: whether the orbit is a moment [-]
//
// Result [unit of w]: its With part turns with the mirrored crank. Source: DEFINITION, a mirror
// turns a moment's components in its plane the other way.
func (o Orbit) Mirror(axial bool) Orbit {
	m := NewOrbit(len(o.With) - 1)
	m.Reversed = !o.Reversed
	sign := complex(-1, 0)
	if axial {
		sign = 1
	}
	for k := range o.With {
		m.With[k] = sign * cmplx.Conj(o.With[k])
		m.Against[k] = sign * cmplx.Conj(o.Against[k])
	}
	return m
}

// Scaled returns the orbit times a real factor.
//
//   - f: factor [any unit]
//
// Result [unit of w times unit of f]. Definition.
func (o Orbit) Scaled(f float64) Orbit {
	s := NewOrbit(len(o.With) - 1)
	s.Reversed = o.Reversed
	for k := range o.With {
		s.With[k] = complex(f, 0) * o.With[k]
		s.Against[k] = complex(f, 0) * o.Against[k]
	}
	return s
}

// Peak returns the longest the vector gets over the cycle and where.
//
//   - y, z: the orbit on a Grid, equally long, in any scale: they only show where to look [-]
//
// Result [unit of w] and [rad], the first of equal peaks. The best sample is refined with Newton steps on d|w|²/dθ.
// Definition.
func (o Orbit) Peak(y, z []float64) (float64, Angle) {
	best, most := 0, -1.0
	for j := range y {
		if s := y[j]*y[j] + z[j]*z[j]; s > most*(1+tie) {
			best, most = j, s
		}
	}
	h := 2 * Turn / Angle(len(y))
	start := Angle(best) * h
	θ := refine(start, h, func(θ Angle) (float64, float64) {
		w, dw, ddw := o.derivatives(θ)
		return dot(w, dw), dot(dw, dw) + dot(w, ddw)
	})
	if v, at := cmplx.Abs(o.At(θ)), cmplx.Abs(o.At(start)); v < at {
		return at, start
	} else {
		return v, θ
	}
}

func dot(a, b complex128) float64 { return real(a)*real(b) + imag(a)*imag(b) }
