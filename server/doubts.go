package server

import (
	"context"
	"fmt"
	"sync"

	"crankwright/decision"
)

// doubtStore keeps the doubts that were computed, and computes others: one engine at a time, for each keeps the
// processors busy. A computation that was begun goes on though nobody waits for it, until the server ends.
type doubtStore struct {
	behind  *sync.WaitGroup // in which it is computed
	mu      sync.Mutex
	working sync.Mutex
	found   map[doubtKey]*decision.Doubts
	order   []doubtKey // of found, the oldest first
	jobs    map[doubtKey]*doubtJob
}

const mostDoubts = 2000 // some tens of kilobytes each

// known returns doubts that were computed; nil where they were not.
func (s *doubtStore) known(key doubtKey) *decision.Doubts {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.found[key]
}

// doubtJob is a computation that is under way.
type doubtJob struct {
	ended    chan struct{}
	found    *decision.Doubts // when it has ended
	err      error
	mu       sync.Mutex
	done, of int
}

// start begins a computation, or returns the one that is under way.
func (s *doubtStore) start(key doubtKey, find func(progress func(done, of int)) (*decision.Doubts, error)) *doubtJob {
	s.mu.Lock()
	defer s.mu.Unlock()
	if j := s.jobs[key]; j != nil {
		return j
	}
	j := &doubtJob{ended: make(chan struct{})}
	if s.jobs == nil {
		s.jobs, s.found = map[doubtKey]*doubtJob{}, map[doubtKey]*decision.Doubts{}
	}
	if known := s.found[key]; known != nil { // since it was asked for
		j.found = known
		close(j.ended)
		return j
	}
	s.jobs[key] = j
	s.behind.Go(func() {
		s.working.Lock()
		j.find(find)
		s.working.Unlock()
		s.keep(key, j)
		close(j.ended)
	})
	return j
}

// keep remembers what a job has found.
func (s *doubtStore) keep(key doubtKey, j *doubtJob) {
	s.mu.Lock()
	defer s.mu.Unlock()
	delete(s.jobs, key)
	if j.err != nil {
		return
	}
	if len(s.order) >= mostDoubts {
		delete(s.found, s.order[0])
		s.order = s.order[1:]
	}
	s.found[key] = j.found
	s.order = append(s.order, key)
}

// find computes. A mistake of the program's own ends this job, not the server.
func (j *doubtJob) find(how func(progress func(done, of int)) (*decision.Doubts, error)) {
	defer func() {
		if r := recover(); r != nil {
			j.err = fmt.Errorf("the program failed on this engine: %v; please report it with the file", r)
		}
	}()
	j.found, j.err = how(j.count)
}

func (j *doubtJob) count(done, of int) {
	j.mu.Lock()
	defer j.mu.Unlock()
	j.done, j.of = done, of
}

// progress tells how many ends were computed, and of how many.
func (j *doubtJob) progress() (done, of int) {
	j.mu.Lock()
	defer j.mu.Unlock()
	return j.done, j.of
}

// wait waits until the job or ctx ends.
func (j *doubtJob) wait(ctx context.Context) (*decision.Doubts, error) {
	select {
	case <-j.ended:
		return j.found, j.err
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}
