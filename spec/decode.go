package spec

import (
	"reflect"
	"strings"
	"sync"

	"go.yaml.in/yaml/v4"
)

type state uint8

const (
	absent state = iota // the file does not have it
	given               // the file has it
	broken              // the file has it, and it is wrong
)

// Mark says whether the file gives a value, and where.
type Mark struct {
	at    Position
	state state
}

// Given reports whether the file has the value, and the value is right.
func (m Mark) Given() bool { return m.state == given }

// Position returns the place of the value in the file; the zero Position where it has none.
func (m Mark) Position() Position { return m.at }

// missing reports that the file says nothing of the value, not even something wrong.
func (m Mark) missing() bool { return m.state == absent }

// mark is the mark itself, of anything that has one.
func (m Mark) mark() Mark { return m }

func (m *Mark) set(n *yaml.Node, s state) { m.at, m.state = Position{n.Line, n.Column}, s }

// leaf is a value that reads itself from a node. key is what messages call it.
type leaf interface {
	decode(d *decoder, key string, n *yaml.Node)
}

// limited is a value that a struct tag can limit; it returns what is wrong, or "".
type limited interface {
	limit(rule string) (what, allowed string)
	set(n *yaml.Node, s state)
}

// decoder fills the types of a file from its nodes. It never stops at an error.
type decoder struct {
	*collector
	doc    *document
	whole  reflect.Type // of the file, for keys that stand in the wrong map
	budget int          // nodes that may still be visited: aliases can make a small file endless
}

const nodeBudget = 200_000

func newDecoder(c *collector, doc *document) *decoder {
	return &decoder{collector: c, doc: doc, whole: reflect.TypeFor[Engine](), budget: nodeBudget}
}

// follow returns the node that an alias stands for, or nil where the budget is spent.
func (d *decoder) follow(n *yaml.Node) *yaml.Node {
	for range 100 {
		d.budget--
		if d.budget < 0 {
			if d.budget == -1 {
				d.cut = true
				d.fail(Position{n.Line, n.Column}, "write the values out", "the aliases of this file stand for too many values")
			}
			return nil
		}
		if n.Kind != yaml.AliasNode || n.Alias == nil {
			return n
		}
		n = n.Alias
	}
	return nil
}

func (d *decoder) wrong(key string, n *yaml.Node, allowed, what string, args ...any) {
	d.fail(Position{n.Line, n.Column}, allowed, key+": "+what, args...)
}

// value decodes a node into a leaf, a struct or a slice.
func (d *decoder) value(key string, v reflect.Value, n *yaml.Node) {
	n = d.follow(n)
	if n == nil {
		return
	}
	if l, ok := v.Addr().Interface().(leaf); ok {
		l.decode(d, key, n)
		return
	}
	switch v.Kind() {
	case reflect.Struct:
		d.structure(key, v, n)
	case reflect.Slice:
		if n.Kind != yaml.SequenceNode {
			d.wrong(key, n, "write a list, - one entry a line", "this is %s", kindOf(n))
			d.ignore(n, 0)
			return
		}
		v.Set(reflect.MakeSlice(v.Type(), len(n.Content), len(n.Content)))
		for i, child := range n.Content {
			if len(d.list) > maxErrors || d.budget < 0 {
				return
			}
			d.value(key, v.Index(i), child)
		}
	}
}

// structure decodes a map into a struct by the yaml tags of its fields.
func (d *decoder) structure(key string, v reflect.Value, n *yaml.Node) {
	mark := v.FieldByName("Mark").Addr().Interface().(*Mark)
	mark.set(n, given)
	fields := fieldsOf(v.Type())
	if n.Kind != yaml.MappingNode {
		mark.state = broken
		d.wrong(key, n, "a map with these keys is needed: "+strings.Join(fields.names, ", "), "this is %s", kindOf(n))
		d.ignore(n, 0)
		return
	}
	seen := map[string]int{}
	meant := map[string]*yaml.Node{} // keys that a misspelt one stood for: they are not missing too
	for i := 0; i+1 < len(n.Content); i += 2 {
		if len(d.list) > maxErrors || d.budget < 0 {
			return
		}
		k, val := n.Content[i], n.Content[i+1]
		at := Position{k.Line, k.Column}
		if k.Kind != yaml.ScalarNode {
			d.fail(at, "keys are plain words", "a key cannot be %s", kindOf(k))
			d.ignore(val, 0)
			continue
		}
		name := k.Value
		if k.Tag == "!!merge" {
			d.fail(at, "write the values out", "merge keys are not read")
			d.ignore(val, 0)
			continue
		}
		if line, twice := seen[name]; twice {
			d.fail(at, "leave one of the two", "the key %q stands twice, first in line %d", name, line)
			d.ignore(val, 0)
			continue
		}
		seen[name] = k.Line
		index, known := fields.index[name]
		if !known {
			if near := d.unknownKey(at, name, fields.names); near != "" {
				meant[near] = k
			}
			d.ignore(val, 0)
			continue
		}
		if val.Kind == yaml.ScalarNode && val.Tag == "!!null" && val.Style&yaml.SingleQuotedStyle == 0 {
			d.fail(at, "give it a value or leave the key out", "the key %q has no value", name)
			markBroken(v.Field(index), k)
			continue
		}
		d.value(name, v.Field(index), val)
		d.limits(name, v.Type().Field(index), v.Field(index), val)
	}
	for name, k := range meant {
		if seen[name] == 0 {
			markBroken(v.Field(fields.index[name]), k)
		}
	}
}

// limits holds a value against the limit tag of its field.
func (d *decoder) limits(key string, field reflect.StructField, v reflect.Value, n *yaml.Node) {
	rule := field.Tag.Get("limit")
	l, ok := v.Addr().Interface().(limited)
	if rule == "" || !ok {
		return
	}
	if what, allowed := l.limit(rule); what != "" {
		d.wrong(key, n, allowed, "%s", what)
		l.set(n, broken)
	}
}

// markBroken notes that a value was there, so that nobody says it were missing.
func markBroken(v reflect.Value, n *yaml.Node) {
	if m, ok := v.Addr().Interface().(interface{ set(*yaml.Node, state) }); ok {
		m.set(n, broken)
	}
}

// unknownKey reports a key that the map does not have, and returns the one that may be meant.
func (d *decoder) unknownKey(at Position, name string, here []string) string {
	if homes := homesOf(d.whole, name); len(homes) > 0 && Nearest(name, here) == "" {
		d.fail(at, strings.Replace("it belongs in "+oneOf(homes), "in the top", "at the top", 1), "the key %q does not belong here", name)
		return ""
	}
	if list := suggest(name, here); len(list) > 0 {
		d.fail(at, asMeant(list), "unknown key %q", name)
		return list[0]
	}
	d.fail(at, "the keys here are "+strings.Join(here, ", "), "unknown key %q", name)
	return ""
}

// ignore marks the list units inside a value that is not read, so that they raise no second error.
func (d *decoder) ignore(n *yaml.Node, depth int) {
	if u := d.doc.units[Position{n.Line, n.Column}]; u != nil {
		u.used = true
	}
	if depth > 50 {
		return
	}
	for _, child := range n.Content {
		d.ignore(child, depth+1)
	}
}

// finish reports units behind lists that take none.
func (d *decoder) finish() {
	for _, u := range d.doc.units {
		if !u.used {
			d.fail(u.at, "only a list of numbers takes one", "a unit %q stands behind this list", u.unit)
		}
	}
}

// structFields are the keys of a map in the order of the type.
type structFields struct {
	names []string
	index map[string]int
}

var fieldCache sync.Map // reflect.Type to structFields

func fieldsOf(t reflect.Type) structFields {
	if f, ok := fieldCache.Load(t); ok {
		return f.(structFields)
	}
	f := structFields{index: map[string]int{}}
	for i := range t.NumField() {
		if name := t.Field(i).Tag.Get("yaml"); name != "" && name != "-" {
			f.names = append(f.names, name)
			f.index[name] = i
		}
	}
	fieldCache.Store(t, f)
	return f
}

// homesOf returns the maps of a kind of file that have a key of this name.
func homesOf(whole reflect.Type, name string) []string {
	var homes []string
	var walk func(t reflect.Type, path string)
	walk = func(t reflect.Type, path string) {
		fields := fieldsOf(t)
		if _, ok := fields.index[name]; ok {
			if path == "" {
				path = "the top level"
			}
			homes = append(homes, path)
			return
		}
		for _, key := range fields.names {
			child := t.Field(fields.index[key]).Type
			if child.Kind() == reflect.Struct && !reflect.PointerTo(child).Implements(reflect.TypeFor[leaf]()) {
				walk(child, strings.TrimPrefix(path+"."+key, "."))
			}
		}
	}
	walk(whole, "")
	return homes
}
