package docs

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"
)

// Every chapter of mechanics has its page, with the same sections, and so have choice and search; no page is without its
// package.
func TestChaptersHavePages(t *testing.T) {
	entries, err := os.ReadDir("../mechanics")
	if err != nil {
		t.Fatal(err)
	}
	chapters := []string{"choice", "search"}
	for _, e := range entries {
		if e.IsDir() {
			chapters = append(chapters, e.Name())
		}
	}
	if len(chapters) < 10 {
		t.Fatalf("found only the chapters %v", chapters)
	}
	sections := []string{"The question", "Theory", "Assumptions", "Limits", "Sources", "How it is checked", "Where in the code", "Example"}
	for _, c := range chapters {
		text, err := os.ReadFile("chapters/" + c + ".md")
		if err != nil {
			t.Errorf("the chapter %s has no page docs/chapters/%s.md", c, c)
			continue
		}
		var found []string
		for _, line := range prose(string(text)) {
			if s, ok := strings.CutPrefix(line, "## "); ok {
				found = append(found, s)
			}
		}
		if !slices.Equal(found, sections) {
			t.Errorf("docs/chapters/%s.md has the sections %q; it needs %q", c, found, sections)
		}
	}
	found, err := filepath.Glob("chapters/*.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, page := range found {
		if c := strings.TrimSuffix(filepath.Base(page), ".md"); !slices.Contains(chapters, c) {
			t.Errorf("docs/%s is the page of no chapter", page)
		}
	}
}

// Every relative link of the pages below docs/ and beside the README leads to a file, and to a heading of it where it
// names one.
func TestLinksLeadSomewhere(t *testing.T) {
	pages, err := filepath.Glob("../*.md")
	if err != nil {
		t.Fatal(err)
	}
	err = filepath.WalkDir(".", func(path string, _ fs.DirEntry, err error) error {
		if filepath.Ext(path) == ".md" {
			pages = append(pages, path)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(pages) < 12 {
		t.Fatalf("found only %d pages", len(pages))
	}
	for _, page := range pages {
		text, err := os.ReadFile(page)
		if err != nil {
			t.Fatal(err)
		}
		for _, target := range links(string(text)) {
			if reason := leadsNowhere(page, target); reason != "" {
				t.Errorf("%s links to %s: %s", page, target, reason)
			}
		}
	}
}

// The list of the documentation leads to every page, so that none is found by chance alone.
func TestReadmeListsEveryPage(t *testing.T) {
	text, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	listed := links(string(text))
	err = filepath.WalkDir(".", func(path string, _ fs.DirEntry, err error) error {
		if filepath.Ext(path) == ".md" && path != "README.md" && filepath.Dir(path) != "decisions" && !slices.Contains(listed, filepath.ToSlash(path)) {
			t.Errorf("docs/README.md does not list %s", path)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

// The job has thirteen steps, from the brief to the report; each has a how-to that shows a command at least.
func TestEveryStepHasAHowTo(t *testing.T) {
	text, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, list, _ := strings.Cut(string(text), "## How-tos")
	list, _, _ = strings.Cut(list, "\n## ")
	steps := regexp.MustCompile(`(?m)^(\d+)\. (\w[^:]*): ((?:.*\n)(?: .*\n)*)`).FindAllStringSubmatch(list, -1)
	if len(steps) != 13 {
		t.Fatalf("%d steps are listed", len(steps))
	}
	for i, s := range steps {
		if s[1] != fmt.Sprint(i+1) {
			t.Errorf("step %s stands in the place of step %d", s[1], i+1)
		}
		pages := links(s[3])
		if len(pages) == 0 {
			t.Errorf("step %s, %s, has no how-to", s[1], s[2])
		}
		for _, page := range pages {
			if page == "many-machines.md" { // needs several
				continue
			}
			if text, err := os.ReadFile(page); err != nil || !strings.Contains(string(text), "```console\n$ crankwright ") {
				t.Errorf("%s shows no command (%v)", page, err)
			}
		}
	}
}

var (
	codeSpan  = regexp.MustCompile("`[^`\n]*`")
	link      = regexp.MustCompile(`\]\(([^)\s]+)\)`)
	elsewhere = regexp.MustCompile(`^[a-z]+:`) // https:, mailto:
)

// links returns the targets of the links of a page, code left out.
func links(text string) []string {
	var out []string
	for _, line := range prose(text) {
		for _, m := range link.FindAllStringSubmatch(codeSpan.ReplaceAllString(line, ""), -1) {
			out = append(out, m[1])
		}
	}
	return out
}

// prose returns the lines of a page that stand outside of fenced code.
func prose(text string) []string {
	var out []string
	fenced := false
	for line := range strings.SplitSeq(text, "\n") {
		if strings.HasPrefix(line, "```") {
			fenced = !fenced
		} else if !fenced {
			out = append(out, line)
		}
	}
	return out
}

// leadsNowhere says why a link of a page is broken; empty where it is not, or leads to another site.
func leadsNowhere(page, target string) string {
	if elsewhere.MatchString(target) {
		return ""
	}
	path, anchor, named := strings.Cut(target, "#")
	file := page
	if path != "" {
		file = filepath.Join(filepath.Dir(page), path)
	}
	info, err := os.Stat(file)
	if err != nil {
		return "there is no such file"
	}
	if !named {
		return ""
	}
	if info.IsDir() || filepath.Ext(file) != ".md" {
		return "only pages have headings"
	}
	text, err := os.ReadFile(file)
	if err != nil {
		return err.Error()
	}
	if a := anchors(string(text)); !slices.Contains(a, anchor) {
		return fmt.Sprintf("the page has no such heading; it has %v", a)
	}
	return ""
}

// anchors returns the anchors of the headings of a page, as the usual readers of Markdown make them: small letters,
// hyphens for spaces, no other signs, and a number behind one that stands there already.
func anchors(text string) []string {
	var out []string
	seen := map[string]int{}
	for _, line := range prose(text) {
		level := len(line) - len(strings.TrimLeft(line, "#"))
		heading, ok := strings.CutPrefix(line[level:], " ")
		if level < 1 || level > 6 || !ok {
			continue
		}
		a := strings.Map(func(r rune) rune {
			switch {
			case r == ' ' || r == '-':
				return '-'
			case r == '_' || unicode.IsLetter(r) || unicode.IsNumber(r):
				return unicode.ToLower(r)
			}
			return -1
		}, strings.TrimSpace(heading))
		if n := seen[a]; n > 0 {
			out = append(out, fmt.Sprintf("%s-%d", a, n))
		} else {
			out = append(out, a)
		}
		seen[a]++
	}
	return out
}

func TestBrokenLinksAreSeen(t *testing.T) {
	text := "# A page: `code`, twice\n## Same\n## Same\n[a](x.md#b) `[no](n.md)` [![image](i.png)](y)\n```\n# no\n[no](n.md)\n```\n"
	if got := links(text); !slices.Equal(got, []string{"x.md#b", "i.png", "y"}) {
		t.Errorf("links: %q", got)
	}
	if got := anchors(text); !slices.Equal(got, []string{"a-page-code-twice", "same", "same-1"}) {
		t.Errorf("anchors: %q", got)
	}
	for target, broken := range map[string]bool{
		"notation.md": false, "notation.md#symbols": false, "#symbols": false, "decisions": false, "https://example.org/x": false,
		"../README.md": false, "nothing.md": true, "notation.md#nothing": true, "decisions#symbols": true, "docs.go#symbols": true,
	} {
		if reason := leadsNowhere("notation.md", target); (reason != "") != broken {
			t.Errorf("%s: %q", target, reason)
		}
	}
}
