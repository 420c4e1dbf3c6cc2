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
