package spec

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"go.yaml.in/yaml/v4"
)

// Change sets one key of a file, or removes it.
type Change struct {
	Path string  // such as rod.length, layout.pins[1] or rod; an index one past the last appends to a list
	Text *string // the value as it would stand in the file, on one line; nil removes the key
}

// EditError says why a change cannot be made. The file stays what it was.
type EditError struct {
	Index   int // which of the changes, from 0
	Path    string
	What    string // what is wrong
	Allowed string // what would be right; empty where What says it
}

// Error returns the error as one sentence.
func (e *EditError) Error() string {
	text := e.Path + ": " + e.What
	if e.Allowed != "" {
		text += "; " + e.Allowed
	}
	return text
}

// Edit makes changes in the text of an engine file, one after the other, and leaves every other byte as
// it is: comments, order, indentation, quotes, line ends.
//
// A value keeps its quotes, and a list the unit behind it; a text that YAML would misread is quoted. A
// key that is missing is put behind the one that precedes it in the order of the types, with the missing
// maps above it in block style. A map that loses its last key goes with it, a list becomes []. What a
// change does is checked: the result is read again, and nothing but the path may have changed. Edit does
// not judge whether the engine is right; ReadEngine does. The error is an *EditError.
func Edit(data []byte, changes []Change) ([]byte, error) {
	return edit(reflect.TypeFor[Engine](), data, changes)
}

// EditBrief makes changes in the text of a brief, as Edit does in that of an engine file: limits.length,
// priorities.smoothness, why.smoothness and so on.
func EditBrief(data []byte, changes []Change) ([]byte, error) {
	return edit(reflect.TypeFor[BriefFile](), data, changes)
}

func edit(whole reflect.Type, data []byte, changes []Change) ([]byte, error) {
	text := string(data)
	doc, err := editable(text)
	for i, c := range changes {
		if err == nil {
			text, doc, err = change(whole, text, doc, c)
		}
		if err != nil {
			err.Index, err.Path = i, clip(c.Path)
			return nil, err
		}
	}
	return []byte(text), nil
}

func editable(text string) (*document, *EditError) {
	c := &collector{}
	if doc := parseDocument(c, []byte(text)); doc != nil {
		return doc, nil
	}
	first := c.list[0]
	return nil, &EditError{What: fmt.Sprintf("the file cannot be read (line %d: %s)", first.Line, first.What), Allowed: "correct its text first"}
}

// change makes one change.
func change(whole reflect.Type, text string, doc *document, c Change) (string, *document, *EditError) {
	steps, err := pathSteps(whole, c.Path)
	if err != nil {
		return "", nil, err
	}
	e := &editor{source: newSource(text, doc), whole: whole, steps: steps}
	if c.Text == nil {
		err = e.remove()
	} else {
		err = e.set(*c.Text)
	}
	if err != nil {
		return "", nil, err
	}
	if len(e.cuts) == 0 {
		return text, doc, nil
	}
	out := e.result()
	after, err := editable(out)
	if err != nil || !sameBut(doc.root, after.root, e.touched) || c.Text != nil && !e.arrived(after) {
		return "", nil, &EditError{What: "this cannot be changed without touching what stands around it", Allowed: "change the text of the file by hand"}
	}
	return out, after, nil
}

// cut replaces bytes of the text.
type cut struct {
	from, to int
	with     string
}

// editor makes one change in a source.
type editor struct {
	*source
	whole   reflect.Type // of the file
	steps   []string
	cuts    []cut
	touched []string // path below which anything may differ afterwards
	wrote   string   // the value that was written
}

func (e *editor) cut(from, to int, with string) { e.cuts = append(e.cuts, cut{from, to, with}) }

func (e *editor) result() string {
	slices.SortFunc(e.cuts, func(a, b cut) int { return a.from - b.from })
	var b strings.Builder
	done := 0
	for _, c := range e.cuts {
		b.WriteString(e.text[done:c.from])
		b.WriteString(c.with)
		done = c.to
	}
	b.WriteString(e.text[done:])
	return b.String()
}

// place is a node on the way to a path, and how it stands in its parent.
type place struct {
	n      *yaml.Node
	key    *yaml.Node // in a map
	i      int        // index among the parent's children, in entries
	flow   bool       // within brackets
	indent int        // of the parent
}

// way follows the path as far as the file has it: the root first, the last node found at the end.
func (e *editor) way() ([]place, *EditError) {
	list := []place{{n: e.doc.root, indent: -1}}
	for _, step := range e.steps {
		at := list[len(list)-1]
		if at.n.Kind == yaml.AliasNode {
			return nil, &EditError{What: fmt.Sprintf("the value stands elsewhere, at the anchor &%s", at.n.Value), Allowed: "change it there, or write it out"}
		}
		next, key := child(at.n, step)
		if next == nil {
			break
		}
		if twice(at.n, step) {
			return nil, &EditError{What: fmt.Sprintf("the key %q stands twice", step), Allowed: "leave one of the two"}
		}
		p := place{n: next, key: key, flow: at.flow || isFlow(at.n), indent: at.n.Column - 1}
		p.i = slices.Index(at.n.Content, next)
		if at.n.Kind == yaml.MappingNode {
			p.i /= 2
		}
		list = append(list, p)
	}
	return list, nil
}

// twice tells whether a map has a key more than once.
func twice(n *yaml.Node, key string) bool {
	count := 0
	for i := 0; n.Kind == yaml.MappingNode && i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == key {
			count++
		}
	}
	return count > 1
}

// set gives the path a value.
func (e *editor) set(text string) *EditError {
	way, err := e.way()
	if err != nil {
		return err
	}
	at := way[len(way)-1]
	rest := e.steps[len(way)-1:]
	value, err := e.value(text, way, len(rest) == 0)
	if err != nil {
		return err
	}
	e.touched = e.steps[:len(e.steps)-max(0, len(rest)-1)]
	if len(rest) == 0 {
		return e.replace(at, value)
	}
	switch {
	case at.n.Kind == yaml.MappingNode && !isIndex(rest[0]):
		return e.insert(at, rest, value)
	case at.n.Kind == yaml.SequenceNode && index(rest[0]) == len(at.n.Content):
		return e.push(at, rest, value)
	case at.n.Kind == yaml.SequenceNode:
		return &EditError{What: fmt.Sprintf("the list %s has %d entries", namedIn(e.whole, e.steps[:len(way)-1]), len(at.n.Content))}
	case isIndex(rest[0]) && !isNothing(at.n):
		return &EditError{What: namedIn(e.whole, e.steps[:len(way)-1]) + " is no list that can be edited by its entries", Allowed: "set it as a whole"}
	}
	e.touched = e.steps[:len(way)-1]
	if isNothing(at.n) && !at.flow && at.key != nil {
		after := e.afterColon(at.key, false)
		end, _ := e.lineEnd(max(after, 0))
		if block, ok := e.block(rest, value, at.indent+2); ok && after > 0 {
			e.cut(end, end, e.lineBreak()+pad(at.indent+2)+block)
			return nil
		}
	}
	flow, err := flowOf(rest, value)
	if err != nil {
		return err
	}
	return e.replace(at, flow)
}

// replace puts a value in the place of another.
func (e *editor) replace(at place, value string) *EditError {
	n := at.n
	switch {
	case at.key == nil && at.indent < 0:
		return &EditError{What: "the whole file cannot be set"}
	case isBlock(n) && n.Anchor != "":
		return &EditError{What: fmt.Sprintf("it has an anchor, &%s", n.Anchor), Allowed: "change the text of the file by hand"}
	case isBlock(n) && at.key != nil && n.Line > at.key.Line:
		after := e.afterColon(at.key, at.flow)
		if after < 0 {
			return &EditError{What: "its key has no colon"}
		}
		_, next := e.lineEnd(e.end(n, at.flow, at.indent))
		e.cut(after, after, " "+value)
		e.cut(e.lineStart(e.start(n)), next, "")
		return nil
	case isNothing(n) || n.Kind == yaml.AliasNode:
		from, to := e.start(n), e.end(n, at.flow, at.indent)
		if from > 0 && (e.text[from-1] == ':' || e.text[from-1] == '-') {
			value = " " + value
		}
		if isNothing(n) && from < len(e.text) && e.text[from] == '#' {
			value += " "
		}
		e.cut(from, to, value)
		return nil
	}
	from, to := e.content(n), e.end(n, at.flow, at.indent)
	if e.text[from:to] != value {
		e.cut(from, to, value)
	}
	return nil
}

// insert puts a new key into a map.
func (e *editor) insert(at place, rest []string, value string) *EditError {
	n := at.n
	behind, rank := -1, -1 // entry behind which the new one goes, and its place in the order of the types
	before := keysBefore(e.whole, e.steps[:len(e.steps)-len(rest)+1])
	for i := 0; i+1 < len(n.Content); i += 2 {
		if k := slices.Index(before, n.Content[i].Value); k > rank {
			behind, rank = i, k
		}
	}
	if typeOf(e.whole, e.steps[:len(e.steps)-len(rest)]) == reflect.TypeFor[StudyVary]() {
		behind = len(n.Content) - 2 // what varies has a sequence of its own
	}
	inside := at.flow || isFlow(n)
	if inside {
		flow, err := flowOf(rest[1:], value)
		if err != nil {
			return err
		}
		entry := rest[0] + ": " + flow
		switch {
		case len(n.Content) == 0:
			open := e.content(n) + 1
			e.cut(open, open, entry)
		case behind < 0:
			first := e.start(n.Content[0])
			e.cut(first, first, entry+", ")
		default:
			end := e.end(n.Content[behind+1], true, n.Column-1)
			e.cut(end, end, ", "+entry)
		}
		return nil
	}
	entry, ok := e.block(rest, value, n.Column-1)
	if !ok {
		return &EditError{What: "a new list begins with the entry [0]"}
	}
	if behind < 0 {
		line := e.lineStart(e.start(n.Content[0]))
		if strings.Trim(e.text[line:e.start(n.Content[0])], " \ufeff") == "" && !e.commentAbove(line) {
			e.cut(line, line, pad(n.Column-1)+entry+e.lineBreak())
			return nil
		}
		behind = 0
	}
	e.line(e.end(n.Content[behind+1], false, n.Column-1), n.Column-1, entry)
	return nil
}

// commentAbove tells whether the line before this one is a comment.
func (e *editor) commentAbove(line int) bool {
	if line == 0 {
		return false
	}
	above := e.text[e.lineStart(line-1):line]
	return strings.HasPrefix(strings.TrimLeft(above, " \ufeff"), "#")
}

// line puts a new line, so far in, behind the one of a byte and the comments that belong to it.
func (e *editor) line(i, indent int, text string) {
	text = pad(indent) + text
	end, next := e.lineEnd(e.behindComments(i, indent))
	if end == next { // the last line has no end
		e.cut(end, end, e.lineBreak()+text)
		return
	}
	e.cut(next, next, text+e.lineBreak())
}

// behindComments returns a byte of the last comment that follows the line of a byte further in than indent: it belongs
// to what stands above. Without one it is the byte itself.
func (e *editor) behindComments(i, indent int) int {
	for _, next := e.lineEnd(i); next < len(e.text); {
		end, after := e.lineEnd(next)
		line := e.text[next:end]
		body := strings.TrimLeft(line, " \t")
		switch {
		case body == "":
		case body[0] == '#' && len(line)-len(body) > indent:
			i = next
		default:
			return i
		}
		next = after
	}
	return i
}

// push puts a new entry at the end of a list.
func (e *editor) push(at place, rest []string, value string) *EditError {
	n := at.n
	flow, err := flowOf(rest[1:], value)
	if err != nil {
		return err
	}
	switch last := len(n.Content) - 1; {
	case last < 0:
		open := e.content(n) + 1
		e.cut(open, open, flow)
	case at.flow || isFlow(n):
		end := e.end(n.Content[last], true, n.Column-1)
		e.cut(end, end, ", "+flow)
	default:
		entry, ok := e.block(append([]string{"0"}, rest[1:]...), value, n.Column-1)
		if !ok {
			return &EditError{What: "a new list begins with the entry [0]"}
		}
		e.line(e.end(n.Content[last], false, n.Column-1), n.Column-1, entry)
	}
	return nil
}

func pad(n int) string { return strings.Repeat(" ", max(0, n)) }

// block writes a value below new keys in block style, the first line without its indentation.
func (e *editor) block(rest []string, value string, indent int) (text string, ok bool) {
	switch {
	case len(rest) == 0:
		return value, true
	case isIndex(rest[0]):
		inner, ok := e.block(rest[1:], value, indent+2)
		return "- " + inner, ok && index(rest[0]) == 0
	case len(rest) == 1:
		return rest[0] + ": " + value, true
	default:
		inner, ok := e.block(rest[1:], value, indent+2)
		return rest[0] + ":" + e.lineBreak() + pad(indent+2) + inner, ok
	}
}

// flowOf writes a value below new keys in brackets.
func flowOf(rest []string, value string) (string, *EditError) {
	if len(rest) == 0 {
		return value, nil
	}
	inner, err := flowOf(rest[1:], value)
	switch {
	case err != nil:
		return "", err
	case !isIndex(rest[0]):
		return "{" + rest[0] + ": " + inner + "}", nil
	case index(rest[0]) == 0:
		return "[" + inner + "]", nil
	}
	return "", &EditError{What: "a new list begins with the entry [0]"}
}

// sameBut tells whether two nodes are alike everywhere but below a path; nil: everywhere.
func sameBut(a, b *yaml.Node, path []string) bool {
	if path != nil && len(path) == 0 {
		return true
	}
	if a.Kind != b.Kind || a.Tag != b.Tag || a.Value != b.Value || a.Anchor != b.Anchor || a.Style != b.Style {
		return false
	}
	if a.Kind == yaml.AliasNode {
		return true
	}
	rest := func(step string) []string {
		if path == nil || path[0] != step {
			return nil
		}
		return path[1:]
	}
	if a.Kind == yaml.MappingNode {
		free := func(n *yaml.Node, i int) bool { // an entry that may come or go
			return i < len(n.Content) && len(path) == 1 && n.Content[i].Value == path[0]
		}
		i, j := 0, 0
		for i < len(a.Content) || j < len(b.Content) {
			switch {
			case free(a, i):
				i += 2
			case free(b, j):
				j += 2
			case i >= len(a.Content) || j >= len(b.Content) || !sameBut(a.Content[i], b.Content[j], nil) ||
				!sameBut(a.Content[i+1], b.Content[j+1], rest(a.Content[i].Value)):
				return false
			default:
				i, j = i+2, j+2
			}
		}
		return true
	}
	if len(a.Content) != len(b.Content) && (len(path) != 1 || len(b.Content) != len(a.Content)+1) {
		return false
	}
	for i := range a.Content {
		if !sameBut(a.Content[i], b.Content[i], rest(fmt.Sprint(i))) {
			return false
		}
	}
	return true
}

// isTextPath tells whether people write plain text at the path.
func (e *editor) isTextPath() bool { return typeOf(e.whole, e.steps) == reflect.TypeFor[Text]() }
