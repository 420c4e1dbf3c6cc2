package independent

import (
	"math"
	"strings"
	"testing"

	"crankwright/num"
)

// CycleTolerance is how far our cycles may be from SciPy's [1]: ours are right to about 2e-6 at the usual steps.
const cycleTolerance = 1e-5

// The committed inputs are what DescribeCycle writes, and every file belongs to a cycle.
func TestCycleInputs(t *testing.T) {
	described := map[string][]byte{}
	for _, c := range Cycles() {
		described[c.Stem] = DescribeCycle(c)
	}
	sameInputs(t, "cycles", "scipy", described)
}

// Pressure and temperature at every half degree, work, heat to the walls and the charge are those of SciPy.
func TestCyclesAgree(t *testing.T) {
	for _, c := range Cycles() {
		r, err := c.Solve()
		if err != nil {
			t.Fatal(err)
		}
		raw, err := CommittedCycle(c.Stem)
		if err != nil {
			t.Error(err)
			continue
		}
		header := strings.Join(raw.Header, "\n")
		for _, item := range []string{"cycle: " + c.Stem, "command: ", "library: ", "settings: ", "tolerance: ", "columns: angle_rad "} {
			if !strings.Contains(header, item) {
				t.Errorf("%s: the header has no %q", c.Stem, item)
			}
		}
		g, err := CompareCycle(r, raw)
		if err != nil {
			t.Error(err)
			continue
		}
		t.Logf("%s: pressure %.1e, temperature %.1e, work %.1e, walls %.1e, charge %.1e", c.Stem, g.Pressure, g.Temperature, g.Work, g.Wall, g.Trapped)
		if !(g.Worst() <= cycleTolerance) {
			t.Errorf("%s: %+v, more than %g", c.Stem, g, cycleTolerance)
		}
	}
}

// The comparison sees a cylinder that is not quite the one that was computed.
func TestCycleComparisonCanFail(t *testing.T) {
	for name, spoil := range map[string]func(*Cycle){
		"0.02 mm of bore":                  func(c *Cycle) { c.Bore += 2e-5 },
		"0.02 deg of combustion":           func(c *Cycle) { c.Setting.Release[0].Start += num.Degrees(0.02) },
		"1 K of wall":                      func(c *Cycle) { w := *c.Setting.Wall; w.Temperature++; c.Setting.Wall = &w },
		"0.2 mbar of intake":               func(c *Cycle) { c.Setting.Intake += 20 },
		"0.1 K of charge":                  func(c *Cycle) { c.Setting.Temperature += 0.1 },
		"0.1 deg of the exhaust's closing": func(c *Cycle) { v := *c.Setting.Valves; v.Exhaust.Closes += num.Degrees(0.1); c.Setting.Valves = &v },
	} {
		for _, c := range Cycles()[:3] {
			spoil(&c)
			r, err := c.Solve()
			if err != nil {
				t.Fatal(err)
			}
			raw, err := CommittedCycle(c.Stem)
			if err != nil {
				t.Fatal(err)
			}
			if g, err := CompareCycle(r, raw); err == nil && g.Worst() <= cycleTolerance {
				t.Errorf("%s: %s is not seen: %+v", c.Stem, name, g)
			}
		}
	}
}

// The committed output of one cycle is what gas.py prints today; CRANKWRIGHT_NO_SCIPY=1 leaves it out.
func TestCycleRunsAgain(t *testing.T) {
	const stem = "two-stroke"
	printed := recomputed(t, "scipy", "CRANKWRIGHT_NO_SCIPY", stem)
	again, err := ParseCycle(printed(stem))
	if err != nil {
		t.Fatal(err)
	}
	committed, err := CommittedCycle(stem)
	if err != nil {
		t.Fatal(err)
	}
	for j, p := range committed.Pressure {
		if !(math.Abs(again.Pressure[j]-p) <= 1e-8*p) {
			t.Fatalf("%s: sample %d is now %.12g Pa, committed is %.12g Pa", stem, j, again.Pressure[j], p)
		}
	}
}

func TestParseCycleNamesTheLine(t *testing.T) {
	for text, want := range map[string]string{
		"# only a header\n": "no numbers",
		"1 2 3 4\n":         "line 1",
		"# h\n0 1 x\n":      `line 2 of the cycle: "x"`,
		"0 1 NaN\n":         `line 1 of the cycle: "NaN"`,
		"work_J +Inf\n":     `"+Inf"`,
		"works_J 1\n":       "known name",
	} {
		if _, err := ParseCycle(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
}
