package server

import (
	"fmt"
	"sync"

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
	files    map[string]string // states of the other files that it names, such as a measured trace, from before they were read

	guidance func() *analysis.Guidance // that result misses, found when it is first asked for
}

// evaluate reads a text as an engine file and runs the analysis.
//
// A mistake of the program's own shows as a problem of this engine: it must not take the others down.
//
// read returns a file that the text names, such as a measured trace; nil: there are no other files.
func evaluate(file string, data []byte, opt analysis.Options, read func(name string) ([]byte, error)) (v *evaluated) {
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
	if err == nil && read != nil {
		err = v.src.ReadMeasured(v.train, "", read)
	}
	if err == nil {
		v.result, err = analysis.Run(v.train, opt)
	}
	v.guidance = sync.OnceValue(func() *analysis.Guidance { return guidanceOf(v.result) })
	v.problems = []Problem{}
	if err == nil {
		return v
	}
	for _, e := range v.src.Placed(err) {
		if v.train != nil && e.File != file && e.File != "" { // in the trace that the file names
			e = v.src.ErrorAt("gas.trace", "trace: "+e.Error(), "")
		}
		v.problems = append(v.problems, Problem{
			Line: e.Line, Column: e.Column, What: e.What, Allowed: e.Allowed,
			Path: v.src.PathAt(spec.Position{Line: e.Line, Column: e.Column}),
		})
	}
	return v
}

// guidanceOf looks for the guidance that an engine misses; nil where there is no result, or the program fails on it: it must not
// take the others down.
func guidanceOf(r *analysis.Result) (g *analysis.Guidance) {
	defer func() {
		if recover() != nil {
			g = nil
		}
	}()
	if r == nil {
		return nil
	}
	return analysis.GuidanceOf(r)
}

// evaluate reads a text that is not on disk, or not yet.
func (s *Server) evaluate(file string, data []byte, opt analysis.Options) *evaluated {
	files := map[string]string{}
	v := evaluate(file, data, opt, s.folder.noting(files))
	v.files = files
	return v
}

// known reads a file of the folder, from the cache where its content was evaluated before and nothing that it names has changed
// since.
func (s *Server) known(file string, on stored, opt analysis.Options) *evaluated {
	if on.failed != "" {
		return &evaluated{src: &spec.Engine{}, problems: []Problem{{Line: 1, Column: 1, What: "the file cannot be read: " + on.failed, Allowed: "see who may read it"}}}
	}
	key, now := cacheKey{file, on.etag, opt}, func() *evaluated { return s.evaluate(file, on.data, opt) }
	kept := s.cache.of(key, now)
	v := kept.value()
	if s.folder.unchanged(v.files) {
		return v
	}
	s.cache.forget(kept)
	return s.cache.of(key, now).value()
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
	out.Result.Parts, out.Result.Cost = nil, nil // their figures are in; the lists have operations of their own
	out.Geometry = report.NewGeometry(r)
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
