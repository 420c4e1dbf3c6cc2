package bearing

import (
	"encoding/binary"
	"math"
	"testing"
)

// Walther's line passes both published points, and the grades keep the limits of their class.
func TestOils(t *testing.T) {
	limits := map[string][3]float64{ // at 100 °C from, below [mm²/s]; least at 150 °C and high shear [mPa s]
		"20": {6.9, 9.3, 2.6}, "30": {9.3, 12.5, 2.9}, "40": {12.5, 16.3, 3.5},
	}
	for _, o := range Oils() {
		for temperature, want := range map[float64]float64{Zero + 40: o.Nu40, Zero + 100: o.Nu100} {
			nu, err := o.Kinematic(temperature)
			if err != nil {
				t.Fatal(err)
			}
			nearly(t, o.Name, nu, want, 1e-12*want)
		}
		l := limits[o.Name[len(o.Name)-2:]]
		if !(o.Nu100 >= l[0]*1e-6 && o.Nu100 < l[1]*1e-6) {
			t.Errorf("%s: %g mm²/s at 100 °C is outside its class %v", o.Name, o.Nu100*1e6, l)
		}
		mu, _ := o.Viscosity(Zero + 150)
		if mu < l[2]*1e-3 || mu > 1.4*l[2]*1e-3 {
			t.Errorf("%s: %g mPa s at 150 °C, its class asks for %g under shear", o.Name, mu*1e3, l[2])
		}
		last := math.Inf(1)
		for c := -40.0; c <= 250; c += 5 {
			mu, err := o.Viscosity(Zero + c)
			if err != nil || !(mu > 0 && mu < last) {
				t.Fatalf("%s at %g °C: %g after %g, %v", o.Name, c, mu, last, err)
			}
			last = mu
		}
		if named, err := OilNamed(o.Name); err != nil || named != o {
			t.Errorf("%s is not found by its name", o.Name)
		}
	}
}

// The oil carries away what the film makes, whichever of flow and rise is given.
func TestHeatBalance(t *testing.T) {
	g, d := pilotBigEnd(720, 2400)
	m := mobilityOf(t, g.Ratio(), false)
	oil, err := OilNamed("15W-40")
	if err != nil {
		t.Fatal(err)
	}
	last := math.Inf(1)
	for _, flow := range []float64{0.5e-5, 1e-5, 3e-5, 1e-2} {
		w, err := FindWarm(m, g, d, oil, Supply{Feed: Zero + 90, Flow: flow})
		if err != nil {
			t.Fatal(err)
		}
		out := Zero + 90 + w.MeanPower/(oil.DensityAt(w.Temperature)*HeatCapacity(w.Temperature)*flow)
		nearly(t, "outlet", w.Outlet, out, 0.05)
		nearly(t, "mean", w.Temperature, (Zero+90+w.Outlet)/2, 1e-9)
		if !(w.Temperature < last) {
			t.Errorf("more oil, warmer film: %g after %g", w.Temperature, last)
		}
		last = w.Temperature
		back, err := FindWarm(m, g, d, oil, Supply{Feed: Zero + 90, Rise: w.Outlet - Zero - 90})
		if err != nil {
			t.Fatal(err)
		}
		nearly(t, "heat", back.Flow*(w.Outlet-Zero-90), flow*(w.Outlet-Zero-90), 0.01*flow*(w.Outlet-Zero-90)+0.05*flow)
	}
	if _, err := FindWarm(m, g, d, oil, Supply{Feed: Zero + 90, Flow: 1e-8}); err == nil {
		t.Error("a drop an hour carries the heat away")
	}
	nearly(t, "no drop in viscosity", last, Zero+90, 0.1)
}

func TestFilmRefusals(t *testing.T) {
	g, d := pilotBigEnd(72, 2400)
	m := mobilityOf(t, g.Ratio(), false)
	for what, change := range map[string]func(*Gap, *Duty, *float64){
		"no clearance":    func(g *Gap, _ *Duty, _ *float64) { g.Clearance = 0 },
		"another width":   func(g *Gap, _ *Duty, _ *float64) { g.Width *= 1.1 },
		"three lands":     func(g *Gap, _ *Duty, _ *float64) { g.Lands = 3 },
		"no journal":      func(g *Gap, _ *Duty, _ *float64) { g.Diameter = 0 },
		"four angles":     func(_ *Gap, d *Duty, _ *float64) { d.Load = d.Load[:4] },
		"no load":         func(_ *Gap, d *Duty, _ *float64) { d.Load = make([]complex128, 72) },
		"no speed":        func(_ *Gap, d *Duty, _ *float64) { d.Speed = 0 },
		"three turns":     func(_ *Gap, d *Duty, _ *float64) { d.Turns = 3 },
		"two speeds":      func(_ *Gap, d *Duty, _ *float64) { d.Journal = d.Journal[:2] },
		"a speed of NaN":  func(_ *Gap, d *Duty, _ *float64) { d.Sleeve = []float64{math.NaN()} },
		"water":           func(_ *Gap, _ *Duty, mu *float64) { *mu = 1e-6 },
		"NaN pascal secs": func(_ *Gap, _ *Duty, mu *float64) { *mu = math.NaN() },
	} {
		g, d, mu := g, d, 0.01
		change(&g, &d, &mu)
		if _, err := FindOrbit(m, g, d, mu, 0); err == nil {
			t.Errorf("%s is accepted", what)
		}
	}
	if _, err := FindOrbit(nil, g, d, 0.01, 0); err == nil {
		t.Error("no mobility is accepted")
	}
	if _, err := FindOrbit(m, g, d, 0.01, 1); err == nil {
		t.Error("a start at the wall is accepted")
	}
}

// FuzzFilm feeds arbitrary numbers to everything that takes any.
func FuzzFilm(f *testing.F) {
	f.Add([]byte("00000000111111112222222233333333"))
	var b []byte
	for _, x := range []float64{0.06, 0.02, 3e-5, 300, -4000, 9e-6, 370, 0.5} {
		b = binary.LittleEndian.AppendUint64(b, math.Float64bits(x))
	}
	f.Add(b)
	f.Fuzz(func(t *testing.T, raw []byte) {
		var x [8]float64
		for i := range min(8, len(raw)/8) {
			x[i] = math.Float64frombits(binary.LittleEndian.Uint64(raw[8*i:]))
		}
		finite := func(vs ...float64) {
			for _, v := range vs {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Fatalf("%g from %v", v, x)
				}
			}
		}
		g := Gap{Diameter: x[0], Width: x[1], Clearance: x[2]}
		oil := Oil{Nu40: x[5], Nu100: x[5] / 7, Density: 870}
		if mu, err := oil.Viscosity(x[6]); err == nil {
			finite(mu)
		}
		if s, err := SteadyShort(x[1], x[7]); err == nil {
			finite(s.Sommerfeld, s.Attitude, s.Friction)
		}
		if p, err := Reynolds(x[1], x[7], x[3], FilmAnywhere, Mesh{Around: 24, Across: 4}); err == nil {
			finite(real(p), imag(p))
		}
		m, err := NewMobility(g.Ratio())
		if err != nil {
			return
		}
		if s, err := SteadyFor(m, x[7]); err == nil {
			finite(s.Ecc, s.Attitude, s.Friction)
		}
		d := Duty{Load: constant(16, complex(x[4], x[7])), Turns: 1, Speed: x[3], Journal: []float64{x[3]}}
		d.Load[5] = complex(x[7], x[4])
		if w, err := FindWarm(m, g, d, oil, Supply{Feed: x[6], Rise: 10}); err == nil {
			finite(w.MinFilm, w.MeanPower, w.Flow, w.Temperature)
		}
	})
}
