package independent

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// reproducible is how far a program may be from its committed output, relative to the gross value:
// another compiler or processor rounds differently. For Simbody it is 1e-12 of the peak or less
// wherever the peak is more than a tenth of the gross value.
var reproducible = map[Source]float64{Simbody: 1e-13, Numeric: NumericTolerance}

// The committed output is what multibody.cpp prints today. Without Simbody this fails and says how
// to install it; it is left out only where CRANKWRIGHT_NO_SIMBODY=1 asks for that.
func TestSimbodyRunsAgain(t *testing.T) {
	runsAgain(t, Simbody, "CRANKWRIGHT_NO_SIMBODY", Engines())
}

// The committed output of two engines is what numeric.py prints today; CRANKWRIGHT_NO_SCIPY=1 leaves
// it out.
func TestNumericRunsAgain(t *testing.T) {
	engines := Engines()
	runsAgain(t, Numeric, "CRANKWRIGHT_NO_SCIPY", []Engine{engines[4], engines[7]}) // linked rods, shafts
}

func runsAgain(t *testing.T, s Source, without string, engines []Engine) {
	var stems []string
	for _, e := range engines {
		stems = append(stems, e.Stem)
	}
	printed := recomputed(t, string(s), without, stems...)
	for _, e := range engines {
		again, err := ParseRaw(printed(e.Stem))
		if err != nil {
			t.Fatal(err)
		}
		committed, err := Committed(e.Stem, s)
		if err != nil {
			t.Fatal(err)
		}
		if len(again.Angle) != len(committed.Angle) {
			t.Errorf("%s: %d crank angles, committed are %d", e.Stem, len(again.Angle), len(committed.Angle))
			continue
		}
		for _, d := range Compare(&again.Curves, &committed.Curves, e.Gross()) {
			if !(d.Most <= reproducible[s]*d.Gross) {
				t.Errorf("%s: %s of %s is now %.3g %s off its committed curve, of %.6g %s",
					e.Stem, d.Quantity, s, d.Most, d.Unit, d.Scale(), d.Unit)
			}
		}
	}
}

// recomputed runs one of the programs of recompute.sh, for all of its inputs or those named, and returns what it prints for
// each. Where the environment says so, the test is left out.
func recomputed(t *testing.T, program, without string, stems ...string) (printed func(stem string) string) {
	t.Helper()
	if os.Getenv(without) == "1" {
		t.Skipf("left out because %s=1: the committed output of %s was not recomputed", without, program)
	}
	folder := t.TempDir()
	if said, err := exec.Command("./recompute.sh", append([]string{program, folder}, stems...)...).CombinedOutput(); err != nil {
		t.Fatalf("recompute.sh %s: %v\n%s", program, err, said)
	}
	return func(stem string) string {
		text, err := os.ReadFile(filepath.Join(folder, stem+"."+program+".txt"))
		if err != nil {
			t.Fatal(err)
		}
		return string(text)
	}
}

// sameInputs fails unless the committed inputs in a folder are those that we describe now, and every file there is such an
// input or what the program printed for it. With -update it writes them.
func sameInputs(t *testing.T, folder, program string, described map[string][]byte) {
	t.Helper()
	want := map[string]bool{}
	for stem, text := range described {
		name := filepath.Join(folder, stem+".input.txt")
		want[name], want[filepath.Join(folder, stem+"."+program+".txt")] = true, true
		if *update {
			if err := os.WriteFile(name, text, 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		if committed, err := os.ReadFile(name); err != nil {
			t.Error(err)
		} else if !bytes.Equal(committed, text) {
			t.Errorf("%s is not what we describe now: make independent", name)
		}
	}
	names, _ := filepath.Glob(filepath.Join(folder, "*"))
	for _, name := range names {
		if !want[name] {
			t.Errorf("%s belongs to no input", name)
		}
	}
}
