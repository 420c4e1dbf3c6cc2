package gas

import (
	"fmt"
	"math"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// settled is the relative change from one cycle to the next below which the cycle counts as steady [1].
const settled = 1e-8

// nearlySettled is that from which one more cycle, begun where the acceleration leads to, is steady nearly always [1].
const nearlySettled = 3e-6

// mostCycles is the largest number of cycles of the iteration [1].
const mostCycles = 100

// Closes is the share of the heat to which the first law closes over a cycle that Solve returns [1], see
// Balance.Share. Definition.
const Closes = 1e-6

// mostRefined is the smallest part that Solve cuts a step into [1].
const mostRefined = 32

// Solve computes the steady cycle of a cylinder.
//
//   - s: the setting, which Setting.Check accepts
//
// Result [Pa], [K], [J] and more: see Result. The state is marched with the classical method of Runge and Kutta of
// the fourth order, with steps of two samples, of one where heat is released and of less where valves empty the
// cylinder fast, cut at every event, and cycles are repeated until one ends as it began. Accuracy: the first law closes
// to Closes (1e-6) of the heat, by sums that are taken anew over the finished cycle; where it does not, all steps are
// halved, up to five times. Errors: those of Setting.Check, a state beyond the range of the model, no steady cycle, a
// first law that does not close. Source: HEYWOOD, sec. 14.4, a single zone.
func Solve(s Setting) (*Result, error) { return solveFrom(&s, nil, nil) }

// solveFrom solves from a cycle that is near and with a plan of whole steps, where they are known.
func solveFrom(s *Setting, near *Result, p *plan) (*Result, error) {
	if err := s.Check(); err != nil {
		return nil, err
	}
	cycles := 0
	for refine := 1; ; refine *= 2 {
		if p == nil || refine > 1 {
			var err error
			if p, err = newPlan(s, refine); err != nil {
				return nil, err
			}
		}
		r, err := newMarcher(s, p).steady(near)
		if err != nil {
			return nil, err
		}
		cycles += r.Cycles
		r.Cycles = cycles
		if r.Balance.Share <= Closes {
			return r, nil
		}
		if refine == mostRefined {
			return nil, fmt.Errorf("gas: the first law closes to %.2g of the heat only, with steps of 1/%d of the usual; %g is wanted: valves that pass less, more heat or a higher speed may help",
				r.Balance.Share, refine, Closes)
		}
		near = r
	}
}

// steady finds the steady cycle of a plan and writes it down.
func (m *marcher) steady(near *Result) (*Result, error) {
	s := m.s
	start := s.firstState(m.plan)
	if near != nil && near.end.m > 0 && s.Valves != nil {
		start = near.end
	}
	r := newResult(s)
	if s.Valves == nil {
		return r, r.ideal(m, start)
	}
	start, cycles, err := m.settle(start, nearlySettled)
	if err != nil {
		return nil, err
	}
	var a accelerator
	for r.Cycles = cycles + 1; r.Cycles <= mostCycles; r.Cycles++ {
		r.PeakPressure, r.PeakTemperature = 0, 0
		end, sums, err := m.cycle(start, r)
		if err != nil {
			return nil, err
		}
		if start.near(end, settled) {
			r.finish(m, start, end, sums)
			return r, nil
		}
		start = a.next(start, end)
	}
	return nil, s.errUnsteady()
}

// settle repeats cycles until one ends as it began, within a relative change, and returns where the next begins best.
func (m *marcher) settle(start gasState, within float64) (gasState, int, error) {
	var a accelerator
	for n := 1; n <= mostCycles; n++ {
		end, sums, err := m.cycle(start, nil)
		if err != nil {
			return start, n, err
		}
		steady := start.near(end, within)
		start = a.next(start, end)
		if m.work = sums[iWork]; steady {
			return start, n, nil
		}
	}
	return start, mostCycles, m.s.errUnsteady()
}

func (s *Setting) errUnsteady() error {
	help := "more overlap of the valves or a pressure nearer to that of the exhaust may help"
	if s.Cycle == layout.TwoStroke && s.Intake < s.Exhaust {
		help = "a two-stroke is scavenged where the pressure of the intake is above that of the exhaust"
	}
	return fmt.Errorf("gas: the cycle does not become steady in %d cycles; %s", mostCycles, help)
}

// firstState guesses the state where the march begins: at top dead centre of the exchange, or at bottom dead centre.
func (s *Setting) firstState(p *plan) gasState {
	v := p.steps[0].nodes[0].v
	g := gasState{T: s.Temperature, manifold: exhausted{T: s.Temperature}}
	g.m = s.Intake * v / (GasConstant * g.T)
	if s.Valves != nil && !s.Motored {
		g.T, g.b = 900, 1
		if float64(p.first) > -1.5*math.Pi { // two-stroke
			g.T, g.b = 1.2*s.Temperature, 0.2
		}
		g.m = s.Exhaust * v / (GasConstant * g.T)
		g.manifold = exhausted{T: 900, burned: 1}
	}
	return g
}

// near says whether two states are the same but for a relative change.
func (g gasState) near(o gasState, within float64) bool {
	return math.Abs(g.T-o.T) <= within*o.T && math.Abs(g.m-o.m) <= within*o.m && math.Abs(g.b-o.b) <= within &&
		math.Abs(g.fuel.φ-o.fuel.φ) <= within && math.Abs(g.manifold.burned-o.manifold.burned) <= 10*within &&
		math.Abs(g.manifold.T-o.manifold.T) <= 10*within*o.manifold.T
}

// ideal marches from bottom to bottom dead centre and adds the exchange of the package comment.
func (r *Result) ideal(m *marcher, start gasState) error {
	end, sums, err := m.cycle(start, r)
	if err != nil {
		return err
	}
	r.Cycles = 1
	s := m.s
	last := &m.plan.steps[len(m.plan.steps)-1]
	u, cv, _ := s.Fluid.Energy(end.T, m.φ(end.b))
	p4 := end.m * GasConstant * end.T / last.nodes[2].v
	blown := end.T * math.Pow(s.Exhaust/p4, GasConstant/(cv+GasConstant)) // isentropic
	if n := len(r.Pressure); s.Cycle.Period() > num.Turn {
		for j := n / 4; j < 3*n/4; j++ {
			v, _ := s.Chamber.Volume(r.Angle(j))
			p, T, b := s.Exhaust, blown, end.b
			if j >= n/2 {
				p, T, b = s.Intake, start.T, start.b
			}
			r.Pressure[j], r.Temperature[j], r.Volume[j], r.Burned[j] = p, T, v, b
			r.Mass[j] = p * v / (GasConstant * T)
		}
		sums[iWork] += (s.Intake - s.Exhaust) * s.Chamber.Displacement()
	}
	// what the exhaust carries away is what renews the charge: the gas at the end for that at the begin
	u0, _, _ := s.Fluid.Energy(start.T, 0)
	sums[iHin] = start.m * (u0 + GasConstant*start.T)
	sums[iHout] = sums[iHin] + end.m*u - start.m*u0
	if s.Cycle.Period() > num.Turn {
		sums[iHout] -= (s.Intake - s.Exhaust) * s.Chamber.Displacement()
	}
	sums[iFresh], sums[iGone], sums[iGoneT] = start.m, end.m, end.m*blown
	start.fuel = end.fuel
	r.finish(m, start, start, sums)
	return nil
}
