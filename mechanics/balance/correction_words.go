package balance

import (
	"fmt"
	"math"
	"math/cmplx"

	"crankwright/num"
)

// Way returns what is done at a site, in the words of a job file [-]. Definition.
func (s Site) Way() string {
	words := [...][2]string{{"radial hole", "radial slug"}, {"axial hole", "axial slug"}, {"mass off", "mass on"}}[s.Kind]
	if s.Adds {
		return words[1]
	}
	return words[0]
}

// Words says how the correction went, and what is missing where it did not.
//
//   - planes, sites: as given to Correct
//
// Result: sentences with amounts in [g mm] and directions in [deg], counted from +z about +x. Definition.
func (c *Correction) Words(planes [2]Plane, sites []Site) []string {
	if !c.Needed {
		return []string{"The rotor is within the permissible unbalance as it is: nothing has to be done."}
	}
	off, on := 0.0, 0.0
	for _, u := range c.Uses {
		if sites[u.Site].Adds {
			on += u.Mass
		} else {
			off += u.Mass
		}
	}
	var out []string
	if c.Within[0] && c.Within[1] {
		out = append(out, "Both planes come within the permissible unbalance.")
	}
	switch {
	case off > 0 && on > 0:
		out = append(out, fmt.Sprintf("%s are taken off and %s are put on.", gramsShown(off), gramsShown(on)))
	case off > 0:
		out = append(out, gramsShown(off)+" are taken off.")
	case on > 0:
		out = append(out, gramsShown(on)+" are put on.")
	}
	for i, p := range planes {
		if c.Within[i] {
			continue
		}
		left := c.Left[i]
		at := num.Angle(cmplx.Phase(left)).Wrap(num.Turn).Deg()
		line := fmt.Sprintf("Plane %s keeps %s at %s, and %s may stay: there is too little to drill near %s, or to add near %s.",
			p.Name, unbalanceShown(cmplx.Abs(left)), direction(at), unbalanceShown(p.Permissible), direction(at), direction(at+180))
		out = append(out, line)
	}
	return out
}

func gramsShown(kg float64) string { return num.Digits(1e3*kg, 4) + " g" }

func unbalanceShown(u float64) string { return num.Digits(1e6*u, 4) + " g mm" }

func direction(deg float64) string {
	return num.Digits(math.Mod(math.Round(deg), 360), 3) + "°"
}
