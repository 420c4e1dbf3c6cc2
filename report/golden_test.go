package report_test

import (
	"errors"
	"flag"
	"os"
	"path/filepath"
	"testing"

	"crankwright/analysis"
	"crankwright/checks"
	"crankwright/num"
	"crankwright/report"
	"crankwright/spec"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// engine analyses one of the test engines.
func engine(t *testing.T, name string) *analysis.Result {
	t.Helper()
	train, _, err := spec.ReadEngineFile(filepath.Join("testdata", "engines", name+".engine.yaml"), spec.Options{})
	if err != nil {
		t.Fatal(err)
	}
	r, err := analysis.Run(train, analysis.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// golden holds text against a file whose name says how it was made.
func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name+".golden")
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(string(want), got); d != "" {
		t.Errorf("%s differs (- golden, + now); look at it, then go test ./report -update:\n%s", path, d)
	}
}

func TestTextGolden(t *testing.T) {
	narrow, usual := report.Screen{Width: 80}, report.Screen{Width: 100}
	four, six, odd, single := engine(t, "flat-four"), engine(t, "vee-six"), engine(t, "odd-pair"), engine(t, "single")
	golden(t, "evaluate-flat-four-80", report.Text(four, narrow))
	golden(t, "evaluate-vee-six-100", report.Text(six, usual))
	golden(t, "evaluate-odd-pair-80", report.Text(odd, narrow))
	golden(t, "evaluate-single-100", report.Text(single, usual))
	all := []*analysis.Result{four, six, odd, single}
	golden(t, "compare-four-engines-80", report.CompareText(all, -1, narrow))
	golden(t, "compare-four-engines-120", report.CompareText(all, -1, report.Screen{Width: 120}))
	golden(t, "compare-four-engines-baseline-100", report.CompareText(all, 0, usual))
	golden(t, "explain-vee-six-order-1-80", report.ExplainText(six, report.Explain(six, []int{2}, true), narrow))
	golden(t, "show-odd-pair-80", report.TrainText(odd.Train, narrow))
	rpm := num.Turn / 60
	golden(t, "sweep-odd-pair-80", report.SweepText(odd, []float64{1000 * float64(rpm), 3000 * float64(rpm), 5000 * float64(rpm)}, narrow))
	list, err := report.Orders(six, 5, false)
	if err != nil {
		t.Fatal(err)
	}
	golden(t, "orders-vee-six-limit-5-80", report.OrdersText(list, narrow))
}

func TestVerifyText(t *testing.T) {
	outcomes := []checks.Outcome{
		{Check: checks.Check{ID: "a", Chapter: "motion", Kind: checks.Published, Source: "BOOK", Place: "p. 3", Seen: checks.Read, What: "piston speed", Unit: "m/s", Printed: "4.19", Want: 4.19, Tol: 0.005}, Value: 4.1888, Gap: -0.0012, OK: true},
		{Check: checks.Check{ID: "b", Chapter: "motion", Kind: checks.Published, Source: "BOOK", Place: "p. 3", Seen: checks.Read, What: "piston acceleration", Unit: "m/s2", Printed: "-512", Want: -521, Tol: 0.5, Disagrees: "two digits are swapped"}, Value: -521.1, Gap: -0.1, OK: true},
		{Check: checks.Check{ID: "c", Chapter: "firing", Kind: checks.ClosedForm, Source: "DEFINITION", Seen: checks.Recomputed, What: "interval", Unit: "deg", Printed: "90", Want: 90, Tol: 1e-6}, Value: 91, Gap: 1},
		{Check: checks.Check{ID: "d", Chapter: "firing", Kind: checks.ClosedForm, Source: "DEFINITION", Seen: checks.Recomputed, What: "longest interval", Unit: "deg", Printed: "91", Want: 90, Tol: 1e-6, Disagrees: "it is no divisor of 720"}, Value: 120, Gap: 30},
		{Check: checks.Check{ID: "e", Chapter: "firing", Kind: checks.ClosedForm, Source: "DEFINITION", Seen: checks.Recomputed, What: "shortest interval", Unit: "deg", Printed: "91", Want: 90, Tol: 1e-6, Disagrees: "it is no divisor of 720"}, Err: errors.New("the crank cannot fire")},
	}
	v := report.Verify(outcomes)
	if v.Agree != 1 || v.Explained != 1 || v.Fail != 3 {
		t.Errorf("counts are %d, %d, %d", v.Agree, v.Explained, v.Fail)
	}
	golden(t, "verify-five-checks-80", report.VerifyText(v, report.Screen{Width: 80}))
}
