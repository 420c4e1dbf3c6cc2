package inertia

import (
	"errors"
	"math"
	"math/cmplx"

	"crankwright/mechanics/layout"
	"crankwright/mechanics/motion"
	"crankwright/num"
)

// kind is all that a cylinder's own harmonics depend on; cylinders of one kind share a transform.
type kind struct {
	link        motion.Linkage
	pistonMass  float64
	rodMass, cg float64
	rodInertia  float64
}

// harmonics are the contributions of one kind of cylinder in its base frame, per ω², by whole order.
type harmonics struct {
	kind    kind
	orders  int          // highest order kept
	with    []complex128 // c_n of the force −Q'' [kg m]
	against []complex128 // c_{−n}
	torque  []complex128 // T_n, T(φ) = Re Σ T_n e^{inφ} [kg m²]
	roll    []complex128
}

func kindOf(t *layout.Train, i int, twoMass bool) (k kind, axis, phase num.Angle) {
	c := &t.Cylinders[i]
	k.link, axis, phase = motion.LinkageOf(t, i)
	k.pistonMass, k.rodMass, k.cg, k.rodInertia = c.Piston.Mass, c.Rod.Mass, c.Rod.CG, c.Rod.Inertia
	if twoMass {
		k.rodInertia = twoMassInertia(c.Rod)
	}
	return k, axis, phase
}

// parts returns the three quantities of one cylinder at one crank position, per ω².
func (k *kind) parts(s motion.State) (force complex128, torque, roll float64) {
	p := s.Piston
	g := motion.Along(s.Pin, s.Piston, k.cg/k.link.Length)
	mp, mr := k.pistonMass, k.rodMass
	force = -(complex(mp, 0)*p.Acc + complex(mr, 0)*g.Acc)
	torque = -(mp*dot(p.Vel, p.Acc) + mr*dot(g.Vel, g.Acc) + k.rodInertia*s.Rod.Vel*s.Rod.Acc)
	spin := mp*cross(p.Pos, p.Acc) + mr*cross(g.Pos, g.Acc) + k.rodInertia*s.Rod.Acc
	return force, torque, -torque - spin
}

func dot(a, b complex128) float64   { return real(a)*real(b) + imag(a)*imag(b) }
func cross(a, b complex128) float64 { return real(a)*imag(b) - imag(a)*real(b) }

// tail is the share of the largest harmonic below which a harmonic is rounding.
const tail = 2e-15

// ErrAbrupt is returned where a piston's motion has harmonics without end: a linked rod that at some
// crank angle barely reaches its cylinder.
var ErrAbrupt = errors.New("inertia: a linked rod barely reaches its cylinder axis at some crank angle; lengthen it or shorten the knuckle radius")

// solveKind fills h with the harmonics of kind k.
func (s *Solver) solveKind(h *harmonics, k kind) error {
	h.kind = k
	for n := k.link.Samples(); ; n *= 2 {
		resolved, err := s.transformKind(h, n)
		if err != nil {
			return err
		}
		if resolved {
			return nil
		}
		if n >= motion.MostSamples {
			return ErrAbrupt
		}
	}
}

// transformKind samples kind h.kind n times a revolution and reports whether that was enough: the
// upper quarter of the spectrum must have sunk to rounding.
func (s *Solver) transformKind(h *harmonics, n int) (bool, error) {
	h.with, h.against = grown(h.with, n/2), grown(h.against, n/2)
	h.torque, h.roll = grown(h.torque, n/2), grown(h.roll, n/2)
	transform := s.transformAny
	if !h.kind.link.Linked && h.kind.link.Offset == 0 {
		transform = s.transformCentral
	}
	if err := transform(h, s.transform(n)); err != nil {
		return false, err
	}
	h.with[0], h.against[0] = 0, 0 // Q is periodic: no constant force
	h.torque[0], h.roll[0] = 0, 0  // E and H are periodic: no mean torque, no mean roll moment
	var peakForce, peakScalar float64
	for i := range h.with {
		peakForce = max(peakForce, size(h.with[i]), size(h.against[i]))
		peakScalar = max(peakScalar, size(h.torque[i]), size(h.roll[i]))
	}
	h.orders = 1
	for i := range h.with {
		kept := keep(&h.with[i], tail*peakForce)
		kept = keep(&h.against[i], tail*peakForce) || kept
		kept = keep(&h.torque[i], tail*peakScalar) || kept
		kept = keep(&h.roll[i], tail*peakScalar) || kept
		if kept {
			h.orders = i
		}
	}
	return h.orders <= n*3/8, nil
}

// transformAny takes the harmonics of any linkage from a whole revolution.
func (s *Solver) transformAny(h *harmonics, t *num.Transform) error {
	n := t.Len()
	s.force, s.scalar = grown(s.force, n), grown(s.scalar, n)
	sampler := h.kind.link.Sampler()
	turn := h.kind.link.Lean.Unit() // from the cylinder's own frame to its base frame
	for j := range n {
		state, err := sampler.At(t.Unit(j))
		if err != nil {
			return err
		}
		f, torque, roll := h.kind.parts(state)
		s.force[j], s.scalar[j] = turn*f, complex(torque, roll)
	}
	t.Harmonics(s.force)
	t.Harmonics(s.scalar)
	for i := 1; i < n/2; i++ {
		up, down := s.scalar[i], cmplx.Conj(s.scalar[n-i])
		h.with[i], h.against[i] = s.force[i], s.force[n-i]
		h.torque[i] = up + down         // two real signals in one transform:
		h.roll[i] = (up - down) * (-1i) // sum and difference of mirrored harmonics
	}
	return nil
}

// transformCentral takes the harmonics of a central crank from half a revolution: up and down are
// mirror images, the force along the axis is even, torque and roll moment are odd, and the force
// across the axis is that of the rod's rotating share alone.
func (s *Solver) transformCentral(h *harmonics, t *num.Transform) error {
	half := t.Len() / 2
	if cap(s.half) < 6*(half+1) {
		s.half = make([]float64, 6*(half+1))
	}
	part := func(i int) []float64 { return s.half[i*(half+1) : (i+1)*(half+1)] }
	along, torque, roll := part(0), part(1), part(2)
	sampler := h.kind.link.Sampler()
	for j := range along {
		state, err := sampler.At(t.Unit(j))
		if err != nil {
			return err
		}
		var f complex128
		f, torque[j], roll[j] = h.kind.parts(state)
		along[j] = real(f)
	}
	a, b, c := part(3)[:half], part(4)[:half], part(5)[:half]
	t.Even(a, along)
	t.Odd(b, torque)
	t.Odd(c, roll)
	for i := range a {
		h.with[i], h.against[i] = complex(a[i]/2, 0), complex(a[i]/2, 0)
		h.torque[i], h.roll[i] = complex(0, -b[i]), complex(0, -c[i])
	}
	k := &h.kind
	across := k.rodMass * (1 - k.cg/k.link.Length) * k.link.Radius / 2 // of m r sin φ across the axis
	h.with[1] += complex(across, 0)
	h.against[1] -= complex(across, 0)
	return nil
}

// keep drops what is no more than rounding.
func keep(c *complex128, limit float64) bool {
	re, im := real(*c), imag(*c)
	if math.Abs(re) <= limit {
		re = 0
	}
	if math.Abs(im) <= limit {
		im = 0
	}
	*c = complex(re, im)
	return re != 0 || im != 0
}

// size is the larger component, a bound on |c| that needs no square root.
func size(c complex128) float64 { return max(math.Abs(real(c)), math.Abs(imag(c))) }

func grown(x []complex128, n int) []complex128 {
	if cap(x) < n {
		return make([]complex128, n)
	}
	return x[:n]
}
