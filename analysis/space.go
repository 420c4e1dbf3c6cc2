package analysis

import (
	"crankwright/mechanics/envelope"
	"crankwright/mechanics/layout"
)

// Space returns the room that an engine takes and what it weighs.
//
//   - t: a train that layout.Validate accepts, with the sizes of its block as package estimate fills them
//
// Result [m], [kg], [kg m²] in the engine's own axes, see package envelope. Errors: those of envelope.Of. Definition.
func Space(t *layout.Train) (*envelope.Envelope, error) { return envelope.Of(t) }
