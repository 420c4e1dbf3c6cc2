package balance

import (
	"errors"
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/mat"
)

// ErrNoConvergence is returned where the search under a limit does not reach its accuracy.
var ErrNoConvergence = errors.New("the best counterweights under a limit were not found to the stated accuracy")

const (
	softest  = 1e-10 // weight of the sum of squares of the unbalances beside the measure, at the end
	gapShare = 1e-9  // accuracy of the measure, as a share of what it is without counterweights
)

// limited returns the best unbalances of at most limit each.
//
//	minimise ½ |want − rows u|² + ½ ε |u|²,  |u_j| ≤ limit
//
// For a residual ν the unbalances are u_j = ν·rows_j / ε, cut at the limit; the residual is found by Newton
// steps on the dual, four numbers however many webs there are, with ε falling from 1. What is left to gain is
// bounded at the end, and should it be too much, webs are improved one at a time.
func (p reach) limited(limit float64) ([]complex128, error) {
	size := 0.0
	for i := range p.rows {
		for _, a := range p.rows[i] {
			size = math.Hypot(size, a)
		}
	}
	q := reach{want: [2]complex128{p.want[0] / complex(size*limit, 0), p.want[1] / complex(size*limit, 0)}}
	for i := range p.rows {
		for _, a := range p.rows[i] {
			q.rows[i] = append(q.rows[i], a/size)
		}
	}
	us := make([]complex128, len(p.rows[0]))
	ν := q.want
	for ε := 1.0; ε > softest/2; ε /= 10 {
		ν = q.dual(us, ν, ε)
	}
	enough := gapShare * (square(q.want[0]) + square(q.want[1])) / 2
	for sweep := 0; q.gap(us) > enough; sweep++ {
		if sweep == 100000 {
			return nil, ErrNoConvergence
		}
		q.improve(us)
	}
	for j := range us {
		us[j] *= complex(limit, 0)
	}
	return us, nil
}

// along returns ν·rows_j.
func (p reach) along(ν [2]complex128, j int) complex128 {
	return ν[0]*complex(p.rows[0][j], 0) + ν[1]*complex(p.rows[1][j], 0)
}

// cut returns z, or the number of size 1 in its direction where it is longer.
func cut(z complex128) complex128 {
	if size := cmplx.Abs(z); size > 1 {
		return z / complex(size, 0)
	}
	return z
}

// dual maximises  Re(ν·conj want) − ½|ν|² − Σ_j h(ν·rows_j),  h(z) = |z|²/2ε for |z| ≤ ε, else |z| − ε/2,
// from a start and puts the unbalances that belong to ν into us.
func (p reach) dual(us []complex128, ν [2]complex128, ε float64) [2]complex128 {
	value := func(ν [2]complex128) float64 {
		v := 0.0
		for i := range ν {
			v += real(ν[i])*real(p.want[i]) + imag(ν[i])*imag(p.want[i]) - square(ν[i])/2
		}
		for j := range us {
			z := cmplx.Abs(p.along(ν, j))
			if z <= ε {
				v -= z * z / (2 * ε)
			} else {
				v -= z - ε/2
			}
		}
		return v
	}
	best := value(ν)
	for range 100 {
		step, ok := p.newton(ν, ε)
		if !ok {
			break
		}
		shorter := 1.0
		next, v := ν, best
		for range 60 {
			for i := range next {
				next[i] = ν[i] + step[i]*complex(shorter, 0)
			}
			if v = value(next); v > best {
				break
			}
			shorter /= 2
		}
		if !(v > best) {
			break
		}
		ν, best = next, v
	}
	for j := range us {
		us[j] = cut(p.along(ν, j) / complex(ε, 0))
	}
	return ν
}

// newton returns the Newton step of the dual.
func (p reach) newton(ν [2]complex128, ε float64) (step [2]complex128, ok bool) {
	g := [4]float64{}
	for i := range ν {
		g[2*i], g[2*i+1] = real(p.want[i]-ν[i]), imag(p.want[i]-ν[i])
	}
	h := mat.NewSymDense(4, nil)
	for k := range 4 {
		h.SetSym(k, k, 1)
	}
	for j := range p.rows[0] {
		z := p.along(ν, j)
		u := cut(z / complex(ε, 0))
		curve := [2][2]float64{{1 / ε, 0}, {0, 1 / ε}}
		if size := cmplx.Abs(z); size > ε {
			x, y := real(u), imag(u)
			curve = [2][2]float64{{y * y / size, -x * y / size}, {-x * y / size, x * x / size}}
		}
		for k := range 4 {
			a := p.rows[k/2][j]
			g[k] -= a * [2]float64{real(u), imag(u)}[k%2]
			for l := k; l < 4; l++ {
				h.SetSym(k, l, h.At(k, l)+a*p.rows[l/2][j]*curve[k%2][l%2])
			}
		}
	}
	var c mat.Cholesky
	if !c.Factorize(h) { //nolint:misspell // gonum spells it so
		return step, false
	}
	var x mat.VecDense
	if err := c.SolveVecTo(&x, mat.NewVecDense(4, g[:])); err != nil && math.IsNaN(x.AtVec(0)) {
		return step, false // a poor condition number is no reason to stop
	}
	for i := range step {
		step[i] = complex(x.AtVec(2*i), x.AtVec(2*i+1))
	}
	return step, true
}

// gap bounds what the measure could still fall by, all unbalances being 1 at most:
//
//	Σ_j |rows_j·r| − Re( conj u_j rows_j·r ),  r the residual
func (p reach) gap(us []complex128) float64 {
	r := p.residual(us)
	sum := 0.0
	for j, u := range us {
		z := p.along(r, j)
		sum += cmplx.Abs(z) - real(u)*real(z) - imag(u)*imag(z)
	}
	return sum
}

// improve sets each unbalance to the best that the others allow.
func (p reach) improve(us []complex128) {
	r := p.residual(us)
	for j := range us {
		a := p.rows[0][j]*p.rows[0][j] + p.rows[1][j]*p.rows[1][j]
		if a == 0 {
			continue
		}
		u := cut(us[j] + p.along(r, j)/complex(a, 0))
		for i := range r {
			r[i] -= complex(p.rows[i][j], 0) * (u - us[j])
		}
		us[j] = u
	}
}
