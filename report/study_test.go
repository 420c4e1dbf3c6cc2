package report_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"crankwright/report"
	"crankwright/search"
	"crankwright/study"
)

// studied evaluates a whole study of an example engine.
func studied(t *testing.T, text string) (*search.Problem, *study.Outcome) {
	t.Helper()
	b, err := search.Gather("a.study.yaml", func(name string) ([]byte, error) {
		if name == "a.study.yaml" {
			return []byte(text), nil
		}
		return os.ReadFile(filepath.Join("..", "examples", name))
	})
	if err != nil {
		t.Fatal(err)
	}
	p, err := search.Open(b)
	if err != nil {
		t.Fatal(err)
	}
	o := study.NewOutcome(p)
	size, err := p.Space().Size()
	if err != nil {
		t.Fatal(err)
	}
	kept, left := study.NewBatch(len(p.Columns())), make([]study.Count, len(p.Rules()))
	r := study.Shard{To: size}
	if err := p.Evaluator().Evaluate(r, kept, left, func() bool { return false }); err != nil {
		t.Fatal(err)
	}
	o.Add(p, r, kept, left)
	return p, o
}

const shapes = `name: Shapes and cranks
base: inline-six.engine.yaml
vary:
  layout.cylinders: [4, 5]
  layout.pins: {all: 90 deg}
  layout.firing_order: all
require: {firing_evenness: ">= 0.4"}
minimise: [free_force_order_2, free_moment_order_1]
maximise: [firing_evenness]
`

// What the verbs of study print is what the schema says, the certificate adds up, and the front is that of the outcome.
func TestStudyDocs(t *testing.T) {
	p, o := studied(t, shapes)
	d := report.NewStudyDoc(p, o, "a.results", true)
	sum := d.Certificate.Kept
	for _, l := range d.Certificate.Left {
		sum += l.N
		if (l.N > 0) != (l.First != nil) {
			t.Errorf("%s: %d left out, the first is %v", l.Rule, l.N, l.First)
		}
	}
	if !d.Certificate.Complete || sum != d.Certificate.Enumerated || sum != d.Size.Total || sum != d.Certificate.Sum {
		t.Errorf("certificate: %+v, sum %d", d.Certificate, sum)
	}
	if len(d.Front) != len(o.Front) || len(d.Front) < 3 {
		t.Fatalf("the front has %d candidates, that of the outcome %d", len(d.Front), len(o.Front))
	}
	telling := d.Telling(3)
	for k, best := range d.Best { // of those that are equal another may be in the front
		c := len(d.Columns) - 3 + k
		found := false
		for _, q := range d.Front {
			for _, n := range telling {
				found = found || q.Number == n && q.Values[c] == best.Points[0].Values[c]
			}
		}
		if !found {
			t.Errorf("none of %v is best in %s", telling, best.Aim)
		}
	}
	for words, q := range map[string]*report.StudyQueryDoc{
		"2 of 7 rows; --most prints more.":      {Rows: [][]any{{1.0}, {2.0}}, Matched: 7, More: true},
		"The first 2 rows; --most prints more.": {Rows: [][]any{{1.0}, {2.0}}, Matched: 2, More: true}, // of SQL
		"2 rows.\n":                             {Rows: [][]any{{1.0}, {2.0}}, Matched: 2},
		"No candidate satisfies it.":            {},
	} {
		q.Columns, q.Whole = []report.StudyQueryColumnDoc{{Key: "x", Name: "X"}}, true
		if text := report.StudyQueryText(q, report.Screen{Width: 80}); !strings.Contains(text, words) {
			t.Errorf("want %q, have:\n%s", words, text)
		}
	}
	part := report.NewStudyDoc(p, study.NewOutcome(p), "", false)
	if part.Certificate.Complete || !strings.Contains(part.Certificate.Words[0], "0 of ") {
		t.Errorf("a part is certified: %+v", part.Certificate)
	}
	c, err := p.Candidate(d.Front[0].Number)
	if err != nil {
		t.Fatal(err)
	}
	kept := &report.StudyKeptDoc{Base: p.Study.Base, Candidates: []report.StudyKeptOneDoc{report.NewStudyKeptOneDoc(c, "a.engine.yaml", "")}}
	query := &report.StudyQueryDoc{
		Columns: []report.StudyQueryColumnDoc{{Key: "candidate", Name: "Candidate", Unit: "1"}, {Key: "length", Name: "Length", Unit: "mm"}},
		Rows:    [][]any{{uint64(3), 512.25}, {uint64(4), nil}}, Matched: 7, More: true,
	}
	size := report.NewStudySizesDoc(p, 1000, 2)
	validates(t, map[string]any{"size": size, "run": d, "evolve": part, "keep": kept, "query": query})
	for _, width := range []int{60, 80, 100, 140} {
		screen := report.Screen{Width: width}
		for name, text := range map[string]string{
			"size": report.StudySizeText(size, screen), "run": report.StudyText(d, screen), "part": report.StudyText(part, screen),
			"query": report.StudyQueryText(query, screen), "keep": report.StudyKeptText(kept, screen),
		} {
			for _, line := range strings.Split(text, "\n") {
				if n := utf8.RuneCountInString(line); n > width {
					t.Errorf("%s at %d columns: a line has %d: %s", name, width, n, line)
				}
			}
		}
	}
	for _, name := range d.Figures() {
		if _, err := d.Figure(name); err != nil {
			t.Error(err)
		}
	}
}

// validates holds documents against the published schema of the search.
func validates(t *testing.T, all map[string]any) {
	t.Helper()
	text, err := report.SearchSchema()
	if err != nil {
		t.Fatal(err)
	}
	schema, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("search", schema); err != nil {
		t.Fatal(err)
	}
	compiled, err := c.Compile("search")
	if err != nil {
		t.Fatal(err)
	}
	data, err := report.Encode(all)
	if err != nil {
		t.Fatal(err)
	}
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	if err := compiled.Validate(v); err != nil {
		t.Error(err)
	}
	if compiled.Validate(map[string]any{"run": map[string]any{}}) == nil {
		t.Error("the schema accepts a run that is empty")
	}
}

// A report of a search alone has no engine in it, and the same bytes twice.
func TestStudyReport(t *testing.T) {
	p, o := studied(t, shapes)
	rep := report.Report{Study: report.NewStudyDoc(p, o, "a.results", true), Inputs: []report.Input{{Name: "a.study.yaml", Text: shapes}}, Version: "test"}
	for name, write := range map[string]func() ([]byte, error){"html": rep.HTML, "pdf": rep.PDF, "md": rep.Markdown, "csv": rep.CSV} {
		one, err := write()
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		two, err := write()
		if err != nil || !bytes.Equal(one, two) {
			t.Errorf("%s: not the same twice, %v", name, err)
		}
		if name == "html" || name == "md" {
			for _, want := range []string{"Shapes and cranks", "nothing was passed over", "Burnside", "Best by each aim", rep.Study.Digest, "The front"} {
				if !strings.Contains(string(one), want) {
					t.Errorf("%s lacks %q", name, want)
				}
			}
			for _, no := range []string{"Comparison table", "NaN", "line-up"} {
				if strings.Contains(strings.SplitN(string(one), "</style>", 2)[len(strings.SplitN(string(one), "</style>", 2))-1], no) {
					t.Errorf("%s has %q, of engines that are not there", name, no)
				}
			}
		}
	}
}

const vees = `name: Coarse vees
base: vee-four-90-offset-000.engine.yaml
vary:
  layout.bank_angle: [70 deg, 85 deg, 100 deg]
  layout.cylinders: [2, 4]
minimise: [force_order_1_against_crank, mean_piston_speed]
`

// A report says of candidates that were refined what moved, what that does and what they set, and of others that nothing better
// was found.
func TestRefinedReport(t *testing.T) {
	p, o := studied(t, vees)
	d := report.NewStudyDoc(p, o, "a.results", true)
	bare, err := report.Report{Study: d, Version: "test"}.CSV()
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range []uint64{1, 4} {
		r, err := p.Refine(n, search.RefineOptions{Front: o.Front, Evaluations: 120}, func() bool { return false })
		if err != nil {
			t.Fatal(err)
		}
		d.Refined = append(d.Refined, report.NewStudyRefinedDoc(p, r))
	}
	one := d.Refined[0]
	if f := one.Figures[0]; !one.Better || one.Moved[0].Name != "Bank angle" || f.Wanted != "less" || f.Change != "less" || f.After != 0 {
		t.Fatalf("%+v", one)
	}
	if f := one.Figures[1]; f.Change != "same" { // what is rounding only is no change
		t.Errorf("%+v", f)
	}
	if !strings.Contains(one.Settings[0].Key, "cylinders") { // all that it sets in the base
		t.Errorf("%+v", one.Settings)
	}
	none := *one
	none.Number, none.Better, none.Evaluations = 5, false, 1
	d.Refined = append(d.Refined, &none)
	validates(t, map[string]any{"refine": one})
	rep := report.Report{Study: d, Version: "test"}
	for name, write := range map[string]func() ([]byte, error){"html": rep.HTML, "md": rep.Markdown, "pdf": rep.PDF} {
		text, err := write()
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if name == "pdf" {
			continue
		}
		for _, want := range []string{"Refined between the steps", "Candidate 1", "Candidate 5", "What moved", "85\u00a0deg", "What it does", "What it sets in the base", "Nothing better was found in 1 analysis"} {
			if !strings.Contains(string(text), want) {
				t.Errorf("%s lacks %q", name, want)
			}
		}
	}
	table, err := rep.CSV()
	if err != nil {
		t.Fatal(err)
	}
	before, after := strings.Split(strings.TrimSpace(string(bare)), "\n"), strings.Split(strings.TrimSpace(string(table)), "\n")
	better := 0
	for _, r := range d.Refined {
		if r.Better {
			better++
		}
	}
	if !strings.HasPrefix(after[0], "candidate,alike,refined,") || len(after) != len(before)+better || !strings.HasPrefix(after[len(before)], "1,0,yes,") || strings.HasPrefix(before[0], "candidate,alike,refined") {
		t.Errorf("%s", table)
	}
}
