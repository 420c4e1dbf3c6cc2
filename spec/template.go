package spec

import (
	"fmt"
	"reflect"
	"slices"
	"sync"

	"crankwright/mechanics/layout"
)

// Setting is a key of an engine file and the value that it shall have, as it would stand in the file.
type Setting struct {
	Key  string // such as layout.bank_angle or layout.cylinders[0].rod.mass
	Text string // such as 41 deg, [0, 90] deg or {balance_factor: 50 %}
}

// Template is an engine file that is read once, and resolved many times with other values. It is safe for concurrent use.
type Template struct {
	data   []byte
	engine *Engine
	source *source
	read   func(name string) ([]byte, error)
	traces sync.Map  // traceKey to readTrace
	spare  sync.Pool // of *Engine
}

// traceKey names a measured pressure: what a table means depends on the cycle.
type traceKey struct {
	name  string
	cycle layout.Cycle
}

type readTrace struct {
	trace *layout.Trace
	err   error
}

// Prepared is a setting whose text has been read. It is good for the template that prepared it.
type Prepared struct {
	Setting
	steps []string
	moves []move
	value reflect.Value
	at    Position // in the file, for messages
}

// move is one step from a value into a part of it.
type move struct {
	list bool // into a list, else into a map
	k    int  // entry of the list, or field of the type
}

// NewTemplate reads the text of an engine file once. file is its name in messages. read returns the measured pressure that
// the file names, as for ReadMeasured; it may be nil, then none is read. The error is Errors with everything that is wrong in
// the text; whether the engine itself can be is judged by Train, since what is wrong with it may be set.
func NewTemplate(file string, data []byte, read func(name string) ([]byte, error)) (*Template, error) {
	c := &collector{file: file}
	e := decodeEngine(c, data)
	if err := c.sorted(); err != nil {
		return nil, err
	}
	return &Template{data: slices.Clone(data), engine: e, source: newSource(e.doc.text, e.doc), read: read}, nil
}

// Engine returns the file as it was written. It must not be changed.
func (t *Template) Engine() *Engine { return t.engine }

// Gives tells whether the file itself has a key, such as layout.bank_angle.
func (t *Template) Gives(key string) bool {
	steps := splitPath(key)
	_, _, depth := walk(t.engine.doc.root, steps)
	return depth == len(steps)
}

// Prepare reads the text of a setting as the type of its key once. The error is Errors: for a key that there is not, for
// an entry of a list that the file does not have, for a text that the key cannot have, for a value that stands elsewhere
// in the file, at an anchor. Whether the value fits the rest of the engine is judged by Train.
func (t *Template) Prepare(s Setting) (Prepared, error) {
	s = asWhole(s)
	at := t.engine.Locate(s.Key)
	refuse := func(e *EditError) (Prepared, error) {
		what := e.What
		if key := clip(s.Key); key != "" {
			what = key + ": " + what
		}
		return Prepared{}, t.fault(at, what, e.Allowed)
	}
	steps, wrong := pathSteps(reflect.TypeFor[Engine](), s.Key)
	if wrong != nil {
		return refuse(wrong)
	}
	moves, wrong := t.moves(steps)
	if wrong != nil {
		return refuse(wrong)
	}
	ed := &editor{source: t.source, whole: reflect.TypeFor[Engine](), steps: steps}
	way, wrong := ed.way()
	if wrong != nil {
		return refuse(wrong)
	}
	whole, last := len(way)-1 == len(steps), way[len(way)-1]
	text, wrong := ed.value(s.Text, way, whole)
	if wrong != nil {
		return refuse(wrong)
	}
	c := &collector{file: t.engine.file}
	v := decodeAt(c, steps, text, last.flow || !whole && isFlow(last.n))
	for i := range c.list {
		c.list[i].Line, c.list[i].Column = at.Line, at.Column
	}
	if err := c.sorted(); err != nil {
		return Prepared{}, err
	}
	markAt(v, at)
	return Prepared{Setting: s, steps: steps, moves: moves, value: v, at: at}, nil
}

// asWhole writes the balance factor as the counterweights that it stands for, which may be a word or a list in the file.
func asWhole(s Setting) Setting {
	if s.Key == "crank.counterweights.balance_factor" {
		return Setting{"crank.counterweights", "{balance_factor: " + s.Text + "}"}
	}
	return s
}

// fault is an error in the file.
func (t *Template) fault(at Position, what, allowed string) Errors {
	return Errors{{File: t.engine.file, Line: at.Line, Column: at.Column, What: clip(what), Allowed: clip(allowed)}}
}

// moves returns how steps lead through the types, as far as the lists of the file go.
func (t *Template) moves(steps []string) ([]move, *EditError) {
	place := reflect.ValueOf(t.engine).Elem()
	var list []move
	for i, step := range steps {
		if !isIndex(step) {
			k := fieldsOf(place.Type()).index[step]
			list = append(list, move{k: k})
			place = place.Field(k)
			continue
		}
		if place.Kind() == reflect.Struct {
			f, ok := place.Type().FieldByName("List")
			if !ok {
				f, _ = place.Type().FieldByName("Lists")
			}
			list = append(list, move{k: f.Index[0]})
			place = place.Field(f.Index[0])
		}
		n := index(step)
		if n < 0 || n >= place.Len() {
			return nil, &EditError{What: "the file has no " + pathOf(steps[:i+1])}
		}
		list = append(list, move{list: true, k: n})
		place = place.Index(n)
	}
	return list, nil
}

// decodeAt reads a value, as it is written in a file, as the type at a path of an engine file.
func decodeAt(c *collector, steps []string, text string, flow bool) reflect.Value {
	whole, key := reflect.TypeFor[Engine](), steps[len(steps)-1]
	name := key
	if isIndex(key) {
		name = "entry"
	}
	line := name + ": " + text + "\n"
	if flow {
		line = "in: {" + name + ": " + text + "}\n"
	}
	doc := parseDocument(c, []byte(line))
	if doc == nil {
		return reflect.Value{}
	}
	n := doc.root
	if flow {
		n = n.Content[1]
	}
	d := newDecoder(c, doc)
	var v reflect.Value
	if isIndex(key) {
		v = reflect.New(typeOf(whole, steps)).Elem()
		d.value(nameOf(steps), v, n.Content[1])
	} else {
		parent := reflect.New(typeOf(whole, steps[:len(steps)-1])).Elem()
		d.structure(key, parent, n)
		v = parent.Field(fieldsOf(parent.Type()).index[key])
	}
	d.finish()
	return v
}

// nameOf returns the last key of a path.
func nameOf(steps []string) string {
	for _, s := range slices.Backward(steps) {
		if !isIndex(s) {
			return s
		}
	}
	return ""
}

// markAt puts everything that stands in a value at one place of a file.
func markAt(v reflect.Value, at Position) {
	switch v.Kind() {
	case reflect.Struct:
		if m, ok := v.Addr().Interface().(*Mark); ok {
			if m.state != absent {
				m.at = at
			}
			return
		}
		for i := range v.NumField() {
			markAt(v.Field(i), at)
		}
	case reflect.Slice:
		for i := range v.Len() {
			markAt(v.Index(i), at)
		}
	}
}

// Train returns the engine with some keys set: the same as if they were written into the text of the file and that was read,
// with everything that is estimated from them. The error is Errors: for an engine that is impossible, for a key that
// does not belong to the arrangement, for two settings of which one stands inside the other.
func (t *Template) Train(set []Prepared) (*layout.Train, error) { return t.train(set, Options{}) }

// QuickTrain returns the engine of Train without the texts of what was estimated and assumed (Shown and Rule), in less
// time: no result depends on them. The errors are those of Train.
func (t *Template) QuickTrain(set []Prepared) (*layout.Train, error) {
	return t.train(set, Options{quiet: true})
}

func (t *Template) train(set []Prepared, opt Options) (*layout.Train, error) {
	if err := t.apart(set); err != nil {
		return nil, err
	}
	e, ok := t.spare.Get().(*Engine)
	if !ok {
		e = &Engine{}
	}
	defer t.spare.Put(e) // a train has nothing of it
	*e = *t.engine
	for i := range set {
		if !set[i].put(e) {
			return nil, t.fault(Position{}, fmt.Sprintf("%q was not prepared for this file", set[i].Key), "")
		}
	}
	c := &collector{file: e.file}
	train := resolve(c, e, opt)
	if err := c.sorted(); err != nil {
		return nil, err
	}
	if t.read != nil && train.Gas.Trace != "" {
		if err := t.measured(e, train); err != nil {
			return nil, err
		}
	}
	return train, nil
}

// apart makes sure that no setting stands inside another.
func (t *Template) apart(set []Prepared) error {
	for i := range set {
		for j := range i {
			a, b := set[j].steps, set[i].steps
			n := min(len(a), len(b))
			if slices.Equal(a[:n], b[:n]) {
				what := fmt.Sprintf("%s and %s: one stands inside the other", set[j].Key, set[i].Key)
				if len(a) == len(b) {
					what = set[i].Key + ": it is set twice"
				}
				return t.fault(t.engine.Locate(set[i].Key), what, "set one of the two")
			}
		}
	}
	return nil
}

// put sets the value in a copy of the decoded file. Lists are copied before an entry of them is set, since the copy
// shares them with the file.
func (p *Prepared) put(e *Engine) bool {
	if !p.value.IsValid() {
		return false
	}
	place := reflect.ValueOf(e).Elem()
	for i, m := range p.moves {
		if m.list {
			if place.Kind() != reflect.Slice || m.k >= place.Len() {
				return false
			}
			own := reflect.MakeSlice(place.Type(), place.Len(), place.Len())
			reflect.Copy(own, place)
			place.Set(own)
			place = place.Index(m.k)
			continue
		}
		place = place.Field(m.k)
		if i == len(p.moves)-1 || place.Kind() != reflect.Struct {
			continue
		}
		if mark := place.FieldByName("Mark").Addr().Interface().(*Mark); mark.missing() { // the map would stand there too
			*mark = Mark{p.at, given}
		}
	}
	if place.Type() != p.value.Type() {
		return false
	}
	place.Set(p.value)
	return true
}

// measured gives a train the measured pressure that it names. Each file is read once.
func (t *Template) measured(e *Engine, train *layout.Train) error {
	key := traceKey{train.Gas.Trace, train.Cycle}
	known, ok := t.traces.Load(key)
	if !ok {
		m, err := e.readMeasured(train, "", t.read)
		known, _ = t.traces.LoadOrStore(key, readTrace{m, err})
	}
	r := known.(readTrace)
	if r.err != nil {
		return r.err
	}
	own := *r.trace
	own.Remarks = slices.Clip(own.Remarks) // assign may add some
	return e.assignMeasured(&own, train)
}

// Text returns the file with some keys edited, as Edit does it. The error is Errors for what Prepare or Train refuse of the
// keys themselves, or *EditError where a change needs what stands around it changed too.
func (t *Template) Text(set []Setting) ([]byte, error) {
	changes := make([]Change, len(set))
	prepared := make([]Prepared, len(set))
	for i, s := range set {
		p, err := t.Prepare(s)
		if err != nil {
			return nil, err
		}
		prepared[i], changes[i] = p, Change{Path: p.Key, Text: &p.Text}
	}
	if err := t.apart(prepared); err != nil {
		return nil, err
	}
	return Edit(t.data, changes)
}
