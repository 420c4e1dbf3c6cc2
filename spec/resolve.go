package spec

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"sync"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// resolver turns a file into a train. It goes on after errors, so that one pass finds them all.
type resolver struct {
	*collector
	e   *Engine
	opt Options
	t   *layout.Train
}

// resolve returns the train of a file, or nil where c has errors that do not leave it whole.
func resolve(c *collector, e *Engine, opt Options) *layout.Train {
	r := &resolver{collector: c, e: e, opt: opt, t: &layout.Train{}}
	r.head()
	arrangement := e.Layout.Arrangement
	if arrangement.Given() {
		r.foreignKeys()
		if arrangement.Value == "custom" {
			r.custom()
		} else {
			r.short()
		}
	}
	r.shafts()
	r.gas()
	if len(c.list) > c.asides {
		return nil
	}
	err := layout.Validate(r.t)
	if err == nil {
		err = layout.Plausible(r.t)
	}
	if err != nil {
		r.problems(err)
		return nil
	}
	if !allFinite(reflect.ValueOf(r.t)) {
		r.fail(e.Position(), "give values of an engine that can be built", "the values of this file are out of all measure")
		return nil
	}
	return r.t
}

// allFinite reports whether no number in a value is infinite or not a number.
func allFinite(v reflect.Value) bool {
	switch v.Kind() {
	case reflect.Pointer:
		return allFinite(v.Elem())
	case reflect.Float64:
		return !math.IsNaN(v.Float()) && !math.IsInf(v.Float(), 0)
	case reflect.Struct:
		for i := range v.NumField() {
			if !allFinite(v.Field(i)) {
				return false
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			if !allFinite(v.Index(i)) {
				return false
			}
		}
	}
	return true
}

// problems gives the reasons of layout.Validate their places in the file.
func (r *resolver) problems(err error) {
	var list layout.Problems
	if !errors.As(err, &list) {
		r.fail(r.e.Position(), "", "%v", err)
		return
	}
	guessed := func(p layout.Problem) bool {
		is := func(est layout.Estimate) bool { return p.Where == est.Key || strings.HasSuffix(p.Where, "]."+est.Key) }
		return slices.ContainsFunc(r.t.Estimates, is) || slices.ContainsFunc(r.t.Assumed, is)
	}
	allGuessed := !slices.ContainsFunc(list, func(p layout.Problem) bool { return !guessed(p) })
	for _, p := range list {
		if guessed(p) && !allGuessed {
			continue // it follows from what the file gives, and that is wrong
		}
		r.fail(r.e.Locate(p.Where), p.Limit, "%s%s", shortWhere(p.Where), p.What)
	}
}

// shortWhere returns the last key of a path before a message; the part that it belongs to is left
// to the place, and so is a whole throw or cylinder.
func shortWhere(path string) string {
	if strings.HasSuffix(path, "]") {
		return ""
	}
	return path[strings.LastIndex(path, ".")+1:] + ": "
}

// missing reports a key that the file must have; parent is the map that lacks it.
func (r *resolver) missing(parent Position, key, why string) {
	r.fail(parent, why, "the key %q is missing", key)
}

// need reports a missing quantity; a wrong one has been reported already.
func (r *resolver) need(m Mark, parent Position, key, why string) bool {
	if m.missing() {
		r.missing(parent, key, why)
	}
	return m.Given()
}

// estimated lists a value that the file left out; in strict mode it is an error instead.
func (r *resolver) estimated(est layout.Estimate) {
	if r.opt.Strict {
		e := r.e.lacks(est.Key)
		r.fail(Position{e.Line, e.Column}, e.Allowed, "%s", e.What)
		return
	}
	if r.t.Estimates == nil {
		r.t.Estimates = make([]layout.Estimate, 0, 24)
	}
	r.t.Estimates = append(r.t.Estimates, est)
}

func (r *resolver) head() {
	e, t, top := r.e, r.t, r.e.Position()
	if r.need(e.Name.Mark, top, "name", "give the engine a name") {
		t.Name = e.Name.Value
	}
	if r.need(e.Cycle.Mark, top, "cycle", "give four-stroke or two-stroke") && e.Cycle.Value == "two-stroke" {
		t.Cycle = layout.TwoStroke
	}
	if e.Rotation.Value == "clockwise" {
		t.Rotation = layout.Clockwise
	}
	t.Bore = e.Bore.SI
	switch {
	case e.Layout.missing():
		r.missing(top, "layout", "give the arrangement of the cylinders, such as layout: {arrangement: inline, cylinders: 4}")
	case e.Layout.Given():
		if r.need(e.Layout.Arrangement.Mark, e.Layout.at, "arrangement", "give "+oneOf(arrangementWords{}.words())) {
			t.Arrangement = layout.Arrangement(e.Layout.Arrangement.Value)
		}
	}
	t.Crank = layout.CrankGeometry{
		MainJournal: layout.Journal{Diameter: e.Crank.MainJournal.Diameter.SI, Width: e.Crank.MainJournal.Width.SI},
		Crankpin:    layout.Journal{Diameter: e.Crank.Crankpin.Diameter.SI, Width: e.Crank.Crankpin.Width.SI},
		Web:         layout.Web{Thickness: e.Crank.Web.Thickness.SI, Width: e.Crank.Web.Width.SI},
		Fillet:      e.Crank.FilletRadius.SI,
	}
	t.Flywheel = e.Flywheel.Inertia.SI
	t.Speeds = layout.Speeds{Idle: e.Speeds.Idle.SI, Rated: e.Speeds.Rated.SI, Limit: e.Speeds.Limit.SI}
	r.speedOrder()
}

func (r *resolver) speedOrder() {
	s := r.e.Speeds
	if s.Idle.Given() && s.Rated.Given() && s.Idle.SI > s.Rated.SI {
		r.aside(s.Idle.at, "it must not be above the rated speed of "+s.Rated.Text, "idle: %s is too high", s.Idle.Text)
	}
	if s.Rated.Given() && s.Limit.Given() && s.Rated.SI > s.Limit.SI {
		r.aside(s.Limit.at, "it must not be below the rated speed of "+s.Rated.Text, "limit: %s is too low", s.Limit.Text)
	}
}

// homedField is a key of a layout that belongs to some arrangements only.
type homedField struct {
	field int
	homes []string
}

var homedFields = sync.OnceValue(func() []homedField {
	var list []homedField
	t := reflect.TypeFor[Layout]()
	for i := range t.NumField() {
		if homes := t.Field(i).Tag.Get("for"); homes != "" {
			list = append(list, homedField{i, strings.Fields(homes)})
		}
	}
	return list
})

// foreignKeys reports keys of the layout that belong to other arrangements.
func (r *resolver) foreignKeys() {
	v := reflect.ValueOf(&r.e.Layout).Elem()
	arrangement := r.e.Layout.Arrangement.Value
	for _, h := range homedFields() {
		if slices.Contains(h.homes, arrangement) {
			continue
		}
		at := Position{}
		if m, ok := v.Field(h.field).Addr().Interface().(interface{ mark() Mark }); ok {
			if m.mark().missing() {
				continue
			}
			if m.mark().Given() { // the file need not have it, see Template
				at = m.mark().at
			}
		}
		key := v.Type().Field(h.field).Tag.Get("yaml")
		if in := r.e.keyPosition("layout." + key); in != (Position{}) {
			at = in
		}
		if at != (Position{}) {
			r.fail(at, fmt.Sprintf("it is for %s", oneOf(h.homes)),
				"the key %q does not belong to the arrangement %s", key, arrangement)
		}
	}
}

func (r *resolver) shafts() {
	for i := range r.e.BalanceShafts {
		s := &r.e.BalanceShafts[i]
		if !s.Given() {
			continue
		}
		r.need(s.SpeedRatio.Mark, s.at, "speed_ratio", "give the turns per turn of the crank, such as -2")
		r.need(s.Y.Mark, s.at, "y", "give the place of the shaft across, such as 60 mm")
		r.need(s.Z.Mark, s.at, "z", "give the place of the shaft up, such as -40 mm")
		shaft := layout.Shaft{SpeedRatio: s.SpeedRatio.SI, Y: s.Y.SI, Z: s.Z.SI}
		if len(s.Masses) == 0 {
			r.missing(s.at, "masses", "give a list of {at, angle, unbalance}")
		}
		for _, m := range s.Masses {
			if !m.Given() {
				continue
			}
			r.massKeys(m.at, m.At.Mark, m.Angle.Mark, m.Unbalance.Mark)
			shaft.Masses = append(shaft.Masses, layout.Unbalance{
				At: m.At.SI, Angle: num.Angle(m.Angle.SI), Amount: m.Unbalance.SI,
			})
		}
		r.t.Shafts = append(r.t.Shafts, shaft)
	}
}

func (r *resolver) massKeys(parent Position, at, angle, unbalance Mark) {
	r.need(at, parent, "at", "give its axial place, such as 0 mm")
	r.need(angle, parent, "angle", "give its direction at crank angle 0, such as 180 deg")
	r.need(unbalance, parent, "unbalance", "give mass times radius, such as 6 kg mm")
}

// reference sets where moments are taken: as the file says, or midway between the outermost throws.
func (r *resolver) reference() {
	if r.e.Reference.Given() {
		r.t.Reference = r.e.Reference.SI
		return
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, th := range r.t.Throws {
		low, high = math.Min(low, th.At), math.Max(high, th.At)
	}
	if len(r.t.Throws) > 0 {
		r.t.Reference = (low + high) / 2
	}
}

// banks gathers cylinders with one axis angle, in the order in which they come. named gives banks
// that the file names, by cylinder.
func (r *resolver) banks(named []string) {
	t := r.t
	for i := range t.Cylinders {
		c := &t.Cylinders[i]
		c.Bank = -1
		for b, bank := range t.Banks {
			same := math.Abs(math.Remainder(float64(bank.Axis-c.Axis), float64(num.Turn))) < 1e-9
			if named != nil && named[i] != "" {
				same = bank.Name == named[i]
			}
			if same {
				c.Bank = b
				break
			}
		}
		if c.Bank < 0 {
			name := fmt.Sprint(len(t.Banks) + 1)
			if named != nil && named[i] != "" {
				name = named[i]
			}
			t.Banks = append(t.Banks, layout.Bank{Name: name, Axis: c.Axis})
			c.Bank = len(t.Banks) - 1
		}
	}
}

// cylinderIndex returns the cylinder of a name, or −1 and an error.
func (r *resolver) cylinderIndex(key string, name Text) int {
	names := make([]string, len(r.t.Cylinders))
	for i, c := range r.t.Cylinders {
		if c.Name == name.Value {
			return i
		}
		names[i] = c.Name
	}
	r.fail(name.at, "the cylinders are "+strings.Join(names, ", "), "%s: there is no cylinder %q", key, name.Value)
	return -1
}

// firingOrder reads the firing order of the file, or returns nil.
func (r *resolver) firingOrder() []int {
	o := &r.e.Layout.FiringOrder
	if !o.Given() {
		return nil
	}
	before := len(r.list)
	var order []int
	seen := map[int]bool{}
	for _, name := range o.List {
		i := r.cylinderIndex("firing_order", name)
		if i < 0 {
			continue
		}
		if seen[i] {
			r.fail(name.at, "it names each cylinder once", "firing_order: cylinder %q stands twice", name.Value)
			continue
		}
		seen[i] = true
		order = append(order, i)
	}
	if len(r.list) > before {
		return nil
	}
	var left []string
	for i, c := range r.t.Cylinders {
		if !seen[i] {
			left = append(left, c.Name)
		}
	}
	if len(left) > 0 {
		r.fail(o.at, "it names each cylinder once", "firing_order: it leaves out %s", strings.Join(left, ", "))
		return nil
	}
	return order
}

// exhaust sets the exhaust groups and counts the labels.
func (r *resolver) exhaust() {
	if l := r.e.Layout.Labels; l.List != nil && len(l.List) != len(r.t.Cylinders) {
		r.fail(l.at, fmt.Sprintf("give %d, one for each cylinder", len(r.t.Cylinders)), "labels: %s", thereAre(len(l.List), "label"))
	}
	g := &r.e.Layout.ExhaustGroups
	if !g.Given() {
		return
	}
	for i := range r.t.Cylinders {
		c := &r.t.Cylinders[i]
		switch g.Word {
		case "all-in-one":
			c.Exhaust = "1"
		case "each":
			c.Exhaust = c.Name
		}
	}
	if g.Word != "" {
		return
	}
	seen := map[int]bool{}
	for n, list := range g.Lists {
		for _, name := range list {
			i := r.cylinderIndex("exhaust_groups", name)
			if i < 0 {
				continue
			}
			if seen[i] {
				r.fail(name.at, "each cylinder is in one group", "exhaust_groups: cylinder %q stands twice", name.Value)
			}
			seen[i] = true
			r.t.Cylinders[i].Exhaust = fmt.Sprint(n + 1)
		}
	}
	for i, c := range r.t.Cylinders {
		if !seen[i] {
			r.fail(g.at, "each cylinder is in one group", "exhaust_groups: cylinder %s is left out", c.Name)
		}
	}
}
