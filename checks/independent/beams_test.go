package independent

import (
	"strings"
	"testing"

	"crankwright/mechanics/bearing"
)

// beamTolerance is how far our shares may be from SciPy's [1]: short elements beside long ones cost its
// matrix some digits.
const beamTolerance = 1e-9

func beams(t *testing.T) []Beam {
	t.Helper()
	all, err := Beams()
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// The committed inputs are what DescribeBeam writes.
func TestBeamInputs(t *testing.T) {
	described := map[string][]byte{}
	for _, b := range beams(t) {
		described[b.Stem] = DescribeBeam(b)
	}
	sameInputs(t, "beams", "beam", described)
}

// A crank as a continuous beam shares its loads as SciPy says, and a spoilt one is seen.
func TestBeamsAgree(t *testing.T) {
	for _, b := range beams(t) {
		raw, err := CommittedBeam(b)
		if err != nil {
			t.Error(err)
			continue
		}
		gap, err := CompareBeam(b, raw)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%s: %.1e", b.Stem, gap)
		if !(gap <= beamTolerance) {
			t.Errorf("%s: shares differ by %.2g, %.2g is accepted", b.Stem, gap, beamTolerance)
		}
		for name, spoil := range map[string]func(*Beam){
			"a thousandth of a stiffness":  func(b *Beam) { b.Sections[2].Stiffness *= 1.001 },
			"a thousandth of a compliance": func(b *Beam) { b.Supports[1].Compliance *= 1.001 },
			"a hundredth of a millimetre":  func(b *Beam) { b.Loads[1] += 1e-5 },
		} {
			s := Beam{b.Stem, append(b.Sections[:0:0], b.Sections...), append(b.Supports[:0:0], b.Supports...), append(b.Loads[:0:0], b.Loads...)}
			spoil(&s)
			if gap, err := CompareBeam(s, raw); err == nil && gap <= beamTolerance {
				t.Errorf("%s: %s is not seen: %.2g", b.Stem, name, gap)
			}
		}
	}
}

// The committed output is what beams.py prints today; CRANKWRIGHT_NO_SCIPY=1 leaves it out.
func TestBeamsRunAgain(t *testing.T) {
	printed := recomputed(t, "beam", "CRANKWRIGHT_NO_SCIPY")
	for _, b := range beams(t) {
		again, err := ParseBeam(printed(b.Stem), b)
		if err != nil {
			t.Fatal(err)
		}
		if gap, err := CompareBeam(b, again); err != nil || !(gap <= beamTolerance) {
			t.Errorf("%s: %.2g %v", b.Stem, gap, err)
		}
	}
}

func TestParseBeamNamesTheLine(t *testing.T) {
	b := Beam{Supports: make([]bearing.Support, 1), Loads: []float64{0}}
	for text, want := range map[string]string{"# h\nshare 0 x 1\n": "line 2", "share 3 0 1\n": "line 1", "# h\n": "missing"} {
		if _, err := ParseBeam(text, b); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
}
