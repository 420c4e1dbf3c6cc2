package independent

import (
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
	if os.Getenv(without) == "1" {
		t.Skipf("left out because %s=1: the committed output of %s was not recomputed", without, s)
	}
	folder := t.TempDir()
	arguments := []string{string(s), folder}
	for _, e := range engines {
		arguments = append(arguments, e.Stem)
	}
	if said, err := exec.Command("./recompute.sh", arguments...).CombinedOutput(); err != nil {
		t.Fatalf("recompute.sh %s: %v\n%s", s, err, said)
	}
	for _, e := range engines {
		text, err := os.ReadFile(filepath.Join(folder, fileName(e.Stem, s)))
		if err != nil {
			t.Fatal(err)
		}
		again, err := ParseRaw(string(text))
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
