package main

import (
	"os"
	"strings"
	"testing"
)

// TestListIsUpToDate fails where something that the program is built of has come, gone or changed since docs/licences.md was
// written, and where a licence is not permissive.
func TestListIsUpToDate(t *testing.T) {
	want, err := list("../..")
	if err != nil {
		t.Fatal(err)
	}
	got, err := os.ReadFile("../../" + listFile)
	if err != nil || string(got) != string(want) {
		t.Errorf("%s is not up to date: make licences (%v)", listFile, err)
	}
	if n := strings.Count(string(want), "\n| "); n < 40 {
		t.Errorf("only %d parts were found", n)
	}
}
