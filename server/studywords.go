package server

import (
	"context"
	"fmt"
	"math"
	"strings"

	"crankwright/analysis"
	"crankwright/spec"
)

func (s *Server) getStudyWords(_ context.Context, in *struct {
	Base string `query:"base" required:"true" maxLength:"250" doc:"engine file that the study varies"`
},
) (*struct{ Body *StudyWords }, error) {
	if !strings.HasSuffix(in.Base, engineSuffix) {
		return nil, badField("query.base", fmt.Sprintf("%q is no engine file", in.Base))
	}
	data, err := s.folder.named(in.Base)
	if err != nil {
		return nil, notFound(fmt.Sprintf("there is no engine file %q in the folder", in.Base))
	}
	v := s.evaluate(in.Base, data, analysis.Options{})
	out := &StudyWords{Vary: varied(v), Measures: measureInfos(), Briefs: []BriefEntry{}}
	l, err := s.folder.look()
	if err != nil {
		return nil, err
	}
	for _, name := range l.briefs {
		out.Briefs = append(out.Briefs, briefEntry(name, l.files[name]))
	}
	return &struct{ Body *StudyWords }{out}, nil
}

// varied lists what of an engine can vary: what only a study knows first, then the inputs of its file.
func varied(v *evaluated) []VaryInfo {
	var out []VaryInfo
	add := func(key, name, line, present, help string) {
		out = append(out, VaryInfo{Key: key, Name: name, Chapter: "search", Line: line, Present: present, Help: help})
	}
	fields := spec.Fields(v.src, v.train)
	present := func(path string) string {
		for _, f := range fields {
			if f.Path == path {
				return f.Text
			}
		}
		return ""
	}
	add("layout.pins", "Phasing of the crank pins, all distinct ones", "all", present("layout.pins"), "symmetric twins once; {all: 30 deg} says the step")
	add("layout.firing_order", "Firing order, every one the crank can do", "all", present("layout.firing_order"), "or a list of orders")
	add("crank.counterweights", "Counterweights, also designed for each engine", "[none, {balance_factor: 50 %}, best]", present("crank.counterweights"), "best is designed for each engine")
	add("balance_shafts", "Balance shafts, designed for each engine", "[none, order-1, order-2, orders-1-and-2]", present("balance_shafts"), "")
	add(spec.StrokeOverBore, "Stroke over bore, at the displacement of the base", "{from: 0.8, to: 1.2, step: 0.1}", ratioWords(v, true), "a pure number")
	add(spec.RodOverThrow, "Rod length over crank radius", "[3.2, 3.4, 3.6]", ratioWords(v, false), "a pure number")
	seen := map[string]bool{}
	for _, k := range out {
		seen[k.Key] = true
	}
	for _, f := range fields {
		line := lineOf(f)
		if line == "" || seen[f.Path] || strings.Contains(f.Path, "[") || strings.HasPrefix(f.Path, "gas.trace") {
			continue
		}
		seen[f.Path] = true
		out = append(out, VaryInfo{Key: f.Path, Name: f.Label, Chapter: f.Chapter, Present: f.Text, Line: line, Help: f.Help})
	}
	return out
}

// ratioWords shows stroke over bore of an engine, or rod length over crank radius.
func ratioWords(v *evaluated, stroke bool) string {
	t := v.train
	switch {
	case t == nil || t.Bore <= 0 || len(t.Throws) == 0 || len(t.Cylinders) == 0 || t.Throws[0].Radius <= 0:
		return ""
	case stroke:
		return valueWords(nil, 2*t.Throws[0].Radius/t.Bore)
	}
	return valueWords(nil, t.Cylinders[0].Rod.Length/t.Throws[0].Radius)
}

// lineOf is what a study would say so that a field varies around its present value; empty: it cannot vary so.
func lineOf(f spec.Field) string {
	switch f.Kind {
	case "word":
		if len(f.Words) > 1 {
			return "[" + strings.Join(f.Words, ", ") + "]"
		}
	case "count":
		if f.Value != nil {
			return fmt.Sprintf("[%.0f, %.0f]", *f.Value, *f.Value+1)
		}
	case "quantity":
		if f.Value == nil || len(f.Units) == 0 {
			return ""
		}
		unit := f.Units[0]
		x, err := spec.InUnit(f.Text, unit)
		if err != nil {
			return ""
		}
		if unit != "" && unit != "1" {
			unit = " " + unit
		} else {
			unit = ""
		}
		step := roundStep(math.Abs(x) / 20)
		if f.Dimension == "angle" {
			step = 15
		}
		if step <= 0 {
			return "" // nothing says how large it may be
		}
		from := math.Round((x-2*step)/step) * step
		to := math.Round((x+2*step)/step) * step
		return fmt.Sprintf("{from: %s%s, to: %s%s, step: %s%s}", valueWords(nil, from), unit, valueWords(nil, to), unit, valueWords(nil, step), unit)
	}
	return ""
}

// roundStep is the next of 1, 2, 5 times a power of ten that is not below.
func roundStep(x float64) float64 {
	if !(x > 0) {
		return 0
	}
	ten := math.Pow(10, math.Floor(math.Log10(x)))
	for _, k := range []float64{1, 2, 5} {
		if k*ten >= x {
			return k * ten
		}
	}
	return 10 * ten
}
