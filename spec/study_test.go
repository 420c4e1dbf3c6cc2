package spec

import (
	"bytes"
	"errors"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"crankwright/brief"
)

// studyPaths lists the studies of the examples.
func studyPaths(t testing.TB) []string {
	t.Helper()
	var all []string
	for _, pattern := range []string{"../examples/*" + StudySuffix, "../examples/*/*" + StudySuffix} {
		paths, err := filepath.Glob(pattern)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, paths...)
	}
	if len(all) < 4 {
		t.Fatalf("only %d studies found", len(all))
	}
	return all
}

// TestStudyExamples reads every study of the examples, its base and its brief, and prepares every value for the base.
func TestStudyExamples(t *testing.T) {
	s := compiled(t, StudySchema)
	for _, path := range studyPaths(t) {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		study, err := ReadStudyFile(path)
		if err != nil {
			t.Fatal(err)
		}
		doc := parseDocument(&collector{}, data)
		if err := s.Validate(asEditorsSee(doc.root, doc)); err != nil {
			t.Errorf("%s: %v", path, err)
		}
		tpl := template(t, filepath.Join(filepath.Dir(path), study.Base))
		if _, err := tpl.Train(nil); err != nil {
			t.Errorf("%s: %v", path, err)
		}
		if study.Brief != "" {
			if _, err := ReadBriefFile(filepath.Join(filepath.Dir(path), study.Brief)); err != nil {
				t.Error(err)
			}
		}
		for _, v := range study.Vary {
			if ratios[v.Key] != nil {
				continue
			}
			for _, text := range v.Values {
				if _, err := tpl.Prepare(Setting{v.Key, text}); err != nil && !slices.Contains(designed(v.Key), text) {
					t.Errorf("%s: %v", path, err)
				}
			}
		}
	}
}

// TestStudyOfTheContract is the study of the file contract.
func TestStudyOfTheContract(t *testing.T) {
	s, err := ReadStudy("contract", []byte(`name: Four-cylinder vees for the pilot boat
base: vee-four.engine.yaml
vary:
  layout.bank_angle: {from: 40 deg, to: 180 deg, step: 1 deg}
  layout.pins: all                # all distinct phasings in the given step, symmetric twins once
  layout.firing_order: all
  layout.pin_split: [0, 15, 30] deg
require: {length: "<= 620 mm"}
minimise: [free_force_order_2, free_moment_order_1, length]
`))
	if err != nil {
		t.Fatal(err)
	}
	v := s.Vary
	if len(v) != 4 || v[0].Key != "layout.bank_angle" || len(v[0].Values) != 141 || v[0].Values[1] != "41 deg" || v[0].Values[140] != "180 deg" || v[0].At != (Position{4, 3}) {
		t.Errorf("%+v", v)
	}
	if !v[1].All || v[1].Step != 0 || v[1].Apart || !v[2].All || !slices.Equal(v[3].Values, []string{"0 deg", "15 deg", "30 deg"}) {
		t.Errorf("%+v", v[1:])
	}
	if !slices.Equal(s.Require, []brief.Limit{{Measure: "length", AtMost: true, Bound: 620}}) || s.Speed != 0 || s.Brief != "" || s.Base != "vee-four.engine.yaml" {
		t.Errorf("%+v", s)
	}
	if len(s.Aims) != 3 || s.Aims[2] != (StudyAim{Measure: "length", At: Position{9, 53}}) {
		t.Errorf("%+v", s.Aims)
	}
}

// TestStudyValues reads every way in which values may be written.
func TestStudyValues(t *testing.T) {
	for _, c := range []struct {
		line string
		want []string
	}{
		{"bore: [84 mm, 86 mm]", []string{"84 mm", "86 mm"}},
		{"bore: [84, 3.5 in, 86] mm", []string{"84 mm", "3.5 in", "86 mm"}},
		{"bore: 84 mm", []string{"84 mm"}},
		{"bore: {from: 86 mm, to: 84 mm, step: -0.5 mm}", []string{"86 mm", "85.5 mm", "85 mm", "84.5 mm", "84 mm"}},
		{"layout.pins: [[0, 90] deg, flat-plane, [0 deg, 70 deg]]", []string{"[0, 90] deg", "flat-plane", "[0 deg, 70 deg]"}},
		{"layout.pins: [[0, 90], even-fire, [0 deg, 70 deg], [0, 1] rad] deg", []string{"[0, 90] deg", "even-fire", "[0 deg, 70 deg]", "[0, 1] rad"}},
		{"layout.pins:\n    - - 0 deg\n      - 90 deg\n    - 180 # a word", []string{"[0 deg, 90 deg]", "180"}},
		{"layout.pins: even-fire", []string{"even-fire"}},
		{"layout.pins[1]: [0, 90] deg", []string{"0 deg", "90 deg"}},
		{"layout.firing_order: [[1, 3, 4, 2], [1, 2, 4, 3]]", []string{"[1, 3, 4, 2]", "[1, 2, 4, 3]"}},
		{"layout.arrangement: [inline, vee]", []string{"inline", "vee"}},
		{"layout.cylinders: [4, 6]", []string{"4", "6"}},
		{"layout.cylinders: {from: 2, to: 8, step: 2}", []string{"2", "4", "6", "8"}},
		{"layout.each_rod_own_pin: [true, false]", []string{"true", "false"}},
		{"layout.cylinder_offset: [[1, -1] mm, 0 mm]", []string{"[1, -1] mm", "0 mm"}},
		{"layout.cylinders[0].rod.mass: [500, 600] g", []string{"500 g", "600 g"}},
		{"crank.counterweights: [none, best, {balance_factor: 50 %}, [{at: 0 mm, angle: 0 deg, unbalance: 3 kg mm}]]", []string{"none", "best", "{balance_factor: 50 %}", "[{at: 0 mm, angle: 0 deg, unbalance: 3 kg mm}]"}},
		{"crank.counterweights: {balance_factor: 50 %}", []string{"{balance_factor: 50 %}"}},
		{"crank.counterweights: best", []string{"best"}},
		{"crank.counterweights.balance_factor: {from: 0 %, to: 100 %, step: 50 %}", []string{"0 %", "50 %", "100 %"}},
		{"balance_shafts: [none, order-1, order-2, orders-1-and-2, []]", []string{"none", "order-1", "order-2", "orders-1-and-2", "[]"}},
		{"balance_shafts:\n    - - speed_ratio: -2\n        y: 60 mm\n        z: 0\n        masses: [{at: 0 mm, angle: 0 deg, unbalance: 1 kg mm}]", []string{"[{speed_ratio: -2, y: 60 mm, z: 0, masses: [{at: 0 mm, angle: 0 deg, unbalance: 1 kg mm}]}]"}},
		{"stroke_over_bore: {from: 0.9, to: 1.1, step: 0.1}", []string{"0.9", "1", "1.1"}},
		{"rod_over_throw: [3.2, 3.6]", []string{"3.2", "3.6"}},
		{"rod: [{length: 150 mm, mass: 600 g}]", []string{"{length: 150 mm, mass: 600 g}"}},
		{"gas.trace: [a.csv, 'b: #1.csv']", []string{"a.csv", "b: #1.csv"}},
		{"gas.intake_temperature: {from: 20 degC, to: 40 degC, step: 10 degC}", []string{"20 degC", "30 degC", "40 degC"}},
	} {
		s, err := ReadStudy("f", []byte("name: x\nbase: a.engine.yaml\nminimise: [length]\nvary:\n  "+c.line+"\n"))
		if err != nil {
			t.Errorf("%s: %v", c.line, err)
			continue
		}
		if !slices.Equal(s.Vary[0].Values, c.want) || s.Vary[0].All {
			t.Errorf("%s: %q", c.line, s.Vary[0].Values)
		}
	}
	s, err := ReadStudy("f", []byte("name: x\nbase: a/b.engine.yaml\nbrief: b.brief.yaml\nspeed: 3000 rpm\nmaximise: [brake_power]\nminimise: [displacement]\nvary:\n  layout.pins: {all: 30 deg, twins: apart}\n"))
	if err != nil || !s.Vary[0].All || math.Abs(s.Vary[0].Step-math.Pi/6) > 1e-15 || !s.Vary[0].Apart || math.Abs(s.Speed-100*math.Pi) > 1e-12 || s.Brief != "b.brief.yaml" {
		t.Errorf("%v, %+v", err, s)
	}
	if s != nil && (s.Aims[0].Measure != "displacement" || s.Aims[0].More || !s.Aims[1].More) {
		t.Errorf("%+v", s.Aims)
	}
}

const okStudy = "name: x\nbase: a.engine.yaml\nminimise: [length]\nvary:\n  layout.pin_split: [0, 15] deg\n"

// badStudies has one study for each kind of error, with the exact text that it must raise.
var badStudies = []struct{ name, text, want string }{
	{"empty", "", `f:1:1: the file is empty; write keys with values, such as name: Inline four`},
	{"nothing", "name: x\n", "f:1:1: base is missing; write base: vee-four.engine.yaml\nf:1:1: vary is missing; write vary: {layout.bank_angle: {from: 60 deg, to: 90 deg, step: 1 deg}}\nf:1:1: nothing is wanted of the engines; write minimise: [free_force_order_2, length], or maximise, or brief: pilot-boat.brief.yaml"},
	{"unknown key", okStudy + "minimize: [height]\n", `f:6:1: unknown key "minimize"; did you mean "minimise"?`},
	{"no name", strings.Replace(okStudy, "name: x\n", "", 1), `f:1:1: name is missing; write name: Vees for the pilot boat`},
	{"base of another kind", strings.Replace(okStudy, "a.engine.yaml", "a.brief.yaml", 1), `f:2:7: base: "a.brief.yaml" is not such a file; name a file *.engine.yaml in the folder of the study`},
	{"base outside", strings.Replace(okStudy, "a.engine.yaml", "../a.engine.yaml", 1), `f:2:7: base: "../a.engine.yaml" leaves the folder of the study; put it into the folder of the study, or below it`},
	{"base anywhere", strings.Replace(okStudy, "a.engine.yaml", "/a.engine.yaml", 1), `f:2:7: base: "/a.engine.yaml" leaves the folder of the study; put it into the folder of the study, or below it`},
	{"base without a name", strings.Replace(okStudy, "a.engine.yaml", ".engine.yaml", 1), `f:2:7: base: ".engine.yaml" is not such a file; name a file *.engine.yaml in the folder of the study`},
	{"brief outside", okStudy + "brief: b/../../c.brief.yaml\n", `f:6:8: brief: "b/../../c.brief.yaml" leaves the folder of the study; put it into the folder of the study, or below it`},
	{"unknown measure", strings.Replace(okStudy, "[length]", "[lengt]", 1), `f:3:12: minimise: unknown measure "lengt"; did you mean "length"?`},
	{"no measures", strings.Replace(okStudy, "[length]", "[]", 1), `f:3:11: minimise: the list is empty; name measures, such as [free_force_order_2, length], or leave it out`},
	{"measure twice", okStudy + "maximise: [length]\n", `f:6:12: maximise: length stands in minimise already; leave one of the two`},
	{"measure no list", strings.Replace(okStudy, "[length]", "length", 1), `f:3:11: minimise: this is a single value; a list of names is needed`},
	{"limit", okStudy + "require: {lengt: 5 mm}\n", `f:6:11: unknown key "lengt"; did you mean "length"?`},
	{"limit in another unit", okStudy + "require: {length: 5 kg}\n", `f:6:19: length: "kg" is not a unit of length; a length takes mm, cm, m or in`},
	{"speed", okStudy + "speed: -1 rpm\n", `f:6:8: speed: -1 rpm is not possible; it must be greater than zero`},
	{"nothing varies", "name: x\nbase: a.engine.yaml\nminimise: [length]\nvary: {}\n", `f:4:7: vary: nothing varies; write {layout.bank_angle: {from: 60 deg, to: 90 deg, step: 1 deg}}`},
	{"vary no map", "name: x\nbase: a.engine.yaml\nminimise: [length]\nvary: all\n", `f:4:7: vary: this is a single value; a map is needed, key: value, one a line`},

	{"unknown key to vary", okStudy + "  layout.bank_angl: [60] deg\n", `f:6:3: vary: unknown key "layout.bank_angl" (there is no "bank_angl" in layout); did you mean "layout.bank_angle"?`},
	{"key without its section", okStudy + "  bank_angle: [60] deg\n", `f:6:3: vary: unknown key "bank_angle" (there is no "bank_angle" in an engine file); did you mean "layout.bank_angle"?`},
	{"no key at all", okStudy + "  Bore!: [60] mm\n", `f:6:3: vary: unknown key "Bore!" (this is no path of an engine file); did you mean "bore"?`},
	{"key twice", okStudy + "  layout.pin_split: [60] deg\n", `f:6:3: the key "layout.pin_split" stands twice, first in line 5; leave one of the two`},
	{"key inside another", okStudy + "  rod: [{length: 90 mm}]\n  rod.length: [80 mm]\n", `f:7:3: rod.length: it sets what rod sets, which varies too; leave one of the two`},
	{"bore and its ratio", okStudy + "  bore: [84 mm]\n  stroke_over_bore: [1, 1.1]\n", `f:7:3: stroke_over_bore: it sets what bore sets, which varies too; leave one of the two`},
	{"balance factor twice", okStudy + "  crank.counterweights: [none]\n  crank.counterweights.balance_factor: [50 %]\n", `f:7:3: crank.counterweights.balance_factor: it sets what crank.counterweights sets, which varies too; leave one of the two`},
	{"wrong unit", okStudy + "  bore: {from: 80 kg, to: 90 mm, step: 1 mm}\n", `f:6:16: bore: "kg" is not a unit of length; a length takes mm, cm, m or in`},
	{"wrong unit of a list", okStudy + "  bore: [80, 81] kg\n", "f:6:10: bore: \"kg\" is not a unit of length; a length takes mm, cm, m or in\nf:6:14: bore: \"kg\" is not a unit of length; a length takes mm, cm, m or in"},
	{"no unit", okStudy + "  bore: [80 mm, 81]\n", `f:6:17: bore: "81" has no unit; a length takes mm, cm, m or in`},
	{"too large", okStudy + "  bore: {from: 80 mm, to: 90 m, step: 1 mm}\n", `f:6:27: bore: 90 m is not possible; 1 mm to 5 m is allowed`},
	{"no step", okStudy + "  bore: {from: 80 mm, to: 90 mm}\n", `f:6:9: bore: step is missing; write {from: 40 deg, to: 180 deg, step: 1 deg}`},
	{"wrong key of a range", okStudy + "  bore: {from: 80 mm, to: 90 mm, steps: 1 mm}\n", `f:6:34: unknown key "steps"; did you mean "step"?`},
	{"step of nothing", okStudy + "  bore: {from: 80 mm, to: 90 mm, step: 0 mm}\n", `f:6:9: bore: a step of 0 leads nowhere; give one that is not 0`},
	{"wrong way", okStudy + "  bore: {from: 90 mm, to: 80 mm, step: 1 mm}\n", `f:6:9: bore: a step of 1 mm leads away from 80 mm; turn its sign, or change from and to`},
	{"two units", okStudy + "  bore: {from: 80 mm, to: 9 cm, step: 1 mm}\n", `f:6:9: bore: from, to and step must have one unit, not "mm" and "cm"; write all three in one`},
	{"too many", okStudy + "  bore: {from: 1 mm, to: 2 mm, step: 0.00001 mm}\n", `f:6:9: bore: there are 100001 values; 100000 are the most`},
	{"half a cylinder", okStudy + "  layout.cylinders: {from: 4, to: 5, step: 0.5}\n", `f:6:44: cylinders: "4.5" is not a whole number; a whole number is needed`},
	{"all of a number", okStudy + "  bore: all\n", `f:6:9: bore: all is for layout.pins and layout.firing_order; give a list of values, or {from: …, to: …, step: …}`},
	{"phasings of a number", okStudy + "  bore: {all: 30 deg}\n", `f:6:9: bore: all with a step is for layout.pins; give a list of values, or {from: …, to: …, step: …}`},
	{"phasings that do not close", okStudy + "  layout.pins: {all: 7 deg}\n", `f:6:22: all: 7 deg does not divide a turn; a whole number of steps, at most 3600, makes a turn: 30 deg or 7.5 deg`},
	{"phasings too fine", okStudy + "  layout.pins: {all: 0.01 deg}\n", `f:6:22: all: 0.01 deg does not divide a turn; a whole number of steps, at most 3600, makes a turn: 30 deg or 7.5 deg`},
	{"twins", okStudy + "  layout.pins: {all: 30 deg, twins: twice}\n", `f:6:37: twins: "twice" is not known; once or apart is allowed`},
	{"steps of words", okStudy + "  layout.pins: {from: 72, to: 180, step: 18}\n", `f:6:16: layout.pins: this key has no single number that could go in steps; give a list of values`},
	{"empty list", okStudy + "  bore: []\n", `f:6:9: bore: the list is empty; give at least one value`},
	{"value twice", okStudy + "  bore: [80 mm, 80 mm]\n", `f:6:17: bore: the value 80 mm stands twice; leave one of the two`},
	{"pins as one list", okStudy + "  layout.pins: [0, 180] deg\n", "f:6:17: pins: \"0 deg\" is neither a list of angles nor a known word; a list such as [0, 180, 180, 0] deg, or one of the words even-fire, flat-plane, cross-plane, 360, 270, 180, 120, 90 or 72 is needed; write a list of such lists\nf:6:20: pins: \"180 deg\" is neither a list of angles nor a known word; a list such as [0, 180, 180, 0] deg, or one of the words even-fire, flat-plane, cross-plane, 360, 270, 180, 120, 90 or 72 is needed; write a list of such lists"},
	{"pins in the wrong unit", okStudy + "  layout.pins: [[0, 180] mm]\n", `f:6:17: pins: "mm" is not a unit of angle; an angle takes deg, ° or rad`},
	{"word", okStudy + "  layout.arrangement: [inlin]\n", `f:6:24: arrangement: "inlin" is not known; did you mean "inline"? inline, vee, opposed, radial or custom is allowed`},
	{"shafts of no order", okStudy + "  balance_shafts: [order-3]\n", `f:6:20: balance_shafts: this is a single value; write a list, - one entry a line; in a study also none, order-1, order-2 or orders-1-and-2`},
	{"ratio", okStudy + "  rod_over_throw: [0]\n", `f:6:20: rod_over_throw: 0 is not possible; 0.1 to 100 is allowed`},
	{"ratio with a unit", okStudy + "  stroke_over_bore: [1 mm]\n", `f:6:22: stroke_over_bore: "1 mm" has a unit; a ratio is a number without a unit`},
	{"no value", okStudy + "  bore:\n", `f:6:3: the key "bore" has no value; give it a value or leave the key out`},
}

func TestStudiesThatCannotBe(t *testing.T) {
	if _, err := ReadStudy("f", []byte(okStudy)); err != nil {
		t.Fatal(err)
	}
	for _, c := range badStudies {
		_, err := ReadStudy("f", []byte(c.text))
		var list Errors
		if !errors.As(err, &list) || err.Error() != c.want {
			t.Errorf("%s:\ngot  %v\nwant %s", c.name, err, c.want)
		}
	}
}

func TestNewStudy(t *testing.T) {
	s, err := ReadStudy("new", NewStudy())
	if err != nil || len(s.Vary) != 3 {
		t.Fatalf("%v", err)
	}
	var more []string // what stands there as a remark works too
	for line := range strings.SplitSeq(string(NewStudy()), "\n") {
		if rest, ok := strings.CutPrefix(line, "  # "); ok {
			line = "  " + rest
		}
		more = append(more, line)
	}
	if s, err = ReadStudy("new", []byte(strings.Join(more, "\n"))); err != nil || len(s.Vary) != 9 {
		t.Errorf("%v", err)
	}
}

func TestEditStudy(t *testing.T) {
	text := "name: x # ours\nbase: a.engine.yaml\nvary:\n  # the vee\n  layout.bank_angle: [60, 90] deg # both\nminimise: [length]\n"
	set := func(s string) *string { return &s }
	got, err := EditStudy([]byte(text), []Change{
		{"vary.layout.bank_angle", set("{from: 60 deg, to: 90 deg, step: 1 deg}")},
		{"vary.layout.pins", set("all")},
		{"vary.bore", set("[84, 86] mm")},
		{"require.length", set("620 mm")},
		{"minimise", set("[length, height]")},
		{"base", set("b.engine.yaml")},
	})
	if err != nil {
		t.Fatal(err)
	}
	want := "name: x # ours\nbase: b.engine.yaml\nvary:\n  # the vee\n  layout.bank_angle: {from: 60 deg, to: 90 deg, step: 1 deg} # both\n  layout.pins: all\n  bore: [84, 86] mm\nrequire:\n  length: 620 mm\nminimise: [length, height]\n"
	if string(got) != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	if _, err := ReadStudy("f", got); err != nil {
		t.Error(err)
	}
	back, err := EditStudy(got, []Change{{"vary.bore", nil}, {"vary.layout.pins", nil}, {"require.length", nil}, {"base", set("a.engine.yaml")}, {"minimise", set("[length]")}, {"vary.layout.bank_angle", set("[60, 90] deg")}})
	if err != nil || string(back) != text {
		t.Errorf("%v\n%s", err, back)
	}
	if _, err := EditStudy([]byte(text), []Change{{"vary.layout.bank_angl", set("1")}}); err == nil || !strings.Contains(err.Error(), `did you mean "layout.bank_angle"?`) {
		t.Error(err)
	}
}

func TestPublishedStudySchemaIsCurrent(t *testing.T) {
	want, err := StudySchema()
	if err != nil {
		t.Fatal(err)
	}
	got, err := os.ReadFile("../schema/study.schema.json")
	if err != nil || !bytes.Equal(got, want) {
		t.Errorf("schema/study.schema.json is not what the types say (%v): run go run ./tools/schema", err)
	}
	s := compiled(t, StudySchema)
	for _, text := range []string{
		"name: x\nbase: a.engine.yaml\nvary: {bore: [1 mm]}\n", okStudy + "minimize: [length]\n", okStudy + "  bor: [1 mm]\n", okStudy + "  bore: {from: 1 mm, to: 2 mm}\n",
		okStudy + "  bore: []\n", okStudy + "maximise: [beauty]\n", okStudy + "require: {length: wide}\n",
	} {
		doc := parseDocument(&collector{}, []byte(text))
		if s.Validate(asEditorsSee(doc.root, doc)) == nil {
			t.Errorf("the schema takes\n%s", text)
		}
	}
	doc := parseDocument(&collector{}, NewStudy())
	if err := s.Validate(asEditorsSee(doc.root, doc)); err != nil {
		t.Error(err)
	}
}

func TestQuantities(t *testing.T) {
	for _, c := range []struct{ from, to, step, want string }{
		{"0", "0.3", "0.1", "0|0.1|0.2|0.3"},
		{"0", "0.3 mm", "0.1 mm", "0 mm|0.1 mm|0.2 mm|0.3 mm"},
		{"40 deg", "45 deg", "2 deg", "40 deg|42 deg|44 deg"},
		{"0.3 mm", "-0.1 mm", "-0.2 mm", "0.3 mm|0.1 mm|-0.1 mm"},
		{"1 mm", "1 mm", "5 mm", "1 mm"},
		{"1e-3 m", "2.5e-3 m", "5e-4 m", "0.001 m|0.0015 m|0.002 m|0.0025 m"},
		{"1e2 rpm", "3E2 rpm", "100 rpm", "100 rpm|200 rpm|300 rpm"},
		{"1e-1 mm", "0.20 mm", "0.05 mm", "0.1 mm|0.15 mm|0.2 mm"},
		{"−5 deg", "5 deg", "+5 deg", "-5 deg|0 deg|5 deg"},
		{".5mm", "1. mm", ".5 mm", "0.5 mm|1 mm"},
		{"9.999 mm", "10.001 mm", "0.001 mm", "9.999 mm|10 mm|10.001 mm"},
		{"0.0", "-.0", "1", "0"},
	} {
		got, err := Quantities(c.from, c.to, c.step)
		if err != nil || strings.Join(got, "|") != c.want {
			t.Errorf("%s, %s, %s: %q, %v", c.from, c.to, c.step, got, err)
		}
	}
	if all, err := Quantities("1", "100000", "1"); err != nil || len(all) != MostValues || all[99_999] != "100000" {
		t.Errorf("%d, %v", len(all), err)
	}
	for _, c := range []struct{ from, to, step, want string }{
		{"1", "100001", "1", "there are 100001 values; 100000 are the most"},
		{"1", "1e30", "1e-30", "are the most"},
		{"1", "1e31", "1", "out of all measure"},
		{"1", "2", "0", "leads nowhere"},
		{"2", "1", "1", "a step of 1 leads away from 1"},
		{"1 mm", "2", "1 mm", `one unit, not "mm" and ""`},
		{"1", "2 mm", "1 mm", `one unit, not "" and "mm"`},
		{"1 mm", "2 mm", "1 cm", `one unit, not "mm" and "cm"`},
		{"x", "2 mm", "1 cm", `from: "x" is not a number`},
		{"1", "2", "0.00000000000000000000000000000001", "too many digits"},
	} {
		if got, err := Quantities(c.from, c.to, c.step); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s, %s, %s: %q, %v, want %q", c.from, c.to, c.step, got, err, c.want)
		}
	}
}

// FuzzReadStudy holds any text against three promises: no panic; a refusal is Errors with a place; and the values of what
// is accepted can be read as an engine file would have them.
func FuzzReadStudy(f *testing.F) {
	seedWith(f, "study", func(data []byte) { f.Add(data) }, "../examples/*.study.yaml")
	f.Add(NewStudy())
	for _, b := range badStudies {
		f.Add([]byte(b.text))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		defer bounded(t, len(data))()
		s, err := ReadStudy("f", data)
		if err != nil {
			refused(t, err, yamlLines(string(data)))
			return
		}
		renamed(t, data, EditStudy, func(text []byte) (any, string, error) {
			s, err := ReadStudy("f", text)
			if err != nil {
				return nil, "", err
			}
			return whatOf(*s), s.Name, nil
		})
		if s.Name == "" || s.Base == "" || len(s.Vary) == 0 || len(s.Aims) == 0 && s.Brief == "" {
			t.Fatalf("accepted: %+v", s)
		}
		for _, v := range s.Vary {
			if v.All == (len(v.Values) > 0) {
				t.Fatalf("%+v", v)
			}
			for _, text := range v.Values {
				if ratios[v.Key] != nil || slices.Contains(designed(v.Key), text) {
					continue
				}
				whole := asWhole(Setting{v.Key, text})
				steps, wrong := pathSteps(reflect.TypeFor[Engine](), whole.Key)
				if wrong != nil {
					t.Fatal(wrong)
				}
				written, wrong := valueText(steps, whole.Text)
				if wrong != nil {
					t.Fatalf("%s: %q: %v", v.Key, text, wrong)
				}
				c := &collector{}
				if decodeAt(c, steps, written, false); len(c.list) > 0 {
					t.Fatalf("%s: %q: %v", v.Key, text, c.list)
				}
			}
		}
	})
}
