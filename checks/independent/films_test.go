package independent

import (
	"strings"
	"testing"
)

// filmTolerance is how far our path of a journal may be from SciPy's, over the film that is left [1]: our steps are held to
// 2e-4 of it.
const filmTolerance = 2e-3

func films(t *testing.T) []Film {
	t.Helper()
	all, err := Films()
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// The committed inputs are what DescribeFilm writes.
func TestFilmInputs(t *testing.T) {
	described := map[string][]byte{}
	for _, f := range films(t) {
		described[f.Stem] = DescribeFilm(f)
	}
	sameInputs(t, "films", "film", described)
}

// A journal goes its way through the oil as SciPy says, and a spoilt film is seen.
func TestFilmsAgree(t *testing.T) {
	for _, f := range films(t) {
		raw, err := CommittedFilm(f)
		if err != nil {
			t.Error(err)
			continue
		}
		path, least, err := CompareFilm(f, raw)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%s: path %.1e, thinnest film %.1e", f.Stem, path, least)
		if !(path <= filmTolerance && least <= filmTolerance) {
			t.Errorf("%s: the path differs by %.2g of the film, the thinnest film by %.2g; %.2g is accepted", f.Stem, path, least, filmTolerance)
		}
		for name, spoil := range map[string]func(*Film){
			"a hundredth of the viscosity": func(f *Film) { f.Viscosity *= 1.01 },
			"a hundredth of the clearance": func(f *Film) { f.Gap.Clearance *= 1.01 },
			"the sense of rotation": func(f *Film) {
				d := append([]float64(nil), f.Duty.Journal...)
				for i := range d {
					d[i] = -d[i]
				}
				f.Duty.Journal = d
			},
		} {
			s := f
			spoil(&s)
			if path, _, err := CompareFilm(s, raw); err == nil && path <= filmTolerance {
				t.Errorf("%s: %s is not seen: %.2g", f.Stem, name, path)
			}
		}
	}
}

// The committed output is what films.py prints today; CRANKWRIGHT_NO_SCIPY=1 leaves it out.
func TestFilmsRunAgain(t *testing.T) {
	printed := recomputed(t, "film", "CRANKWRIGHT_NO_SCIPY")
	for _, f := range films(t) {
		again, err := ParseFilm(printed(f.Stem), len(f.Duty.Load))
		if err != nil {
			t.Fatal(err)
		}
		if path, _, err := CompareFilm(f, again); err != nil || !(path <= filmTolerance) {
			t.Errorf("%s: %.2g %v", f.Stem, path, err)
		}
	}
}

func TestParseFilmNamesTheLine(t *testing.T) {
	for text, want := range map[string]string{"# h\necc 1 0 0\n": "line 2", "ecc 0 2 0\n": "line 1", "# h\n": "0 eccentricities, not 1"} {
		if _, err := ParseFilm(text, 1); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
}
