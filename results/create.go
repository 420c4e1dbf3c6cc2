package results

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"crankwright/spec"
	"crankwright/study"
)

var errLocked = errors.New("locked")

// Create makes a folder for the results of a problem, or goes on with one. It refuses a folder of another study, one
// that holds something else, and one into which another process writes. Close lets go of it.
func Create(dir string, p study.Problem, b study.Bundle) (*Folder, error) {
	rec, err := recordOf(p, b, nil)
	if err != nil {
		return nil, err
	}
	return createFolder(dir, rec, b)
}

// createFolder is Create with the record made.
func createFolder(dir string, rec *record, b study.Bundle) (*Folder, error) {
	if info, err := os.Stat(dir); err == nil && !info.IsDir() {
		return nil, fmt.Errorf("%s: is a file; give a folder for the results, or a name that is free", dir)
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, err
	}
	old, err := readText(filepath.Join(dir, recordName))
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if err := onlyOurs(dir); err != nil {
			return nil, err
		}
	case err != nil:
		return nil, err
	default:
		if err := sameStudy(dir, rec, old); err != nil {
			return nil, err
		}
	}
	if err := noLinks(dir); err != nil {
		return nil, err
	}
	held, err := lock(filepath.Join(dir, lockName))
	if errors.Is(err, errLocked) {
		return nil, fmt.Errorf("%s: another process is writing results into this folder; wait until it has finished, or stop it", dir)
	}
	if err != nil {
		return nil, err
	}
	f := newFolder(dir, rec)
	f.locked = held
	if err := f.begin(b); err != nil {
		return nil, errors.Join(err, f.Close())
	}
	return f, nil
}

// Open opens a folder for reading. It may be filled by another process in the meantime.
func Open(dir string) (*Folder, error) {
	rec, err := readStudy(dir)
	if err != nil {
		return nil, err
	}
	return newFolder(dir, rec), nil
}

// readStudy reads study.json of a folder.
func readStudy(dir string) (*record, error) {
	data, err := readText(filepath.Join(dir, recordName))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%s: this is no folder of results: it has no %s", dir, recordName)
	}
	if err != nil {
		return nil, err
	}
	rec, err := readRecord(data)
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be read: %w", filepath.Join(dir, recordName), err)
	}
	return rec, nil
}

func newFolder(dir string, rec *record) *Folder {
	f := &Folder{dir: dir, rec: rec, prob: rec.problem(), done: make([]bool, rec.shards()), damaged: map[int]struct{}{}}
	f.fields = fieldsOf(f.prob.columns)
	f.sum = study.NewOutcome(f.prob)
	return f
}

// onlyOurs refuses a folder in which there is something that an interrupted Create has not left.
func onlyOurs(dir string) error {
	list, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	for _, e := range list {
		name := e.Name()
		if !slices.Contains([]string{lockName, inputsName, shardsName, columnsName}, name) && !temporary(name) {
			return fmt.Errorf("%s: this folder holds other things, such as %s; choose a new or empty folder for the results", dir, name)
		}
	}
	return nil
}

// noLinks refuses a folder in which something is a link: what is written there would be written elsewhere. A folder may come from a
// stranger.
func noLinks(dir string) error {
	return filepath.WalkDir(dir+string(filepath.Separator), func(name string, e fs.DirEntry, err error) error {
		if err == nil && e.Type()&fs.ModeSymlink != 0 {
			return fmt.Errorf("%s: it is a link, and results are kept in the folder itself; remove it, or choose another folder", name)
		}
		return err
	})
}

// sameStudy refuses to go on with a folder of another study.
func sameStudy(dir string, rec *record, old []byte) error {
	was, err := readRecord(old)
	if err != nil {
		return fmt.Errorf("%s: cannot be read: %w; choose another folder for the results, or remove this one", filepath.Join(dir, recordName), err)
	}
	another := was.Digest != rec.Digest || was.Size != rec.Size
	if !another {
		if err := sameSearch(dir, rec.Evolution, was.Evolution); err != nil {
			return err
		}
	}
	if another || was.ShardSize != rec.ShardSize {
		return fmt.Errorf("%s: this folder holds the results of another study (%s, %d candidates), of another state of its files, of another version of the program, or of another kind of processor; choose another folder, or remove this one", dir, was.Study, was.Size)
	}
	return nil
}

// begin writes what is there before any range is done, clears what a stopped process left, and finds what is done.
func (f *Folder) begin(b study.Bundle) error {
	for _, sub := range []string{inputsName, shardsName} {
		if err := os.MkdirAll(filepath.Join(f.dir, sub), 0o755); err != nil {
			return err
		}
	}
	if err := f.clear(); err != nil {
		return err
	}
	for _, in := range f.rec.Inputs {
		if err := f.write(filepath.Join(inputsName, filepath.FromSlash(in.File)), b.Files[in.Name]); err != nil {
			return err
		}
	}
	if err := f.write(columnsName, f.rec.columnsText()); err != nil {
		return err
	}
	text, err := f.rec.bytes()
	if err != nil {
		return err
	}
	if err := f.reopen(text); err != nil {
		return err
	}
	if err := f.write(recordName, text); err != nil { // last: from here on the folder is one of results
		return err
	}
	return f.refresh()
}

// write writes a file of the folder, whole or not at all, unless it is there already with the same content.
func (f *Folder) write(name string, data []byte) error {
	full := filepath.Join(f.dir, name)
	if was, err := os.ReadFile(full); err == nil && string(was) == string(data) {
		return nil
	}
	if err := os.MkdirAll(filepath.Dir(full), 0o755); err != nil {
		return err
	}
	return spec.WriteFileAtomic(full, data)
}

// temporary reports whether a name is of a file that was not finished; see spec.WriteFileAtomic.
func temporary(name string) bool {
	return strings.HasPrefix(name, ".") && strings.HasSuffix(name, ".tmp")
}

// clear removes files that a stopped process did not finish. Nobody else writes: the folder is locked.
func (f *Folder) clear() error {
	return filepath.WalkDir(f.dir, func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() || !temporary(e.Name()) {
			return err
		}
		return os.Remove(name)
	})
}
