package num

import (
	"math"
	"math/bits"
)

// Grid evaluates series at equally spaced crank angles over two revolutions without calling sin or
// cos: the tables are made once, and symmetry does the rest. A grid has scratch memory of its own
// and serves one goroutine at a time.
type Grid struct {
	n              int
	cos, sin       []float64
	rows           []row     // by half order, as far as they have been needed
	orders         []int     // half orders that occur in a series
	cosines, sines terms     // that are to be summed
	room           []float64 // for sums
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
	g.room = make([]float64, n+32*16) // n/2 + n/4 + … for the sums of a period, each rounded up
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

// Sample evaluates a series at every angle of the grid; see Scaled.
//
// Result [unit of s]. Definition.
func (g *Grid) Sample(dst []float64, s Series) []float64 { return g.Scaled(dst, s, 1) }

// Scaled evaluates a series, times a factor, at every angle of the grid.
//
//	dst_j = f Re Σ_k Q_k e^{2πi kj/n}
//
// with
//   - dst: receives the result, of the grid's length; nil allocates
//   - s: the series [any unit]; zero entries cost nothing; it must be shorter than the grid has
//     angles, else it panics
//   - f: factor [any unit]
//
// Result [unit of s times unit of f]. The period is cut down to the greatest common divisor of the orders that
// occur, and a quarter of it is summed: the rest follows because cosines are even, sines odd, and
// even and odd harmonics differ only in sign half a period on. Definition.
func (g *Grid) Scaled(dst []float64, s Series, f float64) []float64 {
	g.fits(s)
	if cap(dst) < g.n {
		dst = make([]float64, g.n)
	}
	dst = dst[:g.n]
	repeat := g.n
	g.orders = g.orders[:0]
	for k, c := range s {
		if k > 0 && (real(c) != 0 || imag(c) != 0) {
			g.orders = append(g.orders, k)
			g.grow(k)
			if even := repeat&-repeat == repeat; even && k&(repeat-1) != 0 || !even && k%repeat != 0 {
				repeat = gcd(repeat, k)
			}
		}
	}
	constant := 0.0
	if len(s) > 0 {
		constant = f * real(s[0])
	}
	if len(g.orders) == 0 {
		fill(dst, constant)
		return dst
	}
	period := g.n / repeat
	g.fold(dst[:period], series{s, f, constant}, g.orders, repeat, g.room)
	for done := period; done < g.n; done *= 2 {
		copy(dst[done:], dst[:done])
	}
	return dst
}

func (g *Grid) fits(s Series) {
	if len(s) > g.n {
		panic("num: the series has orders that the grid cannot resolve")
	}
}

// series is a series with its factor and its mean.
type series struct {
	of      Series
	f, mean float64
}

// fold sums orders, all of them multiples of one, over the period of that one. Odd multiples change sign half a period on,
// and a quarter of a period has all that they do; even ones repeat after half a period and are folded in their turn.
func (g *Grid) fold(dst []float64, s series, orders []int, repeat int, room []float64) {
	period := len(dst)
	if len(orders) == 0 {
		fill(dst, s.mean)
		return
	}
	if period%4 != 0 {
		g.mirror(dst, s, orders, room)
		return
	}
	half, quarter := period/2, period/4
	even := g.collect(s, orders, repeat&-repeat)
	cos, sin, room := g.sums(quarter+1, 0, room)
	g.fold(dst[:half], s, even, 2*repeat, room)
	spread(dst, cos, sin)
}

// mirror sums orders over half of their period: cosines are even, sines odd.
func (g *Grid) mirror(dst []float64, s series, orders []int, room []float64) {
	period := len(dst)
	values := period/2 + 1
	g.collect(s, orders, 0)
	cos, sin, _ := g.sums(values, s.mean, room)
	reflect(dst, cos, sin)
}

// sums adds up what was collected, for so many angles and some beyond, and returns the sums of cosines and sines and what is
// left of the room.
func (g *Grid) sums(values int, mean float64, room []float64) (cos, sin, rest []float64) {
	n := whole(values)
	cos, sin, rest = room[:n], room[n:2*n], room[2*n:]
	g.cosines.over(cos, mean)
	g.sines.over(sin, 0)
	return cos, sin, rest
}

// whole rounds a number of angles up, so that lanes are full.
func whole(values int) int { return (values + 15) &^ 15 }

// collect collects what orders add, and returns those that it left out in the place of all: of which the lowest bit is
// another one than asked for, if one is.
func (g *Grid) collect(s series, orders []int, lowest int) []int {
	cosines, sines, left := g.cosines[:0], g.sines[:0], 0
	for _, k := range orders {
		if lowest != 0 && k&-k != lowest {
			orders[left] = k
			left++
			continue
		}
		c, r := s.of[k], &g.rows[k]
		if a := real(c); a != 0 {
			cosines = append(cosines, Term{s.f * a, r.cos})
		}
		if b := imag(c); b != 0 {
			sines = append(sines, Term{-s.f * b, r.sin})
		}
	}
	g.cosines, g.sines = cosines, sines
	return orders[:left]
}

// row has the first cosines and sines at multiples of an order, to be read from front to back.
type row struct{ cos, sin []float64 }

// grow makes the row of an order unless it is there. Its period is halved as often as the order is even, until a quarter of it
// is no whole number of angles: a quarter is summed, or in the end a half, see fold and mirror. Whole orders are summed over a
// quarter of a revolution too, see Halved.
func (g *Grid) grow(k int) {
	if k < len(g.rows) && g.rows[k].cos != nil {
		return
	}
	for len(g.rows) <= k {
		g.rows = append(g.rows, row{})
	}
	times := min(bits.TrailingZeros(uint(k)), bits.TrailingZeros(uint(g.n))-1)
	values := g.n>>times/4 + 1
	if g.n>>times%4 != 0 {
		values = g.n>>times/2 + 1
	}
	if k%4 == 0 {
		values = max(values, g.n/8+1)
	}
	r := &g.rows[k]
	r.cos, r.sin = make([]float64, whole(values)), make([]float64, whole(values))
	for j := range r.cos {
		at := j * k % g.n
		r.cos[j], r.sin[j] = g.cos[at], g.sin[at]
	}
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
