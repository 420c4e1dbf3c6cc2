package spec

import (
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"
)

// source is the text of a file with the places of its lines, in which YAML's nodes are found again.
// YAML gives the start of a node only; source finds where it ends.
type source struct {
	text  string
	lines []int // byte at which each line starts
	doc   *document
}

func newSource(text string, doc *document) *source {
	s := &source{text: text, doc: doc}
	start := 0
	if strings.HasPrefix(text, "\ufeff") {
		start = len("\ufeff")
	}
	s.lines = []int{start}
	for i := start; i < len(text); {
		r, size := utf8.DecodeRuneInString(text[i:])
		i += size
		if r == '\r' && i < len(text) && text[i] == '\n' {
			i++
		}
		if isBreak(r) {
			s.lines = append(s.lines, i)
		}
	}
	return s
}

// inside returns a position, or the end of its line or of the text where it lies beyond.
func (s *source) inside(p Position) Position {
	p.Line = min(max(p.Line, 1), len(s.lines))
	p.Column = min(max(p.Column, 1), 1+utf8.RuneCountInString(s.line(p.Line)))
	return p
}

// offset returns the byte of a position.
func (s *source) offset(line, column int) int {
	if line < 1 || line > len(s.lines) {
		return len(s.text)
	}
	i := s.lines[line-1]
	for n := 1; n < column && i < len(s.text); n++ {
		_, size := utf8.DecodeRuneInString(s.text[i:])
		i += size
	}
	return i
}

func (s *source) start(n *yaml.Node) int { return s.offset(n.Line, n.Column) }

// lineStart returns where the line of a byte starts.
func (s *source) lineStart(i int) int {
	low, high := 0, len(s.lines)
	for high-low > 1 {
		if mid := (low + high) / 2; s.lines[mid] <= i {
			low = mid
		} else {
			high = mid
		}
	}
	return s.lines[low]
}

// lineEnd returns where the line of a byte ends, without its break, and where the next one starts.
func (s *source) lineEnd(i int) (end, next int) {
	for end = i; end < len(s.text); {
		r, size := utf8.DecodeRuneInString(s.text[end:])
		if isBreak(r) {
			next = end + size
			if r == '\r' && next < len(s.text) && s.text[next] == '\n' {
				next++
			}
			return end, next
		}
		end += size
	}
	return end, end
}

// line returns a line, from 1, without its break; empty where there is none.
func (s *source) line(n int) string {
	if n < 1 || n > len(s.lines) {
		return ""
	}
	end, _ := s.lineEnd(s.lines[n-1])
	return s.text[s.lines[n-1]:end]
}

// lineBreak returns how lines end in this file.
func (s *source) lineBreak() string {
	end, next := s.lineEnd(s.lines[0])
	if end == next {
		return "\n"
	}
	return s.text[end:next]
}

// content skips an anchor and a tag that stand before a value.
func (s *source) content(n *yaml.Node) int {
	i := s.start(n)
	for i < len(s.text) && (s.text[i] == '&' || s.text[i] == '!') && (n.Anchor != "" || n.Style&yaml.TaggedStyle != 0) {
		for i < len(s.text) && !strings.ContainsRune(" \t\r\n,[]{}", rune(s.text[i])) {
			i++
		}
		for i < len(s.text) && (s.text[i] == ' ' || s.text[i] == '\t') {
			i++
		}
	}
	return i
}

func isFlow(n *yaml.Node) bool { return n.Style&yaml.FlowStyle != 0 }

func isBlock(n *yaml.Node) bool {
	return (n.Kind == yaml.MappingNode || n.Kind == yaml.SequenceNode) && !isFlow(n)
}

// isNothing tells a key or dash without a value.
func isNothing(n *yaml.Node) bool {
	return n.Kind == yaml.ScalarNode && n.Tag == "!!null" && n.Value == ""
}

// end returns where a node ends. flow tells that it stands within brackets; indent is that of the map or
// list that it stands in.
func (s *source) end(n *yaml.Node, flow bool, indent int) int {
	i := s.content(n)
	switch {
	case n.Kind == yaml.AliasNode:
		for i < len(s.text) && !strings.ContainsRune(" \t\r\n,[]{}", rune(s.text[i])) {
			i++
		}
		return i
	case n.Kind == yaml.ScalarNode && n.Style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle) != 0:
		return s.quotedEnd(i)
	case n.Kind == yaml.ScalarNode && n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
		return s.blockTextEnd(i, indent)
	case isNothing(n):
		return s.start(n)
	case n.Kind == yaml.ScalarNode:
		return s.plainEnd(i, flow, indent)
	case isFlow(n):
		return s.flowEnd(n, i)
	case len(n.Content) == 0:
		return i
	}
	last := n.Content[len(n.Content)-1]
	return max(i, s.end(last, false, n.Column-1))
}

func (s *source) quotedEnd(i int) int {
	u := &unitScanner{src: s.text, i: i}
	u.skipQuoted(rune(s.text[min(i, len(s.text)-1)]))
	return u.i
}

// blockTextEnd returns where a text after | or > ends, without its last line break.
func (s *source) blockTextEnd(i, indent int) int {
	last, next := s.lineEnd(i)
	for next < len(s.text) {
		end, after := s.lineEnd(next)
		line := s.text[next:end]
		body := strings.TrimLeft(line, " ")
		if body != "" && len(line)-len(body) <= indent {
			break
		}
		if body != "" {
			last = end
		}
		if after == next {
			break
		}
		next = after
	}
	return last
}

// plainEnd returns where a text without quotes ends; it may go on in further lines.
func (s *source) plainEnd(i int, flow bool, indent int) int {
	last := i
	for i < len(s.text) {
		r, size := utf8.DecodeRuneInString(s.text[i:])
		switch {
		case isBreak(r):
			_, next := s.lineEnd(i)
			for next < len(s.text) {
				end, after := s.lineEnd(next)
				if strings.Trim(s.text[next:end], " \t") != "" || after == next {
					break
				}
				next = after
			}
			line := s.text[next:]
			body := strings.TrimLeft(line, " \t")
			if body == "" || body[0] == '#' || !flow && len(line)-len(body) <= indent {
				return last
			}
			i = next
			continue
		case r == '#' && i > 0 && (s.text[i-1] == ' ' || s.text[i-1] == '\t' || s.text[i-1] == '\n'),
			flow && strings.ContainsRune(",[]{}", r),
			r == ':' && s.endsKey(i+1, flow):
			return last
		}
		i += size
		if r != ' ' && r != '\t' {
			last = i
		}
	}
	return last
}

// endsKey tells whether a colon before this byte ends a key.
func (s *source) endsKey(i int, flow bool) bool {
	r, size := utf8.DecodeRuneInString(s.text[min(i, len(s.text)):])
	return size == 0 || r == ' ' || r == '\t' || isBreak(r) || flow && strings.ContainsRune(",[]{}", r)
}

// flowEnd returns where a list or map in brackets ends, with the unit behind a list.
func (s *source) flowEnd(n *yaml.Node, open int) int {
	i := open + 1
	if k := len(n.Content); k > 0 {
		i = max(i, s.end(n.Content[k-1], true, 0))
	}
	i = s.skipBlank(i, ",:")
	if i < len(s.text) && (s.text[i] == ']' || s.text[i] == '}') {
		i++
	}
	if u := s.doc.units[Position{n.Line, n.Column}]; u != nil {
		i = s.offset(u.at.Line, u.at.Column) + len(u.unit)
	}
	return i
}

// skipBlank skips blanks, line breaks, comments and the marks given.
func (s *source) skipBlank(i int, marks string) int {
	for i < len(s.text) {
		r, size := utf8.DecodeRuneInString(s.text[i:])
		switch {
		case r == '#':
			i, _ = s.lineEnd(i)
		case r == ' ' || r == '\t' || isBreak(r) || strings.ContainsRune(marks, r):
			i += size
		default:
			return i
		}
	}
	return i
}

// afterColon returns the byte behind the colon of a key.
func (s *source) afterColon(key *yaml.Node, flow bool) int {
	i := s.end(key, flow, -1)
	for i < len(s.text) && (s.text[i] == ' ' || s.text[i] == '\t') {
		i++
	}
	if i < len(s.text) && s.text[i] == ':' {
		return i + 1
	}
	return -1
}
