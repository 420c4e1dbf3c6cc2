package independent

import (
	"math"
	"path/filepath"
	"strings"
	"testing"
)

// Every engine has both outputs, at the crank angles that ours has, with a header; there are no others.
func TestRawIsComplete(t *testing.T) {
	want := map[string]bool{}
	for _, e := range Engines() {
		for _, s := range []Source{Simbody, Numeric} {
			name := fileName(e.Stem, s)
			want[name] = true
			raw, err := Committed(e.Stem, s)
			if err != nil {
				t.Error(err)
				continue
			}
			header := strings.Join(raw.Header, "\n")
			for _, item := range []string{"engine: " + e.Stem, "command: ", "library: ", "settings: ", "tolerance: ", "columns: angle_rad "} {
				if !strings.Contains(header, item) {
					t.Errorf("%s: the header has no %q", name, item)
				}
			}
			for j, θ := range raw.Angle {
				if math.Abs(float64(θ)-2*math.Pi*float64(j)/SamplesPerTurn) > 1e-12 {
					t.Errorf("%s: crank angle %d is %v", name, j, θ)
				}
			}
		}
	}
	names, _ := filepath.Glob("raw/*")
	for _, name := range names {
		if !want[filepath.Base(name)] {
			t.Errorf("%s belongs to no engine", name)
		}
	}
}

func TestParseRawNamesTheLine(t *testing.T) {
	for text, want := range map[string]string{
		"# only a header\n":            "no numbers",
		"1 2 3\n":                      "line 1: 3 numbers, want 11",
		"# h\n0 1 2 3 4 5 6 7 8 9 x\n": `line 2: "x"`,
		"0 1 2 3 4 5 6 7 8 9 NaN\n":    `line 1: "NaN"`,
		"0 1 2 3 4 5 6 7 8 9 +Inf\n":   `line 1: "+Inf"`,
	} {
		if _, err := ParseRaw(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
}
