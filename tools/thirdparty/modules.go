package thirdparty

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
)

// Platforms are those for which the program is built.
var Platforms = []string{"linux/amd64", "linux/arm64", "darwin/amd64", "darwin/arm64", "windows/amd64", "windows/arm64"}

// Standard is the name of the part that comes with the compiler.
const Standard = "Go standard library"

// listed is what go list says of a package.
type listed struct {
	Dir    string
	Module *struct {
		Path, Version, Dir string
		Main               bool
	}
}

// Modules returns the modules of which the binary is built, for every platform given, sorted by name,
// and the standard library.
func Modules(root string, platforms ...string) ([]Part, error) {
	standard, err := standardLibrary()
	if err != nil {
		return nil, err
	}
	found := map[string]*Part{Standard: &standard}
	for _, platform := range platforms {
		packages, err := packagesFor(root, platform)
		if err != nil {
			return nil, err
		}
		for _, p := range packages {
			if p.Module == nil || p.Module.Main {
				continue
			}
			m := found[p.Module.Path]
			if m == nil {
				m = &Part{Name: p.Module.Path, Version: p.Module.Version}
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
	list := make([]Part, 0, len(found))
	for _, p := range found {
		slices.Sort(p.Licences)
		slices.Sort(p.Files)
		list = append(list, *p)
	}
	slices.SortFunc(list, func(a, b Part) int { return cmp.Compare(a.Name, b.Name) })
	return list, nil
}

// packagesFor returns the packages of which the binary of a platform is built.
func packagesFor(root, platform string) ([]listed, error) {
	system, machine, _ := strings.Cut(platform, "/")
	cmd := exec.Command("go", "list", "-deps", "-json=Dir,Module", "./cmd/crankwright")
	cmd.Dir = root
	cmd.Env = append(os.Environ(), "GOOS="+system, "GOARCH="+machine, "CGO_ENABLED=0")
	out, err := cmd.Output()
	if err != nil {
		var exit *exec.ExitError
		if errors.As(err, &exit) {
			err = fmt.Errorf("%w: %s", err, exit.Stderr)
		}
		return nil, fmt.Errorf("go list for %s: %w", platform, err)
	}
	var all []listed
	for d := json.NewDecoder(strings.NewReader(string(out))); ; {
		var p listed
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			return all, nil
		} else if err != nil {
			return nil, err
		}
		all = append(all, p)
	}
}

func standardLibrary() (Part, error) {
	p := Part{Name: Standard, Version: "of the compiler"}
	out, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return p, fmt.Errorf("go env: %w", err)
	}
	goroot := strings.TrimSpace(string(out))
	if err := p.read(goroot, goroot); err != nil {
		return p, err
	}
	if len(p.Licences) == 0 { // some distributions of Go leave the file out
		p.Licences, p.Files = []string{"BSD-3-Clause"}, []string{"LICENSE"}
	}
	return p, nil
}
