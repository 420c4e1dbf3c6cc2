package results

import (
	"context"
	"errors"
	"runtime"
	"sync"
	"sync/atomic"
	"time"

	"crankwright/study"
)

// Options say how a study is run on this machine.
type Options struct {
	Processors int            // how many ranges at once; 0: as many as the machine has processors
	Tell       func(Progress) // called about four times a second and at the end, never twice at once; may be nil
}

// Progress is how far a study is.
type Progress struct {
	Done, Total uint64          // candidates that were looked at, of all, or of the most that are to be; those of running ranges included
	Kept        uint64          // of those of ranges that are done
	Shards      int             // ranges or generations that are done
	Of          int             // ranges of the study; generations so far
	Rate        float64         // candidates a second, over the last seconds; 0: not known yet
	Left        time.Duration   // remaining at this rate; 0: not known, or all done
	Front       []study.Point   // so far
	Best        [][]study.Point // so far, by aim, the best first
}

const (
	tellEvery  = 250 * time.Millisecond
	rateWindow = 10 * time.Second
)

// Run does all ranges of the problem that the folder misses, or the generations of its evolutionary search, and finishes the
// folder. Where ctx ends before that, it returns the error of ctx within a moment: ranges that are done stay, and the next Run
// goes on.
func Run(ctx context.Context, p study.Problem, f *Folder, opt Options) error {
	if p.Digest() != f.Digest() {
		return errors.New("the folder holds the results of another study")
	}
	processors := opt.Processors
	if processors < 1 {
		processors = runtime.GOMAXPROCS(0)
	}
	if f.rec.Evolution != nil {
		return f.evolve(ctx, p, processors, opt.Tell)
	}
	r := &running{folder: f, missing: f.Missing(), tell: opt.Tell}
	processors = max(1, min(processors, len(r.missing)))
	r.partly = make([]atomic.Uint64, processors)
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	defer Unhurried(p)()
	var workers, teller sync.WaitGroup
	stopTelling := make(chan struct{})
	teller.Go(func() { r.telling(stopTelling) })
	for i := range processors {
		workers.Go(func() {
			if err := r.work(ctx, p, &r.partly[i]); err != nil {
				cancel(err)
			}
		})
	}
	workers.Wait()
	close(stopTelling)
	teller.Wait()
	err := context.Cause(ctx)
	if err == nil {
		_, err = f.Finish()
	}
	r.progress()
	return err
}

// running is a study that runs.
type running struct {
	folder  *Folder
	missing []study.Shard
	next    atomic.Int64
	partly  []atomic.Uint64 // candidates of the range that each worker is in
	tell    func(Progress)
	pace    Meter
}

// work does range after range until none is left.
func (r *running) work(ctx context.Context, p study.Problem, partly *atomic.Uint64) error {
	ev, enc := p.Evaluator(), newEncoder(r.folder.rec)
	kept := study.NewBatch(len(p.Columns()))
	left := make([]study.Count, len(p.Rules()))
	stop := func() bool {
		partly.Store(looked(kept, left))
		return ctx.Err() != nil
	}
	for ctx.Err() == nil {
		n := int(r.next.Add(1)) - 1
		if n >= len(r.missing) {
			return nil
		}
		kept.Reset()
		clear(left)
		if err := ev.Evaluate(r.missing[n], kept, left, stop); err != nil {
			return err // where ctx ended it, the cause of ctx stays what it is
		}
		data, err := enc.Encode(r.missing[n], kept, left)
		if err != nil {
			return err
		}
		if err := r.folder.PutEncoded(data); err != nil {
			return err
		}
		partly.Store(0)
	}
	return nil
}

// telling reports progress until it is stopped.
func (r *running) telling(stop <-chan struct{}) {
	tick := time.NewTicker(tellEvery)
	defer tick.Stop()
	r.progress()
	for {
		select {
		case <-stop:
			return
		case <-tick.C:
			r.progress()
		}
	}
}

func (r *running) progress() {
	if r.tell == nil {
		return
	}
	p := r.folder.Progress()
	for i := range r.partly {
		p.Done += r.partly[i].Load()
	}
	p.Done = min(p.Done, p.Total)
	r.pace.Set(&p, time.Now())
	r.tell(p)
}

// Set sets the rate and the remaining time of p, as of now. Every reading counts for the next.
func (m *Meter) Set(p *Progress, now time.Time) {
	p.Rate = m.rate(now, p.Done)
	if p.Rate > 0 {
		p.Left = time.Duration(min(float64(p.Total-p.Done)/p.Rate*float64(time.Second), 1<<62))
	}
}

// Progress returns how far the folder is, without rate and remaining time.
func (f *Folder) Progress() Progress {
	f.mu.Lock()
	defer f.mu.Unlock()
	o := f.sum.Clone()
	if by := f.rec.Evolution; by != nil {
		return Progress{Done: o.Looked, Total: max(o.Looked, min(by.Evaluations, f.rec.Size)), Kept: o.Kept, Shards: f.count, Of: f.count, Front: o.Front, Best: o.Best}
	}
	return Progress{Done: o.Looked, Total: f.rec.Size, Kept: o.Kept, Shards: f.count, Of: len(f.done), Front: o.Front, Best: o.Best}
}

// Meter measures how fast a folder fills, over the last seconds.
type Meter struct{ seen []reading }

type reading struct {
	at   time.Time
	done uint64
}

// rate takes a reading and returns how much a second was done since the oldest one within the window.
func (m *Meter) rate(now time.Time, done uint64) float64 {
	for len(m.seen) > 1 && now.Sub(m.seen[0].at) > rateWindow {
		m.seen = m.seen[1:]
	}
	m.seen = append(m.seen, reading{now, done})
	first := m.seen[0]
	span := now.Sub(first.at).Seconds()
	if span <= 0 || done <= first.done {
		return 0
	}
	return float64(done-first.done) / span
}
