package server

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"path"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// A snapshot is a directory of its own, .crankwright/snapshots/NAME-hash, with a copy of every engine file,
// brief and study, so that any other program can read it, and about.json.
const (
	snapshotDir   = hidden + "/snapshots"
	aboutFile     = "about.json"
	mostSnapshots = 200
)

type aboutSnapshot struct {
	Name string    `json:"name"`
	Made time.Time `json:"made"`
}

// snapshotName checks the name that people give to a snapshot.
func snapshotName(name string) (string, error) {
	name = strings.Join(strings.Fields(name), " ")
	if name == "" || utf8.RuneCountInString(name) > 80 || strings.ContainsFunc(name, unicode.IsControl) {
		return "", badField("body.name", "a snapshot needs a name of 1 to 80 characters")
	}
	return name, nil
}

// dirOf returns the directory of a snapshot: what of its name every system takes, and a hash.
func dirOf(name string) string {
	slug := strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9':
			return r
		case r >= 'A' && r <= 'Z':
			return unicode.ToLower(r)
		}
		return '-'
	}, name)
	sum := sha256.Sum256([]byte(name))
	return path.Join(snapshotDir, strings.Trim(slug[:min(len(slug), 40)], "-")+"-"+hex.EncodeToString(sum[:5]))
}

// snapshots lists what there is, newest first. A directory that cannot be read is left out.
func (f *folder) snapshots() []Snapshot {
	list := []Snapshot{}
	entries, err := fs.ReadDir(f.root().FS(), snapshotDir)
	if err != nil {
		return list
	}
	for _, e := range entries {
		if !e.IsDir() || strings.HasPrefix(e.Name(), ".") {
			continue
		}
		s, err := f.snapshot(path.Join(snapshotDir, e.Name()))
		if err == nil {
			list = append(list, s)
		}
	}
	slices.SortFunc(list, func(a, b Snapshot) int {
		return strings.Compare(b.Made+b.Name, a.Made+a.Name)
	})
	return list
}

func (f *folder) snapshot(dir string) (Snapshot, error) {
	data, err := f.read(path.Join(dir, aboutFile))
	if err != nil {
		return Snapshot{}, err
	}
	var about aboutSnapshot
	if err := json.Unmarshal(data, &about); err != nil {
		return Snapshot{}, err
	}
	s := Snapshot{Name: about.Name, Made: about.Made.UTC().Format("2006-01-02T15:04:05.000Z"), Engines: []string{}}
	entries, err := fs.ReadDir(f.root().FS(), dir)
	if err != nil {
		return Snapshot{}, err
	}
	for _, e := range entries {
		if e.Type().IsRegular() && tracked(e.Name()) {
			s.Engines = append(s.Engines, e.Name())
		}
	}
	return s, nil
}

// takeSnapshot copies the folder under a name. The directory appears whole or not at all.
func (f *folder) takeSnapshot(name string) (Snapshot, error) {
	name, err := snapshotName(name)
	if err != nil {
		return Snapshot{}, err
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	if _, err := f.sync(); err != nil {
		return Snapshot{}, err
	}
	dir := dirOf(name)
	if _, err := f.root().Lstat(dir); err == nil {
		p := failure(http.StatusConflict, fmt.Sprintf("there is a snapshot %q already; nothing was written", name))
		p.Type = typeExists
		return Snapshot{}, p
	}
	if len(f.files) == 0 {
		return Snapshot{}, failure(http.StatusConflict, "the folder has no engine: there is nothing to keep")
	}
	if len(f.snapshots()) >= mostSnapshots {
		return Snapshot{}, failure(http.StatusConflict, fmt.Sprintf("there are %d snapshots; remove some first", mostSnapshots))
	}
	for name, s := range f.files {
		if err := s.partial(name); err != nil {
			return Snapshot{}, err
		}
	}
	if err := f.makeHidden("snapshots"); err != nil {
		return Snapshot{}, err
	}
	temp := path.Join(snapshotDir, tempPrefix+path.Base(dir))
	err = f.fillSnapshot(temp, aboutSnapshot{Name: name, Made: time.Now().UTC()})
	if err == nil {
		err = f.root().Rename(temp, dir)
	}
	if err == nil {
		err = f.flush(snapshotDir)
	}
	if err != nil {
		_ = f.root().RemoveAll(temp)
		return Snapshot{}, fmt.Errorf("the snapshot cannot be written: %w", plainError(err))
	}
	f.changed("snapshots", nil)
	return f.snapshot(dir)
}

func (f *folder) fillSnapshot(dir string, about aboutSnapshot) error {
	_ = f.root().RemoveAll(dir)
	if err := f.root().Mkdir(dir, 0o755); err != nil {
		return err
	}
	data, err := json.Marshal(about)
	if err != nil {
		return err
	}
	if err := f.write(path.Join(dir, aboutFile), append(data, '\n')); err != nil {
		return err
	}
	for name, s := range f.files {
		if err := f.write(path.Join(dir, name), s.data); err != nil {
			return err
		}
	}
	return nil
}

// findSnapshot returns a snapshot that is there, with its directory.
func (f *folder) findSnapshot(name string) (string, Snapshot, error) {
	name, err := snapshotName(name)
	if err != nil {
		return "", Snapshot{}, err
	}
	dir := dirOf(name)
	s, err := f.snapshot(dir)
	if err != nil {
		return "", Snapshot{}, notFound(fmt.Sprintf("there is no snapshot %q", name))
	}
	return dir, s, nil
}

// restore puts the folder back to a snapshot, as one step that undo takes back. Files that the snapshot
// does not have leave the folder; copies of all that changes are set aside.
func (f *folder) restore(name string) (look, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if _, err := f.sync(); err != nil {
		return look{}, err
	}
	dir, s, err := f.findSnapshot(name)
	if err != nil {
		return look{}, err
	}
	then := map[string]stored{}
	for _, file := range s.Engines {
		data, err := f.read(path.Join(dir, file))
		if err != nil {
			return look{}, fmt.Errorf("the snapshot cannot be read: %w", plainError(err))
		}
		then[file] = stored{data: data, etag: etagOf(data)}
	}
	changes := differences(f.files, then)
	if len(changes) == 0 {
		return f.now(), nil
	}
	if err := f.setAside(changes); err != nil {
		return look{}, err
	}
	if err := f.do("restored", step{what: fmt.Sprintf("restoring of snapshot %q", s.Name), changes: changes}); err != nil {
		return look{}, err
	}
	return f.now(), nil
}

// dropSnapshot sets a snapshot aside: it leaves the list and stays on disk.
func (f *folder) dropSnapshot(name string) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	dir, _, err := f.findSnapshot(name)
	if err != nil {
		return err
	}
	if err := f.makeHidden("aside"); err != nil {
		return err
	}
	aside := path.Join(hidden, "aside", path.Base(dir)+"-"+time.Now().UTC().Format("20060102T150405.000000000"))
	if err := f.root().Rename(dir, aside); err != nil {
		return fmt.Errorf("the snapshot cannot be removed: %w", plainError(err))
	}
	f.changed("snapshots", nil)
	return errors.Join(f.flush(snapshotDir), f.flush(path.Join(hidden, "aside")))
}
