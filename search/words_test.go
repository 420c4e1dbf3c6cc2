package search

import (
	"testing"

	"crankwright/spec"
	"crankwright/study"
)

// What is said of a kept candidate is what its engine file sets.
func TestInputsAreTheSettingsOfTheFile(t *testing.T) {
	p := joined(t, &spec.Study{
		Name: "a", Base: "vee-four-65.engine.yaml", Aims: less("free_force_order_2", "free_moment_order_1"),
		Vary: []spec.Variation{
			{Key: "layout.bank_angle", Values: []string{"60 deg", "90 deg"}},
			{Key: "layout.pins", All: true},
			{Key: "layout.firing_order", All: true},
			{Key: "layout.pin_split", Values: []string{"30 deg", "0 deg"}},
		},
	})
	kept, _ := all(t, p)
	for i := range kept.Len() {
		q := study.Point{Index: kept.Index[i], Values: kept.Row(i)}
		c, err := p.Candidate(q.Index)
		if err != nil {
			t.Fatal(err)
		}
		said := p.Inputs(q)
		if len(said) != 4 {
			t.Fatalf("candidate %d: %v", q.Index, said)
		}
		bare := p.Inputs(study.Point{Index: q.Index}) // without values
		for k, s := range said {
			found := false
			for _, f := range c.Settings {
				found = found || f == s
			}
			if !found || bare[k] != s {
				t.Fatalf("candidate %d: %v is not among %v, or not %v", q.Index, s, c.Settings, bare[k])
			}
		}
	}
	if p.Inputs(study.Point{Index: 1 << 40}) != nil {
		t.Error("a candidate that is none has inputs")
	}
}
