package crankwright_test

import (
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// floors says on which floor each package stands. Imports go downwards only.
var floors = map[string]int{
	"num":                0,
	"mechanics":          1,
	"mechanics/layout":   1,
	"mechanics/motion":   2,
	"mechanics/firing":   2,
	"mechanics/inertia":  2,
	"mechanics/balance":  2,
	"mechanics/gas":      2,
	"mechanics/torque":   2,
	"mechanics/sound":    2,
	"mechanics/bearing":  2,
	"mechanics/strength": 2,
	"mechanics/torsion":  2,
	"mechanics/mount":    2,
	"mechanics/person":   2,
	"mechanics/envelope": 2,
	"mechanics/parts":    2,
	"choice":             2,
	"study":              2,
	"estimate":           3,
	"analysis":           3,
	"brief":              4,
	"explain":            4,
	"spec":               5,
	"checks":             5,
	"checks/independent": 5,
	"checks/yardsticks":  5,
	"draw":               5,
	"docs":               5,
	"decision":           6,
	"search":             6,
	"web":                6,
	"report":             7,
	"results":            7,
	"crew":               8,
	"server":             9,
	"cmd/crankwright":    10,
	"tools/licences":     10,
	"tools/load":         10,
	"tools/release":      10,
	"tools/root":         5,
	"tools/thirdparty":   5,
	"tools/mobility":     10,
	"tools/openapi":      10,
	"tools/reference":    10,
	"tools/schema":       10,
	"tools/vectors":      10,
}

// chapters is the order in which the chapters of mechanics may import each other.
var chapters = []string{"layout", "motion", "firing", "inertia", "balance", "gas", "torque", "sound", "bearing", "strength", "torsion", "mount", "person", "envelope", "parts"}

// pure is the highest floor on which a package takes values and returns values.
const pure = 4

type listed struct {
	ImportPath string
	Dir        string
	GoFiles    []string
	Imports    []string
}

func packages(t *testing.T) []listed {
	t.Helper()
	out, err := exec.Command("go", "list", "-json=ImportPath,Dir,GoFiles,Imports", "./...").Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	var all []listed
	dec := json.NewDecoder(strings.NewReader(string(out)))
	for dec.More() {
		var p listed
		if err := dec.Decode(&p); err != nil {
			t.Fatal(err)
		}
		p.ImportPath = strings.TrimPrefix(strings.TrimPrefix(p.ImportPath, "crankwright"), "/")
		if len(p.GoFiles) > 0 {
			all = append(all, p)
		}
	}
	if len(all) < 5 {
		t.Fatalf("go list found only %d packages", len(all))
	}
	return all
}

func TestImportsGoDownwards(t *testing.T) {
	all := packages(t)
	found := map[string]bool{}
	for _, p := range all {
		found[p.ImportPath] = true
		floor, ok := floors[p.ImportPath]
		if !ok {
			t.Errorf("package %s stands on no floor: add it to the table in architecture_test.go and to ARCHITECTURE.md", p.ImportPath)
			continue
		}
		for _, imp := range p.Imports {
			if own, ok := strings.CutPrefix(imp, "crankwright/"); ok {
				if reason := badArrow(p.ImportPath, own); reason != "" {
					t.Errorf("%s imports %s: %s", p.ImportPath, own, reason)
				}
				continue
			}
			if floor <= pure && impure(imp) {
				t.Errorf("%s (floor %d) imports %s: floors 0 to %d are pure", p.ImportPath, floor, imp, pure)
			}
		}
	}
	for name := range floors {
		if !found[name] {
			t.Errorf("the table names %s, which does not exist", name)
		}
	}
}

func badArrow(from, to string) string {
	a, b := floors[from], floors[to]
	chapterA, inA := strings.CutPrefix(from, "mechanics/")
	chapterB, inB := strings.CutPrefix(to, "mechanics/")
	if inA && inB {
		if slices.Index(chapters, chapterB) >= slices.Index(chapters, chapterA) {
			return "a chapter may import earlier chapters only"
		}
		return ""
	}
	if b >= a {
		return "imports go to a lower floor only"
	}
	return ""
}

func impure(imp string) bool {
	first, _, _ := strings.Cut(imp, "/")
	return slices.Contains([]string{"os", "net", "time", "log", "embed", "syscall"}, first)
}

var domainError = regexp.MustCompile(`^(errors\.New|fmt\.Errorf)$`)

// TestNoGlobals allows package variables on the pure floors only for errors that callers compare.
func TestNoGlobals(t *testing.T) {
	for _, p := range packages(t) {
		if floors[p.ImportPath] > pure {
			continue
		}
		eachFile(t, p, func(name string, f *ast.File) {
			for _, d := range f.Decls {
				g, ok := d.(*ast.GenDecl)
				if !ok || g.Tok != token.VAR {
					continue
				}
				for _, s := range g.Specs {
					v := s.(*ast.ValueSpec)
					if len(v.Values) == 1 && isErrorValue(v.Values[0]) || v.Names[0].Name == "_" {
						continue
					}
					t.Errorf("%s: package variable %s: the pure floors have no globals", name, v.Names[0].Name)
				}
			}
		})
	}
}

func isErrorValue(e ast.Expr) bool {
	c, ok := e.(*ast.CallExpr)
	if !ok {
		return false
	}
	s, ok := c.Fun.(*ast.SelectorExpr)
	if !ok {
		return false
	}
	x, ok := s.X.(*ast.Ident)
	return ok && domainError.MatchString(x.Name+"."+s.Sel.Name)
}

// TestDocComments reads the doc comment of every exported function on the pure floors: it starts
// with the name, gives a unit in square brackets, and names a source or says "Definition".
func TestDocComments(t *testing.T) {
	unit := regexp.MustCompile(`\[[^\]]+\]`)
	source := regexp.MustCompile(`Source: |Definition`)
	for _, p := range packages(t) {
		if floors[p.ImportPath] > pure {
			continue
		}
		eachFile(t, p, func(name string, f *ast.File) {
			for _, d := range f.Decls {
				fn, ok := d.(*ast.FuncDecl)
				if !ok || !fn.Name.IsExported() {
					continue
				}
				doc := fn.Doc.Text()
				switch {
				case !strings.HasPrefix(doc, fn.Name.Name+" "):
					t.Errorf("%s: the doc comment of %s does not start with its name", name, fn.Name.Name)
				case !unit.MatchString(doc):
					t.Errorf("%s: the doc comment of %s gives no unit in square brackets", name, fn.Name.Name)
				case !source.MatchString(doc):
					t.Errorf("%s: the doc comment of %s names no source and does not say Definition", name, fn.Name.Name)
				}
			}
		})
	}
}

// TestSourcesExist holds every "Source: KEY" of the pure floors against docs/sources.toml.
func TestSourcesExist(t *testing.T) {
	data, err := os.ReadFile("docs/sources.toml")
	if err != nil {
		t.Fatal(err)
	}
	key := regexp.MustCompile(`Source:\s+([A-Z][A-Z0-9]+)`)
	for _, p := range packages(t) {
		if floors[p.ImportPath] > pure {
			continue
		}
		eachFile(t, p, func(name string, f *ast.File) {
			for _, g := range f.Comments {
				for _, m := range key.FindAllStringSubmatch(g.Text(), -1) {
					if !strings.Contains(string(data), "\n["+m[1]+"]") && !strings.HasPrefix(string(data), "["+m[1]+"]") {
						t.Errorf("%s: source %s is not in docs/sources.toml", name, m[1])
					}
				}
			}
		})
	}
}

// TestFilesAreShort keeps a file one idea.
func TestFilesAreShort(t *testing.T) {
	for _, p := range packages(t) {
		for _, name := range p.GoFiles {
			data, err := os.ReadFile(filepath.Join(p.Dir, name))
			if err != nil {
				t.Fatal(err)
			}
			if n := strings.Count(string(data), "\n"); n > 500 {
				t.Errorf("%s/%s has %d lines: past 500 it is two ideas", p.ImportPath, name, n)
			}
		}
	}
}

func eachFile(t *testing.T, p listed, f func(name string, file *ast.File)) {
	t.Helper()
	for _, name := range p.GoFiles {
		path := filepath.Join(p.Dir, name)
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		f(p.ImportPath+"/"+name, file)
	}
}
