package server

import (
	"bufio"
	"fmt"
	"io"
	"net"
	"net/http"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"
)

// besieged is a workbench behind the HTTP server that people get, with shorter limits.
type besieged struct {
	*bench
	addr string
	rest int // goroutines before anybody came
}

func besiege(t *testing.T) *besieged {
	t.Helper()
	b := start(t, vee8, four)
	b.lineUp()
	h := b.server.HTTP()
	h.ReadHeaderTimeout, h.ReadTimeout, h.IdleTimeout = time.Second, 2*time.Second, time.Second
	l := must((&net.ListenConfig{}).Listen(t.Context(), "tcp", "127.0.0.1:0"))
	ended := make(chan struct{})
	go func() { defer close(ended); _ = h.Serve(l) }()
	t.Cleanup(func() { _ = h.Close(); <-ended })
	return &besieged{b, l.Addr().String(), runtime.NumGoroutine()}
}

// opens connects and sends text.
func (b *besieged) opens(text string) *net.TCPConn {
	conn := must((&net.Dialer{}).DialContext(b.t.Context(), "tcp", b.addr)).(*net.TCPConn)
	_, _ = io.WriteString(conn, text)
	return conn
}

// bears runs an attack by many at once. Meanwhile others are served, and after it nothing is left of it.
func (b *besieged) bears(many int, attack func(i int)) {
	b.t.Helper()
	var wait sync.WaitGroup
	for i := range many {
		wait.Go(func() { attack(i) })
	}
	over := make(chan struct{})
	go func() { wait.Wait(); close(over) }()
	client := http.Client{Timeout: 20 * time.Second, Transport: &http.Transport{DisableKeepAlives: true}}
	served := 0
	for going := true; going; served++ {
		select {
		case <-over:
			going = false
		case <-time.After(20 * time.Millisecond):
		}
		r := must(http.NewRequestWithContext(b.t.Context(), http.MethodGet, "http://"+b.addr+"/api/lineup", http.NoBody))
		answer, err := client.Do(r)
		if err != nil || answer.StatusCode != http.StatusOK {
			b.t.Fatalf("others are not served: %v %v", answer, err)
		}
		_, _ = io.Copy(io.Discard, answer.Body)
		_ = answer.Body.Close()
	}
	for until := time.Now().Add(30 * time.Second); runtime.NumGoroutine() > b.rest; time.Sleep(20 * time.Millisecond) {
		if time.Now().After(until) {
			all := make([]byte, 1<<16)
			b.t.Fatalf("%d goroutines, %d before:\n%s", runtime.NumGoroutine(), b.rest, all[:runtime.Stack(all, true)])
		}
	}
	b.t.Logf("%d came at once, others were served %d times meanwhile", many, served)
}

// drips sends a byte at a time until the server has had enough, and returns what it says.
func drips(conn net.Conn, text string) string {
	defer func() { _ = conn.Close() }()
	for i := range len(text) {
		if _, err := io.WriteString(conn, text[i:i+1]); err != nil {
			break
		}
		time.Sleep(50 * time.Millisecond)
	}
	_ = conn.SetReadDeadline(time.Now().Add(20 * time.Second))
	said, _ := io.ReadAll(conn)
	return string(said)
}

// TestSlowClients sends headers and bodies a byte at a time, from many at once.
func TestSlowClients(t *testing.T) {
	b := besiege(t)
	b.bears(100, func(int) {
		if said := drips(b.opens("GET /api/lineup HTTP/1.1\r\n"), "Host: localhost\r\nX-Slow: "+strings.Repeat("x", 200)); strings.Contains(said, "200 OK") {
			t.Errorf("endless headers are answered with %.100q", said)
		}
	})
	b.bears(50, func(int) {
		head := "POST /api/preview HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: 5000\r\n\r\n"
		if said := drips(b.opens(head), `{"file":"`+strings.Repeat("x", 200)); strings.Contains(said, "200 OK") {
			t.Errorf("an endless body is answered with %.100q", said)
		}
	})
}

// TestAnswersThatTakeLong makes answers that take longer than a request may be read and an answer be written: they come whole, and
// nobody stops the work. Behind them on the same connection a request is read within its time again.
func TestAnswersThatTakeLong(t *testing.T) {
	b := start(t)
	const limit = 200 * time.Millisecond
	work := http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		asked, err := io.ReadAll(r.Body)
		if err != nil {
			t.Error(err)
		}
		select {
		case <-r.Context().Done():
			t.Errorf("%s: the work is stopped: %v", r.Method, r.Context().Err())
		case <-time.After(5 * limit):
		}
		_, _ = w.Write([]byte("whole: " + string(asked)))
	})
	h := &http.Server{Handler: b.server.door(work), ReadHeaderTimeout: limit, ReadTimeout: limit, WriteTimeout: limit, IdleTimeout: time.Minute}
	l := must((&net.ListenConfig{}).Listen(t.Context(), "tcp", "127.0.0.1:0"))
	go func() { _ = h.Serve(l) }()
	defer func() { _ = h.Close() }()
	conn := must((&net.Dialer{}).DialContext(t.Context(), "tcp", l.Addr().String()))
	defer func() { _ = conn.Close() }()
	_ = conn.SetDeadline(time.Now().Add(30 * time.Second))
	answers := bufio.NewReader(conn)
	const to = " /api/report HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
	for _, c := range []struct{ ask, want string }{
		{"GET" + to + "\r\n", "whole: "},
		{"POST" + to + "Content-Length: 2\r\n\r\n{}", "whole: {}"},
		{"POST" + to + "Transfer-Encoding: chunked\r\n\r\n2\r\n{}\r\n0\r\n\r\n", "whole: {}"},
		{"GET" + to + "\r\n", "whole: "},
	} {
		if _, err := io.WriteString(conn, c.ask); err != nil {
			t.Fatal(err)
		}
		answer, err := http.ReadResponse(answers, nil)
		if err != nil {
			t.Fatalf("%.30q: %v", c.ask, err)
		}
		body, err := io.ReadAll(answer.Body)
		_ = answer.Body.Close()
		if err != nil || string(body) != c.want {
			t.Errorf("%.30q: %q, %v", c.ask, body, err)
		}
	}
	_, _ = io.WriteString(conn, "GET /api/rep")
	began := time.Now()
	if rest, err := io.ReadAll(answers); err != nil || time.Since(began) > 10*time.Second || strings.Contains(string(rest), "whole") {
		t.Errorf("half a request: %q, %v after %s", rest, err, time.Since(began))
	}
}

// askEvents asks for the event stream.
const askEvents = "GET /api/events HTTP/1.1\r\nHost: localhost\r\n\r\n"

// TestClientsThatGoAway opens event streams that nobody reads, breaks connections while the answer comes, and closes them by half.
func TestClientsThatGoAway(t *testing.T) {
	b := besiege(t)
	const long = "GET /api/engines/" + vee8 + " HTTP/1.1\r\nHost: localhost\r\n\r\n"
	b.bears(50, func(i int) { // they come and go, half of them without a word
		conn := b.opens(askEvents)
		time.Sleep(time.Duration(i) * 10 * time.Millisecond)
		if i%2 == 0 {
			_ = conn.SetLinger(0)
		}
		_ = conn.Close()
	})
	b.bears(50, func(i int) {
		conn := b.opens(long)
		_ = conn.SetReadBuffer(4096)
		_, _ = io.CopyN(io.Discard, conn, int64(i)*100)
		_ = conn.SetLinger(0)
		_ = conn.Close()
	})
	b.bears(50, func(int) {
		conn := b.opens(strings.Replace(long, "\r\n\r\n", "\r\nConnection: close\r\n\r\n", 1))
		_ = conn.CloseWrite() // it says no more, and listens
		answer, err := http.ReadResponse(bufio.NewReader(conn), nil)
		if err == nil {
			_, err = io.Copy(io.Discard, answer.Body)
			_ = answer.Body.Close()
		}
		if err != nil || answer.StatusCode != http.StatusOK {
			t.Errorf("closed by half, it gets %v", err)
		}
		_ = conn.Close()
	})
}

// TestDeafListeners lets many open the event stream and read nothing of it while much happens: it ends for them, and the others
// hear everything.
func TestDeafListeners(t *testing.T) {
	b := besiege(t)
	name := strings.Repeat("x", 1000)
	big := Event{Kind: "saved", Files: make([]string, 300)}
	for i := range big.Files {
		big.Files[i] = name
	}
	hears := b.opens(askEvents)
	heard := make(chan bool)
	go func() {
		defer close(heard)
		for lines := bufio.NewReader(hears); ; {
			line, err := lines.ReadString('\n')
			if err != nil {
				return
			}
			if strings.HasPrefix(line, "data: ") && len(line) > 1000 {
				heard <- true
			}
		}
	}()
	time.Sleep(500 * time.Millisecond)
	b.rest = runtime.NumGoroutine()
	n := 0
	b.bears(20, func(i int) {
		conn := b.opens(askEvents)
		_ = conn.SetReadBuffer(4096)
		_, _ = conn.Read(make([]byte, 1)) // it is listening
		if i == 0 {
			for range 100 { // 300 kB each: more than all buffers hold
				b.server.hub.tell(big)
				select { // who listens is as fast as the machine lets it be
				case <-heard:
					n++
				case <-time.After(10 * time.Second):
				}
			}
		}
		time.Sleep(12 * time.Second) // longer than a message may take
		_ = conn.Close()
	})
	_ = hears.Close()
	for range heard {
		n++
	}
	if n < 100 {
		t.Errorf("who listens heard %d of 100", n)
	}
}

// TestMalformedRequests sends what is no HTTP, or hardly.
func TestMalformedRequests(t *testing.T) {
	b := besiege(t)
	const get, post = "GET /api/lineup HTTP/1.1\r\n", "POST /api/preview HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
	wrong := []string{
		"", "\r\n\r\n", "\x00\x01\x02\x03\r\n\r\n", "\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03", "GET\r\n\r\n", "GET / HTTP/9.9\r\n\r\n", "GET / HTTP/1.1\r\n\r\n",
		"get /api/lineup HTTP/1.1\r\nHost: localhost\r\n\r\n", get + "Host: a\r\nHost: b\r\n\r\n", get + "Host: localhost\r\nX\r\n\r\n", get + "Host: localhost\r\n: x\r\n\r\n",
		get + "Host: localhost\r\nX: \x00\r\n\r\n", get + "Host: localhost\r\nX: " + strings.Repeat("x", 1<<17) + "\r\n\r\n", get + strings.Repeat("X: y\r\n", 1<<14) + "\r\n",
		"GET /" + strings.Repeat("x", 1<<17) + " HTTP/1.1\r\nHost: localhost\r\n\r\n", "GET http://[::1 HTTP/1.1\r\nHost: localhost\r\n\r\n",
		post + "Content-Length: -1\r\n\r\n", post + "Content-Length: 9999999999999999999999\r\n\r\n", post + "Content-Length: 2\r\nContent-Length: 3\r\n\r\n{}", post + "Content-Length: 50\r\n\r\n{}",
		post + "Transfer-Encoding: chunked\r\n\r\nzz\r\n", post + "Transfer-Encoding: chunked\r\n\r\nffffffffffffffff\r\n{}", post + "Transfer-Encoding: chunked, identity\r\n\r\n",
		post + "Transfer-Encoding: chunked\r\nContent-Length: 2\r\n\r\n0\r\n\r\nGET /api/version HTTP/1.1\r\n", post + "Expect: 200-maybe\r\nContent-Length: 2\r\n\r\n{}",
		post + "Content-Encoding: gzip\r\nContent-Length: 2\r\n\r\n{}", get + "Host: localhost\r\nRange: bytes=-1--5\r\n\r\n", "PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n",
	}
	b.bears(len(wrong), func(i int) {
		conn := b.opens(wrong[i])
		defer func() { _ = conn.Close() }()
		_ = conn.SetReadDeadline(time.Now().Add(20 * time.Second))
		_ = conn.CloseWrite()
		said, err := io.ReadAll(conn)
		var code int
		_, _ = fmt.Sscanf(string(said), "HTTP/1.1 %d", &code)
		if code >= 500 && code != http.StatusNotImplemented && code != http.StatusHTTPVersionNotSupported {
			t.Errorf("%.60q: it says %.100q", wrong[i], said)
		}
		if err, late := err.(net.Error); late && err.Timeout() { //nolint:errorlint // the value itself
			t.Errorf("%.60q: it neither answers nor closes", wrong[i])
		}
	})
}
