package bearing

import (
	"fmt"
	"math"

	"crankwright/mechanics/layout"
)

// CylinderLoads are the forces of one cylinder at every angle over two revolutions.
type CylinderLoads struct {
	Gas      []float64    // of the gas on the piston, towards the crank [N]
	Side     []float64    // of the piston on its bore, positive towards Axis + 90° [N]
	SmallEnd []complex128 // of the rod on the piston pin, cylinder's frame: real part outward along its axis [N]
	BigEnd   []complex128 // of the rod on its crankpin (of a linked rod: on its knuckle pin), block's frame [N]
}

// Loads are the bearing loads of an engine at one speed, at every angle over two revolutions.
type Loads struct {
	Speed  float64 // crank speed [rad/s]
	Of     []CylinderLoads
	Pins   [][]complex128 // by throw: of all its rods on the pin, block's frame [N]
	Mains  [][]complex128 // by main: of the journal on its bearing, block's frame [N]
	Torque []float64      // of the rods on the crank [N m], positive in the sense of rotation
}

// Loads returns the bearing loads.
//
//	crankpin −B, mains Σ share (−B) + ω² Σ share U i e^{i(ψ + θ)} + weights
//
// with
//   - dst: receives the result; its slices are reused; nil allocates
//   - pressure: by cylinder, the pressure [Pa] at CycleSamples equal crank angles over the cylinder's own cycle, the
//     first at its firing top dead centre; one curve alone serves all cylinders; nil stands for a cylinder in which
//     no pressure acts
//   - p0: pressure below the piston [Pa], the crankcase's
//   - ω: crank speed [rad/s], constant, not negative
//
// Result [N] and [N m]. The torque is that of gas and inertia (package torque). A pressure whose firing falls between
// two angles is placed by a cubic through four samples. The block's frame of a clockwise engine is the mirror image
// (y → −y) of the train as written, cylinders' frames are mirrored with it. The weight of crank, pistons and rods is
// left out. With a used dst nothing is allocated. Errors: a wrong number of curves or samples, a value that is no
// pressure or speed. Source: DEFINITION, Newton's second law on rigid bodies; see the package.
func (m *Mechanism) Loads(dst *Loads, pressure [][]float64, p0, ω float64) (*Loads, error) {
	if err := m.check(pressure, p0, ω); err != nil {
		return nil, err
	}
	if dst == nil {
		dst = &Loads{}
	}
	dst.reset(m, ω)
	for _, i := range m.order {
		m.cylinder(dst, pressure, p0, ω, i)
	}
	m.crank(dst)
	m.mains(dst)
	if m.train.Rotation == layout.Clockwise {
		for i := range dst.Of {
			mirror(dst.Of[i].BigEnd)
		}
		for i := range dst.Pins {
			mirror(dst.Pins[i])
		}
		for i := range dst.Mains {
			mirror(dst.Mains[i])
		}
	}
	return dst, nil
}

func (m *Mechanism) check(pressure [][]float64, p0, ω float64) error {
	cylinders := len(m.rods)
	if len(pressure) != 1 && len(pressure) != cylinders {
		return fmt.Errorf("bearing: there are %d pressure curves; give one, or one for each of the %d cylinders", len(pressure), cylinders)
	}
	if !(p0 >= 0) || p0 > 1e9 {
		return fmt.Errorf("bearing: the pressure below the piston is %.4g bar; an absolute pressure such as 1 bar is needed", p0/1e5)
	}
	if !(ω >= 0) || ω > 1e5 {
		return fmt.Errorf("bearing: the crank speed is %.4g rad/s; it must not be negative, such as 600 rad/s", ω)
	}
	for i, p := range pressure {
		if p == nil {
			continue
		}
		if len(p) != m.CycleSamples() {
			return fmt.Errorf("bearing: pressure curve %d has %d values; it needs %d, equal steps over one cycle", i+1, len(p), m.CycleSamples())
		}
		for j, v := range p {
			if !(math.Abs(v) < 1e10) {
				return fmt.Errorf("bearing: pressure curve %d has no pressure at sample %d", i+1, j+1)
			}
		}
	}
	return nil
}

// cylinder computes the forces of one cylinder. The linked rods that it carries have left the sum of the forces on
// them in BigEnd and the sideways force that they ask for in Side.
func (m *Mechanism) cylinder(dst *Loads, pressure [][]float64, p0, ω float64, i int) {
	r, of := &m.rods[i], &dst.Of[i]
	curve := pressure[0]
	if len(pressure) > 1 {
		curve = pressure[i]
	}
	if curve != nil {
		r.shift.put(of.Gas, curve)
		for j := range of.Gas {
			of.Gas[j] = (of.Gas[j] - p0) * m.area
		}
	}
	square, half := ω*ω, m.n/2
	for j := range m.n {
		k := j
		if k >= half {
			k -= half
		}
		along := square*r.push[k] + of.Gas[j]
		of.Side[j] += square*r.across[k] + of.Gas[j]*r.tilt[k]
		of.SmallEnd[j] = complex(along, of.Side[j])
		pin := of.SmallEnd[j] + complex(square*real(r.mass[k]), square*imag(r.mass[k])) + of.BigEnd[j]
		if r.master >= 0 {
			carrier, force := &dst.Of[r.master], r.turn*pin
			carrier.BigEnd[j] += force
			carrier.Side[j] -= cross(r.knuckle[k], force)
		}
		of.BigEnd[j] = -r.place * pin
	}
}

// crank sums the forces on the crankpins and their torque.
func (m *Mechanism) crank(dst *Loads) {
	for i := range m.rods {
		if m.rods[i].master >= 0 {
			continue
		}
		throw := m.train.Cylinders[i].Throw
		pin, end := dst.Pins[throw], dst.Of[i].BigEnd
		for j, f := range end {
			pin[j] += f
		}
	}
	for i, pin := range dst.Pins {
		th := &m.train.Throws[i]
		arm := complex(0, th.Radius) * th.Angle.Unit()
		for j, f := range pin {
			dst.Torque[j] += cross(arm*m.units[j], f)
		}
	}
}

// mains shares the loads of the crank among its mains.
func (m *Mechanism) mains(dst *Loads) {
	square := complex(dst.Speed*dst.Speed, 0)
	for k, main := range dst.Mains {
		turning := square * m.turning[k]
		for j, u := range m.units {
			main[j] = turning*u + m.weight[k]
		}
		for i, share := range m.Share[k] {
			if share == 0 {
				continue
			}
			for j, f := range dst.Of[i].BigEnd {
				main[j] += complex(share*real(f), share*imag(f))
			}
		}
	}
}

func mirror(x []complex128) {
	for j, w := range x {
		x[j] = complex(-real(w), imag(w))
	}
}

func (l *Loads) reset(m *Mechanism, ω float64) {
	l.Speed = ω
	l.Of = grown(l.Of, len(m.rods))
	for i := range l.Of {
		of := &l.Of[i]
		of.Gas, of.Side = zeros(of.Gas, m.n), zeros(of.Side, m.n)
		of.SmallEnd, of.BigEnd = zeros(of.SmallEnd, m.n), zeros(of.BigEnd, m.n)
	}
	l.Pins = grown(l.Pins, len(m.train.Throws))
	for i := range l.Pins {
		l.Pins[i] = zeros(l.Pins[i], m.n)
	}
	l.Mains = grown(l.Mains, len(m.Mains))
	for i := range l.Mains {
		l.Mains[i] = zeros(l.Mains[i], m.n)
	}
	l.Torque = zeros(l.Torque, m.n)
}

// grown returns a slice of n elements that keeps those of x.
func grown[T any](x []T, n int) []T {
	if cap(x) < n {
		return append(x[:cap(x)], make([]T, n-cap(x))...)
	}
	return x[:n]
}

func zeros[T float64 | complex128](x []T, n int) []T {
	x = grown(x, n)
	clear(x)
	return x
}

// place is where a curve over one cycle begins among the angles: so many samples late, and a share of one.
type place struct {
	late   int
	weight [4]float64 // of the four samples around, by Lagrange
}

// placeOf returns the place of a curve of n samples that begins at a sample number that may lie between two.
func placeOf(at float64, n int) place {
	at = math.Mod(at, float64(n))
	if at < 0 {
		at += float64(n)
	}
	whole := math.Ceil(at - 1e-9)
	x := max(0, whole-at) // the first value wanted lies so far behind the curve's first sample
	return place{
		late:   int(whole) % n,
		weight: [4]float64{-x * (x - 1) * (x - 2) / 6, (x + 1) * (x - 1) * (x - 2) / 2, -(x + 1) * x * (x - 2) / 2, (x + 1) * x * (x - 1) / 6},
	}
}

// put fills dst, a whole number of cycles, with a curve over one cycle in its place.
func (p place) put(dst, curve []float64) {
	n, w := len(curve), p.weight
	for j := range n {
		a := j - p.late
		if a < 0 {
			a += n
		}
		v := curve[a]
		if w[1] != 1 {
			v = w[0]*curve[(a+n-1)%n] + w[1]*v + w[2]*curve[(a+1)%n] + w[3]*curve[(a+2)%n]
		}
		for k := j; k < len(dst); k += n {
			dst[k] = v
		}
	}
}
