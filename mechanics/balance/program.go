package balance

import "math"

// rows is the number of components of a two-plane unbalance.
const rows = 4

// program is a small linear programme with bounds,
//
//	minimise  ½ |A u − b|² + ε c·u       0 ≤ u ≤ top
//
// with ε so small that the residual comes first and the cost decides among equal residuals. It is
// solved by an active set: free variables have independent columns, so that there are four at most; a
// column that depends on them is exchanged as in the simplex method.
type program struct {
	columns   [][rows]float64
	aim       [rows]float64
	top, cost []float64

	u    []float64
	free []int
	at   []bound
}

type bound int

const (
	low bound = iota
	high
	moving
)

const (
	priceOfCost = 1e-8 // ε, the sizes of columns and cost being 1
	stillGains  = 1e-4 // of ε: what a variable must gain to be moved
	dependent   = 1e-7
)

// solve returns the variables.
func (p *program) solve() []float64 {
	n := len(p.columns)
	p.normalise()
	p.u, p.at, p.free = make([]float64, n), make([]bound, n), nil
	for range 200 + 50*n {
		if !p.descend() {
			continue
		}
		j, sign := p.entering()
		if j < 0 {
			break
		}
		y, off := p.express(p.columns[j])
		if off > dependent*norm(p.columns[j]) {
			p.at[j] = moving
			p.free = append(p.free, j)
			continue
		}
		p.exchange(j, sign, y)
	}
	out := make([]float64, n)
	for i := range out {
		out[i] = p.u[i] * p.top[i]
	}
	return out
}

// normalise scales the variables to a top of one, and the largest column and cost to one.
func (p *program) normalise() {
	columns, cost := make([][rows]float64, len(p.columns)), make([]float64, len(p.cost))
	size, dear := norm(p.aim), 0.0
	for i := range columns {
		for r := range rows {
			columns[i][r] = p.columns[i][r] * p.top[i]
		}
		cost[i] = p.cost[i] * p.top[i]
		size, dear = math.Max(size, norm(columns[i])), math.Max(dear, cost[i])
	}
	for i := range columns {
		for r := range rows {
			columns[i][r] /= size
		}
		cost[i] /= dear
	}
	for r := range rows {
		p.aim[r] /= size
	}
	p.columns, p.cost = columns, cost
}

// residual returns b − A u, or that of the fixed variables alone.
func (p *program) residual(fixedOnly bool) [rows]float64 {
	r := p.aim
	for i, u := range p.u {
		if u == 0 || fixedOnly && p.at[i] == moving {
			continue
		}
		for k := range rows {
			r[k] -= u * p.columns[i][k]
		}
	}
	return r
}

// descend moves the free variables towards their best values and reports whether it got there; a
// variable that meets a bound on the way is fixed.
func (p *program) descend() bool {
	if len(p.free) == 0 {
		return true
	}
	r := p.residual(true)
	var right [rows]float64
	for a, i := range p.free {
		right[a] = dot4(p.columns[i], r) - priceOfCost*p.cost[i]
	}
	want := p.normal(right)
	for a, d := range p.normal(p.gradient(r, want)) { // one refinement
		want[a] += d
	}
	step, hit, to := 1.0, -1, low
	for a, i := range p.free {
		d := want[a] - p.u[i]
		switch {
		case want[a] < 0 && -p.u[i]/d < step:
			step, hit, to = -p.u[i]/d, a, low
		case want[a] > 1 && (1-p.u[i])/d < step:
			step, hit, to = (1-p.u[i])/d, a, high
		}
	}
	for a, i := range p.free {
		p.u[i] += step * (want[a] - p.u[i])
	}
	if hit < 0 {
		return true
	}
	p.fix(hit, to)
	return false
}

// gradient returns what the normal equations still miss at values of the free variables.
func (p *program) gradient(r, want [rows]float64) (g [rows]float64) {
	for a, i := range p.free {
		for k := range rows {
			r[k] -= want[a] * p.columns[i][k]
		}
	}
	for a, i := range p.free {
		g[a] = dot4(p.columns[i], r) - priceOfCost*p.cost[i]
	}
	return g
}

// fix puts a free variable on a bound.
func (p *program) fix(a int, to bound) {
	i := p.free[a]
	p.at[i], p.u[i] = to, 0
	if to == high {
		p.u[i] = 1
	}
	p.free = append(p.free[:a], p.free[a+1:]...)
}

// entering returns the fixed variable that gains most, and whether up or down; −1 where none gains.
func (p *program) entering() (j int, sign float64) {
	r := p.residual(false)
	j, most := -1, 0.0
	for i := range p.columns {
		gain := dot4(p.columns[i], r) - priceOfCost*p.cost[i]
		if p.at[i] == high {
			gain = -gain
		}
		if p.at[i] == moving || gain <= stillGains*priceOfCost*(p.cost[i]+norm(p.columns[i])) {
			continue
		}
		if gain > most*(1+1e-9) {
			j, most, sign = i, gain, 1
			if p.at[i] == high {
				sign = -1
			}
		}
	}
	return j, sign
}

// exchange moves variable j, whose column the free ones make up with the shares y, and them against it:
// the residual stays. What meets its bound first is fixed.
func (p *program) exchange(j int, sign float64, y [rows]float64) {
	step, hit, to := 1.0, -1, low
	for a, i := range p.free {
		switch d := -sign * y[a]; {
		case d < -dependent && p.u[i]/-d < step:
			step, hit, to = p.u[i]/-d, a, low
		case d > dependent && (1-p.u[i])/d < step:
			step, hit, to = (1-p.u[i])/d, a, high
		}
	}
	p.u[j] += sign * step
	for a, i := range p.free {
		p.u[i] = math.Max(0, math.Min(1, p.u[i]-sign*step*y[a]))
	}
	if hit < 0 { // j went from one bound to the other
		p.at[j] = high
		if sign < 0 {
			p.at[j] = low
		}
		return
	}
	p.fix(hit, to)
	p.at[j] = moving
	p.free = append(p.free, j)
}

// express returns the shares of the free columns that come nearest to a column, and how far off they are.
func (p *program) express(c [rows]float64) (y [rows]float64, off float64) {
	var right [rows]float64
	for a, i := range p.free {
		right[a] = dot4(p.columns[i], c)
	}
	y = p.normal(right)
	for a, i := range p.free {
		for k := range rows {
			c[k] -= y[a] * p.columns[i][k]
		}
	}
	return y, norm(c)
}

// normal solves the normal equations of the free columns by Gauss with the largest pivot.
func (p *program) normal(right [rows]float64) [rows]float64 {
	n := len(p.free)
	var m [rows][rows]float64
	for a, i := range p.free {
		for b, j := range p.free {
			m[a][b] = dot4(p.columns[i], p.columns[j])
		}
	}
	for k := range n {
		best := k
		for a := k + 1; a < n; a++ {
			if math.Abs(m[a][k]) > math.Abs(m[best][k]) {
				best = a
			}
		}
		m[k], m[best] = m[best], m[k]
		right[k], right[best] = right[best], right[k]
		if m[k][k] == 0 {
			continue
		}
		for a := k + 1; a < n; a++ {
			f := m[a][k] / m[k][k]
			for b := k; b < n; b++ {
				m[a][b] -= f * m[k][b]
			}
			right[a] -= f * right[k]
		}
	}
	for k := n - 1; k >= 0; k-- {
		for b := k + 1; b < n; b++ {
			right[k] -= m[k][b] * right[b]
		}
		if m[k][k] == 0 {
			right[k] = 0
			continue
		}
		right[k] /= m[k][k]
	}
	return right
}

func dot4(a, b [rows]float64) float64 {
	return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] + a[3]*b[3]
}

func norm(a [rows]float64) float64 { return math.Sqrt(dot4(a, a)) }
