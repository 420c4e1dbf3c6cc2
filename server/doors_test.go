package server

import (
	"bytes"
	"fmt"
	"io/fs"
	"maps"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/danielgtaylor/huma/v2"

	"crankwright/mechanics/parts"
	"crankwright/results"
	"crankwright/spec"
)

// place is where an operation takes a name: in its path, its query or its body.
type place struct {
	method, path string
	in, key      string
	suffix       string // of the names that are right
	body         bool   // the operation takes a body
	free         bool   // a name that says how something is to be called: some tricks are only odd names
}

func (p place) String() string { return fmt.Sprintf("%s %s, %s %s", p.method, p.path, p.in, p.key) }

// nameKeys are what parameters and fields are called that take the name of something stored.
var nameKeys = []string{"file", "files", "name", "base", "brief", "baseline", "copy_of", "prices_file", "than"}

// usualNames are right values of parameters of a path, by its beginning; the longest counts.
var usualNames = map[string]string{
	"/api/engines/{file}": vee8, "/api/briefs/{file}": boat, "/api/studies/{file}": cranks, "/api/snapshots/{name}": "a snapshot",
	"/api/figures/{name}": "end-view", "/api/tables/{name}": "orders.csv", "/api/choice/figures/{name}": "worths",
}

// usualBodies are what operations need beside a name.
var usualBodies = map[string]map[string]any{
	"/api/balance/counterweights": {"policy": "optimum"}, "/api/balance/matching": {"parts": "kind,id,mass\npiston,P1,400 g\n"},
	"/api/choice": {"brief": map[string]any{"file": boat}}, "/api/choice/figures/{name}": {"brief": map[string]any{"file": boat}},
	"/api/choice/doubts":  {"brief": map[string]any{"file": boat}, "file": vee8},
	"/api/engines/{file}": {"etag": "x", "text": "name: x\n"}, "/api/briefs/{file}": {"etag": "x", "text": "name: x\n"}, "/api/studies/{file}": {"etag": "x", "text": "name: x\n"},
	"/api/cost": {"file": vee8},
}

// suffixOf is how the right names at a place end.
func suffixOf(path, key string) string {
	switch {
	case key == "prices_file":
		return spec.PricesSuffix
	case key == "brief" || strings.HasPrefix(path, "/api/briefs"):
		return spec.BriefSuffix
	case strings.HasPrefix(path, "/api/study-check"), strings.HasPrefix(path, "/api/studies") && !strings.HasSuffix(path, "/keep") && key != "base":
		return spec.StudySuffix
	}
	return engineSuffix
}

// places reads the description of the API for every place that takes a name.
func places(t *testing.T, b *bench) []place {
	t.Helper()
	var out []place
	api := b.server.api.OpenAPI()
	for _, path := range slices.Sorted(maps.Keys(api.Paths)) {
		for method, op := range operationsOf(api.Paths[path]) {
			add := func(in, key string) {
				p := place{method: method, path: path, in: in, key: key, suffix: suffixOf(path, key), body: op.RequestBody != nil}
				making := method == http.MethodPost && slices.Contains([]string{"/api/engines", "/api/briefs", "/api/studies", "/api/snapshots"}, path) || strings.HasSuffix(path, "/keep")
				p.free = in == "body" && (key == "name" || key == "file" && making)
				if in == "path" && strings.HasSuffix(path, "/keep") {
					p.suffix = spec.StudySuffix
				}
				if key == "name" && in == "path" {
					p.suffix = ""
					p.free = strings.HasPrefix(path, "/api/snapshots") // another trick has made one of that name
				}
				out = append(out, p)
			}
			for _, param := range op.Parameters {
				if slices.Contains(nameKeys, param.Name) {
					add(param.In, param.Name)
				}
			}
			if op.RequestBody == nil {
				continue
			}
			schema := op.RequestBody.Content["application/json"].Schema
			if schema.Ref != "" {
				schema = api.Components.Schemas.SchemaFromRef(schema.Ref)
			}
			for _, key := range slices.Sorted(maps.Keys(schema.Properties)) {
				if slices.Contains(nameKeys, key) {
					add("body", key)
				}
			}
		}
	}
	return out
}

func operationsOf(p *huma.PathItem) map[string]*huma.Operation {
	all := map[string]*huma.Operation{http.MethodGet: p.Get, http.MethodPost: p.Post, http.MethodPut: p.Put, http.MethodDelete: p.Delete}
	maps.DeleteFunc(all, func(_ string, op *huma.Operation) bool { return op == nil })
	return all
}

// usualPath fills in a path with right names.
func usualPath(path string) string {
	for known, name := range usualNames {
		at := strings.Index(known, "{")
		if strings.HasPrefix(path, known) {
			path = known[:at] + url.PathEscape(name) + path[len(known):]
			break
		}
	}
	return strings.Replace(path, "{index}", "0", 1)
}

// ask sends a name to a place.
func (p place) ask(b *bench, name string) (answer, []byte) {
	path, body := p.path, map[string]any{}
	maps.Copy(body, usualBodies[p.path])
	switch p.in {
	case "path":
		path = strings.Replace(path, "{"+p.key+"}", url.PathEscape(name), 1)
	case "query":
		path += "?" + p.key + "=" + url.QueryEscape(name)
	case "body":
		switch p.key {
		case "files":
			body[p.key] = []string{name}
		case "brief":
			body[p.key] = map[string]any{"file": name}
		default:
			body[p.key] = name
		}
		if p.free && p.key == "file" && !strings.HasSuffix(path, "/keep") {
			body["text"] = "name: x\n"
			if path == "/api/engines" {
				body["allow_problems"] = true
			}
		}
	}
	if !p.body {
		return b.ask(p.method, usualPath(path), nil)
	}
	return b.ask(p.method, usualPath(path), body)
}

const canary = "CANARY-OUTSIDE"

// tricks are names with which people have left folders.
func tricks(suffix, outside string) []string {
	return []string{
		"../outside" + suffix, `..\outside` + suffix, "..%2foutside" + suffix, "%2e%2e%2foutside" + suffix, "..%252foutside" + suffix, "%252e%252e%252foutside" + suffix,
		"..%c0%afoutside" + suffix, "..%5coutside" + suffix, "....//outside" + suffix, "..;/outside" + suffix, "./../outside" + suffix, "sub/../../outside" + suffix,
		"．．／outside" + suffix, "‥/outside" + suffix, "..\u2215outside" + suffix, "..\u29f8outside" + suffix,
		outside + "/outside" + suffix, "file://" + outside + "/outside" + suffix, "//" + outside + "/outside" + suffix, `\\host\share\outside` + suffix, `C:\outside` + suffix, "C:outside" + suffix,
		"/etc/passwd", "/proc/self/environ", "/dev/zero", "/dev/stdin", "~/outside" + suffix, "$HOME/outside" + suffix,
		"..", ".", ".hidden" + suffix, ".crankwright/aside/x" + suffix, "sub/inside" + suffix, `sub\inside` + suffix, "link" + suffix, "links/outside" + suffix, "dir" + suffix, "pipe" + suffix,
		"a\x00b" + suffix, "../outside" + suffix + "\x00.txt", "x" + suffix + "/", "x" + suffix + "/.", "x" + suffix + "\x00",
		"con" + suffix, "NUL" + suffix, "Aux" + suffix, "com1" + suffix, "LPT9" + suffix, "CON:" + suffix, "x" + suffix + ":stream", "x" + suffix + "::$DATA",
		"a\nb" + suffix, "a\r\nSet-Cookie: x=y" + suffix, "a\u202eb" + suffix, "-rf" + suffix, "a|b" + suffix, "a;b&c" + suffix, "`id`" + suffix, "$(id)" + suffix, "*" + suffix, "?" + suffix,
		strings.Repeat("x", 300) + suffix, strings.Repeat("é", 120) + suffix, strings.Repeat("../", 60) + "etc/passwd", strings.Repeat("a/", 100) + "x" + suffix,
	}
}

// TestNamesStayInTheFolder sends every trick to every place of the API that takes a name. Nothing beyond the folder is read,
// written or taken out, and the server neither fails nor waits.
func TestNamesStayInTheFolder(t *testing.T) {
	b := startWithBrief(t)
	b.put(four, string(must(os.ReadFile(filepath.Join("..", "examples", four)))))
	b.put(cranks, fewCranks)
	b.search(cranks)
	outside := filepath.Dir(b.dir)
	renamed := func(text string) string { return strings.Replace(text, "\nname: ", "\nname: "+canary+" ", 1) }
	for suffix, text := range map[string]string{
		engineSuffix: b.disk(vee8), spec.BriefSuffix: b.disk(boat), spec.StudySuffix: fewCranks, spec.PricesSuffix: string(spec.WritePrices(parts.UsualPrices())), "": "x",
	} {
		data := []byte(strings.TrimPrefix(renamed("\n"+text), "\n"))
		if suffix != "" && !bytes.Contains(data, []byte(canary)) {
			t.Fatalf("the file outside with %s is not marked", suffix)
		}
		for _, dir := range []string{"sub", "dir" + suffix} {
			must(0, os.MkdirAll(filepath.Join(b.dir, dir), 0o755))
		}
		must(0, os.WriteFile(filepath.Join(outside, "outside"+suffix), data, 0o600))
		must(0, os.WriteFile(filepath.Join(b.dir, "sub", "inside"+suffix), data, 0o600))
		must(0, os.WriteFile(filepath.Join(b.dir, ".hidden"+suffix), []byte("name: hidden\n"), 0o600))
		must(0, os.Symlink(filepath.Join(outside, "outside"+suffix), filepath.Join(b.dir, "link"+suffix)))
		_ = exec.Command("mkfifo", filepath.Join(b.dir, "pipe"+suffix)).Run() // where the system has them
	}
	must(0, os.Symlink(outside, filepath.Join(b.dir, "links")))
	before := outsideOf(t, b.dir)
	all := places(t, b)
	if len(all) < 60 {
		t.Errorf("only %d places take a name", len(all))
	}
	for _, p := range all {
		for i, name := range tricks(p.suffix, outside) {
			if p.in == "path" && strings.Trim(name, ".") == "" || p.free && p.key == "name" && i%4 > 0 {
				continue // cleaned away before anybody sees it; or it takes any text, and is slow
			}
			within := name == "sub/inside"+p.suffix || name == ".hidden"+p.suffix // a base may lie below the folder
			answer, data := p.ask(b, name)
			odd := answer.StatusCode >= 400 && answer.StatusCode < 500 || p.key == "base" && within
			if !odd && !(p.free && answer.StatusCode < 300) {
				t.Errorf("%s: %q: %s %.200s", p, name, answer.Status, data)
			}
			if bytes.Contains(data, []byte(canary)) || bytes.Contains(data, []byte("root:")) {
				t.Errorf("%s: %q: what stands outside came out", p, name)
			}
		}
	}
	if after := outsideOf(t, b.dir); !maps.Equal(before, after) {
		t.Errorf("outside of the folder: %v before, %v after", before, after)
	}
	for _, e := range must(os.ReadDir(b.dir)) {
		name := e.Name()
		if e.IsDir() && !slices.Contains([]string{"sub", hidden, results.Beside(cranks)}, name) && !strings.HasPrefix(name, "dir") || deviceName.MatchString(name) {
			t.Errorf("%s was made", name)
		}
	}
}

// outsideOf returns the content of everything beside a folder.
func outsideOf(t *testing.T, dir string) map[string]string {
	t.Helper()
	all := map[string]string{}
	err := filepath.WalkDir(filepath.Dir(dir), func(name string, e fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case name == dir:
			return fs.SkipDir
		case e.Type().IsRegular():
			all[name] = string(must(os.ReadFile(name)))
		default:
			all[name] = e.Type().String()
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// must is for what cannot fail in a test.
func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// TestFilesNamedInFiles tries the same with the files that an engine file or a study names.
func TestFilesNamedInFiles(t *testing.T) {
	b := startStudy(t, fewCranks)
	outside := filepath.Dir(b.dir)
	trace := must(os.ReadFile("../examples/test-bed/cylinder-pressure.csv"))
	must(0, os.WriteFile(filepath.Join(outside, "outside.csv"), trace, 0o600))
	must(0, os.Symlink(filepath.Join(outside, "outside.csv"), filepath.Join(b.dir, "link.csv")))
	must(0, os.Symlink(outside, filepath.Join(b.dir, "links")))
	_ = exec.Command("mkfifo", filepath.Join(b.dir, "pipe.csv")).Run()
	quoted := func(name string) string { return fmt.Sprintf("%q", name) }
	for _, name := range tricks(".csv", outside) {
		var v EngineView
		answer, data := b.ask("POST", "/api/preview", PreviewRequest{Draft: Draft{File: four, Edits: []Edit{{Path: "gas"}, set("gas.trace", quoted(name))}}})
		if answer.StatusCode == http.StatusUnprocessableEntity {
			continue // it cannot even be written into the file
		}
		b.want(200, "POST", "/api/preview", PreviewRequest{Draft: Draft{File: four, Edits: []Edit{{Path: "gas"}, set("gas.trace", quoted(name))}}}, &v)
		if len(v.Problems) == 0 || v.Result != nil {
			t.Errorf("the trace %q is read: %.100s", name, data)
		}
	}
	must(0, os.WriteFile(filepath.Join(outside, "outside"+engineSuffix), []byte(b.disk(four)), 0o600))
	must(0, os.Symlink(filepath.Join(outside, "outside"+engineSuffix), filepath.Join(b.dir, "link"+engineSuffix)))
	for _, name := range tricks(engineSuffix, outside) {
		if c := b.check(strings.Replace(fewCranks, four, quoted(name), 1)); c.Plan != nil || len(c.Problems) == 0 {
			t.Errorf("the base %q is read", name)
		}
	}
	for _, name := range tricks(spec.BriefSuffix, outside) {
		if c := b.check(fewCranks + "brief: " + quoted(name) + "\n"); c.Plan != nil || len(c.Problems) == 0 {
			t.Errorf("the brief %q is read", name)
		}
	}
}

// TestDeviceNames makes no file that another system takes for a device, and still opens one that is there.
func TestDeviceNames(t *testing.T) {
	b := start(t)
	var v EngineView
	text := strings.Replace(b.disk(vee8), "name: ", "name: Aux #", 1)
	b.want(201, "POST", "/api/engines", NewEngineRequest{Text: &text}, &v)
	if v.File != "aux-2.engine.yaml" {
		t.Errorf("an engine that is called Aux is in %s", v.File)
	}
	b.want(422, "POST", "/api/engines", NewEngineRequest{Text: &text, File: "con"}, nil)
	b.put("prn.engine.yaml", b.disk(vee8))
	b.want(200, "GET", "/api/engines/prn.engine.yaml", nil, nil)
}
