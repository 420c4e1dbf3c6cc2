package server

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

func TestHeaders(t *testing.T) {
	b := start(t)
	for _, path := range []string{"/", "/api/lineup", "/api/nothing", "/openapi.json", "/assets/main-12ab.js"} {
		answer, _ := b.ask("GET", path, nil)
		for key, want := range map[string]string{
			"Content-Security-Policy": policy, "X-Content-Type-Options": "nosniff", "Referrer-Policy": "no-referrer",
			"Cross-Origin-Opener-Policy": "same-origin", "Cross-Origin-Resource-Policy": "same-origin",
		} {
			if got := answer.Header.Get(key); got != want {
				t.Errorf("%s: %s: %q", path, key, got)
			}
		}
		for key := range answer.Header {
			if strings.HasPrefix(key, "Access-Control-") {
				t.Errorf("%s: %s", path, key)
			}
		}
	}
}

// TestHost refuses names that an attacker may have pointed here.
func TestHost(t *testing.T) {
	b := start(t)
	for host, want := range map[string]int{
		"127.0.0.1:8377": 200, "localhost": 200, "localhost:1": 200, "LOCALHOST:8377": 200, "[::1]:8377": 200, "127.0.0.2": 200,
		"evil.example": 421, "evil.example:8377": 421, "127.0.0.1.evil.example": 421, "192.168.0.7:8377": 421, "localhost.evil.example": 421, "evil.localhost": 421, "evillocalhost": 421, "0.0.0.0:8377": 421,
	} {
		b.want(want, "GET", "/api/version", nil, nil, func(r *http.Request) { r.Host = host })
	}
	var p ProblemDetails
	b.want(421, "GET", "/api/version", nil, &p, func(r *http.Request) { r.Host = "box.example" })
	if !strings.Contains(p.Detail, "box.example; it answers for localhost") || !strings.Contains(p.Detail, "--addr") {
		t.Error(p.Detail)
	}
	open := startWith(t, Config{Addr: "0.0.0.0:8377", Token: "s3cret"})
	for host, want := range map[string]int{"192.168.0.7:8377": 200, "evil.example": 421, "localhost": 200} {
		open.want(want, "GET", "/api/version", nil, nil, func(r *http.Request) {
			r.Host = host
			r.Header.Set("Authorization", "Bearer s3cret")
		})
	}
}

// TestOrigin refuses what another site's page sends.
func TestOrigin(t *testing.T) {
	b := start(t)
	here := strings.TrimPrefix(b.http.URL, "http://")
	for _, c := range []struct {
		method, path, origin, site string
		want                       int
	}{
		{"POST", "/api/undo", "", "", 409}, // a program such as curl; there is nothing to undo
		{"POST", "/api/undo", "http://" + here, "same-origin", 409},
		{"POST", "/api/undo", "http://evil.example", "", 403},
		{"POST", "/api/undo", "null", "", 403},
		{"POST", "/api/undo", "http://localhost:1", "same-site", 403},
		{"POST", "/api/undo", "", "cross-site", 403},
		{"GET", "/api/events", "http://evil.example", "", 403},
		{"GET", "/api/lineup", "", "cross-site", 403},
		{"GET", "/api/lineup", "", "same-site", 403},
		{"GET", "/api/lineup", "", "same-origin", 200},
		{"GET", "/api/figures/end-view?file=" + vee8, "", "cross-site", 403},
		{"GET", "/", "", "cross-site", 200}, // a link from elsewhere is a view
		{"GET", "/", "", "none", 200},
		{"DELETE", "/api/engines/" + vee8, "http://evil.example", "cross-site", 403},
		{"PUT", "/api/engines/" + vee8, "http://127.0.0.1:1", "", 403},
	} {
		answer, data := b.ask(c.method, c.path, nil, func(r *http.Request) {
			if c.origin != "" {
				r.Header.Set("Origin", c.origin)
			}
			if c.site != "" {
				r.Header.Set("Sec-Fetch-Site", c.site)
			}
		})
		if answer.StatusCode != c.want {
			t.Errorf("%s %s from %q %q: %s %.100s", c.method, c.path, c.origin, c.site, answer.Status, data)
		}
	}
	// A form of another site can send plain text without asking first.
	b.want(415, "POST", "/api/snapshots", map[string]string{"name": "x"}, nil, func(r *http.Request) { r.Header.Set("Content-Type", "text/plain") })
}

func TestToken(t *testing.T) {
	b := startWith(t, Config{Token: "s3cret"})
	b.want(401, "GET", "/", nil, nil)
	b.want(401, "GET", "/api/lineup", nil, nil)
	b.want(401, "GET", "/?token=wrong", nil, nil)
	b.want(401, "POST", "/api/undo?token=s3cret", nil, nil)
	answer, _ := b.ask("GET", "/compare?a=1&token=s3cret", nil)
	cookie := answer.Header.Get("Set-Cookie")
	if answer.StatusCode != http.StatusSeeOther || answer.Header.Get("Location") != "/compare?a=1" || !strings.Contains(cookie, "HttpOnly") || !strings.Contains(cookie, "SameSite=Strict") {
		t.Errorf("%s %v", answer.Status, answer.Header)
	}
	answer, _ = b.ask("GET", "//evil.example/?token=s3cret", nil)
	if to, err := url.Parse(answer.Header.Get("Location")); err != nil || to.Host != "" {
		t.Errorf("it leads away: %s", answer.Header.Get("Location"))
	}
	b.want(200, "GET", "/api/lineup", nil, nil, func(r *http.Request) { r.AddCookie(&http.Cookie{Name: tokenCookie, Value: "s3cret"}) })
	b.want(401, "GET", "/api/lineup", nil, nil, func(r *http.Request) { r.AddCookie(&http.Cookie{Name: tokenCookie, Value: "s3cre"}) })
	b.want(200, "GET", "/api/lineup", nil, nil, func(r *http.Request) { r.Header.Set("Authorization", "Bearer s3cret") })
	for addr, want := range map[string]bool{"127.0.0.1:1": false, "[::1]:1": false, "localhost:1": false, "0.0.0.0:1": true, ":1": true, "192.168.0.7:1": true, "example.org:1": true} {
		if NeedsToken(addr) != want {
			t.Errorf("NeedsToken(%q) = %v", addr, !want)
		}
	}
}

func TestBigBody(t *testing.T) {
	b := start(t)
	text := strings.Repeat("x", maxBody)
	b.want(413, "POST", "/api/preview", PreviewRequest{Draft: Draft{Text: &text}}, nil)
	// The same without saying how long it is.
	b.want(413, "POST", "/api/preview", PreviewRequest{Draft: Draft{Text: &text}}, nil, func(r *http.Request) { r.ContentLength = -1 })
}

// TestPaths stays inside the folder, whatever a name says.
func TestPaths(t *testing.T) {
	b := start(t)
	outside := filepath.Join(t.TempDir(), "outside.engine.yaml")
	if err := os.WriteFile(outside, []byte(b.disk(vee8)), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(outside, filepath.Join(b.dir, "link.engine.yaml")); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(filepath.Join(b.dir, "dir.engine.yaml"), 0o755); err != nil {
		t.Fatal(err)
	}
	if n := len(b.lineUp().Engines); n != 3 {
		t.Errorf("%d engines: a link or a directory was taken for one", n)
	}
	text := b.disk(vee8)
	for _, name := range []string{
		"../outside.engine.yaml", "..%2foutside.engine.yaml", ".hidden.engine.yaml", "/etc/passwd", "sub/x.engine.yaml", `sub\x.engine.yaml`,
		".crankwright/x.engine.yaml", "x.yaml", ".engine.yaml", "a\x00b.engine.yaml", "x.engine.yaml/", "CON:.engine.yaml", strings.Repeat("x", 300) + ".engine.yaml", "-rf.engine.yaml",
	} {
		answer, _ := b.ask("GET", "/api/engines/"+url.PathEscape(name), nil)
		if answer.StatusCode != http.StatusUnprocessableEntity {
			t.Errorf("GET %q: %s", name, answer.Status)
		}
		answer, _ = b.ask("POST", "/api/engines", NewEngineRequest{File: name, Text: &text})
		if answer.StatusCode != http.StatusUnprocessableEntity && name != "x.yaml" {
			t.Errorf("POST %q: %s", name, answer.Status)
		}
	}
	// The link is there, so nothing is created in its place, and nothing is written through it.
	b.want(409, "POST", "/api/engines", NewEngineRequest{File: "link.engine.yaml", Shorthand: "inline-6"}, nil)
	b.want(404, "GET", "/api/engines/link.engine.yaml", nil, nil)
	b.want(404, "DELETE", "/api/engines/link.engine.yaml", nil, nil)
	// A hidden folder that leads elsewhere is not followed.
	if err := os.Symlink(t.TempDir(), filepath.Join(b.dir, ".crankwright")); err != nil {
		t.Fatal(err)
	}
	answer, _ := b.ask("POST", "/api/snapshots", SnapshotRequest{"x"})
	if answer.StatusCode < 400 {
		t.Error("a snapshot left the folder")
	}
}

// TestPanic answers 500 where a handler fails, and goes on.
func TestPanic(t *testing.T) {
	b := start(t)
	door := b.server.door(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { panic("oops") }))
	w := httptest.NewRecorder()
	door.ServeHTTP(w, httptest.NewRequest(http.MethodGet, "http://localhost/api/x", nil))
	if w.Code != http.StatusInternalServerError || w.Header().Get("Content-Type") != "application/problem+json" {
		t.Errorf("%d %v", w.Code, w.Header())
	}
}

// TestLimits has a limit for everything that a client could drag out.
func TestLimits(t *testing.T) {
	b := start(t)
	h := b.server.HTTP()
	if h.ReadHeaderTimeout <= 0 || h.ReadTimeout <= 0 || h.WriteTimeout <= 0 || h.IdleTimeout <= 0 || h.MaxHeaderBytes <= 0 || h.ReadTimeout > time.Minute {
		t.Errorf("%+v", h)
	}
}
