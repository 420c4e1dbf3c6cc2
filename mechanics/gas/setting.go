package gas

import (
	"fmt"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Fuel is what burns.
type Fuel struct {
	Heat         float64 // heat of the fuel of one cycle [J]; 0: it follows from Lambda
	Lambda       float64 // air over the air that the fuel needs [1]; where Heat is 0
	HeatingValue float64 // lower heating value [J/kg]; 0, with Heat: the fuel has no mass
	Air          float64 // air that a kilogram needs [kg/kg]
	Premixed     bool    // comes in with the air; otherwise it comes in as it burns
	Burns        float64 // share that burns at all [1]; 0: 1
}

// Petrol returns petrol that comes in with its air.
//
//   - lambda: air over the air that it needs [1], 1 for the mixture of three-way catalysts, 0.9 for full power
//
// 44.0 MJ/kg, 14.6 kg of air a kilogram [kg/kg], from memory. Source: HEYWOOD, table D.4.
func Petrol(lambda float64) Fuel {
	return Fuel{Lambda: lambda, HeatingValue: 44.0e6, Air: 14.6, Premixed: true}
}

// DieselFuel returns light diesel fuel that is injected as it burns.
//
//   - lambda: air over the air that it needs [1], 1.3 to 2.2 at full load
//
// 43.2 MJ/kg, 14.5 kg of air a kilogram [kg/kg], from memory. Source: HEYWOOD, table D.4.
func DieselFuel(lambda float64) Fuel {
	return Fuel{Lambda: lambda, HeatingValue: 43.2e6, Air: 14.5}
}

// Setting is a cylinder at one point of operation.
type Setting struct {
	Chamber Chamber
	Cycle   layout.Cycle
	Speed   float64 // crank speed [rad/s]

	Intake      float64 // pressure in the intake manifold: throttled below, boosted above the outside [Pa]
	Temperature float64 // of the charge in the intake manifold [K]
	Exhaust     float64 // pressure in the exhaust manifold [Pa]

	Fluid   Fluid
	Fuel    Fuel
	Release Release
	Motored bool // switched off or misfiring: the cylinder breathes and does not fire

	Wall   *Wall   // nil: no heat is lost
	Valves *Valves // nil: the ideal exchange of the package comment

	Samples int // per cycle of the curves, a multiple of 8; 0: every half degree
}

// Limits of a Setting. Definition: beyond what engines reach, so that a wrong unit is told from an engine.
const (
	MinPressure    = 1e3   // of a manifold [Pa]
	MaxPressure    = 50e5  // of a manifold [Pa]
	MinTemperature = 200.0 // of the charge in the manifold [K]
	MaxTemperature = 700.0 // of the charge in the manifold [K]
	MaxSpeed       = 5e3   // [rad/s]
	MaxSamples     = 14400
	MinLambda      = 0.5
	MaxLambda      = 100.0
)

// Check reports why a setting cannot be.
//
// It returns nil where Solve accepts the setting, else an error that says what would be right; pressures in it are
// in [bar], temperatures in [K], angles in [deg]. Definition.
func (s *Setting) Check() error {
	if s.Chamber.clearance <= 0 {
		return fmt.Errorf("gas: there is no chamber; make one with NewChamber, ChamberOf or InfiniteRod")
	}
	if s.Cycle != layout.FourStroke && s.Cycle != layout.TwoStroke {
		return fmt.Errorf("gas: cycle number %d; it must be four-stroke or two-stroke", int(s.Cycle))
	}
	if !(s.Speed > 0 && s.Speed <= MaxSpeed) {
		return fmt.Errorf("gas: a crank speed of %.4g rad/s; it must be greater than 0 and at most %g rad/s", s.Speed, MaxSpeed)
	}
	for _, m := range []struct {
		name string
		p    float64
	}{{"intake", s.Intake}, {"exhaust", s.Exhaust}} {
		if !(m.p >= MinPressure && m.p <= MaxPressure) {
			return fmt.Errorf("gas: a pressure of %.4g bar in the %s; it must lie between %g and %g bar, such as 1 bar", m.p/1e5, m.name, MinPressure/1e5, MaxPressure/1e5)
		}
	}
	if !(s.Temperature >= MinTemperature && s.Temperature <= MaxTemperature) {
		return fmt.Errorf("gas: a charge of %.4g K; it must lie between %g and %g K, such as 310 K", s.Temperature, MinTemperature, MaxTemperature)
	}
	if k := s.Fluid.K; k != 0 && !(k >= 1.05 && k <= 2) {
		return fmt.Errorf("gas: a constant ratio of specific heats of %.4g; it must lie between 1.05 and 2, such as 1.4", k)
	}
	if s.Samples != 0 && (s.Samples < 360 || s.Samples > MaxSamples || s.Samples%8 != 0) {
		return fmt.Errorf("gas: %d samples a cycle; a multiple of 8 from 360 to %d is needed", s.Samples, MaxSamples)
	}
	if err := s.Wall.check(); err != nil {
		return err
	}
	if s.Valves != nil {
		if err := s.Valves.check(s.Chamber, s.Cycle); err != nil {
			return err
		}
	}
	if s.Motored {
		return nil
	}
	return s.checkFiring()
}

func (s *Setting) checkFiring() error {
	if len(s.Release) == 0 {
		return fmt.Errorf("gas: the cylinder fires, but there is no release of heat; give one such as SparkRelease, or set Motored")
	}
	if err := s.Release.check(); err != nil {
		return err
	}
	if s.Valves != nil {
		from, to := s.Valves.closedSpan(s.Cycle)
		if start, _ := s.Release.span(); start < from || start > to {
			return fmt.Errorf("gas: combustion begins at %.4g deg, while a valve is open; it must begin between %.4g and %.4g deg from firing top dead centre",
				start.Deg(), from.Deg(), to.Deg())
		}
	}
	return s.Fuel.check()
}

func (f Fuel) check() error {
	switch {
	case !(f.Heat >= 0 && f.Heat <= 1e9):
		return fmt.Errorf("gas: a heat of %.4g J a cycle; it must lie between 0 and 1e9 J", f.Heat)
	case !(f.Burns >= 0 && f.Burns <= 1):
		return fmt.Errorf("gas: %.4g of the fuel burns; it must be between 0 and 1", f.Burns)
	case f.Heat > 0 && f.HeatingValue == 0:
		return nil
	case !(f.HeatingValue >= 1e6 && f.HeatingValue <= 150e6):
		return fmt.Errorf("gas: a heating value of %.4g MJ/kg; it must lie between 1 and 150 MJ/kg, such as 43 MJ/kg", f.HeatingValue/1e6)
	case !(f.Air >= 0.5 && f.Air <= 50):
		return fmt.Errorf("gas: the fuel needs %.4g kg of air a kilogram; it must lie between 0.5 and 50, such as 14.6", f.Air)
	case f.Heat == 0 && !(f.Lambda >= MinLambda && f.Lambda <= MaxLambda):
		return fmt.Errorf("gas: an air ratio of %.4g; it must lie between %g and %g, such as 1", f.Lambda, MinLambda, MaxLambda)
	}
	return nil
}

// samples returns the number of samples of the curves.
func (s *Setting) samples() int {
	if s.Samples > 0 {
		return s.Samples
	}
	return int(s.Cycle.Period()/num.Turn*720 + 0.5)
}

// dose is the fuel of one cycle.
type dose struct {
	mass     float64 // [kg]
	heat     float64 // of the fuel [J]
	released float64 // of it, that is released when the release has come to 1 [J]
	φ        float64 // equivalence ratio of what has burned, at most 1 [1]
	lambda   float64 // air ratio [1]; 0 where the fuel has no mass
}

// doseFor returns the fuel for a fresh charge of a mass [kg].
func (f Fuel) doseFor(fresh float64) (dose, error) {
	burns := f.Burns
	if burns == 0 {
		burns = 1
	}
	if f.HeatingValue == 0 {
		return dose{heat: f.Heat, released: f.Heat * burns}, nil
	}
	d := dose{heat: f.Heat}
	air := fresh
	switch {
	case f.Heat > 0:
		d.mass = f.Heat / f.HeatingValue
		if f.Premixed {
			air -= d.mass
		}
	case f.Premixed:
		d.mass = fresh / (1 + f.Lambda*f.Air)
		air -= d.mass
	default:
		d.mass = fresh / (f.Lambda * f.Air)
	}
	d.heat = d.mass * f.HeatingValue
	need := d.mass * f.Air
	if !(air > MinLambda*need*(1-1e-9)) {
		return dose{}, fmt.Errorf("gas: the fuel of a cycle, %.4g mg, needs %.4g mg of air and the cylinder holds %.4g mg; give less fuel or more pressure in the intake",
			1e6*d.mass, 1e6*need, 1e6*max(0, air))
	}
	d.lambda = air / need
	d.φ = min(1, 1/d.lambda)
	d.released = d.heat * burns * min(1, d.lambda)
	return d, nil
}
