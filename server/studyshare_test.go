package server

import (
	"context"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"crankwright/crew"
	"crankwright/results"
	"crankwright/search"
	"crankwright/study"
)

// A workbench that leads has workers do its searches; the bytes are those of one that does not.
func TestSearchesAreShared(t *testing.T) {
	host, err := crew.Host(crew.HostOptions{StoreDir: t.TempDir()})
	if err != nil {
		t.Fatal(err)
	}
	defer host.Close()
	ctx, stop := context.WithCancel(t.Context())
	var workers sync.WaitGroup
	defer func() { stop(); workers.Wait() }()
	for range 2 {
		c, err := host.Connect(nil)
		if err != nil {
			t.Fatal(err)
		}
		workers.Go(func() {
			defer c.Close()
			_ = crew.Work(ctx, c, func(b study.Bundle) (study.Problem, error) { return search.Open(b) }, crew.WorkOptions{Version: "test", Processors: 1})
		})
	}
	led := 0
	b := startWith(t, Config{Workers: "crankwright study worker " + host.URL(), Lead: func(ctx context.Context, f *results.Folder, tell func(results.Progress)) error {
		led++
		c, err := host.Connect(nil)
		if err != nil {
			return err
		}
		defer c.Close()
		return crew.Lead(ctx, c, f, crew.LeadOptions{Version: "test", Tell: tell})
	}}, four)
	b.put(cranks, fewCranks)
	shared := b.search(cranks)
	var list StudyList
	if b.want(200, "GET", "/api/studies", nil, &list); list.Workers != "crankwright study worker "+host.URL() {
		t.Errorf("%q", list.Workers)
	}
	alone := startStudy(t, fewCranks)
	if r := alone.search(cranks); led != 1 || r.Done != shared.Done || r.Kept != shared.Kept || len(r.Front) != len(shared.Front) || r.FrontSize == 0 {
		t.Errorf("led %d times: %d and %d kept, fronts of %d and %d", led, shared.Kept, r.Kept, len(shared.Front), len(r.Front))
	}
	for _, name := range []string{"front.parquet", "outcome.json", "shards/000000.parquet"} {
		x, err := os.ReadFile(filepath.Join(b.dir, results.Beside(cranks), name))
		if err != nil {
			t.Fatal(err)
		}
		y, err := os.ReadFile(filepath.Join(alone.dir, results.Beside(cranks), name))
		if err != nil || string(x) != string(y) {
			t.Errorf("%s differs: %v", name, err)
		}
	}
}
