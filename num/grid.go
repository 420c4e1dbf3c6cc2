package num

import "math"

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
	g.room = make([]float64, n+64) // n/2 + n/4 + … for the sums of a period, two more for each
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
	if len(s) > g.n {
		panic("num: the series has orders that the grid cannot resolve")
	}
	if cap(dst) < g.n {
		dst = make([]float64, g.n)
	}
	dst = dst[:g.n]
	repeat := g.n
	g.orders = g.orders[:0]
	for k, c := range s {
		if k > 0 && (real(c) != 0 || imag(c) != 0) {
			g.orders = append(g.orders, k)
			if k%repeat != 0 {
				repeat = gcd(repeat, k)
			}
		}
	}
	constant := 0.0
	if len(s) > 0 {
		constant = f * real(s[0])
	}
	period := g.n / repeat
	g.fold(dst[:period], series{s, f, constant}, g.orders, repeat, g.room)
	for done := period; done < g.n; done *= 2 {
		copy(dst[done:], dst[:done])
	}
	return dst
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
	g.collect()
	even := orders[:0]
	for _, k := range orders {
		if k&-k != repeat&-repeat { // lowest bits: the quotient is even
			even = append(even, k)
		} else {
			g.term(s, k, quarter+1)
		}
	}
	cos, sin := room[:quarter+1], room[quarter+1:2*quarter+2]
	g.cosines.over(cos, 0)
	g.sines.over(sin, 0)
	g.fold(dst[:half], s, even, 2*repeat, room[2*quarter+2:])
	spread(dst, cos, sin)
}

// mirror sums orders over half of their period: cosines are even, sines odd.
func (g *Grid) mirror(dst []float64, s series, orders []int, room []float64) {
	period := len(dst)
	values := period/2 + 1
	g.collect()
	for _, k := range orders {
		g.term(s, k, values)
	}
	cos, sin := room[:values], room[values:2*values]
	g.cosines.over(cos, s.mean)
	g.sines.over(sin, 0)
	dst[0] = cos[0]
	for j := 1; j < values; j++ {
		dst[j], dst[period-j] = cos[j]+sin[j], cos[j]-sin[j]
	}
	if period%2 == 0 {
		dst[period/2] = cos[period/2]
	}
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

// term is a row of a table and what it is multiplied by.
type term struct {
	f   float64
	row []float64
}

// terms are to be summed.
type terms []term

func (g *Grid) collect() { g.cosines, g.sines = g.cosines[:0], g.sines[:0] }

// term collects what one order adds to the first values of a period.
func (g *Grid) term(s series, k, values int) {
	if k >= len(g.rows) || len(g.rows[k].cos) < values {
		g.grow(k, values)
	}
	c, r := s.of[k], &g.rows[k]
	if a := real(c); a != 0 {
		g.cosines = append(g.cosines, term{s.f * a, r.cos[:values]})
	}
	if b := imag(c); b != 0 {
		g.sines = append(g.sines, term{-s.f * b, r.sin[:values]})
	}
}

// over sums the terms, four at a time.
func (t terms) over(to []float64, mean float64) {
	fill(to, mean)
	for ; len(t) >= 4; t = t[4:] {
		add(to, (*[4]term)(t))
	}
	for _, one := range t {
		addScaled(to, one)
	}
}

// row has the first cosines and sines at multiples of an order, to be read from front to back.
type row struct{ cos, sin []float64 }

// grow keeps the rows of an order up to some values.
func (g *Grid) grow(k, values int) {
	for len(g.rows) <= k {
		g.rows = append(g.rows, row{})
	}
	r := &g.rows[k]
	for j := len(r.cos); j < values; j++ {
		at := j * k % g.n
		r.cos, r.sin = append(r.cos, g.cos[at]), append(r.sin, g.sin[at])
	}
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
