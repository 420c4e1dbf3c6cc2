package server

import (
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"crankwright/mechanics/parts"
	"crankwright/report"
	"crankwright/spec"
)

// TestPartsFollowADraft counts an engine whose edits nobody has saved.
func TestPartsFollowADraft(t *testing.T) {
	b := start(t)
	var d report.PartsDoc
	b.want(200, "POST", "/api/parts", on(vee8, nil), &d)
	if d.Totals.Heads != 2 || d.Totals.Camshafts != 4 || d.Totals.Mains != 5 || len(d.Friction) == 0 {
		t.Errorf("the vee eight has %+v", d.Totals)
	}
	sum := 0.0
	for _, f := range d.Friction {
		sum += f.Bar
	}
	if math.Abs(sum-d.FMEPBar) > 1e-6*sum {
		t.Errorf("friction by part sums to %g bar of %g bar", sum, d.FMEPBar)
	}
	b.want(200, "POST", "/api/parts", on(vee8, map[string]any{"edits": []Edit{set("making.valve_drive", "pushrods"), set("making.cooling", "air")}}), &d)
	if d.Totals.Heads != 8 || d.Totals.Camshafts != 1 || d.Making.ValveDrive != "pushrods" {
		t.Errorf("with pushrods and air it has %+v", d.Totals)
	}
	var p ProblemDetails
	b.want(422, "POST", "/api/parts", on(vee8, map[string]any{"edits": []Edit{set("making.heads", "shared")}}), &p)
	if len(p.Problems) != 1 || p.Problems[0].Path != "making.heads" || !strings.Contains(p.Problems[0].What, "90 deg apart") {
		t.Errorf("a shared head over a vee of 90°: %+v", p)
	}
}

// TestCostByATable prices by a table of the folder and by a text, and says where a table is wrong.
func TestCostByATable(t *testing.T) {
	b := start(t)
	var usual, dear report.CostsDoc
	b.want(200, "POST", "/api/cost", on(vee8, map[string]any{"than": "radial-five.engine.yaml"}), &usual)
	if len(usual.Engines) != 2 || usual.Engines[0].Name != "Radial five" || len(usual.Differences) != 1 || !strings.Contains(usual.Invented, "invented") {
		t.Fatalf("%+v", usual)
	}
	if d := usual.Differences[0]; math.Abs(d.Points-(usual.Engines[1].Points-usual.Engines[0].Points)) > 1e-6 {
		t.Errorf("%g points more, want %g", d.Points, usual.Engines[1].Points-usual.Engines[0].Points)
	}
	mine := parts.UsualPrices()
	mine.Of["valve"] = parts.Price{Each: 102.2}
	text := string(spec.WritePrices(mine))
	b.want(200, "POST", "/api/cost", on(vee8, map[string]any{"prices": text}), &dear)
	if got, want := dear.Engines[0].Points-usual.Engines[1].Points, 32*100.0; math.Abs(got-want) > 1e-6 {
		t.Errorf("32 valves that are 100 points dearer cost %g points more", got)
	}
	if err := os.WriteFile(filepath.Join(b.dir, "mine.prices.yaml"), []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	var again report.CostsDoc
	b.want(200, "POST", "/api/cost", on(vee8, map[string]any{"prices_file": "mine.prices.yaml"}), &again)
	if again.Engines[0].Points != dear.Engines[0].Points {
		t.Errorf("%g points by the file, %g by its text", again.Engines[0].Points, dear.Engines[0].Points)
	}
	var tables PriceTables
	b.want(200, "GET", "/api/prices", nil, &tables)
	if !slices.Contains(tables.Tables, "mine.prices.yaml") || slices.Contains(tables.Tables, vee8) {
		t.Errorf("price tables of the folder: %v", tables.Tables)
	}
	var p ProblemDetails
	b.want(422, "POST", "/api/cost", on(vee8, map[string]any{"prices": strings.Replace(text, "part: valve,", "part: valv,", 1)}), &p)
	if p.Type != typePrices || len(p.Problems) != 1 || p.Problems[0].Line != 11 || !strings.Contains(p.Problems[0].Allowed, "did you mean \"valve\"") {
		t.Errorf("%+v", p)
	}
	for _, name := range []string{"none.prices.yaml", vee8, "../mine.prices.yaml", "sub/mine.prices.yaml"} {
		b.want(422, "POST", "/api/cost", on(vee8, map[string]any{"prices_file": name}), &p)
		if len(p.Errors) != 1 || p.Errors[0].Location != "body.prices_file" {
			t.Errorf("%s: %+v", name, p)
		}
	}
}

// TestCompareHasPartsAndCost finds the rows of the line-up.
func TestCompareHasPartsAndCost(t *testing.T) {
	b := start(t)
	var c Comparison
	b.want(200, "GET", "/api/compare", nil, &c)
	found := 0
	for _, r := range c.Rows {
		switch r.Key {
		case "part_count", "heads", "camshaft_drive_length", "cost_index", "service_score":
			found++
		}
	}
	if found != 5 {
		t.Errorf("%d of 5 rows of parts and cost", found)
	}
}
