package person

import (
	"fmt"
	"math"
	"math/cmplx"
)

// Weighting is one of the published frequency weightings.
type Weighting string

// The weightings.
const (
	Wk Weighting = "Wk" // whole body, vertical, standing or sitting
	Wd Weighting = "Wd" // whole body, horizontal
	Wb Weighting = "Wb" // whole body, vertical, in rail vehicles
	Wc Weighting = "Wc" // back of a seat
	We Weighting = "We" // rotation of a seat
	Wj Weighting = "Wj" // head of a lying person
	Wm Weighting = "Wm" // buildings, any direction
	Wh Weighting = "Wh" // hand and arm, any direction
)

// Weightings lists them [-]. Source: ISO8041.
func Weightings() []Weighting { return []Weighting{Wk, Wd, Wb, Wc, We, Wj, Wm, Wh} }

// filter are the parameters of a weighting: frequencies in [Hz]; a zero leaves a step out.
type filter struct {
	f1, f2, f3, f4, q4, f5, q5, f6, q6, gain float64
}

func (w Weighting) filter() (filter, bool) {
	switch w {
	case Wk:
		return filter{0.4, 100, 12.5, 12.5, 0.63, 2.37, 0.91, 3.35, 0.91, 1}, true
	case Wd:
		return filter{f1: 0.4, f2: 100, f3: 2, f4: 2, q4: 0.63, gain: 1}, true
	case Wb:
		return filter{0.4, 100, 16, 16, 0.55, 2.5, 0.9, 4, 0.95, 1.024}, true
	case Wc:
		return filter{f1: 0.4, f2: 100, f3: 8, f4: 8, q4: 0.63, gain: 1}, true
	case We:
		return filter{f1: 0.4, f2: 100, f3: 1, f4: 1, q4: 0.63, gain: 1}, true
	case Wj:
		return filter{f1: 0.4, f2: 100, f5: 3.75, q5: 0.91, f6: 5.32, q6: 0.91, gain: 1}, true
	case Wm:
		f := 1 / (0.028 * 2 * math.Pi)
		return filter{f1: math.Pow(10, -0.1), f2: 100, f3: f, f4: f, q4: 0.5, gain: 1}, true
	case Wh:
		f := 100 / (2 * math.Pi)
		return filter{f1: math.Pow(10, 0.8), f2: math.Pow(10, 3.1), f3: f, f4: f, q4: 0.64, gain: 1}, true
	}
	return filter{}, false
}

// Response returns the weighting as a transfer function.
//
//	band    s²/(s² + √2 ω₁ s + ω₁²) · ω₂²/(s² + √2 ω₂ s + ω₂²)
//	a to v  (1 + s/ω₃)/(1 + s/(Q₄ω₄) + s²/ω₄²)
//	step    (1 + s/(Q₅ω₅) + s²/ω₅²)/(1 + s/(Q₆ω₆) + s²/ω₆²) · (ω₅/ω₆)²
//
// with
//   - w: one of Weightings
//   - frequency: [Hz], above 0 and up to 1e6; s = 2π i f
//
// Result [1], complex. Errors: no such weighting, a frequency out of range. Source: ISO8041, parameters read in the
// manual of an instrument.
func (w Weighting) Response(frequency float64) (complex128, error) {
	p, ok := w.filter()
	if !ok {
		return 0, fmt.Errorf("person: there is no weighting %q; there are Wk, Wd, Wb, Wc, We, Wj, Wm and Wh", string(w))
	}
	if !(frequency > 0 && frequency <= 1e6) {
		return 0, fmt.Errorf("person: a frequency of %g Hz: it must lie above 0 and up to 1e6 Hz", frequency)
	}
	// frequencies relative to each corner, so that nothing overflows
	s := func(corner float64) complex128 { return complex(0, frequency/corner) }
	high, low := s(p.f1), s(p.f2)
	h := high * high / (high*high + complex(math.Sqrt2, 0)*high + 1) / (low*low + complex(math.Sqrt2, 0)*low + 1)
	if p.f4 > 0 {
		three, four := s(p.f3), s(p.f4)
		h *= (1 + three) / (1 + four/complex(p.q4, 0) + four*four)
	}
	if p.f6 > 0 {
		five, six := s(p.f5), s(p.f6)
		h *= (1 + five/complex(p.q5, 0) + five*five) / (1 + six/complex(p.q6, 0) + six*six) * complex(p.f5*p.f5/(p.f6*p.f6), 0)
	}
	return h * complex(p.gain, 0), nil
}

// Factor returns how much of an acceleration counts.
//
//	W = |H(2π i f)|
//
// with
//   - w: one of Weightings
//   - frequency: [Hz], above 0 and up to 1e6
//
// Result [1]. Errors: those of Response. Source: ISO8041.
func (w Weighting) Factor(frequency float64) (float64, error) {
	h, err := w.Response(frequency)
	return cmplx.Abs(h), err
}
