package server

import (
	"encoding/binary"
	"encoding/json"
	"math"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"crankwright/results"
)

const (
	four   = "inline-four-flat.engine.yaml"
	cranks = "cranks.study.yaml"
)

// fewCranks varies the crank of the inline four in steps of 45 deg: 8³ phasings, symmetric twins apart.
const fewCranks = `name: Cranks of a four
base: inline-four-flat.engine.yaml
vary:
  layout.pins: {all: 45 deg, twins: apart}
minimise: [free_force_order_1, free_moment_order_1]
maximise: [firing_evenness]
`

// manyCranks takes some seconds: 90³ phasings at three bores.
const manyCranks = `name: Cranks of a four
base: inline-four-flat.engine.yaml
vary:
  bore: [84, 86, 88] mm
  layout.pins: {all: 4 deg, twins: apart}
minimise: [free_force_order_1, free_moment_order_1]
maximise: [firing_evenness]
`

// startStudy serves an engine and a study of it.
func startStudy(t testing.TB, text string) *bench {
	t.Helper()
	b := start(t, four)
	b.put(cranks, text)
	return b
}

// put writes a file as another program would.
func (b *bench) put(file, text string) {
	b.t.Helper()
	if err := os.WriteFile(filepath.Join(b.dir, file), []byte(text), 0o600); err != nil {
		b.t.Fatal(err)
	}
}

func (b *bench) run(file string) StudyRun {
	b.t.Helper()
	var r StudyRun
	b.want(200, "GET", "/api/studies/"+file+"/run", nil, &r)
	return r
}

// search runs a study until it is whole.
func (b *bench) search(file string) StudyRun {
	b.t.Helper()
	b.want(200, "POST", "/api/studies/"+file+"/run", nil, nil)
	return b.until(file, func(r StudyRun) bool { return r.State == "whole" })
}

func (b *bench) until(file string, is func(StudyRun) bool) StudyRun {
	b.t.Helper()
	for from := time.Now(); time.Since(from) < 2*time.Minute; time.Sleep(20 * time.Millisecond) {
		r := b.run(file)
		if r.Failure != "" {
			b.t.Fatal(r.Failure)
		}
		if is(r) {
			return r
		}
	}
	b.t.Fatalf("it did not come to that: %+v", b.run(file))
	return StudyRun{}
}

func (b *bench) check(text string) StudyCheck {
	b.t.Helper()
	var c StudyCheck
	b.want(200, "POST", "/api/study-check", StudyDraft{File: cranks, Text: &text}, &c)
	return c
}

// TestStudyFiles makes, reads, changes and takes out studies; they are no engines, and their history is that of the folder.
func TestStudyFiles(t *testing.T) {
	b := startStudy(t, fewCranks)
	var v, made, twin StudyView
	b.want(200, "GET", "/api/studies/"+cranks, nil, &v)
	if v.Text != fewCranks || v.Etag == "" || !v.Saved {
		t.Errorf("%+v", v)
	}
	if l := b.lineUp(); len(l.Engines) != 1 || len(l.Briefs) != 0 {
		t.Errorf("%+v", l)
	}
	text := strings.Replace(fewCranks, "45 deg", "60 deg", 1)
	b.want(200, "PUT", "/api/studies/"+cranks, StudySave{Etag: v.Etag, Text: text}, nil)
	b.want(409, "PUT", "/api/studies/"+cranks, StudySave{Etag: v.Etag, Text: "x"}, nil)
	if b.disk(cranks) != text {
		t.Error(b.disk(cranks))
	}
	b.want(201, "POST", "/api/studies", NewStudy{Base: four, Name: "Flat fours"}, &made)
	if made.File != "flat-fours.study.yaml" || !strings.Contains(made.Text, four) || !strings.Contains(made.Text, "name: Flat fours") {
		t.Errorf("%s\n%s", made.File, made.Text)
	}
	if c := b.check(made.Text); c.Plan == nil || c.Plan.Size.Total < 2 || c.Plan.Size.Blocks[0].Dead != "" {
		t.Errorf("a new study cannot be run: %+v", c.Problems)
	}
	b.want(201, "POST", "/api/studies", NewStudy{CopyOf: cranks}, &twin)
	if twin.Text != text || twin.File == cranks {
		t.Errorf("%+v", twin)
	}
	b.want(409, "POST", "/api/studies", NewStudy{Text: &text, File: "cranks"}, nil)
	b.want(422, "POST", "/api/studies", NewStudy{}, nil)
	b.want(422, "POST", "/api/studies", NewStudy{Text: &text, Base: four}, nil)
	b.want(404, "POST", "/api/studies", NewStudy{Base: "none.engine.yaml"}, nil)
	var l LineUp
	b.want(200, "DELETE", "/api/studies/"+cranks+"?etag=", nil, &l)
	b.want(404, "GET", "/api/studies/"+cranks, nil, nil)
	b.want(200, "POST", "/api/undo", nil, nil)
	if b.disk(cranks) != text {
		t.Error("undo does not bring the study back")
	}
	var list StudyList
	b.want(200, "GET", "/api/studies", nil, &list)
	if len(list.Studies) != 3 || list.Studies[0].Name != "Cranks of a four" || list.Studies[0].Base != four || list.Studies[0].Results != "none" {
		t.Errorf("%+v", list.Studies)
	}
}

// TestNamesOfStudies refuses names that leave the folder, carry script or are those of something else.
func TestNamesOfStudies(t *testing.T) {
	b := startStudy(t, fewCranks)
	for _, name := range []string{"../x.study.yaml", "a/b.study.yaml", ".x.study.yaml", "<script>.study.yaml", four, "x.study.yaml.txt", "%2e%2e.study.yaml"} {
		file := url.PathEscape(name)
		for _, ask := range []struct{ method, path string }{
			{"GET", ""}, {"DELETE", ""}, {"POST", "/run"}, {"POST", "/stop"}, {"GET", "/run"}, {"DELETE", "/run"}, {"GET", "/points"}, {"GET", "/candidates/0"},
		} {
			if answer, data := b.ask(ask.method, "/api/studies/"+file+ask.path, nil); answer.StatusCode != http.StatusUnprocessableEntity && answer.StatusCode != http.StatusNotFound {
				t.Errorf("%s %s%s: %s %.200s", ask.method, name, ask.path, answer.Status, data)
			}
		}
		if strings.ContainsAny(name, "/<%") || name[0] == '.' { // else it only needs another ending
			b.want(422, "POST", "/api/studies", NewStudy{File: name, Text: new(string)}, nil)
		}
		b.want(422, "POST", "/api/study-check", StudyDraft{File: name}, nil)
	}
	// a study cannot name a file outside the folder either, nor does the list of words read one
	outside := filepath.Join(filepath.Dir(b.dir), "outside.engine.yaml")
	if err := os.WriteFile(outside, []byte(b.disk(four)), 0o600); err != nil {
		t.Fatal(err)
	}
	if c := b.check(strings.Replace(fewCranks, four, "../outside.engine.yaml", 1)); c.Plan != nil || len(c.Problems) == 0 {
		t.Errorf("%+v", c.Plan)
	}
	b.want(404, "GET", "/api/study-words?base="+url.QueryEscape("../outside.engine.yaml"), nil, nil)
	// results that a link leads elsewhere are not followed
	if err := os.Symlink(t.TempDir(), filepath.Join(b.dir, results.Beside(cranks))); err == nil {
		b.want(409, "POST", "/api/studies/"+cranks+"/run", nil, nil)
	}
}

// TestStudyCheck says what a study looks at, and what is wrong at which place.
func TestStudyCheck(t *testing.T) {
	b := startStudy(t, fewCranks)
	var c StudyCheck
	b.want(200, "POST", "/api/study-check", StudyDraft{File: cranks}, &c)
	p := c.Plan
	if p == nil || p.Size.Total != 512 || p.Base != four || !p.Size.Fast || len(p.Aims) != 3 || p.Aims[2].Better != "more" || len(p.Require) != 0 {
		t.Fatalf("%+v %+v", c.Problems, p)
	}
	if f := p.Size.Phasings[0]; f.Throws != 4 || f.StepDeg != 45 || f.Distinct != 512 || f.Burnside != "512" || f.All != "512" {
		t.Errorf("%+v", f)
	}
	once := b.check(strings.Replace(fewCranks, ", twins: apart", "", 1)).Plan
	if f := once.Size.Phasings[0]; f.Distinct >= 512 || f.Burnside != itoa(f.Distinct) || once.Size.Total != uint64(f.Distinct) {
		t.Errorf("%+v", f)
	}
	limited := b.check(fewCranks + "require: {length: \"<= 620 mm\"}\n").Plan
	if !slices.Equal(limited.Require, []string{"length <= 620 mm"}) || limited.Size.Fast || limited.Size.Time <= p.Size.Time {
		t.Errorf("%+v", limited)
	}
	for _, wrong := range []struct {
		from, to, want string
		line           int
	}{
		{"45 deg", "45", "unit", 4},
		{"free_force_order_1", "free_force_order_x", "unknown measure", 5},
		{four, "none.engine.yaml", "no file", 2},
		{"vary:", "varry:", "varry", 3},
		{"{all: 45 deg, twins: apart}", "{all: 0.01 deg}", "", 4},
	} {
		got := b.check(strings.Replace(fewCranks, wrong.from, wrong.to, 1))
		if got.Plan != nil || len(got.Problems) == 0 || got.Problems[0].Line != wrong.line || !strings.Contains(got.Problems[0].What+got.Problems[0].Allowed, wrong.want) {
			t.Errorf("%s: %+v", wrong.to, got.Problems)
		}
	}
	// what is wrong with the base stands where the study names it
	b.put(four, "name: x\n")
	if got := b.check(fewCranks); got.Plan != nil || got.Problems[0].Line != 2 || !strings.Contains(got.Problems[0].What, "can be built") {
		t.Errorf("%+v", got.Problems)
	}
	answer, data := b.ask("POST", "/api/studies/"+cranks+"/run", nil)
	var details ProblemDetails
	if err := json.Unmarshal(data, &details); err != nil || answer.StatusCode != http.StatusUnprocessableEntity || details.Type != typeStudy || len(details.Problems) == 0 {
		t.Errorf("%s %s", answer.Status, data)
	}
}

func itoa(n int) string { data, _ := json.Marshal(n); return string(data) }

// TestStudyRun searches, accounts for every candidate, and shows the front that is known of a four: the flat crank.
func TestStudyRun(t *testing.T) {
	b := startStudy(t, fewCranks)
	if r := b.run(cranks); r.State != "none" || len(r.Front) != 0 {
		t.Errorf("%+v", r)
	}
	b.want(404, "GET", "/api/studies/"+cranks+"/points", nil, nil)
	b.want(404, "POST", "/api/studies/"+cranks+"/query", StudyQuery{}, nil)
	r := b.search(cranks)
	sum := r.Kept
	for _, l := range r.LeftOut {
		sum += l.Count
	}
	if r.Total != 512 || r.Done != 512 || sum != 512 || !r.Agrees || r.Stale != "" || r.FrontSize == 0 || len(r.Best) != 3 {
		t.Errorf("%+v", r)
	}
	flat := -1
	for i, q := range r.Front {
		if q.Words[1] == "180" && q.Words[2] == "180" && q.Words[3] == "0" {
			flat = i
		}
	}
	if flat < 0 || *r.Front[flat].Values[len(r.Columns)-1] != 1 {
		t.Fatalf("the flat crank is not in the front: %+v", r.Front)
	}
	var few StudyRun
	b.want(200, "GET", "/api/studies/"+cranks+"/run?front=1", nil, &few)
	if len(few.Front) != 1 || few.FrontSize != r.FrontSize {
		t.Errorf("%d of %d", len(few.Front), few.FrontSize)
	}

	// the same points as numbers
	head, index, columns := b.points(cranks, "?columns=pin_2,firing_evenness&most=100000")
	if head.Kept != r.Kept || head.Count != int(r.Kept) || len(head.Columns) != 2 {
		t.Fatalf("%+v", head)
	}
	at := r.Front[flat].Index
	if i := slices.Index(index, at); i < 0 || columns[0][i] != 180 || columns[1][i] != 1 {
		t.Errorf("candidate %d is point %d", at, i)
	}
	b.want(422, "GET", "/api/studies/"+cranks+"/points?columns=nothing", nil, nil)

	// the same by question
	var rows, counted StudyRows
	b.want(200, "POST", "/api/studies/"+cranks+"/query", StudyQuery{Filter: "pin_2 = 180 deg and pin_3 = 180 deg and pin_4 = 0 deg"}, &rows)
	if !slices.Equal(rows.Index, []uint64{at}) || rows.Matched != 1 || rows.Columns[1].Unit != "deg" || rows.Rows[0][1] != "180" {
		t.Errorf("%+v", rows)
	}
	b.want(200, "POST", "/api/studies/"+cranks+"/query", StudyQuery{SQL: "SELECT count(*) AS n FROM candidates"}, &counted)
	if len(counted.Rows) != 1 || counted.Rows[0][0] != itoa(int(r.Kept)) || len(counted.Index) != 0 {
		t.Errorf("%+v", counted)
	}
	b.want(200, "POST", "/api/studies/"+cranks+"/query", StudyQuery{Sort: "-firing_evenness", Limit: 3}, &rows)
	if len(rows.Rows) != 3 || !rows.More || rows.Rows[0][len(rows.Columns)-1] != "1" {
		t.Errorf("%+v", rows)
	}
	for _, q := range []StudyQuery{{Filter: "pin_2 = 180"}, {Filter: "nothing < 1"}, {SQL: "DROP TABLE candidates"}, {SQL: "ATTACH 'x' AS y"}, {Sort: "nothing"}} {
		b.want(422, "POST", "/api/studies/"+cranks+"/query", q, nil)
	}
	// results are no engines, and nothing in them is watched
	if l := b.lineUp(); len(l.Engines) != 1 {
		t.Errorf("%+v", l.Engines)
	}
}

// points reads the points of a study.
func (b *bench) points(file, query string) (head StudyPointsHead, index []uint64, columns [][]float32) {
	b.t.Helper()
	answer, data := b.ask("GET", "/api/studies/"+file+"/points"+query, nil)
	if answer.StatusCode != http.StatusOK || answer.Header.Get("Content-Type") != "application/octet-stream" {
		b.t.Fatal(answer)
	}
	length := int(binary.LittleEndian.Uint32(data))
	if err := json.Unmarshal(data[4:4+length], &head); err != nil {
		b.t.Fatal(err)
	}
	if (4+length)%8 != 0 || len(data) != 4+length+head.Count*(8+4*len(head.Columns)) {
		b.t.Fatalf("%+v, %d bytes", head, len(data))
	}
	data = data[4+length:]
	for ; len(index) < head.Count; data = data[8:] {
		index = append(index, uint64(math.Float64frombits(binary.LittleEndian.Uint64(data))))
	}
	for range head.Columns {
		list := []float32{}
		for ; len(list) < head.Count; data = data[4:] {
			list = append(list, math.Float32frombits(binary.LittleEndian.Uint32(data)))
		}
		columns = append(columns, list)
	}
	return head, index, columns
}

// TestCandidates opens and keeps candidates as engines, whatever number is asked for.
func TestCandidates(t *testing.T) {
	b := startStudy(t, fewCranks)
	r := b.search(cranks)
	path := "/api/studies/" + cranks + "/candidates/" + itoa(int(r.Front[0].Index))
	var c StudyCandidate
	b.want(200, "GET", path, nil, &c)
	if c.Index != r.Front[0].Index || len(c.Settings) == 0 || c.Settings[0].Key != "layout.pins" || len(c.Problems) != 0 || len(c.Values) != len(r.Columns) || !validName(c.File) {
		t.Errorf("%+v", c)
	}
	var v EngineView
	b.want(201, "POST", path+"/keep", KeepCandidate{File: "kept"}, &v)
	if v.File != "kept.engine.yaml" || b.disk(v.File) != c.Text || v.Result == nil {
		t.Errorf("%s %+v", v.File, v.Problems)
	}
	b.want(409, "POST", path+"/keep", KeepCandidate{File: "kept"}, nil)
	b.want(201, "POST", path+"/keep", KeepCandidate{}, &v)
	if v.File != c.File {
		t.Errorf("%s, proposed was %s", v.File, c.File)
	}
	for _, name := range []string{"../kept", "a/b", ".hidden", "<img src=x>", "x.study.yaml/y"} {
		b.want(422, "POST", path+"/keep", KeepCandidate{File: name}, nil)
	}
	b.want(200, "POST", "/api/undo", nil, nil)
	b.want(404, "GET", "/api/engines/"+v.File, nil, nil)
	for number, status := range map[string]int{"512": 404, "9007199254740993": 404, "-1": 422, "x": 422, "1.5": 422} {
		b.want(status, "GET", "/api/studies/"+cranks+"/candidates/"+number, nil, nil)
		b.want(status, "POST", "/api/studies/"+cranks+"/candidates/"+number+"/keep", KeepCandidate{}, nil)
	}
	// what is in the base is text, also where it looks like something else
	b.put("script.engine.yaml", strings.Replace(b.disk(four), "name:", "name: <script>alert(1)</script> #", 1))
	b.put(cranks, strings.Replace(fewCranks, four, "script.engine.yaml", 1))
	b.want(200, "DELETE", "/api/studies/"+cranks+"/run", nil, nil)
	b.want(200, "GET", "/api/studies/"+cranks+"/candidates/1", nil, &c)
	if !strings.HasPrefix(c.Name, "<script>") || !validName(c.File) || strings.ContainsAny(c.File, "<>/") {
		t.Errorf("%q %q", c.Name, c.File)
	}
}

// TestStudyStops stops a search and goes on with it, also after the server was ended and started again, to the same end as
// one that was never stopped.
func TestStudyStops(t *testing.T) {
	b := startStudy(t, manyCranks)
	var r StudyRun
	b.want(200, "POST", "/api/studies/"+cranks+"/run", nil, &r)
	if r.State != "running" {
		t.Fatalf("%+v", r)
	}
	b.want(409, "DELETE", "/api/studies/"+cranks+"/run", nil, nil)
	b.want(200, "POST", "/api/studies/"+cranks+"/run", nil, nil) // the same run
	b.until(cranks, func(r StudyRun) bool { return r.Kept > 0 })
	b.want(200, "POST", "/api/studies/"+cranks+"/stop", nil, &r)
	if r.State != "part" || r.Done == 0 || r.Done >= r.Total || !r.Agrees || r.Failure != "" {
		t.Fatalf("%+v", r)
	}
	b.want(200, "POST", "/api/studies/"+cranks+"/stop", nil, nil)
	done := r.Done
	b.want(200, "POST", "/api/studies/"+cranks+"/run", nil, &r)
	b.until(cranks, func(r StudyRun) bool { return r.Done > done })

	// the server ends while it runs; another one finds what was done and goes on
	if err := b.server.Close(); err != nil {
		t.Fatal(err)
	}
	again := startAgain(t, b.dir)
	r = again.run(cranks)
	if r.State != "part" || r.Done < done {
		t.Fatalf("%+v", r)
	}
	r = again.search(cranks)
	if !r.Agrees || r.Total != 3*90*90*90 {
		t.Errorf("%+v", r)
	}
	whole := startStudy(t, manyCranks).search(cranks)
	if whole.Kept != r.Kept || whole.FrontSize != r.FrontSize || whole.Front[0].Index != r.Front[0].Index {
		t.Errorf("stopped: %d kept, front of %d; never stopped: %d, %d", r.Kept, r.FrontSize, whole.Kept, whole.FrontSize)
	}
}

// startAgain serves a folder as it stands.
func startAgain(t *testing.T, dir string) *bench {
	t.Helper()
	s, err := New(Config{Folder: dir, Addr: "127.0.0.1:0", Version: "test"})
	if err != nil {
		t.Fatal(err)
	}
	return serve(t, dir, s)
}

// TestStudyChanged keeps the results of an earlier state apart from the study as it is now.
// TestStudyLeavesWhileItIsSearched refuses to take out a study that is being searched, and stops the search of one that another
// program has removed.
func TestStudyLeavesWhileItIsSearched(t *testing.T) {
	b := startStudy(t, manyCranks)
	b.want(200, "POST", "/api/studies/"+cranks+"/run", nil, nil)
	var p ProblemDetails
	b.want(409, "DELETE", "/api/studies/"+cranks, nil, &p)
	if p.Detail != "the search runs; stop it first" || b.disk(cranks) != manyCranks {
		t.Errorf("%+v", p)
	}
	if err := os.Remove(filepath.Join(b.dir, cranks)); err != nil {
		t.Fatal(err)
	}
	if r := b.run(cranks); r.State != "running" {
		t.Fatalf("it is %s", r.State)
	}
	var r StudyRun
	b.want(200, "POST", "/api/studies/"+cranks+"/stop", nil, &r)
	if r.State == "running" {
		t.Errorf("it is %s", r.State)
	}
	b.want(404, "GET", "/api/studies/"+cranks+"/run", nil, nil)
	b.want(404, "POST", "/api/studies/"+cranks+"/stop", nil, nil)
	b.put(cranks, manyCranks) // as it was before: what was found is still there
	if r := b.run(cranks); r.State != "part" || r.Stale != "" {
		t.Errorf("%+v", r)
	}
	b.want(200, "DELETE", "/api/studies/"+cranks, nil, nil)
}

func TestStudyChanged(t *testing.T) {
	b := startStudy(t, fewCranks)
	first := b.search(cranks)
	var before StudyCandidate
	path := "/api/studies/" + cranks + "/candidates/5"
	b.want(200, "GET", path, nil, &before)
	b.put(four, strings.Replace(b.disk(four), "bore:", "bore: 90 mm #", 1))
	r := b.run(cranks)
	if !strings.Contains(r.Stale, four) || r.State != "whole" || r.Kept != first.Kept {
		t.Fatalf("%+v", r)
	}
	var after StudyCandidate
	b.want(200, "GET", path, nil, &after)
	if after.Text != before.Text {
		t.Error("a candidate of the results is not what it was when they were found")
	}
	answer, data := b.ask("POST", "/api/studies/"+cranks+"/run", nil)
	if answer.StatusCode != http.StatusConflict || strings.Contains(string(data), b.dir) {
		t.Errorf("%s %s", answer.Status, data)
	}
	b.want(200, "DELETE", "/api/studies/"+cranks+"/run", nil, &r)
	if r.State != "none" {
		t.Errorf("%+v", r)
	}
	aside, err := filepath.Glob(filepath.Join(b.dir, hidden, "results", "*"))
	if err != nil || len(aside) != 1 {
		t.Errorf("set aside are %q, %v", aside, err)
	}
	if r = b.search(cranks); r.Stale != "" || !r.Agrees {
		t.Errorf("%+v", r)
	}
}

// TestStudyWords lists what can vary with its present value, and every line of it can stand in a study.
func TestStudyWords(t *testing.T) {
	b := startStudy(t, fewCranks)
	var w StudyWords
	b.want(200, "GET", "/api/study-words?base="+four, nil, &w)
	seen := map[string]VaryInfo{}
	for _, v := range w.Vary {
		if seen[v.Key].Key != "" {
			t.Errorf("%s is listed twice", v.Key)
		}
		seen[v.Key] = v
		text := "name: x\nbase: " + four + "\nvary:\n  " + v.Key + ": " + v.Line + "\nminimise: [free_force_order_2]\n"
		if c := b.check(text); c.Plan == nil {
			t.Errorf("%s: %s: %+v", v.Key, v.Line, c.Problems)
		}
	}
	if v := seen["bore"]; v.Present == "" || !strings.Contains(v.Line, " mm") || seen["layout.pins"].Line != "all" {
		t.Errorf("%+v", v)
	}
	if len(w.Measures) < 20 {
		t.Errorf("%d measures", len(w.Measures))
	}
	b.want(404, "GET", "/api/study-words?base=none.engine.yaml", nil, nil)
	b.want(422, "GET", "/api/study-words?base="+cranks, nil, nil)
}
