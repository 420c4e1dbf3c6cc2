package bearing

import (
	"math"
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"
)

func constant(n int, load complex128) []complex128 {
	l := make([]complex128, n)
	for k := range l {
		l[k] = load
	}
	return l
}

func orbitOf(t testing.TB, m *Mobility, g Gap, d Duty, mu float64, start complex128) Orbit {
	t.Helper()
	o, err := FindOrbit(m, g, d, mu, start)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// A load that stays brings the journal to the steady point, with the power of the steady friction.
func TestConstantLoadIsSteady(t *testing.T) {
	g := Gap{Diameter: 0.06, Width: 0.02, Clearance: 30e-6}
	m := mobilityOf(t, g.Ratio(), false)
	const mu, w = 0.01, 300.0
	for _, load := range []float64{500, 3000, 20000} {
		d := Duty{Load: constant(360, complex(0, -load)), Turns: 2, Speed: w, Journal: []float64{w}}
		o := orbitOf(t, m, g, d, mu, complex(0.5, 0))
		c := g.Diameter / 2 / g.Clearance
		s, err := SteadyFor(m, mu*w/(2*math.Pi)/(load/(g.Width*g.Diameter))*c*c)
		if err != nil {
			t.Fatal(err)
		}
		// the journal goes ahead of the load, with the rotation
		want := cmplx.Rect(s.Ecc, -math.Pi/2+s.Attitude)
		if e := o.Ecc[0]; cmplx.Abs(e-want) > 2e-3 || !o.Settled || o.Touches > 0 {
			t.Errorf("%g N: ends at %v, want %v (settled %v)", load, e, want, o.Settled)
		}
		nearly(t, "film", o.MinFilm, g.Clearance*s.Film, 5e-3*g.Clearance*s.Film)
		power := s.Friction / c * load * w * g.Diameter / 2
		nearly(t, "power", o.MeanPower, power, 5e-3*power)
	}
}

// Without rotation the journal falls through the film in the time of the squeeze number: t = μ L³ R/(W c²) ∫ J dε.
func TestSqueezeTime(t *testing.T) {
	g := Gap{Diameter: 0.06, Width: 0.015, Clearance: 30e-6}
	m := mobilityOf(t, g.Ratio(), true)
	const mu, load, n = 0.02, 2000.0, 4000
	integral := 0.0
	for k := range n {
		integral += SqueezeFilm(0.9*(float64(k)+0.5)/n) * 0.9 / n
	}
	total := mu * math.Pow(g.Width, 3) * g.Diameter / 2 / (load * squareOf(g.Clearance)) * integral
	track := &tracker{
		m: m, n: 100, d: Duty{Load: constant(100, complex(load, 0))}, time: total / 100, size: 1,
		gain: squareOf(g.Clearance/g.Diameter*2) / (mu * g.Width * g.Diameter),
	}
	e := complex(0, 0)
	for k := range 100 {
		e = track.across(k, e)
	}
	nearly(t, "ε after the time to 0.9", real(e), 0.9, 1e-3)
	nearly(t, "sideways", imag(e), 0, 1e-9)
}

// A load that turns at half the journal's speed builds no film; one that turns with the journal carries like one that stays,
// mirrored.
func TestTurningLoads(t *testing.T) {
	g := Gap{Diameter: 0.06, Width: 0.02, Clearance: 30e-6}
	m := mobilityOf(t, g.Ratio(), false)
	const w, mu, load, n = 300.0, 0.01, 3000.0, 360
	turning := func(share float64) Duty {
		d := Duty{Turns: 2, Speed: w, Journal: []float64{w}}
		for k := range n {
			d.Load = append(d.Load, cmplx.Rect(load, share*4*math.Pi*float64(k)/n))
		}
		return d
	}
	half := orbitOf(t, m, g, turning(0.5), mu, complex(0, 0.3))
	if half.Touches != n || half.MaxEcc < 1-Touch*1.01 {
		t.Errorf("at half speed the film is left: ε %g, touches %d", half.MaxEcc, half.Touches)
	}
	still, with := orbitOf(t, m, g, turning(0), mu, 0), orbitOf(t, m, g, turning(1), mu, 0)
	nearly(t, "ε of a load that turns with the journal", with.MaxEcc, still.MaxEcc, 2e-3)
	nearly(t, "its attitude", cmplx.Phase(with.Ecc[0]), -cmplx.Phase(still.Ecc[0]), 5e-3)
	slow := orbitOf(t, m, g, turning(-0.5), mu, 0) // against the rotation: twice the wedge
	if slow.MaxEcc >= still.MaxEcc {
		t.Errorf("against the rotation ε %g, still %g", slow.MaxEcc, still.MaxEcc)
	}
	// monotone decay from one sample to the next
	track := &tracker{m: m, d: turning(0.5), n: n, time: 4 * math.Pi / w / n, size: 1, gain: squareOf(g.Clearance/g.Diameter*2) / (mu * g.Width * g.Diameter)}
	e := complex(0.3, 0)
	for k := range 200 {
		next := track.across(k, e)
		if cmplx.Abs(next) < cmplx.Abs(e)-1e-12 {
			t.Fatalf("the film grows at sample %d: %g after %g", k, cmplx.Abs(next), cmplx.Abs(e))
		}
		e = next
	}
}

// The big end of a diesel: whichever start, step, frame, mirror and scale, one orbit.
func TestOrbitProperties(t *testing.T) {
	g, d := pilotBigEnd(720, 2400)
	m := mobilityOf(t, g.Ratio(), false)
	const mu = 0.009
	o := orbitOf(t, m, g, d, mu, 0)
	if !o.Settled || o.Touches > 0 || !(o.MinFilm > 0.3e-6 && o.MinFilm < 10e-6) {
		t.Fatalf("settled %v, touches %d, film %g µm", o.Settled, o.Touches, o.MinFilm*1e6)
	}
	t.Logf("film %.3g µm at sample %d, ε %.4f, %.0f W, %d cycles", o.MinFilm*1e6, o.MinAt, o.MaxEcc, o.MeanPower, o.Cycles)
	same := func(what string, p Orbit, turn func(k int, e complex128) complex128, tol float64) {
		t.Helper()
		for k, e := range o.Ecc {
			if cmplx.Abs(p.Ecc[k]-turn(k, e)) > tol*(1-cmplx.Abs(e)) {
				t.Errorf("%s: sample %d at %v, want %v", what, k, p.Ecc[k], turn(k, e))
				return
			}
		}
		nearly(t, what+": film", p.MinFilm/p.MeanFilm, o.MinFilm/o.MeanFilm, tol*o.MinFilm/o.MeanFilm)
	}
	as := func(_ int, e complex128) complex128 { return e }
	same("another start", orbitOf(t, m, g, d, mu, complex(-0.9, 0.2)), as, 0.02)

	mirror := d
	mirror.Load, mirror.Journal = make([]complex128, 720), make([]float64, 720)
	for k := range mirror.Load {
		mirror.Load[k], mirror.Journal[k] = -cmplx.Conj(d.Load[k]), -d.Journal[k]
	}
	p := orbitOf(t, m, g, mirror, mu, 0)
	same("mirrored", p, func(_ int, e complex128) complex128 { return -cmplx.Conj(e) }, 1e-6)
	nearly(t, "mirrored place", math.Mod(p.MinToward+o.MinToward+7*math.Pi, 2*math.Pi), math.Pi, 1e-6)

	// seen from a frame that turns with the crank: a load that turns back, and speeds less that of the frame
	turned := d
	turned.Load, turned.Journal, turned.Sleeve = make([]complex128, 720), make([]float64, 720), []float64{-d.Speed}
	back := func(k int, e complex128) complex128 { return e * cmplx.Rect(1, -4*math.Pi*float64(k)/720) }
	for k := range turned.Load {
		turned.Load[k], turned.Journal[k] = back(k, d.Load[k]), d.Journal[k]-d.Speed
	}
	p = orbitOf(t, m, g, turned, mu, 0)
	same("another frame", p, back, 0.03)
	nearly(t, "power in another frame", p.MeanPower, o.MeanPower, 2e-3*o.MeanPower)

	heavy := d
	heavy.Load = make([]complex128, 720)
	for k := range heavy.Load {
		heavy.Load[k] = 3 * d.Load[k]
	}
	same("three times load and viscosity", orbitOf(t, m, g, heavy, 3*mu, 0), as, 1e-6)
	double := g
	double.Lands = 2
	same("two lands, twice the viscosity of load", orbitOf(t, m, double, heavy, 1.5*mu, 0), as, 1e-6)
	wide := Gap{Diameter: 2 * g.Diameter, Width: 2 * g.Width, Clearance: 2 * g.Clearance} // (c/R)²/(LD): a quarter
	same("twice the size, a quarter of the viscosity", orbitOf(t, m, wide, d, mu/4, 0), as, 1e-6)

	if thin := orbitOf(t, m, g, d, mu/2, 0); thin.MinFilm >= o.MinFilm {
		t.Errorf("thinner oil, thicker film")
	}
	narrow := g
	narrow.Width *= 0.8
	if n := orbitOf(t, mobilityOf(t, narrow.Ratio(), false), narrow, d, mu, 0); n.MinFilm >= o.MinFilm {
		t.Errorf("narrower bearing, thicker film")
	}
	short := orbitOf(t, mobilityOf(t, g.Ratio(), true), g, d, mu, 0)
	if short.MinFilm <= o.MinFilm {
		t.Errorf("the short bearing leaks less than the finite one")
	}
}

// With hardly a load the power is Petroff's.
func TestPetroff(t *testing.T) {
	g := Gap{Diameter: 0.06, Width: 0.02, Clearance: 30e-6}
	d := Duty{Load: constant(360, 1), Turns: 1, Speed: 300, Journal: []float64{300}}
	o := orbitOf(t, mobilityOf(t, g.Ratio(), false), g, d, 0.01, 0)
	want := 2 * math.Pi * 0.01 * math.Pow(0.03, 3) * 0.02 * 300 * 300 / 30e-6
	nearly(t, "power", o.MeanPower, want, 1e-3*want)
}

// Any load: the journal stays inside and no number is lost.
func TestOrbitStaysInside(t *testing.T) {
	g := Gap{Diameter: 0.05, Width: 0.018, Clearance: 25e-6}
	m := mobilityOf(t, g.Ratio(), false)
	rapid.Check(t, func(t *rapid.T) {
		d := Duty{Turns: 2, Speed: rapid.Float64Range(5, 900).Draw(t, "speed")}
		size := math.Pow(10, rapid.Float64Range(0, 6).Draw(t, "size"))
		for range 24 {
			d.Load = append(d.Load, complex(size*rapid.Float64Range(-1, 1).Draw(t, "y"), size*rapid.Float64Range(-1, 1).Draw(t, "z")))
		}
		d.Load[3] = complex(size, 0)
		d.Journal = []float64{rapid.Float64Range(-900, 900).Draw(t, "journal")}
		o, err := FindOrbit(m, g, d, 0.01, 0)
		if err != nil {
			t.Fatal(err)
		}
		for k, e := range o.Ecc {
			if !(cmplx.Abs(e) <= 1-Touch+1e-12) || !(o.Power[k] >= 0) || math.IsInf(o.Power[k], 0) {
				t.Fatalf("ε %v, power %g at sample %d", e, o.Power[k], k)
			}
		}
		if !(o.MinFilm >= Touch*g.Clearance*(1-1e-9)) || math.IsNaN(o.MeanFilm) {
			t.Fatalf("film %g", o.MinFilm)
		}
	})
}
