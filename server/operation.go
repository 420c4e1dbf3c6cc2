package server

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"reflect"
	"strings"

	"github.com/danielgtaylor/huma/v2"
)

// add registers one operation. Its name follows from its method and path.
func add[I, O any](s *Server, method, path, group, summary string, handler func(context.Context, *I) (*O, error), with ...func(*huma.Operation)) {
	op := huma.Operation{
		OperationID: operationID(method, path), Method: method, Path: path, Summary: summary, Tags: []string{group},
		MaxBodyBytes: maxBody, BodyReadTimeout: readTimeout,
	}
	for _, f := range with {
		f(&op)
	}
	huma.Register(s.api, op, handler)
}

// operationID is such as get-engines-file.
func operationID(method, path string) string {
	words := strings.FieldsFunc(strings.TrimPrefix(path, "/api"), func(r rune) bool { return strings.ContainsRune("/{}", r) })
	return strings.ToLower(method) + "-" + strings.Join(words, "-")
}

func created(op *huma.Operation) { op.DefaultStatus = http.StatusCreated }

// returns describes an answer that is a file.
func returns(types ...string) func(*huma.Operation) {
	return func(op *huma.Operation) {
		content := map[string]*huma.MediaType{}
		for _, t := range types {
			content[t] = &huma.MediaType{Schema: &huma.Schema{Type: huma.TypeString}}
			if !strings.HasPrefix(t, "text/") && t != "image/svg+xml" {
				content[t].Schema.Format = "binary"
			}
		}
		op.Responses = map[string]*huma.Response{"200": {Description: "the file", Content: content}}
	}
}

// streams describes the event stream.
func streams(op *huma.Operation) {
	op.Responses = map[string]*huma.Response{"200": {
		Description: "a stream without end; each event's data is an Event as JSON",
		Content:     map[string]*huma.MediaType{"text/event-stream": {Schema: &huma.Schema{Ref: "#/components/schemas/Event"}}},
	}}
}

// download is an answer that is a file.
type download struct {
	ContentType string `header:"Content-Type"`
	Disposition string `header:"Content-Disposition"`
	Body        []byte
}

// OpenAPI returns the description of the API as indented JSON. It is the same for every folder, so that it needs none.
func OpenAPI() ([]byte, error) {
	s := &Server{}
	s.register(http.NewServeMux())
	data, err := json.Marshal(s.api.OpenAPI())
	if err != nil {
		return nil, fmt.Errorf("openapi: %w", err)
	}
	var b bytes.Buffer
	if err := json.Indent(&b, data, "", " "); err != nil {
		return nil, fmt.Errorf("openapi: %w", err)
	}
	b.WriteByte('\n')
	return b.Bytes(), nil
}

// describe copies descriptions and words from jsonschema tags into the schemas of the API: the types of
// package report carry them for the JSON Schema of evaluate --json.
func describe(registry huma.Registry) {
	for name, schema := range registry.Map() {
		t := registry.TypeFromRef("#/components/schemas/" + name)
		if t == nil || t.Kind() != reflect.Struct {
			continue
		}
		for _, f := range reflect.VisibleFields(t) { // those of embedded types too
			key, _, _ := strings.Cut(f.Tag.Get("json"), ",")
			p := schema.Properties[key]
			if p == nil {
				continue
			}
			if d := f.Tag.Get("jsonschema_description"); d != "" && p.Description == "" {
				p.Description = d
			}
			if p.Ref != "" || len(p.Enum) > 0 || p.Type != huma.TypeString {
				continue
			}
			for _, part := range strings.Split(f.Tag.Get("jsonschema"), ",") {
				if word, ok := strings.CutPrefix(part, "enum="); ok {
					p.Enum = append(p.Enum, word)
				}
			}
		}
	}
}
