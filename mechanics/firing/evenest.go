package firing

import (
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// price is what a schedule, or a part of one, costs in the search for the best.
type price struct {
	sum        float64 // Σ interval² [rad²]
	neighbours int     // successive firings of neighbours
	sameBank   int     // successive firings in one bank
}

func (p price) plus(q price) price {
	return price{p.sum + q.sum, p.neighbours + q.neighbours, p.sameBank + q.sameBank}
}

// less says whether p is better: more even, then fewer neighbours, then fewer in one bank.
func (p price) less(q price, period float64) bool {
	if d := p.sum - q.sum; d < -sameSum*period*period || d > sameSum*period*period {
		return d < 0
	}
	if p.neighbours != q.neighbours {
		return p.neighbours < q.neighbours
	}
	return p.sameBank < q.sameBank
}

// evenest returns in which revolution each cylinder fires in the most even schedule. Where fixed
// is not nil, cylinder c keeps revolution fixed[c] if that is not negative; otherwise cylinder 0
// fires in the first revolution.
//
// It is a dynamic programme over the cylinders by rising top dead centre. Each joins the first or
// the second revolution behind the one that came last there, so that a part of the work is
// described by the last cylinder of each revolution and the first of each; the first of all is the
// first of its revolution. That makes 2 (N+1)² states a step, and every sum of successions is
// counted exactly once.
func (r *ring) evenest(fixed []int, q succession) []int {
	n := len(r.sorted)
	rev := make([]int, n)
	if r.cycle == layout.TwoStroke {
		return rev
	}
	e := evenest{ring: r, q: q, n: n, fixed: fixed, period: float64(r.cycle.Period())}
	free := true
	for _, f := range fixed {
		free = free && f < 0
	}
	var best price
	found := false
	for first := range 2 {
		if !e.allowed(0, first) || first == 1 && free {
			continue
		}
		if cost, revs := e.run(first); !found || cost.less(best, e.period) {
			best, found = cost, true
			copy(rev, revs)
		}
	}
	if free && rev[0] == 1 {
		for c := range rev {
			rev[c] = 1 - rev[c]
		}
	}
	return rev
}

type evenest struct {
	ring   *ring
	q      succession
	n      int
	fixed  []int
	period float64
}

func (e *evenest) allowed(place, revolution int) bool {
	if e.fixed == nil {
		return true
	}
	f := e.fixed[e.ring.sorted[place]]
	return f < 0 || f == revolution
}

// price returns the price of the cylinder at place b following that at place a, with whole
// revolutions between their top dead centres added.
func (e *evenest) price(a, b, turns int) price {
	ca, cb := e.ring.sorted[a], e.ring.sorted[b]
	g := float64(e.ring.tdc[cb] - e.ring.tdc[ca] + num.Turn*num.Angle(turns))
	p := price{sum: g * g}
	if a != b && e.q.adjacent(ca, cb) {
		p.neighbours = 1
	}
	if a != b && e.q.sameBank(ca, cb) {
		p.sameBank = 1
	}
	return p
}

// state numbers what matters of a part of the work: the revolution of the place just done, the
// last place in the other revolution and the first place in the revolution that place 0 is not in
// (−1: none yet).
func (e *evenest) state(revolution, other, first int) int {
	return (revolution*(e.n+1)+other+1)*(e.n+1) + first + 1
}

func (e *evenest) parts(state int) (revolution, other, first int) {
	m := e.n + 1
	return state / (m * m), state/m%m - 1, state%m - 1
}

// run solves the problem with place 0 in a given revolution.
func (e *evenest) run(revolution0 int) (price, []int) {
	states := 2 * (e.n + 1) * (e.n + 1)
	from := make([][]int32, e.n)
	now, next := make([]price, states), make([]price, states)
	from[0] = newFrom(states)
	start := e.state(revolution0, -1, -1)
	from[0][start] = int32(start)
	for p := 0; p+1 < e.n; p++ {
		from[p+1] = newFrom(states)
		for s, origin := range from[p] {
			if origin < 0 {
				continue
			}
			revolution, other, first := e.parts(s)
			for to := range 2 {
				if !e.allowed(p+1, to) {
					continue
				}
				cost := now[s]
				var t int
				switch {
				case to == revolution:
					cost = cost.plus(e.price(p, p+1, 0))
					t = e.state(to, other, first)
				case other < 0:
					t = e.state(to, p, p+1)
				default:
					cost = cost.plus(e.price(other, p+1, 0))
					t = e.state(to, p, first)
				}
				if from[p+1][t] < 0 || cost.less(next[t], e.period) {
					from[p+1][t], next[t] = int32(s), cost
				}
			}
		}
		now, next = next, now
	}
	var best price
	end := -1
	for s, origin := range from[e.n-1] {
		if origin < 0 {
			continue
		}
		if cost := now[s].plus(e.closing(s, revolution0)); end < 0 || cost.less(best, e.period) {
			best, end = cost, s
		}
	}
	rev := make([]int, e.n)
	for p, s := e.n-1, end; p >= 0; p-- {
		rev[e.ring.sorted[p]], _, _ = e.parts(s)
		s = int(from[p][s])
	}
	return best, rev
}

// closing returns the price of the steps from each revolution to the next.
func (e *evenest) closing(state, revolution0 int) price {
	revolution, other, first := e.parts(state)
	last := e.n - 1
	if first < 0 {
		return e.price(last, 0, 2)
	}
	last0, last1 := last, other // of the revolution that place 0 is in, and of the other
	if revolution != revolution0 {
		last0, last1 = other, last
	}
	return e.price(last0, first, 1).plus(e.price(last1, 0, 1))
}

func newFrom(n int) []int32 {
	f := make([]int32, n)
	for i := range f {
		f[i] = -1
	}
	return f
}
