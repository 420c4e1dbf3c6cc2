package spec

import (
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"

	"crankwright/mechanics/layout"

	"go.yaml.in/yaml/v4"
)

// Field is one input of an engine file.
type Field struct {
	Path      string   // key in the file, such as rod.length or layout.throws[0].angle
	Label     string   // in words
	Chapter   string   // engine, layout, rod-piston, crank, balance, firing, speeds, gas, friction, strength, bearings, torsion, space, mounts or making
	Kind      string   // quantity, count, word, text, flag or list
	Dimension string   // of a quantity or a list of them: length, mass, angle, …
	Units     []string // that it takes, the usual one first
	Words     []string // that it takes
	Text      string   // as it stands in the file, or the estimate as people read it; empty: nothing
	Value     *float64 // SI value of a quantity or count
	Given     bool     // it stands in the file
	Rule      string   // how it was estimated
	Source    string   // where the rule comes from
	Help      string   // what it is
	Least     *float64 // lower end of a slider, SI
	Most      *float64 // upper end of a slider, SI
	Step      *float64 // step of a slider, SI
}

// The kinds of Field.
const (
	kindQuantity = "quantity"
	kindCount    = "count"
	kindWord     = "word"
	kindText     = "text"
	kindFlag     = "flag"
	kindList     = "list"
)

// Fields lists every input that an engine of this arrangement can have, in the order of the types in
// engine.go, from which it is made: a new key there is a new field here. t is the train of the file, nil
// where it has none; from it come the estimates. A file that is no YAML has no fields.
func Fields(e *Engine, t *layout.Train) []Field {
	if e == nil || e.doc == nil {
		return nil
	}
	w := &fieldWalk{
		source: newSource(e.doc.text, e.doc), arrangement: e.Layout.Arrangement.Value, help: fieldHelp(),
		estimates: map[string]layout.Estimate{}, bore: 0.1,
	}
	if t != nil {
		for _, est := range slices.Concat(t.Estimates, t.Assumed) {
			w.estimates[est.Key] = est
		}
		if t.Bore > 0 {
			w.bore = t.Bore
		}
	}
	w.structure(reflect.ValueOf(e).Elem(), e.doc.root, branch{})
	return w.list
}

// fieldHelp has the doc comments of the types by Type.Field.
var fieldHelp = sync.OnceValue(func() map[string]string {
	comments, out := map[string]string{}, map[string]string{}
	if fieldComments(comments) != nil {
		return out
	}
	for key, text := range comments {
		out[strings.TrimPrefix(key, "crankwright/spec.")] = text
	}
	return out
})

// input is a value that one field edits; it fills what its type says of the field.
type input interface{ input(f *Field) }

type fieldWalk struct {
	*source
	arrangement string
	help        map[string]string
	estimates   map[string]layout.Estimate
	bore        float64
	list        []Field
}

// branch is where the walk stands.
type branch struct{ path, chapter, noun string }

// structure lists the fields of a map. n is nil where the file does not have it.
func (w *fieldWalk) structure(v reflect.Value, n *yaml.Node, at branch) {
	t := v.Type()
	fields := fieldsOf(t)
	for _, key := range fields.names {
		def := t.Field(fields.index[key])
		var node *yaml.Node
		if n != nil {
			node, _ = child(followed(n), key)
		}
		if only := def.Tag.Get("for"); only != "" && node == nil && !slices.Contains(strings.Fields(only), w.arrangement) {
			continue
		}
		next := branch{path: strings.TrimPrefix(at.path+"."+key, "."), chapter: at.chapter, noun: at.noun}
		if c := def.Tag.Get("chapter"); c != "" {
			next.chapter = c
		}
		w.value(v.Field(fields.index[key]), node, next, key, w.help[t.Name()+"."+def.Name], def.Tag.Get("limit"))
	}
}

// value lists one key: a field of its own, or the fields below it.
func (w *fieldWalk) value(v reflect.Value, n *yaml.Node, at branch, key, help, limit string) {
	if kind, ok := v.Interface().(input); ok {
		f := Field{Path: at.path, Label: label(at.noun, key), Chapter: at.chapter, Help: help}
		kind.input(&f)
		w.fill(&f, n, limit)
		w.list = append(w.list, f)
		w.below(v, n, at, limit)
		return
	}
	switch v.Kind() {
	case reflect.Struct:
		if _, ok := nouns[key]; ok {
			at.noun = strings.TrimSpace(at.noun + " " + nouns[key])
		}
		w.structure(v, n, at)
	case reflect.Slice:
		f := Field{Path: at.path, Label: label(at.noun, key), Chapter: at.chapter, Help: help, Kind: kindList}
		w.fill(&f, n, limit)
		w.list = append(w.list, f)
		w.elements(v, n, at, key)
	}
}

// below lists what stands inside a value that can be a list or a map as well as a word.
func (w *fieldWalk) below(v reflect.Value, n *yaml.Node, at branch, limit string) {
	switch c := v.Interface().(type) {
	case Cylinders:
		w.elements(reflect.ValueOf(c.List), n, at, "cylinders")
	case Counterweights:
		if n == nil || followed(n).Kind != yaml.SequenceNode {
			f := Field{Path: at.path + ".balance_factor", Label: label("", "balance_factor"), Chapter: at.chapter, Help: "Share of the sliding masses that the counterweights take."}
			c.BalanceFactor.input(&f)
			var node *yaml.Node
			if n != nil {
				node, _ = child(followed(n), "balance_factor")
			}
			w.fill(&f, node, limit)
			w.list = append(w.list, f)
			return
		}
		w.elements(reflect.ValueOf(c.List), n, at, "counterweights")
	}
}

// mostElements bounds the entries of a list whose fields are listed: more than any engine has.
const mostElements = 120

// elements lists the fields of every entry of a list of maps.
func (w *fieldWalk) elements(v reflect.Value, n *yaml.Node, at branch, key string) {
	for i := range min(v.Len(), mostElements) {
		var node *yaml.Node
		if n != nil {
			node, _ = child(followed(n), strconv.Itoa(i))
		}
		noun := strings.TrimSpace(at.noun + " " + nouns[key] + " " + strconv.Itoa(i+1))
		w.structure(v.Index(i), node, branch{path: at.path + "[" + strconv.Itoa(i) + "]", chapter: at.chapter, noun: noun})
	}
}

// fill gives a field what the file says, or else the estimate, and the ends of its slider.
func (w *fieldWalk) fill(f *Field, n *yaml.Node, limit string) {
	if n != nil {
		f.Given, f.Text = true, w.shown(n)
	} else {
		f.Value = nil
		if est, ok := w.estimates[f.Path]; ok {
			f.Text, f.Rule, f.Source = est.Shown, est.Rule, est.Source
			if f.Kind == kindQuantity || f.Kind == kindCount {
				value := est.Value
				f.Value = &value
			}
		}
	}
	if f.Kind == kindQuantity {
		f.bounds(limit, w.bore)
	}
}

// shown returns a value as it would be typed, on one line.
func (w *fieldWalk) shown(n *yaml.Node) string {
	n = followed(n)
	switch {
	case n.Kind == yaml.ScalarNode:
		return strings.Join(strings.Fields(n.Value), " ")
	case isFlow(n):
		text := w.text[w.content(n):w.end(n, true, 0)]
		if !strings.ContainsAny(text, "\r\n#") {
			return text
		}
	}
	parts := []string{}
	if n.Kind == yaml.SequenceNode {
		for _, c := range n.Content {
			parts = append(parts, w.quoted(c))
		}
		text := "[" + strings.Join(parts, ", ") + "]"
		if u := w.doc.units[Position{n.Line, n.Column}]; u != nil {
			text += " " + u.unit
		}
		return text
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		parts = append(parts, n.Content[i].Value+": "+w.quoted(n.Content[i+1]))
	}
	return "{" + strings.Join(parts, ", ") + "}"
}

// quoted is shown with the quotation marks that a single value has.
func (w *fieldWalk) quoted(n *yaml.Node) string {
	if n.Kind == yaml.AliasNode { // followed, it could lead round in a circle
		return "*" + n.Value
	}
	if n.Kind == yaml.ScalarNode && n.Style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle|yaml.LiteralStyle|yaml.FoldedStyle) != 0 {
		return doubleQuoted(strings.Join(strings.Fields(n.Value), " "))
	}
	return w.shown(n)
}

// followed returns what an alias stands for.
func followed(n *yaml.Node) *yaml.Node {
	for range 100 {
		if n.Kind != yaml.AliasNode || n.Alias == nil {
			break
		}
		n = n.Alias
	}
	return n
}

// PathAt returns the path of the value, or of the key, that starts at a place in the file; empty where
// none does.
func (e *Engine) PathAt(at Position) string {
	if e == nil || e.doc == nil {
		return ""
	}
	found := ""
	var look func(n *yaml.Node, path string, depth int)
	look = func(n *yaml.Node, path string, depth int) {
		if depth > 20 || n.Kind == yaml.AliasNode {
			return
		}
		for i := 0; i < len(n.Content); i++ {
			c, next := n.Content[i], path+"["+strconv.Itoa(i)+"]"
			if n.Kind == yaml.MappingNode {
				next = strings.TrimPrefix(path+"."+c.Value, ".")
				if c.Line == at.Line && c.Column == at.Column {
					found = next
				}
				i++
				c = n.Content[i]
			}
			if c.Line == at.Line && c.Column == at.Column {
				found = next
				if c.Kind == yaml.ScalarNode {
					return
				}
			}
			if c.Line > at.Line {
				return
			}
			look(c, next, depth+1)
		}
	}
	look(e.doc.root, "", 0)
	return found
}
