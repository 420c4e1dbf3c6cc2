package bearing

import (
	"fmt"
	"math"

	"crankwright/mechanics/layout"
)

// BigEnds returns the rods of a train by the big-end bearing that they share.
//
//   - t: a train
//
// Result: indices of cylinders, a list a bearing, in the sequence of its first rod [-]. Rods of one throw that stand at
// one place along the crank, as fork and blade or slipper rods do, share one bearing surface on the pin: one bush, which
// moves with the first of them and carries the resultant of all. A linked rod has no bearing on a crankpin.
// Source: PRACTICE, rods in one plane.
func BigEnds(t *layout.Train) [][]int {
	var out [][]int
next:
	for i := range t.Cylinders {
		c := &t.Cylinders[i]
		if c.Rod.Linked {
			continue
		}
		for k, rods := range out {
			if first := &t.Cylinders[rods[0]]; first.Throw == c.Throw && math.Abs(first.At-c.At) < 1e-6 {
				out[k] = append(rods, i)
				continue next
			}
		}
		out = append(out, []int{i})
	}
	return out
}

// PinBearing returns one big-end bearing: its share of the crankpin.
//
//	b = (width − 2 r)/bearings
//
// with
//   - t: a train
//   - throw: index of the throw
//
// Result [m]: bearings are those of BigEnds that stand side by side on the pin; rods in one plane share one, and linked
// rods take no room of their own. Clearances between rods are left out. ErrNoWidths where it is unknown, ErrNoArea
// where nothing is left. Source: PRACTICE, a bearing keeps clear of the fillets.
func PinBearing(t *layout.Train, throw int) (layout.Journal, error) {
	if throw < 0 || throw >= len(t.Throws) {
		return layout.Journal{}, fmt.Errorf("bearing: there is no throw %d; the crank has %d", throw+1, len(t.Throws))
	}
	return clearOfFillets(t.Crank.Crankpin, t.Crank.Fillet, max(1, sideBySide(t, throw)))
}

// sideBySide returns how many big-end bearings stand side by side on a pin.
func sideBySide(t *layout.Train, throw int) int {
	n := 0
	for _, rods := range BigEnds(t) {
		if t.Cylinders[rods[0]].Throw == throw {
			n++
		}
	}
	return n
}
