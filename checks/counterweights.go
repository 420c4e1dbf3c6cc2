package checks

import (
	"fmt"
	"math"
	"math/cmplx"
	"strings"

	"crankwright/mechanics/balance"
	"crankwright/mechanics/layout"
)

// counterweights lists what the best counterweights leave of the first order in every layout, and the
// worked examples of partial balance.
func (l *list) counterweights() {
	for _, row := range layouts() {
		if row.f1 == "0" && row.m1 == "0" {
			continue
		}
		l.remainders(row, false, row.f1)
		l.remainders(row, true, row.m1)
	}
	l.partialBalance()
}

// balanced returns the train with the counterweights of equal weights.
func balanced(t *layout.Train) (*layout.Train, error) {
	r, err := balance.Optimum(t, balance.EqualMeasure(), 0)
	if err != nil {
		return nil, err
	}
	t.Counterweights, err = balance.PerWeb(t, r.Unbalance)
	return t, err
}

// remainders lists the two counter-turning parts that are left of a force or moment. A cell that gives the
// largest value alone belongs to cylinders in one plane, whose parts are equal halves, or to a vector of
// constant size.
func (l *list) remainders(row layoutRow, moment bool, cell string) {
	parts := strings.Fields(cell)
	var against, note, why string
	switch {
	case len(parts) >= 3:
		against = parts[2]
	case cell == "0":
		against = "0"
	case onePlane(row.engine):
		against = fmt.Sprintf("%.5f", number(cell)/2)
		why, note = "half of a value that is printed with four decimals", "cylinders in one plane: half of the largest value that the table gives, "+cell
	default:
		return
	}
	name, what := "F1", "force"
	if moment {
		name, what = "M1", "moment"
	}
	for i, printed := range []string{"0", against} {
		part, words := "with", "with the crank, taken by the best counterweights"
		if i == 1 {
			part, words = "against", "against the crank, which no counterweight changes"
		}
		c := Check{
			ID: fmt.Sprintf("counterweights/%s/%s-%s", row.id, name, part), Chapter: "balance", Kind: ClosedForm, Source: "BOSCH", Seen: Recomputed,
			Place: "table of free forces and moments by layout; every entry recomputed as a vector sum",
			What:  fmt.Sprintf("%s of order 1 that turns %s", what, words), Unit: "F1", Printed: printed, Want: number(printed), Tol: 5e-5, Note: note,
			Ours: func() (float64, error) {
				t, err := balanced(row.engine.train())
				if err != nil {
					return 0, err
				}
				with, against, err := orderOf(t, 1, moment)
				return cmplx.Abs([2]complex128{with, against}[i]) / idealRadius, err
			},
		}
		if moment {
			c.Unit = "F1 a"
		}
		switch {
		case c.Want == 0:
			c.Tol = 1e-10 // directions of counterweights have nine decimals of a degree
		case why != "":
			c.Tol, c.TolWhy = 2.5e-5, why
		}
		l.add(c)
	}
}

// onePlane tells whether all cylinder axes lie in one plane.
func onePlane(e ideal) bool {
	for _, a := range e.axes {
		if math.Abs(math.Remainder(a-e.axes[0], 180)) > 1e-9 {
			return false
		}
	}
	return true
}

// partialBalance lists the worked examples in terms of policies.
func (l *list) partialBalance() {
	add := func(id, source, place, what, unit, printed string, ours func() (float64, error)) *Check {
		l.add(Check{
			ID: "counterweights/" + id, Chapter: "balance", Kind: Published, Source: source, Place: place, Seen: Read, What: what,
			Unit: unit, Printed: printed, Want: number(printed), Ours: ours,
		})
		return &l.checks[len(l.checks)-1]
	}
	total := func(list []layout.Unbalance, err error) (float64, error) {
		var u complex128
		for _, c := range list {
			u += complex(c.Amount, 0) * c.Angle.Unit()
		}
		return cmplx.Abs(u), err
	}
	b5 := bev145()
	withRotating := func() *layout.Train { return b5.rotating(180 / slug) }
	p5 := "ex. 14.5, p. 500"
	add("BEV-14.5/mass", "BEV", p5, "counterweight at 6 in for a balance factor of 50 %", "lb", "318.8 lb", func() (float64, error) {
		u, err := total(balance.OneFactor(withRotating(), 0.5))
		return u / 0.5 * slug, err
	})
	add("BEV-14.5/optimum", "BEV", p5, "counterweight at 6 in that the optimum of equal weights finds", "lb", "318.8 lb", func() (float64, error) {
		t, err := balanced(withRotating())
		if err != nil {
			return 0, err
		}
		u, err := total(t.Counterweights, nil)
		return u / 0.5 * slug, err
	})
	c := add("BEV-14.5/left", "BEV", p5, "force left by a balance factor of 50 %", "lbf", "1436 lb", func() (float64, error) {
		t := withRotating()
		var err error
		if t.Counterweights, err = balance.OneFactor(t, 0.5); err != nil {
			return 0, err
		}
		w, a, err := b5.order(t, 1, false)
		return cmplx.Abs(w) + cmplx.Abs(a), err
	})
	c.Tol, c.TolWhy = 1, "the source cuts the decimals off"

	b12 := bev1412()
	add("BEV-14.12/mass", "BEV", "ex. 14.12, p. 517", "counterweight at 3.5 in that the optimum of a three-cylinder radial finds", "lb", "4.29 lb", func() (float64, error) {
		t, err := balanced(b12.train())
		if err != nil {
			return 0, err
		}
		u, err := total(t.Counterweights, nil)
		return u / (3.5 / 12) * slug, err
	})

	s1 := sar121()
	twoThirds := func() (*layout.Train, error) {
		t := s1.rotating(70)
		var err error
		t.Counterweights, err = balance.OneFactor(t, 2.0/3)
		return t, err
	}
	p1 := "ex. 12.1, p. 310"
	add("SAR-12.1/mass", "SAR", p1, "counterweight at 0.15 m for a balance factor of 2/3", "kg", "90 kg", func() (float64, error) {
		t, err := twoThirds()
		if err != nil {
			return 0, err
		}
		u, err := total(t.Counterweights, nil)
		return u / 0.15, err
	})
	add("SAR-12.1/left", "SAR", p1, "first-order force left at a crank angle of 30°", "N", "3264 N", func() (float64, error) {
		t, err := twoThirds()
		if err != nil {
			return 0, err
		}
		w, a, err := s1.order(t, 1, false)
		θ := angle(30)
		return cmplx.Abs(w*θ.Unit() + a*cmplx.Conj(θ.Unit())), err
	})
}
