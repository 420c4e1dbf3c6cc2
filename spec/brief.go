package spec

import (
	"bytes"
	"fmt"
	"reflect"
	"strings"

	"crankwright/brief"
	"crankwright/num"
)

// BriefSuffix ends the names of briefs.
const BriefSuffix = ".brief.yaml"

// ReadBrief reads a brief. file is the name that messages show; the error is Errors with everything that is wrong.
func ReadBrief(file string, data []byte) (*brief.Brief, error) {
	c := &collector{file: file}
	doc := parseDocument(c, data)
	if doc == nil {
		return nil, c.sorted()
	}
	var f BriefFile
	d := newDecoder(c, doc)
	d.whole = reflect.TypeFor[BriefFile]()
	d.value("the file", reflect.ValueOf(&f).Elem(), doc.root)
	d.finish()
	b := &brief.Brief{Name: f.Name.Value, Application: f.Application.Value, Worths: f.Worth.Of}
	if f.Name.missing() {
		c.fail(f.at, "write name: Harbour pilot boat", "name is missing")
	}
	for _, l := range f.Limits.List {
		b.Limits = append(b.Limits, brief.Limit{Measure: l.Measure, AtMost: l.AtMost, Bound: l.Bound, Why: f.Why.Of[l.Measure]})
	}
	heaviest := 0.0
	for _, p := range f.Priorities.List {
		parts, own := f.MadeOf.Of[p.Key]
		if _, known := brief.AimOf(p.Key); !known && !own {
			c.unknownPriority(p, f.MadeOf.Of)
			continue
		}
		b.Priorities = append(b.Priorities, brief.Priority{Key: p.Key, Weight: p.Weight, Why: f.Why.Of[p.Key], Parts: parts})
		heaviest = max(heaviest, p.Weight.High)
	}
	switch {
	case f.Priorities.missing():
		c.fail(f.at, "write priorities: {smoothness: 8, cost: 5}", "priorities are missing")
	case f.Priorities.Given() && heaviest == 0 && len(c.list) == 0:
		c.fail(f.Priorities.at, "give at least one priority a number above 0", "priorities: nothing matters")
	}
	for key, at := range f.Why.place {
		if !mentions(&f, key) {
			c.fail(at, "it must be one of the limits or priorities of this brief", "why: nothing here is called %q", clip(key))
		}
	}
	for key := range f.MadeOf.Of {
		if !contains(f.Priorities.named, key) {
			c.fail(f.MadeOf.at, "give it a priority, or leave it out", "made_of: %q is no priority of this brief", key)
		}
	}
	if err := c.sorted(); err != nil {
		return nil, err
	}
	return b, nil
}

func (c *collector) unknownPriority(p BriefPriority, own map[string][]brief.Part) {
	names := (&BriefPriorities{}).keys()
	for key := range own {
		names = append(names, key)
	}
	if m, ok := brief.MeasureOf(p.Key); ok && m.Better == 0 {
		c.fail(p.at, "it can only be a limit", "%s: neither more nor less of it is better", p.Key)
		return
	}
	allowed := "priorities are " + strings.Join(aimNames(), ", ") + ", any figure of a result with a better side, or a word that made_of explains"
	if near := nearest(p.Key, names); near != "" {
		allowed = "did you mean \"" + near + "\"?"
	}
	c.fail(p.at, allowed, "unknown priority %q", clip(p.Key))
}

func mentions(f *BriefFile, key string) bool {
	return contains(f.Limits.named, key) || contains(f.Priorities.named, key) || f.Limits.state == broken || f.Priorities.state == broken
}

// ReadBriefFile reads a brief from disk.
func ReadBriefFile(path string) (*brief.Brief, error) {
	data, err := ReadWhole(path)
	if err != nil {
		return nil, err
	}
	return ReadBrief(path, data)
}

// WriteBrief writes a brief as a file that ReadBrief reads to the same values.
func WriteBrief(b *brief.Brief) []byte {
	var w bytes.Buffer
	fmt.Fprintf(&w, "name: %s\n", quoted(b.Name))
	if b.Application != "" {
		fmt.Fprintf(&w, "application: %s\n", quoted(b.Application))
	}
	why := map[string]string{}
	var order []string
	reason := func(key, text string) {
		if _, known := why[key]; text != "" && !known {
			why[key] = text
			order = append(order, key)
		}
	}
	if len(b.Limits) > 0 {
		w.WriteString("\nlimits: # what does not keep them is ruled out\n")
	}
	done := map[string]bool{}
	for _, l := range b.Limits {
		reason(l.Measure, l.Why)
		if done[l.Measure] {
			continue
		}
		done[l.Measure] = true
		var bounds []string
		for _, o := range b.Limits {
			if o.Measure == l.Measure {
				bounds = append(bounds, boundText(o))
			}
		}
		if len(bounds) > 1 {
			fmt.Fprintf(&w, "  %s: [%s]\n", l.Measure, strings.Join(bounds, ", "))
			continue
		}
		fmt.Fprintf(&w, "  %s: %s\n", l.Measure, bounds[0])
	}
	w.WriteString("\npriorities: # 0 to 10, or a range such as [3, 8] where people disagree\n")
	for _, p := range b.Priorities {
		reason(p.Key, p.Why)
		weight := formatNumber(p.Weight.Low)
		if p.Weight.High != p.Weight.Low {
			weight = "[" + weight + ", " + formatNumber(p.Weight.High) + "]"
		}
		fmt.Fprintf(&w, "  %s: %s\n", p.Key, weight)
	}
	if len(order) > 0 {
		w.WriteString("\nwhy:\n")
	}
	for _, key := range order {
		fmt.Fprintf(&w, "  %s: %s\n", key, quoted(why[key]))
	}
	writeMadeOf(&w, b)
	writeWorths(&w, b)
	return w.Bytes()
}

func boundText(l brief.Limit) string {
	sign := ">="
	if l.AtMost {
		sign = "<="
	}
	return `"` + sign + " " + measureText(l.Measure, l.Bound) + `"`
}

// measureText writes a value of a measure with a unit that is read again.
func measureText(measure string, v float64) string {
	m, _ := brief.MeasureOf(measure)
	dim := measureDimension(m.Unit)
	text := formatNumber(v)
	if len(dim.units) > 0 {
		unit := dim.units[0]
		if m.Unit == "bar" || m.Unit == "rpm" || m.Unit == "deg" || m.Unit == "mm" || m.Unit == "kg" || m.Unit == "MPa" {
			unit = m.Unit
		}
		if m.Unit == "kg m²" {
			unit = "kg m2"
		}
		text += " " + unit
	}
	return text
}

func writeMadeOf(w *bytes.Buffer, b *brief.Brief) {
	head := "\nmade_of:\n"
	for _, p := range b.Priorities {
		if p.Parts == nil {
			continue
		}
		var parts []string
		for _, part := range p.Parts {
			parts = append(parts, part.Measure+": "+formatNumber(part.Share))
		}
		fmt.Fprintf(w, "%s  %s: {%s}\n", head, p.Key, strings.Join(parts, ", "))
		head = ""
	}
}

func writeWorths(w *bytes.Buffer, b *brief.Brief) {
	head := "\nworth:\n"
	for _, m := range brief.Measures() {
		of := b.Worths[m.Key]
		if of == nil {
			continue
		}
		fmt.Fprintf(w, "%s  %s:\n", head, m.Key)
		for _, p := range of {
			fmt.Fprintf(w, "    - {at: %s, worth: %s}\n", measureText(m.Key, p.At), formatNumber(p.Worth))
		}
		head = ""
	}
}

// MeasureShown writes a value of a measure for people, with its unit.
func MeasureShown(measure string, v float64) string {
	m, _ := brief.MeasureOf(measure)
	if m.Unit == "1" {
		return num.Digits(v, 4)
	}
	return num.Digits(v, 4) + " " + m.Unit
}

// NewBrief returns a brief to be edited, with every priority that has a word of the trade and what it means.
func NewBrief() []byte {
	var w bytes.Buffer
	w.WriteString("# What an application wants of its engine. Change what you know better: 'crankwright choose' judges engines by it.\n")
	w.WriteString("name: New brief\napplication: What the engine is for, and who lives with it.\n")
	w.WriteString("\nlimits: # what does not keep them is ruled out; \"<= 620 mm\" and \">= 80 kW\" say which side\n  length: 700 mm\n  cost_index: 1.5\n")
	w.WriteString("\npriorities: # 0 to 10, or a range such as [3, 8] where people disagree\n")
	for _, a := range brief.Aims() {
		points := "5"
		if needsLong(a) {
			points = "0"
		}
		fmt.Fprintf(&w, "  %s: %s # %s\n", a.Key, points, a.Means)
	}
	w.WriteString("\n# why:      reasons, by limit or priority, such as {length: the bulkhead}\n")
	w.WriteString("# made_of:  other measures for a priority, such as {smoothness: {free_force_order_2: 2, free_moment_order_1: 1}}\n")
	w.WriteString("# worth:    what values are worth, such as {length: {worst: 700 mm, best: 400 mm}}\n")
	return w.Bytes()
}

// needsLong tells whether an aim needs chapters that take some tenths of a second for each engine.
func needsLong(a brief.Aim) bool {
	for _, p := range a.Parts {
		if m, _ := brief.MeasureOf(p.Measure); m.Needs >= brief.Lasting {
			return true
		}
	}
	return false
}
