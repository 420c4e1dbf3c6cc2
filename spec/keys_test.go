package spec

import (
	"slices"
	"testing"
)

// TestFileKinds checks that every key of every kind of file is explained and says what it takes or has keys of its own, and
// that what is needed is a key.
func TestFileKinds(t *testing.T) {
	kinds, err := FileKinds()
	if err != nil {
		t.Fatal(err)
	}
	for _, kind := range kinds {
		var paths []string
		for _, k := range kind.Keys {
			paths = append(paths, k.Path)
		}
		for i, k := range kind.Keys {
			if k.Help == "" {
				t.Errorf("%s: the key %s is not explained", kind.Word, k.Path)
			}
			section := i+1 < len(paths) && len(paths[i+1]) > len(k.Path) && paths[i+1][:len(k.Path)] == k.Path
			if k.Takes == "" && !section {
				t.Errorf("%s: it is not said what %s takes", kind.Word, k.Path)
			}
		}
		for _, path := range kind.Needed {
			if !slices.Contains(paths, path) {
				t.Errorf("%s: %s is needed and no key", kind.Word, path)
			}
		}
	}
	engine := kinds[0].Keys
	for _, want := range []FileKey{
		{Path: "bore", Takes: "a length takes mm, cm, m or in", Range: "1 mm to 5 m", Help: "Cylinder bore."},
		{Path: "layout.cylinders[].rod.mass", Takes: "a mass takes kg, g, lb or oz", Range: "0 or more", For: []string{"custom"}, Help: "Mass with bolts and shells."},
		{Path: "crank.counterweights", Takes: "`none`; or a map; or a list: a map", Help: "Counterweights: none (left out), {balance_factor: 50 %}, or a list."},
	} {
		i := slices.IndexFunc(engine, func(k FileKey) bool { return k.Path == want.Path })
		if i < 0 {
			t.Errorf("there is no key %s", want.Path)
			continue
		}
		if got := engine[i]; got.Takes != want.Takes || got.Range != want.Range || got.Help != want.Help || !slices.Equal(got.For, want.For) {
			t.Errorf("%+v, not %+v", got, want)
		}
	}
}
