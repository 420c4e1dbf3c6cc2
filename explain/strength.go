package explain

import (
	"fmt"
	"math"

	"crankwright/analysis"
	"crankwright/mechanics/strength"
	"crankwright/num"
)

// Strength says where a crank is weakest, by how much, and what would help.
//
//   - s: a result of analysis.Driver
//
// Result: sentences with stresses [MPa] and lengths [mm]. Definition.
func Strength(s *analysis.Strength) []string {
	w := s.Worst()
	if w == nil {
		for i := range s.Webs {
			if s.Webs[i].Refused != "" {
				return []string{"The rule does not hold for this crank: " + s.Webs[i].Refused + ". Change the size, or ask for the labelled approximation beyond the rule."}
			}
		}
		return []string{"No web stands beside a main bearing: there is nothing to assess."}
	}
	a := w.Assessment
	p := a.Worst()
	out := []string{fmt.Sprintf("The weakest point is the %s of the web %s: an equivalent stress of %s MPa against a fatigue strength of %s MPa, an acceptability factor of %s where the rule demands %s.",
		p.Name, w.Name, num.Digits(p.Equivalent/1e6, 3), num.Digits(p.Fatigue/1e6, 3), num.Digits(p.Q, 3), num.Digits(strength.Required, 3))}
	switch {
	case p.Q < strength.Required:
		out[0] += " It is too weak."
		if c := cheapest(w.Changes); c != nil {
			out = append(out, fmt.Sprintf("The smallest change that would reach it: %s from %s to %s mm.", c.Size, num.Digits(1e3*c.Now, 3), num.Digits(1e3*(c.Now+c.Least), 3)))
		}
	default:
		out[0] += fmt.Sprintf(" It takes %s %% of what the rule allows.", num.Digits(100*a.Use(), 3))
	}
	switch share := p.TorsionShare(); {
	case share > 0.9:
		out = append(out, "Almost all of it is torsion: "+twistWords(s, w))
	case share < 0.3:
		out = append(out, "Almost all of it is bending by the forces on the pin: torsion hardly counts there.")
	default:
		out = append(out, fmt.Sprintf("Torsion has its part in it (%s MPa of local shear): %s", num.Digits(p.Torsion/1e6, 3), twistWords(s, w)))
	}
	if c := best(w.Changes); c != nil && c.Gain > 0 {
		out = append(out, fmt.Sprintf("A millimetre more of %s buys most: an acceptability factor of %s.", c.Size, num.Digits(c.Q, 3)))
	}
	if text := spareWords(s, w); text != "" {
		out = append(out, text)
	}
	if len(a.Outside) > 0 {
		out = append(out, "This is an approximation beyond the rule: "+a.Outside[0].String()+"; the ratio was held at the end of the range.")
	}
	return out
}

// spareWords says how much metal could go; empty where there is none.
func spareWords(s *analysis.Strength, w *analysis.WebStrength) string {
	var list []string
	for _, size := range []strength.Size{strength.WebThickness, strength.PinDiameter, strength.JournalSize} {
		least, bound, ok := s.Spare(size)
		now := *size.Of(&w.Assessment.Throw)
		if !ok || now-least < 1e-4 {
			continue
		}
		text := fmt.Sprintf("%s %s mm (now %s mm", size, num.Digits(1e3*least, 3), num.Digits(1e3*now, 3))
		if !bound {
			text += "; the rule knows no less"
		}
		list = append(list, text+")")
	}
	if list == nil {
		return ""
	}
	return fmt.Sprintf("With the loads as they are the rule is met down to one of these: %s.", num.List(list, "or"))
}

func twistWords(s *analysis.Strength, w *analysis.WebStrength) string {
	if s.Twist {
		return fmt.Sprintf("%s alternate in the pin, as the torsional vibration has it at %s rpm.", num.Shown(w.Loads.PinTorque, "N m"), speedShown(w.TwistSpeed))
	}
	return fmt.Sprintf("%s alternate in the pin, as if the shaft were stiff; torsional vibration may add much to it.", num.Shown(w.Loads.PinTorque, "N m"))
}

func cheapest(list []strength.Change) *strength.Change {
	var found *strength.Change
	for i := range list {
		c := &list[i]
		if c.Reaches && (found == nil || math.Abs(c.Least/c.Now) < math.Abs(found.Least/found.Now)) {
			found = c
		}
	}
	return found
}

func best(list []strength.Change) *strength.Change {
	var found *strength.Change
	for i := range list {
		if c := &list[i]; c.Q > 0 && (found == nil || c.Gain > found.Gain) {
			found = c
		}
	}
	return found
}
