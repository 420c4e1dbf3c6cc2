package analysis

import (
	"fmt"
	"math"

	"crankwright/mechanics/gas"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// boosted says whether a four-stroke engine is charged at full load, by a turbocharger as far as this model goes.
func (d *Driver) boosted() bool {
	return d.Train.Cycle == layout.FourStroke && d.Full.Intake > 1.1*outsideIntake
}

// eased lowers boost and the pressure before the turbine with the load: above those outside, each is the share that the
// load is of full load. Where the fuel comes with the air, the throttle sets the intake. Source: PRACTICE, a rough rule.
func eased(s gas.Setting, load float64) gas.Setting {
	if !s.Fuel.Premixed && s.Intake > outsideIntake {
		s.Intake = outsideIntake + load*(s.Intake-outsideIntake)
	}
	if s.Exhaust > outsideExhaust {
		s.Exhaust = outsideExhaust + load*(s.Exhaust-outsideExhaust)
	}
	return s
}

// charging says what is taken of the pressures of a charged engine beyond what the file says, for people.
func (d *Driver) charging() []string {
	premixed := d.Full.Fuel.Premixed
	switch {
	case d.Measured:
	case d.Train.Cycle == layout.TwoStroke && !premixed:
		return []string{"The scavenging air has the same pressure at every speed and load, though pumps and turbochargers give less at idle."}
	case d.boosted():
		var notes []string
		if len(d.Train.Gas.Filling) == 0 {
			notes = append(notes, "Full load has its boost at every speed, though a turbocharger gives little at low speed: gas.volumetric_efficiency gives a course over speed.")
		}
		eases := "boost and exhaust pressure above the air outside are"
		if premixed {
			eases = "exhaust pressure above the air outside is"
		}
		return append(notes, "At part load, "+eases+" taken as the share that the load is of full load, none when running light: a rough rule, not of this engine.")
	}
	return nil
}

// pumpEfficiency is that of a scavenging pump [1]. Source: PRACTICE.
const pumpEfficiency = 0.6

// scavenging says that nothing drives the scavenging pump of a two-stroke, and what it would take.
func (d *Driver) scavenging() []string {
	if d.Train.Cycle != layout.TwoStroke {
		return nil
	}
	note := "Brake figures have no scavenging pump in them"
	if motored(d.Train.Friction.By) {
		note += ", but for the pumping of four-stroke engines that the correlation of friction keeps, halved"
	}
	if s := d.Full; !d.Measured && s.Intake > outsideIntake {
		if r, err := d.solve(s); err == nil {
			note += fmt.Sprintf(": at full load and rated speed a pump of %.3g %% efficiency on the crank would take %s bar for %.4g bar in the intake", 100*pumpEfficiency,
				num.Digits(pumpPressure(&s, r)/1e5, 2), s.Intake/1e5)
		}
	}
	return []string{note + "."}
}

// pumpPressure returns the mean effective pressure that a pump takes which brings the fresh charge from the air outside to the
// pressure of the intake [Pa].
//
//	w = c_p T ((p/p₀)^{R/c_p} − 1)/η        cooled back to T
func pumpPressure(s *gas.Setting, r *gas.Result) float64 {
	const cp = 3.5 * gas.GasConstant
	work := cp * s.Temperature * (math.Pow(s.Intake/outsideIntake, gas.GasConstant/cp) - 1) / pumpEfficiency
	return r.Fresh * work / s.Chamber.Displacement()
}
