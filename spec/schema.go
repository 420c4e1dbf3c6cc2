package spec

import (
	"embed" // the doc comments of the file types are the descriptions of the schema
	"encoding/json"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"reflect"
	"strings"

	"github.com/invopop/jsonschema"

	"crankwright/mechanics/parts"
)

//go:generate go run ../tools/schema

// engineSource is the source of the types of every file that people write: their comments are the descriptions in the
// schemas, so that such a file has a name that begins with engine, whatever it describes.
//
//go:embed engine*.go
var engineSource embed.FS

// EngineSchema returns the JSON Schema (2020-12) of engine files.
//
// Editors check a file as plain YAML reads it. The list with one unit behind it, [0, 180] deg, is
// an extension of this program that no editor knows; a file that an editor shall check writes
// [0 deg, 180 deg], which means the same. A list in quotes, "[0, 180] deg", passes too.
func EngineSchema() ([]byte, error) {
	r, err := fileReflector()
	if err != nil {
		return nil, err
	}
	s := r.Reflect(&Engine{})
	s.ID = "urn:crankwright:schema:engine"
	s.Title = "Engine file"
	s.Description = "An engine for Crankwright, in short form or in custom form with everything explicit."
	for _, part := range []any{&Cylinder{}, &Unbalance{}} { // the types of lists that stand beside a word
		for name, def := range r.Reflect(part).Definitions {
			s.Definitions[name] = def
		}
		expanded := r.Reflect(part)
		s.Definitions[reflect.TypeOf(part).Elem().Name()] = &jsonschema.Schema{
			Type: "object", Properties: expanded.Properties, AdditionalProperties: jsonschema.FalseSchema,
		}
	}
	s.Required = engineNeeds
	if l := s.Definitions["Layout"]; l != nil {
		l.Required = layoutNeeds
	}
	return schemaText(s)
}

// PricesSchema returns the JSON Schema (2020-12) of price tables.
func PricesSchema() ([]byte, error) {
	r, err := fileReflector()
	if err != nil {
		return nil, err
	}
	s := r.Reflect(&PriceTable{})
	s.ID = "urn:crankwright:schema:prices"
	s.Title = "Price table"
	s.Description = "Points for every part that Crankwright counts. " + parts.Invented
	s.Required = pricesNeeds
	if row := s.Definitions["PartPrice"]; row != nil {
		row.Required = []string{"part"}
	}
	return schemaText(s)
}

// JobSchema returns the JSON Schema (2020-12) of jobs of the balancing shop.
func JobSchema() ([]byte, error) {
	r, err := fileReflector()
	if err != nil {
		return nil, err
	}
	s := r.Reflect(&BalanceJob{})
	s.ID = "urn:crankwright:schema:job"
	s.Title = "Job of the balancing shop"
	s.Description = "What a balancing machine measured in two planes, what may stay, and where metal may go or come, for Crankwright."
	s.Required = jobNeeds
	for name, needs := range map[string][]string{
		"JobPermissible": {"grade", "mass", "speed"}, "JobPlane": {"at", "unbalance", "angle"}, "JobSite": {"way", "at", "angle", "radius"},
	} {
		if part := s.Definitions[name]; part != nil {
			part.Required = needs
		}
	}
	return schemaText(s)
}

// fileReflector makes schemas of the types of files.
func fileReflector() (*jsonschema.Reflector, error) {
	r := &jsonschema.Reflector{
		FieldNameTag:               "yaml",
		RequiredFromJSONSchemaTags: true,
		Anonymous:                  true,
		ExpandedStruct:             true,
		CommentMap:                 map[string]string{},
		Namer:                      schemaName,
	}
	return r, fieldComments(r.CommentMap)
}

func schemaText(s *jsonschema.Schema) ([]byte, error) {
	text, err := json.MarshalIndent(s, "", "  ")
	if err != nil {
		return nil, fmt.Errorf("schema: %w", err)
	}
	return append(text, '\n'), nil
}

// schemaName names a type in the schema: Quantity[Length] is Length, Word[cycleWords] is CycleWords.
func schemaName(t reflect.Type) string {
	name := t.Name()
	if name == "" {
		return ""
	}
	if i := strings.LastIndexAny(name, "./"); i >= 0 && strings.HasSuffix(name, "]") {
		name = strings.TrimSuffix(name[i+1:], "]")
	}
	return strings.ToUpper(name[:1]) + name[1:]
}

// fieldComments reads the doc comments of the file types into a map as package jsonschema wants it.
func fieldComments(into map[string]string) error {
	files, err := engineSource.ReadDir(".")
	if err != nil {
		return fmt.Errorf("engine schema: %w", err)
	}
	for _, f := range files {
		name := f.Name()
		text, err := engineSource.ReadFile(name)
		if err != nil {
			return fmt.Errorf("engine schema: %w", err)
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, text, parser.ParseComments)
		if err != nil {
			return fmt.Errorf("engine schema: %w", err)
		}
		commentsOf(file, into)
	}
	return nil
}

// commentsOf reads the doc comments of the types in one file.
func commentsOf(file *ast.File, into map[string]string) {
	const here = "crankwright/spec."
	ast.Inspect(file, func(n ast.Node) bool {
		decl, ok := n.(*ast.GenDecl)
		if !ok || decl.Tok != token.TYPE {
			return true
		}
		for _, spec := range decl.Specs {
			t := spec.(*ast.TypeSpec)
			body, ok := t.Type.(*ast.StructType)
			if !ok {
				continue
			}
			for _, f := range body.Fields.List {
				for _, name := range f.Names {
					into[here+t.Name.Name+"."+name.Name] = strings.Join(strings.Fields(f.Doc.Text()), " ")
				}
			}
		}
		return true
	})
}

// numberPattern is a decimal number as splitNumber reads it.
const numberPattern = `[-+−]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][-+]?[0-9]+)?`

// JSONSchema describes a quantity: a text with a number and a unit.
func (Quantity[D]) JSONSchema() *jsonschema.Schema {
	var d D
	dim := d.dimension()
	text := &jsonschema.Schema{Type: "string", Pattern: `^\s*` + numberPattern + `\s*$`}
	if len(dim.units) > 0 {
		text.Pattern = `^\s*` + numberPattern + `\s*[A-Za-zµμ°%1].*$`
		for _, u := range dim.units {
			text.Examples = append(text.Examples, "10 "+u)
		}
	}
	s := &jsonschema.Schema{OneOf: []*jsonschema.Schema{text}}
	if dim.bare {
		s.OneOf = append(s.OneOf, &jsonschema.Schema{Type: "number"})
	} else {
		s.OneOf = append(s.OneOf, &jsonschema.Schema{Const: 0})
	}
	s.Comments = dim.allowed()
	return s
}

func listOf(item *jsonschema.Schema) *jsonschema.Schema {
	return &jsonschema.Schema{Type: "array", Items: item}
}

// angleList is a list of angles, each with its unit, or the whole in quotes.
func angleList() []*jsonschema.Schema {
	return []*jsonschema.Schema{
		listOf(Quantity[Angle]{}.JSONSchema()),
		{Type: "string", Pattern: `^\[.*\]`},
	}
}

func wordSchema(words []string) *jsonschema.Schema {
	s := &jsonschema.Schema{Type: "string"}
	for _, w := range words {
		s.Enum = append(s.Enum, w)
	}
	return s
}

func textSchema() *jsonschema.Schema {
	return &jsonschema.Schema{OneOf: []*jsonschema.Schema{{Type: "string"}, {Type: "number"}}}
}

// JSONSchema describes a text, which may look like a number.
func (Text) JSONSchema() *jsonschema.Schema { return textSchema() }

// JSONSchema describes true or false.
func (Flag) JSONSchema() *jsonschema.Schema { return &jsonschema.Schema{Type: "boolean"} }

// JSONSchema describes one of the words.
func (Word[V]) JSONSchema() *jsonschema.Schema {
	var v V
	return wordSchema(v.words())
}

// JSONSchema describes one length or a list of them.
func (Lengths) JSONSchema() *jsonschema.Schema {
	one := Quantity[Length]{}.JSONSchema()
	return &jsonschema.Schema{AnyOf: []*jsonschema.Schema{one, listOf(one), {Type: "string", Pattern: `^\[.*\]`}}}
}

// JSONSchema describes a list of angles.
func (Angles) JSONSchema() *jsonschema.Schema { return &jsonschema.Schema{AnyOf: angleList()} }

// JSONSchema describes a list of angles or a trade word.
func (Pins) JSONSchema() *jsonschema.Schema {
	words := wordSchema(pinWordNames())
	words.Type = "" // 180 is a number for an editor
	for _, w := range pinWordNames() {
		if n, _, err := splitNumber(w); err == nil {
			words.Enum = append(words.Enum, n)
		}
	}
	return &jsonschema.Schema{AnyOf: append(angleList(), words)}
}

// JSONSchema describes a list of names.
func (Names) JSONSchema() *jsonschema.Schema { return listOf(textSchema()) }

// JSONSchema describes exhaust groups.
func (Groups) JSONSchema() *jsonschema.Schema {
	return &jsonschema.Schema{AnyOf: []*jsonschema.Schema{wordSchema(groupWords), listOf(listOf(textSchema()))}}
}

// JSONSchema describes labels.
func (Labels) JSONSchema() *jsonschema.Schema {
	return &jsonschema.Schema{AnyOf: []*jsonschema.Schema{wordSchema(labelWords), listOf(textSchema())}}
}

// JSONSchema describes a number of cylinders or their list.
func (Cylinders) JSONSchema() *jsonschema.Schema {
	return &jsonschema.Schema{AnyOf: []*jsonschema.Schema{
		{Type: "integer", Minimum: "1"}, listOf(&jsonschema.Schema{Ref: "#/$defs/Cylinder"}),
	}}
}

// JSONSchema describes counterweights: none, a balance factor or a list.
func (Counterweights) JSONSchema() *jsonschema.Schema {
	factor := &jsonschema.Schema{Type: "object", Required: []string{"balance_factor"}, Properties: jsonschema.NewProperties(), AdditionalProperties: jsonschema.FalseSchema}
	factor.Properties.Set("balance_factor", Quantity[Share]{}.JSONSchema())
	return &jsonschema.Schema{AnyOf: []*jsonschema.Schema{
		wordSchema([]string{"none"}), factor, listOf(&jsonschema.Schema{Ref: "#/$defs/Unbalance"}),
	}}
}
