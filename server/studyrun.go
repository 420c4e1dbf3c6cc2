package server

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"net/http"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"crankwright/results"
	"crankwright/search"
	"crankwright/spec"
	"crankwright/study"
)

// studyRun is a search that goes on, or that ended with an error.
type studyRun struct {
	stop   context.CancelFunc
	ended  chan struct{}
	folder *results.Folder // held while it goes on
	// what follows is held by the store's mu
	progress results.Progress
	err      error
	stopped  bool // by the user
}

// running reports whether a run goes on.
func (r *studyRun) running() bool {
	if r == nil {
		return false
	}
	select {
	case <-r.ended:
		return false
	default:
		return true
	}
}

// studyOrRun says whether a study is there, or a search of it that goes on: its file may have left the folder since it began.
func (s *Server) studyOrRun(file string) error {
	s.studies.mu.Lock()
	running := s.studies.runs[file].running()
	s.studies.mu.Unlock()
	if running {
		return nil
	}
	_, err := s.folder.study(file)
	return err
}

func (s *Server) runStudy(_ context.Context, in *struct {
	StudyParam
	Body *StudyStart
},
) (*struct{ Body *StudyRun }, error) {
	on, err := s.folder.study(in.File)
	if err != nil {
		return nil, err
	}
	p, err := s.openStudy(in.File, on.data)
	if err != nil {
		return nil, unusable("the study cannot be run", typeStudy, studyProblems(in.File, on.data, err))
	}
	var ask *StudyEvolve
	if in.Body != nil {
		ask = in.Body.Evolution
	}
	if err := s.startRun(in.File, p, ask); err != nil {
		return nil, err
	}
	return s.shownRun(in.File, mostFront)
}

// startRun begins a run, or leaves the one that goes on as it is.
//
//   - ask: how its candidates are chosen; nil: every one
func (s *Server) startRun(file string, p *search.Problem, ask *StudyEvolve) error {
	dir, there, err := s.resultsDir(file)
	if err != nil {
		return err
	}
	st := &s.studies
	st.mu.Lock()
	defer st.mu.Unlock()
	var was *results.Folder
	running := st.runs[file].running()
	if running {
		was = st.runs[file].folder
	} else if there {
		was, _ = results.Open(dir) // what cannot be read is refused when it is to be written
	}
	by, err := wantedEvolution(file, was, ask)
	switch {
	case err != nil:
		return err
	case running:
		if now, bred := was.Evolution(); bred && *by != now {
			return failure(http.StatusConflict, "the search runs; stop it first to give it other numbers")
		}
		return nil
	case s.life.Err() != nil:
		return ending()
	}
	f, err := createResults(dir, p, by)
	if err != nil {
		return failure(http.StatusConflict, s.plainResults(file, err))
	}
	ctx, stop := context.WithCancel(s.life)
	r := &studyRun{stop: stop, ended: make(chan struct{}), folder: f, progress: f.Progress()}
	if st.runs == nil {
		st.runs = map[string]*studyRun{}
	}
	st.runs[file] = r
	delete(st.folders, file)
	s.behind.Go(func() {
		err := s.searchAll(ctx, r, p)
		stop()
		err = errors.Join(err, f.Close())
		st.mu.Lock()
		defer st.mu.Unlock()
		if err != nil && !r.stopped && !errors.Is(err, context.Canceled) {
			r.err = err
			s.cfg.Log.Error("a search ended", "study", file, "reason", err)
		}
		close(r.ended)
	})
	return nil
}

// searchAll runs a study to its end. A mistake of the program's own ends this run, not the server.
func (s *Server) searchAll(ctx context.Context, r *studyRun, p *search.Problem) (err error) {
	defer func() {
		if failed := recover(); failed != nil {
			err = fmt.Errorf("the program failed on this study: %v; please report it with the file", failed)
		}
	}()
	tell := func(now results.Progress) {
		s.studies.mu.Lock()
		defer s.studies.mu.Unlock()
		r.progress = now
	}
	if _, bred := r.folder.Evolution(); s.cfg.Lead == nil || bred {
		return results.Run(ctx, p, r.folder, results.Options{Tell: tell})
	}
	return s.cfg.Lead(ctx, r.folder, tell)
}

// plainResults leaves the path of the folder out of a message.
func (s *Server) plainResults(file string, err error) string {
	text := strings.ReplaceAll(err.Error(), filepath.Join(s.cfg.Folder, results.Beside(file)), results.Beside(file))
	return strings.ReplaceAll(text, s.cfg.Folder+string(filepath.Separator), "")
}

func (s *Server) stopStudy(ctx context.Context, in *StudyParam) (*struct{ Body *StudyRun }, error) {
	if err := s.studyOrRun(in.File); err != nil {
		return nil, err
	}
	if err := s.endRun(ctx, in.File); err != nil {
		return nil, err
	}
	return s.shownRun(in.File, mostFront)
}

// endRun stops a run and waits until it has let go of its folder.
func (s *Server) endRun(ctx context.Context, file string) error {
	s.studies.mu.Lock()
	r := s.studies.runs[file]
	if r.running() {
		r.stopped = true
		r.stop()
	}
	s.studies.mu.Unlock()
	if r == nil {
		return nil
	}
	select {
	case <-r.ended:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}

func (s *Server) forgetStudyRun(_ context.Context, in *StudyParam) (*struct{ Body *StudyRun }, error) {
	if _, err := s.folder.study(in.File); err != nil {
		return nil, err
	}
	_, there, err := s.resultsDir(in.File)
	if err != nil {
		return nil, err
	}
	st := &s.studies
	st.mu.Lock()
	if st.runs[in.File].running() {
		st.mu.Unlock()
		return nil, failure(http.StatusConflict, "the search runs; stop it first")
	}
	delete(st.runs, in.File)
	delete(st.folders, in.File)
	if there {
		err = s.setResultsAside(in.File)
	}
	st.mu.Unlock()
	if err != nil {
		return nil, err
	}
	return s.shownRun(in.File, mostFront)
}

// setResultsAside moves the results of a study out of the way, where they can be found again.
func (s *Server) setResultsAside(file string) error {
	if err := s.folder.makeHidden("results"); err != nil {
		return err
	}
	name := results.Beside(file)
	aside := path.Join(hidden, "results", time.Now().UTC().Format("20060102T150405.000")+"-"+name)
	if err := s.folder.root().Rename(name, aside); err != nil {
		return fmt.Errorf("%s cannot be set aside: %w", name, plainError(err))
	}
	return nil
}

func (s *Server) getStudyRun(_ context.Context, in *struct {
	StudyParam
	Front int `query:"front" minimum:"0" maximum:"20000" default:"400" doc:"how many points of the front at most, spread evenly"`
},
) (*struct{ Body *StudyRun }, error) {
	if err := s.studyOrRun(in.File); err != nil {
		return nil, err
	}
	return s.shownRun(in.File, in.Front)
}

const mostFront = 400

// found is what is known of the results of a study.
type found struct {
	folder  *results.Folder // nil: there are none
	running bool
	failure error
	now     results.Progress
	left    []study.Count
	whole   bool
}

// found looks at the results of a study: those of the run that goes on, or those on disk.
func (s *Server) found(file string) (*found, error) {
	dir, there, err := s.resultsDir(file)
	if err != nil {
		return nil, err
	}
	st := &s.studies
	st.mu.Lock()
	r := st.runs[file]
	out := &found{}
	switch {
	case r.running():
		out.folder, out.running, out.now = r.folder, true, r.progress
	case !there:
		delete(st.folders, file)
	default:
		if r != nil {
			out.failure = r.err
		}
		if out.folder, err = results.Open(dir); err != nil {
			st.mu.Unlock()
			return nil, failure(http.StatusConflict, s.plainResults(file, err))
		}
		if known := st.folders[file]; known != nil && sameResults(known, out.folder) {
			out.folder = known // what it has read is not read again
		}
		if st.folders == nil {
			st.folders = map[string]*results.Folder{}
		}
		st.folders[file] = out.folder
	}
	st.mu.Unlock()
	if out.folder == nil {
		return out, nil
	}
	o, whole, err := out.folder.Outcome()
	if err != nil {
		return nil, failure(http.StatusConflict, s.plainResults(file, err))
	}
	out.left, out.whole = o.Left, whole && !out.running
	if !out.running {
		now := out.folder.Progress()
		out.now = results.Progress{Done: o.Looked, Total: now.Total, Kept: o.Kept, Front: o.Front, Best: o.Best}
	}
	return out, nil
}

// shownRun says how the search of a study stands.
func (s *Server) shownRun(file string, front int) (*struct{ Body *StudyRun }, error) {
	out := &StudyRun{
		File: file, State: "none", Agrees: true, LeftOut: []StudyLeft{}, Columns: []StudyColumn{}, Front: []StudyPoint{}, Best: []StudyBest{},
	}
	f, err := s.found(file)
	if err != nil {
		return nil, err
	}
	if f.failure != nil {
		out.Failure = s.plainResults(file, f.failure)
	}
	if f.folder == nil {
		return &struct{ Body *StudyRun }{out}, nil
	}
	p := f.folder.Problem()
	now := f.now
	out.State = map[bool]string{true: "whole", false: "part"}[f.whole]
	if f.running {
		out.State = "running"
	} else {
		out.Stale = s.staleWords(file, f.folder)
	}
	out.Evolution = shownEvolution(f.folder, f.whole)
	out.Done, out.Total, out.Kept = now.Done, now.Total, now.Kept
	out.PerSecond, out.SecondsLeft = now.Rate, now.Left.Seconds()
	sum := now.Kept
	for i, c := range f.left {
		sum += c.N
		if i < len(p.Rules()) {
			out.LeftOut = append(out.LeftOut, StudyLeft{p.Rules()[i], c.N, c.First})
		}
	}
	// While it runs, candidates of ranges that are not done yet are looked at, and not yet counted.
	out.Agrees = f.running || sum == now.Done
	out.Columns = studyColumns(p)
	columns := p.Columns()
	out.FrontSize = len(now.Front)
	for _, q := range spread(now.Front, front) {
		out.Front = append(out.Front, studyPoint(columns, q))
	}
	for i, list := range now.Best {
		best := StudyBest{Aim: columns[p.Aims()[i].Column].Key, Points: []StudyPoint{}}
		for _, q := range list[:min(len(list), 5)] {
			best.Points = append(best.Points, studyPoint(columns, q))
		}
		out.Best = append(out.Best, best)
	}
	return &struct{ Body *StudyRun }{out}, nil
}

// spread takes at most so many points out of a list, evenly.
func spread(list []study.Point, most int) []study.Point {
	if len(list) <= most {
		return list
	}
	out := make([]study.Point, 0, most)
	for i := range most {
		out = append(out, list[i*len(list)/most])
	}
	return out
}

// staleWords says how the files of a study differ from those of its results; empty where they are the same.
func (s *Server) staleWords(file string, f *results.Folder) string {
	on, err := s.folder.study(file)
	if err != nil {
		return ""
	}
	p, err := s.openStudy(file, on.data)
	if err == nil && p.Digest() == f.Digest() {
		return ""
	}
	was, bad := f.Bundle()
	if bad != nil {
		return "The files of these results cannot be read."
	}
	changed := []string{}
	for _, name := range slices.Sorted(maps.Keys(was.Files)) {
		now := on.data
		if name != file {
			if now, err = s.folder.named(name); err != nil {
				now = nil
			}
		}
		if string(now) != string(was.Files[name]) {
			changed = append(changed, name)
		}
	}
	switch len(changed) {
	case 0:
		return "These results are of another version of the program, or of another kind of processor."
	case 1:
		return changed[0] + " has changed since the search."
	}
	return listed(changed) + " have changed since the search."
}

func (s *Server) getStudies(context.Context, *struct{}) (*struct{ Body StudyList }, error) {
	l, err := s.folder.look()
	if err != nil {
		return nil, err
	}
	out := StudyList{Revision: l.revision, Studies: []StudyEntry{}, Workers: s.cfg.Workers}
	for _, file := range l.studies {
		on := l.files[file]
		e := StudyEntry{File: file, Etag: on.etag, Name: file, Results: "none"}
		if st, err := spec.ReadStudy(file, on.data); err == nil {
			e.Name, e.Base = st.Name, st.Base
		} else {
			e.Problems = len(studyProblems(file, on.data, err))
		}
		if f, err := s.found(file); err == nil && f.folder != nil {
			e.Results = map[bool]string{true: "whole", false: "part"}[f.whole]
			e.Running, e.Done, e.Candidates, e.Kept = f.running, f.now.Done, spaceOf(f.folder), f.now.Kept
			_, e.Evolved = f.folder.Evolution()
		}
		out.Studies = append(out.Studies, e)
	}
	return &struct{ Body StudyList }{out}, nil
}
