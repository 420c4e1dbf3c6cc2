package server

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"net/http"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"unicode/utf8"

	"crankwright/brief"
	"crankwright/num"
	"crankwright/report"
	"crankwright/results"
	"crankwright/search"
	"crankwright/spec"
	"crankwright/study"
)

// studyStore keeps what is known of studies: the last ones that were opened, folders of results, and runs.
type studyStore struct {
	opening sync.Mutex // one study at a time: laying out a large space keeps a processor and its memory busy
	opened  []openedStudy
	kept    *search.Problem // of results whose files have changed since
	mu      sync.Mutex
	runs    map[string]*studyRun       // by file
	folders map[string]*results.Folder // for reading, by file
}

// openedStudy is a study joined with its files as they were.
type openedStudy struct {
	file    string
	text    string
	files   map[string]string // state of the others, by name
	problem *search.Problem
}

const mostOpened = 12

// openStudy joins a text of a study with its base and its brief. A mistake of the program's own ends this study, not the
// server.
func (s *Server) openStudy(file string, text []byte) (p *search.Problem, err error) {
	st := &s.studies
	st.opening.Lock()
	defer st.opening.Unlock()
	for _, o := range st.opened {
		if o.file == file && o.text == string(text) && s.folder.unchanged(o.files) {
			return o.problem, nil
		}
	}
	defer func() {
		if r := recover(); r != nil {
			p, err = nil, fmt.Errorf("the program failed on this study: %v; please report it with the file", r)
		}
	}()
	now := openedStudy{file: file, text: string(text), files: map[string]string{}}
	read := s.folder.noting(now.files)
	bundle, err := search.Gather(file, func(name string) ([]byte, error) {
		if name == file {
			return text, nil
		}
		data, err := read(name)
		if errors.Is(err, fs.ErrNotExist) {
			err = fmt.Errorf("there is no file %q in the folder", name)
		}
		return data, err
	})
	if err == nil {
		now.problem, err = search.Open(bundle)
	}
	if err != nil {
		return nil, err
	}
	st.opened = append(st.opened, now)
	if len(st.opened) > mostOpened {
		st.opened = slices.Delete(st.opened, 0, 1)
	}
	return now.problem, nil
}

// studyProblems places what is wrong with a study. What is wrong in a file that it names stands where it names it.
func studyProblems(file string, text []byte, err error) []Problem {
	var list spec.Errors
	if !errors.As(err, &list) {
		what := strings.TrimPrefix(err.Error(), file+": ")
		var fault *search.NoEngineError
		name := ""
		if errors.As(err, &fault) {
			name = fault.Base
		}
		at := placeOf(text, name)
		return []Problem{{Line: at.Line, Column: at.Column, What: what}}
	}
	out := problemsOf(list)
	for i, e := range list {
		if e.File != "" && e.File != file {
			at := placeOf(text, e.File)
			out[i].Line, out[i].Column = at.Line, at.Column
			out[i].What = fmt.Sprintf("%s, line %d: %s", e.File, e.Line, e.What)
		}
	}
	return out
}

// placeOf returns where a text first names a file; its beginning where it does not.
func placeOf(text []byte, name string) spec.Position {
	if name != "" {
		for i, line := range strings.Split(string(text), "\n") {
			if c := strings.Index(line, name); c >= 0 && !strings.HasPrefix(strings.TrimSpace(line), "#") {
				return spec.Position{Line: i + 1, Column: utf8.RuneCountInString(line[:c]) + 1}
			}
		}
	}
	return spec.Position{Line: 1, Column: 1}
}

func (s *Server) checkStudy(_ context.Context, in *struct{ Body StudyDraft }) (*struct{ Body *StudyCheck }, error) {
	if !validStudy(in.Body.File) {
		return nil, badField("body.file", badStudyName(in.Body.File).Error())
	}
	var text []byte
	if in.Body.Text != nil {
		text = []byte(*in.Body.Text)
	} else {
		on, err := s.folder.study(in.Body.File)
		if err != nil {
			return nil, err
		}
		text = on.data
	}
	if err := savable(text); err != nil {
		return nil, err
	}
	out := &StudyCheck{Problems: []Problem{}}
	p, err := s.openStudy(in.Body.File, text)
	if err != nil {
		out.Problems = studyProblems(in.Body.File, text, err)
	} else {
		out.Plan = studyPlan(p)
	}
	return &struct{ Body *StudyCheck }{out}, nil
}

// studyPlan says in words and numbers what a problem looks at and wants.
func studyPlan(p *search.Problem) *StudyPlan {
	out := &StudyPlan{
		Name: p.Study.Name, Base: p.Study.Base, Size: report.NewStudySizeDoc(p, float64(p.Pace()), runtime.GOMAXPROCS(0)),
		Aims: []StudyColumn{}, Require: []string{}, Columns: studyColumns(p), Digest: p.Digest(),
	}
	for _, b := range out.Size.Blocks {
		for i := range b.Axes {
			b.Axes[i].Values = someOf(b.Axes[i].Values)
		}
	}
	for _, a := range p.Aims() {
		out.Aims = append(out.Aims, out.Columns[a.Column])
	}
	limits := len(p.Study.Require)
	if p.Brief != nil {
		limits += len(p.Brief.Limits)
	}
	rules := p.Rules()
	for _, rule := range rules[max(0, len(rules)-limits):] { // such as not length <= 620 mm
		out.Require = append(out.Require, strings.TrimPrefix(rule, "not "))
	}
	return out
}

// someOf returns at most 60 values: the first ones and the last where there are more.
func someOf(values []string) []string {
	const most = 60
	if len(values) <= most {
		return values
	}
	return append(values[:most-1:most-1], values[len(values)-1])
}

// studyColumns describes the columns of a problem, without the words of their values.
func studyColumns(p study.Problem) []StudyColumn {
	out := []StudyColumn{}
	for _, c := range p.Columns() {
		k := StudyColumn{Key: c.Key, Name: c.Name, Unit: c.Unit, Kind: "figure", Better: "neither", Values: len(c.Texts)}
		if k.Unit == "" {
			k.Unit = "1"
		}
		if c.Kind == study.Input {
			k.Kind = "input"
		}
		out = append(out, k)
	}
	for _, a := range p.Aims() {
		out[a.Column].Better = "less"
		if a.More {
			out[a.Column].Better = "more"
		}
	}
	return out
}

// studyPoint shows a candidate.
func studyPoint(columns []study.Column, q study.Point) StudyPoint {
	out := StudyPoint{Index: q.Index, Alike: q.Alike, Values: make([]*float64, len(q.Values)), Words: make([]string, len(q.Values))}
	for i, v := range q.Values {
		out.Words[i] = valueWords(columns[i].Texts, v)
		if !math.IsNaN(v) {
			out.Values[i] = &q.Values[i]
		}
	}
	return out
}

// valueWords shows a value without its unit.
func valueWords(texts []string, v float64) string {
	switch {
	case math.IsNaN(v):
		return "–"
	case texts == nil:
		return num.Digits(v, 4)
	case v >= 0 && int(v) < len(texts):
		return texts[int(v)]
	}
	return ""
}

func (s *Server) newStudyText(b NewStudy) (data []byte, name string, err error) {
	if !justOne(b.Base != "", b.CopyOf != "", b.Text != nil) {
		return nil, "", badField("body", "give one of base, copy_of and text")
	}
	switch {
	case b.Text != nil:
		data = []byte(*b.Text)
	case b.CopyOf != "":
		on, err := s.folder.study(b.CopyOf)
		if err != nil {
			return nil, "", err
		}
		data, name = on.data, strings.TrimSuffix(b.CopyOf, spec.StudySuffix)+" copy"
	default:
		on, err := s.folder.get(b.Base)
		if err != nil {
			return nil, "", err
		}
		data = s.firstStudy(b.Base, on)
		name = strings.TrimSuffix(b.Base, engineSuffix)
	}
	if b.Name != "" {
		name = b.Name
		if data, err = editedBy(spec.EditStudy, data, []Edit{{Path: "name", Text: &b.Name}}); err != nil {
			return nil, "", err
		}
	}
	return data, cmp.Or(name, "new study"), nil
}

// firstStudy is a study of a base that can be run at once: the template with what this engine can do of it.
func (s *Server) firstStudy(base string, on stored) []byte {
	v := s.known(base, on, optionsAt(0, false))
	title, ratio, limit := "Variants of "+v.name(base), "{from: 0.8, to: 1.2, step: 0.05}", ""
	data, err := spec.EditStudy(spec.NewStudy(), []spec.Change{{Path: "base", Text: &base}, {Path: "name", Text: &title}})
	if err != nil {
		return spec.NewStudy()
	}
	if v.result != nil {
		if length := brief.ValuesOf(v.result)["length"]; length > 0 {
			limit = fmt.Sprintf("%.0f mm", math.Ceil(length*1.1/10)*10)
			if less, err := spec.EditStudy(data, []spec.Change{{Path: "require.length", Text: &limit}}); err == nil {
				data = less
			}
		}
	}
	const bank, pins, firings = "vary.layout.bank_angle", "vary.layout.pins", "vary.layout.firing_order"
	for _, take := range [][]string{{}, {firings}, {bank}, {bank, firings}, {pins}, {pins, bank}, {pins, firings}, {bank, pins, firings}} {
		var changes []spec.Change
		if len(take) == 3 {
			changes = append(changes, spec.Change{Path: "vary." + spec.StrokeOverBore, Text: &ratio})
		}
		for _, path := range take {
			changes = append(changes, spec.Change{Path: path})
		}
		less, err := spec.EditStudy(data, changes)
		if err != nil {
			continue
		}
		p, err := s.openStudy("new"+spec.StudySuffix, less)
		if err != nil {
			continue
		}
		if size := studyPlan(p).Size; size.Blocks[0].Dead == "" && size.Total > 1 && size.Time < mostFirst {
			return less
		}
	}
	return data
}

// mostFirst is how many seconds the first run of a new study may take, roughly.
const mostFirst = 60

// resultsDir returns where the results of a study stand on disk; there: something stands there.
func (s *Server) resultsDir(file string) (dir string, there bool, err error) {
	name := results.Beside(file)
	info, err := s.folder.root().Lstat(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return "", false, fmt.Errorf("%s: %w", name, plainError(err))
	case !info.IsDir():
		return "", false, failure(http.StatusConflict, name+" is no folder, so the results of the study cannot be kept there; rename it")
	default:
		there = true
	}
	return filepath.Join(s.cfg.Folder, name), there, nil
}
