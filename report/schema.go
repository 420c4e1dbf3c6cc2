package report

import (
	"encoding/json"

	"github.com/invopop/jsonschema"
)

// SchemaFile is the name under which the schema of results is published.
const SchemaFile = "result.schema.json"

// Schema returns the JSON Schema (draft 2020-12) of the object that evaluate --json prints,
// generated from the types of this package. Keys that it does not know are allowed, because later
// versions add some.
func Schema() ([]byte, error) {
	r := jsonschema.Reflector{AllowAdditionalProperties: true, Anonymous: true}
	s := r.Reflect(&Document{})
	s.ID = "urn:crankwright:schema:result"
	s.Title = "Crankwright result"
	s.Description = "What is known of one engine at one crank speed. Units stand in the keys; complex numbers are [re, im]. x runs along the crank to the drive end, z up, y right seen from the drive end."
	raw, err := json.Marshal(s)
	if err != nil {
		return nil, err
	}
	var v any
	if err := json.Unmarshal(raw, &v); err != nil {
		return nil, err
	}
	return Encode(v)
}
