package strength

import (
	"fmt"
	"math"
)

// SizeFactor returns how the size of a shaft lowers its permissible torsional stress.
//
//	c_D = 0.35 + 0.93 d^−0.2      d in mm
//
// with
//   - diameter: d [m]
//
// Result [1]. Source: IACSM68, read in a class rule.
func SizeFactor(diameter float64) float64 { return 0.35 + 0.93*math.Pow(1e3*diameter, -0.2) }

// ContinuousStress returns the torsional vibration stress that a plain shaft of the driven line may have at all times.
//
//	τ_C = (σ_B + 160)/18 c_K c_D (3 − 2λ²) for λ < 0.9      (σ_B + 160)/18 c_K c_D 1.38 for 0.9 ≤ λ < 1.05      σ in N/mm²
//
// with
//   - tensile: tensile strength σ_B [Pa], 100 to 800 N/mm²; what lies above counts as 800
//   - diameter: [m]
//   - form: c_K [1], 1 for an integral flange or a shrink fit, 0.6 for a keyway on a taper
//   - speed: λ, speed over rated speed [1], 0 to 1.05
//
// Result [Pa], an amplitude, nominal on the plain section. Errors: values out of range. For concept work; not for crank
// throws. From memory but for c_D and c_K. Source: IACSM68.
func ContinuousStress(tensile, diameter, form, speed float64) (float64, error) {
	if !(tensile >= 100e6 && tensile <= 3000e6) || !(diameter >= 1e-3 && diameter <= 3) || !(form > 0 && form <= 1) || !(speed >= 0 && speed <= 1.05) {
		return 0, fmt.Errorf("strength: a shaft of %.4g mm with a tensile strength of %.4g MPa, a form factor of %.3g at %.3g of its rated speed: 1 mm to 3 m, 100 to 3000 MPa, 0 to 1 and 0 to 1.05 are possible",
			1e3*diameter, tensile/1e6, form, speed)
	}
	b := math.Min(tensile/1e6, 800)
	by := 1.38
	if speed < 0.9 {
		by = 3 - 2*speed*speed
	}
	return 1e6 * (b + 160) / 18 * form * SizeFactor(diameter) * by, nil
}

// TransientStress returns the torsional vibration stress that a plain shaft may have while it passes a barred range.
//
//	τ_T = 1.7 τ_C/√c_K      λ ≤ 0.8
//
// with the arguments of ContinuousStress; speed up to 0.8.
//
// Result [Pa]. Errors: values out of range. From memory. Source: IACSM68.
func TransientStress(tensile, diameter, form, speed float64) (float64, error) {
	if !(speed <= 0.8) {
		return 0, fmt.Errorf("strength: a barred range at %.3g of the rated speed: it may lie up to 0.8", speed)
	}
	c, err := ContinuousStress(tensile, diameter, form, speed)
	return 1.7 * c / math.Sqrt(form), err
}

// ShaftDiameter returns the least diameter of a propulsion shaft.
//
//	d = F k ( P/n · 560/(σ_B + 160) )^⅓      d in mm, P in kW, n in 1/min, σ in N/mm²; F = 100 for diesel engines
//
// with
//   - power: P [W]
//   - speed: n [rad/s]
//   - tensile: σ_B [Pa]
//   - form: k [1], 1 for an integral flange
//
// Result [m]. Errors: values that are none. From memory. Source: IACSM68.
func ShaftDiameter(power, speed, tensile, form float64) (float64, error) {
	if !(power > 0 && power < 1e9) || !(speed > 0 && speed < 1e5) || !(tensile >= 100e6 && tensile <= 3000e6) || !(form > 0 && form <= 3) {
		return 0, fmt.Errorf("strength: %.4g W at %.4g rad/s with %.4g MPa and a form factor of %.3g give no shaft", power, speed, tensile/1e6, form)
	}
	return 1e-3 * 100 * form * math.Cbrt(power/1e3/(speed*30/math.Pi)*560/(tensile/1e6+160)), nil
}
