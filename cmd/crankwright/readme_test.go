package main

import (
	"bytes"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// TestPagesShowRealOutput runs every command that the README and the pages below docs/ show, one page after the other from
// its beginning, and holds what stands there against what it prints:
//
//   - a block console holds one command, crankwright or curl, and its output, with … for any lines left out. "; echo $?"
//     behind a command prints its exit code. A curl is answered by a workbench of a copy of examples; "| jq ." behind it sets
//     the answer in lines, "| jq .key.key" shows a part of it.
//   - a block yaml or csv whose first line is "# out/tour/NAME" is written there first.
func TestPagesShowRealOutput(t *testing.T) {
	t.Chdir("../..")
	remove := func() { // what the commands of a page write stands there
		if err := os.RemoveAll("out/tour"); err != nil {
			t.Fatal(err)
		}
	}
	t.Cleanup(remove)
	for _, page := range pages(t) {
		t.Run(page, func(t *testing.T) {
			remove()
			if err := os.MkdirAll("out/tour", 0o755); err != nil {
				t.Fatal(err)
			}
			web := &workbench{}
			defer web.close(t)
			blocks := shown(t, page)
			if least := leastCommands(page); len(blocks) < least {
				t.Errorf("the page shows %d commands; at least %d are wanted", len(blocks), least)
			}
			for _, b := range blocks {
				t.Run(b.command, func(t *testing.T) { b.check(t, web) })
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

// block is a command with the lines that a page shows of its output, or a file that it shows.
type block struct {
	page, command string
	lines         []string
	file          string // that is written; empty: a command is run
}

var fenced = regexp.MustCompile("(?ms)^```(console|yaml|csv)\n(.*?)\n```$")

// shown returns the commands and the files of a page.
func shown(t *testing.T, page string) []block {
	t.Helper()
	text, err := os.ReadFile(page)
	if err != nil {
		t.Fatal(err)
	}
	var blocks []block
	for _, m := range fenced.FindAllStringSubmatch(string(text), -1) {
		kind, inside := m[1], m[2]
		first, rest, _ := strings.Cut(inside, "\n")
		file, written := strings.CutPrefix(first, "# out/tour/")
		command, ours := strings.CutPrefix(first, "$ ")
		switch {
		case kind != "console" && written:
			blocks = append(blocks, block{page: page, command: "write " + file, file: "out/tour/" + file, lines: []string{inside, ""}})
		case kind != "console":
		case !ours || !strings.HasPrefix(command, "crankwright ") && !strings.HasPrefix(command, "curl "):
			continue
		case strings.Contains(rest, "\n$ ") || strings.HasPrefix(rest, "$ "):
			t.Fatalf("%s: a console block has two commands; give each its own:\n%s", page, inside)
		default:
			blocks = append(blocks, block{page: page, command: command, lines: strings.Split(rest, "\n")})
			if rest == "" {
				blocks[len(blocks)-1].lines = nil
			}
		}
	}
	return blocks
}

// check writes the file, or runs the command and compares.
func (b block) check(t *testing.T, web *workbench) {
	if b.file != "" {
		if err := os.WriteFile(b.file, []byte(strings.Join(b.lines, "\n")), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	text := b.output(t, web)
	got := strings.Split(strings.TrimRight(text, "\n"), "\n")
	if text == "" {
		got = nil
	}
	at, skip := 0, false
	for _, want := range b.lines {
		if want == "…" {
			skip = true
			continue
		}
		i := slices.Index(got[at:], want)
		if i < 0 || i > 0 && !skip {
			t.Fatalf("%s shows\n%s\nthe command prints\n%s", b.page, want, text)
		}
		at, skip = at+i+1, false
	}
	if !skip && at != len(got) {
		t.Errorf("the command prints more than %s shows:\n%s", b.page, strings.Join(got[at:], "\n"))
	}
}

// output is what the command prints.
func (b block) output(t *testing.T, web *workbench) string {
	t.Helper()
	if strings.HasPrefix(b.command, "curl ") {
		return web.curl(t, b.command)
	}
	line, code := strings.CutSuffix(b.command, "; echo $?")
	var out bytes.Buffer
	exit := run(words(line)[1:], strings.NewReader(""), &out, &out)
	if code {
		fmt.Fprintln(&out, exit)
	}
	return out.String()
}

// words splits a command line as a shell does with single quotes.
func words(line string) []string {
	var out []string
	for _, m := range regexp.MustCompile(`'([^']*)'|(\S+)`).FindAllStringSubmatch(line, -1) {
		out = append(out, m[1]+m[2])
	}
	return out
}
