package report

import (
	"math"
	"slices"
	"strings"
	"testing"
)

func TestRanges(t *testing.T) {
	for want, list := range map[string][]int{
		"":              nil,
		"4":             {4},
		"1, 2":          {2, 1},
		"1–3":           {1, 2, 3, 3},
		"1, 3–5, 7, 8":  {8, 7, 5, 4, 3, 1},
		"1, 3, 5, 9–12": {1, 3, 5, 9, 10, 11, 12},
	} {
		if got := ranges(list); got != want {
			t.Errorf("%v is written %q, want %q", list, got, want)
		}
	}
}

func TestMergeEstimates(t *testing.T) {
	a := EstimateDoc{Key: "a", Shown: "1 mm", Rule: "as usual", Source: "X"}
	wide, other, b := a, a, a
	wide.Shown = "2 mm"
	other.Rule, other.Shown = "as unusual", "3 mm"
	b.Key = "b"
	got := mergeEstimates([][]EstimateDoc{{a, b}, {wide, b}, {a, b}, {other, b}, nil})
	want := [][]string{
		{"a", "1\u00a0mm (1, 3), 2\u00a0mm (2)", "1–3", "as usual", "X"},
		{"a", "3\u00a0mm", "4", "as unusual", "X"},
		{"b", "1\u00a0mm", "1–4", "as usual", "X"},
	}
	if !slices.EqualFunc(got, want, slices.Equal[[]string]) {
		t.Errorf("%q", got)
	}
	if got := mergeEstimates([][]EstimateDoc{{a}, {a}}); got[0][2] != "all" {
		t.Errorf("%q", got)
	}
}

func TestUseOfTolerance(t *testing.T) {
	for _, c := range []struct {
		item VerifiedItem
		want float64
		text string
	}{
		{VerifiedItem{Gap: -0.25, Tolerance: 0.5}, 0.5, "50\u00a0%"},
		{VerifiedItem{Gap: 1e-9, Tolerance: 0.5}, 2e-9, "<\u202f1\u00a0%"},
		{VerifiedItem{}, 0, "<\u202f1\u00a0%"},
		{VerifiedItem{Gap: 1e-9}, math.Inf(1), "beyond"},
		{VerifiedItem{Error: "no"}, math.Inf(1), "beyond"},
	} {
		if got := use(c.item); got != c.want || percentOf(got) != c.text {
			t.Errorf("%+v uses %g, written %s", c.item, got, percentOf(got))
		}
	}
}

// What differs, and what fails, is shown with its reason or with the lack of one.
func TestEvidenceThatDiffers(t *testing.T) {
	v := &Verification{Checks: 3, Agree: 1, Fail: 2, List: []VerifiedItem{
		{Chapter: "gas", Source: "A", What: "fine", Want: 1, Ours: 1, Tolerance: 1, OK: true},
		{Chapter: "gas", Source: "A", What: "off", Want: 1, Ours: 9, Gap: 8, Tolerance: 1},
		{Chapter: "gas", Source: "A", What: "broken", Error: "does not converge"},
	}}
	s := evidenceSection(&Report{Checks: v})
	if s.Parts[0].ID != "evidence-differing" || len(s.Parts[0].Tables[0].Rows) != 2 {
		t.Fatalf("the first part is %+v", s.Parts[0])
	}
	words := ""
	for _, row := range s.Parts[0].Tables[0].Rows {
		words += strings.Join(row, " ") + "\n"
	}
	for _, want := range []string{"ours is off", "does not converge"} {
		if !strings.Contains(words, want) {
			t.Errorf("%q is missing in %s", want, words)
		}
	}
	gas := s.Parts[len(s.Parts)-1].Tables[0]
	if gas.Caption != "Chapter gas: 3 checks, 1 agree" || gas.Rows[0][4] != "broken" || s.Facts[3].Text != "2" {
		t.Errorf("%q, %q, %q", gas.Caption, gas.Rows, s.Facts)
	}
}
