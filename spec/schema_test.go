package spec

import (
	"bytes"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"go.yaml.in/yaml/v4"
)

// asEditorsSee returns the tree that a plain YAML reader makes of a node. A list with a unit behind
// it, which no plain reader knows, appears as the list of texts that means the same.
func asEditorsSee(n *yaml.Node, doc *document) any {
	for n.Kind == yaml.AliasNode {
		n = n.Alias
	}
	switch n.Kind {
	case yaml.MappingNode:
		m := map[string]any{}
		for i := 0; i+1 < len(n.Content); i += 2 {
			m[n.Content[i].Value] = asEditorsSee(n.Content[i+1], doc)
		}
		return m
	case yaml.SequenceNode:
		list := []any{}
		for _, c := range n.Content {
			v := asEditorsSee(c, doc)
			if u := doc.units[Position{n.Line, n.Column}]; u != nil {
				if _, own, _ := splitNumber(c.Value); own == "" {
					v = c.Value + " " + u.unit
				}
			}
			list = append(list, v)
		}
		return list
	}
	if n.Tag == "!!int" || n.Tag == "!!float" {
		if f, err := strconv.ParseFloat(n.Value, 64); err == nil && !math.IsInf(f, 0) {
			return f
		}
	}
	if n.Tag == "!!bool" {
		return n.Value == "true"
	}
	return n.Value
}

// compiled is a schema of ours, ready to judge.
func compiled(t *testing.T, write func() ([]byte, error)) *jsonschema.Schema {
	t.Helper()
	text, err := write()
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("schema.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("schema.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestFilesSatisfyTheSchema(t *testing.T) {
	s := compiled(t, EngineSchema)
	for _, path := range enginePaths(t) {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		train, file, err := ReadEngine(path, data, Options{})
		if err != nil {
			t.Fatal(err)
		}
		for name, text := range map[string][]byte{"as written": data, "resolved": WriteResolved(train, file)} {
			c := &collector{}
			doc := parseDocument(c, text)
			if err := s.Validate(asEditorsSee(doc.root, doc)); err != nil {
				t.Errorf("%s %s: %v", path, name, err)
			}
		}
	}
}

func TestSchemaRefuses(t *testing.T) {
	s := compiled(t, EngineSchema)
	for _, text := range []string{
		"cycle: four-stroke\nlayout: {arrangement: inline, cylinders: 2}\n", okHead + "layout: {arrangement: inlin, cylinders: 2}\n",
		okHead + okLayout + "colour: red\n", okHead + okLayout + "rod: {long: 4 mm}\n", okHead + okLayout + "reference: 5\n",
		okHead + okLayout + "crank: {counterweights: nothing}\n", okHead + "layout: {arrangement: custom, cylinders: [{colour: red}]}\n",
	} {
		c := &collector{}
		doc := parseDocument(c, []byte(text))
		if s.Validate(asEditorsSee(doc.root, doc)) == nil {
			t.Errorf("the schema takes\n%s", text)
		}
	}
}

func TestPublishedSchemaIsCurrent(t *testing.T) {
	want, err := EngineSchema()
	if err != nil {
		t.Fatal(err)
	}
	got, err := os.ReadFile("../schema/engine.schema.json")
	if err != nil || !bytes.Equal(got, want) {
		t.Errorf("schema/engine.schema.json is not what the types say (%v): run go run ./tools/schema", err)
	}
}

// TestEveryKeyIsDescribed checks that the schema explains every key.
func TestEveryKeyIsDescribed(t *testing.T) {
	text, err := EngineSchema()
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range regexp.MustCompile(`"\$ref": "[^"]*"\n`).FindAllString(string(text), -1) {
		if !strings.Contains(m, "Cylinder\"") && !strings.Contains(m, "Unbalance\"") && !strings.Contains(m, "Throw\"") && !strings.Contains(m, "Shaft") && !strings.Contains(m, "Filling\"") &&
			!strings.Contains(m, "Isolator\"") && !strings.Contains(m, "Point\"") {
			t.Errorf("a key has no description: %s", m)
		}
	}
}
