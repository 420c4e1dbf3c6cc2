package report_test

import (
	"math"
	"strings"
	"testing"

	"crankwright/analysis"
	"crankwright/report"
	"crankwright/spec"
)

// TestAboveTheLimit: a result for a speed above the highest of its file says so in every text, and one below nowhere.
func TestAboveTheLimit(t *testing.T) {
	const file, other = "inline-four-flat", "vee-four-72"
	for rpm, want := range map[float64]bool{9000: true, 6000: false} {
		ω := rpm * math.Pi / 30
		var rs []*analysis.Result
		for _, name := range []string{file, other} {
			train, _, err := spec.ReadEngineFile("../examples/"+name+".engine.yaml", spec.Options{})
			if err != nil {
				t.Fatal(err)
			}
			r, err := analysis.Run(train, analysis.Options{Speed: ω, Drive: true})
			if err != nil {
				t.Fatal(err)
			}
			rs = append(rs, r)
		}
		sheets, err := report.Report{Results: rs}.Markdown()
		if err != nil {
			t.Fatal(err)
		}
		d := chosenAt(t, ω, "pilot-boat", file, other)
		for name, text := range map[string]string{
			"evaluate": report.Text(rs[0], report.Screen{Width: 200}), "compare": report.CompareText(rs, -1, report.Screen{Width: 200}),
			"choose": report.ChoiceText(d, report.Screen{Width: 200}), "report": string(sheets),
		} {
			if strings.Contains(text, "above the limit of 6000 rpm") != want {
				t.Errorf("%s at %g rpm: above the limit: %v expected:\n%.1500s", name, rpm, want, text)
			}
		}
		if got := report.NewDocument(rs[0], report.Detail{}).AboveLimit; (got == 6000) != want || !want && got != 0 {
			t.Errorf("%g rpm: the document says %g", rpm, got)
		}
		sweep := report.SweepText(rs[0], []float64{ω / 2, ω}, report.Screen{Width: 200})
		if strings.Contains(sweep, "Speeds above 6000 rpm are above the limit of the engine.") != want {
			t.Errorf("%g rpm:\n%s", rpm, sweep)
		}
	}
}

// TestEvaluateSaysBeyond: the text of an engine tells where its friction is beyond the engines of the correlation.
func TestEvaluateSaysBeyond(t *testing.T) {
	r := engine(t, "vee-six")
	train := *r.Train
	for speed, want := range map[float64]bool{9000: true, 0: false} {
		r, err := analysis.Run(&train, analysis.Options{Speed: speed * math.Pi / 30, Drive: true})
		if err != nil {
			t.Fatal(err)
		}
		if text := report.Text(r, report.Screen{Width: 200}); strings.Contains(text, "Friction beyond the engines of its correlation: ") != want {
			t.Errorf("%g rpm: beyond: %v expected:\n%s", speed, want, text)
		}
	}
}
