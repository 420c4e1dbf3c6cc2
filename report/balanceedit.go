package report

// EditDoc is a change of an engine file, as spec.Edit takes it: what a tool proposes, ready to be made.
type EditDoc struct {
	Path string `json:"path" jsonschema_description:"key of the engine file"`
	Text string `json:"text" jsonschema_description:"its new value, as the file writes it"`
}
