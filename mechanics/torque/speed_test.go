package torque

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestSpeedAgainstEquationOfMotion integrates dω/dθ = (T − T_load − ½ I' ω²)/(I ω), with I' from the
// inertia torque, by Runge and Kutta's rule, which shares no code with the energy equation.
func TestSpeedAgainstEquationOfMotion(t *testing.T) {
	worst := 0.0
	rapid.Check(t, func(t *rapid.T) {
		m := preparedOrSkip(t, anyTrain(t))
		c, err := m.Curves(nil, [][]float64{smoothCurve(m)}, 1e5, 0)
		if err != nil {
			t.Fatal(err)
		}
		r := m.Rotor(rapid.Float64Range(0.01, 0.3).Draw(t, "J"))
		mean := rapid.Float64Range(80, 700).Draw(t, "mean")
		var s Speed
		if err := s.Solve(r, c.Gas, nil, mean); err != nil {
			t.Skip(err)
		}
		slope := func(j int, ω float64) float64 {
			j %= m.n
			return (c.Gas[j] - s.Load + r.Torque[j]*ω*ω) / ((r.Inertia + 2*r.Energy[j]) * ω)
		}
		ω, h := s.At[0], 2*float64(m.Step())
		for j := 0; j < m.n; j += 2 {
			if gap := math.Abs(ω-s.At[j]) / mean; gap > 1e-6 {
				t.Fatalf("at index %d the equation of motion gives %.9g rad/s, the energy %.9g", j, ω, s.At[j])
			} else {
				worst = max(worst, gap)
			}
			k1 := slope(j, ω)
			if got := s.Acceleration[j]; math.Abs(got-k1*ω) > 1e-6*math.Abs(got)+1e-4*mean {
				t.Fatalf("acceleration %g rad/s², of the equation of motion %g", got, k1*ω)
			}
			k2 := slope(j+1, ω+h/2*k1)
			k3 := slope(j+1, ω+h/2*k2)
			k4 := slope(j+2, ω+h*k3)
			ω += h / 6 * (k1 + 2*k2 + 2*k3 + k4)
		}
		if math.Abs(ω-s.At[0]) > 1e-6*mean { // the kinetic energy returns
			t.Fatalf("after two revolutions the speed is %g rad/s, it began at %g", ω, s.At[0])
		}
		time := 0.0
		for _, v := range s.At {
			time += float64(m.Step()) / v
		}
		if math.Abs(4*math.Pi/time-mean) > 1e-12*mean {
			t.Fatalf("the mean speed is %g rad/s, want %g", 4*math.Pi/time, mean)
		}
	})
	t.Logf("worst gap %.2g of the mean speed", worst)
}

// TestNoGasKeepsTheEnergy: without gas ½ I ω² is constant, so the speed goes with 1/√I.
func TestNoGasKeepsTheEnergy(t *testing.T) {
	m := prepared(t, pilotBoat([]float64{0}, 0), 0)
	r := m.Rotor(0.02)
	var s Speed
	if err := s.Solve(r, make([]float64, m.n), nil, 300); err != nil {
		t.Fatal(err)
	}
	sum := 0.0 // mean of √I, for 1/ω = √I/√(2C)
	for _, e := range r.Energy {
		sum += math.Sqrt(r.Inertia + 2*e)
	}
	root := sum / float64(m.n) * 300
	for j, e := range r.Energy {
		if want := root / math.Sqrt(r.Inertia+2*e); math.Abs(s.At[j]-want) > 1e-12*want {
			t.Fatalf("at index %d the speed is %.15g, want %.15g", j, s.At[j], want)
		}
	}
	if s.GasExcess != 0 || s.Load != 0 || s.Excess <= 0 {
		t.Errorf("excess of the gas %g, load %g, excess of inertia %g", s.GasExcess, s.Load, s.Excess)
	}
}

// TestSmallFluctuationIsTheTextbooks: with a large flywheel and no moving masses both agree.
func TestSmallFluctuationIsTheTextbooks(t *testing.T) {
	drive := make([]float64, 720)
	for j := range drive {
		drive[j] = 100 + 80*math.Sin(4*math.Pi*float64(j)/720*2)
	}
	var s Speed
	if err := s.Solve(Rotor{Inertia: 100}, drive, nil, 200); err != nil {
		t.Fatal(err)
	}
	want := 80.0 / (100 * 200 * 200) // ∫ 80 sin 2θ ranges over 80
	if math.Abs(s.Fluctuation-want) > 1e-7*want || math.Abs(s.Classic-want) > 1e-7*want || math.Abs(s.GasExcess-80) > 1e-5 {
		t.Errorf("fluctuation %g, textbook %g, want %g; excess %g J", s.Fluctuation, s.Classic, want, s.GasExcess)
	}
}

func TestFindFlywheel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := preparedOrSkip(t, anyTrain(t))
		c, err := m.Curves(nil, [][]float64{smoothCurve(m)}, 1e5, 0)
		if err != nil {
			t.Fatal(err)
		}
		wanted := rapid.Float64Range(0.001, 0.3).Draw(t, "wanted")
		mean := rapid.Float64Range(80, 600).Draw(t, "mean")
		own := rapid.Float64Range(0, 0.05).Draw(t, "own")
		f, err := FindFlywheel(m.Rotor(own), c.Gas, nil, mean, wanted)
		if err != nil {
			t.Fatal(err)
		}
		var s Speed
		if own+f.Inertia > 0 {
			if err := s.Solve(m.Rotor(own+f.Inertia), c.Gas, nil, mean); err != nil {
				t.Fatal(err)
			}
		}
		if s.Fluctuation > wanted*(1+1e-9) || f.Inertia > 1e-12 /* the least that is looked for */ && s.Fluctuation < wanted*(1-1e-6) {
			t.Fatalf("a flywheel of %g kg m² gives %g, wanted %g", f.Inertia, s.Fluctuation, wanted)
		}
	})
}

func TestStall(t *testing.T) {
	m := prepared(t, pilotBoat([]float64{0}, 0), 0)
	c, err := m.Curves(nil, [][]float64{smoothCurve(m)}, 1e5, 0)
	if err != nil {
		t.Fatal(err)
	}
	var s Speed
	if err := s.Solve(m.Rotor(0.001), c.Gas, nil, 5); !errors.Is(err, ErrStall) {
		t.Errorf("a crank that stops gives %v", err)
	}
}

func TestWheels(t *testing.T) {
	iron := Material{Density: 7200, Poisson: WheelPoisson}
	rapid.Check(t, func(t *rapid.T) {
		outer := rapid.Float64Range(0.1, 2).Draw(t, "outer")
		width := rapid.Float64Range(0.01, 0.3).Draw(t, "width")
		inner := outer * rapid.Float64Range(0.2, 0.999).Draw(t, "inner") // a smaller bore hardly changes J
		j, rings := 0.0, 4000                                            // Σ r² dm over rings
		for i := range rings {
			dr := (outer - inner) / 2 / float64(rings)
			r := inner/2 + dr*(float64(i)+0.5)
			j += r * r * 7200 * 2 * math.Pi * r * dr * width
		}
		w, err := RimWheel(j, iron, outer, width, 100)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(w.Inner-inner) > 1e-4*outer {
			t.Fatalf("inner diameter %g m, want %g", w.Inner, inner)
		}
		if want := 7200 * math.Pi / 4 * (outer*outer - inner*inner) * width; math.Abs(w.Mass-want) > 1e-3*want {
			t.Fatalf("mass %g kg, want %g", w.Mass, want)
		}
		if w.RingStress != 7200*w.RimSpeed*w.RimSpeed {
			t.Fatal("ring stress")
		}
		if x := w.Inner / w.Outer; x > 0.99 && math.Abs(w.DiscStress/w.RingStress-1) > 0.01 {
			t.Fatalf("a thin ring has the disc stress %g, the ring stress %g", w.DiscStress, w.RingStress)
		}
		d, err := DiscWheel(j, iron, outer, 100)
		if err != nil {
			t.Fatal(err)
		}
		if back := d.Mass * outer * outer / 8; math.Abs(back-j) > 1e-12*j || d.DiscStress >= w.DiscStress {
			t.Fatalf("disc of %g kg m², want %g; stress %g beside %g of the rim", back, j, d.DiscStress, w.DiscStress)
		}
	})
	if _, err := RimWheel(10, iron, 0.3, 0.05, 100); err == nil {
		t.Error("a wheel too small even as a full disc is accepted")
	}
}

// TestDiscStress solves the turning disc by stress function on a grid: u” + u'/r − u/r² = −(1−ν²)ρω²r/E,
// shot from the bore outwards by Runge and Kutta's rule.
func TestDiscStress(t *testing.T) {
	const ρ, ν, ω, a, b, e = 7200.0, 0.26, 100.0, 0.1, 0.4, 1.0 // E cancels in the stress
	shoot := func(u0 float64) (radial, hoop float64) {
		k := (1 - ν*ν) * ρ * ω * ω / e
		u, v := u0, -ν*u0/a // σ_r = 0 at the bore
		f := func(r, u, v float64) float64 { return -v/r + u/(r*r) - k*r }
		const n = 4000
		h := (b - a) / n
		for i := range n {
			r := a + h*float64(i)
			k1, l1 := v, f(r, u, v)
			k2, l2 := v+h/2*l1, f(r+h/2, u+h/2*k1, v+h/2*l1)
			k3, l3 := v+h/2*l2, f(r+h/2, u+h/2*k2, v+h/2*l2)
			k4, l4 := v+h*l3, f(r+h, u+h*k3, v+h*l3)
			u, v = u+h/6*(k1+2*k2+2*k3+k4), v+h/6*(l1+2*l2+2*l3+l4)
		}
		return e / (1 - ν*ν) * (v + ν*u/b), e / (1 - ν*ν) * (u0/a - ν*ν*u0/a)
	}
	r0, _ := shoot(0)
	r1, _ := shoot(1)
	_, want := shoot(-r0 / (r1 - r0)) // σ_r = 0 at the rim too
	w, err := RimWheel(math.Pi/2*ρ*0.05*(b*b*b*b-a*a*a*a), Material{Density: ρ, Poisson: ν}, 2*b, 0.05, ω)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(w.DiscStress-want) > 1e-8*want {
		t.Errorf("stress at the bore %g Pa, solved %g Pa", w.DiscStress, want)
	}
}

func BenchmarkSpeed(b *testing.B) {
	m := prepared(b, pilotBoat([]float64{0, 90, 270, 180}, -45, 45), 0)
	c, err := m.Curves(nil, [][]float64{smoothCurve(m)}, 1e5, 0)
	if err != nil {
		b.Fatal(err)
	}
	var s Speed
	b.ReportAllocs()
	for b.Loop() {
		if err := s.Solve(m.Rotor(0.2), c.Gas, nil, 100); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFindFlywheel(b *testing.B) {
	m := prepared(b, pilotBoat([]float64{0, 180, 180, 0}, 0), 0)
	c, err := m.Curves(nil, [][]float64{smoothCurve(m)}, 1e5, 0)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := FindFlywheel(m.Rotor(0.02), c.Gas, nil, 100, 0.02); err != nil {
			b.Fatal(err)
		}
	}
}
