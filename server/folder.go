package server

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"crankwright/spec"
)

const (
	engineSuffix = ".engine.yaml"
	hidden       = ".crankwright" // what the workbench keeps for itself
	tempPrefix   = ".crankwright-writing-"
	mostFiles    = 500 // engines, briefs and studies together
)

// plainName is what an engine file, a brief or a study may be called: one plain name, not hidden, no separators and
// nothing that some system forbids.
var plainName = regexp.MustCompile(`^[\pL\pN_(][\pL\pN _+,()\-.]{0,99}\.(engine|brief|study)\.yaml$`)

// deviceName is what some systems take for a device, whatever its ending; a folder may travel to one of them.
var deviceName = regexp.MustCompile(`(?i)^(con|prn|aux|nul|com[0-9]|lpt[0-9]) *\.`)

// tracked reports whether a name may be that of a file that the workbench keeps: an engine file, a brief or
// a study.
func tracked(file string) bool {
	return plainName.MatchString(file) && !strings.Contains(file, "..") && len(file) <= 200
}

// validName reports whether a name may be that of an engine file.
func validName(file string) bool { return tracked(file) && strings.HasSuffix(file, engineSuffix) }

// validBrief reports whether a name may be that of a brief.
func validBrief(file string) bool { return tracked(file) && strings.HasSuffix(file, spec.BriefSuffix) }

// stored is one file as it was last read.
type stored struct {
	data   []byte
	etag   string
	mark   mark
	read   time.Time
	failed string // why it cannot be read now; data and etag are then those of the last time that it could
}

// content tells whether anything is known of what is in the file.
func (s stored) content() bool { return s.failed == "" || s.data != nil }

// folder is the folder of engine files. All its methods may be called at once.
type folder struct {
	name  string
	dir   string                  // where it is, from the root of the file system
	open  atomic.Pointer[os.Root] // the directory that stands there
	moved chan struct{}           // has something when another directory was found there
	mu    sync.Mutex
	// what follows is held by mu
	files    map[string]stored
	revision int
	missing  bool // nothing stood there when it was last looked for
	history  history
	tell     func(Event)
}

// root is the directory. Who has it may use it to the end, also when another one takes its place.
func (f *folder) root() *os.Root { return f.open.Load() }

// openFolder opens a folder and reads it. tell is called, under the lock, for every change.
func openFolder(dir string, tell func(Event)) (*folder, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be opened: %w", dir, plainError(err))
	}
	f := &folder{name: folderName(dir), moved: make(chan struct{}, 1), files: map[string]stored{}, revision: 1, tell: tell}
	f.open.Store(root)
	if f.dir, err = filepath.Abs(dir); err != nil {
		return nil, fmt.Errorf("%s: cannot be found: %w", dir, err)
	}
	f.sweep()
	seen, err := f.scan()
	if err != nil {
		_ = root.Close()
		return nil, fmt.Errorf("%s: cannot be read: %w", dir, plainError(err))
	}
	f.files = seen
	return f, nil
}

func folderName(dir string) string {
	if abs, err := os.Getwd(); err == nil && (dir == "." || dir == "") {
		dir = abs
	}
	return path.Base(strings.ReplaceAll(strings.TrimRight(dir, `/\`), `\`, "/"))
}

// plainError leaves the path out of an error of package os: messages give it once.
func plainError(err error) error {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return pe.Err
	}
	return err
}

// sweep removes what a killed process has left half written.
func (f *folder) sweep() {
	for _, dir := range []string{".", hidden + "/snapshots"} {
		entries, err := fs.ReadDir(f.root().FS(), dir)
		if err != nil {
			continue
		}
		for _, e := range entries {
			if strings.HasPrefix(e.Name(), tempPrefix) {
				_ = f.root().RemoveAll(path.Join(dir, e.Name()))
			}
		}
	}
}

// scan reads the folder. What has not changed since it was last read is not read again; a file changed
// within the clock's coarseness before it was read is, and so is one whose time lies ahead of the clock.
func (f *folder) scan() (map[string]stored, error) {
	entries, err := fs.ReadDir(f.root().FS(), ".")
	if err != nil {
		return nil, err
	}
	seen := map[string]stored{}
	for _, e := range entries {
		if !e.Type().IsRegular() || !tracked(e.Name()) || len(seen) >= mostFiles {
			continue
		}
		info, err := e.Info()
		if err != nil {
			continue // gone since
		}
		old, known := f.files[e.Name()]
		if known && old.failed == "" && old.mark == markOf(info) && old.read.Sub(old.mark.latest()) > 2*time.Second {
			seen[e.Name()] = old
			continue
		}
		now := time.Now()
		data, err := f.read(e.Name())
		switch {
		case errors.Is(err, fs.ErrNotExist):
		case err != nil:
			old.failed = plainError(err).Error()
			seen[e.Name()] = old
		default:
			seen[e.Name()] = stored{data: data, etag: etagOf(data), mark: markOf(info), read: now}
		}
	}
	return seen, nil
}

// read reads a file, at most a byte more than is allowed.
func (f *folder) read(name string) ([]byte, error) {
	r, err := f.root().Open(name)
	if err != nil {
		return nil, err
	}
	defer func() { _ = r.Close() }()
	return io.ReadAll(io.LimitReader(r, spec.MaxFileSize+1))
}

// named reads a regular file in the folder or below it, which an engine file names.
func (f *folder) named(name string) ([]byte, error) {
	if f.state(name) == "" {
		return nil, fs.ErrNotExist
	}
	r, err := f.root().Open(filepath.FromSlash(name))
	if err != nil {
		return nil, err
	}
	defer func() { _ = r.Close() }()
	return io.ReadAll(io.LimitReader(r, spec.MaxTraceSize+1))
}

// state tells one state of such a file from another; empty: there is none.
func (f *folder) state(name string) string {
	info, err := f.root().Stat(filepath.FromSlash(name))
	if err != nil || !info.Mode().IsRegular() {
		return ""
	}
	return fmt.Sprint(markOf(info))
}

// noting returns named, which also puts down the state of every file that it is asked for, from before it is read.
func (f *folder) noting(states map[string]string) func(name string) ([]byte, error) {
	return func(name string) ([]byte, error) {
		states[name] = f.state(name)
		return f.named(name)
	}
}

// unchanged reports whether files are in the states that were put down.
func (f *folder) unchanged(states map[string]string) bool {
	for name, state := range states {
		if f.state(name) != state {
			return false
		}
	}
	return true
}

// etagOf names a content.
func etagOf(data []byte) string {
	sum := sha256.Sum256(data)
	return base64.RawURLEncoding.EncodeToString(sum[:12])
}

// write puts a file in place, whole or not at all: a new file beside it, flushed to disk, then renamed. A file that was there
// keeps its permissions.
func (f *folder) write(name string, data []byte) error {
	mode, replaces := spec.NewFileMode, false
	if info, err := f.root().Lstat(name); err == nil {
		if !info.Mode().IsRegular() {
			return fmt.Errorf("%s is not a regular file", name)
		}
		mode, replaces = info.Mode().Perm(), true
	}
	var nonce [6]byte
	_, _ = rand.Read(nonce[:])
	temp := path.Join(path.Dir(name), tempPrefix+hex.EncodeToString(nonce[:]))
	w, err := f.root().OpenFile(temp, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
	if err != nil {
		return plainError(err)
	}
	_, err = w.Write(data)
	if err == nil && replaces {
		err = w.Chmod(mode)
	}
	if err == nil {
		err = w.Sync()
	}
	err = errors.Join(err, w.Close())
	if err == nil {
		err = f.root().Rename(temp, name)
	}
	if err != nil {
		_ = f.root().Remove(temp)
		return plainError(err)
	}
	return f.flush(path.Dir(name))
}

// flush makes what happened in a directory durable.
func (f *folder) flush(dir string) error {
	return plainError(spec.SyncFolder(func() (*os.File, error) { return f.root().Open(dir) }))
}

// sync looks at the folder and records what changed from outside, as one step of the history. It
// returns the names. mu is held.
func (f *folder) sync() ([]string, error) {
	if err := f.find(); err != nil {
		return nil, err
	}
	seen, err := f.scan()
	if err != nil {
		return nil, fmt.Errorf("the folder cannot be read: %w", plainError(err))
	}
	changes := differences(f.files, seen)
	names := filesOf(changes)
	for name, s := range seen {
		if s.failed != f.files[name].failed && !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	f.files = seen
	if len(changes) > 0 {
		f.history.add(step{what: "outside change of " + listed(filesOf(changes)), changes: changes})
	}
	if len(names) > 0 {
		f.changed("outside", names)
	}
	return names, nil
}

// changed counts a change and tells it. mu is held.
func (f *folder) changed(kind string, names []string) {
	f.revision++
	if names == nil {
		names = []string{}
	}
	f.tell(Event{Revision: f.revision, Kind: kind, Files: names})
}

// differences lists what leads from one state of the folder to another.
func differences(before, after map[string]stored) []change {
	var out []change
	names := slices.Collect(maps.Keys(before))
	for name := range after {
		if _, ok := before[name]; !ok {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	for _, name := range names {
		b, hadIt := before[name]
		a, hasIt := after[name]
		hadIt, hasIt = hadIt && b.content(), hasIt && a.content()
		if hadIt == hasIt && b.etag == a.etag {
			continue
		}
		c := change{file: name}
		if hadIt {
			c.before = &b.data
		}
		if hasIt {
			c.after = &a.data
		}
		out = append(out, c)
	}
	return out
}

// apply writes changes to disk and remembers them. Where it fails midway, what was done stays done, and it returns how many of
// them that are, for the caller to record. What is not known in whole is not written over. mu is held.
func (f *folder) apply(changes []change) (done int, err error) {
	for _, c := range changes {
		if s, there := f.files[c.file]; there {
			if err := s.partial(c.file); err != nil {
				return 0, err
			}
		}
		if c.after != nil && len(*c.after) > spec.MaxFileSize {
			return 0, tooLarge(c.file)
		}
	}
	for i, c := range changes {
		if c.after == nil {
			if err := f.root().Remove(c.file); err != nil && !errors.Is(err, fs.ErrNotExist) {
				return i, fmt.Errorf("%s: cannot be removed: %w", c.file, plainError(err))
			}
			delete(f.files, c.file)
			continue
		}
		if err := f.write(c.file, *c.after); err != nil {
			return i, fmt.Errorf("%s: cannot be written: %w", c.file, err)
		}
		s := stored{data: *c.after, etag: etagOf(*c.after), read: time.Now()}
		if info, err := f.root().Lstat(c.file); err == nil {
			s.mark = markOf(info)
		}
		f.files[c.file] = s
	}
	return len(changes), f.flush(".")
}

// setAside keeps a copy of what is about to leave the folder, so that it survives the process.
func (f *folder) setAside(changes []change) error {
	for _, c := range changes {
		if c.before == nil {
			continue
		}
		dir := path.Join(hidden, "aside")
		if err := f.makeHidden("aside"); err != nil {
			return err
		}
		name := etagOf(*c.before) + "-" + c.file
		if err := f.write(path.Join(dir, name), *c.before); err != nil {
			return fmt.Errorf("%s: a copy cannot be set aside: %w", c.file, err)
		}
	}
	return nil
}

// makeHidden makes a directory of the workbench's own.
func (f *folder) makeHidden(name string) error {
	if err := f.root().MkdirAll(path.Join(hidden, name), 0o755); err != nil {
		return fmt.Errorf("%s cannot be made: %w", hidden, plainError(err))
	}
	return nil
}

// listed joins names for a sentence.
func listed(names []string) string {
	if len(names) > 3 {
		return fmt.Sprintf("%s and %d more", strings.Join(names[:2], ", "), len(names)-2)
	}
	return strings.Join(names, ", ")
}
