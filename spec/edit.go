package spec

// Change sets or removes one key of a file.
type Change struct {
	Path string
	Text *string
}

// EditError says why a change cannot be made.
type EditError struct {
	Index   int // which of the changes
	Path    string
	What    string
	Allowed string
}

func (e *EditError) Error() string { return e.Path + ": " + e.What }

// Edit applies changes.
func Edit(data []byte, changes []Change) ([]byte, error) { return data, nil }
