package balance

import (
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
	"crankwright/num"

	"pgregory.net/rapid"
)

// scatterEight is an invented vee eight of a harbour pilot boat: 90°, cross-plane, counterweights for half
// the reciprocating mass on every throw.
func scatterEight() *layout.Train {
	t := &layout.Train{Name: "pilot boat", Bore: 0.092}
	pins := []float64{0, 90, 270, 180}
	for i, p := range pins {
		x := 0.105 * (float64(i) - 1.5)
		t.Throws = append(t.Throws, layout.Throw{Name: fmt.Sprint("T", i+1), At: x, Angle: num.Degrees(p), Radius: 0.045, Unbalance: 0.02, Pair: i})
		t.Counterweights = append(t.Counterweights, layout.Unbalance{At: x, Angle: num.Degrees(p + 180), Amount: 0.02 + 0.045*(2*0.5+0.56), Throw: i + 1})
		for b, β := range []float64{-45, 45} {
			t.Cylinders = append(t.Cylinders, layout.Cylinder{
				Name: fmt.Sprint(len(t.Cylinders) + 1), Throw: i, Bank: b, At: x + 0.02*(float64(b)-0.5), Axis: num.Degrees(β),
				Piston: layout.Piston{Mass: 0.42},
				Rod:    layout.Rod{Length: 0.15, Mass: 0.64, CG: 0.045, Inertia: 0.002},
			})
		}
	}
	t.Banks = []layout.Bank{{Name: "A", Axis: num.Degrees(-45)}, {Name: "B", Axis: num.Degrees(45)}}
	t.Shafts = []layout.Shaft{{SpeedRatio: -1, Y: 0.05, Z: 0.02, Masses: []layout.Unbalance{{At: -0.2, Angle: 0.3, Amount: 0.002}, {At: 0.2, Angle: 2, Amount: 0.001}}}}
	return t
}

// scatterStar is three cylinders round one pin, two of them on linked rods, with an offset and a master.
func scatterStar() *layout.Train {
	t := &layout.Train{Name: "star", Bore: 0.08, Throws: []layout.Throw{{Name: "T", Radius: 0.04, Angle: 0.2, At: 0.1}}}
	for i, β := range []float64{0, 120, 240} {
		c := layout.Cylinder{
			Name: fmt.Sprint(i + 1), At: 0.1, Axis: num.Degrees(β), Offset: 0.003,
			Piston: layout.Piston{Mass: 0.4}, Rod: layout.Rod{Length: 0.16, Mass: 0.6, CG: 0.05, Inertia: 0.002},
		}
		if i > 0 {
			c.Rod.Length, c.Rod.Linked, c.Rod.KnuckleRadius, c.Rod.KnuckleAngle = 0.12, true, 0.04, num.Degrees(β)
		}
		t.Cylinders = append(t.Cylinders, c)
	}
	return t
}

// deviated returns the train with the deviations of a model; it knows nothing of the expansion.
func deviated(t *layout.Train, m *toleranceModel, dev []float64) *layout.Train {
	d := func(c ToleranceClass, i int) float64 { return dev[m.first[c]+i] }
	u := *t
	u.Throws, u.Cylinders = slices.Clone(t.Throws), slices.Clone(t.Cylinders)
	u.Counterweights, u.Shafts = slices.Clone(t.Counterweights), slices.Clone(t.Shafts)
	for i := range u.Throws {
		th := &u.Throws[i]
		th.Radius += d(CrankRadius, i)
		th.Angle += num.Angle(d(PinAngle, i))
		th.At += d(PinPlace, i)
		th.Unbalance += d(ThrowUnbalance, i)
	}
	for i := range u.Cylinders {
		c := &u.Cylinders[i]
		c.At += d(PinPlace, c.Throw)
		c.Piston.Mass += d(PistonMass, i)
		c.Rod.Mass += d(RodMass, i)
		c.Rod.CG += d(RodCG, i)
		c.Rod.Length += d(RodLength, i)
	}
	for i := range u.Counterweights {
		u.Counterweights[i].Amount += d(CounterweightUnbalance, i)
		u.Counterweights[i].Angle += num.Angle(d(CounterweightAngle, i))
	}
	next := 0
	for i := range u.Shafts {
		s := &u.Shafts[i]
		s.Masses = slices.Clone(s.Masses)
		for j := range s.Masses {
			s.Masses[j].Angle += num.Angle(d(ShaftAngle, i))
			s.Masses[j].Amount += d(ShaftUnbalance, next)
			next++
		}
	}
	return &u
}

// TestExpansionAgreesWithResolving builds 200 deviating trains and solves each afresh. What the expansion
// leaves out is of the third order: the largest error of any vector against the largest deviation.
func TestExpansionAgreesWithResolving(t *testing.T) {
	for _, train := range []*layout.Train{scatterEight(), scatterStar()} {
		tol := UsualTolerances(train)
		tol.Spread = UniformSpread
		m, params, err := prepared(train, tol, scatterOrders)
		if err != nil {
			t.Fatal(err)
		}
		dev := make([]float64, m.width())
		nominal, got := make([]complex128, vectors*len(scatterOrders)), make([]complex128, vectors*len(scatterOrders))
		m.eval(nominal, dev)
		random := rand.New(rand.NewPCG(1, 2))
		worst, size := make([]float64, len(got)), make([]float64, len(got))
		for range 200 {
			for _, p := range params {
				dev[p.at] = tol.Spread.draw(random, p.half)
			}
			m.eval(got, dev)
			for i, w := range solvedOrders(t, deviated(train, m, dev)) {
				worst[i] = max(worst[i], cmplx.Abs(w-got[i]))
				size[i] = max(size[i], cmplx.Abs(w-nominal[i]))
			}
		}
		for i := range worst {
			limit := 1e-6
			if scatterOrders[i/vectors] == 8 {
				limit = 3e-6 // its amplitude grows with the fourth power of the crank radius
			}
			if worst[i] > limit*size[i] {
				t.Errorf("%s vector %d: error %g of deviations up to %g", train.Name, i, worst[i], size[i])
			}
			t.Logf("%s vector %d: largest error %.2g, share %.2g", train.Name, i, worst[i], worst[i]/size[i])
		}
	}
}

var scatterOrders = []int{2, 4, 8}

// solvedOrders returns force and moment, with and against, of the orders that Simulate would follow.
func solvedOrders(t *testing.T, train *layout.Train) []complex128 {
	t.Helper()
	var s inertia.Solver
	b, err := s.Solve(nil, train, inertia.Options{})
	if err != nil {
		t.Fatal(err)
	}
	var out []complex128
	for _, k := range scatterOrders {
		w, a := b.Force.Order(k)
		m, n := b.Moment.Order(k)
		out = append(out, w, a, m, n)
	}
	return out
}

func TestSimulateNominalIsTheSolvers(t *testing.T) {
	for _, train := range []*layout.Train{scatterEight(), scatterStar()} {
		for _, rotation := range []layout.Rotation{layout.Anticlockwise, layout.Clockwise} {
			train.Rotation = rotation
			scatters, err := Simulate(train, Tolerances{}, SimOptions{Samples: 5, Orders: scatterOrders})
			if err != nil {
				t.Fatal(err)
			}
			want := solvedOrders(t, train)
			for _, s := range scatters {
				if s.Sigma > 1e-15 || s.Deviation != 0 || math.Abs(s.Largest-s.Nominal) > 1e-15 {
					t.Errorf("%s %v: no tolerance, but a spread: %+v", train.Name, s.Kind, s)
				}
				o := 4 * slices.Index(scatterOrders, s.K)
				var w float64
				switch s.Kind {
				case ForceMajor:
					w = cmplx.Abs(want[o]) + cmplx.Abs(want[o+1])
				case MomentMajor:
					w = cmplx.Abs(want[o+2]) + cmplx.Abs(want[o+3])
				default:
					w = cmplx.Abs(want[o+int(s.Kind)])
				}
				if math.Abs(s.Nominal-w) > 1e-14 {
					t.Errorf("%s order %d %v: nominal %g, the solver says %g", train.Name, s.K/2, s.Kind, s.Nominal, w)
				}
			}
		}
	}
}

// TestMonteCarloAgreesWithLinearLaw: the root mean square of N samples scatters by about 1/√(2N) of itself.
func TestMonteCarloAgreesWithLinearLaw(t *testing.T) {
	const n = 40_000
	for _, train := range []*layout.Train{scatterEight(), scatterStar()} {
		for _, spread := range []Spread{NormalSpread, UniformSpread} {
			tol := UsualTolerances(train)
			tol.Spread = spread
			scatters, err := Simulate(train, tol, SimOptions{Samples: n, Seed: 7, Orders: scatterOrders})
			if err != nil {
				t.Fatal(err)
			}
			law, err := LinearTolerances(train, tol, scatterOrders)
			if err != nil {
				t.Fatal(err)
			}
			for _, v := range law.Vectors {
				i := slices.IndexFunc(scatters, func(s Scatter) bool { return s.K == v.K && s.Kind == v.Kind })
				if got := scatters[i].Deviation; math.Abs(got-v.Deviation) > 4/math.Sqrt(2*n)*v.Deviation {
					t.Errorf("%s %v order %d %v: sampled %g, linear %g", train.Name, spread, v.K/2, v.Kind, got, v.Deviation)
				}
				sum := 0.0
				for _, s := range v.Shares {
					sum += s.Share
				}
				if v.Deviation > 0 && math.Abs(sum-1) > 1e-12 {
					t.Errorf("shares sum to %g", sum)
				}
			}
		}
	}
}

func TestMirroredEngineScattersAlike(t *testing.T) {
	a, b := scatterEight(), scatterEight()
	b.Rotation = layout.Clockwise
	tol := UsualTolerances(a)
	x, _ := Simulate(a, tol, SimOptions{Samples: 200, Seed: 1})
	y, _ := Simulate(b, tol, SimOptions{Samples: 200, Seed: 1})
	for i := range x {
		if x[i].Mean != y[i].Mean || x[i].Largest != y[i].Largest {
			t.Errorf("%+v\n%+v", x[i], y[i])
		}
	}
}

func TestSameSeedSameScatter(t *testing.T) {
	train := scatterEight()
	tol := UsualTolerances(train)
	mean := func(seed uint64) float64 {
		s, err := Simulate(train, tol, SimOptions{Samples: 100, Seed: seed})
		if err != nil {
			t.Fatal(err)
		}
		return s[0].Mean
	}
	if mean(3) != mean(3) || mean(3) == mean(4) {
		t.Error("the seed does not settle the result")
	}
}

func TestHistogramCountsEverySample(t *testing.T) {
	train := scatterEight()
	s, err := Simulate(train, UsualTolerances(train), SimOptions{Samples: 1000})
	if err != nil {
		t.Fatal(err)
	}
	for i := range s {
		edges, counts := s[i].Histogram(40)
		sum := 0
		for _, c := range counts {
			sum += c
		}
		if sum != 1000 || len(edges) != len(counts)+1 || !slices.IsSorted(edges) {
			t.Errorf("%v: %d samples in %d bins", s[i].Kind, sum, len(counts))
		}
	}
}

func TestTolerancesOutOfRangeAreRefused(t *testing.T) {
	for want, change := range map[string]func(*Tolerances){
		"piston mass: the half width is 1000 g; it must not exceed the lightest part, 420 g": func(x *Tolerances) { x.PistonMass = 1 },
		"not negative":          func(x *Tolerances) { x.RodMass = -1 },
		"crank radius":          func(x *Tolerances) { x.CrankRadius = 0.01 },
		"5° is the most":        func(x *Tolerances) { x.PinAngle = 1 },
		"finite":                func(x *Tolerances) { x.PinPlace = math.NaN() },
		"spreads are normal":    func(x *Tolerances) { x.Spread = 7 },
		"rod length":            func(x *Tolerances) { x.RodLength = 0.1 },
		"1e6 in SI units":       func(x *Tolerances) { x.ShaftUnbalance = 1e7 },
		"rod centre of gravity": func(x *Tolerances) { x.RodCG = 1 },
	} {
		var tol Tolerances
		change(&tol)
		_, err := Simulate(scatterEight(), tol, SimOptions{Samples: 1})
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("want %q, got %v", want, err)
		}
	}
	for _, opt := range []SimOptions{{Samples: -1}, {Samples: 1 << 30}, {Orders: []int{0}}, {Orders: []int{25}}, {Orders: []int{1, 2, 3, 4, 5, 6, 7, 8, 9}}} {
		if _, err := Simulate(scatterEight(), Tolerances{}, opt); err == nil {
			t.Errorf("%+v was accepted", opt)
		}
	}
	if _, err := Simulate(&layout.Train{}, Tolerances{}, SimOptions{}); err == nil {
		t.Error("an empty train was accepted")
	}
}

// TestScatterIsFinite: whatever the tolerances, an answer is finite or refused.
func TestScatterIsFinite(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		h := func(name string, most float64) float64 { return rapid.Float64Range(0, most).Draw(rt, name) }
		train := scatterEight()
		if rapid.Bool().Draw(rt, "star") {
			train = scatterStar()
		}
		tol := Tolerances{
			PistonMass: h("piston", 0.5), RodMass: h("rod", 0.7), RodCG: h("cg", 0.1), CrankRadius: h("r", 1e-3), RodLength: h("l", 1e-3),
			PinAngle: h("pin", 0.1), PinPlace: h("place", 0.01), ThrowUnbalance: h("throw", 1), CounterweightUnbalance: h("cw", 1),
			CounterweightAngle: h("cwa", 0.1), ShaftUnbalance: h("s", 1), ShaftAngle: h("sa", 0.1),
		}
		s, err := Simulate(train, tol, SimOptions{Samples: 20, Seed: rapid.Uint64().Draw(rt, "seed"), Orders: scatterOrders})
		if err != nil {
			return
		}
		for _, x := range s {
			for _, v := range []float64{x.Mean, x.Sigma, x.Largest, x.Deviation, x.Percentiles[0].Value, x.Percentiles[3].Value} {
				if math.IsNaN(v) || math.IsInf(v, 0) || v < 0 {
					rt.Fatalf("%+v", x)
				}
			}
			if x.Percentiles[0].Value > x.Percentiles[3].Value || x.Percentiles[3].Value > x.Largest {
				rt.Fatalf("percentiles fall: %+v", x)
			}
		}
	})
}

func BenchmarkSimulateVeeEight(b *testing.B) {
	train := scatterEight()
	tol := UsualTolerances(train)
	for b.Loop() {
		if _, err := Simulate(train, tol, SimOptions{Samples: 100_000, Seed: 1}); err != nil {
			b.Fatal(err)
		}
	}
}

// TestExpansionIsPolynomial reads one term after the other.
func TestExpansionIsPolynomial(t *testing.T) {
	for j := range monomials {
		var e expansion
		e[j] = 2 + 3i
		m := make([]float64, monomials)
		m[j] = 2
		if got := e.at(m); got != 4+6i {
			t.Errorf("term %d gives %v", j, got)
		}
	}
}
