package main

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"sync"
	"time"
)

// tally is what became of some requests.
type tally struct {
	mu     sync.Mutex
	took   []time.Duration
	errors []error
}

// answered counts a request that was answered.
func (t *tally) answered(took time.Duration) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.took = append(t.took, took)
}

// do sends what a route sends and counts what goes wrong, unless it was cut off by the end.
func (t *tally) do(ctx context.Context, c *client, r route) {
	if err := r.ask(ctx, c); err != nil && ctx.Err() == nil {
		t.mu.Lock()
		defer t.mu.Unlock()
		t.errors = append(t.errors, fmt.Errorf("%s: %w", r.name, err))
	}
}

// take empties the tally.
func (t *tally) take() *tally {
	t.mu.Lock()
	defer t.mu.Unlock()
	out := &tally{took: t.took, errors: t.errors}
	t.took, t.errors = nil, nil
	slices.Sort(out.took)
	return out
}

// at is a quantile of the sorted times [ms].
func (t *tally) at(quantile float64) float64 {
	if len(t.took) == 0 {
		return 0
	}
	d := t.took[int(quantile*float64(len(t.took)-1))]
	return float64(d.Microseconds()) / 1000
}

// first returns the first errors of many.
func first(all []error) error { return errors.Join(all[:min(5, len(all))]...) }

// load sends every kind of request as fast as it is answered, at several concurrencies one after the other.
func load(ctx context.Context, p *program, each time.Duration, counts []int) error {
	fmt.Println("| request | at once | requests/s | p50 ms | p99 ms | errors |\n| --- | --- | --- | --- | --- | --- |")
	var wrong []error
	for _, r := range routes {
		if !r.load {
			continue
		}
		for _, n := range counts {
			t := &tally{}
			c := newClient(p, n, t)
			within, cancel := context.WithTimeout(ctx, each)
			began := time.Now()
			var workers sync.WaitGroup
			for range n {
				workers.Go(func() {
					for within.Err() == nil {
						t.do(within, c, r)
					}
				})
			}
			workers.Wait()
			took := time.Since(began)
			cancel()
			c.http.CloseIdleConnections()
			got := t.take()
			wrong = append(wrong, got.errors...)
			fmt.Printf("| %s | %d | %.0f | %.1f | %.1f | %d |\n", r.name, n, float64(len(got.took))/took.Seconds(), got.at(0.5), got.at(0.99), len(got.errors))
		}
	}
	h, err := p.holds()
	fmt.Printf("\nIt holds %.0f MB and %d files, in %d threads.\n", h.resident, h.files, h.threads)
	return errors.Join(ctx.Err(), err, first(wrong))
}

// soak sends all kinds of request mixed, at a given rate [1/s], and writes a line a minute.
func soak(ctx context.Context, p *program, long time.Duration, rate float64) error {
	var mix []route
	for _, r := range routes {
		for range r.weight {
			mix = append(mix, r)
		}
	}
	within, cancel := context.WithTimeout(ctx, long)
	defer cancel()
	t := &tally{}
	c := newClient(p, mostUnderWay, t)
	slots := make(chan struct{}, mostUnderWay)
	var under sync.WaitGroup
	every := time.NewTicker(time.Duration(float64(time.Second) / rate))
	defer every.Stop()
	minute := time.NewTicker(time.Minute)
	defer minute.Stop()
	fmt.Println("| minute | resident MB | open files | threads | requests | errors | put off | p50 ms | p99 ms | longest ms |\n" +
		"| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |")
	var wrong []error
	n, putOff := 0, 0
	line := func() error {
		h, err := p.holds()
		if err != nil {
			return err
		}
		got := t.take()
		wrong = append(wrong, got.errors...)
		n++
		fmt.Printf("| %d | %.0f | %d | %d | %d | %d | %d | %.1f | %.1f | %.0f |\n", n, h.resident, h.files, h.threads,
			len(got.took), len(got.errors), putOff, got.at(0.5), got.at(0.99), got.at(1))
		putOff = 0
		return nil
	}
	for within.Err() == nil {
		select {
		case <-every.C:
			select {
			case slots <- struct{}{}:
				r := mix[rand.IntN(len(mix))]
				under.Go(func() {
					t.do(within, c, r)
					<-slots
				})
			default:
				putOff++
			}
		case <-minute.C:
			if err := line(); err != nil {
				return errors.Join(err, first(wrong))
			}
		case <-within.Done():
		}
	}
	if err := line(); err != nil {
		return errors.Join(err, first(wrong))
	}
	under.Wait()
	c.http.CloseIdleConnections()
	time.Sleep(quiet)
	h, err := p.holds()
	fmt.Printf("\nAfter %v without requests it holds %.0f MB and %d files, in %d threads.\n", quiet, h.resident, h.files, h.threads)
	return errors.Join(err, first(wrong))
}

const (
	mostUnderWay = 32               // requests of the soak, event streams among them
	quiet        = 15 * time.Second // before the last look: listeners that went away are noticed
)
