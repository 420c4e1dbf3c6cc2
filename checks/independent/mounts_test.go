package independent

import (
	"strings"
	"testing"
)

// mountTolerance is how far our modes and forces may be from SciPy's [1]: the input has twelve digits.
const mountTolerance = 1e-9

// The committed inputs are what DescribeMounted writes.
func TestMountInputs(t *testing.T) {
	described := map[string][]byte{}
	for _, m := range MountedBodies() {
		described[m.Stem] = DescribeMounted(m)
	}
	sameInputs(t, "mounts", "mount", described)
}

// Natural frequencies and the force into every mount are those of SciPy, and a spoilt body is seen.
func TestMountsAgree(t *testing.T) {
	for _, m := range MountedBodies() {
		raw, err := CommittedMounted(m.Stem)
		if err != nil {
			t.Error(err)
			continue
		}
		gap, err := CompareMounted(m, raw)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%s: %.1e", m.Stem, gap)
		if !(gap <= mountTolerance) {
			t.Errorf("%s: %.2g apart, %.2g is accepted", m.Stem, gap, mountTolerance)
		}
		for name, spoil := range map[string]func(*Mounted){
			"a millionth of the mass":    func(m *Mounted) { m.System.Body.Mass *= 1 + 1e-6 },
			"a micrometre of a mount":    func(m *Mounted) { m.System.Mounts[1].At.Y += 1e-6 },
			"a thousandth of a loss":     func(m *Mounted) { m.System.Mounts[0].Loss *= 1.001 },
			"a millionth of a stiffness": func(m *Mounted) { m.System.Mounts[2].Stiffness[2] *= 1 + 1e-6 },
			"a millionth of a phase":     func(m *Mounted) { m.Loads[1].Load.Force[1] *= 1 + 1e-6i },
			"a millionth of an inertia":  func(m *Mounted) { m.System.Body.Inertia[0][0] *= 1 + 1e-6 },
			"a micrometre of the pull":   func(m *Mounted) { m.Loads[2].Load.Point.Z += 1e-6 },
		} {
			for _, s := range MountedBodies() {
				if s.Stem != m.Stem {
					continue
				}
				spoil(&s)
				if gap, err := CompareMounted(s, raw); err == nil && gap <= mountTolerance {
					t.Errorf("%s: %s is not seen: %.2g", m.Stem, name, gap)
				}
			}
		}
	}
}

// The committed output is what mounts.py prints today; CRANKWRIGHT_NO_SCIPY=1 leaves it out.
func TestMountsRunAgain(t *testing.T) {
	printed := recomputed(t, "mount", "CRANKWRIGHT_NO_SCIPY")
	for _, m := range MountedBodies() {
		again, err := ParseMounted(printed(m.Stem))
		if err != nil {
			t.Fatal(err)
		}
		if gap, err := CompareMounted(m, again); err != nil || !(gap <= mountTolerance) {
			t.Errorf("%s: %.2g %v", m.Stem, gap, err)
		}
	}
}

func TestParseMountedNamesTheLine(t *testing.T) {
	for text, want := range map[string]string{"# h\nmode 0 x\n": "line 2", "force 1 2\n": "line 1", "# h\n": "missing"} {
		if _, err := ParseMounted(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
}
