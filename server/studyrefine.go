package server

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"sync"

	"crankwright/num"
	"crankwright/report"
	"crankwright/search"
	"crankwright/study"
)

// refineStore keeps refinements of candidates: those that go on, and the last ones that ended.
type refineStore struct {
	mu   sync.Mutex
	jobs []*refineJob // the oldest first
}

const (
	mostRefining = 2  // at once: each keeps a processor busy
	mostRefined  = 12 // that ended and are still known
)

// refineKey names a candidate; the digest stands for the study with all its files.
type refineKey struct {
	digest string
	index  uint64
}

// refineJob is a candidate that is being refined, or was.
type refineJob struct {
	key         refineKey
	toward      string
	evaluations int
	stop        context.CancelFunc
	ended       chan struct{}
	// what follows is held by the store's mu
	done    int
	stopped bool // by the user
	found   *search.Refined
	err     error
}

// over reports whether a job has ended.
func (j *refineJob) over() bool {
	select {
	case <-j.ended:
		return true
	default:
		return false
	}
}

// of returns the job of a candidate; nil where there is none. The caller holds mu.
func (st *refineStore) of(key refineKey) *refineJob {
	for _, j := range st.jobs {
		if j.key == key && !j.stopped {
			return j
		}
	}
	return nil
}

// forget drops the jobs of a candidate that have ended, and all but the last of those of others. The caller holds mu.
func (st *refineStore) forget(key refineKey) {
	var left []*refineJob
	ended := 0
	for _, j := range slices.Backward(st.jobs) {
		if j.over() {
			if j.key == key || j.stopped || ended == mostRefined {
				continue
			}
			ended++
		}
		left = append(left, j)
	}
	slices.Reverse(left)
	st.jobs = left
}

// refined is the answer of the operations below.
type refined = struct{ Body *StudyRefine }

func (s *Server) refineCandidate(_ context.Context, in *struct {
	CandidateParam
	Body StudyRefineStart
},
) (*refined, error) {
	p, f, err := s.searched(in.File)
	if err != nil {
		return nil, err
	}
	if size := p.Size().Total; in.Index >= size {
		return nil, noCandidate(in.Index, size)
	}
	if err := p.Refinable(in.Index, ""); err != nil {
		return nil, failure(http.StatusUnprocessableEntity, err.Error())
	}
	if err := p.Refinable(in.Index, in.Body.Toward); err != nil {
		return nil, badField("body.toward", err.Error())
	}
	if err := s.startRefining(p, f, in.Index, in.Body); err != nil {
		return nil, err
	}
	return s.shownRefine(p, in.Index)
}

// startRefining begins to refine a candidate, or leaves what goes on with it as it is.
func (s *Server) startRefining(p *search.Problem, f *found, index uint64, how StudyRefineStart) error {
	opt := search.RefineOptions{Toward: how.Toward, Front: f.now.Front, Evaluations: how.Evaluations}
	if opt.Evaluations == 0 {
		opt.Evaluations = search.RefineEvaluations
	}
	st := &s.refining
	st.mu.Lock()
	defer st.mu.Unlock()
	key := refineKey{p.Digest(), index}
	if j := st.of(key); j != nil && !j.over() {
		if j.toward == how.Toward && j.evaluations == opt.Evaluations {
			return nil
		}
		return failure(http.StatusConflict, fmt.Sprintf("candidate %d is being refined in another way; stop that first", index))
	}
	running := 0
	for _, j := range st.jobs {
		if !j.over() {
			running++
		}
	}
	switch {
	case running >= mostRefining:
		return failure(http.StatusConflict, fmt.Sprintf("%d candidates are being refined already; wait for one of them or stop it", running))
	case s.life.Err() != nil:
		return ending()
	}
	st.forget(key)
	ctx, stop := context.WithCancel(s.life)
	j := &refineJob{key: key, toward: how.Toward, evaluations: opt.Evaluations, stop: stop, ended: make(chan struct{})}
	opt.Tell = func(done int) {
		st.mu.Lock()
		defer st.mu.Unlock()
		j.done = done
	}
	st.jobs = append(st.jobs, j)
	s.behind.Go(func() {
		found, err := refine(ctx, p, index, opt)
		stop()
		st.mu.Lock()
		defer st.mu.Unlock()
		j.found, j.err = found, err
		close(j.ended)
	})
	return nil
}

// refine refines a candidate. A mistake of the program's own ends this one, not the server.
func refine(ctx context.Context, p *search.Problem, index uint64, opt search.RefineOptions) (r *search.Refined, err error) {
	defer func() {
		if failed := recover(); failed != nil {
			r, err = nil, fmt.Errorf("the program failed on this candidate: %v; please report it with the files", failed)
		}
	}()
	return p.Refine(index, opt, func() bool { return ctx.Err() != nil })
}

func (s *Server) getRefine(_ context.Context, in *CandidateParam) (*refined, error) {
	p, _, err := s.searched(in.File)
	if err != nil {
		return nil, err
	}
	return s.shownRefine(p, in.Index)
}

// shownRefine says how the refinement of a candidate stands.
func (s *Server) shownRefine(p *search.Problem, index uint64) (*refined, error) {
	out := &StudyRefine{Index: index, State: "none"}
	st := &s.refining
	st.mu.Lock()
	j := st.of(refineKey{p.Digest(), index})
	if j == nil {
		st.mu.Unlock()
		return &refined{out}, nil
	}
	over, found, err := j.over(), j.found, j.err
	out.Toward, out.Done, out.Most = j.toward, j.done, j.evaluations
	st.mu.Unlock()
	switch {
	case !over:
		out.State = "running"
	case errors.Is(err, study.ErrStopped): // the server is being ended
		out.State, out.Failure = "failed", "it was stopped"
	case err != nil:
		out.State, out.Failure = "failed", err.Error()
	default:
		out.State = "done"
		if out.Result, err = s.shownRefined(p, found); err != nil {
			return nil, err
		}
	}
	return &refined{out}, nil
}

// shownRefined describes a candidate that was refined.
func (s *Server) shownRefined(p *search.Problem, r *search.Refined) (*StudyRefined, error) {
	d := report.NewStudyRefinedDoc(p, r)
	out := &StudyRefined{
		Better: d.Better, Evaluations: d.Evaluations, Name: r.Name, Text: string(r.Text),
		Moved: []StudyMoved{}, Figures: []StudyRefinedFigure{}, Settings: settingsShown(p, r.Settings),
	}
	for _, m := range d.Moved {
		out.Moved = append(out.Moved, StudyMoved{m.Key, m.Name, m.Unit, num.Digits(m.Before, 6), num.Digits(m.After, 6)})
	}
	for _, f := range d.Figures {
		before, after := apartWords(f.Before, f.After)
		if f.Change == "same" {
			before = num.Digits(f.Before, 4)
			after = before
		}
		out.Figures = append(out.Figures, StudyRefinedFigure{f.Key, f.Name, f.Unit, f.Wanted, before, after, f.Change})
	}
	var err error
	out.File, err = s.freeName(r.Name)
	return out, err
}

// apartWords shows two values with as many digits as tell them apart, four to six.
func apartWords(a, b float64) (first, second string) {
	for digits := 4; ; digits++ {
		if first, second = num.Digits(a, digits), num.Digits(b, digits); first != second || digits == 6 {
			return first, second
		}
	}
}

// stopRefine stops a refinement, or forgets one that ended.
func (s *Server) stopRefine(ctx context.Context, in *CandidateParam) (*refined, error) {
	p, _, err := s.searched(in.File)
	if err != nil {
		return nil, err
	}
	st := &s.refining
	st.mu.Lock()
	j := st.of(refineKey{p.Digest(), in.Index})
	if j != nil {
		j.stopped = true
		j.stop()
	}
	st.mu.Unlock()
	if j != nil {
		select {
		case <-j.ended:
		case <-ctx.Done():
			return nil, ctx.Err()
		}
	}
	return s.shownRefine(p, in.Index)
}

func (s *Server) keepRefined(_ context.Context, in *struct {
	CandidateParam
	Body KeepCandidate
},
) (*engineAnswer, error) {
	p, _, err := s.searched(in.File)
	if err != nil {
		return nil, err
	}
	s.refining.mu.Lock()
	var r *search.Refined
	if j := s.refining.of(refineKey{p.Digest(), in.Index}); j != nil {
		r = j.found
	}
	s.refining.mu.Unlock()
	switch {
	case r == nil:
		return nil, failure(http.StatusConflict, fmt.Sprintf("candidate %d has not been refined; refine it first", in.Index))
	case !r.Better:
		return nil, failure(http.StatusConflict, fmt.Sprintf("nothing better than candidate %d was found; keep the candidate itself", in.Index))
	}
	return s.keepText(in.Body.File, r.Name, r.Text)
}
