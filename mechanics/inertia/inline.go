package inertia

import (
	"math"
	"math/cmplx"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Engines whose cylinders stand in line, upright or level and without an offset, are most of all. The harmonics of their force
// from the second order on are real and the same with the crank and against it, those of torque and roll moment imaginary, and
// all cylinders have one direction:
//
//	X_n = Σ c_n Σ e^{inφ}   W⁺_n = i e^{iβ} X_n   W⁻_n = i e^{iβ} conj X_n
//
// so that there are a few real numbers an order to add up and to compare with rounding, and four of them go at once.

// inline is such an engine from the second order on.
type inline struct {
	groups        []group
	n, most       int        // the next order and the last one [1]
	place, across [4]float64 // i e^{iβ} for force and moment: real part and imaginary part, each twice [1]
	ahead, back   [4]float64 // signs that turn a phasor by a quarter and that mirror it
	to            [6]*complex128
	left          [2][4]int64 // how many orders do not cancel: of force and moment, of torque and roll moment
}

// inLine reports whether a train is such an engine.
func (s *Solver) inLine(t *layout.Train) bool {
	if len(t.Shafts) > 0 || len(s.groups) == 0 {
		return false
	}
	first := &s.groups[0]
	if real(first.place) != 0 && imag(first.place) != 0 {
		return false
	}
	for i := range s.groups {
		if g := &s.groups[i]; g.axis != first.axis || !g.central {
			return false
		}
	}
	return true
}

// addInLine sets every second order from one on.
func (s *Solver) addInLine(b *Balance, n int) {
	j := &s.inline
	if s.setInLine(b, n); n > j.most {
		return
	}
	if num.Wide() {
		addFour(j)
	} else {
		j.plain(b)
	}
	s.orders[0] += int(j.left[0][0])
	s.orders[1] += int(j.left[0][2])
	s.orders[2] += int(j.left[1][0])
	s.orders[3] += int(j.left[1][2])
}

func (s *Solver) setInLine(b *Balance, n int) {
	j := &s.inline
	j.groups, j.n, j.most = s.groups, n, 0
	for i := range s.groups {
		if g := &s.groups[i]; len(g.parts) > 0 {
			j.most = max(j.most, g.orders)
		}
	}
	if n > j.most {
		return
	}
	if p, q := real(s.groups[0].place), imag(s.groups[0].place); j.place[0] != p || j.across[0] != q {
		minus := math.Copysign(0, -1)
		j.place, j.across = [4]float64{p, p, -q, -q}, [4]float64{q, q, p, p}
		j.ahead, j.back = [4]float64{minus, 0, minus, 0}, [4]float64{0, minus, 0, minus}
	}
	j.to = [6]*complex128{&b.Force.With[2*n], &b.Force.Against[2*n], &b.Moment.With[2*n], &b.Moment.Against[2*n], &b.Torque[2*n], &b.Roll[2*n]}
	j.left = [2][4]int64{}
}

// plain does the work one number after the other.
func (j *inline) plain(b *Balance) {
	place, across := complex(j.place[0], j.across[0]), complex(j.place[2], j.across[2])
	for ; j.n <= j.most; j.n += 2 {
		var force, moment, torque, roll complex128
		var w weights
		for i := range j.groups {
			g := &j.groups[i]
			if j.n > g.orders || len(g.parts) == 0 {
				continue
			}
			var turns, arms complex128
			for i := range g.parts {
				p := &g.parts[i]
				u := p.powers[j.n]
				turns += times(u, p.by[0])
				arms += times(u, p.by[2])
			}
			q := &g.at[j.n]
			ahead := complex(-imag(turns), real(turns))
			force += times(turns, real(q.with))
			moment += times(arms, real(q.with))
			torque += times(ahead, imag(q.torque))
			roll += times(ahead, imag(q.roll))
			w.with += q.size.with * g.magnitude[0]
			w.momentWith += q.size.with * g.magnitude[2]
			w.torque += q.size.torque * g.magnitude[0]
			w.roll += q.size.roll * g.magnitude[0]
		}
		k := 2 * j.n
		limit := rounding(k)
		for i, part := range [...]struct {
			x     *complex128
			limit float64
		}{{&force, limit * w.with}, {&moment, limit * w.momentWith}, {&torque, limit * w.torque}, {&roll, limit * w.roll}} {
			if drop(part.x, part.limit) {
				j.left[i/2][i%2*2]++
			}
		}
		b.Force.With[k], b.Force.Against[k] = place*force, place*cmplx.Conj(force)
		b.Moment.With[k], b.Moment.Against[k] = across*moment, across*cmplx.Conj(moment)
		b.Torque[k], b.Roll[k] = torque, roll
	}
}
