package checks

import (
	"fmt"
	"math"

	"crankwright/mechanics/motion"
	"crankwright/num"
)

// offset lists the checks of the crank with offset cylinder.
func (l *list) offset() {
	k := motion.Linkage{Radius: 0.045, Length: 0.145, Offset: 0.010}
	add := func(id, what, unit, printed string, ours func() (float64, error)) {
		l.add(Check{
			ID: "offset/" + id, Chapter: "motion", Kind: ClosedForm, Source: "KOEHLER", Seen: Recomputed,
			Place: "offset slider-crank; r 45 mm, l 145 mm, e 10 mm", What: what, Unit: unit,
			Printed: printed, Want: number(printed), Ours: ours,
		})
	}
	dead := func(f func(top, bottom num.Angle) float64) func() (float64, error) {
		return func() (float64, error) {
			top, bottom, err := k.DeadCentres()
			return f(top, bottom), err
		}
	}
	add("stroke", "stroke √((l+r)²−e²) − √((l−r)²−e²)", "mm", "90.23792", func() (float64, error) {
		s, err := k.Stroke()
		return 1e3 * s, err
	})
	add("top", "crank angle of the top dead centre asin(e/(l+r))", "deg", "3.01696", dead(func(t, _ num.Angle) float64 { return t.Deg() }))
	add("bottom", "crank angle of the bottom dead centre beyond 180°, asin(e/(l−r))", "deg", "5.73917",
		dead(func(_, b num.Angle) float64 { return b.Deg() - 180 }))
	add("downstroke", "crank angle of the downstroke", "deg", "182.72221", dead(func(t, b num.Angle) float64 { return (b - t).Deg() }))

	for _, c := range []struct {
		λ, e float64
		name string
		cos  map[int]string
		sin  map[int]string
	}{
		{
			0.30, 0.20, "0.30",
			map[int]string{1: "1.0000000", 2: "0.3088824", 4: "-0.0074550", 6: "2.055e-4"},
			map[int]string{1: "0.0622763", 3: "-0.0066991", 5: "3.341e-4"},
		},
		{
			0.28, 0.25, "0.28",
			map[int]string{2: "0.2879940", 4: "-0.0060666"},
			map[int]string{1: "0.0723658", 3: "-0.0067525", 5: "2.928e-4"},
		},
	} {
		for n := 1; n <= 6; n++ {
			for _, part := range []struct {
				name string
				text string
				sine bool
			}{{"A", c.cos[n], false}, {"B", c.sin[n], true}} {
				if part.text == "" {
					continue
				}
				l.add(Check{
					ID: fmt.Sprintf("offset/λ=%s/%s%d", c.name, part.name, n), Chapter: "motion", Kind: ClosedForm, Source: "KOEHLER",
					Place: fmt.Sprintf("offset slider-crank, e/r %g; transform of the exact motion", c.e), Seen: Recomputed,
					What:    fmt.Sprintf("coefficient %s%d of the piston acceleration with offset", part.name, n),
					Printed: part.text, Want: number(part.text),
					Ours: func() (float64, error) { return harmonic(n, c.λ, c.e, part.sine) },
				})
			}
		}
	}
	l.add(Check{
		ID: "offset/first-order", Chapter: "motion", Kind: ClosedForm, Source: "KOEHLER", Seen: Memory,
		Place: "acceleration ≈ cos φ + λ cos 2φ + λ (e/r) sin φ", What: "B1/(λ e/r) of a long rod with a small offset",
		Printed: "1", Want: 1, Tol: 2e-4, TolWhy: "the formula leaves out terms of λ² (here 1e-4)",
		Ours: func() (float64, error) {
			b, err := harmonic(1, 0.01, 0.01, true)
			return b / 1e-4, err
		},
	})
}

// slider is one slider-crank of a worked example.
type slider struct {
	r, l  float64 // [m], or any one unit
	rpm   float64
	angle float64 // crank angle from top dead centre [deg]
}

func (s slider) omega() float64           { return s.rpm * math.Pi / 30 }
func (s slider) linkage() motion.Linkage  { return motion.Linkage{Radius: s.r, Length: s.l} }
func (s slider) φ() float64               { return s.angle * math.Pi / 180 }
func (s slider) at(deg float64) slider    { s.angle = deg; return s }
func (s slider) turning(ω float64) slider { s.rpm = ω * 30 / math.Pi; return s }

// velocity returns our piston speed towards the crank [length/s]; with twoTerms reduced by what the
// two-term series leaves out.
func (s slider) velocity(twoTerms bool) (float64, error) {
	v, err := s.linkage().Velocity(num.Degrees(s.angle), s.omega())
	if twoTerms {
		_, beyond := beyondTwoTerms(s.φ(), s.r/s.l)
		v += s.r * s.omega() * beyond
	}
	return -v, err
}

// acceleration returns our piston acceleration towards the crank [length/s²].
func (s slider) acceleration(twoTerms bool) (float64, error) {
	a, err := s.linkage().Acceleration(num.Degrees(s.angle), s.omega())
	if twoTerms {
		beyond, _ := beyondTwoTerms(s.φ(), s.r/s.l)
		a += s.r * s.omega() * s.omega() * beyond
	}
	return -a, err
}

// rod returns our rod: cosine and tangent of its obliquity, its speed [rad/s] and its acceleration
// [rad/s²] as magnitudes.
func (s slider) rod() (cos, tan, speed, acceleration float64, err error) {
	state, err := s.linkage().At(num.Degrees(s.angle))
	d := state.Rod.Direction
	ω := s.omega()
	return real(d), math.Abs(imag(d)) / real(d), math.Abs(state.Rod.Vel) * ω, math.Abs(state.Rod.Acc) * ω * ω, err
}

// zeroAcceleration returns where our piston acceleration changes sign in the first half turn [deg].
func (s slider) zeroAcceleration(twoTerms bool) (float64, error) {
	lo, hi := 30.0, 120.0
	for range 60 {
		mid := (lo + hi) / 2
		a, err := s.at(mid).acceleration(twoTerms)
		if err != nil {
			return 0, err
		}
		if a > 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2, nil
}

const leftOut = "ours less the terms that the two-term series leaves out"

// workedMotion lists the kinematics of worked examples.
func (l *list) workedMotion() {
	add := func(id, source, place, what, unit, printed, note string, ours func() (float64, error)) {
		l.add(Check{
			ID: "worked/" + id, Chapter: "motion", Kind: Published, Source: source, Place: place, Seen: Read,
			What: what, Unit: unit, Printed: printed, Want: number(printed), Note: note, Ours: ours,
		})
	}
	exact := func(id, place, what, unit, printed string, ours func() (float64, error)) {
		l.add(Check{
			ID: "worked/" + id, Chapter: "motion", Kind: ClosedForm, Source: "KG", Place: place + "; exact motion", Seen: Recomputed,
			What: what, Unit: unit, Printed: printed, Want: number(printed), Ours: ours,
		})
	}
	s3 := slider{r: 0.3, l: 1, rpm: 200, angle: 75}
	p3 := "ex. 15.3, p. 527"
	l.add(Check{
		ID: "worked/KG-15.3/angle", Chapter: "motion", Kind: Published, Source: "KG", Place: p3, Seen: Read,
		What: "crank angle of the largest piston speed", Unit: "deg", Printed: "75.00 deg", Want: 75, Tol: 0.5,
		TolWhy: "the source rounds the angle to whole degrees before it prints it", Note: leftOut,
		Ours: func() (float64, error) { return s3.zeroAcceleration(true) },
	})
	add("KG-15.3/speed", "KG", p3, "largest piston speed", "m/s", "6.54 m/s", leftOut, func() (float64, error) { return s3.velocity(true) })
	exact("KG-15.3/speed-exact", p3, "piston speed at 75 deg", "m/s", "6.5615", func() (float64, error) { return s3.velocity(false) })
	exact("KG-15.3/angle-two-terms", p3, "crank angle of the largest piston speed, two terms", "deg", "74.955",
		func() (float64, error) { return s3.zeroAcceleration(true) })

	s4 := slider{r: 0.3, l: 1.5, rpm: 180, angle: 40}
	p4 := "ex. 15.4, p. 528"
	add("KG-15.4/velocity", "KG", p4, "piston velocity", "m/s", "4.19 m/s", leftOut, func() (float64, error) { return s4.velocity(true) })
	add("KG-15.4/acceleration", "KG", p4, "piston acceleration", "m/s²", "85.36 m/s²", leftOut,
		func() (float64, error) { return s4.acceleration(true) })
	add("KG-15.4/zero", "KG", p4, "crank angle of no acceleration", "deg", "79.27 deg", leftOut,
		func() (float64, error) { return s4.zeroAcceleration(true) })
	add("KG-15.4/zero-back", "KG", p4, "the other crank angle of no acceleration", "deg", "280.73 deg", leftOut,
		func() (float64, error) { x, err := s4.zeroAcceleration(true); return 360 - x, err })
	exact("KG-15.4/velocity-exact", p4, "piston velocity", "m/s", "4.1964", func() (float64, error) { return s4.velocity(false) })
	exact("KG-15.4/acceleration-exact", p4, "piston acceleration", "m/s²", "85.599", func() (float64, error) { return s4.acceleration(false) })
	exact("KG-15.4/zero-exact", p4, "crank angle of no acceleration", "deg", "79.100", func() (float64, error) { return s4.zeroAcceleration(false) })

	s5 := slider{r: 0.15, l: 0.6, rpm: 450, angle: 60}
	p5 := "ex. 15.5, p. 528"
	add("KG-15.5/velocity", "KG", p5, "piston velocity", "m/s", "6.9 m/s", leftOut, func() (float64, error) { return s5.velocity(true) })
	add("KG-15.5/acceleration", "KG", p5, "piston acceleration", "m/s²", "124.91 m/s²", leftOut,
		func() (float64, error) { return s5.acceleration(true) })
	add("KG-15.5/rod-speed", "KG", p5, "angular speed of the rod", "rad/s", "5.9 rad/s",
		"the source leaves out the obliquity: ours times its cosine", func() (float64, error) {
			cos, _, v, _, err := s5.rod()
			return v * cos, err
		})
	add("KG-15.5/rod-acceleration", "KG", p5, "angular acceleration of the rod", "rad/s²", "481 rad/s²",
		"the source takes ω² sin φ/n; exact is that times (1−λ²)/cos³ of the obliquity, by which ours is divided", func() (float64, error) {
			cos, _, _, a, err := s5.rod()
			λ := s5.r / s5.l
			return a * cos * cos * cos / (1 - λ*λ), err
		})
	exact("KG-15.5/velocity-exact", p5, "piston velocity", "m/s", "6.9054", func() (float64, error) { return s5.velocity(false) })
	exact("KG-15.5/acceleration-exact", p5, "piston acceleration", "m/s²", "124.949", func() (float64, error) { return s5.acceleration(false) })

	b3 := slider{r: 1, l: 5, rpm: 30 / math.Pi, angle: 40}
	add("BEV-12.5/OM", "BEV", "ex. 12.5, p. 424", "piston velocity per crank speed of a 1 ft crank", "ft", "0.7413 ft", leftOut,
		func() (float64, error) { return b3.velocity(true) })
}
