package report_test

import (
	"os"
	"strings"
	"testing"

	"crankwright/analysis"
	"crankwright/choice"
	"crankwright/decision"
	"crankwright/report"
	"crankwright/spec"
)

// A four with a shorter stroke is slower and shakes, the six is faster and does not: 50 points each.
func tied(t *testing.T) (*report.ChoiceDoc, report.Report) {
	t.Helper()
	b, err := spec.ReadBrief("tie.brief.yaml", []byte("name: Tie\npriorities: {free_force_order_2: 5, mean_piston_speed: 5}\n"))
	if err != nil {
		t.Fatal(err)
	}
	var list []decision.Entrant
	rep := report.Report{Version: "test"}
	for _, name := range []string{"inline-six", "inline-four-flat"} {
		data, err := os.ReadFile("../examples/" + name + ".engine.yaml")
		if err != nil {
			t.Fatal(err)
		}
		text := strings.NewReplacer("name: Inline four, flat-plane", "name: Short four", "stroke: 86 mm", "stroke: 60 mm").Replace(string(data))
		e, err := decision.Enter(t.Context(), b, decision.Candidate{File: name + ".engine.yaml", Data: []byte(text)}, decision.EnterOptions{Certain: true})
		if err != nil {
			t.Fatal(err)
		}
		list, rep.Results = append(list, e), append(rep.Results, e.Result)
	}
	c, err := decision.Judge(b, list, choice.Options{Draws: 5000, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	rep.Choice = report.NewChoiceDoc(c, 1)
	return rep.Choice, rep
}

func TestTieIsSaid(t *testing.T) {
	d, rep := tied(t)
	data, err := report.Encode(d)
	if err != nil {
		t.Fatal(err)
	}
	page, err := rep.Markdown()
	if err != nil {
		t.Fatal(err)
	}
	for what, text := range map[string]string{"text": report.ChoiceText(d, report.Screen{Width: 120}), "JSON": string(data), "report": string(page)} {
		plain := strings.Join(strings.Fields(strings.ReplaceAll(text, "\u00a0", " ")), " ")
		if !strings.Contains(plain, "Inline six and Short four share the first place with 50.0 points of 100.") {
			t.Errorf("%s does not say that both are first", what)
		}
		for _, no := range []string{"most points", "No single figure", "moved alone"} {
			if strings.Contains(plain, no) {
				t.Errorf("%s says %q", what, no)
			}
		}
	}
	force, speed := d.Weights[0], d.Weights[1] // of the force the six is worth more, of the speed the four
	if force.Down == nil || force.Down.At != 5 || force.Up != nil || speed.Up == nil || speed.Up.At != 5 || speed.Down != nil {
		t.Errorf("free force %+v, piston speed %+v", force, speed)
	}
	if len(d.Values) != 0 {
		t.Errorf("the second would need %v", d.Values)
	}
}

// A crank below the rule is said in every place: the verdict where it is first, its words, the document, its sheet, a comparison.
func TestGuidanceIsSaid(t *testing.T) {
	b, err := spec.ReadBrief("x.brief.yaml", []byte("name: Smooth\npriorities: {free_force_order_2: 5}\n"))
	if err != nil {
		t.Fatal(err)
	}
	d := chosenBy(t, 0, b, "inline-five", "inline-four-flat")
	weak := d.Engines[0]
	train, _, err := spec.ReadEngineFile("../examples/inline-five.engine.yaml", spec.Options{})
	if err != nil {
		t.Fatal(err)
	}
	r, err := analysis.Run(train, analysis.Options{Drive: true, Guided: true})
	if err != nil {
		t.Fatal(err)
	}
	const says = "has an acceptability factor of 1 where the rule demands 1.15"
	for what, text := range map[string]string{
		"verdict": strings.Join(d.Verdict.Words, " "), "words": strings.Join(weak.Words, " "), "guidance": strings.Join(weak.Guidance, " "),
		"choice": report.ChoiceText(d, report.Screen{Width: 100}), "sheet": report.Text(r, report.Screen{Width: 100}),
		"comparison": report.CompareText([]*analysis.Result{r, r}, -1, report.Screen{Width: 100}), "document": strings.Join(report.NewDocument(r, report.Detail{}).Guidance, " "),
	} {
		if !strings.Contains(strings.Join(strings.Fields(text), " "), says) {
			t.Errorf("%s does not say that it %s:\n%s", what, says, text)
		}
	}
	if r.Guidance.Meet != nil || r.Guidance.Bearings != nil {
		t.Errorf("it misses %+v", r.Guidance)
	}
	if other := d.Engines[1]; len(other.Guidance) > 0 || strings.Contains(strings.Join(other.Words, " "), "guidance") {
		t.Errorf("%s: %q", other.Name, other.Guidance)
	}
}
