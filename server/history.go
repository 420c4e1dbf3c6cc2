package server

import "slices"

// change is what happened to one file; nil: it is not there.
type change struct {
	file          string
	before, after *[]byte
}

func (c change) back() change { return change{c.file, c.after, c.before} }

// step is one thing that happened to the folder.
type step struct {
	what    string // in words, for "undo …"
	changes []change
}

// The history forgets its oldest steps beyond these.
const (
	mostSteps = 200
	mostBytes = 64 << 20
)

// size is how much a step keeps in memory.
func (s step) size() int {
	n := 0
	for _, c := range s.changes {
		for _, data := range []*[]byte{c.before, c.after} {
			if data != nil {
				n += len(*data)
			}
		}
	}
	return n
}

// split parts a step: what it does to some files, and the rest.
func (s step) split(files []string) (some, rest step) {
	some.what, rest.what = s.what, s.what
	for _, c := range s.changes {
		if slices.Contains(files, c.file) {
			some.changes = append(some.changes, c)
		} else {
			rest.changes = append(rest.changes, c)
		}
	}
	return some, rest
}

// history is what was done and what was undone.
type history struct {
	done, undone []step
}

// add records a step; what was undone before it cannot be done again.
func (h *history) add(s step) {
	h.done = append(h.done, s)
	h.undone = nil
	keep, bytes := 0, 0
	for keep < len(h.done) && keep < mostSteps {
		bytes += h.done[len(h.done)-1-keep].size()
		if keep > 0 && bytes > mostBytes {
			break
		}
		keep++
	}
	if keep < len(h.done) {
		h.done = append([]step(nil), h.done[len(h.done)-keep:]...)
	}
}

// undoes names the step that undo would take back.
func (h *history) undoes() string { return last(h.done) }

// redoes names the step that redo would do again.
func (h *history) redoes() string { return last(h.undone) }

func last(steps []step) string {
	if len(steps) == 0 {
		return ""
	}
	return steps[len(steps)-1].what
}

func filesOf(changes []change) []string {
	names := make([]string, len(changes))
	for i, c := range changes {
		names[i] = c.file
	}
	return names
}
