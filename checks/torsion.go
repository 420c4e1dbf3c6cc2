package checks

import (
	"fmt"
	"math"
	"math/cmplx"

	"crankwright/mechanics/torsion"
	"crankwright/num"
)

// row is a row of discs on springs.
func row(inertias, stiffnesses []float64) *torsion.Model {
	m := &torsion.Model{}
	for i, j := range inertias {
		m.Discs = append(m.Discs, torsion.Disc{Inertia: j})
		if i > 0 {
			m.Spans = append(m.Spans, torsion.Span{A: i - 1, B: i, Stiffness: stiffnesses[i-1]})
		}
	}
	return m
}

// torsions lists what is published of natural modes, throws and dampers, and the closed forms of a uniform row.
func (l *list) torsions() {
	l.threeDiscs()
	l.steppedShaft()
	l.uniformRow()
	l.throwStiffness()
	l.dampers()
	l.firingVectors()
}

// torsion adds what a source prints of torsion.
func (l *list) torsion(id, source, place string, seen Seen, what, unit, printed string, want float64, ours func() (float64, error)) {
	l.add(Check{ID: "torsion/" + id, Chapter: "torsion", Kind: Published, Source: source, Place: place, Seen: seen, What: what, Unit: unit, Printed: printed, Want: want, Ours: ours})
}

// frequencyOf returns a natural frequency of a row [rad/s].
func frequencyOf(m *torsion.Model, mode int) func() (float64, error) {
	return func() (float64, error) {
		all, err := torsion.Modes(m)
		if err != nil {
			return 0, err
		}
		return all[mode].Frequency, nil
	}
}

// threeDiscs are the modes of three discs and their Holzer tables.
func (l *list) threeDiscs() {
	thomson := row([]float64{5, 11, 22}, []float64{0.1e6, 0.2e6})
	for _, c := range []struct {
		mode    int
		printed string
		want    float64
	}{{1, "123.666", 123.666}, {2, "202.658", 202.658}} {
		l.torsion(fmt.Sprintf("thomson/mode-%d", c.mode), "THOMSON", "figure of the natural modes, from memory", Memory, fmt.Sprintf("natural frequency %d of three discs", c.mode), "rad/s", c.printed, c.want, frequencyOf(thomson, c.mode))
	}
	for _, c := range []struct {
		ω, want float64
		row     int
		printed string
		twist   bool
	}{
		{20, 0.980, 1, "0.980", true},
		{20, 0.9484, 2, "0.9484", true},
		{20, 6.312e3, 1, "6312", false},
		{20, 14658.27, 2, "14658.27", false},
		{40, 0.920, 1, "0.920", true},
		{40, 0.799, 2, "0.799", true},
		{40, 52318.2, 2, "52318.2", false},
	} {
		what, unit := "twist", "1"
		if !c.twist {
			what, unit = "torque", "N m"
		}
		l.torsion(fmt.Sprintf("thomson/holzer-%g-%s-%d", c.ω, what, c.row+1), "THOMSON", "Table 12.4-1, p. 389", Read,
			fmt.Sprintf("%s of disc %d at %g rad/s in the Holzer table", what, c.row+1, c.ω), unit, c.printed, c.want, func() (float64, error) {
				rows, err := torsion.Holzer(thomson, c.ω)
				if err != nil {
					return 0, err
				}
				if c.twist {
					return rows[c.row].Twist, nil
				}
				return rows[c.row].Sum, nil
			})
	}
}

// steppedShaft is the frequency of two rotors on a shaft of five pieces.
func (l *list) steppedShaft() {
	l.add(Check{
		ID: "torsion/bevan-15.8", Chapter: "torsion", Kind: Published, Source: "BEV", Place: "ex. 15.8, p. 570", Seen: Read,
		What: "frequency of two rotors on a stepped shaft", Unit: "Hz", Printed: "23.8", Want: 22.25625,
		Tol: 5e-6, TolWhy: "half a unit of the last digit of the value computed anew",
		Disagrees: "the printed 23.8 Hz of the notebook drops three shaft pieces by integer division",
		Ours: func() (float64, error) {
			const inch, pound = 0.0254, 0.45359237
			psi := pound * 32.2 * 12 * inch / (inch * inch) // the book's g of 32.2 ft/s²
			var pieces []torsion.Piece
			for _, p := range [][2]float64{{11, 3}, {10, 5}, {15, 3.5}, {4, 7}, {10, 5}} {
				pieces = append(pieces, torsion.Piece{Section: torsion.Section{Outer: p[1] * inch}, Length: p[0] * inch})
			}
			k, _, err := torsion.Stiffness(12e6*psi, pieces...)
			if err != nil {
				return 0, err
			}
			foot := 12 * inch
			ω, err := frequencyOf(row([]float64{1500 * pound * foot * foot, 1000 * pound * foot * foot}, []float64{k}), 1)()
			return ω / (2 * math.Pi), err
		},
	})
}

// uniformRow are the frequencies of equal discs on equal springs.
func (l *list) uniformRow() {
	for j, want := range []float64{0, .517638, 1, 1.414214, 1.732051, 1.931852} {
		if j == 0 {
			continue
		}
		l.add(Check{
			ID: fmt.Sprintf("torsion/uniform-6/%d", j), Chapter: "torsion", Kind: ClosedForm, Source: "DEFINITION", Place: "2 sin(jπ/2n)", Seen: Recomputed,
			What: fmt.Sprintf("frequency %d of six equal discs on equal springs over √(k/J)", j), Printed: fmt.Sprintf("%.6f", want), Want: want,
			Ours: frequencyOf(row([]float64{1, 1, 1, 1, 1, 1}, []float64{1, 1, 1, 1, 1}), j),
		})
	}
}

// throwStiffness are the formulas for the stiffness of a throw.
func (l *list) throwStiffness() {
	throw := torsion.ThrowShape{Journal: torsion.Section{Outer: .056}, JournalLength: .024, Pin: torsion.Section{Outer: .05}, PinLength: .026, Radius: .043, Web: .02, WebWidth: .08}
	for _, c := range []struct {
		id, printed string
		want        float64
		of          func(torsion.ThrowStiffness) float64
	}{
		{"carter", ".582374", .582374, func(s torsion.ThrowStiffness) float64 { return s.Carter }},
		{"ker-wilson", ".552825", .552825, func(s torsion.ThrowStiffness) float64 { return s.KerWilson }},
	} {
		l.torsion("throw/"+c.id, "KERWILSON", "vol. I, equivalent length of a throw; the formula from memory", Memory, "stiffness of a sample throw, computed by hand", "MN m/rad", c.printed, c.want, func() (float64, error) {
			s, err := throw.Stiffness(80e9)
			return c.of(s) / 1e6, err
		})
	}
}

// firingVectors are the phase-vector sums of six firings that are even.
func (l *list) firingVectors() {
	even := func(k int) func() (float64, error) {
		return func() (float64, error) {
			at := make([]num.Angle, 6)
			for i := range at {
				at[i] = num.Degrees(120 * float64(i))
			}
			sums, err := torsion.VectorSums([]float64{1, 1, 1, 1, 1, 1}, at, 12)
			return cmplx.Abs(sums[k]), err
		}
	}
	for _, c := range []struct {
		k    int
		want float64
	}{{3, 0}, {6, 6}, {12, 6}} {
		l.add(Check{
			ID: fmt.Sprintf("torsion/vectors/six-order-%g", float64(c.k)/2), Chapter: "torsion", Kind: ClosedForm, Source: "DEFINITION", Place: "six firings 120° apart",
			Seen: Recomputed, What: fmt.Sprintf("phase-vector sum of order %g, stiff shaft", float64(c.k)/2), Printed: fmt.Sprint(c.want), Want: c.want, Tol: 1e-9, TolWhy: "rounding; the identity is exact", Ours: even(c.k),
		})
	}
}

// dampers lists the published optima, with the peak that a search of the forced model finds.
func (l *list) dampers() {
	const inertia, ω = 2.0, 300.0
	peak := func(d torsion.Damper, err error) (float64, error) {
		if err != nil {
			return 0, err
		}
		m, err := (&torsion.Model{Discs: []torsion.Disc{{Inertia: inertia, Ground: inertia * ω * ω}}}).With(0, d, 0)
		if err != nil {
			return 0, err
		}
		top, err := torsion.Peak(m, []complex128{inertia * ω * ω, 0}, 0, 0.3*ω, 1.7*ω)
		return top.Twist, err
	}
	for _, c := range []struct {
		ratio, zeta, peak        float64
		zetaPrinted, peakPrinted string
	}{{.2, .435194, 11, ".435194", "11.0"}, {.5, .365148, 5, ".365148", "5.0"}, {1, .288675, 3, ".288675", "3.0"}} {
		id := fmt.Sprintf("viscous-%g/", c.ratio)
		l.add(Check{
			ID: "torsion/" + id + "zeta", Chapter: "torsion", Kind: ClosedForm, Source: "DENHARTOG", Place: "ch. 3, 1/√(2(1 + μ)(2 + μ))", Seen: Recomputed,
			What: fmt.Sprintf("best damping of a viscous damper, inertia ratio %g", c.ratio), Printed: c.zetaPrinted, Want: c.zeta,
			Ours: func() (float64, error) {
				d, err := torsion.ViscousDamper(inertia, ω, c.ratio)
				return d.Zeta, err
			},
		})
		l.add(Check{
			ID: "torsion/" + id + "peak", Chapter: "torsion", Kind: ClosedForm, Source: "DENHARTOG", Place: "ch. 3, 1 + 2/μ", Seen: Recomputed,
			What: fmt.Sprintf("magnification with it, by a search of the forced model, inertia ratio %g", c.ratio), Printed: c.peakPrinted, Want: c.peak, Tol: 1e-6, TolWhy: "the search; the formula is exact",
			Ours: func() (float64, error) { return peak(torsion.ViscousDamper(inertia, ω, c.ratio)) },
		})
	}
	for _, c := range []struct {
		ratio, zeta, peak        float64
		zetaPrinted, peakPrinted string
	}{{.05, .127267, 6.40844, ".127267", "6.40844"}, {.1, .167852, 4.59022, ".167852", "4.59022"}, {.2, .208333, 3.32754, ".208333", "3.32754"}} {
		id := fmt.Sprintf("tuned-%g/", c.ratio)
		l.torsion(id+"zeta", "DENHARTOG", "ch. 3, damped absorber", Memory, fmt.Sprintf("best damping of a tuned damper, inertia ratio %g", c.ratio), "1", c.zetaPrinted, c.zeta, func() (float64, error) {
			d, err := torsion.TunedDamper(inertia, ω, c.ratio)
			return d.Zeta, err
		})
		l.add(Check{
			ID: "torsion/" + id + "peak", Chapter: "torsion", Kind: ClosedForm, Source: "DENHARTOG", Place: "ch. 3, searched by a program that shares nothing with ours", Seen: Recomputed,
			What: fmt.Sprintf("true magnification with it, inertia ratio %g", c.ratio), Printed: c.peakPrinted, Want: c.peak,
			Ours: func() (float64, error) { return peak(torsion.TunedDamper(inertia, ω, c.ratio)) },
		})
	}
	l.add(Check{
		ID: "torsion/viscous-1/read", Chapter: "torsion", Kind: Published, Source: "CHASSISENG", Place: "p. 289, eq. 5.47", Seen: Read,
		What: "best damping of a viscous damper, inertia ratio 1", Printed: ".288", Want: .288, Tol: 0.001, TolWhy: "the source cuts digits off",
		Ours: func() (float64, error) {
			d, err := torsion.ViscousDamper(inertia, ω, 1)
			return d.Zeta, err
		},
	})
}
