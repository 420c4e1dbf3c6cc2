package main

import (
	"os"
	"path/filepath"
	"testing"
)

// TestPagesAreUpToDate fails where the program has changed since its reference was written.
func TestPagesAreUpToDate(t *testing.T) {
	want, err := pages("../..")
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range want {
		got, err := os.ReadFile(filepath.Join("../../docs/reference", name))
		if err != nil || string(got) != text {
			t.Errorf("docs/reference/%s is not what the program says: make reference (%v)", name, err)
		}
	}
}
