package num

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// Grid evaluates series at equally spaced crank angles over two revolutions without calling sin or
// cos: the tables are made once, and symmetry does the rest. A grid has scratch memory of its own
// and serves one goroutine at a time.
type Grid struct {
	n        int
	cos, sin []float64
	// by order: the same at multiples of it, as far as they have been needed
	cosOf, sinOf [][]float64
	// sums over even and odd harmonics, over cosine and sine parts, on a quarter of the period
	ce, co, se, so []float64
}

// NewGrid returns a grid of n crank angles over two revolutions.
//
//   - n: number of angles [1], a positive multiple of 8; otherwise it panics
//
// Sample j stands at θ = 4πj/n [rad]. Definition.
func NewGrid(n int) *Grid {
	if n <= 0 || n%8 != 0 {
		panic("num: a grid needs a positive multiple of 8 angles")
	}
	g := &Grid{n: n, cos: make([]float64, n), sin: make([]float64, n)}
	for j := range n {
		// exact at the quarter points, and symmetric to the last bit
		g.sin[j], g.cos[j] = math.Sincos(2 * math.Pi * float64(j) / float64(n))
	}
	for q, v := range [4][2]float64{{1, 0}, {0, 1}, {-1, 0}, {0, -1}} {
		g.cos[q*n/4], g.sin[q*n/4] = v[0], v[1]
	}
	quarter := n/4 + 1
	buf := make([]float64, 4*quarter)
	g.ce, g.co, g.se, g.so = buf[:quarter], buf[quarter:2*quarter], buf[2*quarter:3*quarter], buf[3*quarter:]
	return g
}

// Len returns the number of angles of the grid [1]. Definition.
func (g *Grid) Len() int { return g.n }

// Angle returns the crank angle of sample j.
//
//   - j: index of the sample [1]
//
// Result [rad]. Definition.
func (g *Grid) Angle(j int) Angle { return 2 * Turn * Angle(j) / Angle(g.n) }

// Sample evaluates a series at every angle of the grid.
//
//	dst_j = Re Σ_k Q_k e^{2πi kj/n}
//
// with
//   - dst: receives the result, of the grid's length; nil allocates
//   - s: the series [any unit]; zero entries cost nothing; it must be shorter than the grid has
//     angles, else it panics
//
// Result [unit of s]. The period is cut down to the greatest common divisor of the orders that
// occur, and a quarter of it is summed: the rest follows because cosines are even, sines odd, and
// even and odd harmonics differ only in sign half a period on. Definition.
func (g *Grid) Sample(dst []float64, s Series) []float64 {
	if len(s) > g.n {
		panic("num: the series has orders that the grid cannot resolve")
	}
	if cap(dst) < g.n {
		dst = make([]float64, g.n)
	}
	dst = dst[:g.n]
	repeat := g.n
	for k, c := range s {
		if k > 0 && c != 0 && k%repeat != 0 {
			repeat = gcd(repeat, k)
		}
	}
	period := g.n / repeat
	switch {
	case period == 1:
		fill(dst, constant(s))
		return dst
	case period%4 == 0:
		g.folded(dst[:period], s, repeat)
	default:
		g.direct(dst[:period], s)
	}
	for done := period; done < g.n; done *= 2 {
		copy(dst[done:], dst[:done])
	}
	return dst
}

func constant(s Series) float64 {
	if len(s) == 0 {
		return 0
	}
	return real(s[0])
}

func fill(dst []float64, v float64) {
	if v == 0 {
		clear(dst)
		return
	}
	for j := range dst {
		dst[j] = v
	}
}

// direct sums every sample of one period.
func (g *Grid) direct(dst []float64, s Series) {
	fill(dst, constant(s))
	for k, c := range s {
		if k == 0 || c == 0 {
			continue
		}
		a, b, at := real(c), imag(c), 0
		for j := range dst {
			dst[j] += a*g.cos[at] - b*g.sin[at]
			if at += k; at >= g.n {
				at -= g.n
			}
		}
	}
}

// folded sums a quarter of one period and unfolds the rest.
func (g *Grid) folded(dst []float64, s Series, repeat int) {
	period := len(dst)
	quarter := period / 4
	ce, co, se, so := g.ce[:quarter+1], g.co[:quarter+1], g.se[:quarter+1], g.so[:quarter+1]
	fill(ce, constant(s))
	clear(co)
	clear(se)
	clear(so)
	for k, c := range s {
		if k == 0 || c == 0 {
			continue
		}
		cs, sn := ce, se
		if k/repeat%2 == 1 {
			cs, sn = co, so
		}
		if a := real(c); a != 0 {
			floats.AddScaled(cs, a, g.multiples(&g.cosOf, g.cos, k, len(cs)))
		}
		if b := imag(c); b != 0 {
			floats.AddScaled(sn, -b, g.multiples(&g.sinOf, g.sin, k, len(sn)))
		}
	}
	half := period / 2
	dst[0] = ce[0] + co[0]
	dst[half] = ce[0] - co[0]
	for j := 1; j <= quarter; j++ {
		even, odd := ce[j]+se[j], co[j]+so[j]
		evenBack, oddBack := ce[j]-se[j], co[j]-so[j]
		dst[j] = even + odd
		dst[half+j] = even - odd
		dst[half-j] = evenBack - oddBack
		dst[period-j] = evenBack + oddBack
	}
}

// multiples returns the first values of a table at multiples of k. They are kept, in a row that is read from front to back.
func (g *Grid) multiples(kept *[][]float64, table []float64, k, values int) []float64 {
	for len(*kept) <= k {
		*kept = append(*kept, nil)
	}
	row := (*kept)[k]
	for j := len(row); j < values; j++ {
		row = append(row, table[j*k%g.n])
	}
	(*kept)[k] = row
	return row[:values]
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
