package spec

import (
	"bytes"
	"errors"
	"io"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"
)

// MaxFileSize is the largest file that is read, in bytes: a thousand times the size of a full
// engine file.
const MaxFileSize = 1 << 20

// document is a file as YAML sees it, with the units behind lists put aside.
type document struct {
	text  string // the whole file, byte for byte
	root  *yaml.Node
	units map[Position]*unitUse
}

type unitUse struct {
	unit string
	at   Position
	used bool
}

// parseDocument reads the YAML of a file. Where it fails, the errors are in c and the result is
// nil.
func parseDocument(c *collector, data []byte) *document {
	if len(data) > MaxFileSize {
		c.fail(Position{}, "1 MiB is the most", "the file has %d bytes", len(data))
		return nil
	}
	src := strings.TrimPrefix(string(data), "\ufeff")
	if !c.readable(src, isBreak) {
		return nil
	}
	units := findListUnits(src)
	for {
		root, ok := loadYAML(c, src, blankUnits(src, units))
		if !ok {
			return nil
		}
		doc := &document{text: string(data), root: root, units: map[Position]*unitUse{}}
		lists := map[Position]bool{}
		collectLists(root, lists, 0)
		real := units[:0:0]
		for _, u := range units {
			at := u.at
			if !lists[at] {
				at = u.properties
			}
			if lists[at] {
				real = append(real, u)
				doc.units[at] = &unitUse{unit: u.unit, at: u.unitAt}
			}
		}
		if len(real) == len(units) {
			return doc
		}
		units = real // something was no list after all: leave its text alone
	}
}

// wide reports whether a text begins as one of UTF-16: with its mark, or with two characters of which one byte each is 0.
func wide(src string) bool {
	if strings.HasPrefix(src, "\xff\xfe") || strings.HasPrefix(src, "\xfe\xff") {
		return true
	}
	if len(src) < 4 {
		return false
	}
	zero := [4]bool{src[0] == 0, src[1] == 0, src[2] == 0, src[3] == 0}
	return zero == [4]bool{false, true, false, true} || zero == [4]bool{true, false, true, false}
}

// readable reports whether a text is UTF-8 without control characters; where it is not, it says so at the place. ends tells the
// characters that end a line.
func (c *collector) readable(src string, ends func(rune) bool) bool {
	if wide(src) {
		c.fail(Position{1, 1}, "save it as UTF-8 text", "the file is UTF-16 or holds binary data")
		return false
	}
	line, column := 1, 1
	for i, r := range src {
		at := Position{line, column}
		if r == utf8.RuneError {
			if _, size := utf8.DecodeRuneInString(src[i:]); size == 1 {
				c.fail(at, "the file must be UTF-8 text", "the text is damaged here")
				return false
			}
		}
		if r < ' ' && r != '\t' && r != '\n' && r != '\r' || r == 0x7f {
			c.fail(at, "take it out; the file must be lines of plain text", "a control character (%U) stands here", r)
			return false
		}
		column++
		if ends(r) && !strings.HasPrefix(src[i:], "\r\n") {
			line, column = line+1, 1
		}
	}
	return true
}

// collectLists notes where each list starts.
func collectLists(n *yaml.Node, at map[Position]bool, depth int) {
	if n == nil || depth > 200 {
		return
	}
	if n.Kind == yaml.SequenceNode {
		at[Position{n.Line, n.Column}] = true
	}
	for _, child := range n.Content {
		collectLists(child, at, depth+1)
	}
}

// loadYAML returns the root mapping of the only document in the text.
func loadYAML(c *collector, src, text string) (*yaml.Node, bool) {
	loader, err := yaml.NewLoader(bytes.NewReader([]byte(text)))
	if err != nil {
		c.fail(Position{1, 1}, "write key: value lines, indented with blanks", "the file cannot be read as YAML (%v)", err)
		return nil, false
	}
	var first, second yaml.Node
	if err := loader.Load(&first); err != nil {
		if errors.Is(err, io.EOF) {
			c.fail(Position{1, 1}, "write keys with values, such as name: Inline four", "the file is empty")
		} else {
			yamlFailure(c, src, err)
		}
		return nil, false
	}
	if err := loader.Load(&second); err == nil {
		c.fail(Position{second.Line, second.Column}, "write one thing a file", "a second document starts here")
		return nil, false
	} else if !errors.Is(err, io.EOF) {
		yamlFailure(c, src, err)
		return nil, false
	}
	root := &first
	if root.Kind == yaml.DocumentNode && len(root.Content) == 1 {
		root = root.Content[0]
	}
	if root.Kind == yaml.ScalarNode && root.Tag == "!!null" {
		c.fail(Position{1, 1}, "write keys with values, such as name: Inline four", "the file is empty")
		return nil, false
	}
	if root.Kind != yaml.MappingNode {
		c.fail(Position{root.Line, root.Column}, "write keys with values, such as name: Inline four", "the file is %s", kindOf(root))
		return nil, false
	}
	return root, true
}

// yamlFailure puts an error of the YAML reader into plain words.
func yamlFailure(c *collector, src string, err error) {
	var le *yaml.LoadError
	if !errors.As(err, &le) {
		c.fail(Position{1, 1}, "write key: value lines, indented with blanks", "this is not YAML (%v)", err)
		return
	}
	at := Position{le.Mark.Line, le.Mark.Column}
	if at.Line == 0 {
		at = Position{le.ContextMark.Line, le.ContextMark.Column}
	}
	if at.Line == 0 {
		at = Position{1, 1}
	}
	s := newSource(src, nil)
	at = s.inside(at)
	opened := s.inside(Position{le.ContextMark.Line, le.ContextMark.Column})
	line := s.line(at.Line)
	indent := line[:len(line)-len(strings.TrimLeft(line, " \t"))]
	switch {
	case strings.Contains(indent, "\t") || strings.Contains(le.Message, "tab character"):
		c.fail(Position{at.Line, 1 + max(0, strings.Index(indent, "\t"))}, "indent with blanks", "there is a tab in the indentation")
	case strings.Contains(le.Message, "unknown anchor"):
		c.fail(at, "write an anchor such as &rod before its first use", "%s", strings.TrimSuffix(le.Message, " referenced")+" is used")
	case strings.Contains(le.Message, "escape"):
		c.fail(at, `write \\ for a backslash, or quote the text with '`, `no character is written with this backslash`)
	case strings.Contains(le.ContextMsg, "quoted scalar"):
		c.fail(opened, "close it with the same mark", "the quoted text that starts here has no end")
	case strings.Contains(le.ContextMsg, "flow sequence"):
		c.fail(opened, "separate its values by commas and close it with ]", "the list that starts here has no end that YAML understands")
	case strings.Contains(le.ContextMsg, "flow mapping"):
		c.fail(opened, "separate its keys by commas and close it with }", "the map that starts here has no end that YAML understands")
	case strings.Contains(le.Message, "mapping values are not allowed"):
		c.fail(at, "write one key a line, or quote a text that has a colon in it", "a second colon stands here")
	case strings.Contains(le.Message, "cannot start any token"):
		c.fail(at, "quote the text", "no value can start with this character")
	case strings.Contains(le.Message, "did not find expected key"), strings.Contains(le.Message, "<document start>"):
		c.fail(at, "indent the keys of one map alike, one key: value a line", "YAML expects a key here")
	default:
		c.fail(at, "write key: value lines, indented with blanks", "this is not YAML (%s)", le.Message)
	}
}

// kindOf names what a node is, for messages.
func kindOf(n *yaml.Node) string {
	switch n.Kind {
	case yaml.MappingNode:
		return "a map"
	case yaml.SequenceNode:
		return "a list"
	case yaml.ScalarNode:
		if n.Tag == "!!null" {
			return "empty"
		}
		return "a single value"
	default:
		return "something else"
	}
}
