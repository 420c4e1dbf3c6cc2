package balance

import (
	"fmt"
	"math"
	"slices"

	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// A train whose parts deviate is not solved afresh. A cylinder's order n is
//
//	W = a P(r, l) + b K(r, l)     a = m_piston + m_rod c/l     b = m_rod (1 − c/l)
//
// with P the order of a kilogram at the piston pin and K that of a kilogram at the driving pin: linear
// in the masses. P and K are expanded to the second order in crank radius and rod lengths about the
// nominal train, from exact transforms at small steps. A pin that is δ out turns W⁺ by e^{inδ} and W⁻
// by e^{−inδ}, exactly, and its axial place enters the moment alone.

// directions are the ways in which a linkage is stretched: all crank radii, all rods on crankpins, all
// linked rods. One stretch serves all cylinders, because a cylinder sees its own throw, its own or its
// master's rod, and its own linked rod only.
const directions = 3

// monomials is the number of terms of a second-order expansion in the relative deviations r, l and q of
// three directions, in the order 1, r, l, q, r², l², q², rl, rq, lq. A rod on a crankpin needs the first eight.
const (
	monomials      = 1 + directions + directions*(directions+1)/2
	plainMonomials = 8
)

// expansion is a complex number as a second-order polynomial.
type expansion [monomials]complex128

// at evaluates the polynomial; m are the monomials of the deviations.
func (e *expansion) at(m []float64) complex128 {
	var re, im float64
	for j, f := range m {
		re += f * real(e[j])
		im += f * imag(e[j])
	}
	return complex(re, im)
}

// orderShare is one order of one cylinder per kilogram at its piston pin and at its driving pin.
type orderShare struct {
	pistonWith, pistonAgainst expansion
	pinWith, pinAgainst       expansion
	pins                      bool // the driving pin has a share in this order
}

type cylinderModel struct {
	throw, master   int // indices of its deviations; master: the cylinder of the rod on the crankpin
	linked          bool
	piston, rod, cg float64
	length, at      float64
	radius          float64 // of its throw
	masterLength    float64 // of the rod on the crankpin
	orders          []orderShare
}

// massModel is a mass that turns: a counterweight, or a mass on a balance shaft.
type massModel struct {
	unit           complex128 // s² i e^{ia}, the force per unbalance
	amount, at     float64
	against        bool
	order          int // place in the orders
	amountAt, byAt int // places of its deviations
}

// toleranceModel evaluates the residuals of a train whose parts deviate.
type toleranceModel struct {
	orders    []int // half orders
	reference float64
	cylinders []cylinderModel
	throws    []massModel // pin and webs; they turn and shift with the pin
	masses    []massModel
	angles    []complex128 // scratch: e^{iδ} of each throw
	first     [toleranceClasses + 1]int
	counts    [toleranceClasses]int
	length    float64 // radius of gyration of the cylinders' places about the reference [m]
}

// vectors is the number of vectors of one order: force with and against, moment with and against.
const vectors = 4

// newToleranceModel expands a valid train. It is solved as written, not mirrored.
func newToleranceModel(t *layout.Train, orders []int) (*toleranceModel, error) {
	orders, err := checkedOrders(orders)
	if err != nil {
		return nil, err
	}
	m := &toleranceModel{orders: orders, reference: t.Reference, angles: make([]complex128, len(t.Throws)), length: leverOf(t)}
	masses := 0
	for _, s := range t.Shafts {
		masses += len(s.Masses)
	}
	cylinders, throws, weights := len(t.Cylinders), len(t.Throws), len(t.Counterweights)
	m.counts = [toleranceClasses]int{
		cylinders, cylinders, cylinders, throws, cylinders, throws, throws, throws, weights, weights, masses, len(t.Shafts),
	}
	for c, n := range m.counts {
		m.first[c+1] = m.first[c] + n
	}
	if err := m.expand(t); err != nil {
		return nil, err
	}
	m.turning(t)
	return m, nil
}

// leverOf returns the radius of gyration of the cylinders' places about the reference [m], by which
// moments are divided where they are added to forces: a mass that is wrong in any one cylinder then
// counts alike as force and as moment, on the whole. 1 where all stand at the reference.
func leverOf(t *layout.Train) float64 {
	sum := 0.0
	for i := range t.Cylinders {
		x := t.Cylinders[i].At - t.Reference
		sum += x * x / float64(len(t.Cylinders))
	}
	if sum == 0 {
		return 1
	}
	return math.Sqrt(sum)
}

// mostOrders is the number of orders that can be followed at a time [1]. Definition.
const mostOrders = 8

func checkedOrders(orders []int) ([]int, error) {
	if len(orders) == 0 {
		return []int{2, 4}, nil
	}
	orders = slices.Clone(orders)
	slices.Sort(orders)
	orders = slices.Compact(orders)
	if len(orders) > mostOrders {
		return nil, fmt.Errorf("there are %d orders; %d at a time are the most", len(orders), mostOrders)
	}
	for _, k := range orders {
		if k < 1 || k > 24 {
			return nil, fmt.Errorf("%g is no order that is followed here; orders are 0.5, 1, 1.5 to 12", float64(k)/2)
		}
	}
	return orders, nil
}

// unitShares returns one order of each cylinder with a kilogram at its piston pin, and at its driving pin.
func unitShares(s *inertia.Solver, t *layout.Train, k int) (piston, pin [][2]complex128, err error) {
	u := *t
	u.Rotation = layout.Anticlockwise
	u.Throws, u.Counterweights, u.Shafts = slices.Clone(t.Throws), nil, nil
	u.Cylinders = slices.Clone(t.Cylinders)
	shares := func(pistonMass, rodMass float64) ([][2]complex128, error) {
		for i := range u.Cylinders {
			c := &u.Cylinders[i]
			c.Piston.Mass, c.Rod.Mass, c.Rod.CG, c.Rod.Inertia = pistonMass, rodMass, 0, 0
		}
		parts, err := s.Contributions(&u, k, inertia.Options{})
		if err != nil {
			return nil, err
		}
		out := make([][2]complex128, len(u.Cylinders))
		for _, p := range parts {
			if p.Kind == inertia.FromCylinder {
				out[p.Index] = [2]complex128{p.With, p.Against}
			}
		}
		return out, nil
	}
	if piston, err = shares(1, 0); err != nil {
		return nil, nil, err
	}
	pin, err = shares(0, 1)
	return piston, pin, err
}

// stretched returns the train with radii, rods and linked rods longer by the given shares.
func stretched(t *layout.Train, by [directions]float64) *layout.Train {
	u := *t
	u.Throws, u.Cylinders = slices.Clone(t.Throws), slices.Clone(t.Cylinders)
	for i := range u.Throws {
		u.Throws[i].Radius *= 1 + by[0]
	}
	for i := range u.Cylinders {
		r := &u.Cylinders[i].Rod
		if r.Linked {
			r.Length *= 1 + by[2]
		} else {
			r.Length *= 1 + by[1]
		}
	}
	return &u
}

// stretchStep is the relative step of the differences: their truncation is about 1e-7 of a slope, the rounding
// of the second differences 1e-7 of a second derivative.
const stretchStep = 3e-4

// expand fills the cylinders with their second-order expansions by relative stretches.
func (m *toleranceModel) expand(t *layout.Train) error {
	anyLinked := false
	for i := range t.Cylinders {
		c := &t.Cylinders[i]
		y := cylinderModel{
			throw: c.Throw, master: i, linked: c.Rod.Linked, piston: c.Piston.Mass, rod: c.Rod.Mass, cg: c.Rod.CG,
			length: c.Rod.Length, at: c.At, radius: t.Throws[c.Throw].Radius, masterLength: c.Rod.Length,
			orders: make([]orderShare, len(m.orders)),
		}
		if c.Rod.Linked {
			y.master, y.masterLength, anyLinked = c.Rod.Master, t.Cylinders[c.Rod.Master].Rod.Length, true
		}
		m.cylinders = append(m.cylinders, y)
	}
	used := directions
	if !anyLinked {
		used--
	}
	var s inertia.Solver
	for o, k := range m.orders {
		node := func(by [directions]float64) ([][4]complex128, error) {
			piston, pin, err := unitShares(&s, stretched(t, by), k)
			out := make([][4]complex128, len(t.Cylinders))
			for i := range piston {
				out[i] = [4]complex128{piston[i][0], piston[i][1], pin[i][0], pin[i][1]}
			}
			return out, err
		}
		set := func(j int, terms func(i, q int) complex128) {
			for i := range m.cylinders {
				share := &m.cylinders[i].orders[o]
				for q, e := range []*expansion{&share.pistonWith, &share.pistonAgainst, &share.pinWith, &share.pinAgainst} {
					e[j] = terms(i, q)
				}
			}
		}
		zero, err := node([directions]float64{})
		if err != nil {
			return err
		}
		set(0, func(i, q int) complex128 { return zero[i][q] })
		var plus, minus [directions][][4]complex128
		for d := range used {
			by := [directions]float64{}
			by[d] = stretchStep
			if plus[d], err = node(by); err != nil {
				return err
			}
			by[d] = -stretchStep
			if minus[d], err = node(by); err != nil {
				return err
			}
			set(1+d, func(i, q int) complex128 { return (plus[d][i][q] - minus[d][i][q]) / (2 * stretchStep) })
			set(1+directions+d, func(i, q int) complex128 {
				return (plus[d][i][q] + minus[d][i][q] - 2*zero[i][q]) / (2 * stretchStep * stretchStep)
			})
		}
		for j, pair := range [][2]int{{0, 1}, {0, 2}, {1, 2}} {
			d, e := pair[0], pair[1]
			if e >= used {
				continue
			}
			var both, neither [][4]complex128
			by := [directions]float64{}
			by[d], by[e] = stretchStep, stretchStep
			if both, err = node(by); err != nil {
				return err
			}
			by[d], by[e] = -stretchStep, -stretchStep
			if neither, err = node(by); err != nil {
				return err
			}
			set(1+2*directions+j, func(i, q int) complex128 {
				sum := both[i][q] + neither[i][q] + 2*zero[i][q] - plus[d][i][q] - minus[d][i][q] - plus[e][i][q] - minus[e][i][q]
				return sum / (2 * stretchStep * stretchStep)
			})
		}
		for i := range m.cylinders {
			share := &m.cylinders[i].orders[o]
			share.pins = share.pinWith != expansion{} || share.pinAgainst != expansion{}
		}
	}
	return nil
}

// turning fills what turns: throws, counterweights and the masses of balance shafts.
func (m *toleranceModel) turning(t *layout.Train) {
	add := func(list *[]massModel, k int, ratio float64, u layout.Unbalance, amountAt, byAt int) {
		if o := slices.Index(m.orders, k); o >= 0 {
			*list = append(*list, massModel{
				unit: complex(0, ratio*ratio) * u.Angle.Unit(), amount: u.Amount, at: u.At, against: ratio < 0,
				order: o, amountAt: amountAt, byAt: byAt,
			})
		}
	}
	for i, th := range t.Throws {
		add(&m.throws, 2, 1, layout.Unbalance{At: th.At, Angle: th.Angle, Amount: th.Unbalance}, m.first[ThrowUnbalance]+i, i)
	}
	for i, c := range t.Counterweights {
		add(&m.masses, 2, 1, c, m.first[CounterweightUnbalance]+i, m.first[CounterweightAngle]+i)
	}
	next := m.first[ShaftUnbalance]
	for i, s := range t.Shafts {
		for _, u := range s.Masses {
			add(&m.masses, halfOrder(s.SpeedRatio), s.SpeedRatio, u, next, m.first[ShaftAngle]+i)
			next++
		}
	}
}

// width is the number of deviations of a train.
func (m *toleranceModel) width() int { return m.first[toleranceClasses] }

// eval computes the residual vectors for deviations dev: for each order force with, force against,
// moment with, moment against, into out.
func (m *toleranceModel) eval(out []complex128, dev []float64) {
	clear(out)
	of := func(c ToleranceClass) []float64 { return dev[m.first[c]:m.first[c+1]] }
	piston, rod, cg, length := of(PistonMass), of(RodMass), of(RodCG), of(RodLength)
	radius, angle, place := of(CrankRadius), of(PinAngle), of(PinPlace)
	for i, δ := range angle {
		m.angles[i] = num.Angle(δ).Unit()
	}
	for i := range m.cylinders {
		c := &m.cylinders[i]
		r, l := radius[c.throw]/c.radius, length[c.master]/c.masterLength
		mono := [monomials]float64{1, r, l, 0, r * r, l * l, 0, r * l}
		used := mono[:plainMonomials]
		if c.linked {
			q := length[i] / c.length
			mono[3], mono[6], mono[8], mono[9] = q, q*q, r*q, l*q
			used = mono[:]
		}
		share := (c.cg + cg[i]) / (c.length + length[i])
		rodMass := c.rod + rod[i]
		a, b := complex(c.piston+piston[i]+rodMass*share, 0), complex(rodMass*(1-share), 0)
		arm := complex(0, c.at+place[c.throw]-m.reference)
		turn, turned := complex(1, 0), 0
		for o, k := range m.orders {
			if k%2 != 0 {
				continue
			}
			for ; turned < k/2; turned++ {
				turn *= m.angles[c.throw]
			}
			s := &c.orders[o]
			with, against := a*s.pistonWith.at(used), a*s.pistonAgainst.at(used)
			if s.pins {
				with += b * s.pinWith.at(used)
				against += b * s.pinAgainst.at(used)
			}
			with *= turn
			against *= complex(real(turn), -imag(turn))
			v := out[vectors*o : vectors*o+vectors]
			v[0] += with
			v[1] += against
			v[2] += arm * with
			v[3] += arm * against
		}
	}
	for i := range m.throws {
		t := &m.throws[i]
		m.add(out, t, t.at+place[t.byAt], complex(t.amount+dev[t.amountAt], 0)*t.unit*m.angles[t.byAt])
	}
	for i := range m.masses {
		t := &m.masses[i]
		f := complex(t.amount+dev[t.amountAt], 0) * t.unit
		if δ := dev[t.byAt]; δ != 0 {
			f *= num.Angle(δ).Unit()
		}
		m.add(out, t, t.at, f)
	}
}

func (m *toleranceModel) add(out []complex128, t *massModel, at float64, f complex128) {
	j := vectors * t.order
	if t.against {
		j++
	}
	out[j] += f
	out[j+2] += complex(0, at-m.reference) * f
}
