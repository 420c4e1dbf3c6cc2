package choice

import (
	"cmp"
	"math"
	"slices"
)

// Standing is how firm the first rank is.
type Standing string

// The standings, from nothing to choose to settled.
const (
	NoneLeft     Standing = "none left"     // limits rule out every alternative
	OnlyOne      Standing = "only one"      // one alternative is left
	Alike        Standing = "alike"         // the first are worth the same whatever the weights
	NotSeparable Standing = "not separable" // what is known does not tell the first from others
	Likely       Standing = "likely"        // it leads in most of what is possible
	Clear        Standing = "clear"         // it leads in practically all of what is possible
	Certain      Standing = "certain"       // it dominates every other
)

// Probabilities that divide the standings: that the leader is worth more than another.
const (
	clearly = 0.95
	likely  = 0.8
	rounded = 0.5 // points: no lead is clear that weights which are all off by so much could turn
)

// Breach is a limit that an alternative does not keep.
type Breach struct {
	Limit  int
	Margin float64 // how far it lies on the wrong side, above 0, in the unit of the criterion
	Keeps  float64 // share of the draws of doubtful inputs in which it would keep the limit
}

// Decision is everything that is found of a problem.
type Decision struct {
	Problem   *Problem
	Weights   []float64   // in the middle of the ranges [points]
	Breaches  [][]Breach  // by alternative; nil where it keeps every limit
	Risks     [][]float64 // by alternative and limit: share of the draws in which the limit is not kept
	Standing  []int       // alternatives that keep every limit, in the sequence of the problem
	Dominated [][]int     // by alternative: those that dominate it
	Front     []int       // alternatives that stand and that none dominates
	Scores    []Score     // at Weights, of all alternatives
	Order     []int       // Standing, the best first
	Places    []int       // by alternative, from 1; equal ones share; 0 where it is ruled out
	Ranges    *Acceptance // over the ranges of weights
	Any       *Acceptance // over all weights that there are
	Verdict   Verdict
	Flips     []WeightFlip // of each aim; nil where fewer than two stand
	Joints    []Joint      // of each other that stands, the smallest step first
	Values    []ValueFlip  // what the second would have to be; nil where it shares the first place
	Matters   []Matter     // doubtful inputs, the one that matters most first
}

// Verdict is what the numbers say.
type Verdict struct {
	Standing Standing
	Leader   int   // −1: none
	Second   int   // −1: none
	Beats    []int // others that the leader cannot be told from, by how often they are worth more
}

// Decide ranks the alternatives of a problem and finds how firm the ranking is.
//
//   - opt: draws [1] and seed; AnyWeights is not looked at, for both are drawn
//
// The ranking stands at the middle of the ranges of weights. The leader is clear of another where it is
// worth more in 95 % of the draws and weights that are all off by half a point would not turn that, likely
// better from 80 % of the draws, and not separable from it below: a convention of this package. Errors: those of Accept. Definition.
func Decide(p *Problem, opt Options) (*Decision, error) {
	if err := p.Validate(); err != nil {
		return nil, err
	}
	d := &Decision{Problem: p, Weights: p.Middles()}
	d.rule()
	opt.AnyWeights = false
	var err error
	if d.Ranges, err = p.Accept(d.Standing, opt); err != nil {
		return nil, err
	}
	opt.AnyWeights = true
	if d.Any, err = p.Accept(d.Standing, opt); err != nil {
		return nil, err
	}
	for i := range d.Breaches {
		for b := range d.Breaches[i] {
			d.Breaches[i][b].Keeps = d.Ranges.Holds[i][d.Breaches[i][b].Limit]
		}
	}
	for i, holds := range d.Ranges.Holds {
		d.Risks[i] = make([]float64, len(holds))
		for l, h := range holds {
			d.Risks[i][l] = 1 - h
		}
	}
	d.rank()
	d.firmness()
	return d, nil
}

// rule finds what the limits rule out.
func (d *Decision) rule() {
	p := d.Problem
	d.Breaches = make([][]Breach, len(p.Alternatives))
	d.Risks = make([][]float64, len(p.Alternatives))
	for i, a := range p.Alternatives {
		for l, limit := range p.Limits {
			if v := a.Values[limit.Criterion]; !limit.holds(v) {
				d.Breaches[i] = append(d.Breaches[i], Breach{Limit: l, Margin: math.Abs(v - limit.Bound)})
			}
		}
	}
	d.Standing = p.Keeping()
}

// rank orders what stands.
func (d *Decision) rank() {
	p := d.Problem
	d.Dominated = p.dominators(d.Standing)
	d.Scores = p.Scores(d.Weights)
	totals := make([]float64, len(d.Standing))
	dominated := make([]bool, len(d.Standing))
	for n, i := range d.Standing {
		totals[n], dominated[n] = d.Scores[i].Total, len(d.Dominated[i]) > 0
		if !dominated[n] {
			d.Front = append(d.Front, i)
		}
	}
	d.Places = make([]int, len(p.Alternatives))
	for n, place := range Places(totals, dominated) {
		d.Places[d.Standing[n]] = place
	}
	d.Order = slices.Clone(d.Standing)
	slices.SortStableFunc(d.Order, func(a, b int) int { return d.Places[a] - d.Places[b] })
}

// firmness finds how firm the first rank is, and what would move it.
func (d *Decision) firmness() {
	v := &d.Verdict
	v.Leader, v.Second = -1, -1
	if len(d.Order) == 0 {
		v.Standing = NoneLeft
		return
	}
	v.Leader = d.Order[0]
	if len(d.Order) == 1 {
		v.Standing = OnlyOne
		return
	}
	p := d.Problem
	d.Flips = p.WeightFlips(d.Weights, v.Leader, d.Standing)
	for _, o := range d.Order[1:] {
		d.Joints = append(d.Joints, p.JointFlip(d.Weights, v.Leader, o))
	}
	slices.SortStableFunc(d.Joints, func(a, b Joint) int {
		if a.Possible != b.Possible {
			if a.Possible {
				return -1
			}
			return 1
		}
		return cmp.Compare(a.By, b.By)
	})
	d.second()
	if d.Places[v.Second] > 1 {
		d.Values = p.ValueFlips(d.Weights, v.Leader, v.Second)
	}
	d.Matters = p.Matters(d.Weights, v.Leader, v.Second, d.Standing)
}

// second finds the strongest rival and the standing against it: the one that is most often worth more
// than the leader, the one behind it in the order where several are alike in that.
func (d *Decision) second() {
	v := &d.Verdict
	worst := -1.0
	certain := true
	for _, o := range d.Order[1:] {
		against := d.Ranges.Beats[o][v.Leader]
		if against > worst {
			worst, v.Second = against, o
		}
		if against > 1-likely {
			v.Beats = append(v.Beats, o)
		}
		certain = certain && slices.Contains(d.Dominated[o], v.Leader)
	}
	slices.SortStableFunc(v.Beats, func(a, b int) int {
		return cmp.Compare(d.Ranges.Beats[b][v.Leader], d.Ranges.Beats[a][v.Leader])
	})
	switch {
	case d.alike(v.Leader, v.Second) && worst == 0.5:
		v.Standing = Alike
	case worst > 1-likely:
		v.Standing = NotSeparable
	case certain && worst == 0:
		v.Standing = Certain
	case worst > 1-clearly || d.Joints[0].Possible && d.Joints[0].By < rounded:
		v.Standing = Likely
	default:
		v.Standing = Clear
	}
}

// alike tells whether two alternatives have the same values on everything that counts.
func (d *Decision) alike(a, b int) bool {
	p := d.Problem
	for _, c := range p.used() {
		x, y := p.Alternatives[a].Values[c], p.Alternatives[b].Values[c]
		if math.Abs(x-y) > same*math.Max(math.Abs(x), math.Abs(y)) {
			return false
		}
	}
	return true
}
