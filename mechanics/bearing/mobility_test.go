package bearing

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"
)

func nearly(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.6g, want %.6g within %.2g", what, got, want, tol)
	}
}

func mobilityOf(t testing.TB, width float64, short bool) *Mobility {
	t.Helper()
	m, err := newMobility(width, short)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// The closed form of the short film against the sum of its pressures.
func TestShortForceByQuadrature(t *testing.T) {
	for _, ecc := range []float64{0, 0.3, 0.7, 0.95} {
		for _, toward := range []float64{0, 0.4, math.Pi / 2, 2.2, math.Pi} {
			const n = 200000
			var sum complex128
			for k := range n {
				a := toward - math.Pi/2 + math.Pi*(float64(k)+0.5)/n
				h := 1 - ecc*math.Cos(a)
				sum += cmplx.Rect(math.Cos(a-toward)/(h*h*h)*math.Pi/n, a)
			}
			if got := shortForce(ecc, toward); cmplx.Abs(got-sum) > 1e-7*cmplx.Abs(sum) {
				t.Errorf("ε %g towards %g: %v, want %v", ecc, toward, got, sum)
			}
		}
		nearly(t, "squeeze number", real(shortForce(ecc, 0)), SqueezeFilm(ecc), 1e-9*SqueezeFilm(ecc))
		nearly(t, "away from the wall", real(-shortForce(ecc, math.Pi)), SqueezeFilm(-ecc), 1e-9)
	}
}

// Ocvirk's steady state out of the map of the short bearing.
func TestShortMobilityIsOcvirk(t *testing.T) {
	m := mobilityOf(t, 0.3, true)
	for _, ecc := range []float64{0.02, 0.1, 0.25, 0.5, 0.7, 0.9, 0.97, 0.995} {
		want, err := SteadyShort(0.3, ecc)
		if err != nil {
			t.Fatal(err)
		}
		got, err := SteadyAt(m, ecc)
		if err != nil {
			t.Fatal(err)
		}
		nearly(t, "S", got.Sommerfeld, want.Sommerfeld, 2e-3*want.Sommerfeld)
		nearly(t, "attitude", got.Attitude, want.Attitude, 2e-3*want.Attitude)
	}
}

// A narrow film solved by Reynolds is the short bearing.
func TestReynoldsNarrowIsShort(t *testing.T) {
	const width = 0.02
	for _, ecc := range []float64{0, 0.5, 0.8} {
		for _, toward := range []float64{0, 1, 2.5} {
			f, err := Reynolds(width, ecc, toward, FilmAnywhere, Mesh{Around: 300, Across: 20})
			if err != nil {
				t.Fatal(err)
			}
			want := shortForce(ecc, toward) * complex(2.0/3*width*width*width, 0)
			if cmplx.Abs(f-want) > 5e-3*cmplx.Abs(want) {
				t.Errorf("ε %g towards %g: %v, want %v", ecc, toward, f, want)
			}
		}
	}
}

// The map, interpolated over width, eccentricity and direction, against Reynolds at places that are not in the table.
func TestMobilityAgainstReynolds(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 1))
	worst, worstTurn := 0.0, 0.0
	for k := range 24 {
		width, ecc, load := 0.125+r.Float64()*1.2, 1-math.Pow(0.01, r.Float64()), r.Float64()*math.Pi
		if k%3 == 0 {
			load *= 2 * (1 - ecc) / math.Pi // close to the line of centres, where the answer turns
		}
		size, turn, err := Correction(width, ecc, load)
		if err != nil {
			t.Fatal(err)
		}
		want := shortMobility(ecc, load) * cmplx.Rect(math.Exp(size)/(width*width), turn)
		got := mobilityOf(t, width, false).At(complex(ecc, 0), cmplx.Rect(1, load))
		gap := math.Abs(cmplx.Abs(got)/cmplx.Abs(want) - 1)
		bend := math.Abs(cmplx.Phase(got / want))
		if gap > 0.02 || bend > 0.02 {
			t.Errorf("L/D %.3f ε %.4f load %.3f: size off by %.4f, direction by %.4f rad", width, ecc, load, gap, bend)
		}
		worst, worstTurn = max(worst, gap), max(worstTurn, bend)
	}
	t.Logf("worst size %.2g, worst direction %.2g rad", worst, worstTurn)
}

// The committed table is what its program computes.
func TestTableIsGenerated(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 2))
	for range 20 {
		w, i, j := r.IntN(len(TableWidths())), r.IntN(coarseE), r.IntN(coarseA)
		ecc, load := TablePoint(i, j)
		size, turn, err := Correction(TableWidths()[w], ecc, load)
		if err != nil {
			t.Fatal(err)
		}
		got := table()[w][i*coarseA+j]
		nearly(t, "size", float64(got[0]), size/tableUnit, 2)
		nearly(t, "turn", float64(got[1]), turn/tableUnit, 2)
	}
}

// A map is the same whichever way the bearing is looked at.
func TestMobilityIsIsotropicAndMirrors(t *testing.T) {
	m := mobilityOf(t, 0.4, false)
	r := rand.New(rand.NewPCG(9, 3))
	for range 200 {
		e := cmplx.Rect(r.Float64()*0.99, r.Float64()*7)
		w := cmplx.Rect(1+r.Float64(), r.Float64()*7)
		turn := cmplx.Rect(1, r.Float64()*7)
		v := m.At(e, w)
		if d := cmplx.Abs(m.At(e*turn, w*turn) - v*turn); d > 1e-6*cmplx.Abs(v) {
			t.Fatalf("turned: off by %g of %g", d, cmplx.Abs(v))
		}
		if d := cmplx.Abs(m.At(cmplx.Conj(e), cmplx.Conj(w)) - cmplx.Conj(v)); d > 1e-9*cmplx.Abs(v) {
			t.Fatalf("mirrored: off by %g of %g", d, cmplx.Abs(v))
		}
		if real(v)*real(w)+imag(v)*imag(w) <= 0 {
			t.Fatalf("the journal moves against its load at %v, %v", e, w)
		}
	}
}

func TestSteadyForInvertsSteadyAt(t *testing.T) {
	m := mobilityOf(t, 0.5, false)
	for _, ecc := range []float64{0.01, 0.3, 0.8, 0.99} {
		a, err := SteadyAt(m, ecc)
		if err != nil {
			t.Fatal(err)
		}
		b, err := SteadyFor(m, a.Sommerfeld)
		if err != nil {
			t.Fatal(err)
		}
		nearly(t, "ε", b.Ecc, ecc, 1e-6)
	}
}
