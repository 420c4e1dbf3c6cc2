package results

import (
	"errors"
	"math"
	"math/rand/v2"
	"path/filepath"
	"runtime"
	"testing"
	"time"

	"crankwright/study"
)

// wide is a space of 10^6 candidates or more that are all kept, with 4 axes and 12 figures: 3 of them of few values,
// as firing figures are, 9 of many.
type wide struct{ first int }

const wideFigures = 12

func (w wide) Space() study.Space {
	return study.Space{Blocks: []study.Block{{Axes: []study.Axis{
		{Key: "layout.bank_angle", Count: w.first}, {Key: "layout.pins", Count: 50}, {Key: "crank.counterweights", Count: 10}, {Key: "rod.length", Count: 20},
	}}}}
}

func (w wide) Columns() []study.Column {
	pins := []string{}
	for i := range 50 {
		pins = append(pins, "[0, "+number(3*i)+", "+number(7*i)+", 270] deg")
	}
	list := []study.Column{
		{Key: "layout.bank_angle", Name: "Bank angle", Unit: "deg"},
		{Key: "layout.pins", Name: "Crankpins", Unit: "1", Texts: pins},
		{Key: "crank.counterweights", Name: "Balance factor", Unit: "%"},
		{Key: "rod.length", Name: "Rod length", Unit: "mm"},
	}
	for i := range wideFigures {
		list = append(list, study.Column{Key: "figure_" + number(i), Name: "Figure " + number(i), Unit: "N", Kind: study.Figure})
	}
	return list
}
func (w wide) Aims() []study.Aim          { return []study.Aim{{Column: 7}, {Column: 8}} }
func (w wide) Rules() []string            { return nil }
func (w wide) Pace() int                  { return 1 << 20 }
func (w wide) Digest() string             { return "wide" }
func (w wide) Evaluator() study.Evaluator { return w }

func (w wide) Evaluate(r study.Shard, kept *study.Batch, _ []study.Count, stop func() bool) error {
	chance := rand.New(rand.NewPCG(r.From, 1))
	space := w.Space()
	var at []int
	for n := r.From; n < r.To; n++ {
		if n%4096 == 0 && stop() {
			return study.ErrStopped
		}
		_, at = space.At(at, n)
		kept.Index = append(kept.Index, n)
		for i, d := range at {
			kept.Values[i] = append(kept.Values[i], float64(d))
		}
		for i := range wideFigures {
			x := chance.Float64()
			switch {
			case i < 3:
				x = math.Floor(8*x) / 8
			default:
				x = 1000*x + float64(at[0])
			}
			kept.Values[4+i] = append(kept.Values[4+i], x)
		}
	}
	return nil
}

func (w wide) Pick([]uint64, *study.Batch, []study.Count, func() bool) error {
	return errors.New("it is looked at whole")
}

// million is 10^6 candidates.
var million = wide{100}

// BenchmarkEncode writes the file of 2^17 candidates, as bytes.
func BenchmarkEncode(b *testing.B) {
	r := study.Shard{To: MostPerShard}
	kept := study.NewBatch(4 + wideFigures)
	if err := million.Evaluate(r, kept, nil, func() bool { return false }); err != nil {
		b.Fatal(err)
	}
	enc, err := NewEncoder(million)
	if err != nil {
		b.Fatal(err)
	}
	bytes := 0
	for b.Loop() {
		data, err := enc.Encode(r, kept, nil)
		if err != nil {
			b.Fatal(err)
		}
		bytes = len(data)
	}
	b.ReportMetric(float64(bytes)/float64(kept.Len()), "bytes/row")
	b.ReportMetric(float64(kept.Len())*float64(b.N)/b.Elapsed().Seconds(), "rows/s")
}

// BenchmarkRunTenMillion runs 10^7 candidates, all kept, and reports what is live on the heap while the first and while
// the last fifth of them are done: the ranges that are being written, and nothing that grows.
func BenchmarkRunTenMillion(b *testing.B) {
	for b.Loop() {
		p := wide{1000}
		f := create(b, filepath.Join(b.TempDir(), "results"), p)
		var first, last uint64
		began := time.Now()
		err := Run(b.Context(), p, f, Options{Tell: func(g Progress) {
			part := &first
			switch {
			case g.Done > g.Total/5*4:
				part = &last
			case g.Done > g.Total/5:
				return
			}
			runtime.GC()
			var m runtime.MemStats
			runtime.ReadMemStats(&m)
			*part = max(*part, m.HeapAlloc)
		}})
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(first)/1e6, "MB-live-first-fifth")
		b.ReportMetric(float64(last)/1e6, "MB-live-last-fifth")
		b.ReportMetric(float64(f.Progress().Total)/time.Since(began).Seconds(), "rows/s")
	}
}

// BenchmarkMillion asks 10^6 rows of 16 columns in every way that there is.
func BenchmarkMillion(b *testing.B) {
	f := ran(b, million)
	ask := func(name string, q Query) {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := f.Query(b.Context(), q); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
	ask("filter", Query{Filter: "figure_5 < 0.3 kN and figure_6 > 800 N and pins != '[0, 3, 7, 270] deg'"})
	ask("filter-skipping", Query{Filter: "bank_angle = 17 deg and figure_5 < 0.3 kN"})
	ask("filter-text", Query{Filter: "pins = '[0, 3, 7, 270] deg' and figure_0 >= 0.5 N"})
	ask("sort", Query{Sort: "figure_7"})
	ask("sql-group", Query{SQL: "SELECT bank_angle, min(figure_5) FROM candidates GROUP BY 1"})
	ask("sql-where", Query{SQL: "SELECT candidate FROM candidates WHERE figure_5 < 0.5", Limit: 1000})
	ask("sql-skipping", Query{SQL: "SELECT count(*) FROM candidates WHERE bank_angle = 17 AND figure_5 < 300"})
	ask("sql-sort", Query{SQL: "SELECT candidate, figure_7 FROM candidates ORDER BY figure_7"})
	b.Run("row", func(b *testing.B) {
		for b.Loop() {
			if _, ok, err := f.Row(b.Context(), 765432); err != nil || !ok {
				b.Fatal(ok, err)
			}
		}
	})
	for _, most := range []int{1_000_000, 100_000} {
		b.Run("columns-"+number(most), func(b *testing.B) {
			for b.Loop() {
				if _, err := f.Columns(b.Context(), []string{"bank_angle", "pins", "figure_3", "figure_4", "figure_5", "figure_6"}, most); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
	b.Run("open-and-outcome", func(b *testing.B) {
		for b.Loop() {
			g, err := Open(f.Dir())
			if err != nil {
				b.Fatal(err)
			}
			if _, whole, err := g.Outcome(); err != nil || !whole {
				b.Fatal(whole, err)
			}
		}
	})
}

// BenchmarkEvolution is what an evolutionary search costs beside the evaluation of its candidates: breeding, files, syncing.
func BenchmarkEvolution(b *testing.B) {
	p := usual
	p.steps = 2000
	by := Evolution{Seed: 1, Size: 100, Evaluations: 10_000, Still: 1000}
	for b.Loop() {
		f := evolving(b, filepath.Join(b.TempDir(), "results"), p, by)
		if err := Run(b.Context(), p, f, Options{}); err != nil {
			b.Fatal(err)
		}
		if err := f.Close(); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(by.Evaluations)*float64(b.N)/b.Elapsed().Seconds(), "candidates/s")
}
