package server

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/url"
	"os"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// TestOpenAPIIsValid holds the description against the published schema of OpenAPI 3.1.
func TestOpenAPIIsValid(t *testing.T) {
	schema := load(t, "testdata/openapi-3.1.schema.json")
	c := jsonschema.NewCompiler()
	if err := c.AddResource("urn:openapi", schema); err != nil {
		t.Fatal(err)
	}
	compiled, err := c.Compile("urn:openapi")
	if err != nil {
		t.Fatal(err)
	}
	if err := compiled.Validate(document(t)); err != nil {
		t.Error(err)
	}
}

// TestEveryKeyIsDescribed holds that every key of every answer and body says what it is, in other words than its own.
func TestEveryKeyIsDescribed(t *testing.T) {
	keys := 0
	var walk func(at string, schema map[string]any)
	walk = func(at string, schema map[string]any) {
		for _, under := range []string{"items", "additionalProperties"} {
			if s, ok := schema[under].(map[string]any); ok {
				walk(at, s)
			}
		}
		properties, _ := schema["properties"].(map[string]any)
		for key, v := range properties {
			keys++
			p := v.(map[string]any)
			said, _ := p["description"].(string)
			if bare := strings.ToLower(strings.ReplaceAll(said, " ", "_")); bare == "" || bare == strings.ToLower(key) {
				t.Errorf("%s.%s has the description %q: say what it is by the tag doc, or jsonschema_description in package report", at, key, said)
			}
			walk(at+"."+key, p)
		}
	}
	schemas := document(t).(map[string]any)["components"].(map[string]any)["schemas"].(map[string]any)
	for name, s := range schemas {
		walk(name, s.(map[string]any))
	}
	if keys < 1000 {
		t.Errorf("only %d keys", keys)
	}
}

// TestDefaultsOfBodiesAreNoZeros holds that no number of a body that may be 0, and nothing that may be false, has a default: the
// library sets it wherever a value is zero, also where that was said. Such a key is a pointer, with its default in code.
func TestDefaultsOfBodiesAreNoZeros(t *testing.T) {
	doc := document(t).(map[string]any)
	schemas := doc["components"].(map[string]any)["schemas"].(map[string]any)
	seen, keys, defaults := map[string]bool{}, 0, 0
	var walk func(at string, schema map[string]any)
	walk = func(at string, schema map[string]any) {
		if ref, ok := schema["$ref"].(string); ok {
			name := ref[strings.LastIndex(ref, "/")+1:]
			if !seen[name] {
				seen[name] = true
				walk(name, schemas[name].(map[string]any))
			}
			return
		}
		if value, ok := schema["default"]; ok {
			defaults++
			least, bounded := schema["minimum"].(float64)
			above, open := schema["exclusiveMinimum"].(float64)
			switch value.(type) {
			case float64:
				if !(bounded && least > 0) && !(open && above >= 0) {
					t.Errorf("%s may be 0 and has a default: make it a pointer", at)
				}
			case bool:
				t.Errorf("%s may be false and has a default: make it a pointer", at)
			}
		}
		for _, under := range []string{"items", "additionalProperties"} {
			if s, ok := schema[under].(map[string]any); ok {
				walk(at, s)
			}
		}
		properties, _ := schema["properties"].(map[string]any)
		for key, p := range properties {
			keys++
			walk(at+"."+key, p.(map[string]any))
		}
	}
	for path, item := range doc["paths"].(map[string]any) {
		for method, op := range item.(map[string]any) {
			body, ok := op.(map[string]any)["requestBody"].(map[string]any)
			if ok {
				walk(method+" "+path, body["content"].(map[string]any)["application/json"].(map[string]any)["schema"].(map[string]any))
			}
		}
	}
	if keys < 100 || defaults < 5 {
		t.Errorf("only %d keys and %d defaults", keys, defaults)
	}
}

// TestAnswersFitTheDescription holds real answers against the schemas that OpenAPI gives for them.
func TestAnswersFitTheDescription(t *testing.T) {
	b := start(t)
	doc := document(t).(map[string]any)
	c := jsonschema.NewCompiler()
	c.DefaultDraft(jsonschema.Draft2020)
	if err := c.AddResource("urn:api", doc); err != nil {
		t.Fatal(err)
	}
	ids := map[string]bool{}
	for path, item := range doc["paths"].(map[string]any) {
		for method, op := range item.(map[string]any) {
			id := op.(map[string]any)["operationId"].(string)
			if ids[id] {
				t.Errorf("%s %s: the name %s is taken", method, path, id)
			}
			ids[id] = true
		}
	}
	if len(ids) < 20 {
		t.Errorf("only %d operations", len(ids))
	}
	b.want(201, "POST", "/api/snapshots", SnapshotRequest{"a"}, nil)
	for _, ask := range exampleAsks(t) {
		answer, data := b.ask(ask.method, ask.path, ask.body)
		if answer.StatusCode != ask.status {
			t.Errorf("%s %s: %s %.200s", ask.method, ask.path, answer.Status, data)
			continue
		}
		status, kind := fmt.Sprint(ask.status), "application/json"
		if ask.status >= 400 {
			status, kind = "default", "application/problem+json"
		}
		at := fmt.Sprintf("urn:api#/paths/%s/%s/responses/%s/content/%s/schema", pointer(ask.of), strings.ToLower(ask.method), status, pointer(kind))
		schema, err := c.Compile(at)
		if err != nil {
			t.Errorf("%s %s: %v", ask.method, ask.path, err)
			continue
		}
		value, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
		if err != nil {
			t.Fatal(err)
		}
		if err := schema.Validate(value); err != nil {
			t.Errorf("%s %s: %v", ask.method, ask.path, err)
		}
	}
}

// exampleAsk is a request of an operation, and the status of its answer.
type exampleAsk struct {
	method, path, of string
	body             any
	status           int
}

// exampleAsks are requests of most operations on the engines of start, one after the other.
func exampleAsks(t testing.TB) []exampleAsk {
	t.Helper()
	text := "name: x\n"
	return []exampleAsk{
		{"GET", "/api/lineup", "/api/lineup", nil, 200},
		{"GET", "/api/engines/" + vee8, "/api/engines/{file}", nil, 200},
		{"GET", "/api/engines/radial-five.engine.yaml", "/api/engines/{file}", nil, 200},
		{"GET", "/api/engines/none.engine.yaml", "/api/engines/{file}", nil, 404},
		{"POST", "/api/preview", "/api/preview", PreviewRequest{Draft: Draft{File: vee8}}, 200},
		{"POST", "/api/preview", "/api/preview", PreviewRequest{Draft: Draft{Text: &text}}, 200},
		{"PUT", "/api/engines/" + vee8, "/api/engines/{file}", SaveRequest{Etag: "x", Text: &text}, 409},
		{"POST", "/api/engines", "/api/engines", NewEngineRequest{Shorthand: "inline-6"}, 201},
		{"POST", "/api/engines", "/api/engines", NewEngineRequest{Text: &text}, 422},
		{"GET", "/api/compare", "/api/compare", nil, 200},
		{"GET", "/api/snapshots", "/api/snapshots", nil, 200},
		{"GET", "/api/figures", "/api/figures", nil, 200},
		{"GET", "/api/gallery", "/api/gallery", nil, 200},
		{"GET", "/api/checks", "/api/checks", nil, 200},
		{"GET", "/api/orders?file=" + vee8, "/api/orders", nil, 200},
		{"POST", "/api/undo", "/api/undo", nil, 200},
		{"POST", "/api/redo", "/api/redo", nil, 200},
		{"GET", "/api/sources", "/api/sources", nil, 200},
		{"POST", "/api/balance/counterweights", "/api/balance/counterweights", on(vee8, map[string]any{"policy": "optimum"}), 200},
		{"POST", "/api/balance/shafts", "/api/balance/shafts", on("radial-five.engine.yaml", nil), 200},
		{"POST", "/api/balance/bobweights", "/api/balance/bobweights", on(vee8, nil), 200},
		{"POST", "/api/balance/grade", "/api/balance/grade", map[string]any{"mass_kg": 20, "speed_rpm": 3000, "distances_mm": []float64{1, 2}, "found_gmm": []float64{3, 4}}, 200},
		{"POST", "/api/balance/grade", "/api/balance/grade", map[string]any{"mass_kg": 20, "speed_rpm": 3000, "grade": "G17"}, 422},
		{"POST", "/api/balance/correction", "/api/balance/correction", map[string]any{"job": balancingJob(t)}, 200},
		{"POST", "/api/balance/correction", "/api/balance/correction", map[string]any{"job": "planes: 3"}, 422},
		{"POST", "/api/torque", "/api/torque", on(vee8, map[string]any{"load_percent": 40, "off": []string{"3"}}), 200},
		{"POST", "/api/torque", "/api/torque", on(vee8, map[string]any{"off": []string{"33"}}), 422},
		{"POST", "/api/gas", "/api/gas", on("radial-five.engine.yaml", map[string]any{"load_percent": 0}), 200},
		{"POST", "/api/power", "/api/power", on(vee8, map[string]any{"speeds_rpm": []float64{1000, 3000}}), 200},
		{"POST", "/api/flywheel", "/api/flywheel", on(vee8, map[string]any{"fluctuation_percent": 1, "rim_width_mm": 40, "speed_rpm": 1000}), 200},
		{"POST", "/api/room", "/api/room", on(vee8, map[string]any{"stagger_mm": 18}), 200},
		{"POST", "/api/space", "/api/space", on(vee8, map[string]any{"bore_stroke": true}), 200},
		{"POST", "/api/space", "/api/space", on("radial-five.engine.yaml", nil), 200},
		{"POST", "/api/bearings", "/api/bearings", on(vee8, map[string]any{"load_percent": 60}), 200},
		{"POST", "/api/bearings", "/api/bearings", on("radial-five.engine.yaml", nil), 200},
		{"POST", "/api/strength", "/api/strength", on(vee8, map[string]any{"beyond": true}), 200},
		{"POST", "/api/strength", "/api/strength", on(vee8, map[string]any{"stiff": true, "load_percent": 0}), 200},
		{"POST", "/api/torsion", "/api/torsion", on(vee8, map[string]any{"off": []string{"3"}}), 200},
		{"POST", "/api/torsion", "/api/torsion", on(vee8, map[string]any{"load_percent": 0}), 422},
		{"POST", "/api/sound", "/api/sound", on(vee8, map[string]any{"load_percent": 40, "off": []string{"3"}}), 200},
		{"POST", "/api/sound", "/api/sound", on(vee8, map[string]any{"delays_ms": []float64{1}}), 422},
		{"POST", "/api/parts", "/api/parts", on(vee8, nil), 200},
		{"POST", "/api/parts", "/api/parts", on("radial-five.engine.yaml", nil), 200},
		{"POST", "/api/cost", "/api/cost", on(vee8, map[string]any{"than": "radial-five.engine.yaml"}), 200},
		{"POST", "/api/cost", "/api/cost", on(vee8, map[string]any{"prices": "name: x"}), 422},
		{"GET", "/api/prices", "/api/prices", nil, 200},
		{"POST", "/api/balance/tolerances", "/api/balance/tolerances", on(vee8, map[string]any{"samples": 500}), 200},
		{"POST", "/api/balance/matching", "/api/balance/matching", on(vee8, map[string]any{"parts": weighedParts(t)}), 200},
		{"POST", "/api/studies", "/api/studies", NewStudy{Base: "inline-four-flat.engine.yaml", File: "four"}, 201},
		{"GET", "/api/studies", "/api/studies", nil, 200},
		{"POST", "/api/study-check", "/api/study-check", StudyDraft{File: "four.study.yaml"}, 200},
		{"POST", "/api/study-check", "/api/study-check", StudyDraft{File: "four.study.yaml", Text: &text}, 200},
		{"GET", "/api/study-words?base=" + vee8, "/api/study-words", nil, 200},
		{"GET", "/api/studies/four.study.yaml/run", "/api/studies/{file}/run", nil, 200},
		{"GET", "/api/studies/four.study.yaml/candidates/1", "/api/studies/{file}/candidates/{index}", nil, 200},
		{"POST", "/api/studies/four.study.yaml/query", "/api/studies/{file}/query", StudyQuery{}, 404},
		{"GET", "/api/version", "/api/version", nil, 200},
	}
}

// pointer writes a key as a part of a JSON pointer in a URL.
func pointer(key string) string {
	return url.PathEscape(strings.NewReplacer("~", "~0", "/", "~1").Replace(key))
}

func document(t *testing.T) any {
	t.Helper()
	data, err := OpenAPI()
	if err != nil {
		t.Fatal(err)
	}
	var v any
	if err := json.Unmarshal(data, &v); err != nil {
		t.Fatal(err)
	}
	return v
}

func load(t *testing.T, file string) any {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return v
}
