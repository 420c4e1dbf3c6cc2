package main

import (
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"strconv"
	"strings"
	"testing"

	"crankwright/server"
)

// workbench answers the requests that a page shows, from a copy of examples that is made with the first of them.
type workbench struct {
	server *server.Server
	web    *httptest.Server
}

func (w *workbench) start(t *testing.T) {
	t.Helper()
	if w.web != nil {
		return
	}
	folder, err := os.MkdirTemp("", "pages")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.CopyFS(folder, os.DirFS("examples")); err != nil {
		t.Fatal(err)
	}
	if w.server, err = server.New(server.Config{Folder: folder, Addr: "127.0.0.1:0"}); err != nil {
		t.Fatal(err)
	}
	w.web = httptest.NewServer(w.server.Handler())
	w.web.Config.RegisterOnShutdown(func() { _ = os.RemoveAll(folder) })
}

func (w *workbench) close(t *testing.T) {
	t.Helper()
	if w.web == nil {
		return
	}
	w.web.Close()
	if err := w.server.Close(); err != nil {
		t.Error(err)
	}
}

// curl does what curl does with -s, -X, -H and -d.
func (w *workbench) curl(t *testing.T, command string) string {
	t.Helper()
	w.start(t)
	command, jq, pretty := strings.Cut(command, " | jq ")
	method, url, body, header := http.MethodGet, "", "", http.Header{}
	list := words(command)[1:]
	for i := 0; i < len(list); i++ {
		switch list[i] {
		case "-s":
		case "-X":
			i++
			method = list[i]
		case "-H":
			i++
			name, value, _ := strings.Cut(list[i], ": ")
			header.Set(name, value)
		case "-d":
			i++
			if body = list[i]; method == http.MethodGet {
				method = http.MethodPost
			}
		default:
			url = strings.Replace(list[i], "http://127.0.0.1:8377", w.web.URL, 1)
		}
	}
	req, err := http.NewRequestWithContext(t.Context(), method, url, strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	req.Header = header
	answer, err := http.DefaultClient.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = answer.Body.Close() }()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	if !pretty {
		return string(text)
	}
	return part(t, text, jq)
}

// part does what jq does with . or a path such as .rows[0].name.
func part(t *testing.T, text []byte, path string) string {
	t.Helper()
	for step := range strings.FieldsFuncSeq(strings.TrimPrefix(path, "."), func(r rune) bool { return strings.ContainsRune(".[]", r) }) {
		var list []json.RawMessage
		var object map[string]json.RawMessage
		if i, err := strconv.Atoi(step); err == nil && json.Unmarshal(text, &list) == nil && i < len(list) {
			text = list[i]
		} else if json.Unmarshal(text, &object) == nil && object[step] != nil {
			text = object[step]
		} else {
			t.Fatalf("%s: there is no %s in\n%s", path, step, text)
		}
	}
	var out bytes.Buffer
	if err := json.Indent(&out, text, "", "  "); err != nil {
		t.Fatal(err)
	}
	return out.String() + "\n"
}
