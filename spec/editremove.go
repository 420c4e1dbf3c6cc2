package spec

import (
	"strings"

	"go.yaml.in/yaml/v4"
)

// remove takes the path out of the file. What is not there is removed already.
func (e *editor) remove() *EditError {
	way, err := e.way()
	if err != nil {
		return err
	}
	if len(way) <= len(e.steps) {
		return nil
	}
	return e.removeAt(way)
}

// removeAt removes the last node of a way, and the maps above it that would be left empty.
func (e *editor) removeAt(way []place) *EditError {
	depth := len(way) - 1
	at, in := way[depth], way[depth-1]
	e.touched = e.steps[:depth]
	entries := len(in.n.Content)
	if in.n.Kind == yaml.MappingNode {
		entries /= 2
	}
	if in.n.Kind == yaml.SequenceNode {
		e.touched = e.steps[:depth-1] // the entries behind it move up
	}
	if entries == 1 {
		switch {
		case depth == 1:
			return &EditError{What: "it is the only key of the file"}
		case in.n.Kind == yaml.SequenceNode:
			e.touched = e.steps[:depth-1]
			return e.replace(in, "[]")
		case in.key == nil:
			e.touched = e.steps[:depth-1]
			return e.replace(in, "{}")
		}
		return e.removeAt(way[:depth])
	}
	if in.flow || isFlow(in.n) {
		e.removeFlow(in, at, entries)
		return nil
	}
	return e.removeBlock(in, at, entries)
}

// first returns the node with which entry i of a map or list begins.
func first(n *yaml.Node, i int) *yaml.Node {
	if n.Kind == yaml.MappingNode {
		return n.Content[2*i]
	}
	return n.Content[i]
}

func valueAt(n *yaml.Node, i int) *yaml.Node {
	if n.Kind == yaml.MappingNode {
		return n.Content[2*i+1]
	}
	return n.Content[i]
}

// removeFlow removes an entry within brackets, with its comma.
func (e *editor) removeFlow(in, at place, entries int) {
	if at.i+1 < entries {
		e.cut(e.start(first(in.n, at.i)), e.start(first(in.n, at.i+1)), "")
		return
	}
	e.cut(e.end(valueAt(in.n, at.i-1), true, 0), e.end(at.n, true, 0), "")
}

// removeBlock removes the lines of an entry. Comments above it stay, for nobody knows what they are of.
func (e *editor) removeBlock(in, at place, entries int) *EditError {
	from := e.entryStart(in.n, at.i)
	if from < 0 {
		return &EditError{What: "its place in the file is unclear", Allowed: "change the text of the file by hand"}
	}
	end := e.end(at.n, false, in.n.Column-1)
	line := e.lineStart(from)
	if strings.Trim(e.text[line:from], " \ufeff") == "" {
		_, next := e.lineEnd(end)
		if strings.HasPrefix(e.text[line:], "\ufeff") {
			line += len("\ufeff")
		}
		e.cut(line, next, "")
		return nil
	}
	// It stands behind the dash of a list: the next entry takes its place.
	next := -1
	if at.i+1 < entries {
		next = e.entryStart(in.n, at.i+1)
	}
	lineEnd, after := e.lineEnd(end)
	if next >= after && strings.TrimSpace(e.text[after:next]) == "" && strings.TrimSpace(e.text[end:lineEnd]) == "" {
		e.cut(from, next, "")
		return nil
	}
	e.cut(from, end, "")
	return nil
}

// entryStart returns where an entry of a block begins: its key, or its dash.
func (e *editor) entryStart(n *yaml.Node, i int) int {
	if n.Kind == yaml.MappingNode {
		return e.start(n.Content[2*i])
	}
	if i == 0 {
		return e.start(n)
	}
	_, at := e.lineEnd(e.end(n.Content[i-1], false, n.Column-1))
	for at < len(e.text) {
		dash := at
		for dash < len(e.text) && e.text[dash] == ' ' {
			dash++
		}
		if dash < len(e.text) && e.text[dash] == '-' && dash-e.lineStart(dash) == n.Column-1 {
			return dash
		}
		_, next := e.lineEnd(at)
		if next == at {
			break
		}
		at = next
	}
	return -1
}
