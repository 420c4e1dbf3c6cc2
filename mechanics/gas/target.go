package gas

import (
	"fmt"
	"math"

	"crankwright/mechanics/layout"
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
// that was given; with ByIntake its Intake. The pressure is met to 1e-6 of it, 1 Pa at least, or as
// closely as a change of the lever by 1e-7 allows, which matters for a two-stroke with an intake hardly above the
// exhaust. ByFuel searches air ratios from 1 (0.5 where the fuel is premixed) to MaxLambda; ByIntake from 0.1 bar, of
// a two-stroke from just above the exhaust, to 20 bar. Errors: those of Solve; a pressure out of reach, with what is reached; a cylinder that does not fire. Definition.
func SolveIMEP(s Setting, imep float64, by Lever) (*Result, Setting, error) {
	if s.Motored {
		return nil, s, fmt.Errorf("gas: a cylinder that does not fire cannot be brought to a mean effective pressure; clear Motored")
	}
	if !(imep > 0 && imep <= 100e5) {
		return nil, s, fmt.Errorf("gas: a mean effective pressure of %.4g bar; it must be greater than 0 and at most 100 bar, such as 11 bar", imep/1e5)
	}
	return (&target{s: s, want: imep, least: 1, by: by}).solve()
}

// SolveFresh finds the pressure of the intake at which a cylinder takes in a fresh charge.
//
//   - s: the setting; its Intake is where the search begins
//   - mass: of the fresh charge that comes in, what is lost by the exhaust with it [kg]
//
// Results: the cycle [Pa and more] and the setting with the Intake that gives it. The mass is met to 1e-6 of it, or as closely
// as a change of the pressure by 1e-7 allows. It is searched where SolveIMEP searches ByIntake. Errors: as of SolveIMEP.
// Definition.
func SolveFresh(s Setting, mass float64) (*Result, Setting, error) {
	if !(mass > 0 && mass < 1e3) {
		return nil, s, fmt.Errorf("gas: a fresh charge of %.4g kg; it must be greater than 0 and less than 1000 kg", mass)
	}
	return (&target{s: s, want: mass, fresh: true, by: ByIntake}).solve()
}

// solve searches and meets what is wanted.
func (t *target) solve() (*Result, Setting, error) {
	if err := t.s.Check(); err != nil {
		return nil, t.s, err
	}
	p, err := newPlan(&t.s, 1) // it does not depend on the levers
	if err != nil {
		return nil, t.s, err
	}
	t.m = newMarcher(&t.s, p)
	t.state = t.s.firstState(p)
	lo, hi := t.limits()
	begin := math.Log(min(hi, max(lo, t.value())))
	x, slope, err := t.search(math.Log(lo), math.Log(hi), begin)
	if err != nil {
		return nil, t.s, err
	}
	r, err := t.meet(x, slope)
	return r, t.s, err
}

// target is the search for a mean effective pressure [Pa] or a fresh charge [kg]. Its variable grows with it.
type target struct {
	s     Setting
	want  float64
	least float64 // it need not be met closer than to this
	fresh bool    // the fresh charge is searched
	by    Lever
	m     *marcher
	state gasState // of the cycle before
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
	case t.by == ByIntake && t.s.Cycle == layout.TwoStroke && t.s.Valves != nil:
		return min(20e5, 1.001*t.s.Exhaust), 20e5 // below it is not scavenged
	case t.by == ByIntake:
		return 0.1e5, 20e5
	case t.s.Fuel.Heat > 0:
		return 1e-3 * t.want * t.s.Chamber.Displacement(), 20 * t.want * t.s.Chamber.Displacement()
	case t.s.Fuel.Premixed:
		return 1.0 / MaxLambda, 1 / MinLambda
	}
	return 1.0 / MaxLambda, 1
}

// set sets the variable to e^x.
func (t *target) set(x float64) {
	v := math.Exp(x)
	switch {
	case t.by == ByIntake:
		t.s.Intake = v
	case t.s.Fuel.Heat > 0:
		t.s.Fuel.Heat = v
	default:
		t.s.Fuel.Lambda = min(MaxLambda, 1/v)
	}
}

// got returns what the search is for.
func (t *target) got(r *Result) float64 {
	if t.fresh {
		return r.Fresh
	}
	return r.IMEP
}

// shown writes what the search is for.
func (t *target) shown(v float64) string {
	if t.fresh {
		return fmt.Sprintf("%.4g mg of fresh charge", 1e6*v)
	}
	return fmt.Sprintf("%.4g bar", v/1e5)
}

// at returns how much more there is than wanted where the variable is e^x, by cycles that are steady within a relative
// change [Pa or kg].
func (t *target) at(x, within float64) (float64, error) {
	t.set(x)
	if t.s.Valves == nil || t.fresh { // the march alone does not sum what comes in
		r, err := solveFrom(&t.s, &Result{end: t.state}, t.m.plan)
		if err != nil {
			return 0, err
		}
		t.state = r.end
		return t.got(r) - t.want, nil
	}
	state, _, err := t.m.settle(t.state, within)
	if err != nil {
		return 0, err
	}
	t.state = state
	return t.m.work/t.s.Chamber.Displacement() - t.want, nil
}

// Accuracies of the search, relative to the wanted pressure [1]: of the result, of the search before it, of the
// cycles while the search is far away, and how much closer cycles settle than the search stands.
const (
	met     = 1e-6
	found   = 1e-5
	rough   = 1e-3
	ofRough = 0.01
	finest  = 1e-7 // change of the lever below which no more is gained
)

// search walks from a beginning towards the wanted pressure until it lies between two values, and closes in on it by
// the rule of false position in the form of Illinois. It returns the variable and the slope there [Pa].
func (t *target) search(lo, hi, x float64) (at, slope float64, err error) {
	good := max(t.least, found*t.want)
	f, err := t.at(x, rough)
	if err != nil {
		return 0, 0, err
	}
	a, fa := x, f
	slope = f + t.want // as if in proportion
	for stride := 0.5; math.Signbit(f) == math.Signbit(fa) && math.Abs(f) > good; stride *= 1.5 {
		step := stride // past the wanted pressure, so that it lies between
		if guess := 1.05 * math.Abs(f) / slope; slope > 0 && guess < stride {
			step = guess
		}
		next := max(lo, min(hi, x-math.Copysign(step, f)))
		if next == x {
			return 0, 0, t.outOfReach(f)
		}
		a, fa = x, f
		x = next
		if f, err = t.at(x, t.within(fa)); err != nil {
			return 0, 0, fmt.Errorf("gas: %s is not reached by the %s: at %s %w", t.shown(t.want), t.by, t.shown(fa+t.want), err)
		}
		slope = (f - fa) / (x - a)
	}
	for range 60 {
		if math.Abs(f) <= good || math.Abs(x-a) <= finest {
			return x, slope, nil
		}
		next := x - f*(x-a)/(f-fa)
		if !(next > min(a, x) && next < max(a, x)) {
			next = (a + x) / 2
		}
		g, err := t.at(next, t.within(f))
		if err != nil {
			return 0, 0, err
		}
		slope = (g - f) / (next - x)
		if math.Signbit(g) != math.Signbit(f) {
			a, fa = x, f
		} else {
			fa /= 2
		}
		x, f = next, g
	}
	return 0, 0, t.missed(f)
}

// within returns how steady the next cycles must be where the last ones were f above the wanted pressure.
func (t *target) within(f float64) float64 {
	return min(rough, max(nearlySettled, ofRough*math.Abs(f)/t.want))
}

// meet solves the cycle where the search ended, and corrects by the slope what is left.
func (t *target) meet(x, slope float64) (*Result, error) {
	r := &Result{end: t.state}
	var err error
	last, fLast := x, math.NaN()
	for range 20 {
		t.set(x)
		if r, err = solveFrom(&t.s, r, t.m.plan); err != nil {
			return nil, err
		}
		f := t.got(r) - t.want
		if math.Abs(f) <= max(t.least, met*t.want) || slope > 0 && math.Abs(f) <= finest*slope {
			return r, nil
		}
		if secant := (f - fLast) / (x - last); secant > 0 && math.Abs(x-last) > 1e-9 {
			slope = secant
		}
		last, fLast = x, f
		if slope > 0 {
			x -= f / slope
		}
	}
	return nil, t.missed(t.got(r) - t.want)
}

func (t *target) missed(f float64) error {
	return fmt.Errorf("gas: no %s gives %s: the search ends at %s", t.by, t.shown(t.want), t.shown(f+t.want))
}

// outOfReach says where the search came to its limit.
func (t *target) outOfReach(f float64) error {
	which, more := "most", "more pressure in the intake, more fuel or a lower imep"
	if f > 0 {
		which, more = "least", "less pressure in the intake or the exhaust, less fuel, or more load"
	}
	if t.fresh {
		more = map[bool]string{false: "a lower volumetric efficiency or larger valves", true: "a higher volumetric efficiency"}[f > 0]
	}
	return fmt.Errorf("gas: %s is not reached by the %s: the %s is %s; it needs %s", t.shown(t.want), t.by, which, t.shown(f+t.want), more)
}
