package crew_test

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"crankwright/crew"
	"crankwright/results"
)

// alone returns what one machine makes of a study, by file.
func alone(t *testing.T, text string) map[string]string {
	t.Helper()
	dir := t.TempDir()
	f := folder(t, dir, text)
	p, err := open(bundle(text))
	if err != nil {
		t.Fatal(err)
	}
	p.(*invented).sleep = 0
	if err := results.Run(t.Context(), p, f, results.Options{Processors: 1}); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	return files(t, dir)
}

// folder makes a folder for the results of a study, or goes on with one.
func folder(t testing.TB, dir, text string) *results.Folder {
	t.Helper()
	b := bundle(text)
	p, err := open(b)
	if err != nil {
		t.Fatal(err)
	}
	f, err := results.Create(dir, p, b)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func same(t *testing.T, got, want map[string]string) {
	t.Helper()
	a, b := slices.Sorted(maps.Keys(got)), slices.Sorted(maps.Keys(want))
	if !slices.Equal(a, b) {
		t.Fatalf("files:\n%v\none machine makes:\n%v", a, b)
	}
	for name, data := range want {
		if got[name] != data {
			t.Errorf("%s has %d bytes, one machine makes %d, or they differ", name, len(got[name]), len(data))
		}
	}
}

func TestThreeWorkersMakeTheBytesOfOneMachine(t *testing.T) {
	t.Parallel()
	const text = "6000 30 5 0"
	url := "nats://" + server(t)
	var crew []*process
	for range 3 {
		crew = append(crew, start(t, "worker", url, "once"))
	}
	dir := t.TempDir()
	start(t, "leader", url, dir, text).ends()
	same(t, files(t, dir), alone(t, text))
	for _, w := range crew {
		w.ends()
		if !strings.Contains(w.words(), "having done") || strings.Contains(w.words(), "having done 0 ") {
			t.Errorf("a worker has done nothing:\n%s", w.words())
		}
	}
}

// server starts a server in a process of its own, and returns its address.
func server(t *testing.T) string {
	t.Helper()
	address := freeAddress(t)
	start(t, "server", address, t.TempDir()).says("listens")
	return address
}

// TestCrashes kills worker, leader or server at random moments, fifty times in all, and starts them again.
func TestCrashes(t *testing.T) {
	if testing.Short() {
		t.Skip("kills processes for half a minute")
	}
	const kills = 50
	random := rand.New(rand.NewPCG(9, 2026))
	address, store := freeAddress(t), t.TempDir()
	url := "nats://" + address
	all := []*process{start(t, "server", address, store), nil}
	for range 3 {
		all = append(all, start(t, "worker", url))
	}
	t.Cleanup(func() {
		if t.Failed() {
			t.Log(state(t, url))
		}
	})
	killed := map[string]int{}
	n := 0
	for run := 0; n < kills; run++ {
		text := fmt.Sprintf("%d 39 25 0", 24000+run)
		dir := filepath.Join(t.TempDir(), "results")
		all[1] = start(t, "leader", url, dir, text)
		begun := time.Now()
		for done := false; !done; {
			wait := time.Duration(100+random.IntN(500)) * time.Millisecond
			select {
			case <-all[1].done:
				done = true
				continue
			case <-time.After(wait):
			}
			if n == kills {
				all[1].ends()
				continue
			}
			i := random.IntN(len(all))
			p := all[i]
			if p.role == "leader" {
				select {
				case <-p.done:
					continue
				default:
				}
			}
			p.kill()
			killed[p.role]++
			n++
			all[i] = start(t, p.role, p.args...)
		}
		all[1].ends()
		same(t, files(t, dir), alone(t, text))
		t.Logf("run %d: whole after %v, %d killed so far: %v", run+1, time.Since(begun).Round(time.Millisecond), n, killed)
	}
	for _, role := range []string{"server", "leader", "worker"} {
		if killed[role] == 0 {
			t.Errorf("no %s was killed: the seed is of no use", role)
		}
	}
}

// TestLeaderWithServerInside kills both in one process, as they are where one machine leads and others help.
func TestLeaderWithServerInside(t *testing.T) {
	t.Parallel()
	const text = "6000 12 10 0"
	random := rand.New(rand.NewPCG(9, 2027))
	address, store, dir := freeAddress(t), t.TempDir(), t.TempDir()
	w := start(t, "worker", "nats://"+address, "once")
	w.says("nobody answers")
	for range 5 {
		p := start(t, "leader with server", address, store, dir, text)
		time.Sleep(time.Duration(300+random.IntN(500)) * time.Millisecond)
		p.kill()
	}
	start(t, "leader with server", address, store, dir, text).ends()
	same(t, files(t, dir), alone(t, text))
	w.ends()
}

// BenchmarkRedelivery kills a worker that has a shard and measures until another has it, with the usual patience.
func BenchmarkRedelivery(b *testing.B) {
	const takes = 100 * time.Millisecond
	for range b.N {
		b.StopTimer()
		s, err := crew.Host(crew.HostOptions{StoreDir: b.TempDir()})
		if err != nil {
			b.Fatal(err)
		}
		c, err := s.Connect(nil)
		if err != nil {
			b.Fatal(err)
		}
		first := start(b, "slow worker", s.URL())
		end := make(chan error, 1)
		f := folder(b, b.TempDir(), "12 12 100 0")
		go func() { end <- crew.Lead(b.Context(), c, f, crew.LeadOptions{Version: version}) }()
		first.says("has a shard")
		start(b, "worker", s.URL(), "once").says("works on")
		first.kill()
		b.StartTimer()
		if err := <-end; err != nil {
			b.Fatal(err)
		}
		c.Close()
		s.Close()
	}
	b.ReportMetric(b.Elapsed().Seconds()/float64(b.N)-takes.Seconds(), "s/redelivery")
}
