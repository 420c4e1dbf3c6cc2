package yardsticks

import (
	"fmt"
	"math"
	"math/cmplx"
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

// Numbers that a rival gives of an engine.
const (
	curves  = 6 * angles // force, moment, torque, roll moment at every crank angle
	anOrder = 2 * 6      // force and moment, each with and against the crank, torque and roll moment: two parts of each
)

// engines are contests about two inline fours: from the engine's numbers to shaking force, shaking moment, inertia torque and
// roll moment at every crank angle. Where the kind of cylinder is new, nothing that was found before can serve again; where it
// is known, as in a search or a comparison, everybody may keep what depends on the cylinder alone. Ours finds every order on
// the way to the curves. Who gives the curves alone does less, so where the kind is known there is a second contest between
// those who give the orders too; they take part in the first one as well, in which only their curves are looked at. Simbody's
// model is ready in both that it takes part in.
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
		one := []layout.Train{e.Train}
		fresh, _ := engine(e, title+"; new kind of cylinder", variants(e.Train))
		known, _ := engine(e, title+"; kind known", one)
		full, v := engine(e, title+"; kind known, with every order", one)
		full.apart, full.cut = v.allApart, curves
		if f.c != nil {
			p := f.c(name)
			fresh.add("C", p, "plain", "tables")
			known.add("C", p, "kept", "orders")
			full.add("C", p, "orders")
		}
		if f.python != nil {
			p := f.python("engine", name)
			fresh.add("NumPy", p, "plain", "tables")
			known.add("NumPy", p, "kept", "orders")
			full.add("NumPy", p, "orders")
		}
		if f.simbody != nil {
			p := f.simbody(name)
			fresh.add("Simbody", p, "cycle")
			known.add("Simbody", p, "cycle")
		}
		list = append(list, fresh, known, full)
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

// evaluation is what we do in a contest about an engine; it takes one train after the other.
type evaluation struct {
	engine  independent.Engine
	trains  []layout.Train
	next    int
	grid    *num.Grid
	solver  inertia.Solver
	balance inertia.Balance
	curves  inertia.Curves
}

// engine is a contest about an engine, in which the curves are compared.
func engine(e independent.Engine, work string, trains []layout.Train) (*contest, *evaluation) {
	v := &evaluation{engine: e, trains: trains, grid: num.NewGrid(angles)}
	return &contest{work: work, ours: v.run, apart: v.curvesApart}, v
}

// run evaluates n times.
func (v *evaluation) run(n int) error {
	for range n {
		if err := v.solver.Evaluate(&v.balance, &v.curves, &v.trains[v.next], inertia.Options{}, v.grid, v.engine.Speed); err != nil {
			return err
		}
		v.next = (v.next + 1) % len(v.trains)
	}
	return nil
}

// curvesApart compares the curves. Orders may stand behind them.
func (v *evaluation) curvesApart(theirs []float64) (float64, error) {
	if len(theirs) < curves {
		return 0, fmt.Errorf("%d numbers for six curves of %d", len(theirs), angles)
	}
	if err := v.run(1); err != nil {
		return 0, err
	}
	curve := func(k int) []float64 { return theirs[k*angles : (k+1)*angles] }
	return worst(independent.Compare(&v.curves, &inertia.Curves{
		ForceY: curve(0), ForceZ: curve(1), MomentY: curve(2), MomentZ: curve(3), Torque: curve(4), Roll: curve(5),
	}, v.engine.Gross())), nil
}

// allApart compares the curves and every order, each quantity against the largest of its orders.
func (v *evaluation) allApart(theirs []float64) (float64, error) {
	apart, err := v.curvesApart(theirs)
	if err != nil {
		return 0, err
	}
	theirs = theirs[curves:]
	b, gross, square := &v.balance, v.engine.Gross(), v.engine.Speed*v.engine.Speed
	quantities := []independent.Deviation{
		{Quantity: "force", Unit: "kg m", Gross: gross.Force / square},
		{Quantity: "moment", Unit: "kg m²", Gross: gross.Moment / square},
		{Quantity: "torque", Unit: "kg m²", Gross: gross.Torque / square},
		{Quantity: "roll", Unit: "kg m²", Gross: gross.Torque / square},
	}
	of := [...]int{0, 0, 1, 1, 2, 3}
	for k := 1; k < max(len(b.Torque), 2*len(theirs)/anOrder+1); k++ {
		var ours [6]complex128
		ours[0], ours[1] = b.Force.Order(k)
		ours[2], ours[3] = b.Moment.Order(k)
		ours[4], ours[5] = b.Torque.Order(k), b.Roll.Order(k)
		at := (k/2 - 1) * anOrder // theirs are whole orders
		given := k%2 == 0 && at+anOrder <= len(theirs)
		if !given && ours != [6]complex128{} {
			return 0, fmt.Errorf("order %g is missing", float64(k)/2)
		}
		for i := 0; given && i < len(ours); i++ {
			other, d := complex(theirs[at+2*i], theirs[at+2*i+1]), &quantities[of[i]]
			d.Most, d.Peak = math.Max(d.Most, cmplx.Abs(other-ours[i])), math.Max(d.Peak, cmplx.Abs(other))
		}
	}
	return math.Max(apart, worst(quantities)), nil
}

// worst returns the largest relative deviation [1].
func worst(all []independent.Deviation) float64 {
	most := 0.0
	for _, d := range all {
		most = math.Max(most, d.Relative())
	}
	return most
}
