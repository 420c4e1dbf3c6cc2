package checks

import (
	"fmt"
	"math"
	"math/cmplx"
	"strings"

	"crankwright/mechanics/balance"
)

// balancingShop lists what bobweights and balance quality grades are held to.
func (l *list) balancingShop() {
	l.grades()
	for _, row := range layouts() {
		l.bobweights(row)
	}
	for _, v := range []float64{30, 45, 60, 72, 120, 180} {
		want := math.Abs(math.Cos(v * math.Pi / 180))
		l.add(Check{
			ID: fmt.Sprintf("bobweight/v-twin/%g", v), Chapter: "balance", Kind: ClosedForm, Source: "IDENTITY", Seen: Recomputed,
			Place: "cylinders on one pin, bank angle V: |cos V|", Printed: fmt.Sprintf("%.6f", want), Want: want, Tol: 1e-9,
			What: fmt.Sprintf("first order left by 50 %% bobweights on a %g° vee twin, over what they take", v), Unit: "1",
			Ours: func() (float64, error) {
				c, err := cardOf(vee(v, 0, 0), 0.5)
				if err != nil {
					return 0, err
				}
				return cmplx.Abs(c.Left.Against) / cmplx.Abs(c.Sliding.With), nil
			},
		})
	}
}

// grades lists what the balance quality grades permit.
func (l *list) grades() {
	for _, g := range []struct {
		grade        string
		rpm, mass    float64
		eccentricity string // as the formula gives it [µm]
		unbalance    string // [g mm]
	}{
		{"G16", 3000, 20, "50.93 um", "1018.6 g mm"},
		{"G6.3", 1500, 150, "40.11 um", "6016.1 g mm"},
		{"G40", 3000, 20, "", "2546.5 g mm"},
		{"G2.5", 3600, 100, "", "663.1 g mm"},
	} {
		ours := func() (balance.Permissible, error) {
			grade, err := balance.GradeNamed(g.grade)
			if err != nil {
				return balance.Permissible{}, err
			}
			return balance.PermissibleUnbalance(grade, g.mass, g.rpm*math.Pi/30)
		}
		base := Check{
			Chapter: "balance", Kind: ClosedForm, Source: "ISO21940", Seen: Recomputed,
			Place: "definition of the grade, e ω = G; formula from memory, value recomputed",
		}
		if g.eccentricity != "" {
			c := base
			c.ID, c.Unit, c.Printed, c.Want = "grade/"+g.grade+"/eccentricity", "µm", g.eccentricity, number(g.eccentricity)
			c.What = fmt.Sprintf("permissible eccentricity at %g rpm", g.rpm)
			c.Ours = func() (float64, error) { p, err := ours(); return 1e6 * p.Eccentricity, err }
			l.add(c)
		}
		c := base
		c.ID, c.Unit, c.Printed, c.Want = "grade/"+g.grade+"/unbalance", "g mm", g.unbalance, number(g.unbalance)
		c.What = fmt.Sprintf("permissible unbalance of %g kg at %g rpm", g.mass, g.rpm)
		c.Ours = func() (float64, error) { p, err := ours(); return 1e6 * p.Unbalance, err }
		l.add(c)
	}
	l.add(Check{
		ID: "grade/split/limit", Chapter: "balance", Kind: Published, Source: "ISO21940", Seen: Read,
		Place: "limits of the allocation to two planes, read at second hand", What: "largest share of one plane, centre of gravity almost in it",
		Printed: "0.7", Want: 0.7, Tol: 1e-12,
		Ours: func() (float64, error) { a, _, _, err := balance.SplitUnbalance(1, 0.001, 0.4); return a, err },
	})
}

// cardOf returns the bobweight card of a layout with sliding masses of 1 kg.
func cardOf(e ideal, k float64) (*balance.Card, error) {
	return balance.BobweightCard(e.train(), []balance.Part{
		{Name: "big end", Mass: 0.5, Count: 1, Kind: balance.Rotating},
		{Name: "piston", Mass: 1, Count: 1, Kind: balance.Reciprocating},
	}, k)
}

// bobweights holds the card of a layout against the table of free forces: 50 % takes all that turns with
// the crank, 100 % leaves as much of it as no bobweights for the sliding masses would, and no factor
// changes what turns against the crank.
func (l *list) bobweights(row layoutRow) {
	left := func(k float64, moment, against bool) func() (float64, error) {
		return func() (float64, error) {
			c, err := cardOf(row.engine, k)
			if err != nil {
				return 0, err
			}
			f := c.Left
			v := [2][2]complex128{{f.With, f.Against}, {f.MomentWith, f.MomentAgainst}}[index(moment)][index(against)]
			return cmplx.Abs(v) / idealRadius, nil
		}
	}
	for _, cell := range []struct {
		name, text string
		moment     bool
	}{{"force", row.f1, false}, {"moment", row.m1, true}} {
		unit := "F1"
		if cell.moment {
			unit = "F1 a"
		}
		base := Check{Chapter: "balance", Kind: ClosedForm, Seen: Recomputed, Unit: unit}
		c := base
		c.ID, c.Source, c.Place = "bobweight/"+row.id+"/"+cell.name+"-half", "IDENTITY", "forward first order of docs/notation.md"
		c.What = "first-order " + cell.name + " turning with the crank, left by bobweights with 50 %"
		c.Printed, c.Tol = "0", 1e-9
		c.Ours = left(0.5, cell.moment, false)
		l.add(c)
		parts := strings.Fields(cell.text)
		if len(parts) < 3 {
			continue
		}
		for i, name := range []string{"with", "against"} {
			c := base
			c.ID, c.Source, c.Place = "bobweight/"+row.id+"/"+cell.name+"-all-"+name, "BOSCH", "table of free forces and moments by layout; recomputed as a vector sum"
			c.What = "first-order " + cell.name + " turning " + name + " the crank, left by bobweights with 100 %"
			c.Printed, c.Want, c.Tol = parts[1+i], number(parts[1+i]), 5e-5
			c.TolWhy = "vectors of exact size are printed without decimals"
			c.Ours = left(1, cell.moment, i == 1)
			l.add(c)
		}
	}
}

// index is 1 for true.
func index(yes bool) int {
	if yes {
		return 1
	}
	return 0
}
