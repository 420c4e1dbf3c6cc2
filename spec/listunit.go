package spec

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// listUnit is a unit that stands behind a list, as in "[0, 180, 180, 0] deg". YAML has no such
// thing, so the unit is taken out of the text before YAML reads it, blanks in its place: every
// other position stays what it was.
type listUnit struct {
	at         Position // of the bracket
	properties Position // of an anchor or tag before it, else as at
	unit       string
	unitAt     Position
	from, to   int // bytes of the unit in the source
}

// blankUnits returns the source with blanks in the place of the units.
func blankUnits(src string, units []listUnit) string {
	if len(units) == 0 {
		return src
	}
	var b strings.Builder
	done := 0
	for _, u := range units {
		b.WriteString(src[done:u.from])
		b.WriteString(strings.Repeat(" ", utf8.RuneCountInString(src[u.from:u.to])))
		done = u.to
	}
	b.WriteString(src[done:])
	return b.String()
}

// findListUnits looks for units behind lists. It knows enough of YAML to leave quoted texts,
// comments, block texts and ordinary words alone; what it takes for a list is held against the
// lists that YAML then finds.
func findListUnits(src string) []listUnit {
	s := &unitScanner{src: src, line: 1, column: 1, start: true, fresh: true}
	for s.i < len(s.src) {
		s.step()
	}
	return s.found
}

type bracket struct {
	square         bool
	at, properties Position
}

type unitScanner struct {
	src          string
	i            int
	line, column int
	stack        []bracket
	start        bool     // a value may start here
	fresh        bool     // after a blank or at the start of a line, where a comment may start
	properties   Position // of an anchor or tag of the value that is about to start
	tokenColumn  int      // where the last key or dash of this line stood
	found        []listUnit
}

func (s *unitScanner) at() Position { return Position{s.line, s.column} }

func (s *unitScanner) peek() (rune, int) { return utf8.DecodeRuneInString(s.src[s.i:]) }

// next moves on by one character.
func (s *unitScanner) next() {
	r, size := s.peek()
	s.i += size
	s.column++
	if isBreak(r) {
		if r == '\r' && s.i < len(s.src) && s.src[s.i] == '\n' {
			s.i++
		}
		s.line++
		s.column = 1
	}
}

func isBreak(r rune) bool {
	return r == '\n' || r == '\r' || r == '\u0085' || r == '\u2028' || r == '\u2029'
}

// blankAfter tells whether a blank, the end of a line or the end of the text follows the
// character here, or, within brackets, a mark that ends a word.
func (s *unitScanner) blankAfter() bool {
	_, size := s.peek()
	r, n := utf8.DecodeRuneInString(s.src[s.i+size:])
	return n == 0 || r == ' ' || r == '\t' || isBreak(r) || len(s.stack) > 0 && strings.ContainsRune(",[]{}", r)
}

func (s *unitScanner) step() {
	r, _ := s.peek()
	inFlow := len(s.stack) > 0
	switch {
	case isBreak(r):
		s.next()
		s.fresh = true
		if !inFlow {
			s.start, s.properties = true, Position{}
		}
	case r == ' ' || r == '\t':
		s.next()
		s.fresh = true
	case r == '#' && s.fresh:
		s.skipLine()
	case s.start && (r == '"' || r == '\''):
		s.tokenColumn = s.column
		s.skipQuoted(r)
		s.start, s.fresh = false, false
	case s.start && (r == '&' || r == '!'):
		if s.properties == (Position{}) {
			s.properties = s.at()
		}
		for s.i < len(s.src) && !s.blankAfter() {
			s.next()
		}
		s.next()
	case s.start && !inFlow && (r == '|' || r == '>'):
		s.skipBlockText()
	case s.start && !inFlow && (r == '-' || r == '?') && s.blankAfter():
		s.tokenColumn = s.column
		s.next()
	case (s.start || inFlow) && (r == '[' || r == '{'):
		at := s.at()
		properties := at
		if s.properties != (Position{}) {
			properties = s.properties
		}
		s.stack = append(s.stack, bracket{r == '[', at, properties})
		s.next()
		s.start, s.fresh, s.properties = true, false, Position{}
	case inFlow && (r == ']' || r == '}'):
		open := s.stack[len(s.stack)-1]
		s.stack = s.stack[:len(s.stack)-1]
		s.next()
		s.start, s.fresh = false, false
		if open.square && r == ']' {
			s.takeUnit(open)
		}
	case inFlow && r == ',', r == ':' && (s.blankAfter() || inFlow && strings.ContainsRune("\"'", rune(s.src[max(0, s.i-1)]))):
		s.next()
		s.start, s.fresh, s.properties = true, false, Position{}
	default:
		if s.start {
			s.tokenColumn = s.column
		}
		s.next()
		s.start, s.fresh = false, false
	}
}

func (s *unitScanner) skipLine() {
	for s.i < len(s.src) {
		if r, _ := s.peek(); isBreak(r) {
			return
		}
		s.next()
	}
}

func (s *unitScanner) skipQuoted(quote rune) {
	s.next()
	for s.i < len(s.src) {
		r, _ := s.peek()
		s.next()
		switch {
		case r == '\\' && quote == '"' && s.i < len(s.src):
			s.next()
		case r == quote && quote == '\'' && strings.HasPrefix(s.src[s.i:], "'"):
			s.next()
		case r == quote:
			return
		}
	}
}

// skipBlockText skips a text after | or >: all lines that stand further in than its key.
func (s *unitScanner) skipBlockText() {
	indent := s.tokenColumn
	s.skipLine()
	for s.i < len(s.src) {
		line := s.src[s.i+1:] // after the line break
		content := strings.TrimLeft(line, " ")
		if r, n := utf8.DecodeRuneInString(content); n > 0 && !isBreak(r) && len(line)-len(content)+1 <= indent {
			break
		}
		s.next()
		s.skipLine()
	}
	s.start = false
}

// takeUnit records what stands between a closed list and the next mark, where it looks like a
// unit.
func (s *unitScanner) takeUnit(open bracket) {
	from := s.i
	for from < len(s.src) && (s.src[from] == ' ' || s.src[from] == '\t') {
		from++
	}
	to := from
	for to < len(s.src) {
		r, size := utf8.DecodeRuneInString(s.src[to:])
		if isBreak(r) || r == '#' && to > 0 && (s.src[to-1] == ' ' || s.src[to-1] == '\t') ||
			len(s.stack) > 0 && strings.ContainsRune(",]}", r) {
			break
		}
		to += size
	}
	text := strings.TrimRight(s.src[from:to], " \t")
	if text == "" || strings.ContainsAny(text, ":[]{},\"'") {
		return
	}
	if r, _ := utf8.DecodeRuneInString(text); !unicode.IsLetter(r) && r != '°' && r != '%' && !strings.HasPrefix(text, "1/") {
		return
	}
	for s.i < from {
		s.next()
	}
	s.found = append(s.found, listUnit{
		at: open.at, properties: open.properties, unit: text,
		unitAt: s.at(), from: from, to: from + len(text),
	})
	for s.i < from+len(text) {
		s.next()
	}
}
