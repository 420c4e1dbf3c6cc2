package docs

import (
	"slices"
	"testing"
)

// Every source says what it is and how far it was seen.
func TestSources(t *testing.T) {
	kinds := []string{"read", "memory", "common practice", "definition", "independent library"}
	for _, s := range Sources() {
		if s.Title == "" || s.Note == "" || !slices.Contains(kinds, s.Kind) {
			t.Errorf("%s is not whole: %+v", s.Key, s)
		}
	}
	if s, ok := Find("DENHARTOG"); !ok || s.Cite() != "J. P. Den Hartog, Mechanical Vibrations, 4th ed., 1956" {
		t.Errorf("DENHARTOG reads %q, %v", s.Cite(), ok)
	}
	if _, ok := Find("NOBODY"); ok {
		t.Error("an unknown key has a source")
	}
	if got := Cited([]string{"SAR", "KG", "NOBODY", "SAR"}); len(got) != 2 || got[0].Key != "KG" || got[1].Key != "SAR" {
		t.Errorf("cited: %+v", got)
	}
}

func TestReadRefusesNonsense(t *testing.T) {
	if _, err := read([]byte("[A\ntitle = 1")); err == nil {
		t.Error("no error")
	}
}
