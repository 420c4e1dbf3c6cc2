package mount

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize"
	"gonum.org/v1/gonum/spatial/r3"
)

// TorqueShares returns which share of a torque's excitation each mode takes.
//
//	share = (φᵀ M v)²/(vᵀ M v · φᵀ M φ)      v = (0, J⁻¹ e): the turn about the torque roll axis
//
// with
//   - s: a system that passes Check
//   - modes: of Modes of this system
//   - e: direction of the torque, usually that of the crank [1]
//
// Result [1], adding up to 1. Where one mode has all of it, the torque excites this mode alone: the torque roll axis is
// decoupled. Errors: those of TorqueRollAxis. Source: DECOUPLING for the aim; the share is its projection in the mass.
func TorqueShares(s *System, modes [6]Mode, e r3.Vec) ([6]float64, error) {
	var out [6]float64
	q, err := TorqueRollAxis(s.Body, e)
	if err != nil {
		return out, err
	}
	m := s.Mass()
	v := mat.NewVecDense(6, []float64{0, 0, 0, q.X, q.Y, q.Z})
	var mv mat.VecDense
	mv.MulVec(m, v)
	own := mat.Dot(v, &mv)
	for n, mode := range modes {
		x := mat.NewVecDense(6, mode.Shape[:])
		along := mat.Dot(x, &mv)
		out[n] = along * along / own // φᵀ M φ = 1
	}
	return out, nil
}

// Aim is what mounts are to achieve.
type Aim struct {
	Excitation float64 // frequency of the main excitation at idle [rad/s]
	Separation float64 // least ratio of it to the fastest mode that is to be below [1]; √2 is where isolation begins, 2 is usual
	MostSag    float64 // largest deflection of a mount under the weight [m]; 0: any
	Crank      r3.Vec  // direction of the torque that is to be decoupled [1]
	Down       r3.Vec  // direction of gravity [1]
	Excites    []Excite
	MostForce  float64 // largest force into the structure under Excites [N]; 0: any
}

// Excite is a load at one frequency.
type Excite struct {
	Frequency float64 // [rad/s]
	Load      Load
}

// Freedoms say what may be varied about mounts as they stand.
type Freedoms struct {
	X, Y, Z           float64 // by how much each mount may move either way [m]
	Softest, Stiffest float64 // bounds of a factor on all stiffnesses of a mount [1]
	Lean              float64 // by how much its axes may be turned about x either way [rad]
}

// Merit is how far mounts reach an aim.
type Merit struct {
	Fastest    float64 // natural frequency of the fastest mode [rad/s]
	Separation float64 // excitation over it [1]
	Decoupling float64 // largest share of the torque that one mode takes [1]
	Sag        float64 // largest deflection of a mount under the weight [m]
	Force      float64 // into the structure under Excites: root mean square of all mounts and directions [N]; 0 without any
}

// Found are mounts that were found, with what they achieve before and after.
type Found struct {
	System        System
	Before, After Merit
	Tries         int // systems that were judged
}

// Judge tells how far mounts reach an aim.
//
//   - s: a system that passes Check and whose mounts hold all six freedoms
//   - a: of which Excitation [rad/s], Crank, Down and Excites are read
//
// Result [rad/s], [1], [m], [N]. Errors: those of Modes, Sag, TorqueRollAxis and Respond. Definition.
func Judge(s *System, a Aim) (Merit, error) {
	var m Merit
	modes, err := Modes(s)
	if err != nil {
		return m, err
	}
	shares, err := TorqueShares(s, modes, a.Crank)
	if err != nil {
		return m, err
	}
	for _, x := range shares {
		m.Decoupling = max(m.Decoupling, x)
	}
	m.Fastest = modes[5].Frequency
	if !(m.Fastest > 0) {
		return m, fmt.Errorf("%w: the mounts hold nothing", ErrMount)
	}
	m.Separation = a.Excitation / m.Fastest
	_, each, err := Sag(s, a.Down)
	if err != nil {
		return m, err
	}
	for _, d := range each {
		m.Sag = max(m.Sag, math.Sqrt(d[0]*d[0]+d[1]*d[1]+d[2]*d[2]))
	}
	if len(a.Excites) == 0 {
		return m, nil
	}
	v, err := NewSolver(s)
	if err != nil {
		return m, err
	}
	sum := 0.0
	for _, e := range a.Excites {
		q, err := v.Respond(e.Frequency, e.Load)
		if err != nil {
			return m, err
		}
		for _, f := range v.Forces(q) {
			for _, c := range f {
				sum += (real(c)*real(c) + imag(c)*imag(c)) / 2
			}
		}
	}
	m.Force = math.Sqrt(sum)
	return m, nil
}

// short is what is missing to the aim, as squares of shares, and a little for what is beyond it, so that among mounts that
// reach it the softer ones win.
func (a Aim) short(m Merit) float64 {
	sum := (1 - m.Decoupling) * (1 - m.Decoupling) * 4
	if lack := a.Separation/m.Separation - 1; lack > 0 {
		sum += 4 * lack * lack
	}
	if a.MostSag > 0 {
		if over := m.Sag/a.MostSag - 1; over > 0 {
			sum += 4 * over * over
		}
	}
	if a.MostForce > 0 {
		if over := m.Force/a.MostForce - 1; over > 0 {
			sum += 4 * over * over
		}
	}
	return sum + 1e-3*(1-m.Decoupling) + 2e-2*a.Separation/m.Separation
}

// findRuns is how many starts the search takes.
const findRuns = 3

// Find looks for places and stiffnesses of mounts within bounds that keep the modes below the idle excitation, decouple the
// torque roll axis, and sag no more than allowed. Mounts that are mirror images of each other about the plane y = 0 stay so.
//
//   - s: a system that passes Check and whose mounts hold all six freedoms; its mounts are where the bounds are centred
//   - a: the aim [rad/s], [1], [m]
//   - f: the bounds [m], [1], [rad]
//   - seed: of the random numbers of the search [-]
//
// Result: the best that was found, never worse than s by the sum of squares of what is missing; the same for a seed. The
// search is a covariance matrix adaptation (an evolution strategy) with restarts: it proves no optimum. Errors: those of
// Judge; an aim or bounds that make no sense. Definition.
func Find(s *System, a Aim, f Freedoms, seed uint64) (*Found, error) {
	if !(a.Excitation > 0) || !(a.Separation > 0) || !(a.MostSag >= 0) || !(a.MostForce >= 0) || math.IsInf(a.Excitation+a.Separation+a.MostSag+a.MostForce, 0) {
		return nil, errors.New("mount: an aim needs a frequency of excitation and a separation above 0, such as 2, and neither sag nor force negative")
	}
	if !(f.X >= 0 && f.Y >= 0 && f.Z >= 0 && f.Lean >= 0) || !finite(f.X, f.Y, f.Z, f.Lean) || !(f.Softest > 0 && f.Softest <= f.Stiffest && f.Stiffest <= 1e6) {
		return nil, errors.New("mount: bounds must not be negative, and the softest factor must be above 0 and not above the stiffest")
	}
	before, err := Judge(s, a)
	if err != nil {
		return nil, err
	}
	groups := mirrored(s.Mounts)
	best := &Found{System: *s, Before: before, After: before}
	least := a.short(before)
	size := 5 * len(groups)
	judge := func(x []float64) float64 {
		beyond := 0.0
		for _, v := range x {
			if over := math.Abs(v) - 1; over > 0 {
				beyond += over * over
			}
		}
		at := placed(s, groups, f, x)
		best.Tries++
		m, err := Judge(&at, a)
		if err != nil {
			return 1e3 + beyond
		}
		short := a.short(m)
		if short < least {
			least = short
			best.System, best.After = at, m
		}
		return short + beyond
	}
	for run := range findRuns {
		start := make([]float64, size)
		source := rand.NewPCG(seed, uint64(run))
		if run > 0 {
			r := rand.New(source)
			for i := range start {
				start[i] = r.Float64() - 0.5
			}
		}
		method := &optimize.CmaEsChol{InitStepSize: 0.4, Src: source, Population: 4 + int(3*math.Log(float64(size)))}
		settings := &optimize.Settings{MajorIterations: 150, Concurrent: 0, Converger: &optimize.FunctionConverge{Absolute: 1e-9, Iterations: 30}}
		if _, err := optimize.Minimize(optimize.Problem{Func: judge}, start, settings, method); err != nil {
			return nil, fmt.Errorf("%w: %w", ErrNumerics, err)
		}
	}
	return best, nil
}

// group is one mount, or two that are mirror images of each other.
type group struct{ one, other int } // other is −1 for a mount alone

// mirrored puts mounts that are mirror images about the plane y = 0 together.
func mirrored(list []Mount) []group {
	const near = 1e-3 // [m]
	var out []group
	done := make([]bool, len(list))
	for i, m := range list {
		if done[i] {
			continue
		}
		g := group{i, -1}
		for k := i + 1; k < len(list) && g.other < 0 && math.Abs(m.At.Y) > near; k++ {
			n := list[k]
			if !done[k] && math.Abs(m.At.X-n.At.X) < near && math.Abs(m.At.Y+n.At.Y) < near && math.Abs(m.At.Z-n.At.Z) < near && m.Stiffness == n.Stiffness {
				g.other, done[k] = k, true
			}
		}
		out = append(out, g)
	}
	return out
}

// placed moves mounts within the bounds: five numbers of −1 to 1 a group, beyond which they stand at the bound.
func placed(s *System, groups []group, f Freedoms, x []float64) System {
	out := System{Body: s.Body, Mounts: append([]Mount(nil), s.Mounts...)}
	mid, half := math.Log(f.Softest*f.Stiffest)/2, math.Log(f.Stiffest/f.Softest)/2
	for n, g := range groups {
		var v [5]float64
		for i := range v {
			v[i] = max(-1, min(1, x[5*n+i]))
		}
		for _, at := range []int{g.one, g.other} {
			if at < 0 {
				continue
			}
			side := 1.0
			if at == g.other {
				side = -1
			}
			m := &out.Mounts[at]
			m.At = r3.Add(m.At, r3.Vec{X: v[0] * f.X, Y: side * v[1] * f.Y, Z: v[2] * f.Z})
			for a := range m.Stiffness {
				m.Stiffness[a] *= math.Exp(mid + half*v[3])
			}
			if lean := side * v[4] * f.Lean; lean != 0 {
				turn := r3.NewRotation(lean, r3.Vec{X: 1})
				for a, d := range m.axes() {
					m.Axes[a] = turn.Rotate(d)
				}
			}
		}
	}
	return out
}
