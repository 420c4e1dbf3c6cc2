package server

import (
	"encoding/json"
	"io/fs"
	"maps"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"crankwright/results"
)

// evolve starts an evolutionary search, or goes on with it, and waits until it has ended.
func (b *bench) evolve(file string, ask StudyEvolve) StudyRun {
	b.t.Helper()
	b.want(200, "POST", "/api/studies/"+file+"/run", StudyStart{&ask}, nil)
	return b.until(file, func(r StudyRun) bool { return r.State == "whole" })
}

// kept reads the files of results, by name.
func (b *bench) kept(file string) map[string]string {
	b.t.Helper()
	out := map[string]string{}
	dir := filepath.Join(b.dir, results.Beside(file))
	err := filepath.WalkDir(dir, func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() || e.Name() == "lock" {
			return err
		}
		data, err := os.ReadFile(name)
		out[strings.TrimPrefix(name, dir)] = string(data)
		return err
	})
	if err != nil {
		b.t.Fatal(err)
	}
	return out
}

// TestEvolution searches a part of a study, says honestly that it is one, and answers all that results answer.
func TestEvolution(t *testing.T) {
	b := startStudy(t, manyCranks)
	r := b.evolve(cranks, StudyEvolve{Evaluations: new(uint64(1500)), Generation: new(50)})
	want := StudyEvolution{Seed: 1, Generation: 50, Evaluations: 1500, Still: 20, Generations: 30, Unchanged: r.Evolution.Unchanged, Ended: true, Space: 3 * 90 * 90 * 90}
	if *r.Evolution != want || r.Done != 1500 || r.Total != 1500 || !r.Agrees || r.Stale != "" || r.FrontSize == 0 || len(r.Best) != 3 {
		t.Fatalf("%+v\n%+v", r, r.Evolution)
	}
	var l StudyList
	b.want(200, "GET", "/api/studies", nil, &l)
	if e := l.Studies[0]; !e.Evolved || e.Results != "whole" || e.Done != 1500 || e.Candidates != want.Space || e.Kept != r.Kept || e.Running {
		t.Errorf("%+v", e)
	}
	// candidates come generation by generation; what is asked of them is sorted all the same
	var rows StudyRows
	b.want(200, "POST", "/api/studies/"+cranks+"/query", StudyQuery{Limit: 10000}, &rows)
	if uint64(len(rows.Index)) != r.Kept || !slices.IsSorted(rows.Index) || !rows.Whole {
		t.Errorf("%d of %d rows, whole: %v", len(rows.Index), r.Kept, rows.Whole)
	}
	b.want(200, "POST", "/api/studies/"+cranks+"/query", StudyQuery{Front: true, Sort: "-firing_evenness"}, &rows)
	if rows.Matched != uint64(r.FrontSize) {
		t.Errorf("%d of a front of %d", rows.Matched, r.FrontSize)
	}
	if head, index, _ := b.points(cranks, ""); head.Kept != r.Kept || uint64(head.Count) != r.Kept || slices.IsSorted(index) {
		t.Errorf("%+v", head)
	}
	var c StudyCandidate
	path := "/api/studies/" + cranks + "/candidates/"
	b.want(200, "GET", path+itoa(int(r.Front[0].Index)), nil, &c)
	if len(c.Values) != len(r.Columns) || len(c.Problems) != 0 {
		t.Errorf("%+v", c)
	}
	// one that was not looked at is an engine too, without figures
	other := uint64(0)
	b.want(200, "POST", "/api/studies/"+cranks+"/query", StudyQuery{Limit: 10000}, &rows)
	for slices.Contains(rows.Index, other) {
		other++
	}
	b.want(200, "GET", path+itoa(int(other)), nil, &c)
	if len(c.Values) != 0 || c.Text == "" {
		t.Errorf("%+v", c)
	}
	b.want(201, "POST", path+itoa(int(r.Front[0].Index))+"/keep", KeepCandidate{File: "bred"}, nil)
	// it ends as soon as the front has stayed as it is for as long as was asked
	b.want(200, "DELETE", "/api/studies/"+cranks+"/run", nil, nil)
	if r = b.evolve(cranks, StudyEvolve{Evaluations: new(uint64(100_000)), Still: new(3)}); r.Evolution.Unchanged != 3 || r.Done >= r.Total || r.Total != 100_000 {
		t.Errorf("%+v %+v", r, r.Evolution)
	}
}

// TestEvolutionGoesOn stops an evolutionary search, goes on with it, also after the server was started again and with more
// evaluations, to the same bytes as in one go.
func TestEvolutionGoesOn(t *testing.T) {
	ask := StudyEvolve{Evaluations: new(uint64(5000)), Generation: new(20), Seed: new(uint64(7)), Still: new(100_000)}
	b := startStudy(t, manyCranks)
	var r StudyRun
	b.want(200, "POST", "/api/studies/"+cranks+"/run", StudyStart{&ask}, &r)
	if r.State != "running" || r.Evolution == nil || r.Evolution.Ended {
		t.Fatalf("%+v", r)
	}
	b.want(200, "POST", "/api/studies/"+cranks+"/run", StudyStart{&ask}, nil) // the same run
	b.want(409, "POST", "/api/studies/"+cranks+"/run", StudyStart{&StudyEvolve{Evaluations: new(uint64(9))}}, nil)
	b.want(409, "POST", "/api/studies/"+cranks+"/run", nil, nil)
	b.until(cranks, func(r StudyRun) bool { return r.Evolution.Generations > 3 })
	b.want(200, "POST", "/api/studies/"+cranks+"/stop", nil, &r)
	if r.State != "part" || r.Done == 0 || r.Done >= r.Total || r.Total != 5000 || !r.Agrees || r.Evolution.Ended || r.Done != uint64(20*r.Evolution.Generations) {
		t.Fatalf("%+v %+v", r, r.Evolution)
	}
	done := r.Done
	if err := b.server.Close(); err != nil {
		t.Fatal(err)
	}
	again := startAgain(t, b.dir)
	r = again.evolve(cranks, StudyEvolve{Evaluations: new(done + 100)})
	if r.Evolution.Seed != 7 || r.Evolution.Still != 100_000 || r.Done != done+100 || r.Total != r.Done {
		t.Errorf("%+v %+v", r, r.Evolution)
	}
	r = again.evolve(cranks, StudyEvolve{Evaluations: ask.Evaluations})
	if !r.Agrees || r.Done != 5000 || r.Evolution.Generations != 250 {
		t.Errorf("%+v %+v", r, r.Evolution)
	}
	once := startStudy(t, manyCranks)
	once.evolve(cranks, ask)
	if !maps.Equal(once.kept(cranks), again.kept(cranks)) {
		t.Error("stopped and gone on with, it found something else than in one go")
	}
}

// TestEvolutionRefused refuses results that were found in another way, and numbers that are not possible.
func TestEvolutionRefused(t *testing.T) {
	b := startStudy(t, fewCranks)
	path := "/api/studies/" + cranks + "/run"
	refused := func(body any, want string) {
		t.Helper()
		before := b.run(cranks)
		answer, data := b.ask("POST", path, body)
		if answer.StatusCode != http.StatusConflict || !strings.Contains(string(data), want) || strings.Contains(string(data), b.dir) {
			t.Errorf("%s %s", answer.Status, data)
		}
		if now := b.run(cranks); now.Done != before.Done || now.State != before.State {
			t.Errorf("%+v", now)
		}
	}
	for _, wrong := range []struct {
		field string
		ask   StudyEvolve
	}{
		{"evaluations", StudyEvolve{Evaluations: new(uint64(0))}},
		{"evaluations", StudyEvolve{Evaluations: new(uint64(1 << 50))}}, // too many generations
		{"generation", StudyEvolve{Generation: new(3)}},
		{"still", StudyEvolve{Still: new(0)}},
		{"seed", StudyEvolve{Seed: new(uint64(1 << 63))}},
	} {
		answer, data := b.ask("POST", path, StudyStart{&wrong.ask})
		var details ProblemDetails
		if err := json.Unmarshal(data, &details); err != nil || answer.StatusCode != http.StatusUnprocessableEntity || len(details.Errors) != 1 || details.Errors[0].Location != "body.evolution."+wrong.field {
			t.Errorf("%s: %s %s", wrong.field, answer.Status, data)
		}
	}
	if r := b.run(cranks); r.State != "none" {
		t.Errorf("%+v", r)
	}
	b.search(cranks)
	refused(StudyStart{&StudyEvolve{}}, "every candidate")
	b.want(200, "DELETE", path, nil, nil)

	// the whole of a small space is looked at: then nothing was left out
	r := b.evolve(cranks, StudyEvolve{Still: new(1000)})
	if r.Done != 512 || r.Total != 512 || r.Evolution.Space != 512 || !r.Evolution.Ended || r.Evolution.Evaluations != 2000 {
		t.Errorf("%+v %+v", r, r.Evolution)
	}
	refused(nil, "by evolution")
	refused(StudyStart{}, "by evolution")
	refused(StudyStart{&StudyEvolve{Seed: new(uint64(2))}}, "seed 1")
	refused(StudyStart{&StudyEvolve{Generation: new(50)}}, "generations of 100")
	// results of an earlier state are told apart here too
	b.put(four, strings.Replace(b.disk(four), "bore:", "bore: 90 mm #", 1))
	if now := b.run(cranks); !strings.Contains(now.Stale, four) || now.Evolution == nil {
		t.Errorf("%+v", now)
	}
	refused(StudyStart{&StudyEvolve{}}, "another study")
	b.want(200, "DELETE", path, nil, nil)
	if r := b.search(cranks); r.Evolution != nil || !r.Agrees || r.Total != 512 {
		t.Errorf("%+v", r)
	}
}
