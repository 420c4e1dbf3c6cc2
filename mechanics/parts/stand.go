package parts

import (
	"cmp"
	"fmt"
	"math"
	"math/cmplx"
	"slices"

	"crankwright/mechanics/envelope"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Bank is a row of cylinders with one axis angle.
type Bank struct {
	Name      string    // bank and its name in the train, or its number
	Axis      num.Angle // from +z about +x, within a turn [rad]
	Cylinders []int     // along the crank, free end first
	Deck      float64   // distance of its deck from the crank axis, along the cylinder axis [m]
}

// Stand is how the cylinders of a train stand round its crank.
type Stand struct {
	Banks    []Bank    // in the train's order, those of one bank by axis angle
	Star     bool      // the axes leave no half turn free: a radial engine
	Hangs    bool      // a cylinder points down, where a sump would stand
	Included num.Angle // of two banks: the angle between them, at most π [rad]; else 0
	Opposed  bool      // two banks that face each other
}

// sameAxis is the angle below which two axes are one [rad].
const sameAxis = 1e-6

// hanging is the cosine of the lean from which a cylinder leaves no place for a sump [1].
const hanging = -0.2

// StandOf says how the cylinders of a train stand.
//
//	deck = √((r + l)² − e²) + h       l with the knuckle radius of a linked rod, h crown above pin
//
// with
//   - t: a train that layout.Validate accepts
//
// Result: places in [m], angles in [rad]. Cylinders of one bank of the train whose axes differ are told apart. The deck is that of
// the bank's highest piston. Definition: a star is a train whose axes leave no half turn free.
func StandOf(t *layout.Train) Stand {
	var s Stand
	order := make([]int, len(t.Cylinders))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return along(t, a, b) })
	names := map[int]int{} // bank of the train of each of ours
	for _, i := range order {
		c := &t.Cylinders[i]
		at := slices.IndexFunc(s.Banks, func(b Bank) bool {
			return names[b.Cylinders[0]] == c.Bank && apart(b.Axis, c.Axis) < sameAxis
		})
		names[i] = c.Bank
		if at < 0 {
			s.Banks = append(s.Banks, Bank{Axis: c.Axis.Wrap(num.Turn)})
			at = len(s.Banks) - 1
		}
		b := &s.Banks[at]
		b.Cylinders = append(b.Cylinders, i)
		b.Deck = math.Max(b.Deck, deckOf(t, i))
	}
	slices.SortStableFunc(s.Banks, func(a, b Bank) int {
		first, other := a.Cylinders[0], b.Cylinders[0]
		switch x := t.Cylinders[first].Bank - t.Cylinders[other].Bank; {
		case x != 0:
			return x
		case a.Axis < b.Axis-sameAxis:
			return -1
		case a.Axis > b.Axis+sameAxis:
			return 1
		}
		return along(t, first, other)
	})
	s.name(t)
	axes := make([]num.Angle, len(s.Banks))
	for k, b := range s.Banks {
		axes[k] = b.Axis
		s.Hangs = s.Hangs || math.Cos(float64(b.Axis)) < hanging
	}
	s.Star = envelope.Star(axes)
	if len(s.Banks) == 2 {
		s.Included = apart(s.Banks[0].Axis, s.Banks[1].Axis)
		s.Opposed = math.Abs(float64(s.Included)-math.Pi) < 1e-6
	}
	return s
}

// along compares two cylinders by their place, then by name.
func along(t *layout.Train, a, b int) int {
	x, y := &t.Cylinders[a], &t.Cylinders[b]
	return cmp.Or(cmp.Compare(x.At, y.At), cmp.Compare(x.Name, y.Name))
}

// apart is the angle between two directions, from 0 to π.
func apart(a, b num.Angle) num.Angle {
	d := (a - b).Wrap(num.Turn)
	return min(d, num.Turn-d)
}

// HasSump reports whether an engine has a sump: as its block says, or where that is unknown, wherever there is place for one.
//
//   - t: a train; the sump depth of its block counts where it has a deck height [m]
//   - s: its stand
//
// Source: PRACTICE, the oil of a star and of hanging cylinders goes to a tank.
func HasSump(t *layout.Train, s Stand) bool {
	if t.Block.DeckHeight > 0 {
		return t.Block.SumpDepth > 0
	}
	return !s.Hangs
}

// deckOf is the distance of a cylinder's deck from the crank axis, along its axis.
func deckOf(t *layout.Train, i int) float64 {
	c := &t.Cylinders[i]
	reach := c.Rod.Length
	if c.Throw >= 0 && c.Throw < len(t.Throws) { // trains that are being read may be wrong still
		reach += t.Throws[c.Throw].Radius
	}
	if c.Rod.Linked {
		reach += c.Rod.KnuckleRadius
	}
	e := c.Offset + c.Piston.PinOffset
	crown := c.Piston.CompressionHeight
	if crown == 0 {
		crown = envelope.UsualCrown * t.Bore
	}
	return math.Sqrt(math.Max(0, reach*reach-e*e)) + crown
}

// direction is the unit vector of an axis angle in the plane y + iz.
func direction(axis num.Angle) complex128 { return 1i * axis.Unit() }

// axisOf is the axis angle of a direction.
func axisOf(u complex128) num.Angle { return num.Angle(cmplx.Phase(u / 1i)) }

// name gives the banks the names that they have in the train, or numbers where it has none or two would be called alike.
func (s *Stand) name(t *layout.Train) {
	seen := map[string]bool{"": true}
	own := true
	for k := range s.Banks {
		name := ""
		if at := t.Cylinders[s.Banks[k].Cylinders[0]].Bank; at >= 0 && at < len(t.Banks) {
			name = t.Banks[at].Name
		}
		own = own && !seen[name]
		seen[name] = true
		s.Banks[k].Name = "bank " + name
	}
	for k := range s.Banks {
		switch {
		case len(s.Banks) == 1:
			s.Banks[k].Name = "the bank"
		case !own:
			s.Banks[k].Name = fmt.Sprintf("bank %d", k+1)
		}
	}
}
