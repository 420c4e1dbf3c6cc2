package analysis_test

import (
	"slices"
	"strings"
	"testing"

	"crankwright/analysis"
	"crankwright/mechanics/layout"
	"crankwright/spec"
)

// TestStrictLeavesOut: each chapter that rests on what the file leaves out is missing with the reason, and no other.
func TestStrictLeavesOut(t *testing.T) {
	all := analysis.Options{Drive: true, Lasting: true, Space: true, Parts: true, Strict: true}
	train := exampleTrain(t, "inline-four-flat")
	r, err := analysis.Run(train, all)
	if err != nil {
		t.Fatal(err)
	}
	if r.Drive != nil || r.Space != nil || r.Parts != nil || r.Mounts != nil || r.Lasting.Bearings != nil {
		t.Error("results stand on assumed values")
	}
	for _, why := range []string{r.NoDrive, r.NoSpace, r.NoParts, r.NoMounts, r.Lasting.NoBearings, r.Lasting.NoTorsion, r.Lasting.NoStrength} {
		if !strings.HasPrefix(why, "strict reading estimates nothing, and the file does not give ") {
			t.Errorf("the reason is %q", why)
		}
	}
	on, err := analysis.OnUsualMounts(train)
	if err != nil {
		t.Fatal(err)
	}
	full, _, err := spec.ReadEngine("full", spec.WriteResolved(on, nil), spec.Options{Strict: true})
	if err != nil {
		t.Fatal(err)
	}
	if left := analysis.Lacking(full, analysis.Chapters()...); len(left) > 0 {
		t.Fatalf("a resolved file lacks %v", left)
	}
	if r, err = analysis.Run(full, all); err != nil {
		t.Fatal(err)
	}
	if r.Drive == nil || r.Drive.Flywheel == nil || r.Space == nil || r.Parts == nil || r.Parts.Cost == nil || r.Mounts == nil || r.Lasting.Strength == nil {
		t.Error("a result is missing although the file gives all that it rests on")
	}
	free, err := analysis.Run(train, analysis.Options{Drive: true, Lasting: true})
	if err != nil {
		t.Fatal(err)
	}
	within(t, "force at idle on the mounts of the resolved file", r.Mounts.Idle.Total, free.Mounts.Idle.Total, 1e-6*free.Mounts.Idle.Total)
}

// TestLacking: a chapter asks for its own keys alone, and a value that was given beside the file is not asked for.
func TestLacking(t *testing.T) {
	train := exampleTrain(t, "inline-four-flat")
	has := func(key string, of ...analysis.Chapter) bool {
		return slices.ContainsFunc(analysis.Lacking(train, of...), func(e layout.Estimate) bool { return e.Key == key })
	}
	if !has("block.metal", analysis.OfSpace) || has("block.metal", analysis.OfTorque) || has("gas.imep", analysis.OfSpace) || !has("crank.inertia", analysis.OfTorque) {
		t.Error("chapters ask for the keys of others, or not for their own")
	}
	train.Speeds.Idle = 0
	if !has("speeds.idle", analysis.OfTorsion) || has("speeds.idle", analysis.OfTorque) || !has("mounts.isolators", analysis.OfMounts) {
		t.Error("what chapters fill themselves is not asked for")
	}
	before := len(train.Assumed)
	shared := train.Assumed
	analysis.Replace(train, "flywheel.diameter")
	if has("flywheel.diameter", analysis.OfFlywheel) || len(train.Assumed) != before-1 || shared[before-1].Key == "" {
		t.Error("a replaced key is still assumed, or the shared list has changed")
	}
}
