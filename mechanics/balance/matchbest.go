package balance

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// matchRounding is the share of J by which an assignment must be better to count as better [1].
const matchRounding = 1e-12

// bestOf returns the best of all assignments, given a good one.
//
// The residual is x + y, where x is the sum of one side and y that of the other with all that is fixed:
// n! points x and n! points y, and the best assignment is the pair with the least ‖x + y‖. The points x
// stand in a tree of boxes. For every y the tree is searched for the x nearest to −y; a box is left out
// only if the distance from −y to the box is not less than the best ‖x + y‖ known. Every x in the box is
// at least as far from −y as the box itself, so nothing better is ever left out: what is found is the
// least of all n!² pairs, to a share of 1e-12 of J, the rounding of the sums, which keeps equal
// assignments from being looked at over and over. A good start only leaves out more boxes.
func (p *places) bestOf(start chosen) chosen {
	best := start.clone()
	least := squareOf(p.residual(nil, start))
	if len(p.sides) == 1 {
		sums, order := p.sums(0, p.fixed)
		for i := range order.count {
			if j := squareOf(sums.at(i)); j < least*(1-matchRounding) {
				least, best[0] = j, order.of(i)
			}
		}
		return best
	}
	x, xs := p.sums(0, make([]float64, len(p.fixed)))
	y, ys := p.sums(1, p.fixed)
	turn := principal(x)
	x.turn(turn)
	y.turn(turn)
	tree := newBoxes(x)
	query := make([]float64, len(p.fixed))
	for i := range ys.count {
		for j, v := range y.at(i) {
			query[j] = -v
		}
		if j := tree.nearest(query, &least); j >= 0 {
			best[0], best[1] = xs.of(j), ys.of(i)
		}
	}
	return best
}

// matchPoints are many vectors of equal length, one behind the other.
type matchPoints struct {
	width int
	data  []float64
}

func (q matchPoints) at(i int) []float64 { return q.data[i*q.width : (i+1)*q.width] }

// turn multiplies every point by an orthogonal matrix.
func (q matchPoints) turn(by *mat.Dense) {
	all := mat.NewDense(len(q.data)/q.width, q.width, q.data)
	var turned mat.Dense
	turned.Mul(all, by)
	all.Copy(&turned)
}

// permutations are all permutations of n parts, one behind the other.
type permutations struct {
	n, count int
	data     []uint8
}

func (q permutations) of(i int) []int {
	out := make([]int, q.n)
	for c := range out {
		out[c] = int(q.data[i*q.n+c])
	}
	return out
}

// sums returns the sums of one side over all permutations, each with the same start.
func (p *places) sums(s int, start []float64) (matchPoints, permutations) {
	width := len(start)
	sums, order := matchPoints{width: width}, permutations{n: p.n}
	partial := make([][]float64, p.n+1)
	for i := range partial {
		partial[i] = make([]float64, width)
	}
	copy(partial[0], start)
	parts := make([]uint8, p.n)
	used := make([]bool, p.n)
	var place func(c int)
	place = func(c int) {
		if c == p.n {
			sums.data = append(sums.data, partial[c]...)
			order.data = append(order.data, parts...)
			order.count++
			return
		}
		for part := range p.n {
			if used[part] {
				continue
			}
			used[part], parts[c] = true, uint8(part) //nolint:gosec // less than MostProven
			v := p.sides[s][c][part]
			for i, x := range partial[c] {
				partial[c+1][i] = x + v[i]
			}
			place(c + 1)
			used[part] = false
		}
	}
	place(0)
	return sums, order
}

// principal returns the axes along which points scatter, as the columns of an orthogonal matrix: in them the
// boxes of the tree are tight.
func principal(q matchPoints) *mat.Dense {
	n := len(q.data) / q.width
	mean := make([]float64, q.width)
	for i := range n {
		accumulate(mean, q.at(i), 1/float64(n))
	}
	cov := mat.NewSymDense(q.width, nil)
	for i := range n {
		v := q.at(i)
		for a := range v {
			for b := a; b < q.width; b++ {
				cov.SetSym(a, b, cov.At(a, b)+(v[a]-mean[a])*(v[b]-mean[b]))
			}
		}
	}
	var e mat.EigenSym
	axes := mat.NewDense(q.width, q.width, nil)
	if !e.Factorize(cov, true) {
		for i := range q.width {
			axes.Set(i, i, 1)
		}
		return axes
	}
	var up mat.Dense
	e.VectorsTo(&up)
	for i := range q.width { // the widest first, so that a distance grows soon
		axes.SetCol(i, mat.Col(nil, q.width-1-i, &up))
	}
	return axes
}

// boxes is a tree of boxes round points.
type boxes struct {
	points matchPoints
	order  []int // the points, each leaf's one behind the other
	nodes  []box
	limits []float64 // lowest and highest corner of each node
}

type box struct {
	from, to    int // of order
	left, right int // nodes; 0: a leaf
}

// leafSize is the number of points that are looked at one by one.
const leafSize = 12

func newBoxes(q matchPoints) *boxes {
	b := &boxes{points: q}
	for i := range len(q.data) / q.width {
		b.order = append(b.order, i)
	}
	b.grow(0, len(b.order))
	return b
}

// grow makes the node of a run of points and returns its place.
func (b *boxes) grow(from, to int) int {
	w := b.points.width
	place := len(b.nodes)
	b.nodes = append(b.nodes, box{from: from, to: to})
	first := b.points.at(b.order[from])
	b.limits = append(append(b.limits, first...), first...)
	low := b.limits[2*w*place : 2*w*place+w]
	high := b.limits[2*w*place+w : 2*w*place+2*w]
	for _, i := range b.order[from+1 : to] {
		for j, v := range b.points.at(i) {
			low[j], high[j] = min(low[j], v), max(high[j], v)
		}
	}
	if to-from <= leafSize {
		return place
	}
	widest := 0
	for j := range low {
		if high[j]-low[j] > high[widest]-low[widest] {
			widest = j
		}
	}
	slices.SortFunc(b.order[from:to], func(i, k int) int {
		switch x, y := b.points.at(i)[widest], b.points.at(k)[widest]; {
		case x < y:
			return -1
		case x > y:
			return 1
		}
		return i - k
	})
	middle := (from + to) / 2
	left := b.grow(from, middle)
	right := b.grow(middle, to)
	b.nodes[place].left, b.nodes[place].right = left, right
	return place
}

// distance is the square of the distance from a point to a box.
func (b *boxes) distance(node int, at []float64, limit float64) float64 {
	w := len(at)
	low, high := b.limits[2*w*node:2*w*node+w], b.limits[2*w*node+w:2*w*node+2*w]
	sum := 0.0
	for j, v := range at {
		if d := low[j] - v; d > 0 {
			sum += d * d
		} else if d := v - high[j]; d > 0 {
			sum += d * d
		}
		if sum >= limit {
			break
		}
	}
	return sum
}

// nearest returns the point nearest to a place if the square of its distance is less than the least known, by
// more than rounding, and lowers that; otherwise −1.
func (b *boxes) nearest(at []float64, least *float64) int {
	found := -1
	var visit func(node int)
	visit = func(node int) {
		n := b.nodes[node]
		if n.left == 0 {
			for _, i := range b.order[n.from:n.to] {
				sum := 0.0
				for j, v := range b.points.at(i) {
					d := v - at[j]
					sum += d * d
				}
				if sum < *least*(1-matchRounding) {
					*least, found = sum, i
				}
			}
			return
		}
		near, far := n.left, n.right
		dn, df := b.distance(near, at, math.Inf(1)), b.distance(far, at, math.Inf(1))
		if df < dn {
			near, far, dn, df = far, near, df, dn
		}
		if dn < *least*(1-matchRounding) {
			visit(near)
		}
		if df < *least*(1-matchRounding) {
			visit(far)
		}
	}
	if b.distance(0, at, *least) < *least*(1-matchRounding) {
		visit(0)
	}
	return found
}
