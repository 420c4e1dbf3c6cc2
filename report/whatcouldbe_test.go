package report_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"crankwright/mechanics/balance"
	"crankwright/report"
)

// rowsOf returns the cells of the table whose caption has an id, without its head.
func rowsOf(t *testing.T, root *html.Node, id string) [][]string {
	t.Helper()
	var rows [][]string
	elements(byID(t, root, id).Parent, func(n *html.Node) {
		if n.Data != "tr" {
			return
		}
		var row []string
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			if c.Type == html.ElementNode {
				row = append(row, text(c))
			}
		}
		rows = append(rows, row)
	})
	return rows[1:]
}

// TestReportSaysWhatCouldBe holds the chapters on firing orders, balancing and parts against what the commands say.
func TestReportSaysWhatCouldBe(t *testing.T) {
	rep := wholeReport(t, "vee-eight-90-cross", "inline-four-flat")
	root, _ := parsedReport(t, rep)
	for i, r := range rep.Results {
		id := "engine-" + strconv.Itoa(i+1)
		orders, err := report.Orders(r, 12, false)
		if err != nil {
			t.Fatal(err)
		}
		listed := rowsOf(t, root, id+"-orders-listed")
		if len(listed) != len(orders.List) || strings.TrimSuffix(listed[0][0], " (own)") != orders.List[0].Label {
			t.Errorf("%s: firing orders %v", id, listed)
		}
		weights := rowsOf(t, root, id+"-weights")
		best, err := report.Counterweights(r, balance.Request{Policy: balance.ByOptimum})
		if err != nil {
			t.Fatal(err)
		}
		for row, want := range map[int]report.CounterweightState{0: best.Before, len(weights) - 1: best.After} {
			cells := weights[row]
			got, err := strconv.ParseFloat(strings.ReplaceAll(cells[len(cells)-1], "\u202f", ""), 64)
			if err != nil || math.Abs(got-want.PeakMomentNm) > 1e-3*want.PeakMomentNm+1e-6 {
				t.Errorf("%s, %s: a moment of %s N m, want %g", id, cells[0], cells[len(cells)-1], want.PeakMomentNm)
			}
		}
		if shafts := rowsOf(t, root, id+"-shafts"); !strings.HasSuffix(shafts[len(shafts)-1][5], "(meets all)") {
			t.Errorf("%s: the last set does not meet all: %v", id, shafts)
		}
		parts := report.NewPartsDoc(r, r.Parts)
		if rows := rowsOf(t, root, id+"-parts-listed"); len(rows) != len(parts.Parts) || rows[0][0] != parts.Parts[0].Part {
			t.Errorf("%s: %d rows of parts, want %d", id, len(rows), len(parts.Parts))
		}
	}
	words, err := rep.Markdown()
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"### Balancing\n", "### Firing orders of this crank\n", "| optimum |", "(meets all)"} {
		if strings.Count(string(words), want) != 2 {
			t.Errorf("the Markdown has %q %d times", want, strings.Count(string(words), want))
		}
	}
}
