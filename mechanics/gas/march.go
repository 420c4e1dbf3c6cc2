package gas

import (
	"fmt"
	"math"

	"crankwright/mechanics/layout"
)

// Places in the vector that is integrated: the state, then what is only summed.
const (
	iT      = iota // temperature [K]
	iM             // mass [kg]
	iB             // burned share of it [1]
	iWork          // ∫ p dV [J]
	iWall          // heat to the walls [J]
	iHin           // enthalpy that came in [J]
	iHout          // enthalpy that went out [J]
	iFresh         // mass that came in from the intake [kg]
	iGone          // mass that left by the exhaust [kg]
	iGoneT         // ∫ T of it [kg K]
	iGoneB         // ∫ b of it [kg]
	iLost          // unburned mass that left by the exhaust [kg]
	nVector        // length
	nState  = iB + 1
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
	per      float64 // V_h T_r/(p_r V_r) [K/Pa]
	pr       float64 // pressure where the charge was enclosed [Pa]
	wall     float64 // factor of the heat to the walls per crank angle
	piston   float64 // mean piston speed [m/s]

	trapped, residual float64 // where combustion begins [kg], [1]
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
		d[iWall] = m.wall * transfer(p*GasSpeed(st.open, m.piston, burning), T) * n.surface * (T - s.Wall.Temperature)
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
			d[iFresh] = -out * (1 - b)
		}
	}
	if n.exhaust > 0 {
		if s.Exhaust > p {
			in := Flow(n.exhaust, s.Exhaust, m.manifold.T, m.κEx, p) / s.Speed
			heat += in * (m.hEx - u)
			d[iM] += in
			d[iB] += (m.manifold.burned - b) * in / mass
			d[iHin] += in * m.hEx
			d[iGone], d[iGoneT], d[iGoneB] = 0, 0, 0
		} else {
			out := Flow(n.exhaust, p, T, 1+GasConstant/cv, s.Exhaust) / s.Speed
			heat -= out * GasConstant * T
			d[iM] -= out
			d[iHout] += out * (u + GasConstant*T)
			d[iGone], d[iGoneT], d[iGoneB] = out, out*T, out*b
			d[iLost] = out * (1 - b)
		}
	}
	d[iT] = (heat - mass*uφ*m.fuel.φ*d[iB]) / (mass * cv)
}

// cycle marches through one cycle from a state. It writes the samples into r and returns the state at the end and the
// sums.
func (m *marcher) cycle(start gasState, r *Result) (gasState, vector, error) {
	m.fuel, m.manifold = start.fuel, start.manifold
	u, cv, _ := m.s.Fluid.Energy(m.s.Temperature, 0)
	m.hIn, m.κIn = u+GasConstant*m.s.Temperature, 1+GasConstant/cv
	u, cv, _ = m.s.Fluid.Energy(m.manifold.T, m.φ(m.manifold.burned))
	m.hEx, m.κEx = u+GasConstant*m.manifold.T, 1+GasConstant/cv
	y := vector{iT: start.T, iM: start.m, iB: start.b}
	var k1, k2, k3, k4 vector
	const top = 0
	after := m.s.samples() / 2 // bottom dead centres
	before := after
	if m.s.Cycle == layout.FourStroke {
		after /= 2
		before = 3 * after
	}
	atBottom := 0.0
	for i := range m.plan.steps {
		st := &m.plan.steps[i]
		if st.encloses {
			p := y[iM] * GasConstant * y[iT] / st.nodes[0].v
			m.pr, m.per = p, m.s.Chamber.Displacement()*y[iT]/(p*st.nodes[0].v)
			m.trapped, m.residual = y[iM], y[iB]
		}
		if st.ignites {
			d, err := m.s.Fuel.doseFor(y[iM] * (1 - y[iB]))
			if err != nil {
				return gasState{}, vector{}, err
			}
			m.fuel, m.burnable = d, 1-y[iB]
			m.trapped, m.residual = y[iM], y[iB]
		}
		switch st.sample {
		case before:
			atBottom = y[iWork]
		case top:
			m.compression = atBottom - y[iWork]
		case after:
			m.gross = y[iWork] - atBottom
		}
		m.derive(st, &st.nodes[0], &y, &k1)
		if st.sample >= 0 {
			r.see(st.sample, &y, &k1, &st.nodes[0], m.fuel.released)
		}
		m.derive(st, &st.nodes[1], ahead(&y, &k1, st.h/2), &k2)
		m.derive(st, &st.nodes[1], ahead(&y, &k2, st.h/2), &k3)
		m.derive(st, &st.nodes[2], ahead(&y, &k3, st.h), &k4)
		for j := range y {
			y[j] += st.h / 6 * (k1[j] + 2*(k2[j]+k3[j]) + k4[j])
		}
		if T := y[iT]; !(T > 50 && T < 6000 && y[iM] > 0 && !math.IsInf(y[iM], 0)) {
			return gasState{}, vector{}, fmt.Errorf("gas: the gas comes to %.4g K and %.4g mg, beyond what the model holds for (50 to 6000 K); give less fuel or heat, or another time of it",
				T, 1e6*y[iM])
		}
	}
	end := gasState{T: y[iT], m: y[iM], b: y[iB], fuel: m.fuel, manifold: m.manifold}
	if y[iGone] > 0 {
		end.manifold = exhausted{T: y[iGoneT] / y[iGone], burned: y[iGoneB] / y[iGone]}
	}
	return end, y, nil
}

// ahead returns the state that a derivative leads to.
func ahead(y, d *vector, h float64) *vector {
	var z vector
	for j := range nState {
		z[j] = y[j] + h*d[j]
	}
	return &z
}
