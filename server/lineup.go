package server

import (
	"context"
	"fmt"
	"regexp"
	"strings"
	"sync"

	"crankwright/analysis"
	"crankwright/report"
)

type lineUpAnswer struct{ Body *LineUp }

func (s *Server) getLineUp(context.Context, *struct{}) (*lineUpAnswer, error) { return s.lineUp() }

func (s *Server) lineUp() (*lineUpAnswer, error) {
	l, err := s.folder.look()
	if err != nil {
		return nil, err
	}
	return s.lineUpOf(l), nil
}

func (s *Server) lineUpOf(l look) *lineUpAnswer {
	out := &LineUp{
		Folder: s.folder.name, Revision: l.revision, Engines: make([]EngineEntry, len(l.names)), Briefs: make([]BriefEntry, len(l.briefs)), Snapshots: s.folder.snapshots(),
		Undo: l.undo, Redo: l.redo, Left: l.left,
	}
	for i, v := range s.evaluateAll(l, l.names, analysis.Options{}) {
		name := l.names[i]
		e := EngineEntry{File: name, Etag: l.files[name].etag, Name: v.name(name), Problems: len(v.problems)}
		e.Arrangement, e.Cylinders = v.src.Layout.Arrangement.Value, v.src.Layout.Cylinders.Count
		if v.train != nil {
			e.Cylinders = len(v.train.Cylinders)
		}
		out.Engines[i] = e
	}
	for i, name := range l.briefs {
		out.Briefs[i] = briefEntry(name, l.files[name])
	}
	return &lineUpAnswer{Body: out}
}

// evaluateAll evaluates files, two at a time.
func (s *Server) evaluateAll(l look, names []string, opt analysis.Options) []*evaluated {
	out := make([]*evaluated, len(names))
	var wait sync.WaitGroup
	slots := make(chan struct{}, 2)
	for i, name := range names {
		slots <- struct{}{}
		wait.Go(func() {
			out[i] = s.known(name, l.files[name], opt)
			<-slots
		})
	}
	wait.Wait()
	return out
}

// lookAtGuidance finds the guidance that engines miss, two at a time.
func lookAtGuidance(list []*evaluated) {
	var wait sync.WaitGroup
	slots := make(chan struct{}, 2)
	for _, v := range list {
		if v.result == nil {
			continue
		}
		slots <- struct{}{}
		wait.Go(func() {
			v.guidance()
			<-slots
		})
	}
	wait.Wait()
}

func (s *Server) undo(context.Context, *struct{}) (*lineUpAnswer, error) {
	l, err := s.folder.undo()
	if err != nil {
		return nil, err
	}
	return s.lineUpOf(l), nil
}

func (s *Server) redo(context.Context, *struct{}) (*lineUpAnswer, error) {
	l, err := s.folder.redo()
	if err != nil {
		return nil, err
	}
	return s.lineUpOf(l), nil
}

// SeveralParams choose engines.
type SeveralParams struct {
	Files       string  `query:"files" doc:"engine files, separated by commas; left out: all that can be evaluated"`
	SpeedRPM    float64 `query:"speed_rpm" minimum:"0" maximum:"900000" doc:"one crank speed for all; 0: each at its rated speed"`
	LoadPercent float64 `query:"load_percent" minimum:"0" maximum:"100" default:"100" doc:"brake torque over that of full load at the speed; 0: they run light"`
}

// options are those of the evaluations.
func (p SeveralParams) options() analysis.Options {
	o := optionsAt(p.SpeedRPM, false)
	o.Load, o.Light = p.LoadPercent/100, p.LoadPercent == 0
	return o
}

// whole are those of evaluations that leave nothing out.
func (p SeveralParams) whole() analysis.Options {
	o := p.options()
	o.Lasting = true
	return o
}

// chosen is what SeveralParams choose.
type chosen struct {
	files   []string
	texts   []string // of the files
	results []*analysis.Result
	left    []LeftOut
}

// LeftOut is an engine that cannot be compared.
type LeftOut struct {
	File     string    `json:"file" doc:"file name inside the folder"`
	Problems []Problem `json:"problems" doc:"everything that is wrong with it, by place"`
}

// comma separates file names; a comma with a blank behind it is part of a name.
var comma = regexp.MustCompile(`,(\S)`)

func splitFiles(text string) []string {
	return strings.Split(comma.ReplaceAllString(text, "\x00$1"), "\x00")
}

// several evaluates the engines that a request names. One that is named and not there is an error; one
// with problems is left out and listed.
func (s *Server) several(p SeveralParams) (*chosen, error) {
	return s.severalWith(p, p.options())
}

// severalWith is several with other options.
func (s *Server) severalWith(p SeveralParams, opt analysis.Options) (*chosen, error) {
	l, err := s.folder.look()
	if err != nil {
		return nil, err
	}
	names := l.names
	if p.Files != "" {
		names = splitFiles(p.Files)
		for _, name := range names {
			if _, err := l.get(name); err != nil {
				return nil, err
			}
		}
	}
	c := &chosen{files: []string{}, left: []LeftOut{}}
	for i, v := range s.evaluateAll(l, names, opt) {
		if v.result == nil {
			c.left = append(c.left, LeftOut{names[i], v.problems})
			continue
		}
		c.files = append(c.files, names[i])
		c.texts = append(c.texts, v.src.Whole())
		c.results = append(c.results, v.result)
	}
	return c, nil
}

// Comparison is engines side by side.
type Comparison struct {
	Files     []string             `json:"files" doc:"the engines, in the sequence of the values"`
	Names     []string             `json:"names" doc:"of the engines, in the same sequence"`
	SpeedsRPM []float64            `json:"speeds_rpm" doc:"speed of each"`
	Estimated []int                `json:"estimated" doc:"how many values of each are estimated, not given"`
	Rows      []report.ComparedRow `json:"rows" doc:"one a figure"`
	Baseline  *int                 `json:"baseline,omitempty" doc:"index of the engine that the others are measured against"`
	LeftOut   []LeftOut            `json:"left_out" doc:"engines that cannot be evaluated"`
}

func (s *Server) compare(_ context.Context, in *struct {
	SeveralParams
	Baseline string `query:"baseline" doc:"file of the engine that the others are measured against"`
},
) (*struct{ Body *Comparison }, error) {
	c, err := s.several(in.SeveralParams)
	if err != nil {
		return nil, err
	}
	out := &Comparison{
		Files: c.files, Names: []string{}, SpeedsRPM: []float64{}, Estimated: []int{}, Rows: report.ComparedRows(c.results), LeftOut: c.left,
	}
	for i, r := range c.results {
		out.Names = append(out.Names, r.Train.Name)
		out.SpeedsRPM = append(out.SpeedsRPM, rpm(r.Speed))
		out.Estimated = append(out.Estimated, len(r.Train.Estimates))
		if c.files[i] == in.Baseline {
			out.Baseline = &i
		}
	}
	if in.Baseline != "" && out.Baseline == nil {
		return nil, badField("query.baseline", fmt.Sprintf("%q is not among the engines that are compared", in.Baseline))
	}
	return &struct{ Body *Comparison }{out}, nil
}

type snapshotsAnswer struct{ Body []Snapshot }

func (s *Server) getSnapshots(context.Context, *struct{}) (*snapshotsAnswer, error) {
	return &snapshotsAnswer{s.folder.snapshots()}, nil
}

// SnapshotRequest names a snapshot.
type SnapshotRequest struct {
	Name string `json:"name" minLength:"1" maxLength:"80" doc:"of the snapshot"`
}

func (s *Server) postSnapshot(_ context.Context, in *struct{ Body SnapshotRequest }) (*struct{ Body Snapshot }, error) {
	made, err := s.folder.takeSnapshot(in.Body.Name)
	if err != nil {
		return nil, err
	}
	return &struct{ Body Snapshot }{made}, nil
}

type snapshotParam struct {
	Name string `path:"name" maxLength:"400" doc:"of the snapshot"`
}

func (s *Server) restoreSnapshot(_ context.Context, in *snapshotParam) (*lineUpAnswer, error) {
	l, err := s.folder.restore(in.Name)
	if err != nil {
		return nil, err
	}
	return s.lineUpOf(l), nil
}

func (s *Server) deleteSnapshot(_ context.Context, in *snapshotParam) (*snapshotsAnswer, error) {
	if err := s.folder.dropSnapshot(in.Name); err != nil {
		return nil, err
	}
	return &snapshotsAnswer{s.folder.snapshots()}, nil
}
