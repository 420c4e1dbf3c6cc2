package choice

import (
	"fmt"
	"math"
)

// Most is the highest weight that an aim can have, in points.
const Most = 10

// Bounds of a problem, far beyond what anybody can judge.
const (
	MostAlternatives = 1000
	MostCriteria     = 200
	MostDraws        = 10_000_000
)

// Criterion is one number by which alternatives are judged.
type Criterion struct {
	Key, Name, Unit string
	Better          int    // −1: less is better, +1: more is better, 0: neither, for limits only
	Worth           Worth  // what a value is worth; needed where an aim uses the criterion
	Over, Under     string // what an alternative beyond a limit is, such as "too long"; empty: "over the limit"

	digits int // that are shown; 0: 4
}

// Aim is what somebody wants, made of one or more criteria.
type Aim struct {
	Key, Name string
	Weight    Range // [points], 0 to Most
	Parts     []Part
}

// Part is what one criterion contributes to an aim.
type Part struct {
	Criterion int     // index
	Share     float64 // relative to the other parts; above 0
}

// Range is an interval; a single number has Low = High.
type Range struct{ Low, High float64 }

// Middle returns the middle of the range, in its unit [1]. Definition.
func (r Range) Middle() float64 { return (r.Low + r.High) / 2 }

// Limit rules out every alternative on the wrong side of a bound.
type Limit struct {
	Criterion int
	AtMost    bool // the bound is the most; otherwise the least
	Bound     float64
	Why       string // reason, in words; may be empty
}

// Alternative is one of the things to choose from.
type Alternative struct {
	Name   string
	Values []float64 // one for each criterion, in its unit
	Doubts []Doubt
	Beside string // what else should be known of it, in a sentence that names it; nothing is ranked by it
}

// Doubt is an input of an alternative that is known only roughly. The values lie on the parabola through
// Low, Alternative.Values and High, and the effects of several doubts add up.
type Doubt struct {
	Key, Name string    // what is doubtful; alternatives share errors of the same key, see Options.Common
	Low, High []float64 // values with the input at the low and at the high end of where nearly all lie

	Input func(z float64) string // what the input is at z, −1 the low end, 0 the estimate, 1 the high end; nil: not said
}

// Problem is everything to decide upon.
type Problem struct {
	Criteria     []Criterion
	Aims         []Aim
	Limits       []Limit
	Alternatives []Alternative
}

// Validate says what is wrong with a problem first, or nil.
//
// Every index must exist, every number be finite, every weight lie between 0 and Most [points] with one above 0,
// and every criterion of an aim have a direction and a value function that agrees with it. Definition.
func (p *Problem) Validate() error {
	switch {
	case len(p.Alternatives) == 0:
		return fmt.Errorf("there is nothing to choose from")
	case len(p.Alternatives) > MostAlternatives:
		return fmt.Errorf("there are %d alternatives; %d are the most", len(p.Alternatives), MostAlternatives)
	case len(p.Criteria) == 0 || len(p.Criteria) > MostCriteria:
		return fmt.Errorf("there are %d criteria; give 1 to %d", len(p.Criteria), MostCriteria)
	case len(p.Aims) == 0:
		return fmt.Errorf("there are no aims; give at least one, with a weight above 0")
	}
	for _, check := range []func() error{p.aims, p.limits, p.alternatives} {
		if err := check(); err != nil {
			return err
		}
	}
	return nil
}

// criterion returns an error where there is no criterion of that index.
func (p *Problem) criterion(i int) error {
	if i < 0 || i >= len(p.Criteria) {
		return fmt.Errorf("there is no criterion %d; there are %d", i, len(p.Criteria))
	}
	return nil
}

// aims says what is wrong with the aims first, or nil.
func (p *Problem) aims() error {
	heaviest := 0.0
	for _, a := range p.Aims {
		w := a.Weight
		if !(w.Low >= 0 && w.Low <= w.High && w.High <= Most) {
			return fmt.Errorf("%s: the weight %g to %g is not possible; weights lie between 0 and %d", a.Name, w.Low, w.High, Most)
		}
		heaviest = math.Max(heaviest, w.High)
		if len(a.Parts) == 0 {
			return fmt.Errorf("%s: it has no criterion", a.Name)
		}
		for _, part := range a.Parts {
			if err := p.criterion(part.Criterion); err != nil {
				return fmt.Errorf("%s: %w", a.Name, err)
			}
			if !(part.Share > 0) || math.IsInf(part.Share, 0) {
				return fmt.Errorf("%s: the share %g is not possible; shares are above 0", a.Name, part.Share)
			}
			c := p.Criteria[part.Criterion]
			if err := c.Validate(); err != nil {
				return fmt.Errorf("%s: %w", c.Name, err)
			}
		}
	}
	if heaviest == 0 {
		return fmt.Errorf("every weight is 0; give at least one aim a weight above 0")
	}
	return nil
}

// limits says what is wrong with the limits first, or nil.
func (p *Problem) limits() error {
	for _, l := range p.Limits {
		if err := p.criterion(l.Criterion); err != nil {
			return fmt.Errorf("limit: %w", err)
		}
		if math.IsNaN(l.Bound) || math.IsInf(l.Bound, 0) {
			return fmt.Errorf("the limit of %s is %g; give a number", p.Criteria[l.Criterion].Name, l.Bound)
		}
	}
	return nil
}

// alternatives says what is wrong with the values first, or nil.
func (p *Problem) alternatives() error {
	row := func(a *Alternative, what string, values []float64) error {
		if len(values) != len(p.Criteria) {
			return fmt.Errorf("%s: %s has %d values for %d criteria", a.Name, what, len(values), len(p.Criteria))
		}
		for i, v := range values {
			if !(math.Abs(v) <= 1e100) { // what lies between can be computed with
				return fmt.Errorf("%s: %s of %s is %g; give a number", a.Name, p.Criteria[i].Name, what, v)
			}
		}
		return nil
	}
	for i := range p.Alternatives {
		a := &p.Alternatives[i]
		if err := row(a, "it", a.Values); err != nil {
			return err
		}
		for _, d := range a.Doubts {
			for _, end := range [][]float64{d.Low, d.High} {
				if err := row(a, d.Name, end); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

// used returns the criteria that aims with any weight use, ascending.
func (p *Problem) used() []int {
	in := make([]bool, len(p.Criteria))
	for _, a := range p.Aims {
		if a.Weight.High == 0 {
			continue
		}
		for _, part := range a.Parts {
			in[part.Criterion] = true
		}
	}
	var out []int
	for i, yes := range in {
		if yes {
			out = append(out, i)
		}
	}
	return out
}

// holds tells whether a value keeps the limit; one that is equal but for rounding does.
func (l Limit) holds(v float64) bool {
	near := same * max(math.Abs(v), math.Abs(l.Bound))
	if l.AtMost {
		return v <= l.Bound+near
	}
	return v >= l.Bound-near
}
