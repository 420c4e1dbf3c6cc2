package decision_test

import (
	"context"
	"errors"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"crankwright/analysis"
	"crankwright/brief"
	"crankwright/choice"
	"crankwright/decision"
	"crankwright/spec"
)

// offhand is an engine of which nearly everything is estimated; weighed is the same with its parts given.
const offhand = `name: Offhand four
cycle: four-stroke
bore: 84 mm
stroke: 88 mm
layout: {arrangement: inline, cylinders: 4}
speeds: {rated: 5200 rpm}
`

const weighed = `name: Weighed four
cycle: four-stroke
bore: 84 mm
stroke: 88 mm
layout: {arrangement: inline, cylinders: 4}
rod: {length: 145 mm, mass: 0.62 kg, cg_from_big_end: 38 mm, inertia: 0.0030 kg m2}
piston: {mass: 0.48 kg}
speeds: {rated: 5200 rpm}
`

func ask(t *testing.T, text string) *brief.Brief {
	t.Helper()
	b, err := spec.ReadBrief("test.brief.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

const smooth = `name: Smooth
limits: {free_force_order_1: 500 N, speed: <= 6000 rpm}
priorities: {free_force_order_2: 8, mean_piston_speed: 3}
`

func candidate(name, text string) decision.Candidate {
	return decision.Candidate{File: name, Data: []byte(text)}
}

func example(t *testing.T, name string) decision.Candidate {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "examples", name))
	if err != nil {
		t.Fatal(err)
	}
	return decision.Candidate{File: "boats/" + name, Data: data}
}

func enter(t *testing.T, b *brief.Brief, c decision.Candidate, opt decision.EnterOptions) decision.Entrant {
	t.Helper()
	e, err := decision.Enter(context.Background(), b, c, opt)
	if err != nil {
		t.Fatal(err)
	}
	return e
}

func judge(t *testing.T, b *brief.Brief, list ...decision.Entrant) *decision.Choice {
	t.Helper()
	c, err := decision.Judge(b, list, choice.Options{Draws: 4000, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// TestEnter evaluates with the chapters that the brief asks for, and with doubts only where they are wanted.
func TestEnter(t *testing.T) {
	b := ask(t, smooth)
	sure := enter(t, b, candidate("a.engine.yaml", offhand), decision.EnterOptions{Certain: true})
	if sure.Doubts != nil || sure.File != "a.engine.yaml" || sure.Text != offhand || sure.Result.Train.Name != "Offhand four" {
		t.Errorf("%+v", sure)
	}
	if sure.Result.Drive != nil || sure.Result.Space != nil || sure.Result.Parts != nil {
		t.Error("chapters were computed that this brief does not ask for")
	}
	told := 0
	e := enter(t, b, candidate("a.engine.yaml", offhand), decision.EnterOptions{Progress: func(done, of int) {
		if told++; done != told || of < done {
			t.Errorf("%d of %d was told as the %dth", done, of, told)
		}
	}})
	if e.Doubts == nil || len(e.Doubts.List) == 0 || told == 0 {
		t.Fatalf("no doubts of an engine whose masses are estimated; %d steps were told", told)
	}
	var keys, figures []string
	for _, d := range e.Doubts.List {
		keys = append(keys, d.Key)
	}
	for _, f := range e.Doubts.Figures {
		figures = append(figures, f.Key)
	}
	if !slices.Contains(keys, "piston.mass") || !slices.Contains(keys, "rod.length") {
		t.Errorf("doubts of %q; the second order hangs on the piston's mass and the rod's length", keys)
	}
	slices.Sort(figures)
	if want := []string{"free_force_order_1", "free_force_order_2", "mean_piston_speed"}; !slices.Equal(figures, want) {
		t.Errorf("figures %q, want %q", figures, want)
	}
	if !reflect.DeepEqual(brief.ValuesOf(e.Result), brief.ValuesOf(sure.Result)) {
		t.Error("doubts change the figures of the engine as it is estimated")
	}
	more := enter(t, b, candidate("a.engine.yaml", offhand), decision.EnterOptions{Certain: true, Analysis: analysis.Options{Space: true, Speed: 300}})
	if more.Result.Space == nil || more.Result.Speed != 300 {
		t.Errorf("what is analysed beside the brief was not heard: %g rad/s", more.Result.Speed)
	}
	fast := enter(t, b, candidate("a.engine.yaml", weighed), decision.EnterOptions{Analysis: analysis.Options{Speed: 300}})
	if f := fast.Doubts.Figures[slices.IndexFunc(fast.Doubts.Figures, func(f analysis.Figure) bool { return f.Key == "free_force_order_2" })]; math.Abs(f.Value-brief.ValuesOf(fast.Result)["free_force_order_2"]) > 1e-9*f.Value {
		t.Errorf("doubts stand about %g N, the engine has %g N at its speed", f.Value, brief.ValuesOf(fast.Result)["free_force_order_2"])
	}
}

// TestEnterErrors places what is wrong in the file.
func TestEnterErrors(t *testing.T) {
	b := ask(t, smooth)
	for _, c := range []struct {
		text, want string
		strict     bool
	}{
		{strings.Replace(offhand, "bore: 84 mm", "bore: 84", 1), "boats/x.engine.yaml:3:7", false},
		{strings.Replace(offhand, "cylinders: 4", "cylinderz: 4", 1), `boats/x.engine.yaml:5:31: unknown key "cylinderz"; did you mean "cylinders"`, false},
		{strings.Replace(weighed, "length: 145 mm", "length: 30 mm", 1), "boats/x.engine.yaml:6:15", false},
		{offhand, "boats/x.engine.yaml:", true},
	} {
		e, err := decision.Enter(context.Background(), b, candidate("boats/x.engine.yaml", c.text), decision.EnterOptions{Strict: c.strict})
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v, want %s", err, c.want)
		}
		if e.File != "boats/x.engine.yaml" {
			t.Errorf("the entrant is called %q", e.File)
		}
	}
}

// TestEnterStops ends with the context's error, and not with doubts that are half done.
func TestEnterStops(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	b := ask(t, smooth)
	if _, err := decision.Enter(ctx, b, candidate("a.engine.yaml", offhand), decision.EnterOptions{}); !errors.Is(err, context.Canceled) {
		t.Errorf("%v, want %v", err, context.Canceled)
	}
	ctx, stop = context.WithCancel(context.Background())
	e, err := decision.Enter(ctx, b, candidate("a.engine.yaml", offhand), decision.EnterOptions{Progress: func(int, int) { stop() }})
	if !errors.Is(err, context.Canceled) || e.Doubts != nil {
		t.Errorf("%v, doubts %v", err, e.Doubts)
	}
}

// TestJudge ranks engines, leaves out what cannot be judged and says so.
func TestJudge(t *testing.T) {
	b := ask(t, `name: Strong
limits: {oil_film: '>= 0.1 µm'}
priorities: {smoothness: 5, compactness: 5}
`)
	sure := decision.EnterOptions{Certain: true}
	four := enter(t, b, example(t, "inline-four-flat.engine.yaml"), sure)
	twin := enter(t, b, example(t, "vee-twin-90.engine.yaml"), sure)
	odd := enter(t, b, example(t, "offset-pair.engine.yaml"), sure)
	c := judge(t, b, four, odd, twin)
	if len(c.Entrants) != 2 || c.Entrants[0].File != "boats/inline-four-flat.engine.yaml" || c.Entrants[1].File != "boats/vee-twin-90.engine.yaml" {
		t.Fatalf("judged are %d: %+v", len(c.Entrants), c.Left)
	}
	for i, a := range c.Decision.Problem.Alternatives {
		if a.Name != c.Entrants[i].Result.Train.Name || len(a.Doubts) != 0 {
			t.Errorf("alternative %d is %s with %d doubts", i, a.Name, len(a.Doubts))
		}
	}
	if len(c.Left) != 1 || c.Left[0].File != "boats/offset-pair.engine.yaml" || c.Left[0].Name != "Unequal offset pair" || !strings.HasPrefix(c.Left[0].Why, "Thinnest oil film is not known of it: ") {
		t.Errorf("left out: %+v", c.Left)
	}
	if b := c.Decision.Ranges.Beats; b[0][1]+b[1][0] != 1 {
		t.Errorf("a pair beats each other %g and %g of the time", b[0][1], b[1][0])
	}
	// the sequence of the files is no matter
	again := judge(t, b, twin, four)
	if again.Decision.Ranges.Rank[1][0] != c.Decision.Ranges.Rank[0][0] || again.Decision.Places[1] != c.Decision.Places[0] {
		t.Errorf("in another sequence the four is first %g of the time, not %g", again.Decision.Ranges.Rank[1][0], c.Decision.Ranges.Rank[0][0])
	}
	for _, bad := range []struct {
		list []decision.Entrant
		want string
	}{
		{nil, "there is no engine to choose from"},
		{[]decision.Entrant{odd}, "no engine can be judged by this brief: Unequal offset pair: Thinnest oil film is not known of it"},
	} {
		if _, err := decision.Judge(b, bad.list, choice.Options{Draws: 100}); err == nil || !strings.Contains(err.Error(), bad.want) {
			t.Errorf("%v, want %s", err, bad.want)
		}
	}
	if _, err := decision.Judge(b, []decision.Entrant{four, twin}, choice.Options{Draws: -1}); err == nil || !strings.Contains(err.Error(), "draws") {
		t.Errorf("%v", err)
	}
}

// TestDoubtsWiden: what is estimated widens the band of an engine, and each doubt that is added to it widens it more.
func TestDoubtsWiden(t *testing.T) {
	b := ask(t, `name: Smooth
priorities: {free_force_order_2: 8}
worth: {free_force_order_2: {best: 0 N, worst: 30 kN}}
`)
	doubtful := enter(t, b, candidate("a.engine.yaml", offhand), decision.EnterOptions{})
	other := enter(t, b, candidate("b.engine.yaml", weighed), decision.EnterOptions{})
	width := func(e decision.Entrant) float64 {
		band := judge(t, b, e, other).Decision.Ranges.Totals[0]
		return band.P95 - band.P05
	}
	sure := doubtful
	sure.Doubts = nil
	if w := width(sure); w > 1e-3 { // a bin
		t.Errorf("an engine that is certain has a band of %g", w)
	}
	before := width(sure)
	list := slices.Clone(doubtful.Doubts.List)
	slices.SortFunc(list, func(a, b decision.Doubt) int { return strings.Compare(a.Key, b.Key) })
	wide := 0
	for n := 1; n <= len(list); n++ {
		some := *doubtful.Doubts
		some.List = list[:n]
		e := doubtful
		e.Doubts = &some
		w := width(e)
		if w < before-2e-3 { // the bins, and other draws
			t.Errorf("with the doubt about %s the band shrinks from %g to %g", list[n-1].Key, before, w)
		}
		if w > before+5e-3 {
			wide++
		}
		before = w
	}
	if wide < 2 || before < 0.05 {
		t.Errorf("%d doubts widen the band, to %g", wide, before)
	}
	if d, w := judge(t, b, doubtful, other).Decision, width(other); width(doubtful) <= w {
		t.Errorf("an engine that is estimated is as sure as one that was weighed: %g, %g; %+v", width(doubtful), w, d.Verdict)
	}
}

// TestDoubtsStandInTheirColumns holds the ends of a doubt in the problem against the figures that were computed.
func TestDoubtsStandInTheirColumns(t *testing.T) {
	b := ask(t, smooth)
	e := enter(t, b, candidate("a.engine.yaml", offhand), decision.EnterOptions{})
	p := judge(t, b, e, enter(t, b, candidate("b.engine.yaml", weighed), decision.EnterOptions{Certain: true})).Decision.Problem
	a := p.Alternatives[0]
	if len(a.Doubts) != len(e.Doubts.List) {
		t.Fatalf("%d doubts of %d", len(a.Doubts), len(e.Doubts.List))
	}
	for n, d := range e.Doubts.List {
		got := a.Doubts[n]
		for j, c := range p.Criteria {
			low, high := a.Values[j], a.Values[j]
			if i := slices.IndexFunc(e.Doubts.Figures, func(f analysis.Figure) bool { return f.Key == c.Key }); i >= 0 && d.Low.Figures != nil {
				low, high = d.Low.Figures[i], d.High.Figures[i]
			}
			if got.Low[j] != low || got.High[j] != high {
				t.Errorf("%s, %s: %g to %g, want %g to %g", d.Key, c.Key, got.Low[j], got.High[j], low, high)
			}
		}
		if got.Input(0) != d.Shown || got.Input(-1) != d.Low.Shown || got.Input(1) != d.High.Shown {
			t.Errorf("%s: %s, %s, %s in words, want %s, %s, %s", d.Key, got.Input(-1), got.Input(0), got.Input(1), d.Low.Shown, d.Shown, d.High.Shown)
		}
	}
}
