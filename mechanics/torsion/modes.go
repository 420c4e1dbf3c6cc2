package torsion

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"crankwright/num"
)

// Mode is a way in which the undamped shaft swings by itself.
type Mode struct {
	Frequency float64   // [rad/s]; 0: the shaft turns as one
	Shape     []float64 // twist of each disc, the largest is 1 [1]
	Mass      float64   // Σ J θ² [kg m²]
	Nodes     int       // places where the twist changes sign: in spans, and at discs that stand still
}

// Modes returns the natural frequencies and mode shapes of a shaft, slowest first.
//
//	K θ = ω² J θ      ω² = Σ k (θ_a − θ_b)²/Σ J θ²
//
// with
//   - m: a model; damping and loss do not count
//
// Result [rad/s], one for each disc. They are the singular values of √k D/√J, D the differences along the spans: the
// symmetric eigenvalue problem without squaring, which keeps the digits of slow modes. A shaft that no spring holds to
// the block turns as one at 0, and so does each part that only viscous films hold. Errors: those of Check.
// Source: DENHARTOG, free vibration of several discs.
func Modes(m *Model) ([]Mode, error) {
	if err := m.Check(); err != nil {
		return nil, err
	}
	n := len(m.Discs)
	root := make([]float64, n)
	for i, d := range m.Discs {
		root[i] = 1 / math.Sqrt(d.Inertia)
	}
	out := m.rigid()
	all := make([]float64, 0, n*(len(m.Spans)+n))
	rows := make([][]float64, 0, len(m.Spans)+n)
	row := func() []float64 {
		all = all[:len(all)+n]
		rows = append(rows, all[len(all)-n:len(all):len(all)])
		return rows[len(rows)-1]
	}
	for _, s := range m.Spans {
		if s.Stiffness > 0 {
			r, k := row(), math.Sqrt(s.Stiffness)
			r[s.A], r[s.B] = k*root[s.A], -k*root[s.B]
		}
	}
	for i, d := range m.Discs {
		if d.Ground > 0 {
			row()[i] = math.Sqrt(d.Ground) * root[i]
		}
	}
	if !num.Orthogonalise(rows, n) {
		return nil, errors.New("torsion: the natural frequencies cannot be found; stiffnesses and moments of inertia lie too far apart")
	}
	first := len(out)
	for _, r := range rows {
		square := 0.0
		for d, v := range r {
			square += v * v
			r[d] = v * root[d]
		}
		out = append(out, Mode{Frequency: math.Sqrt(square), Shape: r})
	}
	slices.SortFunc(out[first:], func(a, b Mode) int { return cmp.Compare(b.Frequency, a.Frequency) })
	out = out[:n] // more springs than freedoms leave rows of zeros
	slices.Reverse(out[first:])
	for i := range out[first:] {
		m.finish(&out[first+i])
	}
	return out, nil
}

// rigid returns the modes in which parts turn as one.
func (m *Model) rigid() []Mode {
	count, part := m.parts(func(s Span) bool { return s.Stiffness > 0 })
	held := make([]bool, count)
	for i, d := range m.Discs {
		held[part[i]] = held[part[i]] || d.Ground > 0
	}
	var out []Mode
	for p := range count {
		if held[p] {
			continue
		}
		mode := Mode{Shape: make([]float64, len(m.Discs))}
		for i := range mode.Shape {
			if part[i] == p {
				mode.Shape[i] = 1
			}
		}
		m.finish(&mode)
		out = append(out, mode)
	}
	return out
}

// finish scales a shape and adds what follows from it.
func (m *Model) finish(mode *Mode) {
	top := 0.0
	for _, v := range mode.Shape {
		if math.Abs(v) > math.Abs(top)*(1+1e-9) { // of two that are equally large the first
			top = v
		}
	}
	mode.Mass = 0
	for i := range mode.Shape {
		mode.Shape[i] /= top
		mode.Mass += m.Discs[i].Inertia * mode.Shape[i] * mode.Shape[i]
	}
	mode.Nodes = m.nodes(mode.Shape)
}

// nodes counts where a shape changes sign: between two discs, or at one that stands still.
func (m *Model) nodes(shape []float64) (count int) {
	sign := func(d int) int {
		const still = 1e-9
		switch v := shape[d]; {
		case v > still:
			return 1
		case v < -still:
			return -1
		}
		return 0
	}
	still := map[int][2]bool{} // by disc: whether one beside it swings back, whether one swings forth
	for _, s := range m.Spans {
		if s.Stiffness == 0 {
			continue
		}
		a, b := sign(s.A), sign(s.B)
		if a*b < 0 {
			count++
		}
		for _, side := range [2][2]int{{s.A, b}, {s.B, a}} {
			if beside := still[side[0]]; side[1] != 0 && sign(side[0]) == 0 {
				beside[(side[1]+1)/2] = true
				still[side[0]] = beside
			}
		}
	}
	for _, beside := range still {
		if beside[0] && beside[1] {
			count++
		}
	}
	return count
}

// Magnifier returns how much the damping of a shaft lets one of its modes grow at resonance.
//
//	M = 1/(2ζ) = ω_n Σ J θ²/( Σ c_d θ_d² + Σ (c + η k/ω_n)(θ_a − θ_b)² )
//
// with
//   - m: the model whose mode it is
//
// Result [1], of the mode alone; infinite where nothing damps it, and for a mode in which the shaft turns as one.
// Source: DEFINITION, one mode with light damping.
func (mode Mode) Magnifier(m *Model) float64 {
	taken := 0.0
	for i, d := range m.Discs {
		taken += d.Damping * mode.Shape[i] * mode.Shape[i]
	}
	for _, s := range m.Spans {
		twist := mode.Shape[s.A] - mode.Shape[s.B]
		taken += (s.Damping + s.Stiffness*s.Loss/mode.Frequency) * twist * twist
	}
	if !(mode.Frequency > 0 && taken > 0) {
		return math.Inf(1)
	}
	return mode.Frequency * mode.Mass / taken
}

// EquivalentInertia returns the moment of inertia at one disc that swings with the energy of the whole mode.
//
//	J_eq = Σ J θ²/θ_d²
//
// with
//   - disc: index d; it must move in the mode
//
// Result [kg m²]. Errors: no such disc, a disc that stands still. Source: DENHARTOG, ch. 5, dampers.
func (mode Mode) EquivalentInertia(disc int) (float64, error) {
	if disc < 0 || disc >= len(mode.Shape) {
		return 0, fmt.Errorf("torsion: there is no disc with index %d", disc)
	}
	θ := mode.Shape[disc]
	if math.Abs(θ) < 1e-6 {
		return 0, errors.New("torsion: the disc stands still in this mode, so a damper does nothing there; put it where the mode moves, such as the free end")
	}
	return mode.Mass / (θ * θ), nil
}

// DampingFor returns the damping of each of some discs that gives a mode a wanted dynamic magnifier.
//
//	c = ω_n Σ J θ²/(M Σ θ_d²)
//
// with
//   - discs: indices of the discs that have the damper, such as Crank.Cylinders; one that is named twice has two
//   - magnifier: M, amplitude at resonance over that of the same torques at rest in this mode [1], from 1 up
//
// Result [N m s/rad], against the block. Errors: a rigid mode, discs that stand still. Source: DEFINITION, one mode
// with viscous damping, M = 1/(2ζ).
func (mode Mode) DampingFor(discs []int, magnifier float64) (float64, error) {
	if !(magnifier >= 1 && magnifier <= 1e6) {
		return 0, fmt.Errorf("torsion: the dynamic magnifier must lie between 1 and 1e6, such as 30, it is %g", magnifier)
	}
	if !(mode.Frequency > 0) {
		return 0, errors.New("torsion: in this mode the shaft turns as one; damping has nothing to magnify")
	}
	sum := 0.0
	for _, d := range discs {
		if d < 0 || d >= len(mode.Shape) {
			return 0, fmt.Errorf("torsion: there is no disc with index %d", d)
		}
		sum += mode.Shape[d] * mode.Shape[d]
	}
	if !(sum > 1e-12) {
		return 0, errors.New("torsion: the discs stand still in this mode, so damping there does nothing")
	}
	return mode.Frequency * mode.Mass / (magnifier * sum), nil
}
