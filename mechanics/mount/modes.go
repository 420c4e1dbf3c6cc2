package mount

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"

	"crankwright/num"
)

// Motion is a small motion of a body: shifts of its centre of gravity along x, y, z [m] and turns about them [rad].
type Motion [6]float64

// Freedom is one of the six parts of a motion.
type Freedom int

// The six freedoms of an engine whose crank lies along x and whose z points up, in the order in which they stand in a Motion.
const (
	ForeAft Freedom = iota
	Lateral
	Bounce
	Roll
	Pitch
	Yaw
)

// String returns the freedom in words [-]. Definition.
func (f Freedom) String() string {
	return [...]string{"fore-aft", "lateral", "bounce", "roll", "pitch", "yaw"}[max(0, min(f, Yaw))]
}

// Mode is a way in which the body swings by itself on its mounts, without damping.
type Mode struct {
	Frequency float64 // [rad/s]; 0: nothing holds the body
	Shape     Motion  // of modal mass 1: φᵀ M φ = 1
	Energy    Motion  // share of each freedom in the kinetic energy [1]; they add up to 1
}

// ErrNumerics is an eigenvalue problem or a set of equations that could not be solved.
var ErrNumerics = errors.New("no solution")

// Modes returns the six natural modes, slowest first.
//
//	K φ = ω² M φ      share of freedom i = φᵢ (M φ)ᵢ/(φᵀ M φ)
//
// with
//   - s: a system that passes Check
//
// Result [rad/s]. They are the singular values of √k B L⁻ᵀ, M = L Lᵀ: the symmetric eigenvalue problem without squaring,
// which keeps the digits of slow modes. Where the inertia has products, a share can be slightly negative.
// Errors: those of Check; ErrNumerics. Source: SHOCKHB ch. 3 for the modes; energy shares are common practice.
func Modes(s *System) ([6]Mode, error) {
	var out [6]Mode
	if err := s.Check(); err != nil {
		return out, err
	}
	half, ok := s.Body.Inertia.cholesky()
	if !ok {
		return out, fmt.Errorf("%w: the inertia tensor of %s is not positive definite", ErrBody, s.Body.called())
	}
	// L⁻¹ times the column of √k Bᵀ of each spring, and behind them L⁻¹ itself, whose rows the turns make the shapes
	springs := 3 * len(s.Mounts)
	room := make([]float64, 6*(springs+6))
	var rows [6][]float64
	for i := range rows {
		rows[i] = room[i*(springs+6) : (i+1)*(springs+6)]
	}
	inverse := func(column int, v [6]float64) {
		for i := range 3 {
			rows[i][column] = v[i] / math.Sqrt(s.Body.Mass)
			sum := v[3+i]
			for k := range i {
				sum -= half[i][k] * rows[3+k][column]
			}
			rows[3+i][column] = sum / half[i][i]
		}
	}
	for i, m := range s.Mounts {
		r := r3.Sub(m.At, s.Body.Centre)
		for a, d := range m.axes() {
			line := row(d, r)
			for k := range line {
				line[k] *= math.Sqrt(m.Stiffness[a])
			}
			inverse(3*i+a, line)
		}
	}
	for i := range 6 {
		var unit [6]float64
		unit[i] = 1
		inverse(springs+i, unit)
	}
	if !num.Orthogonalise(rows[:], springs) {
		return out, fmt.Errorf("%w: the singular values of the mounts", ErrNumerics)
	}
	for n, r := range rows {
		square := 0.0
		for _, v := range r[:springs] {
			square += v * v
		}
		out[n].Frequency = math.Sqrt(square)
		copy(out[n].Shape[:], r[springs:])
	}
	slices.SortFunc(out[:], func(a, b Mode) int { return cmp.Compare(a.Frequency, b.Frequency) })
	for n := range out {
		m := &out[n]
		largest, sign := 0.0, 1.0
		for i := range m.Shape {
			moment := s.Body.Mass * m.Shape[i%3]
			if i >= 3 {
				moment = 0
				for k, j := range s.Body.Inertia[i-3] {
					moment += j * m.Shape[3+k]
				}
			}
			m.Energy[i] = m.Shape[i] * moment
			if math.Abs(m.Energy[i]) > largest+1e-9 {
				largest, sign = math.Abs(m.Energy[i]), math.Copysign(1, m.Shape[i])
			}
		}
		for i := range m.Shape {
			m.Shape[i] *= sign
		}
		if m.Frequency < 1e-9*out[5].Frequency {
			m.Frequency = 0
		}
	}
	return out, nil
}

// Main returns the freedom that has the largest share of a mode, and its share [1].
// Definition: the largest of Energy.
func (m Mode) Main() (freedom Freedom, share float64) {
	for i, e := range m.Energy {
		if e > share {
			freedom, share = Freedom(i), e
		}
	}
	return freedom, share
}

// Principal returns the principal moments of inertia, smallest first [kg m²].
// Errors: ErrNumerics. Definition: the eigenvalues of the tensor.
func (t Tensor) Principal() ([3]float64, error) {
	for range 30 {
		size := math.Abs(t[0][0]) + math.Abs(t[1][1]) + math.Abs(t[2][2])
		if rest := math.Abs(t[0][1]) + math.Abs(t[0][2]) + math.Abs(t[1][2]); rest <= 1e-17*size {
			out := [3]float64{t[0][0], t[1][1], t[2][2]}
			slices.Sort(out[:])
			return out, nil
		}
		t.turn(0, 1, 2)
		t.turn(0, 2, 1)
		t.turn(1, 2, 0)
	}
	return [3]float64{}, fmt.Errorf("%w: the principal axes of inertia", ErrNumerics)
}

// turn turns the axes p and q, p < q, in their plane until their product is zero: a rotation of Jacobi's method.
func (t *Tensor) turn(p, q, other int) {
	between := t[p][q]
	if between == 0 {
		return
	}
	ratio := (t[q][q] - t[p][p]) / (2 * between)
	tan := math.Copysign(1/(math.Abs(ratio)+math.Sqrt(1+ratio*ratio)), ratio)
	c := 1 / math.Sqrt(1+tan*tan)
	s := c * tan
	t[p][p], t[q][q], t[p][q] = t[p][p]-tan*between, t[q][q]+tan*between, 0
	a, b := &t[min(p, other)][max(p, other)], &t[min(q, other)][max(q, other)]
	*a, *b = c**a-s**b, s**a+c**b
}

// cholesky returns L of J = L Lᵀ; false where the tensor is not positive definite.
func (t Tensor) cholesky() (l Tensor, ok bool) {
	for i := range 3 {
		for k := range i + 1 {
			sum := t[i][k]
			for j := range k {
				sum -= l[i][j] * l[k][j]
			}
			switch {
			case k < i:
				l[i][k] = sum / l[k][k]
			case !(sum > 0):
				return l, false
			default:
				l[i][i] = math.Sqrt(sum)
			}
		}
	}
	return l, true
}

func (t Tensor) sym() *mat.SymDense {
	m := mat.NewSymDense(3, nil)
	for i := range 3 {
		for k := i; k < 3; k++ {
			m.SetSym(i, k, t[i][k])
		}
	}
	return m
}

// TorqueRollAxis returns the direction about which a body without mounts starts to turn when a torque acts on it; the axis
// goes through the centre of gravity.
//
//	q = J⁻¹ e
//
// with
//   - b: a body that passes Check
//   - e: direction of the torque, usually that of the crank [1]
//
// Result [1]: a unit vector. Errors: those of Check; ErrNumerics for a direction of length 0. Source: DECOUPLING.
func TorqueRollAxis(b Body, e r3.Vec) (r3.Vec, error) {
	if err := b.Check(); err != nil {
		return r3.Vec{}, err
	}
	var q mat.VecDense
	if err := q.SolveVec(b.Inertia.sym(), mat.NewVecDense(3, []float64{e.X, e.Y, e.Z})); err != nil {
		return r3.Vec{}, fmt.Errorf("%w: %w", ErrNumerics, err)
	}
	v := r3.Vec{X: q.AtVec(0), Y: q.AtVec(1), Z: q.AtVec(2)}
	if n := r3.Norm(v); !(n > 0) || math.IsInf(n, 0) {
		return r3.Vec{}, fmt.Errorf("%w: a torque needs a direction", ErrNumerics)
	}
	return r3.Unit(v), nil
}

// Gravity is the standard acceleration of gravity [m/s²]. Source: standard value of the third General Conference on
// Weights and Measures, 9.806 65 m/s².
const Gravity = 9.80665

// Sag returns how the body settles under its weight, and how each mount deflects along its own axes.
//
//	K q = m g down
//
// with
//   - s: a system that passes Check and whose mounts hold all six freedoms
//   - down: direction of gravity, usually −z [1]
//
// Results [m] and [rad]; [m], negative where the body moves against the axis. Errors: those of Check; ErrMount where a
// freedom is not held. Source: SHOCKHB ch. 3, static deflection.
func Sag(s *System, down r3.Vec) (Motion, [][3]float64, error) {
	if err := s.Check(); err != nil {
		return Motion{}, nil, err
	}
	if n := r3.Norm(down); !(n > 0) || math.IsInf(n, 0) {
		return Motion{}, nil, fmt.Errorf("%w: gravity needs a direction", ErrNumerics)
	}
	d := r3.Scale(s.Body.Mass*Gravity, r3.Unit(down))
	q, err := s.static([6]float64{d.X, d.Y, d.Z})
	if err != nil {
		return Motion{}, nil, err
	}
	var each [][3]float64
	for _, m := range s.Mounts {
		var δ [3]float64
		for a, e := range m.axes() {
			for i, b := range row(e, r3.Sub(m.At, s.Body.Centre)) {
				δ[a] += b * q[i]
			}
		}
		each = append(each, δ)
	}
	return q, each, nil
}

// static solves K q = F; freedoms are scaled so that metres and radians can be told apart from noise.
func (s *System) static(load [6]float64) (Motion, error) {
	k, _ := s.Stiffness()
	var chol mat.Cholesky
	scaled := mat.NewSymDense(6, nil)
	var unit [6]float64
	for i := range 6 {
		if unit[i] = math.Sqrt(k.At(i, i)); unit[i] == 0 {
			return Motion{}, fmt.Errorf("%w: no mount holds %s", ErrMount, Freedom(i))
		}
	}
	for i := range 6 {
		for j := i; j < 6; j++ {
			scaled.SetSym(i, j, k.At(i, j)/unit[i]/unit[j])
		}
	}
	if !chol.Factorize(scaled) || chol.Cond() > 1e12 {
		return Motion{}, fmt.Errorf("%w: the mounts leave a freedom of the body unheld; add a mount, or a stiffness in another direction", ErrMount)
	}
	f := mat.NewVecDense(6, nil)
	for i := range 6 {
		f.SetVec(i, load[i]/unit[i])
	}
	var x mat.VecDense
	if err := chol.SolveVecTo(&x, f); err != nil {
		return Motion{}, fmt.Errorf("%w: %w", ErrNumerics, err)
	}
	var q Motion
	for i := range q {
		q[i] = x.AtVec(i) / unit[i]
	}
	return q, nil
}
