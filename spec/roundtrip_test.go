package spec

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"crankwright/mechanics/layout"
)

// difference returns the first place where two trains differ by more than rounding; what a custom
// file does not keep (arrangement, estimates) is left out.
func difference(a, b *layout.Train) string {
	x, y := *a, *b
	for _, t := range []*layout.Train{&x, &y} {
		t.Arrangement, t.Estimates, t.Assumed = "", nil, nil
	}
	return differ("train", reflect.ValueOf(x), reflect.ValueOf(y))
}

func differ(path string, a, b reflect.Value) string {
	switch a.Kind() {
	case reflect.Struct:
		for i := range a.NumField() {
			if d := differ(path+"."+a.Type().Field(i).Name, a.Field(i), b.Field(i)); d != "" {
				return d
			}
		}
	case reflect.Pointer:
		if a.IsNil() || b.IsNil() {
			if a.IsNil() != b.IsNil() {
				return path + " is only in one of the two"
			}
			return ""
		}
		return differ(path, a.Elem(), b.Elem())
	case reflect.Slice:
		if a.Len() != b.Len() {
			return fmt.Sprintf("%s has %d and %d parts", path, a.Len(), b.Len())
		}
		for i := range a.Len() {
			if d := differ(fmt.Sprintf("%s[%d]", path, i), a.Index(i), b.Index(i)); d != "" {
				return d
			}
		}
	case reflect.Float64:
		x, y := a.Float(), b.Float()
		if math.Abs(x-y) > 1e-12*math.Max(math.Abs(x), math.Abs(y)) {
			return fmt.Sprintf("%s is %v and %v", path, x, y)
		}
	default:
		if !a.Equal(b) {
			return fmt.Sprintf("%s is %v and %v", path, a, b)
		}
	}
	return ""
}

func read(t testing.TB, text string) (*layout.Train, *Engine) {
	t.Helper()
	train, file, err := ReadEngine("test.engine.yaml", []byte(text), Options{})
	if err != nil {
		t.Fatal(err)
	}
	return train, file
}

func TestResolvedReadsTheSame(t *testing.T) {
	for _, path := range enginePaths(t) {
		train, file, err := ReadEngineFile(path, Options{})
		if err != nil {
			t.Errorf("%v", err)
			continue
		}
		for name, src := range map[string]*Engine{"with source": file, "without": nil} {
			text := WriteResolved(train, src)
			again, _, err := ReadEngine("resolved", text, Options{})
			if err != nil {
				t.Errorf("%s %s: %v\n%s", path, name, err, text)
				continue
			}
			if err := file.ReadMeasuredIn(filepath.Dir(path), again); err != nil {
				t.Error(err)
			}
			if d := difference(train, again); d != "" {
				t.Errorf("%s %s: %s", path, name, d)
			}
			if again.Arrangement != layout.Custom {
				t.Errorf("%s: arrangement %s", path, again.Arrangement)
			}
		}
	}
}

func TestResolvedKeepsTheUsersText(t *testing.T) {
	data, err := os.ReadFile("testdata/engines/everything.engine.yaml")
	if err != nil {
		t.Fatal(err)
	}
	train, file := read(t, string(data))
	text := string(WriteResolved(train, file))
	for _, want := range []string{
		"bore: 3.5 in\n", "length: 6 in\n", "mass: 1.2 lb\n", "mass: 14 oz\n", "inertia: 61.5 lb in2\n",
		"unbalance: 150 g·cm", "angle: 120°,", "unbalance: 16 oz in}", "11.2 kg*mm, throw: T2b}", "offset: -2 mm\n",
		"inertia: 2.8 lb ft2\n", "idle: 15 Hz\n", "rated: 6000 1/min\n", "limit: 7e2 rad/s\n", "imep: 160 psi\n",
		"fillet_radius: .1 in\n", "compression_ratio: 10.5\n", "reference: 5 mm\n", "labels: iso-1204\n", "rotation: clockwise\n",
		`name: "Everything: a test"`, "speed_ratio: -2\n",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the resolved file has no %q:\n%s", want, text)
		}
	}
	if strings.Contains(text, "estimated") {
		t.Errorf("nothing of this file is estimated:\n%s", text)
	}
}

func TestResolvedMarksEstimates(t *testing.T) {
	train, file := read(t, "name: x\ncycle: four-stroke\nbore: 84 mm\nstroke: 90 mm\nlayout: {arrangement: inline, cylinders: 2, pins: [0, 0]}\nrod: {mass: 0.5 kg}\n")
	text := string(WriteResolved(train, file))
	for _, want := range []string{"mass: 0.5 kg\n", "length: 144 mm  # estimated: 1.6 × stroke", "  # estimated, as above\n"} {
		if !strings.Contains(text, want) {
			t.Errorf("the resolved file has no %q:\n%s", want, text)
		}
	}
}
