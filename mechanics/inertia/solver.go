package inertia

import (
	"math"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Balance is what the inertia of a train does, per square of the crank speed.
type Balance struct {
	Reference float64    // x about which moments are taken [m]
	Force     num.Orbit  // shaking force F/ω² [kg m]
	Moment    num.Orbit  // shaking moment M/ω² about the y and z axes [kg m²]
	Torque    num.Series // inertia torque on the crank T/ω² [kg m²]
	Roll      num.Series // roll moment on the block R/ω², about +x [kg m²]
}

// Solver computes balances. It keeps its work arrays between calls, so that many trains are solved
// without allocation; it serves one goroutine at a time. The zero value is ready.
type Solver struct {
	transforms []*num.Transform
	force      []complex128
	scalar     []complex128
	half       []float64
	kinds      []harmonics
	kind       kind // of the cylinder at hand
	halves     []halves
	stands     []stand
	turning    []turning
	groups     []group
	parts      []part
	inline     inline
	weight     []weights  // by half order, as far as dropRounding goes
	orders     [4]int     // how many are left of force, moment, torque and roll moment
	series     num.Series // scratch for sampling
	terms      [2][]num.Term
	cos, sin   []float64 // over one revolution
}

// weights are sums of magnitudes by half order: what a sum would be if nothing cancelled.
type weights struct{ with, against, momentWith, momentAgainst, torque, roll float64 }

// Options change what is computed.
type Options struct {
	// TwoMass replaces each rod by masses at its two eyes, the textbook shortcut. The force stays
	// exact; torque and roll moment get the error that follows from ExcessInertia.
	TwoMass bool
}

// Solve computes the balance of a train.
//
//   - dst: receives the result; nil allocates
//   - t: a train that layout.Validate accepts
//
// Result per ω² [kg m] and [kg m²], harmonics up to the order at which the exact motion sinks to
// rounding. A sum that cancels to rounding is zero. motion.ErrReach where a rod cannot reach its
// cylinder. A clockwise train gives the mirror image. Accuracy: about 1e-14 of the sum of the
// magnitudes. Source: DEFINITION, Newton's second law on rigid bodies; see the package.
func (s *Solver) Solve(dst *Balance, t *layout.Train, opt Options) (*Balance, error) {
	if dst == nil {
		dst = &Balance{}
	}
	most := 2 // half orders: order 1 is always there
	for _, shaft := range t.Shafts {
		most = max(most, shaftIndex(shaft))
	}
	if err := s.place(t, opt); err != nil {
		return nil, err
	}
	weighed := most
	for i := range s.groups {
		most = max(most, 2*s.groups[i].orders)
	}
	dst.reset(most, t.Reference)
	inLine := s.inLine(t)
	if !inLine {
		weighed = most
	}
	s.resetWeights(weighed)
	s.orders = [4]int{}
	s.addCylinders(dst, inLine)
	s.addCrank(dst, t)
	s.addShafts(dst, t)
	s.dropRounding(dst, t)
	if t.Rotation == layout.Clockwise {
		dst.Force, dst.Moment = dst.Force.Mirror(false), dst.Moment.Mirror(true)
		for k := range dst.Roll {
			dst.Roll[k] = -dst.Roll[k]
		}
	}
	return dst, nil
}

// mostKinds is how many kinds of cylinders a solver remembers from one train to the next: engines
// that are compared or searched mostly share them.
const mostKinds = 32

func (s *Solver) forgetOldKinds() {
	if len(s.kinds) > mostKinds {
		s.forgetKinds()
	}
}

func (s *Solver) forgetKinds() { s.kinds, s.halves = s.kinds[:0], s.halves[:0] }

// kindFor returns the place of the kind of a cylinder among those that are known, and its base axis.
func (s *Solver) kindFor(t *layout.Train, i int, opt Options) (kind int, axis num.Angle, err error) {
	k := &s.kind
	axis = k.set(t, i, opt.TwoMass)
	for j := len(s.kinds) - 1; j >= 0; j-- { // the cylinders of one train stand last
		if s.kinds[j].kind == *k {
			return j, axis, nil
		}
	}
	n := len(s.kinds)
	if n < cap(s.kinds) {
		s.kinds = s.kinds[:n+1] // keeps the slices of an earlier solve
	} else {
		s.kinds = append(s.kinds, harmonics{})
	}
	if err := s.solveKind(&s.kinds[n], *k); err != nil {
		s.kinds = s.kinds[:n]
		return 0, 0, err
	}
	return n, axis, nil
}

func (s *Solver) transform(n int) *num.Transform {
	for _, t := range s.transforms {
		if t.Len() == n {
			return t
		}
	}
	t := num.NewTransform(n)
	s.transforms = append(s.transforms, t)
	return t
}

func (b *Balance) reset(k int, reference float64) {
	b.Reference = reference
	b.Force.Reversed, b.Moment.Reversed = false, false
	for _, p := range []*[]complex128{
		&b.Force.With, &b.Force.Against, &b.Moment.With, &b.Moment.Against,
		(*[]complex128)(&b.Torque), (*[]complex128)(&b.Roll),
	} {
		*p = grown(*p, k+1)
		clear(*p)
	}
}

func (s *Solver) resetWeights(k int) {
	if cap(s.weight) < k+1 {
		s.weight = make([]weights, k+1)
	}
	s.weight = s.weight[:k+1]
	clear(s.weight)
}

// addForce adds two counter-turning phasors of a force that acts at the axial place x.
func (s *Solver) addForce(b *Balance, k int, x float64, with, against complex128) {
	arm := complex(0, x-b.Reference)
	w := &s.weight[k]
	if with != 0 {
		a := size(with)
		b.Force.With[k] += with
		b.Moment.With[k] += arm * with
		w.with += a
		w.momentWith += a * math.Abs(x-b.Reference)
	}
	if against != 0 {
		a := size(against)
		b.Force.Against[k] += against
		b.Moment.Against[k] += arm * against
		w.against += a
		w.momentAgainst += a * math.Abs(x-b.Reference)
	}
}

// addCrank adds the masses that turn with the crank: throws and counterweights.
func (s *Solver) addCrank(b *Balance, t *layout.Train) {
	for i := range t.Throws {
		th := &t.Throws[i]
		if th.Unbalance != 0 {
			s.addForce(b, 2, th.At, complex(0, th.Unbalance)*s.turn(th.Angle)[1], 0)
		}
	}
	for i := range t.Counterweights {
		c := &t.Counterweights[i]
		s.addForce(b, 2, c.At, complex(0, c.Amount)*s.turn(c.Angle)[1], 0)
	}
}

// addShafts adds the balance shafts: a force at each mass and its moment about the crank axis.
func (s *Solver) addShafts(b *Balance, t *layout.Train) {
	for i := range t.Shafts {
		shaft := &t.Shafts[i]
		k := shaftIndex(*shaft)
		for j := range shaft.Masses {
			m := &shaft.Masses[j]
			with, against, roll := shaftForce(*shaft, *m)
			s.addForce(b, k, m.At, with, against)
			b.Roll[k] += roll
			s.weight[k].roll += size(roll)
		}
	}
}

func shaftIndex(s layout.Shaft) int {
	return int(2*math.Abs(s.SpeedRatio) + 0.5)
}

// dropRounding sets to zero what cancelled to rounding, as far as there are weights, and counts the orders that are left.
func (s *Solver) dropRounding(b *Balance, t *layout.Train) {
	s.dropOrders(b, 2, len(s.weight), 2)
	for i := range t.Shafts {
		if k := shaftIndex(t.Shafts[i]); k%2 != 0 {
			s.dropOrders(b, k, k+1, 2)
		}
	}
}

// rounding is the share below which a sum in half order k is rounding [1]. The phasors of order n carry the rounding of the
// throw angles n times.
func rounding(k int) float64 { return 4e-15 * (2 + float64(k)/2) }

// dropOrders is dropRounding for some orders.
func (s *Solver) dropOrders(b *Balance, from, to, step int) {
	weight := s.weight[:to]
	forceWith, forceAgainst := b.Force.With[:to], b.Force.Against[:to]
	momentWith, momentAgainst := b.Moment.With[:to], b.Moment.Against[:to]
	torque, roll := b.Torque[:to], b.Roll[:to]
	var forces, moments, torques, rolls int
	for k := from; k < to; k += step {
		limit := rounding(k)
		w := &weight[k] // zero: nothing acts
		forces += dropPair(&forceWith[k], &forceAgainst[k], limit, w.with, w.against)
		moments += dropPair(&momentWith[k], &momentAgainst[k], limit, w.momentWith, w.momentAgainst)
		if w.torque != 0 && drop(&torque[k], limit*w.torque) {
			torques++
		}
		if w.roll != 0 && drop(&roll[k], limit*w.roll) {
			rolls++
		}
	}
	s.orders[0] += forces
	s.orders[1] += moments
	s.orders[2] += torques
	s.orders[3] += rolls
}

// dropPair drops from two counter-turning phasors, and counts 1 if something is left.
func dropPair(a, b *complex128, limit, weight, weightAgainst float64) (left int) {
	if weight != 0 && drop(a, limit*weight) {
		left = 1
	}
	if weightAgainst != 0 && drop(b, limit*weightAgainst) {
		left = 1
	}
	return left
}
