package server

import (
	"bytes"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"crankwright/report"
)

// quick is a brief whose figures are found in a moment.
const quick = `name: Smooth boat
limits: {mean_piston_speed: 25 m/s}
priorities: {free_force_order_1: [2, 6], free_force_order_2: 8, free_moment_order_1: 3}
`

// offhand is an engine whose masses are estimated; those of the examples are given.
const offhand = "offhand.engine.yaml"

func (b *bench) choose(r ChoiceRequest) ChoiceAnswer {
	b.t.Helper()
	var a ChoiceAnswer
	b.want(200, "POST", "/api/choice", r, &a)
	return a
}

func textOf(s string) BriefDraft { return BriefDraft{Text: &s} }

// TestChoice chooses with estimates as they are, with what is known of them, and with all of them.
func TestChoice(t *testing.T) {
	b := start(t, vee8, "inline-four-flat.engine.yaml")
	if err := os.WriteFile(filepath.Join(b.dir, offhand), []byte("name: Offhand three\ncycle: four-stroke\nbore: 84 mm\nstroke: 88 mm\nlayout: {arrangement: inline, cylinders: 3}\nspeeds: {rated: 5200 rpm}\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	certain := b.choose(ChoiceRequest{Brief: textOf(quick), Estimates: "certain", Draws: 2000})
	if certain.Choice == nil || len(certain.Files) != 3 || len(certain.Unknown) != 0 || len(certain.LeftOut) != 0 || certain.NoWhy != "" {
		t.Fatalf("%+v", certain)
	}
	c := certain.Choice
	if c.Brief.Name != "Smooth boat" || len(c.Engines) != 3 || c.Seed != 1 || c.Draws != 2000 || len(c.Inputs) != 0 {
		t.Errorf("%+v", c)
	}
	for i, e := range c.Engines {
		if e.File != certain.Files[i] {
			t.Errorf("engine %d is %s in the choice, %s in the list", i, e.File, certain.Files[i])
		}
	}
	known := b.choose(ChoiceRequest{Brief: textOf(quick), Draws: 2000})
	if !slices.Equal(known.Unknown, known.Files) || len(known.Choice.Inputs) != 0 {
		t.Errorf("nothing was computed before, and unknown are %q of %q", known.Unknown, known.Files)
	}
	// one engine after the other becomes known
	var d DoubtsAnswer
	b.want(200, "POST", "/api/choice/doubts", DoubtsRequest{Brief: textOf(quick), File: offhand}, &d)
	if d.File != offhand || d.Doubts == 0 {
		t.Errorf("%+v", d)
	}
	known = b.choose(ChoiceRequest{Brief: textOf(quick), Draws: 2000})
	if len(known.Unknown) != 2 || slices.Contains(known.Unknown, offhand) || len(known.Choice.Inputs) == 0 {
		t.Errorf("unknown are %q, %d inputs matter", known.Unknown, len(known.Choice.Inputs))
	}
	full := b.choose(ChoiceRequest{Brief: textOf(quick), Estimates: "full", Draws: 2000})
	if len(full.Unknown) != 0 || len(full.Choice.Inputs) == 0 {
		t.Errorf("unknown are %q, %d inputs matter", full.Unknown, len(full.Choice.Inputs))
	}
	again, err := report.Encode(b.choose(ChoiceRequest{Brief: textOf(quick), Draws: 2000}).Choice)
	if err != nil {
		t.Fatal(err)
	}
	first, err := report.Encode(full.Choice)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(first, again) {
		t.Error("what is known now is not what was computed")
	}
	// other limits and priorities of the same figures need nothing new; a changed engine does
	other := strings.Replace(strings.Replace(quick, "25 m/s", "30 m/s", 1), "free_force_order_2: 8", "free_force_order_2: 1", 1)
	if a := b.choose(ChoiceRequest{Brief: textOf(other), Draws: 500}); len(a.Unknown) != 0 {
		t.Errorf("other weights make %q unknown", a.Unknown)
	}
	v := b.engine(offhand)
	b.want(200, "PUT", "/api/engines/"+offhand, SaveRequest{Etag: v.Etag, Edits: []Edit{set("bore", "80 mm")}}, nil)
	if a := b.choose(ChoiceRequest{Brief: textOf(quick), Draws: 500}); !slices.Equal(a.Unknown, []string{offhand}) {
		t.Errorf("of a changed engine alone it is not known, but of %q", a.Unknown)
	}
	if a := b.choose(ChoiceRequest{Brief: textOf(quick), Draws: 500, SpeedRPM: 3000}); len(a.Unknown) != 3 {
		t.Errorf("at another speed unknown are %q", a.Unknown)
	}
}

// TestChoiceOfFiles judges the files that are named, says which cannot be evaluated, and refuses what is not there.
func TestChoiceOfFiles(t *testing.T) {
	b := start(t)
	if err := os.WriteFile(filepath.Join(b.dir, "wrong.engine.yaml"), []byte("bore: 84\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	a := b.choose(ChoiceRequest{Brief: textOf(quick), Estimates: "certain", Draws: 500})
	if len(a.LeftOut) != 1 || a.LeftOut[0].File != "wrong.engine.yaml" || len(a.LeftOut[0].Problems) == 0 || len(a.Files) != 3 {
		t.Errorf("%+v, judged %q", a.LeftOut, a.Files)
	}
	a = b.choose(ChoiceRequest{Brief: textOf(quick), Estimates: "certain", Draws: 500, Files: []string{vee8, "radial-five.engine.yaml"}})
	if !slices.Equal(a.Files, []string{vee8, "radial-five.engine.yaml"}) {
		t.Errorf("judged %q", a.Files)
	}
	if got := a.Choice.Engines[a.Choice.Verdict.Leader].File; got != vee8 {
		t.Errorf("%s is smoother than a cross-plane vee eight", got)
	}
	for _, name := range []string{"none.engine.yaml", "../x.engine.yaml", boat} {
		answer, _ := b.ask("POST", "/api/choice", ChoiceRequest{Brief: textOf(quick), Files: []string{name}})
		if answer.StatusCode != http.StatusNotFound && answer.StatusCode != http.StatusUnprocessableEntity {
			t.Errorf("%s: %s", name, answer.Status)
		}
		answer, _ = b.ask("POST", "/api/choice/doubts", DoubtsRequest{Brief: textOf(quick), File: name})
		if answer.StatusCode != http.StatusNotFound && answer.StatusCode != http.StatusUnprocessableEntity {
			t.Errorf("doubts of %s: %s", name, answer.Status)
		}
	}
	var p ProblemDetails
	b.want(422, "POST", "/api/choice/doubts", DoubtsRequest{Brief: textOf(quick), File: "wrong.engine.yaml"}, &p)
	if len(p.Problems) == 0 {
		t.Errorf("%+v", p)
	}
	// no engine can be judged
	a = b.choose(ChoiceRequest{Brief: textOf(quick), Files: []string{"wrong.engine.yaml"}})
	if a.Choice != nil || a.NoWhy != "there is no engine to choose from" {
		t.Errorf("%q, %+v", a.NoWhy, a.Choice)
	}
	a = b.choose(ChoiceRequest{Brief: textOf("name: X\npriorities: {bank_width: 3}\n"), Files: []string{"inline-four-flat.engine.yaml"}})
	if a.Choice != nil || !strings.Contains(a.NoWhy, "Width over the heads is not known of it: all cylinders stand in one plane") {
		t.Errorf("%q", a.NoWhy)
	}
	b.want(422, "POST", "/api/choice/doubts", DoubtsRequest{Brief: textOf("name: X\npriorities: {bank_width: 3}\n"), File: "inline-four-flat.engine.yaml"}, &p)
	if !strings.Contains(p.Detail, "all cylinders stand in one plane") {
		t.Errorf("%+v", p)
	}
}

// TestChoiceByAFile follows the brief on disk and edits that nobody has saved, and shows what is wrong with a broken one.
func TestChoiceByAFile(t *testing.T) {
	b := startBrief(t)
	r := ChoiceRequest{Brief: BriefDraft{File: boat}, Estimates: "certain", Draws: 500}
	a := b.choose(r)
	if a.Choice == nil || a.Choice.Brief.Name != "Harbour pilot boat, jet drive" || len(a.Choice.Engines[0].Out)+len(a.Choice.Engines[1].Out) == 0 {
		t.Fatalf("%+v", a)
	}
	r.Brief.Edits = []Edit{{Path: "limits.length"}, {Path: "why.length"}, set("limits.height", "2 m"), set("limits.free_force_order_2", "60 kN"), set("limits.cost_index", "9")}
	for _, e := range b.choose(r).Choice.Engines {
		if len(e.Out) != 0 {
			t.Errorf("%s breaches %+v", e.Name, e.Out)
		}
	}
	if !strings.Contains(b.disk(boat), "height: 560 mm") {
		t.Error("an edit of a draft was saved")
	}
	var p ProblemDetails
	broken := r
	broken.Brief = textOf("name: X\nlimits: {lengt: 1 mm}\npriorities: {smoothness: 11}\n")
	for _, path := range []string{"/api/choice", "/api/choice/figures/worths"} {
		b.want(422, "POST", path, broken, &p)
		if p.Type != typeBrief || len(p.Problems) != 2 || p.Problems[0].Line != 2 || !strings.Contains(p.Problems[0].Allowed, "length") || !strings.Contains(p.Detail, "the brief cannot be used: line 2") {
			t.Errorf("%s: %+v", path, p)
		}
	}
	b.want(422, "POST", "/api/choice/doubts", DoubtsRequest{Brief: broken.Brief, File: vee8}, &p)
	if p.Type != typeBrief {
		t.Errorf("%+v", p)
	}
	for _, draft := range map[string]BriefDraft{
		"no brief": {}, "an engine": {File: vee8}, "outside": {File: "../x.brief.yaml"}, "a wrong edit": {File: boat, Edits: []Edit{set("limits.lengt", "1 mm")}},
	} {
		b.want(422, "POST", "/api/choice", ChoiceRequest{Brief: draft}, nil)
	}
	b.want(404, "POST", "/api/choice", ChoiceRequest{Brief: BriefDraft{File: "none.brief.yaml"}}, nil)
	for _, body := range []map[string]any{
		{"brief": map[string]any{"text": quick}, "estimates": "maybe"},
		{"brief": map[string]any{"text": quick}, "draws": 1_000_001},
		{"brief": map[string]any{"text": quick}, "speed_rpm": -1},
		{"brief": map[string]any{"text": quick}, "drows": 1},
	} {
		b.want(422, "POST", "/api/choice", body, nil)
	}
}

// TestChoiceSeeds: the same seed gives the same answer, another one other shares.
func TestChoiceSeeds(t *testing.T) {
	b := start(t)
	narrow := `name: Close
priorities: {free_force_order_1: [0, 10], free_force_order_2: [0, 10], free_moment_order_1: [0, 10], peak_roll_moment: [0, 10]}
`
	ask := func(seed uint64) []byte {
		answer, data := b.ask("POST", "/api/choice", ChoiceRequest{Brief: textOf(narrow), Estimates: "certain", Draws: 300, Seed: seed})
		if answer.StatusCode != http.StatusOK {
			t.Fatal(answer.Status)
		}
		return data
	}
	if !bytes.Equal(ask(1), ask(0)) || !bytes.Equal(ask(7), ask(7)) {
		t.Error("the same seed gives another answer")
	}
	if bytes.Equal(ask(1), ask(7)) {
		t.Error("another seed gives the same answer")
	}
	if bytes.Contains(ask(1), []byte(":null")) {
		t.Error("a list is null")
	}
}

// TestChoiceFigures draws each figure in each format, and refuses what it cannot draw.
func TestChoiceFigures(t *testing.T) {
	b := start(t)
	ask := func(name string, r ChoiceFigureRequest) (answer, []byte) {
		r.ChoiceRequest = ChoiceRequest{Brief: textOf(quick), Estimates: "certain", Draws: 300}
		return b.ask("POST", "/api/choice/figures/"+name, r)
	}
	for _, name := range report.ChoiceFigures() {
		for format, want := range map[string][2]string{"": {"image/svg+xml", "<svg "}, "svg": {"image/svg+xml", "<svg "}, "png": {"image/png", "\x89PNG"}, "pdf": {"application/pdf", "%PDF-"}} {
			got, data := ask(name, ChoiceFigureRequest{Format: format, Scale: 1})
			if got.StatusCode != http.StatusOK || got.Header.Get("Content-Type") != want[0] || !bytes.Contains(data[:min(100, len(data))], []byte(want[1])) {
				t.Errorf("%s as %q: %s %s %.80q", name, format, got.Status, got.Header.Get("Content-Type"), data)
			}
		}
	}
	if got, data := ask("worths", ChoiceFigureRequest{Theme: "dark"}); got.StatusCode != http.StatusOK || !bytes.Contains(data, []byte(`<svg data-theme="dark"`)) {
		t.Errorf("%s: no dark drawing", got.Status)
	}
	if _, data := ask("trade-off", ChoiceFigureRequest{X: "free_force_order_1", Y: "free_moment_order_1"}); !bytes.Contains(data, []byte("Free moment, order 1")) {
		t.Error("the trade-off is not of the figures that were asked for")
	}
	for name, r := range map[string]ChoiceFigureRequest{"trade-off": {X: "beauty"}, "value-function": {X: "length"}} {
		got, data := ask(name, r)
		if got.StatusCode != http.StatusUnprocessableEntity || !bytes.Contains(data, []byte("there is no criterion")) || !bytes.Contains(data, []byte("body.x")) {
			t.Errorf("%s of %s: %s %.200s", name, r.X, got.Status, data)
		}
	}
	if got, data := ask("value-function", ChoiceFigureRequest{X: "mean_piston_speed"}); got.StatusCode != http.StatusUnprocessableEntity || !bytes.Contains(data, []byte("is only a limit")) {
		t.Errorf("a limit's value function: %s %.200s", got.Status, data)
	}
	if got, _ := ask("beauty", ChoiceFigureRequest{}); got.StatusCode != http.StatusNotFound {
		t.Errorf("a figure that is not there: %s", got.Status)
	}
	if got, _ := ask("worths", ChoiceFigureRequest{Format: "gif"}); got.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("gif: %s", got.Status)
	}
	none := ChoiceFigureRequest{ChoiceRequest: ChoiceRequest{Brief: textOf("name: X\npriorities: {bank_width: 3}\n"), Files: []string{"inline-four-flat.engine.yaml"}}}
	if got, data := b.ask("POST", "/api/choice/figures/worths", none); got.StatusCode != http.StatusUnprocessableEntity || !bytes.Contains(data, []byte("no engine can be judged")) {
		t.Errorf("no engine: %s %.200s", got.Status, data)
	}
}
