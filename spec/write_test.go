package spec

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

func TestNewEngine(t *testing.T) {
	for _, line := range []string{
		"inline-4 84x90 flat-plane", "vee-6 60deg 84x75 split 60", "opposed-4 own-pins", "opposed-4 shared-pins", "radial-5 master-and-link",
		"inline-4 84x90 cross-plane two-stroke", "single 96×94 heavy", "v8 90deg 3.5x3.25in cross-plane", "vee-4 bank 90 pins 0,70", "inline-2 360",
		"inline-6 order 1-5-3-6-2-4", "boxer-6 light", "vee-4 60deg even-fire", "radial-7 plain",
	} {
		text, err := NewEngine(line)
		if err != nil {
			t.Errorf("%s: %v", line, err)
			continue
		}
		train, _ := read(t, string(text))
		c := &collector{}
		doc := parseDocument(c, text)
		if len(doc.units) > 0 {
			t.Errorf("%s: an editor cannot read the list with a unit behind it", line)
		}
		// with all comment marks taken away nothing is left to be estimated
		full, _, err := ReadEngine("full", []byte(uncomment(string(text))), Options{Strict: true})
		if err != nil {
			t.Errorf("%s: %v\n%s", line, err, uncomment(string(text)))
		} else if len(full.Cylinders) != len(train.Cylinders) {
			t.Errorf("%s: the estimates change the engine", line)
		}
	}
}

// uncomment does what the file of NewEngine tells its reader to do.
func uncomment(text string) string {
	var out []string
	below := false
	for l := range strings.SplitSeq(text, "\n") {
		switch {
		case strings.Contains(l, "Everything below is estimated"):
			below = true
		case strings.HasPrefix(l, "# The shorthand"), strings.Contains(l, "is left out"), strings.HasPrefix(l, "#                "):
		case below && strings.HasPrefix(l, "# "):
			l = l[2:]
		case strings.HasPrefix(l, "  # "):
			l = "  " + l[4:]
		}
		out = append(out, l)
	}
	return strings.Join(out, "\n")
}

func TestNewEngineRefuses(t *testing.T) {
	for line, want := range map[string]string{
		"":                                "the shorthand is empty; a shorthand is made of",
		"four":                            `"four" is no arrangement with a number of cylinders; a shorthand is made of`,
		"inline-4 flat-plain":             `"flat-plain" is not known, did you mean "flat-plane"; a shorthand is made of`,
		"inline-4 84x90 red":              `"red" is not known; a shorthand is made of`,
		"vee-8":                           "the bank angle of the vee is missing; a shorthand is made of",
		"vee-6 60deg split":               `an angle must follow "split", such as split 60; a shorthand is made of`,
		"inline-2 pins a":                 `angles must follow "pins", such as pins 0,180; a shorthand is made of`,
		"inline-2 order":                  `cylinders must follow "order", such as order 1-3-4-2; a shorthand is made of`,
		"inline-3 cross-plane":            `the shorthand "inline-3 cross-plane" makes no engine: pins: cross-plane does not fit a crank with 3 throws`,
		"inline-0":                        `the shorthand "inline-0" makes no engine: cylinders: there is none`,
		"vee-5 60deg":                     `the shorthand "vee-5 60deg" makes no engine: cylinders: 5 cylinders do not make two equal banks`,
		"inline-4 60deg":                  `the key "bank_angle" does not belong to the arrangement inline`,
		"inline-4 order 1-2-3-4-5":        `there is no cylinder "5"`,
		"inline-4 84000x90":               `bore: 84000 mm is not possible`,
		"opposed-2 own-pins pins 0,180,0": `there are 3 angles`,
	} {
		_, err := NewEngine(line)
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: got %v, want %s", line, err, want)
		}
	}
}

func TestClearUnfinished(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a[1].html")
	mine, fresh, others := filepath.Join(dir, ".a[1].html.123.tmp"), filepath.Join(dir, ".a[1].html.456.tmp"), filepath.Join(dir, ".b.html.123.tmp")
	for _, name := range []string{mine, fresh, others, path} {
		if err := os.WriteFile(name, []byte("x"), 0o644); err != nil {
			t.Fatal(err)
		}
		if before := time.Now().Add(-2 * time.Hour); name != fresh {
			if err := os.Chtimes(name, before, before); err != nil {
				t.Fatal(err)
			}
		}
	}
	ClearUnfinished(path)
	for name, stays := range map[string]bool{mine: false, fresh: true, others: true, path: true} {
		if _, err := os.Stat(name); (err == nil) != stays {
			t.Errorf("%s stays: %v", name, err == nil)
		}
	}
}

// TestSyncFolder flushes a folder where the system wants it, and nowhere else: Windows says "Access is denied".
func TestSyncFolder(t *testing.T) {
	denied := errors.New("Access is denied.")
	deny := func() (*os.File, error) { return nil, denied }
	if err := syncFolder("windows", deny); err != nil {
		t.Errorf("on Windows: %v", err)
	}
	if err := syncFolder("linux", deny); !errors.Is(err, denied) {
		t.Errorf("where it must be opened: %v", err)
	}
	if err := SyncFolder(func() (*os.File, error) { return os.Open(t.TempDir()) }); err != nil {
		t.Error(err)
	}
}

func TestWriteFileAtomic(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.engine.yaml")
	for _, text := range []string{"one", "two"} {
		if err := WriteFileAtomic(path, []byte(text)); err != nil {
			t.Fatal(err)
		}
		if got, err := os.ReadFile(path); err != nil || string(got) != text {
			t.Errorf("got %q %v", got, err)
		}
	}
	if err := os.Chmod(path, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := WriteFileAtomic(path, []byte("three")); err != nil {
		t.Fatal(err)
	}
	if info, err := os.Stat(path); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the permissions were not kept: %v %v", info.Mode(), err)
	}
	if err := WriteFileAtomic(dir, nil); err == nil {
		t.Error("a folder was overwritten")
	}
	if err := WriteFileAtomic(filepath.Join(dir, "no", "x"), nil); err == nil || !strings.Contains(err.Error(), "cannot be written") {
		t.Errorf("missing folder: %v", err)
	}
	if list, _ := os.ReadDir(dir); len(list) != 1 {
		t.Errorf("something was left behind: %v", list)
	}
}
