package independent

import (
	"math/cmplx"
	"strings"
	"testing"
)

// shaftTolerance is how far our shafts may be from SciPy's [1]: the input has twelve digits, and resonances magnify the rest.
const shaftTolerance = 1e-8

func shafts(t *testing.T) []Shaft {
	t.Helper()
	all, err := Shafts()
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// The committed inputs are what DescribeShaft writes, and every file belongs to a shaft.
func TestShaftInputs(t *testing.T) {
	described := map[string][]byte{}
	for _, s := range shafts(t) {
		described[s.Stem] = DescribeShaft(s)
	}
	sameInputs(t, "shafts", "torsion", described)
}

// Natural frequencies, modes, the twist in every order and the torques over the cycle are those of SciPy.
func TestShaftsAgree(t *testing.T) {
	for _, s := range shafts(t) {
		raw, err := CommittedShaft(s.Stem)
		if err != nil {
			t.Error(err)
			continue
		}
		header := strings.Join(raw.Header, "\n")
		for _, item := range []string{"shaft: " + s.Stem, "command: ", "library: ", "settings: ", "tolerance: ", "lines: "} {
			if !strings.Contains(header, item) {
				t.Errorf("%s: the header has no %q", s.Stem, item)
			}
		}
		g, err := CompareShaft(s, raw)
		if err != nil {
			t.Error(err)
			continue
		}
		t.Logf("%s: frequency %.1e, shape %.1e, twist %.1e, torque %.1e", s.Stem, g.Frequency, g.Shape, g.Twist, g.Half)
		if !(g.Frequency <= shaftTolerance && g.Shape <= shaftTolerance && g.Twist <= shaftTolerance && g.Half <= 1e-5) {
			t.Errorf("%s: %+v", s.Stem, g)
		}
	}
}

// The comparison sees a shaft that is not quite the one that was computed.
func TestShaftComparisonCanFail(t *testing.T) {
	for name, spoil := range map[string]func(*Shaft){
		"a millionth of a stiffness": func(s *Shaft) { s.Model.Spans[2].Stiffness *= 1 + 1e-6 },
		"a millionth of an inertia":  func(s *Shaft) { s.Model.Discs[1].Inertia *= 1 + 1e-6 },
		"a thousandth of a damping":  func(s *Shaft) { s.Model.Discs[1].Damping *= 1.001 },
		"a loss factor":              func(s *Shaft) { s.Model.Spans[1].Loss *= 1.001 },
		"a millionth of a torque":    func(s *Shaft) { s.Excitation.Gas[1][4] *= 1 + 1e-6 },
		"a torque's phase":           func(s *Shaft) { s.Excitation.Gas[1][4] *= cmplx.Exp(1e-6i) },
	} {
		for _, s := range shafts(t) {
			spoil(&s)
			raw, err := CommittedShaft(s.Stem)
			if err != nil {
				t.Fatal(err)
			}
			if g, err := CompareShaft(s, raw); err == nil && max(g.Frequency, g.Shape, g.Twist) <= shaftTolerance {
				t.Errorf("%s: %s is not seen: %+v", s.Stem, name, g)
			}
		}
	}
}

// The committed output is what torsion.py prints today; CRANKWRIGHT_NO_SCIPY=1 leaves it out.
func TestShaftRunsAgain(t *testing.T) {
	printed := recomputed(t, "torsion", "CRANKWRIGHT_NO_SCIPY")
	for _, s := range shafts(t) {
		again, err := ParseShaft(printed(s.Stem))
		if err != nil {
			t.Fatal(err)
		}
		committed, err := CommittedShaft(s.Stem)
		if err != nil {
			t.Fatal(err)
		}
		for key, v := range committed.Twist {
			if off := cmplx.Abs(again.Twist[key] - v); !(off <= 1e-9*cmplx.Abs(v)+1e-13) {
				t.Errorf("%s: twist %s is now %g rad off its committed %g rad", s.Stem, key, off, cmplx.Abs(v))
			}
		}
	}
}

func TestParseShaftNamesTheLine(t *testing.T) {
	for text, want := range map[string]string{
		"# only a header\n":      "no numbers",
		"# h\ntwist 1 2 3 4 x":   `line 2 of the shaft: "x"`,
		"half 1 2 NaN\n":         `line 1 of the shaft: "NaN"`,
		"mode 0\n":               "line 1",
		"# a\n# b\nspan 0 1 2 3": "line 3",
	} {
		if _, err := ParseShaft(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
}
