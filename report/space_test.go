package report

import (
	"path/filepath"
	"strings"
	"testing"

	"crankwright/analysis"
	"crankwright/mechanics/envelope"
	"crankwright/spec"
)

// Every example has a document without null lists or numbers that are none; texts of two widths keep to them; the masses of
// the document add up as those of the engine do.
func TestSpaceDocuments(t *testing.T) {
	files, err := filepath.Glob("../examples/*.engine.yaml")
	if err != nil || len(files) < 20 {
		t.Fatal(files, err)
	}
	for _, f := range files {
		train, _, err := spec.ReadEngineFile(f, spec.Options{})
		if err != nil {
			t.Fatal(err)
		}
		e, err := analysis.Space(train)
		if err != nil {
			t.Fatal(f, err)
		}
		d := NewSpaceDoc(train, e, true)
		b, err := envelope.OverBore(train, envelope.UsualRatios())
		if err != nil {
			t.Fatal(f, err)
		}
		d.AddBoreStroke(b)
		data, err := Encode(d)
		if err != nil || strings.Contains(string(data), "null") {
			t.Errorf("%s: %v, or a list that is null", f, err)
		}
		sum := 0.0
		for _, p := range d.Parts {
			sum += p.MassKg
		}
		if sum < 0.999999*d.MassKg || sum > 1.000001*d.MassKg {
			t.Errorf("%s: parts weigh %g kg, the engine %g", f, sum, d.MassKg)
		}
		for _, width := range []int{80, 110} {
			for _, line := range strings.Split(SpaceText(d, Screen{Width: width}), "\n") {
				if len([]rune(line)) > width {
					t.Errorf("%s: a line of %d in %d: %q", f, len([]rune(line)), width, line)
				}
			}
		}
		if rows, err := SpaceCSV(d); err != nil || strings.Count(string(rows), "\n") != 12 {
			t.Errorf("%s: %v\n%s", f, err, rows)
		}
	}
}
