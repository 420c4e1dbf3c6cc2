package brief

import (
	"fmt"
	"math"
	"slices"

	"crankwright/analysis"
	"crankwright/choice"
)

// Options returns what has to be analysed of an engine to judge it by a brief.
//
// Result: the chapters that its measures need, speed [rad/s] and load as usual. Definition.
func (b *Brief) Options() analysis.Options {
	opt := analysis.Options{Prices: b.Prices}
	for _, key := range b.Keys() {
		m, _ := MeasureOf(key)
		opt = m.Needs.With(opt)
	}
	return opt
}

// Keys lists the measures that a brief needs, each once: those of priorities above 0 first.
//
// Result: keys as in Measures [1]. Definition.
func (b *Brief) Keys() []string { return b.keys(func(p Priority) bool { return p.Weight.High > 0 }) }

// keys lists the measures of some priorities and of all limits.
func (b *Brief) keys(of func(Priority) bool) []string {
	var out []string
	seen := map[string]bool{}
	add := func(key string) {
		if !seen[key] {
			seen[key] = true
			out = append(out, key)
		}
	}
	for _, p := range b.Priorities {
		if !of(p) {
			continue
		}
		for _, part := range p.Aim().Parts {
			add(part.Measure)
		}
	}
	for _, l := range b.Limits {
		add(l.Measure)
	}
	return out
}

// Among returns the brief as it can judge some engines: a priority of 0 stays only where all of them have its measures, for
// it shall neither be computed for nothing nor leave an engine out.
//
//   - values: figures of each engine, in the unit of each measure
//
// Result: priorities in points [1]. Definition.
func (b *Brief) Among(values []Values) *Brief {
	out := *b
	out.Priorities = nil
	for _, p := range b.Priorities {
		known := true
		for _, part := range p.Aim().Parts {
			for _, v := range values {
				_, has := v[part.Measure]
				known = known && has
			}
		}
		if p.Weight.High > 0 || known {
			out.Priorities = append(out.Priorities, p)
		}
	}
	return &out
}

// Values are the figures of one engine by key, each in the unit of its measure.
type Values map[string]float64

// ValuesOf returns the figures of a result that a brief may name, each in the unit of its measure.
//
//   - r: with the chapters that Brief.Options asks for
//
// Result [N], [N m], [mm] and so on. Definition.
func ValuesOf(r *analysis.Result) Values {
	v := Values{Speed: r.Speed * 30 / math.Pi}
	for _, f := range r.Figures() {
		v[f.Key] = f.Value
	}
	return v
}

// Problem returns the choice among engines that a brief leaves, without what is doubtful of them.
//
//   - names: of the engines
//   - values: figures of each, with all that the brief names
//
// A value function that the brief does not give is a straight line from the worst value of the engines
// that keep every limit to their best, or to the best that can be where there is one, such as 0 or an evenness of 1, over no
// less than the span that matters. Values keep their units, such as [N] and [mm]. Measures are the criteria, in the
// sequence in which the brief names them. Errors: a measure that is not known, or that an engine lacks.
// Definition.
func (b *Brief) Problem(names []string, values []Values) (*choice.Problem, error) {
	p := &choice.Problem{}
	at := map[string]int{}
	for i, key := range b.keys(func(Priority) bool { return true }) {
		m, ok := MeasureOf(key)
		if !ok {
			return nil, fmt.Errorf("there is no measure %q", key)
		}
		at[key] = i
		p.Criteria = append(p.Criteria, choice.Criterion{Key: key, Name: b.NameOf(key), Unit: m.Unit, Better: m.Better, Over: m.Over, Under: m.Under})
	}
	for _, l := range b.Limits {
		p.Limits = append(p.Limits, choice.Limit{Criterion: at[l.Measure], AtMost: l.AtMost, Bound: l.Bound, Why: l.Why})
	}
	for i, v := range values {
		a := choice.Alternative{Name: names[i], Values: make([]float64, len(p.Criteria))}
		for j, c := range p.Criteria {
			x, ok := v[c.Key]
			if !ok {
				return nil, fmt.Errorf("%s: %s is not known of it", names[i], c.Name)
			}
			a.Values[j] = x
		}
		p.Alternatives = append(p.Alternatives, a)
	}
	for _, pr := range b.Priorities {
		a := pr.Aim()
		if len(a.Parts) == 0 {
			return nil, fmt.Errorf("there is no priority %q", pr.Key)
		}
		aim := choice.Aim{Key: pr.Key, Name: a.Name, Weight: Drawn(pr.Weight)}
		for _, part := range a.Parts {
			aim.Parts = append(aim.Parts, choice.Part{Criterion: at[part.Measure], Share: part.Share})
		}
		p.Aims = append(p.Aims, aim)
	}
	b.worths(p)
	return p, nil
}

// worths gives every criterion of an aim its value function.
func (b *Brief) worths(p *choice.Problem) {
	stand := p.Keeping()
	if len(stand) == 0 { // nothing will be ranked; the functions are still shown
		for i := range p.Alternatives {
			stand = append(stand, i)
		}
	}
	counts := map[int]bool{} // a limit alone needs no value function
	for _, a := range p.Aims {
		for _, part := range a.Parts {
			counts[part.Criterion] = true
		}
	}
	for i := range p.Criteria {
		c := &p.Criteria[i]
		if !counts[i] {
			continue
		}
		if own := b.Worths[c.Key]; own != nil {
			c.Worth = own
			continue
		}
		if c.Better == 0 {
			continue
		}
		m, _ := MeasureOf(c.Key)
		var values []float64
		size := 0.0
		for _, a := range stand {
			v := p.Alternatives[a].Values[i]
			values = append(values, v)
			size = math.Max(size, math.Abs(v))
		}
		least := m.Least
		if least == 0 {
			least = size / 10
		}
		if m.FromZero && c.Better < 0 {
			c.Worth = choice.Linear(math.Max(size, least), 0)
			continue
		}
		if m.Most > 0 && c.Better > 0 {
			c.Worth = choice.Linear(math.Min(slices.Min(values), m.Most-least), m.Most)
			continue
		}
		c.Worth = choice.Between(values, c.Better, least)
	}
}
