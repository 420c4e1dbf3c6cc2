package spec

import (
	"cmp"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Value is a key of an engine file and the SI value that it shall have.
type Value struct {
	Key string // such as rod.mass or layout.cylinders[0].rod.mass
	SI  float64
}

// Vary reads an engine file as if it gave some more keys: what is estimated from them follows, and everything is
// judged as ReadEngine and ReadMeasured judge it. The values are exact; a text would be rounded.
//
// data is the text of the file and file its name in messages; neither is changed, and nothing is written. A key that the
// file gives already gets the new value. read returns the measured pressure that the file names, as for ReadMeasured; it
// may be nil where there is none. The error is Errors: for a key that there is not or that has no single number, for a
// value that the key cannot have, for an engine that is impossible with it.
func Vary(file string, data []byte, values []Value, read func(name string) ([]byte, error)) (*layout.Train, error) {
	c := &collector{file: file}
	e := decodeEngine(c, data)
	if e.doc != nil && len(c.list) == 0 {
		for _, v := range values {
			e.give(c, v)
		}
	}
	var t *layout.Train
	if len(c.list) == 0 {
		t = resolve(c, e, Options{})
	}
	if err := c.sorted(); err != nil {
		return nil, err
	}
	if read == nil {
		return t, nil
	}
	if err := e.ReadMeasured(t, "", read); err != nil {
		return nil, err
	}
	return t, nil
}

// settable is a quantity of any kind.
type settable interface {
	limited
	give(si float64, at Position) (what, allowed string)
}

// give sets the value as if the file had it at a place.
func (q *Quantity[D]) give(si float64, at Position) (what, allowed string) {
	var d D
	dim := d.dimension()
	if math.IsNaN(si) || math.Abs(si) > cmp.Or(dim.most, 1e9) {
		return fmt.Sprintf("%g is out of all measure", si), dim.allowed()
	}
	shown := num.Digits(si/dim.shown.factor, 4) // for messages
	if len(dim.units) > 0 {
		shown += " " + dim.units[0]
	}
	*q = Quantity[D]{Mark: Mark{at, given}, SI: si, Text: shown}
	return "", ""
}

// give sets the value of a key in the decoded file.
func (e *Engine) give(c *collector, v Value) {
	steps, wrong := pathSteps(reflect.TypeFor[Engine](), v.Key)
	at := e.Locate(v.Key)
	if wrong != nil {
		c.fail(at, wrong.Allowed, "%s: %s", clip(v.Key), wrong.What)
		return
	}
	place, limit := reflect.ValueOf(e).Elem(), ""
	for i, step := range steps {
		if isIndex(step) {
			list, found := place, place.Kind() == reflect.Slice
			if !found {
				list = place.FieldByName("List")
			}
			if !list.IsValid() || index(step) >= list.Len() {
				c.fail(at, "", "%s: the file has no %s", v.Key, namedIn(reflect.TypeFor[Engine](), steps[:i+1]))
				return
			}
			place = list.Index(index(step))
			continue
		}
		fields := fieldsOf(place.Type())
		k, ok := fields.index[step]
		if !ok { // inside what can be a word as well as a map
			break
		}
		def := place.Type().Field(k)
		limit = def.Tag.Get("limit")
		if homes := strings.Fields(def.Tag.Get("for")); len(homes) > 0 && !slices.Contains(homes, e.Layout.Arrangement.Value) {
			c.fail(at, "it is for "+oneOf(homes), "%s: it does not belong to the arrangement %s", v.Key, e.Layout.Arrangement.Value)
			return
		}
		place = place.Field(k)
		if place.Kind() == reflect.Struct && i < len(steps)-1 && !isIndex(steps[i+1]) {
			if m, ok := place.FieldByName("Mark").Addr().Interface().(*Mark); ok && m.missing() { // the map would stand there too
				*m = Mark{at, given}
			}
		}
	}
	q, ok := place.Addr().Interface().(settable)
	if !ok {
		c.fail(at, "name one with a number and a unit, such as rod.mass", "%s: this key has no single number", v.Key)
		return
	}
	what, allowed := q.give(v.SI, at)
	if what == "" {
		what, allowed = q.limit(limit)
	}
	if what != "" {
		c.fail(at, allowed, "%s: %s", v.Key, what)
	}
}
