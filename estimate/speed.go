package estimate

import (
	"math"

	"crankwright/mechanics/layout"
)

// MeanPistonSpeed returns the mean piston speed at rated speed.
//
//	v = 16 (general), 20 (light), 11 (heavy)         up to 150 mm bore
//	v = max( 8.5, that × (150 mm / D)^0.3 )          above
//
// with
//   - bore: D [m], greater than zero
//   - duty: what the engine is for [-]
//
// Result [m/s]. Range: all trunk-piston engines. Scatter: ±15 %; the source gives 8.5 for low-speed
// diesels, 11 for trains and trucks, 14 for car diesels, 16 for cars, 20 to 25 for sport. The law
// between the sizes is ours. Source: PISTONSPEED.
func MeanPistonSpeed(bore float64, duty Duty) float64 {
	v := byDuty(duty, 16, 20, 11)
	if bore <= 0.15 {
		return v
	}
	return math.Max(8.5, v*math.Pow(0.15/bore, 0.3))
}

// Speed returns the crank speed at a mean piston speed.
//
//	ω = π v / s
//
// with
//   - piston: mean piston speed v [m/s]
//   - stroke: s [m], greater than zero
//
// Result [rad/s]. Definition.
func Speed(piston, stroke float64) float64 { return math.Pi * piston / stroke }

// IdlePistonSpeed is the mean piston speed at idle [m/s]: 800 rpm at 90 mm stroke; 2.2 to 2.4 in
// three marine diesels (MANUALS). Scatter: 1.8 to 3. Source: MANUALS, PRACTICE.
const IdlePistonSpeed = 2.4

// LimitRatio returns the ratio of the highest permitted to the rated speed.
//
//	1.12 (general), 1.08 (light), 1.15 (heavy)
//
// with
//   - duty: what the engine is for [-]
//
// Result [1]. Scatter: 1.05 to 1.2. Source: PRACTICE.
func LimitRatio(duty Duty) float64 { return byDuty(duty, 1.12, 1.08, 1.15) }

// EnergyFluctuation returns the coefficient of fluctuation of energy: the swing of energy in the
// crank over the work of a cycle.
//
//	C_E = 1.93 N^-2.4
//
// with
//   - cylinders: N, of a four-stroke engine that fires evenly [1], 1 or more; for a two-stroke
//     engine twice their number
//
// Result [1]. Range: 1 to 12 cylinders, gas torque only. Scatter: a fit within 16 % of the table's
// 1.93, 0.066 and 0.031 for one, four and six cylinders. Source: KGTABLE.
func EnergyFluctuation(cylinders int) float64 {
	return 1.93 * math.Pow(math.Max(1, float64(cylinders)), -2.4)
}

// FlywheelInertia returns the moment of inertia of a flywheel that keeps an idling engine smooth
// and carries a clutch. Rough: the application decides.
//
//	J = max( C_E W / (C_s ω²), J_disc )
//	W = 2.5 bar × displacement in two revolutions, C_s = 1/15
//	J_disc = FlywheelDisc
//
// with
//   - cycle: two-stroke counts each cylinder twice [-]
//   - cylinders: their number [1], 1 or more
//   - bore: D [m], greater than zero
//   - stroke: [m], greater than zero
//   - idle: ω [rad/s], greater than zero
//
// Result [kg m²]. Range: 1 to 12 cylinders. Scatter: a factor of two either way. Source: KGTABLE, PRACTICE.
func FlywheelInertia(cycle layout.Cycle, cylinders int, bore, stroke, idle float64) float64 {
	impulses := max(1, cylinders)
	if cycle == layout.TwoStroke {
		impulses *= 2
	}
	work := 2.5e5 * math.Pi / 4 * bore * bore * stroke * float64(impulses)
	smooth := EnergyFluctuation(impulses) * work * 15 / (idle * idle)
	return math.Max(smooth, FlywheelDisc(bore))
}

// FlywheelDisc returns the moment of inertia of the smallest flywheel that carries a clutch.
//
//	J = π/32 ρ (3.2 D)⁴ 0.24 D        a disc of steel, ρ = 7850 kg/m³
//
// with
//   - bore: D [m], greater than zero
//
// Result [kg m²]. Range: engines of vehicles and boats. Scatter: a factor of two either way.
// Source: PRACTICE.
func FlywheelDisc(bore float64) float64 {
	return math.Pi / 32 * SteelDensity * math.Pow(3.2*bore, 4) * 0.24 * bore
}
