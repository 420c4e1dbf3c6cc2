package report

import (
	"fmt"
	"math"
	"strings"

	"crankwright/num"
)

// ShaftsText returns a search for balance shafts as text for a terminal.
func ShaftsText(d *ShaftsDoc, screen Screen) string {
	s := &sheet{Screen: screen}
	s.lead(d.Name + ": balance shafts")
	s.paragraph("", fmt.Sprintf("All values at %s rpm. Speed ratios that may be used: %s; up to %s at %s, masses in planes at x = %s mm.",
		num.Digits(d.SpeedRPM, 5), listed(d.Ratios), counted(d.Most, "shaft", "shafts"), counted(len(d.Places), "place", "places"), listed(d.PlanesMM)))
	s.shaftSets(d)
	chosen := d.Smallest
	if chosen < 0 {
		chosen = len(d.Sets) - 1
		s.paragraph("", "No set meets all targets. What would do, each by itself:")
		for _, n := range d.Needs {
			s.paragraph("  - ", n)
		}
	}
	s.shaftSet(d.Sets[chosen])
	if len(d.Edits) > 0 {
		s.heading("In the engine file")
		for _, e := range d.Edits {
			s.paragraph("  ", e.Path+": "+e.Text)
		}
	}
	if len(d.Assumed) > 0 {
		s.heading("Chosen because not given")
		for _, e := range d.Assumed {
			s.paragraph("  - ", fmt.Sprintf("%s %s: %s (common practice)", e.Key, e.Shown, e.Rule))
		}
	}
	s.blank()
	for _, n := range d.Notes {
		s.paragraph("", n)
	}
	s.estimated(d.Estimates)
	s.caution()
	return s.String()
}

func listed(values []float64) string {
	var out []string
	for _, v := range values {
		out = append(out, fixed(v, 3))
	}
	return strings.Join(out, ", ")
}

// shaftSets compares the best sets with each number of shafts.
func (s *sheet) shaftSets(d *ShaftsDoc) {
	s.heading("The best set with each number of shafts")
	heads := []column{
		{head: []string{"shafts"}},
		{head: []string{"speed ratios"}, left: true},
		{head: []string{"unbalance", "kg mm"}},
		{head: []string{"bars", "kg"}},
		{head: []string{"friction", "W"}},
		{head: []string{"left of what", "was asked for"}, left: true},
		{head: []string{"meets", "all"}, left: true},
	}
	var rows [][]cell
	for i, set := range d.Sets {
		var ratios []string
		for _, shaft := range set.Shafts {
			ratios = append(ratios, fixed(shaft.SpeedRatio, 1))
		}
		c := cell{text: "no"}
		if set.Meets {
			c = cell{text: "yes", style: green}
		}
		for j, text := range shaftLeft(set) { // one line a target
			row := []cell{{}, {}, {}, {}, {}, {text: text}, {}}
			if j == 0 {
				row = []cell{
					{text: fmt.Sprint(set.Count)},
					{text: orNone(strings.Join(ratios, ", "))},
					{text: num.Digits(set.UnbalanceKgmm, 4)},
					{text: num.Digits(set.MassKg, 3)},
					{text: num.Digits(set.LossW, 3)},
					{text: text},
					c,
				}
				if i == d.Smallest {
					row[0].style = bold
				}
			}
			rows = append(rows, row)
		}
	}
	s.table(heads, rows)
}

func orNone(text string) string {
	if text == "" {
		return "none"
	}
	return text
}

// shareLeft says what is left in percent; of nothing, the word.
func shareLeft(before, after float64) string {
	switch {
	case before == 0 && after == 0:
		return "none before"
	case after <= 1e-9*before:
		return "nothing"
	case before == 0:
		return "new"
	default:
		return num.Digits(math.Max(100*after/before, 1e-4), 3) + " %"
	}
}

// shaftSet writes one set in full.
func (s *sheet) shaftSet(set ShaftSetDoc) {
	if set.Count > 0 || len(set.Counterweights) > 0 {
		s.heading("Masses of the set with " + counted(set.Count, "shaft", "shafts"))
		heads := []column{
			{head: []string{"mass"}, left: true},
			{head: []string{"at x", "mm"}},
			{head: []string{"angle", "deg"}},
			{head: []string{"unbalance", "kg mm"}},
			{head: []string{"bar", "mm long"}},
			{head: []string{"bar", "kg"}},
		}
		var rows [][]cell
		add := func(name string, m ShaftMassDoc) {
			rows = append(rows, []cell{
				{text: name},
				{text: fixed(m.AtMM, 2)},
				{text: fixed(m.AngleDeg, 3)},
				{text: num.Digits(m.UnbalanceKgmm, 4)},
				{text: num.Digits(m.LengthMM, 3)},
				{text: num.Digits(m.MassKg, 3)},
			})
		}
		for _, m := range set.Counterweights {
			add("counterweight added to the crank", m)
			rows[len(rows)-1][4], rows[len(rows)-1][5] = cell{}, cell{}
		}
		for i, shaft := range set.Shafts {
			for _, m := range shaft.Masses {
				add(fmt.Sprintf("shaft %d, %s × crank speed, at y %s z %s mm", i+1, fixed(shaft.SpeedRatio, 3), fixed(shaft.YMM, 2), fixed(shaft.ZMM, 2)), m)
			}
		}
		s.table(heads, rows)
	}
	for i, shaft := range set.Shafts {
		text := fmt.Sprintf("Shaft %d: bars %s kg, %s kg cm² about the axis; bearings", i+1, num.Digits(shaft.MassKg, 3), num.Digits(1e4*shaft.InertiaKgm2, 3))
		for j, b := range shaft.Bearings {
			if j > 0 {
				text += " and"
			}
			text += fmt.Sprintf(" %s at x = %s mm", num.Shown(b.LoadN, "N"), fixed(b.AtMM, 2))
		}
		s.paragraph("", text+"; friction "+num.Shown(shaft.LossW, "W")+".")
		if shaft.Misfit != "" {
			s.paragraph("  ! ", shaft.Misfit)
		}
	}
	s.shaftLeft(set)
	s.shaftTiming(set)
}

func (s *sheet) shaftLeft(set ShaftSetDoc) {
	s.heading("Before and after, largest resultant")
	heads := []column{{head: []string{"order"}}, {head: []string{""}, left: true}, {head: []string{"before"}}, {head: []string{"after"}}, {head: []string{"left"}}, {head: []string{""}, left: true}}
	var rows [][]cell
	for _, l := range set.Left {
		row := []cell{
			{text: num.Digits(l.Order, 3), style: bold}, {text: l.Quantity}, {text: num.Shown(l.Before, l.Unit)}, {text: num.Shown(l.After, l.Unit)}, {text: shareLeft(l.Before, l.After)}, {},
		}
		switch {
		case l.Asked && l.Met:
			row[5] = cell{text: "met", style: green}
		case l.Asked:
			row[5] = cell{text: fmt.Sprintf("not met: %s %% may remain", fixed(l.KeepPercent, 2)), style: red}
		case l.After > l.Before*(1+1e-9):
			row[5] = cell{text: "not asked for, larger than before"}
		default:
			row[5] = cell{text: "not asked for", style: dim}
		}
		rows = append(rows, row)
	}
	s.table(heads, rows)
}

func (s *sheet) shaftTiming(set ShaftSetDoc) {
	if len(set.Timing) == 0 {
		return
	}
	s.heading(fmt.Sprintf("With every shaft mistimed by %s° of its own angle, in the worse sense", fixed(set.Timing[0].ErrorDeg, 3)))
	heads := []column{{head: []string{"order"}}, {head: []string{""}, left: true}, {head: []string{"no shaft"}}, {head: []string{"exact"}}, {head: []string{"mistimed"}}, {head: []string{"left"}}}
	var rows [][]cell
	for _, l := range set.Timing {
		rows = append(rows, []cell{
			{text: num.Digits(l.Order, 3), style: bold},
			{text: l.Quantity},
			{text: num.Shown(l.Before, l.Unit)},
			{text: num.Shown(l.Exact, l.Unit)},
			{text: num.Shown(l.Worst, l.Unit)},
			{text: shareLeft(l.Before, l.Worst)},
		})
	}
	s.table(heads, rows)
}

// shaftLeft says what a set leaves of what was asked for, target by target.
func shaftLeft(set ShaftSetDoc) []string {
	var left []string
	for _, l := range set.Left {
		if l.Asked && (l.Before != 0 || l.After != 0) {
			left = append(left, fmt.Sprintf("%s %s: %s", num.Digits(l.Order, 3), l.Quantity, shareLeft(l.Before, l.After)))
		}
	}
	if len(left) == 0 {
		return []string{"there was nothing to take"}
	}
	return left
}
