package balance

import (
	"fmt"
	"math"
	"math/cmplx"
	"slices"

	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// ShaftLeft is what one quantity of one order is before and after, per ω².
type ShaftLeft struct {
	K     int // twice the order
	Aim   ShaftAim
	Asked bool    // a target; else a quantity that the shafts touch and that nobody asked for
	Keep  float64 // share that may remain [1], of a target

	// Phasors that turn with and against the crank [kg m] or [kg m²]; a roll moment stands in With.
	WithBefore, AgainstBefore complex128
	WithAfter, AgainstAfter   complex128

	Before, After float64 // largest resultant [kg m] or [kg m²]
	Met           bool    // of a target: After is within Keep · Before
}

// ShaftSet is a set of balance shafts and what it leaves.
type ShaftSet struct {
	Shafts         []layout.Shaft     // ready for Train.Shafts, in the frame of the file
	Counterweights []layout.Unbalance // to add to those of the crank
	Left           []ShaftLeft        // targets as asked, then what else the shafts touch
	Meets          bool               // all targets are met
	Total          float64            // sum of the unbalances of the shafts [kg m]
}

// ShaftAnswer is what a search for balance shafts found.
type ShaftAnswer struct {
	Task     ShaftTask      // as filled
	Kept     []layout.Shaft // shafts of the train at orders that are no target: they stay
	Sets     []ShaftSet     // the best without a shaft, with one, …; a further shaft that gains nothing is left out
	Smallest int            // index in Sets of the smallest set that meets all targets; −1: none does
	Needs    []string       // where none does: what would be needed
}

// FindShafts searches the smallest set of balance shafts that takes what a task asks for.
//
//	Σ over masses  s² U i e^{ia} = −W   Σ  i (x − x_ref) s² U i e^{ia} = −M   Σ  Im(conj w0 · F) = −R
//
// with
//   - t: a train; of its own balance shafts those that act on the orders asked for are left out, the
//     others stay, and so do its counterweights
//   - task: targets, ratios, places [m] and planes [m]; what is empty is filled by Filled
//
// For every number of shafts all sets of speed ratio and place are tried, and each is solved exactly:
// forces and moments in least squares, each relative to its size; with what freedom remains the roll
// moments; then the least change of what nobody asked for in the orders that the shafts touch (of the
// moment: about the point where the engine's force acts); then the least unbalance. Orders do not mix,
// so each has its own search; one place takes one shaft. A shaft does with two masses at the outermost
// planes all that more could do; one mass replaces them where it does the same. Where a share may
// remain, the masses are no larger than it needs.
//
// Result in SI, in the frame of the engine file whatever the rotation, the values per ω² [kg m] and
// [kg m²]. Errors: layout.Problems, a task that makes no sense or is too large, motion.ErrReach.
// Source: DEFINITION, linear least squares on the phasors of package inertia.
func FindShafts(t *layout.Train, task ShaftTask) (*ShaftAnswer, error) {
	if err := layout.Validate(t); err != nil {
		return nil, err
	}
	chosen := len(task.Places) == 0
	task = task.Filled(t)
	if err := task.check(); err != nil {
		return nil, err
	}
	f, err := newShaftFinder(t, task)
	if err != nil {
		return nil, err
	}
	if chosen {
		if places := f.staggered(t, task.Places); len(places) > len(task.Places) {
			task.Places = places
			if f, err = newShaftFinder(t, task); err != nil {
				return nil, err
			}
		}
	}
	answer := &ShaftAnswer{Task: task, Kept: f.bare.Shafts, Smallest: -1}
	for n := 0; n <= task.MostShafts; n++ {
		set, err := f.set(f.best(n))
		if err != nil {
			return nil, err
		}
		if n > 0 && len(set.Shafts) < n && !set.Meets {
			continue // no better than with fewer
		}
		answer.Sets = append(answer.Sets, set)
		if set.Meets {
			answer.Smallest = len(answer.Sets) - 1
			return answer, nil
		}
	}
	answer.Needs = f.needs(t)
	return answer, nil
}

// shaftFinder holds the engine's phasors while sets are tried.
type shaftFinder struct {
	bare    layout.Train // as written, without the balance shafts that are sought
	task    ShaftTask
	solver  inertia.Solver
	before  *inertia.Balance
	orders  []shaftOrder
	solved  map[string]trial
	longest float64 // largest distance from the reference [m]
}

// shaftOrder is one order with the shafts that act on it.
type shaftOrder struct {
	k                   int
	ratios              []float64
	crank               bool
	force, moment, roll float64       // what the parts would make if nothing cancelled
	targets             []ShaftTarget // of this order
	has                 [3]phasors    // the engine's, by ShaftAim
}

// phasors are a quantity's parts with and against the crank; a roll moment is the first alone.
type phasors [2]complex128

// size is the largest resultant.
func (p phasors) size() float64 { return cmplx.Abs(p[0]) + cmplx.Abs(p[1]) }

func newShaftFinder(t *layout.Train, task ShaftTask) (*shaftFinder, error) {
	f := &shaftFinder{bare: *t, task: task, solved: map[string]trial{}}
	f.bare.Shafts, f.bare.Rotation = nil, layout.Anticlockwise
	for _, s := range t.Shafts {
		if slices.ContainsFunc(task.Targets, func(o ShaftTarget) bool { return o.K == halfOrder(s.SpeedRatio) }) {
			continue
		}
		f.bare.Shafts = append(f.bare.Shafts, s)
		f.task.Places = slices.DeleteFunc(slices.Clone(f.task.Places), func(p ShaftPlace) bool { return math.Hypot(p.Y-s.Y, p.Z-s.Z) < 1e-9 })
	}
	var err error
	if f.before, err = f.solver.Solve(nil, &f.bare, inertia.Options{}); err != nil {
		return nil, err
	}
	for _, x := range slices.Concat(task.Planes, task.CrankPlanes) {
		f.longest = math.Max(f.longest, math.Abs(x-t.Reference))
	}
	for _, th := range t.Throws {
		f.longest = math.Max(f.longest, math.Max(th.Radius, math.Abs(th.At-t.Reference)))
	}
	for _, target := range task.Targets {
		if i := slices.IndexFunc(f.orders, func(o shaftOrder) bool { return o.k == target.K }); i >= 0 {
			f.orders[i].targets = append(f.orders[i].targets, target)
			continue
		}
		o, err := f.order(target.K)
		if err != nil {
			return nil, err
		}
		o.targets = []ShaftTarget{target}
		f.orders = append(f.orders, o)
	}
	// Places matter to the roll moment: orders in which it is asked for choose theirs first.
	slices.SortStableFunc(f.orders, func(a, b shaftOrder) int {
		if a.wants(AimRoll) != b.wants(AimRoll) {
			if a.wants(AimRoll) {
				return -1
			}
			return 1
		}
		return a.k - b.k
	})
	for _, o := range f.orders {
		if n := task.sets(len(o.ratios) * len(task.Places)); o.wants(AimRoll) && n > mostShaftSets {
			return nil, fmt.Errorf("order %g has %.3g sets of up to %d shafts at %d places, more than the %d that are tried; offer fewer places, ratios or shafts",
				float64(o.k)/2, n, task.MostShafts, len(task.Places), mostShaftSets)
		}
	}
	return f, nil
}

// order collects one order of the engine. Parts that cancel to nothing still set its scale.
func (f *shaftFinder) order(k int) (shaftOrder, error) {
	o := shaftOrder{k: k, crank: f.task.Crank && k == 2}
	parts, err := f.solver.Contributions(&f.bare, k, inertia.Options{})
	if err != nil {
		return o, err
	}
	for _, p := range parts {
		o.force += cmplx.Abs(p.With) + cmplx.Abs(p.Against)
		o.roll += cmplx.Abs(p.Roll)
	}
	o.moment = o.force * f.longest
	o.roll = math.Max(o.roll, o.moment)
	o.has = phasorsOf(f.before, k)
	for _, s := range f.task.Ratios {
		if halfOrder(s) == k {
			o.ratios = append(o.ratios, s)
		}
	}
	return o, nil
}

// halfOrder is the order of the forces of a balance shaft, in halves.
func halfOrder(ratio float64) int { return int(2*math.Abs(ratio) + 0.5) }

func phasorsOf(b *inertia.Balance, k int) [3]phasors {
	var p [3]phasors
	p[AimForce][0], p[AimForce][1] = b.Force.Order(k)
	p[AimMoment][0], p[AimMoment][1] = b.Moment.Order(k)
	p[AimRoll][0] = b.Roll.Order(k)
	return p
}

func (o *shaftOrder) wants(a ShaftAim) bool {
	return slices.ContainsFunc(o.targets, func(t ShaftTarget) bool { return t.Aim == a })
}

func (o *shaftOrder) gross(a ShaftAim) float64 { return [3]float64{o.force, o.moment, o.roll}[a] }

// within says whether a target is met by what is left.
func (o *shaftOrder) within(t ShaftTarget, left phasors) bool {
	return left.size() <= t.Keep*o.has[t.Aim].size()+nothing*o.gross(t.Aim)
}

// nothing is the share of what the parts would make if nothing cancelled below which nothing is left to take:
// what the digits of an engine file leave of a cancelled sum, and far below what anyone measures.
const nothing = 1e-6

// set builds the shafts of the trials, one for each order, and looks at what they leave.
func (f *shaftFinder) set(trials []trial) (ShaftSet, error) {
	set := ShaftSet{Meets: true}
	with := f.bare
	for i, tr := range trials {
		o := &f.orders[i]
		for j, c := range tr.axes {
			masses := f.masses(o, c, tr.acts[j])
			switch {
			case len(masses) == 0:
			case c.crank:
				set.Counterweights = append(set.Counterweights, masses...)
			default:
				set.Shafts = append(set.Shafts, layout.Shaft{SpeedRatio: c.ratio, Y: real(c.place), Z: imag(c.place), Masses: masses})
				for _, m := range masses {
					set.Total += m.Amount
				}
			}
		}
	}
	slices.SortStableFunc(set.Shafts, func(a, b layout.Shaft) int {
		return halfOrder(a.SpeedRatio) - halfOrder(b.SpeedRatio)
	})
	with.Shafts = slices.Concat(f.bare.Shafts, set.Shafts)
	with.Counterweights = slices.Concat(with.Counterweights, set.Counterweights)
	after, err := f.solver.Solve(nil, &with, inertia.Options{})
	if err != nil {
		return set, err
	}
	for _, t := range f.task.Targets {
		o := f.orderOf(t.K)
		l := o.left(t.Aim, phasorsOf(after, t.K))
		l.Asked, l.Keep = true, t.Keep
		l.Met = o.within(t, phasors{l.WithAfter, l.AgainstAfter})
		set.Meets = set.Meets && l.Met
		set.Left = append(set.Left, l)
	}
	for i := range f.orders {
		o := &f.orders[i]
		for _, a := range []ShaftAim{AimForce, AimMoment, AimRoll} {
			if l := o.left(a, phasorsOf(after, o.k)); !o.wants(a) && math.Max(l.Before, l.After) > nothing*o.gross(a) {
				set.Left = append(set.Left, l)
			}
		}
	}
	return set, nil
}

func (f *shaftFinder) orderOf(k int) *shaftOrder {
	return &f.orders[slices.IndexFunc(f.orders, func(o shaftOrder) bool { return o.k == k })]
}

// left compares a quantity; what is left of a cancelled one is zero.
func (o *shaftOrder) left(a ShaftAim, after [3]phasors) ShaftLeft {
	p, q := o.has[a], after[a]
	if p.size() <= nothing*o.gross(a) {
		p = phasors{}
	}
	if q.size() <= nothing*o.gross(a) {
		q = phasors{}
	}
	return ShaftLeft{
		K: o.k, Aim: a, WithBefore: p[0], AgainstBefore: p[1], WithAfter: q[0], AgainstAfter: q[1],
		Before: p.size(), After: q.size(),
	}
}

// masses returns the fewest masses that make what a shaft is to do, of those the lightest: one in the
// plane where its force acts, or two.
//
//	u1 = (μ − d2 q)/(d1 − d2)   u2 = q − u1   q = Σ u, μ = Σ (x − x_ref) u
func (f *shaftFinder) masses(o *shaftOrder, c axis, act action) []layout.Unbalance {
	planes := c.planes
	least := 1e-9 * o.force
	var at []float64
	var best []complex128
	for _, x := range planes {
		if best == nil && cmplx.Abs(act.μ-complex(x-f.bare.Reference, 0)*act.q) <= least*f.longest {
			at, best = []float64{x}, []complex128{act.q}
		}
	}
	if best == nil {
		total := math.Inf(1)
		for i, x1 := range planes {
			for _, x2 := range planes[i+1:] {
				d1, d2 := x1-f.bare.Reference, x2-f.bare.Reference
				u1 := (act.μ - complex(d2, 0)*act.q) / complex(d1-d2, 0)
				u2 := act.q - u1
				if sum := cmplx.Abs(u1) + cmplx.Abs(u2); sum < total*(1-1e-9) {
					total, at, best = sum, []float64{x1, x2}, []complex128{u1, u2}
				}
			}
		}
	}
	var out []layout.Unbalance
	for i, u := range best {
		if cmplx.Abs(u) > least {
			out = append(out, layout.Unbalance{At: at[i], Angle: fileAngle(cmplx.Phase(u)), Amount: cmplx.Abs(u)})
		}
	}
	return out
}

// fileAngle brings a direction into one turn and drops the dust of rounding from an angle of whole
// millionths of a degree.
func fileAngle(a float64) num.Angle {
	angle := num.Angle(a).Wrap(num.Turn)
	if degrees := math.Round(angle.Deg()*1e6) / 1e6; math.Abs(degrees-angle.Deg()) < 1e-11 {
		angle = num.Degrees(degrees).Wrap(num.Turn)
	}
	return angle
}

// JoinCounterweights returns counterweights with others added: what stands in one plane is joined.
//
//	U e^{ia} = U1 e^{ia1} + U2 e^{ia2}
//
// with
//   - has: the counterweights of a crank [kg m]
//   - added: what is to be added [kg m]
//
// Result [kg m]: has in its order, a plane that is new behind. Definition.
func JoinCounterweights(has, added []layout.Unbalance) []layout.Unbalance {
	out := slices.Clone(has)
	for _, m := range added {
		i := slices.IndexFunc(out, func(o layout.Unbalance) bool { return math.Abs(o.At-m.At) < 1e-9 })
		if i < 0 {
			out = append(out, m)
			continue
		}
		o := &out[i]
		u := complex(o.Amount, 0)*o.Angle.Unit() + complex(m.Amount, 0)*m.Angle.Unit()
		o.Amount, o.Angle = cmplx.Abs(u), fileAngle(cmplx.Phase(u))
	}
	return out
}
