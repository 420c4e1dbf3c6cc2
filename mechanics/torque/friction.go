package torque

import (
	"fmt"
	"math"

	"crankwright/num"
)

// FMEP is a friction mean effective pressure from a published correlation.
type FMEP struct {
	Value     float64 // [Pa]
	Low, High float64 // what engines of the kind scatter between [Pa]
	Beyond    string  // where the correlation is used beyond the engines that it was made from; else empty
}

// CorrelationScatter is the share by which the friction of engines of one kind scatters about a correlation
// [1]. Source: PRACTICE; the published sets of points are not at hand.
const CorrelationScatter = 0.2

func fmep(bar float64, what string, v, lo, hi float64, unit string) FMEP {
	p := FMEP{Value: bar * 1e5}
	p.Low, p.High = p.Value*(1-CorrelationScatter), p.Value*(1+CorrelationScatter)
	if v < lo || v > hi {
		p.Beyond = fmt.Sprintf("%s of %s %s: common practice uses this correlation from %s to %s %s",
			what, num.Digits(v, 4), unit, num.Digits(lo, 4), num.Digits(hi, 4), unit)
	}
	return p
}

// Linear are the constants of a friction correlation in peak pressure and mean piston speed.
//
//	fmep = A + B p_max + C S + D S²
type Linear struct {
	A float64 // [Pa]
	B float64 // [1]
	C float64 // [Pa s/m]
	D float64 // [Pa s²/m²]
}

// ChenFlynn returns the constants that were published for a single-cylinder compression-ignition engine.
//
//	fmep [bar] = 0.137 + 0.005 p_max [bar] + 0.162 S [m/s]
//
// Result [Pa], [1] and [Pa s/m]. Pumping is not in it. Source: CHENFLYNN, from memory.
func ChenFlynn() Linear { return Linear{A: 0.137e5, B: 0.005, C: 0.162e5} }

// FMEP returns the friction mean effective pressure of a correlation in peak pressure and piston speed.
//
//	fmep = A + B p_max + C S + D S²
//
// with
//   - peak: largest cylinder pressure [Pa], not negative, below 1e9
//   - speed: mean piston speed S [m/s], from 0 up to 60
//
// Result [Pa] with its scatter; Beyond says where it is used outside 2 to 18 m/s (common practice). Errors:
// impossible values. Source: CHENFLYNN, from memory.
func (l Linear) FMEP(peak, speed float64) (FMEP, error) {
	if !(peak >= 0 && peak < 1e9) {
		return FMEP{}, fmt.Errorf("torque: the peak pressure must lie between 0 and 10000 bar, it is %g bar", peak/1e5)
	}
	if err := checkPistonSpeed(speed); err != nil {
		return FMEP{}, err
	}
	v := l.A + l.B*peak + l.C*speed + l.D*speed*speed
	if !(v >= 0) || !finite(v) {
		return FMEP{}, fmt.Errorf("torque: the constants %+v give a friction of %g bar; it must not be negative", l, v/1e5)
	}
	return fmep(v/1e5, "a mean piston speed", speed, 2, 18, "m/s"), nil
}

// SparkIgnitionMotored returns the motored friction mean effective pressure of automotive spark-ignition engines.
//
//	fmep [bar] = 0.97 + 0.15 n + 0.05 n²,  n in 1000 rpm
//
// with
//   - speed: crank speed [rad/s], from 0 up to 3000
//
// Result [Pa] with its scatter. It holds for four-cylinder four-stroke engines of about 0.85 to 2 litres
// turned by a motor with the throttle open, so pumping is in it. Beyond says where it is used outside
// 500 to 6000 rpm. Errors: impossible values. Source: HEYWOOD, eq. 13.6a after Barnes-Moss, from memory.
func SparkIgnitionMotored(speed float64) (FMEP, error) {
	if err := checkSpeed(speed); err != nil {
		return FMEP{}, err
	}
	n := speed * 30 / math.Pi / 1000
	return fmep(0.97+0.15*n+0.05*n*n, "a speed", 1000*n, 500, 6000, "rpm"), nil
}

// Chamber is the combustion chamber of a compression-ignition engine.
type Chamber int

// The chambers that the motored correlation tells apart.
const (
	DirectInjection Chamber = iota // in the cylinder
	LargeDivided                   // divided chamber, large engine
	SmallDivided                   // divided chamber, small engine
)

// String returns the chamber in words [-]. Definition.
func (c Chamber) String() string {
	switch c {
	case LargeDivided:
		return "large, divided chamber"
	case SmallDivided:
		return "small, divided chamber"
	}
	return "direct injection"
}

// CompressionIgnitionMotored returns the motored friction mean effective pressure of compression-ignition engines.
//
//	fmep [kPa] = C + 48 n + 0.4 S²,  n in 1000 rpm;  C = 75 (direct injection), 110 and 144 (divided chamber)
//
// with
//   - c: combustion chamber
//   - speed: crank speed [rad/s], from 0 up to 3000
//   - piston: mean piston speed S [m/s], from 0 up to 60
//
// Result [Pa] with its scatter; pumping is in it. Beyond says where it is used outside 500 to 4500 rpm.
// Errors: impossible values. Source: MILLINGTON, as HEYWOOD, eq. 13.6b, from memory.
func CompressionIgnitionMotored(c Chamber, speed, piston float64) (FMEP, error) {
	if err := checkSpeed(speed); err != nil {
		return FMEP{}, err
	}
	if err := checkPistonSpeed(piston); err != nil {
		return FMEP{}, err
	}
	base := 75.0
	switch c {
	case DirectInjection:
	case LargeDivided:
		base = 110
	case SmallDivided:
		base = 144
	default:
		return FMEP{}, fmt.Errorf("torque: there is no combustion chamber number %d; choose direct injection or one of the two divided chambers", c)
	}
	n := speed * 30 / math.Pi / 1000
	return fmep((base+48*n+0.4*piston*piston)/100, "a speed", 1000*n, 500, 4500, "rpm"), nil
}

func checkSpeed(ω float64) error {
	if !(ω >= 0 && ω <= 3000) {
		return fmt.Errorf("torque: friction is known up to 28600 rpm, the speed is %.5g rpm", ω*30/math.Pi)
	}
	return nil
}

func checkPistonSpeed(s float64) error {
	if !(s >= 0 && s <= 60) {
		return fmt.Errorf("torque: the mean piston speed must lie between 0 and 60 m/s, it is %g m/s", s)
	}
	return nil
}
