package gas

import "math"

// nCarried is how many numbers one cycle hands to the next [1].
const nCarried = 6

// carried is the state that one cycle hands to the next, as numbers of the size of one.
type carried [nCarried]float64

// scaled returns a state over the size of its parts.
func (g gasState) scaled(size *gasState) carried {
	return carried{g.T / size.T, g.m / size.m, g.b, g.fuel.φ, g.manifold.T / size.manifold.T, g.manifold.burned}
}

// remembered is how many earlier cycles the acceleration makes use of.
const remembered = 3

// accelerator finds the state that a cycle does not change from the cycles seen so far (Anderson's mixing): the
// combination of their ends whose change over a cycle is least.
type accelerator struct {
	size   gasState
	n      int
	change [remembered + 1]carried // newest first
	end    [remembered + 1]carried
}

// next returns the state for the next cycle from the begin and the end of this one.
func (a *accelerator) next(begin, end gasState) gasState {
	if a.n == 0 {
		a.size = end
	}
	copy(a.change[1:], a.change[:])
	copy(a.end[1:], a.end[:])
	from := begin.scaled(&a.size)
	a.end[0] = end.scaled(&a.size)
	for i := range from {
		a.change[0][i] = a.end[0][i] - from[i]
	}
	if a.n++; a.n > 1 && a.change[0].norm() > a.change[1].norm() {
		a.n = 1 // it leads away: forget
	}
	used := min(a.n-1, remembered)
	γ, ok := a.mix(used)
	if !ok {
		return end
	}
	x := a.end[0]
	for k := range used {
		for i := range x {
			x[i] -= γ[k] * (a.end[k][i] - a.end[k+1][i])
		}
	}
	mixed := end
	mixed.T, mixed.m, mixed.b, mixed.fuel.φ = x[0]*a.size.T, x[1]*a.size.m, x[2], x[3]
	mixed.manifold = exhausted{T: x[4] * a.size.manifold.T, burned: x[5]}
	for i := range x { // nothing that a plain cycle would not come near to
		if !(math.Abs(x[i]-a.end[0][i]) <= 0.3) {
			return end
		}
	}
	if x[2] < 0 || x[2] > 1 || x[3] < 0 || x[3] > 1 || x[5] < 0 || x[5] > 1 {
		return end
	}
	return mixed
}

// mix solves the least squares for the weights of the differences of changes, by normal equations.
func (a *accelerator) mix(used int) (γ [remembered]float64, ok bool) {
	var m [remembered][remembered + 1]float64
	diff := func(k, i int) float64 { return a.change[k][i] - a.change[k+1][i] }
	for k := range used {
		for l := range used {
			for i := range nCarried {
				m[k][l] += diff(k, i) * diff(l, i)
			}
		}
		for i := range nCarried {
			m[k][remembered] += diff(k, i) * a.change[0][i]
		}
		m[k][k] *= 1 + 1e-10 // differences that are nearly parallel
	}
	for k := range used { // elimination: the matrix is positive definite
		if !(m[k][k] > 0) {
			return γ, false
		}
		for l := k + 1; l < used; l++ {
			f := m[l][k] / m[k][k]
			for c := k; c <= remembered; c++ {
				m[l][c] -= f * m[k][c]
			}
		}
	}
	for k := used - 1; k >= 0; k-- {
		γ[k] = m[k][remembered]
		for l := k + 1; l < used; l++ {
			γ[k] -= m[k][l] * γ[l]
		}
		γ[k] /= m[k][k]
	}
	return γ, used > 0
}

func (c carried) norm() float64 {
	sum := 0.0
	for _, x := range c {
		sum += x * x
	}
	return math.Sqrt(sum)
}
