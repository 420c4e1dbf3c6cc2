package num

// Term is a row of numbers, such as half a period of a curve, and what it is multiplied by.
type Term struct {
	Factor float64   // [any unit]
	Row    []float64 // [any unit]
}

// Halved writes the orders of a series that repeat after half a revolution, or those that change sign then, at every angle of
// one revolution. Other orders, a mean too, are left out.
//
//   - dst: receives the result; nil allocates
//   - s: the series [any unit]; it must be shorter than the grid has angles, else it panics
//   - turning: whether what changes sign is wanted, orders 1, 3, 5 …; else orders 2, 4, 6 … [-]
//
// Result [unit of s], of half the grid's length; empty where no such order occurs. Definition.
func (g *Grid) Halved(dst []float64, s Series, turning bool) []float64 {
	g.fits(s)
	lowest := 4
	if turning {
		lowest = 2
	}
	g.orders = g.orders[:0]
	for k := lowest; k < len(s); k += 4 {
		if s[k] != 0 {
			g.orders = append(g.orders, k)
			g.grow(k)
		}
	}
	if len(g.orders) == 0 {
		return dst[:0]
	}
	turn := g.n / 2
	if cap(dst) < turn {
		dst = make([]float64, turn)
	}
	dst = dst[:turn]
	if turning {
		g.fold(dst, series{of: s, f: 1}, g.orders, lowest, g.room)
		return dst
	}
	g.mirror(dst[:turn/2], series{of: s, f: 1}, g.orders, g.room)
	copy(dst[turn/2:], dst[:turn/2])
	return dst
}

// Whole writes a curve that is a sum of rows over half a revolution.
//
//	dst_j = Σ steady_j + Σ turning_j, half a revolution on Σ steady_j − Σ turning_j
//
// with
//   - dst: receives the result, of the grid's length; nil allocates
//   - steady, turning: terms of what repeats after half a revolution and of what changes sign then; every row has at least
//     a quarter of the grid's length, else it panics [any one unit]
//
// Result [that unit]. Definition.
func (g *Grid) Whole(dst []float64, steady, turning []Term) []float64 {
	if cap(dst) < g.n {
		dst = make([]float64, g.n)
	}
	dst = dst[:g.n]
	double(dst, steady, turning)
	return dst
}
