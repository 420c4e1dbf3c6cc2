package server

import (
	"bytes"
	"cmp"
	"encoding/json"
	"flag"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
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

// operations are all of the API but the stream of events, which has no end, and two that are asked nothing and compute for seconds.
func operations(s *Server) []operation {
	var out []operation
	add := func(path, method string, op *huma.Operation) {
		if op == nil || path == "/api/events" || path == "/api/checks" || path == "/api/gallery" {
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

// apiSeed is a request to begin from.
type apiSeed struct {
	number       int // of the operation
	words, query string
	body         []byte
}

// apiSeeds are requests of every operation: those of the examples, and bodies that say everything.
func apiSeeds(t testing.TB, s *Server, all []operation) []apiSeed {
	t.Helper()
	var out []apiSeed
	for _, ask := range exampleAsks(t) {
		u, err := url.Parse(ask.path)
		if err != nil {
			t.Fatal(err)
		}
		i := slices.IndexFunc(all, func(o operation) bool { return o.method == ask.method && o.path == ask.of })
		words, ok := parametersOf(ask.of, u.Path)
		body, err := json.Marshal(ask.body)
		if !ok || err != nil {
			t.Fatalf("%s %s: %s %v", ask.method, ask.of, ask.path, err)
		}
		text := strings.NewReplacer(vee8, four, "radial-five.engine.yaml", "vee-twin-90.engine.yaml").Replace
		if i >= 0 {
			out = append(out, apiSeed{i, text(strings.Join(words, "/")), text(u.RawQuery), []byte(text(string(body)))})
		}
	}
	for i, o := range all {
		words := map[bool]string{true: cranks + "/1", false: four}[strings.Contains(o.path, "studies")]
		out = append(out, apiSeed{i, words, "file=" + four + "&format=svg&base=" + four + "&order=2&speed_rpm=3000", nil})
		if o.body == nil {
			continue
		}
		for _, v := range []float64{1, 0, -1, 1e308, 5e-324} {
			body, err := json.Marshal(sample(s, o.body, "", v, 0))
			if err != nil {
				t.Fatal(err)
			}
			out = append(out, apiSeed{i, words, "", body})
		}
		out = append(out, apiSeed{i, words, "", []byte("{}")})
	}
	return out
}

// FuzzAPI sends any body, query and words of a path to any operation; see ask. The fuzzer itself gives up on a request after 10 s:
// reports, which take seconds of a processor, are left to TestAnyRequest.
func FuzzAPI(f *testing.F) {
	var d backdrop
	d.open(f)
	f.Cleanup(func() { d.drop(f) })
	all := slices.DeleteFunc(operations(d.server), func(o operation) bool { return strings.HasPrefix(o.path, "/api/report") })
	for _, s := range apiSeeds(f, d.server, all) {
		f.Add(byte(s.number), s.words, s.query, s.body)
	}
	f.Fuzz(func(t *testing.T, number byte, words, query string, body []byte) {
		d.ask(t, all[int(number)%len(all)], words, query, body)
	})
}

// requests is how many TestAnyRequest sends.
var requests = flag.Int("requests", 150, "how many requests TestAnyRequest sends")

// TestAnyRequest sends requests that are nearly right: values of the seeds of FuzzAPI are exchanged by seeded chance. It needs no
// fuzzer, and so no patience of ten seconds: a machine that does much else can run it.
func TestAnyRequest(t *testing.T) {
	var d backdrop
	d.open(t)
	t.Cleanup(func() { d.drop(t) })
	all := operations(d.server)
	seeds := apiSeeds(t, d.server, all)
	r := rand.New(rand.NewPCG(1, 2))
	for range *requests {
		s := seeds[r.IntN(len(seeds))]
		words, query, body := s.words, s.query, s.body
		var v any
		if json.Unmarshal(body, &v) == nil && v != nil {
			for range 1 + r.IntN(3) {
				v = exchanged(r, v)
			}
			body, _ = json.Marshal(v) // a value of JSON is one again
		}
		if r.IntN(4) == 0 {
			q, _ := url.ParseQuery(query)
			for key := range q {
				q.Set(key, fmt.Sprint(strange(r)))
			}
			query = q.Encode()
		}
		if r.IntN(8) == 0 {
			words = fmt.Sprint(strange(r))
		}
		if len(body) > 0 && r.IntN(8) == 0 {
			body = slices.Clone(body)
			body[r.IntN(len(body))] ^= byte(1 + r.IntN(255))
		}
		d.ask(t, all[s.number], words, query, body)
	}
}

// exchanged puts something strange in one place of a value of JSON.
func exchanged(r *rand.Rand, v any) any {
	switch v := v.(type) {
	case map[string]any:
		keys := slices.Sorted(maps.Keys(v))
		if len(keys) > 0 && r.IntN(8) > 0 {
			key := keys[r.IntN(len(keys))]
			if v[key] = exchanged(r, v[key]); r.IntN(10) == 0 {
				delete(v, key)
			}
			return v
		}
	case []any:
		if len(v) > 0 && r.IntN(4) > 0 {
			i := r.IntN(len(v))
			v[i] = exchanged(r, v[i])
			return v
		}
	case float64:
		return []float64{0, -v, v * 1e3, v * 1e-3, 1e308, -1e308, 5e-324, math.MaxInt64, 0.5, v}[r.IntN(10)]
	}
	return strange(r)
}

// strange is a value that tends to be taken wrongly.
func strange(r *rand.Rand) any {
	all := []any{
		nil, "", " ", "\x00", "../x", four, cranks, "b.brief.yaml", "1e999 mm", "-1 mm", "0 deg", strings.Repeat("x", 5000), "\u202e\ud7ff",
		true, 0.0, -1.0, 1e308,
		[]any{},
		map[string]any{},
		[]any{[]any{[]any{}}},
		slices.Repeat([]any{1.0}, 60), "bore", "layout.pins[1]", "rod[",
		"name: x\n", "planes: [{}]", "SELECT * FROM candidates", "stroke < 6 cm and", "%", "'\"><script>",
	}
	return all[r.IntN(len(all))]
}

// ask sends a request. It is answered at once and for bounded memory; the answer is no failure of the program, says in a sentence
// what is wrong where something is, and is JSON where it says so.
func (d *backdrop) ask(t *testing.T, o operation, words, query string, body []byte) {
	t.Helper()
	d.open(t)
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
}

// allocated is what this process has ever taken from the heap [bytes].
func allocated() uint64 {
	sample := []metrics.Sample{{Name: "/gc/heap/allocs:bytes"}}
	metrics.Read(sample)
	return sample[0].Value.Uint64()
}
