package gas

import (
	"math"

	"crankwright/num"
)

// Result is the steady cycle of one cylinder.
type Result struct {
	Period num.Angle // of the curves [rad]; sample j stands at Period·j/len from firing top dead centre

	Pressure    []float64 // [Pa]
	Temperature []float64 // [K]
	Volume      []float64 // [m³]
	Mass        []float64 // in the cylinder [kg]
	Burned      []float64 // share of it that has burned [1]
	ReleaseRate []float64 // heat released per crank angle [J/rad]
	WallRate    []float64 // heat to the walls per crank angle [J/rad]

	PeakPressure    float64   // [Pa]
	PeakAngle       num.Angle // from firing top dead centre, in −Period/2 … Period/2 [rad]
	PeakTemperature float64   // [K]

	Work       float64 // ∮ p dV [J]
	IMEP       float64 // Work by displacement: net, over the whole cycle [Pa]
	Gross      float64 // of the revolution about firing top dead centre [Pa]
	Pumping    float64 // IMEP − Gross: of the other revolution of a four-stroke; negative where it costs work [Pa]
	Efficiency float64 // Work by the heat of Fuel [1]; 0 where it does not fire

	Fuel         float64 // fuel that came in with the air or was injected in a cycle [kg]; 0 where it has no mass
	FuelEnclosed float64 // of it, in the cylinder where combustion begins; the rest leaves by the exhaust [kg]
	Lambda       float64 // air over the air that the fuel needs, in the fresh charge enclosed [1]; 0 where unknown
	Trapped      float64 // mass where combustion begins, or enclosed where it does not fire [kg]
	Residual     float64 // share of it that is spent gas [1]
	Back         float64 // spent gas that flowed back into the intake, from where none comes in again, over Trapped [1]
	Fresh        float64 // fresh charge that came in: air, with its fuel where that is premixed [kg]
	Volumetric   float64 // Fresh over what V_h holds at the intake's pressure and temperature [1]
	Lost         float64 // share of the fresh charge that left by the exhaust before it was enclosed [1]
	ExhaustT     float64 // mean temperature of what left by the exhaust [K]

	Balance Balance
	Cycles  int // of the iteration

	end gasState // where a next cycle would begin
}

// Balance is the first law over one cycle.
//
//	Released + In = Wall + Work + Out + Stored + Residual
type Balance struct {
	Fuel     float64 // heat of the fuel that came in, what leaves by the exhaust before it is enclosed with it [J]
	Released float64 // of it, from the closed form of the release [J]
	Wall     float64 // heat to the walls [J]
	Work     float64 // work on the piston [J]
	In, Out  float64 // enthalpy that came in and went out with the gas, from zero at 298.15 K [J]
	Stored   float64 // energy of the gas at the end less that at the begin [J]
	Residual float64 // what the march has lost [J]
	Share    float64 // |Residual| over the heat released, or over the work of compression or 1 % of p_intake V_h where that is more [1]
}

func newResult(s *Setting) *Result {
	n := s.samples()
	buf := make([]float64, 7*n)
	part := func(i int) []float64 { return buf[i*n : (i+1)*n : (i+1)*n] }
	return &Result{
		Period: s.Cycle.Period(), Pressure: part(0), Temperature: part(1), Volume: part(2), Mass: part(3),
		Burned: part(4), ReleaseRate: part(5), WallRate: part(6),
	}
}

// Angle returns the crank angle of a sample.
//
//   - j: index of the sample [1]
//
// Result [rad] from firing top dead centre, in 0 … Period. Definition.
func (r *Result) Angle(j int) num.Angle { return r.Period * num.Angle(j) / num.Angle(len(r.Pressure)) }

// see writes a sample down.
func (r *Result) see(j int, y, d *vector, n *node, released float64) {
	r.Temperature[j], r.Mass[j], r.Burned[j], r.Volume[j] = y[iT], y[iM], y[iB], n.v
	r.Pressure[j] = y[iM] * GasConstant * y[iT] / n.v
	r.ReleaseRate[j] = released * n.rate
	r.WallRate[j] = d[iWall]
}

// finish computes what one number says of the cycle.
func (r *Result) finish(m *marcher, start, end gasState, sums vector) {
	s := m.s
	vh := s.Chamber.Displacement()
	r.Work = sums[iWork]
	r.IMEP = r.Work / vh
	r.Gross = r.IMEP
	if r.Period > num.Turn {
		r.Gross = m.gross / vh
		if s.Valves == nil {
			r.Gross = (r.Work - (s.Intake-s.Exhaust)*vh) / vh
		}
	}
	r.Pumping = r.IMEP - r.Gross
	r.Trapped, r.Residual, r.Fresh = m.trapped, m.residual, sums[iFresh]
	r.Volumetric = r.Fresh / (vh * s.Intake / (GasConstant * s.Temperature))
	if r.Trapped > 0 {
		r.Back = sums[iBack] / r.Trapped
	}
	if sums[iFresh] > 0 {
		r.Lost = math.Min(1, sums[iLost]/sums[iFresh]) // what flows out and in again counts each time
	}
	if sums[iGone] > 0 {
		r.ExhaustT = sums[iGoneT] / sums[iGone]
	}
	b := &r.Balance
	if !s.Motored {
		_, last := s.Release.span()
		b.Fuel, b.Released = m.fuel.heat, m.fuel.released*s.Release.Burned(last)
		r.Fuel, r.FuelEnclosed, r.Lambda = m.fuel.mass, m.fuel.mass, m.fuel.lambda
		if s.Fuel.Premixed && r.Fuel > 0 && r.Fresh > 0 { // the fresh charge is the same mixture, enclosed or lost
			all := r.Fresh / (m.trapped * m.burnable)
			b.Fuel, r.Fuel = all*b.Fuel, all*r.Fuel
			r.FuelEnclosed = min(r.Fuel, r.FuelEnclosed) // a trace of what is enclosed was left by the cycle before
		}
		if b.Fuel > 0 {
			r.Efficiency = r.Work / b.Fuel
		}
	}
	b.Wall, b.Work, b.In, b.Out = sums[iWall], sums[iWork], sums[iHin], sums[iHout]
	r.end = end
	b.Stored = m.energy(end) - m.energy(start)
	b.Residual = b.Released + b.In - b.Wall - b.Work - b.Out - b.Stored
	b.Share = math.Abs(b.Residual) / max(b.Released, m.compression, 0.01*s.Intake*vh)
}

// energy returns the internal energy of a state [J].
func (m *marcher) energy(g gasState) float64 {
	u, _, _ := m.s.Fluid.Energy(g.T, g.fuel.φ*min(1, max(0, g.b)))
	return g.m * u
}

// climb looks for the peak of pressure within a step, on the cubic through the pressures a and z at its ends and
// their slopes; the highest temperature is that of the ends.
func (r *Result) climb(st *step, a, z, da, dz *vector) {
	at := func(y, d *vector, n *node) (p, slope float64) {
		p = y[iM] * GasConstant * y[iT] / n.v
		return p, p * (d[iM]/y[iM] + d[iT]/y[iT] - n.dv/n.v)
	}
	p0, s0 := at(a, da, &st.nodes[0])
	p1, s1 := at(z, dz, &st.nodes[2])
	r.PeakTemperature = max(r.PeakTemperature, a[iT], z[iT])
	r.peak(p0, float64(st.θ))
	if s0 > 0 && s1 < 0 {
		// p = p0 + s0 h x + (3 Δ − 2 s0 h − s1 h) x² + (s0 h + s1 h − 2 Δ) x³
		g0, g1 := s0*float64(st.h), s1*float64(st.h)
		b, c := 3*(p1-p0)-2*g0-g1, g0+g1-2*(p1-p0)
		if root := b*b - 3*c*g0; root >= 0 { // the root where the slope falls
			x := g0 / (math.Sqrt(root) - b)
			if x > 0 && x < 1 {
				r.peak(p0+x*(g0+x*(b+x*c)), float64(st.θ)+x*float64(st.h))
			}
		}
	}
}

func (r *Result) peak(p, θ float64) {
	if p > r.PeakPressure {
		r.PeakPressure, r.PeakAngle = p, num.Angle(θ)
	}
}
