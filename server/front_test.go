package server

import (
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestFront(t *testing.T) {
	b := start(t)
	for path, want := range map[string]struct {
		status int
		cache  string
		kind   string
	}{
		"/":                     {200, "no-cache", "text/html; charset=utf-8"},
		"/engine/x.engine.yaml": {200, "no-cache", "text/html; charset=utf-8"},
		"/assets/main-12ab.js":  {200, "public, max-age=31536000, immutable", "text/javascript; charset=utf-8"},
		"/favicon.svg":          {200, "no-cache", "image/svg+xml"},
		"/assets/missing.js":    {404, "no-store", "application/problem+json"},
		"/.gitkeep":             {404, "no-store", "application/problem+json"},
		"/x.php":                {404, "no-store", "application/problem+json"},
	} {
		answer, _ := b.ask("GET", path, nil)
		if answer.StatusCode != want.status || answer.Header.Get("Cache-Control") != want.cache || answer.Header.Get("Content-Type") != want.kind {
			t.Errorf("%s: %d %q %q", path, answer.StatusCode, answer.Header.Get("Cache-Control"), answer.Header.Get("Content-Type"))
		}
	}
	b.want(405, "POST", "/", nil, nil)
	none := startWith(t, Config{Front: os.DirFS(t.TempDir())})
	if answer, data := none.ask("GET", "/", nil); answer.StatusCode != http.StatusOK || !strings.Contains(string(data), "make build") {
		t.Errorf("%s %s", answer.Status, data)
	}
}

// TestOpenAPI holds the description on disk against what the server says.
func TestOpenAPI(t *testing.T) {
	b := start(t)
	want, err := OpenAPI()
	if err != nil {
		t.Fatal(err)
	}
	disk, err := os.ReadFile("../web/openapi.json")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(want, disk) {
		t.Error("web/openapi.json is not up to date: make openapi")
	}
	answer, err := http.Get(b.http.URL + "/openapi.json")
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = answer.Body.Close() }()
	served, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	var a, c any
	if json.Unmarshal(served, &a) != nil || json.Unmarshal(want, &c) != nil || !cmp.Equal(a, c) {
		t.Error("what is served differs")
	}
}
