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
	hardest  = 1e-15 // the same, where the accuracy asks for less
	gapShare = 1e-9  // accuracy of the measure, as a share of what it is without counterweights
)

// limited returns the best unbalances of at most limit each.
//
//	minimise ½ |want − rows u|² + ½ soft |u|²,  |u_j| ≤ limit
//
// With what rests, rest = want − rows u, the unbalances are u_j = rest·rows_j / soft, cut at the limit. So only the
// four numbers of rest are unknown, however many webs there are: they are found by Newton steps on the dual,
// with soft falling from 1. What is left to gain is bounded at the end, and should it be too much, webs are
// improved one at a time.
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
	rest := q.want
	for soft := 1.0; soft > softest/2; soft /= 10 {
		rest = q.dual(us, rest, soft)
	}
	enough := gapShare * (square(q.want[0]) + square(q.want[1])) / 2
	for soft := softest / 10; soft > hardest/2 && q.gap(us) > enough; soft /= 10 {
		rest = q.dual(us, rest, soft)
	}
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

// along returns rest·rows_j.
func (p reach) along(rest [2]complex128, j int) complex128 {
	return rest[0]*complex(p.rows[0][j], 0) + rest[1]*complex(p.rows[1][j], 0)
}

// cut returns z, or the number of size 1 in its direction where it is longer.
func cut(z complex128) complex128 {
	if size := cmplx.Abs(z); size > 1 {
		return z / complex(size, 0)
	}
	return z
}

// dual maximises  Re(rest·conj want) − ½|rest|² − Σ_j h(rest·rows_j),  h(z) = |z|²/2soft for |z| ≤ soft, else |z| − soft/2,
// from a start and puts the unbalances that belong to rest into us.
func (p reach) dual(us []complex128, rest [2]complex128, soft float64) [2]complex128 {
	value := func(rest [2]complex128) float64 {
		v := 0.0
		for i := range rest {
			v += real(rest[i])*real(p.want[i]) + imag(rest[i])*imag(p.want[i]) - square(rest[i])/2
		}
		for j := range us {
			z := cmplx.Abs(p.along(rest, j))
			if z <= soft {
				v -= z * z / (2 * soft)
			} else {
				v -= z - soft/2
			}
		}
		return v
	}
	best := value(rest)
	for range 100 {
		step, ok := p.newton(rest, soft)
		if !ok {
			break
		}
		shorter := 1.0
		next, v := rest, best
		for range 60 {
			for i := range next {
				next[i] = rest[i] + step[i]*complex(shorter, 0)
			}
			if v = value(next); v > best {
				break
			}
			shorter /= 2
		}
		if !(v > best) {
			break
		}
		rest, best = next, v
	}
	for j := range us {
		us[j] = cut(p.along(rest, j) / complex(soft, 0))
	}
	return rest
}

// newton returns the Newton step of the dual.
func (p reach) newton(rest [2]complex128, soft float64) (step [2]complex128, ok bool) {
	g := [4]float64{}
	for i := range rest {
		g[2*i], g[2*i+1] = real(p.want[i]-rest[i]), imag(p.want[i]-rest[i])
	}
	h := mat.NewSymDense(4, nil)
	for k := range 4 {
		h.SetSym(k, k, 1)
	}
	for j := range p.rows[0] {
		z := p.along(rest, j)
		u := cut(z / complex(soft, 0))
		curve := [2][2]float64{{1 / soft, 0}, {0, 1 / soft}}
		if size := cmplx.Abs(z); size > soft {
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
	if !c.Factorize(h) {
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
