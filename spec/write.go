package spec

import (
	"bytes"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"crankwright/mechanics/layout"
)

// WriteResolved writes a train as a full engine file in custom form. Reading it gives the same
// train. Where src, the file that the train came from, has the same quantity, its text is kept;
// src may be nil. Values that were estimated say so in a comment.
func WriteResolved(t *layout.Train, src *Engine) []byte {
	if src == nil {
		src = &Engine{}
	}
	w := &writer{t: t, src: src, estimates: map[string]layout.Estimate{}, said: map[string]bool{}}
	for _, e := range t.Estimates {
		w.estimates[e.Key] = e
	}
	w.head()
	w.throws()
	w.cylinders()
	w.common()
	return w.out.Bytes()
}

type writer struct {
	t         *layout.Train
	src       *Engine
	estimates map[string]layout.Estimate
	said      map[string]bool // estimates whose rule stands in the file already
	out       bytes.Buffer
}

func (w *writer) line(format string, args ...any) { fmt.Fprintf(&w.out, format+"\n", args...) }

// value writes a key with a value; keys are the names under which it may have been estimated.
func (w *writer) value(indent, key, text string, keys ...string) {
	w.line("%s%s: %s%s", indent, key, text, w.comment(keys...))
}

// comment says how a value was estimated, or nothing.
func (w *writer) comment(keys ...string) string {
	for _, k := range keys {
		if e, ok := w.estimates[k]; ok {
			if w.said[k] {
				return "  # estimated, as above"
			}
			w.said[k] = true
			return fmt.Sprintf("  # estimated: %s (%s)", e.Rule, e.Source)
		}
		for _, e := range w.t.Assumed {
			if e.Key == k {
				return fmt.Sprintf("  # assumed: %s (%s)", e.Rule, e.Source)
			}
		}
	}
	return ""
}

// kept returns the text of the file for a value, where one of the quantities has just that value.
func kept[D Dimension](si float64, candidates ...Quantity[D]) string {
	for _, q := range candidates {
		if q.Given() && q.SI == si && q.Text != "" {
			return q.Text
		}
	}
	return formatSI[D](si)
}

var plainText = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9_-]*( [A-Za-z0-9_-]+)*$`)

// quoted writes a name so that any YAML reader takes it for a text.
func quoted(s string) string {
	if plainText.MatchString(s) && !slices.Contains([]string{"true", "false", "null", "yes", "no", "on", "off", "y", "n"}, s) {
		return s
	}
	return strconv.Quote(s)
}

// quotedCylinders is a list of the names of cylinders, given by their indices.
func quotedCylinders(t *layout.Train, list []int) string {
	var names []string
	for _, c := range list {
		names = append(names, quoted(t.Cylinders[c].Name))
	}
	return strings.Join(names, ", ")
}

func (w *writer) head() {
	t, src := w.t, w.src
	w.value("", "name", quoted(t.Name))
	w.value("", "cycle", t.Cycle.String())
	if t.Rotation == layout.Clockwise {
		w.value("", "rotation", t.Rotation.String())
	}
	if src.Duty.Given() {
		w.value("", "duty", src.Duty.Value)
	}
	if t.Bore > 0 {
		w.value("", "bore", kept(t.Bore, src.Bore), "bore")
	}
	w.line("layout:")
	w.line("  arrangement: custom")
	if t.FiringOrder != nil {
		w.line("  firing_order: [%s]", quotedCylinders(t, t.FiringOrder))
	}
	switch l := src.Layout.Labels; {
	case l.Word != "":
		w.value("  ", "labels", l.Word)
	case l.List != nil:
		text := ""
		for i, label := range l.List {
			if i > 0 {
				text += ", "
			}
			text += quoted(label.Value)
		}
		w.line("  labels: [%s]", text)
	}
}

func (w *writer) throws() {
	w.line("  throws:")
	pins := w.src.Layout.Pins.List
	for i, th := range w.t.Throws {
		var was Throw
		if i < len(w.src.Layout.Throws) {
			was = w.src.Layout.Throws[i]
		}
		angles := []Quantity[Angle]{was.Angle}
		switch len(w.t.Throws) {
		case len(pins):
			angles = append(angles, pins[i])
		case 2 * len(pins):
			angles = append(angles, pins[i/2])
		}
		pair := ""
		if th.Pair != i && th.Pair >= 0 && th.Pair < len(w.t.Throws) {
			pair = ", pair: " + quoted(w.t.Throws[th.Pair].Name)
		}
		w.line("    - {name: %s, at: %s, angle: %s, radius: %s, unbalance: %s%s}%s", quoted(th.Name),
			kept(th.At, was.At), kept(float64(th.Angle), angles...), kept(th.Radius, was.Radius),
			kept(th.Unbalance, was.Unbalance, w.src.Crank.ThrowUnbalance), pair,
			w.comment(fmt.Sprintf("layout.throws[%d].unbalance", i), "crank.throw_unbalance"))
	}
}

func (w *writer) cylinders() {
	w.line("  cylinders:")
	src := w.src
	for i := range w.t.Cylinders {
		c := &w.t.Cylinders[i]
		var was Cylinder
		if i < len(src.Layout.Cylinders.List) {
			was = src.Layout.Cylinders.List[i]
		}
		offsets := append([]Quantity[Length]{was.Offset}, src.Layout.CylinderOffset.List...)
		path := fmt.Sprintf("layout.cylinders[%d].", i)
		both := func(key string) []string { return []string{path + key, key} }
		const in = "      "
		w.line("    - name: %s", quoted(c.Name))
		w.value(in, "throw", quoted(w.t.Throws[c.Throw].Name))
		w.value(in, "at", kept(c.At, was.At))
		w.value(in, "axis", kept(float64(c.Axis), was.Axis))
		w.value(in, "offset", kept(c.Offset, offsets...))
		if c.FiresGiven {
			w.value(in, "fires_at", kept(float64(c.FiresAt), was.FiresAt))
		}
		if c.Exhaust != "" {
			w.value(in, "exhaust", quoted(c.Exhaust))
		}
		if c.Bank < len(w.t.Banks) && w.t.Banks[c.Bank].Name != fmt.Sprint(c.Bank+1) {
			w.value(in, "bank", quoted(w.t.Banks[c.Bank].Name))
		}
		w.line("%spiston:", in)
		w.value(in+"  ", "mass", kept(c.Piston.Mass, was.Piston.Mass, src.Piston.Mass), both("piston.mass")...)
		w.value(in+"  ", "pin_offset", kept(c.Piston.PinOffset, was.Piston.PinOffset, src.Piston.PinOffset))
		if c.Piston.CompressionHeight > 0 {
			w.value(in+"  ", "compression_height", kept(c.Piston.CompressionHeight, was.Piston.CompressionHeight, src.Piston.CompressionHeight),
				both("piston.compression_height")...)
		}
		w.rod(in, c, &was, both)
	}
}

func (w *writer) rod(in string, c *layout.Cylinder, was *Cylinder, both func(string) []string) {
	rod, src := &c.Rod, w.src
	w.line("%srod:", in)
	in += "  "
	w.value(in, "length", kept(rod.Length, was.Rod.Length, src.Rod.Length, src.Layout.LinkLength), w.unlessLinked(rod, both("rod.length"))...)
	w.value(in, "mass", kept(rod.Mass, was.Rod.Mass, src.Rod.Mass), both("rod.mass")...)
	w.value(in, "cg_from_big_end", kept(rod.CG, was.Rod.CG, src.Rod.CG), both("rod.cg_from_big_end")...)
	w.value(in, "inertia", kept(rod.Inertia, was.Rod.Inertia, src.Rod.Inertia), both("rod.inertia")...)
	if !rod.Linked {
		return
	}
	w.value(in, "master", quoted(w.t.Cylinders[rod.Master].Name))
	w.value(in, "knuckle_radius", kept(rod.KnuckleRadius, was.Rod.KnuckleRadius, was.KnuckleRadius, src.Layout.KnuckleRadius), "layout.knuckle_radius")
	angles := append([]Quantity[Angle]{was.Rod.KnuckleAngle, was.KnuckleAngle}, src.Layout.KnuckleAngles.List...)
	w.value(in, "knuckle_angle", kept(float64(rod.KnuckleAngle), angles...))
}

// unlessLinked drops the key of the file's rod for a linked rod, whose length is not that one.
func (w *writer) unlessLinked(rod *layout.Rod, keys []string) []string {
	if rod.Linked {
		return keys[:1]
	}
	return keys
}

// common writes what follows the layout.
func (w *writer) common() {
	t, src := w.t, w.src
	w.line("crank:")
	w.counterweights()
	g := t.Crank
	w.journal("main_journal", "diameter", "width", g.MainJournal.Diameter, g.MainJournal.Width, src.Crank.MainJournal.Diameter, src.Crank.MainJournal.Width)
	w.bore(g.MainJournal.Bore, src.Crank.MainJournal.Bore)
	w.journal("crankpin", "diameter", "width", g.Crankpin.Diameter, g.Crankpin.Width, src.Crank.Crankpin.Diameter, src.Crank.Crankpin.Width)
	w.bore(g.Crankpin.Bore, src.Crank.Crankpin.Bore)
	w.journal("web", "thickness", "width", g.Web.Thickness, g.Web.Width, src.Crank.Web.Thickness, src.Crank.Web.Width)
	if g.Fillet > 0 {
		w.value("  ", "fillet_radius", kept(g.Fillet, src.Crank.FilletRadius), "crank.fillet_radius")
	}
	w.steel()
	w.shafts()
	w.value("", "reference", kept(t.Reference, src.Reference))
	if t.Flywheel > 0 || t.Turning.Density > 0 {
		w.line("flywheel:")
		if t.Flywheel > 0 {
			w.value("  ", "inertia", kept(t.Flywheel, src.Flywheel.Inertia), "flywheel.inertia")
		}
		w.workingKeys("  ", "flywheel")
	}
	if s := t.Speeds; s != (layout.Speeds{}) {
		w.line("speeds:")
		for _, v := range []struct {
			key string
			si  float64
			was Quantity[Speed]
		}{{"idle", s.Idle, src.Speeds.Idle}, {"rated", s.Rated, src.Speeds.Rated}, {"limit", s.Limit, src.Speeds.Limit}} {
			if v.si > 0 {
				w.value("  ", v.key, kept(v.si, v.was), "speeds."+v.key)
			}
		}
	}
	w.gas()
	w.bearings()
	w.mounting()
	w.block()
	w.making()
}

func (w *writer) journal(key, first, second string, a, b float64, wasA, wasB Quantity[Length]) {
	if a <= 0 && b <= 0 {
		return
	}
	w.line("  %s:", key)
	if a > 0 {
		w.value("    ", first, kept(a, wasA), "crank."+key+"."+first)
	}
	if b > 0 {
		w.value("    ", second, kept(b, wasB), "crank."+key+"."+second)
	}
}

// bore writes the bore of the journal above.
func (w *writer) bore(bore float64, was Quantity[Length]) {
	if bore > 0 {
		w.value("    ", "bore", kept(bore, was))
	}
}

// mass writes the inside of a map {at, angle, unbalance}.
func mass(u layout.Unbalance, at Quantity[Length], angle Quantity[Angle], amount Quantity[Moment]) string {
	return fmt.Sprintf("at: %s, angle: %s, unbalance: %s", kept(u.At, at), kept(float64(u.Angle), angle), kept(u.Amount, amount))
}

func (w *writer) counterweights() {
	if len(w.t.Counterweights) == 0 {
		w.line("  counterweights: none")
		return
	}
	w.line("  counterweights:")
	for i, u := range w.t.Counterweights {
		var was Unbalance
		if list := w.src.Crank.Counterweights.List; i < len(list) {
			was = list[i]
		}
		throw := ""
		if u.Throw > 0 && u.Throw <= len(w.t.Throws) {
			throw = ", throw: " + quoted(w.t.Throws[u.Throw-1].Name)
		}
		w.line("    - {%s%s}", mass(u, was.At, was.Angle, was.Unbalance), throw)
	}
}

func (w *writer) shafts() {
	if len(w.t.Shafts) == 0 {
		w.line("balance_shafts: []")
		return
	}
	w.line("balance_shafts:")
	for i, s := range w.t.Shafts {
		var was Shaft
		if i < len(w.src.BalanceShafts) {
			was = w.src.BalanceShafts[i]
		}
		w.line("  - speed_ratio: %s", kept(s.SpeedRatio, was.SpeedRatio))
		w.value("    ", "y", kept(s.Y, was.Y))
		w.value("    ", "z", kept(s.Z, was.Z))
		w.line("    masses:")
		for j, m := range s.Masses {
			var wasMass ShaftMass
			if j < len(was.Masses) {
				wasMass = was.Masses[j]
			}
			w.line("      - {%s}", mass(m, wasMass.At, wasMass.Angle, wasMass.Unbalance))
		}
	}
}
