package docs

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// TestPagesNameCommandsThatExist holds what pages say of make, go test, tools and browser tests against what is there: the
// target, the package, a test or benchmark of it that the pattern finds, the file.
func TestPagesNameCommandsThatExist(t *testing.T) {
	makefile, err := os.ReadFile("../Makefile")
	if err != nil {
		t.Fatal(err)
	}
	found := map[string]int{}
	for page, text := range everyPage(t) {
		for _, m := range regexp.MustCompile("(?m)(?:`|^    )make ([a-z][a-z-]*)|^make ([a-z][a-z-]*)(?: +#.*)?$").FindAllStringSubmatch(text, -1) {
			found["make"]++
			if !regexp.MustCompile(`(?m)^` + m[1] + m[2] + `:`).Match(makefile) {
				t.Errorf("%s: make has no target %s", page, m[1]+m[2])
			}
		}
		for _, m := range regexp.MustCompile("go test (?:-[a-z]+ )*((?:\\./[a-z/]+(?:\\.\\.\\.)? ?)+)([^`\n]*)").FindAllStringSubmatch(text, -1) {
			found["go test"]++
			var names []string
			for _, folder := range strings.Fields(m[1]) {
				names = append(names, testsIn(t, page, folder)...)
			}
			for _, p := range regexp.MustCompile(`-(?:run|bench) '?([A-Za-z|/]+)`).FindAllStringSubmatch(m[2], -1) {
				for alternative := range strings.SplitSeq(p[1], "|") {
					name, _, _ := strings.Cut(alternative, "/")
					if name != "XXX" && name != "NAME" && !slices.ContainsFunc(names, func(n string) bool { return strings.Contains(n, name) }) {
						t.Errorf("%s: go test %s finds no %s", page, m[1], name)
					}
				}
			}
		}
		for _, m := range regexp.MustCompile(`\b(tools|web/tests|checks)/[a-z0-9/.-]+\.(sh|ts|py|go)\b`).FindAllString(text, -1) {
			found["file"]++
			if _, err := os.Stat(filepath.Join("..", m)); err != nil {
				t.Errorf("%s: there is no %s", page, m)
			}
		}
	}
	for kind, least := range map[string]int{"make": 30, "go test": 15, "file": 20} {
		if found[kind] < least {
			t.Errorf("%d commands or names of the kind %s were found; %d at least are wanted", found[kind], kind, least)
		}
	}
}

// TestPerformanceNamesBenchmarksThatExist: every row of the table of times names its package and its benchmark.
func TestPerformanceNamesBenchmarksThatExist(t *testing.T) {
	text, err := os.ReadFile("performance.md")
	if err != nil {
		t.Fatal(err)
	}
	table, _, _ := strings.Cut(string(text), "\n## ")
	rows := regexp.MustCompile("(?m)^\\|.*\\| `([a-z/]+)` ([^|]+) \\|[^|]*\\|[^|]*\\|$").FindAllStringSubmatch(table, -1)
	if all := strings.Count(table, "\n|") - 2; len(rows) != all || all < 60 { // without its head
		t.Errorf("%d of the %d rows of the table name a package and a benchmark", len(rows), all)
	}
	for _, row := range rows {
		names := testsIn(t, "performance.md", "./"+row[1])
		for part := range strings.SplitSeq(row[2], " / ") {
			name, _, _ := strings.Cut(strings.TrimLeft(strings.TrimSpace(part), "…"), " ")
			name, _, _ = strings.Cut(name, "/")
			if !slices.ContainsFunc(names, func(n string) bool { return strings.HasPrefix(n, "Benchmark") && strings.Contains(n, name) }) {
				t.Errorf("performance.md: %s has no benchmark %s", row[1], name)
			}
		}
	}
}

// everyPage returns the text of every page of the repository, by its path.
func everyPage(t *testing.T) map[string]string {
	t.Helper()
	paths, err := filepath.Glob("../*.md")
	if err != nil {
		t.Fatal(err)
	}
	err = filepath.WalkDir(".", func(path string, _ fs.DirEntry, err error) error {
		if filepath.Ext(path) == ".md" {
			paths = append(paths, path)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	pages := map[string]string{}
	for _, path := range paths {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		pages[path] = string(text)
	}
	return pages
}

var testFunction = regexp.MustCompile(`(?m)^func ((?:Test|Benchmark|Fuzz|Example)\w*)\(`)

// testsIn lists the tests, benchmarks and fuzzers of a package, or of all packages below a folder with ... behind it.
func testsIn(t *testing.T, page, folder string) []string {
	t.Helper()
	root, below := strings.CutSuffix(filepath.Join("..", folder), "...")
	var names []string
	err := filepath.WalkDir(filepath.Clean(root), func(path string, e fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case e.IsDir() && (e.Name() == "node_modules" || !below && path != filepath.Clean(root)):
			return fs.SkipDir
		case !strings.HasSuffix(path, "_test.go"):
			return nil
		}
		data, err := os.ReadFile(path)
		for _, m := range testFunction.FindAllStringSubmatch(string(data), -1) {
			names = append(names, m[1])
		}
		return err
	})
	if err != nil {
		t.Errorf("%s: go test %s: %v", page, folder, err)
	}
	return names
}
