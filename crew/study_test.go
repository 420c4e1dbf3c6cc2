package crew_test

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"

	"crankwright/crew"
	"crankwright/results"
	"crankwright/study"
)

// link connects with a server, for one test.
func link(t *testing.T, url string) *crew.Conn {
	t.Helper()
	c, err := crew.Connect(crew.Access{URL: url}, nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(c.Close)
	return c
}

// led leads a study in this process; its error comes through the channel.
func led(ctx context.Context, t *testing.T, url, dir, text string, tell func(results.Progress)) chan error {
	t.Helper()
	c := link(t, url)
	f := folder(t, dir, text)
	end := make(chan error, 1)
	go func() {
		err := crew.Lead(ctx, c, f, crew.LeadOptions{Version: version, Patience: time.Second, Tell: tell})
		end <- errors.Join(err, f.Close())
	}()
	return end
}

func work(t *testing.T, url string, opt crew.WorkOptions) error {
	t.Helper()
	return crew.Work(t.Context(), link(t, url), open, opt)
}

// left lists the streams that a server holds, except the board.
func left(t *testing.T, url string) []string {
	t.Helper()
	nc, err := nats.Connect(url)
	if err != nil {
		t.Fatal(err)
	}
	defer nc.Close()
	js, err := jetstream.New(nc)
	if err != nil {
		t.Fatal(err)
	}
	var all []string
	for name := range js.StreamNames(t.Context()).Name() {
		if name != "KV_crankwright" {
			all = append(all, name)
		}
	}
	return all
}

// state says what a server holds of studies.
func state(t *testing.T, url string) string {
	t.Helper()
	nc, err := nats.Connect(url)
	if err != nil {
		return err.Error()
	}
	defer nc.Close()
	js, err := jetstream.New(nc)
	if err != nil {
		return err.Error()
	}
	var all strings.Builder
	ctx := context.Background() // that of a test has ended when its failure is looked into
	for s := range js.ListStreams(ctx).Info() {
		fmt.Fprintf(&all, "%s: %+v\n", s.Config.Name, s.State)
		stream, err := js.Stream(ctx, s.Config.Name)
		if err != nil {
			return err.Error()
		}
		for c := range stream.ListConsumers(ctx).Info() {
			fmt.Fprintf(&all, "   %+v\n", c)
		}
	}
	return all.String()
}

func TestWorkerRefusesAnotherVersion(t *testing.T) {
	url := host(t, crew.HostOptions{}).URL()
	ctx, cancel := context.WithCancel(t.Context())
	end := led(ctx, t, url, t.TempDir(), "100 12 0 0", nil)
	err := work(t, url, crew.WorkOptions{Version: "test 2", Once: true})
	if !errors.Is(err, crew.ErrRefused) {
		t.Errorf("%v; wanted: %v", err, crew.ErrRefused)
	}
	refuses(t, err, "led by program version test 1, and this is version test 2")
	cancel()
	if err := <-end; !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
}

func TestWorkerRefusesAnotherMeaning(t *testing.T) {
	url := host(t, crew.HostOptions{}).URL()
	ctx, cancel := context.WithCancel(t.Context())
	end := led(ctx, t, url, t.TempDir(), "100 12 0 0", nil)
	otherwise := func(b study.Bundle) (study.Problem, error) {
		p, err := open(b)
		p.(*invented).more = " otherwise"
		return p, err
	}
	err := crew.Work(t.Context(), link(t, url), otherwise, crew.WorkOptions{Version: version, Once: true})
	if !errors.Is(err, crew.ErrRefused) {
		t.Errorf("%v; wanted: %v", err, crew.ErrRefused)
	}
	refuses(t, err, "would give other bytes here (digest invented 100 12 0 otherwise)")
	err = crew.Work(t.Context(), link(t, url), func(study.Bundle) (study.Problem, error) {
		return nil, errors.New("the base engine has no cylinders")
	}, crew.WorkOptions{Version: version, Once: true})
	refuses(t, err, "the base engine has no cylinders")
	cancel()
	if err := <-end; !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
}

func TestPoisonStopsTheStudy(t *testing.T) {
	t.Parallel()
	url := host(t, crew.HostOptions{}).URL()
	end := led(t.Context(), t, url, t.TempDir(), "1000 12 0 555", nil)
	if err := work(t, url, crew.WorkOptions{Version: version, Processors: 2, Once: true}); err != nil {
		t.Error(err)
	}
	err := <-end
	if !errors.Is(err, crew.ErrPoison) {
		t.Errorf("%v; wanted: %v", err, crew.ErrPoison)
	}
	refuses(t, err, "(552 to 563): candidate 555 is invented to fail")
	if list := left(t, url); len(list) > 0 {
		t.Errorf("the server still holds %v", list)
	}
}

// TestAWorkerThatPanicsGoesOn finds the panic at the leader, in words.
func TestAWorkerThatPanicsGoesOn(t *testing.T) {
	t.Parallel()
	url := host(t, crew.HostOptions{}).URL()
	end := led(t.Context(), t, url, t.TempDir(), "1000 12 0 0", nil)
	err := crew.Work(t.Context(), link(t, url), func(b study.Bundle) (study.Problem, error) {
		p, err := open(b)
		return panics{p}, err
	}, crew.WorkOptions{Version: version, Processors: 1, Once: true})
	if err != nil {
		t.Error(err)
	}
	refuses(t, <-end, "the program failed: no piston")
}

type panics struct{ study.Problem }

func (p panics) Evaluator() study.Evaluator { return p }
func (p panics) Evaluate(study.Shard, *study.Batch, []study.Count, func() bool) error {
	panic("no piston")
}

func (p panics) Pick([]uint64, *study.Batch, []study.Count, func() bool) error { panic("no piston") }

// TestProgress watches from the beginning, and once more when all is over.
func TestProgress(t *testing.T) {
	url := host(t, crew.HostOptions{}).URL()
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	var mu sync.Mutex
	var early []crew.Progress
	go func() {
		_ = crew.Watch(ctx, link(t, url), func(p crew.Progress) {
			mu.Lock()
			defer mu.Unlock()
			early = append(early, p)
		})
	}()
	end := led(ctx, t, url, t.TempDir(), "3000 12 20 0", nil)
	if err := work(t, url, crew.WorkOptions{Version: version, Processors: 2, Name: "quay", Once: true}); err != nil {
		t.Error(err)
	}
	if err := <-end; err != nil {
		t.Fatal(err)
	}
	seen := func() (list []crew.Progress) {
		mu.Lock()
		defer mu.Unlock()
		return append(list, early...)
	}
	until(t, "the watcher hears the end", func() bool {
		list := seen()
		return len(list) > 0 && list[len(list)-1].State == crew.Done
	})
	list := seen()
	if len(list) < 3 {
		t.Errorf("heard of the study only %d times in a second and a half", len(list))
	}
	if !slices.ContainsFunc(list, func(p crew.Progress) bool {
		return p.State == crew.Running && p.Done > 0 && p.Done < 3000 && p.Rate > 0 && p.Left > 0 &&
			len(p.Workers) == 1 && p.Workers[0].Name == "quay" && p.Workers[0].Processors == 2
	}) {
		t.Errorf("never heard half way of the worker: %+v", list)
	}
	once := make(chan crew.Progress, 1)
	go func() { _ = crew.Watch(ctx, link(t, url), func(p crew.Progress) { once <- p }) }()
	late := <-once
	if late.State != crew.Done || late.Done != 3000 || late.Total != 3000 || late.Workers[0].Shards != 250 || late.Study != "pilot.study.yaml" {
		t.Errorf("at the end: %+v", late)
	}
}

// TestCancelledWorkerGivesItsShardBack has a second worker do it long before the server would hand it out by itself.
func TestCancelledWorkerGivesItsShardBack(t *testing.T) {
	t.Parallel()
	url := host(t, crew.HostOptions{}).URL()
	dir := t.TempDir()
	c := link(t, url)
	f := folder(t, dir, "12 12 1500 0")
	end := make(chan error, 1)
	go func() {
		end <- crew.Lead(t.Context(), c, f, crew.LeadOptions{Version: version, Patience: time.Hour})
	}()
	ctx, cancel := context.WithCancel(t.Context())
	gone := make(chan error, 1)
	go func() { gone <- crew.Work(ctx, link(t, url), open, crew.WorkOptions{Version: version, Processors: 1}) }()
	time.Sleep(time.Second)
	cancel()
	if err := <-gone; !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
	if err := work(t, url, crew.WorkOptions{Version: version, Processors: 1, Once: true}); err != nil {
		t.Error(err)
	}
	if err := <-end; err != nil {
		t.Error(err)
	}
}

// TestLeaderComesBack cancels a leader and goes on with another; meanwhile workers do what is in the queue.
func TestLeaderComesBack(t *testing.T) {
	t.Parallel()
	const text = "2400 12 2 0"
	url := host(t, crew.HostOptions{}).URL()
	dir := t.TempDir()
	ctx, cancel := context.WithCancel(t.Context())
	end := led(ctx, t, url, dir, text, nil)
	gone := make(chan error, 1)
	go func() { gone <- work(t, url, crew.WorkOptions{Version: version, Processors: 2, Once: true}) }()
	until(t, "some shards are done", func() bool { return len(files(t, dir)) > 10 })
	err := <-led(t.Context(), t, url, t.TempDir(), text, nil)
	refuses(t, err, "leads this study already")
	cancel()
	if err := <-end; !errors.Is(err, context.Canceled) {
		t.Fatal(err)
	}
	time.Sleep(300 * time.Millisecond)
	if list := left(t, url); len(list) != 2 {
		t.Errorf("a cancelled leader keeps its queue and its objects; the server holds %v", list)
	}
	if err := <-led(t.Context(), t, url, dir, text, nil); err != nil {
		t.Fatal(err)
	}
	if err := <-gone; err != nil {
		t.Error(err)
	}
	same(t, files(t, dir), alone(t, text))
	if list := left(t, url); len(list) > 0 {
		t.Errorf("the server still holds %v", list)
	}
}

// TestLostQueue takes everything away from a server in the middle of a study, and gives the leader an empty folder.
func TestLostQueue(t *testing.T) {
	t.Parallel()
	const text = "2400 12 5 0"
	url := host(t, crew.HostOptions{}).URL()
	dir := t.TempDir()
	end := led(t.Context(), t, url, dir, text, nil)
	gone := make(chan error, 1)
	go func() { gone <- work(t, url, crew.WorkOptions{Version: version, Processors: 2}) }()
	until(t, "some shards are done", func() bool { return len(files(t, dir)) > 10 })
	nc, err := nats.Connect(url)
	if err != nil {
		t.Fatal(err)
	}
	defer nc.Close()
	js, err := jetstream.New(nc)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range left(t, url) {
		if err := js.DeleteStream(t.Context(), name); err != nil {
			t.Fatal(err)
		}
	}
	if err := <-end; err != nil {
		t.Fatal(err)
	}
	same(t, files(t, dir), alone(t, text))
}

// TestAnotherVersionBeginsAnew leads a study that another program has begun: nothing of it is used.
func TestAnotherVersionBeginsAnew(t *testing.T) {
	t.Parallel()
	const text = "300 12 1 0"
	url := host(t, crew.HostOptions{}).URL()
	ctx, cancel := context.WithCancel(t.Context())
	end := led(ctx, t, url, t.TempDir(), text, nil)
	said := make(chan string, 100)
	go func() {
		_ = crew.Work(t.Context(), link(t, url), open, crew.WorkOptions{Version: "test 2", Tell: func(w string) { said <- w }})
	}()
	until(t, "it is refused", func() bool { return strings.Contains(<-said, "both must be the same") })
	cancel()
	if err := <-end; !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
	dir := t.TempDir()
	f := folder(t, dir, text)
	if err := crew.Lead(t.Context(), link(t, url), f, crew.LeadOptions{Version: "test 2"}); err != nil {
		t.Fatal(err)
	}
	same(t, files(t, dir), alone(t, text))
}

// BenchmarkShards does shards that cost nothing, with one worker of two processors.
func BenchmarkShards(b *testing.B) {
	s, err := crew.Host(crew.HostOptions{StoreDir: b.TempDir()})
	if err != nil {
		b.Fatal(err)
	}
	defer s.Close()
	lead, err := s.Connect(nil)
	if err != nil {
		b.Fatal(err)
	}
	defer lead.Close()
	hands, err := crew.Connect(crew.Access{URL: s.URL()}, nil)
	if err != nil {
		b.Fatal(err)
	}
	defer hands.Close()
	f := folder(b, b.TempDir(), fmt.Sprintf("%d 12 0 0", 12*b.N))
	b.ResetTimer()
	go func() {
		_ = crew.Work(b.Context(), hands, open, crew.WorkOptions{Version: version, Processors: 2})
	}()
	if err := crew.Lead(b.Context(), lead, f, crew.LeadOptions{Version: version}); err != nil {
		b.Fatal(err)
	}
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "shards/s")
}
