package study

import (
	"cmp"
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// trial is a problem small enough to be enumerated.
type trial struct {
	name  string
	space Space
	aims  int                                // columns of a value, all of which are minimised
	parts [2]float64                         // of the candidates that are looked at
	least float64                            // volume that is wanted after the second part
	value func(block int, d []int) []float64 // nil: left out
}

func ordered(counts ...int) Block {
	var b Block
	for i, c := range counts {
		b.Axes = append(b.Axes, Axis{Key: fmt.Sprint("x", i), Count: c, Ordered: true})
	}
	return b
}

// grid returns the value between 0 and 1 of a digit.
func grid(b Block, d []int, k int) float64 { return float64(d[k]) / float64(b.Axes[k].Count-1) }

// pins returns the sums of the vectors of the first and second order of unequal cylinders whose pins stand at steps of a turn,
// and how uneven they fire in one turn: the shape of what this program searches, with no optimum in everything.
func pins(d []int, steps int) []float64 {
	var first, second complex128
	angles := slices.Clone(d)
	for i, x := range d {
		e := cmplx.Rect(1, 2*math.Pi*float64(x)/float64(steps))
		first += e * complex(1+0.17*float64(i), 0)
		second += e * e * complex(1+0.05*float64(i*i), 0)
	}
	slices.Sort(angles)
	least, most := steps, 0
	for i, x := range angles {
		gap := angles[0] + steps - x
		if i+1 < len(angles) {
			gap = angles[i+1] - x
		}
		least, most = min(least, gap), max(most, gap)
	}
	tidy := func(v complex128) float64 { return math.Round(cmplx.Abs(v)*1e9) / 1e9 }
	return []float64{tidy(first), tidy(second), float64(most - least)}
}

// trials are problems from memory (Source: ZDT, DTLZ) on a grid, and two of pins.
func trials() []trial {
	zdt := ordered(40, 8, 8, 8)
	zdtG := func(d []int) (x, g float64) {
		return grid(zdt, d, 0), 1 + 3*(grid(zdt, d, 1)+grid(zdt, d, 2)+grid(zdt, d, 3))
	}
	dtlz := ordered(21, 21, 9, 5)
	four := Block{} // beside the first pin, which stands at 0
	for i := range 4 {
		four.Axes = append(four.Axes, Axis{Key: fmt.Sprint("pin", i), Count: 12, Ordered: true})
	}
	three, named := Block{Axes: four.Axes[:3]}, Block{Axes: slices.Clone(four.Axes)}
	named.Axes = append(named.Axes[:3:3], Axis{Key: "policy", Count: 10})
	return []trial{
		{"ZDT1", Space{[]Block{zdt}}, 2, [2]float64{0.1, 0.2}, 0.99, func(_ int, d []int) []float64 {
			x, g := zdtG(d)
			return []float64{x, g * (1 - math.Sqrt(x/g))}
		}},
		{"ZDT3", Space{[]Block{zdt}}, 2, [2]float64{0.1, 0.2}, 0.99, func(_ int, d []int) []float64 {
			x, g := zdtG(d)
			return []float64{x, g * (1 - math.Sqrt(x/g) - x/g*math.Sin(10*math.Pi*x))}
		}},
		{"DTLZ2", Space{[]Block{dtlz}}, 3, [2]float64{0.1, 0.2}, 0.99, func(_ int, d []int) []float64 {
			a, b := math.Pi/2*grid(dtlz, d, 0), math.Pi/2*grid(dtlz, d, 1)
			g := 1 + math.Pow(grid(dtlz, d, 2)-0.5, 2) + math.Pow(grid(dtlz, d, 3)-0.5, 2)
			return []float64{g * math.Cos(a) * math.Cos(b), g * math.Cos(a) * math.Sin(b), g * math.Sin(a)}
		}},
		{"five pins", Space{[]Block{four}}, 3, [2]float64{0.1, 0.2}, 0.99, func(_ int, d []int) []float64 { return pins(append([]int{0}, d...), 12) }},
		{"seven pins", Space{[]Block{ordered(10, 10, 10, 10, 10, 10)}}, 3, [2]float64{0.01, 0.02}, 0.95, func(_ int, d []int) []float64 { return pins(append([]int{0}, d...), 10) }},
		{"blocks, names and a rule", Space{[]Block{three, named}}, 3, [2]float64{0.1, 0.2}, 0.99, func(block int, d []int) []float64 {
			if d[0] == d[1] {
				return nil
			}
			v := pins(append([]int{0}, d[:3]...), 12)
			if block == 1 { // each policy trades the first order for evenness, in no sequence
				p := float64(d[3] * 7 % 10)
				v[0], v[1], v[2] = v[0]*(1-p/10), v[1]+p/100, v[2]+p
			}
			return v
		}},
	}
}

// evaluate returns what comes of a list of candidates.
func (p trial) evaluate(list []uint64) (kept *Batch, left []uint64) {
	kept = NewBatch(p.aims)
	for _, i := range list {
		if v := p.value(p.space.At(nil, i)); v != nil {
			kept.Append(i, v)
		} else {
			left = append(left, i)
		}
	}
	return kept, left
}

func (p trial) wanted() []Aim {
	var list []Aim
	for k := range p.aims {
		list = append(list, Aim{Column: k})
	}
	return list
}

// enumerate returns the exact front, by looking at all.
func (p trial) enumerate() (front []Point, size uint64) {
	size, _ = p.space.Size()
	all := make([]uint64, size)
	for i := range all {
		all[i] = uint64(i)
	}
	kept, _ := p.evaluate(all)
	f := NewFront(p.wanted())
	f.AddBatch(kept)
	return f.Points(), size
}

// volume returns what points dominate below a corner, in two or three aims.
func volume(front []Point, worst []float64) float64 {
	if len(worst) == 1 {
		best := worst[0]
		for _, p := range front {
			best = min(best, p.Values[0])
		}
		return worst[0] - best
	}
	last := len(worst) - 1
	list := slices.Clone(front)
	slices.SortFunc(list, func(a, b Point) int { return cmp.Compare(a.Values[last], b.Values[last]) })
	sum := 0.0
	for i, p := range list {
		to := worst[last]
		if i+1 < len(list) {
			to = min(to, list[i+1].Values[last])
		}
		if thick := to - p.Values[last]; thick > 0 {
			sum += thick * volume(list[:i+1], worst[:last])
		}
	}
	return sum
}

// beyond returns the corner from which volumes are measured: the worst values of the exact front and a tenth of its extent.
func beyond(front []Point) []float64 {
	least, most := slices.Clone(front[0].Values), slices.Clone(front[0].Values)
	for _, p := range front {
		for k, v := range p.Values {
			least[k], most[k] = min(least[k], v), max(most[k], v)
		}
	}
	for k := range most {
		most[k] += (most[k] - least[k]) / 10
	}
	return most
}

func TestVolume(t *testing.T) {
	front := []Point{{Values: []float64{0, 1, 0}}, {Values: []float64{1, 0, 0}}, {Values: []float64{1, 1, -1}}}
	// by hand: 2·2 less the unit square in the corner, one thick; below it the unit square beyond (1, 1), one thick
	if v := volume(front, []float64{2, 2, 1}); math.Abs(v-4) > 1e-12 {
		t.Errorf("volume %g, want 3 + 1", v)
	}
}

// TestEvolutionFindsTheFront compares with enumeration, and with as many candidates by chance. Volumes are those that a set
// of points dominates, in parts of the exact front's; the least of a few seeds counts.
func TestEvolutionFindsTheFront(t *testing.T) {
	for _, p := range trials() {
		exact, size := p.enumerate()
		corner := beyond(exact)
		whole := volume(exact, corner)
		const seeds = 4
		least, chance, found := []float64{1, 1}, []float64{1, 1}, []float64{0, 0}
		for seed := range uint64(seeds) {
			e, err := NewEvolution(p.space, p.wanted(), EvolutionOptions{Seed: seed})
			if err != nil {
				t.Fatal(err)
			}
			random, r := NewFront(p.wanted()), rand.New(rand.NewPCG(seed, 1))
			for i, part := range p.parts {
				for float64(e.Told()) < part*float64(size) {
					if err := e.Tell(p.evaluate(e.Ask())); err != nil {
						t.Fatal(err)
					}
					for range 100 {
						b, _ := p.evaluate([]uint64{r.Uint64N(size)})
						random.AddBatch(b)
					}
				}
				front := e.Front()
				least[i] = min(least[i], volume(front, corner)/whole)
				chance[i] = min(chance[i], volume(random.Points(), corner)/whole)
				for _, q := range exact {
					if slices.ContainsFunc(front, func(r Point) bool { return slices.Equal(r.Values, q.Values) }) {
						found[i] += 1 / float64(seeds*len(exact))
					}
				}
			}
		}
		for i, part := range p.parts {
			t.Logf("%s: %g %% of %d candidates: volume %.2f %% (by chance %.2f %%), %.1f %% of the %d points of the front", p.name, 100*part, size, 100*least[i], 100*chance[i], 100*found[i], len(exact))
			if least[i] < chance[i] {
				t.Errorf("%s: chance finds more", p.name)
			}
		}
		if least[1] < p.least {
			t.Errorf("%s: the volume is %.2f %% of the exact front's, want %g %%", p.name, 100*least[1], 100*p.least)
		}
	}
}

// TestEvolutionIsTheSameHoweverItIsTold tells one search in one piece and another in any pieces.
func TestEvolutionIsTheSameHoweverItIsTold(t *testing.T) {
	all := trials()
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.SampledFrom(all).Draw(t, "problem")
		opt := EvolutionOptions{Size: rapid.IntRange(4, 30).Draw(t, "size"), Seed: rapid.Uint64().Draw(t, "seed")}
		one, err := NewEvolution(p.space, p.wanted(), opt)
		if err != nil {
			t.Fatal(err)
		}
		many, err := NewEvolution(p.space, p.wanted(), opt)
		if err != nil {
			t.Fatal(err)
		}
		seen := map[uint64]bool{}
		for range 8 {
			list := one.Ask()
			if len(list) != opt.Size || !slices.IsSorted(list) {
				t.Fatalf("asked %v, want %d numbers", list, opt.Size)
			}
			for _, i := range list {
				if seen[i] {
					t.Fatalf("%d was asked before", i)
				}
				seen[i] = true
			}
			if err := one.Tell(p.evaluate(list)); err != nil {
				t.Fatal(err)
			}
			for rest := list; len(rest) > 0; {
				if got := many.Ask(); !slices.Equal(got, rest) {
					t.Fatalf("still to be told: %v, want %v", got, rest)
				}
				part := slices.Clone(rest)
				order := shuffled(t, len(part))
				part = part[:rapid.IntRange(1, len(part)).Draw(t, "part")]
				for i := range part {
					part[i] = rest[order[i]]
				}
				if err := many.Tell(p.evaluate(part)); err != nil {
					t.Fatal(err)
				}
				rest = slices.DeleteFunc(slices.Clone(rest), func(i uint64) bool { return slices.Contains(part, i) })
			}
		}
		if !samePoints(one.Front(), many.Front()) || one.Told() != many.Told() || one.Still() != many.Still() {
			t.Fatal("the fronts differ")
		}
	})
}

// TestEvolutionEndsWithAll goes on until nothing is left: every candidate was asked once, and the front is the exact one.
func TestEvolutionEndsWithAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anySpace(t, 4)
		size, _ := s.Size()
		rows := NewBatch(2)
		for i := range size {
			if i%5 != 3 {
				v := []float64{float64(i * 7919 % 13), float64(i * 104729 % 11)}
				switch i % 19 { // values that no evaluation should give
				case 7:
					v[0] = math.NaN()
				case 8:
					v[1] = math.Inf(1)
				case 9:
					v[0], v[1] = math.MaxFloat64, math.MaxFloat64
				}
				rows.Append(i, v)
			}
		}
		aims := []Aim{{Column: 0, More: true}, {Column: 1}}
		e, err := NewEvolution(s, aims, EvolutionOptions{Size: rapid.IntRange(4, 50).Draw(t, "size"), Seed: 3})
		if err != nil {
			t.Fatal(err)
		}
		asked := map[uint64]bool{}
		for list := e.Ask(); len(list) > 0; list = e.Ask() {
			kept, left := NewBatch(2), []uint64(nil)
			for _, i := range list {
				asked[i] = true
				if at, ok := slices.BinarySearch(rows.Index, i); ok {
					kept.Append(i, rows.Row(at))
				} else {
					left = append(left, i)
				}
			}
			if err := e.Tell(kept, left); err != nil {
				t.Fatal(err)
			}
		}
		if uint64(len(asked)) != size || e.Told() != size {
			t.Fatalf("%d different candidates asked, %d told, of %d", len(asked), e.Told(), size)
		}
		if want := bruteFront(rows, aims); !samePoints(e.Front(), want) {
			t.Fatalf("front %v, want %v", e.Front(), want)
		}
	})
}

// TestRanks holds ranks against their definition, and the crowding distance against a sum by hand.
func TestRanks(t *testing.T) {
	all := []*member{
		{index: 0, cost: []float64{0, 4}},
		{index: 1, cost: []float64{1, 1}},
		{index: 2, cost: []float64{4, 0}},
		{index: 3, cost: []float64{1, 1}}, // equal to 1
		{index: 4, cost: []float64{2, 2}},
		{index: 5}, // left out
		{index: 6, cost: []float64{3, 3}},
		{index: 7, cost: []float64{3, 0.5}},
	}
	rank(all)
	for i, want := range []int{0, 0, 0, 1, 2, 8, 3, 0} {
		if all[i].rank != want {
			t.Errorf("candidate %d has rank %d, want %d", i, all[i].rank, want)
		}
	}
	// number 1, between 0 and 7: (3 − 0)/4 + (4 − 0.5)/4; number 7, between 1 and 2: (4 − 1)/4 + (1 − 0)/4
	for i, want := range map[int]float64{0: math.Inf(1), 1: 1.625, 2: math.Inf(1), 7: 1} {
		if all[i].crowd != want {
			t.Errorf("candidate %d has crowding distance %g, want %g", i, all[i].crowd, want)
		}
	}
	var left []uint64
	for _, m := range survive(all, 5) {
		left = append(left, m.index)
	}
	if !slices.Equal(left, []uint64{0, 2, 1, 7, 3}) {
		t.Errorf("survivors %v", left)
	}
}

func TestEvolutionRefuses(t *testing.T) {
	space, aims := Space{[]Block{ordered(10, 10)}}, []Aim{{Column: 1}}
	for _, c := range []struct {
		space Space
		aims  []Aim
		size  int
		want  string
	}{
		{Space{}, aims, 10, "no candidates"},
		{Space{[]Block{ordered(0)}}, aims, 10, "x0 has no values"},
		{space, nil, 10, "at least one aim"},
		{space, []Aim{{Column: -1}}, 10, "columns count from 0"},
		{space, aims, 3, "4 to 10000"},
		{space, aims, 10001, "4 to 10000"},
	} {
		if _, err := NewEvolution(c.space, c.aims, EvolutionOptions{Size: c.size}); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("error %v, want %q", err, c.want)
		}
	}
	e, err := NewEvolution(space, aims, EvolutionOptions{Size: 10})
	if err != nil {
		t.Fatal(err)
	}
	list := e.Ask()
	other := uint64(0)
	for slices.Contains(list, other) {
		other++
	}
	short, twice := NewBatch(1), NewBatch(2)
	short.Append(list[0], []float64{1})
	twice.Append(list[0], []float64{1, 1})
	for want, tell := range map[string]error{
		"was not asked": e.Tell(nil, []uint64{list[0], other}),
		"told twice":    e.Tell(twice, list[:1]),
		"column 1":      e.Tell(short, nil),
	} {
		if tell == nil || !strings.Contains(tell.Error(), want) {
			t.Errorf("error %v, want %q", tell, want)
		}
	}
	if !slices.Equal(e.Ask(), list) || e.Told() != 0 {
		t.Error("what was refused was taken over in part")
	}
	none := NewBatch(2)
	none.Append(list[0], []float64{0, math.NaN()})
	if err := e.Tell(none, list[1:]); err != nil {
		t.Fatal(err)
	}
	if len(e.Front()) != 0 || len(e.Ask()) != 10 || e.Still() != 1 {
		t.Error("a candidate without a value of the aim is in the front, or the search stops")
	}
}

// BenchmarkEvolution breeds generations of 100 and of 1000, without the evaluation.
func BenchmarkEvolution(b *testing.B) {
	p := trials()[2]
	p.space = Space{[]Block{ordered(2001, 2001, 900, 500)}}
	exact := p.value
	p.value = func(block int, d []int) []float64 {
		return exact(block, []int{d[0] / 100, d[1] / 100, d[2] / 100, d[3] / 100})
	}
	for _, size := range []int{100, 1000} {
		b.Run(fmt.Sprint("size=", size), func(b *testing.B) {
			e, err := NewEvolution(p.space, p.wanted(), EvolutionOptions{Size: size})
			if err != nil {
				b.Fatal(err)
			}
			for b.Loop() {
				if err := e.Tell(p.evaluate(e.Ask())); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(size), "ns/candidate")
		})
	}
}
