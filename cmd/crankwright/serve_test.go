package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"crankwright/server"
	"crankwright/spec"
)

// serving is a workbench that runs in a process of its own.
type serving struct {
	cmd  *exec.Cmd
	url  string
	rest *bytes.Buffer // what it says after its address
	read chan struct{} // closed when standard error ends
}

var addressLine = regexp.MustCompile(`is at (http://\S+?)/?(\?token=\S+)?$`)

func serve(t *testing.T, args ...string) *serving {
	t.Helper()
	return serveBy(t, "crankwright", args...)
}

// serveBy is serve by a program of one's choice.
func serveBy(t *testing.T, program string, args ...string) *serving {
	t.Helper()
	return serveThe(t, exec.CommandContext(t.Context(), program, append([]string{"serve", "--addr", "127.0.0.1:0"}, args...)...))
}

// serveThe starts a command that serves.
func serveThe(t *testing.T, cmd *exec.Cmd) *serving {
	t.Helper()
	cmd.Env = append(os.Environ(), "GORACE=atexit_sleep_ms=0")
	out, err := cmd.StderrPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	s := &serving{cmd: cmd, rest: &bytes.Buffer{}, read: make(chan struct{})}
	lines := bufio.NewReader(out)
	line, err := lines.ReadString('\n')
	m := addressLine.FindStringSubmatch(strings.TrimSpace(line))
	if err != nil || m == nil {
		more, _ := io.ReadAll(lines)
		t.Fatalf("it says %q %s, and no address (%v)", line, more, err)
	}
	s.url = m[1]
	go func() {
		defer close(s.read)
		_, _ = io.Copy(s.rest, lines)
	}()
	return s
}

// end waits for the process and returns its exit code, −1 where a signal ended it.
func (s *serving) end() int {
	<-s.read
	_ = s.cmd.Wait()
	return s.cmd.ProcessState.ExitCode()
}

func engineFolder(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	data, err := os.ReadFile("../../examples/vee-eight-90-cross.engine.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "a.engine.yaml"), data, 0o644); err != nil {
		t.Fatal(err)
	}
	return dir
}

func call(method, url string, body, into any) (int, error) {
	var in io.Reader
	if body != nil {
		data, err := json.Marshal(body)
		if err != nil {
			return 0, err
		}
		in = bytes.NewReader(data)
	}
	ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
	defer cancel()
	r, err := http.NewRequestWithContext(ctx, method, url, in)
	if err != nil {
		return 0, err
	}
	r.Header.Set("Content-Type", "application/json")
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		return 0, err
	}
	defer func() { _ = answer.Body.Close() }()
	data, err := io.ReadAll(answer.Body)
	if err == nil && into != nil && answer.StatusCode < 300 {
		err = json.Unmarshal(data, into)
	}
	return answer.StatusCode, err
}

// TestServeKilled kills the server without warning while it saves, again and again. The file is then
// always one whole text, and never older than what was acknowledged.
func TestServeKilled(t *testing.T) {
	t.Parallel()
	program, err := realProgram()
	if err != nil {
		t.Fatal(err)
	}
	dir := engineFolder(t)
	file := filepath.Join(dir, "a.engine.yaml")
	number := regexp.MustCompile(`name: number (\d+)\n`)
	padding := strings.Repeat("# a long text, so that a write takes a while\n", 2000)
	sent := 0
	for range kills(t, 25) {
		s := serveBy(t, program, dir)
		var v server.EngineView
		if _, err := call("GET", s.url+"/api/engines/a.engine.yaml", nil, &v); err != nil {
			t.Fatal(err)
		}
		acknowledged := 0
		for {
			sent++
			text := fmt.Sprintf("name: number %d\n%s# end %d\n", sent, padding, sent)
			status, err := call("PUT", s.url+"/api/engines/a.engine.yaml", server.SaveRequest{Etag: v.Etag, Text: &text, AllowProblems: true}, &v)
			if err != nil {
				break
			}
			if status != 200 {
				t.Fatalf("status %d", status)
			}
			if acknowledged == 0 { // it works: from now on it can be killed at any moment
				time.AfterFunc(time.Duration(rand.IntN(150))*time.Millisecond, func() { _ = s.cmd.Process.Kill() })
			}
			acknowledged = sent
		}
		if code := s.end(); code != -1 {
			t.Fatalf("it ended with %d: %s", code, s.rest)
		}
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		m := number.FindStringSubmatch(string(data))
		if m == nil || !strings.HasSuffix(string(data), "# end "+m[1]+"\n") {
			t.Fatalf("the file is not whole: %d bytes, %.60q", len(data), data)
		}
		var found int
		if _, err := fmt.Sscan(m[1], &found); err != nil || found < acknowledged || found > sent {
			t.Fatalf("number %d is on disk, %d was acknowledged, %d sent", found, acknowledged, sent)
		}
	}
	// What was half written is gone after the next start.
	s := serve(t, dir)
	if err := s.cmd.Process.Signal(syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	if code := s.end(); code != exitDone {
		t.Errorf("it ended with %d: %s", code, s.rest)
	}
	names, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range names {
		if strings.HasPrefix(n.Name(), ".crankwright-writing-") {
			t.Errorf("%s was left", n.Name())
		}
	}
}

// TestServeEnds asks the server to end while saves run and someone listens: what it said it saved is on
// disk, the stream ends, the exit code is 0.
func TestServeEnds(t *testing.T) {
	for _, sig := range []os.Signal{os.Interrupt, syscall.SIGTERM} {
		dir := engineFolder(t)
		s := serve(t, dir)
		listens, streamEnded := make(chan struct{}), make(chan struct{})
		go func() {
			defer close(streamEnded)
			stream, err := http.Get(s.url + "/api/events")
			if err != nil {
				t.Error(err)
				close(listens)
				return
			}
			defer func() { _ = stream.Body.Close() }()
			close(listens)
			_, _ = io.Copy(io.Discard, stream.Body)
		}()
		<-listens
		var v server.EngineView
		if _, err := call("GET", s.url+"/api/engines/a.engine.yaml", nil, &v); err != nil {
			t.Fatal(err)
		}
		var wait sync.WaitGroup
		last := v.Text
		wait.Go(func() {
			for i := 0; ; i++ {
				bore := fmt.Sprintf("80.%d mm", i)
				status, err := call("PUT", s.url+"/api/engines/a.engine.yaml", server.SaveRequest{Etag: v.Etag, Edits: []server.Edit{{Path: "bore", Text: &bore}}}, &v)
				if err != nil {
					return
				}
				if status == 200 {
					last = v.Text
				}
			}
		})
		time.Sleep(150 * time.Millisecond)
		if err := s.cmd.Process.Signal(sig); err != nil {
			t.Fatal(err)
		}
		began := time.Now()
		if code := s.end(); code != exitDone {
			t.Errorf("%v: it ended with %d: %s", sig, code, s.rest)
		}
		if d := time.Since(began); d > 3*time.Second {
			t.Errorf("%v: ending took %v", sig, d)
		}
		<-streamEnded
		wait.Wait()
		if data, err := os.ReadFile(filepath.Join(dir, "a.engine.yaml")); err != nil || string(data) != last {
			t.Errorf("%v: the last save is not on disk (%v)", sig, err)
		}
	}
}

// TestServeTaken starts a second workbench on a port that is taken.
func TestServeTaken(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = l.Close() }()
	var out bytes.Buffer
	code := run([]string{"serve", engineFolder(t), "--addr", l.Addr().String()}, nil, io.Discard, &out)
	if code != exitFailed || !strings.Contains(out.String(), l.Addr().String()+" is taken") {
		t.Errorf("%d %s", code, out.String())
	}
}

// TestServeToken gives others a token, and this machine none.
func TestServeToken(t *testing.T) {
	cmd := exec.CommandContext(t.Context(), "crankwright", "serve", engineFolder(t), "--addr", "0.0.0.0:0")
	out, err := cmd.StderrPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	line, _ := bufio.NewReader(out).ReadString('\n')
	_ = cmd.Process.Signal(syscall.SIGTERM)
	_ = cmd.Wait()
	m := addressLine.FindStringSubmatch(strings.TrimSpace(line))
	if m == nil || len(m[2]) < 30 {
		t.Errorf("no token in %q", line)
	}
}

// TestServeTokenThatNoCookieKeeps refuses a token with which nobody could open the workbench.
func TestServeTokenThatNoCookieKeeps(t *testing.T) {
	for _, token := range []string{`pa;ss "wörd"`, "a b", "a,b", "a+b", "pass\n", "wörd"} {
		var out bytes.Buffer
		code := run([]string{"serve", filepath.Join(t.TempDir(), "none"), "--token", token}, nil, io.Discard, &out)
		if code != exitCommand || !strings.Contains(out.String(), "--token") {
			t.Errorf("%q: %d %s", token, code, out.String())
		}
	}
	for _, token := range []string{"s3cret", "Az09-._~"} {
		var out bytes.Buffer
		if run([]string{"serve", filepath.Join(t.TempDir(), "none"), "--token", token}, nil, io.Discard, &out); strings.Contains(out.String(), "--token") {
			t.Errorf("%q: %s", token, out.String())
		}
	}
}

// TestServeFileNames holds the names that the server gives to files against the reader of paths.
func TestServeFileNames(t *testing.T) {
	dir := t.TempDir()
	s := serve(t, dir)
	for _, shorthand := range []string{"inline-4 84x90 flat-plane", "vee-8 90deg 3.5x3.25in"} {
		var v server.EngineView
		if status, err := call("POST", s.url+"/api/engines", server.NewEngineRequest{Shorthand: shorthand}, &v); err != nil || status != 201 {
			t.Fatalf("%d %v", status, err)
		}
		if _, _, err := spec.ReadEngineFile(filepath.Join(dir, v.File), spec.Options{}); err != nil {
			t.Error(err)
		}
	}
	_ = s.cmd.Process.Signal(syscall.SIGTERM)
	if code := s.end(); code != exitDone {
		t.Errorf("it ended with %d: %s", code, s.rest)
	}
}

// A workbench that shares its searches says how workers join, and they do.
func TestServeSharesSearches(t *testing.T) {
	free, err := (&net.ListenConfig{}).Listen(t.Context(), "tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	meet := free.Addr().String()
	if err := free.Close(); err != nil {
		t.Fatal(err)
	}
	dir := engineFolder(t)
	study := "name: Banks\nbase: a.engine.yaml\nvary:\n  layout.bank_angle: {from: 40 deg, to: 180 deg, step: 5 deg}\n" +
		"  stroke: {from: 80 mm, to: 98 mm, step: 2 mm}\nminimise: [length, peak_free_force]\n"
	if err := os.WriteFile(filepath.Join(dir, "b.study.yaml"), []byte(study), 0o644); err != nil {
		t.Fatal(err)
	}
	s := serve(t, "--share", meet, dir)
	worker := exec.CommandContext(t.Context(), "crankwright", "study", "worker", "nats://"+meet, "--processors", "1", "--once")
	out, err := worker.StderrPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := worker.Start(); err != nil {
		t.Fatal(err)
	}
	says := bufio.NewReader(out)
	if line, err := says.ReadString('\n'); err != nil || !strings.Contains(line, "waiting for a study") {
		t.Fatalf("the worker says %q: %v", line, err)
	}
	ask := func(method string) (r server.StudyRun) {
		req, err := http.NewRequestWithContext(t.Context(), method, s.url+"/api/studies/b.study.yaml/run", http.NoBody)
		if err != nil {
			t.Fatal(err)
		}
		req.Header.Set("Origin", s.url)
		res, err := http.DefaultClient.Do(req)
		if err != nil {
			t.Fatal(err)
		}
		defer func() { _ = res.Body.Close() }()
		if err := json.NewDecoder(res.Body).Decode(&r); err != nil || res.StatusCode != http.StatusOK {
			t.Fatalf("%s: %d %v", method, res.StatusCode, err)
		}
		return r
	}
	for r := ask(http.MethodPost); r.State != "whole"; r = ask(http.MethodGet) {
		if r.Failure != "" {
			t.Fatal(r.Failure)
		}
		time.Sleep(50 * time.Millisecond)
	}
	rest, _ := io.ReadAll(says)
	if err := worker.Wait(); err != nil || !strings.Contains(string(rest), "works on b.study.yaml") {
		t.Errorf("the worker says %q: %v", rest, err)
	}
	if err := s.cmd.Process.Signal(syscall.SIGINT); err != nil {
		t.Fatal(err)
	}
	if code := s.end(); code != 0 || !strings.Contains(s.rest.String(), "start workers with 'crankwright study worker nats://"+meet+"'") {
		t.Errorf("it ends with %d and says %q", code, s.rest)
	}
}
