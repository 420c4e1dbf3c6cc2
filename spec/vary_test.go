package spec

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"crankwright/mechanics/layout"
)

// inSI writes a value so that a file has exactly that value: in the SI unit, with all its digits.
func inSI(si float64, unit string) string {
	switch unit {
	case "share", "1":
		unit = ""
	}
	return strings.TrimSpace(strconv.FormatFloat(si, 'g', -1, 64) + " " + unit)
}

// numbers lists the estimates of a train that are numbers.
func numbers(t *layout.Train) []layout.Estimate {
	var list []layout.Estimate
	for _, all := range [][]layout.Estimate{t.Estimates, t.Assumed} {
		for _, e := range all {
			if e.Unit != "" && e.Key != "layout.pins" && e.Key != "layout.each_rod_own_pin" {
				list = append(list, e)
			}
		}
	}
	return list
}

// TestVaryIsTheFileWithTheKey holds Vary against the long way: the key written into the text, and the text read.
func TestVaryIsTheFileWithTheKey(t *testing.T) {
	tried := 0
	for _, path := range enginePaths(t) {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		was, _, err := ReadEngine(path, data, Options{})
		if err != nil {
			t.Fatal(err)
		}
		for i, e := range numbers(was) {
			value := e.Value * (1 + 0.02*float64(i%3-1))
			text := inSI(value, e.Unit)
			edited, err := Edit(data, []Change{{Path: e.Key, Text: &text}})
			if err != nil {
				continue // such as a map that stands on one line with remarks
			}
			want, _, wantErr := ReadEngine(path, edited, Options{})
			got, gotErr := Vary(path, data, []Value{{e.Key, value}}, nil)
			if (wantErr == nil) != (gotErr == nil) {
				t.Errorf("%s: %s: %s: the file says %v, Vary %v", path, e.Key, text, wantErr, gotErr)
				continue
			}
			tried++
			if !reflect.DeepEqual(want, got) {
				t.Errorf("%s: %s: %s: not the engine that the file gives", path, e.Key, text)
			}
		}
	}
	if tried < 1500 {
		t.Errorf("only %d keys were tried", tried)
	}
}

func TestVaryLetsEstimatesFollow(t *testing.T) {
	data := []byte("name: four\ncycle: four-stroke\nbore: 84 mm\nlayout: {arrangement: inline, cylinders: 4}\n")
	was, _, err := ReadEngine("four.engine.yaml", data, Options{})
	if err != nil {
		t.Fatal(err)
	}
	before := string(data)
	rod := was.Cylinders[0].Rod
	got, err := Vary("four.engine.yaml", data, []Value{{"rod.mass", 2 * rod.Mass}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range got.Cylinders {
		if c.Rod.Mass != 2*rod.Mass || math.Abs(c.Rod.Inertia-2*rod.Inertia) > 1e-15 || c.Rod.Length != rod.Length {
			t.Errorf("a rod twice as heavy: %+v of %+v", c.Rod, rod)
		}
	}
	for _, e := range got.Estimates {
		if e.Key == "rod.mass" {
			t.Error("what is given is estimated still")
		}
	}
	got, err = Vary("four.engine.yaml", data, []Value{{"rod.inertia", 2 * rod.Inertia}, {"rod.mass", rod.Mass}}, nil)
	if err != nil || got.Cylinders[1].Rod.Mass != rod.Mass || got.Cylinders[1].Rod.Inertia != 2*rod.Inertia {
		t.Errorf("two keys: %v", err)
	}
	if string(data) != before {
		t.Error("the text was changed")
	}
}

func TestVaryReadsTheTrace(t *testing.T) {
	path := "../examples/test-bed/single-test-engine.engine.yaml"
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	read := func(name string) ([]byte, error) { return os.ReadFile(filepath.Join(filepath.Dir(path), name)) }
	got, err := Vary(path, data, []Value{{"crank.inertia", 0.02}}, read)
	if err != nil || got.Gas.Measured == nil || got.Turning.Crank != 0.02 {
		t.Errorf("no measured pressure: %v", err)
	}
	_, err = Vary(path, data, nil, func(string) ([]byte, error) { return nil, os.ErrNotExist })
	var list Errors
	if !errors.As(err, &list) || !strings.Contains(err.Error(), "there is no file") {
		t.Errorf("a trace that is missing: %v", err)
	}
}

func TestVaryRefuses(t *testing.T) {
	data, err := os.ReadFile("../examples/vee-four-90-offset-070.engine.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		value Value
		want  string
	}{
		{Value{"rod.masss", 1}, `there is no "masss" in rod`},
		{Value{"", 1}, "no path of an engine file"},
		{Value{"rod", 1}, "no single number"},
		{Value{"gas.ignition", 1}, "no single number"},
		{Value{"layout.cylinders", 6}, "no single number"},
		{Value{"layout.pins[0]", 1}, ""},
		{Value{"layout.pins[7]", 1}, "the file has no layout.pins[7]"},
		{Value{"layout.cylinders[0].rod.mass", 1}, "the file has no layout.cylinders[0]"},
		{Value{"layout.knuckle_radius", 0.03}, "does not belong to the arrangement vee"},
		{Value{"rod.mass", -1}, "must not be negative"},
		{Value{"rod.length", 0}, "must be greater than zero"},
		{Value{"rod.length", 0.02}, "too short for a throw"},
		{Value{"rod.mass", math.NaN()}, "out of all measure"},
		{Value{"rod.mass", math.Inf(1)}, "out of all measure"},
		{Value{"speeds.limit", 100}, "limit: 954.9 rpm is too low"},
		{Value{"mounts.engine.mass", 100}, "inertia"},
		{Value{"rod.mass", 0.6}, ""}, // instead of the file's own
	} {
		got, err := Vary("e.yaml", data, []Value{c.value}, nil)
		if c.want == "" {
			if err != nil {
				t.Errorf("%v: %v", c.value, err)
			}
			continue
		}
		var list Errors
		if got != nil || !errors.As(err, &list) || list[0].Line == 0 && c.want != "no path of an engine file" || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v: %v, wanted %q", c.value, err, c.want)
		}
	}
	if _, err := Vary("e.yaml", []byte("name: ["), []Value{{"rod.mass", 1}}, nil); err == nil {
		t.Error("a text that is no file")
	}
}

// FuzzVary holds any key and value against two promises: no panic, and an engine that can be or Errors.
func FuzzVary(f *testing.F) {
	var texts [][]byte
	for _, path := range enginePaths(f) {
		data, err := os.ReadFile(path)
		if err != nil {
			f.Fatal(err)
		}
		texts = append(texts, data)
	}
	for i, key := range []string{
		"rod.mass", "layout.cylinders[0].rod.mass", "layout.throws[1].unbalance", "crank.counterweights.balance_factor", "crank.counterweights[0].at",
		"layout.pins[1]", "mounts.isolators[0].stiffness.z", "balance_shafts[0].masses[0].at", "gas.off[0]", "torsion.damper.inertia", "layout.labels[0]",
		"layout.exhaust_groups[0][0]", "gas.volumetric_efficiency[0].value", "people.exposure", "gas.boost", "", "a.b[", "rod[0]", "mounts.engine.inertia.xx",
	} {
		for n := range texts {
			f.Add(key, float64(i)*0.01, uint8(n))
		}
	}
	f.Fuzz(func(t *testing.T, key string, si float64, n uint8) {
		train, err := Vary("e.yaml", texts[int(n)%len(texts)], []Value{{key, si}}, nil)
		var list Errors
		if (train == nil) == (err == nil) || err != nil && !errors.As(err, &list) {
			t.Fatalf("%s = %g: %v", key, si, err)
		}
		if err == nil && layout.Validate(train) != nil {
			t.Fatalf("%s = %g: an impossible engine", key, si)
		}
	})
}
