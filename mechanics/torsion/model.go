package torsion

import (
	"errors"
	"fmt"
	"math"
)

// Disc is a stiff part of the shaft that swings as one.
type Disc struct {
	Name    string
	Inertia float64 // moment of inertia [kg m²], greater than zero
	Damping float64 // against the block (absolute), viscous [N m s/rad]
	Ground  float64 // stiffness of a spring to the block [N m/rad]; 0: none
}

// Span is a part of the shaft that twists, between two discs.
type Span struct {
	Name      string
	A, B      int     // indices of its discs
	Stiffness float64 // [N m/rad]; 0 only where there is damping: a coupling by a viscous film
	Damping   float64 // between its discs (relative), viscous [N m s/rad]
	Loss      float64 // loss factor η of hysteretic damping: stiffness k(1 + iη) [1]
	Modulus   float64 // polar section modulus of its weakest section [m³]; 0: its stress is not asked for
}

// Model is a shaft system: a chain, with branches where wanted. Parts behind a gear are referred to the crank, see
// Referred.
type Model struct {
	Discs []Disc
	Spans []Span
}

// Limits of a model. Definition: far beyond what engines have, so that a wrong unit is told from an engine.
const (
	MaxDiscs     = 400     // discs in a model [1]
	MinInertia   = 1e-9    // [kg m²]
	MaxInertia   = 1e9     // [kg m²]
	MaxStiffness = 1e13    // [N m/rad]
	MinStiffness = 1e-3    // [N m/rad]
	MaxDamping   = 1e9     // [N m s/rad]
	MaxLoss      = 2.0     // [1]
	MaxTorque    = 1e9     // of one order [N m]
	MaxSpeed     = 1e4     // of the crank [rad/s]
	MaxOrders    = 1 << 10 // half orders [1]
)

// Check says why a model cannot exist, nil where it can.
//
// Its messages give [kg m²] and [N m/rad]. Definition.
func (m *Model) Check() error {
	if m == nil || len(m.Discs) == 0 {
		return errors.New("torsion: a shaft needs at least one disc, there is none")
	}
	if len(m.Discs) > MaxDiscs {
		return fmt.Errorf("torsion: the shaft has %d discs; %d are the most", len(m.Discs), MaxDiscs)
	}
	for i, d := range m.Discs {
		switch {
		case !(d.Inertia >= MinInertia && d.Inertia <= MaxInertia):
			return fmt.Errorf("torsion: the moment of inertia of %s must lie between %g and %g kg m², it is %g kg m²; join what weighs nothing to its neighbour", m.disc(i), MinInertia, MaxInertia, d.Inertia)
		case !(d.Damping >= 0 && d.Damping <= MaxDamping):
			return fmt.Errorf("torsion: the damping of %s must lie between 0 and %g N m s/rad, it is %g N m s/rad", m.disc(i), MaxDamping, d.Damping)
		case d.Ground != 0 && !(d.Ground >= MinStiffness && d.Ground <= MaxStiffness):
			return fmt.Errorf("torsion: the spring to the block of %s must be 0 or lie between %g and %g N m/rad, it is %g N m/rad", m.disc(i), MinStiffness, MaxStiffness, d.Ground)
		}
	}
	for i := range m.Spans {
		if err := m.checkSpan(i); err != nil {
			return err
		}
	}
	if parts, _ := m.parts(func(Span) bool { return true }); parts > 1 {
		return fmt.Errorf("torsion: the shaft falls into %d parts that nothing joins; give the span between them", parts)
	}
	return nil
}

func (m *Model) checkSpan(i int) error {
	s := &m.Spans[i]
	switch {
	case s.A < 0 || s.A >= len(m.Discs) || s.B < 0 || s.B >= len(m.Discs) || s.A == s.B:
		return fmt.Errorf("torsion: %s joins discs %d and %d; give two different ones of the %d discs", m.span(i), s.A+1, s.B+1, len(m.Discs))
	case s.Stiffness == 0 && s.Damping == 0:
		return fmt.Errorf("torsion: %s has neither stiffness nor damping, so it joins nothing", m.span(i))
	case s.Stiffness != 0 && !(s.Stiffness >= MinStiffness && s.Stiffness <= MaxStiffness):
		return fmt.Errorf("torsion: the stiffness of %s must lie between %g and %g N m/rad, it is %g N m/rad", m.span(i), MinStiffness, MaxStiffness, s.Stiffness)
	case !(s.Damping >= 0 && s.Damping <= MaxDamping):
		return fmt.Errorf("torsion: the damping of %s must lie between 0 and %g N m s/rad, it is %g N m s/rad", m.span(i), MaxDamping, s.Damping)
	case !(s.Loss >= 0 && s.Loss <= MaxLoss):
		return fmt.Errorf("torsion: the loss factor of %s must lie between 0 and %g, such as 0.02, it is %g", m.span(i), MaxLoss, s.Loss)
	case s.Modulus != 0 && !(s.Modulus >= 1e-12 && s.Modulus <= 1e3):
		return fmt.Errorf("torsion: the polar section modulus of %s must lie between 1e-12 and 1000 m³, it is %g m³", m.span(i), s.Modulus)
	}
	return nil
}

func (m *Model) disc(i int) string {
	if m.Discs[i].Name != "" {
		return m.Discs[i].Name
	}
	return fmt.Sprint("disc ", i+1)
}

func (m *Model) span(i int) string {
	if m.Spans[i].Name != "" {
		return m.Spans[i].Name
	}
	return fmt.Sprint("span ", i+1)
}

// Inertia returns the moment of inertia of all discs together [kg m²]. Definition.
func (m *Model) Inertia() float64 {
	sum := 0.0
	for _, d := range m.Discs {
		sum += d.Inertia
	}
	return sum
}

// parts counts the parts that spans of a kind hold together, and says to which part each disc belongs.
func (m *Model) parts(holds func(Span) bool) (int, []int) {
	of := make([]int, len(m.Discs))
	for i := range of {
		of[i] = i
	}
	root := func(i int) int {
		for of[i] != i {
			of[i] = of[of[i]]
			i = of[i]
		}
		return i
	}
	for _, s := range m.Spans {
		if holds(s) {
			of[root(s.A)] = root(s.B)
		}
	}
	count, name, part := 0, make([]int, len(of)), make([]int, len(of)) // name: of the part of a root, from 1
	for i := range of {
		r := root(i)
		if name[r] == 0 {
			count++
			name[r] = count
		}
		part[i] = name[r] - 1
	}
	return count, part
}

// Referred returns inertia, stiffness or damping of a part behind a gear as the crank feels it.
//
//	x' = x n²
//
// with
//   - x: inertia [kg m²], stiffness [N m/rad] or damping [N m s/rad]
//   - ratio: n, turns of the part per turn of the crank [1]
//
// Result [unit of x]. Source: DEFINITION, equal energies.
func Referred(x, ratio float64) float64 { return x * ratio * ratio }

func finite(x ...float64) bool {
	for _, v := range x {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}
