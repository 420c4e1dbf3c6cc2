package balance

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"

	"crankwright/num"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
	"pgregory.net/rapid"
)

func twoPlanes(a, angleA, b, angleB, permissible float64) [2]Plane {
	return [2]Plane{
		{Name: "A", At: -0.2, Amount: a, Angle: num.Degrees(angleA), Permissible: permissible},
		{Name: "B", At: 0.2, Amount: b, Angle: num.Degrees(angleB), Permissible: permissible},
	}
}

func radial(at, deg float64) Site {
	return Site{At: at, Angle: num.Degrees(deg), Kind: RadialHole, Radius: 0.09, Diameter: 0.014, Deepest: 0.03, Density: 7850}
}

func TestOneHoleInTheHeavyPlaceOfEachPlane(t *testing.T) {
	c, err := Correct(twoPlanes(1e-3, 40, 5e-4, 250, 5e-5), []Site{radial(-0.2, 40), radial(0.2, 250), radial(-0.2, 130), radial(0.2, 20)})
	if err != nil {
		t.Fatal(err)
	}
	if !c.Needed || len(c.Uses) != 2 || c.Uses[0].Site != 0 || c.Uses[1].Site != 1 || !c.Within[0] || !c.Within[1] {
		t.Fatalf("%+v", c)
	}
	// U = ρ π d²/4 (R h − h²/2), worked by hand: 7850 · 1.53938e-4 = 1.208413 kg/m, h = 9.719 mm
	if got := c.Uses[0].Size; math.Abs(got-9.7e-3) > 1e-9 {
		t.Errorf("depth %g m, want 9.7 mm", got)
	}
}

func TestSiteSizeIsTheReverseOfAmount(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSite(t)
		size := s.Limit() * rapid.Float64Range(0, 1).Draw(t, "share")
		if got := s.Size(s.Amount(size)); math.Abs(got-size) > 1e-6*s.Limit() {
			t.Fatalf("%+v: %g back as %g", s, size, got)
		}
	})
}

// The amount of a radial hole is the first moment of its metal, integrated slice by slice.
func TestAmountIsTheIntegralOfItsMetal(t *testing.T) {
	s := radial(0, 0)
	sum, n := 0.0, 10000
	for i := range n {
		depth := 0.02 * (float64(i) + 0.5) / float64(n)
		sum += 7850 * math.Pi / 4 * 0.014 * 0.014 * (0.02 / float64(n)) * (0.09 - depth)
	}
	if got := s.Amount(0.02); math.Abs(got-sum) > 1e-9*sum {
		t.Errorf("%g, integral %g", got, sum)
	}
}

func drawSite(t *rapid.T) Site {
	s := Site{
		At: rapid.Float64Range(-0.3, 0.3).Draw(t, "at"), Angle: num.Degrees(rapid.Float64Range(0, 360).Draw(t, "angle")),
		Kind: SiteKind(rapid.IntRange(0, 2).Draw(t, "kind")), Adds: rapid.Bool().Draw(t, "adds"),
		Radius: rapid.Float64Range(0.05, 0.12).Draw(t, "radius"), Diameter: 0.014, Density: 7850, Most: 0.05,
	}
	s.Deepest = rapid.Float64Range(0.005, 0.04).Draw(t, "deepest")
	return s
}

// Any job: finite values inside the limits, never worse than before, few sites in part.
func TestCorrectionOfAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		planes := twoPlanes(rapid.Float64Range(0, 5e-3).Draw(t, "a"), rapid.Float64Range(0, 360).Draw(t, "α"),
			rapid.Float64Range(0, 5e-3).Draw(t, "b"), rapid.Float64Range(0, 360).Draw(t, "β"), rapid.Float64Range(1e-5, 1e-3).Draw(t, "permissible"))
		sites := make([]Site, rapid.IntRange(0, 20).Draw(t, "n"))
		for i := range sites {
			sites[i] = drawSite(t)
		}
		c, err := Correct(planes, sites)
		if err != nil {
			t.Fatal(err)
		}
		before := planeVectors(planes)
		worse := math.Hypot(cmplx.Abs(c.Left[0]), cmplx.Abs(c.Left[1])) - math.Hypot(cmplx.Abs(before[0]), cmplx.Abs(before[1]))
		if math.IsNaN(worse) || worse > 1e-4 { // rounding of the sizes may make a tiny rest larger
			t.Fatalf("left %v, before %v", c.Left, before)
		}
		part := 0
		for _, u := range c.Uses {
			s := sites[u.Site]
			if u.Size < 0 || u.Size > s.Limit()*(1+1e-9) {
				t.Fatalf("size %g beyond %g", u.Size, s.Limit())
			}
			if u.Size < s.Limit()-1.5*DepthStep {
				part++
			}
		}
		if part > rows {
			t.Fatalf("%d sites are used in part", part)
		}
	})
}

// Where the sites can take all of it, the mass is that of a simplex method.
func TestLeastMassAgreesWithSimplex(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	solved := 0
	for range 300 {
		n := 6 + random.IntN(10)
		p := program{}
		for range n {
			s := radial(-0.25+0.5*random.Float64(), 360*random.Float64())
			s.Adds = random.IntN(3) == 0
			planes := twoPlanes(0, 0, 0, 0, 1)
			a, b := levers(planes, s.At)
			p.columns = append(p.columns, weighted(s.effect()*complex(a, 0), s.effect()*complex(b, 0), planes))
			p.top, p.cost = append(p.top, 1), append(p.cost, 1/(0.05+0.1*random.Float64()))
		}
		for i := range n { // an aim that can be met
			u := random.Float64() * 0.6
			for k := range rows {
				p.aim[k] += u * p.columns[i][k]
			}
		}
		a := mat.NewDense(rows+n, 2*n, nil)
		right, c := make([]float64, rows+n), make([]float64, 2*n)
		for i := range n {
			for k := range rows {
				a.Set(k, i, p.columns[i][k])
			}
			a.Set(rows+i, i, 1)
			a.Set(rows+i, n+i, 1)
			right[rows+i], c[i] = 1, p.cost[i]
		}
		copy(right, p.aim[:])
		want, _, err := lp.Simplex(c, a, right, 1e-10, nil)
		if err != nil {
			continue // the simplex method of the library gives up on some degenerate programmes
		}
		solved++
		columns, aim, cost := p.columns, p.aim, p.cost
		u := p.solve()
		got, off := 0.0, aim
		for i := range u {
			got += cost[i] * u[i]
			for k := range rows {
				off[k] -= u[i] * columns[i][k]
			}
		}
		if norm(off) > 1e-6 || math.Abs(got-want) > 1e-5*want {
			t.Errorf("cost %g, simplex %g, off %g", got, want, norm(off))
		}
	}
	if solved < 200 {
		t.Errorf("only %d of 300 programmes could be compared", solved)
	}
	t.Log(solved, "compared")
}

func TestWhatCannotBeTakenIsLeft(t *testing.T) {
	// holes on the light side only: nothing can be done in plane A
	c, err := Correct(twoPlanes(1e-3, 0, 0, 0, 1e-4), []Site{radial(-0.2, 180), radial(-0.2, 170)})
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Uses) != 0 || c.Within[0] || cmplx.Abs(c.Left[0]-1e-3) > 1e-12 {
		t.Errorf("%+v", c)
	}
	// one hole that is too small: it is used up
	c, err = Correct(twoPlanes(1e-2, 0, 0, 0, 1e-4), []Site{radial(-0.2, 0)})
	if err != nil || len(c.Uses) != 1 || c.Uses[0].Size != 0.03 || c.Within[0] {
		t.Errorf("%+v %v", c, err)
	}
	// within the permissible unbalance: nothing to do
	c, err = Correct(twoPlanes(1e-5, 0, 0, 0, 1e-4), []Site{radial(-0.2, 0)})
	if err != nil || c.Needed || len(c.Uses) != 0 {
		t.Errorf("%+v %v", c, err)
	}
}

func TestImpossibleCorrections(t *testing.T) {
	good := twoPlanes(1e-3, 0, 1e-3, 0, 1e-4)
	same := good
	same[1].At = same[0].At
	deep, nan := radial(0, 0), radial(0, 0)
	deep.Deepest, nan.Radius = 0.1, math.NaN()
	for _, c := range []struct {
		planes [2]Plane
		sites  []Site
	}{
		{same, nil},
		{twoPlanes(-1, 0, 0, 0, 1), nil},
		{twoPlanes(1, 0, 0, 0, 0), nil},
		{twoPlanes(math.Inf(1), 0, 0, 0, 1), nil},
		{good, []Site{deep}},
		{good, []Site{nan}},
		{good, []Site{{Kind: 7}}},
		{good, []Site{{Kind: PlainMass, Radius: 0.1}}},
		{good, make([]Site, MaxSites+1)},
	} {
		if got, err := Correct(c.planes, c.sites); err == nil {
			t.Errorf("accepted: %+v", got)
		} else {
			t.Log(err)
		}
	}
}

func BenchmarkCorrectTwentySites(b *testing.B) {
	var sites []Site
	for i := range 20 {
		sites = append(sites, radial([]float64{-0.2, 0.2}[i%2], float64(i)*18))
	}
	planes := twoPlanes(1.5e-3, 37, 1.1e-3, 211, 2e-4)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Correct(planes, sites); err != nil {
			b.Fatal(err)
		}
	}
}
