package decision

import (
	"context"
	"reflect"
	"slices"
	"testing"

	"crankwright/analysis"
)

// TestWorkersShareNothingThatChanges lets several workers look at the engine as it is at the same time; the race detector
// finds what is written meanwhile.
func TestWorkersShareNothingThatChanges(t *testing.T) {
	c := candidate(t, "../examples/test-bed/single-test-engine.engine.yaml")
	opt := analysis.Options{Drive: true, Lasting: true, Space: true, Parts: true}
	s, err := newSubject(c, opt, []string{"mount_force_idle", "oil_film", "dry_mass", "friction_mep"})
	if err != nil {
		t.Fatal(err)
	}
	keys := []string{"mounts.isolators.stiffness.z", "block.head_height", "bearings.big_end.clearance", "friction.factor"}
	s.inputs = slices.DeleteFunc(s.inputs, func(in input) bool { return !slices.Contains(keys, in.key) })
	if len(s.inputs) != len(keys) {
		t.Fatalf("%d inputs", len(s.inputs))
	}
	ends := make([]End, 2*len(s.inputs))
	if err := s.compute(context.Background(), ends, DoubtOptions{Workers: 4}); err != nil {
		t.Fatal(err)
	}
	for i := range s.inputs {
		if !s.matters(ends[2*i]) || !s.matters(ends[2*i+1]) {
			t.Errorf("%s changes nothing", s.inputs[i].key)
		}
		values, err := s.with(&s.inputs[i], 1, true)
		if err != nil || !reflect.DeepEqual(values, ends[2*i+1].Figures) {
			t.Errorf("%s: %v alone, %v among others; %v", s.inputs[i].key, values, ends[2*i+1].Figures, err)
		}
	}
}
