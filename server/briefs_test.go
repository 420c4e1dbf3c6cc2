package server

import (
	"bytes"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

const boat = "pilot-boat.brief.yaml"

// startBrief serves two engines and a brief.
func startBrief(t testing.TB) *bench {
	t.Helper()
	return start(t, vee8, "inline-four-flat.engine.yaml", boat)
}

func (b *bench) brief(file string) BriefView {
	b.t.Helper()
	var v BriefView
	b.want(200, "GET", "/api/briefs/"+file, nil, &v)
	return v
}

// TestBriefIsShown reads a brief and lists it beside the engines, and no engine among the briefs.
func TestBriefIsShown(t *testing.T) {
	b := startBrief(t)
	v := b.brief(boat)
	if v.File != boat || v.Text != b.disk(boat) || !v.Saved || v.Etag == "" || len(v.Problems) != 0 || v.Brief == nil {
		t.Fatalf("%+v", v)
	}
	if v.Brief.Name != "Harbour pilot boat, jet drive" || len(v.Brief.Limits) != 4 || len(v.Brief.Priorities) != 6 {
		t.Errorf("%+v", v.Brief)
	}
	head, _ := b.ask("GET", "/api/briefs/"+boat, nil)
	if head.Header.Get("Etag") != `"`+v.Etag+`"` {
		t.Errorf("the header says %s, the body %s", head.Header.Get("Etag"), v.Etag)
	}
	l := b.lineUp()
	if len(l.Engines) != 2 || len(l.Briefs) != 1 || l.Briefs[0] != (BriefEntry{File: boat, Etag: v.Etag, Name: v.Brief.Name}) {
		t.Errorf("%+v, %+v", l.Engines, l.Briefs)
	}
	var words BriefWords
	b.want(200, "GET", "/api/brief-words", nil, &words)
	aims, measures := []string{}, []string{}
	for _, a := range words.Aims {
		aims = append(aims, a.Key)
		if a.Name == "" || a.Means == "" || len(a.Parts) == 0 {
			t.Errorf("%+v", a)
		}
	}
	for _, m := range words.Measures {
		measures = append(measures, m.Key+" "+m.Unit+" "+m.Better)
	}
	for _, key := range []string{"smoothness", "cost", "isolation"} {
		if !slices.Contains(aims, key) {
			t.Errorf("%s is no aim of %q", key, aims)
		}
	}
	for _, row := range []string{"length mm less", "brake_power kW more", "speed rpm neither"} {
		if !slices.Contains(measures, row) {
			t.Errorf("there is no measure %q", row)
		}
	}
}

// TestBriefEdits keep every comment; a stale etag and a wrong edit change nothing.
func TestBriefEdits(t *testing.T) {
	b := startBrief(t)
	was := b.brief(boat)
	var v BriefView
	b.want(200, "PUT", "/api/briefs/"+boat, BriefSave{Etag: was.Etag, Edits: []Edit{set("limits.length", "640 mm"), set("priorities.smoothness", "[6, 9]")}}, &v)
	want := strings.Replace(strings.Replace(was.Text, "length: 620 mm", "length: 640 mm", 1), "smoothness: 8", "smoothness: [6, 9]", 1)
	if v.Text != want || b.disk(boat) != want || !strings.Contains(want, "# what does not keep them is ruled out") || v.Etag == was.Etag {
		t.Errorf("saved is\n%s", v.Text)
	}
	if p := v.Brief.Priorities[0]; p.Low != 6 || p.High != 9 {
		t.Errorf("%+v", p)
	}

	var p ProblemDetails
	b.want(409, "PUT", "/api/briefs/"+boat, BriefSave{Etag: was.Etag, Edits: []Edit{set("limits.length", "1 mm")}}, &p)
	if p.Type != typeConflict || p.Conflict == nil || p.Conflict.Etag != v.Etag || p.Conflict.Text != want || p.Conflict.Missing {
		t.Errorf("%+v", p)
	}
	for _, c := range []struct{ path, value, want string }{
		{"limits.length", "640", "no unit"},
		{"limits.length", "640 kg", "not a unit of length"},
		{"priorities.smoothness", "11", "between 0 and 10"},
		{"priorities.smoothnes", "5", ""},
		{"priorities.displacement", "5", ""},
		{"nothing", "1", ""},
	} {
		b.want(422, "PUT", "/api/briefs/"+boat, BriefSave{Etag: v.Etag, Edits: []Edit{set(c.path, c.value)}}, &p)
		if len(p.Problems) == 0 || !strings.Contains(p.Problems[0].What+p.Problems[0].Allowed, c.want) {
			t.Errorf("%s: %s: %s %+v", c.path, c.value, p.Detail, p.Problems)
		}
	}
	text := want
	for name, body := range map[string]BriefSave{
		"nothing": {Etag: v.Etag}, "both": {Etag: v.Etag, Text: &text, Edits: []Edit{set("limits.length", "1 mm")}},
	} {
		if answer, _ := b.ask("PUT", "/api/briefs/"+boat, body); answer.StatusCode != http.StatusUnprocessableEntity {
			t.Errorf("%s to save: %s", name, answer.Status)
		}
	}
	if b.disk(boat) != want {
		t.Errorf("what was refused was written:\n%s", b.disk(boat))
	}
	// an edit that takes a limit out
	b.want(200, "PUT", "/api/briefs/"+boat, BriefSave{Etag: v.Etag, Edits: []Edit{{Path: "limits.height"}, {Path: "why.height"}}}, &v)
	if len(v.Brief.Limits) != 3 || strings.Contains(v.Text, "wheelhouse floor is the hatch") {
		t.Errorf("%+v\n%s", v.Brief.Limits, v.Text)
	}
}

// TestBriefWithProblems is saved as a text and shown with what is wrong, at its place; edits can mend it.
func TestBriefWithProblems(t *testing.T) {
	b := startBrief(t)
	was := b.brief(boat)
	broken := "name: Boat\nlimits:\n  lengt: 620 mm\npriorities: {smoothness: 11}\n"
	var v BriefView
	b.want(200, "PUT", "/api/briefs/"+boat, BriefSave{Etag: was.Etag, Text: &broken}, &v)
	if v.Brief != nil || len(v.Problems) != 2 || v.Problems[0].Line != 3 || v.Problems[0].Column != 3 || !strings.Contains(v.Problems[0].Allowed, "length") || v.Problems[1].Line != 4 {
		t.Errorf("%+v", v.Problems)
	}
	if !v.Saved || b.disk(boat) != broken || b.brief(boat).Text != broken {
		t.Error("it was not saved")
	}
	if l := b.lineUp(); l.Briefs[0].Problems != 2 || l.Briefs[0].Name != boat {
		t.Errorf("%+v", l.Briefs)
	}
	half := strings.Replace(broken, "lengt", "length", 1)
	b.want(200, "PUT", "/api/briefs/"+boat, BriefSave{Etag: v.Etag, Text: &half}, &v)
	b.want(200, "PUT", "/api/briefs/"+boat, BriefSave{Etag: v.Etag, Edits: []Edit{set("priorities.smoothness", "10")}}, &v)
	if v.Brief == nil || v.Brief.Priorities[0].Low != 10 {
		t.Errorf("%+v", v.Problems)
	}
	huge := "name: " + strings.Repeat("x", 1<<20)
	b.want(413, "PUT", "/api/briefs/"+boat, BriefSave{Etag: v.Etag, Text: &huge}, nil)
	b.want(413, "POST", "/api/briefs", NewBrief{Text: &huge}, nil)
}

// TestNewBriefs makes briefs from nothing, a copy and a text, never over a file, and takes them out.
func TestNewBriefs(t *testing.T) {
	b := startBrief(t)
	var fresh, twin, named, again BriefView
	b.want(201, "POST", "/api/briefs", NewBrief{}, &fresh)
	if fresh.Brief == nil || fresh.Text != b.disk(fresh.File) {
		t.Errorf("a new brief is no brief: %+v", fresh.Problems)
	}
	b.want(201, "POST", "/api/briefs", NewBrief{CopyOf: boat}, &twin)
	if twin.File == boat || twin.Text != b.disk(boat) {
		t.Errorf("%s is no copy", twin.File)
	}
	text := "name: Harbour tug\npriorities: {cost: 5}\n"
	b.want(201, "POST", "/api/briefs", NewBrief{Text: &text}, &named)
	b.want(201, "POST", "/api/briefs", NewBrief{Text: &text}, &again)
	if !strings.HasPrefix(strings.ToLower(named.File), "harbour") || named.File == again.File {
		t.Errorf("they are called %q and %q", named.File, again.File)
	}
	b.want(201, "POST", "/api/briefs", NewBrief{Text: &text, File: "tug"}, &again)
	if again.File != "tug.brief.yaml" {
		t.Errorf("it is called %q", again.File)
	}
	var p ProblemDetails
	b.want(409, "POST", "/api/briefs", NewBrief{Text: &text, File: "tug.brief.yaml"}, &p)
	if p.Type != typeExists {
		t.Errorf("%+v", p)
	}
	b.want(422, "POST", "/api/briefs", NewBrief{Text: &text, CopyOf: boat}, nil)
	b.want(404, "POST", "/api/briefs", NewBrief{CopyOf: "none.brief.yaml"}, nil)
	b.want(409, "DELETE", "/api/briefs/tug.brief.yaml?etag=stale", nil, &p)
	var l LineUp
	b.want(200, "DELETE", "/api/briefs/tug.brief.yaml?etag="+again.Etag, nil, &l)
	b.want(404, "GET", "/api/briefs/tug.brief.yaml", nil, nil)
	b.want(404, "DELETE", "/api/briefs/tug.brief.yaml", nil, nil)
	if len(l.Briefs) != 5 || l.Undo != "removal of tug.brief.yaml" {
		t.Errorf("%d briefs, undo %q", len(l.Briefs), l.Undo)
	}
}

// TestBriefsTravel takes briefs back and forth with the engines, and keeps them in snapshots.
func TestBriefsTravel(t *testing.T) {
	b := startBrief(t)
	first := b.disk(boat)
	v := b.brief(boat)
	b.want(200, "PUT", "/api/briefs/"+boat, BriefSave{Etag: v.Etag, Edits: []Edit{set("limits.length", "640 mm")}}, nil)
	second := b.disk(boat)
	var s Snapshot
	b.want(201, "POST", "/api/snapshots", SnapshotRequest{"with the boat"}, &s)
	if !slices.Contains(s.Engines, boat) || len(s.Engines) != 3 {
		t.Errorf("the snapshot holds %q", s.Engines)
	}
	b.want(200, "DELETE", "/api/briefs/"+boat, nil, nil)
	gone := func() bool {
		_, err := os.Stat(filepath.Join(b.dir, boat))
		return os.IsNotExist(err)
	}
	if !gone() {
		t.Fatal("it is still there")
	}
	var l LineUp
	b.want(200, "POST", "/api/undo", nil, &l)
	if b.disk(boat) != second || l.Redo != "removal of "+boat || l.Undo != "change of "+boat {
		t.Errorf("undo %q, redo %q", l.Undo, l.Redo)
	}
	b.want(200, "POST", "/api/undo", nil, nil)
	if b.disk(boat) != first {
		t.Error("the first text is not back")
	}
	b.want(200, "POST", "/api/redo", nil, nil)
	b.want(200, "POST", "/api/redo", nil, nil)
	if !gone() {
		t.Error("it is there again")
	}
	b.want(200, "POST", "/api/snapshots/"+url.PathEscape("with the boat")+"/restore", nil, nil)
	if b.disk(boat) != second {
		t.Error("the snapshot did not bring the brief back")
	}
	b.want(200, "POST", "/api/undo", nil, nil)
	if !gone() {
		t.Error("undo of the restoring left the brief there")
	}
}

// TestNamesOfBriefs refuses what is no name of a brief, leaves the folder, or is an engine; and briefs as engines.
func TestNamesOfBriefs(t *testing.T) {
	b := startBrief(t)
	outside := filepath.Join(filepath.Dir(b.dir), "x.brief.yaml")
	before := onDisk(t, b.dir)
	text, etag := "name: X\npriorities: {cost: 5}\n", b.brief(boat).Etag
	for _, name := range []string{"../x.brief.yaml", "sub/x.brief.yaml", ".x.brief.yaml", `..\x.brief.yaml`, "x.yaml", "x.brief.yaml.txt", vee8, "a..b.brief.yaml", "con|x.brief.yaml"} {
		path := "/api/briefs/" + url.PathEscape(name)
		for method, body := range map[string]any{"GET": nil, "PUT": BriefSave{Etag: etag, Text: &text}, "DELETE": nil} {
			if answer, data := b.ask(method, path, body); answer.StatusCode != http.StatusUnprocessableEntity && answer.StatusCode != http.StatusNotFound {
				t.Errorf("%s %s: %s %.200s", method, name, answer.Status, data)
			}
		}
		if answer, _ := b.ask("POST", "/api/briefs", NewBrief{CopyOf: name}); answer.StatusCode != http.StatusUnprocessableEntity && answer.StatusCode != http.StatusNotFound {
			t.Errorf("a copy of %s: %s", name, answer.Status)
		}
	}
	for _, name := range []string{"../x", "sub/x", ".x", "a..b", "con|x"} {
		b.want(422, "POST", "/api/briefs", NewBrief{Text: &text, File: name}, nil)
	}
	if _, err := os.Stat(outside); err == nil {
		t.Error("a brief was written outside the folder")
	}
	engine := "/api/engines/" + boat
	for method, body := range map[string]any{"GET": nil, "PUT": SaveRequest{Etag: etag, Text: &text, AllowProblems: true}, "DELETE": nil} {
		if answer, data := b.ask(method, engine, body); answer.StatusCode != http.StatusUnprocessableEntity {
			t.Errorf("%s %s: %s %.200s", method, engine, answer.Status, data)
		}
	}
	b.want(422, "POST", "/api/engines", NewEngineRequest{CopyOf: boat}, nil)
	if after := onDisk(t, b.dir); len(after) != len(before) || after[boat] != before[boat] || after[vee8] != before[vee8] {
		t.Errorf("the folder changed: %d files, before %d", len(after), len(before))
	}
}

// TestBriefEvents name the brief, whoever changes it.
func TestBriefEvents(t *testing.T) {
	b := startBrief(t)
	events := b.listen()
	b.next(events)
	v := b.brief(boat)
	told := func(kind, file string) {
		t.Helper()
		if e := b.next(events); e.Kind != kind || !slices.Equal(e.Files, []string{file}) {
			t.Errorf("%+v, want %s of %s", e, kind, file)
		}
	}
	b.want(200, "PUT", "/api/briefs/"+boat, BriefSave{Etag: v.Etag, Edits: []Edit{set("limits.length", "640 mm")}}, nil)
	told("saved", boat)
	if err := os.WriteFile(filepath.Join(b.dir, boat), bytes.Replace([]byte(v.Text), []byte("620 mm"), []byte("650 mm"), 1), 0o600); err != nil {
		t.Fatal(err)
	}
	told("outside", boat)
	if got := b.brief(boat).Brief.Limits[0].Bound; got != 650 {
		t.Errorf("the limit is %g mm", got)
	}
	b.want(201, "POST", "/api/briefs", NewBrief{CopyOf: boat, File: "twin"}, nil)
	told("created", "twin.brief.yaml")
	b.want(200, "DELETE", "/api/briefs/twin.brief.yaml", nil, nil)
	told("removed", "twin.brief.yaml")
	b.want(200, "POST", "/api/undo", nil, nil)
	told("undone", "twin.brief.yaml")
	if answer, _ := b.ask("GET", "/api/briefs/twin.brief.yaml", nil); answer.StatusCode != http.StatusOK {
		t.Error(answer.Status)
	}
}
