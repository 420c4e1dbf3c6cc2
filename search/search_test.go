package search

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"crankwright/brief"
	"crankwright/spec"
	"crankwright/study"
)

// joined opens a study of an example.
func joined(t testing.TB, s *spec.Study) *Problem {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "examples", s.Base))
	if err != nil {
		t.Fatal(err)
	}
	p, err := join(s, study.Bundle{Study: "a.study.yaml", Files: map[string][]byte{"a.study.yaml": nil, s.Base: data}})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// steps lists values in steps.
func steps(from, to, step float64, unit string) []string {
	var out []string
	for v := from; v <= to+1e-9; v += step {
		out = append(out, fmt.Sprintf("%g %s", v, unit))
	}
	return out
}

func less(keys ...string) []spec.StudyAim {
	var out []spec.StudyAim
	for _, k := range keys {
		m, _ := brief.MeasureOf(k)
		out = append(out, spec.StudyAim{Measure: k, More: m.Better > 0})
	}
	return out
}

// all evaluates a whole problem.
func all(t testing.TB, p *Problem) (*study.Batch, []study.Count) {
	t.Helper()
	size, err := p.Space().Size()
	if err != nil {
		t.Fatal(err)
	}
	kept, left := study.NewBatch(len(p.Columns())), make([]study.Count, len(p.Rules()))
	if err := p.Evaluator().Evaluate(study.Shard{To: size}, kept, left, func() bool { return false }); err != nil {
		t.Fatal(err)
	}
	sum := uint64(kept.Len())
	for _, c := range left {
		sum += c.N
	}
	if sum != size {
		t.Errorf("%d candidates, %d kept or left out", size, sum)
	}
	return kept, left
}

func vees() *spec.Study {
	return &spec.Study{
		Name: "Vees", Base: "vee-four-90-offset-180.engine.yaml",
		Vary: []spec.Variation{
			{Key: "layout.bank_angle", Values: steps(40, 180, 5, "deg")},
			{Key: "layout.pins", All: true, Step: 45 * math.Pi / 180},
			{Key: "layout.firing_order", All: true},
		},
		Aims: less("free_force_order_1", "free_force_order_2", "free_moment_order_1", "free_moment_order_2", "firing_evenness"),
	}
}

func TestVees(t *testing.T) {
	p := joined(t, vees())
	s := p.Size()
	for _, b := range s.Blocks {
		t.Logf("%+v", b)
		for _, a := range b.Axes {
			t.Logf("%+v %+v", a, a.Phasings)
		}
	}
	kept, left := all(t, p)
	t.Log(kept.Len(), left)
}
