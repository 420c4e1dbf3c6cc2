package spec

import (
	"fmt"

	"crankwright/estimate"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// rows sets the shape of a radial engine: one throw a row, the cylinders of a row evenly round it.
func (r *resolver) rows(s *shape, cylinders int) bool {
	l := &r.e.Layout
	s.radial = true
	s.throws = 1
	switch {
	case l.Pins.state == broken:
		return false
	case l.Pins.List != nil:
		s.throws = len(l.Pins.List)
	case l.Pins.Word == "180":
		s.throws, s.pins = 2, []num.Angle{0, num.Turn / 2}
	case l.Pins.Word == evenFireWord || l.Pins.missing():
		s.pins = []num.Angle{0}
		if l.Pins.missing() {
			r.estimated(layout.Estimate{
				Key: "layout.pins", Unit: "rad", Shown: shownAngles(s.pins), Rule: "one row of cylinders", Source: "PRACTICE",
			})
		}
	default:
		r.fail(l.Pins.at, "even-fire (one row), 180 (two rows), or a list with one angle a row is allowed",
			"pins: %s does not fit a radial engine", l.Pins.Word)
		return false
	}
	if cylinders%s.throws != 0 {
		r.fail(l.Cylinders.at, fmt.Sprintf("a multiple of %d is needed, as many as there are pins", s.throws),
			"cylinders: %d do not make %d equal rows", cylinders, s.throws)
		return false
	}
	s.banks = cylinders / s.throws
	if s.banks < 2 {
		r.fail(l.Cylinders.at, "a row of a radial engine has 2 cylinders or more", "cylinders: a row has %d", s.banks)
		return false
	}
	s.axes = nil
	for j := range s.banks {
		s.axes = append(s.axes, num.Turn*num.Angle(j)/num.Angle(s.banks))
	}
	s.turned = num.Turn / num.Angle(2*s.banks)
	if l.RowStagger.Given() {
		s.turned = num.Angle(l.RowStagger.SI)
	}
	s.linked = l.Rods.Value == "master-and-link"
	return r.linkKeys(s)
}

// linkKeys holds the keys of linked rods against the kind of rods.
func (r *resolver) linkKeys(s *shape) bool {
	l := &r.e.Layout
	if s.linked {
		if n := len(l.KnuckleAngles.List); l.KnuckleAngles.Given() && n != s.banks-1 {
			r.fail(l.KnuckleAngles.at, fmt.Sprintf("give %d, one for each linked rod of a row", s.banks-1),
				"knuckle_angles: %s", thereAre(n, "angle"))
			return false
		}
		return true
	}
	for _, k := range []struct {
		key string
		Mark
	}{{"knuckle_radius", l.KnuckleRadius.Mark}, {"knuckle_angles", l.KnuckleAngles.Mark}, {"link_length", l.LinkLength.Mark}} {
		if !k.missing() && !l.Rods.Given() {
			r.fail(k.at, "add rods: master-and-link, or leave it out", "the key %q is for linked rods", k.key)
		} else if !k.missing() && l.Rods.Value == "plain" {
			r.fail(k.at, "write rods: master-and-link, or leave it out", "the key %q is for linked rods", k.key)
		}
	}
	return l.Rods.state != broken
}

// link hangs the rods of a row on its master, the rod of the first cylinder. A linked rod has the
// mass, centre of gravity and inertia of the file's rod.
func (r *resolver) link(s *shape, e estimate.Engine) {
	l := &r.e.Layout
	length := l.LinkLength.or(e.RodLength - e.KnuckleRadius)
	if length <= 0 && l.KnuckleRadius.Given() {
		r.fail(l.KnuckleRadius.at, "it must be less than the length of the rod", "knuckle_radius: %s is not possible", l.KnuckleRadius.Text)
		length = e.RodLength
	}
	for row := range s.throws {
		master := s.cylinder(row, 0)
		for j := 1; j < s.banks; j++ {
			rod := &r.t.Cylinders[s.cylinder(row, j)].Rod
			rod.Linked, rod.Master, rod.Length = true, master, length
			rod.KnuckleRadius = e.KnuckleRadius
			rod.KnuckleAngle = s.axis(row, j) - s.axis(row, 0)
			if l.KnuckleAngles.Given() {
				rod.KnuckleAngle = num.Angle(l.KnuckleAngles.List[j-1].SI)
			}
		}
	}
}
