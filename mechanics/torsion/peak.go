package torsion

import (
	"cmp"
	"fmt"
	"math"
	"math/cmplx"
	"slices"
)

// Top is the largest twist of a disc over a range of frequencies.
type Top struct {
	Frequency float64 // [rad/s]
	Twist     float64 // amplitude [rad]
}

// Peak searches the largest twist of a disc under torques of one frequency.
//
//	max_Ω |Θ_d(Ω)|
//
// with
//   - m: the model
//   - torque: on each disc [N m], the same at every frequency
//   - disc: index d
//   - lo, hi: range of frequencies [rad/s]
//
// Result [rad]: 2000 steps, each of the six highest tops among them refined by golden section; sharper peaks than a thousandth of the range can hide. Errors:
// those of Check and Harmonic. Definition.
func Peak(m *Model, torque []complex128, disc int, lo, hi float64) (Top, error) {
	s, err := NewSolver(m)
	if err != nil {
		return Top{}, err
	}
	if disc < 0 || disc >= len(m.Discs) {
		return Top{}, fmt.Errorf("torsion: there is no disc with index %d", disc)
	}
	if !(lo > 0 && lo < hi && hi <= 1e7) {
		return Top{}, fmt.Errorf("torsion: the range of frequencies must run upwards between 0 and 1e7 rad/s, it runs from %g to %g rad/s", lo, hi)
	}
	var x []complex128
	at := func(Ω float64) float64 {
		if err != nil {
			return 0
		}
		x, err = s.Harmonic(x, torque, Ω)
		if err != nil {
			return 0
		}
		return cmplx.Abs(x[disc])
	}
	const steps = 2000
	step := (hi - lo) / steps
	values := make([]float64, steps+1)
	for i := range values {
		values[i] = at(lo + step*float64(i))
	}
	var tops []int
	for i, v := range values {
		if (i == 0 || v >= values[i-1]) && (i == steps || v > values[i+1]) {
			tops = append(tops, i)
		}
	}
	slices.SortFunc(tops, func(i, j int) int { return cmp.Compare(values[j], values[i]) })
	best := Top{}
	for _, i := range tops[:min(6, len(tops))] {
		found := golden(at, lo+step*float64(max(0, i-1)), lo+step*float64(min(steps, i+1)))
		if found.Twist > best.Twist {
			best = found
		}
	}
	if err != nil {
		return Top{}, err
	}
	return best, nil
}

// golden finds the top of a function with one top in a range.
func golden(f func(float64) float64, lo, hi float64) Top {
	r := (math.Sqrt(5) - 1) / 2
	a, b := hi-r*(hi-lo), lo+r*(hi-lo)
	fa, fb := f(a), f(b)
	for range 60 {
		if fa > fb {
			hi, b, fb = b, a, fa
			a = hi - r*(hi-lo)
			fa = f(a)
		} else {
			lo, a, fa = a, b, fb
			b = lo + r*(hi-lo)
			fb = f(b)
		}
	}
	if fa > fb {
		return Top{Frequency: a, Twist: fa}
	}
	return Top{Frequency: b, Twist: fb}
}
