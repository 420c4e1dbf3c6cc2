package server

import (
	"fmt"
	"net/http"
	"slices"

	"crankwright/spec"
)

// look is the folder at one moment.
type look struct {
	files      map[string]stored
	names      []string // of engines
	briefs     []string
	studies    []string
	revision   int
	undo, redo string
	left       string // of the step that led here: files that stay as they are, and why
}

// look reads the folder.
func (f *folder) look() (look, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if _, err := f.sync(); err != nil {
		return look{}, err
	}
	return f.now(), nil
}

// now is look without reading. mu is held.
func (f *folder) now() look {
	l := look{files: map[string]stored{}, revision: f.revision, undo: f.history.undoes(), redo: f.history.redoes()}
	for name, s := range f.files {
		l.files[name] = s
		switch {
		case validName(name):
			l.names = append(l.names, name)
		case validStudy(name):
			l.studies = append(l.studies, name)
		default:
			l.briefs = append(l.briefs, name)
		}
	}
	slices.Sort(l.names)
	slices.Sort(l.briefs)
	slices.Sort(l.studies)
	return l
}

// get returns one file.
func (f *folder) get(name string) (stored, error) {
	l, err := f.look()
	if err != nil {
		return stored{}, err
	}
	return l.get(name)
}

func (l look) get(name string) (stored, error) {
	if !validName(name) {
		return stored{}, badName(name)
	}
	s, ok := l.files[name]
	if !ok {
		return stored{}, notFound(fmt.Sprintf("there is no engine file %q in the folder", name))
	}
	return s, nil
}

// brief returns one brief.
func (f *folder) brief(name string) (stored, error) {
	if !validBrief(name) {
		return stored{}, badBriefName(name)
	}
	l, err := f.look()
	if err != nil {
		return stored{}, err
	}
	s, ok := l.files[name]
	if !ok {
		return stored{}, notFound(fmt.Sprintf("there is no brief %q in the folder", name))
	}
	return s, s.unreadable(name)
}

func badName(name string) error {
	return badField("path.file", fmt.Sprintf("%q is no name for an engine file; write letters, digits, blanks and hyphens, and %s at the end", name, engineSuffix))
}

// save replaces the content of a file whose content is known by its etag. build returns the new content
// from the old; mu is held meanwhile, so that saves come one after the other.
func (f *folder) save(name, etag string, build func(old []byte) ([]byte, error)) (stored, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if !tracked(name) {
		return stored{}, badName(name)
	}
	if _, err := f.sync(); err != nil {
		return stored{}, err
	}
	old, ok := f.files[name]
	if !ok || old.etag != etag {
		return stored{}, conflict(name, old, ok)
	}
	if err := old.unreadable(name); err != nil {
		return stored{}, err
	}
	data, err := build(old.data)
	if err != nil {
		return stored{}, err
	}
	if etagOf(data) == old.etag {
		return old, nil
	}
	err = f.do("saved", step{what: "change of " + name, changes: []change{{name, &old.data, &data}}})
	return f.files[name], err
}

func conflict(name string, on stored, there bool) error {
	p := failure(http.StatusConflict, name+" was changed in the meantime; nothing was saved")
	if !there {
		p.Detail = name + " was removed in the meantime; nothing was saved"
	}
	p.Type = typeConflict
	p.Conflict = &ConflictState{File: name, Etag: on.etag, Text: string(on.data), Missing: !there}
	return p
}

// create makes a new file and never writes over one.
func (f *folder) create(name string, data []byte) (stored, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if !tracked(name) {
		return stored{}, badName(name)
	}
	if deviceName.MatchString(name) {
		return stored{}, badField("body.file", fmt.Sprintf("%q is the name of a device on some systems; give another", name))
	}
	if _, err := f.sync(); err != nil {
		return stored{}, err
	}
	if f.taken(name) {
		p := failure(http.StatusConflict, name+" exists; nothing was written")
		p.Type = typeExists
		return stored{}, p
	}
	if len(f.files) >= mostFiles {
		return stored{}, failure(http.StatusConflict, fmt.Sprintf("the folder has %d engines, briefs and studies, and more are not shown", mostFiles))
	}
	err := f.do("created", step{what: "new " + name, changes: []change{{name, nil, &data}}})
	return f.files[name], err
}

// taken reports whether anything has that name, also what the workbench does not show. mu is held.
func (f *folder) taken(name string) bool {
	_, err := f.root().Lstat(name)
	return err == nil
}

// remove takes a file out of the folder; undo brings it back, and a copy is set aside.
func (f *folder) remove(name, etag string) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	if !tracked(name) {
		return badName(name)
	}
	if _, err := f.sync(); err != nil {
		return err
	}
	old, ok := f.files[name]
	if !ok {
		return notFound(fmt.Sprintf("there is no file %q in the folder", name))
	}
	if etag != "" && etag != old.etag {
		return conflict(name, old, true)
	}
	if err := old.partial(name); err != nil {
		return err
	}
	changes := []change{{name, &old.data, nil}}
	if err := f.setAside(changes); err != nil {
		return err
	}
	return f.do("removed", step{what: "removal of " + name, changes: changes})
}

// do applies a step and records it, or as much of it as could be done. mu is held.
func (f *folder) do(kind string, s step) error {
	done, err := f.apply(s.changes)
	if done == 0 {
		return err
	}
	if done < len(s.changes) {
		s = step{what: s.what + " in part", changes: s.changes[:done]}
		err = inPart(err, s.changes)
	}
	f.history.add(s)
	f.changed(kind, filesOf(s.changes))
	return err
}

// inPart adds to what stopped a step what had been done before.
func inPart(err error, done []change) error {
	is := "is"
	if len(done) > 1 {
		is = "are"
	}
	return fmt.Errorf("%w; %s %s changed already", err, listed(filesOf(done)), is)
}

// undo takes the last step back.
func (f *folder) undo() (look, error) {
	return f.travel("undone", &f.history.done, &f.history.undone, true)
}

// redo does the last undone step again.
func (f *folder) redo() (look, error) {
	return f.travel("redone", &f.history.undone, &f.history.done, false)
}

// travel moves one step through the history, or as much of it as could be done. A file whose content there is not known in whole stays as it is, which the look
// says: nothing could be written but a part of it.
func (f *folder) travel(kind string, from, to *[]step, back bool) (look, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	fresh, err := f.sync()
	if err != nil {
		return look{}, err
	}
	if len(fresh) > 0 {
		p := failure(http.StatusConflict, listed(fresh)+" changed from outside just now; look at it first")
		p.Type = typeConflict
		return look{}, p
	}
	if len(*from) == 0 {
		return look{}, failure(http.StatusConflict, "there is nothing to be "+kind)
	}
	s := (*from)[len(*from)-1]
	changes, left := f.towards(s, back)
	for _, c := range changes {
		if len(f.files[c.file].data) > spec.MaxFileSize {
			way := "redo"
			if back {
				way = "undo"
			}
			return look{}, failure(http.StatusRequestEntityTooLarge, fmt.Sprintf("%s: %s has more than 1 MiB, and the workbench does not know the whole of it, so nothing is written over it; "+
				"move it away or make it smaller outside the workbench, then %s goes on", s.what, c.file, way))
		}
	}
	if err := f.setAside(removals(changes)); err != nil {
		return look{}, err
	}
	done, err := f.apply(changes)
	if done > 0 || err == nil {
		*from = (*from)[:len(*from)-1]
		over := s
		if done < len(changes) { // the rest can be tried again
			var rest step
			over, rest = s.split(filesOf(changes[:done]))
			*from = append(*from, rest)
			err = inPart(err, changes[:done])
		}
		*to = append(*to, over)
		f.changed(kind, filesOf(changes[:done]))
	}
	if err != nil {
		return look{}, err
	}
	l := f.now()
	if len(left) > 0 {
		stay := "stays as it is: before or after this step it"
		if len(left) > 1 {
			stay = "stay as they are: before or after this step they"
		}
		l.left = fmt.Sprintf("%s %s had more than 1 MiB, of which the workbench reads only the beginning", listed(left), stay)
	}
	return l, nil
}

// towards returns what takes the folder over a step, from what stands there now, and the files that have to stay as they are.
// mu is held.
func (f *folder) towards(s step, back bool) (changes []change, left []string) {
	for _, c := range s.changes {
		if back {
			c = c.back()
		}
		if c.after != nil && len(*c.after) > spec.MaxFileSize {
			left = append(left, c.file)
			continue
		}
		c.before = nil // which need not be what the step left there, where another step could not bring all back
		if now, there := f.files[c.file]; there {
			c.before = &now.data
		}
		changes = append(changes, c)
	}
	if back {
		slices.Reverse(changes)
	}
	return changes, left
}

// removals keeps the changes after which a file is gone.
func removals(changes []change) []change {
	var out []change
	for _, c := range changes {
		if c.after == nil {
			out = append(out, c)
		}
	}
	return out
}
