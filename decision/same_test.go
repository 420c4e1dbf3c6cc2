package decision

import (
	"bytes"
	"go/ast"
	"go/parser"
	"go/token"
	"maps"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"crankwright/analysis"
	"crankwright/estimate"
	"crankwright/mechanics/layout"
	"crankwright/spec"
)

// engines lists the engine files of the repository.
func engines(t testing.TB) []string {
	t.Helper()
	var list []string
	for _, p := range []string{"../examples/*.engine.yaml", "../examples/*/*.engine.yaml", "../spec/testdata/engines/*.yaml", "../report/testdata/engines/*.yaml"} {
		found, err := filepath.Glob(p)
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, found...)
	}
	if len(list) < 30 {
		t.Fatalf("only %d engines", len(list))
	}
	return list
}

// candidate reads an engine file.
func candidate(t testing.TB, path string) Candidate {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return Candidate{File: path, Data: data, Read: func(name string) ([]byte, error) {
		return os.ReadFile(filepath.Join(filepath.Dir(path), name))
	}}
}

// variants change engine files so that other rules of package estimate come into play.
func variants() map[string][]spec.Change {
	to := func(path, text string) spec.Change { return spec.Change{Path: path, Text: &text} }
	bare := []spec.Change{
		{Path: "rod"},
		{Path: "piston"},
		{Path: "layout.cylinder_spacing"},
		{Path: "layout.bank_stagger"},
		{Path: "crank.crankpin"},
		{Path: "crank.main_journal"},
		{Path: "speeds"},
		{Path: "stroke"},
		{Path: "flywheel"},
		{Path: "gas"},
	}
	return map[string][]spec.Change{
		"as it is": nil, "light": {to("duty", "light")}, "heavy and bare": append(bare, to("duty", "heavy")), "bare": bare,
		"two-stroke": {to("cycle", "two-stroke")}, "far apart": {to("layout.cylinder_spacing", "140 mm"), {Path: "layout.bank_stagger"}},
		"narrow": {to("layout.cylinder_spacing", "96 mm"), {Path: "layout.bank_stagger"}},
	}
}

// TestOwnValueChangesNothing gives each estimate of each engine as a value of the file: an estimate must be what it says,
// or the ends of its scatter lie about another engine. The trains are compared, and the figures where they differ.
func TestOwnValueChangesNothing(t *testing.T) {
	opt := analysis.Options{Drive: true, Space: true, Parts: true}
	keys, analysed, compared := 0, 0, 0
	for n, path := range engines(t) {
		all := variants()
		for k, name := range slices.Sorted(maps.Keys(all)) {
			changes := all[name]
			if changes != nil && (n+k)%4 != 0 {
				continue // each variant with every fourth engine
			}
			c := candidate(t, path)
			for _, change := range changes {
				if data, err := spec.Edit(c.Data, []spec.Change{change}); err == nil {
					c.Data = data
				}
			}
			if name != "as it is" && c.Read != nil && bytes.Contains(c.Data, []byte("trace:")) {
				continue
			}
			s, err := newSubject(c, analysis.Options{}, nil)
			if err != nil {
				continue // such as a crank that cannot fire in the order of its file, which package spec reads all the same
			}
			analysed++
			var whole *subject
			for i := range s.inputs {
				in := &s.inputs[i]
				keys++
				u, err := s.moved(in, 0, true)
				if err != nil {
					t.Errorf("%s, %s: %s: %v", path, name, in.key, err)
					continue
				}
				if sameTrain(s.train, u) {
					continue
				}
				if compared++; whole == nil {
					if whole, err = newSubject(c, opt, nil); err != nil {
						t.Fatal(err)
					}
				}
				values, err := whole.with(in, 0, true)
				if err != nil {
					t.Errorf("%s, %s: %s: %v", path, name, in.key, err)
					continue
				}
				for k, f := range whole.figures {
					if math.Abs(values[k]-f.Value) > 1e-10*whole.scale[f.Unit] {
						t.Errorf("%s, %s: %s at its own value changes %s from %v to %v", path, name, in.key, f.Key, f.Value, values[k])
					}
				}
			}
		}
	}
	if keys < 4000 || analysed < 80 {
		t.Errorf("only %d estimates of %d engines were tried", keys, analysed)
	}
	t.Logf("%d estimates of %d engines; %d trains differed in the last digits", keys, analysed, compared)
}

// TestMountsAtTheirOwnValueChangeNothing does the same for what package analysis assumes.
func TestMountsAtTheirOwnValueChangeNothing(t *testing.T) {
	for _, path := range []string{"../examples/vee-four-90-offset-070.engine.yaml", "../examples/offset-pair.engine.yaml"} {
		s, err := newSubject(candidate(t, path), analysis.Options{Drive: true, Lasting: true}, nil)
		if err != nil {
			t.Fatal(err)
		}
		tried := 0
		for i := range s.inputs {
			if !s.inputs[i].mounts {
				continue
			}
			tried++
			values, err := s.with(&s.inputs[i], 0, true)
			if err != nil || !slices.Equal(values, s.values()) {
				t.Errorf("%s: %s at its own value: %v, not %v; %v", path, s.inputs[i].key, values, s.values(), err)
			}
		}
		if tried != 2 {
			t.Errorf("%s: %d keys of the mounts", path, tried)
		}
	}
}

// TestEveryEstimateOfTheEngines holds the keys that occur against the table of package estimate.
func TestEveryEstimateOfTheEngines(t *testing.T) {
	seen := map[string]bool{}
	hold := func(where, key string) {
		key = estimate.CommonKey(key)
		_, scatters := estimate.Scatter(key)
		if _, chosen := estimate.Chosen(key); scatters == chosen {
			t.Errorf("%s: %s scatters: %t, is chosen: %t", where, key, scatters, chosen)
		}
		seen[key] = true
	}
	for _, path := range engines(t) {
		c := candidate(t, path)
		train, err := spec.Vary(path, c.Data, nil, nil)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range slices.Concat(train.Estimates, train.Assumed) {
			hold(path, e.Key)
		}
	}
	if len(seen) < 80 {
		t.Errorf("only %d keys occur", len(seen))
	}
	// and those that no engine file here brings about: as the code names them
	for _, dir := range []string{"../estimate", "../spec", "../analysis"} {
		for where, key := range keysOf(t, dir) {
			hold(where, key)
		}
	}
}

// keysOf returns the keys that the code of a package gives estimates, by their place.
func keysOf(t *testing.T, dir string) map[string]string {
	t.Helper()
	names, err := filepath.Glob(filepath.Join(dir, "*.go"))
	if err != nil {
		t.Fatal(err)
	}
	out, set := map[string]string{}, token.NewFileSet()
	add := func(e ast.Expr) {
		lit, ok := e.(*ast.BasicLit)
		if !ok {
			return
		}
		key, err := strconv.Unquote(lit.Value)
		if err == nil && strings.Contains(key, ".") && !strings.HasSuffix(key, ".") {
			out[set.Position(lit.Pos()).String()] = key
		}
	}
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(set, name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(f, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.KeyValueExpr: // layout.Estimate{Key: "…"}
				if id, ok := n.Key.(*ast.Ident); ok && id.Name == "Key" {
					add(n.Value)
				}
			case *ast.CallExpr: // f.set(at, "…"), f.word("…"), r.assume("…"), metal(at, density, "…", "…")
				name := ""
				switch fun := n.Fun.(type) {
				case *ast.SelectorExpr:
					name = fun.Sel.Name
				case *ast.Ident:
					name = fun.Name
				}
				if slices.Contains([]string{"set", "word", "assume", "metal"}, name) {
					for _, arg := range n.Args[:min(4, len(n.Args))] {
						if lit, ok := arg.(*ast.BasicLit); ok && !strings.Contains(lit.Value, " ") && strings.ToLower(lit.Value) == lit.Value {
							add(arg)
						}
					}
				}
			}
			return true
		})
	}
	return out
}

// sameTrain tells whether two trains differ in nothing but what was estimated.
func sameTrain(a, b *layout.Train) bool {
	x, y := *a, *b
	x.Estimates, x.Assumed, y.Estimates, y.Assumed = nil, nil, nil, nil
	return reflect.DeepEqual(x, y)
}
