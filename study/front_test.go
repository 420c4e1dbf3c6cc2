package study

import (
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// bruteFront compares every candidate with every other: the definition, written down once more.
func bruteFront(b *Batch, aims []Aim) []Point {
	at := func(i, k int) float64 {
		if v := b.Values[aims[k].Column][i]; aims[k].More {
			return -v
		} else {
			return v
		}
	}
	var front []Point
	for i := range b.Index {
		in, alike := true, uint64(0)
		for j := range b.Index {
			better, worse := 0, 0 // aims by which j is
			for k := range aims {
				if at(j, k) < at(i, k) {
					better++
				}
				if at(j, k) > at(i, k) {
					worse++
				}
				if math.IsNaN(at(i, k)) {
					in = false
				}
				if math.IsNaN(at(j, k)) {
					better, worse = 0, 1000
				}
			}
			switch {
			case better > 0 && worse == 0:
				in = false
			case better == 0 && worse == 0 && b.Index[j] < b.Index[i]:
				in = false
			case better == 0 && worse == 0 && b.Index[j] > b.Index[i]:
				alike++
			}
		}
		if in {
			front = append(front, Point{b.Index[i], b.Row(i), alike})
		}
	}
	slices.SortFunc(front, func(p, q Point) int { return int(p.Index) - int(q.Index) })
	return front
}

// anyBatch draws candidates of few or many different values, some on a front, some without a value, some without end.
func anyBatch(t *rapid.T, most, columns int) *Batch {
	b := NewBatch(columns)
	n := rapid.IntRange(0, most).Draw(t, "candidates")
	r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
	levels := float64(rapid.SampledFrom([]int{2, 4, 10, 1e6}).Draw(t, "levels"))
	sphere := rapid.Bool().Draw(t, "sphere")
	odd := rapid.SampledFrom([]float64{0, 0, 0.02}).Draw(t, "odd values")
	index := uint64(0)
	for range n {
		index += 1 + r.Uint64N(3)
		row := make([]float64, columns)
		sum := 0.0
		for k := range row {
			row[k] = math.Floor(r.Float64() * levels)
			sum += row[k]
		}
		for k := range row {
			if sphere && sum > 0 {
				row[k] = math.Round(levels * row[k] / sum)
			}
			if r.Float64() < odd {
				row[k] = []float64{math.NaN(), math.Inf(1), math.Inf(-1), math.Copysign(0, -1), math.MaxFloat64, -math.MaxFloat64}[r.IntN(6)]
			}
		}
		b.Append(index, row)
	}
	return b
}

func anyAims(t *rapid.T, columns int) []Aim {
	aims := make([]Aim, rapid.IntRange(1, 8).Draw(t, "aims"))
	for k := range aims {
		aims[k] = Aim{rapid.IntRange(0, columns-1).Draw(t, "column"), rapid.Bool().Draw(t, "more")}
	}
	return aims
}

func samePoints(a, b []Point) bool { return slices.EqualFunc(a, b, Point.Equal) }

// shuffled returns the places 0 to n−1 in a sequence drawn from a seed.
func shuffled(t *rapid.T, n int) []int {
	return rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "shuffle"), 1)).Perm(n)
}

func TestFrontIsThatOfAllPairs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		columns := rapid.IntRange(1, 8).Draw(t, "columns")
		b, aims := anyBatch(t, 300, columns), anyAims(t, columns)
		want := bruteFront(b, aims)
		whole := NewFront(aims)
		whole.AddBatch(b)
		if got := whole.Points(); !samePoints(got, want) || whole.Len() != len(want) {
			t.Fatalf("as a batch: %v, want %v", got, want)
		}
		single := NewFront(aims)
		for _, i := range shuffled(t, b.Len()) {
			single.Add(Point{Index: b.Index[i], Values: b.Row(i)})
		}
		if got := single.Points(); !samePoints(got, want) {
			t.Fatalf("one after the other: %v, want %v", got, want)
		}
		checkTree(t, single)
	})
}

// checkTree holds the tree against what it promises: every point once, inside its boxes.
func checkTree(t *rapid.T, f *Front) {
	seen := map[int32]bool{}
	var walk func(b *box, around []*box)
	walk = func(b *box, around []*box) {
		around = append(around, b)
		if len(b.kids) > 0 && len(b.slots) > 0 || len(b.slots) > leafRoom || b.empty() || len(b.kids) == 1 {
			t.Fatalf("a box of %d boxes and %d points", len(b.kids), len(b.slots))
		}
		for _, s := range b.slots {
			if seen[s] || slices.Contains(f.free, s) {
				t.Fatalf("slot %d twice, or although free", s)
			}
			seen[s] = true
			for _, a := range around {
				if !noWorse(a.best, f.at(s)) || !noWorse(f.at(s), a.worst) {
					t.Fatalf("%v stands outside of %v to %v", f.at(s), a.best, a.worst)
				}
			}
		}
		for _, kid := range b.kids {
			walk(kid, around)
		}
	}
	if f.root != nil {
		walk(f.root, nil)
	}
	if len(seen) != f.Len() {
		t.Fatalf("%d points in the tree, %d in the front", len(seen), f.Len())
	}
}

// TestLargeFront has a front of nearly all candidates, so that the tree is deep, and then candidates that empty it.
func TestLargeFront(t *testing.T) {
	const n = 1200
	for _, aims := range []int{2, 3, 5} {
		b := sphere(n, aims)
		list := make([]Aim, aims)
		for k := range list {
			list[k] = Aim{Column: k}
		}
		f := NewFront(list)
		f.AddBatch(b)
		if want := bruteFront(b, list); !samePoints(f.Points(), want) || len(want) < n/2 {
			t.Fatalf("%d aims: %d points, want %d", aims, f.Len(), len(want))
		}
		half, zero := make([]float64, aims), make([]float64, aims)
		for k := range half {
			half[k] = 0.5
		}
		f.Add(Point{Index: n, Values: half})
		b.Append(n, half)
		if want := bruteFront(b, list); !samePoints(f.Points(), want) {
			t.Fatalf("%d aims, with one more: %d points, want %d", aims, f.Len(), len(want))
		}
		f.Add(Point{Index: n + 1, Values: zero})
		if f.Len() != 1 || f.Points()[0].Index != n+1 {
			t.Fatalf("%d aims: %d points remain, want the one that is best by every aim", aims, f.Len())
		}
	}
}

// sphere returns candidates on a sphere, none of which dominates another.
func sphere(n, aims int) *Batch {
	r := rand.New(rand.NewPCG(7, uint64(aims)))
	b := NewBatch(aims)
	for i := range n {
		row := make([]float64, aims)
		sum := 0.0
		for k := range row {
			row[k] = math.Abs(r.NormFloat64())
			sum += row[k] * row[k]
		}
		for k := range row {
			row[k] = 1 - row[k]/math.Sqrt(sum)
		}
		b.Append(uint64(i), row)
	}
	return b
}

func TestFrontWithoutColumn(t *testing.T) {
	f := NewFront([]Aim{{Column: 3}})
	f.Add(Point{Values: []float64{1}})
	b := NewBatch(2)
	b.Append(4, []float64{1, 2})
	f.AddBatch(b)
	if f.Len() != 0 {
		t.Error("a candidate without the column of the aim is in the front")
	}
}

func TestDominatedAllocatesNothing(t *testing.T) {
	b := uniform(20000, 3)
	f := NewFront([]Aim{{Column: 0}, {Column: 1, More: true}, {Column: 2}})
	f.AddBatch(b)
	again := NewBatch(3)
	for i := range b.Index {
		row := b.Row(i)
		row[0] += 1e-9
		again.Append(b.Index[i], row)
	}
	if n := testing.AllocsPerRun(5, func() { f.AddBatch(again) }); n > 0 {
		t.Errorf("%g allocations", n)
	}
}

func uniform(n, columns int) *Batch {
	r := rand.New(rand.NewPCG(1, uint64(columns)))
	b := NewBatch(columns)
	row := make([]float64, columns)
	for i := range n {
		for k := range row {
			row[k] = r.Float64()
		}
		b.Append(uint64(i), row)
	}
	return b
}

// BenchmarkFront adds two million random candidates in shards.
func BenchmarkFront(b *testing.B) {
	for _, aims := range []int{2, 3, 5} {
		benchFront(b, fmt.Sprintf("uniform/aims=%d", aims), uniform(2_000_000, aims), aims)
	}
	for _, aims := range []int{2, 3, 5} {
		benchFront(b, fmt.Sprintf("sphere/aims=%d", aims), sphere(200_000, aims), aims)
	}
}

func benchFront(b *testing.B, name string, all *Batch, aims int) {
	list := make([]Aim, aims)
	for k := range list {
		list[k] = Aim{Column: k}
	}
	b.Run(name, func(b *testing.B) {
		b.ReportAllocs()
		points := 0
		for b.Loop() {
			f := NewFront(list)
			f.AddBatch(all)
			points = f.Len()
		}
		b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(all.Len()), "ns/candidate")
		b.ReportMetric(float64(points), "points")
	})
}

// BenchmarkLargeFront has a front of a million points with twelve columns, and reports what room they take.
func BenchmarkLargeFront(b *testing.B) {
	all := sphere(1_000_000, 3)
	for len(all.Values) < 12 {
		all.Values = append(all.Values, all.Values[0])
	}
	heap := func() uint64 {
		var m runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&m)
		return m.HeapAlloc
	}
	before, used := heap(), uint64(0)
	for b.Loop() {
		f := NewFront([]Aim{{Column: 0}, {Column: 1}, {Column: 2}})
		f.AddBatch(all)
		used = heap() - before
		if f.Len() != all.Len() {
			b.Fatalf("%d points", f.Len())
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(all.Len()), "ns/candidate")
	b.ReportMetric(float64(used)/float64(all.Len()), "B/point")
}
