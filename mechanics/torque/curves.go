package torque

import (
	"fmt"
	"math"
	"math/cmplx"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Parts are torques on the crank at every angle over two revolutions [N m].
type Parts struct {
	Gas, Inertia, Total []float64
}

// Curves are the torques of an engine at one speed.
type Curves struct {
	Parts             // of the whole engine
	Of     []Parts    // by cylinder; none from Whole
	Work   float64    // work of all cylinders in one cycle [J]
	Mean   float64    // mean torque, which is that of the gas [N m]
	Orders num.Series // of the gas torque, by half orders [N m]; those of inertia are Mechanism.Torque times ω²
}

// Curves returns the torques of gas and inertia.
//
//	T_gas = −(p − p0) A s'(θ)      T_inertia = −ω² E'(θ)      mean = W/period
//
// with
//   - dst: receives the result; its slices are reused; nil allocates
//   - pressure: by cylinder, the pressure [Pa] at CycleSamples equal crank angles over the cylinder's own
//     cycle, the first at its firing top dead centre; one curve alone serves all cylinders; nil stands for a
//     cylinder in which no pressure acts
//   - p0: pressure below the piston [Pa], the crankcase's
//   - ω: crank speed [rad/s], constant, not negative
//
// Result [N m], positive in the sense of rotation. A cylinder whose firing falls between two angles is placed by
// a cubic through four samples, which keeps its work; Orders are placed exactly. Orders that cancel to
// rounding are zero. With a used dst nothing is allocated. Errors: a wrong number of curves or samples, a
// value that is no pressure. Source: DEFINITION, virtual work.
func (m *Mechanism) Curves(dst *Curves, pressure [][]float64, p0, ω float64) (*Curves, error) {
	return m.curves(dst, pressure, p0, ω, true)
}

// Whole is Curves without those of single cylinders, in less time and room.
//
//   - dst, pressure, p0, ω: as for Curves
//
// Result [N m], the same as of Curves but for Of, which is empty. Errors and source as of Curves.
// Source: DEFINITION, virtual work.
func (m *Mechanism) Whole(dst *Curves, pressure [][]float64, p0, ω float64) (*Curves, error) {
	return m.curves(dst, pressure, p0, ω, false)
}

func (m *Mechanism) curves(dst *Curves, pressure [][]float64, p0, ω float64, single bool) (*Curves, error) {
	if err := m.check(pressure, p0, ω); err != nil {
		return nil, err
	}
	if dst == nil {
		dst = &Curves{}
	}
	m.ownCurves(pressure, p0)
	dst.reset(m, single)
	step := float64(m.Step())
	square := ω * ω
	for i := range m.places {
		p, gas := &m.places[i], dst.Gas
		if single {
			gas = dst.Of[i].Gas
		}
		if p.own >= 0 {
			shifted(gas, m.own[p.own], float64(p.at)/step)
			m.addOrders(dst.Orders, m.orders[p.own], p.at)
		}
		if !single {
			continue
		}
		of := &dst.Of[i]
		for j, unit := range m.units[i] {
			of.Inertia[j] = square * unit
			of.Total[j] = of.Gas[j] + of.Inertia[j]
			dst.Gas[j] += of.Gas[j]
		}
	}
	for j, unit := range m.Unit {
		dst.Inertia[j] = square * unit
		dst.Total[j] = dst.Gas[j] + dst.Inertia[j]
	}
	for k := range dst.Orders {
		if size := cmplx.Abs(dst.Orders[k]); k > 0 && size <= 4e-15*float64(4+k)*m.weight[k] {
			dst.Orders[k] = 0
		}
	}
	dst.Mean = real(dst.Orders[0])
	dst.Work = dst.Mean * float64(m.Cycle.Period())
	return dst, nil
}

func (m *Mechanism) check(pressure [][]float64, p0, ω float64) error {
	if len(pressure) != 1 && len(pressure) != len(m.places) {
		return fmt.Errorf("torque: %d pressure curves were given; give one for all cylinders or %d, one for each", len(pressure), len(m.places))
	}
	if !(math.Abs(p0) < 1e9) {
		return fmt.Errorf("torque: the crankcase pressure must be a number such as 1 bar, it is %g Pa", p0)
	}
	if !(ω >= 0 && ω <= 1e5) {
		return fmt.Errorf("torque: the speed must lie between 0 and 1e5 rad/s, it is %g rad/s", ω)
	}
	for i, p := range pressure {
		if p == nil {
			continue
		}
		if len(p) != m.CycleSamples() {
			return fmt.Errorf("torque: the pressure curve of cylinder %s has %d values; it needs %d over its cycle, see Resample", m.Names[i], len(p), m.CycleSamples())
		}
		if i > 0 && pressure[i-1] != nil && &p[0] == &pressure[i-1][0] {
			continue
		}
		for j, v := range p {
			if !(math.Abs(v) < 1e9) {
				return fmt.Errorf("torque: the pressure curve of cylinder %s has the value %g Pa at index %d; pressures lie below 1e9 Pa", m.Names[i], v, j)
			}
		}
	}
	return nil
}

// ownCurves computes the torque of each cylinder on its own cycle, and its orders; cylinders that move alike
// and have the same pressure curve share both.
func (m *Mechanism) ownCurves(pressure [][]float64, p0 float64) {
	curve := func(i int) []float64 {
		if len(pressure) == 1 {
			return pressure[0]
		}
		return pressure[i]
	}
	used := 0
	for i := range m.places {
		p := curve(i)
		m.places[i].own = -1
		if p == nil {
			continue
		}
		for e := range i {
			if q := curve(e); q != nil && &q[0] == &p[0] && m.places[e].lever == m.places[i].lever {
				m.places[i].own = m.places[e].own
				break
			}
		}
		if m.places[i].own >= 0 {
			continue
		}
		if used == len(m.own) {
			m.own = append(m.own, make([]float64, m.CycleSamples()))
			m.orders = append(m.orders, make([]complex128, m.CycleSamples()/2+1))
		}
		own, lever := m.own[used], m.levers[m.places[i].lever]
		for first := 0; first < len(own); first += len(lever) {
			for j, l := range lever {
				own[first+j] = (p[first+j] - p0) * l
			}
		}
		m.fft.Coefficients(m.orders[used], own)
		m.places[i].own = used
		used++
	}
}

// addOrders adds the orders of one cylinder's own curve at its place. Transforms are over the cycle, whose
// index counts whole orders of a two-stroke engine. The order at half the number of samples, whose phase the
// samples do not tell, is left out.
func (m *Mechanism) addOrders(dst num.Series, own []complex128, at num.Angle) {
	stride := 1
	if m.Cycle == layout.TwoStroke {
		stride = 2
	}
	scale := complex(2/float64(m.CycleSamples()), 0)
	step := (-at * num.Angle(stride) / 2).Unit()
	turn := complex(1, 0)
	for k := 0; k < len(own)-1; k++ {
		if k%64 == 0 { // afresh now and then, so that rounding does not pile up
			turn = (-at * num.Angle(k*stride) / 2).Unit()
		}
		v := own[k] * scale
		if k == 0 {
			v /= 2
		}
		dst[k*stride] += v * turn
		m.weight[k*stride] += math.Abs(real(v)) + math.Abs(imag(v))
		turn *= step
	}
}

func (c *Curves) reset(m *Mechanism, single bool) {
	c.Parts.reset(m.n)
	if !single {
		c.Of = nil
	} else if m.byCylinder(); len(c.Of) != len(m.places) {
		c.Of = make([]Parts, len(m.places))
	}
	for i := range c.Of {
		c.Of[i].reset(m.n)
	}
	if cap(c.Orders) < m.n/2 {
		c.Orders = make(num.Series, m.n/2)
	}
	c.Orders = c.Orders[:m.n/2]
	clear(c.Orders)
	m.weight = grown(m.weight, m.n/2)
	clear(m.weight)
}

func (p *Parts) reset(n int) {
	p.Gas, p.Inertia, p.Total = grown(p.Gas, n), grown(p.Inertia, n), grown(p.Total, n)
	clear(p.Gas)
}
