package server

import (
	"bytes"
	"math"
	"net/http"
	"os"
	"strings"
	"testing"

	"crankwright/report"
)

// on asks a tool of balancing about a file.
func on(file string, more map[string]any) map[string]any {
	body := map[string]any{"file": file}
	for k, v := range more {
		body[k] = v
	}
	return body
}

func exampleText(t testing.TB, name string) string {
	t.Helper()
	data, err := os.ReadFile("../examples/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func balancingJob(t testing.TB) string {
	return exampleText(t, "balancing-shop/harbour-pilot.balance.yaml")
}
func weighedParts(t testing.TB) string { return exampleText(t, "pilot-boat-weighed.csv") }

// TestCounterweightsFollowADraft asks about edits that nobody has saved, and puts the answer into the file.
func TestCounterweightsFollowADraft(t *testing.T) {
	b := start(t)
	var d report.CounterweightsDoc
	ask := on(vee8, map[string]any{"policy": "factor", "factor": "40 %", "edits": []Edit{set("stroke", "72 mm")}})
	b.want(200, "POST", "/api/balance/counterweights", ask, &d)
	if d.After.Moment.MajorNm < 100 {
		t.Errorf("a factor of 40 %% leaves %g N m", d.After.Moment.MajorNm)
	}
	ask["policy"], ask["factor"] = "optimum", ""
	b.want(200, "POST", "/api/balance/counterweights", ask, &d)
	if d.After.Moment.MajorNm > 1e-6 || len(d.Edits) != 1 {
		t.Errorf("the optimum leaves %g N m, with %d edits", d.After.Moment.MajorNm, len(d.Edits))
	}
	var v EngineView
	edits := []Edit{set("stroke", "72 mm"), set(d.Edits[0].Path, d.Edits[0].Text)}
	b.want(200, "POST", "/api/preview", PreviewRequest{Draft: Draft{File: vee8, Edits: edits}}, &v)
	if v.Result == nil || math.Abs(v.Result.Balance.PeakMomentNm-d.After.PeakMomentNm) > 1e-3 {
		t.Errorf("with the edits the engine shakes otherwise: %v", v.Problems)
	}
}

// TestBalanceRefuses says what is wrong with a request, and where.
func TestBalanceRefuses(t *testing.T) {
	b := start(t)
	for _, ask := range []struct {
		path string
		body map[string]any
		says string
	}{
		{"counterweights", on(vee8, map[string]any{"policy": "factor", "factor": "much"}), "much"},
		{"counterweights", on(vee8, map[string]any{"policy": "wish"}), "policy"},
		{"counterweights", on(vee8, map[string]any{"policy": "none", "edits": []Edit{set("bore", "-1 mm")}}), "cannot be evaluated"},
		{"counterweights", map[string]any{"policy": "none"}, "give a text"},
		{"shafts", on(vee8, map[string]any{"speed_ratios": []float64{0.3}}), "0.3"},
		{"shafts", on(vee8, map[string]any{"targets": []map[string]any{{"order": 1, "quantity": "charm"}}}), "quantity"},
		{"bobweights", on(vee8, map[string]any{"parts": "part,mass\nx"}), "parts"},
		{"tolerances", on(vee8, map[string]any{"piston_g": 1e9}), "piston"},
		{"matching", on(vee8, map[string]any{"parts": "kind,id,mass,big end,small end\npiston,P1,190 g,,\n"}), "piston"},
	} {
		var p ProblemDetails
		b.want(422, "POST", "/api/balance/"+ask.path, ask.body, &p)
		said := p.Detail
		for _, e := range p.Errors {
			said += e.Message + e.Location
		}
		if !strings.Contains(said, ask.says) {
			t.Errorf("%s %v: %s", ask.path, ask.body, said)
		}
	}
	b.want(404, "POST", "/api/balance/shafts", on("none.engine.yaml", nil), nil)
}

// TestBalanceFiles hands out cards and drawings of every kind.
func TestBalanceFiles(t *testing.T) {
	b := start(t)
	for format, begins := range map[string]string{"html": "<!doctype html>", "pdf": "%PDF-", "svg": "<svg", "png": "\x89PNG", "csv": "name,throw"} {
		answer, data := b.ask("POST", "/api/balance/bobweights/card?format="+format, map[string]any{"file": vee8})
		if answer.StatusCode != http.StatusOK || !strings.HasPrefix(strings.ToLower(string(data[:min(len(data), 200)])), strings.ToLower(begins)) {
			t.Errorf("card as %s: %s %.80q", format, answer.Status, data)
		}
		if !strings.Contains(answer.Header.Get("Content-Disposition"), "bobweights."+format) {
			t.Errorf("card as %s is called %s", format, answer.Header.Get("Content-Disposition"))
		}
	}
	_, data := b.ask("POST", "/api/balance/correction/figure?format=pdf", map[string]any{"job": balancingJob(t)})
	if !bytes.HasPrefix(data, []byte("%PDF-")) {
		t.Errorf("correction: %.80q", data)
	}
}
