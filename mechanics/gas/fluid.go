package gas

import "math"

// GasConstant is R of air and, within half a percent, of what it burns to [J/(kg K)]. Source: KRIEGER, 0.287 kJ/(kg K)
// of air; 0.288 of stoichiometric products.
const GasConstant = 287.0

// Fluid is the working gas.
type Fluid struct {
	// K is a constant ratio of specific heats [1], above 1, as in air-standard cycles; 0: the properties follow
	// temperature and mixture.
	K float64
}

// datum is the temperature at which all energies are zero, so that heating values, which are given there, need no
// correction [K].
const datum = 298.15

// airPerFuel is the air that a kilogram of fuel needs in the correlation of the burned gas [kg/kg].
const airPerFuel = 15.1

// Energy returns the internal energy of the gas and its derivatives.
//
//	A = 692 T + 39.17e-3 T² + 52.9e-6 T³ − 228.62e-10 T⁴ + 277.58e-14 T⁵
//	B = −57 T − 95e-3 T² + 21.53e-6 T³ − 200.26e-11 T⁴
//	u = [A − A₀ − φ (B − B₀)] / (1 + φ/15.1)          index 0: at 298.15 K
//	u = R (T − 298.15)/(K − 1)                        where K is given
//
// with
//   - t: temperature T [K], 200 to 4000
//   - φ: equivalence ratio of what has burned, over all of the gas [1], 0 (air) to 1 (burned, no air left)
//
// Results: u [J/kg], c_v = ∂u/∂T [J/(kg K)], ∂u/∂φ [J/kg]. The correlation is for burned gas of hydrocarbons
// C_nH_2n, per kilogram of air in the source; scatter 2.5 % up to 3000 K, said from memory. Source: KRIEGER.
func (f Fluid) Energy(t, φ float64) (u, cv, uφ float64) {
	if f.K > 0 {
		cv = GasConstant / (f.K - 1)
		return cv * (t - datum), cv, 0
	}
	const share = 1 / airPerFuel
	a, da := airEnergy(t)
	b, db := burnedEnergy(t)
	whole := 1 / (1 + φ*share)
	u = (a - φ*b) * whole
	return u, (da - φ*db) * whole, (-b - share*u) * whole
}

// Ratio returns the ratio of specific heats of the gas.
//
//	κ = 1 + R/c_v
//
// with
//   - t: temperature T [K], 200 to 4000
//   - φ: equivalence ratio of what has burned [1], 0 to 1
//
// Result [1]. Source: KRIEGER, see Energy.
func (f Fluid) Ratio(t, φ float64) float64 {
	_, cv, _ := f.Energy(t, φ)
	return 1 + GasConstant/cv
}

func airEnergy(t float64) (a, da float64) {
	const zero = 692*datum + 39.17e-3*datum*datum + 52.9e-6*datum*datum*datum -
		228.62e-10*datum*datum*datum*datum + 277.58e-14*datum*datum*datum*datum*datum
	a = t*(692+t*(39.17e-3+t*(52.9e-6+t*(-228.62e-10+t*277.58e-14)))) - zero
	return a, 692 + t*(2*39.17e-3+t*(3*52.9e-6+t*(-4*228.62e-10+t*5*277.58e-14)))
}

func burnedEnergy(t float64) (b, db float64) {
	const zero = -57*datum - 95e-3*datum*datum + 21.53e-6*datum*datum*datum - 200.26e-11*datum*datum*datum*datum
	b = t*(-57+t*(-95e-3+t*(21.53e-6-t*200.26e-11))) - zero
	return b, -57 + t*(-2*95e-3+t*(3*21.53e-6-t*4*200.26e-11))
}

// nearlyEqual is the share of pressure below which the flow bends from the nozzle formula to a line [1]: the slope
// of the formula is infinite where the pressures are equal, which no fixed step can follow.
const nearlyEqual = 0.005

// neverChoked is the drop of pressure, over the pressure upstream, below which no gas with κ < 2 is choked [1].
const neverChoked = 0.39

// Flow returns the mass flow through a nozzle.
//
//	ṁ = A p₁/√(R T₁) · √( 2κ/(κ−1) (π^{2/κ} − π^{(κ+1)/κ}) ),   π = max( p₂/p₁, (2/(κ+1))^{κ/(κ−1)} )
//
// with
//   - area: effective flow area A [m²]
//   - p1, t1, κ: pressure [Pa], temperature T₁ [K] and ratio of specific heats [1] upstream
//   - p2: pressure downstream [Pa], not above p1
//
// Result [kg/s]. Where the pressures differ by less than δ = 0.5 % the flow is multiplied by √z (5 − z²)/4 with
// z = (1 − p₂/p₁)/δ, so that it is proportional to their difference at last; its slope has no jump at z = 1.
// Source: HEYWOOD, appendix C, isentropic flow through a restriction.
func Flow(area, p1, t1, κ, p2 float64) float64 {
	drop := 1 - p2/p1
	if !(drop > 0) {
		return 0
	}
	g := (κ - 1) / κ
	l := math.Log1p(-drop)
	if drop > neverChoked {
		l = max(l, math.Log(2/(κ+1))/g)
	}
	ψ2 := 2 / g * math.Exp(2*l/κ) * -math.Expm1(g*l)
	if z := drop / nearlyEqual; z < 1 {
		ψ2 *= z
		area *= (5 - z*z) / 4
	}
	return area * p1 * math.Sqrt(ψ2/(GasConstant*t1))
}
