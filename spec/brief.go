package spec

import (
	"bytes"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"crankwright/brief"
	"crankwright/num"
)

// BriefSuffix ends the names of briefs.
const BriefSuffix = ".brief.yaml"

// ReadBrief reads a brief. file is the name that messages show; the error is Errors with everything that is wrong.
func ReadBrief(file string, data []byte) (*brief.Brief, error) {
	c := &collector{file: file}
	var f BriefFile
	if decodeFile(c, data, &f) == nil {
		return nil, c.sorted()
	}
	b := &brief.Brief{Name: f.Name.Value, Application: f.Application.Value, Worths: f.Worth.Of}
	if f.Name.missing() {
		c.fail(f.at, "write name: Harbour pilot boat", "name is missing")
	}
	b.PricesFile = c.beside("prices", f.Prices, PricesSuffix, "brief")
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
		if !slices.Contains(f.Priorities.tried, key) && f.Priorities.state != broken {
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
	c.fail(p.at, orNearest(p.Key, names, allowed), "unknown priority %q", clip(p.Key))
}

// mentions tells whether a reason can be that of a limit or a priority; where these cannot be read at all, of any.
func mentions(f *BriefFile, key string) bool {
	return slices.Contains(f.Limits.tried, key) || slices.Contains(f.Priorities.tried, key) || f.Limits.state == broken || f.Priorities.state == broken
}

// ReadBriefFile reads a brief from disk.
func ReadBriefFile(path string) (*brief.Brief, error) {
	data, err := ReadWhole(path)
	if err != nil {
		return nil, err
	}
	b, err := ReadBrief(path, data)
	if err != nil {
		return nil, err
	}
	return b, ReadBriefPrices(b, FilesIn(filepath.Dir(path)))
}

// ReadBriefPrices reads the price table that a brief names, if it names one.
//
// read returns a file by its name from the folder of the brief. Errors: those of ReadPrices, a file that is not there.
func ReadBriefPrices(b *brief.Brief, read func(name string) ([]byte, error)) error {
	if b.PricesFile == "" {
		return nil
	}
	data, err := read(b.PricesFile)
	if err != nil {
		return fmt.Errorf("prices: there is no price table %q that can be read beside the brief", b.PricesFile)
	}
	p, err := ReadPrices(b.PricesFile, data)
	if err != nil {
		return err
	}
	b.Prices = &p
	return nil
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
