package torsion

import (
	"fmt"
	"math"

	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/motion"
	"crankwright/num"
)

// SteelDensity is the density of steel [kg/m³]. Source: PRACTICE.
const SteelDensity = 7850.0

// Moving is what a cylinder's piston and rod add to the moment of inertia of their throw, on the mean of a revolution.
type Moving struct {
	Rotating      float64 // share of the rod that turns with the pin, m_rot r² [kg m²]
	Reciprocating float64 // the rest, about half the reciprocating mass times r² [kg m²]
	Mean          float64 // both: the mean of 2E [kg m²]
	Least, Most   float64 // of 2E within the revolution [kg m²]
}

// MovingInertia returns the moment of inertia of a cylinder's piston and rod as the crank feels it.
//
//	J(θ) = 2 E(θ) = m_p |w_p'|² + m_r |w_g'|² + J_r χ'²
//
// with
//   - t: a train that layout.Validate accepts
//   - cylinder: its index
//
// Result [kg m²], the mean over a revolution exact to rounding: for a rod of two point masses, no offset and a long rod,
// m_rot r² + ½ m_rec r². Errors: no such cylinder, motion.ErrReach. Source: DEFINITION, kinetic energy; the half is the
// textbook rule.
func MovingInertia(t *layout.Train, cylinder int) (Moving, error) {
	if t == nil || cylinder < 0 || cylinder >= len(t.Cylinders) {
		return Moving{}, fmt.Errorf("torsion: there is no cylinder with index %d", cylinder)
	}
	c := &t.Cylinders[cylinder]
	link, _, _ := motion.LinkageOf(t, cylinder)
	sampler := link.Sampler()
	n := max(64, link.Samples())
	m := Moving{Least: math.Inf(1)}
	for j := range n {
		s, err := sampler.At((num.Turn * num.Angle(j) / num.Angle(n)).Unit())
		if err != nil {
			return Moving{}, fmt.Errorf("cylinder %s: %w", c.Name, err)
		}
		g := motion.Along(s.Pin, s.Piston, c.Rod.CG/link.Length).Vel
		p := real(s.Piston.Vel)
		twice := c.Piston.Mass*p*p + c.Rod.Mass*(real(g)*real(g)+imag(g)*imag(g)) + c.Rod.Inertia*s.Rod.Vel*s.Rod.Vel
		m.Mean += twice / float64(n)
		m.Least, m.Most = min(m.Least, twice), max(m.Most, twice)
	}
	m.Rotating = inertia.RotatingShare(c.Rod) * link.Radius * link.Radius
	m.Reciprocating = m.Mean - m.Rotating
	return m, nil
}

// ThrowParts is the moment of inertia of a throw by part [kg m²].
type ThrowParts struct {
	Journal, Pin, Webs, Counterweights float64
	Moving                             float64 // rods and pistons of its cylinders
}

// Crank returns the share of the crank itself [kg m²]. Definition.
func (p ThrowParts) Crank() float64 { return p.Journal + p.Pin + p.Webs + p.Counterweights }

// Total returns the sum of the parts [kg m²]. Definition.
func (p ThrowParts) Total() float64 { return p.Crank() + p.Moving }

// Inertia returns the moment of inertia of a throw without counterweights, from mid journal to mid journal.
//
//	journal  ρ π/32 (D⁴ − d⁴) L
//	pin      ρ π/4 (D² − d²) L ( R² + (D² + d²)/8 )
//	web      ρ h b l ( a² + (l² + b²)/12 )      l = R + (D_j + D_c)/2,  a = (R + (D_c − D_j)/2)/2
//
// with
//   - density: ρ [kg/m³]
//
// Result [kg m²], with two webs. A web is a plate that ends where the circles of journal and pin end; its middle lies a
// from the axis. Errors: impossible sizes. Definition.
func (t ThrowShape) Inertia(density float64) (ThrowParts, error) {
	if err := t.Check(); err != nil {
		return ThrowParts{}, err
	}
	if err := checkDensity(density); err != nil {
		return ThrowParts{}, err
	}
	return t.inertia(density, t.JournalLength, 2*t.Web), nil
}

func checkDensity(density float64) error {
	if !(density >= 100 && density <= 25000) {
		return fmt.Errorf("torsion: a density of %g kg/m³ is not that of a metal; steel has 7850 kg/m³", density)
	}
	return nil
}

// inertia is Inertia for journals and webs of a given length and thickness in all.
func (t ThrowShape) inertia(density, journal, webs float64) ThrowParts {
	o, b := t.Pin.Outer*t.Pin.Outer, t.Pin.Bore*t.Pin.Bore
	l := t.Radius + (t.Journal.Outer+t.Pin.Outer)/2
	a := (t.Radius + (t.Pin.Outer-t.Journal.Outer)/2) / 2
	return ThrowParts{
		Journal: density * math.Pi / 32 * t.Journal.fourth() * journal,
		Pin:     density * math.Pi / 4 * (o - b) * t.PinLength * (t.Radius*t.Radius + (o+b)/8),
		Webs:    density * webs * t.WebWidth * l * (a*a + (l*l+t.WebWidth*t.WebWidth)/12),
	}
}
