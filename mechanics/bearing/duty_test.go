package bearing

import (
	"math"
	"math/cmplx"
	"testing"

	"crankwright/mechanics/layout"
)

// TestDutiesTurn holds the duties against the sense of rotation: a clockwise engine has the films of its mirror image.
func TestDutiesTurn(t *testing.T) {
	film := func(rotation layout.Rotation) (main, big Orbit) {
		train := veeEight()
		train.Rotation = rotation
		m, l := loadsOf(t, train)
		for i, of := range []func() (Duty, error){
			func() (Duty, error) { return m.MainDuty(l, 1) },
			func() (Duty, error) { return m.BigEndDuty(l, 2) },
		} {
			d, err := of()
			if err != nil {
				t.Fatal(err)
			}
			if d.Turns != 2 || len(d.Load) != m.Samples() {
				t.Fatalf("%g turns, %d loads", d.Turns, len(d.Load))
			}
			g := GapOf(layout.Journal{Diameter: 0.06, Width: 0.02}, layout.Seat{})
			mob, err := NewMobility(g.Ratio())
			if err != nil {
				t.Fatal(err)
			}
			o, err := FindOrbit(mob, g, d, 0.01, 0)
			if err != nil {
				t.Fatal(err)
			}
			if i == 0 {
				main = o
			} else {
				big = o
			}
		}
		return main, big
	}
	main, big := film(layout.Anticlockwise)
	mainBack, bigBack := film(layout.Clockwise)
	if math.Abs(main.MinFilm-mainBack.MinFilm) > 1e-12 || math.Abs(big.MinFilm-bigBack.MinFilm) > 1e-12 {
		t.Errorf("films %g %g, turning back %g %g", main.MinFilm, big.MinFilm, mainBack.MinFilm, bigBack.MinFilm)
	}
	if !main.Settled || !big.Settled {
		t.Errorf("settled: %v %v", main.Settled, big.Settled)
	}
}

// TestBigEndSpeed holds the speed of the pin in the rod against the closed form of a slider crank without offset:
// rod speed over ω is −λ cos θ/√(1 − λ² sin² θ) of the crank's sense, source: textbook kinematics.
func TestBigEndSpeed(t *testing.T) {
	train := veeEight()
	m, l := loadsOf(t, train)
	d, err := m.BigEndDuty(l, 0)
	if err != nil {
		t.Fatal(err)
	}
	c := train.Cylinders[0]
	λ := train.Throws[c.Throw].Radius / c.Rod.Length
	for j, got := range d.Journal {
		φ := float64(m.Angle(j) + train.Throws[c.Throw].Angle - c.Axis)
		want := l.Speed * (1 + λ*math.Cos(φ)/math.Sqrt(1-λ*λ*math.Sin(φ)*math.Sin(φ)))
		if math.Abs(got-want) > 1e-4*l.Speed {
			t.Fatalf("angle %d: %g rad/s, want %g", j, got, want)
		}
	}
	// the rod pushes the pin from its small end while it fires, so the load on the pin's film points to the small end
	var peak complex128
	for _, w := range d.Load {
		if cmplx.Abs(w) > cmplx.Abs(peak) {
			peak = w
		}
	}
	if real(peak) <= 0 {
		t.Errorf("largest load %v points away from the small end", peak)
	}
}

func loadsOf(t *testing.T, train *layout.Train) (*Mechanism, *Loads) {
	t.Helper()
	m := prepared(t, train, Options{})
	curve := make([]float64, m.CycleSamples())
	for j := range curve {
		a := float64(j) / float64(len(curve)) * 4 * math.Pi
		curve[j] = 1e5 + 60e5*math.Exp(-math.Pow((a-0.2)/0.5, 2))
	}
	l, err := m.Loads(nil, [][]float64{curve}, 1e5, 200)
	if err != nil {
		t.Fatal(err)
	}
	return m, l
}
