package independent

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"testing"

	"crankwright/mechanics/layout"
)

var update = flag.Bool("update", false, "write input/*.txt instead of comparing it")

func TestEnginesAreValid(t *testing.T) {
	for _, e := range Engines() {
		if err := layout.Validate(&e.Train); err != nil {
			t.Errorf("%s: %v", e.Stem, err)
		}
	}
}

// The committed inputs are what Describe writes, and there are no others.
func TestInputs(t *testing.T) {
	want := map[string]bool{}
	for _, e := range Engines() {
		name := filepath.Join("input", e.Stem+".txt")
		want[name] = true
		text := Describe(e)
		if *update {
			if err := os.WriteFile(name, text, 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		committed, err := os.ReadFile(name)
		if err != nil {
			t.Error(err)
		} else if !bytes.Equal(committed, text) {
			t.Errorf("%s is not what Describe writes now: make independent", name)
		}
	}
	names, _ := filepath.Glob("input/*.txt")
	for _, name := range names {
		if !want[name] {
			t.Errorf("%s belongs to no engine", name)
		}
	}
}
