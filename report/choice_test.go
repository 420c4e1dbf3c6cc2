package report_test

import (
	"bytes"
	"encoding/csv"
	"math"
	"os"
	"strings"
	"testing"

	"crankwright/analysis"
	"crankwright/brief"
	"crankwright/choice"
	"crankwright/decision"
	"crankwright/report"
	"crankwright/spec"
)

// chosenFor judges example engines by an example brief, estimates as they are.
func chosenFor(t testing.TB, briefName string, engines ...string) *report.ChoiceDoc {
	t.Helper()
	return chosenAt(t, 0, briefName, engines...)
}

// chosenAt is chosenFor at a crank speed [rad/s]; 0: the rated speed of each.
func chosenAt(t testing.TB, ω float64, briefName string, engines ...string) *report.ChoiceDoc {
	t.Helper()
	b, err := spec.ReadBriefFile("../examples/" + briefName + spec.BriefSuffix)
	if err != nil {
		t.Fatal(err)
	}
	return chosenBy(t, ω, b, engines...)
}

// chosenBy judges example engines by a brief at a crank speed, 0 for the rated one, estimates as they are.
func chosenBy(t testing.TB, ω float64, b *brief.Brief, engines ...string) *report.ChoiceDoc {
	t.Helper()
	var entrants []decision.Entrant
	for _, name := range engines {
		file := "../examples/" + name + ".engine.yaml"
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		e, err := decision.Enter(t.Context(), b, decision.Candidate{File: file, Data: data, Read: spec.FilesIn("../examples")}, decision.EnterOptions{Analysis: analysis.Options{Speed: ω}, Certain: true})
		if err != nil {
			t.Fatal(err)
		}
		entrants = append(entrants, e)
	}
	c, err := decision.Judge(b, entrants, choice.Options{Draws: 5000, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	return report.NewChoiceDoc(c, 1)
}

func pilots(t testing.TB) *report.ChoiceDoc {
	return chosenFor(t, "pilot-boat", "inline-four-flat", "vee-four-72", "vee-six-60-split", "opposed-four-own-pins")
}

func TestChoiceText(t *testing.T) {
	golden(t, "choose-pilot-boat-80", report.ChoiceText(pilots(t), report.Screen{Width: 80}))
}

// Points are the sum of what the priorities add, and the document says what the decision found.
func TestChoiceDocAddsUp(t *testing.T) {
	d := pilots(t)
	for i, e := range d.Engines {
		sum, whole := 0.0, 0.0
		for _, v := range e.ByPriority {
			sum += v
		}
		for _, v := range e.Rank {
			whole += v
		}
		stands := 1.0
		if len(e.Out) > 0 {
			stands = 0
		}
		if math.Abs(sum-e.Points) > 1e-9 || math.Abs(whole-stands) > 1e-9 || (e.Place == 0) != (len(e.Out) > 0) {
			t.Errorf("%s: priorities add up to %g of %g points, ranks to %g, place %d", e.Name, sum, e.Points, whole, e.Place)
		}
		if len(e.Values) != len(d.Criteria) || len(e.Low) != len(d.Criteria) || e.Points < 0 || e.Points > 100 {
			t.Errorf("engine %d: %d values, %g points", i, len(e.Values), e.Points)
		}
	}
	if first := d.Engines[d.Verdict.Leader]; first.Place != 1 {
		t.Errorf("the leader has the place %d", first.Place)
	}
}

func TestChoiceCSVIsATable(t *testing.T) {
	d := pilots(t)
	data, err := report.ChoiceCSV(d)
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll() // refuses rows of other lengths
	if err != nil || len(rows) != 1+len(d.Engines) {
		t.Errorf("%d rows: %v", len(rows), err)
	}
	seen := map[string]bool{}
	for _, head := range rows[0] {
		if seen[head] {
			t.Errorf("two columns are called %s", head)
		}
		seen[head] = true
	}
}

// Every figure draws for every kind of choice: many, two, one, none that stands.
func TestChoiceFigures(t *testing.T) {
	for name, d := range map[string]*report.ChoiceDoc{
		"four": pilots(t), "two": chosenFor(t, "city-van", "inline-three", "vee-four-72"),
		"one stands": chosenFor(t, "pilot-boat", "inline-four-flat", "vee-four-72"), "none stands": chosenFor(t, "pilot-boat", "single"),
	} {
		for _, figure := range report.ChoiceFigures() {
			f, err := d.Figure(figure, "", "")
			if err != nil {
				t.Errorf("%s, %s: %v", name, figure, err)
				continue
			}
			if f.Title == "" || f.Desc == "" || len(f.SVG()) < 500 {
				t.Errorf("%s, %s: title %q, %q", name, figure, f.Title, f.Desc)
			}
		}
		if text := report.ChoiceText(d, report.Screen{Width: 60}); strings.Contains(text, "NaN") || strings.Contains(text, "%!") {
			t.Errorf("%s: %s", name, text)
		}
	}
	d := pilots(t)
	for _, wrong := range [][3]string{{"pie", "", ""}, {"trade-off", "far", ""}, {"value-function", "nothing", ""}} {
		if _, err := d.Figure(wrong[0], wrong[1], wrong[2]); err == nil {
			t.Errorf("%v is drawn", wrong)
		}
	}
}
