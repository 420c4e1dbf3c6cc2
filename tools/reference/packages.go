package main

import (
	"fmt"
	"os/exec"
	"strings"
)

// shelves sorts the packages by what they are for; those of the first prefix that fits.
var shelves = []struct {
	title    string
	prefixes []string
}{
	{"The chapters", []string{"mechanics"}},
	{"From files to results", []string{"spec", "estimate", "analysis", "explain"}},
	{"Choice and search", []string{"brief", "choice", "decision", "study", "search", "results", "crew"}},
	{"What leaves the program", []string{"report", "draw", "server"}},
	{"Below and beside", []string{"num", "checks", "docs"}},
}

func goPackages(root string) (string, error) {
	list := exec.Command("go", "list", "-f", "{{.ImportPath}}|{{.Doc}}", "./...")
	list.Dir = root
	text, err := list.Output()
	if err != nil {
		return "", fmt.Errorf("go list: %w", err)
	}
	about := map[string]string{}
	var names []string
	for line := range strings.Lines(string(text)) {
		path, doc, _ := strings.Cut(strings.TrimSpace(line), "|")
		name := strings.TrimPrefix(strings.TrimPrefix(path, "crankwright"), "/")
		if name != "" && doc != "" {
			names = append(names, name)
			about[name] = doc
		}
	}
	p := &page{}
	p.line("# Go packages\n\n%s", written)
	p.line("`go doc crankwright/NAME` prints a package with its functions; each says formula, arguments with units, result, errors and")
	p.line("source. [Use as a Go library](../how-to/go-library.md) shows the usual steps; [ARCHITECTURE](../../ARCHITECTURE.md) is the map.")
	p.line("")
	for _, s := range shelves {
		var rows [][]string
		for _, prefix := range s.prefixes {
			for _, name := range names {
				if name == prefix || strings.HasPrefix(name, prefix+"/") {
					rows = append(rows, []string{"[" + name + "](../../" + name + ")", does(about[name])})
				}
			}
		}
		p.line("## %s\n", s.title)
		p.table([]string{"package", "what it does"}, rows)
	}
	return p.String(), nil
}

// does is the first sentence of a package without its name.
func does(doc string) string {
	_, rest, _ := strings.Cut(strings.TrimPrefix(doc, "Package "), " ")
	return rest
}
