package search

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/optimize"

	"crankwright/analysis"
	"crankwright/brief"
	"crankwright/mechanics/layout"
	"crankwright/num"
	"crankwright/spec"
	"crankwright/study"
)

// RefineOptions say how a candidate is refined.
type RefineOptions struct {
	// Toward is the aim to be improved while no other gets worse; empty: all of them together, each as a share of its spread.
	Toward string
	// Front is what the spread of each aim is measured over; where it does not differ there, its value at the candidate.
	Front       []study.Point
	Evaluations int            // 0: RefineEvaluations
	Tell        func(done int) // is told how many engines were analysed, after each; nil: nobody is
}

// RefineEvaluations is how many engines are analysed at most unless another number is asked for.
const RefineEvaluations = 400

// Refined is a candidate between the steps of a study.
type Refined struct {
	From          uint64
	Name          string         // of the engine
	Settings      []spec.Setting // all that it sets in the base
	Text          []byte         // its engine file
	Moved         []Move
	Before, After []float64 // of the figures, in their units, as Figures names them
	Evaluations   int
	Better        bool // some aim is better and none is worse; else Settings are those of the candidate
}

// Move is how far an input went.
type Move struct {
	Key, Unit     string
	Before, After float64
}

// ErrNothingMoves is returned where a study varies no number that could be refined.
var ErrNothingMoves = errors.New("this study varies no number between two values, so there is nothing to refine")

// Refine moves the numbers that a study varies, from a candidate on, anywhere between their least and largest values, so that
// aims get better and everything required is kept: by the simplex method of Nelder and Mead, from gonum, started anew from
// its best until it gains no more. What it minimises is the largest change for the worse of any aim, each as a share of its
// spread, with a small share of their sum, so that what it finds is better in some aim and worse in none; of one aim alone, that
// aim, with the others as limits. A limit that is broken costs more than anything can gain. Every evaluation is the whole
// analysis of an engine with these numbers to six digits, so that its file is the same engine.
func (p *Problem) Refine(index uint64, opt RefineOptions, stop func() bool) (*Refined, error) {
	r, err := p.newRefining(index, opt.Toward)
	if err != nil {
		return nil, err
	}
	if r.stop, r.tell = stop, opt.Tell; r.tell == nil {
		r.tell = func(int) {}
	}
	if err := r.begin(opt.Front); err != nil {
		return nil, fmt.Errorf("candidate %d: %w", index, err)
	}
	if opt.Evaluations <= 0 {
		opt.Evaluations = RefineEvaluations
	}
	best, least := make([]float64, len(r.axes)), 0.0
	for range 8 {
		left := opt.Evaluations - r.count
		if left < 2*len(r.axes) {
			break
		}
		found, err := optimize.Minimize(optimize.Problem{Func: func(x []float64) float64 { return r.cost(x) }}, best,
			&optimize.Settings{FuncEvaluations: left, Converger: &optimize.FunctionConverge{Absolute: 1e-7, Iterations: 15 * len(r.axes)}},
			&optimize.NelderMead{SimplexSize: 1})
		if r.failed != nil {
			return nil, r.failed
		}
		if found == nil {
			return nil, err
		}
		if !(found.F < least-1e-6) {
			break
		}
		best, least = slices.Clone(found.X), found.F
	}
	return r.result(index, best, least < 0)
}

// Refinable says why a candidate cannot be refined, without analysing it; nil: it can, unless it breaks a limit. It returns the
// errors of Refine: no such candidate, one that is left out, ErrNothingMoves, or toward, where it is not empty, being no aim.
func (p *Problem) Refinable(index uint64, toward string) error {
	_, err := p.newRefining(index, toward)
	return err
}

// refining is a candidate that is being refined.
type refining struct {
	p      *Problem
	b      *block
	digits []int
	steps  []int
	order  []int // of all orders: the candidate's
	axes   []int // that move
	units  []string
	from   []float64 // of each
	low    []float64
	high   []float64
	step   []float64
	toward int
	spread []float64 // by aim
	before []float64 // figures of the candidate
	like   *analysis.Result
	count  int
	failed error
	stop   func() bool
	tell   func(done int)
}

// newRefining finds what of a candidate can move, and toward which aim; its errors are those of Refinable.
func (p *Problem) newRefining(index uint64, aim string) (*refining, error) {
	toward := -1
	if aim != "" {
		toward = slices.IndexFunc(p.aims, func(a study.Aim) bool { return p.columns[a.Column].Key == aim })
		if toward < 0 {
			keys := []string{}
			for _, a := range p.aims {
				keys = append(keys, p.columns[a.Column].Key)
			}
			return nil, fmt.Errorf("%q is no aim of this study; its aims are %s", aim, strings.Join(keys, ", "))
		}
	}
	if err := p.has(index); err != nil {
		return nil, err
	}
	e := p.newEvaluator()
	if rule, _ := e.next(index, index+1); rule >= 0 {
		return nil, fmt.Errorf("candidate %d is left out: %s", index, p.rules[rule])
	}
	r := &refining{p: p, b: p.blocks[e.block], digits: e.digits, steps: e.steps, toward: toward}
	if k := r.b.orders; k >= 0 && r.b.axes[k].kind == allOrders {
		r.order = e.firings.order(nil, e.mask)
	}
	for i, a := range r.b.axes {
		values, unit, ok := quantities(a.texts)
		if !ok || len(values) < 2 || a.kind == policy {
			continue
		}
		r.axes, r.units = append(r.axes, i), append(r.units, unit)
		r.from = append(r.from, values[e.digits[i]])
		r.low, r.high = append(r.low, slices.Min(values)), append(r.high, slices.Max(values))
		r.step = append(r.step, (r.high[len(r.high)-1]-r.low[len(r.low)-1])/float64(len(values)-1))
	}
	if len(r.axes) == 0 {
		return nil, ErrNothingMoves
	}
	return r, nil
}

// begin evaluates the candidate, and measures the aims over a front.
func (r *refining) begin(front []study.Point) error {
	var err error
	if r.before, _, err = r.figures(make([]float64, len(r.axes))); err != nil {
		return err
	}
	for k, l := range r.p.limits {
		if v := r.before[l.figure]; !r.keeps(l, v) {
			return fmt.Errorf("it does not keep %s, which is required: it has %s", strings.TrimPrefix(r.p.rules[firstLimit+k], "not "), spec.MeasureShown(l.Measure, v))
		}
	}
	inputs := len(r.p.columns) - len(r.p.figures)
	for _, a := range r.p.aims {
		spread := spreadOf(front, a.Column)
		if !(spread > 0) {
			spread = max(math.Abs(r.before[a.Column-inputs]), r.p.figures[a.Column-inputs].Least, 1e-9)
		}
		r.spread = append(r.spread, spread)
	}
	return nil
}

// spreadOf returns by how much a column differs over points, in its unit; negative where no point has a value.
func spreadOf(points []study.Point, column int) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for _, q := range points {
		if v := q.Values[column]; !math.IsNaN(v) {
			low, high = min(low, v), max(high, v)
		}
	}
	return high - low
}

// texts returns the values of the axes at x, which counts in steps from the candidate; beyond their ends the ends.
func (r *refining) texts(x []float64) (texts []string, beyond float64) {
	for k := range r.axes {
		v := r.from[k] + x[k]*r.step[k]
		in := min(max(v, r.low[k]), r.high[k])
		beyond += math.Abs(v-in) / r.step[k]
		text := num.Digits(in, 6)
		if r.units[k] != "1" {
			text += " " + r.units[k]
		}
		if x[k] == 0 {
			text = r.b.axes[r.axes[k]].texts[r.digits[r.axes[k]]]
		}
		texts = append(texts, text)
	}
	return texts, beyond
}

// settings returns what an engine with other values of some axes sets.
func (r *refining) settings(texts []string) ([]spec.Prepared, *layout.Train, error) {
	b := *r.b
	b.axes = slices.Clone(r.b.axes)
	digits := slices.Clone(r.digits)
	for k, i := range r.axes {
		a := *b.axes[i]
		a.texts, digits[i] = []string{texts[k]}, 0
		if a.kind == plain {
			s, err := b.template.Prepare(spec.Setting{Key: a.key, Text: texts[k]})
			if err != nil {
				return nil, nil, err
			}
			a.prepared = []spec.Prepared{s}
		} else {
			values, _, _ := quantities(a.texts)
			a.pure = values
		}
		b.axes[i] = &a
	}
	set, designs, err := b.settings(digits, r.steps)
	if err != nil {
		return nil, nil, err
	}
	set, t, err := b.resolve(set, designs)
	if err == nil && r.order != nil {
		t.FiringOrder = r.order
	}
	return set, t, err
}

// figures evaluates the engine at x.
func (r *refining) figures(x []float64) (values []float64, beyond float64, err error) {
	texts, beyond := r.texts(x)
	_, t, err := r.settings(texts)
	if err != nil {
		return nil, beyond, err
	}
	opt := analysis.Options{Speed: r.p.Study.Speed, Scope: r.p.scope, Prices: r.p.prices}
	for _, c := range r.p.chapters() {
		opt = c.With(opt)
	}
	res, err := analysis.RunLike(t, opt, r.like)
	if err != nil {
		return nil, beyond, err
	}
	r.like = res
	all := brief.ValuesOf(res)
	for _, f := range r.p.figures {
		v, ok := all[f.Key]
		if !ok {
			return nil, beyond, fmt.Errorf("%s is not known of it", f.Name)
		}
		values = append(values, v)
	}
	return values, beyond, nil
}

// keeps tells whether an engine keeps a limit, as the search judges its candidates.
func (r *refining) keeps(l limit, v float64) bool {
	return keeps(l, r.p.settled(&r.p.figures[l.figure], v))
}

// broken adds by how much limits are broken, as shares of their bounds.
func (r *refining) broken(values []float64) float64 {
	sum := 0.0
	for _, l := range r.p.limits {
		if v := values[l.figure]; !r.keeps(l, v) {
			sum += math.Abs(v-l.Bound) / max(math.Abs(l.Bound), 1e-9)
		}
	}
	return sum
}

// dear is what breaking a limit costs at least, in spreads.
const dear = 100

// cost is what is minimised; 0 at the candidate.
func (r *refining) cost(x []float64) float64 {
	if r.failed != nil || r.stop() {
		r.failed = cmp.Or(r.failed, study.ErrStopped)
		return math.Inf(1)
	}
	r.count++
	defer func() { r.tell(r.count) }()
	values, beyond, err := r.figures(x)
	if err != nil {
		return dear * (10 + beyond)
	}
	if broken := r.broken(values); broken > 0 || beyond > 0 {
		return dear * (1 + broken + beyond)
	}
	changes := r.changes(values)
	if r.toward >= 0 {
		for k, c := range changes {
			if k != r.toward && c > 1e-9 {
				return dear * (1 + c)
			}
		}
		return changes[r.toward]
	}
	worst, sum := math.Inf(-1), 0.0
	for _, c := range changes {
		worst, sum = max(worst, c), sum+c
	}
	return worst + 0.01*sum
}

// changes returns by how much each aim is worse than at the candidate, in spreads.
func (r *refining) changes(values []float64) []float64 {
	inputs := len(r.p.columns) - len(r.p.figures)
	var out []float64
	for k, a := range r.p.aims {
		c := (values[a.Column-inputs] - r.before[a.Column-inputs]) / r.spread[k]
		if a.More {
			c = -c
		}
		out = append(out, c)
	}
	return out
}

// result describes the engine at x.
func (r *refining) result(from uint64, x []float64, better bool) (*Refined, error) {
	out := &Refined{From: from, Name: r.b.nameOf(from) + " refined", Before: r.before, After: r.before, Evaluations: r.count}
	values, _, err := r.figures(x)
	if err != nil {
		return nil, err
	}
	if better {
		changes := r.changes(values)
		out.Better = slices.Max(changes) <= 1e-9 && slices.Min(changes) < -1e-9
	}
	if !out.Better {
		clear(x)
	} else {
		out.After = values
	}
	texts, _ := r.texts(x)
	set, t, err := r.settings(texts)
	if err != nil {
		return nil, err
	}
	for _, s := range set {
		out.Settings = append(out.Settings, s.Setting)
	}
	if r.order != nil {
		out.Settings = append(out.Settings, spec.Setting{Key: ordersKey, Text: orderText(t, r.order)})
	}
	for k, i := range r.axes {
		v, _, _ := quantities(texts[k : k+1])
		out.Moved = append(out.Moved, Move{Key: r.b.axes[i].key, Unit: r.units[k], Before: r.from[k], After: v[0]})
	}
	out.Text, err = r.b.template.Text(append([]spec.Setting{{Key: "name", Text: out.Name}}, out.Settings...))
	out.Settings = append(slices.Clone(r.b.shape), out.Settings...)
	return out, err
}
