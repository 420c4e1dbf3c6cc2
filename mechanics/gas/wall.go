package gas

import (
	"fmt"
	"math"
)

// Wall is what the gas loses heat to.
type Wall struct {
	Temperature float64 // mean of piston crown, head and liner [K]
	Factor      float64 // multiplies the coefficient of heat transfer [1]; 0: 1
}

// Coefficients of the gas speed of Woschni [1]. Source: WOSCHNI; C1 read in a lecture text, the rest from memory.
const (
	speedExchange = 6.18    // times the mean piston speed while valves are open
	speedClosed   = 2.28    // times the mean piston speed while they are closed
	speedBurning  = 3.24e-3 // [m/(s K)] times the excess over the motored pressure
)

// motoredExponent is the polytropic exponent of the motored pressure that the excess is counted from [1]. Source:
// PRACTICE, air with its heat loss has 1.30 to 1.36.
const motoredExponent = 1.33

// Woschni returns the coefficient of heat transfer from the gas to the walls.
//
//	h = 3.26 B^{−0.2} p^{0.8} T^{−0.55} w^{0.8}      p in kPa
//
// with
//   - bore: B [m]
//   - p: pressure [Pa]
//   - t: temperature T [K]
//   - w: speed of the gas [m/s]
//
// Result [W/(m² K)]. Scatter: measured heat differs by a third either way (common practice). Source: WOSCHNI.
func Woschni(bore, p, t, w float64) float64 {
	return woschniFactor(bore) * transfer(p*w, t)
}

// woschniFactor is what a cylinder does not change over the cycle.
func woschniFactor(bore float64) float64 {
	return 3.26 * math.Pow(bore, -0.2) * math.Pow(1e-3, 0.8)
}

// transfer returns (p w)^0.8 T^−0.55, as the twentieth root of (p w)^16 T^−11: one logarithm instead of two.
func transfer(pw, t float64) float64 {
	x := pw * pw / t
	x *= x // (p w)⁴ T⁻²
	x *= x / t
	return math.Exp(math.Log(x*x/t) / 20)
}

// WoschniSpeed returns the speed of the gas in the correlation of Woschni.
//
//	w = C₁ c_m + C₂ V_h T_r/(p_r V_r) (p − p_mot)
//
// with
//   - open: whether a valve or port is open: C₁ = 6.18, else 2.28
//   - piston: mean piston speed c_m [m/s]
//   - burning: C₂'s factor V_h T_r/(p_r V_r) (p − p_mot) [K] after the begin of combustion, else 0; r: where the
//     charge was enclosed
//
// Result [m/s]; C₂ = 0.00324 m/(s K). Source: WOSCHNI.
func WoschniSpeed(open bool, piston, burning float64) float64 {
	if open {
		return speedExchange * piston
	}
	return speedClosed*piston + speedBurning*math.Max(0, burning)
}

func (w *Wall) check() error {
	switch {
	case w == nil:
		return nil
	case !(w.Temperature >= 200 && w.Temperature <= 1500):
		return fmt.Errorf("gas: walls at %.4g K; they must lie between 200 K and 1500 K, such as 450 K", w.Temperature)
	case !(w.Factor >= 0 && w.Factor <= 10):
		return fmt.Errorf("gas: a factor of %.4g on the heat to the walls; it must lie between 0 and 10", w.Factor)
	}
	return nil
}

// meanPistonSpeed returns the mean piston speed [m/s].
func meanPistonSpeed(c Chamber, ω float64) float64 { return c.stroke * ω / math.Pi }
