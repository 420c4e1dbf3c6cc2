package report

import (
	"fmt"
	"strings"

	"crankwright/analysis"
	"crankwright/num"
)

// SpaceText returns room and mass of an engine as text for a terminal.
func SpaceText(d *SpaceDoc, screen Screen) string {
	s := &sheet{Screen: screen}
	s.lead(d.Name)
	s.entries(spaceEntries(d))
	s.partTable(d)
	s.alongTable(d)
	s.clearanceTable(d)
	if d.BoreStroke != nil {
		s.boreStroke(d.BoreStroke)
	}
	s.heading("In words")
	s.told(d.Summary)
	s.rests(d.Estimates, d.Assumed, "block")
	s.caution()
	return s.String()
}

// spaceEntries are the sizes and masses of an engine in words.
func spaceEntries(d *SpaceDoc) []entry {
	mm := func(x float64) string { return num.Digits(x, 3) + " mm" }
	banks := ""
	if d.BankWidthMM > 0 {
		banks = ", over the heads " + mm(d.BankWidthMM)
	}
	return []entry{
		{"length", mm(d.LengthMM) + ", of the block " + mm(d.BlockMM)},
		{"width", mm(d.WidthMM) + banks},
		{"height", fmt.Sprintf("%s: %s above the crank axis, %s below it", mm(d.HeightMM), mm(d.AboveMM), mm(d.BelowMM))},
		{"mass", fmt.Sprintf("%s kg dry, %s kg with oil and coolant", num.Digits(d.DryKg, 3), num.Digits(d.MassKg, 3))},
		{"centre of gravity", fmt.Sprintf("%s above the crank axis, %s above the lowest point; x = %s, y = %s", mm(d.CentreAboveMM), mm(d.CentreBaseMM), mm(d.Engine.CentreMM[0]), mm(d.Engine.CentreMM[1]))},
		{"moments of inertia", fmt.Sprintf("about x, y and z through it: %s, %s and %s kg m²", num.Digits(d.Engine.Inertia[0][0], 3), num.Digits(d.Engine.Inertia[1][1], 3), num.Digits(d.Engine.Inertia[2][2], 3))},
		{"swept in the crankcase", fmt.Sprintf("radius %s at most; %s to the left, %s to the right, %s below", mm(d.Swept.LargestMM), mm(d.Swept.LeftMM), mm(d.Swept.RightMM), mm(d.Swept.BelowMM))},
		{"deck height", fmt.Sprintf("%s, bores %s long; block %s, heads %s", mm(d.Deck.DeckMM), mm(d.Deck.BoreLongMM), d.Deck.Block, d.Deck.Head)},
	}
}

// partTable writes the masses by part.
func (s *sheet) partTable(d *SpaceDoc) {
	s.heading("Mass by part")
	var rows [][]cell
	for _, p := range d.Parts {
		row := []cell{{text: p.Part}, {text: num.Digits(p.MassKg, 3), style: bold}, {text: num.Digits(p.SharePct, 2)}}
		for _, c := range p.CentreMM {
			row = append(row, cell{text: num.Digits(c, 3)})
		}
		rows = append(rows, row)
	}
	s.table([]column{
		{left: true, head: []string{"", "part"}},
		{head: []string{"mass", "kg"}},
		{head: []string{"share", "%"}},
		{head: []string{"centre x", "mm"}},
		{head: []string{"y", "mm"}},
		{head: []string{"z", "mm"}},
	}, rows)
}

// alongTable writes what bores and crank ask for.
func (s *sheet) alongTable(d *SpaceDoc) {
	if len(d.Along.Pitches) == 0 {
		return
	}
	s.pitchTable(d.Along.Pitches)
	s.paragraph("  ", "Held against: "+strings.Join(d.Along.Held, ", ")+".")
}

// clearanceTable writes what comes near to what.
func (s *sheet) clearanceTable(d *SpaceDoc) {
	s.heading("Where parts come nearest over a cycle")
	var rows [][]cell
	for _, c := range d.Clearances {
		room, at := cell{text: num.Digits(c.RoomMM, 3)}, "–"
		if c.Conflict {
			room.style = bold
			room.text += " !"
		}
		if c.AtDeg != nil {
			at = num.Digits(*c.AtDeg, 3)
		}
		rows = append(rows, []cell{{text: c.Kind}, room, {text: at}, {text: c.Parts}})
	}
	s.table([]column{{left: true, head: []string{"", "what"}}, {head: []string{"room", "mm"}}, {head: []string{"at", "deg"}}, {left: true, head: []string{"", "where"}}}, rows)
}

// boreStroke writes what bore against stroke does.
func (s *sheet) boreStroke(d *BoreStrokeDoc) {
	s.heading("Bore against stroke at this displacement [mm]")
	var rows [][]cell
	for _, p := range d.Points {
		rows = append(rows, []cell{
			{text: num.Digits(p.Ratio, 3), style: bold},
			{text: num.Digits(p.BoreMM, 3)},
			{text: num.Digits(p.StrokeMM, 3)},
			{text: num.Digits(p.LengthMM, 4)},
			{text: num.Digits(p.WidthMM, 4)},
			{text: num.Digits(p.HeightMM, 4)},
			{text: fmt.Sprintf("%d of %d", p.BoresSet, p.Pitches)},
			{text: num.Digits(p.LeastBlockMM-p.BlockMM, 3)},
		})
	}
	s.table([]column{
		{head: []string{"bore /", "stroke"}},
		{head: []string{"", "bore"}},
		{head: []string{"", "stroke"}},
		{head: []string{"", "length"}},
		{head: []string{"", "width"}},
		{head: []string{"", "height"}},
		{head: []string{"pitches set", "by bores"}},
		{head: []string{"with least", "widths"}},
	}, rows)
	s.paragraph("  ", "Held: "+strings.Join(d.Held, ", ")+".")
	s.told(d.Summary)
}

// SpaceCSV returns the masses by part, or with the study of bore against stroke its points, one a line.
func SpaceCSV(d *SpaceDoc) ([]byte, error) {
	if b := d.BoreStroke; b != nil {
		rows := [][]string{{"ratio", "bore_mm", "stroke_mm", "length_mm", "width_mm", "height_mm", "block_mm", "least_block_mm", "pitches", "bores_set"}}
		for _, p := range b.Points {
			rows = append(rows, []string{
				number(p.Ratio), number(p.BoreMM), number(p.StrokeMM), number(p.LengthMM), number(p.WidthMM), number(p.HeightMM), number(p.BlockMM),
				number(p.LeastBlockMM), number(float64(p.Pitches)), number(float64(p.BoresSet)),
			})
		}
		return WriteCSV(rows)
	}
	rows := [][]string{{"part", "mass_kg", "centre_x_mm", "centre_y_mm", "centre_z_mm", "inertia_xx_kgm2", "inertia_yy_kgm2", "inertia_zz_kgm2", "inertia_xy_kgm2", "inertia_xz_kgm2", "inertia_yz_kgm2"}}
	add := func(name string, b BodyDoc) {
		j := b.Inertia
		rows = append(rows, []string{
			name, number(b.MassKg), number(b.CentreMM[0]), number(b.CentreMM[1]), number(b.CentreMM[2]),
			number(j[0][0]), number(j[1][1]), number(j[2][2]), number(j[0][1]), number(j[0][2]), number(j[1][2]),
		})
	}
	for _, p := range d.Parts {
		add(p.Part, p.BodyDoc)
	}
	add("engine", d.Engine)
	add("engine, dry", d.Dry)
	return WriteCSV(rows)
}

// space writes the outer sizes and the mass of an engine, where they were asked for.
func (s *sheet) space(r *analysis.Result) {
	if r.Space == nil && r.NoSpace == "" {
		return
	}
	s.heading("Room and mass")
	if r.Space == nil {
		s.entries([]entry{{"room and mass", "not known: " + r.NoSpace}})
		return
	}
	s.entries(spaceEntries(NewSpaceDoc(r.Train, r.Space, false))[:5])
}
