package balance

import (
	"errors"
	"fmt"
	"math"
	"math/cmplx"
	"slices"

	"crankwright/mechanics/layout"
)

// Policy is a way to choose counterweights.
type Policy string

// The policies, in the words of the command and of reports.
const (
	NoWeights Policy = "none"      // no counterweights at all
	ByFactor  Policy = "factor"    // one balance factor for the whole crank
	ByThrow   Policy = "per-throw" // a balance factor for each throw
	ByWeb     Policy = "per-web"   // an unbalance for each web
	ByOptimum Policy = "optimum"   // the least of a measure
)

// Policies returns all policies [-]. Definition.
func Policies() []Policy { return []Policy{NoWeights, ByFactor, ByThrow, ByWeb, ByOptimum} }

// Request says which counterweights are wanted and what room they have.
type Request struct {
	Policy    Policy
	Factors   []float64    // ByFactor: one; ByThrow: one for each throw [1]
	Unbalance []complex128 // ByWeb: one for each of Webs, U e^{ia} [kg m]
	Measure   Measure      // ByOptimum; the zero value is EqualMeasure
	Limit     float64      // ByOptimum: largest unbalance of a web [kg m]; 0: what fits into Cheek, else none

	Cheek Cheek   // the zero value: the form is not asked for
	Skirt float64 // how far piston skirts reach below the pin [m]; 0: SkirtShare of the bore
	Room  float64 // clearance wanted between counterweights and skirts [m]
}

// Plan is a set of counterweights with the metal and the room that it needs.
type Plan struct {
	Policy         Policy
	Webs           []PlannedWeb
	Counterweights []layout.Unbalance // ready to be set in a train; webs without unbalance left out
	Factors        []float64          // as wanted: ByFactor one, ByThrow one for each throw [1]
	Optimum        *OptimumResult     // ByOptimum
	Limit          float64            // that the optimum kept [kg m]; 0: none

	Cheek      Cheek   // the zero value: the form was not asked for
	Mass       float64 // added by the sectors that fit [kg]
	Inertia    float64 // added by the sectors that fit, about the crank axis [kg m²]
	Misfits    int     // webs whose unbalance does not fit into the form
	Skirt      float64 // how far piston skirts reach below the pin [m]; 0: the bore is unknown
	SkirtGuess bool    // Skirt is SkirtShare of the bore, not given
	Room       float64 // clearance wanted [m]
	Clearances []Clearance
	MostRadius float64 // largest radius of counterweights that keeps Room everywhere [m]; 0: unknown or none
}

// PlannedWeb is a web with its counterweight.
type PlannedWeb struct {
	Web
	Unbalance complex128 // U e^{ia} [kg m]
	Sector    *Sector    // nil: the form was not asked for, there is no unbalance, or it does not fit
	NoFit     *NoFitError
}

// Sector is the metal of one counterweight.
type Sector struct {
	HalfAngle float64 // [rad]
	Mass      float64 // [kg]
	Inertia   float64 // about the crank axis [kg m²]
}

// Counterweights plans the counterweights of a crank.
//
//   - t: a train that layout.Validate accepts; its own counterweights are replaced
//   - q: what is wanted
//
// Result in SI: unbalances [kg m], and where a form is given its metal and its clearance. That an unbalance
// does not fit into the form is no error but said on its web. Errors: layout.Problems, a policy that does not
// exist, a number that is not possible. Source: DEFINITION, see OneFactor, PerThrow, PerWeb, Optimum,
// Cheek, SkirtClearances.
func Counterweights(t *layout.Train, q Request) (*Plan, error) {
	if err := layout.Validate(t); err != nil {
		return nil, err
	}
	p := &Plan{Policy: q.Policy, Factors: q.Factors, Limit: q.Limit, Cheek: q.Cheek, Room: q.Room}
	if q.Cheek != (Cheek{}) {
		if err := q.Cheek.Check(); err != nil {
			return nil, err
		}
		if q.Limit == 0 {
			p.Limit = q.Cheek.Most()
		}
	}
	us, err := p.choose(t, q)
	if err != nil {
		return nil, err
	}
	weights, err := PerWeb(t, us)
	if err != nil {
		return nil, err
	}
	for j, w := range Webs(t) {
		if us[j] != 0 {
			p.Counterweights = append(p.Counterweights, weights[j])
		}
		p.Webs = append(p.Webs, PlannedWeb{Web: w, Unbalance: us[j]})
	}
	if err := p.form(); err != nil {
		return nil, err
	}
	return p, p.room(t, q.Skirt)
}

// choose returns the unbalance of each web.
func (p *Plan) choose(t *layout.Train, q Request) ([]complex128, error) {
	var list []layout.Unbalance
	var err error
	switch q.Policy {
	case NoWeights:
		return make([]complex128, len(Webs(t))), nil
	case ByFactor:
		if len(q.Factors) != 1 {
			return nil, fmt.Errorf("the policy %s takes one balance factor; there are %d", q.Policy, len(q.Factors))
		}
		list, err = OneFactor(t, q.Factors[0])
	case ByThrow:
		list, err = PerThrow(t, q.Factors)
	case ByWeb:
		_, err = PerWeb(t, q.Unbalance)
		return slices.Clone(q.Unbalance), err
	case ByOptimum:
		m := q.Measure
		if m == (Measure{Length: m.Length}) {
			m = EqualMeasure()
			m.Length = q.Measure.Length
		}
		if p.Optimum, err = Optimum(t, m, p.Limit); err != nil {
			return nil, err
		}
		return p.Optimum.Unbalance, nil
	default:
		return nil, fmt.Errorf("there is no policy %q; the policies are %s, %s, %s, %s and %s", q.Policy, NoWeights, ByFactor, ByThrow, ByWeb, ByOptimum)
	}
	us := make([]complex128, len(list))
	for j, u := range list {
		us[j] = complex(u.Amount, 0) * u.Angle.Unit()
	}
	return us, err
}

// form gives the counterweights metal.
func (p *Plan) form() error {
	if p.Cheek == (Cheek{}) {
		return nil
	}
	for j := range p.Webs {
		w := &p.Webs[j]
		if w.Unbalance == 0 {
			continue
		}
		φ, err := p.Cheek.HalfAngle(cmplx.Abs(w.Unbalance))
		if errors.As(err, &w.NoFit) {
			p.Misfits++
			continue
		} else if err != nil {
			return err
		}
		w.Sector = &Sector{HalfAngle: float64(φ), Mass: p.Cheek.Mass(φ), Inertia: p.Cheek.Inertia(φ)}
		p.Mass += w.Sector.Mass
		p.Inertia += w.Sector.Inertia
	}
	return nil
}

// room finds the clearance of the counterweights and the piston skirts. Without a form it is that of a disc
// without radius, from which the largest radius follows.
func (p *Plan) room(t *layout.Train, skirt float64) error {
	if !(p.Room >= 0) || p.Room > 1 {
		return fmt.Errorf("a clearance of %g mm is not possible; a length from 0 mm to 1 m is needed", 1e3*p.Room)
	}
	if skirt != 0 && !(skirt > 0) || skirt > 100 {
		return fmt.Errorf("a skirt that reaches %g mm below the piston pin is not possible; a length from 0 mm to 100 m is needed", 1e3*skirt)
	}
	if t.Bore <= 0 {
		return nil
	}
	p.Skirt, p.SkirtGuess = skirt, skirt == 0
	if p.SkirtGuess {
		p.Skirt = SkirtShare * t.Bore
	}
	const least = 1e-9 // [m] a radius to measure from
	radius := make([]float64, len(p.Webs))
	webs := make([]Web, len(p.Webs))
	for j, w := range p.Webs {
		webs[j] = w.Web
		if p.Cheek.Thickness > 0 {
			webs[j].Thickness = p.Cheek.Thickness
		}
		if w.Unbalance != 0 {
			radius[j] = math.Max(least, p.Cheek.Outer)
		}
	}
	list, err := SkirtClearances(t, webs, radius, p.Skirt)
	if err != nil || len(list) == 0 {
		return err
	}
	p.MostRadius = math.Max(0, list[0].Edge-p.Room)
	for _, c := range list {
		p.MostRadius = math.Min(p.MostRadius, math.Max(0, c.Edge-p.Room))
	}
	if p.Cheek != (Cheek{}) {
		p.Clearances = list
	}
	return nil
}
