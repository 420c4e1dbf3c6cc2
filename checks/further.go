package checks

import (
	"errors"
	"fmt"
	"math"
	"math/cmplx"

	"crankwright/mechanics/firing"
	"crankwright/mechanics/layout"
)

// furtherBalance lists further worked examples of balancing that were found and read.
func (l *list) furtherBalance() {
	l.threeBanksOfFour()
	l.sarFours()
	l.crossFour()
	l.radialThrees()
	l.offsetTwins()
	l.twoStrokeSix()
}

// ofInertia adds a check of the chapter inertia.
func (l *list) ofInertia(c Check) {
	c.Chapter = "inertia"
	l.add(c)
}

// threeBanksOfFour lists a broad-arrow twelve, BEV 14.13.
func (l *list) threeBanksOfFour() {
	w12 := engine{rpm: 2000, r: 3.0 / 12, l: 11.0 / 12, masses: []float64{6 / slug}, ideal: threeBanks(0, 180, 180, 0)}
	for i, q := range []struct {
		name, printed string
		want          float64
		sign          float64
	}{{"largest", "3343 lb", 3343, 1}, {"smallest", "1114 lb", 1114, -1}} {
		l.ofInertia(Check{
			ID: "further/BEV-14.13/" + q.name, Kind: Published, Source: "BEV", Seen: Read,
			Place: "ex. 14.13, p. 519: three banks of four, 6 lb, r 3 in, l 11 in, 2000 rpm; 6 and 2 times the force of one cylinder",
			What:  q.name + " second-order force", Unit: "lbf", Printed: q.printed, Want: q.want, Tol: 1,
			TolWhy: "the source cuts the decimals off", Note: firstTerm,
			Ours: func() (float64, error) {
				w, a, err := w12.order(w12.train(), 2, false)
				return cmplx.Abs(w) + q.sign*cmplx.Abs(a), err
			},
		})
		factor := []float64{6, 2}[i]
		want := factor * 6 / slug * math.Pow(2000*math.Pi/30, 2) * 0.25 * 3 / 11
		l.ofInertia(Check{
			ID: "further/BEV-14.13/" + q.name + "-exact", Kind: ClosedForm, Source: "BEV", Seen: Recomputed, Place: "the same, with all digits",
			What: q.name + " second-order force", Unit: "lbf", Printed: fmt.Sprintf("%.2f", want), Want: want, Tol: 1e-8, Note: firstTerm,
			Ours: func() (float64, error) {
				w, a, err := w12.order(w12.train(), 2, false)
				return cmplx.Abs(w) + q.sign*cmplx.Abs(a), err
			},
		})
	}
}

// sarFours lists the fours of SAR 12.4, 12.5 and 12.8.
func (l *list) sarFours() {
	// SAR 12.4: four cranks at right angles, neighbours opposite; outer 3 m, inner 1.2 m apart
	s4 := engine{
		rpm: 90, r: 0.45, l: 100, masses: []float64{900},
		ideal: ideal{pins: []float64{0, 180, 90, 270}, axes: make([]float64, 4), x: []float64{-1.5, -0.6, 0.6, 1.5}},
	}
	l.ofInertia(Check{
		ID: "further/SAR-12.4/couple", Kind: Published, Source: "SARSCI", Seen: Read,
		Place: "ill. 12.4, p. 314: 0.9 m r ω² √2, 900 kg, r 0.45 m, 90 rpm",
		What:  "largest first-order couple", Unit: "kN m", Printed: "0.9·m·r·ω²·√2", Want: 0.9 * 900 * 0.45 * 9 * math.Pi * math.Pi * math.Sqrt2 / 1000, Tol: 1e-9,
		TolWhy: "the formula is evaluated with all digits",
		Note:   "the text read has the lever 0.9 m and not the places of the cranks; outer cranks 3 m and inner ones 1.2 m apart, neighbours opposite, give it",
		Ours:   func() (float64, error) { v, err := s4.largest(1, true); return v / 1e3, err },
	})
	l.ofInertia(Check{
		ID: "further/SAR-12.4/force", Kind: ClosedForm, Source: "SARSCI", Seen: Recomputed, Place: "ill. 12.4: cranks at right angles",
		What: "first-order force", Unit: "N", Printed: "0", Tol: 1e-9, Ours: func() (float64, error) { return s4.largest(1, false) },
	})

	// SAR 12.5: outer cranks 45° either side, inner ones opposite, so that the first order balances
	half := 45.0
	inner := 78.69
	s5 := engine{
		rpm: 450, r: 0.05, l: 0.2, masses: []float64{160, 576.88, 576.88, 160},
		ideal: ideal{pins: []float64{half, 180 + inner, 180 - inner, -half}, axes: make([]float64, 4), x: []float64{-2.5, -0.5, 0.5, 2.5}},
	}
	l.ofInertia(Check{
		ID: "further/SAR-12.5/second", Kind: Published, Source: "SARSCI", Seen: Read,
		Place: "ill. 12.5, p. 315: 2 m r ω² cos(2·78.69°)/n, inner 576.88 kg, outer 160 kg, r 50 mm, l 200 mm, 450 rpm",
		What:  "largest second-order force", Unit: "N", Printed: "2·m·r·ω²·cos(2·78.69°)/n",
		Want: 2 * 576.88 * 0.05 * math.Pow(15*math.Pi, 2) * math.Abs(math.Cos(2*inner*math.Pi/180)) / 4, Tol: 1e-8,
		TolWhy: "the formula is evaluated with all digits",
		Note:   "outer cranks a right angle apart, whose second orders cancel; that they balance the first order is the next check; " + firstTerm,
		Ours:   func() (float64, error) { return s5.largest(2, false) },
	})
	for _, q := range []struct {
		name   string
		moment bool
	}{{"force", false}, {"moment", true}} {
		l.ofInertia(Check{
			ID: "further/SAR-12.5/primary-" + q.name, Kind: ClosedForm, Source: "SARSCI", Seen: Recomputed, Place: "ill. 12.5: the inner cranks balance the outer ones",
			What: "first-order " + q.name + " left, over that of one inner crank", Printed: "0", Tol: 5e-5,
			Note: "the angle of the source has two decimals; lever of the outer cranks five times that of the inner ones",
			Ours: func() (float64, error) {
				v, err := s5.largest(1, q.moment)
				return v / (576.88 * 0.05 * math.Pow(15*math.Pi, 2)), err
			},
		})
	}

	s8 := engine{
		rpm: 1800, r: 0.06, l: 0.24, masses: []float64{1.5},
		ideal: ideal{pins: []float64{0, 180, 90, 270}, axes: make([]float64, 4), x: []float64{-0.225, -0.075, 0.075, 0.225}},
	}
	l.ofInertia(Check{
		ID: "further/SAR-12.8/primary", Kind: Published, Source: "SARSCI", Seen: Read, Place: "ill. 12.8, p. 320: 1.5 kg, r 60 mm, l 240 mm",
		What: "largest first-order couple over ω²", Unit: "kg m²", Printed: "0.019", Want: 0.019,
		Note: "the spacing of 150 mm is not in the text read; it follows from the second-order couple 0.054 ω²/n, so that only the first is a test",
		Ours: func() (float64, error) { v, err := s8.largest(1, true); return v / math.Pow(60*math.Pi, 2), err },
	})
}

// crossFour lists a four with cranks at right angles.
func (l *list) crossFour() {
	four := engine{
		rpm: 2000, r: 0.05, l: 0.2, masses: []float64{2},
		ideal: ideal{pins: []float64{0, 180, 270, 90}, axes: make([]float64, 4), x: []float64{-0.3, -0.1, 0.1, 0.3}},
	}
	f := 2 * 0.05 * math.Pow(2000*math.Pi/30, 2)
	for _, q := range []struct {
		name   string
		n      int
		moment bool
		want   float64
		unit   string
		form   string
	}{
		{"primary-force", 1, false, 0, "N", "0"},
		{"secondary-force", 2, false, 0, "N", "0"},
		{"primary-couple", 1, true, 0.2 * math.Sqrt2 * f, "N m", "√2 a m r ω²"},
		{"secondary-couple", 2, true, 4 * 0.2 * f / 4, "N m", "4 a m r ω² r/l"},
	} {
		l.ofInertia(Check{
			ID: "further/HOLOOLY-4/" + q.name, Kind: ClosedForm, Source: "HOLOOLY", Seen: Recomputed,
			Place: "four in line, cranks at 90° in the order 1-4-2-3, 2 kg, r 50 mm, l 200 mm, spacing 0.2 m, 2000 rpm: inputs read, result by hand",
			What:  q.name, Unit: q.unit, Printed: q.form, Want: q.want, Tol: 1e-8, TolWhy: "rounding; the closed form is evaluated with all digits", Note: firstTerm,
			Ours: func() (float64, error) { return four.largest(q.n, q.moment) },
		})
	}
}

// radialThrees lists two three-cylinder radials, one of which its page gets wrong.
func (l *list) radialThrees() {
	for _, c := range []struct {
		id, source, place string
		e                 engine
		printed           string
		disagrees         string
	}{
		{
			"HOLOOLY-3", "HOLOOLY", "three-cylinder radial, stroke 120 mm, l 240 mm, 1 kg, 2400 rpm: inputs read, result by hand",
			engine{rpm: 2400, r: 0.06, l: 0.24, masses: []float64{1}, ideal: radial(3)},
			"1.5 m r ω²", "",
		},
		{
			"FILO-3", "FILO", "three-cylinder radial, stroke 125 mm, l 225 mm, 2 kg, 1200 rpm",
			engine{rpm: 1200, r: 0.0625, l: 0.225, masses: []float64{2}, ideal: radial(3)},
			"0",
			"the page adds the forces as if they acted along one line and finds none; along their own axes they leave 1.5 times the force of one cylinder",
		},
	} {
		unit := c.e.masses[0] * c.e.r * math.Pow(c.e.rpm*math.Pi/30, 2)
		for i, name := range []string{"primary", "secondary"} {
			kind, seen := ClosedForm, Recomputed
			if c.disagrees != "" {
				kind, seen = Published, Read
			}
			want := 1.5 * unit
			if i == 1 {
				want *= c.e.r / c.e.l
			}
			l.ofInertia(Check{
				ID: "further/" + c.id + "/" + name, Kind: kind, Source: c.source, Seen: seen, Place: c.place, What: name + " force", Unit: "N",
				Printed: c.printed, Want: want, Tol: 1e-8, TolWhy: "rounding; the closed form is evaluated with all digits", Disagrees: c.disagrees, Note: firstTerm,
				Ours: func() (float64, error) { return c.e.largest(i+1, false) },
			})
		}
	}
}

// offsetTwins lists vee twins with pins set apart by 180° less twice the bank angle.
func (l *list) offsetTwins() {
	for _, bank := range []float64{42, 45, 52, 60, 75} {
		offset := 180 - 2*bank
		e := vee(bank, offset, offset/2)
		for i, q := range []struct {
			name string
			want float64
		}{{"with", math.Sin(bank * math.Pi / 180)}, {"against", 0}} {
			l.ofInertia(Check{
				ID: fmt.Sprintf("further/offset-twin-%g/%s", bank, q.name), Kind: ClosedForm, Source: "DEFINITION", Seen: Recomputed,
				Place: "½ (e^{i(2β1−ψ1)} + e^{i(2β2−ψ2)}) = cos(V − δ/2) = 0 for δ = 2V − 180°, forward part cos(δ/2) = sin V",
				What:  fmt.Sprintf("first-order force of a %g° vee twin with pins %g° apart, part turning %s the crank", bank, offset, q.name), Unit: "F1",
				Printed: fmt.Sprintf("%.4f", q.want), Want: q.want, Tol: 1e-12,
				Ours: func() (float64, error) { v, err := e.ellipse(1, false); return v[i+1], err },
			})
		}
	}
}

// twoStrokeSix lists the two-stroke six of the slow ship's engine.
func (l *list) twoStrokeSix() {
	six := inline(0, 120, 240, 180, 300, 60)
	for _, q := range []struct {
		name, printed string
		n             int
		moment        bool
		want          float64
	}{
		{"M1", "0", 1, true, 0}, {"M2", "2√3 F2 a", 2, true, 2 * math.Sqrt(3)}, {"F1", "0", 1, false, 0}, {"F2", "0", 2, false, 0},
	} {
		l.ofInertia(Check{
			ID: "further/two-stroke-6/" + q.name, Kind: ClosedForm, Source: "WINGD", Seen: Recomputed,
			Place: "six-cylinder two-stroke, order 1-5-3-4-2-6; the manual warns of its second-order moment and calls forces and first-order moment balanced",
			What:  "largest " + q.name, Unit: q.name[:1] + "/(m r ω² A)", Printed: q.printed, Want: q.want, Tol: 1e-11, TolWhy: "rounding; the closed form is evaluated with all digits",
			Ours: func() (float64, error) { v, err := six.ellipse(q.n, q.moment); return v[0], err },
		})
	}
}

// furtherMotion lists further worked examples of motion and inertia force.
func (l *list) furtherMotion() {
	s6 := slider{r: 0.1, l: 0.4, angle: 60}.turning(52.4)
	l.add(Check{
		ID: "further/KG-15.6/force", Chapter: "motion", Kind: Published, Source: "KG", Place: "ex. 15.6, p. 532, analytical", Seen: Read,
		What: "inertia force of 180 kg", Unit: "kN", Printed: "18.53 kN", Want: 18.53, Note: leftOut,
		Ours: func() (float64, error) { a, err := s6.acceleration(true); return 180 * a / 1e3, err },
	})
	s21 := slider{r: 0.055, l: 0.25, rpm: 1200, angle: 40}
	l.add(Check{
		ID: "further/KG-15.21/acceleration", Chapter: "motion", Kind: Published, Source: "KG", Place: "ex. 15.21, p. 558", Seen: Read,
		What: "piston acceleration", Unit: "m/s²", Printed: "698.5 m/s²", Want: 698.5, Note: leftOut,
		Ours: func() (float64, error) { return s21.acceleration(true) },
	})
	l.add(Check{
		ID: "further/KG-15.21/rod", Chapter: "motion", Kind: Published, Source: "KG", Place: "ex. 15.21, p. 558", Seen: Read,
		What: "angular acceleration of the rod", Unit: "rad/s²", Printed: "2233.1 rad/s²", Want: 2233.1,
		Note: "the source takes ω² sin φ/n; ours is divided by the exact (1−λ²)/cos³ of the obliquity",
		Ours: func() (float64, error) {
			cos, _, _, a, err := s21.rod()
			λ := s21.r / s21.l
			return a * cos * cos * cos / (1 - λ*λ), err
		},
	})
	l.drawings()
	// KG 15.20: inertia torque of piston and rigid rod, horizontal engine
	s20 := slider{r: 0.3, l: 1.5, angle: 30}.turning(13.1)
	bar := layout.Rod{Mass: 250, CG: 0.5, Inertia: 250 * 0.65 * 0.65, Length: 1.5}
	l.add(Check{
		ID: "further/KG-15.20/torque", Chapter: "inertia", Kind: Published, Source: "KG", Place: "ex. 15.20, p. 555", Seen: Read,
		What: "torque of piston and rod with the rod's weight", Unit: "N m", Printed: "3840.0 N m", Want: 3840, Tol: 10,
		TolWhy: "the source rounds its result to tens and keeps two terms of the series; our torque is that of the rigid rod with exact motion",
		Note:   "torque of the rod's weight, m g l1 cos φ/n, by statics",
		Ours: func() (float64, error) {
			t, err := s20.crankTorque(300, bar, false)
			return t + 250*9.81*1/5*math.Cos(math.Pi/6), err
		},
	})
	s19 := slider{r: 0.125, l: 0.5, rpm: 600, angle: 45}
	l.add(Check{
		ID: "further/KG-15.19/rod-force", Chapter: "inertia", Kind: Published, Source: "KG", Place: "ex. 15.19, p. 554", Seen: Read,
		What: "inertia force of a rod of 60 kg, centre of gravity 275 mm from the piston pin", Unit: "kN", Printed: "24.4 kN", Want: 24.4, Tol: 0.5,
		TolWhy: "read off a drawing: 2 mm in 103 mm; the piston acceleration of the same drawing is off by as much",
		Ours: func() (float64, error) {
			b, err := solve(single(s19, 0, layout.Rod{Mass: 60, CG: 0.225, Inertia: 60 * 0.15 * 0.15}))
			if err != nil {
				return 0, err
			}
			return cmplx.Abs(b.Force.At(angle(45))) * math.Pow(s19.omega(), 2) / 1e3, nil
		},
	})
}

// drawings lists lengths that KG reads off Klein's construction, velocities over ω and
// accelerations over ω².
func (l *list) drawings() {
	s := slider{r: 150, l: 600, rpm: 450, angle: 60}
	point := func(share float64, velocity bool) func() (float64, error) {
		return func() (float64, error) { // a rod of unit mass, centre of gravity at the point
			k, err := s.linkage().At(angle(s.angle))
			if err != nil {
				return 0, err
			}
			if velocity {
				return cmplx.Abs(k.Pin.Vel + complex(share, 0)*(k.Piston.Vel-k.Pin.Vel)), nil
			}
			b, err := solve(single(s, 0, layout.Rod{Mass: 1, CG: share * s.l}))
			if err != nil {
				return 0, err
			}
			return cmplx.Abs(b.Force.At(angle(s.angle))), nil
		}
	}
	for _, c := range []struct {
		id, what, printed string
		ours              func() (float64, error)
	}{
		{"OM", "piston velocity over ω", "145 mm", func() (float64, error) { v, err := s.velocity(false); return v / s.omega(), err }},
		{"NO", "piston acceleration over ω²", "56 mm", func() (float64, error) { a, err := s.acceleration(false); return a / math.Pow(s.omega(), 2), err }},
		{"CM", "rod speed × rod length over ω", "78 mm", func() (float64, error) { _, _, v, _, err := s.rod(); return v * s.l / s.omega(), err }},
		{"QN", "rod angular acceleration × rod length over ω²", "130 mm", func() (float64, error) {
			_, _, _, a, err := s.rod()
			return a * s.l / math.Pow(s.omega(), 2), err
		}},
		{"OD1", "velocity over ω of the point 150 mm from the crankpin", "145 mm", point(0.25, true)},
		{"OD2", "acceleration over ω² of the point 150 mm from the crankpin", "120 mm", point(0.25, false)},
	} {
		l.add(Check{
			ID: "further/KG-15.2/" + c.id, Chapter: "motion", Kind: Published, Source: "KG", Place: "ex. 15.2, p. 522", Seen: Read,
			What: c.what, Unit: "mm", Printed: c.printed, Want: number(c.printed), Tol: 2,
			TolWhy: "read off a drawing that is up to 2 mm from the source's own analytical solution (ex. 15.5)",
			Note:   "the crank angle of 60° is that of ex. 15.5, which solves the same engine", Ours: c.ours,
		})
	}
}

// furtherFiring lists further published facts of firing.
func (l *list) furtherFiring() {
	intervals := func(id, source, place, printed string, e ideal, want string) {
		l.add(Check{
			ID: "further/firing/" + id, Chapter: "firing", Kind: Published, Source: source, Place: place, Seen: Read,
			What: "largest departure of the most even firing intervals from " + want, Unit: "deg", Printed: printed, Tol: 1e-6,
			TolWhy: "rounding; the intervals are exact",
			Ours: func() (float64, error) {
				s, err := firing.ForTrain(e.train())
				if err != nil {
					return 0, err
				}
				return departure(s, want), nil
			},
		})
	}
	intervals("cross-4", "QUATRE", "page on the cross-plane four", "90-180-270-180", inline(0, 90, 270, 180), "90-180-270-180")
	intervals("v4-90", "QUATRE", "the same rhythm as a 90° vee four with pins at 180°", "90-180-270-180", vee(90, 0, 0, 180), "90-180-270-180")
	intervals("v2-45", "KIDSNET", "page on the vee twin, 45° on one pin", "315 and 405", vee(45, 0, 0), "315-405")
	intervals("twin-270", "CRANK270", "page on the 270° twin", "270 degrees before the other", inline(0, 270), "270-450")
	intervals("v12-60", "V12ZONE", "even firing at 60° without split pins", "every 60 degrees", vee(60, 0, 0, 120, 240, 240, 120, 0), "60")
	intervals("v12-180", "V12ZONE", "even firing at 180° without split pins", "every 60 degrees", vee(180, 0, 0, 120, 240, 240, 120, 0), "60")
	intervals("inline-5", "NERDYCAR", "pins at 144, 216, 288 and 72 deg after the first", "144 degrees", inline(0, -144, -216, -288, -72), "144")

	order := func(id, source, place, order string, e ideal, want string) {
		l.add(Check{
			ID: "further/firing/" + id, Chapter: "firing", Kind: Published, Source: source, Place: place, Seen: Read,
			What: "order " + order + ": largest departure of its intervals from " + want + "°", Unit: "deg", Printed: "order " + order, Tol: 1e-6,
			TolWhy: "rounding; the intervals are exact",
			Ours: func() (float64, error) {
				s, err := fire(e, order)
				if err != nil {
					return 0, err
				}
				return departure(s, want), nil
			},
		})
	}
	order("inline-5-order", "NERDYCAR", "the same page", "1-2-4-5-3", inline(0, -144, -216, -288, -72), "144")
	order("v6-90-odd", "DIKI", "quoted sentence on the 90° vee six: alternately at 90 and 150", "1-2-5-6-3-4", vee(90, 0, 0, 240, 120), "90-150")
	order("v6-90-even", "BUICK38", "left bank 1-3-5, right bank 2-4-6, pins set apart by 30°, equal intervals of 120°", "1-6-5-4-3-2", vee(-90, -30, 0, 240, 120), "120")
	order("v6-90-even-pins-shared", "BUICK38", "the same order without the 30° between the pins", "1-6-5-4-3-2", vee(-90, 0, 0, 240, 120), "150-90")
	cross := []float64{0, 90, 270, 180}
	order("v8-along-crank", "FORDFE", "three orders said to be one sequence numbered differently", "1-8-4-3-6-5-7-2", vee(-90, 0, cross...), "90")
	order("v8-by-bank", "FORDFE", "the same", "1-5-4-2-6-3-7-8", vee(90, 0, cross...).bankFirst(), "90")
	order("v8-by-bank-turned", "FORDFE", "the same", "1-3-7-2-6-5-4-8", vee(90, 0, cross...).bankFirst(), "90")
	order("radial-7", "LIQUISEARCH", "page on firing orders", "1-3-5-7-2-4-6", radial(7), "102.857142857")
	order("inline-4", "DENTON", "p. 107, a power stroke every 180°", "1-3-4-2", inline(0, 180, 180, 0), "180")
	order("inline-6", "DENTON", "p. 107, pins at 120°, pairs 1 and 6, 2 and 5, 3 and 4", "1-5-3-6-2-4", inline(0, 240, 120, 120, 240, 0), "120")

	l.add(Check{
		ID: "further/firing/inline-4-count", Chapter: "firing", Kind: Published, Source: "DENTON", Place: "p. 107: two possible firing orders", Seen: Read,
		What: "even orders of the flat-crank four", Printed: "2", Want: 2,
		Ours: func() (float64, error) { return evenOrders(inline(0, 180, 180, 0)) },
	})
	longest := func(id, source, place, printed, why string, e ideal, want float64) {
		l.add(Check{
			ID: "further/firing/" + id, Chapter: "firing", Kind: Published, Source: source, Place: place, Seen: Read,
			What: "longest interval of the most even order", Unit: "deg", Printed: printed, Want: want, Tol: 1e-6,
			TolWhy: "rounding; the interval is exact", Disagrees: why,
			Ours: func() (float64, error) {
				s, err := firing.ForTrain(e.train())
				if err != nil {
					return 0, err
				}
				m, err := firing.Measure(e.train(), s)
				return m.Longest.Deg(), err
			},
		})
	}
	mirror := []float64{0, 120, 240, 240, 120, 0}
	longest("v6-90-mail", "DMCNEWS", "mail on the 90° vee six on shared pins: 120 and 60 degrees in turn", "120 and 60 degrees",
		"the two cylinders of a pin fire 90° apart, so that the intervals are 90° and 150°", vee(90, 0, 0, 240, 120), 150)
	longest("v12-45", "SIMPLEV12", "a V12 at 45° is said to fire evenly", "45°, even",
		"on shared pins the banks fire 45° and 75° apart in turn; even firing needs 60° (or 180°)", vee(45, 0, mirror...), 75)
	longest("v12-120", "SIMPLEV12", "a V12 at 120° is said to fire evenly", "120°, even",
		"on shared pins every top dead centre of one bank is one of the other, so that pairs fire together every 120°", vee(120, 0, mirror...), 120)
	l.add(Check{
		ID: "further/firing/inline-6-claim", Chapter: "firing", Kind: Published, Source: "AUTOSPT", Place: "other possible orders of a straight six", Seen: Read,
		What: "whether the crank of a straight six refuses the order 1-4-2-5-3-6 (1: yes)", Printed: "1-4-2-5-3-6, balanced", Want: 1, Tol: 0.5,
		TolWhy:    "yes or no",
		Disagrees: "on the crank of a straight six cylinders 2 and 5 share a top dead centre, so that 5 cannot follow 2; it is an order of a vee six",
		Ours: func() (float64, error) {
			_, err := fire(inline(0, 120, 240, 240, 120, 0), "1-4-2-5-3-6")
			if refused := (*firing.ImpossibleOrder)(nil); errors.As(err, &refused) {
				return 1, nil
			}
			return 0, err
		},
	})
}
