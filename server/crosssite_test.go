package server

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"fmt"
	"io"
	"maps"
	"net"
	"net/http"
	"slices"
	"strings"
	"testing"
	"time"
)

// eachOperation calls for every operation of the API with a request that is right as far as its names go.
func eachOperation(b *bench, f func(method, path string, body any)) {
	paths := b.server.api.OpenAPI().Paths
	for _, path := range slices.Sorted(maps.Keys(paths)) {
		for method, op := range operationsOf(paths[path]) {
			var body any
			if op.RequestBody != nil {
				body = map[string]any{"file": vee8, "shorthand": "inline-6", "name": "x"}
			}
			f(method, usualPath(path), body)
		}
	}
}

// TestNoOperationAnswersAnotherSite asks for every operation of the API as pages of other sites can, and as a page whose name was
// made to lead here.
func TestNoOperationAnswersAnotherSite(t *testing.T) {
	b := start(t)
	here := strings.TrimPrefix(b.http.URL, "http://")
	header := func(key, value string) func(*http.Request) {
		return func(r *http.Request) { r.Header.Set(key, value) }
	}
	attacks := map[string]struct {
		edit func(*http.Request)
		want int
	}{
		"another origin":               {header("Origin", "http://evil.example"), 403},
		"no origin of its own":         {header("Origin", "null"), 403},
		"another port":                 {header("Origin", "http://127.0.0.1:1"), 403},
		"another name of this machine": {header("Origin", "http://"+strings.Replace(here, "127.0.0.1", "localhost", 1)), 403},
		"a longer name":                {header("Origin", "http://"+here+".evil.example"), 403},
		"a user in the origin":         {header("Origin", "http://"+here+"@evil.example"), 403},
		"another kind of origin":       {header("Origin", "chrome-extension://"+here), 403},
		"a broken origin":              {header("Origin", "http://[::"), 403},
		"fetched across sites":         {header("Sec-Fetch-Site", "cross-site"), 403},
		"fetched by a neighbour":       {header("Sec-Fetch-Site", "same-site"), 403},
		"fetched from who knows where": {header("Sec-Fetch-Site", "elsewhere"), 403},
		"without a type, across sites": {func(r *http.Request) { r.Header.Del("Content-Type"); r.Header.Set("Origin", "http://evil.example") }, 403},
		"the page's site, another origin": {func(r *http.Request) {
			r.Header.Set("Sec-Fetch-Site", "same-origin")
			r.Header.Set("Origin", "http://evil.example")
		}, 403},
		"a name that leads here":       {func(r *http.Request) { r.Host = "evil.example" }, 421},
		"the same with its own origin": {func(r *http.Request) { r.Host = "evil.example"; r.Header.Set("Origin", "http://evil.example") }, 421},
	}
	before := b.lineUp()
	count := 0
	eachOperation(b, func(method, path string, body any) {
		for name, a := range attacks {
			count++
			if answer, data := b.ask(method, path, body, a.edit); answer.StatusCode != a.want {
				t.Errorf("%s %s, %s: %s %.100s", method, path, name, answer.Status, data)
			}
		}
		answer, _ := b.ask("OPTIONS", path, nil, header("Origin", "http://evil.example"), header("Access-Control-Request-Method", method))
		if answer.StatusCode < 400 || answer.Header.Get("Access-Control-Allow-Origin") != "" {
			t.Errorf("OPTIONS %s: %s %v", path, answer.Status, answer.Header)
		}
	})
	if after := b.lineUp(); count < 900 || after.Revision != before.Revision {
		t.Errorf("%d requests led from revision %d to %d", count, before.Revision, after.Revision)
	}
}

// TestHostsThatLookRight sends hosts that only look like this machine.
func TestHostsThatLookRight(t *testing.T) {
	b := start(t)
	for _, host := range []string{
		"localhost.evil.example", "127.0.0.1.evil.example", "127.0.0.1.nip.example", "evil.example:127", "0x7f000001", "2130706433", "0177.0.0.1", "127.1",
		"0.0.0.0", "[::]", "[::ffff:192.168.0.7]", "192.168.0.7", "10.0.0.1:8377", "[fe80::1]", "evil.example#localhost", "evil.example@localhost:8377x",
		"xn--localhost-", "ｌocalhost", "localhost\u00ad", "local host",
	} {
		// Sent as it is: clients would refuse some of these themselves.
		status, _ := b.raw(fmt.Sprintf("GET /api/version HTTP/1.1\r\nHost: %s\r\nConnection: close\r\n\r\n", host))
		if status != http.StatusMisdirectedRequest && status != http.StatusBadRequest {
			t.Errorf("host %q: %d", host, status)
		}
	}
	for name, text := range map[string]string{
		"no host":                 "GET /api/version HTTP/1.0\r\n\r\n",
		"an empty host":           "GET /api/version HTTP/1.1\r\nHost: \r\nConnection: close\r\n\r\n",
		"two hosts":               "GET /api/version HTTP/1.1\r\nHost: localhost\r\nHost: evil.example\r\nConnection: close\r\n\r\n",
		"a whole address":         "GET http://evil.example/api/version HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n",
		"another way to say host": "GET /api/version HTTP/1.1\r\nHost: evil.example\r\nX-Forwarded-Host: localhost\r\nForwarded: host=localhost\r\nConnection: close\r\n\r\n",
		"two lengths":             "POST /api/undo HTTP/1.1\r\nHost: localhost\r\nContent-Length: 0\r\nContent-Length: 9\r\nConnection: close\r\n\r\n",
	} {
		if status, _ := b.raw(text); status != http.StatusMisdirectedRequest && status != http.StatusBadRequest {
			t.Errorf("%s: %d", name, status)
		}
	}
	for _, path := range []string{
		"/../../etc/passwd", "/assets/../../etc/passwd", "/..%2f..%2fetc%2fpasswd", "/%2e%2e/%2e%2e/etc/passwd", "/assets/..%5c..%5cetc/passwd", "//etc/passwd", "/assets/%00", "/api/../../etc/passwd",
	} {
		status, body := b.raw("GET " + path + " HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n")
		if status >= 500 || strings.Contains(body, "root:") {
			t.Errorf("%s: %d %.80s", path, status, body)
		}
	}
}

// raw sends bytes and returns the status and the rest of the answer.
func (b *bench) raw(text string) (int, string) {
	b.t.Helper()
	c, err := net.Dial("tcp", strings.TrimPrefix(b.http.URL, "http://"))
	if err != nil {
		b.t.Fatal(err)
	}
	defer func() { _ = c.Close() }()
	_ = c.SetDeadline(time.Now().Add(10 * time.Second))
	if _, err := io.WriteString(c, text); err != nil {
		b.t.Fatal(err)
	}
	answer, err := http.ReadResponse(bufio.NewReader(c), nil)
	if err != nil {
		b.t.Fatalf("%.60q: %v", text, err)
	}
	defer func() { _ = answer.Body.Close() }()
	body, _ := io.ReadAll(answer.Body)
	return answer.StatusCode, string(body)
}

// TestTypesThatNeedNoLeave sends what a form or a script of another site could send without asking first, as if a browser said
// nothing of where it comes from: no operation takes it.
func TestTypesThatNeedNoLeave(t *testing.T) {
	b := start(t)
	before := b.lineUp()
	types := []string{
		"text/plain", "text/plain; charset=utf-8", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x", "text/plain;application/json",
		"", "text/plain; a=+json", "text/plain;+json", "text/plain+;json", "application/x-www-form-urlencoded; x=application/json",
	}
	eachOperation(b, func(method, path string, body any) {
		if body == nil {
			return
		}
		for _, kind := range types {
			answer, data := b.ask(method, path, body, func(r *http.Request) { r.Header.Set("Content-Type", kind) })
			if answer.StatusCode != http.StatusUnsupportedMediaType {
				t.Errorf("%s %s as %s: %s %.100s", method, path, kind, answer.Status, data)
			}
		}
	})
	if after := b.lineUp(); after.Revision != before.Revision {
		t.Error("something was changed")
	}
}

// TestTokenOpensNothingElse needs the token for everything, and does not take a cookie for the consent of a page.
func TestTokenOpensNothingElse(t *testing.T) {
	b := startWith(t, Config{Token: "s3cret"})
	cookie := func(r *http.Request) { r.AddCookie(&http.Cookie{Name: tokenCookie, Value: "s3cret"}) }
	eachOperation(b, func(method, path string, body any) {
		for name, edit := range map[string]func(*http.Request){
			"none":                 func(*http.Request) {},
			"an empty one":         func(r *http.Request) { r.Header.Set("Authorization", "Bearer ") },
			"a part":               func(r *http.Request) { r.Header.Set("Authorization", "Bearer s3cre") },
			"another way":          func(r *http.Request) { r.SetBasicAuth("s3cret", "s3cret") },
			"an empty cookie":      func(r *http.Request) { r.AddCookie(&http.Cookie{Name: tokenCookie}) },
			"a cookie of the name": func(r *http.Request) { r.AddCookie(&http.Cookie{Name: "token", Value: "s3cret"}) },
		} {
			if answer, _ := b.ask(method, path, body, edit); answer.StatusCode != http.StatusUnauthorized {
				t.Errorf("%s %s with %s: %s", method, path, name, answer.Status)
			}
		}
		answer, _ := b.ask(method, path, body, cookie, func(r *http.Request) { r.Header.Set("Origin", "http://evil.example") })
		if answer.StatusCode != http.StatusForbidden {
			t.Errorf("%s %s with the cookie from another site: %s", method, path, answer.Status)
		}
	})
	for _, path := range []string{"/", "/assets/main-12ab.js", "/openapi.json", "/favicon.svg"} {
		b.want(401, "GET", path, nil, nil)
		b.want(200, "GET", path, nil, nil, cookie)
	}
	if answer, _ := start(t).ask("GET", "/?token=s3cret", nil); answer.Header.Get("Set-Cookie") != "" {
		t.Error("a server without a token sets a cookie")
	}
}

// TestBodiesThatGrow sends bodies that are large, deep or packed.
func TestBodiesThatGrow(t *testing.T) {
	b := start(t)
	send := func(text []byte, edit ...func(*http.Request)) int {
		answer, data := b.ask("POST", "/api/preview", nil, append([]func(*http.Request){func(r *http.Request) {
			r.Header.Set("Content-Type", "application/json")
			r.Body, r.ContentLength = io.NopCloser(bytes.NewReader(text)), int64(len(text))
		}}, edit...)...)
		if answer.StatusCode >= 500 || len(data) > 64<<10 {
			t.Errorf("%.40q: %s, %d bytes", text, answer.Status, len(data))
		}
		return answer.StatusCode
	}
	var small bytes.Buffer
	w := gzip.NewWriter(&small)
	if _, err := w.Write(bytes.Repeat([]byte(" "), 64<<20)); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{
		"deep lists":     `{"edits":` + strings.Repeat("[", 500_000),
		"deep maps":      strings.Repeat(`{"edits":`, 100_000),
		"many edits":     `{"file":"` + vee8 + `","edits":[` + strings.Repeat(`{"path":"bore"},`, 60_000) + `{"path":"bore"}]}`,
		"many keys":      `{` + strings.Repeat(`"a":1,`, 150_000) + `"b":1}`,
		"a huge number":  `{"speed_rpm":` + strings.Repeat("9", 500_000) + `}`,
		"no number":      `{"file":"` + vee8 + `","speed_rpm":1e999}`,
		"a huge name":    `{"file":"` + strings.Repeat("x", 900_000) + `"}`,
		"not UTF-8":      "{\"file\":\"\xff\xfe\"}",
		"half a body":    `{"file":`,
		"nothing":        ``,
		"another thing":  `[]`,
		"a second thing": `{"file":"` + vee8 + `"}{"file":"` + vee8 + `"}`,
	} {
		if status := send([]byte(text)); status < 400 {
			t.Errorf("%s: %d", name, status)
		}
	}
	if status := send(small.Bytes(), func(r *http.Request) { r.Header.Set("Content-Encoding", "gzip") }); status < 400 {
		t.Errorf("a packed body is unpacked: %d", status)
	}
	if status := send(make([]byte, maxBody+1)); status != http.StatusRequestEntityTooLarge {
		t.Errorf("a body that is too large: %d", status)
	}
	for path, item := range b.server.api.OpenAPI().Paths {
		for method, op := range operationsOf(item) {
			if op.RequestBody != nil && (op.MaxBodyBytes != maxBody || op.BodyReadTimeout <= 0 || op.BodyReadTimeout > time.Minute) {
				t.Errorf("%s %s may have %d bytes in %s", method, path, op.MaxBodyBytes, op.BodyReadTimeout)
			}
		}
	}
}

// real serves as the command does, with limits that a test may change, and returns the address.
func (b *bench) real(edit func(*http.Server)) string {
	b.t.Helper()
	h := b.server.HTTP()
	edit(h)
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		b.t.Fatal(err)
	}
	go func() { _ = h.Serve(l) }()
	b.t.Cleanup(func() { _ = h.Close() })
	return l.Addr().String()
}

// TestLongHeads refuses requests whose head has no end.
func TestLongHeads(t *testing.T) {
	b := start(t)
	b.http.URL = "http://" + b.real(func(*http.Server) {})
	for name, text := range map[string]string{
		"path":    "GET /" + strings.Repeat("a", 200<<10) + " HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n",
		"headers": "GET / HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n" + strings.Repeat("A: b\r\n", 40<<10) + "\r\n",
		"cookie":  "GET / HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\nCookie: " + strings.Repeat("a=b; ", 40<<10) + "\r\n\r\n",
	} {
		if status, _ := b.raw(text); status != http.StatusRequestHeaderFieldsTooLarge {
			t.Errorf("a long %s: %d", name, status)
		}
	}
}

// TestSlowConnections opens many connections that say little: others are answered meanwhile, and the slow ones are ended.
func TestSlowConnections(t *testing.T) {
	b := start(t)
	at := b.real(func(h *http.Server) {
		h.ReadHeaderTimeout, h.IdleTimeout = 700*time.Millisecond, 700*time.Millisecond // the real ones last longer
	})
	var slow []net.Conn
	for i := range 300 {
		c, err := net.Dial("tcp", at)
		if err != nil {
			t.Fatal(err)
		}
		defer func() { _ = c.Close() }()
		say := []string{"", "G", "GET /api/version HTTP/1.1\r\nHost: localhost\r\nX-Slow: ", "GET /api/version HTTP/1.1\r\nHost: localhost\r\n\r\n"}[i%4]
		if _, err := io.WriteString(c, say); err != nil {
			t.Fatal(err)
		}
		slow = append(slow, c)
	}
	client := http.Client{Timeout: 5 * time.Second}
	for range 20 {
		answer, err := client.Get("http://" + at + "/api/version")
		if err != nil {
			t.Fatal(err)
		}
		_ = answer.Body.Close()
		if answer.StatusCode != http.StatusOK {
			t.Errorf("beside slow connections: %s", answer.Status)
		}
	}
	for i, c := range slow {
		_ = c.SetReadDeadline(time.Now().Add(10 * time.Second))
		if _, err := io.Copy(io.Discard, c); err != nil && strings.Contains(err.Error(), "timeout") {
			t.Fatalf("slow connection %d is still open", i)
		}
	}
}

// TestQuestionsEnd gives up a question that has no end.
func TestQuestionsEnd(t *testing.T) {
	b := startStudy(t, fewCranks)
	b.search(cranks)
	b.server.answers = 300 * time.Millisecond
	const endless = "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n) SELECT max(i) FROM n"
	var p ProblemDetails
	from := time.Now()
	b.want(422, "POST", "/api/studies/"+cranks+"/query", StudyQuery{SQL: endless}, &p)
	if took := time.Since(from); took > 10*time.Second || !strings.Contains(p.Detail, "given up") {
		t.Errorf("%s: %s", took, p.Detail)
	}
	b.want(422, "POST", "/api/studies/"+cranks+"/query", StudyQuery{SQL: "ATTACH 'x.db' AS x"}, &p)
	b.want(200, "POST", "/api/studies/"+cranks+"/query", StudyQuery{SQL: "SELECT count(*) FROM candidates"}, nil)
}

// TestLargeAnswersOfQuestions refuses an answer that has more than the program should hold in memory, and says what to do.
func TestLargeAnswersOfQuestions(t *testing.T) {
	b := startStudy(t, fewCranks)
	b.search(cranks)
	const large = "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 1000) SELECT hex(zeroblob(90000)) FROM n"
	var p ProblemDetails
	b.want(422, "POST", "/api/studies/"+cranks+"/query", StudyQuery{SQL: large, Limit: 1000}, &p)
	if p.Detail != "the answer has more than 32 MB; ask for fewer rows or columns" {
		t.Error(p.Detail)
	}
	b.want(200, "POST", "/api/studies/"+cranks+"/query", StudyQuery{SQL: large, Limit: 10}, nil)
}
