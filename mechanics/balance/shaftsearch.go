package balance

import (
	"fmt"
	"math/cmplx"
	"slices"
	"strings"

	"crankwright/mechanics/layout"
)

// axis is something that turns and may carry masses: a balance shaft, or the crank itself.
type axis struct {
	ratio  float64
	place  complex128
	index  int // of the place in the task, −1: the crank's
	planes []float64
	crank  bool
}

// action is what one axis does, as the sums q = Σ u [kg m] and μ = Σ (x − x_ref) u [kg m²] of its masses.
type action struct{ q, μ complex128 }

// phasors returns what an action makes of each quantity, per ω²; all is linear in q and μ, but for the
// roll moment with real factors only, where shafts of both senses meet in one phasor.
func (c axis) phasors(act action) [3]phasors {
	side := 0
	if c.ratio < 0 {
		side = 1
	}
	var p [3]phasors
	square := complex(0, c.ratio*c.ratio)
	force := square * act.q
	p[AimForce][side] = force
	p[AimMoment][side] = 1i * square * act.μ
	roll := -1i * cmplx.Conj(c.place) * force // Re(roll e^{ikθ}) = Im(conj w0 · F)
	if side == 1 {
		roll = cmplx.Conj(roll)
	}
	p[AimRoll][0] = roll
	return p
}

// trial is one set of axes, solved.
type trial struct {
	axes  []axis
	acts  []action
	used  []int // places
	unmet int   // targets that are not met
	// sums of squares that remain: of force and moment targets, of roll targets, and of changes that
	// nobody asked for; then the sum of all unbalances over the order's own
	rest  [3]float64
	total float64
}

// better orders trials; near enough is equal, so that the first stays.
func (a trial) better(b trial) bool {
	if a.unmet != b.unmet {
		return a.unmet < b.unmet
	}
	for i := range a.rest {
		if d := a.rest[i] - b.rest[i]; d > 1e-12 || d < -1e-12 {
			return d < 0
		}
	}
	return a.total < b.total*(1-1e-9)-1e-12
}

// gains says whether a trial leaves less of the targets than one with fewer shafts.
func (a trial) gains(b trial) bool {
	return a.unmet < b.unmet || a.unmet == b.unmet && (a.rest[0] < b.rest[0]-1e-12 || a.rest[0] <= b.rest[0]+1e-12 && a.rest[1] < b.rest[1]-1e-12)
}

// best returns the best trials with n shafts in all, one for each order.
func (f *shaftFinder) best(n int) []trial {
	var best []trial
	var sum trial
	chosen := make([]trial, len(f.orders))
	var share func(i, n int, used []int, so trial)
	share = func(i, n int, used []int, so trial) {
		if i == len(f.orders) {
			if best == nil || so.better(sum) {
				best, sum = slices.Clone(chosen), so
			}
			return
		}
		for m := 0; m <= n; m++ {
			tr := f.ofOrder(i, m, used)
			next := so
			next.unmet += tr.unmet
			for j := range next.rest {
				next.rest[j] += tr.rest[j]
			}
			next.total += tr.total
			chosen[i] = tr
			share(i+1, n-m, slices.Concat(used, tr.used), next)
			if tr.unmet == 0 {
				break // further shafts gain nothing
			}
		}
	}
	share(0, n, nil, trial{})
	return best
}

// ofOrder returns the best trial of one order with up to m shafts, none at a place that is used.
func (f *shaftFinder) ofOrder(i, m int, used []int) trial {
	key := fmt.Sprint(i, m, used)
	if tr, ok := f.solved[key]; ok {
		return tr
	}
	o := &f.orders[i]
	var candidates []axis
	for _, s := range o.ratios {
		for j, p := range f.task.Places {
			if !slices.Contains(used, j) && len(f.task.Planes) > 0 {
				candidates = append(candidates, axis{ratio: s, place: complex(p.Y, p.Z), index: j, planes: f.task.Planes})
			}
		}
	}
	var always []axis
	if o.crank {
		always = []axis{{ratio: 1, index: -1, planes: f.task.CrankPlanes, crank: true}}
	}
	if m == 0 {
		tr := f.solve(o, always)
		f.solved[key] = tr
		return tr
	}
	best := f.ofOrder(i, m-1, used)
	fewer, found := best, false
	if fewer.unmet > 0 && (m <= len(o.ratios) || o.wants(AimRoll)) {
		eachSet(len(candidates), m, func(set []int) {
			axes := slices.Clone(always)
			for a, c := range set {
				for _, other := range set[:a] {
					same := candidates[c].ratio == candidates[other].ratio
					if candidates[c].index == candidates[other].index || same && !o.wants(AimRoll) {
						return // a place takes one shaft; two at one speed do what one does but for the roll moment
					}
				}
				axes = append(axes, candidates[c])
			}
			if tr := f.solve(o, axes); tr.gains(fewer) && (!found || tr.better(best)) {
				best, found = tr, true
			}
		})
	}
	f.solved[key] = best
	return best
}

// eachSet calls visit with every choice of m of n things, in lexical order. visit must not keep it.
func eachSet(n, m int, visit func([]int)) {
	set := make([]int, 0, m)
	var add func(from int)
	add = func(from int) {
		if len(set) == m {
			visit(set)
			return
		}
		for i := from; i < n; i++ {
			set = append(set, i)
			add(i + 1)
			set = set[:len(set)-1]
		}
	}
	add(0)
}

// solve finds what each axis is to do.
func (f *shaftFinder) solve(o *shaftOrder, axes []axis) trial {
	tr := trial{axes: axes, acts: make([]action, len(axes))}
	for _, c := range axes {
		if c.index >= 0 {
			tr.used = append(tr.used, c.index)
		}
	}
	if o.force == 0 {
		return tr // nothing moves in this order
	}
	// Unknowns: the masses at the outermost planes of each axis as real and imaginary part, over o.force.
	type unknown struct {
		axis int
		act  action
	}
	var unknowns []unknown
	for i, c := range axes {
		ends := c.planes
		if len(ends) > 2 {
			ends = []float64{ends[0], ends[len(ends)-1]}
		}
		for _, x := range ends {
			for _, u := range []complex128{complex(o.force, 0), complex(0, o.force)} {
				unknowns = append(unknowns, unknown{i, action{u, complex(x-f.bare.Reference, 0) * u}})
			}
		}
	}
	columns := make([][3]phasors, len(unknowns))
	for c, u := range unknowns {
		columns[c] = axes[u.axis].phasors(u.act)
	}
	var levels [3]level
	for a := AimForce; a <= AimRoll; a++ {
		size, which := o.gross(a), 2
		wanted := phasors{}
		if o.wants(a) {
			which = 0
			if a == AimRoll {
				which = 1
			}
			if s := o.has[a].size(); s > 1e-6*size {
				size = s
			}
			wanted = o.has[a]
		}
		for side := range wanted {
			if a == AimRoll && side == 1 {
				continue
			}
			re, im := make([]float64, len(columns)), make([]float64, len(columns))
			for c := range columns {
				v := columns[c][a][side]
				if a == AimMoment && which == 2 {
					v -= complex(0, f.centre(o, side)) * columns[c][AimForce][side]
				}
				re[c], im[c] = real(v)/size, imag(v)/size
			}
			l := &levels[which]
			l.a = append(l.a, re, im)
			l.want = append(l.want, -real(wanted[side])/size, -imag(wanted[side])/size)
		}
	}
	x, rest := inOrder(len(unknowns), levels[:])
	copy(tr.rest[:], rest)
	for c, u := range unknowns {
		v := complex(x[c], 0)
		tr.acts[u.axis].q += v * u.act.q
		tr.acts[u.axis].μ += v * u.act.μ
		if c%2 == 0 {
			tr.total += cmplx.Abs(complex(x[c], x[c+1]))
		}
	}
	f.scaleBack(o, &tr)
	return tr
}

// centre returns where along the crank, from the reference, the engine's force in one sense acts: a
// shaft that takes it there leaves the free moment as it was, wherever moments are taken.
//
//	x_c = Re( M / iW ), within the planes
func (f *shaftFinder) centre(o *shaftOrder, side int) float64 {
	for _, s := range []int{side, 1 - side} {
		if w := o.has[AimForce][s]; cmplx.Abs(w) > 1e-6*o.force && len(f.task.Planes) > 0 {
			x := real(o.has[AimMoment][s] / (1i * w))
			return min(max(x, f.task.Planes[0]-f.bare.Reference), f.task.Planes[len(f.task.Planes)-1]-f.bare.Reference)
		}
	}
	return 0
}

// scaleBack counts the targets that are not met and, where all are, shrinks the masses to what the
// shares that may remain need. What is left is convex in the factor, so halving the interval finds it.
func (f *shaftFinder) scaleBack(o *shaftOrder, tr *trial) {
	var sum [3]phasors
	for i, c := range tr.axes {
		p := c.phasors(tr.acts[i])
		for a := range p {
			sum[a][0] += p[a][0]
			sum[a][1] += p[a][1]
		}
	}
	unmet := func(factor float64) int {
		n := 0
		for _, t := range o.targets {
			g := complex(factor, 0)
			left := phasors{o.has[t.Aim][0] + g*sum[t.Aim][0], o.has[t.Aim][1] + g*sum[t.Aim][1]}
			if !o.within(t, left) {
				n++
			}
		}
		return n
	}
	if tr.unmet = unmet(1); tr.unmet > 0 {
		return
	}
	for _, t := range o.targets {
		if t.Keep == 0 && o.has[t.Aim].size() > nothing*o.gross(t.Aim) {
			return // nothing may remain
		}
	}
	lo, hi := 0.0, 1.0
	if unmet(0) == 0 {
		hi = 0
	}
	for range 60 {
		if mid := (lo + hi) / 2; unmet(mid) == 0 {
			hi = mid
		} else {
			lo = mid
		}
	}
	if hi > 1-1e-8 {
		return
	}
	for i := range tr.acts {
		tr.acts[i].q *= complex(hi, 0)
		tr.acts[i].μ *= complex(hi, 0)
	}
	tr.total *= hi
}

// needs says what more would meet the targets: each kind of relief is tried alone, then all together.
func (f *shaftFinder) needs(t *layout.Train) []string {
	meets := func(change func(*ShaftTask)) bool {
		task := f.task
		change(&task)
		wider, err := newShaftFinder(t, task)
		if err != nil {
			return false
		}
		set, err := wider.set(wider.best(task.MostShafts))
		return err == nil && set.Meets
	}
	usual := ShaftTask{}.Filled(t)
	ratios := func(s *ShaftTask) {
		for _, o := range f.orders {
			for _, r := range []float64{-float64(o.k) / 2, float64(o.k) / 2} {
				if !slices.Contains(s.Ratios, r) {
					s.Ratios = append(slices.Clone(s.Ratios), r)
				}
			}
		}
	}
	planes := func(s *ShaftTask) {
		s.Planes = distinct(slices.Concat(s.Planes, usual.Planes))
		if s.Crank {
			s.CrankPlanes = distinct(slices.Concat(s.CrankPlanes, usual.CrankPlanes))
		}
	}
	places := func(s *ShaftTask) {
		s.Places = slices.Clone(s.Places)
		for _, p := range usual.Places {
			if !slices.ContainsFunc(s.Places, func(o ShaftPlace) bool { return cmplx.Abs(complex(o.Y-p.Y, o.Z-p.Z)) < 1e-9 }) {
				s.Places = append(s.Places, p)
			}
		}
	}
	more := func(s *ShaftTask) { s.MostShafts = min(MostShafts, s.MostShafts+2) }
	var out []string
	heights := func(s *ShaftTask) { s.Places = f.staggered(t, slices.Clone(s.Places)) }
	if places := f.staggered(t, slices.Clone(f.task.Places)); len(places) > len(f.task.Places) && meets(heights) {
		var at []string
		for _, p := range places[len(f.task.Places):] {
			at = append(at, fmt.Sprintf("y %.4g mm, z %.4g mm", 1e3*p.Y, 1e3*p.Z))
		}
		out = append(out, fmt.Sprintf("shafts at different heights, which turn their forces into a roll moment, such as at %s", strings.Join(at, " and ")))
	}
	for _, r := range []struct {
		text   string
		change func(*ShaftTask)
	}{
		{"shafts at the speed of the order in both senses (speed ratios ±n for order n)", ratios},
		{"masses in two planes as far apart as the outermost throws: one plane makes no free moment", planes},
		{"more places for shafts", places},
		{"more shafts", more},
		{"counterweights on the crank, which take what turns with it in order 1", func(s *ShaftTask) { s.Crank = true }},
	} {
		if meets(r.change) {
			out = append(out, r.text)
		}
	}
	if out == nil && meets(func(s *ShaftTask) { ratios(s); planes(s); places(s); more(s) }) {
		out = append(out, "several at once: shafts in both senses, planes as far apart as the outermost throws, more places, more shafts")
	}
	if out == nil {
		out = append(out, "a larger share that may remain: nothing that was tried (more shafts, places, planes, both senses) meets all targets")
	}
	return out
}
