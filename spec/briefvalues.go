package spec

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"go.yaml.in/yaml/v4"

	"crankwright/brief"
	"crankwright/choice"
)

// keyed is a map whose keys are not fields of a type.
type keyed interface {
	keys() []string          // those that are known, in their usual sequence
	takes(key string) bool   // whether it may have a key
	valueType() reflect.Type // what stands behind each
}

// BriefLimits are bounds by measure.
type BriefLimits struct {
	Mark
	List  []BriefLimit
	tried []string // every measure that stands there, also where its bound is wrong
}

// BriefLimit is one bound of a measure.
type BriefLimit struct {
	at      Position
	Measure string
	AtMost  bool
	Bound   float64 // in the unit of the measure
}

// BriefPriorities are weights by aim or measure.
type BriefPriorities struct {
	Mark
	List  []BriefPriority
	tried []string // every key that stands there, also where its weight is wrong
}

// BriefPriority is one weight.
type BriefPriority struct {
	at     Position
	Key    string
	Weight choice.Range
}

// BriefReasons are texts by limit or priority.
type BriefReasons struct {
	Mark
	Of    map[string]string
	place map[string]Position
}

// BriefParts are shares of measures by priority.
type BriefParts struct {
	Mark
	Of map[string][]brief.Part
}

// BriefWorths are value functions by measure.
type BriefWorths struct {
	Mark
	Of map[string]choice.Worth
}

// LongText is a text of some sentences.
type LongText struct {
	Mark
	Value string
}

const maxLongText = 1000

func (t *LongText) decode(d *decoder, key string, n *yaml.Node) {
	if n.Kind == yaml.ScalarNode && n.Style&(yaml.FoldedStyle|yaml.LiteralStyle) != 0 {
		plain := *n
		plain.Value = strings.ReplaceAll(n.Value, "\n", " ")
		n = &plain
	}
	d.text(key, n, &t.Mark, &t.Value, maxLongText)
}

// laterValue is a scalar that is read later, when it is known what it measures.
type laterValue struct {
	Mark
	Text string
	node *yaml.Node
}

func (t *laterValue) decode(d *decoder, key string, n *yaml.Node) {
	t.set(n, broken)
	if text, ok := d.scalar(key, n, "a value with its unit is needed"); ok {
		t.state, t.Text, t.node = given, text, n
	}
}

// entries reads a map whose keys are known words, and calls each with every entry that is right.
func (d *decoder) entries(key string, n *yaml.Node, m *Mark, names []string, each func(name string, at Position, v *yaml.Node)) {
	m.set(n, given)
	if n.Kind != yaml.MappingNode {
		m.state = broken
		d.wrong(key, n, "a map is needed, key: value, one a line", "this is %s", kindOf(n))
		d.ignore(n, 0)
		return
	}
	seen := map[string]int{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		if len(d.list) > maxErrors || d.budget < 0 {
			return
		}
		k, v := n.Content[i], d.follow(n.Content[i+1])
		at := Position{k.Line, k.Column}
		if v == nil {
			return
		}
		name := k.Value
		switch {
		case k.Tag == "!!merge":
			d.fail(at, "write the values out", "merge keys are not read")
		case k.Kind != yaml.ScalarNode:
			d.fail(at, "keys are plain words", "a key cannot be %s", kindOf(k))
		case seen[name] > 0:
			d.fail(at, "leave one of the two", "the key %q stands twice, first in line %d", name, seen[name])
		case names != nil && !slices.Contains(names, name):
			allowed := "the keys here are " + strings.Join(names, ", ")
			d.fail(at, orNearest(name, names, allowed), "unknown key %q", name)
		case v.Kind == yaml.ScalarNode && v.Tag == "!!null":
			d.fail(at, "give it a value or leave the key out", "the key %q has no value", name)
		default:
			seen[name] = k.Line
			each(name, at, v)
			continue
		}
		seen[name] = k.Line
		d.ignore(v, 0)
	}
}

func measureNames() []string {
	var out []string
	for _, m := range brief.Measures() {
		out = append(out, m.Key)
	}
	return out
}

func aimNames() []string {
	var out []string
	for _, a := range brief.Aims() {
		out = append(out, a.Key)
	}
	return out
}

func (*BriefLimits) keys() []string              { return measureNames() }
func (*BriefLimits) takes(key string) bool       { return slices.Contains(measureNames(), key) }
func (*BriefLimits) valueType() reflect.Type     { return reflect.TypeFor[laterValue]() }
func (*BriefPriorities) keys() []string          { return append(aimNames(), measureNames()...) }
func (*BriefPriorities) takes(key string) bool   { return isWord(key) }
func (*BriefPriorities) valueType() reflect.Type { return reflect.TypeFor[laterValue]() }
func (*BriefReasons) keys() []string             { return append(aimNames(), measureNames()...) }
func (*BriefReasons) takes(key string) bool      { return isWord(key) }
func (*BriefReasons) valueType() reflect.Type    { return reflect.TypeFor[Text]() }
func (*BriefParts) keys() []string               { return aimNames() }
func (*BriefParts) takes(key string) bool        { return isWord(key) }
func (*BriefParts) valueType() reflect.Type      { return reflect.TypeFor[laterValue]() }
func (*BriefWorths) keys() []string              { return measureNames() }
func (*BriefWorths) takes(key string) bool       { return slices.Contains(measureNames(), key) }
func (*BriefWorths) valueType() reflect.Type     { return reflect.TypeFor[laterValue]() }

func (b *BriefLimits) decode(d *decoder, key string, n *yaml.Node) {
	d.entries(key, n, &b.Mark, b.keys(), func(name string, at Position, v *yaml.Node) {
		m, _ := brief.MeasureOf(name)
		b.tried = append(b.tried, name)
		bounds := []*yaml.Node{v}
		if v.Kind == yaml.SequenceNode {
			bounds = v.Content
			if u := d.doc.units[Position{v.Line, v.Column}]; u != nil || len(bounds) != 2 {
				d.wrong(name, v, `write one bound, or two such as [">= 60 kW", "<= 90 kW"]`, "these are no bounds")
				d.ignore(v, 0)
				return
			}
		}
		var sides [2]bool
		for _, bound := range bounds {
			l, ok := d.bound(m, bound)
			if !ok {
				continue
			}
			l.at = at
			side := 0
			if l.AtMost {
				side = 1
			}
			if sides[side] {
				d.wrong(name, bound, "give one least and one most", "two bounds are on the same side")
				continue
			}
			sides[side] = true
			b.List = append(b.List, l)
		}
	})
}

// bound reads one bound of a measure.
func (d *decoder) bound(m brief.Measure, n *yaml.Node) (BriefLimit, bool) {
	l := BriefLimit{Measure: m.Key, AtMost: m.Better <= 0}
	text, ok := d.scalar(m.Key, n, measureDimension(m.Unit).allowed())
	if !ok {
		return l, false
	}
	rest := text
	for _, sign := range []struct {
		word string
		most bool
	}{{"<=", true}, {"≤", true}, {">=", false}, {"≥", false}} {
		if after, cut := strings.CutPrefix(text, sign.word); cut {
			l.AtMost, rest = sign.most, strings.TrimSpace(after)
			break
		}
	}
	if rest == text && text != "" && strings.ContainsRune("<>=", rune(text[0])) {
		d.wrong(m.Key, n, `write "<= 620 mm" or ">= 620 mm"`, "%q is no bound", text)
		return l, false
	}
	if l.Bound, ok = d.measured(m, rest, n); !ok {
		return l, false
	}
	if why := m.Impossible(l.Bound, l.AtMost); why != "" {
		d.wrong(m.Key, n, "give a bound that an engine can be on either side of", "%s is not possible: %s", text, why)
		return l, false
	}
	return l, true
}

// measured reads a value of a measure into its unit.
func (d *decoder) measured(m brief.Measure, text string, n *yaml.Node) (float64, bool) {
	dim := measureDimension(m.Unit)
	si, err := dim.parse(text, "")
	if err != nil {
		d.wrong(m.Key, n, err.allowed, "%s", err.what)
		return 0, false
	}
	return si / dim.shown.factor, true
}

func (b *BriefPriorities) decode(d *decoder, key string, n *yaml.Node) {
	d.entries(key, n, &b.Mark, nil, func(name string, at Position, v *yaml.Node) {
		p := BriefPriority{at: at, Key: name}
		b.tried = append(b.tried, name)
		ends := []*yaml.Node{v}
		if v.Kind == yaml.SequenceNode {
			ends = v.Content
			if u := d.doc.units[Position{v.Line, v.Column}]; u != nil || len(ends) != 2 {
				d.wrong(name, v, "write a number from 0 to 10, or a range such as [3, 8]", "this is no range")
				d.ignore(v, 0)
				return
			}
		}
		var got []float64
		for _, e := range ends {
			if e = d.follow(e); e == nil {
				return
			}
			var q Quantity[Priority]
			q.decode(d, name, e)
			if !q.Given() {
				return
			}
			if q.SI < 0 || q.SI > choice.Most {
				d.wrong(name, e, "a priority lies between 0 and 10", "%s is not possible", q.Text)
				return
			}
			got = append(got, q.SI)
		}
		p.Weight = choice.Range{Low: got[0], High: got[len(got)-1]}
		if p.Weight.Low > p.Weight.High {
			d.wrong(name, v, fmt.Sprintf("write [%s, %s]", formatNumber(p.Weight.High), formatNumber(p.Weight.Low)), "the range runs backwards")
			return
		}
		b.List = append(b.List, p)
	})
}

func (b *BriefReasons) decode(d *decoder, key string, n *yaml.Node) {
	b.Of, b.place = map[string]string{}, map[string]Position{}
	d.entries(key, n, &b.Mark, nil, func(name string, at Position, v *yaml.Node) {
		var t LongText
		if t.decode(d, name, v); t.Given() {
			b.Of[name], b.place[name] = t.Value, at
		}
	})
}

func (b *BriefParts) decode(d *decoder, key string, n *yaml.Node) {
	b.Of = map[string][]brief.Part{}
	d.entries(key, n, &b.Mark, nil, func(name string, _ Position, v *yaml.Node) {
		if !isWord(name) {
			d.wrong(key, v, "write it in small letters and _", "%q is no name of a priority", clip(name))
			return
		}
		var m Mark
		parts := []brief.Part{}
		d.entries(name, v, &m, measureNames(), func(measure string, _ Position, v *yaml.Node) {
			var q Quantity[PureRatio]
			q.decode(d, measure, v)
			kind, _ := brief.MeasureOf(measure)
			switch {
			case !q.Given():
			case q.SI <= 0:
				d.wrong(measure, v, "shares are above 0, relative to each other", "%s is not possible", q.Text)
			case kind.Better == 0:
				d.wrong(measure, v, "it can only be a limit", "neither more nor less of it is better")
			default:
				parts = append(parts, brief.Part{Measure: measure, Share: q.SI})
			}
		})
		if m.Given() && len(v.Content) == 0 {
			d.wrong(name, v, "write {length: 2, width: 1}", "it is made of nothing")
		}
		b.Of[name] = parts
	})
}

func (b *BriefWorths) decode(d *decoder, key string, n *yaml.Node) {
	b.Of = map[string]choice.Worth{}
	d.entries(key, n, &b.Mark, b.keys(), func(name string, _ Position, v *yaml.Node) {
		m, _ := brief.MeasureOf(name)
		if m.Better == 0 {
			d.wrong(name, v, "it can only be a limit", "neither more nor less of it is better")
			d.ignore(v, 0)
			return
		}
		before := len(d.list)
		w := d.worth(m, v)
		if len(d.list) > before {
			return
		}
		if err := (choice.Criterion{Unit: m.Unit, Better: m.Better, Worth: w}).Validate(); err != nil {
			allowed := "write {worst: …, best: …}, or points whose worth rises to the better side"
			if strings.Contains(err.Error(), "; ") {
				allowed = ""
			}
			d.wrong(name, v, allowed, "%s", err)
			return
		}
		b.Of[name] = w
	})
}

// worth reads a value function.
func (d *decoder) worth(m brief.Measure, n *yaml.Node) choice.Worth {
	if n.Kind != yaml.SequenceNode {
		var ends worthEnds
		before := len(d.list)
		d.structure(m.Key, reflect.ValueOf(&ends).Elem(), n)
		var got [2]float64
		for i, t := range []laterValue{ends.Worst, ends.Best} {
			if t.missing() && ends.Given() {
				d.wrong(m.Key, n, "write {worst: …, best: …}", "%s is missing", []string{"worst", "best"}[i])
			}
			if t.Given() {
				got[i], _ = d.measured(m, t.Text, t.node)
			}
		}
		if ends.Worst.Given() && ends.Best.Given() && got[0] == got[1] && len(d.list) == before {
			d.wrong(m.Key, n, "give two values that differ", "worst and best are the same")
		}
		return choice.Linear(got[0], got[1])
	}
	var points []worthPoint
	d.value(m.Key, reflect.ValueOf(&points).Elem(), n)
	var w choice.Worth
	for _, p := range points {
		if p.At.missing() || p.Worth.missing() {
			d.fail(p.Mark.at, "write - {at: …, worth: 0.5}", "%s: a point needs at and worth", m.Key)
			continue
		}
		if p.At.Given() && p.Worth.Given() {
			at, _ := d.measured(m, p.At.Text, p.At.node)
			w = append(w, choice.Point{At: at, Worth: p.Worth.SI})
		}
	}
	return w
}

// isWord tells whether a text can be a key of ours.
func isWord(text string) bool {
	for i, r := range text {
		if (r < 'a' || r > 'z') && (i == 0 || r != '_' && (r < '0' || r > '9')) {
			return false
		}
	}
	return text != "" && len(text) <= 60
}

// measureDimension returns what a unit of a measure measures.
func measureDimension(unitName string) *dimension {
	d := func(name string, units ...string) *dimension {
		u, _ := parseUnit(units[0])
		return &dimension{name: name, powers: u.powers, units: units, shown: u, most: 1e12}
	}
	switch unitName {
	case "N":
		return d("a force", "N", "kN", "lbf")
	case "N m":
		return d("a moment", "N m", "kN m", "lbf ft")
	case "deg":
		return angleDimension
	case "mm":
		return lengthDimension
	case "kg":
		return massDimension
	case "m/s":
		return d("a velocity", "m/s")
	case "bar":
		return pressureDimension
	case "kW":
		return d("a power", "kW", "W")
	case "kg m²":
		return inertiaDimension
	case "MPa":
		return strengthDimension
	case "µm":
		return d("a length", "µm", "um", "mm")
	case "Hz":
		return d("a frequency", "Hz")
	case "cm³":
		return d("a volume", "cm3", "l", "m3")
	case "rpm":
		return speedDimension
	case "%":
		return &dimension{name: "a share", units: []string{"%"}, shown: atoms["%"]}
	}
	return figureDimension
}
