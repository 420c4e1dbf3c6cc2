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

// space computes room and mass. That they cannot be found is no error of the rest.
func (r *Result) space(opt Options, like *Result) {
	if opt.Strict {
		if r.NoSpace = lacks(r.Train, OfSpace); r.NoSpace != "" {
			return
		}
	}
	var err error
	switch {
	case opt.Scope == Everything:
		r.Space, err = Space(r.Train)
	case like != nil:
		r.Space, err = envelope.Size(r.Train, like.Space)
	default:
		r.Space, err = envelope.Size(r.Train, nil)
	}
	if err != nil {
		r.NoSpace = Said(err)
	}
}

// spaceFigures lists the numbers of room and mass; none where they were not asked for.
func spaceFigures(e *envelope.Envelope) []Figure {
	if e == nil {
		return nil
	}
	out := []Figure{
		{"length", "Length", "mm", 1e3 * e.Length, -1},
		{"width", "Width", "mm", 1e3 * e.Width, -1},
		{"height", "Height", "mm", 1e3 * e.Height, -1},
		{"dry_mass", "Dry mass", "kg", e.Dry.Mass, -1},
		{"centre_height", "Centre of gravity above crank axis", "mm", 1e3 * e.CentreAbove, -1},
	}
	if e.Banks > 0 {
		out = append(out, Figure{"bank_width", "Width over the heads", "mm", 1e3 * e.Banks, -1})
	}
	return out
}
