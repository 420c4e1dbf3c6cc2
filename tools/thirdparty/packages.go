package thirdparty

import (
	"cmp"
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

// Packages returns the npm packages that the front end imports, and what they depend on, sorted by name. Which versions these are
// and what stands in their licences is in the lock file.
func Packages(root string) ([]Part, error) {
	lock, err := readLock(root)
	if err != nil {
		return nil, err
	}
	names, err := importsOf(filepath.Join(root, "web", "src"))
	if err != nil {
		return nil, err
	}
	var list []Part
	seen := map[string]bool{}
	for len(names) > 0 {
		name := names[0]
		names = names[1:]
		_, known := lock[name]
		if seen[name] || !known && strings.HasPrefix(name, "node") {
			continue
		}
		seen[name] = true
		p, err := lock.part(root, name)
		if err != nil {
			return nil, err
		}
		list = append(list, p)
		for d := range lock[name].Dependencies {
			names = append(names, d)
		}
	}
	slices.SortFunc(list, func(a, b Part) int { return cmp.Compare(a.Name, b.Name) })
	return list, nil
}

// Bundled returns the npm packages of which something is in the front end that was built, sorted by name.
func Bundled(root string) ([]Part, error) {
	lock, err := readLock(root)
	if err != nil {
		return nil, err
	}
	var names []string
	for _, dir := range []string{"dist", "dist/offline"} {
		data, err := os.ReadFile(filepath.Join(root, "web", dir, "packages.json"))
		if err != nil {
			return nil, fmt.Errorf("the front end is not built; make front builds it: %w", err)
		}
		var some []string
		if err := json.Unmarshal(data, &some); err != nil {
			return nil, fmt.Errorf("web/%s/packages.json: %w", dir, err)
		}
		names = append(names, some...)
	}
	slices.Sort(names)
	var list []Part
	for _, name := range slices.Compact(names) {
		p, err := lock.part(root, name)
		if err != nil {
			return nil, err
		}
		list = append(list, p)
	}
	return list, nil
}

// lock is what web/package-lock.json says of packages, by name.
type lock map[string]struct {
	Version, License string
	Dependencies     map[string]string
}

func readLock(root string) (lock, error) {
	data, err := os.ReadFile(filepath.Join(root, "web", "package-lock.json"))
	if err != nil {
		return nil, err
	}
	var file struct{ Packages lock }
	if err := json.Unmarshal(data, &file); err != nil {
		return nil, fmt.Errorf("web/package-lock.json: %w", err)
	}
	l := lock{}
	for path, p := range file.Packages {
		if name, ok := strings.CutPrefix(path, "node_modules/"); ok {
			l[name] = p
		}
	}
	return l, nil
}

func (l lock) part(root, name string) (Part, error) {
	p, ok := l[name]
	if !ok {
		return Part{}, fmt.Errorf("web/package-lock.json: the front end imports %s, which is not there", name)
	}
	part := Part{
		Name: name, Version: p.Version, Files: []string{"package-lock.json"},
		folders: []string{filepath.Join(root, "web", "node_modules", filepath.FromSlash(name))},
	}
	if p.License != "" {
		part.Licences = []string{p.License}
	}
	return part, nil
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
