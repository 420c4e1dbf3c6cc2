package firing

import (
	"fmt"

	"crankwright/mechanics/layout"
	"crankwright/mechanics/motion"
	"crankwright/num"
)

// TopDeadCentres returns the true top dead centre of every cylinder, from the geometry.
//
//   - t: a valid train
//
// Result [rad]: by cylinder index, from 0 up to below 2π; offsets and articulated rods included.
// Errors: those of motion.TopDeadCentre, with the name of the cylinder. Definition.
func TopDeadCentres(t *layout.Train) ([]num.Angle, error) {
	out := make([]num.Angle, len(t.Cylinders))
	for c := range out {
		a, err := motion.TopDeadCentre(t, c)
		if err != nil {
			return nil, fmt.Errorf("top dead centre of cylinder %s: %w", t.Cylinders[c].Name, err)
		}
		out[c] = a
	}
	return out, nil
}
