package main

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"crankwright/server"
)

// openAPI is what the page needs of the description.
type openAPI struct {
	Info struct {
		Description string
	}
	Paths      map[string]map[string]operation
	Components struct{ Schemas map[string]schema }
}

type operation struct {
	Summary     string
	Tags        []string
	Parameters  []parameter
	RequestBody struct{ Content map[string]media }
	Responses   map[string]struct {
		Description string
		Content     map[string]media
	}
}

type parameter struct {
	Name, In, Description string
	Required              bool
	Schema                schema
}

type media struct{ Schema schema }

type schema struct {
	Ref         string `json:"$ref"`
	Type        any
	Description string
	Enum        []any
	Default     any
	Minimum     *float64
	Maximum     *float64
	Items       *schema
	Properties  map[string]schema
	Required    []string

	AdditionalProperties any
}

// described returns the description of the interface.
func described() (*openAPI, error) {
	data, err := server.OpenAPI()
	if err != nil {
		return nil, err
	}
	var doc openAPI
	return &doc, json.Unmarshal(data, &doc)
}

// chaptersOfAPI is the sequence of the groups of operations, each with what it is about.
var chaptersOfAPI = []struct{ tag, about string }{
	{"line-up", "The folder as a whole."},
	{"engines", "Engine files. A file is changed by edits of single keys, which keep its comments, or by a whole new text."},
	{"balancing", "Counterweights, balance shafts, the balancing shop, tolerances, matching."},
	{"gas and torque", "How the engine pushes and sounds."},
	{"crank and bearings", "Room along the crank, bearings, strength, torsional vibration."},
	{"mounts and people", "The engine on its mounts."},
	{"room and mass", "Envelope and masses."},
	{"parts and cost", "What it is made of."},
	{"brief and choice", "Briefs, and the choice for them."},
	{"search", "Studies, their runs and what they find."},
	{"snapshots", "Named states of the folder."},
	{"take away", "Figures, tables, reports."},
	{"about", "The program and what it rests on."},
}

func api(string) (string, error) {
	doc, err := described()
	if err != nil {
		return "", err
	}
	p := &page{}
	p.line("# HTTP interface\n\n%s", written)
	for _, line := range []string{
		"`crankwright serve FOLDER` answers at `http://127.0.0.1:8377`; the workbench in the browser speaks the same interface. The whole",
		"description is [openapi.json](../../web/openapi.json), also at `/openapi.json` of the server; what a client needs is made of it by",
		"any generator. [Use the API from a script](../how-to/api-script.md) shows the usual steps.",
		"",
		"Bodies and answers are JSON where nothing else is said. Units stand in the names: `speed_rpm`, `length_mm`. Complex numbers are",
		"`[real part, imaginary part]`. Many bodies name an engine the same way: `file` in the folder, or `text` instead, and `edits` on top",
		"that are tried and not saved. What is saved needs the `etag` of the state that it starts from, and is refused where somebody else",
		"was faster. An error is a problem detail (RFC 9457) with what is wrong and what would be right; its status is 400 or 422 where",
		"the request is wrong, 404 where something is not there, 409 or 412 where the folder has another state. With `--addr` beyond this machine each",
		"request shows the token in the header `Authorization: Bearer TOKEN`.",
		"",
		"The examples run against `crankwright serve examples`, and a test runs them all. `ETAG` stands for the etag of the state that is",
		"changed, as the answer to GET of the same path has it. What follows from another, such as a candidate of a study, needs that one first.",
		"",
	} {
		p.line("%s", line)
	}
	for _, c := range chaptersOfAPI {
		p.line("- [%s](#%s): %s", sentenceless(c.tag), strings.ReplaceAll(c.tag, " ", "-"), strings.TrimSuffix(lower(c.about), "."))
	}
	p.line("")
	var all []string
	for path := range doc.Paths {
		all = append(all, path)
	}
	slices.Sort(all)
	shown := 0
	for _, c := range chaptersOfAPI {
		p.line("## %s\n\n%s\n", sentenceless(c.tag), c.about)
		for _, path := range all {
			for _, method := range []string{"get", "post", "put", "delete"} {
				if op, ok := doc.Paths[path][method]; ok && slices.Contains(op.Tags, c.tag) {
					if err := doc.operation(p, method, path, op); err != nil {
						return "", err
					}
					shown++
				}
			}
		}
	}
	if shown != len(examples) {
		return "", fmt.Errorf("%d operations are shown and there are examples of %d", shown, len(examples))
	}
	return p.String(), nil
}

// sentenceless begins a heading with a capital.
func sentenceless(text string) string { return strings.TrimSuffix(sentence(text), ".") }

func lower(text string) string { return strings.ToLower(text[:1]) + text[1:] }

// operation writes one operation.
func (d *openAPI) operation(p *page, method, path string, op operation) error {
	p.line("### %s %s\n\n%s\n", strings.ToUpper(method), strings.NewReplacer("{", "", "}", "").Replace(path), sentence(op.Summary))
	if strings.Contains(path, "{") {
		p.line("Path: `%s`\n", path)
	}
	if len(op.Parameters) > 0 {
		var rows [][]string
		for _, q := range op.Parameters {
			rows = append(rows, []string{code(q.Name), q.In, d.kind(q.Schema), yes(q.Required), q.Description})
		}
		p.table([]string{"parameter", "in", "type", "needed", "what it is"}, rows)
	}
	for _, m := range op.RequestBody.Content {
		p.line("Body:\n")
		p.table([]string{"key", "type", "needed", "what it is"}, d.keys(m.Schema))
	}
	for _, status := range []string{"200", "201"} {
		if r, ok := op.Responses[status]; ok {
			p.line("Answer %s: %s\n", status, d.answer(r.Content))
		}
	}
	ex, ok := examples[strings.ToUpper(method)+" "+path]
	if !ok {
		return fmt.Errorf("%s %s has no example", method, path)
	}
	p.line("```\n%s\n```\n", ex.command())
	return nil
}

func yes(b bool) string {
	if b {
		return "yes"
	}
	return ""
}

// keys lists the keys of a body, those of maps inside it behind a dot.
func (d *openAPI) keys(s schema) [][]string {
	s = d.followed(s)
	var names []string
	for name := range s.Properties {
		names = append(names, name)
	}
	slices.SortFunc(names, func(a, b string) int {
		x, y := slices.Contains(s.Required, a), slices.Contains(s.Required, b)
		if x != y {
			if x {
				return -1
			}
			return 1
		}
		return strings.Compare(a, b)
	})
	var rows [][]string
	for _, name := range names {
		of := s.Properties[name]
		rows = append(rows, []string{code(name), d.kind(of), yes(slices.Contains(s.Required, name)), of.Description})
		inside := of
		dot := "."
		if of.Items != nil {
			inside, dot = *of.Items, "[]."
		}
		if inside.Ref != "" {
			for _, row := range d.keys(inside) {
				row[0] = code(name + dot + strings.Trim(row[0], "`"))
				rows = append(rows, row)
			}
		}
	}
	return rows
}

func (d *openAPI) followed(s schema) schema {
	if s.Ref == "" {
		return s
	}
	return d.Components.Schemas[nameOf(s)]
}

func nameOf(s schema) string { return s.Ref[strings.LastIndex(s.Ref, "/")+1:] }

// kind says what a value is.
func (d *openAPI) kind(s schema) string {
	switch {
	case s.Ref != "":
		return "a map"
	case len(s.Enum) > 0:
		var words []string
		for _, w := range s.Enum {
			words = append(words, code(fmt.Sprint(w)))
		}
		return strings.Join(words, ", ")
	case s.Items != nil:
		return "a list: " + d.kind(*s.Items)
	}
	words := map[string]string{"string": "text", "number": "number", "integer": "whole number", "boolean": "true or false", "object": "a map"}
	text := ""
	switch t := s.Type.(type) {
	case string:
		text = words[t]
	case []any:
		text = words[fmt.Sprint(t[0])]
	}
	if s.Minimum != nil && s.Maximum != nil {
		text += fmt.Sprintf(" from %s to %s", number(*s.Minimum), number(*s.Maximum))
	}
	if s.Default != nil {
		text += fmt.Sprintf(", left out: %v", s.Default)
	}
	return text
}

// answer says what comes back: the first level of a map, or the kinds of files.
func (d *openAPI) answer(content map[string]media) string {
	var kinds []string
	for kind := range content {
		kinds = append(kinds, kind)
	}
	slices.Sort(kinds)
	if len(kinds) == 1 && kinds[0] == "application/json" {
		s := content[kinds[0]].Schema
		before := ""
		if s.Items != nil {
			s, before = *s.Items, "a list of "
		}
		name := ""
		if s.Ref != "" {
			name = nameOf(s)
		}
		s = d.followed(s)
		var names []string
		for key := range s.Properties {
			if key != "$schema" {
				names = append(names, code(key))
			}
		}
		slices.Sort(names)
		if len(names) == 0 {
			return before + d.kind(s)
		}
		return before + code(name) + " with " + strings.Join(names, ", ")
	}
	for i, kind := range kinds {
		kinds[i] = code(kind)
	}
	return strings.Join(kinds, ", ")
}
