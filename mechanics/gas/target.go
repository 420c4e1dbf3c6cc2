package gas

import (
	"fmt"
	"math"
)

// Lever is what SolveIMEP may change.
type Lever int

// The two levers.
const (
	ByFuel   Lever = iota // the fuel of a cycle, as an engine with compression ignition is governed
	ByIntake              // the pressure of the intake, by throttle or boost, at the mixture that is given
)

// String returns the lever in words [-]. Definition.
func (l Lever) String() string {
	if l == ByIntake {
		return "pressure of the intake"
	}
	return "fuel of a cycle"
}

// LeverOf returns the lever by which a fuel is commonly governed [-]: the intake where the fuel comes in with the
// air, else the fuel. Source: PRACTICE.
func LeverOf(f Fuel) Lever {
	if f.Premixed {
		return ByIntake
	}
	return ByFuel
}

// SolveIMEP finds the setting in which the cylinder reaches a mean effective pressure.
//
//   - s: the setting; its Fuel.Lambda or Intake is where the search begins
//   - imep: wanted net indicated mean effective pressure [Pa], over the whole cycle
//   - by: what is changed
//
// Results: the cycle [Pa and more] and the setting that gives it: with ByFuel its Fuel.Lambda, or Fuel.Heat where
// that was given; with ByIntake its Intake. The pressure is met to 1e-6 of it, 1 Pa at least. ByFuel searches air ratios from 1
// (0.5 where the fuel is premixed) to MaxLambda; ByIntake from 0.1 bar to 20 bar. Errors: those of Solve; a pressure
// out of reach, with what is reached; a cylinder that does not fire. Definition.
func SolveIMEP(s Setting, imep float64, by Lever) (*Result, Setting, error) {
	if s.Motored {
		return nil, s, fmt.Errorf("gas: a cylinder that does not fire cannot be brought to a mean effective pressure; clear Motored")
	}
	if !(imep > 0 && imep <= 100e5) {
		return nil, s, fmt.Errorf("gas: a mean effective pressure of %.4g bar; it must be greater than 0 and at most 100 bar, such as 11 bar", imep/1e5)
	}
	if err := s.Check(); err != nil {
		return nil, s, err
	}
	t := target{s: s, imep: imep, by: by}
	lo, hi := t.limits()
	begin := math.Log(min(hi, max(lo, t.value())))
	r, err := t.search(math.Log(lo), math.Log(hi), begin)
	return r, t.s, err
}

// target is the search for a mean effective pressure. Its variable grows with the pressure.
type target struct {
	s    Setting
	imep float64
	by   Lever
	from *gasState
	r    *Result
}

// value returns the variable of the search: pressure of the intake, heat, or 1/λ.
func (t *target) value() float64 {
	switch {
	case t.by == ByIntake:
		return t.s.Intake
	case t.s.Fuel.Heat > 0:
		return t.s.Fuel.Heat
	}
	return 1 / t.s.Fuel.Lambda
}

func (t *target) limits() (lo, hi float64) {
	switch {
	case t.by == ByIntake:
		return 0.1e5, 20e5
	case t.s.Fuel.Heat > 0:
		return 1e-3 * t.imep * t.s.Chamber.Displacement(), 20 * t.imep * t.s.Chamber.Displacement()
	case t.s.Fuel.Premixed:
		return 1.0 / MaxLambda, 1 / MinLambda
	}
	return 1.0 / MaxLambda, 1
}

// at returns how much the pressure is above the wanted one where the variable is e^x [Pa].
func (t *target) at(x float64) (float64, error) {
	v := math.Exp(x)
	switch {
	case t.by == ByIntake:
		t.s.Intake = v
	case t.s.Fuel.Heat > 0:
		t.s.Fuel.Heat = v
	default:
		t.s.Fuel.Lambda = min(MaxLambda, 1/v)
	}
	r, from, err := solveFrom(&t.s, t.from)
	if err != nil {
		return 0, err
	}
	t.r, t.from = r, from
	return r.IMEP - t.imep, nil
}

// search walks from a beginning towards the wanted pressure until it lies between two values, and closes in on it by
// the rule of false position in the form of Illinois.
func (t *target) search(lo, hi, x float64) (*Result, error) {
	good := math.Max(1, 1e-6*t.imep)
	f, err := t.at(x)
	if err != nil {
		return nil, err
	}
	a, fa := x, f
	for stride := 0.25; math.Signbit(f) == math.Signbit(fa); stride *= 1.5 {
		if math.Abs(f) <= good {
			return t.r, nil
		}
		next := min(hi, x+stride)
		if f > 0 {
			next = max(lo, x-stride)
		}
		if next == x {
			return nil, t.outOfReach(f)
		}
		a, fa = x, f
		x = next
		if f, err = t.at(x); err != nil {
			return nil, fmt.Errorf("gas: %.4g bar is not reached by the %s: at %.4g bar %w", t.imep/1e5, t.by, (fa+t.imep)/1e5, err)
		}
	}
	for range 60 {
		if math.Abs(f) <= good {
			return t.r, nil
		}
		next := x - f*(x-a)/(f-fa)
		if !(next > min(a, x) && next < max(a, x)) {
			next = (a + x) / 2
		}
		g, err := t.at(next)
		if err != nil {
			return nil, err
		}
		if math.Signbit(g) != math.Signbit(f) {
			a, fa = x, f
		} else {
			fa /= 2
		}
		x, f = next, g
	}
	return nil, fmt.Errorf("gas: no %s gives %.4g bar: the search ends at %.4g bar", t.by, t.imep/1e5, (f+t.imep)/1e5)
}

// outOfReach says where the search came to its limit.
func (t *target) outOfReach(f float64) error {
	which, more := "most", "more pressure in the intake, more fuel or another lever"
	if f > 0 {
		which, more = "least", "less pressure in the intake, less fuel or another lever"
	}
	return fmt.Errorf("gas: %.4g bar is not reached by the %s: the %s is %.4g bar; it needs %s", t.imep/1e5, t.by, which, (f+t.imep)/1e5, more)
}
