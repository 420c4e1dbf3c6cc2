package spec

import (
	"strings"
	"unicode"

	"go.yaml.in/yaml/v4"
)

// value turns what the user typed into what stands in the file at the end of the way. whole tells that
// the way reaches the path, so that the last node of it is the old value.
func (e *editor) value(text string, way []place, whole bool) (string, *EditError) {
	text = strings.TrimSpace(text)
	switch {
	case text == "":
		return "", &EditError{What: "the value is empty", Allowed: "give a value, or leave the key out"}
	case strings.ContainsFunc(text, func(r rune) bool {
		return isBreak(r) || unicode.IsControl(r) || r == unicode.ReplacementChar || r == '\ufeff'
	}):
		return "", &EditError{What: "the value has more than one line, or characters that no file may have", Allowed: "write it on one line"}
	case len(text) > MaxFileSize/4:
		return "", &EditError{What: "the value is too long"}
	}
	at := way[len(way)-1]
	list := at // in which the value stands
	var old *yaml.Node
	if whole {
		old = at.n
		list = way[max(0, len(way)-2)]
	}
	flow := at.flow || !whole && isFlow(at.n)
	if u := e.doc.units[Position{list.n.Line, list.n.Column}]; u != nil && list.n.Kind == yaml.SequenceNode {
		text = withoutUnit(text, u.unit)
	}
	if old != nil && old.Kind == yaml.SequenceNode && strings.HasPrefix(text, "[") && strings.HasSuffix(text, "]") {
		if u := e.doc.units[Position{old.Line, old.Column}]; u != nil && !hasUnits(text) {
			text += " " + u.unit
		}
	}
	text, err := e.written(text, old, flow)
	e.wrote = text
	return text, err
}

// withoutUnit leaves out a unit that stands behind the whole list.
func withoutUnit(text, unit string) string {
	if number, ok := strings.CutSuffix(text, unit); ok {
		if _, rest, err := splitNumber(number); err == nil && rest == "" {
			return strings.TrimSpace(number)
		}
	}
	return text
}

// hasUnits tells whether the entries of a list have units of their own.
func hasUnits(list string) bool {
	return strings.ContainsFunc(list, unicode.IsLetter) || strings.Contains(list, "°")
}

// written quotes a value where that is needed.
func (e *editor) written(text string, old *yaml.Node, flow bool) (string, *EditError) {
	isText := e.isTextPath()
	structured := !isText && strings.ContainsRune(`[{"'`, rune(text[0]))
	if !structured && old != nil && old.Kind == yaml.ScalarNode {
		switch {
		case old.Style&yaml.SingleQuotedStyle != 0:
			return "'" + strings.ReplaceAll(text, "'", "''") + "'", nil
		case old.Style&yaml.DoubleQuotedStyle != 0:
			return doubleQuoted(text), nil
		}
	}
	n := snippet(text, flow)
	switch {
	case structured && n != nil && (n.Kind == yaml.ScalarNode || isFlow(n)):
		return text, nil
	case structured:
		return "", &EditError{What: "this is no value that YAML understands", Allowed: "close every bracket and every quotation mark"}
	case n != nil && n.Kind == yaml.ScalarNode && n.Value == text && n.Style == 0 && n.Anchor == "" && (!isText || n.Tag != "!!null"):
		return text, nil
	}
	return doubleQuoted(text), nil
}

func doubleQuoted(text string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(text) + `"`
}

// snippet reads a value as it would be read in a file, whole, or returns nil.
func snippet(text string, flow bool) *yaml.Node {
	file := "k: " + text + "\n"
	if flow {
		file = "k: {k: " + text + "}\n"
	}
	doc := parseDocument(&collector{}, []byte(file))
	if doc == nil || len(doc.root.Content) != 2 {
		return nil
	}
	n := doc.root.Content[1]
	if flow {
		if len(n.Content) != 2 {
			return nil
		}
		n = n.Content[1]
	}
	s := newSource(file, doc)
	if n.Kind == yaml.AliasNode || n.Line != 1 || file[s.start(n):s.end(n, flow, 0)] != text {
		return nil
	}
	return n
}

// arrived tells whether the value is found at the path of the changed file.
func (e *editor) arrived(after *document) bool {
	n, _, depth := walk(after.root, e.steps)
	if depth != len(e.steps) {
		return false
	}
	want := snippet(e.wrote, false)
	if want == nil {
		want = snippet(e.wrote, true)
	}
	if want == nil {
		return false
	}
	same := *n
	same.Anchor = ""
	if n.Style&yaml.TaggedStyle != 0 {
		return same.Value == want.Value
	}
	return sameBut(&same, want, nil)
}
