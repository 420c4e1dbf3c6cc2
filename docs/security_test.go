package docs

import (
	"encoding/json"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// TestSecurityNamesWhatExists holds the tests, functions and files that security.md names against the code.
func TestSecurityNamesWhatExists(t *testing.T) {
	text, err := os.ReadFile("security.md")
	if err != nil {
		t.Fatal(err)
	}
	var tests, code strings.Builder
	err = filepath.WalkDir("..", func(path string, e fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if e.IsDir() && (e.Name() == "node_modules" || e.Name() == ".git" || e.Name() == "dist") {
			return fs.SkipDir
		}
		if !strings.HasSuffix(path, ".go") {
			return nil
		}
		data, err := os.ReadFile(path)
		if strings.HasSuffix(path, "_test.go") {
			tests.Write(data)
		} else {
			code.Write(data)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	names := regexp.MustCompile("`((?:Test|Fuzz)[A-Z]\\w+)`").FindAllStringSubmatch(string(text), -1)
	if len(names) < 40 {
		t.Errorf("only %d tests are named", len(names))
	}
	for _, m := range names {
		if !strings.Contains(tests.String(), "func "+m[1]+"(") {
			t.Errorf("there is no test %s", m[1])
		}
	}
	for _, m := range regexp.MustCompile(`\b((?:[a-z]+/)+[a-z]+\.go)((?: `+"`\\w+`,?)*)").FindAllStringSubmatch(string(text), -1) {
		if _, err := os.Stat(filepath.Join("..", m[1])); err != nil {
			t.Errorf("there is no file %s", m[1])
		}
		for _, f := range regexp.MustCompile("`(\\w+)`").FindAllStringSubmatch(m[2], -1) {
			if !regexp.MustCompile(`(func (\([^)]*\) )?|const |type )` + f[1] + `\b`).MatchString(code.String()) {
				t.Errorf("%s: there is no %s", m[1], f[1])
			}
		}
	}
}

// TestNoModuleIsReplaced: what is built is what go.sum holds the hash of.
func TestNoModuleIsReplaced(t *testing.T) {
	out, err := exec.Command("go", "mod", "edit", "-json", "../go.mod").Output()
	if err != nil {
		t.Fatal(err)
	}
	var mod struct{ Replace []any }
	if err := json.Unmarshal(out, &mod); err != nil || len(mod.Replace) > 0 {
		t.Errorf("modules are replaced: %v, %v", mod.Replace, err)
	}
}
