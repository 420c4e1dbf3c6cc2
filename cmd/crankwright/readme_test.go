package main

import (
	"bytes"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// TestPagesShowRealOutput runs every command that the README and the pages below docs/ show, and holds what stands
// there against what it prints. A line … stands for any lines left out.
func TestPagesShowRealOutput(t *testing.T) {
	t.Chdir("../..")
	empty := func() { // what the commands of a page write stands there
		if err := os.RemoveAll("out/tour"); err != nil {
			t.Fatal(err)
		}
	}
	t.Cleanup(empty)
	for _, page := range pages(t) {
		t.Run(page, func(t *testing.T) {
			empty()
			blocks := shown(t, page)
			if least := leastCommands(page); len(blocks) < least {
				t.Errorf("the page shows %d commands; at least %d are wanted", len(blocks), least)
			}
			for _, b := range blocks {
				t.Run(b.command, b.check)
			}
		})
	}
}

// pages returns the README and every page below docs/.
func pages(t *testing.T) []string {
	t.Helper()
	list := []string{"README.md"}
	err := filepath.WalkDir("docs", func(path string, _ fs.DirEntry, err error) error {
		if filepath.Ext(path) == ".md" {
			list = append(list, path)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return list
}

// leastCommands is how many commands a page shows at least: the README a tour, a chapter its example.
func leastCommands(page string) int {
	switch {
	case page == "README.md":
		return 6
	case filepath.Dir(page) == filepath.Join("docs", "chapters"):
		return 1
	}
	return 0
}

// block is a command with the lines that a page shows of its output.
type block struct {
	page, command string
	lines         []string
}

// shown returns the console blocks of a page that begin with a command of ours.
func shown(t *testing.T, page string) []block {
	t.Helper()
	text, err := os.ReadFile(page)
	if err != nil {
		t.Fatal(err)
	}
	var blocks []block
	for _, part := range regexp.MustCompile("(?m)^```console\n").Split(string(text), -1)[1:] {
		inside, _, closed := strings.Cut(part, "\n```")
		command, ours := strings.CutPrefix(inside, "$ crankwright ")
		switch {
		case !closed:
			t.Fatalf("%s: a console block has no end", page)
		case !ours:
			continue
		case strings.Contains(inside, "\n$ "):
			t.Fatalf("%s: a console block has two commands; give each its own:\n%s", page, inside)
		}
		lines := strings.Split(command, "\n")
		blocks = append(blocks, block{page: page, command: lines[0], lines: lines[1:]})
	}
	return blocks
}

// check runs the command and compares.
func (b block) check(t *testing.T) {
	var out bytes.Buffer
	run(words(b.command), strings.NewReader(""), &out, &out)
	got := strings.Split(strings.TrimRight(out.String(), "\n"), "\n")
	at, skip := 0, false
	for _, want := range b.lines {
		if want == "…" {
			skip = true
			continue
		}
		i := slices.Index(got[at:], want)
		if i < 0 || i > 0 && !skip {
			t.Fatalf("%s shows\n%s\nthe command prints\n%s", b.page, want, out.String())
		}
		at, skip = at+i+1, false
	}
	if !skip && at != len(got) {
		t.Errorf("the command prints more than %s shows:\n%s", b.page, strings.Join(got[at:], "\n"))
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
