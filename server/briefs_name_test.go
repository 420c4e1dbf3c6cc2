package server

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// startWithBrief starts on some examples and the brief of the pilot boat.
func startWithBrief(t *testing.T, files ...string) *bench {
	t.Helper()
	b := start(t, files...)
	data, err := os.ReadFile(filepath.Join("..", "examples", boat))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(b.dir, boat), data, 0o600); err != nil {
		t.Fatal(err)
	}
	return b
}

// TestBriefIsCopiedUnderAName makes briefs with names: the file is called after it, the comments stay.
func TestBriefIsCopiedUnderAName(t *testing.T) {
	b := startWithBrief(t)
	var v BriefView
	b.want(201, "POST", "/api/briefs", NewBrief{Name: "Harbour: tug", CopyOf: boat}, &v)
	if v.File != "harbour-tug.brief.yaml" || v.Brief == nil || v.Brief.Name != "Harbour: tug" {
		t.Errorf("%s, %+v", v.File, v.Brief)
	}
	rest := func(s string) string { _, after, _ := strings.Cut(s, "\napplication:"); return after }
	if rest(v.Text) != rest(b.disk(boat)) || b.disk(v.File) != v.Text {
		t.Errorf("the copy says something else:\n%s", v.Text)
	}
	b.want(201, "POST", "/api/briefs", NewBrief{Name: "Harbour: tug"}, &v)
	if v.File != "harbour-tug-2.brief.yaml" || v.Brief == nil || len(v.Brief.Priorities) < 10 {
		t.Errorf("%s, %+v", v.File, v.Brief)
	}
	broken := "name: ["
	b.want(422, "POST", "/api/briefs", NewBrief{Name: "Tug", Text: &broken}, nil)
}

// TestChoiceFollowsEdits asks with edits that nobody saved, then saves them over an old and the present state.
func TestChoiceFollowsEdits(t *testing.T) {
	files := []string{"inline-five.engine.yaml", "vee-four-90-offset-090.engine.yaml"}
	b := startWithBrief(t, files...)
	ask := func(edits ...Edit) ChoiceRequest {
		return ChoiceRequest{Brief: BriefDraft{File: boat, Edits: edits}, Files: files, Draws: 200}
	}
	leader := func(a ChoiceAnswer) string { return a.Choice.Engines[a.Choice.Verdict.Leader].File }
	var a ChoiceAnswer
	b.want(200, "POST", "/api/choice", ask(), &a)
	if leader(a) != files[0] {
		t.Errorf("%s leads", leader(a))
	}
	b.want(200, "POST", "/api/choice", ask(set("priorities.torque_evenness", "0")), &a)
	if leader(a) != files[1] {
		t.Errorf("%s leads where evenness counts nothing", leader(a))
	}
	b.want(200, "POST", "/api/choice", ask(set("limits.length", "590 mm")), &a)
	if out := a.Choice.Engines[0].Out; len(out) != 1 || !strings.Contains(out[0].Text, "mm too long") {
		t.Errorf("%+v", out)
	}
	b.want(422, "POST", "/api/choice", ask(set("priorities.smoothness", "11")), nil)
	var v BriefView
	b.want(200, "GET", "/api/briefs/"+boat, nil, &v)
	save := BriefSave{Etag: v.Etag, Edits: []Edit{set("priorities.smoothness", "[3, 8]")}}
	b.want(200, "PUT", "/api/briefs/"+boat, save, &v)
	if p := v.Brief.Priorities[0]; p.Low != 3 || p.High != 8 || !strings.Contains(v.Text, "# 0 to 10, or a range") {
		t.Errorf("%+v\n%s", p, v.Text)
	}
	b.want(409, "PUT", "/api/briefs/"+boat, save, nil)
}
