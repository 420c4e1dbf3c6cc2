package search

import (
	"errors"
	"fmt"
	"math"

	"crankwright/analysis"
	"crankwright/brief"
	"crankwright/mechanics/firing"
	"crankwright/mechanics/layout"
)

// whole returns the engine of the candidate with its firing order.
func (e *evaluator) whole() (*layout.Train, error) {
	b := e.p.blocks[e.block]
	t, err := b.build(e.digits, e.steps)
	if err != nil {
		return nil, err
	}
	if b.orders >= 0 && b.axes[b.orders].kind == allOrders {
		t.FiringOrder = e.firings.order(nil, e.mask)
	}
	return t, nil
}

// further analyses the candidate, chapter by chapter, as long as it keeps what is required.
func (e *evaluator) further() (rule int, err error) {
	t, err := e.whole()
	if err != nil {
		return cannotBe, nil
	}
	r, err := analysis.RunLike(t, analysis.Options{Speed: e.p.Study.Speed, Scope: e.p.scope, Prices: e.p.prices}, e.like)
	if impossible := (*firing.ImpossibleOrder)(nil); errors.As(err, &impossible) {
		return cannotFire, nil
	}
	if err != nil {
		return cannotBe, nil
	}
	defer func() { e.like = r }()
	if err := e.compare(r); err != nil {
		return 0, err
	}
	if rule := e.take(r, brief.Always); rule >= 0 {
		return rule, nil
	}
	for _, c := range e.p.chapters() {
		r = r.Extend(c.With(analysis.Options{Scope: e.p.scope}), e.like)
		if rule := e.take(r, c); rule >= 0 {
			return rule, nil
		}
	}
	return -1, nil
}

// take reads the figures of a chapter, and judges them.
func (e *evaluator) take(r *analysis.Result, c brief.Chapter) int {
	var values brief.Values
	of := func(f *figure) bool {
		return f.fast < 0 && (f.Needs == c || f.Needs == brief.Mounted && c == brief.Lasting)
	}
	for i := range e.p.figures {
		f := &e.p.figures[i]
		if !of(f) {
			continue
		}
		if values == nil {
			values = brief.ValuesOf(r)
		}
		v, ok := values[f.Key]
		if !ok || math.IsNaN(v) {
			return notKnown
		}
		e.figures[i] = e.p.settled(f, v)
	}
	for k, l := range e.p.limits {
		if of(&e.p.figures[l.figure]) && !keeps(l, e.figures[l.figure]) {
			return firstLimit + k
		}
	}
	return -1
}

// check holds the fast path against the whole analysis.
func (e *evaluator) check() error {
	t, err := e.whole()
	if err != nil {
		return fmt.Errorf("the fast path has figures of it, but the engine cannot be built: %w", err)
	}
	r, err := analysis.Run(t, analysis.Options{Speed: e.p.Study.Speed, Scope: e.p.scope, Prices: e.p.prices})
	if err != nil {
		return fmt.Errorf("the fast path has figures of it, but it cannot be analysed: %w", err)
	}
	return e.compare(r)
}

// compare holds the figures of the fast path against a result.
func (e *evaluator) compare(r *analysis.Result) error {
	if len(e.inertia)+len(e.timing) == 0 {
		return nil
	}
	values := brief.ValuesOf(r)
	hold := func(f fastFigure, most, step float64) error {
		m := &e.p.figures[f.figure]
		if got, want := e.figures[f.figure], values[m.Key]; !(math.Abs(got-want) <= agreement*most+step) {
			return fmt.Errorf("%s is %g %s by the fast path and %g %s by the whole analysis", m.Key, got, m.Unit, want, m.Unit)
		}
		return nil
	}
	for _, f := range e.inertia {
		n := kindOf(f.fast)
		if err := hold(f, e.kernel.spreads[f.order][n], 1/e.p.grains[f.order][n]); err != nil {
			return err
		}
	}
	for _, f := range e.timing {
		if err := hold(f, 1, 0); err != nil {
			return err
		}
	}
	return nil
}

// agreement is how far fast path and analysis may be apart, as a share of what a figure would be if nothing cancelled.
const agreement = 1e-9
