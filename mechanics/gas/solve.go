package gas

import (
	"fmt"
	"math"

	"crankwright/num"
)

// settled is the relative change from one cycle to the next below which the cycle counts as steady [1].
const settled = 1e-8

// mostCycles is the largest number of cycles of the iteration [1].
const mostCycles = 200

// Solve computes the steady cycle of a cylinder.
//
//   - s: the setting, which Setting.Check accepts
//
// Result [Pa], [K], [J] and more: see Result. The state is marched with the classical method of Runge and Kutta of
// the fourth order, with a step at every sample and at every event, and cycles are repeated until one ends as it
// began. Accuracy: the first law closes to 1e-6 of the heat; Result.Balance says how well. Errors: those of
// Setting.Check, a state beyond the range of the model, no steady cycle. Source: HEYWOOD, sec. 14.4, a single zone.
func Solve(s Setting) (*Result, error) {
	r, _, err := solveFrom(&s, nil)
	return r, err
}

// solveFrom is Solve with a state to start from, where one is known; it returns that of the steady cycle.
func solveFrom(s *Setting, from *gasState) (*Result, *gasState, error) {
	if err := s.Check(); err != nil {
		return nil, nil, err
	}
	p, err := newPlan(s)
	if err != nil {
		return nil, nil, err
	}
	m := newMarcher(s, p)
	start := s.firstState(p)
	if from != nil && s.Valves != nil {
		start = *from
	}
	r := newResult(s)
	if s.Valves == nil {
		return r.ideal(m, start)
	}
	for r.Cycles = 1; r.Cycles <= mostCycles; r.Cycles++ {
		end, sums, err := m.cycle(start, r)
		if err != nil {
			return nil, nil, err
		}
		if start.near(end) {
			r.finish(m, start, end, sums)
			return r, &end, nil
		}
		start = end
	}
	return nil, nil, fmt.Errorf("gas: the cycle does not become steady in %d cycles; more overlap of the valves or a pressure nearer to that of the exhaust may help", mostCycles)
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

// near says whether two states are the same but for settled.
func (g gasState) near(o gasState) bool {
	return math.Abs(g.T-o.T) <= settled*o.T && math.Abs(g.m-o.m) <= settled*o.m && math.Abs(g.b-o.b) <= settled &&
		math.Abs(g.fuel.released-o.fuel.released) <= settled*o.fuel.released &&
		math.Abs(g.manifold.T-o.manifold.T) <= 10*settled*o.manifold.T
}

// ideal marches from bottom to bottom dead centre and adds the exchange of the package comment.
func (r *Result) ideal(m *marcher, start gasState) (*Result, *gasState, error) {
	end, sums, err := m.cycle(start, r)
	if err != nil {
		return nil, nil, err
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
	closed := start
	r.finish(m, start, closed, sums)
	return r, nil, nil
}
