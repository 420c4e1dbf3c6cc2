package crew

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"sync"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"

	"crankwright/results"
	"crankwright/study"
)

const (
	window        = 4096             // shards in the queue at a time: enough for as many processors, few enough to be listed
	atATime       = 16               // results that the leader stores at a time: most of it is waiting for the disk
	mostFailed    = 3                // times that workers may fail at one shard
	lookAgain     = 10 * time.Second // how often the queue is compared with what should be in it
	farewell      = 3 * time.Second  // for workers to hear that the study is done, before their server may go
	usualPatience = 10 * time.Second
)

// LeadOptions are of no influence on results.
type LeadOptions struct {
	Version  string                 // of this program; workers of another are refused
	Patience time.Duration          // after which a shard of which nothing is heard goes to another worker; 0: 10 s
	Tell     func(results.Progress) // about once a second, and at the end; may be nil
}

// ErrPoison is returned where workers fail at a shard again and again.
var ErrPoison = errors.New("the study was stopped: workers fail at the same candidates again and again")

// lead is one run of a leader.
type lead struct {
	c        *Conn
	notice   notice
	bundle   study.Bundle
	folder   *results.Folder
	opt      LeadOptions
	objects  jetstream.ObjectStore
	missing  map[int]study.Shard // what the folder lacks
	next     []study.Shard       // of these, what was not posted yet, and maybe some that have come meanwhile
	posted   map[int]bool        // of these, what the queue should hold
	failures map[int]int
	roll     roll
	pace     results.Meter
	told     time.Time
}

// Lead has workers do what a folder of results lacks, and finishes it when it lacks nothing. The queue is removed then.
// Where ctx ends first, it is kept: workers may go on, and Lead called again, in another process too, goes on with it.
func Lead(ctx context.Context, c *Conn, f *results.Folder, opt LeadOptions) error {
	b, err := f.Bundle()
	if err != nil {
		return err
	}
	opt.Patience = cmp.Or(opt.Patience, usualPatience)
	n := notice{queue: queueOf(f.Digest()), name: f.Name(), digest: f.Digest(), version: opt.Version}
	l := &lead{c: c, notice: n, bundle: b, folder: f, opt: opt}
	l.lacking()
	if err := l.alone(ctx); err != nil {
		return err
	}
	stop, err := l.listen()
	if err != nil {
		return err
	}
	defer stop()
	for err == nil && len(l.missing) > 0 {
		err = l.run(ctx)
		l.lacking()
	}
	if err == nil {
		_, err = f.Finish()
	}
	switch {
	case err == nil:
		err = l.end(ctx, Done, "")
	case errors.Is(err, ErrPoison):
		err = errors.Join(err, l.end(ctx, Stopped, err.Error()))
	default:
		l.show(Paused, err.Error())
	}
	return err
}

// lacking asks the folder what it lacks.
func (l *lead) lacking() {
	l.missing, l.posted, l.failures = map[int]study.Shard{}, map[int]bool{}, map[int]int{}
	l.next = l.folder.Missing()
	for _, r := range l.next {
		l.missing[r.Number] = r
	}
}

// alone makes sure that nobody else leads the study: two would take each other's results.
func (l *lead) alone(ctx context.Context) error {
	var other string
	err := l.c.keep(ctx, func(ctx context.Context) error {
		sub, cancel := context.WithTimeout(ctx, 2*time.Second)
		defer cancel()
		m, err := l.c.nc.RequestWithContext(sub, l.notice.subject("leader"), nil)
		switch {
		case err == nil:
			other = string(m.Data)
		case errors.Is(err, nats.ErrNoResponders), sub.Err() != nil && ctx.Err() == nil:
			return nil
		}
		return err
	})
	if err == nil && other != "" {
		return fmt.Errorf("%s leads this study already: let it, or end it first", other)
	}
	return err
}

// listen answers who asks for the leader, and hears workers.
func (l *lead) listen() (stop func(), err error) {
	me := processName()
	leads, err := l.c.nc.Subscribe(l.notice.subject("leader"), func(m *nats.Msg) { _ = m.Respond([]byte(me)) })
	if err != nil {
		return nil, err
	}
	hear, err := l.c.nc.Subscribe(l.notice.subject("here"), func(m *nats.Msg) {
		var w Worker
		if json.Unmarshal(m.Data, &w) == nil && w.Name != "" {
			l.roll.here(w)
		}
	})
	if err != nil {
		return nil, errors.Join(err, leads.Unsubscribe())
	}
	return func() { _, _ = leads.Unsubscribe(), hear.Unsubscribe() }, nil
}

// processName tells this process from others.
func processName() string {
	host, err := os.Hostname()
	if err != nil {
		host = "a machine without a name"
	}
	return fmt.Sprintf("%s, process %d", host, os.Getpid())
}

// run does what the folder lacks: it compares the queue with it, then posts shards and takes results until it looks again.
func (l *lead) run(ctx context.Context) error {
	for len(l.missing) > 0 {
		if err := l.c.keep(ctx, l.compare); err != nil {
			return err
		}
		for until := time.Now().Add(lookAgain); len(l.missing) > 0 && time.Now().Before(until); {
			err := l.post(ctx)
			if err == nil {
				err = l.take(ctx)
			}
			if lost := (lostQueue{}); errors.As(err, &lost) {
				if err := l.c.pause(ctx, 50*time.Millisecond); err != nil {
					return err
				}
				break // and compare
			}
			if err != nil {
				return err
			}
			l.show(Running, "")
		}
	}
	return nil
}

// errAgain has the queue made, and looked at, once more.
var errAgain = errors.New("once more")

// lostQueue says that the queue is not what it should be, or the server not there.
type lostQueue struct{ error }

// compare makes what is not there and finds out what the queue holds: a leader before may have filled it, and a server
// may have lost some of it.
func (l *lead) compare(ctx context.Context) error {
	objects, err := l.c.setUp(ctx, l.notice, l.bundle, l.opt.Patience)
	if err != nil {
		return err
	}
	l.objects = objects
	handed, err := l.c.handed(ctx, l.notice.queue)
	if err != nil {
		return err
	}
	shards, results, err := l.c.held(ctx, l.notice.queue)
	if err != nil {
		return err
	}
	if len(shards) > handed {
		l.c.tell(fmt.Sprintf("the message server has lost sight of %d shards: they are handed out again", len(shards)-handed))
		if err := l.c.js.DeleteConsumer(ctx, l.notice.stream(), workers); err != nil {
			return err
		}
		return errAgain
	}
	for number := range l.posted {
		if !shards[number] && !results[number] {
			delete(l.posted, number)
			l.next = append(l.next, l.missing[number])
		}
	}
	for number := range results {
		if _, missing := l.missing[number]; missing {
			l.posted[number] = true
		}
	}
	for number := range shards {
		if _, missing := l.missing[number]; missing {
			l.posted[number] = true
		} else if err := l.forget(ctx, number); err != nil {
			return err
		}
	}
	return nil
}

// forget takes a shard of which the folder has the result out of the queue: whoever works at it need not.
func (l *lead) forget(ctx context.Context, number int) error {
	stream, err := l.c.js.Stream(ctx, l.notice.stream())
	if err != nil {
		return err
	}
	return stream.Purge(ctx, jetstream.WithPurgeSubject(l.notice.shard(number)))
}

// post fills the queue.
func (l *lead) post(ctx context.Context) error {
	sub, cancel := l.c.while(ctx, mostWait)
	defer cancel()
	for len(l.next) > 0 && len(l.posted) < window {
		r := l.next[0]
		_, missing := l.missing[r.Number]
		if missing && !l.posted[r.Number] {
			data, err := json.Marshal(r)
			if err != nil {
				return err
			}
			if _, err := l.c.offer(sub, &nats.Msg{Subject: l.notice.shard(r.Number), Data: data}, ""); err != nil {
				return lose(err)
			}
			l.posted[r.Number] = true
		}
		l.next = l.next[1:]
	}
	return nil
}

// take waits up to a second for results and stores them.
func (l *lead) take(ctx context.Context) error {
	sub, cancel := l.c.while(ctx, time.Second)
	defer cancel()
	consumer, err := l.c.js.Consumer(sub, l.notice.stream(), leader)
	if err != nil {
		return lose(err)
	}
	batch, err := consumer.Fetch(64, jetstream.FetchContext(sub))
	if err != nil {
		return lose(err)
	}
	var all sync.WaitGroup
	var mu sync.Mutex
	var errs []error
	gate := make(chan struct{}, atATime)
	for m := range batch.Messages() {
		gate <- struct{}{}
		all.Go(func() {
			defer func() { <-gate }()
			if err := l.handle(ctx, &mu, m); err != nil {
				mu.Lock()
				defer mu.Unlock()
				errs = append(errs, err)
			}
		})
	}
	all.Wait()
	if err := batch.Error(); len(errs) == 0 && err != nil && sub.Err() == nil {
		return lose(err)
	}
	return errors.Join(append(errs, ctx.Err())...)
}

// handle stores one result, or counts one failure. mu guards what the leader knows.
func (l *lead) handle(ctx context.Context, mu *sync.Mutex, m jetstream.Msg) error {
	kind, number, err := numberOf(m.Subject())
	if err != nil {
		return err
	}
	by, object := m.Headers().Get(headerWorker), m.Headers().Get(headerObject)
	mu.Lock()
	r, missing := l.missing[number]
	mu.Unlock()
	switch {
	case kind == "failed" && missing:
		mu.Lock()
		err = l.failed(r, by, string(m.Data()))
		mu.Unlock()
	case missing && m.Headers().Get(headerVersion) == l.notice.version:
		err = l.store(ctx, mu, r, by, object)
	}
	if err != nil {
		return err
	}
	if kind == "result" {
		// where this fails, the object is of no harm until it goes with its bucket
		_ = l.objects.Delete(ctx, object)
	}
	return lose(m.Ack())
}

// store puts a result into the folder. What is not there, or not whole, is worked at again.
func (l *lead) store(ctx context.Context, mu *sync.Mutex, r study.Shard, by, object string) error {
	data, err := l.c.get(ctx, l.objects, object)
	if err != nil && !answer(err) {
		return lose(err)
	}
	if err == nil {
		err = l.folder.PutEncoded(data)
	}
	mu.Lock()
	defer mu.Unlock()
	switch {
	case err == nil:
		delete(l.missing, r.Number)
		delete(l.posted, r.Number)
		l.roll.did(by)
	case errors.Is(err, results.ErrRefused):
		l.lost(r)
		return l.failed(r, by, err.Error())
	case answer(err):
		l.lost(r)
	default:
		return err
	}
	return nil
}

// lost has a shard posted again.
func (l *lead) lost(r study.Shard) {
	delete(l.posted, r.Number)
	l.next = append(l.next, r)
}

// failed counts how often workers failed at a shard.
func (l *lead) failed(r study.Shard, by, words string) error {
	l.failures[r.Number]++
	if l.failures[r.Number] >= mostFailed {
		return fmt.Errorf("%w (%d to %d): %s (by %s)", ErrPoison, r.From, r.To-1, words, by)
	}
	l.c.tell(fmt.Sprintf("a worker (%s) failed at %s, so another tries: %s", by, candidatesOf(r), words))
	return nil
}

// lose marks an error for which the queue is to be looked at again.
func lose(err error) error {
	if err == nil {
		return nil
	}
	return lostQueue{err}
}

// end removes the queue, and lets workers hear that it is gone before the server may go as well.
func (l *lead) end(ctx context.Context, state State, words string) error {
	if err := l.c.keep(ctx, func(ctx context.Context) error { return l.c.tearDown(ctx, l.notice.queue) }); err != nil {
		return err
	}
	l.show(state, words)
	l.farewell(ctx)
	return nil
}

// farewell waits a moment until the workers have gone.
func (l *lead) farewell(ctx context.Context) {
	for until := time.Now().Add(farewell); time.Now().Before(until) && ctx.Err() == nil && l.roll.present() > 0; time.Sleep(20 * time.Millisecond) {
		_ = l.c.nc.Publish(l.notice.subject("end"), nil)
	}
}
