package checks

import (
	"fmt"
	"math"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// TestChecks runs the registry. A check that fails is never passed over: a printed value that is
// wrong states so in Disagrees and expects the recomputed one.
func TestChecks(t *testing.T) {
	for _, c := range All() {
		if o := Run(c); !o.OK {
			t.Errorf("%s: ours %.10g, expected %.10g ± %.3g %s (printed %q), gap %.3g, error %v",
				c.ID, o.Value, c.Want, c.Tol, c.Unit, c.Printed, o.Gap, o.Err)
		}
	}
}

func TestEveryCheckIsComplete(t *testing.T) {
	text, err := os.ReadFile("../docs/sources.toml")
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for _, c := range All() {
		if seen[c.ID] {
			t.Errorf("%s: two checks have this ID", c.ID)
		}
		seen[c.ID] = true
		for name, v := range map[string]string{
			"Chapter": c.Chapter, "Kind": string(c.Kind), "Source": c.Source, "Seen": string(c.Seen),
			"What": c.What, "Unit": c.Unit, "Printed": c.Printed,
		} {
			if v == "" {
				t.Errorf("%s: %s is empty", c.ID, name)
			}
		}
		if c.Ours == nil {
			t.Errorf("%s: Ours is missing", c.ID)
		}
		if !slices.Contains([]Kind{Published, ClosedForm, IndependentLibrary, CommonPractice}, c.Kind) ||
			!slices.Contains([]Seen{Read, Memory, Recomputed}, c.Seen) {
			t.Errorf("%s: kind %q, seen %q", c.ID, c.Kind, c.Seen)
		}
		if c.Kind == Published && c.Seen == Recomputed {
			t.Errorf("%s: a published value was read or is from memory", c.ID)
		}
		if !regexp.MustCompile(`(?m)^\[` + c.Source + `\]`).Match(text) {
			t.Errorf("%s: source %s is not in docs/sources.toml", c.ID, c.Source)
		}
		if !(c.Tol > 0) || math.IsNaN(c.Want) || math.IsInf(c.Want, 0) {
			t.Errorf("%s: expected %g ± %g", c.ID, c.Want, c.Tol)
		}
		half, ok := HalfUnit(c.Printed)
		if (!ok || c.Tol > half*(1+1e-9)) && c.TolWhy == "" && c.Disagrees == "" {
			t.Errorf("%s: the tolerance %g is wider than half a unit of %q, and TolWhy is empty", c.ID, c.Tol, c.Printed)
		}
		if ok && c.Disagrees != "" && math.Abs(number(c.Printed)-c.Want) <= c.Tol {
			t.Errorf("%s: %q is printed, which is right, and Disagrees says what is wrong with it", c.ID, c.Printed)
		}
		if ok && c.Kind == Published && c.Disagrees == "" && c.Want != 0 && math.Abs(number(c.Printed)-c.Want) > c.Tol {
			t.Errorf("%s: expected %g, but %q is printed and Disagrees is empty", c.ID, c.Want, c.Printed)
		}
	}
}

// TestChecksCanFail disturbs every check by a little more than it tolerates.
func TestChecksCanFail(t *testing.T) {
	for _, c := range All() {
		good := Run(c)
		if good.Err != nil {
			continue // TestChecks reports it
		}
		for _, sign := range []float64{1, -1} {
			bad := c
			bad.Ours = func() (float64, error) { return c.Want + sign*c.Tol*1.01, nil }
			if c.Tol > 1e-14*math.Abs(c.Want) && Run(bad).OK {
				t.Errorf("%s: passes %+.3g beyond the expected value", c.ID, sign*c.Tol*1.01)
			}
		}
		bad := c
		bad.Ours = func() (float64, error) { return math.NaN(), nil }
		if Run(bad).OK {
			t.Errorf("%s: passes a value that is no number", c.ID)
		}
		bad.Ours = func() (float64, error) { return c.Want, fmt.Errorf("failed") }
		if Run(bad).OK {
			t.Errorf("%s: passes an error", c.ID)
		}
	}
	// and the value of a whole chapter: second order off by one part in a thousand
	c := All()[slices.IndexFunc(All(), func(c Check) bool { return c.ID == "layout/inline-4-flat/F2-max" })]
	ours := c.Ours
	c.Ours = func() (float64, error) { v, err := ours(); return v * 1.001, err }
	if Run(c).OK {
		t.Error("a second-order force wrong by 0.1 % passes")
	}
}

func TestHalfUnit(t *testing.T) {
	for printed, want := range map[string]float64{
		"4.19 m/s": 0.005, "836 N": 0.5, "-2.7e-7": 0.5e-8, ".8660": 0.5e-4, "3929.026139 N m": 0.5e-6, "2": 0.5, "1.5e3 N": 50,
	} {
		if half, ok := HalfUnit(printed); !ok || math.Abs(half-want) > 1e-12*want {
			t.Errorf("%q: %g, %v; want %g", printed, half, ok, want)
		}
	}
	for _, printed := range []string{"", "even", "15/128", "180-540", "√2", "45°, even", "0.9·m"} {
		if half, ok := HalfUnit(printed); ok {
			t.Errorf("%q: %g, want none", printed, half)
		}
	}
}

// TestSeriesTerms holds the exact fractions to those of checks.md, printed and derived by others.
func TestSeriesTerms(t *testing.T) {
	for j, row := range [][]string{
		{"1", "1/4", "15/128", "35/512", "735/16384", "2079/65536"},
		{"-1/4", "-3/16", "-35/256", "-105/1024"},
		{"9/128", "45/512", "2835/32768"},
		{"-5/256", "-35/1024"},
	} {
		for i, want := range row {
			if got := seriesTerm(j+1, i+j+1).RatString(); got != want {
				t.Errorf("A%d, term %d: %s, want %s", 2*j+2, i+j+1, got, want)
			}
		}
	}
}

func TestSummary(t *testing.T) {
	count := map[string]int{}
	disagree := 0
	for _, c := range All() {
		count["chapter "+c.Chapter]++
		count["kind "+string(c.Kind)]++
		count["seen "+string(c.Seen)]++
		group, _, _ := strings.Cut(c.ID, "/")
		count["group "+group]++
		if c.Disagrees != "" {
			disagree++
			t.Logf("printed value disagrees: %s, printed %q, expected %.6g %s: %s", c.ID, c.Printed, c.Want, c.Unit, c.Disagrees)
		}
	}
	names := make([]string, 0, len(count))
	for name := range count {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		t.Logf("%5d  %s", count[name], name)
	}
	t.Logf("%5d  in all, %d of them with a printed value that disagrees", len(All()), disagree)
	if len(All()) < 400 {
		t.Errorf("%d checks: some have been lost", len(All()))
	}
}
