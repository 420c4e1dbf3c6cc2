package server

import (
	"bytes"
	"encoding/csv"
	"encoding/xml"
	"image/png"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"crankwright/analysis"
	"crankwright/report"
	"crankwright/spec"

	"github.com/google/go-cmp/cmp"
)

func TestLineUp(t *testing.T) {
	b := start(t)
	if err := os.WriteFile(filepath.Join(b.dir, "wrong.engine.yaml"), []byte("bore: 84\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"notes.txt", ".hidden.engine.yaml", "a.yaml"} {
		if err := os.WriteFile(filepath.Join(b.dir, name), []byte("x"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	l := b.lineUp()
	var got []string
	for _, e := range l.Engines {
		got = append(got, e.File+" | "+e.Name+" | "+e.Arrangement)
	}
	want := []string{
		"inline-four-flat.engine.yaml | Inline four, flat-plane | inline", "radial-five.engine.yaml | Radial five | radial",
		vee8 + " | Vee eight 90°, cross-plane | vee", "wrong.engine.yaml | wrong.engine.yaml | ",
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
	if e := l.Engines[2]; e.Cylinders != 8 || e.Problems != 0 || e.Etag == "" {
		t.Errorf("%+v", e)
	}
	if l.Engines[3].Problems == 0 || l.Folder != filepath.Base(b.dir) || l.Undo == "" {
		t.Errorf("%+v", l)
	}
}

// TestEngineIsTheSameResult holds the API's result against the one that the command prints.
func TestEngineIsTheSameResult(t *testing.T) {
	b := start(t)
	v := b.engine(vee8)
	train, _, err := spec.ReadEngineFile("../examples/"+vee8, spec.Options{})
	if err != nil {
		t.Fatal(err)
	}
	r, err := analysis.Run(train, analysis.Options{Drive: true, Space: true, Parts: true})
	if err != nil {
		t.Fatal(err)
	}
	whole := report.NewDocument(r, report.Detail{Curves: true, Contributions: true})
	whole.Parts, whole.Cost = nil, nil // asked for by themselves
	want, err := report.Encode(whole)
	if err != nil {
		t.Fatal(err)
	}
	got, err := report.Encode(v.Result)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(string(want), string(got)); d != "" {
		t.Error(d)
	}
	if !v.Saved || v.Text != b.disk(vee8) || len(v.Geometry.Cylinders) != 8 || len(v.Fields) < 30 || len(v.Reasons) < 3 || len(v.Firing) == 0 {
		t.Errorf("the view is not whole: saved %v, %d fields, %d reasons", v.Saved, len(v.Fields), len(v.Reasons))
	}
	var at EngineView
	b.want(200, "GET", "/api/engines/"+vee8+"?speed_rpm=3000&curves=false&contributions=false&reasons=false", nil, &at)
	if at.Result.SpeedRPM != 3000 || at.Result.Curves != nil || at.Result.Balance.Orders[0].Contributions != nil || len(at.Reasons) != 0 {
		t.Errorf("the parameters were not heard: %v rpm", at.Result.SpeedRPM)
	}
	b.want(404, "GET", "/api/engines/nothing.engine.yaml", nil, nil)
	b.want(422, "GET", "/api/engines/"+vee8+"?speed=3", nil, nil)
	b.want(422, "GET", "/api/engines/"+vee8+"?speed_rpm=-3", nil, nil)
}

// TestNoNull holds every answer to what OpenAPI says: no list is null, for any example.
func TestNoNull(t *testing.T) {
	files := examples(t)
	b := start(t, files...)
	for _, f := range files {
		for _, path := range []string{"/api/engines/" + f, "/api/orders?file=" + f, "/api/engines/" + f + "?two_mass=true"} {
			if _, data := b.ask("GET", path, nil); bytes.Contains(data, []byte(":null")) {
				i := bytes.Index(data, []byte(":null"))
				t.Errorf("%s: …%s", path, data[max(0, i-80):i+5])
			}
		}
	}
	for _, path := range []string{"/api/lineup", "/api/compare", "/api/checks", "/api/gallery", "/api/figures", "/api/snapshots"} {
		if _, data := b.ask("GET", path, nil); bytes.Contains(data, []byte("null,")) || bytes.HasPrefix(data, []byte("null")) {
			t.Errorf("%s has null", path)
		}
	}
}

func TestPreview(t *testing.T) {
	b := start(t)
	before := b.lineUp()
	var v EngineView
	b.want(200, "POST", "/api/preview", PreviewRequest{Draft: Draft{File: vee8, Edits: []Edit{set("layout.bank_angle", "72 deg")}}}, &v)
	if !strings.Contains(v.Text, "bank_angle: 72 deg") || v.Saved || v.Result == nil || v.Result.Curves != nil || len(v.Problems) > 0 {
		t.Errorf("%+v", v.Problems)
	}
	b.want(200, "POST", "/api/preview", PreviewRequest{Draft: Draft{File: vee8, SpeedRPM: 1000}, Curves: true}, &v)
	if !v.Saved || v.Result.Curves == nil || v.Result.SpeedRPM != 1000 {
		t.Error("a preview without edits is what is saved")
	}
	b.want(200, "POST", "/api/preview", PreviewRequest{Draft: Draft{File: vee8, Edits: []Edit{set("bore", "84"), set("rod.length", "1 mm")}}}, &v)
	if v.Result != nil && len(v.Problems) == 0 {
		t.Error("wrong values were taken")
	}
	paths := []string{}
	for _, p := range v.Problems {
		paths = append(paths, p.Path)
	}
	if !slices.Contains(paths, "bore") {
		t.Errorf("the problems are not at their fields: %+v", v.Problems)
	}
	text := "name: [\n"
	b.want(200, "POST", "/api/preview", PreviewRequest{Draft: Draft{Text: &text}}, &v)
	if len(v.Problems) == 0 || v.Result != nil {
		t.Error("a broken text has no problems")
	}
	var p ProblemDetails
	b.want(422, "POST", "/api/preview", PreviewRequest{Draft: Draft{File: vee8, Edits: []Edit{set("layout.bank_angel", "1 deg")}}}, &p)
	if p.Errors[0].Location != "body.edits[0]" || p.Problems[0].Allowed != `did you mean "bank_angle"?` {
		t.Errorf("%+v", p)
	}
	// A measured trace has to be in the folder, and nothing beyond the folder is looked at.
	measured, err := os.ReadFile("../examples/test-bed/cylinder-pressure.csv")
	if err != nil {
		t.Fatal(err)
	}
	for trace, problems := range map[string]int{"none.csv": 1, "p.csv": 0, "short.csv": 1, "../p.csv": 1, "/etc/passwd": 1} {
		if err := os.WriteFile(filepath.Join(b.dir, "p.csv"), measured, 0o644); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(b.dir, "short.csv"), []byte("0, 1\n"), 0o644); err != nil {
			t.Fatal(err)
		}
		b.want(200, "POST", "/api/preview", PreviewRequest{Draft: Draft{File: vee8, Edits: []Edit{{Path: "gas"}, set("gas.trace", trace)}}}, &v)
		if len(v.Problems) != problems || (v.Result == nil) != (problems > 0) {
			t.Errorf("trace %s: %+v", trace, v.Problems)
		}
	}
	b.want(422, "POST", "/api/preview", PreviewRequest{}, nil)
	b.want(404, "POST", "/api/preview", PreviewRequest{Draft: Draft{File: "x.engine.yaml"}}, nil)
	if after := b.lineUp(); after.Revision != before.Revision {
		t.Error("a preview changed the folder")
	}
}

func TestSave(t *testing.T) {
	b := start(t)
	v := b.engine(vee8)
	var now EngineView
	b.want(200, "PUT", "/api/engines/"+vee8, SaveRequest{Etag: v.Etag, Edits: []Edit{set("layout.bank_angle", "72 deg")}}, &now)
	if want := strings.Replace(v.Text, "bank_angle: 90 deg", "bank_angle: 72 deg", 1); b.disk(vee8) != want || now.Text != want || now.Etag == v.Etag {
		t.Errorf("on disk:\n%s", b.disk(vee8))
	}

	var p ProblemDetails
	b.want(409, "PUT", "/api/engines/"+vee8, SaveRequest{Etag: v.Etag, Edits: []Edit{set("bore", "80 mm")}}, &p)
	if p.Type != typeConflict || p.Conflict == nil || p.Conflict.Text != now.Text || p.Conflict.Etag != now.Etag {
		t.Errorf("%+v", p)
	}
	b.want(422, "PUT", "/api/engines/"+vee8, SaveRequest{Etag: now.Etag, Edits: []Edit{set("rod.length", "1 mm")}}, &p)
	if len(p.Problems) == 0 || b.disk(vee8) != now.Text {
		t.Error("an edit that makes the engine impossible was saved")
	}
	// AllowProblems is for texts: edits are refused all the same.
	b.want(422, "PUT", "/api/engines/"+vee8, SaveRequest{Etag: now.Etag, Edits: []Edit{set("rod.length", "1 mm")}, AllowProblems: true}, nil)
	wrong := now.Text + "nonsense: 1\n"
	b.want(422, "PUT", "/api/engines/"+vee8, SaveRequest{Etag: now.Etag, Text: &wrong}, nil)
	b.want(200, "PUT", "/api/engines/"+vee8, SaveRequest{Etag: now.Etag, Text: &wrong, AllowProblems: true}, &now)
	if len(now.Problems) != 1 || now.Problems[0].Path != "nonsense" || b.disk(vee8) != wrong {
		t.Errorf("%+v", now.Problems)
	}
	b.want(422, "PUT", "/api/engines/"+vee8, SaveRequest{Etag: now.Etag}, nil)
	b.want(422, "PUT", "/api/engines/"+vee8, map[string]any{"text": "x"}, nil)
	b.want(409, "PUT", "/api/engines/none.engine.yaml", SaveRequest{Etag: "x", Text: &wrong}, &p)
	if !p.Conflict.Missing {
		t.Errorf("%+v", p)
	}

	// What another program wrote a moment ago is not written over.
	if err := os.WriteFile(filepath.Join(b.dir, vee8), []byte("name: other\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	b.want(409, "PUT", "/api/engines/"+vee8, SaveRequest{Etag: now.Etag, Text: &v.Text}, &p)
	if p.Conflict.Text != "name: other\n" || b.disk(vee8) != "name: other\n" {
		t.Error("an outside change was lost")
	}
}

func TestNewAndRemove(t *testing.T) {
	b := start(t)
	var v EngineView
	b.want(201, "POST", "/api/engines", NewEngineRequest{Shorthand: "vee-6 60deg 84x75 split 60"}, &v)
	if v.File != "vee-6-60deg-84x75-split-60.engine.yaml" || len(v.Problems) > 0 || v.Text != b.disk(v.File) {
		t.Errorf("%s %+v", v.File, v.Problems)
	}
	b.want(201, "POST", "/api/engines", NewEngineRequest{Shorthand: "vee-6 60deg 84x75 split 60"}, &v)
	if v.File != "vee-6-60deg-84x75-split-60-2.engine.yaml" {
		t.Error(v.File)
	}
	b.want(201, "POST", "/api/engines", NewEngineRequest{CopyOf: vee8}, &v)
	if v.File != "vee-eight-90-cross-copy.engine.yaml" || v.Result.Name != "Vee eight 90°, cross-plane, copy" {
		t.Errorf("%s %s", v.File, v.Result.Name)
	}
	text := v.Text
	b.want(201, "POST", "/api/engines", NewEngineRequest{Text: &text, File: "Mine (1)"}, &v)
	if v.File != "Mine (1).engine.yaml" {
		t.Error(v.File)
	}
	b.want(200, "GET", "/api/engines/"+url.PathEscape(v.File), nil, &v)
	var p ProblemDetails
	b.want(409, "POST", "/api/engines", NewEngineRequest{Text: &text, File: vee8}, &p)
	if p.Type != typeExists || b.disk(vee8) == text {
		t.Error("a file was written over")
	}
	b.want(422, "POST", "/api/engines", NewEngineRequest{Shorthand: "vee-nothing"}, nil)
	b.want(422, "POST", "/api/engines", NewEngineRequest{}, nil)
	b.want(422, "POST", "/api/engines", NewEngineRequest{Shorthand: "inline-4", CopyOf: vee8}, nil)
	bad := "name: x\n"
	b.want(422, "POST", "/api/engines", NewEngineRequest{Text: &bad}, &p)
	if len(p.Problems) == 0 {
		t.Error("no problems")
	}
	b.want(201, "POST", "/api/engines", NewEngineRequest{Text: &bad, AllowProblems: true}, nil)
	b.want(404, "POST", "/api/engines", NewEngineRequest{CopyOf: "no.engine.yaml"}, nil)

	var l LineUp
	old := b.disk(vee8)
	b.want(409, "DELETE", "/api/engines/"+vee8+"?etag=other", nil, nil)
	b.want(200, "DELETE", "/api/engines/"+vee8, nil, &l)
	if _, err := os.Stat(filepath.Join(b.dir, vee8)); err == nil || l.Undo != "removal of "+vee8 {
		t.Errorf("%+v", l)
	}
	aside, err := filepath.Glob(filepath.Join(b.dir, ".crankwright", "aside", "*"+vee8))
	if err != nil || len(aside) != 1 {
		t.Errorf("no copy was set aside: %v %v", aside, err)
	}
	b.want(404, "DELETE", "/api/engines/"+vee8, nil, nil)
	b.want(200, "POST", "/api/undo", nil, &l)
	if b.disk(vee8) != old || l.Redo != "removal of "+vee8 {
		t.Error("undo did not bring it back")
	}
	b.want(200, "POST", "/api/redo", nil, &l)
	if _, err := os.Stat(filepath.Join(b.dir, vee8)); err == nil || l.Redo != "" {
		t.Errorf("%+v", l)
	}
	b.want(409, "POST", "/api/redo", nil, nil)
}

func TestSnapshots(t *testing.T) {
	b := start(t)
	old := b.disk(vee8)
	var s Snapshot
	b.want(201, "POST", "/api/snapshots", SnapshotRequest{"Before the talk / 50 %"}, &s)
	if len(s.Engines) != 3 || s.Name != "Before the talk / 50 %" {
		t.Errorf("%+v", s)
	}
	b.want(409, "POST", "/api/snapshots", SnapshotRequest{"Before the talk / 50 %"}, nil)
	b.want(422, "POST", "/api/snapshots", SnapshotRequest{""}, nil)
	v := b.engine(vee8)
	b.want(200, "PUT", "/api/engines/"+vee8, SaveRequest{Etag: v.Etag, Edits: []Edit{set("bore", "80 mm")}}, nil)
	b.want(201, "POST", "/api/engines", NewEngineRequest{Shorthand: "inline-6"}, nil)
	b.want(200, "DELETE", "/api/engines/radial-five.engine.yaml", nil, nil)
	changed := b.disk(vee8)

	var l LineUp
	at := "/api/snapshots/" + url.PathEscape(s.Name)
	b.want(200, "POST", at+"/restore", nil, &l)
	if b.disk(vee8) != old || len(l.Engines) != 3 || l.Undo != `restoring of snapshot "Before the talk / 50 %"` {
		t.Errorf("%+v", l)
	}
	b.want(200, "POST", "/api/undo", nil, &l)
	if b.disk(vee8) != changed || len(l.Engines) != 3 || l.Engines[0].File != "inline-6.engine.yaml" {
		t.Errorf("%+v", l.Engines)
	}
	aside, err := filepath.Glob(filepath.Join(b.dir, ".crankwright", "aside", "*"))
	if err != nil || len(aside) < 3 {
		t.Errorf("set aside: %v", aside)
	}
	var list []Snapshot
	b.want(200, "GET", "/api/snapshots", nil, &list)
	if len(list) != 1 || len(b.lineUp().Snapshots) != 1 {
		t.Errorf("%+v", list)
	}
	b.want(200, "DELETE", at, nil, &list)
	b.want(404, "DELETE", at, nil, nil)
	b.want(404, "POST", at+"/restore", nil, nil)
	if len(list) != 0 {
		t.Errorf("%+v", list)
	}
}

func TestCompare(t *testing.T) {
	b := start(t)
	var c Comparison
	b.want(200, "GET", "/api/compare?files="+vee8+",radial-five.engine.yaml&baseline=radial-five.engine.yaml&speed_rpm=3000", nil, &c)
	if len(c.Names) != 2 || *c.Baseline != 1 || c.SpeedsRPM[0] != 3000 || len(c.Rows) < 10 || len(c.Rows[0].Values) != 2 {
		t.Errorf("%+v", c)
	}
	b.want(200, "GET", "/api/compare", nil, &c)
	if len(c.Files) != 3 {
		t.Errorf("%+v", c.Files)
	}
	b.want(404, "GET", "/api/compare?files=no.engine.yaml", nil, nil)
	b.want(422, "GET", "/api/compare?files=../x.engine.yaml", nil, nil)
	b.want(422, "GET", "/api/compare?baseline=no.engine.yaml", nil, nil)
	if got := splitFiles("a, b.engine.yaml,c.engine.yaml"); len(got) != 2 || got[0] != "a, b.engine.yaml" {
		t.Errorf("%q", got)
	}
}

func TestTakeAway(t *testing.T) {
	b := start(t)
	var figures []FigureInfo
	b.want(200, "GET", "/api/figures", nil, &figures)
	if len(figures) < 9 {
		t.Fatal(figures)
	}
	for _, f := range figures {
		answer, data := b.ask("GET", "/api/figures/"+f.Name+"?file="+vee8+"&order=2&of=moment&angle_deg=30&theme=dark", nil)
		if answer.StatusCode != http.StatusOK || answer.Header.Get("Content-Type") != "image/svg+xml" || !bytes.Contains(data[:200], []byte(`data-theme="dark"`)) {
			t.Errorf("%s: %s %.200s", f.Name, answer.Status, data)
		}
		if err := xml.Unmarshal(data, new(struct{})); err != nil {
			t.Errorf("%s: %v", f.Name, err)
		}
	}
	answer, data := b.ask("GET", "/api/figures/end-view?file="+vee8+"&format=png&scale=1&download=true", nil)
	if _, err := png.Decode(bytes.NewReader(data)); err != nil || answer.Header.Get("Content-Disposition") != `attachment; filename="vee-eight-90-cross-end-view.png"` {
		t.Errorf("%v %v", err, answer.Header)
	}
	if _, data = b.ask("GET", "/api/figures/end-view?file="+vee8+"&format=pdf", nil); !bytes.HasPrefix(data, []byte("%PDF-")) {
		t.Errorf("%.20q", data)
	}
	for _, path := range []string{"/api/figures/no?file=" + vee8, "/api/tables/no.csv?file=" + vee8, "/api/tables/orders?file=" + vee8, "/api/nothing"} {
		b.want(404, "GET", path, nil, nil)
	}
	for _, path := range []string{
		"/api/figures/end-view", "/api/figures/end-view?file=" + vee8 + ",radial-five.engine.yaml", "/api/tables/orders.csv",
		"/api/figures/end-view?file=" + vee8 + "&format=gif", "/api/figures/end-view?file=" + vee8 + "&order=1.3", "/api/orders",
	} {
		b.want(422, "GET", path, nil, nil)
	}
	for name, lines := range map[string]int{"compare": 4, "orders": 4, "curves": 721, "estimates": 5, "firing-orders": 2, "sweep": 25} {
		path := "/api/tables/" + name + ".csv?file=" + vee8
		if name == "compare" {
			path = "/api/tables/compare.csv"
		}
		answer, data := b.ask("GET", path, nil)
		rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
		if err != nil || len(rows) < lines || !strings.HasPrefix(answer.Header.Get("Content-Type"), "text/csv") {
			t.Errorf("%s: %d rows, %v, %s", name, len(rows), err, answer.Status)
		}
	}
	var orders report.OrderList
	b.want(200, "GET", "/api/orders?file="+vee8+"&limit=5", nil, &orders)
	if len(orders.List) != 5 || orders.Cylinders != 8 {
		t.Errorf("%d orders", len(orders.List))
	}
}

func TestAbout(t *testing.T) {
	b := start(t)
	var v report.Verification
	b.want(200, "GET", "/api/checks", nil, &v)
	if v.Fail > 0 || v.Checks < 500 || len(v.List) != v.Checks {
		t.Errorf("%d checks, %d fail", v.Checks, v.Fail)
	}
	var version Version
	b.want(200, "GET", "/api/version", nil, &version)
	if version.Version != "test" {
		t.Errorf("%+v", version)
	}
}

// TestGallery holds what the gallery says of each arrangement against the numbers.
func TestGallery(t *testing.T) {
	b := start(t)
	var list []GalleryEntry
	b.want(200, "GET", "/api/gallery", nil, &list)
	for _, g := range list {
		if !strings.HasPrefix(g.Figure, "<svg") {
			t.Errorf("%s has no figure", g.Title)
		}
		data, err := spec.NewEngine(g.Shorthand)
		if err != nil {
			t.Errorf("%s: %v", g.Title, err)
			continue
		}
		v := evaluate(g.Title, data, analysis.Options{}, nil)
		if v.result == nil {
			t.Errorf("%s: %+v", g.Title, v.problems)
			continue
		}
		f := map[string]float64{}
		for _, x := range v.result.Figures() {
			f[x.Key] = x.Value
		}
		nothing := func(keys ...string) {
			for _, k := range keys {
				if f[k] > 1e-3 {
					t.Errorf("%s says %q, and %s is %g", g.Title, g.Text, k, f[k])
				}
			}
		}
		something := func(keys ...string) {
			for _, k := range keys {
				if f[k] < 1 {
					t.Errorf("%s says %q, and %s is %g", g.Title, g.Text, k, f[k])
				}
			}
		}
		if even := f["firing_evenness"] > 1-1e-9; strings.Contains(g.Text, "fires evenly") && !strings.Contains(g.Text, "bank") && !even || strings.Contains(g.Text, "uneven") && even {
			t.Errorf("%s says %q, and its evenness is %g", g.Title, g.Text, f["firing_evenness"])
		}
		if strings.Contains(g.Text, "no free force or couple of the 1st and 2nd order") {
			nothing("free_force_order_1", "free_force_order_2", "free_moment_order_1", "free_moment_order_2")
		}
		if strings.Contains(g.Text, "no free force of the 1st and 2nd") || strings.Contains(g.Text, "no free force;") || strings.HasPrefix(g.Text, "forces cancel") {
			nothing("free_force_order_1", "free_force_order_2")
		}
		if strings.Contains(g.Text, "free force of the 2nd order,") && !strings.Contains(g.Text, "no free force") {
			something("free_force_order_2")
		}
		if strings.Contains(g.Text, "no free force of the 2nd order") {
			nothing("free_force_order_2")
		}
		if strings.Contains(g.Text, "a counterweight takes") {
			nothing("force_order_1_against_crank")
		}
		if strings.Contains(g.Text, "counterweights take the couple") {
			nothing("moment_order_1_against_crank", "free_moment_order_2")
		}
	}
}
