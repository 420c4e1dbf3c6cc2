package main

import (
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"testing"
	"time"

	"crankwright/server"
)

// TestExamplesRun asks a server of the folder examples what the page of the interface shows, in that sequence, and wants
// every answer to be good.
func TestExamplesRun(t *testing.T) {
	folder := t.TempDir()
	if err := os.CopyFS(folder, os.DirFS("../../examples")); err != nil {
		t.Fatal(err)
	}
	s, err := server.New(server.Config{Folder: folder, Addr: "127.0.0.1:0"})
	if err != nil {
		t.Fatal(err)
	}
	web := httptest.NewServer(s.Handler())
	t.Cleanup(func() {
		web.CloseClientConnections()
		web.Close()
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	for _, row := range exampleRows {
		if row[0] == "/api/events" {
			continue // it has no end
		}
		method, path, body := row[1], row[2], row[3]
		if strings.Contains(body, "ETAG") {
			_, before := ask(t, web, "GET", path, "")
			var at struct{ Etag string }
			if err := json.Unmarshal([]byte(before), &at); err != nil {
				t.Fatal(err)
			}
			body = strings.Replace(body, "ETAG", at.Etag, 1)
		}
		status, answer := ask(t, web, method, path, body)
		if status >= 300 {
			t.Errorf("%s %s %s: %d %s", method, path, body, status, answer)
		}
		settle(t, web, row)
	}
}

// settle waits for what a request began in the background, where the next ones need it.
func settle(t *testing.T, web *httptest.Server, row [4]string) {
	t.Helper()
	if row[1] != "POST" || !strings.HasSuffix(row[0], "/run") && !strings.HasSuffix(row[0], "/refine") {
		return
	}
	for end := time.Now().Add(30 * time.Second); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		if _, answer := ask(t, web, "GET", row[2], ""); !strings.Contains(answer, `"running":true`) && !strings.Contains(answer, `"state":"running"`) {
			return
		}
	}
	t.Fatalf("%s does not end", row[2])
}

func ask(t *testing.T, web *httptest.Server, method, path, body string) (int, string) {
	t.Helper()
	req, err := http.NewRequestWithContext(t.Context(), method, web.URL+path, strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	if body != "" {
		req.Header.Set("Content-Type", "application/json")
	}
	answer, err := http.DefaultClient.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = answer.Body.Close() }()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answer.StatusCode, string(text)
}
