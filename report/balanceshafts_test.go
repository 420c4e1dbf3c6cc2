package report

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"crankwright/analysis"
	"crankwright/mechanics/balance"
	"crankwright/num"
	"crankwright/spec"
)

// The edits put the found set into every example: read again, the targets are met.
func TestShaftEditsAreRead(t *testing.T) {
	files, err := filepath.Glob("../examples/*.engine.yaml")
	if err != nil || len(files) < 10 {
		t.Fatal(files, err)
	}
	task := balance.ShaftTask{Crank: true, Targets: []balance.ShaftTarget{
		{K: 2, Aim: balance.AimForce}, {K: 2, Aim: balance.AimMoment}, {K: 4, Aim: balance.AimForce}, {K: 4, Aim: balance.AimMoment},
	}}
	given := regexp.MustCompile(`(?m)^  counterweights: .*$`)
	texts := map[string][]byte{}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		texts[file] = data
		texts[file+" without counterweights"] = given.ReplaceAll(data, []byte("  counterweights: none"))
		texts[file+" with two"] = given.ReplaceAll(data, []byte("  counterweights: [{at: -40 mm, angle: 180 deg, unbalance: 3 kg mm}, {at: 40 mm, angle: 190 deg, unbalance: 3 kg mm}]"))
	}
	for file, data := range texts {
		train, _, err := spec.ReadEngine(file, data, spec.Options{})
		if err != nil {
			t.Fatal(err)
		}
		a, err := balance.FindShafts(train, task)
		if err != nil {
			t.Fatal(err)
		}
		d, err := NewShaftsDoc(train, a, ShaftChoice{})
		if err != nil {
			t.Fatal(err)
		}
		if d.Smallest < 0 {
			t.Errorf("%s: no set meets the targets", file)
			continue
		}
		if _, err := Encode(d); err != nil {
			t.Error(err)
		}
		var changes []spec.Change
		for _, e := range d.Edits {
			changes = append(changes, spec.Change{Path: e.Path, Text: &e.Text})
		}
		out, err := spec.Edit(data, changes)
		if err != nil {
			t.Errorf("%s: %v", file, err)
			continue
		}
		again, _, err := spec.ReadEngine(file, out, spec.Options{})
		if err != nil {
			t.Errorf("%s: %v", file, err)
			continue
		}
		r, err := analysis.Run(again, analysis.Options{})
		if err != nil {
			t.Fatal(err)
		}
		gross := 0.0
		for _, c := range r.Contributions(2) {
			gross += real(c.With)*real(c.With) + imag(c.With)*imag(c.With)
		}
		for _, k := range []int{2, 4} {
			o := r.Order(k)
			if left := o.Force.Ellipse.Major; left*left > 1e-11*gross { // seven digits in the file
				t.Errorf("%s: %g N of order %g is left", file, left, o.N())
			}
			if left := o.Moment.Ellipse.Major; left*left > 1e-11*gross {
				t.Errorf("%s: %g N m of order %g is left", file, left, o.N())
			}
		}
	}
}

// A clockwise file gets the same shafts as its anticlockwise twin.
func TestShaftsOfClockwiseFile(t *testing.T) {
	data, err := os.ReadFile("../examples/vee-six-60-split.engine.yaml")
	if err != nil {
		t.Fatal(err)
	}
	var texts []string
	for _, head := range []string{"", "rotation: clockwise\n"} {
		train, _, err := spec.ReadEngine("x", append([]byte(head), data...), spec.Options{})
		if err != nil {
			t.Fatal(err)
		}
		a, err := balance.FindShafts(train, balance.ShaftTask{Targets: []balance.ShaftTarget{{K: 4, Aim: balance.AimMoment}}})
		if err != nil {
			t.Fatal(err)
		}
		d, err := NewShaftsDoc(train, a, ShaftChoice{})
		if err != nil {
			t.Fatal(err)
		}
		texts = append(texts, d.Edits[0].Text)
	}
	if texts[0] != texts[1] || !strings.Contains(texts[0], "speed_ratio: -2") {
		t.Errorf("edits differ or have no shaft at -2:\n%s\n%s", texts[0], texts[1])
	}
}

func TestShaftsDocRefuses(t *testing.T) {
	data, err := os.ReadFile("../examples/inline-four-flat.engine.yaml")
	if err != nil {
		t.Fatal(err)
	}
	train, _, err := spec.ReadEngine("x", data, spec.Options{})
	if err != nil {
		t.Fatal(err)
	}
	a, err := balance.FindShafts(train, balance.ShaftTask{})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []ShaftChoice{{Speed: -1}, {Speed: 1e9}, {Radius: -1}, {Density: 1}, {BearingRadius: -1}, {Friction: 2}, {Timing: num.Angle(-1)}, {Timing: 3}} {
		if _, err := NewShaftsDoc(train, a, c); err == nil {
			t.Errorf("%+v is not refused", c)
		}
	}
	// what does not fit is said
	d, err := NewShaftsDoc(train, a, ShaftChoice{Radius: 0.001})
	if err != nil {
		t.Fatal(err)
	}
	if text := ShaftsText(d, Screen{}); strings.Contains(text, "NaN") || !strings.Contains(text, Caution[:30]) {
		t.Error(text)
	}
}
