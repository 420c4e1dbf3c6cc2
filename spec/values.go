package spec

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"
)

// scalar returns the text of a single value, or false and an error.
func (d *decoder) scalar(key string, n *yaml.Node, wanted string) (string, bool) {
	if n.Kind != yaml.ScalarNode || n.Tag == "!!null" && n.Value != "null" && n.Value != "~" {
		d.wrong(key, n, wanted, "this is %s", kindOf(n))
		d.ignore(n, 0)
		return "", false
	}
	if i := strings.IndexFunc(n.Value, unicode.IsControl); i >= 0 {
		d.wrong(key, n, "letters, digits, signs and blanks are allowed", "the text has a control character (%q)", []rune(n.Value[i:])[0])
		return "", false
	}
	return strings.TrimSpace(n.Value), true
}

func (q *Quantity[D]) decode(d *decoder, key string, n *yaml.Node) { q.decodeIn(d, key, n, "") }

// decodeIn reads a quantity from a list that may have a unit of its own.
func (q *Quantity[D]) decodeIn(d *decoder, key string, n *yaml.Node, listUnit string) {
	q.set(n, broken)
	var kind D
	text, ok := d.scalar(key, n, kind.dimension().allowed())
	if !ok {
		return
	}
	v, err := kind.dimension().parse(text, listUnit)
	if err != nil {
		d.wrong(key, n, err.allowed, "%s", err.what)
		return
	}
	q.state, q.SI, q.Text = given, v, text
	if _, own, _ := splitNumber(text); own == "" && listUnit != "" {
		q.Text += " " + listUnit
	}
}

// limit checks the value against a rule of a limit tag.
func (q *Quantity[D]) limit(rule string) (what, allowed string) {
	if !q.Given() {
		return "", ""
	}
	switch rule {
	case "size":
		if q.SI < 1e-3 || q.SI > 5 {
			return q.Text + " is not possible", "1 mm to 5 m is allowed"
		}
	case "positive":
		if q.SI <= 0 {
			return q.Text + " is not possible", "it must be greater than zero"
		}
	case "not negative":
		if q.SI < 0 {
			return q.Text + " is not possible", "it must not be negative"
		}
	}
	return "", ""
}

// Text is a name or another word of the user.
type Text struct {
	Mark
	Value string
}

const maxText = 200

func (t *Text) decode(d *decoder, key string, n *yaml.Node) {
	d.text(key, n, &t.Mark, &t.Value, maxText)
}

// text reads a text of the user, blanks joined.
func (d *decoder) text(key string, n *yaml.Node, mark *Mark, into *string, most int) {
	mark.set(n, broken)
	text, ok := d.scalar(key, n, "a text is needed")
	switch {
	case !ok:
	case text == "":
		d.wrong(key, n, "a text is needed", "the text is empty")
	case utf8.RuneCountInString(text) > most:
		d.wrong(key, n, fmt.Sprintf("%d characters are the most", most), "the text is too long")
	default:
		mark.state, *into = given, strings.Join(strings.Fields(text), " ")
	}
}

// Flag is true or false.
type Flag struct {
	Mark
	Value bool
}

func (f *Flag) decode(d *decoder, key string, n *yaml.Node) {
	f.set(n, broken)
	text, ok := d.scalar(key, n, "true or false is needed")
	if !ok {
		return
	}
	if text != "true" && text != "false" {
		d.wrong(key, n, "true or false is needed", "%q is neither", text)
		return
	}
	f.state, f.Value = given, text == "true"
}

// Vocabulary is the set of words that a Word can be.
type Vocabulary interface{ words() []string }

// Word is one of a set of words.
type Word[V Vocabulary] struct {
	Mark
	Value string
}

func (w *Word[V]) decode(d *decoder, key string, n *yaml.Node) {
	w.set(n, broken)
	var v V
	words := v.words()
	text, ok := d.scalar(key, n, oneOf(words)+" is needed")
	if !ok {
		return
	}
	for _, word := range words {
		if text == word {
			w.state, w.Value = given, text
			return
		}
	}
	d.wrong(key, n, meant(text, words)+oneOf(words)+" is allowed", "%q is not known", text)
}

// meant returns a question about the nearest word, or "".
func meant(word string, words []string) string {
	if near := Nearest(word, words); near != "" {
		return fmt.Sprintf("did you mean %q? ", near)
	}
	return ""
}

// quantities reads a list of values with one unit behind it, a unit each, or both.
func quantities[D Dimension](d *decoder, key string, n *yaml.Node) (list []Quantity[D], ok bool) {
	var kind D
	if n.Kind == yaml.ScalarNode && strings.HasPrefix(strings.TrimSpace(n.Value), "[") {
		return quotedQuantities[D](d, key, n)
	}
	if n.Kind != yaml.SequenceNode {
		d.wrong(key, n, "a list is needed, and "+kind.dimension().allowed(), "this is %s", kindOf(n))
		d.ignore(n, 0)
		return nil, false
	}
	unit := ""
	if u := d.doc.units[Position{n.Line, n.Column}]; u != nil {
		u.used = true
		unit = u.unit
		if _, err := kind.dimension().parse("1", unit); err != nil {
			d.fail(u.at, err.allowed, "%s: %s", key, err.what)
			return nil, false
		}
	}
	ok = true
	list = make([]Quantity[D], len(n.Content))
	for i, child := range n.Content {
		child = d.follow(child)
		if child == nil {
			return nil, false
		}
		list[i].decodeIn(d, key, child, unit)
		ok = ok && list[i].Given()
	}
	return list, ok
}

// quotedQuantities reads "[0, 180] deg" written as one text, as files that pass through other
// programs may have it.
func quotedQuantities[D Dimension](d *decoder, key string, n *yaml.Node) ([]Quantity[D], bool) {
	var kind D
	text := strings.TrimSpace(n.Value)
	inside, unit, closed := strings.Cut(text[1:], "]")
	if !closed {
		d.wrong(key, n, "close the list with ]", "%q is not a list", text)
		return nil, false
	}
	unit = strings.TrimSpace(unit)
	var list []Quantity[D]
	for part := range strings.SplitSeq(inside, ",") {
		part = strings.TrimSpace(part)
		v, err := kind.dimension().parse(part, unit)
		if err != nil {
			d.wrong(key, n, err.allowed, "%s", err.what)
			return nil, false
		}
		q := Quantity[D]{SI: v, Text: part}
		q.set(n, given)
		if _, own, _ := splitNumber(part); own == "" && unit != "" {
			q.Text += " " + unit
		}
		list = append(list, q)
	}
	return list, true
}

// texts reads a list of names.
func texts(d *decoder, key string, n *yaml.Node) (list []Text, ok bool) {
	if n.Kind != yaml.SequenceNode {
		d.wrong(key, n, "a list of names is needed", "this is %s", kindOf(n))
		d.ignore(n, 0)
		return nil, false
	}
	ok = true
	list = make([]Text, len(n.Content))
	for i, child := range n.Content {
		child = d.follow(child)
		if child == nil {
			return nil, false
		}
		list[i].decode(d, key, child)
		ok = ok && list[i].Given()
	}
	return list, ok
}
