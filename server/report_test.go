package server

import (
	"bytes"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"
)

func TestReport(t *testing.T) {
	const player = "const moves = true;\n"
	b := startWith(t, Config{Front: fstest.MapFS{"offline/player.js": {Data: []byte(player)}}})
	text, err := os.ReadFile(filepath.Join("..", "examples", vee8))
	if err != nil {
		t.Fatal(err)
	}
	answer, data := b.ask("GET", "/api/report?download=true&files="+vee8+",radial-five.engine.yaml", nil)
	if answer.StatusCode != http.StatusOK || !bytes.HasPrefix(data, []byte("<!doctype html>")) {
		t.Fatalf("%s: %.300s", answer.Status, data)
	}
	if got := answer.Header.Get("Content-Type"); got != "text/html; charset=utf-8" {
		t.Errorf("the type is %q", got)
	}
	if got := answer.Header.Get("Content-Disposition"); got != `attachment; filename="report.html"` {
		t.Errorf("the disposition is %q", got)
	}
	// Opened here it may run its script, but as a stranger to the workbench.
	policies := answer.Header.Values("Content-Security-Policy")
	if len(policies) != 1 || !strings.HasSuffix(policies[0], "; sandbox allow-scripts") || !strings.HasPrefix(policies[0], "default-src 'none'; ") {
		t.Errorf("the policies are %q", policies)
	}
	_, name, _ := strings.Cut(string(text), "name: ")
	name, _, _ = strings.Cut(name, "\n")
	for _, want := range []string{player, name, "<summary>" + vee8 + "</summary>", "Crankwright test", "script-src 'sha256-", "evidence-firing"} {
		if !bytes.Contains(data, []byte(want)) {
			t.Errorf("the report lacks %q", want)
		}
	}
	if _, again := b.ask("GET", "/api/report?files="+vee8+",radial-five.engine.yaml", nil); !bytes.Equal(again, data) {
		t.Error("the same folder gave two reports")
	}

	answer, _ = b.ask("GET", "/api/report?files="+vee8, nil)
	if got := answer.Header.Get("Content-Disposition"); got != `inline; filename="vee-eight-90-cross-report.html"` {
		t.Errorf("of one engine: the disposition is %q", got)
	}
	b.want(404, "GET", "/api/report?files=none.engine.yaml", nil, nil)
	b.want(422, "GET", "/api/report?format=odt", nil, nil)
}
