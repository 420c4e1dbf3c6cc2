package spec

import (
	"bytes"
	"errors"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"sync"
	"testing"

	"crankwright/mechanics/layout"
)

// beside reads the files that an engine file names.
func beside(path string) func(string) ([]byte, error) { return FilesIn(filepath.Dir(path)) }

func template(t testing.TB, path string) *Template {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	tpl, err := NewTemplate(path, data, beside(path))
	if err != nil {
		t.Fatal(err)
	}
	return tpl
}

// otherValues returns values for every input of an engine: what it has and something else, some of them impossible.
func otherValues(e *Engine, tr *layout.Train) []Setting {
	var list []Setting
	add := func(key string, texts ...string) {
		for _, text := range texts {
			list = append(list, Setting{key, text})
		}
	}
	for i, f := range Fields(e, tr) {
		if f.Text != "" && f.Kind != kindList {
			add(f.Path, f.Text)
		}
		switch f.Kind {
		case kindQuantity:
			if f.Value == nil {
				add(f.Path, "12 "+strings.Join(f.Units[:min(1, len(f.Units))], ""))
				break
			}
			unit := ""
			if len(f.Units) > 0 {
				unit = f.Units[0]
			}
			add(f.Path, strings.TrimSpace(formatNumber(*f.Value/f.unitFactor()*(1+0.02*float64(i%3-1)))+" "+unit))
		case kindCount:
			add(f.Path, "4", "6", "x")
		case kindWord, kindFlag:
			add(f.Path, f.Words...)
		case kindText:
			add(f.Path, "other", `it's: "so" #1`)
		case kindList:
			if f.Given {
				add(f.Path, f.Text)
			}
			add(f.Path, f.Words...)
		}
	}
	for _, s := range []string{
		"crank.counterweights={balance_factor: 40 %}", "crank.counterweights=[{at: 0 mm, angle: 30 deg, unbalance: 2 kg mm}]", "crank.counterweights.balance_factor=60 %",
		"balance_shafts=[{speed_ratio: -2, y: 60 mm, z: -40 mm, masses: [{at: 0 mm, angle: 180 deg, unbalance: 6 kg mm}]}]", "balance_shafts=[]",
		"layout.pins=[0, 180, 180, 0] deg", "layout.pins=[0, 90]", "layout.pins=[0 deg, 90 deg]", "layout.pins=\"[0, 70] deg\"", "layout.pins=[0 deg, 70 deg, 90 deg, 33 deg]",
		"layout.firing_order=[1, 3, 4, 2]", "layout.firing_order=[1, 2, 3]", "layout.exhaust_groups=[[1, 4], [2, 3]]", "rod={length: 150 mm, mass: 600 g}",
		"gas.volumetric_efficiency=[{speed: 3000 rpm, value: 88 %}]", "layout.bank_angle=60 deg", "layout.pin_split=15 deg", "layout.knuckle_radius=40 mm", "rod=null", "name=null",
		"torsion.damper={kind: viscous}", "layout.cylinder_offset=[3 mm, -3 mm]",
	} {
		key, text, _ := strings.Cut(s, "=")
		add(key, text)
	}
	return list
}

// agrees holds a template against the long way: the keys written into the text, and the text read. It returns whether
// both make an engine; skipped tells that the text cannot be edited so.
func agrees(t *testing.T, tpl *Template, path string, set []Setting) (made, skipped bool) {
	t.Helper()
	var prepared []Prepared
	var gotErr error
	for _, s := range set {
		p, err := tpl.Prepare(s)
		if err != nil {
			gotErr = err
			break
		}
		prepared = append(prepared, p)
	}
	var got *layout.Train
	if gotErr == nil {
		got, gotErr = tpl.Train(prepared)
	}
	changes := make([]Change, len(set))
	for i, s := range set {
		s = asWhole(s)
		changes[i] = Change{s.Key, &s.Text}
	}
	text, err := Edit(tpl.data, changes)
	if err != nil {
		return false, true
	}
	want, e, wantErr := ReadEngine(path, text, Options{})
	if wantErr == nil {
		wantErr = e.ReadMeasured(want, "", beside(path))
	}
	if (wantErr == nil) != (gotErr == nil) {
		t.Errorf("%s: %v: the text says %v, the template %v", path, set, wantErr, gotErr)
		return false, false
	}
	if wantErr != nil {
		var a, b Errors
		if !errors.As(gotErr, &a) || got != nil || !errors.As(wantErr, &b) {
			t.Errorf("%s: %v: %T", path, set, gotErr)
		}
		return false, false
	}
	if !reflect.DeepEqual(want, got) {
		t.Errorf("%s: %v: not the engine that the text gives: %s", path, set, difference(want, got))
	}
	quick, err := tpl.QuickTrain(prepared)
	for _, tr := range []*layout.Train{want, quick} {
		for _, list := range [][]layout.Estimate{tr.Estimates, tr.Assumed} {
			for i := range list {
				list[i].Shown, list[i].Rule = "", ""
			}
		}
	}
	if err != nil || !reflect.DeepEqual(want, quick) {
		t.Errorf("%s: %v: not the same in less time: %v", path, set, err)
	}
	own, err := tpl.Text(set)
	if err != nil || !bytes.Equal(own, text) {
		t.Errorf("%s: %v: another text: %v", path, set, err)
	}
	return true, false
}

// TestTemplateIsTheEditedFile sets every key of every engine file to what it has and to something else, alone and in
// combinations.
func TestTemplateIsTheEditedFile(t *testing.T) {
	alone, together, refused, skips := 0, 0, 0, 0
	for n, path := range enginePaths(t) {
		tpl := template(t, path)
		base, err := tpl.Train(nil)
		if err != nil {
			t.Fatal(err)
		}
		long, _, err := ReadEngineFile(path, Options{})
		if long.Gas.Measured != nil {
			base.Gas.Measured.File = long.Gas.Measured.File
		}
		if err != nil || !reflect.DeepEqual(base, long) {
			t.Fatalf("%s: the base itself differs: %v", path, err)
		}
		values := otherValues(tpl.Engine(), base)
		count := func(made, skipped bool, n *int) {
			switch {
			case made:
				*n++
			case skipped:
				skips++
			default:
				refused++
			}
		}
		for i, s := range values {
			if i%8 != n%8 { // every key of some files, and some of every file
				continue
			}
			made, skipped := agrees(t, tpl, path, []Setting{s})
			count(made, skipped, &alone)
		}
		rng := rand.New(rand.NewPCG(9, uint64(n)))
		for range 15 {
			var set []Setting
			for range 2 + rng.IntN(3) {
				s := values[rng.IntN(len(values))]
				if s.Key != "name" && !overlaps(set, s.Key) {
					set = append(set, s)
				}
			}
			made, skipped := agrees(t, tpl, path, set)
			count(made, skipped, &together)
		}
		again, err := tpl.Train(nil)
		if err != nil || again.Gas.Measured == nil && !reflect.DeepEqual(again, base) {
			t.Errorf("%s: the template has changed", path)
		}
	}
	t.Logf("%d alone, %d together, %d refused by both, %d that the text does not take", alone, together, refused, skips)
	if alone < 500 || together < 100 || refused < 50 || skips > (alone+together)/4 {
		t.Errorf("%d alone, %d together, %d refused, %d skipped", alone, together, refused, skips)
	}
}

func overlaps(set []Setting, key string) bool {
	key = asWhole(Setting{Key: key}).Key
	for _, s := range set {
		a := asWhole(s).Key
		if a == key || strings.HasPrefix(a, key) || strings.HasPrefix(key, a) {
			return true
		}
	}
	return false
}

// TestTemplateChangesTheArrangement makes engines of other kinds of one file.
func TestTemplateChangesTheArrangement(t *testing.T) {
	made := 0
	for n, path := range enginePaths(t) {
		if n%5 > 0 {
			continue
		}
		tpl := template(t, path)
		for _, arrangement := range []string{"inline", "vee", "opposed", "radial", "custom"} {
			for _, cylinders := range []string{"1", "2", "3", "4", "6", "8"} {
				for _, more := range [][]Setting{nil, {{"layout.bank_angle", "90 deg"}}, {{"layout.bank_angle", "60 deg"}, {"layout.pin_split", "30 deg"}}, {{"layout.pins", "even-fire"}}} {
					set := append([]Setting{{"layout.arrangement", arrangement}, {"layout.cylinders", cylinders}}, more...)
					if ok, _ := agrees(t, tpl, path, set); ok {
						made++
					}
				}
			}
		}
	}
	if made < 40 {
		t.Errorf("only %d engines came out", made)
	}
}

func TestTemplateRefuses(t *testing.T) {
	tpl := template(t, "../examples/vee-four-90-offset-070.engine.yaml")
	for _, c := range []struct{ key, text, want string }{
		{"rod.masss", "1 kg", `rod.masss: there is no "masss" in rod; did you mean "mass"?`},
		{"", "1", "no path of an engine file"},
		{"rod.mass", "-1 kg", "mass: -1 kg is not possible; it must not be negative"},
		{"rod.mass", "1 mm", `mass: "mm" is not a unit of mass`},
		{"rod.mass", "1", `mass: "1" has no unit`},
		{"rod.mass", "", "rod.mass: the value is empty"},
		{"rod.mass", "1 kg\nbore: 3 mm", "more than one line"},
		{"rod.mass", "[", "no value that YAML understands"},
		{"bore", "80 m", "1 mm to 5 m is allowed"},
		{"layout.pins[7]", "1 deg", "the file has no layout.pins[7]"},
		{"layout.pins[2]", "1 deg", "the file has no layout.pins[2]"},
		{"layout.cylinders[0].rod.mass", "1 kg", "the file has no layout.cylinders[0]"},
		{"gas.ignition", "sparc", `did you mean "spark"?`},
		{"rod", "null", `the key "rod" has no value`},
		{"balance_shafts", "[{speed: 2}]", `unknown key "speed"`},
	} {
		_, err := tpl.Prepare(Setting{c.key, c.text})
		var list Errors
		if !errors.As(err, &list) || list[0].Line == 0 || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %s: %v, wanted %q", c.key, c.text, err, c.want)
		}
	}
	for _, c := range []struct {
		set  []Setting
		want string
	}{
		{[]Setting{{"layout.knuckle_radius", "30 mm"}}, `"knuckle_radius" does not belong to the arrangement vee; it is for radial`},
		{[]Setting{{"layout.arrangement", "inline"}}, `"bank_angle" does not belong to the arrangement inline`},
		{[]Setting{{"rod.mass", "1 kg"}, {"rod", "{length: 150 mm}"}}, "rod.mass and rod: one stands inside the other"},
		{[]Setting{{"rod.mass", "1 kg"}, {"rod.mass", "2 kg"}}, "rod.mass: it is set twice"},
		{[]Setting{{"rod.length", "20 mm"}}, "too short for a throw"},
		{[]Setting{{"balance_shafts", "[{speed_ratio: -2}]"}}, `the key "y" is missing`},
	} {
		var set []Prepared
		for _, s := range c.set {
			p, err := tpl.Prepare(s)
			if err != nil {
				t.Fatal(err)
			}
			set = append(set, p)
		}
		tr, err := tpl.Train(set)
		var list Errors
		if tr != nil || !errors.As(err, &list) || list[0].Line < 2 || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v: %v, wanted %q", c.set, err, c.want)
		}
	}
	if _, err := tpl.Train([]Prepared{{}}); err == nil {
		t.Error("a value that nobody prepared")
	}
	if _, err := NewTemplate("e.yaml", []byte("name: ["), nil); err == nil {
		t.Error("a text that is no file")
	}
	if !tpl.Gives("layout.bank_angle") || !tpl.Gives("layout.pins[1]") || tpl.Gives("layout.pin_split") || tpl.Gives("layout.pins[2]") {
		t.Error("what the file gives")
	}
}

// TestTemplateIsShared uses one template from several goroutines; the race detector judges.
func TestTemplateIsShared(t *testing.T) {
	for _, path := range []string{"testdata/engines/everything.engine.yaml", "../examples/test-bed/single-test-engine.engine.yaml", "../examples/vee-four-90-offset-070.engine.yaml"} {
		tpl := template(t, path)
		base, err := tpl.Train(nil)
		if err != nil {
			t.Fatal(err)
		}
		values := otherValues(tpl.Engine(), base)
		var all sync.WaitGroup
		for n := range 4 {
			all.Go(func() {
				rng := rand.New(rand.NewPCG(1, uint64(n)))
				for range 150 {
					p, err := tpl.Prepare(values[rng.IntN(len(values))])
					if err == nil {
						_, _ = tpl.Train([]Prepared{p})
					}
				}
			})
		}
		all.Wait()
		if again, err := tpl.Train(nil); err != nil || !reflect.DeepEqual(again, base) {
			t.Errorf("%s: the template has changed", path)
		}
	}
}

func BenchmarkTemplate(b *testing.B) {
	tpl := template(b, "../examples/vee-four-90-offset-070.engine.yaml")
	var sets [][]Prepared
	for _, angle := range []string{"60 deg", "72 deg", "90 deg"} {
		var set []Prepared
		for _, s := range []Setting{{"layout.bank_angle", angle}, {"layout.pins", "[0, 180] deg"}, {"layout.pin_split", "15 deg"}} {
			p, err := tpl.Prepare(s)
			if err != nil {
				b.Fatal(err)
			}
			set = append(set, p)
		}
		sets = append(sets, set)
	}
	b.Run("train", func(b *testing.B) {
		b.ReportAllocs()
		for i := 0; b.Loop(); i++ {
			if _, err := tpl.Train(sets[i%3]); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("quick train", func(b *testing.B) {
		b.ReportAllocs()
		for i := 0; b.Loop(); i++ {
			if _, err := tpl.QuickTrain(sets[i%3]); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("prepare", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if _, err := tpl.Prepare(Setting{"layout.pins", "[0, 180] deg"}); err != nil {
				b.Fatal(err)
			}
		}
	})
}
