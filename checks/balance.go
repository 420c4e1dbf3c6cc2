package checks

import (
	"fmt"
	"math"
	"math/cmplx"

	"crankwright/mechanics/layout"
)

// engine is a worked example: cylinders in line or round one pin with their own masses.
type engine struct {
	rpm, r, l float64 // l: rod length [unit of r]
	masses    []float64
	ideal
}

// train returns the engine with its own crank and masses.
func (e engine) train() *layout.Train {
	t := e.ideal.train()
	for i := range t.Throws {
		t.Throws[i].Radius = e.r
	}
	for i := range t.Cylinders {
		t.Cylinders[i].Rod.Length = e.l
		t.Cylinders[i].Piston.Mass = e.masses[min(i, len(e.masses)-1)]
	}
	return t
}

// largest returns the largest resultant of one order of our force or moment at the engine's speed.
// The second order is taken as m r ω² λ, the first term of the series, as textbooks do.
func (e engine) largest(n int, moment bool) (float64, error) {
	w, a, err := e.order(e.train(), n, moment)
	return cmplx.Abs(w) + cmplx.Abs(a), err
}

// order returns the counter-turning parts of one order of our force or moment of a train at the engine's speed, the second
// order as largest takes it.
func (e engine) order(t *layout.Train, n int, moment bool) (with, against complex128, err error) {
	if with, against, err = orderOf(t, n, moment); err != nil {
		return 0, 0, err
	}
	f := math.Pow(e.rpm*math.Pi/30, 2)
	if n == 2 {
		λ := e.r / e.l
		f *= λ / seriesA(2, λ)
	}
	return with * complex(f, 0), against * complex(f, 0), nil
}

// rotating returns the engine with a mass that turns with its first throw, at the radius of the throw.
func (e engine) rotating(mass float64) *layout.Train {
	t := e.train()
	t.Throws[0].Unbalance = mass * e.r
	return t
}

// slug is the mass in pounds that one pound of force accelerates by one foot per second squared, as the sources round it.
const slug = 32.2

// The engines of worked examples to which both the forces that are left and the counterweights that are found are held.

// bev145 is that of BEV 14.5, in slugs and feet.
func bev145() engine {
	return engine{rpm: 300, r: 7.5 / 12, l: 100, masses: []float64{150 / slug}, ideal: inline(0)}
}

// bev1412 is that of BEV 14.12, in slugs and feet.
func bev1412() engine {
	return engine{rpm: 1500, r: 2.5 / 12, l: 9.0 / 12, masses: []float64{4 / slug}, ideal: radial(3)}
}

// sar121 is that of SAR 12.1, in kilograms and metres.
func sar121() engine {
	return engine{rpm: 250, r: 0.09, l: 10, masses: []float64{120}, ideal: inline(0)}
}

const firstTerm = "the source takes r/l for A2; ours is multiplied by that ratio"

// workedBalance lists the worked examples of balancing.
func (l *list) workedBalance() {
	add := func(id, source, place string, seen Seen, what, unit, printed string, want float64, ours func() (float64, error)) *Check {
		kind := Published
		if seen == Recomputed {
			kind = ClosedForm
		}
		l.add(Check{
			ID: "balance/" + id, Chapter: "inertia", Kind: kind, Source: source, Place: place, Seen: seen, What: what,
			Unit: unit, Printed: printed, Want: want, Ours: ours,
		})
		return &l.checks[len(l.checks)-1]
	}
	// BEV 14.5: rotating and reciprocating mass, half of the latter balanced
	b5 := bev145()
	withRotating := func() *layout.Train { return b5.rotating(180 / slug) }
	p5 := "ex. 14.5, p. 500"
	add("BEV-14.5/mass", "BEV", p5, Read, "counterweight at 6 in that leaves no force turning with the crank", "lb", "318.8 lb", 318.8,
		func() (float64, error) {
			w, _, err := b5.order(withRotating(), 1, false)
			return cmplx.Abs(w) / math.Pow(b5.rpm*math.Pi/30, 2) * slug / 0.5, err
		})
	c := add("BEV-14.5/left", "BEV", p5, Read, "force left, turning against the crank", "lbf", "1436 lb", 1436,
		func() (float64, error) {
			t := withRotating()
			t.Counterweights = []layout.Unbalance{{Angle: angle(180), Amount: 318.75 / slug * 0.5}}
			w, a, err := b5.order(t, 1, false)
			return cmplx.Abs(w) + cmplx.Abs(a), err
		})
	c.Tol, c.TolWhy = 1, "the source cuts the decimals off"

	b12 := bev1412()
	p12 := "ex. 14.12, p. 517"
	add("BEV-14.12/mass", "BEV", p12, Read, "counterweight at 3.5 in that takes the first order of a three-cylinder radial", "lb", "4.29 lb", 4.29,
		func() (float64, error) {
			v, err := b12.largest(1, false)
			return v / math.Pow(b12.rpm*math.Pi/30, 2) * slug / (3.5 / 12), err
		})
	add("BEV-14.12/second", "BEV", p12, Read, "second-order resultant of a three-cylinder radial", "lbf", "266 lb", 266,
		func() (float64, error) { return b12.largest(2, false) }).Note = firstTerm

	s1 := sar121()
	p1 := "ex. 12.1, p. 310"
	counterweight := 90 * 0.15
	add("SAR-12.1/mass", "SAR", p1, Read, "counterweight at 0.15 m for the rotating mass and 2/3 of the reciprocating one", "kg", "90 kg", 90,
		func() (float64, error) {
			w, a, err := s1.order(s1.rotating(70), 1, false) // forward: rotating + ½ reciprocating; against: ½ reciprocating
			ω := s1.rpm * math.Pi / 30
			return (cmplx.Abs(w) + (2.0/3-0.5)*2*cmplx.Abs(a)) / (ω * ω) / 0.15, err
		})
	c = add("SAR-12.1/left", "SAR", p1, Read, "first-order force left at 30 deg", "N", "3264 N", 3264,
		func() (float64, error) {
			t := s1.rotating(70)
			t.Counterweights = []layout.Unbalance{{Angle: angle(180), Amount: counterweight}}
			b, err := solve(t)
			if err != nil {
				return 0, err
			}
			return forceAt(b, 1, 30) * math.Pow(s1.rpm*math.Pi/30, 2), nil
		})
	c.Note = "the companion takes π = 3.141; the book's digits come with the true π"

	six := engine{rpm: 1000, r: 0.05, l: 0.2, masses: []float64{1}, ideal: inline(0, 120, 240, 240, 120, 0)}
	for _, q := range []struct {
		name   string
		n      int
		moment bool
	}{{"primary-force", 1, false}, {"secondary-force", 2, false}, {"primary-moment", 1, true}, {"secondary-moment", 2, true}} {
		c = add("RAO-9.48/"+q.name, "RAO", "problem of Fig. 9.48, inputs read", Memory, "six cylinders in line: "+q.name, "N", "0", 0,
			func() (float64, error) { return six.largest(q.n, q.moment) })
		c.Tol = 1e-9
	}

	v90 := engine{rpm: 500, r: 0.075, l: 0.3, masses: []float64{11.5}, ideal: vee(90, 0, 0)}
	c = add("KG-22/vee-90", "KGBALANCE", "ch. 22, 90° vee, 11.5 kg, r 75 mm, l 300 mm, 500 rpm", Memory, "largest second-order force", "N", "836 N", 836,
		func() (float64, error) { return v90.largest(2, false) })
	c.Note = firstTerm
	c = add("KG-22/vee-90-exact", "KGBALANCE", "√2 m r ω² λ", Recomputed, "largest second-order force", "N", "836.01", 836.01,
		func() (float64, error) { return v90.largest(2, false) })
	c.Note = firstTerm

	l.locomotive()
	l.fourCranks()
}

// locomotive lists the two-cylinder locomotive of SAR 12.7, cranks at a right angle.
func (l *list) locomotive() {
	ω := 90 / 3.6 / 0.85
	share := 40e3 / (ω * ω) / 69.625
	e := engine{rpm: ω * 30 / math.Pi, r: 0.3, l: 100, masses: []float64{300}, ideal: inline(0, 90)}
	const spacing = 0.7
	component := func(moment bool) (float64, error) {
		t := e.train()
		for _, th := range t.Throws {
			t.Counterweights = append(t.Counterweights, layout.Unbalance{At: th.At, Angle: th.Angle + angle(180), Amount: share * 300 * 0.3})
		}
		b, err := solve(t)
		if err != nil {
			return 0, err
		}
		if moment { // of the forces along the cylinders: about y
			return cmplx.Abs(b.Moment.Y(nil).Order(2)) * ω * ω * spacing, nil
		}
		return cmplx.Abs(b.Force.Z(nil).Order(2)) * ω * ω, nil
	}
	base := Check{
		Chapter: "inertia", Kind: Published, Source: "SAR", Place: "ex. 12.7, p. 318", Seen: Read,
		Note: "the share of the reciprocating mass that is balanced, 40 kN/(69.625 ω²), as the source finds it from its diagram",
	}
	c := base
	c.ID, c.What, c.Unit, c.Printed, c.Want = "balance/SAR-12.7/tractive", "variation of tractive force √2 (1−c) m r ω²", "kN", "36.98 kN", 36.98
	c.Ours = func() (float64, error) { v, err := component(false); return v / 1e3, err }
	l.add(c)
	c = base
	c.ID, c.What, c.Unit, c.Printed, c.Want = "balance/SAR-12.7/swaying", "swaying couple a (1−c) m r ω²/√2", "N m", "12943 N m", 12943
	c.Ours = func() (float64, error) { return component(true) }
	l.add(c)
}

// fourCranks lists the engine of four unequal cranks whose inner masses balance the outer ones.
func (l *list) fourCranks() {
	x := []float64{0, 0.450, 1.200, 1.800}
	e := engine{
		rpm: 240, r: 0.3, l: 1.2, masses: []float64{400, 846.64, 865.33, 400},
		ideal: ideal{pins: []float64{0, 160.893, 313.898, 120}, axes: make([]float64, 4), x: x},
	}
	outer := engine{
		rpm: e.rpm, r: e.r, l: e.l, masses: []float64{400},
		ideal: ideal{pins: []float64{0, 120}, axes: make([]float64, 2), x: []float64{0, 1.8}},
	}
	needed := func(at, about float64) (complex128, error) { // mass × direction that balances the couple about a plane
		t := outer.train()
		t.Reference = about
		w, _, err := outer.order(t, 1, true)
		ω := e.rpm * math.Pi / 30
		// i (x − about) ½ m r ω² i e^{iψ} must cancel w
		return w / complex((at-about)*0.5*e.r*ω*ω, 0), err
	}
	for i, c := range []struct{ mass, direction, book, bookDirection string }{
		{"846.64", "160.893", "847 kg", "161 deg"}, {"865.33", "313.898", "865 kg", "314 deg"},
	} {
		at, about := x[i+1], x[2-i]
		base := Check{Chapter: "inertia", Source: "KGBALANCE", Place: "four cranks, outer ones 120° apart; spacings 450, 750, 600 mm"}
		for _, q := range []struct {
			name, printed, unit string
			kind                Kind
			seen                Seen
			of                  func(complex128) float64
		}{
			{"mass", c.mass, "kg", ClosedForm, Recomputed, cmplx.Abs},
			{"direction", c.direction, "deg", ClosedForm, Recomputed, degrees},
			{"mass-book", c.book, "kg", Published, Memory, cmplx.Abs},
			{"direction-book", c.bookDirection, "deg", Published, Memory, degrees},
		} {
			k := base
			k.ID, k.What = fmt.Sprintf("balance/four-cranks/inner-%d-%s", i+1, q.name), "inner mass that balances the first order: "+q.name
			k.Kind, k.Seen, k.Unit, k.Printed, k.Want = q.kind, q.seen, q.unit, q.printed, number(q.printed)
			if q.seen == Memory {
				k.Note = "from memory, shaky; see the recomputed value"
			}
			k.Ours = func() (float64, error) {
				m, err := needed(at, about)
				return q.of(m), err
			}
			l.add(k)
		}
	}
	l.add(Check{
		ID: "balance/four-cranks/second", Chapter: "inertia", Kind: ClosedForm, Source: "KGBALANCE", Seen: Recomputed,
		Place: "four cranks, outer ones 120° apart", What: "largest second-order force", Unit: "kN", Printed: "91.147", Want: 91.147,
		Note: firstTerm,
		Ours: func() (float64, error) { v, err := e.largest(2, false); return v / 1e3, err },
	})
	for _, q := range []struct {
		name   string
		moment bool
	}{{"force", false}, {"moment", true}} {
		l.add(Check{
			ID: "balance/four-cranks/primary-" + q.name, Chapter: "inertia", Kind: ClosedForm, Source: "KGBALANCE", Seen: Recomputed,
			Place: "four cranks, outer ones 120° apart", What: "first-order " + q.name + " left, over m r ω² of an outer crank", Unit: "1",
			Printed: "0", Tol: 5e-5, Note: "the inner masses and directions with the digits above",
			Ours: func() (float64, error) {
				v, err := e.largest(1, q.moment)
				ω := e.rpm * math.Pi / 30
				return v / (400 * e.r * ω * ω), err
			},
		})
	}
}

// degrees returns the direction of a phasor [deg], from 0 up to below 360.
func degrees(c complex128) float64 {
	return math.Mod(cmplx.Phase(c)*180/math.Pi+360, 360)
}

// vTwins lists the closed form of the vee twin on one pin.
func (l *list) vTwins() {
	for _, bank := range []float64{45, 52, 60, 75, 90, 120, 180} {
		for _, n := range []int{1, 2} {
			for _, θ := range []float64{0, 30, 60, 90} {
				a, t := bank/2*math.Pi/180, float64(n)*θ*math.Pi/180
				y, z := math.Pow(math.Sin(a), 2)*math.Sin(t), math.Pow(math.Cos(a), 2)*math.Cos(t)
				if n == 2 {
					y, z = math.Sin(a)*math.Sin(2*a)*math.Sin(t), math.Cos(a)*math.Cos(2*a)*math.Cos(t)
				}
				want := 2 * math.Hypot(y, z)
				formula := "2 F1 √((cos²A cos θ)² + (sin²A sin θ)²)"
				if n == 2 {
					formula = "2 F2 √((cos A cos 2A cos 2θ)² + (sin A sin 2A sin 2θ)²)"
				}
				l.add(Check{
					ID: fmt.Sprintf("v-twin/%g/order-%d/%g", bank, n, θ), Chapter: "inertia", Kind: ClosedForm, Source: "KGBALANCE", Seen: Recomputed,
					Place: "two-cylinder vee on one pin, half bank angle A: " + formula,
					What:  fmt.Sprintf("order %d of a %g° vee twin, crank %g° from the middle of the vee", n, bank, θ), Unit: fmt.Sprintf("F%d", n),
					Printed: fmt.Sprintf("%.6f", want), Want: want, Tol: 1e-12,
					Ours: func() (float64, error) {
						b, err := solve(vee(bank, 0, 0).train())
						if err != nil {
							return 0, err
						}
						return forceAt(b, n, θ) / (idealRadius * seriesA(n, idealRatio)), nil
					},
				})
			}
		}
	}
}
