package report_test

import (
	"encoding/csv"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"crankwright/report"
)

// TestCellsAreNoFormulas keeps a spreadsheet from computing what stands in a name, and leaves numbers as they are.
func TestCellsAreNoFormulas(t *testing.T) {
	for text, want := range map[string]string{
		"": "", "Vee six 60°": "Vee six 60°", "12.5": "12.5", "-12.5": "-12.5", "+3e-7": "+3e-7", "%": "%", "a=1": "a=1", "–": "–",
		`=HYPERLINK("http://evil.example","x")`: `'=HYPERLINK("http://evil.example","x")`, "+1+1": "'+1+1", "-2+3+cmd": "'-2+3+cmd", "@SUM(A1)": "'@SUM(A1)",
		"\t=1+1": "'\t=1+1", "\r=1+1": "'=1+1", "\n=1+1": "'\n=1+1", " =1+1": "' =1+1", "\u00a0=1": "'\u00a0=1", "＝1+1": "'＝1+1", "-1 deg": "'-1 deg",
	} {
		data, err := report.WriteCSV([][]string{{"head", text}, {text, "1"}})
		if err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(strings.NewReader(string(data))).ReadAll()
		if err != nil || len(rows) != 2 || rows[0][1] != want || rows[1][0] != want {
			t.Errorf("%q: %q, %v", text, rows, err)
		}
	}
}

// TestOneWriterOfTables holds that every table of the program is written by WriteCSV, which keeps formulas out.
func TestOneWriterOfTables(t *testing.T) {
	var found []string
	err := filepath.WalkDir("..", func(path string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			if e != nil && e.Name() == "node_modules" {
				return fs.SkipDir
			}
			return err
		}
		if !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		text, err := os.ReadFile(path)
		if strings.Contains(string(text), "csv.NewWriter(") {
			found = append(found, filepath.ToSlash(path))
		}
		return err
	})
	if err != nil || !slices.Equal(found, []string{"../report/csv.go"}) {
		t.Errorf("tables are written in %v, %v", found, err)
	}
}
