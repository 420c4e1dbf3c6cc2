package mount

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// Mount is a resilient mount between the body and a structure.
type Mount struct {
	Name      string
	At        r3.Vec     // of its elastic centre [m]
	Axes      [3]r3.Vec  // directions of its three stiffnesses, unit and orthogonal; all zero: x, y, z of the body
	Stiffness [3]float64 // along its axes [N/m]
	Loss      float64    // loss factor: share of the stiffness that is a quarter turn late [1]
}

// System is a rigid body on mounts.
type System struct {
	Body   Body
	Mounts []Mount
}

// ErrMount is a mount that cannot exist.
var ErrMount = errors.New("no such mount")

// MaxLoss is the largest loss factor that is taken [1]. Definition: beyond it, the stiffness is no spring's.
const MaxLoss = 2.0

// Check tells whether a mount can exist: places [m] finite, axes orthogonal and of length 1 within 1e-9 or all zero,
// stiffnesses [N/m] finite and none negative, a loss factor [1] from 0 to MaxLoss. Errors: ErrMount.
// Definition: of Mount.
func (m Mount) Check() error {
	if !finite(m.At.X, m.At.Y, m.At.Z) {
		return fmt.Errorf("%w: the place of mount %s is not finite", ErrMount, m.Name)
	}
	for i, k := range m.Stiffness {
		if !(k >= 0) || math.IsInf(k, 0) {
			return fmt.Errorf("%w: stiffness %d of mount %s is %g N/m; it must not be negative", ErrMount, i+1, m.Name, k)
		}
	}
	if !(m.Loss >= 0 && m.Loss <= MaxLoss) {
		return fmt.Errorf("%w: the loss factor of mount %s is %g; it must lie between 0 and %g, such as 0.1", ErrMount, m.Name, m.Loss, MaxLoss)
	}
	axes := m.axes()
	for i := range axes {
		for k := range axes {
			want := 0.0
			if i == k {
				want = 1
			}
			if !(math.Abs(r3.Dot(axes[i], axes[k])-want) <= 1e-9) {
				return fmt.Errorf("%w: the axes of mount %s must be of length 1 and square to each other", ErrMount, m.Name)
			}
		}
	}
	return nil
}

// axes returns the mount's directions; without any they are those of the body.
func (m Mount) axes() [3]r3.Vec {
	if m.Axes == ([3]r3.Vec{}) {
		return [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}
	}
	return m.Axes
}

// Leaning returns mount axes that are turned about the crank's direction x.
//
//   - roll: from +z about +x [rad]: the third axis, which usually is the stiffest, leans by it
//
// Result [1]: unit vectors. Definition: the first axis stays along x.
func Leaning(roll float64) [3]r3.Vec {
	s, c := math.Sincos(roll)
	return [3]r3.Vec{{X: 1}, {Y: c, Z: s}, {Y: -s, Z: c}}
}

// Check checks the body and every mount, the fields of Body and Mount [kg], [N/m]. Errors: ErrBody, ErrMount;
// ErrMount without a mount. Definition: of System.
func (s *System) Check() error {
	if err := s.Body.Check(); err != nil {
		return err
	}
	if len(s.Mounts) == 0 {
		return fmt.Errorf("%w: a body needs at least one mount", ErrMount)
	}
	for _, m := range s.Mounts {
		if err := m.Check(); err != nil {
			return err
		}
	}
	return nil
}

// row is how a motion q of the body moves a point at r from its centre along a direction: d·(u + φ × r).
func row(d, r r3.Vec) [6]float64 {
	t := r3.Cross(r, d) // d·(φ × r) = φ·(r × d)
	return [6]float64{d.X, d.Y, d.Z, t.X, t.Y, t.Z}
}

// Mass returns the mass matrix for shifts along and turns about x, y, z at the centre of gravity.
//
// Result 6 × 6: [kg], and [kg m²] in the last three rows and columns. Source: SHOCKHB ch. 3, rigid body on resilient supports.
func (s *System) Mass() *mat.SymDense {
	m := mat.NewSymDense(6, nil)
	for i := range 3 {
		m.SetSym(i, i, s.Body.Mass)
		for k := i; k < 3; k++ {
			m.SetSym(3+i, 3+k, s.Body.Inertia[i][k])
		}
	}
	return m
}

// Stiffness returns the stiffness matrix of all mounts and its share that is a quarter turn late, Σ η Bᵀ k B.
//
//	K = Σ Bᵀ R k Rᵀ B
//
// Results 6 × 6: [N/m], [N/rad] where shifts and turns meet, [N m/rad] in the last three rows and columns.
// Source: SHOCKHB ch. 3, rigid body on resilient supports, inclined and not.
func (s *System) Stiffness() (spring, late *mat.SymDense) {
	spring, late = mat.NewSymDense(6, nil), mat.NewSymDense(6, nil)
	for _, m := range s.Mounts {
		r := r3.Sub(m.At, s.Body.Centre)
		for a, d := range m.axes() {
			b := row(d, r)
			v := mat.NewVecDense(6, b[:])
			spring.SymRankOne(spring, m.Stiffness[a], v)
			late.SymRankOne(late, m.Loss*m.Stiffness[a], v)
		}
	}
	return spring, late
}
