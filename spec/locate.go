package spec

import (
	"strconv"
	"strings"

	"go.yaml.in/yaml/v4"
)

// Locate returns the place in the file of a path such as crank.web.width, or of the path of a
// layout.Problem such as cylinders[2].rod.length. Where the file does not have the path itself, it
// is the nearest that it has: in a short form the key from which the value comes, else the map in
// which it would stand.
func (e *Engine) Locate(path string) Position {
	if e == nil || e.doc == nil || e.doc.root == nil {
		return Position{}
	}
	best, bestDepth := Position{e.doc.root.Line, e.doc.root.Column}, 0
	for _, candidate := range e.candidates(path) {
		steps := splitPath(candidate)
		n, _, depth := walk(e.doc.root, steps)
		if depth == len(steps) {
			return Position{n.Line, n.Column}
		}
		if strings.HasPrefix(candidate, "layout.") && !strings.HasPrefix(path, "layout.") && depth < 2 {
			continue // the layout alone says nothing
		}
		if depth > bestDepth {
			best, bestDepth = Position{n.Line, n.Column}, depth
		}
	}
	if bestDepth == 0 && e.Layout.at != (Position{}) {
		switch splitPath(path)[0] {
		case "throws", "cylinders", "banks", "firing_order":
			return e.Layout.at
		}
	}
	return best
}

// keyPosition returns the place of a key, or the zero Position where the file does not have it.
func (e *Engine) keyPosition(path string) Position {
	if e.doc == nil {
		return Position{}
	}
	steps := splitPath(path)
	_, key, depth := walk(e.doc.root, steps)
	if depth < len(steps) || key == nil {
		return Position{}
	}
	return Position{key.Line, key.Column}
}

// candidates lists the paths at which a file may hold what a path of the train names.
func (e *Engine) candidates(path string) []string {
	list := []string{path, "layout." + path}
	steps := splitPath(path)
	if len(steps) == 0 {
		return list
	}
	rest := ""
	if len(steps) > 2 {
		rest = strings.Join(steps[2:], ".")
	}
	custom := e.Layout.Arrangement.Value == "custom"
	if !custom && len(steps) > 1 && (steps[0] == "throws" || steps[0] == "cylinders") {
		list = nil // a short form has no list of them
	}
	switch steps[0] {
	case "layout":
		if len(steps) > 1 { // an estimate of a custom file, or a path of the file itself
			return []string{path}
		}
	case "throws":
		switch {
		case custom && strings.HasSuffix(path, ".radius"):
			list = append(list, "stroke")
		case custom, len(steps) == 1:
		case rest == "angle":
			list = append(list, "layout.pins")
		case rest == "radius":
			list = append(list, "stroke")
		case rest == "unbalance":
			list = append(list, "crank.throw_unbalance")
		case rest == "at":
			list = append(list, "layout.cylinder_spacing")
		default:
			list = append(list, "layout.pin_split", "layout.bank_stagger", "layout.cylinder_spacing", "layout.pins")
		}
	case "cylinders":
		list = append(list, e.cylinderCandidates(path, rest, custom)...)
	case "banks":
		list = append(list, "layout.bank_angle", "layout.cylinders")
	}
	return list
}

func (e *Engine) cylinderCandidates(path, rest string, custom bool) []string {
	last := rest[strings.LastIndex(rest, ".")+1:]
	switch {
	case custom:
		element, _, _ := strings.Cut(path, ".rod.")
		if strings.HasPrefix(rest, "rod.") {
			return []string{"layout." + element + "." + last, rest}
		}
		return []string{rest}
	case strings.HasPrefix(rest, "rod.knuckle"), rest == "rod.master":
		return []string{"layout." + last, "layout.knuckle_angles", "layout.rods"}
	case strings.HasPrefix(rest, "rod."), strings.HasPrefix(rest, "piston."):
		return []string{rest, last}
	case rest == "offset":
		return []string{"layout.cylinder_offset"}
	case rest == "axis":
		return []string{"layout.bank_angle"}
	case rest == "fires_at":
		return []string{"layout.firing_order"}
	case rest == "":
		return []string{"layout.cylinder_spacing", "layout.bank_angle", "bore"}
	default:
		return nil
	}
}

// parentOf returns the path of the map that holds a path, "" at the top.
func parentOf(path string) string {
	i := strings.LastIndexByte(path, '.')
	if i < 0 {
		return ""
	}
	return path[:i]
}

// splitPath cuts a.b[2].c into a, b, 2, c.
func splitPath(path string) []string {
	if path == "" {
		return nil
	}
	return strings.FieldsFunc(path, func(r rune) bool { return r == '.' || r == '[' || r == ']' })
}

// walk follows steps from a node as far as they go; key is the key of the last map on the way.
func walk(n *yaml.Node, steps []string) (found, key *yaml.Node, depth int) {
	for depth < len(steps) {
		n = followed(n)
		next, nextKey := child(n, steps[depth])
		if next == nil {
			break
		}
		n, key = next, nextKey
		depth++
	}
	return n, key, depth
}

func child(n *yaml.Node, step string) (value, key *yaml.Node) {
	switch n.Kind {
	case yaml.MappingNode:
		for i := 0; i+1 < len(n.Content); i += 2 {
			if n.Content[i].Value == step {
				return n.Content[i+1], n.Content[i]
			}
		}
	case yaml.SequenceNode:
		if i, err := strconv.Atoi(step); err == nil && i >= 0 && i < len(n.Content) {
			return n.Content[i], nil
		}
	}
	return nil, nil
}
