package spec

import (
	"errors"
	"reflect"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v4"
)

// Lengths is one length, or a list of them.
type Lengths struct {
	Mark
	List []Quantity[Length]
}

func (l *Lengths) decode(d *decoder, key string, n *yaml.Node) {
	l.set(n, broken)
	if n.Kind == yaml.ScalarNode && !strings.HasPrefix(strings.TrimSpace(n.Value), "[") {
		var q Quantity[Length]
		q.decode(d, key, n)
		l.List, l.state = []Quantity[Length]{q}, q.state
		return
	}
	if list, ok := quantities[Length](d, key, n); ok {
		l.List, l.state = list, given
	}
}

// Angles is a list of angles.
type Angles struct {
	Mark
	List []Quantity[Angle]
}

func (a *Angles) decode(d *decoder, key string, n *yaml.Node) {
	a.set(n, broken)
	if list, ok := quantities[Angle](d, key, n); ok {
		a.List, a.state = list, given
	}
}

// Pins are the throw angles: a list, or one of the trade words that stand for one.
type Pins struct {
	Mark
	Word string
	List []Quantity[Angle]
}

func (p *Pins) decode(d *decoder, key string, n *yaml.Node) {
	p.set(n, broken)
	text := strings.TrimSpace(n.Value)
	if n.Kind == yaml.ScalarNode && !strings.HasPrefix(text, "[") {
		for _, w := range pinWordNames() {
			if text == w {
				p.Word, p.state = w, given
				return
			}
		}
		words := pinWordNames()
		d.wrong(key, n, meant(text, words)+"a list such as [0, 180, 180, 0] deg, or one of the words "+oneOf(words)+" is needed",
			"%q is neither a list of angles nor a known word", text)
		return
	}
	if list, ok := quantities[Angle](d, key, n); ok {
		if len(list) == 0 {
			d.wrong(key, n, "give one angle a throw", "the list is empty")
			return
		}
		p.List, p.state = list, given
	}
}

// Names is a list of cylinder names, numbers or texts.
type Names struct {
	Mark
	List []Text
}

func (l *Names) decode(d *decoder, key string, n *yaml.Node) {
	l.set(n, broken)
	if list, ok := texts(d, key, n); ok {
		l.List, l.state = list, given
	}
}

// wordOr reads a word, where the node is a single value.
func (d *decoder) wordOr(key string, n *yaml.Node, words []string, otherwise string) (string, bool) {
	text := strings.TrimSpace(n.Value)
	for _, w := range words {
		if text == w {
			return w, true
		}
	}
	d.wrong(key, n, meant(text, words)+oneOf(words)+", or "+otherwise+" is allowed", "%q is not known", text)
	return "", false
}

// Groups are the exhaust groups: a word, or lists of cylinder names.
type Groups struct {
	Mark
	Word  string
	Lists [][]Text
}

var groupWords = []string{"by-bank", "all-in-one", "each"}

func (g *Groups) decode(d *decoder, key string, n *yaml.Node) {
	g.set(n, broken)
	if n.Kind == yaml.ScalarNode {
		if w, ok := d.wordOr(key, n, groupWords, "a list of lists of cylinders"); ok {
			g.Word, g.state = w, given
		}
		return
	}
	if n.Kind != yaml.SequenceNode {
		d.wrong(key, n, oneOf(groupWords)+", or a list of lists of cylinders is allowed", "this is %s", kindOf(n))
		d.ignore(n, 0)
		return
	}
	for _, child := range n.Content {
		child = d.follow(child)
		if child == nil {
			return
		}
		list, ok := texts(d, key, child)
		if !ok {
			return
		}
		g.Lists = append(g.Lists, list)
	}
	g.state = given
}

// Labels are names of the cylinders for people: a numbering scheme, or a list.
type Labels struct {
	Mark
	Word string
	List []Text
}

var labelWords = []string{"from-free-end", "iso-1204"}

func (l *Labels) decode(d *decoder, key string, n *yaml.Node) {
	l.set(n, broken)
	if n.Kind == yaml.ScalarNode {
		if w, ok := d.wordOr(key, n, labelWords, "a list with one label a cylinder"); ok {
			l.Word, l.state = w, given
		}
		return
	}
	if list, ok := texts(d, key, n); ok {
		l.List, l.state = list, given
	}
}

// Cylinders is the number of cylinders of a short form, or the list of a custom one.
type Cylinders struct {
	Mark
	Count int
	List  []Cylinder
}

func (c *Cylinders) decode(d *decoder, key string, n *yaml.Node) {
	c.set(n, broken)
	if n.Kind == yaml.SequenceNode {
		d.value(key, reflect.ValueOf(&c.List).Elem(), n)
		c.state = given
		return
	}
	text, ok := d.scalar(key, n, "a whole number is needed")
	if !ok {
		return
	}
	v, err := strconv.ParseUint(text, 10, 31)
	switch {
	case errors.Is(err, strconv.ErrRange):
		d.wrong(key, n, "a whole number is needed", "%q is out of all measure", text)
	case err != nil:
		d.wrong(key, n, "a whole number is needed", "%q is not a whole number", text)
	default:
		c.state, c.Count = given, int(v)
	}
}

// Counterweights are the masses on the crank: none, a balance factor or a list.
type Counterweights struct {
	Mark
	None          bool
	BalanceFactor Quantity[Share]
	List          []Unbalance
}

type balanceFactor struct {
	Mark
	BalanceFactor Quantity[Share] `yaml:"balance_factor" limit:"not negative"`
}

func (c *Counterweights) decode(d *decoder, key string, n *yaml.Node) {
	c.set(n, broken)
	const allowed = "none, {balance_factor: 50 %} or a list of {at, angle, unbalance} is allowed"
	switch n.Kind {
	case yaml.SequenceNode:
		d.value(key, reflect.ValueOf(&c.List).Elem(), n)
		c.state = given
	case yaml.MappingNode:
		var f balanceFactor
		d.value(key, reflect.ValueOf(&f).Elem(), n)
		c.BalanceFactor = f.BalanceFactor
		switch {
		case f.BalanceFactor.missing():
			d.wrong(key, n, allowed, "the balance factor is missing")
		case f.BalanceFactor.Given() && f.BalanceFactor.SI > 2:
			d.fail(f.BalanceFactor.at, "0 % to 200 % is allowed", "balance_factor: %s is no balance factor", f.BalanceFactor.Text)
		case f.BalanceFactor.Given():
			c.state = given
		}
	default:
		if text := strings.TrimSpace(n.Value); text != "none" {
			d.wrong(key, n, allowed, "%q is not known", text)
			return
		}
		c.None, c.state = true, given
	}
}
