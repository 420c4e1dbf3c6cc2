package server

import (
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// model is what the history should do: a line of states and a place in it.
type model struct {
	states []map[string]string
	at     int
}

func (m *model) now() map[string]string { return m.states[m.at] }

func (m *model) step(change func(map[string]string)) {
	next := maps.Clone(m.now())
	change(next)
	if maps.Equal(next, m.now()) {
		return
	}
	m.states = append(m.states[:m.at+1], next)
	m.at++
}

// TestHistoryProperty holds any sequence of saves, creations, removals, outside changes, snapshots, undo
// and redo against the model, on the real disk.
func TestHistoryProperty(t *testing.T) {
	names := []string{"a.engine.yaml", "b.engine.yaml", "c.engine.yaml"}
	rapid.Check(t, func(t *rapid.T) {
		dir, err := os.MkdirTemp("", "history")
		if err != nil {
			t.Fatal(err)
		}
		defer func() { _ = os.RemoveAll(dir) }()
		var told []Event
		f, err := openFolder(dir, func(e Event) { told = append(told, e) })
		if err != nil {
			t.Fatal(err)
		}
		defer func() { _ = f.root().Close() }()
		m := &model{states: []map[string]string{{}}}
		snapshots := map[string]map[string]string{}
		n := 0
		content := func() string { n++; return fmt.Sprintf("name: engine %d\n", n) }
		name := rapid.SampledFrom(names)
		must := func(err error, fine bool) {
			if (err == nil) != fine {
				t.Fatalf("error %v, expected to work: %v", err, fine)
			}
		}
		t.Repeat(map[string]func(*rapid.T){
			"create": func(t *rapid.T) {
				file, text := name.Draw(t, "file"), content()
				_, there := m.now()[file]
				_, err := f.create(file, []byte(text))
				must(err, !there)
				if !there {
					m.step(func(s map[string]string) { s[file] = text })
				}
			},
			"save": func(t *rapid.T) {
				file, text := name.Draw(t, "file"), content()
				old, there := m.now()[file]
				stale := rapid.Bool().Draw(t, "stale")
				etag := etagOf([]byte(old))
				if stale {
					etag = "stale"
				}
				_, err := f.save(file, etag, func([]byte) ([]byte, error) { return []byte(text), nil })
				must(err, there && !stale)
				if err == nil {
					m.step(func(s map[string]string) { s[file] = text })
				}
			},
			"remove": func(t *rapid.T) {
				file := name.Draw(t, "file")
				_, there := m.now()[file]
				must(f.remove(file, ""), there)
				if there {
					m.step(func(s map[string]string) { delete(s, file) })
				}
			},
			"outside": func(t *rapid.T) {
				file, text := name.Draw(t, "file"), content()
				if rapid.Bool().Draw(t, "gone") {
					_ = os.Remove(filepath.Join(dir, file))
					m.step(func(s map[string]string) { delete(s, file) })
				} else {
					if err := os.WriteFile(filepath.Join(dir, file), []byte(text), 0o644); err != nil {
						t.Fatal(err)
					}
					m.step(func(s map[string]string) { s[file] = text })
				}
				if _, err := f.look(); err != nil {
					t.Fatal(err)
				}
			},
			"undo": func(*rapid.T) {
				_, err := f.undo()
				must(err, m.at > 0)
				m.at = max(0, m.at-1)
			},
			"redo": func(*rapid.T) {
				_, err := f.redo()
				must(err, m.at < len(m.states)-1)
				m.at = min(len(m.states)-1, m.at+1)
			},
			"snapshot": func(t *rapid.T) {
				title := rapid.SampledFrom([]string{"one", "two", "Ö / …"}).Draw(t, "title")
				_, there := snapshots[title]
				_, err := f.takeSnapshot(title)
				must(err, !there && len(m.now()) > 0)
				if err == nil {
					snapshots[title] = maps.Clone(m.now())
				}
			},
			"restore": func(t *rapid.T) {
				title := rapid.SampledFrom([]string{"one", "two", "Ö / …"}).Draw(t, "title")
				then, there := snapshots[title]
				_, err := f.restore(title)
				must(err, there)
				if there {
					m.step(func(s map[string]string) { clear(s); maps.Copy(s, then) })
				}
			},
			"": func(t *rapid.T) {
				if got := onDisk(t, dir); !maps.Equal(got, m.now()) {
					t.Fatalf("on disk %v, expected %v", got, m.now())
				}
				l, err := f.look()
				if err != nil {
					t.Fatal(err)
				}
				if (l.undo != "") != (m.at > 0) || (l.redo != "") != (m.at < len(m.states)-1) {
					t.Fatalf("undo %q, redo %q at %d of %d", l.undo, l.redo, m.at, len(m.states))
				}
				if !slices.IsSortedFunc(told, func(a, b Event) int { return a.Revision - b.Revision }) {
					t.Fatal("revisions went back")
				}
			},
		})
	})
}

// obstruct puts a link in the place of a file, over which nothing is written; the function that it returns takes it away.
func (b *bench) obstruct(file string) (clear func()) {
	b.t.Helper()
	path := filepath.Join(b.dir, file)
	_ = os.Remove(path)
	if err := os.Symlink("elsewhere", path); err != nil {
		b.t.Fatal(err)
	}
	return func() {
		if err := os.Remove(path); err != nil {
			b.t.Fatal(err)
		}
	}
}

// TestStepsThatFailMidway restores, undoes and redoes where only the first file can be written: what was done is told and can be
// taken back, and the rest can be done when nothing is in its way any more.
func TestStepsThatFailMidway(t *testing.T) {
	const first, later = "a.engine.yaml", "b.engine.yaml"
	b := start(t, vee8)
	snapped, edited := "name: snapped\n", "name: edited\n"
	b.put(first, snapped)
	b.put(later, snapped)
	b.lineUp()
	b.want(201, "POST", "/api/snapshots", SnapshotRequest{"then"}, nil)
	b.put(first, edited)
	b.lineUp()
	clear := b.obstruct(later)
	before := b.lineUp()
	events := b.listen()
	b.next(events) // hello

	var p ProblemDetails
	b.want(500, "POST", "/api/snapshots/then/restore", nil, &p)
	if !strings.Contains(p.Detail, later) || !strings.Contains(p.Detail, first+" is changed already") {
		t.Errorf("%q", p.Detail)
	}
	if e := b.next(events); e.Kind != "restored" || !slices.Equal(e.Files, []string{first}) {
		t.Errorf("%+v", e)
	}
	l := b.lineUp()
	if b.disk(first) != snapped || l.Revision != before.Revision+1 || l.Undo != `restoring of snapshot "then" in part` {
		t.Errorf("%s: %q, undo %q, revision %d after %d", first, b.disk(first), l.Undo, l.Revision, before.Revision)
	}
	b.want(200, "POST", "/api/undo", nil, &l)
	if b.disk(first) != edited {
		t.Errorf("undo brings back %q", b.disk(first))
	}

	clear()
	b.want(200, "POST", "/api/snapshots/then/restore", nil, &l)
	if b.disk(first) != snapped || b.disk(later) != snapped {
		t.Errorf("whole: %q and %q", b.disk(first), b.disk(later))
	}
	b.want(200, "POST", "/api/undo", nil, nil)
	clear = b.obstruct(later)
	b.want(500, "POST", "/api/redo", nil, &p)
	for _, want := range []string{"undone", "restored", "undone", "redone"} {
		if e := b.next(events); e.Kind != want || !slices.Contains(e.Files, first) || slices.Contains(e.Files, later) != (want != "redone" && e.Revision > before.Revision+2) {
			t.Errorf("%s: %+v", want, e)
		}
	}
	if l = b.lineUp(); b.disk(first) != snapped || l.Undo != l.Redo || l.Undo != `restoring of snapshot "then"` || !strings.Contains(p.Detail, first) {
		t.Errorf("%q, undo %q, redo %q, %s", b.disk(first), l.Undo, l.Redo, p.Detail)
	}
	clear()
	b.want(200, "POST", "/api/redo", nil, &l)
	if b.disk(later) != snapped || l.Redo != "" {
		t.Errorf("the rest: %q, redo %q", b.disk(later), l.Redo)
	}
	b.want(200, "POST", "/api/undo", nil, nil)
	b.want(200, "POST", "/api/undo", nil, nil)
	if _, err := os.Stat(filepath.Join(b.dir, later)); err == nil || b.disk(first) != edited {
		t.Errorf("taken back: %v, %q", err, b.disk(first))
	}
}

func onDisk(t rapid.TB, dir string) map[string]string {
	files, err := filepath.Glob(filepath.Join(dir, "*.engine.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		out[filepath.Base(f)] = string(data)
	}
	return out
}

// TestConcurrentEdits lets many clients edit one file. Each that is told 200 has its edit in the file,
// and each other is told of the conflict.
func TestConcurrentEdits(t *testing.T) {
	b := start(t)
	var wait sync.WaitGroup
	var mu sync.Mutex
	saved := 0
	for i := range 8 {
		wait.Go(func() {
			for k := range 6 {
				answer, data := b.ask("GET", "/api/engines/"+vee8+"?curves=false", nil)
				var v EngineView
				if answer.StatusCode != http.StatusOK || json.Unmarshal(data, &v) != nil {
					t.Errorf("%s", answer.Status)
					return
				}
				answer, data = b.ask("PUT", "/api/engines/"+vee8, SaveRequest{Etag: v.Etag, Edits: []Edit{set("bore", fmt.Sprintf("80.%d%d mm", i, k))}})
				switch answer.StatusCode {
				case http.StatusOK:
					var now EngineView
					if json.Unmarshal(data, &now) != nil || !strings.Contains(now.Text, fmt.Sprintf("bore: 80.%d%d mm", i, k)) {
						t.Errorf("another edit came back")
					}
					mu.Lock()
					saved++
					mu.Unlock()
				case http.StatusConflict:
				default:
					t.Errorf("%s %.200s", answer.Status, data)
				}
			}
		})
	}
	wait.Wait()
	l := b.lineUp()
	undone := 0
	for l.Undo != "" {
		b.want(200, "POST", "/api/undo", nil, &l)
		undone++
	}
	if saved == 0 || undone != saved {
		t.Errorf("%d saves and %d steps", saved, undone)
	}
}

func TestEvents(t *testing.T) {
	b := start(t)
	events := b.listen()
	if e := b.next(events); e.Kind != "hello" || e.Revision != 1 {
		t.Fatalf("%+v", e)
	}
	v := b.engine(vee8)
	b.want(200, "PUT", "/api/engines/"+vee8, SaveRequest{Etag: v.Etag, Edits: []Edit{set("bore", "80 mm")}}, nil)
	if e := b.next(events); e.Kind != "saved" || e.Revision != 2 || !slices.Equal(e.Files, []string{vee8}) {
		t.Errorf("%+v", e)
	}
	// Another program writes as editors do: a new file, renamed over the old one.
	other := filepath.Join(b.dir, "other.tmp")
	if err := os.WriteFile(other, []byte(v.Text), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Rename(other, filepath.Join(b.dir, vee8)); err != nil {
		t.Fatal(err)
	}
	began := time.Now()
	if e := b.next(events); e.Kind != "outside" || !slices.Equal(e.Files, []string{vee8}) {
		t.Errorf("%+v", e)
	}
	if d := time.Since(began); d > time.Second {
		t.Errorf("it took %v", d)
	}
	b.want(201, "POST", "/api/snapshots", SnapshotRequest{"x"}, nil)
	if e := b.next(events); e.Kind != "snapshots" || len(e.Files) != 0 {
		t.Errorf("%+v", e)
	}
	if l := b.lineUp(); l.Undo != "outside change of "+vee8 {
		t.Errorf("%q", l.Undo)
	}
	b.want(200, "POST", "/api/undo", nil, nil)
	if e := b.next(events); e.Kind != "undone" {
		t.Errorf("%+v", e)
	}
	b.server.hub.close()
	if _, ok := <-events; ok {
		t.Error("the stream goes on after the end")
	}
}
