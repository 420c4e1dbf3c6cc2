package gas

import (
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
	h       float64 // [rad]
	sample  int     // index of the sample at its begin, −1: none
	open    bool    // a valve is open
	burning bool    // between begin of combustion and the opening of a valve
	encloses, ignites,
	exhales bool // the closed time, combustion, the exhaust begin with it
	nodes [3]node
}

// plan is the whole march, which is the same for every cycle of an iteration.
type plan struct {
	steps []step
	first num.Angle // where it begins [rad]
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

// newPlan lays the steps: the samples, the events between them, and shorter steps where valves empty the cylinder
// fast.
func newPlan(s *Setting) (*plan, error) {
	period := s.Cycle.Period()
	half := period / 2
	from, to := num.Angle(-math.Pi), num.Angle(math.Pi) // closed time
	if s.Valves == nil {
		half = num.Turn / 2
	} else {
		from, to = s.Valves.closedSpan(s.Cycle)
	}
	n := s.samples()
	h := period / num.Angle(n)
	type edge struct {
		θ      num.Angle
		sample int
	}
	count := int(math.Round(float64(2 * half / h)))
	edges := make([]edge, 0, count+16)
	for j := range count + 1 {
		k := j - count/2 // from firing top dead centre
		edges = append(edges, edge{h * num.Angle(k), (k + n) % n})
	}
	event := func(θ num.Angle) {
		θ = (θ + half).Wrap(period) - half
		if near := math.Abs(math.Remainder(float64(θ), float64(h))); near > 1e-9 && θ > -half && θ < half {
			edges = append(edges, edge{θ, -1})
		}
	}
	if s.Valves != nil {
		for _, o := range [2]Opening{s.Valves.Intake, s.Valves.Exhaust} {
			event(o.Opens)
			event(o.Closes)
		}
	}
	start, release := num.Angle(math.Inf(1)), Release(nil)
	if !s.Motored {
		release = s.Release
		start, _ = release.span()
		for _, w := range release {
			event(w.Start)
			for k := graded; k > 0; k-- { // the power of z has no smooth begin
				event(w.Start + min(h, w.Duration)*num.Angle(math.Ldexp(1, -k)))
			}
			event(w.Start + w.Duration)
		}
	}
	slices.SortStableFunc(edges, func(a, b edge) int {
		switch {
		case a.θ < b.θ:
			return -1
		case a.θ > b.θ:
			return 1
		}
		return 0
	})
	vr, _ := s.Chamber.Volume(from)
	p := &plan{first: -half, steps: make([]step, 0, len(edges)+256)}
	at := func(θ num.Angle, st *step) node {
		var b node
		b.v, b.dv = s.Chamber.Volume(θ)
		b.surface = s.Chamber.surface(b.v)
		if st.open {
			b.intake, b.exhaust = s.Valves.Intake.Effective(θ, s.Cycle), s.Valves.Exhaust.Effective(θ, s.Cycle)
		}
		if st.burning && s.Wall != nil {
			b.motored = math.Exp(motoredExponent * math.Log(vr/b.v))
		}
		return b
	}
	var enclosed, ignited, exhaled bool
	for i := range len(edges) - 1 {
		a, z := edges[i].θ, edges[i+1].θ
		if z-a < 1e-12 {
			continue
		}
		mid := (a + z) / 2
		st := step{sample: edges[i].sample, open: mid < from || mid > to}
		st.burning = !st.open && mid > start // to is where a valve opens
		st.encloses = !enclosed && mid > from
		st.ignites = !ignited && mid > start
		st.exhales = !exhaled && mid > to
		enclosed, ignited, exhaled = enclosed || st.encloses, ignited || st.ignites, exhaled || st.exhales
		parts := 1
		if st.open {
			m := at(mid, &st)
			rate := fastest * math.Sqrt(1.4*2/nearlyEqual) * (m.intake + m.exhaust) / m.v / s.Speed // [1/rad]
			parts = max(1, int(math.Min(MostSteps, math.Ceil(rate*float64(z-a)/stiff))))
		}
		for _, w := range release {
			if mid > w.Start && mid < w.Start+w.Duration {
				parts = max(parts, int(math.Ceil(float64((z-a)/w.Duration)*burnSteps-1e-9)))
			}
		}
		if len(p.steps)+parts > MostSteps {
			return nil, fmt.Errorf("gas: more than %d steps are needed: the crank speed of %.4g rad/s is too low for valves so large", MostSteps, s.Speed)
		}
		st.h = float64(z-a) / float64(parts)
		for k := range parts {
			for q := range st.nodes {
				θ := a + num.Angle(st.h*(float64(k)+float64(q)/2))
				if q == 0 && len(p.steps) > 0 && p.steps[len(p.steps)-1].open == st.open && p.steps[len(p.steps)-1].burning == st.burning {
					st.nodes[0] = p.steps[len(p.steps)-1].nodes[2]
				} else {
					st.nodes[q] = at(θ, &st)
				}
				st.nodes[q].rate = 0
				for _, w := range release {
					if mid > w.Start && mid < w.Start+w.Duration {
						st.nodes[q].rate += w.Share * w.rate(θ)
					}
				}
			}
			p.steps = append(p.steps, st)
			st.sample, st.encloses, st.ignites, st.exhales = -1, false, false, false
		}
	}
	return p, nil
}
