package num

import (
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// plain evaluates a series as it is defined, one cosine and sine a term.
func plain(s Series, θ float64) float64 {
	sum := 0.0
	for k, c := range s {
		n := float64(k) / 2
		sum += real(c)*math.Cos(n*θ) - imag(c)*math.Sin(n*θ)
	}
	return sum
}

func anySeries(t *rapid.T) Series {
	s := make(Series, rapid.IntRange(1, 40).Draw(t, "length"))
	step := rapid.IntRange(1, 8).Draw(t, "step")
	for k := 0; k < len(s); k += step {
		s[k] = complex(rapid.Float64Range(-3, 3).Draw(t, "re"), rapid.Float64Range(-3, 3).Draw(t, "im"))
	}
	s[0] = complex(real(s[0]), 0)
	return s
}

func TestGridSamplesTheSeries(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anySeries(t)
		g := NewGrid(8 * rapid.IntRange(12, 100).Draw(t, "angles"))
		q := g.Sample(nil, s)
		for j, got := range q {
			θ := float64(g.Angle(j))
			if want := plain(s, θ); math.Abs(got-want) > 1e-11 {
				t.Fatalf("sample %d of %d: %g, want %g", j, g.Len(), got, want)
			}
			if at := s.At(g.Angle(j)); math.Abs(at-got) > 1e-11 {
				t.Fatalf("At(%g) = %g, the grid has %g", θ, at, got)
			}
		}
		sum := 0.0
		for _, v := range q {
			sum += v * v
		}
		if rms := math.Sqrt(sum / float64(len(q))); math.Abs(rms-s.RMS()) > 1e-10 {
			t.Fatalf("rms %g from samples, %g from harmonics", rms, s.RMS())
		}
	})
}

func TestOrbitIsItsComponents(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := NewOrbit(12)
		for k := range o.With {
			o.With[k] = complex(rapid.Float64Range(-1, 1).Draw(t, "a"), rapid.Float64Range(-1, 1).Draw(t, "b"))
			if k > 0 {
				o.Against[k] = complex(rapid.Float64Range(-1, 1).Draw(t, "c"), rapid.Float64Range(-1, 1).Draw(t, "d"))
			}
		}
		if rapid.Bool().Draw(t, "mirrored") {
			o = o.Mirror(rapid.Bool().Draw(t, "axial"))
		}
		g := NewGrid(96)
		y, z := g.Sample(nil, o.Y(nil)), g.Sample(nil, o.Z(nil))
		peak, at := o.Peak(y, z)
		for j := range y {
			if w := o.At(g.Angle(j)); cmplx.Abs(w-complex(y[j], z[j])) > 1e-12 {
				t.Fatalf("At %v, components %g %g", w, y[j], z[j])
			}
			if r := math.Hypot(y[j], z[j]); r > peak+1e-12 {
				t.Fatalf("a sample of %g above the peak %g", r, peak)
			}
		}
		if math.Abs(cmplx.Abs(o.At(at))-peak) > 1e-12 {
			t.Fatalf("the peak %g does not stand at %g", peak, at)
		}
		back := o.Mirror(false).Mirror(false)
		for k := range o.With {
			if back.With[k] != o.With[k] || back.Reversed != o.Reversed {
				t.Fatal("two mirrors change the orbit")
			}
		}
	})
}

// TestEllipse follows the path of one order and compares its extremes with the semi-axes.
func TestEllipse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := complex(rapid.Float64Range(-1, 1).Draw(t, "a"), rapid.Float64Range(-1, 1).Draw(t, "b"))
		b := complex(rapid.Float64Range(-1, 1).Draw(t, "c"), rapid.Float64Range(-1, 1).Draw(t, "d"))
		e := EllipseOf(a, b)
		most, least, direction := 0.0, math.Inf(1), 0.0
		for j := range 3600 {
			u := (Turn * Angle(j) / 3600).Unit()
			w := a*u + b*cmplx.Conj(u)
			if r := cmplx.Abs(w); r > most {
				most, direction = r, cmplx.Phase(w)
			} else if r < least {
				least = r
			}
		}
		if math.Abs(most-e.Major) > 1e-5 || e.Minor > least+1e-9 {
			t.Fatalf("path from %g to %g, ellipse %+v", least, most, e)
		}
		if e.Major > 1.01*e.Minor+0.01 {
			d := float64(Angle(direction-float64(e.Axis)+math.Pi/2).Wrap(Turn/2)) - math.Pi/2
			if math.Abs(d) > 0.1 {
				t.Fatalf("longest at %g, axis %g", direction, e.Axis)
			}
		}
	})
}

func TestTransformRoundTrip(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	tr := NewTransform(64)
	x := make([]complex128, 64)
	for j := range x {
		x[j] = complex(r.Float64(), r.Float64())
	}
	h := append([]complex128(nil), x...)
	tr.Harmonics(h)
	for j := range x {
		sum := complex128(0)
		for n := range h {
			sum += h[n] * cmplx.Exp(complex(0, 2*math.Pi*float64(n*j)/64))
		}
		if cmplx.Abs(sum-x[j]) > 1e-13 {
			t.Fatalf("sample %d: %v, want %v", j, sum, x[j])
		}
	}
}

// TestQuarterTransforms holds the cosine and sine transforms against sums as they are defined.
func TestQuarterTransforms(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for _, n := range []int{4, 8, 32, 64, 256} {
		want, got := [4][]float64{}, [4][]float64{}
		for i := range want {
			want[i], got[i] = make([]float64, n/4), make([]float64, n/4)
			for k := range want[i] {
				if i != 1 || k > 0 { // there is no sine of order 0
					want[i][k] = r.Float64() - 0.5
				}
			}
		}
		x := [4][]float64{}
		for i := range x {
			x[i] = make([]float64, n/4+1)
			for j := range x[i] {
				φ := 2 * math.Pi * float64(j) / float64(n)
				for k, a := range want[i] {
					s, c := math.Sincos(float64(2*k+i/2) * φ)
					if i > 0 {
						c = s
					}
					x[i][j] += a * c
				}
			}
		}
		tr := NewTransform(n)
		tr.Even(got[0], got[1], x[0], x[1])
		tr.Odd(got[2], got[3], x[2], x[3])
		for i := range want {
			for k, a := range want[i] {
				if math.Abs(got[i][k]-a) > 1e-13 {
					t.Fatalf("%d samples, function %d, order %d: %g, want %g", n, i, 2*k+i/2, got[i][k], a)
				}
			}
		}
	}
}

func TestPeakDoesNotDependOnTheGrid(t *testing.T) {
	s := Series{0, 0, complex(1, 0.3), 0, complex(-0.2, 0.9), 0, 0, 0, complex(0.1, 0)}
	a, _ := s.Peak(NewGrid(48).Sample(nil, s))
	b, _ := s.Peak(NewGrid(4800).Sample(nil, s))
	if math.Abs(a-b) > 1e-13 {
		t.Errorf("peaks %.16g and %.16g", a, b)
	}
}

func TestWrap(t *testing.T) {
	for _, c := range []struct{ in, want Angle }{{0, 0}, {Turn, 0}, {-Turn / 4, Turn * 3 / 4}, {3 * Turn, 0}, {Turn - 1e-12, 0}, {-1e-12, 0}} {
		if got := c.in.Wrap(Turn); math.Abs(float64(got-c.want)) > 1e-9 {
			t.Errorf("Wrap(%g) = %g, want %g", c.in, got, c.want)
		}
	}
}

func ExampleShown() {
	for _, v := range []float64{0, 12.3456, 845, 12340, 1.5e6, 2.5e7, -0.004, 1e-12} {
		fmt.Println(Shown(v, "N"))
	}
	// Output:
	// 0 N
	// 12.35 N
	// 845 N
	// 12.34 kN
	// 1500 kN
	// 25 MN
	// -4 mN
	// 0 N
}

func BenchmarkGridSample(b *testing.B) {
	g := NewGrid(720)
	s := make(Series, 41)
	for k := 2; k < len(s); k += 2 {
		s[k] = complex(1/float64(k), 0.5)
	}
	dst := make([]float64, 720)
	b.ReportAllocs()
	for b.Loop() {
		g.Sample(dst, s)
	}
}

// Definition: a curve is what repeats after half a revolution and what changes sign then.
func TestHalvesAreTheWhole(t *testing.T) {
	for _, n := range []int{8, 24, 40, 56, 720, 1000} {
		g := NewGrid(n)
		s := make(Series, min(n/2, 61))
		for k := 2; k < len(s); k += 2 {
			s[k] = complex(1/float64(k), float64(k%7)-3)
		}
		want := g.Sample(nil, s)
		part := func(turning bool) []Term {
			if row := g.Halved(nil, s, turning); len(row) > 0 {
				return []Term{{1, row}}
			}
			return nil
		}
		got := g.Whole(nil, part(false), part(true))
		for j, v := range want {
			if math.Abs(v-got[j]) > 1e-13*float64(len(s)) {
				t.Fatalf("%d angles: %g at %d, want %g", n, got[j], j, v)
			}
		}
		if row := g.Halved(nil, Series{1, 1, 0, 1}, true); len(row) != 0 {
			t.Errorf("%d angles: %v of nothing", n, row)
		}
	}
}
