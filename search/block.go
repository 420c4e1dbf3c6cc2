package search

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"

	"crankwright/mechanics/layout"
	"crankwright/num"
	"crankwright/spec"
	"crankwright/study"
)

// block is the part of a study in which the shape of the engine is the same: its cycle, arrangement, number of cylinders.
type block struct {
	name     string
	shape    []spec.Setting // what makes the block
	template *spec.Template
	axes     []*axis // those that change more than angles first; then angles, pins, firing orders
	angles   int     // axes[angles:] change angles only, as far as the fast path is concerned
	pins     int     // place of the axis of pins among those, if it is one of phasings; −1: none
	orders   int     // place of the axis of firing orders; −1: none

	dead    string        // why there is no engine of this block; empty: there are some
	ref     []int         // a candidate that can be built
	train   *layout.Train // it
	classes *classes      // of engines, by their throws
	places  int           // number of pins, where they are set by phasings
	units   units         // of the phasings

	pinnings *sync.Map // spec.Prepared by text

	row          []float64 // values of the inputs that make the block; NaN for the others
	displacement float64   // of the base, where bore and stroke change at fixed displacement [m³]
}

// axisKind says what a value of an axis does.
type axisKind int

const (
	plain      axisKind = iota // sets a key
	phasings                   // sets the pins, out of all phasings
	allOrders                  // lets cylinders fire in one of their two revolutions
	squareness                 // stroke over bore at fixed displacement
	slimness                   // rod over throw
	policy                     // designs counterweights or shafts for each engine
)

// axis is one thing that varies within a block.
type axis struct {
	key       string
	kind      axisKind
	texts     []string        // as in the study file
	prepared  []spec.Prepared // of plain ones
	pure      []float64       // of squareness and slimness
	orderList [][]int         // of listed firing orders, by value: indices of cylinders
	phasings  *Phasings
	count     int
	column    int       // of the first of its columns
	numbers   []float64 // by value: what its column has, where it has one
}

// shapeKeys are the keys that make blocks.
func shapeKeys() []string {
	return []string{"cycle", "layout.arrangement", "layout.cylinders", "layout.each_rod_own_pin", "layout.rods"}
}

// angleKeys are keys that may change nothing but angles, in the sequence of their axes.
func angleKeys() []string {
	return []string{"layout.bank_angle", "layout.pin_split", "layout.row_stagger", "layout.pins", "layout.firing_order"}
}

// Keys that a study treats in its own way.
const (
	pinsKey    = "layout.pins"
	ordersKey  = "layout.firing_order"
	weightsKey = "crank.counterweights"
	shaftsKey  = "balance_shafts"
)

// spread makes the blocks, their axes and the columns.
func (p *Problem) spread() error {
	var shape, rest []spec.Variation
	for _, v := range p.Study.Vary {
		if slices.Contains(shapeKeys(), v.Key) {
			shape = append(shape, v)
		} else {
			rest = append(rest, v)
		}
	}
	digits := make([]int, len(shape))
	for {
		var set []spec.Setting
		for i, v := range shape {
			set = append(set, spec.Setting{Key: v.Key, Text: v.Values[digits[i]]})
		}
		b, err := p.newBlock(set, rest)
		if err != nil {
			return err
		}
		p.blocks = append(p.blocks, b)
		k := len(shape) - 1
		for ; k >= 0; k-- {
			if digits[k]++; digits[k] < len(shape[k].Values) {
				break
			}
			digits[k] = 0
		}
		if k < 0 {
			break
		}
	}
	for _, v := range rest {
		if !slices.ContainsFunc(p.blocks, func(b *block) bool {
			return b.dead != "" || slices.ContainsFunc(b.axes, func(a *axis) bool { return a.key == v.Key })
		}) {
			return p.wrong(v.At, "vary layout.arrangement too, or leave it out", "%s belongs to no arrangement of this study", v.Key)
		}
	}
	if !slices.ContainsFunc(p.blocks, func(b *block) bool { return b.dead == "" }) {
		return &NoEngineError{p.bundle.Study, p.Study.Base, p.blocks[0].dead}
	}
	p.settle()
	for _, b := range p.blocks {
		if err := p.twins(b, rest); err != nil {
			return err
		}
		sb := study.Block{Name: b.name}
		for _, a := range b.axes {
			_, _, numeric := quantities(a.texts)
			sb.Axes = append(sb.Axes, study.Axis{Key: a.key, Count: a.count, Ordered: numeric})
		}
		p.space.Blocks = append(p.space.Blocks, sb)
	}
	p.layOut(shape, rest)
	return nil
}

// NoEngineError is returned where no engine of a study can be built.
type NoEngineError struct {
	Study, Base string
	Why         string // of the first shape of engine
}

func (e *NoEngineError) Error() string {
	return e.Study + ": no engine of this study can be built: " + e.Why
}

// wrong returns an error with its place in the study file.
func (p *Problem) wrong(at spec.Position, allowed, format string, args ...any) error {
	return spec.Errors{{File: p.bundle.Study, Line: at.Line, Column: at.Column, What: fmt.Sprintf(format, args...), Allowed: allowed}}
}

// settle takes figures off the fast path that it cannot give: longest and shortest interval of an order that is open.
func (p *Problem) settle() {
	for _, b := range p.blocks {
		if b.dead != "" || b.orders >= 0 || b.train.FiringOrder != nil {
			continue
		}
		for i := range p.figures {
			if f := &p.figures[i]; f.fast == longest || f.fast == shortest {
				f.fast = -1
			}
		}
	}
}

// newBlock makes a block and finds out which of its axes change angles only.
func (p *Problem) newBlock(shape []spec.Setting, rest []spec.Variation) (*block, error) {
	b := &block{shape: shape, pins: -1, orders: -1, pinnings: &sync.Map{}}
	var words []string
	for _, s := range shape {
		word := s.Text
		switch s.Key {
		case "layout.cylinders":
			word += " cylinders"
		case "layout.each_rod_own_pin":
			word = map[string]string{"true": "own pins", "false": "shared pins"}[s.Text]
		}
		words = append(words, word)
	}
	b.name = strings.Join(words, ", ")
	if err := p.base(b, rest); err != nil || b.dead != "" {
		return b, err
	}
	if err := p.axes(b, rest); err != nil {
		return nil, err
	}
	if b.dead == "" {
		b.findReference()
	}
	if b.dead != "" {
		return b, nil
	}
	for _, v := range rest {
		if v.Key == pinsKey && v.All && b.places > 0 {
			m := b.stepsOf(v)
			if v.Step > 0 && math.Abs(float64(m)*v.Step-turn) > 1e-9*turn {
				return nil, p.wrong(v.At, "take a step that divides 360 deg, such as 15 deg, 22.5 deg or 30 deg", "%s: a step of %s deg does not divide a turn", v.Key, num.Digits(v.Step*180/math.Pi, 8))
			}
			b.units = newUnits(m)
		}
	}
	b.findAngles()
	return b, nil
}

// base makes the template of a block: the base with the shape of the block.
func (p *Problem) base(b *block, rest []spec.Variation) error {
	data := p.bundle.Files[p.Study.Base]
	first, err := spec.NewTemplate(p.Study.Base, data, p.read)
	if err != nil {
		return err
	}
	e := first.Engine()
	if slices.ContainsFunc(rest, func(v spec.Variation) bool { return v.Key == spec.StrokeOverBore }) {
		t, err := first.Train(nil)
		if err != nil {
			return err
		}
		b.displacement = math.Pi / 4 * t.Bore * t.Bore * 2 * t.Throws[0].Radius * float64(len(t.Cylinders))
	}
	arrangement, other := e.Layout.Arrangement.Value, false
	var changes []spec.Change
	for _, s := range b.shape {
		text := s.Text
		switch {
		case s.Key == "layout.arrangement":
			other = other || text != arrangement
			arrangement = text
		case s.Key == "layout.cylinders":
			other = other || text != strconv.Itoa(e.Layout.Cylinders.Count)
		case first.Gives(s.Key):
			other = true
		}
		changes = append(changes, spec.Change{Path: s.Key, Text: &text})
	}
	sets := func(key string) bool {
		return slices.ContainsFunc(rest, func(v spec.Variation) bool { return v.Key == key }) ||
			slices.ContainsFunc(b.shape, func(s spec.Setting) bool { return s.Key == key })
	}
	drop := func(key string) { changes = append(changes, spec.Change{Path: key}) }
	for _, key := range spec.LayoutKeys() {
		shaped := slices.ContainsFunc(b.shape, func(s spec.Setting) bool { return s.Key == key })
		if first.Gives(key) && !shaped && !spec.Belongs(key, arrangement) { // nor does an axis of that key belong to this block
			drop(key)
		}
	}
	if first.Gives(pinsKey) && slices.ContainsFunc(rest, func(v spec.Variation) bool { return v.Key == pinsKey && v.All }) && spec.Belongs(pinsKey, arrangement) {
		drop(pinsKey)
	}
	if other {
		for _, key := range []string{pinsKey, ordersKey, "layout.labels", "layout.exhaust_groups", "layout.cylinder_offset"} {
			every := slices.ContainsFunc(rest, func(v spec.Variation) bool { return v.Key == key && v.All })     // it does not start from that of the base
			if first.Gives(key) && (!sets(key) || every && key == ordersKey) && spec.Belongs(key, arrangement) { // pins: above
				drop(key)
			}
		}
		for _, key := range []string{weightsKey, shaftsKey} {
			lists := key == weightsKey && e.Crank.Counterweights.List != nil || key == shaftsKey && len(e.BalanceShafts) > 0
			if lists && !sets(key) {
				b.dead = fmt.Sprintf("the base gives %s by place, which no engine of another shape can share; vary %s, or leave it out of the base", key, key)
				return nil
			}
		}
	}
	data, err = spec.Edit(data, changes)
	if err == nil {
		b.template, err = spec.NewTemplate(p.Study.Base, data, p.read)
	}
	if err != nil { // of this shape there is no engine
		b.dead = err.Error()
	}
	return nil
}

// axes makes the axes of a block that belong to its arrangement.
func (p *Problem) axes(b *block, rest []spec.Variation) error {
	arrangement := b.template.Engine().Layout.Arrangement.Value
	var inner []*axis
	add := func(v spec.Variation) error {
		if !spec.Belongs(v.Key, arrangement) {
			return nil
		}
		a, err := p.newAxis(b, v)
		if err != nil || b.dead != "" {
			return err
		}
		if slices.Contains(angleKeys(), v.Key) {
			inner = append(inner, a)
		} else {
			b.axes = append(b.axes, a)
		}
		return nil
	}
	for _, v := range rest {
		if !slices.Contains(angleKeys(), v.Key) {
			if err := add(v); err != nil {
				return err
			}
		}
	}
	for _, key := range angleKeys() {
		for _, v := range rest {
			if v.Key == key {
				if err := add(v); err != nil {
					return err
				}
			}
		}
	}
	b.axes = append(b.axes, inner...)
	b.angles = len(b.axes)
	return nil
}

// newAxis makes an axis of a variation.
func (p *Problem) newAxis(b *block, v spec.Variation) (*axis, error) {
	a := &axis{key: v.Key, texts: v.Values, count: len(v.Values)}
	switch {
	case v.Key == pinsKey && v.All:
		a.kind = phasings // counted once the throws are known
		return a, nil
	case v.Key == ordersKey && v.All:
		a.kind = allOrders
		return a, nil
	case v.Key == spec.StrokeOverBore || v.Key == spec.RodOverThrow:
		a.kind = squareness
		if v.Key == spec.RodOverThrow {
			a.kind = slimness
		}
		for _, text := range v.Values {
			f, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
			if err != nil || !(f > 0) || f > 100 {
				return nil, p.wrong(v.At, "write pure numbers such as 0.9", "%s: %q is no ratio", v.Key, text)
			}
			a.pure = append(a.pure, f)
		}
		return a, nil
	case isPolicy(v):
		a.kind = policy
		return a, nil
	}
	for _, text := range v.Values {
		s, err := b.template.Prepare(spec.Setting{Key: v.Key, Text: text})
		if err != nil {
			return nil, p.wrong(v.At, "", "%s: %v", text, err)
		}
		a.prepared = append(a.prepared, s)
	}
	return a, nil
}

// inner returns how many candidates share what is not an angle.
func (b *block) inner() int {
	n := 1
	for _, a := range b.axes[b.angles:] {
		n *= a.count
	}
	return n
}

// number matches a number, and its unit behind it.
var number = regexp.MustCompile(`^([-+]?[0-9]*\.?[0-9]+(?:[eE][-+]?[0-9]+)?) ?([^0-9\[\]{}]*)$`)

// quantities reads texts as numbers of one unit; false where they are anything else.
func quantities(texts []string) (values []float64, unit string, ok bool) {
	for i, t := range texts {
		m := number.FindStringSubmatch(strings.TrimSpace(t))
		if m == nil || i > 0 && m[2] != unit {
			return nil, "", false
		}
		f, err := strconv.ParseFloat(m[1], 64)
		if err != nil || math.IsInf(f, 0) {
			return nil, "", false
		}
		values, unit = append(values, f), m[2]
	}
	if unit == "" {
		unit = "1"
	}
	return values, unit, len(texts) > 0
}

// pinsText writes a phasing as the value of layout.pins.
func pinsText(degrees []float64) string {
	var list []string
	for _, d := range degrees {
		list = append(list, num.Digits(d, 10))
	}
	return "[" + strings.Join(list, ", ") + "] deg"
}
