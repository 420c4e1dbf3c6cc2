package server

import (
	"fmt"
	"slices"

	"crankwright/analysis"
	"crankwright/explain"
	"crankwright/mechanics/layout"
	"crankwright/report"
	"crankwright/spec"
)

// evaluated is one text read and analysed.
type evaluated struct {
	train    *layout.Train // nil where there are problems of the file
	src      *spec.Engine
	result   *analysis.Result // nil where there are problems
	problems []Problem
}

// evaluate reads a text as an engine file and runs the analysis.
//
// A mistake of the program's own shows as a problem of this engine: it must not take the others down.
func evaluate(file string, data []byte, opt analysis.Options) (v *evaluated) {
	defer func() {
		if r := recover(); r != nil {
			v = &evaluated{src: &spec.Engine{}, problems: []Problem{{
				Line: 1, Column: 1, What: fmt.Sprintf("the program failed on this engine: %v", r), Allowed: "please report it with the file",
			}}}
		}
	}()
	v = &evaluated{}
	var err error
	v.train, v.src, err = spec.ReadEngine(file, data, spec.Options{})
	if err == nil {
		v.result, err = analysis.Run(v.train, opt)
	}
	v.problems = []Problem{}
	if err == nil {
		return v
	}
	for _, e := range v.src.Placed(err) {
		v.problems = append(v.problems, Problem{
			Line: e.Line, Column: e.Column, What: e.What, Allowed: e.Allowed,
			Path: v.src.PathAt(spec.Position{Line: e.Line, Column: e.Column}),
		})
	}
	return v
}

// evaluate reads a text that is not on disk, or not yet.
func (s *Server) evaluate(file string, data []byte, opt analysis.Options) *evaluated {
	return s.checked(evaluate(file, data, opt))
}

// known reads a file of the folder, from the cache where its content was evaluated before.
func (s *Server) known(file string, on stored, opt analysis.Options) *evaluated {
	return s.checked(s.cache.evaluate(file, on, opt))
}

// checked holds what a text says of other files against the folder, beyond which nothing is looked at.
func (s *Server) checked(v *evaluated) *evaluated {
	if v.train == nil || v.train.Gas.Trace == "" || s.folder.has(v.train.Gas.Trace) {
		return v
	}
	e := v.src.ErrorAt("gas.trace", fmt.Sprintf("trace: there is no file %q in the folder", v.train.Gas.Trace), "give the name of a file with a measured pressure trace, from the folder of the engine file")
	missing := *v
	missing.result = nil
	missing.problems = append(slices.Clone(v.problems), Problem{Line: e.Line, Column: e.Column, Path: "gas.trace", What: e.What, Allowed: e.Allowed})
	return &missing
}

// name is what to call the engine.
func (v *evaluated) name(file string) string {
	if v.src.Name.Given() {
		return v.src.Name.Value
	}
	return file
}

// detail says what a view holds.
type detail struct {
	curves        bool
	contributions bool
	reasons       bool
	sweep         bool
}

// view collects what the workbench shows of a text.
func (v *evaluated) view(file string, data []byte, d detail) *EngineView {
	out := &EngineView{
		File: file, Text: string(data), Problems: v.problems, Fields: fieldsOf(v.src, v.train),
		Reasons: []Reason{}, Firing: []string{},
	}
	r := v.result
	if r == nil {
		return out
	}
	want := report.Detail{Curves: d.curves, Contributions: d.contributions}
	if d.sweep {
		want.Sweep = sweepSpeeds(r)
	}
	out.Result = report.NewDocument(r, want)
	out.Geometry = geometryOf(r)
	if d.reasons {
		out.Reasons, out.Firing = reasonsOf(r), append(out.Firing, explain.Firing(r)...)
	}
	return out
}

// reasonsOf explains every order that has content, and the first two always.
func reasonsOf(r *analysis.Result) []Reason {
	out := []Reason{}
	add := func(k int) {
		one := Reason{Order: float64(k) / 2, Sections: []ReasonSection{}}
		for _, s := range explain.Order(r, k) {
			one.Sections = append(one.Sections, ReasonSection{Heading: s.Heading, Lines: append([]string{}, s.Lines...)})
		}
		out = append(out, one)
	}
	always := []int{2, 4}
	for _, o := range r.Orders {
		for len(always) > 0 && always[0] <= o.K {
			if always[0] < o.K {
				add(always[0])
			}
			always = always[1:]
		}
		add(o.K)
	}
	for _, k := range always {
		add(k)
	}
	return out
}

func fieldsOf(e *spec.Engine, t *layout.Train) []Field {
	out := []Field{}
	for _, f := range spec.Fields(e, t) {
		out = append(out, Field(f))
	}
	return out
}
