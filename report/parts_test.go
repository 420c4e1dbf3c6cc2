package report

import (
	"bytes"
	"encoding/json"
	"math"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"crankwright/analysis"
	"crankwright/spec"
)

// Every example has its parts and cost: documents that the schema allows, without null lists or numbers that are none, rows
// that sum to their wholes, and texts that keep to their width and say that the prices are invented.
func TestPartsDocuments(t *testing.T) {
	files, err := filepath.Glob("../examples/*.engine.yaml")
	if err != nil || len(files) < 20 {
		t.Fatal(files, err)
	}
	text, err := PartsSchema()
	if err != nil {
		t.Fatal(err)
	}
	schema, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("parts", schema); err != nil {
		t.Fatal(err)
	}
	compiled, err := c.Compile("parts")
	if err != nil {
		t.Fatal(err)
	}
	var all []*analysis.Result
	for _, f := range files {
		train, _, err := spec.ReadEngineFile(f, spec.Options{})
		if err != nil {
			t.Fatal(err)
		}
		r, err := analysis.Run(train, analysis.Options{Drive: true, Parts: true})
		if err != nil {
			t.Fatal(f, err)
		}
		all = append(all, r)
		d, cost := NewPartsDoc(r, r.Parts), NewCostsDoc([]*analysis.Result{r})
		both := map[string]any{"parts": d, "cost": cost}
		data, err := Encode(both)
		if err != nil {
			t.Fatal(f, err)
		}
		var v any
		if err := json.Unmarshal(data, &v); err != nil {
			t.Fatal(err)
		}
		if at := nullIn(v, ""); at != "" {
			t.Errorf("%s: %s is null", f, at)
		}
		if err := compiled.Validate(v); err != nil {
			t.Errorf("%s: %v", f, err)
		}
		for _, doc := range []any{d, cost} {
			if at := notFinite(reflect.ValueOf(doc), ""); at != "" {
				t.Errorf("%s: %s is no number", f, at)
			}
		}
		bar := 0.0
		for _, p := range d.Friction {
			bar += p.Bar
		}
		points := 0.0
		for _, p := range cost.Engines[0].Rows {
			points += p.Points
		}
		if math.Abs(bar-d.FMEPBar) > 1e-6 || math.Abs(points-cost.Engines[0].Points) > 1e-6 {
			t.Errorf("%s: %g of %g bar, %g of %g points", f, bar, d.FMEPBar, points, cost.Engines[0].Points)
		}
		for _, text := range []string{PartsText(d, Screen{Width: 100}), CostText(cost, Screen{Width: 100})} {
			keepsWidth(t, f, text)
			if !strings.Contains(text, "For concept work") {
				t.Errorf("%s: a text without caution", f)
			}
		}
		if !strings.Contains(CostText(cost, Screen{Width: 200}), "invented") {
			t.Errorf("%s: the prices are not said to be invented", f)
		}
	}
	keepsWidth(t, "all", CostText(NewCostsDoc(all), Screen{Width: 110}))
	page, err := CompareHTML(all[:2])
	if err != nil || !strings.Contains(string(page), "Parts and cost") || !strings.Contains(string(page), "invented points") {
		t.Errorf("the page has no parts and cost: %v", err)
	}
}

func keepsWidth(t *testing.T, name, text string) {
	t.Helper()
	for _, line := range strings.Split(text, "\n") {
		if columns(line) > 110 {
			t.Errorf("%s: a line of %d columns: %s", name, columns(line), line)
		}
	}
}
