package gas

import (
	"fmt"
	"math"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Opening is when and how far a set of valves or ports of one kind opens.
//
//	A = A_max sin²( π (θ − opens)/(closes − opens) )
type Opening struct {
	Opens, Closes num.Angle // crank angles from firing top dead centre [rad], Closes after Opens
	Area          float64   // largest effective flow area of all valves of the kind together [m²]
}

// Valves are the openings through which a cylinder breathes: valves, or the ports of a two-stroke.
type Valves struct {
	Intake, Exhaust Opening
}

// Effective returns the effective flow area at a crank angle.
//
//   - θ: crank angle from firing top dead centre [rad], any value
//   - cycle: with whose period it repeats
//
// Result [m²], zero while closed. Source: PRACTICE, the square of the sine lies near the lift of common cams.
func (o Opening) Effective(θ num.Angle, cycle layout.Cycle) float64 {
	z := float64((θ - o.Opens).Wrap(cycle.Period()) / (o.Closes - o.Opens))
	if z >= 1 {
		return 0
	}
	sin := math.Sin(math.Pi * z)
	return o.Area * sin * sin
}

// TypicalValves returns valves that suit a bore: a first guess where none are known.
//
// Four-stroke: intake 10 degrees before top to 40 after bottom dead centre, exhaust 40 before bottom to 10 after
// top, effective areas 0.12 B² and 0.10 B². Two-stroke: exhaust 105 to 255 degrees, scavenging 120 to 240, areas
// 0.16 B² each.
//
//   - bore: B [m]
//   - cycle: four-stroke or two-stroke
//
// Areas [m²], angles [rad]; from memory. Source: PRACTICE.
func TypicalValves(bore float64, cycle layout.Cycle) Valves {
	b2 := bore * bore
	if cycle == layout.TwoStroke {
		return Valves{
			Intake:  Opening{Opens: num.Degrees(120), Closes: num.Degrees(240), Area: 0.16 * b2},
			Exhaust: Opening{Opens: num.Degrees(105), Closes: num.Degrees(255), Area: 0.16 * b2},
		}
	}
	return Valves{
		Intake:  Opening{Opens: num.Degrees(350), Closes: num.Degrees(580), Area: 0.12 * b2},
		Exhaust: Opening{Opens: num.Degrees(140), Closes: num.Degrees(370), Area: 0.10 * b2},
	}
}

// closedSpan returns from where to where about firing top dead centre nothing is open [rad].
func (v *Valves) closedSpan(cycle layout.Cycle) (from, to num.Angle) {
	period := cycle.Period()
	from, to = -period, period
	for _, o := range [2]Opening{v.Intake, v.Exhaust} {
		opens := o.Opens.Wrap(period)
		from, to = max(from, opens+o.Closes-o.Opens-period), min(to, opens)
	}
	return from, to
}

func (v *Valves) check(c Chamber, cycle layout.Cycle) error {
	for i, o := range [2]Opening{v.Intake, v.Exhaust} {
		kind := [2]string{"intake", "exhaust"}[i]
		if a := math.Abs(float64(o.Opens)) + math.Abs(float64(o.Closes)); !(a <= 100) {
			return fmt.Errorf("gas: the %s opens at %.4g and closes at %.4g deg; angles from firing top dead centre are needed, such as 350 deg",
				kind, o.Opens.Deg(), o.Closes.Deg())
		}
		if open := o.Closes - o.Opens; !(open >= num.Degrees(20) && open < cycle.Period()) {
			return fmt.Errorf("gas: the %s is open for %.4g deg; it must be from 20 to below %g deg", kind, open.Deg(), cycle.Period().Deg())
		}
		if piston := math.Pi / 4 * c.Bore * c.Bore; !(o.Area >= 1e-4*piston && o.Area <= piston) {
			return fmt.Errorf("gas: the %s has an effective area of %.4g cm²; it must lie between a ten-thousandth of the piston's area and the whole, %.4g cm²",
				kind, 1e4*o.Area, 1e4*piston)
		}
	}
	from, to := v.closedSpan(cycle)
	if !(from < 0 && to > 0 && from > -cycle.Period()/2) {
		return fmt.Errorf("gas: the valves leave no closed time about firing top dead centre: the last closes at %.4g deg and the first opens at %.4g deg; the one must come less than %g deg before it and the other after it",
			from.Deg(), to.Deg(), cycle.Period().Deg()/2)
	}
	return nil
}
