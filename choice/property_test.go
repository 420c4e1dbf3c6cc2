package choice_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"crankwright/choice"
)

// drawn makes any problem: criteria of both directions, aims of several criteria, ranges, limits, doubts.
func drawn(t *rapid.T) *choice.Problem {
	p := &choice.Problem{}
	criteria := rapid.IntRange(1, 6).Draw(t, "criteria")
	n := rapid.IntRange(1, 7).Draw(t, "alternatives")
	value := rapid.Float64Range(-1000, 1000)
	for j := range criteria {
		better := 1 - 2*rapid.IntRange(0, 1).Draw(t, "less")
		worst, best := -1000.0, 1000.0
		if better < 0 {
			worst, best = best, worst
		}
		w := choice.Linear(worst, best)
		if rapid.Bool().Draw(t, "bent") {
			middle := rapid.Float64Range(-900, 900).Draw(t, "middle")
			w = choice.Worth{w[0], {At: middle, Worth: rapid.Float64Range(0, 1).Draw(t, "bend")}, w[1]}
		}
		p.Criteria = append(p.Criteria, choice.Criterion{Key: fmt.Sprint("c", j), Name: fmt.Sprint("Criterion ", j), Unit: "mm", Better: better, Worth: w})
	}
	for k := range rapid.IntRange(1, 5).Draw(t, "aims") {
		low := rapid.IntRange(0, 100).Draw(t, "low")
		high := rapid.IntRange(low, 100).Draw(t, "high")
		a := choice.Aim{Key: fmt.Sprint("a", k), Name: fmt.Sprint("Aim ", k), Weight: choice.Range{Low: float64(low) / 10, High: float64(high) / 10}}
		for range rapid.IntRange(1, 3).Draw(t, "parts") {
			a.Parts = append(a.Parts, choice.Part{Criterion: rapid.IntRange(0, criteria-1).Draw(t, "of"), Share: rapid.Float64Range(0.1, 5).Draw(t, "share")})
		}
		p.Aims = append(p.Aims, a)
	}
	p.Aims[0].Weight.High = max(p.Aims[0].Weight.High, 1)
	for i := range n {
		a := choice.Alternative{Name: fmt.Sprint("Alternative ", i)}
		for range criteria {
			v := value.Draw(t, "value")
			if rapid.Bool().Draw(t, "round") {
				v = math.Round(v/500) * 500 // ties
			}
			a.Values = append(a.Values, v)
		}
		for d := range rapid.IntRange(0, 2).Draw(t, "doubts") {
			low, high := slices.Clone(a.Values), slices.Clone(a.Values)
			for j := range low {
				low[j] += rapid.Float64Range(-50, 50).Draw(t, "down")
				high[j] += rapid.Float64Range(-50, 50).Draw(t, "up")
			}
			a.Doubts = append(a.Doubts, choice.Doubt{Key: fmt.Sprint("d", d), Name: "Input", Low: low, High: high})
		}
		p.Alternatives = append(p.Alternatives, a)
	}
	for range rapid.IntRange(0, 2).Draw(t, "limits") {
		p.Limits = append(p.Limits, choice.Limit{Criterion: rapid.IntRange(0, criteria-1).Draw(t, "limited"), AtMost: rapid.Bool().Draw(t, "most"), Bound: value.Draw(t, "bound")})
	}
	return p
}

func few() choice.Options { return choice.Options{Draws: 500, Seed: 3} }

// TestFrontByBruteForce compares dominance and front with their definition, written out.
func TestFrontByBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, m := rapid.IntRange(1, 12).Draw(t, "rows"), rapid.IntRange(1, 4).Draw(t, "columns")
		better := make([]int, m)
		for j := range better {
			better[j] = rapid.IntRange(-1, 1).Draw(t, "better")
		}
		rows := make([][]float64, n)
		for i := range rows {
			for range m {
				rows[i] = append(rows[i], float64(rapid.IntRange(0, 3).Draw(t, "value")))
			}
		}
		beats := func(a, b []float64) bool {
			all, one := true, false
			for j := range better {
				x, y := a[j]*float64(better[j]), b[j]*float64(better[j])
				all = all && x >= y
				one = one || x > y
			}
			return all && one
		}
		for i := range rows {
			for j := range rows {
				if choice.Dominates(rows[j], rows[i], better) != beats(rows[j], rows[i]) {
					t.Fatalf("%v dominates %v by %v: %v", rows[j], rows[i], better, !beats(rows[j], rows[i]))
				}
			}
		}
	})
}

// TestDecisions holds any decision against what must be true of it.
func TestDecisions(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		d, err := choice.Decide(p, few())
		if err != nil {
			t.Fatal(err)
		}
		stand := len(d.Standing)
		for _, a := range []*choice.Acceptance{d.Ranges, d.Any} {
			for r := range p.Alternatives {
				sum := 0.0
				for i := range p.Alternatives {
					sum += a.Rank[i][r]
				}
				want := 0.0
				if r < stand {
					want = 1
				}
				if math.Abs(sum-want) > 1e-9 {
					t.Fatalf("the shares of rank %d add up to %g", r+1, sum)
				}
			}
			for _, i := range d.Standing {
				for _, j := range d.Standing {
					if i != j && math.Abs(a.Beats[i][j]+a.Beats[j][i]-1) > 1e-9 {
						t.Fatalf("%d beats %d in %g, the other way in %g", i, j, a.Beats[i][j], a.Beats[j][i])
					}
				}
				if w := a.Central[i]; w != nil {
					sum := 0.0
					for _, s := range w {
						sum += s
					}
					if math.Abs(sum-1) > 1e-9 {
						t.Fatalf("central weights add up to %g", sum)
					}
				}
				if b := a.Totals[i]; !(b.P05 <= b.P25 && b.P25 <= b.P50 && b.P50 <= b.P75 && b.P75 <= b.P95) {
					t.Fatalf("band %+v", b)
				}
			}
		}
		if stand > 0 && len(d.Dominated[d.Order[0]]) > 0 {
			t.Fatalf("the first is dominated by %v", d.Dominated[d.Order[0]])
		}
		for i := range p.Alternatives {
			if d.Scores[i].Total < -1e-12 || d.Scores[i].Total > 1+1e-12 {
				t.Fatalf("total %g", d.Scores[i].Total)
			}
			if text := strings.Join(d.Paragraph(i), " "); text == "" || strings.Contains(text, "NaN") || strings.Contains(text, "%!") {
				t.Fatalf("words: %s", text)
			}
		}
		if text := strings.Join(d.VerdictText(), " "); text == "" || strings.Contains(text, "NaN") || strings.Contains(text, "%!") {
			t.Fatalf("verdict: %s", text)
		}
	})
}

// TestSequenceDoesNotMatter turns the alternatives round and expects the same of each.
func TestSequenceDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		q := *p
		q.Alternatives = slices.Clone(p.Alternatives)
		slices.Reverse(q.Alternatives)
		a, err := choice.Decide(p, few())
		if err != nil {
			t.Fatal(err)
		}
		opt := few()
		opt.Workers = 3
		b, err := choice.Decide(&q, opt)
		if err != nil {
			t.Fatal(err)
		}
		n := len(p.Alternatives)
		for i := range n {
			j := n - 1 - i
			if a.Places[i] != b.Places[j] || math.Abs(a.Ranges.Rank[i][0]-b.Ranges.Rank[j][0]) > 1e-12 || math.Abs(a.Any.Confidence[i]-b.Any.Confidence[j]) > 1e-12 {
				t.Fatalf("alternative %d: places %d and %d, first in %g and %g", i, a.Places[i], b.Places[j], a.Ranges.Rank[i][0], b.Ranges.Rank[j][0])
			}
		}
	})
}

// TestDominatedIsNeverFirst drops the doubts, which may lift a dominated alternative, and counts first ranks.
func TestDominatedIsNeverFirst(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		for i := range p.Alternatives {
			p.Alternatives[i].Doubts = nil
		}
		d, err := choice.Decide(p, few())
		if err != nil {
			t.Fatal(err)
		}
		for _, i := range d.Standing {
			if len(d.Dominated[i]) > 0 && (d.Ranges.Rank[i][0] > 0 || d.Any.Rank[i][0] > 0) {
				t.Fatalf("dominated by %v, and first in %g and %g", d.Dominated[i], d.Ranges.Rank[i][0], d.Any.Rank[i][0])
			}
		}
	})
}

// TestDuplicatesShare gives each alternative a twin.
func TestDuplicatesShare(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		for i := range p.Alternatives {
			p.Alternatives[i].Doubts = nil
		}
		n := len(p.Alternatives)
		p.Alternatives = append(p.Alternatives, p.Alternatives...)
		d, err := choice.Decide(p, few())
		if err != nil {
			t.Fatal(err)
		}
		for i := range n {
			if d.Places[i] != d.Places[n+i] {
				t.Fatalf("places %d and %d", d.Places[i], d.Places[n+i])
			}
			for r := range d.Any.Rank[i] {
				if math.Abs(d.Any.Rank[i][r]-d.Any.Rank[n+i][r]) > 1e-12 {
					t.Fatalf("rank %d: %g and %g", r+1, d.Any.Rank[i][r], d.Any.Rank[n+i][r])
				}
			}
		}
	})
}

// TestFlipsFlip puts the flips that are found into the problem and expects a tie there.
func TestFlipsFlip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		p.Limits = nil
		for i := range p.Alternatives {
			p.Alternatives[i].Doubts = nil
		}
		d, err := choice.Decide(p, few())
		if err != nil {
			t.Fatal(err)
		}
		first := d.Verdict.Leader
		total := func(w []float64, i int) float64 { return p.Scores(w)[i].Total }
		for _, f := range d.Flips {
			for _, turn := range []*choice.Turn{f.Down, f.Up} {
				if turn == nil {
					continue
				}
				w := slices.Clone(d.Weights)
				w[f.Aim] = turn.At
				if slices.Max(w) == 0 {
					continue
				}
				if a, b := total(w, first), total(w, turn.Leader); math.Abs(a-b) > 1e-6 {
					t.Fatalf("aim %d at %g: %g and %g", f.Aim, turn.At, a, b)
				}
			}
			// between the turns the leader leads
			low, high := 0.0, float64(choice.Most)
			if f.Down != nil {
				low = f.Down.At
			}
			if f.Up != nil {
				high = f.Up.At
			}
			w := slices.Clone(d.Weights)
			w[f.Aim] = low + (high-low)*rapid.Float64Range(0, 1).Draw(t, "between")
			if slices.Max(w) > 1e-6 {
				for _, o := range d.Standing {
					if total(w, o) > total(w, first)+1e-6 {
						t.Fatalf("aim %d at %g: %d leads already", f.Aim, w[f.Aim], o)
					}
				}
			}
		}
		for _, j := range d.Joints {
			if !j.Possible {
				continue
			}
			for k, w := range j.Weights {
				if math.Abs(w-d.Weights[k]) > j.By+1e-9 || w < 0 || w > choice.Most {
					t.Fatalf("weight %d moves from %g to %g, by more than %g", k, d.Weights[k], w, j.By)
				}
			}
			if j.By > 0 {
				if a, b := total(j.Weights, first), total(j.Weights, j.Other); math.Abs(a-b) > 1e-6 {
					t.Fatalf("joint: %g and %g", a, b)
				}
			}
		}
		for _, f := range d.Values {
			if !f.Possible {
				continue
			}
			q := *p
			q.Alternatives = slices.Clone(p.Alternatives)
			second := &q.Alternatives[d.Verdict.Second]
			second.Values = slices.Clone(second.Values)
			second.Values[f.Criterion] = f.Needs
			if a, b := q.Scores(d.Weights)[first].Total, q.Scores(d.Weights)[d.Verdict.Second].Total; b < a-1e-6 {
				t.Fatalf("criterion %d at %g instead of %g: %g and %g", f.Criterion, f.Needs, f.Now, a, b)
			}
		}
	})
}

// TestMattersFlip moves an input to where it is said to make another lead.
func TestMattersFlip(t *testing.T) {
	seen := 0
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		d, err := choice.Decide(p, few())
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for _, m := range d.Matters {
			sum += m.Share
			if m.Flips == nil {
				continue
			}
			seen++
			q := *p
			q.Alternatives = slices.Clone(p.Alternatives)
			a := &q.Alternatives[m.Alternative]
			for _, x := range a.Doubts {
				if x.Key != m.Key {
					continue
				}
				z := m.Flips.At
				values := slices.Clone(a.Values)
				for c, v := range values { // the parabola through three points, by Lagrange
					values[c] = x.Low[c]*z*(z-1)/2 + v*(1-z*z) + x.High[c]*z*(z+1)/2
				}
				a.Values = values
			}
			s := q.Scores(d.Weights)
			if s[m.Flips.Leader].Total < s[d.Verdict.Leader].Total-1e-9 {
				t.Fatalf("input %s of %d at %g: %g and %g", m.Key, m.Alternative, m.Flips.At, s[m.Flips.Leader].Total, s[d.Verdict.Leader].Total)
			}
		}
		if len(d.Matters) > 0 && sum > 0 && math.Abs(sum-1) > 1e-9 {
			t.Fatalf("shares add up to %g", sum)
		}
	})
	if seen == 0 {
		t.Error("no input ever changed who leads: nothing was tested")
	}
}

// TestScaleMatters: to stretch the scale of a criterion changes how often each is first, as it must.
func TestScaleMatters(t *testing.T) {
	p := table(map[string][]float64{"A": {1, 0}, "B": {0, 1}, "C": {0.6, 0.6}}, "A", "B", "C")
	p.Criteria[0].Worth = choice.Linear(-1, 1) // now A is worth 1, C 0.8, B 0.5
	a, err := p.Accept(nil, choice.Options{Draws: 100_000, Seed: 1, AnyWeights: true})
	if err != nil {
		t.Fatal(err)
	}
	// A before C where 0.2 w > 0.6 (1 − w), w > 0.75
	near(t, "A first", a.Rank[0][0], 0.25, 0.006)
}

// TestDoubtsSpread: two alternatives alike but for a doubt are first half the time, and twins in the same doubt always share.
func TestDoubtsSpread(t *testing.T) {
	p := table(map[string][]float64{"A": {0.5}, "B": {0.5}}, "A", "B")
	p.Alternatives[0].Doubts = []choice.Doubt{{Key: "x", Name: "X", Low: []float64{0.3}, High: []float64{0.7}}}
	a, err := p.Accept(nil, choice.Options{Draws: 200_000, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "A first", a.Rank[0][0], 0.5, 0.005)
	near(t, "lower end of A", a.Totals[0].P05, 0.5-0.2*0.5*1.6449, 0.002) // normal, two deviations to the end
	p.Alternatives[1].Doubts = p.Alternatives[0].Doubts
	if a, err = p.Accept(nil, choice.Options{Draws: 2000, Seed: 1, Common: 1}); err != nil {
		t.Fatal(err)
	}
	near(t, "both in the same doubt", a.Rank[0][0], 0.5, 1e-12)
	near(t, "A over B", a.Beats[0][1], 0.5, 1e-12)
}

// TestConfidenceOfOneDraw: doubtful values vary in the confidence as well where one draw is asked for.
func TestConfidenceOfOneDraw(t *testing.T) {
	p := table(map[string][]float64{"A": {0.6}, "B": {0.55}}, "A", "B")
	p.Alternatives[1].Doubts = []choice.Doubt{{Key: "x", Name: "X", Low: []float64{0.45}, High: []float64{0.65}}}
	first, sure := 0.0, 0.0
	for seed := range uint64(2000) {
		a, err := p.Accept(nil, choice.Options{Draws: 1, Seed: 2 * seed})
		if err != nil {
			t.Fatal(err)
		}
		if a.Central[0] != nil { // and the confidence is drawn anew
			first++
			sure += a.Confidence[0]
		}
	}
	near(t, "A first", first/2000, 0.8413, 0.04)
	near(t, "confidence of A", sure/first, 0.8413, 0.04) // Φ(1): the ends are two deviations away
}

func FuzzDecide(f *testing.F) {
	f.Add(1.0, 0.0, 5.0, 2.0, 3.0, true)
	f.Fuzz(func(_ *testing.T, a, b, low, high, bound float64, most bool) {
		p := table(map[string][]float64{"A": {a, b}, "B": {b, a}}, "A", "B")
		p.Aims[0].Weight = choice.Range{Low: low, High: high}
		p.Criteria[1].Worth = choice.Linear(a, b)
		p.Limits = []choice.Limit{{Criterion: 0, AtMost: most, Bound: bound}}
		d, err := choice.Decide(p, choice.Options{Draws: 10})
		if err != nil {
			return
		}
		d.VerdictText()
		for i := range p.Alternatives {
			d.Paragraph(i)
		}
	})
}

// problemOf makes the problem of the benchmarks.
func problemOf(alternatives, criteria, doubts int) *choice.Problem {
	p := &choice.Problem{}
	for j := range criteria {
		p.Criteria = append(p.Criteria, choice.Criterion{Key: fmt.Sprint(j), Name: fmt.Sprint(j), Better: 1, Worth: choice.Linear(0, 1)})
		p.Aims = append(p.Aims, choice.Aim{Key: fmt.Sprint(j), Name: fmt.Sprint(j), Weight: choice.Range{Low: 2, High: 8}, Parts: []choice.Part{{Criterion: j, Share: 1}}})
	}
	x := 0.37
	next := func() float64 { x = math.Mod(x*997+0.123, 1); return x }
	for i := range alternatives {
		a := choice.Alternative{Name: fmt.Sprint(i)}
		for range criteria {
			a.Values = append(a.Values, next())
		}
		for k := range doubts {
			low, high := slices.Clone(a.Values), slices.Clone(a.Values)
			for j := range low {
				low[j] -= 0.1 * next()
				high[j] += 0.1 * next()
			}
			a.Doubts = append(a.Doubts, choice.Doubt{Key: fmt.Sprint(k), Name: "x", Low: low, High: high})
		}
		p.Alternatives = append(p.Alternatives, a)
	}
	return p
}

// BenchmarkAccept draws 100 000 weights for 10 alternatives by 8 criteria.
func BenchmarkAccept(b *testing.B) {
	for _, c := range []struct {
		name    string
		doubts  int
		workers int
	}{{"weights/one", 0, 1}, {"weights", 0, 0}, {"weights and 25 doubts each", 25, 0}} {
		b.Run(c.name, func(b *testing.B) {
			p := problemOf(10, 8, c.doubts)
			for b.Loop() {
				if _, err := p.Accept(nil, choice.Options{Draws: 100_000, Seed: 1, AnyWeights: true, Workers: c.workers}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkDecide(b *testing.B) {
	p := problemOf(10, 8, 25)
	for b.Loop() {
		if _, err := choice.Decide(p, choice.Options{Draws: 20_000, Seed: 1}); err != nil {
			b.Fatal(err)
		}
	}
}
