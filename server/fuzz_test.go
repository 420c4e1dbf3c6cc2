package server

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"runtime/metrics"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/danielgtaylor/huma/v2"
)

// operation is one of the API.
type operation struct {
	method, path string
	body         *huma.Schema // nil: it takes none
}

// operations are all of the API but the stream of events, which has no end.
func operations(s *Server) []operation {
	var out []operation
	add := func(path, method string, op *huma.Operation) {
		if op == nil || path == "/api/events" {
			return
		}
		o := operation{method: method, path: path}
		if op.RequestBody != nil {
			o.body = op.RequestBody.Content["application/json"].Schema
		}
		out = append(out, o)
	}
	for path, item := range s.api.OpenAPI().Paths {
		add(path, http.MethodGet, item.Get)
		add(path, http.MethodPost, item.Post)
		add(path, http.MethodPut, item.Put)
		add(path, http.MethodDelete, item.Delete)
	}
	slices.SortFunc(out, func(a, b operation) int {
		return cmp.Or(cmp.Compare(a.path, b.path), cmp.Compare(a.method, b.method))
	})
	return out
}

// parametersOf returns what the words of a path are where its description has {names}.
func parametersOf(described, path string) (of []string, ok bool) {
	a, b := strings.Split(described, "/"), strings.Split(path, "/")
	if len(a) != len(b) {
		return nil, false
	}
	for i := range a {
		switch {
		case strings.HasPrefix(a[i], "{"):
			of = append(of, b[i])
		case a[i] != b[i]:
			return nil, false
		}
	}
	return of, true
}

// filled puts words, divided by slashes, in the place of the {names} of a path.
func filled(described, words string) string {
	given := strings.Split(words, "/")
	parts := strings.Split(described, "/")
	for i, p := range parts {
		if strings.HasPrefix(p, "{") && len(given) > 0 {
			parts[i], given = given[0], given[1:]
		}
	}
	return strings.Join(parts, "/")
}

// sample makes a value that has everything that a schema names; every number of it is v.
func sample(s *Server, schema *huma.Schema, key string, v float64, depth int) any {
	if schema.Ref != "" {
		schema = s.api.OpenAPI().Components.Schemas.SchemaFromRef(schema.Ref)
	}
	switch {
	case depth > 6:
		return nil
	case len(schema.Enum) > 0:
		return schema.Enum[0]
	case schema.Type == huma.TypeObject:
		out := map[string]any{}
		for name, p := range schema.Properties {
			out[name] = sample(s, p, name, v, depth+1)
		}
		delete(out, "$schema")
		return out
	case schema.Type == huma.TypeArray:
		return []any{sample(s, schema.Items, key, v, depth+1)}
	case schema.Type == huma.TypeNumber, schema.Type == huma.TypeInteger:
		return v
	case schema.Type == huma.TypeBoolean:
		return v > 0
	case strings.HasPrefix(key, "file"), key == "base", key == "than":
		return four
	case key == "path":
		return "bore"
	}
	return "80 mm"
}

// backdrop is the folder that fuzzed requests are about; it is made anew where one of them has changed it.
type backdrop struct {
	dir    string
	server *Server
}

func (d *backdrop) open(t testing.TB) {
	t.Helper()
	if d.server != nil {
		return
	}
	var err error
	if d.dir, err = os.MkdirTemp("", "crankwright-fuzz-*"); err != nil {
		t.Fatal(err)
	}
	files := map[string]string{cranks: fewCranks, "b.brief.yaml": exampleText(t, "pilot-boat.brief.yaml")}
	for _, name := range []string{four, "vee-twin-90.engine.yaml"} {
		files[name] = exampleText(t, name)
	}
	for name, text := range files {
		if err := os.WriteFile(d.dir+"/"+name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if d.server, err = New(Config{Folder: d.dir, Addr: "127.0.0.1:0"}); err != nil {
		t.Fatal(err)
	}
}

// drop ends what goes on over the folder, and takes the folder away.
func (d *backdrop) drop(t testing.TB) {
	t.Helper()
	if d.server == nil {
		return
	}
	if err := d.server.Close(); err != nil {
		t.Error(err)
	}
	d.server = nil
	if err := os.RemoveAll(d.dir); err != nil {
		t.Error(err)
	}
}

// The most that one request may take: time (of a machine that does much else), and memory over all.
const (
	longestAnswer = 90 * time.Second
	mostOfAnswer  = 8 << 30 // bytes
)

// FuzzAPI sends any body, query and words of a path to any operation. It answers at once; its answer is no failure of the program,
// says in a sentence what is wrong where something is, and is JSON where it says so.
func FuzzAPI(f *testing.F) {
	var d backdrop
	d.open(f)
	f.Cleanup(func() { d.drop(f) })
	all := operations(d.server)
	if len(all) < 60 {
		f.Fatalf("only %d operations", len(all))
	}
	for _, ask := range exampleAsks(f) {
		u, err := url.Parse(ask.path)
		if err != nil {
			f.Fatal(err)
		}
		i := slices.IndexFunc(all, func(o operation) bool { return o.method == ask.method && o.path == ask.of })
		words, ok := parametersOf(ask.of, u.Path)
		if i < 0 || !ok {
			f.Fatalf("%s %s is no operation", ask.method, ask.of)
		}
		body, err := json.Marshal(ask.body)
		if err != nil {
			f.Fatal(err)
		}
		text := strings.NewReplacer(vee8, four, "radial-five.engine.yaml", "vee-twin-90.engine.yaml").Replace
		f.Add(byte(i), text(strings.Join(words, "/")), text(u.RawQuery), []byte(text(string(body))))
	}
	for i, o := range all {
		words := map[bool]string{true: cranks + "/1", false: four}[strings.Contains(o.path, "studies")]
		f.Add(byte(i), words, "file="+four+"&format=svg&base="+four+"&order=2&speed_rpm=3000", []byte(nil))
		if o.body == nil {
			continue
		}
		for _, v := range []float64{1, 0, -1, 1e308, 5e-324} {
			body, err := json.Marshal(sample(d.server, o.body, "", v, 0))
			if err != nil {
				f.Fatal(err)
			}
			f.Add(byte(i), words, "", body)
		}
		f.Add(byte(i), words, "", []byte("{}"))
	}
	f.Fuzz(func(t *testing.T, number byte, words, query string, body []byte) {
		d.open(t)
		o := all[int(number)%len(all)]
		r := httptest.NewRequest(o.method, "/", bytes.NewReader(body))
		r.Host, r.URL = "127.0.0.1", &url.URL{Path: filled(o.path, words), RawQuery: query}
		r.Header.Set("Content-Type", "application/json")
		what := fmt.Sprintf("%s %s?%s %.2000q", o.method, r.URL.Path, query, body)
		alarm := time.AfterFunc(longestAnswer, func() { panic(what + " takes more than " + longestAnswer.String()) })
		before := allocated()
		w := httptest.NewRecorder()
		d.server.Handler().ServeHTTP(w, r)
		alarm.Stop()
		if took := allocated() - before; took > mostOfAnswer {
			t.Errorf("%s takes %d MiB", what, took>>20)
		}
		if o.method != http.MethodGet && w.Code < 300 {
			d.drop(t) // something may be changed, or go on
		}
		kind, _, _ := strings.Cut(w.Header().Get("Content-Type"), ";")
		switch {
		case w.Code >= 500:
			t.Errorf("%s: %d %.500s", what, w.Code, w.Body)
		case w.Code >= 400 && kind == "application/problem+json":
			var p ProblemDetails
			if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil || p.Status != w.Code || p.Detail == "" {
				t.Errorf("%s: %d without a word of what is wrong: %.500s %v", what, w.Code, w.Body, err)
			}
		case kind == "application/json" && !json.Valid(w.Body.Bytes()):
			t.Errorf("%s: no JSON: %.500s", what, w.Body)
		case w.Code == http.StatusOK && w.Body.Len() == 0:
			t.Errorf("%s: an empty answer", what)
		}
	})
}

// allocated is what this process has ever taken from the heap [bytes].
func allocated() uint64 {
	sample := []metrics.Sample{{Name: "/gc/heap/allocs:bytes"}}
	metrics.Read(sample)
	return sample[0].Value.Uint64()
}
