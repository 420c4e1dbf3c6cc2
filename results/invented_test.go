package results

import (
	"math"
	"path/filepath"
	"testing"

	"crankwright/study"
)

// invented is a problem without an engine: two blocks of three axes, figures that are cheap to compute, one rule.
type invented struct {
	steps  int // values of each numeric axis
	pace   int
	digest string
	spoil  func(kept *study.Batch, left []study.Count) // makes an evaluator that is wrong
	each   func()                                      // called for each candidate
}

var inventedWords = []string{"none", "full", "{balance_factor: 50 %}"}

func (p invented) Space() study.Space {
	axes := []study.Axis{{Key: "layout.bank_angle", Count: p.steps}, {Key: "crank.counterweights", Count: len(inventedWords)}, {Key: "cylinder.stroke", Count: p.steps}}
	return study.Space{Blocks: []study.Block{{Name: "inline", Axes: axes[1:]}, {Name: "vee", Axes: axes}}}
}

func (p invented) Columns() []study.Column {
	angles := []string{}
	for i := range p.steps {
		angles = append(angles, number(i)+" deg")
	}
	return []study.Column{
		{Key: "layout.bank_angle", Name: "Bank angle", Unit: "deg", Kind: study.Input, Texts: angles},
		{Key: "crank.counterweights", Name: "Counterweights", Unit: "1", Kind: study.Input, Texts: inventedWords},
		{Key: "cylinder.stroke", Name: "Stroke", Unit: "mm", Kind: study.Input},
		{Key: "free_force_order_2", Name: "Free force, order 2", Unit: "N", Kind: study.Figure},
		{Key: "free_moment_order_1", Name: "Free moment, order 1", Unit: "N m", Kind: study.Figure},
		{Key: "firing_evenness", Name: "Firing evenness", Unit: "1", Kind: study.Figure},
	}
}

func number(i int) string {
	text := ""
	for {
		text = string(rune('0'+i%10)) + text
		if i /= 10; i == 0 {
			return text
		}
	}
}

func (p invented) Aims() []study.Aim {
	return []study.Aim{{Column: 3}, {Column: 4}, {Column: 5, More: true}}
}

func (p invented) Rules() []string {
	return []string{"free force, order 2, at most 1900 N", "stroke not 7 mm"}
}
func (p invented) Pace() int      { return p.pace }
func (p invented) Digest() string { return p.digest }

func (p invented) Evaluator() study.Evaluator { return &inventor{p: p, space: p.Space()} }

type inventor struct {
	p     invented
	space study.Space
	at    []int
}

// row returns the values of one candidate.
func (e *inventor) row(n uint64, row []float64) {
	block, digits := e.space.At(e.at, n)
	e.at = digits
	angle := math.NaN()
	if block == 1 {
		angle, digits = float64(digits[0]), digits[1:]
	}
	weights, stroke := float64(digits[0]), 50+float64(digits[1])
	row[0], row[1], row[2] = angle, weights, stroke
	a := angle
	if block == 0 {
		a = 0
	}
	row[3] = 1000 + 1000*math.Cos(a*math.Pi/45)*math.Sin(stroke)
	row[4] = math.Abs(a-float64(e.p.steps)/3)*10 + 100*weights + math.Mod(stroke*7.3, 11)
	row[5] = 1 / (1 + math.Abs(math.Sin(a+stroke*stroke)))
}

func (e *inventor) Evaluate(r study.Shard, kept *study.Batch, left []study.Count, stop func() bool) error {
	row := make([]float64, 6)
	for n := r.From; n < r.To; n++ {
		if n%64 == 0 && stop() {
			return study.ErrStopped
		}
		if e.p.each != nil {
			e.p.each()
		}
		e.row(n, row)
		switch {
		case row[3] > 1900:
			left[0].Add(n)
		case row[2] == 57:
			left[1].Add(n)
		default:
			kept.Index = append(kept.Index, n)
			for i, x := range row {
				kept.Values[i] = append(kept.Values[i], x)
			}
		}
	}
	if e.p.spoil != nil {
		e.p.spoil(kept, left)
	}
	return nil
}

func (e *inventor) Pick(list []uint64, kept *study.Batch, left []study.Count, stop func() bool) error {
	for _, i := range list {
		if err := e.Evaluate(study.Shard{From: i, To: i + 1}, kept, left, stop); err != nil {
			return err
		}
	}
	return nil
}

var bundle = study.Bundle{Study: "pilot.study.yaml", Files: map[string][]byte{
	"pilot.study.yaml": []byte("base: ../pilot.engine.yaml\n"), "../pilot.engine.yaml": []byte("name: pilot\n"), "briefs/harbour.brief.yaml": []byte("name: harbour\n"),
}}

// usual is small: 3 · 30 + 30 · 3 · 30 candidates in ranges of 60.
var usual = invented{steps: 30, pace: 20, digest: "a"}

func create(t testing.TB, dir string, p study.Problem) *Folder {
	t.Helper()
	f, err := Create(dir, p, bundle)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = f.Close() })
	return f
}

// ran returns the folder of a problem that was run, open for reading.
func ran(t testing.TB, p study.Problem) *Folder {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "results")
	f := create(t, dir, p)
	if err := Run(t.Context(), p, f, Options{}); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	f, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	return f
}
