package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
)

// systems are those for which the program is built.
var systems = []string{"linux", "darwin", "windows"}

// thirdParty is in the name of a file that collects the licences of a whole repository, with its tests and tools. It is named in
// docs/security.md instead of being read.
const thirdParty = "3rd-party"

var licenceFile = regexp.MustCompile(`(?i)^(un)?licen[cs]e|^copying`)

// modulesOf returns the modules of which the binary is built, for every system, sorted by name.
func modulesOf(root string) ([]part, error) {
	found := map[string]*part{}
	for _, system := range systems {
		cmd := exec.Command("go", "list", "-deps", "-json=Dir,Standard,Module", "./cmd/crankwright")
		cmd.Dir = root
		cmd.Env = append(os.Environ(), "GOOS="+system, "GOARCH=amd64", "CGO_ENABLED=0")
		out, err := cmd.Output()
		if err != nil {
			var exit *exec.ExitError
			if errors.As(err, &exit) {
				err = fmt.Errorf("%w: %s", err, exit.Stderr)
			}
			return nil, fmt.Errorf("go list for %s: %w", system, err)
		}
		for d := json.NewDecoder(strings.NewReader(string(out))); ; {
			var p struct {
				Dir      string
				Standard bool
				Module   *struct {
					Path, Version, Dir string
					Main               bool
				}
			}
			if err := d.Decode(&p); errors.Is(err, io.EOF) {
				break
			} else if err != nil {
				return nil, err
			}
			if p.Standard || p.Module == nil || p.Module.Main {
				continue
			}
			m := found[p.Module.Path]
			if m == nil {
				m = &part{name: p.Module.Path, version: p.Module.Version}
				found[p.Module.Path] = m
			}
			// the files beside the package, and in every folder above it in the module
			for dir := p.Dir; len(dir) >= len(p.Module.Dir); dir = filepath.Dir(dir) {
				if err := m.read(p.Module.Dir, dir); err != nil {
					return nil, err
				}
			}
		}
	}
	standard, err := standardLibrary()
	if err != nil {
		return nil, err
	}
	list := []part{standard}
	for _, p := range found {
		list = append(list, *p)
	}
	for i := range list {
		slices.Sort(list[i].licences)
		slices.Sort(list[i].files)
	}
	slices.SortFunc(list, func(a, b part) int { return strings.Compare(a.name, b.name) })
	return list, nil
}

func standardLibrary() (part, error) {
	p := part{name: "Go standard library", version: "of the compiler"}
	out, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return p, fmt.Errorf("go env: %w", err)
	}
	goroot := strings.TrimSpace(string(out))
	if err := p.read(goroot, goroot); err != nil {
		return p, err
	}
	if len(p.licences) == 0 { // some distributions of Go leave the file out
		p.licences, p.files = []string{"BSD-3-Clause"}, []string{"LICENSE"}
	}
	return p, nil
}

// read takes in the files of licences of one folder of a part.
func (p *part) read(top, dir string) error {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	for _, e := range entries {
		rel, err := filepath.Rel(top, filepath.Join(dir, e.Name()))
		if err != nil {
			return err
		}
		rel = filepath.ToSlash(rel)
		if !e.Type().IsRegular() || !licenceFile.MatchString(e.Name()) || strings.HasSuffix(e.Name(), ".go") || strings.Contains(strings.ToLower(e.Name()), thirdParty) || slices.Contains(p.files, rel) {
			continue
		}
		text, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			return err
		}
		p.files = append(p.files, rel)
		for _, l := range licencesIn(string(text)) {
			if !slices.Contains(p.licences, l) {
				p.licences = append(p.licences, l)
			}
		}
	}
	return nil
}
