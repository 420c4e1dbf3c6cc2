package yardsticks

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"crankwright/search"
	"crankwright/study"
)

// vees is the study of four-cylinder vees that the contest is about; step is that of bank angle and pins [deg].
type vees struct{ step int }

const (
	veeBase = `name: vee four
cycle: four-stroke
bore: 86 mm
stroke: 86 mm
layout: {arrangement: vee, bank_angle: 90 deg, cylinders: 4, cylinder_spacing: 103 mm, bank_stagger: 20 mm}
rod: {length: 139 mm, mass: 0.504 kg, cg_from_big_end: 38.9 mm, inertia: 0.00179 kg m2}
piston: {mass: 0.401 kg}
crank: {throw_unbalance: 9.4 kg mm, counterweights: {balance_factor: 40 %}}
speeds: {idle: 900 rpm, rated: 5500 rpm, limit: 6000 rpm}
`
	veeStudy = `name: vees
base: base.engine.yaml
speed: 6000 rpm
vary:
  layout.bank_angle: [BANKS] deg
  layout.pins: {all: STEP deg, twins: apart}
  layout.firing_order: all
minimise: [free_force_order_1, free_force_order_2, free_moment_order_1, free_moment_order_2]
maximise: [firing_evenness]
`
	veeInput = `name vees
crank 0.043 0.0094
rod 0.139 0.504 0.0389
piston 0.401
places 2 0.103 0.02
weights 0.4
speed 6000
`
)

func (v vees) banks(between string) string {
	var list []string
	for b := 40; b <= 180; b += v.step {
		list = append(list, fmt.Sprint(b))
	}
	return strings.Join(list, between)
}

// columns of a candidate: bank angle, two pins, firing order; forces, moments, evenness.
const (
	veeKeys    = 4
	veeColumns = 9
)

// contest goes through all candidates with the fast path of package search.
func (v vees) contest(t *testing.T, f field) *contest {
	t.Helper()
	files := map[string]string{
		"s.study.yaml":     strings.NewReplacer("BANKS", v.banks(", "), "STEP", fmt.Sprint(v.step)).Replace(veeStudy),
		"base.engine.yaml": veeBase,
	}
	bundle, err := search.Gather("s.study.yaml", func(name string) ([]byte, error) {
		text, ok := files[name]
		if !ok {
			return nil, os.ErrNotExist
		}
		return []byte(text), nil
	})
	if err != nil {
		t.Fatal(err)
	}
	p, err := search.Open(bundle)
	if err != nil {
		t.Fatal(err)
	}
	size, err := p.Space().Size()
	if err != nil {
		t.Fatal(err)
	}
	if !p.Fast() || len(p.Columns()) != veeColumns {
		t.Fatalf("the study is not what the contest is about: %+v", p.Columns())
	}
	evaluator, kept, left := p.Evaluator(), study.NewBatch(veeColumns), make([]study.Count, len(p.Rules()))
	c := &contest{work: fmt.Sprintf("%d four-cylinder vees: orders 1 and 2, evenness", size), ours: func(n int) error {
		for range n {
			kept.Reset()
			if err := evaluator.Evaluate(study.Shard{To: size}, kept, left, func() bool { return false }); err != nil {
				return err
			}
		}
		return nil
	}}
	c.apart = func(theirs []float64) (float64, error) {
		if err := c.ours(1); err != nil {
			return 0, err
		}
		rows := kept.Len()
		if len(theirs) != veeColumns*rows {
			return 0, fmt.Errorf("%d numbers for %d candidates", len(theirs), rows)
		}
		var columns [][]float64
		for k := range veeColumns {
			columns = append(columns, theirs[k*rows:(k+1)*rows])
		}
		a, b := sortedRows(kept.Values, veeKeys), sortedRows(columns, veeKeys)
		worst := 0.0
		for k := range a {
			gap, err := groups(a[k], b[k], rows)
			if err != nil {
				return 0, fmt.Errorf("%s: %w", p.Columns()[k].Key, err)
			}
			worst = max(worst, gap)
		}
		return worst, nil
	}
	if f.python != nil {
		text := fmt.Sprintf("%sbanks %s\nstep %d\n", veeInput, v.banks(" "), v.step)
		c.add("NumPy", f.python("study", input(t, []byte(text))), "arrays")
	}
	return c
}
