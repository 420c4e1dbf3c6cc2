package crew

import (
	"context"
	"encoding/json"
	"slices"
	"strings"
	"sync"
	"time"

	"github.com/nats-io/nats.go/jetstream"
)

// State is whether a study is going on.
type State string

// The states of a study.
const (
	Running State = "running"
	Paused  State = "paused"  // its leader was told to stop, and may come back
	Done    State = "done"    // whole
	Stopped State = "stopped" // it cannot be done
)

// Progress is where a study stands, for everybody who watches.
type Progress struct {
	ID      string   `json:"id"`      // the same for the same study, whoever leads it
	Study   string   `json:"study"`   // its name
	Version string   `json:"version"` // of the program that leads it
	Leader  string   `json:"leader"`  // which process leads it
	State   State    `json:"state"`
	Words   string   `json:"words,omitempty"` // why it is paused or stopped
	Done    uint64   `json:"done_1"`          // candidates
	Total   uint64   `json:"total_1"`
	Kept    uint64   `json:"kept_1"`
	Front   int      `json:"front_1"`     // of these, those that no other is better than in everything
	Shards  int      `json:"shards_1"`    // done
	Of      int      `json:"shards_of_1"` // of all
	Rate    float64  `json:"rate_per_s"`  // candidates a second, over the last seconds; 0: not known yet
	Left    float64  `json:"left_s"`      // at this rate; 0: not known, or all done
	Workers []Worker `json:"workers"`
}

// Worker is one of those who work at a study.
type Worker struct {
	Name       string `json:"name"`
	Processors int    `json:"processors_1"`
	Shards     int    `json:"shards_done_1"` // since the study was led by this process
}

// show tells everybody where the study stands, at most once a second unless the state changes.
func (l *lead) show(state State, words string) {
	if state == Running && time.Since(l.told) < time.Second {
		return
	}
	l.told = time.Now()
	p := l.folder.Progress()
	l.pace.Set(&p, l.told)
	if l.opt.Tell != nil {
		l.opt.Tell(p)
	}
	all := Progress{
		ID: l.notice.id, Study: l.notice.name, Version: l.notice.version, Leader: processName(), State: state, Words: words,
		Done: p.Done, Total: p.Total, Kept: p.Kept, Front: len(p.Front), Shards: p.Shards, Of: p.Of,
		Rate: p.Rate, Left: p.Left.Seconds(), Workers: l.roll.list(),
	}
	// a board that cannot be written to stops nobody
	ctx, cancel := l.c.while(context.Background(), 2*time.Second)
	defer cancel()
	board, err := l.c.board(ctx)
	if err != nil {
		return
	}
	if data, err := json.Marshal(all); err == nil {
		_, _ = board.Put(ctx, all.ID, data)
	}
}

// board is the store in which every leader says where its study stands.
func (c *Conn) board(ctx context.Context) (jetstream.KeyValue, error) {
	return c.js.CreateOrUpdateKeyValue(ctx, jetstream.KeyValueConfig{
		Bucket: boardBucket, Description: "where studies stand", TTL: boardKeeps, Storage: jetstream.FileStorage,
	})
}

// Watch tells where every study stands: at once, and then whenever it changes, until ctx ends or the connection is lost for
// good.
func Watch(ctx context.Context, c *Conn, tell func(Progress)) error {
	for {
		err := c.keep(ctx, func(try context.Context) error {
			board, err := c.board(try)
			if err != nil {
				return err
			}
			sub, cancel := c.while(ctx, 24*time.Hour)
			defer cancel()
			w, err := board.WatchAll(sub, jetstream.IgnoreDeletes())
			if err != nil {
				return err
			}
			defer func() { _ = w.Stop() }()
			for {
				select {
				case <-sub.Done():
					return ctx.Err()
				case e := <-w.Updates():
					var p Progress
					if e != nil && json.Unmarshal(e.Value(), &p) == nil {
						tell(p)
					}
				}
			}
		})
		if err == nil {
			err = c.pause(ctx, 200*time.Millisecond)
		}
		if err != nil {
			return err
		}
	}
}

// roll lists workers.
type roll struct {
	mu   sync.Mutex
	seen map[string]*seen
}

type seen struct {
	Worker
	at time.Time
}

// of returns what is known of a worker; the roll is locked.
func (r *roll) of(name string) *seen {
	if r.seen == nil {
		r.seen = map[string]*seen{}
	}
	if r.seen[name] == nil {
		r.seen[name] = &seen{Worker: Worker{Name: name}}
	}
	return r.seen[name]
}

// here takes in that a worker is there.
func (r *roll) here(w Worker) {
	r.mu.Lock()
	defer r.mu.Unlock()
	s := r.of(w.Name)
	s.Processors, s.at = w.Processors, time.Now()
}

// did counts a shard for a worker.
func (r *roll) did(name string) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.of(name).Shards++
}

// list returns everybody who did something or is there; who has gone has no processors.
func (r *roll) list() []Worker {
	r.mu.Lock()
	defer r.mu.Unlock()
	var all []Worker
	for _, s := range r.seen {
		if time.Since(s.at) > 5*beat {
			s.Processors = 0
		}
		if s.Processors > 0 || s.Shards > 0 {
			all = append(all, s.Worker)
		}
	}
	slices.SortFunc(all, func(a, b Worker) int { return strings.Compare(a.Name, b.Name) })
	return all
}

// present counts those who are there.
func (r *roll) present() int {
	n := 0
	for _, w := range r.list() {
		if w.Processors > 0 {
			n++
		}
	}
	return n
}
