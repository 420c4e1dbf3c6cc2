package crew_test

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"

	"crankwright/crew"
)

// outside reaches a server without package crew.
func outside(t *testing.T, url string) jetstream.JetStream {
	t.Helper()
	nc, err := nats.Connect(url)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(nc.Close)
	js, err := jetstream.New(nc)
	if err != nil {
		t.Fatal(err)
	}
	return js
}

// queueOf waits for the only study that a server has.
func queueOf(t *testing.T, js jetstream.JetStream) (id string, stream jetstream.Stream) {
	t.Helper()
	until(t, "a study is led", func() bool {
		for name := range js.StreamNames(t.Context()).Name() {
			if rest, is := strings.CutPrefix(name, "crankwright-"); is {
				id = rest
			}
		}
		return id != ""
	})
	var err error
	until(t, "its workers may begin", func() bool {
		if stream, err = js.Stream(t.Context(), "crankwright-"+id); err != nil {
			return false
		}
		_, err = stream.Consumer(t.Context(), "workers")
		return err == nil && stream.CachedInfo().State.Msgs > 0
	})
	return id, stream
}

// TestLostSight brings a server to where a shard is in its queue and it will never hand it out. That it can come about by
// itself was seen when servers were killed.
func TestLostSight(t *testing.T) {
	t.Parallel()
	url := host(t, crew.HostOptions{}).URL()
	dir := t.TempDir()
	end := led(t.Context(), t, url, dir, "12 12 0 0", nil)
	_, stream := queueOf(t, outside(t, url))
	once, err := stream.Consumer(t.Context(), "workers")
	if err != nil {
		t.Fatal(err)
	}
	set := once.CachedInfo().Config
	set.MaxDeliver, set.AckWait = 1, 50*time.Millisecond
	if once, err = stream.UpdateConsumer(t.Context(), set); err != nil {
		t.Fatal(err)
	}
	if _, err := once.Next(jetstream.FetchMaxWait(5 * time.Second)); err != nil {
		t.Fatal(err)
	}
	until(t, "the server does not wait for it any more", func() bool {
		info, err := once.Info(t.Context())
		return err == nil && info.NumAckPending == 0 && info.NumPending == 0
	})
	if err := work(t, url, crew.WorkOptions{Version: version, Once: true}); err != nil {
		t.Error(err)
	}
	if err := <-end; err != nil {
		t.Error(err)
	}
}

// TestBytesThatAreNoResult gives the leader what a broken worker would: it has the shard done again.
func TestBytesThatAreNoResult(t *testing.T) {
	t.Parallel()
	const text = "24 12 0 0"
	url := host(t, crew.HostOptions{}).URL()
	dir := t.TempDir()
	end := led(t.Context(), t, url, dir, text, nil)
	js := outside(t, url)
	id, stream := queueOf(t, js)
	objects, err := js.ObjectStore(t.Context(), "crankwright-"+id)
	if err != nil {
		t.Fatal(err)
	}
	for shard, object := range map[string]string{"0": "rubbish", "1": "missing", "7": "missing"} {
		m := nats.NewMsg("crankwright." + id + ".result." + shard)
		m.Header.Set("Crankwright-Version", version)
		m.Header.Set("Crankwright-Worker", "broken")
		m.Header.Set("Crankwright-Object", object)
		if object == "rubbish" {
			if _, err := objects.PutString(t.Context(), object, "no file"); err != nil {
				t.Fatal(err)
			}
		}
		if _, err := js.PublishMsg(t.Context(), m); err != nil {
			t.Fatal(err)
		}
	}
	until(t, "the leader has looked at them", func() bool {
		leader, err := stream.Consumer(t.Context(), "leader")
		if err != nil {
			return false
		}
		info := leader.CachedInfo()
		return info.NumPending == 0 && info.NumAckPending == 0
	})
	if err := work(t, url, crew.WorkOptions{Version: version, Once: true}); err != nil {
		t.Error(err)
	}
	if err := <-end; err != nil {
		t.Fatal(err)
	}
	same(t, files(t, dir), alone(t, text))
}

// TestAbandonedStudyHoldsNobody has a study whose leader has gone, and another: a worker does what it can of the first and
// finds the second.
func TestAbandonedStudyHoldsNobody(t *testing.T) {
	t.Parallel()
	url := host(t, crew.HostOptions{}).URL()
	ctx, cancel := context.WithCancel(t.Context())
	abandoned := led(ctx, t, url, t.TempDir(), "120 12 0 0", nil)
	queueOf(t, outside(t, url))
	cancel()
	if err := <-abandoned; !errors.Is(err, context.Canceled) {
		t.Fatal(err)
	}
	on, off := context.WithCancel(t.Context())
	defer off()
	gone := make(chan error, 1)
	said := make(chan string, 100)
	go func() {
		gone <- crew.Work(on, link(t, url), open, crew.WorkOptions{Version: version, Tell: func(w string) { said <- w }})
	}()
	refuses(t, errors.New(<-said), "works on")
	if err := <-led(t.Context(), t, url, t.TempDir(), "240 12 0 0", nil); err != nil {
		t.Error(err)
	}
	off()
	if err := <-gone; !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
}

// TestOnlyTheNamedStudy has a worker that does not care for the study that is led.
func TestOnlyTheNamedStudy(t *testing.T) {
	t.Parallel()
	url := host(t, crew.HostOptions{}).URL()
	end := led(t.Context(), t, url, t.TempDir(), "24 12 0 0", nil)
	id, _ := queueOf(t, outside(t, url))
	ctx, cancel := context.WithTimeout(t.Context(), 2*time.Second)
	defer cancel()
	err := crew.Work(ctx, link(t, url), open, crew.WorkOptions{Version: version, Study: "tug.study.yaml"})
	if !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("%v; wanted: %v", err, context.DeadlineExceeded)
	}
	if err := work(t, url, crew.WorkOptions{Version: version, Study: id, Once: true}); err != nil {
		t.Error(err)
	}
	if err := <-end; err != nil {
		t.Error(err)
	}
}

// TestServerComesBackWithAnotherPassword ends a worker in words: it would never be let in.
func TestServerComesBackWithAnotherPassword(t *testing.T) {
	t.Parallel()
	address := freeAddress(t)
	s := host(t, crew.HostOptions{Address: address, Token: "flood"})
	c, err := crew.Connect(crew.Access{URL: s.URL(), Token: "flood"}, nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(c.Close)
	gone := make(chan error, 1)
	said := make(chan string, 100)
	go func() {
		gone <- crew.Work(t.Context(), c, open, crew.WorkOptions{Version: version, Tell: func(w string) { said <- w }})
	}()
	refuses(t, errors.New(<-said), "waiting for a study")
	s.Close()
	host(t, crew.HostOptions{Address: address, Token: "ebb"})
	refuses(t, <-gone, "does not let us in")
}
