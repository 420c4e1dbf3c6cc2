package explain

import (
	"fmt"
	"math"

	"crankwright/mechanics/envelope"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Space says how large and heavy an engine is, what sets its length, where its centre of gravity lies, and what meets.
//
//   - t: whose train
//   - e: of analysis.Space
//
// Result: sentences with lengths [mm] and masses [kg]. Definition.
func Space(t *layout.Train, e *envelope.Envelope) []string {
	mm := func(x float64) string { return num.Digits(1e3*x, 3) + " mm" }
	out := []string{fmt.Sprintf("%s long, %s wide and %s high; %s kg dry, %s kg with oil and coolant.",
		mm(e.Length), mm(e.Width), mm(e.Height), num.Digits(e.Dry.Mass, 3), num.Digits(e.Body.Mass, 3))}
	where := "above"
	if e.CentreAbove < 0 {
		where = "below"
	}
	out = append(out, fmt.Sprintf("The centre of gravity lies %s %s the crank axis and %s above the lowest point.", mm(math.Abs(e.CentreAbove)), where, mm(e.CentreBottom)))
	longer, by := "The crank ends the block", e.Extents.Crank()-e.Extents.Bores()
	if by < 0 {
		longer, by = "The bores end the block", -by
	}
	if by < 5e-4 {
		out = append(out, "Crank and bores are equally long.")
	} else {
		out = append(out, fmt.Sprintf("%s: over its end mains the crank is %s long, over bores and walls %s are needed.", longer, mm(e.Extents.Crank()), mm(e.Extents.Bores())))
	}
	var heavy envelope.Piece
	for _, p := range e.Pieces {
		if p.Body.Mass > heavy.Body.Mass {
			heavy = p
		}
	}
	out = append(out, fmt.Sprintf("Heaviest part: %s, %s kg.", heavy.Part, num.Digits(heavy.Body.Mass, 3)))
	if t.Block.DryMass > 0 {
		out = append(out, fmt.Sprintf("Parts that nobody weighed are scaled by %s to the weighed dry mass.", num.Digits(e.Scale, 3)))
	}
	for _, c := range e.Clearances {
		if c.Conflict() {
			out = append(out, fmt.Sprintf("Conflict: %s, %s: they meet by %s; %s.", c.Kind, c.Parts, mm(-c.Room), c.Means))
		}
	}
	return append(out, e.Cautions...)
}

// BoreStroke says what bore against stroke does to the length of an engine, and why.
//
//   - b: of envelope.OverBore
//
// Result: sentences with lengths [mm]. Definition.
func BoreStroke(b *envelope.BoreStroke) []string {
	p := &b.Present
	out := []string{fmt.Sprintf("A millimetre of bore at this displacement makes the engine %s mm longer.", num.Digits(b.Slope, 3))}
	n := len(p.Steps)
	switch {
	case n == 0:
		out = append(out, "There is one throw alone, so that only the ends grow with the bore.")
	case p.BoresSet == n:
		out = append(out, "The bores set every pitch: each grows with the bore and its wall.")
	case p.BoresSet == 0:
		out = append(out, "The crank sets every pitch: journals, webs and pins between two throws ask for more than one bore does, so that only the ends can grow with the bore.")
	default:
		out = append(out, fmt.Sprintf("The bores set %d of %d pitches, the crank the others.", p.BoresSet, n))
	}
	if d := b.Have - p.Length; d > 5e-4 {
		out = append(out, fmt.Sprintf("The engine as it stands is %s mm longer than bores and crank ask for.", num.Digits(1e3*d, 3)))
	}
	for i := 1; i < len(b.Points); i++ {
		if l, r := &b.Points[i-1], &b.Points[i]; l.BoresSet == 0 && r.BoresSet > 0 {
			out = append(out, fmt.Sprintf("Between bores of %s and %s mm the bores overtake the crank.", num.Digits(1e3*l.Bore, 3), num.Digits(1e3*r.Bore, 3)))
		}
	}
	return out
}
