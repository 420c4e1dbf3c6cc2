package crew

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"
	"github.com/nats-io/nuid"

	"crankwright/results"
	"crankwright/study"
)

// WorkOptions are of no influence on results.
type WorkOptions struct {
	Version    string             // of this program
	Processors int                // shards at a time; 0: as many as the machine has
	Name       string             // as others see it; empty: the machine and the process
	Study      string             // name or id of the only study to work on; empty: any
	Once       bool               // end when a study has been done, instead of waiting for the next
	Tell       func(words string) // what happens; may be nil
}

const (
	beat      = time.Second      // how often a worker says that it is there, and looks whether its study is
	idle      = 10 * time.Second // without a shard, after which a worker looks whether another study has some
	mostGiven = 20               // times that a shard may be handed out without a word of what became of it
)

// ErrRefused is returned where a worker may not work on a study.
var ErrRefused = errors.New("this worker cannot work on the study")

// worker is one run of Work.
type worker struct {
	c    *Conn
	open func(study.Bundle) (study.Problem, error)
	opt  WorkOptions
}

// Work waits for studies and works on them, one after the other. It returns when ctx ends, when the connection is lost for
// good, and with Once when a study has been done or cannot be worked on. A shard that it was at when ctx ended is given back.
func Work(ctx context.Context, c *Conn, open func(study.Bundle) (study.Problem, error), opt WorkOptions) error {
	if opt.Tell == nil {
		opt.Tell = func(string) {}
	}
	opt.Processors = cmp.Or(opt.Processors, runtime.NumCPU())
	opt.Name = cmp.Or(opt.Name, processName())
	w := &worker{c: c, open: open, opt: opt}
	refused := map[notice]bool{}
	var last notice
	for {
		n, err := w.find(ctx, refused, last)
		if err != nil {
			return err
		}
		last = n
		done, err := w.join(ctx, n)
		switch {
		case ctx.Err() != nil:
			return ctx.Err()
		case errors.Is(err, jetstream.ErrBucketNotFound), errors.Is(err, jetstream.ErrObjectNotFound), errors.Is(err, errNotWhole):
			// it has just ended, or its leader sees in a moment that something is missing
			if err := c.pause(ctx, beat/2); err != nil {
				return err
			}
		case errors.Is(err, ErrRefused) && !opt.Once:
			refused[n] = true
			opt.Tell(err.Error() + "; waiting for another")
		case err != nil:
			return err
		case opt.Once && done:
			return nil
		}
	}
}

// find waits for a study that was not refused, another than the last where there are several.
func (w *worker) find(ctx context.Context, refused map[notice]bool, last notice) (notice, error) {
	for told := false; ; told = true {
		list, err := w.studies(ctx)
		if err != nil {
			return notice{}, err
		}
		list = slices.DeleteFunc(list, func(n notice) bool { return refused[n] })
		if len(list) > 0 {
			return list[(slices.Index(list, last)+1)%len(list)], nil
		}
		if !told {
			w.opt.Tell("waiting for a study")
		}
		if err := w.c.pause(ctx, beat/2); err != nil {
			return notice{}, err
		}
	}
}

// studies lists what there is to work on.
func (w *worker) studies(ctx context.Context) ([]notice, error) {
	var all []notice
	err := w.c.keep(ctx, func(ctx context.Context) error {
		all = nil
		list := w.c.js.ListStreams(ctx, jetstream.WithStreamListSubject(allShards))
		for info := range list.Info() {
			n := noticeOf(info)
			wanted := w.opt.Study == "" || w.opt.Study == n.name || w.opt.Study == n.id
			if wanted && n.stream() == info.Config.Name {
				all = append(all, n)
			}
		}
		return list.Err()
	})
	return all, err
}

// join works on a study until it is done, or has had nothing for us for a while and there are others.
func (w *worker) join(ctx context.Context, n notice) (done bool, err error) {
	p, err := w.fetch(ctx, n)
	if err != nil {
		return false, err
	}
	encoders := make([]*results.Encoder, w.opt.Processors)
	for i := range encoders {
		if encoders[i], err = results.NewEncoder(p); err != nil {
			return false, fmt.Errorf("%w %s: %w", ErrRefused, n.name, err)
		}
	}
	w.opt.Tell(fmt.Sprintf("works on %s, %d shards at a time", n.name, w.opt.Processors))
	on, gone := context.WithCancel(ctx)
	defer gone()
	end, err := w.c.nc.Subscribe(n.subject("end"), func(*nats.Msg) { gone() })
	if err != nil {
		return false, err
	}
	defer func() { _ = end.Unsubscribe() }()
	defer results.Unhurried(p)()

	var s tally
	s.last.Store(time.Now().UnixNano())
	var all sync.WaitGroup
	for i := range w.opt.Processors {
		all.Go(func() {
			h := hand{
				worker: w, notice: n, on: on, tally: &s, encoder: encoders[i], evaluator: p.Evaluator(),
				kept: study.NewBatch(len(p.Columns())), left: make([]study.Count, len(p.Rules())),
			}
			for on.Err() == nil {
				h.one()
			}
		})
	}
	done, err = w.attend(on, n, &s)
	gone()
	all.Wait()
	w.say(n, 0)
	_ = w.c.nc.FlushTimeout(time.Second)
	w.opt.Tell(fmt.Sprintf("no longer works on %s, having done %d shards", n.name, s.shards.Load()))
	return done, err
}

// fetch fetches the files of a study and opens it here.
func (w *worker) fetch(ctx context.Context, n notice) (study.Problem, error) {
	if n.version != w.opt.Version {
		return nil, fmt.Errorf("%w %s: it is led by program version %s, and this is version %s; both must be the same",
			ErrRefused, n.name, n.version, w.opt.Version)
	}
	var data []byte
	err := w.c.keep(ctx, func(ctx context.Context) error {
		objects, err := w.c.js.ObjectStore(ctx, n.bucket())
		if err != nil {
			return err
		}
		data, err = w.c.get(ctx, objects, bundleName)
		return err
	})
	if err != nil {
		return nil, err
	}
	var b study.Bundle
	if err := json.Unmarshal(data, &b); err != nil {
		return nil, fmt.Errorf("%w %s: its files cannot be unpacked: %w", ErrRefused, n.name, err)
	}
	p, err := w.open(b)
	if err != nil {
		return nil, fmt.Errorf("%w %s: %w", ErrRefused, n.name, err)
	}
	if p.Digest() != n.digest {
		return nil, fmt.Errorf("%w %s: it would give other bytes here (digest %s) than where it is led (digest %s); both machines must have the same kind of processor, and this one has %s",
			ErrRefused, n.name, p.Digest(), n.digest, runtime.GOARCH)
	}
	return p, nil
}

// attend says now and then that we are there, and returns when the study is not, or when others may need us more.
func (w *worker) attend(ctx context.Context, n notice, s *tally) (done bool, err error) {
	for ctx.Err() == nil {
		w.say(n, w.opt.Processors)
		if done, err = w.gone(ctx, n); done || err != nil {
			break
		}
		if s.idle() {
			s.last.Store(time.Now().UnixNano())
			if list, err := w.studies(ctx); err == nil && len(list) > 1 {
				return false, nil
			}
		}
		if err = w.c.pause(ctx, beat); err != nil {
			break
		}
	}
	if ctx.Err() != nil { // we are told to stop, or the leader says that the study is done
		return true, nil //nolint:nilerr // that is no failure
	}
	return done, err
}

// gone asks whether a study is no longer what it was when it was found.
func (w *worker) gone(ctx context.Context, n notice) (gone bool, err error) {
	err = w.c.keep(ctx, func(ctx context.Context) error {
		s, err := w.c.js.Stream(ctx, n.stream())
		if errors.Is(err, jetstream.ErrStreamNotFound) {
			gone = true
			return nil
		}
		if err == nil {
			gone = !s.CachedInfo().Created.Equal(n.made)
		}
		return err
	})
	return gone, err
}

// say tells the leader of a study how many of our processors work at it; 0: we go.
func (w *worker) say(n notice, processors int) {
	data, err := json.Marshal(Worker{Name: w.opt.Name, Processors: processors})
	if err == nil {
		_ = w.c.nc.Publish(n.subject("here"), data) // who does not hear it now hears it in a second
	}
}

// tally is what the processors of a worker do together.
type tally struct {
	shards  atomic.Int64 // done
	working atomic.Int64 // processors that have a shard
	last    atomic.Int64 // when somebody had one [ns]
}

// idle tells whether nobody has had a shard for so long that another study may need us more.
func (s *tally) idle() bool {
	return s.working.Load() == 0 && time.Since(time.Unix(0, s.last.Load())) > idle
}

// hand is one processor of a worker at one study.
type hand struct {
	*worker
	notice    notice
	on        context.Context // ends when the study is gone, or the worker goes
	evaluator study.Evaluator
	kept      *study.Batch
	left      []study.Count
	encoder   *results.Encoder
	tally     *tally
	queue     jetstream.Consumer    // nil: to be looked up
	objects   jetstream.ObjectStore // as well
}

// one waits for a shard and does it.
func (h *hand) one() {
	m, patience := h.take()
	if m == nil {
		return
	}
	h.tally.working.Add(1)
	defer func() {
		h.tally.last.Store(time.Now().UnixNano())
		h.tally.working.Add(-1)
	}()
	var r study.Shard
	if err := json.Unmarshal(m.Data(), &r); err != nil {
		h.fail(m, r, fmt.Sprintf("a message that is no shard: %v", err))
		return
	}
	if meta, err := m.Metadata(); err == nil && meta.NumDelivered > mostGiven {
		h.fail(m, r, fmt.Sprintf("it was handed out %d times and nothing was heard of it: workers may die of it", mostGiven))
		return
	}
	data, err := h.evaluate(m, r, patience)
	switch {
	case h.on.Err() != nil:
	case err != nil:
		h.fail(m, r, err.Error())
		return
	case h.put(m, r, data):
		h.tally.shards.Add(1)
		return
	}
	_ = m.Nak() // another takes it at once
}

// take waits a few seconds for a shard, and says how long the server waits for a word of it.
func (h *hand) take() (jetstream.Msg, time.Duration) {
	var m jetstream.Msg
	err := h.c.keep(h.on, func(ctx context.Context) error {
		sub, cancel := context.WithTimeout(ctx, 5*time.Second)
		defer cancel()
		if h.queue == nil {
			queue, err := h.c.js.Consumer(sub, h.notice.stream(), workers)
			if err != nil {
				return err
			}
			h.queue = queue
		}
		batch, err := h.queue.Fetch(1, jetstream.FetchContext(sub))
		if err == nil {
			for m = range batch.Messages() {
				return nil
			}
			err = batch.Error()
		}
		if sub.Err() != nil && ctx.Err() == nil {
			return nil
		}
		if err != nil {
			h.queue = nil
		}
		return err
	})
	if err != nil { // the queue is gone: that is noticed in a moment
		_ = h.c.pause(h.on, beat/10)
	}
	if m == nil {
		return nil, 0
	}
	return m, h.queue.CachedInfo().Config.AckWait
}

// evaluate makes the bytes of a shard's file, and tells the server meanwhile that it is worked at.
func (h *hand) evaluate(m jetstream.Msg, r study.Shard, patience time.Duration) (data []byte, err error) {
	quit := make(chan struct{})
	defer close(quit)
	go func() {
		for tick := time.NewTicker(max(patience/4, 10*time.Millisecond)); ; {
			select {
			case <-quit:
				tick.Stop()
				return
			case <-tick.C:
				_ = m.InProgress() // not heard while the server is away: then somebody else may take it as well
			}
		}
	}()
	defer func() {
		if p := recover(); p != nil { // otherwise one shard could kill one worker after the other
			err = fmt.Errorf("the program failed: %v", p)
		}
	}()
	h.kept.Reset()
	clear(h.left)
	if err := h.evaluator.Evaluate(r, h.kept, h.left, func() bool { return h.on.Err() != nil }); err != nil {
		return nil, err
	}
	return h.encoder.Encode(r, h.kept, h.left)
}

// put puts a result where the leader finds it, and then takes the shard out of the queue.
func (h *hand) put(m jetstream.Msg, r study.Shard, data []byte) (done bool) {
	object := fmt.Sprintf("shard-%d-%s", r.Number, nuid.Next())
	err := h.c.keepFor(h.on, carry(uint64(len(data))), func(ctx context.Context) (err error) {
		if h.objects == nil {
			if h.objects, err = h.c.js.ObjectStore(ctx, h.notice.bucket()); err != nil {
				return err
			}
		}
		_, err = h.objects.PutBytes(ctx, object, data)
		return err
	})
	if err != nil {
		return false // the study is gone
	}
	note := h.message(h.notice.result(r.Number), nil)
	note.Header.Set(headerObject, object)
	put := false
	if err := h.c.keep(h.on, func(ctx context.Context) (err error) {
		put, err = h.c.offer(ctx, note, object)
		return err
	}); err != nil {
		return false
	}
	if !put { // another worker was given the same shard, and was faster
		_ = h.objects.Delete(h.on, object)
	}
	sub, cancel := h.c.while(h.on, 5*time.Second)
	defer cancel()
	_ = m.DoubleAck(sub) // where it is not heard, somebody does the shard again, and the leader drops it
	return true
}

// fail tells the leader why a shard cannot be done, and gives it back.
func (h *hand) fail(m jetstream.Msg, r study.Shard, words string) {
	h.opt.Tell(fmt.Sprintf("failed at %s: %s", candidatesOf(r), words))
	by := nuid.Next()
	note := h.message(h.notice.failed(r.Number, by), []byte(words))
	_ = h.c.keep(h.on, func(ctx context.Context) error {
		_, err := h.c.offer(ctx, note, by)
		return err
	})
	_ = m.NakWithDelay(beat / 2)
}

// message begins a message to the leader.
func (h *hand) message(subject string, data []byte) *nats.Msg {
	m := nats.NewMsg(subject)
	m.Data = data
	m.Header.Set(headerWorker, h.opt.Name)
	m.Header.Set(headerVersion, h.opt.Version)
	return m
}
