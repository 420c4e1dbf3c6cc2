package crew

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"

	"crankwright/study"
)

// Names of what the server keeps, and of the headers of messages.
const (
	allShards   = "crankwright.*.shard.*" // what tells our streams from those of others
	boardBucket = "crankwright"           // where every study stands: one key a study, last value kept
	boardKeeps  = 7 * 24 * time.Hour
	bundleName  = "bundle"
	workers     = "workers"
	leader      = "leader"

	headerObject  = "Crankwright-Object"
	headerWorker  = "Crankwright-Worker"
	headerVersion = "Crankwright-Version"
)

// queue names everything that the server keeps of one study.
type queue struct{ id string }

// queueOf derives the names from the digest of a study: whoever leads it next finds what the one before left.
func queueOf(digest string) queue {
	sum := sha256.Sum256([]byte(digest))
	return queue{hex.EncodeToString(sum[:8])}
}

func (q queue) stream() string             { return "crankwright-" + q.id }
func (q queue) bucket() string             { return "crankwright-" + q.id }
func (q queue) subject(kind string) string { return "crankwright." + q.id + "." + kind }
func (q queue) shard(number int) string    { return q.subject("shard." + strconv.Itoa(number)) }
func (q queue) result(number int) string   { return q.subject("result." + strconv.Itoa(number)) }
func (q queue) failed(n int, by string) string {
	return q.subject("failed." + strconv.Itoa(n) + "." + by)
}

// candidatesOf says which candidates a shard holds, in words.
func candidatesOf(r study.Shard) string {
	return fmt.Sprintf("candidates %d to %d", r.From, max(r.From+1, r.To)-1)
}

// numberOf reads the kind and the shard of a subject.
func numberOf(subject string) (kind string, number int, err error) {
	parts := strings.Split(subject, ".")
	if len(parts) < 4 {
		return "", 0, fmt.Errorf("%q is no subject of a study", subject)
	}
	number, err = strconv.Atoi(parts[3])
	return parts[2], number, err
}

// notice is what a queue says of its study.
type notice struct {
	queue
	name, digest, version string
	made                  time.Time
}

func (n notice) metadata() map[string]string {
	return map[string]string{"study": n.name, "digest": n.digest, "version": n.version}
}

func noticeOf(info *jetstream.StreamInfo) notice {
	m := info.Config.Metadata
	return notice{queue: queueOf(m["digest"]), name: m["study"], digest: m["digest"], version: m["version"], made: info.Created}
}

// setUp makes the queue of a study, or finds what a leader before has left; the stream last, because it is what workers
// look for. patience is after what time a shard of which nothing is heard is handed to another worker.
func (c *Conn) setUp(ctx context.Context, n notice, b study.Bundle, patience time.Duration) (jetstream.ObjectStore, error) {
	stream, err := c.js.Stream(ctx, n.stream())
	switch {
	case errors.Is(err, jetstream.ErrStreamNotFound):
	case err != nil:
		return nil, err
	case stream.CachedInfo().Config.Metadata["version"] != n.version:
		// another program has begun it: its workers and their results are of no use
		if err := c.tearDown(ctx, n.queue); err != nil {
			return nil, err
		}
	}
	objects, err := c.js.CreateOrUpdateObjectStore(ctx, jetstream.ObjectStoreConfig{
		Bucket: n.bucket(), Description: "files and results of " + n.name, Storage: jetstream.FileStorage,
	})
	if err != nil {
		return nil, err
	}
	files, err := json.Marshal(b)
	if err != nil {
		return nil, err
	}
	if there, err := c.get(ctx, objects, bundleName); err != nil && !answer(err) {
		return nil, err
	} else if !bytes.Equal(there, files) {
		if _, err := objects.PutBytes(ctx, bundleName, files); err != nil {
			return nil, err
		}
	}
	stream, err = c.js.CreateOrUpdateStream(ctx, jetstream.StreamConfig{
		Name: n.stream(), Description: "shards of " + n.name, Metadata: n.metadata(),
		Subjects:  []string{n.subject("shard.*"), n.subject("result.*"), n.subject("failed.*.*")},
		Retention: jetstream.WorkQueuePolicy, Storage: jetstream.FileStorage,
	})
	if err != nil {
		return nil, err
	}
	// what a leader was given and has not finished with, maybe one before us, is given again
	if err := stream.DeleteConsumer(ctx, leader); err != nil && !errors.Is(err, jetstream.ErrConsumerNotFound) {
		return nil, err
	}
	_, err = stream.CreateOrUpdateConsumer(ctx, jetstream.ConsumerConfig{
		Durable: leader, FilterSubjects: []string{n.subject("result.*"), n.subject("failed.*.*")},
		AckPolicy: jetstream.AckExplicitPolicy, AckWait: patience, MaxAckPending: 2 * window,
	})
	if err != nil {
		return nil, err
	}
	_, err = stream.CreateOrUpdateConsumer(ctx, jetstream.ConsumerConfig{
		Durable: workers, FilterSubject: n.subject("shard.*"),
		AckPolicy: jetstream.AckExplicitPolicy, AckWait: patience, MaxAckPending: 2 * window,
	})
	return objects, err
}

// tearDown removes everything of a study; the stream first, because workers go when it goes.
func (c *Conn) tearDown(ctx context.Context, q queue) error {
	if err := c.js.DeleteStream(ctx, q.stream()); err != nil && !errors.Is(err, jetstream.ErrStreamNotFound) {
		return err
	}
	err := c.js.DeleteObjectStore(ctx, q.bucket())
	if err != nil && !errors.Is(err, jetstream.ErrBucketNotFound) && !errors.Is(err, jetstream.ErrStreamNotFound) {
		return err
	}
	return nil
}

// handed counts the shards that the server will hand out or has handed out. Where it was killed, that may be fewer than it
// holds.
func (c *Conn) handed(ctx context.Context, q queue) (int, error) {
	consumer, err := c.js.Consumer(ctx, q.stream(), workers)
	if err != nil {
		return 0, err
	}
	info := consumer.CachedInfo()
	return int(info.NumPending) + info.NumAckPending, nil
}

// held lists the shards that the queue holds, waiting or being worked at, and those of which it holds the result.
func (c *Conn) held(ctx context.Context, q queue) (shards, results map[int]bool, err error) {
	stream, err := c.js.Stream(ctx, q.stream())
	if err != nil {
		return nil, nil, err
	}
	info, err := stream.Info(ctx, jetstream.WithSubjectFilter(">"))
	if err != nil {
		return nil, nil, err
	}
	shards, results = map[int]bool{}, map[int]bool{}
	for subject := range info.State.Subjects {
		kind, number, err := numberOf(subject)
		switch {
		case err != nil:
			return nil, nil, err
		case kind == "shard":
			shards[number] = true
		case kind == "result":
			results[number] = true
		}
	}
	return shards, results, nil
}

// offer puts a message where there is none of its subject yet. The id, which may be empty, lets the server know a second try
// of the same.
func (c *Conn) offer(ctx context.Context, m *nats.Msg, id string) (put bool, err error) {
	opts := []jetstream.PublishOpt{jetstream.WithExpectLastSequencePerSubject(0)}
	if id != "" {
		opts = append(opts, jetstream.WithMsgID(id))
	}
	_, err = c.js.PublishMsg(ctx, m, opts...)
	var api *jetstream.APIError
	if errors.As(err, &api) && (api.ErrorCode == jetstream.JSErrCodeStreamWrongLastSequence ||
		api.ErrorCode == jetstream.JSErrCodeStreamWrongLastSequenceConstant) {
		return false, nil
	}
	return err == nil, err
}
