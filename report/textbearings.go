package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"crankwright/num"
)

// RoomText returns the axial budget of a crank as text for a terminal.
func RoomText(d *RoomDoc, screen Screen) string {
	s := &sheet{Screen: screen}
	s.lead(d.Name)
	s.paragraph("", fmt.Sprintf("The crank is %s mm long from its first journal to its last.", num.Digits(d.LengthMM, 4)))
	s.room(d)
	s.heading("In words")
	s.told(d.Summary)
	s.estimated(d.Estimates)
	s.caution()
	return s.String()
}

// room writes the axial budget: to scale, part by part, and what sets the distances.
func (s *sheet) room(d *RoomDoc) {
	s.heading("Along the crank, free end left [mm]")
	s.alongCrank(d)
	heads := []column{{left: true, head: []string{"", "part"}}, {left: true, head: []string{"", ""}}, {head: []string{"", "from"}}, {head: []string{"", "to"}}, {head: []string{"", "width"}}, {head: []string{"", "needs"}}, {head: []string{"left", "over"}}}
	var rows [][]cell
	for _, p := range d.Parts {
		slack := cell{text: num.Digits(p.SlackMM, 3)}
		if p.SlackMM < -1e-3 {
			slack.style = bold
			slack.text += " !"
		}
		rows = append(rows, []cell{{text: p.Kind}, {text: p.Name, style: bold}, {text: num.Digits(p.FromMM, 4)}, {text: num.Digits(p.ToMM, 4)}, {text: num.Digits(p.WidthMM, 3)}, {text: num.Digits(p.NeedMM, 3)}, slack})
	}
	s.table(heads, rows)
	if len(d.Pitches) > 0 {
		s.pitchTable(d.Pitches)
	}
	s.wishes(d)
}

// pitchTable writes what the distances of neighbouring bays are, and what asks for them.
func (s *sheet) pitchTable(list []RoomPitch) {
	s.heading("What sets the distances [mm]")
	heads := []column{{head: []string{"between bays"}}, {head: []string{"crank needs"}}, {head: []string{"bores need"}}, {left: true, head: []string{"set by"}}, {head: []string{"left over"}}}
	var rows [][]cell
	for _, p := range list {
		bores := "–"
		if p.BoresMM > 0 {
			bores = num.Digits(p.BoresMM, 4)
		}
		rows = append(rows, []cell{{text: num.Digits(p.HaveMM, 4), style: bold}, {text: num.Digits(p.CrankMM, 4)}, {text: bores}, {text: p.SetBy}, {text: num.Digits(p.SlackMM, 3)}})
	}
	s.table(heads, rows)
}

// wishes writes what another spacing or stagger does.
func (s *sheet) wishes(d *RoomDoc) {
	var rows [][]cell
	for _, b := range d.Bays {
		for i, w := range b.Wish {
			name := ""
			if i == 0 {
				name = b.Name
			}
			can := "yes"
			if !w.Possible {
				can = "no: " + w.Lacks
			}
			rows = append(rows, []cell{
				{text: name, style: bold}, {text: w.GivesWay}, {text: num.Digits(w.MainMM, 3)}, {text: num.Digits(w.WebMM, 3)}, {text: num.Digits(w.PinMM, 3)}, {text: num.Digits(w.RodMM, 3)}, {text: can},
			})
		}
	}
	if rows == nil {
		return
	}
	s.heading("What the wish does, by who gives way [mm]")
	s.table([]column{{left: true, head: []string{"", "bay"}}, {left: true, head: []string{"gives", "way"}}, {head: []string{"main", "journal"}}, {head: []string{"each", "web"}}, {head: []string{"", "crankpin"}}, {head: []string{"pin for", "each rod"}}, {left: true, head: []string{"", "possible"}}}, rows)
	s.wishMargins(d)
}

// wishMargins writes what bearings and webs bear where a wish is granted.
func (s *sheet) wishMargins(d *RoomDoc) {
	if d.NoMargins != "" {
		s.paragraph("  ", "What bearings and webs then bear cannot be found: "+d.NoMargins+".")
	}
	if d.AsIs == nil {
		return
	}
	rows, why := [][]cell{marginsRow("", "as it is", d.AsIs)}, []string(nil)
	for _, b := range d.Bays {
		for _, w := range b.Wish {
			switch {
			case w.Margins != nil:
				row := marginsRow(b.Name, w.GivesWay, w.Margins)
				same := func(r []cell) bool { return slices.Equal(r[1:], row[1:]) }
				if k := slices.IndexFunc(rows, same); k < 0 {
					rows = append(rows, row)
				} else if rows[k][0].text != "" {
					rows[k][0].text += ", " + b.Name
				}
			case w.NoMargins != "" && !slices.Contains(why, w.NoMargins):
				why = append(why, w.NoMargins)
			}
			if w.Margins != nil && w.Margins.NoQ != "" && !slices.Contains(why, w.Margins.NoQ) {
				why = append(why, w.Margins.NoQ)
			}
		}
	}
	for i := range rows {
		if bays := strings.Count(rows[i][0].text, ", ") + 1; bays > 1 && bays == len(d.Bays) {
			rows[i][0].text = "any"
		}
	}
	s.heading(fmt.Sprintf("What the engine then bears, at %s rpm and full load", num.Digits(d.SpeedRPM, 5)))
	s.table([]column{
		{left: true, head: []string{"where every bay is made", "like that of"}},
		{left: true, head: []string{"gives", "way"}},
		{head: []string{"mains", "[MPa]"}},
		{head: []string{"big ends", "[MPa]"}},
		{head: []string{"thinnest", "film [µm]"}},
		{left: true, head: []string{"", "in"}},
		{head: []string{"least", "Q"}},
	}, rows)
	s.told(capitals(why))
}

// marginsRow is a row of wishMargins.
func marginsRow(bay, who string, m *MarginsDoc) []cell {
	or := func(v float64) string {
		if v == 0 {
			return "–"
		}
		return num.Digits(v, 3)
	}
	film := or(m.FilmUM)
	switch {
	case m.Lost:
		film = "lost"
	case !m.Settled && m.FilmUM > 0:
		film = "≈ " + film
	}
	q := "–"
	if m.Q > 0 {
		q = fmt.Sprintf("%.2f", m.Q)
	}
	return []cell{{text: bay, style: bold}, {text: who}, {text: or(m.MainMPa)}, {text: or(m.BigEndMPa)}, {text: film}, {text: m.FilmIn}, {text: q}}
}

// alongCrank draws the parts to scale: journals as =, pins as #, webs as |, flanges as :, free room as blank.
func (s *sheet) alongCrank(d *RoomDoc) {
	if len(d.Parts) == 0 || d.LengthMM <= 0 {
		return
	}
	width := min(s.width()-4, 100)
	line := []rune(strings.Repeat(" ", width))
	first := d.Parts[0].FromMM
	for _, p := range d.Parts {
		mark := map[string]rune{"main journal": '=', "crankpin": '#', "web": '|', "flying web": '!', "flange": ':', "shaft": '-'}[p.Kind]
		from := int(math.Round((p.FromMM - first) / d.LengthMM * float64(width)))
		to := int(math.Round((p.ToMM - first) / d.LengthMM * float64(width)))
		for i := max(0, from); i < min(max(to, from+1), width); i++ {
			line[i] = mark
		}
	}
	s.line("  " + string(line))
	s.line("  " + "= main journal   # crankpin   | web   ! flying web   : flange")
	s.blank()
}

// BearingsText returns what the bearings carry as text for a terminal.
func BearingsText(d *BearingsDoc, screen Screen) string {
	s := &sheet{Screen: screen}
	s.work(d.WorkPoint)
	how := "the crank as a continuous beam on elastic mains"
	if d.Sharing == "determinate" {
		how = "every bay a simple beam between its two mains"
	}
	s.paragraph("", fmt.Sprintf("Loads by statics and inertia, %s. Oil %s at %s °C.", how, d.Oil, num.Digits(d.FeedC, 3)))
	s.bearingTable("Main bearings", d.Mains)
	s.bearingTable("Big ends", d.BigEnds)
	s.filmTable(d)
	s.pistonTable(d)
	s.policyTable(d)
	s.heading("In words")
	s.told(d.Summary)
	s.told(d.Notes)
	s.rests(d.Estimates, d.Assumed, "bearings")
	s.caution()
	return s.String()
}

func kilonewtons(n float64) string { return num.Digits(n/1e3, 3) }

// bearingTable writes forces and specific loads.
func (s *sheet) bearingTable(title string, list []BearingDoc) {
	if len(list) == 0 {
		return
	}
	s.heading(title)
	heads := []column{
		{left: true, head: []string{"", ""}},
		{head: []string{"", "d × b [mm]"}},
		{head: []string{"largest", "[kN]"}},
		{head: []string{"", "at"}},
		{head: []string{"mean", "[kN]"}},
		{head: []string{"peak", "[MPa]"}},
		{head: []string{"mean", "[MPa]"}},
		{head: []string{"of what the", "lining bears"}},
	}
	other := list[0].OtherPeakN > 0
	if other {
		heads = append(heads, column{head: []string{"shared the", "other way [kN]"}})
	}
	var rows [][]cell
	for _, b := range list {
		size, peak, mean, use := "unknown", "–", "–", "–"
		if b.WidthMM > 0 {
			size = num.Digits(b.DiameterMM, 3) + " × " + num.Digits(b.LandMM, 3)
			peak, mean, use = num.Digits(b.PeakMPa, 3), num.Digits(b.MeanMPa, 3), num.Digits(b.UsePct, 3)+" %"
		}
		row := []cell{{text: b.Name, style: bold}, {text: size}, {text: kilonewtons(b.PeakN)}, {text: num.Digits(b.PeakAtDeg, 3) + "°"}, {text: kilonewtons(b.MeanN)}, {text: peak}, {text: mean}, {text: use}}
		if other {
			row = append(row, cell{text: kilonewtons(b.OtherPeakN)})
		}
		rows = append(rows, row)
	}
	s.table(heads, rows)
	if b := list[0]; b.WidthMM > 0 {
		s.paragraph("  ", fmt.Sprintf("Lining: %s, guided to %s MPa, with care to %s MPa (%s).", b.Lining, num.Digits(b.LowMPa, 3), num.Digits(b.HighMPa, 3), b.Source))
		if b.Grooved {
			s.paragraph("  ", fmt.Sprintf("b is what carries, less the oil groove: of %s mm %s mm.", num.Digits(b.WidthMM, 3), num.Digits(b.LandMM, 3)))
		}
	}
}

// filmTable writes the oil films.
func (s *sheet) filmTable(d *BearingsDoc) {
	var rows [][]cell
	var why []string
	open := false
	known := map[string]string{}
	for _, list := range [][]BearingDoc{d.Mains, d.BigEnds} {
		for _, b := range list {
			f := b.Film
			if f == nil {
				if b.NoFilm != "" && !strings.Contains(strings.Join(why, "\n"), b.NoFilm) {
					why = append(why, b.NoFilm)
				}
				continue
			}
			least := num.Digits(f.LeastUM, 3)
			switch {
			case f.Lost:
				least = "lost"
			case !f.Settled:
				least, open = "≈ "+least, true
			}
			rows = append(rows, []cell{
				{text: b.Name, style: bold},
				{text: num.Digits(b.ClearanceUM, 3)},
				{text: least},
				{text: num.Digits(f.AtDeg, 3) + "°"},
				{text: num.Digits(f.Eccentricity, 3)},
				{text: num.Digits(f.PowerW, 3)},
				{text: num.Digits(f.FilmC, 3)},
				{text: num.Digits(f.Viscosity, 3)},
				{text: num.Digits(f.FlowLMin, 3)},
			})
			kind := "big ends"
			if b.AtMM != nil {
				kind = "mains"
			}
			known[kind] = fmt.Sprintf("%s to %s µm", num.Digits(f.KnownLowUM, 2), num.Digits(f.KnownHighUM, 2))
		}
	}
	if rows == nil {
		if why != nil {
			s.heading("Oil film")
			s.told(capitals(why))
		}
		return
	}
	s.heading("Oil film over the cycle, mobility method")
	s.table([]column{
		{left: true, head: []string{"", ""}},
		{head: []string{"clearance", "[µm]"}},
		{head: []string{"thinnest", "[µm]"}},
		{head: []string{"", "at"}},
		{head: []string{"eccen-", "tricity"}},
		{head: []string{"heat", "[W]"}},
		{head: []string{"film", "[°C]"}},
		{head: []string{"viscosity", "[mPa s]"}},
		{head: []string{"flow", "[l/min]"}},
	}, rows)
	s.paragraph("  ", fmt.Sprintf("Bearings of medium and large engines known to work: mains %s, big ends %s, computed alike (NEALE). All films together turn %s into heat.", known["mains"], known["big ends"], num.Shown(d.FilmPowerW, "W")))
	if open {
		s.paragraph("  ", "≈: the path of the journal has not repeated; the value is about right.")
	}
}

func capitals(lines []string) []string {
	var out []string
	for _, l := range lines {
		out = append(out, num.Capital(l)+".")
	}
	return out
}

// pistonTable writes what pistons and their pins carry.
func (s *sheet) pistonTable(d *BearingsDoc) {
	s.heading("Pistons [kN]")
	heads, rows := []column{{left: true, head: []string{"cylinder"}}, {head: []string{"side force on the bore"}}, {head: []string{"force on the piston pin"}}}, [][]cell(nil)
	for _, p := range d.Pistons {
		rows = append(rows, []cell{{text: p.Cylinder, style: bold}, {text: kilonewtons(p.SideN)}, {text: kilonewtons(p.SmallEndN)}})
	}
	s.table(heads, rows)
}

// policyTable compares counterweights.
func (s *sheet) policyTable(d *BearingsDoc) {
	if len(d.Policies) == 0 {
		return
	}
	s.heading("What counterweights make of the mains [kN]")
	heads, rows := []column{{left: true, head: []string{"counterweights"}}, {head: []string{"mean"}}, {head: []string{"worst"}}}, [][]cell(nil)
	for _, p := range d.Policies {
		rows = append(rows, []cell{{text: p.Name}, {text: kilonewtons(p.MeanN)}, {text: kilonewtons(p.WorstN)}})
	}
	s.table(heads, rows)
}

// BearingsCSV returns forces by crank angle: of each main in the block, of each rod on its pin, of each piston on its bore.
func BearingsCSV(d *BearingsDoc) ([]byte, error) {
	c := d.Curves
	head := []string{"angle_deg"}
	for _, m := range c.Mains {
		name := strings.ReplaceAll(m.Name, " ", "_")
		head = append(head, name+"_y_N", name+"_z_N")
	}
	for _, r := range c.Rods {
		head = append(head, "pin_along_"+r.Cylinder+"_N", "pin_ahead_"+r.Cylinder+"_N", "side_"+r.Cylinder+"_N")
	}
	rows := [][]string{head}
	for j, a := range c.AngleDeg {
		row := []string{number(a)}
		for _, m := range c.Mains {
			row = append(row, number(m.YN[j]), number(m.ZN[j]))
		}
		for _, r := range c.Rods {
			row = append(row, number(r.PinAlong[j]), number(r.PinAhead[j]), number(r.SideN[j]))
		}
		rows = append(rows, row)
	}
	return WriteCSV(rows)
}
