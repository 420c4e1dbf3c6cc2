package mount

import (
	"fmt"
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// Load is a harmonic load on the body: the real part of its vectors times e^{iωt}.
type Load struct {
	Force  [3]complex128 // along x, y, z [N]
	Moment [3]complex128 // about x, y, z, at Point [N m]
	Point  r3.Vec        // where it acts [m]
}

// Swing is a harmonic motion of the body: shifts of its centre of gravity [m] and turns [rad], as complex amplitudes.
type Swing [6]complex128

// matrix holds the equations of the six freedoms.
type matrix [6][6]float64

func matrixOf(m *mat.SymDense) (out matrix) {
	for i := range out {
		for k := range out[i] {
			out[i][k] = m.At(i, k)
		}
	}
	return out
}

// Solver holds what a system needs at every frequency. It is safe for concurrent use.
type Solver struct {
	s                  System
	mass, spring, late matrix
	root               [6]float64 // of mass and moments of inertia [√kg], [√(kg m²)]
	springs            []spring   // of all mounts, three each
}

// spring is one axis of a mount.
type spring struct {
	along [6]float64 // how a motion of the body deflects it: shifts [1], turns [m]
	pull  complex128 // k (1 + iη) [N/m]
}

// NewSolver checks a system, and prepares it [kg], [N/m]. Errors: those of Check.
// Definition: of Solver.
func NewSolver(s *System) (*Solver, error) {
	if err := s.Check(); err != nil {
		return nil, err
	}
	k, late := s.Stiffness()
	v := &Solver{s: *s, mass: matrixOf(s.Mass()), spring: matrixOf(k), late: matrixOf(late)}
	for i := range v.root {
		v.root[i] = math.Sqrt(v.mass[i][i])
	}
	for _, m := range s.Mounts {
		for a, d := range m.axes() {
			v.springs = append(v.springs, spring{row(d, r3.Sub(m.At, s.Body.Centre)), complex(m.Stiffness[a], m.Loss*m.Stiffness[a])})
		}
	}
	return v, nil
}

// Respond returns the motion under a load.
//
//	( K + i Σ η Bᵀ k B − ω² M ) q = F
//
// with
//   - frequency: ω, at least 0 [rad/s]
//   - loads: [N], [N m]; they act together
//
// Result [m], [rad]. Errors: ErrNumerics at a natural frequency without damping, where the motion has no bound.
// Source: SHOCKHB ch. 3, with hysteretic damping.
func (v *Solver) Respond(frequency float64, loads ...Load) (Swing, error) {
	var q Swing
	if !(frequency >= 0) || math.IsInf(frequency, 0) {
		return q, fmt.Errorf("%w: a frequency of %g rad/s; it must not be negative", ErrNumerics, frequency)
	}
	var f [6]complex128
	for _, l := range loads {
		arm := cross(r3.Sub(l.Point, v.s.Body.Centre), l.Force)
		for i := range 3 {
			f[i] += l.Force[i]
			f[3+i] += l.Moment[i] + arm[i]
		}
	}
	w2 := frequency * frequency
	if q, ok := v.quick(w2, f); ok {
		return q, nil
	}
	return v.careful(frequency, f)
}

// careful solves the equations with pivots, and finds out whether they have a solution.
func (v *Solver) careful(frequency float64, f [6]complex128) (q Swing, err error) {
	w2 := frequency * frequency
	// scaled by √(k + ω² m) so that metres and radians compare
	var unit [6]float64
	for i := range 6 {
		if unit[i] = math.Sqrt(v.spring[i][i] + w2*v.mass[i][i]); unit[i] == 0 {
			return q, fmt.Errorf("%w: nothing holds %s at rest", ErrNumerics, Freedom(i))
		}
	}
	var a equations
	for i := range 6 {
		for k := range 6 {
			u := unit[i] * unit[k]
			a[i][k] = complex((v.spring[i][k]-w2*v.mass[i][k])/u, v.late[i][k]/u)
		}
		a[i][6] = complex(real(f[i])/unit[i], imag(f[i])/unit[i])
	}
	if c := a.solve(); !(c < 1e12) {
		return q, fmt.Errorf("%w: at %.6g rad/s the body swings by itself and nothing damps it; give the mounts a loss factor", ErrNumerics, frequency)
	}
	for i := range q {
		q[i] = complex(real(a[i][6])/unit[i], imag(a[i][6])/unit[i])
	}
	return q, nil
}

// quick solves the equations as L D Lᵀ, without pivots, from the symmetry of springs and masses; false where a pivot is below a
// thousandth of what it could be, or L⁻¹ large, so that digits could be lost or the body swings by itself.
//
//	a_ik − Σ_j l_ij d_j l_kj = l_ik d_k       ‖L⁻¹‖ ≤ z, z_i = 1 + Σ_k |l_ik| z_k
//
// Rows and columns are those of metres and radians over the roots of their masses, in which a pivot compares with
// k + ω² m. Source: DEFINITION, square-root-free Cholesky decomposition of a complex symmetric matrix.
func (v *Solver) quick(w2 float64, f [6]complex128) (q Swing, ok bool) {
	var l [6][6]complex128 // below the diagonal L; on it 1/d
	var z [6]float64
	for i := range 6 {
		var raw [6]complex128 // l_ik d_k
		d := complex(v.spring[i][i]-w2*v.mass[i][i], v.late[i][i])
		z[i] = 1
		for k := range i {
			c := complex(v.spring[i][k]-w2*v.mass[i][k], v.late[i][k])
			for j := range k {
				c -= raw[j] * l[k][j]
			}
			raw[k] = c
			l[i][k] = c * l[k][k]
			d -= c * l[i][k]
			z[i] += size(l[i][k]) * v.root[k] / v.root[i] * z[k]
			f[i] -= l[i][k] * f[k]
		}
		square := real(d)*real(d) + imag(d)*imag(d)
		if scale := v.spring[i][i] + w2*v.mass[i][i]; !(square*1e6 > scale*scale*z[i]*z[i]) || z[i] > 100 {
			return q, false
		}
		l[i][i] = complex(real(d)/square, -imag(d)/square)
	}
	for i := 5; i >= 0; i-- {
		q[i] = f[i] * l[i][i]
		for k := i + 1; k < 6; k++ {
			q[i] -= l[k][i] * q[k]
		}
	}
	return q, true
}

// equations are six complex equations in rows: their matrix, the load, and room for the inverse.
type equations [6][13]complex128

// solve puts the solution where the load was and returns the condition of the matrix, ‖A‖ ‖A⁻¹‖; infinite where there is no
// solution. Elimination with pivots, upwards too, takes the columns of the unit matrix along as further loads.
func (a *equations) solve() (condition float64) {
	for i := range a {
		a[i][7+i] = 1
	}
	norm := a.norm(0)
	for k := range a {
		best := k
		for i := k + 1; i < len(a); i++ {
			if size(a[i][k]) > size(a[best][k]) {
				best = i
			}
		}
		a[k], a[best] = a[best], a[k]
		pivot := a[k][k]
		if pivot == 0 {
			return math.Inf(1)
		}
		inverse := 1 / pivot
		for j := k + 1; j < len(a[k]); j++ {
			a[k][j] *= inverse
		}
		for i := range a {
			if f := a[i][k]; i != k && f != 0 {
				for j := k + 1; j < len(a[i]); j++ {
					a[i][j] -= f * a[k][j]
				}
			}
		}
	}
	return norm * a.norm(7)
}

// norm is the largest sum of a column of the square matrix that begins with column from.
func (a *equations) norm(from int) float64 {
	most := 0.0
	for j := from; j < from+len(a); j++ {
		sum := 0.0
		for i := range a {
			sum += size(a[i][j])
		}
		most = max(most, sum)
	}
	return most
}

// size is |c| within a factor of √2.
func size(c complex128) float64 { return math.Abs(real(c)) + math.Abs(imag(c)) }

// At returns the motion of a point of the body.
//
//	u + φ × r
//
// with
//   - q: the motion of its centre of gravity [m], [rad]
//   - point: [m]
//
// Result along x, y, z [m], complex amplitudes. Definition: small motion of a rigid body.
func (v *Solver) At(q Swing, point r3.Vec) [3]complex128 {
	r := r3.Sub(point, v.s.Body.Centre)
	turn := [3]complex128{q[3], q[4], q[5]}
	arm := cross(r, turn) // r × φ = −φ × r
	return [3]complex128{q[0] - arm[0], q[1] - arm[1], q[2] - arm[2]}
}

// Forces returns the force that each mount puts on the structure.
//
//	k (1 + iη) δ  along each of its axes
//
// with
//   - q: the motion of the body's centre of gravity [m], [rad]
//
// Result for each mount along x, y, z [N], complex amplitudes. The structure is rigid. Source: SHOCKHB ch. 3.
func (v *Solver) Forces(q Swing) [][3]complex128 {
	out := make([][3]complex128, len(v.s.Mounts))
	for n := range v.springs {
		p := &v.springs[n]
		var re, im float64
		for i, b := range p.along {
			re += b * real(q[i])
			im += b * imag(q[i])
		}
		f := complex(re, im) * p.pull
		to := &out[n/3]
		for i := range to {
			to[i] += complex(real(f)*p.along[i], imag(f)*p.along[i])
		}
	}
	return out
}

// cross is r × f.
func cross(r r3.Vec, f [3]complex128) [3]complex128 {
	x, y, z := complex(r.X, 0), complex(r.Y, 0), complex(r.Z, 0)
	return [3]complex128{y*f[2] - z*f[1], z*f[0] - x*f[2], x*f[1] - y*f[0]}
}

// Transmissibility returns the force that reaches the structure over the force that acts, for one degree of freedom with
// viscous damping.
//
//	T = √( (1 + (2ζg)²)/((1 − g²)² + (2ζg)²) )
//
// with
//   - ratio: g, frequency of the force over the natural frequency, at least 0 [1]
//   - damping: ζ, share of the critical damping, at least 0 [1]
//
// Result [1]; it is 1 at g = √2 for every ζ, and infinite at g = 1 without damping. Source: SHOCKHB ch. 2, single degree of freedom.
func Transmissibility(ratio, damping float64) float64 {
	over := complex(1, 2*damping*ratio)
	return cmplx.Abs(over) / cmplx.Abs(over-complex(ratio*ratio, 0))
}
