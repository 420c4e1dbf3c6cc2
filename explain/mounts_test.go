package explain_test

import (
	"strings"
	"testing"

	"crankwright/analysis"
	"crankwright/explain"
	"crankwright/spec"
)

// TestMountsIsolateAllOrders: mounts that are soft for the order that drives the roll may stand in resonance with another.
func TestMountsIsolateAllOrders(t *testing.T) {
	train, _, err := spec.ReadEngineFile("../examples/inline-four-flat.engine.yaml", spec.Options{})
	if err != nil {
		t.Fatal(err)
	}
	d, err := analysis.NewDriver(train)
	if err != nil {
		t.Fatal(err)
	}
	r, err := d.Mounts(0)
	if err != nil {
		t.Fatal(err)
	}
	said := func() string { return strings.Join(explain.Mounts(r), "\n") }
	r.Merit.Separation = 3
	r.Idle.Passes, r.Idle.Orders = 0.3, []analysis.MountOrder{{K: 4, Total: 50, Resting: 400}}
	if !strings.Contains(said(), "the mounts isolate") {
		t.Errorf("all orders are held back: %s", said())
	}
	r.Idle.Passes, r.Idle.Orders = 1.4, append(r.Idle.Orders, analysis.MountOrder{K: 2, Total: 300, Resting: 100})
	if text := said(); strings.Contains(text, "the mounts isolate") || !strings.Contains(text, "but order 1, at ") || !strings.Contains(text, "1.4 times") {
		t.Errorf("order 1 is magnified: %s", text)
	}
}
