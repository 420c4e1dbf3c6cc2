package estimate

// byDuty returns the number that belongs to a duty: general, light, heavy.
func byDuty(d Duty, general, light, heavy float64) float64 {
	switch d {
	case Light:
		return light
	case Heavy:
		return heavy
	default:
		return general
	}
}

// ApparentDensity returns piston mass over bore cubed, the figure by which pistons are compared.
//
//	m/D³ = 650 (general), 500 (light), 1100 (heavy)
//
// with
//   - duty: what the engine is for [-]
//
// Result [kg/m³], piston with rings and pin. Range: trunk pistons of aluminium, and of steel for
// heavy duty; crosshead pistons lie outside. Scatter: ±25 %. Bare pistons of five petrol engines
// have 420 to 580 (MANUALS); pin and rings add about 150 to 200 (common practice). Light and heavy
// duty: 400–550 and 900–1400 (common practice). A textbook table of older engines (MASSES) gives
// 940 to 1400 for petrol at 84 mm bore. Source: MANUALS, PRACTICE.
func ApparentDensity(duty Duty) float64 { return byDuty(duty, 650, 500, 1100) }

// PistonMass returns the mass of a piston with its rings and pin.
//
//	m = ρ_a D³
//
// with
//   - bore: D [m], greater than zero
//   - duty: sets the apparent density ρ_a [-]
//
// Result [kg]. Range and scatter: as ApparentDensity. Source: MANUALS, PRACTICE.
func PistonMass(bore float64, duty Duty) float64 {
	return ApparentDensity(duty) * bore * bore * bore
}

// CompressionHeight returns the distance from the piston pin to the crown.
//
//	h = 0.38 D (general), 0.32 D (light), 0.50 D (heavy)
//
// with
//   - bore: D [m], greater than zero
//   - duty: what the engine is for [-]
//
// Result [m]. Range: trunk pistons. Scatter: ±20 %. Source: PRACTICE.
func CompressionHeight(bore float64, duty Duty) float64 {
	return byDuty(duty, 0.38, 0.32, 0.50) * bore
}
