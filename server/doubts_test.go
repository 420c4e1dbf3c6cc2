package server

import (
	"context"
	"errors"
	"net/http"
	"testing"
	"time"

	"crankwright/analysis"
	"crankwright/decision"
)

// TestCloseWaitsForDoubts ends a server while doubts are computed, others wait for their turn, and one asks for more: Close
// stops what runs, waits for it, and is quick.
func TestCloseWaitsForDoubts(t *testing.T) {
	b := start(t, vee8, "inline-four-flat.engine.yaml")
	s, err := New(Config{Folder: b.dir})
	if err != nil {
		t.Fatal(err)
	}
	l, err := s.folder.look()
	if err != nil {
		t.Fatal(err)
	}
	of, err := s.draftedBrief(textOf("name: X\npriorities: {durability: 3, compactness: 2}\n"))
	if err != nil {
		t.Fatal(err)
	}
	ask := func(file string) *doubtJob { return s.doubted.start(s.doubtJob(of, l, file, 0)) }
	jobs := []*doubtJob{ask(vee8), ask("inline-four-flat.engine.yaml")}
	left := false
	jobs = append(jobs, s.doubted.start(doubtKey{file: "slow", opt: analysis.Options{}}, func(func(done, of int)) (*decision.Doubts, error) {
		<-s.life.Done()
		time.Sleep(100 * time.Millisecond) // what cannot be stopped at once
		left = true
		return nil, s.life.Err()
	}))
	began := time.Now()
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if took := time.Since(began); took > 10*time.Second { // the doubts alone take longer
		t.Errorf("it took %v", took)
	}
	if !left {
		t.Fatal("the server was closed while doubts were computed")
	}
	for i, j := range jobs {
		select {
		case <-j.ended:
		default:
			t.Fatalf("job %d goes on", i)
		}
	}
	var p *ProblemDetails
	for i, j := range append(jobs[:2:2], ask(vee8)) {
		_, err := j.wait(context.Background())
		if !errors.As(err, &p) || p.Status != http.StatusServiceUnavailable {
			t.Errorf("job %d: %v", i, err)
		}
	}
}
