package server

import (
	"math"
	"testing"

	"crankwright/report"
)

// TestMountsThatMustNotMove asks for better mounts where they stand: 0 is heard, and what is left out is as usual.
func TestMountsThatMustNotMove(t *testing.T) {
	const file = "inline-four-flat-shafts.engine.yaml"
	b := start(t, file)
	for _, c := range []struct {
		name         string
		more         map[string]any
		moves, leans bool
	}{
		{"as usual", map[string]any{}, true, true},
		{"no move", map[string]any{"move_mm": 0}, false, true},
		{"no lean", map[string]any{"lean_deg": 0}, true, false},
		{"neither", map[string]any{"move_mm": 0, "lean_deg": 0}, false, false},
	} {
		c.more["find"] = true
		var d report.MountsDoc
		b.want(200, "POST", "/api/mounts", on(file, c.more), &d)
		if d.Found == nil || len(d.Found.Mounts) != len(d.Mounts) {
			t.Fatalf("%s: %+v", c.name, d.Found)
		}
		move, lean := 0.0, 0.0
		for i, m := range d.Found.Mounts {
			for a, at := range m.AtMM {
				move = max(move, math.Abs(at-d.Mounts[i].AtMM[a]))
			}
			lean = max(lean, math.Abs(m.LeanDeg-d.Mounts[i].LeanDeg))
		}
		if move > 60+1e-6 || lean > 45+1e-6 || (move > 1e-6) != c.moves || (lean > 1e-6) != c.leans {
			t.Errorf("%s: they move by %g mm and lean by %g deg", c.name, move, lean)
		}
	}
}
