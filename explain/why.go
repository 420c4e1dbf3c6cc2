package explain

import (
	"fmt"
	"math"
	"math/cmplx"
	"strings"

	"crankwright/analysis"
	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// PartName names the part that a contribution comes from.
//
// Result such as "cylinder 3", "throw 1", "counterweight 2", "shaft 1" [-]. Definition.
func PartName(t *layout.Train, c inertia.Contribution) string {
	switch c.Kind {
	case inertia.FromThrow:
		return "throw " + t.Throws[c.Index].Name
	case inertia.FromCounterweight:
		return fmt.Sprintf("counterweight %d", c.Index+1)
	case inertia.FromShaft:
		return fmt.Sprintf("shaft %d", c.Index+1)
	default:
		return "cylinder " + t.Cylinders[c.Index].Name
	}
}

// names joins part names and says "cylinders 1 and 4" instead of "cylinder 1 and cylinder 4".
func names(parts []string) string {
	var out []string
	for i := 0; i < len(parts); {
		kind, _, _ := strings.Cut(parts[i], " ")
		var which []string
		seen := map[string]bool{}
		for i < len(parts) && strings.HasPrefix(parts[i], kind+" ") {
			if w := strings.TrimPrefix(parts[i], kind+" "); !seen[w] {
				seen[w] = true
				which = append(which, w)
			}
			i++
		}
		if len(which) > 1 {
			kind += "s"
		}
		out = append(out, kind+" "+num.List(which, "and"))
	}
	return num.List(out, "and")
}

// mostListed is how many cylinders a sentence lists one by one.
const mostListed = 12

// angles says what the order makes of the throw angles, where all cylinders stand on one axis.
func (e *explainer) angles() []string {
	t := e.r.Train
	if e.k%2 == 1 || len(t.Cylinders) < 2 || len(t.Cylinders) > mostListed {
		return nil
	}
	var pins, counted []string
	for i := range t.Cylinders {
		c := &t.Cylinders[i]
		if c.Axis != t.Cylinders[0].Axis || !central(c) {
			return nil
		}
		ψ := float64((t.Throws[c.Throw].Angle - c.Axis).Wrap(num.Turn))
		pins = append(pins, degrees(ψ))
		counted = append(counted, degrees(float64(num.Angle(e.n*ψ).Wrap(num.Turn))))
	}
	if e.k == 2 {
		return []string{fmt.Sprintf("The throws stand at %s from the cylinder axis, and so do the vectors of this order.", num.List(pins, "and"))}
	}
	return []string{fmt.Sprintf("This order counts every angle %s times: throws at %s push as if they stood at %s.", num.Digits(e.n, 3), num.List(pins, "and"), num.List(counted, "and"))}
}

// central says whether a cylinder's vectors point where the identity of docs/notation.md says: its rod
// sits on the crankpin and its piston pin runs through the crank axis.
func central(c *layout.Cylinder) bool { return !c.Rod.Linked && c.Offset+c.Piston.PinOffset == 0 }

// pair says, for two cylinders on one throw with different axes, how their vectors stand to each
// other and, where the identity holds for both, why: turning an axis by δ turns the with-crank vector by
// −(n−1)δ and the against-crank vector by (n+1)δ; turning a pin by ε turns them by nε and −nε.
func (e *explainer) pair() []string {
	t := e.r.Train
	i, j := pairOnThrow(t)
	if e.k%2 == 1 || i < 0 {
		return nil
	}
	a, b := &t.Cylinders[i], &t.Cylinders[j]
	first, second := e.ofCylinder(i), e.ofCylinder(j)
	if first == nil || second == nil {
		return nil
	}
	δ := turnBetween(float64(a.Axis), float64(b.Axis))
	ε := turnBetween(float64(t.Throws[a.Throw].Angle), float64(t.Throws[b.Throw].Angle))
	pins := "share one pin"
	if a.Rod.Linked || b.Rod.Linked {
		pins = "are on one throw"
	}
	if math.Abs(ε) > sameDirection {
		pins = fmt.Sprintf("have pins %s apart", degrees(math.Abs(ε)))
	}
	line := fmt.Sprintf("Cylinders %s and %s %s and have axes %s apart", a.Name, b.Name, pins, degrees(math.Abs(δ)))
	if central(a) && central(b) {
		line += fmt.Sprintf(". An axis turned by δ turns the with-crank vector by %s and the against-crank vector by %s", timesDelta(-(e.n - 1)), timesDelta(e.n+1))
		if math.Abs(ε) > sameDirection {
			line += fmt.Sprintf(", a pin turned by ε turns them by %s and %s", strings.Replace(timesDelta(e.n), "δ", "ε", 1), strings.Replace(timesDelta(-e.n), "δ", "ε", 1))
		}
	}
	return []string{line + fmt.Sprintf(": with the crank their vectors stand %s; against it, %s.",
		together(first.With, second.With), together(first.Against, second.Against))}
}

// ofCylinder returns what a cylinder adds to the order.
func (e *explainer) ofCylinder(i int) *inertia.Contribution {
	for j := range e.parts {
		if c := &e.parts[j]; c.Kind == inertia.FromCylinder && c.Index == i {
			return c
		}
	}
	return nil
}

// together says how two vectors stand to each other and what they make together.
func together(a, b complex128) string {
	p, q := cmplx.Abs(a), cmplx.Abs(b)
	if p == 0 || q == 0 {
		return "alone"
	}
	apart := math.Abs(turnBetween(cmplx.Phase(a), cmplx.Phase(b)))
	say := degrees(apart) + " apart and "
	if math.Abs(p-q) > 1e-6*math.Max(p, q) {
		return say + fmt.Sprintf("add %s and %s to %s", num.Shown(p, "N"), num.Shown(q, "N"), num.Shown(cmplx.Abs(a+b), "N"))
	}
	switch {
	case apart < sameDirection:
		return say + "add in full"
	case math.Pi-apart < sameDirection:
		return say + "cancel"
	default:
		return say + fmt.Sprintf("add to %s times one of them", num.Digits(cmplx.Abs(a+b)/p, 3))
	}
}

func timesDelta(f float64) string {
	switch {
	case math.Abs(f) < 1e-9:
		return "nothing"
	case f == 1:
		return "δ"
	case f == -1:
		return "−δ"
	case f < 0:
		return "−" + num.Digits(-f, 3) + "δ"
	default:
		return num.Digits(f, 3) + "δ"
	}
}

// pairOnThrow finds two cylinders of one throw, or of pins split from one, whose axes differ; −1: none.
func pairOnThrow(t *layout.Train) (first, second int) {
	for i := range t.Cylinders {
		for j := range i {
			a, b := &t.Cylinders[j], &t.Cylinders[i]
			if math.Abs(turnBetween(float64(a.Axis), float64(b.Axis))) < sameDirection {
				continue
			}
			if t.Throws[a.Throw].Pair == t.Throws[b.Throw].Pair {
				return j, i
			}
		}
	}
	return -1, -1
}

// torque explains the inertia torque and the roll moment of an order.
func (e *explainer) torque(o analysis.Order) Section {
	s := Section{Heading: num.Capital(orderName(e.k)) + ": torque"}
	var pulses []arrow
	for _, c := range e.parts {
		if c.Torque != 0 {
			pulses = append(pulses, arrow{name: PartName(e.r.Train, c), vector: c.Torque})
		}
	}
	star := rays(pulses)
	if len(star) == 0 && o.Roll == 0 {
		return s
	}
	switch torque := cmplx.Abs(o.Torque); {
	case len(star) == 0:
	case torque == 0:
		s.Lines = append(s.Lines, fmt.Sprintf("The inertia torques of this order cancel between the cylinders: %d of them, spread evenly over the %s.", len(pulses), orderName(e.k)))
	case len(star) == 1 && len(pulses) > 1:
		s.Lines = append(s.Lines, fmt.Sprintf("All %d cylinders pull and push the crank at the same moments of this order, so their inertia torques add up to %s.", len(pulses), num.Shown(torque, "N m")))
	default:
		s.Lines = append(s.Lines, fmt.Sprintf("The inertia torque of this order reaches %s on the crank.", num.Shown(torque, "N m")))
	}
	if cmplx.Abs(o.Torque) > 0 {
		s.Lines = append(s.Lines, "No mass that turns steadily changes the inertia torque: only speed, lighter pistons and rods, or more cylinders do.")
	}
	if roll := cmplx.Abs(o.Roll); roll > 0 {
		s.Lines = append(s.Lines, fmt.Sprintf("On the block it appears as a roll moment of %s about the crank axis; masses on two shafts at different heights can take that.", num.Shown(roll, "N m")))
	}
	return s
}
