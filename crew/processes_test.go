package crew_test

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"crankwright/crew"
	"crankwright/results"
	"crankwright/study"
)

// The tests start this test binary again as server, leader or worker.

const (
	roleKey = "CREW_TEST_ROLE"
	version = "test 1"
)

func TestMain(m *testing.M) {
	role := os.Getenv(roleKey)
	if role == "" {
		os.Exit(m.Run())
	}
	if err := play(role, os.Args[1:]); err != nil {
		fmt.Println("error:", err)
		os.Exit(1)
	}
	fmt.Println("well done")
}

func say(words string) { fmt.Println(time.Now().Format("05.000"), words) }

// play is what a process of its own does.
func play(role string, args []string) error {
	ctx := context.Background()
	switch role {
	case "server":
		s, err := crew.Host(crew.HostOptions{Address: args[0], StoreDir: args[1]})
		if err != nil {
			return err
		}
		say("listens at " + s.URL())
		select {}
	case "worker":
		c, err := crew.Connect(crew.Access{URL: args[0], Wait: true}, say)
		if err != nil {
			return err
		}
		return crew.Work(ctx, c, open, crew.WorkOptions{Version: version, Processors: 2, Once: len(args) > 1, Tell: say})
	case "slow worker":
		c, err := crew.Connect(crew.Access{URL: args[0]}, say)
		if err != nil {
			return err
		}
		slow := func(b study.Bundle) (study.Problem, error) {
			p, err := open(b)
			p.(*invented).sleep = time.Hour
			p.(*invented).said = "has a shard"
			return p, err
		}
		return crew.Work(ctx, c, slow, crew.WorkOptions{Version: version, Processors: 1, Tell: say})
	case "leader":
		c, err := crew.Connect(crew.Access{URL: args[0], Wait: true}, say)
		if err != nil {
			return err
		}
		return leadInto(ctx, c, args[1], args[2])
	case "leader with server":
		s, err := crew.Host(crew.HostOptions{Address: args[0], StoreDir: args[1]})
		if err != nil {
			return err
		}
		defer s.Close()
		c, err := s.Connect(say)
		if err != nil {
			return err
		}
		return leadInto(ctx, c, args[2], args[3])
	}
	return errors.New("no such role")
}

func leadInto(ctx context.Context, c *crew.Conn, dir, text string) error {
	b := bundle(text)
	p, err := open(b)
	if err != nil {
		return err
	}
	f, err := results.Create(dir, p, b)
	if err != nil {
		return err
	}
	return crew.Lead(ctx, c, f, crew.LeadOptions{Version: version, Patience: 2 * time.Second})
}

// process is another process of this binary.
type process struct {
	*exec.Cmd
	role string
	args []string
	t    testing.TB
	mu   sync.Mutex
	said []string
	done chan struct{} // closed when it has ended
	ok   bool          // it ended well
}

func start(t testing.TB, role string, args ...string) *process {
	t.Helper()
	p := &process{role: role, args: args, t: t, done: make(chan struct{})}
	p.Cmd = exec.Command(os.Args[0], args...)
	p.Env = append(os.Environ(), roleKey+"="+role)
	out, err := p.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	p.Stderr = p.Stdout
	if err := p.Start(); err != nil {
		t.Fatal(err)
	}
	go func() {
		for lines := bufio.NewScanner(out); lines.Scan(); {
			p.mu.Lock()
			p.said = append(p.said, lines.Text())
			p.mu.Unlock()
		}
		p.ok = p.Wait() == nil
		close(p.done)
	}()
	t.Cleanup(p.kill)
	t.Cleanup(func() {
		if w := p.words(); strings.Contains(w, "lost sight") || strings.Contains(w, "does not do as asked") {
			t.Logf("the %s said:\n%s", role, w)
		}
	})
	return p
}

// kill ends a process without warning, as a power cut would, and waits until it is gone.
func (p *process) kill() {
	_ = p.Process.Kill()
	<-p.done
}

func (p *process) words() string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return strings.Join(p.said, "\n")
}

// says waits until a process says something.
func (p *process) says(words string) {
	p.t.Helper()
	until(p.t, fmt.Sprintf("the %s says %q; it says:\n%s", p.role, words, p.words()), func() bool { return strings.Contains(p.words(), words) })
}

func until(t testing.TB, what string, is func() bool) {
	t.Helper()
	for end := time.Now().Add(time.Minute); !is(); time.Sleep(5 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("in a minute it does not come about that %s", what)
		}
	}
}

// ends waits until a process ends well.
func (p *process) ends() {
	p.t.Helper()
	select {
	case <-p.done:
	case <-time.After(time.Minute):
		_ = p.Process.Signal(syscall.SIGQUIT) // says where it stands
		<-p.done
	}
	if !p.ok {
		p.t.Fatalf("the %s does not end well in a minute; it says:\n%s", p.role, p.words())
	}
}

// freeAddress returns an address of this machine at which nobody listens.
func freeAddress(t testing.TB) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	address := l.Addr().String()
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	return address
}

// files reads all files of a folder.
func files(t *testing.T, dir string) map[string]string {
	t.Helper()
	all := map[string]string{}
	err := filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		if errors.Is(err, fs.ErrNotExist) { // it was a temporary one, and has its name now
			return nil
		}
		all[strings.TrimPrefix(path, dir)] = string(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// invented is a problem that knows no engine: mixed up numbers, and how far they are from a half of all.
type invented struct {
	size, per uint64
	sleep     time.Duration // for each shard
	bad       uint64        // a candidate at which it fails, where above 0
	more      string        // of the digest
	said      string        // when it begins with a shard
}

func bundle(text string) study.Bundle {
	return study.Bundle{Study: "pilot.study.yaml", Files: map[string][]byte{"pilot.study.yaml": []byte(text)}}
}

func open(b study.Bundle) (study.Problem, error) {
	p := &invented{}
	var ms int
	if _, err := fmt.Sscan(string(b.Files[b.Study]), &p.size, &p.per, &ms, &p.bad); err != nil {
		return nil, fmt.Errorf("not size, candidates a shard, ms, bad candidate: %w", err)
	}
	p.sleep = time.Duration(ms) * time.Millisecond
	return p, nil
}

func (p *invented) Space() study.Space {
	return study.Space{Blocks: []study.Block{{Axes: []study.Axis{{Key: "number", Count: int(p.size)}}}}}
}

func (p *invented) Columns() []study.Column {
	return []study.Column{{Key: "number", Name: "number", Unit: "1", Kind: study.Input}, {Key: "far", Name: "distance", Unit: "1", Kind: study.Figure}}
}
func (p *invented) Aims() []study.Aim { return []study.Aim{{Column: 0, More: true}, {Column: 1}} }
func (p *invented) Rules() []string   { return []string{"divisible by 7"} }
func (p *invented) Digest() string {
	return fmt.Sprintf("invented %d %d %d%s", p.size, p.per, p.bad, p.more)
}
func (p *invented) Pace() int { return int(p.per / 3) } // a shard is what is done in three seconds

func (p *invented) Evaluator() study.Evaluator { return p }

func (p *invented) Evaluate(r study.Shard, kept *study.Batch, left []study.Count, stop func() bool) error {
	if p.said != "" {
		say(p.said)
	}
	for end := time.Now().Add(p.sleep); time.Now().Before(end); time.Sleep(time.Millisecond) {
		if stop() {
			return study.ErrStopped
		}
	}
	for i := r.From; i < r.To; i++ {
		if p.bad > 0 && i == p.bad {
			return fmt.Errorf("candidate %d is invented to fail", i)
		}
		if i%7 == 0 {
			left[0].Add(i)
			continue
		}
		kept.Index = append(kept.Index, i)
		kept.Values[0] = append(kept.Values[0], float64(i*7919%p.size))
		kept.Values[1] = append(kept.Values[1], max(float64(i), float64(p.size)/2)-min(float64(i), float64(p.size)/2))
	}
	return nil
}

func (p *invented) Pick(list []uint64, kept *study.Batch, left []study.Count, stop func() bool) error {
	for _, i := range list {
		if err := p.Evaluate(study.Shard{From: i, To: i + 1}, kept, left, stop); err != nil {
			return err
		}
	}
	return nil
}
