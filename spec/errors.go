package spec

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Position is a place in a file: line and column count from 1, columns in characters. The zero
// Position means that no place is known.
type Position struct {
	Line, Column int
}

// Error is one thing that is wrong in a file.
type Error struct {
	File         string
	Line, Column int    // from 1; 0 where no place is known
	What         string // what is wrong
	Allowed      string // what would be right; empty where What says it
}

// Error returns the error as one line: file:line:column: what is wrong; what is allowed.
func (e Error) Error() string {
	text := e.What
	if e.Allowed != "" {
		text += "; " + e.Allowed
	}
	switch {
	case e.File != "" && e.Line > 0:
		return fmt.Sprintf("%s:%d:%d: %s", e.File, e.Line, e.Column, text)
	case e.File != "":
		return e.File + ": " + text
	case e.Line > 0:
		return fmt.Sprintf("%d:%d: %s", e.Line, e.Column, text)
	default:
		return text
	}
}

// Errors is everything that is wrong in a file, in the order of the places.
type Errors []Error

// Error returns all errors, one a line.
func (es Errors) Error() string {
	lines := make([]string, len(es))
	for i, e := range es {
		lines[i] = e.Error()
	}
	return strings.Join(lines, "\n")
}

// maxErrors is the number of errors after which a reader gives up on a file: beyond it the file
// is something else than an engine.
const maxErrors = 200

// collector gathers errors while a file is read.
type collector struct {
	file string
	list Errors
	cut  bool // the file was not read to its end, so that nothing can be said to be missing

	asides int // errors that leave the engine whole, so that it is judged further
}

// aside is fail for what leaves the engine whole: it is judged further, so that everything is said at once.
func (c *collector) aside(at Position, allowed, what string, args ...any) {
	before := len(c.list)
	c.fail(at, allowed, what, args...)
	c.asides += len(c.list) - before
}

func (c *collector) fail(at Position, allowed, what string, args ...any) {
	if len(c.list) > maxErrors {
		return
	}
	c.list = append(c.list, Error{
		File: c.file, Line: at.Line, Column: at.Column,
		What: clip(fmt.Sprintf(what, args...)), Allowed: clipTo(allowed, longestAllowed),
	})
}

// The most bytes of what a message says is wrong, and of what it says would be right: room for every key of a brief.
const (
	longestWhat    = 600
	longestAllowed = 2400
)

// clip cuts a text that the file has made too long for a message.
func clip(text string) string { return clipTo(text, longestWhat) }

func clipTo(text string, longest int) string {
	if len(text) <= longest {
		return text
	}
	return strings.ToValidUTF8(text[:longest], "") + "…"
}

// sorted returns the errors in the order of the places, each once, or nil.
func (c *collector) sorted() error {
	if len(c.list) == 0 {
		return nil
	}
	slices.SortStableFunc(c.list, func(a, b Error) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	return slices.Compact(c.list)
}

// oneOf returns words as "a, b or c".
func oneOf(words []string) string {
	switch len(words) {
	case 0:
		return ""
	case 1:
		return words[0]
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}
