package bearing

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// Section is a stretch of a stepped beam.
type Section struct {
	From, To  float64 // along the beam [m]
	Stiffness float64 // flexural, E I [N m²]
}

// Support is a spring that holds a beam at one place.
type Support struct {
	At         float64 // [m]
	Compliance float64 // deflection per force [m/N]; 0: rigid
}

// BeamShares returns the reactions of a continuous stepped beam on elastic supports to unit loads.
//
//	minimise ½ ∫ M²/(E I) dx + ½ Σ f R²   over the inner reactions, the outer two from statics
//
// with
//   - sections: in sequence and without gaps from the first support to the last, or beyond
//   - supports: at ascending places, at least two
//   - at: places of the loads [m], anywhere; those beyond the outermost supports hang over
//
// Result [1] by support and load. Shear deflection is left out. Force and moment are in balance to rounding whatever
// the stiffness. Accuracy: exact for Euler–Bernoulli beams; 57 equal spans lose about five digits. Errors: input that
// is no beam. Source: TIMOSHENKO1, principle of least work.
func BeamShares(sections []Section, supports []Support, at []float64) ([][]float64, error) {
	if err := checkBeam(sections, supports, at); err != nil {
		return nil, err
	}
	n := len(supports)
	lo, hi := supports[0].At, supports[n-1].At
	inner := supports[1 : n-1]
	share := make([][]float64, n)
	for k := range share {
		share[k] = make([]float64, len(at))
	}
	// Pull on a simple beam between the outer supports: share of the reaction at hi.
	right := func(x float64) float64 { return (x - lo) / (hi - lo) }
	if len(inner) == 0 {
		for i, x := range at {
			share[0][i], share[1][i] = 1-right(x), right(x)
		}
		return share, nil
	}
	cuts := cutsOf(sections, supports, at)
	flex := mat.NewSymDense(len(inner), nil)
	unit := make([][]float64, len(inner)) // bending moments at the cuts
	for i, s := range inner {
		unit[i] = bending(cuts, s.At, lo, hi)
	}
	first, last := supports[0].Compliance, supports[n-1].Compliance
	outer := func(a, b float64) float64 { // work of the outer supports for unit pulls at a and b
		return first*(1-right(a))*(1-right(b)) + last*right(a)*right(b)
	}
	for i, a := range inner {
		for j := range i + 1 {
			f := product(cuts, unit[i], unit[j]) + outer(a.At, inner[j].At)
			if i == j {
				f += a.Compliance
			}
			flex.SetSym(i, j, f)
		}
	}
	load := mat.NewDense(len(inner), max(1, len(at)), nil)
	for k, place := range at {
		m := bending(cuts, place, lo, hi)
		for i, a := range inner {
			load.Set(i, k, product(cuts, m, unit[i])+outer(a.At, place))
		}
	}
	var x mat.Dense
	if err := x.Solve(flex, load); err != nil && !isPoor(err) {
		return nil, errors.New("bearing: the supports stand so near to each other that the beam cannot be solved; give them places that differ by more than a ten-thousandth of its length")
	}
	for k, place := range at {
		share[0][k], share[n-1][k] = 1-right(place), right(place)
		for i, a := range inner {
			r := x.At(i, k)
			share[i+1][k] = r
			share[0][k] -= r * (1 - right(a.At))
			share[n-1][k] -= r * right(a.At)
		}
	}
	return share, nil
}

// isPoor reports a warning of bad conditioning, which comes with a result.
func isPoor(err error) bool {
	var c mat.Condition
	return errors.As(err, &c) && !math.IsInf(float64(c), 1)
}

// cut is a stretch of the beam on which every bending moment is linear.
type cut struct{ from, to, stiffness float64 }

// cutsOf cuts a beam at steps, supports and loads, between the outer supports.
func cutsOf(sections []Section, supports []Support, at []float64) []cut {
	lo, hi := supports[0].At, supports[len(supports)-1].At
	var places []float64
	for _, s := range supports {
		places = append(places, s.At)
	}
	for _, x := range at {
		if x > lo && x < hi {
			places = append(places, x)
		}
	}
	for _, s := range sections {
		if s.From > lo && s.From < hi {
			places = append(places, s.From)
		}
	}
	slices.Sort(places)
	places = slices.Compact(places)
	var cuts []cut
	k := 0
	for i := 1; i < len(places); i++ {
		mid := (places[i-1] + places[i]) / 2
		for k < len(sections)-1 && mid > sections[k].To {
			k++
		}
		cuts = append(cuts, cut{places[i-1], places[i], sections[k].Stiffness})
	}
	return cuts
}

// bending returns the bending moments at the ends of every cut, per unit load at x on a simple beam. The load hangs
// over where it stands beyond a support.
func bending(cuts []cut, x, lo, hi float64) []float64 {
	m := make([]float64, 2*len(cuts))
	at := func(u float64) float64 {
		left := (hi - x) / (hi - lo) * (u - lo)
		if x < lo { // the load stands to the left of everything
			return left - (u - x)
		}
		return left - math.Max(0, u-x)
	}
	for i, c := range cuts {
		m[2*i], m[2*i+1] = at(c.from), at(c.to)
	}
	return m
}

// product returns ∫ m n/(E I) dx of two moments that are linear on every cut.
func product(cuts []cut, m, n []float64) float64 {
	sum := 0.0
	for i, c := range cuts {
		a, b, p, q := m[2*i], m[2*i+1], n[2*i], n[2*i+1]
		sum += (c.to - c.from) / c.stiffness * (2*a*p + 2*b*q + a*q + b*p) / 6
	}
	return sum
}

func checkBeam(sections []Section, supports []Support, at []float64) error {
	if len(supports) < 2 {
		return fmt.Errorf("bearing: a beam needs at least two supports, there are %d", len(supports))
	}
	for i, s := range supports {
		if !(math.Abs(s.At) < 1e4) || !(s.Compliance >= 0) || s.Compliance > 1e9 {
			return fmt.Errorf("bearing: support %d stands at %g m and gives %g m/N; finite numbers are needed and a compliance that is not negative", i+1, s.At, s.Compliance)
		}
		if i > 0 && !(s.At > supports[i-1].At) {
			return fmt.Errorf("bearing: support %d does not stand beyond the one before it; list them in ascending order", i+1)
		}
	}
	if len(sections) == 0 || sections[0].From > supports[0].At || sections[len(sections)-1].To < supports[len(supports)-1].At {
		return errors.New("bearing: the sections of the beam must reach from the first support to the last")
	}
	for i, s := range sections {
		if !(s.To > s.From) || !(math.Abs(s.From) < 1e4) || !(math.Abs(s.To) < 1e4) || !(s.Stiffness > 1e-12) || s.Stiffness > 1e18 {
			return fmt.Errorf("bearing: section %d reaches from %g m to %g m with %g N m²; it needs a length and a stiffness greater than zero", i+1, s.From, s.To, s.Stiffness)
		}
		if i > 0 && s.From != sections[i-1].To {
			return fmt.Errorf("bearing: section %d begins at %g m, the one before it ends at %g m; leave no gap", i+1, s.From, sections[i-1].To)
		}
	}
	for i, x := range at {
		if !(math.Abs(x) < 1e4) {
			return fmt.Errorf("bearing: load %d stands at %g m; a finite place is needed", i+1, x)
		}
	}
	return nil
}
