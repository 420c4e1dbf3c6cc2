package strength

import "math"

// Factors are the stress concentration factors of a throw [1]: local over nominal stress.
type Factors struct {
	PinBending, PinTorsion                       float64 // α_B, α_T at the fillet of the pin
	JournalBending, JournalShear, JournalTorsion float64 // β_B, β_Q, β_T at the fillet of the journal
	OilBending, OilTorsion                       float64 // γ_B, γ_T at the oil bore; 0 where there is none
}

// LeastOverlap is the overlap over the pin's diameter below which every lower one counts as it [1]. The rule says so of
// f(s,w) and f(r,s); of f_Q it is ours, for f_Q turns negative at −0.601, as if shear made a fillet stronger. Source: IACSM53.
const LeastOverlap = -0.5

// FactorsOf returns the stress concentration factors.
//
//	α_B = 2.6914 f(s,w) f(w) f(b) f(r) f(d_G) f(d_H) f(recess)      α_T = 0.8 f(r,s) f(b) f(w)
//	β_B = 2.7146 f_B(s,w) f_B(w) f_B(b) f_B(r) f_B(d_G) f_B(d_H) f(recess)
//	β_Q = 3.0128 f_Q(s) f_Q(w) f_Q(b) f_Q(r) f_Q(d_H) f(recess)
//	γ_B = 3 − 5.88 d_O + 34.6 d_O²      γ_T = 4 − 6 d_O + 30 d_O²
//
// with
//   - r: ratios within Limits; outside them the polynomials run wild
//
// Result [1]: β_T is α_T with the journal's fillet over the journal's diameter. An overlap below LeastOverlap counts as
// LeastOverlap, a recess factor below 1 as 1. Without overlap the rule takes w of a reduced thickness W_red, whose formula is
// not known here: w is that of the web. The formulas are from memory. Source: IACSM53, stress concentration factors.
func FactorsOf(r Ratios) Factors {
	s := math.Max(r.S, LeastOverlap)
	w, b := r.W, r.B
	q := 1 - s
	recess := math.Max(1, 1+(r.TH+r.TG)*(1.8+3.2*r.S))
	var f Factors
	f.PinBending = 2.6914 *
		(poly(w, -4.1883, 29.2004, -77.5925, 91.9454, -40.0416) +
			q*poly(w, 9.5440, -58.3480, 159.3415, -192.5846, 85.2916) +
			q*q*poly(w, -3.8399, 25.0444, -70.5571, 87.0328, -39.1832)) *
		2.1790 * math.Pow(w, 0.7171) * poly(b, 0.6840, -0.0077, 0.1473) * 0.2081 * math.Pow(r.RH, -0.5231) *
		poly(r.DG, 0.9993, 0.27, -1.0211, 0.5306) * poly(r.DH, 0.9978, 0.3145, -1.5241, 2.4147) * recess
	torsion := func(fillet float64) float64 {
		return 0.8 * math.Pow(fillet, -0.322+0.1015*q) * poly(b, 7.8955, -10.654, 5.3482, -0.857) * math.Pow(w, -0.145)
	}
	f.PinTorsion = torsion(r.RH)
	f.JournalBending = 2.7146 *
		(poly(w, -1.7625, 2.9821, -1.5276) + q*poly(w, 5.1169, -5.8089, 3.1391) + q*q*poly(w, -2.1567, 2.3297, -1.2952)) *
		2.2422 * math.Pow(w, 0.7548) * poly(b, 0.5616, 0.1197, 0.1176) * 0.1908 * math.Pow(r.RG, -0.5568) *
		poly(r.DG, 1.0012, -0.6441, 1.2265) * poly(r.DH, 1.0022, -0.1903, 0.0073) * recess
	f.JournalShear = 3.0128 * poly(q, 0.4368, 2.1630, -1.5212) * w / (0.0637 + 0.9369*w) * (b - 0.5) *
		0.5331 * math.Pow(r.RG, -0.2038) * poly(r.DH, 0.9937, -1.1949, 1.7373) * recess
	fillet := r.RJ
	if fillet == 0 {
		fillet = r.RG
	}
	f.JournalTorsion = torsion(fillet)
	if r.DO > 0 {
		f.OilBending, f.OilTorsion = poly(r.DO, 3, -5.88, 34.6), poly(r.DO, 4, -6, 30)
	}
	return f
}

// poly is c₀ + c₁x + c₂x² + …
func poly(x float64, c ...float64) float64 {
	v := 0.0
	for i := len(c) - 1; i >= 0; i-- {
		v = v*x + c[i]
	}
	return v
}
