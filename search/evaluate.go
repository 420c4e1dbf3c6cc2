package search

import (
	"fmt"
	"math"
	"slices"

	"crankwright/analysis"
	"crankwright/mechanics/firing"
	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
	"crankwright/study"
)

// evaluator goes through candidates. What a candidate shares with the one before is not computed again: the axes that change
// more than angles vary slowest, then bank angles and splits, pins, firing orders.
type evaluator struct {
	p      *Problem
	solver inertia.Solver
	like   *analysis.Result // of an engine before, whose gas may serve again

	at      uint64 // candidate at which it stands
	block   int    // its block; −1: none
	digits  []int
	steps   []int         // of the pins
	train   *layout.Train // with the angles of the reference
	kernel  *kernel       // of it
	firings *firings      // of it
	built   bool          // train is the engine of these digits but for angles
	class   *class        // of it
	angled  bool          // these angles can be built
	by      turning       // of the angles
	gained  []float64     // phase of each cylinder
	mask    uint32        // of the schedule
	order   []int         // room for one
	orders  []int         // that the kernel sums
	inertia []fastFigure  // figures of forces and moments
	timing  []fastFigure  // figures of firing
	open    bool          // the evenness of an open firing order is wanted

	picked  int  // candidates of lists so far
	checked bool // one of the last of them was held against the whole analysis
	figures []float64
	row     []float64 // inputs
	stale   int       // axis from which on they have changed since; −1: all
}

// fastFigure is a figure of the fast path.
type fastFigure struct{ figure, fast, order int }

// Evaluator returns an evaluator for a goroutine of its own.
func (p *Problem) Evaluator() study.Evaluator { return p.newEvaluator() }

func (p *Problem) newEvaluator() *evaluator {
	e := &evaluator{p: p, block: -1, figures: make([]float64, len(p.figures)), row: make([]float64, len(p.columns)-len(p.figures))}
	e.orders = p.orders()
	for i, f := range p.figures {
		switch {
		case f.fast < 0:
		case orderOf(f.fast) > 0:
			e.inertia = append(e.inertia, fastFigure{i, f.fast, slices.Index(e.orders, orderOf(f.fast))})
		default:
			e.timing = append(e.timing, fastFigure{i, f.fast, 0})
			e.open = e.open || f.fast == evenness
		}
	}
	return e
}

// Evaluate looks at a range of candidates; see study.Evaluator.
func (e *evaluator) Evaluate(r study.Shard, kept *study.Batch, left []study.Count, stop func() bool) error {
	e.block = -1
	_, err := e.look(r, kept, left, stop, false)
	return err
}

// checkEvery is after how many candidates of lists one is held against the whole analysis again.
const checkEvery = 1000

// Pick looks at a list of candidates; see study.Evaluator. Where Evaluate holds the first kept candidate of a range against
// the whole analysis, Pick does so with the first of all lists, and again after every thousand.
func (e *evaluator) Pick(list []uint64, kept *study.Batch, left []study.Count, stop func() bool) error {
	e.block = -1
	for _, i := range list {
		var err error
		if e.checked, err = e.look(study.Shard{From: i, To: i + 1}, kept, left, stop, e.checked); err != nil {
			return err
		}
		if e.picked++; e.picked%checkEvery == 0 {
			e.checked = false
		}
	}
	return nil
}

// look looks at a range, and says whether a candidate was held against the whole analysis, in it or before.
func (e *evaluator) look(r study.Shard, kept *study.Batch, left []study.Count, stop func() bool, checked bool) (bool, error) {
	fast := e.p.Fast()
	for i := r.From; i < r.To; {
		if (i-r.From)%1024 == 0 || !fast {
			if stop() {
				return checked, study.ErrStopped
			}
		}
		rule, skip := e.next(i, r.To)
		if rule < 0 && !fast {
			var err error
			if rule, err = e.further(); err != nil {
				return checked, err
			}
		}
		if rule >= 0 {
			if left[rule].Add(i); skip > 1 {
				left[rule].N += skip - 1
			}
			i += max(1, skip)
			continue
		}
		if !checked {
			if err := e.check(); err != nil {
				return checked, fmt.Errorf("candidate %d: %w", i, err)
			}
			checked = true
		}
		e.keep(i, kept)
		i++
	}
	return checked, nil
}

// keep appends the candidate.
func (e *evaluator) keep(i uint64, kept *study.Batch) {
	b := e.p.blocks[e.block]
	b.fill(e.row, e.digits, e.steps, e.stale)
	e.stale = len(b.axes)
	if b.orders >= 0 && b.axes[b.orders].kind == allOrders {
		e.order = e.firings.order(e.order, e.mask)
		e.row[b.axes[b.orders].column] = spelled(e.order, e.digits[b.orders])
	}
	kept.Index = append(kept.Index, i)
	for c, v := range e.row {
		kept.Values[c] = append(kept.Values[c], v)
	}
	columns := kept.Values[len(e.row):]
	for c, v := range e.figures {
		columns[c] = append(columns[c], v)
	}
}

// next goes to a candidate and looks at what is cheap. A rule that leaves out more than this one leaves out skip candidates
// from here on, none beyond to.
func (e *evaluator) next(i, to uint64) (rule int, skip uint64) {
	changed := e.move(i)
	e.stale = min(e.stale, changed)
	b := e.p.blocks[e.block]
	if b.dead != "" {
		return cannotBe, min(e.p.starts[e.block+1], to) - i
	}
	if changed < b.angles {
		e.rebuild(b)
	}
	if !e.built {
		return cannotBe, min(e.remaining(b), to-i)
	}
	last := len(b.axes) // no less than b.angles, as pins and orders are angles
	if b.pins >= 0 {
		last = b.pins
	} else if b.orders >= 0 {
		last = b.orders
	}
	if changed < last {
		if e.angled = e.class.add(&e.by, e.digits[b.angles:]); e.angled {
			e.kernel.load(e.by)
		}
	}
	if !e.angled {
		return cannotBe, 1
	}
	if changed < last || changed == b.pins {
		if b.pins >= 0 {
			e.kernel.phase(b.units, e.steps)
		} else {
			e.kernel.still()
		}
		e.turn(b)
		e.sums()
	}
	if rule := e.schedule(b); rule >= 0 {
		return rule, 1
	}
	for k, l := range e.p.limits {
		if e.p.figures[l.figure].fast < 0 {
			break
		}
		if !keeps(l, e.figures[l.figure]) {
			return firstLimit + k, 1
		}
	}
	return -1, 1
}

// move sets block and digits and returns the first axis that changed.
func (e *evaluator) move(i uint64) int {
	if e.block >= 0 {
		b := e.p.blocks[e.block]
		for k := len(b.axes) - 1; k >= 0; k-- {
			if e.digits[k]++; e.digits[k] < b.axes[k].count {
				if e.at+1 == i {
					e.at = i
					e.pin(b, k)
					return k
				}
				break
			}
			e.digits[k] = 0
		}
	}
	e.block, e.digits = e.p.space.At(e.digits, i)
	e.at, e.built = i, false
	b := e.p.blocks[e.block]
	e.steps = nil
	for _, a := range b.axes {
		if a.kind == phasings && b.dead == "" {
			e.steps = make([]int, b.places)
		}
	}
	e.pin(b, 0)
	return -1
}

// pin sets the steps of the pins, where one of the axes from first on does.
func (e *evaluator) pin(b *block, first int) {
	for k := first; k < len(b.axes); k++ {
		if a := b.axes[k]; a.kind == phasings && a.phasings != nil {
			e.steps = a.phasings.At(e.steps, e.digits[k])
		}
	}
}

// remaining returns how many candidates from this one on share what is not an angle.
func (e *evaluator) remaining(b *block) uint64 {
	n, past := uint64(1), uint64(0)
	for k := len(b.axes) - 1; k >= b.angles; k-- {
		past += n * uint64(e.digits[k])
		n *= uint64(b.axes[k].count)
	}
	return n - past
}

// rebuild makes the engine of these digits with the angles of the reference, and all that the fast path needs of it.
func (e *evaluator) rebuild(b *block) {
	e.built = false
	digits := slices.Clone(b.ref)
	copy(digits, e.digits[:b.angles])
	steps := e.steps
	if b.pins >= 0 {
		steps = b.straight()
	}
	t, err := b.build(digits, steps)
	if err != nil {
		return
	}
	top, err := firing.TopDeadCentres(t)
	if err != nil {
		return
	}
	still := *t
	still.Rotation = layout.Anticlockwise // a mirror image has forces of the same size
	e.class = b.classOf(t, digits)
	if e.kernel, err = newKernel(&e.solver, &still, e.orders, e.class.place, e.class.places, e.p.speedOf(t)); err != nil {
		return
	}
	e.train, e.firings, e.built = t, newFirings(t.Cycle, top), true
	e.by = turning{make([]float64, len(t.Cylinders)), make([]float64, len(t.Throws))}
	e.gained = make([]float64, len(t.Cylinders))
}

// turn moves the top dead centres.
func (e *evaluator) turn(b *block) {
	var steps []int // pins that no axis of angles sets stand where train has them
	if b.pins >= 0 {
		steps = e.steps
	}
	e.kernel.gains(e.gained, e.by, steps, len(b.units))
	e.firings.turn(e.gained)
}

// sums sets the figures of forces and moments.
func (e *evaluator) sums() {
	for _, f := range e.inertia {
		var v float64
		switch f.fast {
		case moment1, moment2, moment4:
			v = e.kernel.moment(f.order)
		case against1Force:
			v, _ = e.kernel.against(f.order)
		case against1Moment:
			_, v = e.kernel.against(f.order)
		default:
			v = e.kernel.force(f.order)
		}
		e.figures[f.figure] = rounded(v, e.p.grains[f.order][kindOf(f.fast)])
	}
}

// schedule sets the figures of firing, and says where the crank cannot fire like that.
func (e *evaluator) schedule(b *block) int {
	f := e.firings
	switch {
	case b.orders >= 0 && b.axes[b.orders].kind == allOrders:
		e.mask = f.mask(e.digits[b.orders])
		f.set(e.mask)
		if f.zeros > f.fewest || f.spare && !f.named(e.mask) {
			return cannotFire // a firing order names another schedule, or several cylinders fire together without need
		}
	case b.orders >= 0:
		if !f.assign(b.axes[b.orders].orderList[e.digits[b.orders]]) {
			return cannotFire
		}
	case e.train.FiringOrder != nil:
		if !f.assign(e.train.FiringOrder) {
			return cannotFire
		}
	default:
		if e.open {
			f.evenest()
		}
	}
	for _, t := range e.timing {
		switch t.fast {
		case evenness:
			e.figures[t.figure] = rounded(f.evenness(), 1e12)
		case longest:
			e.figures[t.figure] = rounded(f.longest*180/math.Pi, 1e9)
		case shortest:
			e.figures[t.figure] = rounded(f.shortest*180/math.Pi, 1e9)
		}
	}
	return -1
}

// keeps tells whether a figure keeps a limit.
func keeps(l limit, v float64) bool {
	if l.AtMost {
		return v <= l.Bound
	}
	return v >= l.Bound
}
