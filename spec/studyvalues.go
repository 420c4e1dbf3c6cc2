package spec

import (
	"math"
	"reflect"
	"slices"
	"strings"

	"go.yaml.in/yaml/v4"

	"crankwright/num"
)

// StudyVary are the keys that vary, with their values.
type StudyVary struct {
	Mark
	List []Variation
}

// StudyMeasures is a list of measures.
type StudyMeasures struct {
	Mark
	List []StudyAim
}

func (m *StudyMeasures) decode(d *decoder, key string, n *yaml.Node) {
	m.set(n, broken)
	list, ok := texts(d, key, n)
	if !ok {
		return
	}
	if len(list) == 0 {
		d.wrong(key, n, "name measures, such as [free_force_order_2, length], or leave it out", "the list is empty")
		return
	}
	m.state = given
	names := measureNames()
	for _, t := range list {
		if !slices.Contains(names, t.Value) {
			allowed := "the measures are " + strings.Join(names, ", ")
			d.fail(t.at, orNearest(t.Value, names, allowed), "%s: unknown measure %q", key, clip(t.Value))
			continue
		}
		m.List = append(m.List, StudyAim{Measure: t.Value, At: t.at})
	}
}

// designed are the words by which a search designs a part for each engine.
func designed(key string) []string {
	switch key {
	case "crank.counterweights":
		return []string{BestCounterweights}
	case "balance_shafts":
		return []string{NoShafts, ShaftsOrder1, ShaftsOrder2, ShaftsOrders1And2}
	}
	return nil
}

// ratios are the keys of a study that are no keys of an engine file, and those that they set.
var ratios = map[string][]string{StrokeOverBore: {"bore", "stroke"}, RodOverThrow: {"rod.length"}}

func (*StudyVary) keys() []string {
	return append([]string{StrokeOverBore, RodOverThrow}, engineKeys()...)
}

func (*StudyVary) takes(key string) bool {
	if ratios[key] != nil {
		return true
	}
	_, err := pathSteps(reflect.TypeFor[Engine](), key)
	return err == nil
}

func (*StudyVary) valueType() reflect.Type { return reflect.TypeFor[laterValue]() }

// engineKeys lists the keys of an engine file that stand in no list.
func engineKeys() []string {
	var list []string
	var walk func(t reflect.Type, path string)
	walk = func(t reflect.Type, path string) {
		fields := fieldsOf(t)
		for _, key := range fields.names {
			child, at := t.Field(fields.index[key]).Type, strings.TrimPrefix(path+"."+key, ".")
			list = append(list, at)
			switch {
			case child == reflect.TypeFor[Counterweights]():
				list = append(list, at+".balance_factor")
			case child.Kind() == reflect.Struct && !reflect.PointerTo(child).Implements(reflect.TypeFor[leaf]()):
				walk(child, at)
			}
		}
	}
	walk(reflect.TypeFor[Engine](), "")
	return list
}

func (s *StudyVary) decode(d *decoder, key string, n *yaml.Node) {
	r := &studyReader{decoder: d, shown: &fieldWalk{source: newSource(d.doc.text, d.doc)}}
	d.entries(key, n, &s.Mark, nil, func(name string, at Position, v *yaml.Node) {
		for _, other := range s.List {
			if what := clash(other.Key, name); what != "" {
				d.fail(at, "leave one of the two", "%s: %s, which varies too", name, what)
				d.ignore(v, 0)
				return
			}
		}
		r.Variation = Variation{Key: name, At: at}
		if r.steps(name, at) {
			r.values(v)
		} else {
			d.ignore(v, 0)
		}
		s.List = append(s.List, r.Variation)
	})
	if s.Given() && len(n.Content) == 0 {
		d.wrong(key, n, "write {layout.bank_angle: {from: 60 deg, to: 90 deg, step: 1 deg}}", "nothing varies")
	}
}

// clash says why two keys cannot both vary, or "".
func clash(a, b string) string {
	for _, x := range sets(a) {
		for _, y := range sets(b) {
			p, q := splitPath(x), splitPath(y)
			if n := min(len(p), len(q)); slices.Equal(p[:n], q[:n]) {
				return "it sets what " + a + " sets"
			}
		}
	}
	return ""
}

// sets lists the keys of an engine file that a key of a study sets.
func sets(key string) []string {
	if list := ratios[key]; list != nil {
		return list
	}
	return []string{asWhole(Setting{Key: key}).Key}
}

// studyReader reads the values of one key.
type studyReader struct {
	*decoder
	Variation
	shown *fieldWalk
	path  []string // steps of the key; nil: one of ratios
}

// steps finds what the key leads to.
func (r *studyReader) steps(name string, at Position) bool {
	r.path = nil
	if ratios[name] != nil {
		return true
	}
	steps, err := pathSteps(reflect.TypeFor[Engine](), name)
	if err == nil {
		r.path = steps
		return true
	}
	allowed := err.Allowed
	keys := (&StudyVary{}).keys()
	near := Nearest(name, keys)
	if i := slices.IndexFunc(keys, func(key string) bool { return strings.HasSuffix(key, "."+name) }); i >= 0 {
		near = keys[i]
	}
	if near != "" {
		allowed = "did you mean \"" + near + "\"?"
	} else if allowed == "" {
		allowed = "write keys of an engine file with points, such as layout.bank_angle or rod.length"
	}
	r.fail(at, allowed, "vary: unknown key %q (%s)", clip(name), err.What)
	return false
}

// values reads what stands behind the key: a range, all, a list, or one value.
func (r *studyReader) values(n *yaml.Node) {
	switch n.Kind {
	case yaml.MappingNode:
		switch {
		case hasKey(n, "from", "to", "step"):
			r.inSteps(n)
			return
		case hasKey(n, "all", "twins"):
			r.phasings(n)
			return
		}
	case yaml.SequenceNode:
		r.listed(n)
		return
	case yaml.ScalarNode:
		if strings.TrimSpace(n.Value) == "all" {
			if r.All = r.Key == "layout.pins" || r.Key == "layout.firing_order"; !r.All {
				r.wrong(r.Key, n, "give a list of values, or {from: …, to: …, step: …}", "all is for layout.pins and layout.firing_order")
			}
			return
		}
	}
	if text := r.shown.shown(n); r.check(n, text) {
		r.Values = []string{text}
	}
	r.ignore(n, 0) // the text has the units
}

func hasKey(n *yaml.Node, keys ...string) bool {
	for i := 0; i+1 < len(n.Content); i += 2 {
		if slices.Contains(keys, n.Content[i].Value) {
			return true
		}
	}
	return false
}

// inSteps reads {from: 40 deg, to: 180 deg, step: 1 deg}.
func (r *studyReader) inSteps(n *yaml.Node) {
	if !r.single() {
		r.wrong(r.Key, n, "give a list of values", "this key has no single number that could go in steps")
		r.ignore(n, 0)
		return
	}
	var s studyRange
	r.structure(r.Key, reflect.ValueOf(&s).Elem(), n)
	ok := true
	for i, v := range []laterValue{s.From, s.To, s.Step} {
		if v.missing() {
			r.wrong(r.Key, n, "write {from: 40 deg, to: 180 deg, step: 1 deg}", "%s is missing", []string{"from", "to", "step"}[i])
		}
		ok = ok && v.Given()
	}
	if !ok || !r.check(s.From.node, s.From.Text) || !r.check(s.To.node, s.To.Text) {
		return
	}
	list, err := Quantities(s.From.Text, s.To.Text, s.Step.Text)
	if err != nil {
		r.wrong(r.Key, n, "", "%s", err)
		return
	}
	if r.check(s.Step.node, list[min(1, len(list)-1)]) && r.check(s.To.node, list[len(list)-1]) {
		r.Values = list
	}
}

// single tells whether the key takes one number. Where it takes two values of a range, it takes those between them.
func (r *studyReader) single() bool {
	if r.path == nil {
		return true
	}
	switch reflect.New(typeOf(reflect.TypeFor[Engine](), r.path)).Interface().(type) {
	case settable, *Cylinders, *Lengths:
		return true
	}
	return false
}

// phasings reads {all: 30 deg, twins: apart}.
func (r *studyReader) phasings(n *yaml.Node) {
	if r.Key != "layout.pins" {
		r.wrong(r.Key, n, "give a list of values, or {from: …, to: …, step: …}", "all with a step is for layout.pins")
		r.ignore(n, 0)
		return
	}
	var a studyAll
	r.structure(r.Key, reflect.ValueOf(&a).Elem(), n)
	r.All, r.Step, r.Apart = true, a.All.SI, a.Twins.Value == "apart"
	if a.All.Given() {
		turns := float64(num.Turn) / a.All.SI
		if turns > 3600.5 || math.Abs(turns-math.Round(turns)) > 1e-6 {
			r.fail(a.All.at, "a whole number of steps, at most 3600, makes a turn: 30 deg or 7.5 deg", "all: %s does not divide a turn", a.All.Text)
		}
	}
}

// listed reads a list of values, with one unit behind it or not.
func (r *studyReader) listed(n *yaml.Node) {
	unit := ""
	if u := r.doc.units[Position{n.Line, n.Column}]; u != nil {
		unit, u.used = u.unit, true
	}
	if len(n.Content) == 0 {
		r.wrong(r.Key, n, "give at least one value", "the list is empty")
	}
	seen := map[string]bool{}
	for _, child := range n.Content {
		if len(r.list) > maxErrors {
			return
		}
		v := r.follow(child)
		if v == nil {
			return
		}
		text := r.shown.shown(v)
		r.ignore(v, 0)
		if unit != "" {
			text = r.withUnit(v, text, unit)
		}
		if !r.check(v, text) {
			continue
		}
		if seen[text] {
			r.wrong(r.Key, child, "leave one of the two", "the value %s stands twice", text)
		}
		seen[text] = true
		r.Values = append(r.Values, text)
	}
}

// withUnit puts the unit of a list behind a number, or behind a list of numbers, that has none.
func (r *studyReader) withUnit(n *yaml.Node, text, unit string) string {
	switch n.Kind {
	case yaml.ScalarNode:
		if _, own, err := splitNumber(text); err != nil || own != "" {
			return text
		}
	case yaml.SequenceNode:
		if r.doc.units[Position{n.Line, n.Column}] != nil || hasUnits(text) {
			return text
		}
	default:
		return text
	}
	return text + " " + unit
}

// check reads a value as the type of the key, and reports what is wrong with it at its place in the study.
func (r *studyReader) check(n *yaml.Node, text string) bool {
	at := Position{n.Line, n.Column}
	if n.Kind == yaml.ScalarNode && slices.Contains(designed(r.Key), text) {
		return true
	}
	c := &collector{}
	if r.path == nil {
		q, err := ParseQuantity[PureRatio](text)
		switch {
		case err != nil:
			r.wrong(r.Key, n, "", "%s", err)
			return false
		case q.SI < 0.1 || q.SI > 100:
			r.wrong(r.Key, n, "0.1 to 100 is allowed", "%s is not possible", text)
			return false
		}
		return true
	}
	path := r.path
	if whole := asWhole(Setting{r.Key, text}); whole.Key != r.Key {
		path, text = splitPath(whole.Key), whole.Text
	}
	written, wrong := valueText(path, text)
	if wrong != nil {
		r.wrong(r.Key, n, wrong.Allowed, "%s", wrong.What)
		return false
	}
	decodeAt(c, path, written, false)
	for _, e := range c.list {
		if words := designed(r.Key); words != nil {
			e.Allowed += "; in a study also " + oneOf(words)
		} else if n.Kind == yaml.ScalarNode && len(r.path) > 0 && strings.Contains(e.Allowed, "a list ") {
			e.Allowed += "; write a list of such lists"
		}
		r.fail(at, e.Allowed, "%s", e.What)
	}
	return len(c.list) == 0
}

// valueText writes what somebody typed as it would stand at a path of an engine file.
func valueText(steps []string, text string) (string, *EditError) {
	text = strings.TrimSpace(text)
	if text == "" {
		return "", &EditError{What: "the value is empty", Allowed: "give a value, or leave the key out"}
	}
	ed := &editor{whole: reflect.TypeFor[Engine](), steps: steps}
	return ed.written(text, nil, false)
}
