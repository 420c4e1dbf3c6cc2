package main

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
)

// imported finds what a source of the front end imports by the name of a package.
var imported = regexp.MustCompile(`(?m)(?:\bfrom|\bimport\(?)\s*["']((?:@[a-z0-9._-]+/)?[a-z0-9][a-z0-9._-]*)(?:/[\w./-]+)?["']`)

// packagesOf returns the npm packages that the front end imports, and what they depend on, sorted by name. Which versions these are
// and what stands in their licences is in the lock file.
func packagesOf(root string) ([]part, error) {
	data, err := os.ReadFile(filepath.Join(root, "web", "package-lock.json"))
	if err != nil {
		return nil, err
	}
	var lock struct {
		Packages map[string]struct {
			Version, License string
			Dependencies     map[string]string
		}
	}
	if err := json.Unmarshal(data, &lock); err != nil {
		return nil, fmt.Errorf("web/package-lock.json: %w", err)
	}
	names, err := importsOf(filepath.Join(root, "web", "src"))
	if err != nil {
		return nil, err
	}
	var list []part
	seen := map[string]bool{}
	for len(names) > 0 {
		name := names[0]
		names = names[1:]
		p, ok := lock.Packages["node_modules/"+name]
		if seen[name] || !ok && strings.HasPrefix(name, "node") {
			continue
		}
		if !ok {
			return nil, fmt.Errorf("web/package-lock.json: the front end imports %s, which is not there", name)
		}
		seen[name] = true
		one := part{name: name, version: p.Version, files: []string{"package-lock.json"}}
		if p.License != "" {
			one.licences = []string{p.License}
		}
		list = append(list, one)
		for d := range p.Dependencies {
			names = append(names, d)
		}
	}
	slices.SortFunc(list, func(a, b part) int { return strings.Compare(a.name, b.name) })
	return list, nil
}

func importsOf(dir string) ([]string, error) {
	var names []string
	err := filepath.WalkDir(dir, func(path string, e fs.DirEntry, err error) error {
		source := strings.HasSuffix(path, ".ts") && !strings.HasSuffix(path, ".test.ts") && !strings.HasSuffix(path, ".d.ts")
		if err != nil || e.IsDir() || !source && !strings.HasSuffix(path, ".svelte") {
			return err
		}
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		for _, m := range imported.FindAllStringSubmatch(string(text), -1) {
			if !slices.Contains(names, m[1]) {
				names = append(names, m[1])
			}
		}
		return nil
	})
	return names, err
}
