package main

import (
	"bytes"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// TestReadmeShowsRealOutput runs every command of the README's tour and holds what stands there against
// what it prints. A line … stands for any lines left out.
func TestReadmeShowsRealOutput(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir("../..")
	clean := func() { // what the tour writes stands there
		if err := os.RemoveAll("out/tour"); err != nil {
			t.Fatal(err)
		}
	}
	clean()
	t.Cleanup(clean)
	blocks := regexp.MustCompile("(?s)```console\n\\$ crankwright ([^\n]*)\n(.*?)\n```").FindAllStringSubmatch(string(readme), -1)
	if len(blocks) < 6 {
		t.Fatalf("the README has only %d commands", len(blocks))
	}
	for _, b := range blocks {
		t.Run(b[1], func(t *testing.T) {
			var out bytes.Buffer
			run(words(b[1]), strings.NewReader(""), &out, &out)
			got := strings.Split(strings.TrimRight(out.String(), "\n"), "\n")
			at, skip := 0, false
			for _, want := range strings.Split(b[2], "\n") {
				if want == "…" {
					skip = true
					continue
				}
				i := slices.Index(got[at:], want)
				if i < 0 || i > 0 && !skip {
					t.Fatalf("the README shows\n%s\nthe command prints\n%s", want, out.String())
				}
				at, skip = at+i+1, false
			}
			if !skip && at != len(got) {
				t.Errorf("the command prints more than the README shows:\n%s", strings.Join(got[at:], "\n"))
			}
		})
	}
}

// words splits a command line as a shell does with single quotes.
func words(line string) []string {
	var out []string
	for _, m := range regexp.MustCompile(`'([^']*)'|(\S+)`).FindAllStringSubmatch(line, -1) {
		out = append(out, m[1]+m[2])
	}
	return out
}
