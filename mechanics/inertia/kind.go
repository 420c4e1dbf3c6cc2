package inertia

import (
	"errors"
	"math"
	"math/cmplx"
	"slices"

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

// harmonics are the contributions of one kind of cylinder in its base frame, per ω².
type harmonics struct {
	kind    kind
	orders  int        // highest order kept
	at      []harmonic // by whole order
	central bool       // the force is even and torque and roll are odd: real and imaginary harmonics
}

// harmonic is one order of them.
type harmonic struct {
	with    complex128 // c_n of the force −Q'' [kg m]
	against complex128 // c_{−n}
	torque  complex128 // T_n, T(φ) = Re Σ T_n e^{inφ} [kg m²]
	roll    complex128
	size    sizes // of those
}

type sizes struct{ with, against, torque, roll float64 }

// set makes it the kind of a cylinder and returns the cylinder's base axis.
func (k *kind) set(t *layout.Train, i int, twoMass bool) (axis num.Angle) {
	c := &t.Cylinders[i]
	k.link, axis, _ = motion.LinkageOf(t, i)
	k.pistonMass, k.rodMass, k.cg, k.rodInertia = c.Piston.Mass, c.Rod.Mass, c.Rod.CG, c.Rod.Inertia
	if twoMass {
		k.rodInertia = twoMassInertia(c.Rod)
	}
	return axis
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

// tail is the share of the largest harmonic below which a harmonic is rounding; and rounded is that of what was added up to get
// it, which may have cancelled.
const tail, rounded = 2e-15, 1e-16

// summed is the size of the terms of torque and roll moment [kg m²]. They cancel where hardly anything of a rod moves to and
// fro, and where a rod has the moment of inertia of two masses at its eyes.
func (k *kind) summed() float64 {
	r := k.link.Radius + k.link.Knuckle
	return (k.pistonMass+k.rodMass)*r*r + math.Abs(k.rodInertia)*r/k.link.Length
}

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
	h.at = slices.Grow(h.at[:0], n/2)[:n/2]
	transform := s.transformAny
	link := &h.kind.link
	if h.central = !link.Linked && link.Offset == 0 && n <= mostQuarter; h.central {
		transform = s.transformCentral
	}
	if err := transform(h, s.transform(n)); err != nil {
		return false, err
	}
	h.at[0] = harmonic{} // Q, E and H are periodic: no constant force, no mean torque, no mean roll moment
	var force, scalar float64
	for i := range h.at {
		q := &h.at[i]
		z := &q.size
		if h.central { // the other parts are zero
			z.with, z.against, z.torque, z.roll = math.Abs(real(q.with)), math.Abs(real(q.against)), math.Abs(imag(q.torque)), math.Abs(imag(q.roll))
		} else {
			z.with, z.against, z.torque, z.roll = size(q.with), size(q.against), size(q.torque), size(q.roll)
		}
		force, scalar = larger(larger(force, z.with), z.against), larger(larger(scalar, z.torque), z.roll)
	}
	force, scalar = tail*force, larger(tail*scalar, rounded*h.kind.summed())
	h.orders = len(h.at) - 1
	for z := &h.at[h.orders].size; h.orders > 1 && z.with <= force && z.against <= force && z.torque <= scalar && z.roll <= scalar; z = &h.at[h.orders].size {
		h.orders--
	}
	h.at = h.at[:h.orders+1]
	for i := range h.at {
		q := &h.at[i]
		z := &q.size
		h.keep(&q.with, &z.with, force)
		h.keep(&q.against, &z.against, force)
		h.keep(&q.torque, &z.torque, scalar)
		h.keep(&q.roll, &z.roll, scalar)
	}
	return h.orders <= n*3/8, nil
}

// mostQuarter is the largest number of samples for which the tables of a quarter of a revolution are worth their memory.
const mostQuarter = 512

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
		q := &h.at[i]
		q.with, q.against = s.force[i], s.force[n-i]
		q.torque = up + down         // two real signals in one transform:
		q.roll = (up - down) * (-1i) // sum and difference of mirrored harmonics
	}
	return nil
}

// transformCentral takes the harmonics of a central crank from a quarter of a revolution.
//
//	x = r sin φ   y = r cos φ   h = √(l² − x²)   b = x y/h   q = −(y² − x² + b²)/h
//	along = (m_p + m_r) y − (m_p + f m_r) q      f = c/l
//
// The piston's velocity is −(x + b), its acceleration −y + q. Up and down are mirror images: the force along the axis
// is even; torque and roll moment are odd. Left and right of the axis h, q and x repeat and y and b change sign: what has
// that sign has odd orders, what has it not even ones. The force across the axis is that of the rod's rotating share alone.
func (s *Solver) transformCentral(h *harmonics, t *num.Transform) error {
	k := &h.kind
	n := t.Len()
	quarter := n / 4
	s.half = slices.Grow(s.half[:0], 8*quarter+4)
	room := s.half[:8*quarter+4]
	part := func(n int) []float64 {
		p := room[:n:n]
		room = room[n:]
		return p
	}
	bent, even, odd, turning := part(quarter+1), part(quarter+1), part(quarter+1), part(quarter+1)
	r, l, f := k.link.Radius, k.link.Length, k.cg/k.link.Length
	mp, mr := k.pistonMass, k.rodMass
	slides, swings, tilts := mp+f*mr, mp+f*f*mr, mp+f*(2-f)*mr
	for j := range bent {
		u := t.Unit(j)
		x, y := r*imag(u), r*real(u)
		rest := l*l - x*x
		if !(rest > 0) {
			return motion.ErrReach
		}
		h := math.Sqrt(rest)
		inverse := 1 / h
		b := x * y * inverse
		q := -(y*y - x*x + b*b) * inverse
		turn := (x - y*b*inverse) * inverse // the rod's second derivative; the first is −y/h
		bent[j] = q
		even[j] = swings*b*q - tilts*x*y + k.rodInertia*y*inverse*turn
		odd[j] = slides * (x*q - y*b)
		turning[j] = k.rodInertia*turn - mr*f*(1-f)*x*(h+q)
	}
	a, torqueEven, torqueOdd, spin := part(quarter), part(quarter), part(quarter), part(quarter)
	t.Even(a, torqueEven, bent, even)
	t.Odd(torqueOdd, spin, odd, turning)
	for i, v := range a {
		along := complex(-slides*v/2, 0)
		h.at[2*i] = harmonic{with: along, against: along, torque: complex(0, -torqueEven[i]), roll: complex(0, torqueEven[i])}
		h.at[2*i+1] = harmonic{torque: complex(0, -torqueOdd[i]), roll: complex(0, torqueOdd[i]+spin[i])}
	}
	along := (mp + mr) * r / 2
	across := mr * (1 - f) * r / 2 // of m r sin φ across the axis
	h.at[1].with, h.at[1].against = complex(along+across, 0), complex(along-across, 0)
	return nil
}

// keep drops what is no more than rounding, from a harmonic and its size.
func (h *harmonics) keep(c *complex128, size *float64, limit float64) {
	if *size <= limit {
		*c, *size = 0, 0
	} else if !h.central { // where one part is zero anyway
		drop(c, limit)
	}
}

// drop sets to zero what is no more than rounding, and reports whether something is left.
func drop(c *complex128, limit float64) bool {
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

func above(x, limit float64) float64 {
	if math.Abs(x) <= limit {
		return 0
	}
	return x
}

// size is the larger component, a bound on |c| that needs no square root.
func size(c complex128) float64 { return larger(math.Abs(real(c)), math.Abs(imag(c))) }

func larger(a, b float64) float64 {
	if b > a {
		return b
	}
	return a
}

func grown(x []complex128, n int) []complex128 {
	if cap(x) < n {
		return make([]complex128, n)
	}
	return x[:n]
}
