package server

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"testing"
)

// BenchmarkPreviewVeeEight is one step of dragging: an edit of a vee eight's bank angle, everything but
// the curves, through the handler, JSON included.
func BenchmarkPreviewVeeEight(b *testing.B) {
	w := start(b)
	i := 0
	b.ReportAllocs()
	for b.Loop() {
		i++
		body, err := json.Marshal(PreviewRequest{Draft: Draft{File: vee8, Edits: []Edit{set("layout.bank_angle", fmt.Sprintf("%d.%d deg", 60+i%60, i%10))}}})
		if err != nil {
			b.Fatal(err)
		}
		r := httptest.NewRequest(http.MethodPost, "http://127.0.0.1/api/preview", bytes.NewReader(body))
		r.Header.Set("Content-Type", "application/json")
		answer := httptest.NewRecorder()
		w.server.Handler().ServeHTTP(answer, r)
		if answer.Code != http.StatusOK {
			b.Fatal(answer.Body.String())
		}
	}
}

// BenchmarkLineUp is the first view of 27 engines, all evaluated already.
func BenchmarkLineUp(b *testing.B) {
	w := start(b, examples(b)...)
	b.ReportAllocs()
	for b.Loop() {
		answer := httptest.NewRecorder()
		w.server.Handler().ServeHTTP(answer, httptest.NewRequest(http.MethodGet, "http://127.0.0.1/api/lineup", nil))
		if answer.Code != http.StatusOK {
			b.Fatal(answer.Body.String())
		}
	}
}

// BenchmarkCounterweightsVeeEight is one step of the slider of the balance factor: read, planned, solved
// before and after, as JSON.
func BenchmarkCounterweightsVeeEight(b *testing.B) {
	w := start(b)
	i := 0
	b.ReportAllocs()
	for b.Loop() {
		i++
		body, err := json.Marshal(map[string]any{"file": vee8, "policy": "factor", "factor": fmt.Sprintf("%d %%", i%100)})
		if err != nil {
			b.Fatal(err)
		}
		r := httptest.NewRequest(http.MethodPost, "http://127.0.0.1/api/balance/counterweights", bytes.NewReader(body))
		r.Header.Set("Content-Type", "application/json")
		answer := httptest.NewRecorder()
		w.server.Handler().ServeHTTP(answer, r)
		if answer.Code != http.StatusOK {
			b.Fatal(answer.Body.String())
		}
	}
}

// BenchmarkChoiceOfAll is one step of a slider on the page of the choice: all examples, evaluated already, judged by a
// brief with an edit that nobody saved, 20 000 draws twice, as JSON.
func BenchmarkChoiceOfAll(b *testing.B) {
	w := start(b, append(examples(b), boat)...)
	i := 0
	for b.Loop() {
		i++
		body, err := json.Marshal(ChoiceRequest{Brief: BriefDraft{File: boat, Edits: []Edit{set("priorities.cost", fmt.Sprint(1+i%9))}}})
		if err != nil {
			b.Fatal(err)
		}
		r := httptest.NewRequest(http.MethodPost, "http://127.0.0.1/api/choice", bytes.NewReader(body))
		r.Header.Set("Content-Type", "application/json")
		answer := httptest.NewRecorder()
		w.server.Handler().ServeHTTP(answer, r)
		if answer.Code != http.StatusOK {
			b.Fatal(answer.Body.String())
		}
	}
}
