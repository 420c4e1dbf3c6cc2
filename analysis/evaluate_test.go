package analysis_test

import (
	"math"
	"math/cmplx"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"crankwright/mechanics/inertia"
	"crankwright/num"
	"crankwright/spec"
)

// Definition: the curves of every example are the sums of its orders, whichever way they are found.
func TestEvaluateExamples(t *testing.T) {
	files, err := filepath.Glob("../examples/*.engine.yaml")
	if err != nil || len(files) == 0 {
		t.Fatal(err, len(files))
	}
	const ω = 300
	var used inertia.Solver
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		train, _, err := spec.ReadEngine(file, data, spec.Options{})
		if err != nil {
			t.Fatal(err)
		}
		var s inertia.Solver
		b, err := s.Solve(nil, train, inertia.Options{})
		if err != nil {
			t.Fatal(err)
		}
		var force, moment, torque, roll float64 // if nothing cancelled
		for k := 1; k < len(b.Torque); k++ {
			parts, err := s.Contributions(train, k, inertia.Options{})
			if err != nil {
				t.Fatal(err)
			}
			for _, p := range parts {
				p = p.Scaled(ω * ω)
				f := cmplx.Abs(p.With) + cmplx.Abs(p.Against)
				force, moment = force+f, moment+f*math.Abs(p.At-train.Reference)
				torque, roll = torque+cmplx.Abs(p.Torque), roll+cmplx.Abs(p.Roll)
			}
		}
		grid := num.NewGrid(720)
		for grid.Len() < len(b.Torque) {
			grid = num.NewGrid(2 * grid.Len())
		}
		want := s.Curves(nil, b, grid, ω)
		var got inertia.Curves
		var again inertia.Balance
		if err := used.Evaluate(&again, &got, train, inertia.Options{}, grid, ω); err != nil {
			t.Fatal(err)
		}
		for _, c := range []struct {
			name         string
			ours, theirs []float64
			gross        float64
		}{
			{"force y", got.ForceY, want.ForceY, force},
			{"force z", got.ForceZ, want.ForceZ, force},
			{"moment y", got.MomentY, want.MomentY, moment},
			{"moment z", got.MomentZ, want.MomentZ, moment},
			{"torque", got.Torque, want.Torque, torque},
			{"roll", got.Roll, want.Roll, roll},
		} {
			rests := !slices.ContainsFunc(c.theirs, func(v float64) bool { return v != 0 })
			for j, v := range c.theirs {
				if gap := math.Abs(c.ours[j] - v); rests && gap != 0 || gap > 1e-13*c.gross {
					t.Fatalf("%s, %s: %g at %d, by orders %g, of %g", file, c.name, c.ours[j], j, v, c.gross)
				}
			}
		}
	}
}
