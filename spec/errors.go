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
		What: clip(fmt.Sprintf(what, args...)), Allowed: clip(allowed),
	})
}

// clip cuts a text that the file has made too long for a message.
func clip(text string) string {
	const longest = 600
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

// Nearest returns the candidate that is most like the word, or "" where none is like it: at most
// a third of its letters may have to change.
func Nearest(word string, candidates []string) string {
	best, bestDistance := "", 1+(len(word)+2)/3
	for _, c := range candidates {
		d := editDistance(strings.ToLower(word), strings.ToLower(c), bestDistance)
		if d < bestDistance {
			best, bestDistance = c, d
		}
	}
	return best
}

// orNearest returns the question about the word that may be meant, or what is allowed where none is near.
func orNearest(word string, candidates []string, allowed string) string {
	if near := Nearest(word, candidates); near != "" {
		return "did you mean \"" + near + "\"?"
	}
	return allowed
}

// editDistance returns the number of letters to insert, delete, change or swap to get from a to
// b, or limit where it is not less than that.
func editDistance(a, b string, limit int) int {
	ra, rb := []rune(a), []rune(b)
	if len(ra) > 64 || len(ra)-len(rb) >= limit || len(rb)-len(ra) >= limit {
		return limit
	}
	rows := make([][]int, len(ra)+1)
	for i := range rows {
		rows[i] = make([]int, len(rb)+1)
		rows[i][0] = i
	}
	for j := range rows[0] {
		rows[0][j] = j
	}
	for i := 1; i <= len(ra); i++ {
		for j := 1; j <= len(rb); j++ {
			cost := 1
			if ra[i-1] == rb[j-1] {
				cost = 0
			}
			rows[i][j] = min(rows[i-1][j]+1, rows[i][j-1]+1, rows[i-1][j-1]+cost)
			if i > 1 && j > 1 && ra[i-1] == rb[j-2] && ra[i-2] == rb[j-1] {
				rows[i][j] = min(rows[i][j], rows[i-2][j-2]+1)
			}
		}
	}
	return min(limit, rows[len(ra)][len(rb)])
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
