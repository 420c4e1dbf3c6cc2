package server

import (
	"bufio"
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"testing/fstest"
	"time"
)

const vee8 = "vee-eight-90-cross.engine.yaml"

// bench is a server over a folder of its own, and a client of it.
type bench struct {
	t      testing.TB
	dir    string
	server *Server
	http   *httptest.Server
}

// start serves a new folder with the example engines, or those named.
func start(t testing.TB, files ...string) *bench {
	t.Helper()
	return startWith(t, Config{}, files...)
}

func startWith(t testing.TB, cfg Config, files ...string) *bench {
	t.Helper()
	cfg.Folder = t.TempDir()
	if len(files) == 0 {
		files = []string{vee8, "inline-four-flat.engine.yaml", "radial-five.engine.yaml"}
	}
	for _, f := range files {
		data, err := os.ReadFile(filepath.Join("..", "examples", f))
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(cfg.Folder, filepath.Base(f)), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if cfg.Addr == "" {
		cfg.Addr = "127.0.0.1:0"
	}
	if cfg.Front == nil {
		cfg.Front = fstest.MapFS{
			"index.html":            {Data: []byte("<!doctype html><title>workbench</title>")},
			"assets/main-12ab.js":   {Data: []byte("export {}")},
			"favicon.svg":           {Data: []byte("<svg xmlns='http://www.w3.org/2000/svg'/>")},
			".gitkeep":              {Data: []byte("hidden")},
			"assets/style-34cd.css": {Data: []byte("body{}")},
		}
	}
	cfg.Version = "test"
	s, err := New(cfg)
	if err != nil {
		t.Fatal(err)
	}
	return serve(t, cfg.Folder, s)
}

// serve answers for a server until the test ends.
func serve(t testing.TB, dir string, s *Server) *bench {
	t.Helper()
	h := httptest.NewUnstartedServer(s.Handler())
	h.Config.RegisterOnShutdown(s.hub.close)
	h.Start()
	t.Cleanup(func() {
		s.hub.close()
		h.Close()
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	return &bench{t, dir, s, h}
}

// examples are the names of all example files.
func examples(t testing.TB) []string {
	t.Helper()
	files, err := filepath.Glob("../examples/*.engine.yaml")
	if err != nil || len(files) < 20 {
		t.Fatalf("%d examples, %v", len(files), err)
	}
	for i := range files {
		files[i] = filepath.Base(files[i])
	}
	return files
}

// answer is the head of an answer whose body has been read.
type answer struct {
	Status     string
	StatusCode int
	Header     http.Header
}

// ask sends a request and returns the answer with its body. edit may change the request before.
func (b *bench) ask(method, path string, body any, edit ...func(*http.Request)) (answer, []byte) {
	b.t.Helper()
	var in io.Reader
	if body != nil {
		data, err := json.Marshal(body)
		if err != nil {
			b.t.Fatal(err)
		}
		in = bytes.NewReader(data)
	}
	r, err := http.NewRequest(method, b.http.URL+path, in)
	if err != nil {
		b.t.Fatal(err)
	}
	if body != nil {
		r.Header.Set("Content-Type", "application/json")
	}
	for _, f := range edit {
		f(r)
	}
	client := http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }, Timeout: 3 * time.Minute}
	got, err := client.Do(r)
	if err != nil {
		b.t.Fatal(err)
	}
	defer func() { _ = got.Body.Close() }()
	data, err := io.ReadAll(got.Body)
	if err != nil {
		b.t.Fatal(err)
	}
	return answer{got.Status, got.StatusCode, got.Header}, data
}

// want sends a request, demands a status and reads the answer into into, where it is not nil.
func (b *bench) want(status int, method, path string, body, into any, edit ...func(*http.Request)) {
	b.t.Helper()
	answer, data := b.ask(method, path, body, edit...)
	if answer.StatusCode != status {
		b.t.Fatalf("%s %s: %s, not %d\n%.600s", method, path, answer.Status, status, data)
	}
	if status >= 400 && answer.Header.Get("Content-Type") != "application/problem+json" {
		b.t.Errorf("%s %s: an error of type %q", method, path, answer.Header.Get("Content-Type"))
	}
	if into == nil {
		return
	}
	reflect.ValueOf(into).Elem().SetZero() // what the answer leaves out is not what an earlier one had
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(into); err != nil {
		b.t.Fatalf("%s %s: %v\n%.300s", method, path, err, data)
	}
}

func (b *bench) lineUp() LineUp {
	b.t.Helper()
	var l LineUp
	b.want(200, "GET", "/api/lineup", nil, &l)
	return l
}

func (b *bench) engine(file string) EngineView {
	b.t.Helper()
	var v EngineView
	b.want(200, "GET", "/api/engines/"+file, nil, &v)
	return v
}

func (b *bench) disk(file string) string {
	b.t.Helper()
	data, err := os.ReadFile(filepath.Join(b.dir, file))
	if err != nil {
		b.t.Fatal(err)
	}
	return string(data)
}

func set(path, value string) Edit { return Edit{Path: path, Text: &value} }

// listen reads the event stream into a channel, which is closed when the stream ends.
func (b *bench) listen() <-chan Event {
	b.t.Helper()
	r, err := http.NewRequest(http.MethodGet, b.http.URL+"/api/events", nil)
	if err != nil {
		b.t.Fatal(err)
	}
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		b.t.Fatal(err)
	}
	if answer.StatusCode != http.StatusOK || answer.Header.Get("Content-Type") != "text/event-stream" {
		b.t.Fatalf("%s %s", answer.Status, answer.Header.Get("Content-Type"))
	}
	b.t.Cleanup(func() { _ = answer.Body.Close() })
	c := make(chan Event, 1000)
	go func() {
		defer close(c)
		lines := bufio.NewScanner(answer.Body)
		for lines.Scan() {
			if data, ok := strings.CutPrefix(lines.Text(), "data: "); ok {
				var e Event
				if json.Unmarshal([]byte(data), &e) == nil {
					c <- e
				}
			}
		}
	}()
	return c
}

// next returns the next event, which has to come soon.
func (b *bench) next(c <-chan Event) Event {
	b.t.Helper()
	select {
	case e, ok := <-c:
		if !ok {
			b.t.Fatal("the stream ended")
		}
		return e
	case <-time.After(5 * time.Second):
		b.t.Fatal("no event came")
	}
	return Event{}
}
