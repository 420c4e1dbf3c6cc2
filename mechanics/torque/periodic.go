package torque

import (
	"math"

	"crankwright/num"
)

// The helpers of this file work on samples at equal distances over one period.

// shifted adds samples moved on by a number of steps that need not be whole.
//
//	dst_j += x(j − shift)      by the cubic through the four samples around
//
// The four weights add up to one, so the sum over the period is kept to rounding. len(x) divides len(dst).
func shifted(dst, x []float64, shift float64) {
	n := len(x)
	whole := math.Floor(shift)
	f := shift - whole
	if 1-f < 1e-9 { // a whole number of steps but for rounding
		whole, f = whole+1, 0
	}
	at := (n - int(math.Mod(whole, float64(n)))) % n // of x, for dst[0]
	if at < 0 {
		at += n
	}
	if f < 1e-9 {
		for j := range dst {
			dst[j] += x[at]
			if at++; at == n {
				at = 0
			}
		}
		return
	}
	// dst_j lies between x[at−1] and x[at], the share f before x[at]
	u := 1 - f // from x[at−1] towards x[at]
	w0 := -u * (u - 1) * (u - 2) / 6
	w1 := (u + 1) * (u - 1) * (u - 2) / 2
	w2 := -(u + 1) * u * (u - 2) / 2
	w3 := (u + 1) * u * (u - 1) / 6
	a, b, c := x[(at+n-2)%n], x[(at+n-1)%n], x[at]
	next := (at + 1) % n
	for j := range dst {
		d := x[next]
		dst[j] += w0*a + w1*b + w2*c + w3*d
		a, b, c = b, c, d
		if next++; next == n {
			next = 0
		}
	}
}

// accumulated writes the integral of the samples less their mean, from sample 0 to each.
//
//	∫_j^{j+1} x = h/24 ( −x_{j−1} + 13 x_j + 13 x_{j+1} − x_{j+2} )      exact for cubics
//
// The weights add up to one, so the integral returns to zero after the period.
func accumulated(dst, x []float64, h float64) (mean float64) {
	n := len(x)
	for _, v := range x {
		mean += v
	}
	mean /= float64(n)
	sum := 0.0
	for j := range x {
		dst[j] = sum
		before, after, beyond := x[(j+n-1)%n], x[(j+1)%n], x[(j+2)%n]
		sum += h * ((13*(x[j]+after)-before-beyond)/24 - mean)
	}
	return mean
}

// highest returns the largest value of a curve and where it is, in steps: the top of the parabola through
// the largest sample and its neighbours.
func highest(x []float64) (value, at float64) {
	best := 0
	for j, v := range x {
		if v > x[best] {
			best = j
		}
	}
	value, off := top(x, best)
	n := float64(len(x))
	return value, math.Mod(float64(best)+off+n, n)
}

// Extremes returns the largest and the least value of a curve over two revolutions, refined between its angles.
//
//   - x: values at equal angles over two revolutions [any], at least 3
//
// Result [unit of x], [rad]; zeros without values. Definition: of the parabola through a value and its neighbours.
func Extremes(x []float64) (most float64, mostAt num.Angle, least float64, leastAt num.Angle) {
	if len(x) < 3 {
		return 0, 0, 0, 0
	}
	h := 4 * math.Pi / float64(len(x))
	most, hi := highest(x)
	least, lo := lowest(x)
	return most, num.Angle(hi * h), least, num.Angle(lo * h)
}

// top is the top, or the bottom, of the parabola through a sample and its neighbours, and how many steps it
// is off the sample; the sample itself where they do not bend about it.
func top(x []float64, best int) (value, off float64) {
	n := len(x)
	a, b, c := x[(best+n-1)%n], x[best], x[(best+1)%n]
	bend := a - 2*b + c
	if bend == 0 || (b-a)*(b-c) < 0 {
		return b, 0
	}
	off = (a - c) / (2 * bend)
	return b - (a-c)*off/4, off
}

// lowest is highest for the smallest value.
func lowest(x []float64) (value, at float64) {
	best := 0
	for j, v := range x {
		if v < x[best] {
			best = j
		}
	}
	value, off := top(x, best)
	n := float64(len(x))
	return value, math.Mod(float64(best)+off+n, n)
}

// finite says whether every value is a number of a size that an engine can have.
func finite(x ...float64) bool {
	for _, v := range x {
		if !(math.Abs(v) < 1e12) {
			return false
		}
	}
	return true
}

func grown(x []float64, n int) []float64 {
	if cap(x) < n {
		return make([]float64, n)
	}
	return x[:n]
}
