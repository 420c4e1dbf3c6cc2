package yardsticks

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"crankwright/checks/independent"
	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// angles is the number of crank angles over two revolutions [1].
const angles = 720

// engines are contests about two inline fours: from the engine's numbers to shaking force, shaking moment, inertia torque and
// roll moment at every crank angle. Where the kind of cylinder is new, nothing that was found before can serve again; where it
// is known, as in a search or a comparison, everybody may keep what depends on the cylinder alone. Simbody's model is ready
// in both.
func engines(t *testing.T, f field) []*contest {
	t.Helper()
	var list []*contest
	for _, e := range independent.Engines()[:2] {
		text := string(independent.Describe(e))
		per := fmt.Sprintf("\nsample %d 1\n", independent.SamplesPerTurn)
		if strings.Count(text, per) != 1 {
			t.Fatalf("%s: the input has no line%s", e.Stem, per)
		}
		name := input(t, []byte(strings.Replace(text, per, fmt.Sprintf("\nsample %d 2\n", angles), 1)))

		title := map[string]string{"inline-four-flat": "inline four, flat crank", "inline-four-cross": "inline four, cross-plane crank, one piston heavier"}[e.Stem]
		fresh, known := engine(e, title+"; new kind of cylinder", variants(e.Train)), engine(e, title+"; kind known", []layout.Train{e.Train})
		if f.c != nil {
			p := f.c(name)
			fresh.add("C", p, "plain", "tables")
			known.add("C", p, "kept")
		}
		if f.python != nil {
			p := f.python("engine", name)
			fresh.add("NumPy", p, "plain", "tables")
			known.add("NumPy", p, "kept")
		}
		if f.simbody != nil {
			p := f.simbody(name)
			fresh.add("Simbody", p, "cycle")
			known.add("Simbody", p, "cycle")
		}
		list = append(list, fresh, known)
	}
	return list
}

// variants are trains whose rods differ by less than the results show, more of them than a solver remembers kinds of cylinders.
func variants(t layout.Train) []layout.Train {
	var list []layout.Train
	for i := range 64 {
		v := t
		v.Cylinders = slices.Clone(t.Cylinders)
		for c := range v.Cylinders {
			v.Cylinders[c].Rod.Length *= 1 + 1e-13*float64(i)
		}
		list = append(list, v)
	}
	return list
}

// engine is a contest about an engine; ours takes one train after the other.
func engine(e independent.Engine, work string, trains []layout.Train) *contest {
	var solver inertia.Solver
	var balance inertia.Balance
	var curves inertia.Curves
	grid := num.NewGrid(angles)
	next := 0
	ours := func(n int) error {
		for range n {
			if _, err := solver.Solve(&balance, &trains[next], inertia.Options{}); err != nil {
				return err
			}
			solver.Curves(&curves, &balance, grid, e.Speed)
			next = (next + 1) % len(trains)
		}
		return nil
	}
	return &contest{work: work, ours: ours, apart: func(theirs []float64) (float64, error) {
		if len(theirs) != 6*angles {
			return 0, fmt.Errorf("%d numbers for six curves of %d", len(theirs), angles)
		}
		if err := ours(1); err != nil {
			return 0, err
		}
		curve := func(k int) []float64 { return theirs[k*angles : (k+1)*angles] }
		worst := 0.0
		for _, d := range independent.Compare(&curves, &inertia.Curves{
			ForceY: curve(0), ForceZ: curve(1), MomentY: curve(2), MomentZ: curve(3), Torque: curve(4), Roll: curve(5),
		}, e.Gross()) {
			worst = max(worst, d.Relative())
		}
		return worst, nil
	}}
}
