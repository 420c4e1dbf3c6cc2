package spec

import (
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"
)

// TestFieldsAreInputs holds the fields of every file against the reader and the editor: each is a path of
// the types, has a chapter, a label and a help; each that is given can be set to its own text, which
// changes nothing; a quantity's value is that of its text and lies within its slider.
func TestFieldsAreInputs(t *testing.T) {
	chapters := []string{"engine", "layout", "rod-piston", "crank", "balance", "firing", "speeds", "gas", "friction", "strength", "bearings", "torsion", "space", "mounts", "making"}
	for name, data := range engineTexts(t) {
		if name == "base" {
			continue
		}
		train, e, err := ReadEngine(name, []byte(data), Options{})
		if err != nil {
			t.Fatal(err)
		}
		seen := map[string]bool{}
		given := 0
		for _, f := range Fields(e, train) {
			if _, err := pathSteps(reflect.TypeFor[Engine](), f.Path); err != nil || seen[f.Path] {
				t.Errorf("%s: %s: %v, twice %v", name, f.Path, err, seen[f.Path])
			}
			seen[f.Path] = true
			if !slices.Contains(chapters, f.Chapter) || f.Label == "" || f.Help == "" || f.Kind == "" {
				t.Errorf("%s: %+v is not whole", name, f)
			}
			if f.Given && f.Rule != "" || f.Rule != "" && f.Text == "" {
				t.Errorf("%s: %s is given and estimated", name, f.Path)
			}
			if v := f.Value; v != nil && f.Least != nil && (*v < *f.Least-1e-12 || *v > *f.Most+1e-12 || *f.Step <= 0 || *f.Step > (*f.Most-*f.Least)/2) {
				t.Errorf("%s: %s = %g is outside its slider %g to %g, %g", name, f.Path, *v, *f.Least, *f.Most, *f.Step)
			}
			if !f.Given {
				continue
			}
			given++
			out, err := Edit([]byte(data), []Change{{f.Path, &f.Text}})
			if err != nil {
				t.Errorf("%s: %s cannot be set to %q: %v", name, f.Path, f.Text, err)
				continue
			}
			if n, _, _ := walk(e.doc.root, splitPath(f.Path)); !isBlock(n) && string(out) != data {
				t.Errorf("%s: setting %s to its own text %q changed the file", name, f.Path, f.Text)
			}
			if again, _, err := ReadEngine(name, out, Options{}); err != nil || !reflect.DeepEqual(again, train) {
				t.Errorf("%s: setting %s to its own text %q changed the engine: %v", name, f.Path, f.Text, err)
			}
		}
		if given < 5 {
			t.Errorf("%s: only %d fields are given", name, given)
		}
		for _, est := range train.Estimates {
			if !seen[est.Key] {
				t.Errorf("%s: the estimate %s has no field", name, est.Key)
			}
		}
	}
}

// TestFieldsShowEstimates sets estimates as values: the engine is the same to the digits that are shown.
func TestFieldsShowEstimates(t *testing.T) {
	data := "name: x\ncycle: four-stroke\nbore: 84 mm\nlayout:\n  arrangement: vee\n  cylinders: 8\n  bank_angle: 90 deg\n"
	train, e, err := ReadEngine("x", []byte(data), Options{})
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, f := range Fields(e, train) {
		if f.Rule == "" || f.Kind != kindQuantity {
			continue
		}
		n++
		out, err := Edit([]byte(data), []Change{{f.Path, &f.Text}})
		if err != nil {
			t.Errorf("%s: %v", f.Path, err)
			continue
		}
		now, e, err := ReadEngine("x", out, Options{})
		if err != nil {
			t.Errorf("%s = %s: %v", f.Path, f.Text, err)
			continue
		}
		i := slices.IndexFunc(Fields(e, now), func(g Field) bool { return g.Path == f.Path })
		if g := Fields(e, now)[i]; !g.Given || g.Value == nil || math.Abs(*g.Value-*f.Value) > 6e-3*math.Abs(*f.Value) {
			t.Errorf("%s: %s is read as %v, estimated %g", f.Path, f.Text, g.Value, *f.Value)
		}
	}
	if n < 15 {
		t.Errorf("only %d estimates", n)
	}
}

func TestPathAt(t *testing.T) {
	_, e, _ := ReadEngine("x", []byte(editBase), Options{})
	for _, tt := range []struct{ find, want string }{
		{"84 mm", "bore"},
		{"bore", "bore"},
		{"180] deg", "layout.pins[1]"},
		{"mass: 0.55", "rod.mass"},
		{"at: 20 mm", "crank.counterweights[1].at"},
		{"# head", ""},
	} {
		before, _, found := strings.Cut(editBase, tt.find)
		if !found {
			t.Fatalf("%q is not in the text", tt.find)
		}
		at := Position{1 + strings.Count(before, "\n"), 1 + len(before) - (strings.LastIndex(before, "\n") + 1)}
		if got := e.PathAt(at); got != tt.want {
			t.Errorf("%q at %v: %q, want %q", tt.find, at, got, tt.want)
		}
	}
}

// TestFieldsCircle does not follow an alias round in a circle.
func TestFieldsCircle(*testing.T) {
	for _, data := range []string{
		"layout:\n  pins: &a\n    - *a\n", "rod: &r\n  length: *r\n", "layout:\n  cylinders: &c\n    - piston: *c\n    - *c\n",
		"balance_shafts: &s\n  - masses: *s\n",
	} {
		train, e, _ := ReadEngine("x", []byte(data), Options{})
		Fields(e, train)
	}
}

func BenchmarkFields(b *testing.B) {
	train, e, err := ReadEngineFile("../examples/vee-eight-90-cross.engine.yaml", Options{})
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		Fields(e, train)
	}
}
