package spec

import (
	"testing"

	"go.yaml.in/yaml/v4"
)

// TestListUnits checks that units behind lists are found where there are lists, and only there,
// and that all other places in the text stay what they were.
func TestListUnits(t *testing.T) {
	for _, c := range []struct {
		name, text string
		units      map[Position]string
	}{
		{"block", "a: [1, 2] deg\nb: 3\n", map[Position]string{{1, 4}: "deg"}},
		{"comment", "a: [1, 2] deg # [3] mm\n# b: [1] mm\n", map[Position]string{{1, 4}: "deg"}},
		{"flow map", "a: {b: [1, 2] kg mm, c: [3] °}\n", map[Position]string{{1, 8}: "kg mm", {1, 25}: "°"}},
		{"list in list", "a: [[1, 2] deg, [3] rad]\n", map[Position]string{{1, 5}: "deg", {1, 17}: "rad"}},
		{"several lines", "a: [1,   # one\n  2,\n  3]   deg\nb: [4] mm\n", map[Position]string{{1, 4}: "deg", {4, 4}: "mm"}},
		{"dash", "- [1, 2] deg\n- - [3] mm\n- b: [4] cm\n", map[Position]string{{1, 3}: "deg", {2, 5}: "mm", {3, 6}: "cm"}},
		{"anchor", "a: &x [1, 2] deg\nb: !!seq [1] mm\n", map[Position]string{{1, 4}: "deg", {2, 4}: "mm"}},
		{"quoted", "a: \"[1, 2] deg\"\nb: '[1] deg, it''s [2] mm'\nc: \"x\\\" [1] mm\"\n", nil},
		{"words", "a: engine [4] deg\nb: it's [1] mm\nc: x: y\n", nil},
		{"continued text", "a: engine\n  [1, 2] deg\nb: [3] mm\n", map[Position]string{{3, 4}: "mm"}},
		{"block text", "a: |\n  [1, 2] deg\n\n  it's\nb: [3] mm\nc:\n  - d: >-\n      [4] deg\n    e: [5] cm\n", map[Position]string{{5, 4}: "mm", {9, 8}: "cm"}},
		{"quoted over lines", "a: \"x\n  [1] deg\"\nb: [2] mm\n", map[Position]string{{3, 4}: "mm"}},
		{"no unit", "a: [1, 2]\nb: [3] # mm\n[c]: 4\n", nil},
		{"unicode before", "ä: {é: [1] deg, ü: [2] mm}\n", map[Position]string{{1, 8}: "deg", {1, 20}: "mm"}},
		{"line ends", "a: [1] deg\r\nb: [2] mm\r\n", map[Position]string{{1, 4}: "deg", {2, 4}: "mm"}},
		{"like JSON", "{\"a\":[1] deg,\"b\":{\"c\":[2] mm}}\n", map[Position]string{{1, 6}: "deg", {1, 23}: "mm"}},
		{"per minute", "a: [1, 2] 1/min\n", map[Position]string{{1, 4}: "1/min"}},
		{"apostrophes in flow", "a: {n: it's, b: [1] deg, c: don't}\n", map[Position]string{{1, 17}: "deg"}},
	} {
		col := &collector{}
		doc := parseAny(t, col, c.text)
		if doc == nil {
			if c.name != "words" {
				t.Errorf("%s: %v", c.name, col.sorted())
			}
			continue
		}
		for at, unit := range c.units {
			if u := doc.units[at]; u == nil || u.unit != unit {
				t.Errorf("%s: no unit %q at %v: %v", c.name, unit, at, doc.units)
			}
		}
		if len(doc.units) != len(c.units) {
			t.Errorf("%s: %d units found, want %d: %+v", c.name, len(doc.units), len(c.units), doc.units)
		}
	}
}

// parseAny parses a text that need not be a map: it puts a list below a key.
func parseAny(t *testing.T, c *collector, text string) *document {
	t.Helper()
	if text[0] != '-' {
		return parseDocument(c, []byte(text))
	}
	units := findListUnits(text)
	var root yaml.Node
	if err := yaml.Load([]byte(blankUnits(text, units)), &root); err != nil {
		t.Error(err)
		return nil
	}
	doc := &document{root: &root, units: map[Position]*unitUse{}}
	for _, u := range units {
		doc.units[u.at] = &unitUse{unit: u.unit}
	}
	return doc
}

// TestPlacesAfterListUnits checks that an error behind a list with a unit has its true place.
func TestPlacesAfterListUnits(t *testing.T) {
	text := okHead + "layout: {pins: [0, 180] deg, cylinder_spacing: 92 deg, arrangement: inline, cylinders: 2}\n"
	_, _, err := ReadEngine("f", []byte(text), Options{})
	want := `f:5:48: cylinder_spacing: "deg" is not a unit of length; a length takes mm, cm, m or in`
	if err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}

func TestListSpellings(t *testing.T) {
	want, _ := read(t, okHead+"layout: {arrangement: inline, cylinders: 4, pins: [0, 180, 180, 0] deg, cylinder_offset: [3] mm}\n")
	for _, list := range []string{
		"[0 deg, 180 deg, 180 deg, 0 deg]", "[\"0 deg\", '180 deg', 180°, 0]", "\"[0, 180, 180, 0] deg\"", "[0, 180 deg, 180, 0] °",
		"[\n    0, # first\n    180, 180,\n    0\n  ] deg", "&p [0, 180, 180, 0]  deg", "flat-plane",
	} {
		got, _ := read(t, okHead+"layout: {arrangement: inline, cylinders: 4, cylinder_offset: 3 mm, pins: "+list+"}\n")
		if d := difference(want, got); d != "" {
			t.Errorf("pins: %s: %s", list, d)
		}
	}
}
