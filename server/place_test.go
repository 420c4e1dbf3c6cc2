package server

import (
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// TestFolderGoneAndBack takes the folder away while the workbench has it open, and puts it back: moved, as a copy, and for a
// workbench that was started within it. Meanwhile every answer says what is wrong; then all goes on, history included.
func TestFolderGoneAndBack(t *testing.T) {
	engine, another := must(os.ReadFile(filepath.Join("..", "examples", vee8))), must(os.ReadFile(filepath.Join("..", "examples", four)))
	for _, way := range []string{"moved", "copied", "from within"} {
		t.Run(way, func(t *testing.T) {
			folder := filepath.Join(t.TempDir(), "engines")
			must(0, os.Mkdir(folder, 0o755))
			must(0, os.WriteFile(filepath.Join(folder, vee8), engine, 0o644))
			cfg := Config{Folder: folder, Addr: "127.0.0.1:0"}
			if way == "from within" {
				t.Chdir(folder)
				cfg.Folder = "."
			}
			b := serve(t, folder, must(New(cfg)))
			events := b.listen()
			b.next(events)
			v := b.engine(vee8)
			b.want(200, "PUT", "/api/engines/"+vee8, SaveRequest{Etag: v.Etag, Edits: []Edit{set("bore", "80 mm")}}, &v)
			b.next(events)

			away := folder + " elsewhere"
			must(0, os.Rename(folder, away))
			if e := b.next(events); e.Kind != "outside" || len(e.Files) != 0 {
				t.Errorf("that the folder is gone is told as %+v", e)
			}
			answer, data := b.ask("GET", "/api/engines/"+vee8, nil)
			if answer.StatusCode != http.StatusServiceUnavailable || !strings.Contains(string(data), "the folder engines is not where it was") {
				t.Errorf("without its folder it says %s %s", answer.Status, data)
			}
			b.want(503, "PUT", "/api/engines/"+vee8, SaveRequest{Etag: v.Etag, Edits: []Edit{set("bore", "81 mm")}}, nil)
			b.want(200, "GET", "/", nil, nil)

			if way == "moved" {
				must(0, os.Rename(away, folder))
			} else {
				must(0, os.CopyFS(folder, os.DirFS(away)))
				must(0, os.RemoveAll(away))
			}
			if e := b.next(events); e.Kind != "outside" {
				t.Errorf("that it is back is told as %+v", e)
			}
			b.want(200, "PUT", "/api/engines/"+vee8, SaveRequest{Etag: v.Etag, Edits: []Edit{set("bore", "81 mm")}}, &v)
			if text := b.disk(vee8); !strings.Contains(text, "bore: 81 mm") {
				t.Error("what is saved then is not in the folder")
			}
			b.next(events)
			// it is watched again
			must(0, os.WriteFile(filepath.Join(folder, four), another, 0o644))
			if e := b.next(events); e.Kind != "outside" || len(e.Files) != 1 || e.Files[0] != four {
				t.Errorf("a new file is told as %+v", e)
			}
			for range 3 {
				b.want(200, "POST", "/api/undo", nil, nil)
			}
			if l := b.lineUp(); l.Undo != "" || len(l.Engines) != 1 || b.disk(vee8) != string(engine) {
				t.Errorf("undone, it is not what it was: undo %q, %d engines", l.Undo, len(l.Engines))
			}
		})
	}
}

// TestHalfWrittenFile writes a file as editors do: truncated and in pieces, renamed over, deleted and made anew, with files of
// their own beside it. While it is wrong the workbench says where; then it goes on, and the last good state can be had again.
func TestHalfWrittenFile(t *testing.T) {
	b := start(t, vee8, four)
	good := b.disk(vee8)
	file := filepath.Join(b.dir, vee8)
	half := good[:strings.Index(good, "bore:")+len("bore:")] + " [84"
	for _, wrong := range []string{"", half, "bore: \xff\xfe", strings.Repeat("\x00", len(good))} {
		must(0, os.WriteFile(file, []byte(wrong), 0o644)) // truncates, as editors do
		v := b.engine(vee8)
		if len(v.Problems) == 0 || v.Result != nil || v.Problems[0].Line < 1 || v.Problems[0].Column < 1 {
			t.Errorf("%.20q: it says %+v", wrong, v.Problems)
		}
		if l := b.lineUp(); len(l.Engines) != 2 || l.Engines[1].Problems == 0 || l.Engines[0].Problems != 0 {
			t.Errorf("%.20q: the line-up is %+v", wrong, l.Engines)
		}
		b.want(409, "PUT", "/api/engines/"+vee8, SaveRequest{Etag: etagOf([]byte(good)), Edits: []Edit{set("bore", "80 mm")}}, nil)
		for n := 0; n < 3 && b.disk(vee8) != good; n++ { // what was seen between truncating and writing is a step of its own
			b.want(200, "POST", "/api/undo", nil, nil)
		}
		if b.disk(vee8) != good {
			t.Fatalf("%.20q: the last good state is lost", wrong)
		}
	}
	// In pieces, looked at after each: one step of the history each, and whole in the end.
	w := must(os.Create(file))
	for at := 0; at < len(good); at += 700 {
		_ = must(w.WriteString(good[at:min(at+700, len(good))]))
		b.lineUp()
	}
	must(0, w.Close())
	if v := b.engine(vee8); len(v.Problems) > 0 || v.Etag != etagOf([]byte(good)) {
		t.Errorf("written whole, it is %+v", v.Problems)
	}
	// Beside it, what editors leave; then a new file renamed over it, and one deleted and made anew.
	for _, beside := range []string{"." + vee8 + ".swp", vee8 + "~", "#" + vee8 + "#", "4913", ".#" + vee8, vee8 + ".tmp", vee8 + ".bak", tempPrefix + "0123"} {
		must(0, os.WriteFile(filepath.Join(b.dir, beside), []byte(half), 0o644))
	}
	if l := b.lineUp(); len(l.Engines) != 2 {
		t.Errorf("beside it stand %+v", l.Engines)
	}
	must(0, os.WriteFile(file+".new", []byte(strings.Replace(good, "bore: ", "bore: 80.5 mm # ", 1)), 0o644))
	must(0, os.Rename(file+".new", file))
	if v := b.engine(vee8); !strings.Contains(v.Text, "bore: 80.5 mm") {
		t.Error("a file renamed over it is not seen")
	}
	must(0, os.Remove(file))
	b.want(404, "GET", "/api/engines/"+vee8, nil, nil)
	must(0, os.WriteFile(file, []byte(good), 0o644))
	if v := b.engine(vee8); v.Text != good {
		t.Error("a file made anew is not seen")
	}
}

// TestClockJumps changes files whose times say nothing: far in the past, far in the future, and the same as before with another
// content of the same length. Every change is seen at once.
func TestClockJumps(t *testing.T) {
	b := start(t, vee8)
	file := filepath.Join(b.dir, vee8)
	text := strings.Replace(b.disk(vee8), "bore: ", "bore: 80.0 mm # ", 1)
	long := time.Now().Add(-time.Hour).Truncate(time.Second)
	times := []time.Time{long, long, long, time.Unix(0, 0), time.Now().Add(24 * time.Hour), time.Now().AddDate(100, 0, 0), time.Now().AddDate(100, 0, 0), long, time.Unix(1, 0)}
	for round, over := range []bool{false, true} {
		for i, at := range times {
			now := strings.Replace(text, "80.0", "8"+itoa(round)+"."+itoa(i), 1)
			to := file
			if over {
				to += ".new"
			}
			must(0, os.WriteFile(to, []byte(now), 0o644))
			must(0, os.Chtimes(to, at, at))
			if over {
				must(0, os.Rename(to, file))
			}
			if v := b.engine(vee8); v.Text != now {
				t.Errorf("round %d: change %d, dated %v, is not seen", round, i, at)
			}
			if i == 1 {
				time.Sleep(2100 * time.Millisecond) // now its last state is taken for settled
				b.lineUp()
			}
		}
	}
	// The same of a file that an engine names.
	trace := string(must(os.ReadFile("../examples/test-bed/cylinder-pressure.csv")))
	b.put("p.csv", trace)
	must(0, os.Chtimes(filepath.Join(b.dir, "p.csv"), long, long))
	before := b.server.folder.state("p.csv")
	b.put("p.csv", strings.Replace(trace, "1", "2", 1))
	must(0, os.Chtimes(filepath.Join(b.dir, "p.csv"), long, long))
	if after := b.server.folder.state("p.csv"); after == before {
		t.Error("another trace with the size and time of the old one is not seen")
	}
}

// TestNotKnownInWhole keeps files that the workbench knows only in part: the rest of them would be lost.
func TestNotKnownInWhole(t *testing.T) {
	const large, small, gone = "large.engine.yaml", "small.engine.yaml", "gone.engine.yaml"
	b := start(t, vee8)
	text := "name: small\n"
	if err := os.WriteFile(filepath.Join(b.dir, small), []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	b.want(201, "POST", "/api/snapshots", SnapshotRequest{Name: "before"}, nil)
	long := text + strings.Repeat("# more\n", 200_000)
	for _, file := range []string{large, small} {
		if err := os.WriteFile(filepath.Join(b.dir, file), []byte(long), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	etag := b.engine(large).Etag
	b.want(413, "DELETE", "/api/engines/"+large, nil, nil)
	b.want(413, "PUT", "/api/engines/"+large, SaveRequest{Etag: etag, Text: &text, AllowProblems: true}, nil)
	b.want(413, "POST", "/api/engines", NewEngineRequest{CopyOf: large, File: gone}, nil)
	b.want(413, "POST", "/api/snapshots", SnapshotRequest{Name: "after"}, nil)
	b.want(413, "POST", "/api/snapshots/before/restore", nil, nil)
	refused := func() string {
		status, said := b.ask("POST", "/api/undo", nil) // of the change from outside
		if status.StatusCode != http.StatusRequestEntityTooLarge {
			t.Errorf("undo: %s", status.Status)
		}
		return string(said)
	}
	if said := refused(); !strings.Contains(said, "nothing is written over it; move it away or make it smaller outside the workbench, then undo goes on") {
		t.Error(said)
	}
	if b.disk(large) != long || b.disk(small) != long {
		t.Error("a file of more than 1 MiB was written over or cut off")
	}
	secret := stored{failed: "permission denied"}
	if err := secret.partial("secret.engine.yaml"); err == nil || !strings.Contains(err.Error(), "see who may read it") {
		t.Errorf("of a file that may not be read: %v", err)
	}
}

// TestUndoPastNotKnownInWhole passes steps that would bring back what the workbench never knew in whole: the file stays as it
// is, the answer says so, and what lies before and after can be reached.
func TestUndoPastNotKnownInWhole(t *testing.T) {
	const first, second, huge = "name: first\n", "name: second\n", "huge.engine.yaml"
	b := start(t, vee8)
	was := b.disk(vee8)
	long := strings.Repeat("# more\n", 200_000)
	outside := func(file, text string) {
		t.Helper()
		b.put("new", text)
		if err := os.Rename(filepath.Join(b.dir, "new"), filepath.Join(b.dir, file)); err != nil { // at once: a half-written file is a step too
			t.Fatal(err)
		}
		if l := b.lineUp(); l.Undo != "outside change of "+file {
			t.Fatalf("undo %q", l.Undo)
		}
	}
	outside(vee8, first)
	outside(vee8, long)
	outside(huge, long)
	outside(vee8, second)
	outside(huge, second)
	goes := func(way, file, text string, left bool) {
		t.Helper()
		var l LineUp
		b.want(200, "POST", "/api/"+way, nil, &l)
		if b.disk(file) != text {
			t.Errorf("%s: %.40q in %s", way, b.disk(file), file)
		}
		want := ""
		if left {
			want = file + " stays as it is: before or after this step it had more than 1 MiB, of which the workbench reads only the beginning"
		}
		if l.Left != want {
			t.Errorf("%s: left %q, expected %q", way, l.Left, want)
		}
	}
	goes("undo", huge, second, true)
	goes("undo", vee8, second, true)
	// The file was not there before: what stands now leaves the folder, and a copy of it is set aside.
	var l LineUp
	b.want(200, "POST", "/api/undo", nil, &l)
	if _, err := os.Stat(filepath.Join(b.dir, huge)); err == nil || l.Left != "" {
		t.Errorf("not taken back; left %q", l.Left)
	}
	if aside, err := os.ReadFile(filepath.Join(b.dir, hidden, "aside", etagOf([]byte(second))+"-"+huge)); err != nil || string(aside) != second {
		t.Errorf("set aside: %.40q, %v", aside, err)
	}
	goes("undo", vee8, first, false)
	goes("undo", vee8, was, false)
	b.want(409, "POST", "/api/undo", nil, nil)
	goes("redo", vee8, first, false)
	goes("redo", vee8, first, true)
	b.want(200, "POST", "/api/redo", nil, nil)
	goes("redo", vee8, second, false)
	goes("redo", huge, second, false)
	b.want(409, "POST", "/api/redo", nil, nil)
}
