package spec

import (
	"path/filepath"
	"reflect"
	"testing"

	"crankwright/mechanics/layout"
)

// enginePaths lists all engine files of this package's tests and of the examples.
func enginePaths(t testing.TB) []string {
	t.Helper()
	var all []string
	for _, pattern := range []string{"testdata/engines/*.engine.yaml", "../examples/*.engine.yaml", "../examples/*/*.engine.yaml"} {
		paths, err := filepath.Glob(pattern)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, paths...)
	}
	if len(all) < 5 {
		t.Fatalf("only %d engine files found", len(all))
	}
	return all
}

// FuzzReadEngine holds any text against four promises: no panic; a refusal is Errors with a place
// inside the file; a train that is accepted is valid and finite; and what WriteResolved writes of
// it reads as the same train.
func FuzzReadEngine(f *testing.F) {
	add := func(data []byte) { f.Add(data, false) }
	seedWith(f, "engine", add, "testdata/engines/*.engine.yaml", "../examples/*.engine.yaml", "../examples/*/*.engine.yaml")
	seedWith(f, "strict", func(data []byte) { f.Add(data, true) }, "testdata/engines/*.engine.yaml")
	for _, b := range badFiles {
		f.Add([]byte(b.text), true)
	}
	f.Fuzz(func(t *testing.T, data []byte, strict bool) {
		defer bounded(t, len(data))()
		train, file, err := ReadEngine("f", data, Options{Strict: strict})
		if err != nil {
			refused(t, err, yamlLines(string(data)))
			return
		}
		if err := layout.Validate(train); err != nil {
			t.Fatalf("accepted, but: %v", err)
		}
		if !allFinite(reflect.ValueOf(train)) {
			t.Fatalf("a value is not finite: %+v", train)
		}
		text := WriteResolved(train, file)
		again, _, err := ReadEngine("again", text, Options{Strict: strict})
		if err != nil {
			t.Fatalf("resolved file refused: %v\n%s", err, text)
		}
		if what := difference(train, again); what != "" {
			t.Fatalf("resolved file reads differently: %s\n%s", what, text)
		}
	})
}
