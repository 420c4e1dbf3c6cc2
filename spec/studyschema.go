package spec

import (
	"reflect"

	"github.com/invopop/jsonschema"
)

// StudySchema returns the JSON Schema (2020-12) of studies. What the values of a key may be is left to ReadStudy.
func StudySchema() ([]byte, error) {
	r, err := fileReflector()
	if err != nil {
		return nil, err
	}
	s := r.Reflect(&StudyFile{})
	s.ID = "urn:crankwright:schema:study"
	s.Title = "Study"
	s.Description = "Which engines a search of Crankwright looks at, and what is wanted of them."
	s.Required = studyNeeds
	s.AnyOf = []*jsonschema.Schema{{Required: []string{"minimise"}}, {Required: []string{"maximise"}}, {Required: []string{"brief"}}}
	s.Definitions["Variation"] = variationSchema()
	return schemaText(s)
}

// JSONSchema describes what varies, by the keys of an engine file.
func (StudyVary) JSONSchema() *jsonschema.Schema {
	help := fieldHelp()
	one := uint64(1)
	s := keyedSchema((&StudyVary{}).keys(), func(key string) *jsonschema.Schema {
		says := map[string]string{
			StrokeOverBore: "Stroke over bore, at the displacement of the base.",
			RodOverThrow:   "Rod length over crank radius.",
		}[key]
		if says == "" {
			says = helpOf(help, splitPath(key))
		}
		return &jsonschema.Schema{Ref: "#/$defs/Variation", Description: says}
	}, jsonschema.FalseSchema)
	s.PatternProperties = map[string]*jsonschema.Schema{`^[a-z_.]+\[[0-9]+\]`: {Ref: "#/$defs/Variation"}}
	s.MinProperties = &one
	return s
}

// helpOf returns the doc comment of the field at a path of an engine file.
func helpOf(help map[string]string, steps []string) string {
	t := typeOf(reflect.TypeFor[Engine](), steps[:len(steps)-1])
	if t == reflect.TypeFor[Counterweights]() {
		return "Share of the sliding masses that the counterweights take."
	}
	i := fieldsOf(t).index[steps[len(steps)-1]]
	return help[t.Name()+"."+t.Field(i).Name]
}

// variationSchema describes the values of one key.
func variationSchema() *jsonschema.Schema {
	scalar := &jsonschema.Schema{OneOf: []*jsonschema.Schema{{Type: "string"}, {Type: "number"}, {Type: "boolean"}}}
	three := []string{"from", "to", "step"}
	steps := keyedSchema(three, func(string) *jsonschema.Schema { return textSchema() }, jsonschema.FalseSchema)
	steps.Required, steps.Description = three, "values in steps, both ends included"
	all := keyedSchema([]string{"all", "twins"}, func(key string) *jsonschema.Schema {
		if key == "twins" {
			return wordSchema(twinWords{}.words())
		}
		return Quantity[Angle]{}.JSONSchema()
	}, jsonschema.FalseSchema)
	all.Description = "layout.pins: all distinct phasings in a step; twins by symmetry count once, or stand apart"
	one := uint64(1)
	list := listOf(&jsonschema.Schema{AnyOf: []*jsonschema.Schema{scalar, {Type: "array"}, {Type: "object"}}})
	list.MinItems = &one
	whole := keyedSchema(nil, nil, jsonschema.TrueSchema)
	var none []*jsonschema.Schema
	for _, key := range append(three, "all", "twins") {
		none = append(none, &jsonschema.Schema{Required: []string{key}})
	}
	whole.Not = &jsonschema.Schema{AnyOf: none}
	return &jsonschema.Schema{AnyOf: []*jsonschema.Schema{list, steps, all, scalar, whole}}
}

// JSONSchema describes a list of measures.
func (StudyMeasures) JSONSchema() *jsonschema.Schema {
	one := uint64(1)
	list := listOf(wordSchema(measureNames()))
	list.MinItems, list.UniqueItems = &one, true
	return list
}
