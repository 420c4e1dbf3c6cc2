package report_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"crankwright/mechanics/parts"
	"crankwright/report"
	"crankwright/spec"
)

// A price table that a brief names moves the cost rows of a choice, and names them.
func TestOwnPricesReachAChoice(t *testing.T) {
	dir := t.TempDir()
	own := parts.UsualPrices()
	own.Name = "Prices of our shop"
	head := own.Of["cylinder head"]
	own.Of["cylinder head"] = parts.Price{Each: 2 * head.Each, PerKg: 2 * head.PerKg}
	text := "name: Dear\nlimits: {cost_index: 9}\npriorities: {cost: 5, length: 5}\n"
	for name, data := range map[string][]byte{"own.prices.yaml": spec.WritePrices(own), "own.brief.yaml": []byte(text + "prices: own.prices.yaml\n"), "usual.brief.yaml": []byte(text)} {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	docs := map[string]*report.ChoiceDoc{}
	for _, name := range []string{"own", "usual"} {
		b, err := spec.ReadBriefFile(filepath.Join(dir, name+spec.BriefSuffix))
		if err != nil {
			t.Fatal(err)
		}
		docs[name] = chosenBy(t, 0, b, "inline-four-flat", "vee-four-72")
	}
	at := 0 // cost comes first
	for i, e := range docs["own"].Engines {
		if usual := docs["usual"].Engines[i]; !(e.Values[at] > usual.Values[at]) {
			t.Errorf("%s: an index of %g, %g with the usual prices", e.Name, e.Values[at], usual.Values[at])
		}
	}
	if got := docs["own"].Criteria[at].Name; got != "Cost index, Prices of our shop" {
		t.Errorf("the row is called %q", got)
	}
	if got := docs["usual"].Criteria[at].Name; got != "Cost index, invented prices" {
		t.Errorf("the row is called %q", got)
	}
	if got := docs["own"].Brief.Limits[0].Name; !strings.Contains(got, "our shop") {
		t.Errorf("the limit is called %q", got)
	}
	if _, err := spec.ReadBrief("x.brief.yaml", []byte(text+"prices: ../own.prices.yaml\n")); err == nil {
		t.Error("a table outside the folder is taken")
	}
	if err := os.Remove(filepath.Join(dir, "own.prices.yaml")); err != nil {
		t.Fatal(err)
	}
	if _, err := spec.ReadBriefFile(filepath.Join(dir, "own.brief.yaml")); err == nil || !strings.Contains(err.Error(), "no price table") {
		t.Errorf("a table that is not there: %v", err)
	}
}
