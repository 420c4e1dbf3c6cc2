package gas

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"crankwright/num"
)

// node is what does not depend on the gas at one crank angle.
type node struct {
	v, dv           float64 // volume [m³] and its derivative [m³/rad]
	rate            float64 // share of the heat released per crank angle [1/rad]
	intake, exhaust float64 // effective areas [m²]
	motored         float64 // motored pressure over that at the begin of the closed time, while burning [1]
	surface         float64 // area of the walls [m²]
}

// step is one step of the march: its length and what holds at its begin, middle and end.
type step struct {
	θ, h    num.Angle // where it begins and its length [rad]
	sample  int       // index of the sample at its begin, −1: none
	middle  int       // index of the sample within it, −1: none
	at      float64   // share of the step after which that stands [1]
	open    bool      // a valve is open
	burning bool      // between begin of combustion and the opening of a valve
	within  num.Angle // the parts of the release that hold are those that hold here [rad]

	encloses, ignites bool // the closed time, combustion begin with it
	follows           bool // it begins with the rates with which the step before ends

	nodes [3]node
}

// plan is the whole march, which is the same for every cycle of an iteration.
type plan struct {
	s        *Setting
	release  Release
	from, to num.Angle // closed time [rad]
	enclosed float64   // volume where it begins [m³]
	steps    []step
	first    num.Angle // where it begins [rad]
}

// MostSteps is the largest number of steps of one cycle [1]. Definition: a slow engine with large valves needs many
// short steps, because its pressure follows that of the manifold within a small part of a degree.
const MostSteps = 200000

// stiff is the largest product of step and rate at which the pressure falls to that of a manifold [1]: the method
// is stable up to 2.78.
const stiff = 2.0

// fastest is the speed of sound that the length of steps is found for [m/s].
const fastest = 750.0

// burnSteps is the least number of steps in one part of the release, and graded the number of halvings of the step
// where it begins [1].
const (
	burnSteps = 30
	graded    = 7
)

// edge is where a step begins or ends: at a sample or at an event.
type edge struct {
	θ      num.Angle
	sample int // −1: none
	middle int // of the step that begins here, −1: none
}

// newPlan lays the steps: two samples each, one where heat is released, cut at the events and where valves empty the
// cylinder fast. Each is cut into refine parts more.
func newPlan(s *Setting, refine int) (*plan, error) {
	p := &plan{s: s, first: -s.Cycle.Period() / 2, from: -math.Pi, to: math.Pi}
	if s.Valves == nil {
		p.first = -num.Turn / 2
	} else {
		p.from, p.to = s.Valves.closedSpan(s.Cycle)
	}
	if !s.Motored {
		p.release = s.Release
	}
	p.enclosed, _ = s.Chamber.Volume(p.from)
	edges := p.edges()
	p.steps = make([]step, 0, refine*(len(edges)+256))
	start := num.Angle(math.Inf(1))
	if len(p.release) > 0 {
		start, _ = p.release.span()
	}
	var enclosed, ignited bool
	for i := range len(edges) - 1 {
		a, z := edges[i].θ, edges[i+1].θ
		if z-a < 1e-12 {
			continue
		}
		mid := (a + z) / 2
		st := step{sample: edges[i].sample, within: mid, open: mid < p.from || mid > p.to}
		st.burning = !st.open && mid > start // to is where a valve opens
		st.encloses = !enclosed && mid > p.from
		st.ignites = !ignited && mid > start
		enclosed, ignited = enclosed || st.encloses, ignited || st.ignites
		parts := p.parts(&st, z-a) * refine
		if len(p.steps)+parts > MostSteps {
			return nil, fmt.Errorf("gas: more than %d steps are needed: the crank speed of %.4g rad/s is too low for valves so large", MostSteps, s.Speed)
		}
		st.h = (z - a) / num.Angle(parts)
		for k := range parts {
			st.θ, st.middle, st.at = a+st.h*num.Angle(k), -1, 0.5
			if k == parts/2 { // the middle sample stands at the begin of this part or in its middle
				if st.middle = edges[i].middle; parts%2 == 0 {
					st.sample, st.middle = st.middle, -1
				}
			}
			if last := len(p.steps) - 1; last >= 0 && !st.encloses && !st.ignites && p.alike(&p.steps[last], &st) {
				st.follows = true
				st.nodes[0] = p.steps[last].nodes[2]
				st.nodes[0].rate = p.rate(&st, st.θ)
				st.nodes[1], st.nodes[2] = p.node(&st, st.θ+st.h/2), p.node(&st, st.θ+st.h)
				p.exact(&st)
			} else {
				st.follows = false
				p.fill(&st)
			}
			p.steps = append(p.steps, st)
			st.sample, st.encloses, st.ignites = -1, false, false
		}
	}
	return p, nil
}

// edges returns where steps begin and end, in order.
func (p *plan) edges() []edge {
	s := p.s
	period, half := s.Cycle.Period(), -p.first
	n := s.samples()
	h := period / num.Angle(n)
	count := int(math.Round(float64(2 * half / h)))
	all := make([]edge, 0, count+64)
	for j := range count + 1 {
		k := j - count/2 // from firing top dead centre
		all = append(all, edge{h * num.Angle(k), (k + n) % n, -1})
	}
	event := func(θ num.Angle) {
		θ = (θ + half).Wrap(period) - half
		if near := math.Abs(math.Remainder(float64(θ), float64(h))); near > 1e-9 && θ > -half && θ < half {
			all = append(all, edge{θ, -1, -1})
		}
	}
	if s.Valves != nil {
		for _, o := range [2]Opening{s.Valves.Intake, s.Valves.Exhaust} {
			event(o.Opens)
			event(o.Closes)
		}
	}
	for _, w := range p.release {
		event(w.Start)
		for k := graded; k > 0; k-- { // the power of z has no smooth begin
			event(w.Start + min(h, w.Duration)*num.Angle(math.Ldexp(1, -k)))
		}
		event(w.Start + w.Duration)
	}
	slices.SortStableFunc(all, func(a, b edge) int { return cmp.Compare(a.θ, b.θ) })
	kept := all[:1]
	for i := 1; i < len(all); i++ {
		e, last := all[i], &kept[len(kept)-1]
		if i+1 < len(all) && e.sample%2 == 1 && last.sample >= 0 && all[i+1].sample >= 0 && !p.closelyWatched(e.θ) {
			last.middle = e.sample
		} else {
			kept = append(kept, e)
		}
	}
	return kept
}

// closelyWatched says where a step must not pass over a sample: where heat is released, and at the edges of valves.
func (p *plan) closelyWatched(θ num.Angle) bool {
	for _, w := range p.release {
		if θ > w.Start-1e-9 && θ < w.Start+w.Duration+1e-9 {
			return true
		}
	}
	if p.s.Valves == nil {
		return false
	}
	period := p.s.Cycle.Period()
	for _, o := range [2]Opening{p.s.Valves.Intake, p.s.Valves.Exhaust} {
		for _, at := range [2]num.Angle{o.Opens, o.Closes} {
			if math.Abs(math.Remainder(float64(θ-at), float64(period))) < 1e-6 {
				return true
			}
		}
	}
	return false
}

// parts returns how often the length of a step must be divided.
func (p *plan) parts(st *step, length num.Angle) int {
	parts := 1
	if st.open {
		m := p.node(st, st.within)
		rate := fastest * 1.25 * math.Sqrt(1.4*2/nearlyEqual) * (m.intake + m.exhaust) / m.v / p.s.Speed // [1/rad]
		parts = max(1, int(min(MostSteps, math.Ceil(rate*float64(length)/stiff))))
	}
	for _, w := range p.release {
		if w.burns(st.within) {
			parts = max(parts, int(math.Ceil(float64(length/w.Duration)*burnSteps-1e-9)))
		}
	}
	return parts
}

// alike says whether the same valves and the same parts of the release hold in two steps.
func (p *plan) alike(a, b *step) bool {
	for _, w := range p.release {
		if w.burns(a.within) != w.burns(b.within) {
			return false
		}
	}
	return a.open == b.open && a.burning == b.burning
}

// fill computes the nodes of a step.
func (p *plan) fill(st *step) {
	for q := range st.nodes {
		st.nodes[q] = p.node(st, st.θ+st.h*num.Angle(q)/2)
	}
	p.exact(st)
}

// exact scales the rates of the release in a step so that their sum by Simpson's rule is what the closed form says:
// the rate of a part with m < 1 begins with a slope without bound, which no step follows.
func (p *plan) exact(st *step) {
	want := 0.0
	for _, w := range p.release {
		if w.burns(st.within) {
			want += w.Share * (w.Burned(st.θ+st.h) - w.Burned(st.θ))
		}
	}
	n := &st.nodes
	if sum := float64(st.h) / 6 * (n[0].rate + 4*n[1].rate + n[2].rate); sum > 0 && want > 0 {
		for q := range n {
			n[q].rate *= want / sum
		}
		st.follows = false
	}
}

// node computes what does not depend on the gas at a crank angle of a step.
func (p *plan) node(st *step, θ num.Angle) node {
	var n node
	n.v, n.dv = p.s.Chamber.Volume(θ)
	n.surface = p.s.Chamber.surface(n.v)
	if st.open {
		n.intake, n.exhaust = p.s.Valves.Intake.Effective(θ, p.s.Cycle), p.s.Valves.Exhaust.Effective(θ, p.s.Cycle)
	}
	if st.burning && p.s.Wall != nil {
		n.motored = math.Exp(motoredExponent * math.Log(p.enclosed/n.v))
	}
	n.rate = p.rate(st, θ)
	return n
}

// rate returns dx/dθ at a crank angle of a step [1/rad].
func (p *plan) rate(st *step, θ num.Angle) float64 {
	sum := 0.0
	for _, w := range p.release {
		if w.burns(st.within) {
			sum += w.Share * w.rate(θ)
		}
	}
	return sum
}

// split cuts a step in two after a share of it.
func (p *plan) split(st *step, share float64, first, second *step) {
	*first, *second = *st, *st
	first.h = st.h * num.Angle(share)
	second.θ, second.h = st.θ+first.h, st.h-first.h
	second.sample, second.follows = -1, true
	if at := st.at; at <= share {
		second.middle, first.at = -1, at/share
	} else {
		first.middle, second.at = -1, (at-share)/(1-share)
	}
	p.fill(first)
	p.fill(second)
}
