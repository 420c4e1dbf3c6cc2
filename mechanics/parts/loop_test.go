package parts_test

import (
	"math"
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"

	"crankwright/mechanics/parts"
)

// The open belt of Shigley, from memory: L = √(4C² − (D − d)²) + ½(D θ_D + d θ_d), θ = π ± 2 asin((D − d)/2C).
func TestLoopIsTheTextbooksOpenBelt(t *testing.T) {
	// D = 400 mm, d = 200 mm, C = 600 mm, by hand: √1.4 + ½(0.4 · 3.476489 + 0.2 · 2.806697) = 1.183216 + 0.975967
	got, err := parts.Loop([]parts.Wheel{{At: 0, Radius: 0.1}, {At: 0.6i, Radius: 0.2}})
	if err != nil || math.Abs(got-2.159183) > 1e-6 {
		t.Errorf("belt of %g m, %v; by hand 2.159183 m", got, err)
	}
	rapid.Check(t, func(t *rapid.T) {
		small, large := rapid.Float64Range(0.01, 0.3).Draw(t, "d")/2, rapid.Float64Range(0.01, 0.3).Draw(t, "D")/2
		if small > large {
			small, large = large, small
		}
		c := small + large + rapid.Float64Range(0.001, 1).Draw(t, "gap")
		turn := cmplx.Exp(complex(0, rapid.Float64Range(-4, 4).Draw(t, "turn")))
		a := 2 * math.Asin((large-small)/c)
		want := math.Sqrt(4*c*c-4*(large-small)*(large-small)) + large*(math.Pi+a) + small*(math.Pi-a)
		got, err := parts.Loop([]parts.Wheel{{At: 0, Radius: small}, {At: complex(c, 0) * turn, Radius: large}})
		if err != nil || math.Abs(got-want) > 1e-9*want {
			t.Errorf("belt of %g m, %v; the textbook has %g m", got, err, want)
		}
	})
}

// hull is the length about wheels by brute force: the mean width of what they cover, from many directions (Cauchy).
func hull(wheels []parts.Wheel) float64 {
	const n = 20000
	sum := 0.0
	for k := range n {
		u := cmplx.Exp(complex(0, -2*math.Pi*float64(k)/n))
		most := math.Inf(-1)
		for _, w := range wheels {
			most = math.Max(most, real(w.At*u)+w.Radius)
		}
		sum += most
	}
	return 2 * math.Pi * sum / n
}

func TestLoopIsTheHullOfItsWheels(t *testing.T) {
	for _, wheels := range [][]parts.Wheel{
		{{At: 0, Radius: 0.05}},
		{{At: 0, Radius: 0.05}, {At: 0.2i, Radius: 0.05}},                                // a tangent straight up
		{{At: 0.2i, Radius: 0.05}, {At: 0, Radius: 0.05}},                                // the same, the other way round
		{{At: 0, Radius: 0.1}, {At: 0.01, Radius: 0.02}},                                 // one in the other
		{{At: 0, Radius: 0.03}, {At: 0.1, Radius: 0.03}, {At: 0.2, Radius: 0.03}},        // three in a row
		{{At: 0, Radius: 0.03}, {At: 0.1i, Radius: 0.03}, {At: 0.2i, Radius: 0.03}},      // three in a row, up
		{{At: 0, Radius: 0.03}, {At: 0, Radius: 0.03}, {At: 0.2 + 0.1i, Radius: 0.06}},   // two in one place
		{{At: 0, Radius: 0}, {At: 0.3, Radius: 0}, {At: 0.3 + 0.4i, Radius: 0}, {At: 0}}, // points: 3-4-5
	} {
		got, err := parts.Loop(wheels)
		if want := hull(wheels); err != nil || math.Abs(got-want) > 1e-6*want {
			t.Errorf("%v: %.9g m, %v; by brute force %.9g m", wheels, got, err, want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		var wheels []parts.Wheel
		for range rapid.IntRange(1, 5).Draw(t, "n") {
			wheels = append(wheels, parts.Wheel{
				At:     complex(rapid.Float64Range(-1, 1).Draw(t, "y"), rapid.Float64Range(-1, 1).Draw(t, "z")),
				Radius: rapid.Float64Range(0, 0.3).Draw(t, "r"),
			})
		}
		got, err := parts.Loop(wheels)
		if want := hull(wheels); err != nil || math.Abs(got-want) > 1e-6*(want+1e-3) {
			t.Errorf("%.9g m, %v; by brute force %.9g m", got, err, want)
		}
	})
}

func TestLoopRefusesWhatIsNoWheel(t *testing.T) {
	for _, wheels := range [][]parts.Wheel{nil, {{Radius: -1}}, {{Radius: math.NaN()}}, {{At: cmplx.Inf(), Radius: 1}}, {{At: cmplx.NaN(), Radius: 1}}} {
		if got, err := parts.Loop(wheels); err == nil {
			t.Errorf("%v: %g m and no error", wheels, got)
		}
	}
}

func TestLinks(t *testing.T) {
	for _, c := range []struct {
		length, pitch float64
		chain         bool
		want          float64
	}{
		{0.8, 0.008, true, 100},
		{0.801, 0.008, true, 102}, // 100.1 links: 101, and the next even number
		{0.801, 0.008, false, 101},
		{0.8, 0, true, 0},
		{math.NaN(), 0.008, true, 0},
		{math.Inf(1), 0.008, true, 0},
	} {
		if got := parts.Links(c.length, c.pitch, c.chain); got != c.want {
			t.Errorf("%g m at %g m: %g links, want %g", c.length, c.pitch, got, c.want)
		}
	}
}
