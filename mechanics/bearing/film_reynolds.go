package bearing

import (
	"fmt"
	"math"
	"math/cmplx"
)

// Mesh is how finely the film is cut for Reynolds.
type Mesh struct {
	Around int // cells round the journal
	Across int // cells from the middle of the land to its edge
}

// UsualMesh returns the mesh with which the table of corrections was computed.
//
// Result [cells]: twice as many change a force by less than 0.5 %. Definition.
func UsualMesh() Mesh { return Mesh{Around: 192, Across: 12} }

// Start says where the film begins to carry.
type Start int

// The starts of the film. AtWidest is the convention of the published tables of steady bearings; it has no
// meaning for a load that turns or swings, for which FilmAnywhere is used.
const (
	FilmAnywhere Start = iota // wherever the pressure wants to begin
	AtWidest                  // no pressure at the widest gap or across it
)

// Reynolds computes the force of a film of finite width that is squeezed by a journal moving without turning:
//
//	∂/∂a(H³ ∂p/∂a) + ∂/∂z(H³ ∂p/∂z) = −cos(a − γ)    H = 1 − ε cos a    p ≥ 0    p = 0 at z = ±L/D
//
// with
//
//   - width: L/D [-], above 0 and up to 4
//   - ecc: eccentricity ε [-], 0 to 0.999
//   - toward: direction γ of the journal's velocity [rad], from the direction of the eccentricity
//   - start: where the film may begin; AtWidest for a turning journal at rest, γ = ±π/2
//   - mesh: cells, at least 16 by 4 and at most 1000 by 100
//
// where the film ends its pressure and its gradient vanish (Swift and Stieber). A turning journal needs no other
// equation: turning with the mean speed ω of journal and sleeve is like moving with −iωe.
//
// Result [12 μ V R⁴/c³]: ∫∫ p e^{ia} da dz, the load that the film carries; real along the eccentricity. An
// error outside the ranges. Source: BOOKER
func Reynolds(width, ecc, toward float64, start Start, mesh Mesh) (complex128, error) {
	switch {
	case !(width > 0 && width <= widest):
		return 0, fmt.Errorf("a width of %g diameters: more than 0 and at most %d are possible", width, widest)
	case !(ecc >= 0 && ecc <= 0.999):
		return 0, fmt.Errorf("an eccentricity of %g: 0 to 0.999 are possible, such as 0.8", ecc)
	case !(math.Abs(toward) <= 100):
		return 0, fmt.Errorf("a direction of %g rad: -π to π are usual", toward)
	case mesh.Around < 16 || mesh.Across < 4 || mesh.Around > 1000 || mesh.Across > 100:
		return 0, fmt.Errorf("a mesh of %d by %d cells: 16 by 4 to 1000 by 100 are possible", mesh.Around, mesh.Across)
	}
	// The ring is cut where there is no pressure: where the film opens fastest, or at the widest gap.
	cut := toward + math.Pi
	if start == AtWidest {
		cut = -math.Pi
	}
	f := newGrid(width, ecc, cut, mesh)
	if err := f.solve(toward); err != nil {
		return 0, err
	}
	return f.force(), nil
}

// widest is the widest land for which Reynolds is solved [diameters].
const widest = 4

// grid is the film cut into cells; node (i, j) is i·across + j.
type grid struct {
	around, across int // nodes inside
	a, da          []float64
	z, dz          []float64
	flowA          []float64 // H³/Δa from node i−1 to i
	flowZ          []float64 // 1/Δz from node j to j+1
	h3             []float64
	p              []float64
	low, diag      []float64 // of the matrix, split
	film           []bool
}

func newGrid(width, ecc, cut float64, mesh Mesh) *grid {
	n, m := mesh.Around-1, mesh.Across
	f := &grid{around: n, across: m, p: make([]float64, n*m), low: make([]float64, n*m*m), diag: make([]float64, n*m), film: make([]bool, n*m)}
	a := make([]float64, n+2)
	from := stretch(cut, ecc)
	for i := range a {
		a[i] = unstretch(from+2*math.Pi*float64(i)/float64(n+1), ecc)
	}
	cube := func(a float64) float64 { h := 1 - ecc*math.Cos(a); return h * h * h }
	f.a, f.da, f.h3, f.flowA = a[1:n+1], make([]float64, n), make([]float64, n), make([]float64, n+1)
	for i := range f.flowA {
		f.flowA[i] = cube((a[i]+a[i+1])/2) / (a[i+1] - a[i])
	}
	for i := range n {
		f.da[i], f.h3[i] = (a[i+2]-a[i])/2, cube(a[i+1])
	}
	f.z, f.dz, f.flowZ = make([]float64, m+1), make([]float64, m), make([]float64, m)
	for j := range f.z {
		f.z[j] = width * math.Sin(math.Pi/2*float64(j)/float64(m)) // narrow cells at the edge
	}
	for j := range m {
		f.flowZ[j] = 1 / (f.z[j+1] - f.z[j])
		f.dz[j] = (f.z[j+1] - f.z[max(0, j-1)]) / 2
	}
	return f
}

// solve finds the pressure: the film is guessed, the pressure in it solved, nodes with tension leave it and nodes into
// which oil flows without pressure join it, until none does.
func (f *grid) solve(toward float64) error {
	n, m := f.around, f.across
	b := make([]float64, n*m)
	for i := range n {
		for j := range m {
			k := i*m + j
			b[k] = math.Cos(f.a[i]-toward) * f.da[i] * f.dz[j]
			f.film[k] = b[k] > 0
		}
	}
	for range 200 {
		f.pressure(b)
		changed := false
		for k := range f.p {
			in := f.p[k] >= 0
			if !f.film[k] {
				in = b[k]+f.inflow(k) > 1e-13
			}
			changed = changed || in != f.film[k]
			f.film[k] = in
		}
		if !changed {
			return nil
		}
	}
	return fmt.Errorf("the edge of the film was not found")
}

// inflow is what flows into node k from its neighbours at no pressure of its own.
func (f *grid) inflow(k int) float64 {
	i, j := k/f.across, k%f.across
	q := 0.0
	if i > 0 {
		q += f.flowA[i] * f.dz[j] * f.p[k-f.across]
	}
	if i < f.around-1 {
		q += f.flowA[i+1] * f.dz[j] * f.p[k+f.across]
	}
	if j > 0 {
		q += f.flowZ[j-1] * f.h3[i] * f.da[i] * f.p[k-1]
	}
	if j < f.across-1 {
		q += f.flowZ[j] * f.h3[i] * f.da[i] * f.p[k+1]
	}
	return q
}

// pressure solves the flow balance of the nodes in the film, the others have none: a matrix with a band as wide as the
// land, split into L D Lᵀ. low[k·m + m−d] is what row k has d places left of its diagonal.
func (f *grid) pressure(b []float64) {
	n, m := f.around, f.across
	low, diag, p := f.low, f.diag, f.p
	clear(low)
	for i := range n {
		across := f.h3[i] * f.da[i]
		for j := range m {
			k := i*m + j
			if !f.film[k] {
				diag[k], p[k] = 1, 0
				continue
			}
			p[k] = b[k]
			diag[k] = (f.flowA[i]+f.flowA[i+1])*f.dz[j] + f.flowZ[j]*across
			row := low[k*m : k*m+m]
			if j > 0 {
				diag[k] += f.flowZ[j-1] * across
				if f.film[k-1] {
					row[m-1] = -f.flowZ[j-1] * across
				}
			}
			if i > 0 && f.film[k-m] {
				row[0] += -f.flowA[i] * f.dz[j]
			}
			f.split(k)
			for d := 1; d <= min(m, k); d++ {
				p[k] -= row[m-d] * p[k-d]
			}
		}
	}
	for k := range p {
		p[k] /= diag[k]
	}
	for k := n*m - 1; k >= 0; k-- {
		row := low[k*m : k*m+m]
		for d := 1; d <= min(m, k); d++ {
			p[k-d] -= row[m-d] * p[k]
		}
	}
}

// split eliminates row k by the rows above it.
func (f *grid) split(k int) {
	m := f.across
	row := f.low[k*m : k*m+m]
	first := max(0, k-m)
	for c := first; c < k; c++ { // row[c−(k−m)] belongs to column c
		up := f.low[c*m : c*m+m]
		x := row[c-k+m]
		for e := max(first, c-m); e < c; e++ {
			x -= row[e-k+m] * up[e-c+m] // still times the diagonal of e
		}
		row[c-k+m] = x
	}
	for c := first; c < k; c++ {
		x := row[c-k+m]
		row[c-k+m] = x / f.diag[c]
		f.diag[k] -= x * row[c-k+m]
	}
}

// force adds the pressures of both halves of the land.
func (f *grid) force() complex128 {
	var sum complex128
	for i := range f.around {
		line := 0.0
		for j := range f.across {
			line += f.p[i*f.across+j] * f.dz[j]
		}
		sum += complex(2*line*f.da[i], 0) * cmplx.Rect(1, f.a[i])
	}
	return sum
}

// stretch maps an angle from the thinnest film so that equal steps are short where the film is thin: the mean of the
// angle and of Sommerfeld's, tan(ψ/2) = √((1+ε)/(1−ε)) tan(a/2).
func stretch(a, ecc float64) float64 {
	turns := math.Round(a / (2 * math.Pi))
	a -= 2 * math.Pi * turns
	sin, cos := math.Sincos(a / 2)
	return (a+2*math.Atan2(math.Sqrt(1+ecc)*sin, math.Sqrt(1-ecc)*cos))/2 + 2*math.Pi*turns
}

// unstretch is the inverse of stretch.
func unstretch(s, ecc float64) float64 {
	turns := math.Round(s / (2 * math.Pi))
	s -= 2 * math.Pi * turns
	lo, hi := -math.Pi, math.Pi
	for range 60 {
		if mid := (lo + hi) / 2; stretch(mid, ecc) < s {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo+hi)/2 + 2*math.Pi*turns
}
