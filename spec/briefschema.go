package spec

import (
	"github.com/invopop/jsonschema"

	"crankwright/brief"
)

// BriefSchema returns the JSON Schema (2020-12) of briefs.
func BriefSchema() ([]byte, error) {
	r, err := fileReflector()
	if err != nil {
		return nil, err
	}
	s := r.Reflect(&BriefFile{})
	s.ID = "urn:crankwright:schema:brief"
	s.Title = "Brief"
	s.Description = "What an application wants of an engine, for Crankwright: limits that rule out, and priorities."
	s.Required = briefNeeds
	return schemaText(s)
}

// JSONSchema describes a text of some sentences.
func (LongText) JSONSchema() *jsonschema.Schema { return textSchema() }

// keyedSchema describes a map by its keys.
func keyedSchema(keys []string, of func(key string) *jsonschema.Schema, rest *jsonschema.Schema) *jsonschema.Schema {
	s := &jsonschema.Schema{Type: "object", Properties: jsonschema.NewProperties(), AdditionalProperties: rest}
	for _, k := range keys {
		s.Properties.Set(k, of(k))
	}
	return s
}

// measuredSchema describes a value of a measure, perhaps with a sign before it.
func measuredSchema(key, before string) *jsonschema.Schema {
	m, _ := brief.MeasureOf(key)
	dim := measureDimension(m.Unit)
	text := &jsonschema.Schema{Type: "string", Pattern: `^\s*` + before + `\s*` + numberPattern + `\s*.*$`}
	s := &jsonschema.Schema{OneOf: []*jsonschema.Schema{text}, Description: m.Name, Comments: dim.allowed()}
	if dim.bare {
		s.OneOf = append(s.OneOf, &jsonschema.Schema{Type: "number"})
	} else {
		s.OneOf = append(s.OneOf, &jsonschema.Schema{Const: 0})
	}
	return s
}

// JSONSchema describes limits by measure.
func (BriefLimits) JSONSchema() *jsonschema.Schema {
	two := uint64(2)
	return keyedSchema(measureNames(), func(key string) *jsonschema.Schema {
		one := measuredSchema(key, "(<=|>=|≤|≥)?")
		both := listOf(one)
		both.MinItems, both.MaxItems = &two, &two
		return &jsonschema.Schema{AnyOf: []*jsonschema.Schema{one, both}, Description: one.Description}
	}, jsonschema.FalseSchema)
}

func weightSchema(says string) *jsonschema.Schema {
	two := uint64(2)
	number := &jsonschema.Schema{Type: "number", Minimum: "0", Maximum: "10"}
	ends := listOf(number)
	ends.MinItems, ends.MaxItems = &two, &two
	return &jsonschema.Schema{AnyOf: []*jsonschema.Schema{number, ends}, Description: says}
}

// JSONSchema describes priorities: words of the trade, measures with a better side, and words that made_of explains.
func (BriefPriorities) JSONSchema() *jsonschema.Schema {
	return keyedSchema(append(aimNames(), betterMeasures()...), func(key string) *jsonschema.Schema {
		a, _ := brief.AimOf(key)
		return weightSchema(a.Means)
	}, weightSchema("a word that made_of explains"))
}

// JSONSchema describes reasons by limit or priority.
func (BriefReasons) JSONSchema() *jsonschema.Schema {
	return &jsonschema.Schema{Type: "object", AdditionalProperties: textSchema()}
}

// JSONSchema describes what priorities are made of.
func (BriefParts) JSONSchema() *jsonschema.Schema {
	share := keyedSchema(betterMeasures(), func(string) *jsonschema.Schema {
		return &jsonschema.Schema{Type: "number", ExclusiveMinimum: "0"}
	}, jsonschema.FalseSchema)
	return &jsonschema.Schema{Type: "object", AdditionalProperties: share}
}

// betterMeasures are those with a better side.
func betterMeasures() []string {
	var out []string
	for _, m := range brief.Measures() {
		if m.Better != 0 {
			out = append(out, m.Key)
		}
	}
	return out
}

// JSONSchema describes value functions by measure.
func (BriefWorths) JSONSchema() *jsonschema.Schema {
	return keyedSchema(betterMeasures(), func(key string) *jsonschema.Schema {
		value := measuredSchema(key, "")
		worth := &jsonschema.Schema{Type: "number", Minimum: "0", Maximum: "1"}
		object := func(a, b string, of *jsonschema.Schema) *jsonschema.Schema {
			s := keyedSchema([]string{a, b}, func(k string) *jsonschema.Schema {
				if k == "worth" {
					return of
				}
				return value
			}, jsonschema.FalseSchema)
			s.Required = []string{a, b}
			return s
		}
		return &jsonschema.Schema{AnyOf: []*jsonschema.Schema{object("worst", "best", value), listOf(object("at", "worth", worth))}, Description: value.Description}
	}, jsonschema.FalseSchema)
}
