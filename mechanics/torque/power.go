package torque

import (
	"fmt"
	"math"

	"crankwright/mechanics/layout"
)

// MeanTorque returns the mean torque of a mean effective pressure.
//
//	T = p V/period
//
// with
//   - mep: mean effective pressure p [Pa]
//   - swept: swept volume V of all cylinders [m³]
//   - cycle: working cycle, of 4π or 2π
//
// Result [N m]. Definition.
func MeanTorque(mep, swept float64, cycle layout.Cycle) float64 {
	return mep * swept / float64(cycle.Period())
}

// MeanPressure returns the mean effective pressure of a mean torque, the inverse of MeanTorque.
//
//	p = T period/V
//
// with
//   - torque: T [N m]
//   - swept: swept volume V of all cylinders [m³], greater than zero
//   - cycle: working cycle
//
// Result [Pa]. Definition.
func MeanPressure(torque, swept float64, cycle layout.Cycle) float64 {
	return torque * float64(cycle.Period()) / swept
}

// Breathing is what an engine takes in and makes of it.
type Breathing struct {
	Volumetric float64 // volumetric efficiency: charge over what the swept volume holds at the inlet's state [1]
	Density    float64 // air density at the inlet [kg/m³]
	Heating    float64 // lower heating value of the fuel [J/kg]
	AirFuel    float64 // air to fuel by mass [1]
	Indicated  float64 // indicated efficiency [1]
}

// IMEP returns the indicated mean effective pressure of what an engine takes in.
//
//	imep = η_v ρ H/(air/fuel) η_i
//
// Result [Pa]. Errors: efficiencies outside 0 to 1 (volumetric: to 4, with boost), other values not greater than
// zero. Source: HEYWOOD, ch. 2, definitions.
func (b Breathing) IMEP() (float64, error) {
	switch {
	case !(b.Volumetric >= 0 && b.Volumetric <= 4):
		return 0, fmt.Errorf("torque: the volumetric efficiency must lie between 0 and 4, such as 0.9; it is %g", b.Volumetric)
	case !(b.Indicated >= 0 && b.Indicated <= 1):
		return 0, fmt.Errorf("torque: the indicated efficiency must lie between 0 and 1, such as 0.38; it is %g", b.Indicated)
	case !(b.Density > 0 && b.Density < 100):
		return 0, fmt.Errorf("torque: the density of the air must lie between 0 and 100 kg/m³, such as 1.18 kg/m³; it is %g kg/m³", b.Density)
	case !(b.AirFuel > 0.1 && b.AirFuel < 1000):
		return 0, fmt.Errorf("torque: the air to fuel ratio must lie between 0.1 and 1000, such as 14.6; it is %g", b.AirFuel)
	case !(b.Heating > 0 && b.Heating < 1e9):
		return 0, fmt.Errorf("torque: the heating value must lie between 0 and 1000 MJ/kg, such as 43 MJ/kg; it is %g MJ/kg", b.Heating/1e6)
	}
	return b.Volumetric * b.Density * b.Heating / b.AirFuel * b.Indicated, nil
}

// Point is one point of a power curve.
type Point struct {
	Speed            float64 // crank speed [rad/s]
	IMEP, FMEP, BMEP float64 // indicated, friction and brake mean effective pressure [Pa]
	Torque           float64 // brake torque [N m]; negative where friction takes more than the gas gives
	Power            float64 // brake power [W]
	Mechanical       float64 // mechanical efficiency BMEP/IMEP [1]; 0 where there is no power
}

// PowerCurve returns torque and power over speed.
//
//	bmep = imep − fmep   T = bmep V/period   P = T ω
//
// with
//   - swept: swept volume V of all cylinders [m³], greater than zero
//   - cycle: working cycle
//   - speeds: crank speeds [rad/s], not negative
//   - imep, fmep: indicated and friction mean effective pressure at each speed [Pa]; of the same length
//
// Result [N m] and [W]. Where pumping is in fmep it must not be in imep as well. Errors: lengths that differ,
// values that are not finite. Definition.
func PowerCurve(swept float64, cycle layout.Cycle, speeds, imep, fmep []float64) ([]Point, error) {
	if len(imep) != len(speeds) || len(fmep) != len(speeds) {
		return nil, fmt.Errorf("torque: there are %d speeds, %d indicated and %d friction pressures; they must go together", len(speeds), len(imep), len(fmep))
	}
	if !(swept > 0 && swept < 1e5) {
		return nil, fmt.Errorf("torque: the swept volume must be greater than zero, such as 2 l; it is %g l", 1e3*swept)
	}
	out := make([]Point, 0, len(speeds))
	for i, ω := range speeds {
		if !(ω >= 0 && ω <= 1e5) || math.IsNaN(imep[i]) || math.Abs(imep[i]) > layout.MaxIMEP || !(fmep[i] >= 0 && fmep[i] <= layout.MaxIMEP) {
			return nil, fmt.Errorf("torque: at %g rad/s an indicated pressure of %g bar and a friction of %g bar are not possible", ω, imep[i]/1e5, fmep[i]/1e5)
		}
		p := Point{Speed: ω, IMEP: imep[i], FMEP: fmep[i], BMEP: imep[i] - fmep[i]}
		p.Torque = MeanTorque(p.BMEP, swept, cycle)
		p.Power = p.Torque * ω
		if p.BMEP > 0 && p.IMEP > 0 {
			p.Mechanical = p.BMEP / p.IMEP
		}
		out = append(out, p)
	}
	return out, nil
}
