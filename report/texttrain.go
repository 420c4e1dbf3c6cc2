package report

import (
	"fmt"

	"crankwright/analysis"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// TrainText returns an engine as it was understood: throws, cylinders, masses and what was estimated.
func TrainText(t *layout.Train, screen Screen) string {
	s := &sheet{Screen: screen}
	s.lead(t.Name)
	s.paragraph("", fmt.Sprintf("%s, %s, %s; bore %s; rated speed %s rpm; moments about x = %s mm.",
		counted(len(t.Cylinders), "cylinder", "cylinders"), t.Cycle, "turns "+t.Rotation.String()+" seen from the drive end",
		lengthShown(t.Bore), num.Digits(rpm(t.Speeds.Rated), 5), num.Digits(millimetres(t.Reference), 5)))
	if t.Rotation == layout.Clockwise {
		s.paragraph("", "Angles, offsets and the y of shafts are counted in the sense of rotation, as in the file: the engine is the mirror image of one that turns anticlockwise.")
	}
	s.throws(t)
	s.cylinders(t)
	s.masses(t)
	s.guessed(t, assumedFor(t, analysis.Chapters()...))
	return s.String()
}

func lengthShown(m float64) string {
	if m == 0 {
		return "unknown"
	}
	return num.Digits(1e3*m, 5) + " mm"
}

func (s *sheet) throws(t *layout.Train) {
	s.heading("Throws")
	heads := []column{
		{head: []string{"throw"}, left: true},
		{head: []string{"at x", "mm"}},
		{head: []string{"angle", "deg"}},
		{head: []string{"radius", "mm"}},
		{head: []string{"unbalance", "kg mm"}},
	}
	var rows [][]cell
	for _, th := range t.Throws {
		rows = append(rows, []cell{
			{text: th.Name, style: bold},
			{text: fixed(1e3*th.At, 2)},
			{text: plainDeg(th.Angle)},
			{text: fixed(1e3*th.Radius, 3)},
			{text: num.Digits(1e3*th.Unbalance, 4)},
		})
	}
	s.table(heads, rows)
}

func (s *sheet) cylinders(t *layout.Train) {
	s.heading("Cylinders")
	heads := []column{
		{head: []string{"cylinder"}, left: true},
		{head: []string{"bank"}, left: true},
		{head: []string{"throw"}, left: true},
		{head: []string{"at x", "mm"}},
		{head: []string{"axis", "deg"}},
		{head: []string{"offset", "mm"}},
		{head: []string{"pin", "offset", "mm"}},
		{head: []string{"piston", "kg"}},
		{head: []string{"rod", "mm"}},
		{head: []string{"rod", "kg"}},
	}
	var rows [][]cell
	for _, c := range t.Cylinders {
		bank := ""
		if c.Bank >= 0 && c.Bank < len(t.Banks) {
			bank = t.Banks[c.Bank].Name
		}
		on := t.Throws[c.Throw].Name
		if c.Rod.Linked {
			on = "link on " + t.Cylinders[c.Rod.Master].Name
		}
		rows = append(rows, []cell{
			{text: c.Name, style: bold},
			{text: bank},
			{text: on},
			{text: fixed(1e3*c.At, 2)},
			{text: plainDeg(c.Axis)},
			{text: fixed(1e3*c.Offset, 3)},
			{text: fixed(1e3*c.Piston.PinOffset, 3)},
			{text: num.Digits(c.Piston.Mass, 4)},
			{text: fixed(1e3*c.Rod.Length, 3)},
			{text: num.Digits(c.Rod.Mass, 4)},
		})
	}
	s.table(heads, rows)
}

func (s *sheet) masses(t *layout.Train) {
	heads := []column{
		{head: []string{"mass"}, left: true}, {head: []string{"at x", "mm"}}, {head: []string{"angle", "deg"}}, {head: []string{"unbalance", "kg mm"}},
	}
	var rows [][]cell
	add := func(name string, m layout.Unbalance) {
		rows = append(rows, []cell{{text: name}, {text: fixed(1e3*m.At, 2)}, {text: plainDeg(m.Angle)}, {text: num.Digits(1e3*m.Amount, 4)}})
	}
	for i, c := range t.Counterweights {
		name := fmt.Sprintf("counterweight %d", i+1)
		if c.Throw > 0 {
			name += " on throw " + t.Throws[c.Throw-1].Name
		}
		add(name, c)
	}
	for i, shaft := range t.Shafts {
		for _, m := range shaft.Masses {
			add(fmt.Sprintf("shaft %d, %s × crank speed, at y %s z %s mm", i+1, fixed(shaft.SpeedRatio, 3),
				fixed(1e3*shaft.Y, 2), fixed(1e3*shaft.Z, 2)), m)
		}
	}
	if len(rows) > 0 {
		s.heading("Counterweights and balance shafts")
		s.table(heads, rows)
	}
}

func plainDeg(a num.Angle) string { return fixed(a.Deg(), 3) }
