package spec

import (
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

const editBase = `# head
name: 'Vee four'   # the name
cycle: four-stroke
bore: 84 mm        # nominal
stroke: "90 mm"
layout:
  arrangement: vee
  cylinders: 4
  bank_angle: 65 deg

  # the pins
  pins: [0, 180] deg   # free end first
  firing_order: [1, 3, 4, 2]
rod: {length: 145 mm, mass: 0.55 kg}   # forged
crank:
  counterweights:
    - {at: -20 mm, angle: 180 deg, unbalance: 11 kg mm}
    - at: 20 mm
      angle: 180 deg   # opposite
      unbalance: 11 kg mm
balance_shafts: []
`

func text(s string) *string { return &s }

// TestEdit shows what one change does to the text.
func TestEdit(t *testing.T) {
	tests := []struct {
		path     string
		set      *string
		from, to string // the part of editBase that changes, and what becomes of it
	}{
		{"bore", text("86 mm"), "bore: 84 mm  ", "bore: 86 mm  "},
		{"stroke", text("3.5 in"), `"90 mm"`, `"3.5 in"`},
		{"name", text("Max's vee: four #2"), "'Vee four'", "'Max''s vee: four #2'"},
		{"layout.pins[1]", text("90 deg"), "[0, 180] deg", "[0, 90] deg"},
		{"layout.pins[1]", text("1.5 rad"), "[0, 180] deg", "[0, 1.5 rad] deg"},
		{"layout.pins[2]", text("90"), "[0, 180] deg", "[0, 180, 90] deg"},
		{"layout.pins[0]", nil, "[0, 180] deg", "[180] deg"},
		{"layout.pins[1]", nil, "[0, 180] deg", "[0] deg"},
		{"layout.pins", text("[0, 70]"), "[0, 180] deg", "[0, 70] deg"},
		{"layout.pins", text("cross-plane"), "[0, 180] deg", "cross-plane"},
		{"layout.pins", text("[0 deg, 70 deg]"), "[0, 180] deg", "[0 deg, 70 deg]"},
		{"layout.pin_split", text("30 deg"), "  bank_angle: 65 deg\n", "  bank_angle: 65 deg\n  pin_split: 30 deg\n"},
		{"layout.cylinder_spacing", text("95 mm"), "  firing_order: [1, 3, 4, 2]\n", "  firing_order: [1, 3, 4, 2]\n  cylinder_spacing: 95 mm\n"},
		{"layout.firing_order", nil, "  firing_order: [1, 3, 4, 2]\n", ""},
		{"layout.firing_order[3]", text("x, y"), "4, 2]", `4, "x, y"]`},
		{"rod.length", text("150 mm"), "145 mm", "150 mm"},
		{"rod.inertia", text("0.0018 kg m2"), "0.55 kg}", "0.55 kg, inertia: 0.0018 kg m2}"},
		{"rod.length", nil, "length: 145 mm, ", ""},
		{"rod.mass", nil, ", mass: 0.55 kg", ""},
		{"rod", text("{length: 5 in}"), "{length: 145 mm, mass: 0.55 kg}", "{length: 5 in}"},
		{"rod", nil, "rod: {length: 145 mm, mass: 0.55 kg}   # forged\n", ""},
		{"piston.mass", text("0.4 kg"), "# forged\n", "# forged\npiston:\n  mass: 0.4 kg\n"},
		{"gas.imep", text("12 bar"), "balance_shafts: []\n", "balance_shafts: []\ngas:\n  imep: 12 bar\n"},
		{"speeds", text("{rated: 6000 rpm}"), "balance_shafts: []\n", "balance_shafts: []\nspeeds: {rated: 6000 rpm}\n"},
		{"crank.main_journal.diameter", text("50 mm"), "balance_shafts", "  main_journal:\n    diameter: 50 mm\nbalance_shafts"},
		{"crank.throw_unbalance", text("12 kg mm"), "crank:\n", "crank:\n  throw_unbalance: 12 kg mm\n"},
		{"crank.counterweights[1].angle", text("190 deg"), "angle: 180 deg   #", "angle: 190 deg   #"},
		{"crank.counterweights[0].at", text("-21 mm"), "{at: -20 mm", "{at: -21 mm"},
		{"crank.counterweights[1].at", nil, "    - at: 20 mm\n      angle", "    - angle"},
		{"crank.counterweights[1].angle", nil, "      angle: 180 deg   # opposite\n", ""},
		{"crank.counterweights[0]", nil, "    - {at: -20 mm, angle: 180 deg, unbalance: 11 kg mm}\n", ""},
		{"crank.counterweights[1]", nil, "    - at: 20 mm\n      angle: 180 deg   # opposite\n      unbalance: 11 kg mm\n", ""},
		{
			"crank.counterweights[2].unbalance", text("5 kg mm"),
			"      unbalance: 11 kg mm\n", "      unbalance: 11 kg mm\n    - unbalance: 5 kg mm\n",
		},
		{
			"crank.counterweights", text("none"),
			"  counterweights:\n    - {at: -20 mm, angle: 180 deg, unbalance: 11 kg mm}\n    - at: 20 mm\n      angle: 180 deg   # opposite\n      unbalance: 11 kg mm\n",
			"  counterweights: none\n",
		},
		{
			"crank.counterweights", nil, // the map that it leaves empty goes with it
			"crank:\n  counterweights:\n    - {at: -20 mm, angle: 180 deg, unbalance: 11 kg mm}\n    - at: 20 mm\n      angle: 180 deg   # opposite\n      unbalance: 11 kg mm\n", "",
		},
		{"balance_shafts[0].masses[0].unbalance", text("6 kg mm"), "[]", "[{masses: [{unbalance: 6 kg mm}]}]"},
		{"layout.pin_split", nil, "", ""},
		{"rotation", text("clockwise"), "cycle: four-stroke\n", "cycle: four-stroke\nrotation: clockwise\n"},
	}
	for _, tt := range tests {
		what := "removed"
		if tt.set != nil {
			what = *tt.set
		}
		t.Run(tt.path+" "+what, func(t *testing.T) {
			for _, lineEnd := range []string{"\n", "\r\n", "\ufeff"} {
				in, want := editBase, strings.Replace(editBase, tt.from, tt.to, 1)
				if lineEnd == "\ufeff" {
					in, want = lineEnd+in, lineEnd+want
				} else {
					in, want = strings.ReplaceAll(in, "\n", lineEnd), strings.ReplaceAll(want, "\n", lineEnd)
				}
				got, err := Edit([]byte(in), []Change{{tt.path, tt.set}})
				if err != nil {
					t.Fatal(err)
				}
				if d := cmp.Diff(want, string(got)); d != "" {
					t.Error(d)
				}
			}
		})
	}
}

// TestEditOther shows shapes of YAML that editBase does not have.
func TestEditOther(t *testing.T) {
	tests := []struct {
		name, in, path string
		set            *string
		want           string
	}{
		{"no line end", "name: a", "bore", text("1 m"), "name: a\nbore: 1 m"},
		{"key without value", "name: a\nrod:   # none\nbore: 1 m\n", "rod.length", text("2 m"), "name: a\nrod:   # none\n  length: 2 m\nbore: 1 m\n"},
		{"value of a key without", "name:\nbore: 1 m\n", "name", text("x"), "name: x\nbore: 1 m\n"},
		{"list as far in as its key", "a: 1\nbalance_shafts:\n- y: 1 mm\n- y: 2 mm\nname: x\n", "balance_shafts[0].z", text("3 mm"), "a: 1\nbalance_shafts:\n- y: 1 mm\n  z: 3 mm\n- y: 2 mm\nname: x\n"},
		{"entry of it", "balance_shafts:\n- y: 1 mm\n- y: 2 mm\nname: x\n", "balance_shafts[0]", nil, "balance_shafts:\n- y: 2 mm\nname: x\n"},
		{"last entry of it", "balance_shafts:\n- y: 1 mm # c\nname: x\n", "balance_shafts[0]", nil, "balance_shafts: []\nname: x\n"},
		{"new list", "name: x\n", "balance_shafts[0].masses[0].at", text("0 mm"), "name: x\nbalance_shafts:\n  - masses:\n      - at: 0 mm\n"},
		{"scalar becomes a map", "crank: {counterweights: none}\n", "crank.counterweights.balance_factor", text("50 %"), "crank: {counterweights: {balance_factor: 50 %}}\n"},
		{"text of many lines", "name: |\n  one\n  two\n\nbore: 1 m\n", "name", text("three"), "name: three\n\nbore: 1 m\n"},
		{"plain text of many lines", "name: one\n  two\nbore: 1 m\n", "name", text("three"), "name: three\nbore: 1 m\n"},
		{"map over many lines", "rod: {\n  length: 1 m, # long\n  mass: 2 kg,\n}\n", "rod.mass", text("3 kg"), "rod: {\n  length: 1 m, # long\n  mass: 3 kg,\n}\n"},
		{"anchor", "rod: &r {length: 1 m}\nname: x\n", "rod.length", text("2 m"), "rod: &r {length: 2 m}\nname: x\n"},
		{"comment after a dash", "balance_shafts:\n  - y: 1 mm # first\n    z: 2 mm\n", "balance_shafts[0].y", nil, "balance_shafts:\n  -  # first\n    z: 2 mm\n"},
		{"text that looks like something else", "name: x\n", "name", text("[old] engine"), "name: \"[old] engine\"\n"},
		{"text with a mark", "name: x\n", "name", text(`a: "b" \ # c`), "name: \"a: \\\"b\\\" \\\\ # c\"\n"},
		{"units of its own", "layout:\n  pins: [0 deg, 180 deg]\n", "layout.pins[1]", text("90 deg"), "layout:\n  pins: [0 deg, 90 deg]\n"},
		{"behind the comments of a map", "layout:\n  cylinders: 4\n  # pins: 180\n\n  # more\n\n# all\nname: x\n", "rod.length", text("1 m"), "layout:\n  cylinders: 4\n  # pins: 180\n\n  # more\nrod:\n  length: 1 m\n\n# all\nname: x\n"},
		{"behind the last comment, without line end", "layout:\n  cylinders: 4\n  # pins: 180", "rod.length", text("1 m"), "layout:\n  cylinders: 4\n  # pins: 180\nrod:\n  length: 1 m"},
		{"behind the comments of an entry", "balance_shafts:\n  - y: 1 mm\n    # z: 2 mm\n  # - y: 3 mm\n", "balance_shafts[1].y", text("4 mm"), "balance_shafts:\n  - y: 1 mm\n    # z: 2 mm\n  - y: 4 mm\n  # - y: 3 mm\n"},
		{"above a comment", "# about\nname: x\n", "name", text("y"), "# about\nname: y\n"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := Edit([]byte(tt.in), []Change{{tt.path, tt.set}})
			if err != nil {
				t.Fatal(err)
			}
			if d := cmp.Diff(tt.want, string(got)); d != "" {
				t.Error(d)
			}
		})
	}
}

// TestEditFresh adds every key to fresh files, and then takes the mark # of each key away that they have as a comment: it must
// still stand where it belongs.
func TestEditFresh(t *testing.T) {
	values := map[string]Change{
		"rotation": {"rotation", text("clockwise")}, "duty": {"duty", text("heavy")}, "rod": {"rod.length", text("170 mm")},
		"piston": {"piston.mass", text("0.5 kg")}, "crank": {"crank.fillet_radius", text("3 mm")},
		"balance_shafts": {"balance_shafts", text("[{speed_ratio: 1, y: 60 mm, z: 0 mm, masses: [{at: 0 mm, angle: 0 deg, unbalance: 1 kg mm}]}]")}, "reference": {"reference", text("2 mm")},
		"flywheel": {"flywheel.inertia", text("0.2 kg m2")}, "speeds": {"speeds.rated", text("4000 rpm")},
		"gas": {"gas.compression_ratio", text("10")}, "friction": {"friction.factor", text("1")}, "bearings": {"bearings.oil", text("10W-40")},
		"torsion": {"torsion.magnifier", text("40")}, "mounts": {"mounts.isolators[0]", text("{name: a, at: 0 mm, y: 0 mm, z: 0 mm, stiffness: {x: 1 kN/mm, y: 1 kN/mm, z: 1 kN/mm}, loss_factor: 0.1}")},
		"people": {"people.exposure", text("2 h")}, "block": {"block.wall", text("5 mm")}, "making": {"making.heads", text("per-bank")},
	}
	comment := regexp.MustCompile(`(?m)^( *)# ([a-z_]+):.*\n(#   .*\n)*`)
	for _, short := range []string{"single", "inline-4 95x105.8", "vee-6 60deg", "opposed-4", "boxer-6", "radial-5", "radial-7 master-and-link", "inline-3 two-stroke heavy"} {
		fresh, err := NewEngine(short)
		if err != nil {
			t.Fatal(err)
		}
		e := decodeEngine(&collector{}, fresh)
		for _, key := range fieldsOf(reflect.TypeFor[Engine]()).names {
			if _, _, depth := walk(e.doc.root, []string{key}); depth == 1 {
				continue
			}
			change, ok := values[key]
			if !ok {
				t.Errorf("give a value for %s", key)
				continue
			}
			edited, err := Edit(fresh, []Change{change})
			if err != nil {
				t.Errorf("%s: %v", short, err)
				continue
			}
			found := 0
			for _, at := range comment.FindAllSubmatchIndex(edited, -1) {
				found++
				name := string(edited[at[4]:at[5]])
				if name == key {
					continue
				}
				bare := strings.ReplaceAll("\n"+string(edited[at[0]:at[1]]), "\n"+string(edited[at[2]:at[3]])+"# ", "\n"+string(edited[at[2]:at[3]]))
				text := string(edited[:at[0]]) + strings.ReplaceAll(bare, "\n#   ", "\n  ")[1:] + string(edited[at[1]:])
				if _, _, err := ReadEngine("fresh", []byte(text), Options{}); err != nil {
					t.Errorf("%s with %s: without its mark, %s gives %v\n%s", short, change.Path, name, err, text)
				}
			}
			if found < 7 {
				t.Errorf("%s: only %d keys stand as comments:\n%s", short, found, edited)
			}
		}
	}
}

func TestEditRefuses(t *testing.T) {
	tests := []struct{ in, path, set, want string }{
		{editBase, "layout.bank_angel", "1 deg", `did you mean "bank_angle"?`},
		{editBase, "../x", "1", "no path"},
		{editBase, "bore.x", "1", `there is no "x" in bore`},
		{editBase, "layout.pins[7]", "1", "has 2 entries"},
		{editBase, "layout.cylinders[0].at", "1 mm", "no list"},
		{editBase, "bore", "", "empty"},
		{editBase, "bore", "1\nname: x", "one line"},
		{editBase, "rod", "{length: 1", "close every bracket"},
		{"name: [", "name", "x", "cannot be read"},
		{"rod: &r {length: 1 m}\npiston: *r\n", "piston.mass", "1 kg", "anchor"},
		{"bore: 1 m\nname: x\nbore: 2 m\n", "bore", "3 m", "stands twice"},
		{"name: x\n", "balance_shafts[1].y", "1 mm", "[0]"},
	}
	for _, tt := range tests {
		_, err := Edit([]byte(tt.in), []Change{{"cycle", text("two-stroke")}, {tt.path, &tt.set}})
		var wrong *EditError
		if !errors.As(err, &wrong) || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s = %q: %v, want %q", tt.path, tt.set, err, tt.want)
		}
	}
}

// engineTexts are the files of the examples and of the tests.
func engineTexts(t testing.TB) map[string]string {
	t.Helper()
	out := map[string]string{"base": editBase}
	for _, pattern := range []string{"../examples/*.yaml", "../report/testdata/engines/*.yaml", "testdata/*/*.yaml", "testdata/*.yaml"} {
		files, err := filepath.Glob(pattern)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			data, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			if _, _, err := ReadEngine(f, data, Options{}); err == nil {
				out[f] = string(data)
			}
		}
	}
	if len(out) < 20 {
		t.Fatalf("only %d engine files were found", len(out))
	}
	return out
}

// somePaths lists every path of the types, with the first indices of lists.
func somePaths(typ reflect.Type, path string, depth int) []string {
	var out []string
	if path != "" {
		out = append(out, path)
	}
	if depth > 6 {
		return out
	}
	for _, i := range []string{"0", "1", "3"} {
		if next, _ := stepInto(typ, i); next != nil {
			out = append(out, somePaths(next, path+"["+i+"]", depth+1)...)
		}
	}
	keys := typ
	if typ == reflect.TypeFor[Counterweights]() {
		keys = reflect.TypeFor[balanceFactor]()
	}
	if keys.Kind() == reflect.Struct {
		for _, name := range fieldsOf(keys).names {
			next, _ := stepInto(typ, name)
			out = append(out, somePaths(next, strings.TrimPrefix(path+"."+name, "."), depth+1)...)
		}
	}
	return out
}

// TestEditProperty holds edits of any path in any file against the rules: what was set is read back,
// all other lines stay, and setting the old value gives the old bytes.
func TestEditProperty(t *testing.T) {
	texts := engineTexts(t)
	names := make([]string, 0, len(texts))
	for name := range texts {
		names = append(names, name)
	}
	slices.Sort(names)
	paths := somePaths(reflect.TypeFor[Engine](), "", 0)
	made := 0
	rapid.Check(t, func(t *rapid.T) {
		old := texts[rapid.SampledFrom(names).Draw(t, "file")]
		if rapid.Bool().Draw(t, "windows") {
			old = strings.ReplaceAll(strings.ReplaceAll(old, "\r\n", "\n"), "\n", "\r\n")
		}
		for range rapid.IntRange(1, 6).Draw(t, "edits") {
			path := rapid.SampledFrom(paths).Draw(t, "path")
			var set *string
			if rapid.IntRange(0, 3).Draw(t, "set") > 0 {
				set = text(rapid.SampledFrom([]string{"12 mm", "0", "a, b", "x: y", "# no", "'q", "90 deg", "[1, 2]", "{at: 1 mm}", "[0, 90] deg", "none", "\"q\"", "é – ü", "- a", "&a b", "*a", "!x", "|", "1e3"}).Draw(t, "value"))
			}
			out, err := Edit([]byte(old), []Change{{path, set}})
			if err != nil {
				continue
			}
			made++
			checkEdit(t, old, string(out), path, set)
			old = string(out)
		}
	})
	if made < 50 {
		t.Errorf("only %d edits were possible", made)
	}
}

func checkEdit(t *rapid.T, old, now, path string, set *string) {
	c := &collector{}
	doc := parseDocument(c, []byte(now))
	if doc == nil {
		t.Fatalf("%s: the result is no YAML: %v\n%s", path, c.list, now)
	}
	steps := splitPath(path)
	n, _, depth := walk(doc.root, steps)
	inList := isIndex(steps[len(steps)-1])
	switch {
	case set == nil && depth == len(steps) && !inList:
		t.Fatalf("%s is still there:\n%s", path, now)
	case set != nil && depth < len(steps):
		t.Fatalf("%s is not there:\n%s", path, now)
	case set != nil && n.Value != *set && snippet(*set, true) == nil && !strings.HasPrefix(*set, "[") && withoutUnit(*set, "deg") != n.Value && withoutUnit(*set, "mm") != n.Value:
		t.Fatalf("%s is %q, not %q:\n%s", path, n.Value, *set, now)
	}
	// Lines that are not the same at the beginning and at the end are one run, in which every comment
	// line of the old text still stands.
	a, b := strings.SplitAfter(old, "\n"), strings.SplitAfter(now, "\n")
	from := 0
	for from < len(a) && from < len(b) && a[from] == b[from] {
		from++
	}
	to := 0
	for to < len(a)-from && to < len(b)-from && a[len(a)-1-to] == b[len(b)-1-to] {
		to++
	}
	gone, came := a[from:len(a)-to], b[from:len(b)-to]
	most := 1
	if node, _, d := walk(parseDocument(&collector{}, []byte(old)).root, steps); set == nil || d == len(steps) && isBlock(node) {
		most = len(a) // whole blocks may go
	}
	if len(gone) > most || len(came) > len(steps)+1 && len(came) > len(gone) {
		t.Fatalf("%s = %v changed more than it should:\n- %q\n+ %q", path, set, gone, came)
	}
}

func FuzzEdit(f *testing.F) {
	for _, path := range []string{"bore", "layout.pins[1]", "crank.counterweights[0].at", "rod", "balance_shafts[0].masses[0].at"} {
		f.Add(editBase, path, "1 mm", true)
		f.Add("rod: &r\n  length: 1\npiston: *r\nname: |\n  x\n", path, "a: b", false)
	}
	f.Fuzz(func(t *testing.T, in, path, value string, set bool) {
		c := Change{Path: path}
		if set {
			c.Text = &value
		}
		out, err := Edit([]byte(in), []Change{c})
		if err != nil {
			return
		}
		if parseDocument(&collector{}, out) == nil {
			t.Fatalf("the result cannot be read:\n%q", out)
		}
		train, e, _ := ReadEngine("fuzz", out, Options{})
		Fields(e, train)
		e.PathAt(Position{2, 3})
		again, err := Edit(out, []Change{c})
		if isIndex(path[len(path)-1:]) || strings.HasSuffix(path, "]") {
			return // another entry may be there now
		}
		if err != nil || string(again) != string(out) {
			t.Fatalf("the same change again gives something else: %v\n%q\n%q", err, out, again)
		}
	})
}

func BenchmarkEdit(b *testing.B) {
	data, err := os.ReadFile("../examples/vee-eight-90-cross.engine.yaml")
	if err != nil {
		b.Fatal(err)
	}
	changes := []Change{{"layout.bank_angle", text("91 deg")}}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Edit(data, changes); err != nil {
			b.Fatal(err)
		}
	}
}
