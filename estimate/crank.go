package estimate

import "math"

// PinDiameter returns the diameter of a crankpin.
//
//	d = 0.58 D (general), 0.54 D (light), 0.65 D (heavy)
//
// with
//   - bore: D [m], greater than zero
//   - duty: what the engine is for [-]
//
// Result [m]. Range: rods that pass through the bore (d below about 0.68 D). Scatter: 0.54 D to
// 0.65 D in nine petrol engines, mean 0.584 D (MANUALS). Light and heavy duty are common practice.
// Source: MANUALS, PRACTICE.
func PinDiameter(bore float64, duty Duty) float64 { return byDuty(duty, 0.58, 0.54, 0.65) * bore }

// MainDiameter returns the diameter of a main journal.
//
//	d = 0.70 D (general), 0.62 D (light), 0.78 D (heavy)
//
// with
//   - bore: D [m], greater than zero
//   - duty: what the engine is for [-]
//
// Result [m]. Range: a main journal on each side of every throw. Scatter: 0.65 D to 0.76 D in
// eleven petrol engines, mean 0.70 D; 0.85 D in one diesel (MANUALS). Light and heavy duty are
// common practice. Source: MANUALS, PRACTICE.
func MainDiameter(bore float64, duty Duty) float64 { return byDuty(duty, 0.70, 0.62, 0.78) * bore }

// MainWidth returns the width of a main journal between its webs, before it is fitted to the
// cylinder spacing.
//
//	b = 0.30 D, 0.27 D, 0.36 D                one rod between two main journals
//	b = 0.255 D, 0.235 D, 0.30 D              two (each for general, light, heavy)
//
// with
//   - bore: D [m], greater than zero
//   - rods: rods between two main journals [1], 1 or 2
//   - duty: what the engine is for [-]
//
// Result [m]. Range: plain bearings. Scatter: ±20 %; 0.255 D in two vee sixes, 0.34 D in an inline
// four (MANUALS). Light and heavy duty are common practice. Source: MANUALS, PRACTICE.
func MainWidth(bore float64, rods int, duty Duty) float64 {
	if rods == 2 {
		return byDuty(duty, 0.255, 0.235, 0.30) * bore
	}
	return byDuty(duty, 0.30, 0.27, 0.36) * bore
}

// RodWidth returns the length of crankpin that one rod takes, before it is fitted to the cylinder
// spacing.
//
//	b = 0.30 D, 0.27 D, 0.35 D                one rod between two main journals
//	b = 0.235 D, 0.21 D, 0.28 D               one of two (each for general, light, heavy)
//
// with
//   - bore: D [m], greater than zero
//   - rods: rods between two main journals [1], 1 or 2
//   - duty: what the engine is for [-]
//
// Result [m]. Range: plain bearings. Scatter: ±20 %; 0.232 D to 0.241 D in two vee sixes and a vee
// eight, 0.34 D in an inline four (MANUALS). Light and heavy duty are common practice.
// Source: MANUALS, PRACTICE.
func RodWidth(bore float64, rods int, duty Duty) float64 {
	if rods == 2 {
		return byDuty(duty, 0.235, 0.21, 0.28) * bore
	}
	return byDuty(duty, 0.30, 0.27, 0.35) * bore
}

// WebThickness returns the thickness of a web along the crank, before it is fitted to the cylinder
// spacing.
//
//	t = 0.22 D (general), 0.19 D (light), 0.25 D (heavy)
//
// with
//   - bore: D [m], greater than zero
//   - duty: what the engine is for [-]
//
// Result [m]. Range: forged and cast cranks. Scatter: 0.18 D to 0.27 D; strength rules of machine
// design ask for more, 0.45 to 0.7 pin diameters. Source: PRACTICE.
func WebThickness(bore float64, duty Duty) float64 { return byDuty(duty, 0.22, 0.19, 0.25) * bore }

// WebWidth returns the width of a web across the throw.
//
//	w = max( 1.05 D (general), 1.0 D (light), 1.2 D (heavy), 1.1 d )
//
// with
//   - bore: D [m], greater than zero
//   - journal: the larger diameter of main journal and crankpin, d [m]
//   - duty: what the engine is for [-]
//
// Result [m]. Range: forged and cast cranks. Scatter: ±15 %. Source: PRACTICE.
func WebWidth(bore, journal float64, duty Duty) float64 {
	return math.Max(byDuty(duty, 1.05, 1.0, 1.2)*bore, 1.1*journal)
}

// Fillet returns the fillet radius between crankpin and web.
//
//	r = min( 0.05 d, 0.15 b )
//
// with
//   - diameter: of the crankpin, d [m], greater than zero
//   - width: of the crankpin, b [m], greater than zero: the bearing needs the rest of it
//
// Result [m]. Range: fillets that stand on the journal. Scatter: 0.035 d to 0.06 d; a tractor diesel
// has 0.083 d to 0.09 d at the pin and 0.045 d to 0.051 d at the main journal (MANUALS).
// Source: PRACTICE.
func Fillet(diameter, width float64) float64 { return math.Min(0.05*diameter, 0.15*width) }

// SteelDensity is the density of crankshaft steel [kg/m³]. Source: PRACTICE.
const SteelDensity = 7850

// CheekMoment returns the first moment of area of one web about the crank axis.
//
// The web is idealised as the convex hull of two circles: one of the web's width round the main
// journal, which has no moment, and one of 1.25 pin diameters round the crankpin; straight flanks
// touch both. With R = w/2, q = 0.625 d and cos φ = (R − q)/r:
//
//	S = L/3 [ y₁(2x₁ + x₂) + y₂(x₁ + 2x₂) ]    between the points of contact, L = x₂ − x₁
//	  − ⅔ y₁³                                  the large circle's part, x < x₁
//	  + r q² (φ − sin φ cos φ) + ⅔ y₂³         the small circle's part, x > x₂
//	x₁ = R cos φ, y₁ = R sin φ, x₂ = r + q cos φ, y₂ = q sin φ
//
// with
//   - radius: of the throw, r [m], greater than zero
//   - width: of the web, w [m], greater than zero
//   - pin: diameter of the crankpin, d [m], greater than zero
//
// Result [m³]. Where the small circle lies inside the large one the moment is zero; where the
// large one lies inside the small one it is that of the small circle. Closed form. Real webs are
// bevelled at the pin, which takes 10 to 30 % away. Definition.
func CheekMoment(radius, width, pin float64) float64 {
	large, small := width/2, 0.625*pin
	cos := (large - small) / radius
	if cos >= 1 {
		return 0
	}
	if cos <= -1 {
		return math.Pi * small * small * radius
	}
	φ := math.Acos(cos)
	sin := math.Sin(φ)
	x1, y1 := large*cos, large*sin
	x2, y2 := radius+small*cos, small*sin
	return (x2-x1)/3*(y1*(2*x1+x2)+y2*(x1+2*x2)) -
		2./3*y1*y1*y1 +
		radius*small*small*(φ-sin*cos) + 2./3*y2*y2*y2
}

// ThrowUnbalance returns mass times radius of one crankpin with its webs.
//
//	U = ρ ( π/4 d² b r + t S )
//
// with
//   - radius: of the throw, r [m], greater than zero
//   - diameter: of the crankpin, d [m], greater than zero
//   - width: of the crankpin, b [m], not negative
//   - thickness: of all webs that count for this pin together, t [m], not negative: two webs of a
//     pin between two main journals; one and a half where half of a web between two pins is its own
//   - webWidth: of the web [m], greater than zero, for S = CheekMoment
//
// Result [kg m]. Range: solid pins and plain webs of steel, ρ = 7850 kg/m³, no counterweights.
// Scatter: −30 % to +5 %, for real pins are drilled and real webs bevelled. Definition.
func ThrowUnbalance(radius, diameter, width, thickness, webWidth float64) float64 {
	pin := math.Pi / 4 * diameter * diameter * width * radius
	return SteelDensity * (pin + thickness*CheekMoment(radius, webWidth, diameter))
}
