package estimate

import "math"

// RodStroke returns the rod length per stroke that the duty asks for.
//
//	l/s = 1.6 (general), 1.75 (light), 1.8 (heavy)
//
// with
//   - duty: what the engine is for [-]
//
// Result [1]; twice it is the rod ratio l/r. Range: trunk-piston engines. Scatter: 1.52 to 1.79 in
// common car engines (r/l of 0.33 to 0.28), diesels longer. Light and heavy duty are common
// practice. Source: RODRATIO, PRACTICE.
func RodStroke(duty Duty) float64 { return byDuty(duty, 1.6, 1.75, 1.8) }

// RodClearance returns the rod length at which the piston of a short-stroke engine still clears
// the crank at bottom dead centre.
//
//	l = 0.55 s + 0.85 D
//
// with
//   - bore: D [m], greater than zero
//   - stroke: s [m], greater than zero
//
// Result [m]: half a stroke, and room for web, counterweight and skirt that grows with the bore.
// Range: stroke above 0.35 bore. Scatter: ±10 %. Source: PRACTICE.
func RodClearance(bore, stroke float64) float64 { return 0.55*stroke + 0.85*bore }

// RodLength returns the length of a connecting rod between its eye centres.
//
//	l = max( RodStroke s, RodClearance )
//
// with
//   - bore: D [m], greater than zero
//   - stroke: s [m], greater than zero
//   - duty: what the engine is for [-]
//
// Result [m]. Range and scatter: as RodStroke and RodClearance; the second governs below a stroke
// of 0.81 bore (general duty). Source: RODRATIO, PRACTICE.
func RodLength(bore, stroke float64, duty Duty) float64 {
	return math.Max(RodStroke(duty)*stroke, RodClearance(bore, stroke))
}

// RodDensity returns rod mass per bore squared and rod length.
//
//	m/(D² l) = 500 (general), 420 (light), 900 (heavy)
//
// with
//   - duty: what the engine is for [-]
//
// Result [kg/m³]. Range: rods with a split big end and its bolts. Scatter: ±30 %. Rods of three
// petrol engines weigh 64 to 74 kg per m² of bore² without shells, and such rods are about 150 mm
// long (MANUALS). Light and heavy duty are common practice; a textbook table of older engines
// (MASSES) gives 30 to 120 % more. Source: MANUALS, PRACTICE.
func RodDensity(duty Duty) float64 { return byDuty(duty, 500, 420, 900) }

// RodMass returns the mass of a connecting rod with bolts and bearing shells.
//
//	m = ρ_r D² l
//
// with
//   - bore: D [m], greater than zero: the gas force on it sets the section
//   - length: l between the eye centres [m], greater than zero
//   - duty: sets ρ_r [-]
//
// Result [kg]. Range and scatter: as RodDensity. Source: MANUALS, PRACTICE.
func RodMass(bore, length float64, duty Duty) float64 {
	return RodDensity(duty) * bore * bore * length
}

// RodCG returns the distance of the rod's centre of gravity from the big end.
//
//	a = 0.28 l
//
// with
//   - length: l between the eye centres [m], greater than zero
//
// Result [m]. Range: rods with one big and one small eye. Scatter: 0.25 l to 0.33 l.
// Source: PRACTICE.
func RodCG(length float64) float64 { return 0.28 * length }

// TwoMassExcess is the ratio of the moment of inertia of the two-mass replacement of a rod,
// m a (l − a), to the measured one [1]: the mean of 19 rods of petrol engines, which lay between
// 0.9735 and 1.22. Source: ICEF2002.
const TwoMassExcess = 1.0965

// RodInertia returns the moment of inertia of a rod about its centre of gravity.
//
//	J = m a (l − a) / 1.0965
//
// with
//   - mass: m [kg], greater than zero
//   - length: l between the eye centres [m], greater than zero
//   - cg: a from the big end [m]; outside 0.1 l to 0.9 l the rod is none of those measured, and
//     the radius of gyration of a rod with a = 0.28 l is taken
//
// Result [kg m²]. Range: one big and one small eye. Scatter: −10 % to +13 %. Source: ICEF2002.
func RodInertia(mass, length, cg float64) float64 {
	if cg < 0.1*length || cg > 0.9*length {
		cg = RodCG(length)
	}
	return mass * cg * (length - cg) / TwoMassExcess
}

// RodMassOfInertia returns the mass of a rod whose moment of inertia is known.
//
//	m = 1.0965 J / (a (l − a))
//
// with
//   - inertia: J about the centre of gravity [kg m²], greater than zero
//   - length: l between the eye centres [m], greater than zero
//   - cg: a from the big end [m], as for RodInertia
//
// Result [kg]. Range and scatter: as RodInertia. Source: ICEF2002.
func RodMassOfInertia(inertia, length, cg float64) float64 {
	return inertia / RodInertia(1, length, cg)
}

// KnuckleRadius returns the distance of the knuckle pins from the middle of a master rod's big
// end.
//
//	r_k = d/2 + 0.20 D
//
// with
//   - pin: diameter of the crankpin d [m], greater than zero
//   - bore: D [m], greater than zero
//
// Result [m]: the crankpin, the wall of the big end and half a knuckle pin. Range: up to nine
// cylinders in a row. Scatter: ±15 %. Source: PRACTICE.
func KnuckleRadius(pin, bore float64) float64 { return pin/2 + 0.20*bore }
