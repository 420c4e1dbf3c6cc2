package parts

import (
	"fmt"
	"math"
	"math/cmplx"

	"crankwright/num"
)

// Wheel is a pulley, sprocket or gear, seen along its axis.
type Wheel struct {
	At     complex128 // y + iz of its axis [m]
	Radius float64    // at the pitch line [m]
}

// Loop returns the length of an open belt or chain about its wheels, stretched outside all of them.
//
//	L = Σ √(d² − (R_a − R_b)²) + Σ R ψ        of two wheels with φ = asin((R₂ − R₁)/C):
//	                                           2C cos φ + π(R₁ + R₂) + 2φ(R₂ − R₁)
//
// with
//   - wheels: one or more, in any sequence; radii from 0 up to 100 m
//
// Result [m], along the pitch line. d are the distances of wheels that follow each other, ψ the angles of wrap, 2π
// together. A wheel that the belt does not reach is passed by, for a belt that must bend inwards needs a tensioner. Errors: no wheel, or
// one that is no circle. Accuracy: closed form, rounding only. Source: SHIGLEY, flat belts, open drive.
func Loop(wheels []Wheel) (float64, error) {
	if len(wheels) == 0 {
		return 0, fmt.Errorf("parts: a belt needs at least one wheel")
	}
	first := 0
	for i, w := range wheels {
		if !(w.Radius >= 0 && w.Radius <= 100) || !(cmplx.Abs(w.At) <= 1e6) {
			return 0, fmt.Errorf("parts: wheel %d must have a radius from 0 to 100 m and a place, it has %g m at %g", i+1, w.Radius, w.At)
		}
		a, b := real(w.At)+w.Radius, real(wheels[first].At)+wheels[first].Radius
		if a > b || a == b && w.Radius > wheels[first].Radius {
			first = i
		}
	}
	length, turned, on := 0.0, 0.0, first // the outward normal turns once round
	for range 2*len(wheels) + 1 {
		next, step, span := -1, 2*math.Pi-turned, 0.0
		for j, w := range wheels {
			d := cmplx.Abs(w.At - wheels[on].At)
			slope := (wheels[on].Radius - w.Radius) / d
			if j == on || d == 0 || math.Abs(slope) > 1 {
				continue // one lies in the other
			}
			// the outward normal of the tangent from here to there
			normal := cmplx.Phase(w.At-wheels[on].At) - math.Acos(slope)
			ahead := float64(num.Angle(normal - turned).Wrap(num.Turn))
			free := tangent(wheels[on], w)
			if ahead < step-1e-12 || next >= 0 && math.Abs(ahead-step) <= 1e-12 && free > span {
				next, step, span = j, ahead, free
			}
		}
		length += wheels[on].Radius * step
		turned += step
		if next < 0 {
			break
		}
		length += span
		on = next
	}
	if on != first { // the last tangent ends where the first arc begins
		length += tangent(wheels[on], wheels[first])
	}
	return length, nil
}

// tangent is the length of the outer tangent of two wheels.
func tangent(a, b Wheel) float64 {
	d, r := cmplx.Abs(b.At-a.At), a.Radius-b.Radius
	return math.Sqrt(math.Max(0, d*d-r*r))
}

// Links returns the number of links of a chain, or of teeth of a belt.
//
//	n = ⌈L/p⌉, of a chain the next even number
//
// with
//   - length: along the pitch line [m], not negative
//   - pitch: p [m], greater than zero
//   - chain: whether inner and outer links alternate
//
// Result [1]; the length as made is n p [m]. 0 where pitch or length are impossible. Definition.
func Links(length, pitch float64, chain bool) float64 {
	if !(pitch > 0) || !(length >= 0) || math.IsInf(length/pitch, 0) {
		return 0
	}
	n := math.Ceil(length/pitch - 1e-9)
	if chain && math.Mod(n, 2) == 1 {
		n++
	}
	return n
}
