package balance

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"

	"pgregory.net/rapid"
)

// weighedFor invents parts for a train, scattered about its own by a share.
func weighedFor(t *layout.Train, seed uint64, share float64) (pistons []WeighedPiston, rods []WeighedRod) {
	r := rand.New(rand.NewPCG(seed, 1))
	around := func(m float64) float64 { return m * (1 + share*(2*r.Float64()-1)) }
	for i, c := range t.Cylinders {
		pistons = append(pistons, WeighedPiston{ID: fmt.Sprint("P", i), Mass: around(c.Piston.Mass)})
		rods = append(rods, WeighedRod{
			ID: fmt.Sprint("R", i), BigEnd: around(inertia.RotatingShare(c.Rod)), SmallEnd: around(inertia.ReciprocatingShare(c.Rod)),
		})
	}
	return pistons, rods
}

// firstOf is an engine of the first few cylinders of another.
func firstOf(t *layout.Train, n int) *layout.Train {
	u := *t
	u.Cylinders = t.Cylinders[:n]
	return &u
}

// measured solves a train afresh and measures it.
func measured(t *testing.T, train *layout.Train, m MatchMeasure) float64 {
	t.Helper()
	var s inertia.Solver
	b, err := s.Solve(nil, train, inertia.Options{})
	if err != nil {
		t.Fatal(err)
	}
	sum := 0.0
	for _, k := range m.Orders {
		f, g := b.Force.Order(k)
		u, v := b.Moment.Order(k)
		square := func(c complex128) float64 { return real(c)*real(c) + imag(c)*imag(c) }
		sum += m.Force*(square(f)+square(g)) + m.Moment*(square(u)+square(v))/(m.Length*m.Length)
	}
	return sum
}

func permutationsOf(n int) [][]int {
	if n == 0 {
		return [][]int{nil}
	}
	var out [][]int
	for _, p := range permutationsOf(n - 1) {
		for i := range n {
			out = append(out, slices.Insert(slices.Clone(p), i, n-1))
		}
	}
	return out
}

// TestMatchIsBestOfAll tries every assignment of three and four cylinders, each with the solver.
func TestMatchIsBestOfAll(t *testing.T) {
	for _, n := range []int{1, 3, 4} {
		train := firstOf(scatterEight(), n)
		if n == 3 {
			train = scatterStar()
		}
		for seed := range uint64(3) {
			for kinds := 1; kinds <= 3; kinds++ {
				pistons, rods := weighedFor(train, seed, 0.02)
				onePiston, oneRod := permutationsOf(n), permutationsOf(n)
				if kinds&1 == 0 {
					pistons, onePiston = nil, [][]int{nil}
				}
				if kinds&2 == 0 {
					rods, oneRod = nil, [][]int{nil}
				}
				m, err := Match(train, pistons, rods, MatchMeasure{}, MatchOptions{Samples: 100})
				if err != nil {
					t.Fatal(err)
				}
				least, mean := math.Inf(1), 0.0
				for _, π := range onePiston {
					for _, σ := range oneRod {
						j := measured(t, m.Train(Assignment{Pistons: π, Rods: σ}), m.Measure)
						least = min(least, j)
						mean += j / float64(len(onePiston)*len(oneRod))
					}
				}
				if !m.Proven || math.Abs(m.Best.J-least) > 1e-9*least {
					t.Errorf("%d cylinders: best %g, brute force finds %g", n, m.Best.J, least)
				}
				if math.Abs(m.Mean*m.Mean-mean) > 1e-9*mean {
					t.Errorf("%d cylinders: mean %g, brute force finds %g", n, m.Mean*m.Mean, mean)
				}
			}
		}
	}
}

// TestMatchedTrainIsMeasuredAlike holds the vectors against the solver.
func TestMatchedTrainIsMeasuredAlike(t *testing.T) {
	for _, rotation := range []layout.Rotation{layout.Anticlockwise, layout.Clockwise} {
		train := scatterEight()
		train.Rotation = rotation
		pistons, rods := weighedFor(train, 5, 0.01)
		m, err := Match(train, pistons, rods, MatchMeasure{Orders: []int{2, 4, 8}, Force: 1, Moment: 0.3, Length: 0.2}, MatchOptions{Samples: 1000})
		if err != nil {
			t.Fatal(err)
		}
		for _, a := range []Assignment{m.Best, m.Listed} {
			if j := measured(t, m.Train(a), m.Measure); math.Abs(j-a.J) > 1e-9*j {
				t.Errorf("J %g, the solver says %g", a.J, j)
			}
		}
		if j := measured(t, train, m.Measure); math.Abs(math.Sqrt(j)-m.Random.Nominal) > 1e-12 {
			t.Errorf("nominal %g, the solver says %g", m.Random.Nominal, math.Sqrt(j))
		}
		if m.Best.J > m.Listed.J || m.Best.RMS() > m.Random.sorted[0] || m.Better() != 1 {
			t.Errorf("best %g, as listed %g, least drawn %g, better than %g", m.Best.RMS(), m.Listed.RMS(), m.Random.sorted[0], m.Better())
		}
	}
}

// TestFromDrawnIsTheDistance holds the measure of a deviation against two solved trains.
func TestFromDrawnIsTheDistance(t *testing.T) {
	train := scatterStar()
	pistons, rods := weighedFor(train, 2, 0.01)
	m, err := Match(train, pistons, rods, MatchMeasure{FromDrawn: true, Orders: []int{4}, Force: 1}, MatchOptions{Samples: 10})
	if err != nil {
		t.Fatal(err)
	}
	var s inertia.Solver
	a, _ := s.Solve(nil, train, inertia.Options{})
	b, err := s.Solve(nil, m.Train(m.Best), inertia.Options{})
	if err != nil {
		t.Fatal(err)
	}
	want := 0.0
	for _, d := range []complex128{a.Force.With[4] - b.Force.With[4], a.Force.Against[4] - b.Force.Against[4]} {
		want += real(d)*real(d) + imag(d)*imag(d)
	}
	if math.Abs(m.Best.J-want) > 1e-9*want || m.Random.Nominal != 0 {
		t.Errorf("J %g, want %g", m.Best.J, want)
	}
}

// TestNoExchangeImproves tries every exchange of two parts, and many random assignments, on eight and
// on ten cylinders.
func TestNoExchangeImproves(t *testing.T) {
	for _, n := range []int{8, 10} {
		train := scatterEight()
		for len(train.Cylinders) < n {
			c := train.Cylinders[len(train.Cylinders)-8]
			c.Name, c.At = fmt.Sprint("x", len(train.Cylinders)), c.At+0.5
			train.Cylinders = append(train.Cylinders, c)
		}
		pistons, rods := weighedFor(train, 9, 0.02)
		p, _, err := newPlaces(train, pistons, rods, MatchMeasure{Orders: []int{2, 4}, Force: 1, Moment: 1, Length: 0.1})
		if err != nil {
			t.Fatal(err)
		}
		m, err := Match(train, pistons, rods, MatchMeasure{Length: 0.1}, MatchOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if m.Proven != (n == 8) {
			t.Errorf("%d cylinders: proven is %v", n, m.Proven)
		}
		for s, parts := range [][]int{m.Best.Pistons, m.Best.Rods} {
			for a := range n {
				for b := range a {
					c := chosen{slices.Clone(m.Best.Pistons), slices.Clone(m.Best.Rods)}
					c[s][a], c[s][b] = parts[b], parts[a]
					if j := squareOf(p.residual(nil, c)); j < m.Best.J*(1-1e-9) {
						t.Errorf("exchanging %d and %d lowers %g to %g", a, b, m.Best.J, j)
					}
				}
			}
		}
	}
}

// TestTreeFindsTheNearest holds the tree against looking at every pair, for five cylinders.
func TestTreeFindsTheNearest(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		train := firstOf(scatterEight(), 5)
		pistons, rods := weighedFor(train, rapid.Uint64().Draw(rt, "seed"), rapid.Float64Range(0, 0.3).Draw(rt, "share"))
		p, _, err := newPlaces(train, pistons, rods, MatchMeasure{Orders: []int{2, 4}, Force: rapid.Float64Range(0, 1).Draw(rt, "force"), Moment: 1, Length: 0.1})
		if err != nil {
			rt.Fatal(err)
		}
		found := squareOf(p.residual(nil, p.bestOf(p.inOrder())))
		x, _ := p.sums(0, make([]float64, len(p.fixed)))
		y, _ := p.sums(1, p.fixed)
		least := math.Inf(1)
		for i := range 120 {
			for j := range 120 {
				sum := 0.0
				for k, v := range x.at(i) {
					d := v + y.at(j)[k]
					sum += d * d
				}
				least = min(least, sum)
			}
		}
		if math.Abs(found-least) > 1e-9*least+1e-24 {
			rt.Fatalf("the tree finds %g, there is %g", found, least)
		}
	})
}

func TestEqualPartsStayAsListed(t *testing.T) {
	train := scatterEight()
	pistons, _ := weighedFor(train, 1, 0)
	m, err := Match(train, pistons, nil, MatchMeasure{}, MatchOptions{Samples: 10})
	if err != nil {
		t.Fatal(err)
	}
	if !slices.IsSorted(m.Best.Pistons) || m.Best.Rods != nil || m.Better() != 0 {
		t.Errorf("%+v", m.Best)
	}
}

func TestWrongPartsAreRefused(t *testing.T) {
	train := scatterEight()
	pistons, rods := weighedFor(train, 1, 0.01)
	twice := slices.Clone(pistons)
	twice[1].ID = twice[0].ID
	light := slices.Clone(rods)
	light[3].SmallEnd = 0
	heavy := slices.Clone(pistons)
	heavy[0].Mass = math.Inf(1)
	for want, do := range map[string]func() error{
		"7 weighed pistons for 8 cylinders": func() error { return matchError(train, pistons[:7], rods, MatchMeasure{}, MatchOptions{}) },
		"no weighed parts":                  func() error { return matchError(train, nil, nil, MatchMeasure{}, MatchOptions{}) },
		`two pistons are called "P0"`:       func() error { return matchError(train, twice, nil, MatchMeasure{}, MatchOptions{}) },
		"0 kg at the small end":             func() error { return matchError(train, nil, light, MatchMeasure{}, MatchOptions{}) },
		"piston P0 weighs +Inf kg":          func() error { return matchError(train, heavy, nil, MatchMeasure{}, MatchOptions{}) },
		"give whole orders":                 func() error { return matchError(train, pistons, nil, MatchMeasure{Orders: []int{3}}, MatchOptions{}) },
		"weights lie between":               func() error { return matchError(train, pistons, nil, MatchMeasure{Force: -1}, MatchOptions{}) },
		"the arm of the measure":            func() error { return matchError(train, pistons, nil, MatchMeasure{Length: math.NaN()}, MatchOptions{}) },
		"-1 restarts":                       func() error { return matchError(train, pistons, nil, MatchMeasure{}, MatchOptions{Restarts: -1}) },
		"at least one cylinder":             func() error { return matchError(&layout.Train{}, pistons, nil, MatchMeasure{}, MatchOptions{}) },
	} {
		if err := do(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("want %q, got %v", want, err)
		}
	}
}

func matchError(t *layout.Train, p []WeighedPiston, r []WeighedRod, m MatchMeasure, o MatchOptions) error {
	_, err := Match(t, p, r, m, o)
	return err
}

func BenchmarkMatchEight(b *testing.B) {
	train := scatterEight()
	pistons, rods := weighedFor(train, 1, 0.01)
	for b.Loop() {
		if _, err := Match(train, pistons, rods, MatchMeasure{}, MatchOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}
