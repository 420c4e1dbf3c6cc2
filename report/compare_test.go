package report_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"strings"
	"testing"
	"unicode/utf8"

	"crankwright/analysis"
	"crankwright/report"
)

func TestComparedRowsMarks(t *testing.T) {
	rs := []*analysis.Result{engine(t, "flat-four"), engine(t, "vee-six"), engine(t, "flat-four")}
	for _, row := range report.ComparedRows(rs) {
		if len(row.Values) != 3 {
			t.Fatalf("%s has %d values", row.Key, len(row.Values))
		}
		switch row.Key {
		case "free_force_order_2": // the vee six has none; the two fours tie
			if len(row.Best) != 1 || row.Best[0] != 1 || len(row.Worst) != 2 {
				t.Errorf("%s: best %v, worst %v", row.Key, row.Best, row.Worst)
			}
		case "firing_evenness":
			if len(row.Best) != 2 || len(row.Worst) != 1 || row.Worst[0] != 1 {
				t.Errorf("%s: best %v, worst %v", row.Key, row.Best, row.Worst)
			}
		case "displacement", "free_force_order_1":
			if len(row.Best)+len(row.Worst) != 0 {
				t.Errorf("%s is marked: best %v, worst %v", row.Key, row.Best, row.Worst)
			}
		}
	}
}

func TestCompareTextFitsTheScreen(t *testing.T) {
	names := []string{"flat-four", "vee-six", "odd-pair", "single", "flat-four", "vee-six", "single", "odd-pair", "flat-four"}
	var rs []*analysis.Result
	for _, n := range names {
		rs = append(rs, engine(t, n))
	}
	for _, width := range []int{80, 100, 120} {
		for base := -1; base < 2; base++ {
			for _, line := range strings.Split(report.CompareText(rs, base, report.Screen{Width: width}), "\n") {
				if n := utf8.RuneCountInString(line); n > width {
					t.Errorf("width %d, baseline %d: %d columns: %s", width, base, n, line)
				}
			}
		}
	}
	for _, n := range names[:4] {
		for _, width := range []int{80, 100} {
			for _, line := range strings.Split(report.Text(engine(t, n), report.Screen{Width: width}), "\n") {
				if c := utf8.RuneCountInString(line); c > width {
					t.Errorf("%s at width %d: %d columns: %s", n, width, c, line)
				}
			}
		}
	}
}

func TestColourSaysNothingAlone(t *testing.T) {
	rs := []*analysis.Result{engine(t, "flat-four"), engine(t, "vee-six")}
	plain := report.CompareText(rs, -1, report.Screen{Width: 100})
	coloured := report.CompareText(rs, -1, report.Screen{Width: 100, Colour: true})
	if strings.Contains(plain, "\x1b") || !strings.Contains(coloured, "\x1b[") {
		t.Fatal("colour is on where it is off, or off where it is on")
	}
	for _, code := range []string{"1", "2", "31", "32", "0"} {
		coloured = strings.ReplaceAll(coloured, "\x1b["+code+"m", "")
	}
	if plain != coloured {
		t.Error("without its colours the text is not the plain text")
	}
}

// TestNamesCannotDriveTheTerminal gives an engine a name with control characters.
func TestNamesCannotDriveTheTerminal(t *testing.T) {
	r := engine(t, "flat-four")
	r.Train.Name = "bad \x1b[2J\rname\n=2+3"
	for _, text := range []string{
		report.Text(r, report.Screen{}), report.TrainText(r.Train, report.Screen{}),
		report.CompareText([]*analysis.Result{r, r}, 0, report.Screen{}), report.ExplainText(r, report.Explain(r, []int{4}, true), report.Screen{}),
	} {
		if strings.ContainsAny(text, "\x1b\r") {
			t.Errorf("control characters pass: %q", text[:80])
		}
	}
}

func TestCompareJSON(t *testing.T) {
	rs := []*analysis.Result{engine(t, "flat-four"), engine(t, "vee-six")}
	data, err := report.CompareJSON(rs, 1)
	if err != nil {
		t.Fatal(err)
	}
	var got struct {
		Engines  []contract
		Figures  []report.ComparedRow
		Baseline report.Baseline
	}
	if err := json.Unmarshal(data, &got); err != nil {
		t.Fatal(err)
	}
	if len(got.Engines) != 2 || got.Engines[1].Name != "Vee six, shared pins" || got.Baseline.Index != 1 || len(got.Figures) == 0 {
		t.Errorf("got %d engines, %d figures, baseline %+v", len(got.Engines), len(got.Figures), got.Baseline)
	}
}

func TestCSV(t *testing.T) {
	four := engine(t, "flat-four")
	odd := engine(t, "odd-pair")
	odd.Train.Name = "=cmd|' /C calc'!A0, \"quoted\""
	data, err := report.CSV([]*analysis.Result{four, odd})
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != 3 || rows[1][0] != "Flat four in line" || rows[0][3] != "speed_rpm" || rows[1][3] != "6000" {
		t.Errorf("got %q", rows)
	}
	if !strings.HasPrefix(rows[2][0], "'=") {
		t.Errorf("a spreadsheet would read the name as a formula: %q", rows[2][0])
	}
	curves, err := report.CurvesCSV(odd)
	if err != nil {
		t.Fatal(err)
	}
	if n := bytes.Count(curves, []byte("\n")); n != len(odd.Angles)+1 {
		t.Errorf("%d lines for %d angles", n, len(odd.Angles))
	}
	sweep, err := report.SweepCSV(odd.Sweep([]float64{100, 200}))
	if err != nil {
		t.Fatal(err)
	}
	if n := bytes.Count(sweep, []byte("\n")); n != 3 {
		t.Errorf("%d lines for 2 speeds", n)
	}
}

func TestFind(t *testing.T) {
	rs := []*analysis.Result{engine(t, "flat-four"), engine(t, "vee-six")}
	if i, err := report.Find(rs, "Vee"); i != 1 || err != nil {
		t.Errorf("Vee is %d, %v", i, err)
	}
	if _, err := report.Find(rs, "Radial"); err == nil || !strings.Contains(err.Error(), "Flat four in line") {
		t.Errorf("the error does not list the names: %v", err)
	}
	if _, err := report.Find(rs, ""); err == nil {
		t.Error("an empty name finds an engine")
	}
}
