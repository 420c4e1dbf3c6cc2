package gas

import (
	"fmt"
	"math"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Places in the vector that is marched: the state, what only the next cycle needs, and what is summed.
const (
	iT      = iota // temperature [K]
	iM             // mass [kg]
	iB             // burned share of it [1]
	iGone          // mass that left by the exhaust [kg]
	iGoneT         // ∫ T of it [kg K]
	iGoneB         // ∫ b of it [kg]
	iWork          // ∫ p dV [J]
	iWall          // heat to the walls [J]
	iHin           // enthalpy that came in [J]
	iHout          // enthalpy that went out [J]
	iFresh         // mass that came in from the intake [kg]
	iLost          // fresh charge that left by the exhaust [kg]
	iBack          // spent gas that flowed back into the intake [kg]
	nVector        // length
	nState  = iB + 1
	nMarch  = iWork + 1
)

type vector [nVector]float64

// exhausted is the gas in the exhaust manifold: the mean of what left the cylinder in the cycle before.
type exhausted struct{ T, burned float64 }

// gasState is all that one cycle hands to the next.
type gasState struct {
	T, m, b  float64
	fuel     dose
	manifold exhausted
}

// marcher integrates cycles of one setting.
type marcher struct {
	s    *Setting
	plan *plan

	fuel     dose
	manifold exhausted
	hIn, hEx float64 // enthalpies of the manifolds' gas [J/kg]
	κIn, κEx float64 // its ratios of specific heats [1]
	burnable float64 // share of the charge that burns, 1 − b where combustion begins [1]
	tail     float64 // share of the spent gas that the release leaves unburned [1]
	per      float64 // V_h T_r/(p_r V_r) [K/Pa]
	pr       float64 // pressure where the charge was enclosed [Pa]
	wall     float64 // factor of the heat to the walls per crank angle
	piston   float64 // mean piston speed [m/s]

	trapped, residual float64 // where combustion begins [kg], [1]
	work              float64 // of the last cycle that was not audited [J]
	bottom            float64 // work up to bottom dead centre before firing [J]
	gross             float64 // work of the revolution about firing top dead centre [J]
	compression       float64 // work into the gas before it [J]
}

func newMarcher(s *Setting, p *plan) *marcher {
	m := &marcher{s: s, plan: p, piston: meanPistonSpeed(s.Chamber, s.Speed)}
	if w := s.Wall; w != nil {
		m.wall = woschniFactor(s.Chamber.Bore) / s.Speed
		if w.Factor > 0 {
			m.wall *= w.Factor
		}
	}
	return m
}

// φ returns the equivalence ratio of all the gas [1].
func (m *marcher) φ(b float64) float64 { return m.fuel.φ * min(1, max(0, b)) }

// derive writes the derivatives by crank angle of a state at a node into d.
func (m *marcher) derive(st *step, n *node, y, d *vector) {
	s := m.s
	T, mass, b := y[iT], y[iM], y[iB]
	p := mass * GasConstant * T / n.v
	u, cv, uφ := s.Fluid.Energy(T, m.φ(b))
	*d = vector{}
	d[iWork] = p * n.dv
	heat := -d[iWork]
	if n.rate > 0 {
		d[iB] = m.burnable * n.rate
		heat += m.fuel.released * n.rate
		if !s.Fuel.Premixed {
			d[iM] = m.fuel.mass * n.rate
			heat -= u * d[iM] // the energy of the fuel is in the heat
		}
	}
	if s.Wall != nil {
		burning := 0.0
		if st.burning {
			burning = m.per * (p - m.pr*n.motored)
		}
		d[iWall] = m.wall * transfer(p*WoschniSpeed(st.open, m.piston, burning), T) * n.surface * (T - s.Wall.Temperature)
		heat -= d[iWall]
	}
	if n.intake > 0 {
		if s.Intake >= p {
			in := Flow(n.intake, s.Intake, s.Temperature, m.κIn, p) / s.Speed
			heat += in * (m.hIn - u)
			d[iM] += in
			d[iB] -= b * in / mass
			d[iHin] += in * m.hIn
			d[iFresh] = in
		} else {
			out := Flow(n.intake, p, T, 1+GasConstant/cv, s.Intake) / s.Speed
			heat -= out * GasConstant * T
			d[iM] -= out
			d[iHout] += out * (u + GasConstant*T)
			d[iFresh], d[iBack] = -out*(1-b), out*b
		}
	}
	if n.exhaust > 0 {
		if s.Exhaust > p {
			in := Flow(n.exhaust, s.Exhaust, m.manifold.T, m.κEx, p) / s.Speed
			heat += in * (m.hEx - u)
			d[iM] += in
			d[iB] += (m.manifold.burned - b) * in / mass
			d[iHin] += in * m.hEx
		} else {
			out := Flow(n.exhaust, p, T, 1+GasConstant/cv, s.Exhaust) / s.Speed
			heat -= out * GasConstant * T
			d[iM] -= out
			d[iHout] += out * (u + GasConstant*T)
			d[iGone], d[iGoneT], d[iGoneB] = out, out*T, out*b
			d[iLost] = out * max(0, 1-b-m.tail) / (1 - m.tail) // the rest is spent: of it tail has not burned
		}
	}
	d[iT] = (heat - mass*uφ*m.fuel.φ*d[iB]) / (mass * cv)
}

// begin sets what holds over a whole cycle.
func (m *marcher) begin(start gasState) {
	m.fuel, m.manifold = start.fuel, start.manifold
	u, cv, _ := m.s.Fluid.Energy(m.s.Temperature, 0)
	m.hIn, m.κIn = u+GasConstant*m.s.Temperature, 1+GasConstant/cv
	u, cv, _ = m.s.Fluid.Energy(m.manifold.T, m.φ(m.manifold.burned))
	m.hEx, m.κEx = u+GasConstant*m.manifold.T, 1+GasConstant/cv
}

// enter notes what begins with a step: the closed time, combustion.
func (m *marcher) enter(st *step, y *vector) error {
	if st.encloses {
		p := y[iM] * GasConstant * y[iT] / st.nodes[0].v
		m.pr, m.per = p, m.s.Chamber.Displacement()*y[iT]/(p*st.nodes[0].v)
		m.trapped, m.residual = y[iM], y[iB]
	}
	if st.ignites {
		d, err := m.s.Fuel.doseFor(y[iM] * (1 - y[iB]))
		if err != nil {
			return err
		}
		m.fuel, m.burnable = d, 1-y[iB]
		_, last := m.s.Release.span()
		m.tail = m.burnable * max(0, 1-m.s.Release.Burned(last))
		m.trapped, m.residual = y[iM], y[iB]
	}
	return nil
}

// cycle marches through one cycle from a state and returns the state at the end and the sums. With a result it writes
// the samples and the peak into it, and takes all sums anew over the finished curve: see audit.
func (m *marcher) cycle(start gasState, r *Result) (gasState, vector, error) {
	m.begin(start)
	y := vector{iT: start.T, iM: start.m, iB: start.b}
	var sums, d, z vector
	var first, rest step
	for i := range m.plan.steps {
		st := &m.plan.steps[i]
		if st.encloses || st.ignites {
			if err := m.enter(st, &y); err != nil {
				return gasState{}, vector{}, err
			}
		}
		if r == nil || !st.follows { // an audit ends with the rates with which the next step begins
			m.derive(st, &st.nodes[0], &y, &d)
		}
		m.advance(st, &y, &z, &d)
		for range mostTurns {
			x := m.turns(st, &y, &z)
			if x == 0 {
				break
			}
			m.plan.split(st, x, &first, &rest)
			m.advance(&first, &y, &z, &d)
			if r != nil {
				m.audit(&first, &y, &z, &d, &sums, r)
			}
			st, y = &rest, z
			if r == nil {
				m.derive(st, &st.nodes[0], &y, &d)
			}
			m.advance(st, &y, &z, &d)
		}
		if T := z[iT]; !(T > 50 && T < 6000 && z[iM] > 0 && !math.IsInf(z[iM], 0)) {
			return gasState{}, vector{}, fmt.Errorf("gas: the gas comes to %.4g K and %.4g mg, beyond what the model holds for (50 to 6000 K); give less fuel or heat, or another time of it",
				T, 1e6*z[iM])
		}
		if r != nil {
			m.audit(st, &y, &z, &d, &sums, r)
		}
		y = z
	}
	end := gasState{T: y[iT], m: y[iM], b: y[iB], fuel: m.fuel, manifold: m.manifold}
	if y[iGone] > 0 {
		end.manifold = exhausted{T: y[iGoneT] / y[iGone], burned: y[iGoneB] / y[iGone]}
	}
	if r == nil {
		return end, y, nil
	}
	return end, sums, nil
}

// advance takes one step of the classical method of Runge and Kutta from y, where the derivative is d, to z.
func (m *marcher) advance(st *step, y, z, d *vector) {
	var k2, k3, k4, x vector
	h := float64(st.h)
	ahead(&x, y, d, h/2)
	m.derive(st, &st.nodes[1], &x, &k2)
	ahead(&x, y, &k2, h/2)
	m.derive(st, &st.nodes[1], &x, &k3)
	ahead(&x, y, &k3, h)
	m.derive(st, &st.nodes[2], &x, &k4)
	for j := range nMarch {
		z[j] = y[j] + h/6*(d[j]+2*(k2[j]+k3[j])+k4[j])
	}
}

// mostTurns is how often one step is cut where a flow turns [1].
const mostTurns = 8

// turns returns the share of a step after which the rate of a flow has a corner; 0 where none has: where the pressure
// passes that of a manifold, because the flow that turns brings other gas, and where the formula of the flow bends
// (nearlyEqual). A step across a corner would be of lower order.
func (m *marcher) turns(st *step, y, z *vector) float64 {
	if !st.open {
		return 0
	}
	p0 := y[iM] * GasConstant * y[iT] / st.nodes[0].v
	p1 := z[iM] * GasConstant * z[iT] / st.nodes[2].v
	x := 0.0
	look := func(p float64) {
		if a, b := p0-p, p1-p; a*b < 0 {
			if at := a / (a - b); at > 0.001 && at < 0.999 && (x == 0 || at < x) {
				x = at
			}
		}
	}
	for i, outside := range [2]float64{m.s.Intake, m.s.Exhaust} {
		if n := &st.nodes[1]; i == 0 && n.intake > 0 || i == 1 && n.exhaust > 0 {
			look(outside)
			look(outside * (1 - nearlyEqual))
			look(outside / (1 - nearlyEqual))
		}
	}
	return x
}

// ahead writes the state that a derivative leads to into z.
func ahead(z, y, d *vector, h float64) {
	for j := range nState {
		z[j] = y[j] + h*d[j]
	}
}

// audit adds one step to the sums by Simpson's rule on the cubic through the states a and z at its ends and their
// derivatives (Hermite). The sums of the march itself would not do: the method of Runge and Kutta keeps every linear
// combination of what it sums, so that with constant specific heats the first law would close whatever the state.
// It leaves the derivative at z in da.
func (m *marcher) audit(st *step, a, z, da, sums *vector, r *Result) {
	m.halves(st.sample, sums[iWork])
	if st.sample >= 0 {
		r.see(st.sample, a, da, &st.nodes[0], m.fuel.released)
	}
	var dz, mid, dm vector
	h := float64(st.h)
	m.derive(st, &st.nodes[2], z, &dz)
	between(&mid, a, z, da, &dz, h, 0.5)
	m.derive(st, &st.nodes[1], &mid, &dm)
	for j := nState; j < nVector; j++ {
		sums[j] += h / 6 * (da[j] + 4*dm[j] + dz[j])
	}
	switch n := &st.nodes[1]; {
	case st.middle < 0:
	case st.at == 0.5:
		r.see(st.middle, &mid, &dm, n, m.fuel.released)
	default: // the step has been split
		other := m.plan.node(st, st.θ+st.h*num.Angle(st.at))
		between(&mid, a, z, da, &dz, h, st.at)
		m.derive(st, &other, &mid, &dm)
		r.see(st.middle, &mid, &dm, &other, m.fuel.released)
	}
	r.climb(st, a, z, da, &dz)
	*da = dz
}

// between writes the state on the cubic through a and z with their slopes, at a share x of the step.
func between(y, a, z, da, dz *vector, h, x float64) {
	for j := range nState {
		rise := z[j] - a[j]
		y[j] = a[j] + x*(h*da[j]+x*(3*rise-h*(2*da[j]+dz[j])+x*(h*(da[j]+dz[j])-2*rise)))
	}
}

// halves takes the work at the bottom and the top dead centres about firing.
func (m *marcher) halves(sample int, work float64) {
	after := m.s.samples() / 2 // bottom dead centres
	before := after
	if m.s.Cycle == layout.FourStroke {
		after /= 2
		before = 3 * after
	}
	switch sample {
	case before:
		m.bottom = work
	case 0:
		m.compression = m.bottom - work
	case after:
		m.gross = work - m.bottom
	}
}
