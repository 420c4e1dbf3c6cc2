package person

import (
	"math"
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"
)

// A weighting lets the middle of its band pass and nothing at its ends; its response at minus the frequency is the conjugate,
// so it is that of a real filter.
func TestShapes(t *testing.T) {
	for _, w := range Weightings() {
		most := 0.0
		for n := -10; n <= 34; n++ {
			f, err := w.Factor(ExactCentre(n))
			if err != nil {
				t.Fatal(err)
			}
			most = math.Max(most, f)
		}
		if most < 0.5 || most > 1.5 {
			t.Errorf("%s: largest factor %g", w, most)
		}
		for _, f := range []float64{1e-3, 1e5} {
			if v, err := w.Factor(f); err != nil || v > 0.02 {
				t.Errorf("%s at %g Hz: %g %v", w, f, v, err)
			}
		}
	}
	if _, err := Weighting("Wx").Factor(1); err == nil {
		t.Error("Wx is accepted")
	}
	for _, f := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if _, err := Wk.Factor(f); err == nil {
			t.Errorf("%g Hz is accepted", f)
		}
	}
}

// Third-octave bands: the nominal frequency lies within 1.5 % of the exact one, whatever the decade.
func TestCentres(t *testing.T) {
	for n := -10; n <= 31; n++ {
		if e, m := ExactCentre(n), NominalCentre(n); math.Abs(m/e-1) > 0.015 {
			t.Errorf("band %d: %g and %g", n, e, m)
		}
	}
}

// A weighted sum is that of a long record sampled in time and weighted by the response, for lines of different frequency.
func TestWeightedAgainstTime(t *testing.T) {
	lines := []Line{{5, 1.2}, {10, 0.7}, {40, 3}}
	want := 0.0
	const n = 4000 // samples of one second: every line has whole periods
	for i := range n {
		a := 0.0
		for _, l := range lines {
			h, err := Wk.Response(l.Frequency)
			if err != nil {
				t.Fatal(err)
			}
			a += real(complex(l.Amplitude, 0) * h * cmplx.Exp(complex(0, 2*math.Pi*l.Frequency*float64(i)/n)))
		}
		want += a * a / n
	}
	got, err := Wk.Weighted(lines)
	if err != nil || math.Abs(got-math.Sqrt(want)) > 1e-12 {
		t.Errorf("%g %v, in time %g", got, err, math.Sqrt(want))
	}
	if _, err := Wk.Weighted([]Line{{1, -1}}); err == nil {
		t.Error("a negative amplitude is accepted")
	}
}

// The dose of a sine is that of the integral of its fourth power.
func TestDose(t *testing.T) {
	sum := 0.0
	const n, time, rms = 1000, 7.0, 0.8
	for i := range n {
		a := math.Sqrt2 * rms * math.Sin(2*math.Pi*float64(i)/n)
		sum += a * a * a * a * time / n
	}
	if got := DoseOfSine(rms, time); math.Abs(got-math.Pow(sum, 0.25)) > 1e-12 {
		t.Errorf("%g, by the integral %g", got, math.Pow(sum, 0.25))
	}
}

// Exposure: eight hours leave the value as it is; the time to an exposure gives that exposure.
func TestExposure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(0, 100).Draw(t, "a")
		day, err := Daily(a, 8*3600)
		if err != nil || math.Abs(day-a) > 1e-12*(1+a) {
			t.Fatalf("%g %v", day, err)
		}
		e := rapid.Float64Range(0.1, 10).Draw(t, "exposure")
		time, err := TimeTo(a, e)
		if err != nil {
			t.Fatal(err)
		}
		reached, err := Daily(a, time)
		if err != nil || reached > e*(1+1e-12) || time < 24*3600 && math.Abs(reached-e) > 1e-9*e {
			t.Fatalf("%g after %g s of %g", reached, time, a)
		}
	})
	for _, v := range [][2]float64{{-1, 1}, {1, -1}, {math.NaN(), 1}, {1, 1e6}} {
		if _, err := Daily(v[0], v[1]); err == nil {
			t.Errorf("%v is accepted", v)
		}
	}
	if _, err := TimeTo(1, 0); err == nil {
		t.Error("an exposure of 0 is accepted")
	}
	if v := Combined(3, 4, 0, Health); math.Abs(v-7) > 1e-12 {
		t.Errorf("1.4 √(3² + 4²) is %g", v)
	}
	if v := Largest(1, 2, 2.5); math.Abs(v-2.8) > 1e-12 {
		t.Errorf("largest %g", v)
	}
	if v := Combined(3, 4, 12, Hand); v != 13 {
		t.Errorf("hand %g", v)
	}
}

func BenchmarkWeighted24Lines(b *testing.B) {
	var lines []Line
	for k := 1; k <= 24; k++ {
		lines = append(lines, Line{8 * float64(k), 1 / float64(k)})
	}
	for b.Loop() {
		if _, err := Wk.Weighted(lines); err != nil {
			b.Fatal(err)
		}
	}
}
