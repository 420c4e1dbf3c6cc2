package search

import (
	"errors"
	"math"
	"reflect"
	"slices"
	"testing"

	"crankwright/analysis"
	"crankwright/brief"
	"crankwright/spec"
	"crankwright/study"
)

func never() bool { return false }

// TestRefineFindsBetweenSteps: coarse steps pass over the vee of 90 deg; refining finds it.
func TestRefineFindsBetweenSteps(t *testing.T) {
	p := opened(t, `
name: a
base: vee-four-90-offset-000.engine.yaml
vary:
  layout.bank_angle: [70 deg, 85 deg, 100 deg, 115 deg]
minimise: [force_order_1_against_crank]
`)
	r, err := p.Refine(1, RefineOptions{}, never)
	if err != nil {
		t.Fatal(err)
	}
	if !r.Better || math.Abs(r.Moved[0].After-90) > 0.01 || r.After[0] > 0.01*r.Before[0] {
		t.Errorf("%+v", r)
	}
	again, err := p.Refine(1, RefineOptions{}, never)
	if err != nil || !reflect.DeepEqual(r, again) {
		t.Errorf("the second time it is %+v, %v", again, err)
	}
	told := []int{}
	if r, err = p.Refine(1, RefineOptions{Tell: func(done int) { told = append(told, done) }}, never); err != nil || len(told) != r.Evaluations || told[len(told)-1] != r.Evaluations {
		t.Errorf("told %v of %d, %v", told, r.Evaluations, err)
	}
	// measured over a front that lies close together, the same is found
	if r, err = p.Refine(1, RefineOptions{Front: []study.Point{{Values: []float64{70, 1}}, {Values: []float64{85, math.NaN()}}, {Values: []float64{85, 3}}}}, never); err != nil || !r.Better || math.Abs(r.Moved[0].After-90) > 0.01 {
		t.Errorf("%+v, %v", r, err)
	}
	if err := p.Refinable(1, ""); err != nil {
		t.Error(err)
	}
	for _, no := range []error{p.Refinable(9, ""), p.Refinable(1, "length")} {
		if no == nil {
			t.Error("it is said to be refinable")
		}
	}
	if _, err := p.Refine(9, RefineOptions{}, never); err == nil {
		t.Error("there is no candidate 9")
	}
	if _, err := p.Refine(1, RefineOptions{}, func() bool { return true }); !errors.Is(err, study.ErrStopped) {
		t.Errorf("stopped: %v", err)
	}
	if _, err := p.Refine(1, RefineOptions{Toward: "length"}, never); err == nil {
		t.Error("length is no aim of it")
	}
}

// TestRefineKeepsWhatIsRequired: of several aims one is improved, the others and the limits are kept, and the file is the engine.
func TestRefineKeepsWhatIsRequired(t *testing.T) {
	p := opened(t, `
name: a
base: vee-four-90-offset-180.engine.yaml
vary:
  layout.bank_angle: [60 deg, 80 deg, 100 deg]
  layout.pin_split: [0 deg, 20 deg]
  stroke_over_bore: [0.9, 1.1]
  rod.length: [130 mm, 150 mm]
  layout.firing_order: all
require: {length: "<= 400 mm", firing_evenness: ">= 0.8"}
minimise: [free_moment_order_1, free_force_order_2, length]
`)
	kept, _ := all(t, p)
	if kept.Len() == 0 {
		t.Fatal("nothing was kept")
	}
	better := 0
	for _, toward := range []string{"", "free_force_order_2"} {
		r, err := p.Refine(kept.Index[kept.Len()/2], RefineOptions{Toward: toward, Evaluations: 250}, never)
		if err != nil {
			t.Fatal(err)
		}
		tr, _, err := spec.ReadEngine(p.Study.Base, r.Text, spec.Options{})
		if err != nil {
			t.Fatalf("%v\n%s", err, r.Text)
		}
		res, err := analysis.Run(tr, analysis.Options{Space: true})
		if err != nil {
			t.Fatal(err)
		}
		values := brief.ValuesOf(res)
		for i, f := range p.figures {
			if math.Abs(values[f.Key]-r.After[i]) > 1e-9*max(1, math.Abs(r.After[i])) {
				t.Errorf("%s is %g, its file has %g", f.Key, r.After[i], values[f.Key])
			}
		}
		for _, l := range p.limits {
			if !keeps(l, p.settled(&p.figures[l.figure], r.After[l.figure])) {
				t.Errorf("%s is broken: %g", l.Measure, r.After[l.figure])
			}
		}
		if r.Better {
			better++
		}
		for k := range p.aims {
			i := p.aims[k].Column - (len(p.columns) - len(p.figures))
			if r.After[i] > r.Before[i]*(1+1e-6) {
				t.Errorf("%s got worse: %g to %g", p.figures[i].Key, r.Before[i], r.After[i])
			}
		}
	}
	if better == 0 {
		t.Error("nothing got better")
	}
}

// TestRefineAtALimit: a candidate that the search keeps because it is exactly at a limit can be refined, and one beyond it is told
// which limit it breaks.
func TestRefineAtALimit(t *testing.T) {
	p := opened(t, `
name: a
base: inline-six.engine.yaml
vary:
  stroke: {from: 60 mm, to: 80 mm, step: 1 mm}
speed: 6000 rpm
require: {mean_piston_speed: "<= 15 m/s", free_force_order_1: "<= 1 N"}
minimise: [length]
`)
	kept, _ := all(t, p)
	if kept.Len() != 16 {
		t.Fatalf("%d are kept, not those up to 75 mm", kept.Len())
	}
	for _, i := range kept.Index {
		if r, err := p.Refine(i, RefineOptions{Evaluations: 3}, never); err != nil {
			t.Errorf("candidate %d: %v, %v", i, r, err)
		}
	}
	const want = "candidate 16: it does not keep mean_piston_speed <= 15 m/s, which is required: it has 15.2 m/s"
	if _, err := p.Refine(16, RefineOptions{}, never); err == nil || err.Error() != want {
		t.Errorf("%v, not %s", err, want)
	}
}

// TestEvolveAgainstEnumeration compares the front of an evolutionary search with that of looking at everything.
func TestEvolveAgainstEnumeration(t *testing.T) {
	p := opened(t, `
name: a
base: vee-four-90-offset-180.engine.yaml
vary:
  layout.bank_angle: {from: 40 deg, to: 180 deg, step: 1 deg}
  layout.pins: {all: 15 deg}
  crank.counterweights: [none, {balance_factor: 30 %}, {balance_factor: 50 %}, {balance_factor: 60 %}]
minimise: [free_force_order_1, free_moment_order_1]
maximise: [firing_evenness]
`)
	kept, left := all(t, p)
	exact := study.NewOutcome(p)
	size, _ := p.Space().Size()
	exact.Add(p, study.Shard{To: size}, kept, left)
	search, err := study.NewEvolution(p.Space(), p.aims, study.EvolutionOptions{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	e := p.Evaluator()
	for search.Told() < size/5 {
		asked := search.Ask()
		some, counts := study.NewBatch(len(p.columns)), make([]study.Count, len(p.rules))
		if err := e.Pick(asked, some, counts, never); err != nil {
			t.Fatal(err)
		}
		for i, n := range some.Index { // a candidate that is picked is that of the range
			at, ok := slices.BinarySearch(kept.Index, n)
			if !ok || !slices.EqualFunc(some.Row(i), kept.Row(at), func(a, b float64) bool { return a == b || a != a && b != b }) {
				t.Fatalf("candidate %d is %v picked and %v in its range", n, some.Row(i), kept.Row(at))
			}
		}
		out := slices.DeleteFunc(asked, func(n uint64) bool { _, in := slices.BinarySearch(some.Index, n); return in })
		if err := search.Tell(some, out); err != nil {
			t.Fatal(err)
		}
	}
	front := search.Front()
	// a point of the exact front counts as met where one of the front found is no worse by more than a fiftieth of the spread
	// of any aim
	met := 0
	for _, q := range exact.Front {
		if slices.ContainsFunc(front, func(g study.Point) bool {
			for _, a := range p.aims {
				worse := g.Values[a.Column] - q.Values[a.Column]
				if a.More {
					worse = -worse
				}
				if worse > 0.02*spreadOf(exact.Front, a.Column) {
					return false
				}
			}
			return true
		}) {
			met++
		}
	}
	t.Logf("%d candidates, %d looked at: %d points, which meet %d of the %d of the exact front", size, search.Told(), len(front), met, len(exact.Front))
	if met < len(exact.Front)*9/10 {
		t.Errorf("only %d of %d points of the front are met", met, len(exact.Front))
	}
	if err := e.Pick([]uint64{0}, study.NewBatch(len(p.columns)), make([]study.Count, len(p.rules)), func() bool { return true }); !errors.Is(err, study.ErrStopped) {
		t.Errorf("stopped: %v", err)
	}
}
