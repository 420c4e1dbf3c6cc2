package report

import (
	"fmt"
	"strings"

	"crankwright/mechanics/parts"
	"crankwright/num"
)

// PartsText returns what an engine is made of as text for a terminal.
func PartsText(d *PartsDoc, screen Screen) string {
	s := &sheet{Screen: screen}
	s.lead(d.Name)
	m := d.Making
	made := []string{"valves by " + m.ValveDrive}
	if m.CamDrive != "" {
		made = append(made, "camshafts by "+m.CamDrive)
	}
	made = append(made, "heads "+m.Heads, "crankcase with "+m.Crankcase, "cooled by "+m.Cooling)
	s.paragraph("", strings.Join(made, ", "))
	s.heading("In words")
	s.told(d.Summary)
	s.partRows(d)
	s.driveRows(d)
	s.pipeRows(d)
	s.rubRows(d)
	s.serviceRows(d)
	s.coolingRows(d)
	s.rests(d.Estimates, d.Assumed, "making")
	s.caution()
	return s.String()
}

// amount writes a count or a length.
func amount(count float64, unit string) string {
	if unit == "m" {
		return num.Digits(count, 3) + " m"
	}
	return num.Digits(count, 6)
}

func (s *sheet) partRows(d *PartsDoc) {
	s.heading("Parts")
	most := 0
	for _, p := range d.Parts {
		most = max(most, columns(p.Part))
	}
	group := ""
	for _, p := range d.Parts {
		if p.Group != group {
			group = p.Group
			s.line(s.styled(bold, group))
		}
		n := amount(p.Count, p.Unit)
		s.paragraph("  "+padded(p.Part, most)+"  "+strings.Repeat(" ", max(0, 8-columns(n)))+n+"  ", p.From)
	}
}

func (s *sheet) driveRows(d *PartsDoc) {
	if len(d.Drives) == 0 {
		return
	}
	s.heading("Camshaft drives")
	var list []entry
	for _, c := range d.Drives {
		text := fmt.Sprintf("%s for %s, wheels of %s and %s teeth", c.By, counted(c.Camshafts, "camshaft", "camshafts"), num.Digits(c.CrankZ, 4), num.Digits(c.CamZ, 4))
		switch {
		case c.LengthMM > 0:
			what := "links"
			if c.By == "belt" {
				what = "teeth"
			}
			text += fmt.Sprintf("; %s mm, %s %s of %s mm", num.Digits(c.LengthMM, 4), num.Digits(c.Links, 5), what, num.Digits(d.Making.PitchMM, 4))
		case c.Gears > 0:
			text += fmt.Sprintf("; %s beside that of the crank", counted(c.Gears, "gear", "gears"))
		}
		list = append(list, entry{c.Name, text})
	}
	s.entries(list)
}

func (s *sheet) pipeRows(d *PartsDoc) {
	for _, kind := range []struct {
		title string
		list  []PipesDoc
	}{{"Exhaust manifolds, by group", d.Exhausts}, {"Intake manifolds", d.Intakes}} {
		if len(kind.list) == 0 {
			continue
		}
		s.heading(kind.title)
		var list []entry
		for _, p := range kind.list {
			var runners []string
			for i, c := range p.Cylinders {
				runners = append(runners, fmt.Sprintf("%s %s", c, num.Digits(p.RunnersMM[i], 3)))
			}
			text := num.Digits(p.LengthMM, 4) + " mm of pipe"
			if p.CrossoverMM > 0 {
				text += ", " + num.Digits(p.CrossoverMM, 3) + " mm of it across the engine"
			}
			list = append(list, entry{p.Name, text + "; runners by cylinder [mm]: " + strings.Join(runners, ", ")})
		}
		s.entries(list)
	}
}

func (s *sheet) rubRows(d *PartsDoc) {
	s.heading("Friction by part at " + num.Digits(d.SpeedRPM, 5) + " rpm")
	if len(d.Friction) == 0 {
		s.paragraph("  ", num.Capital(d.NoFriction)+".")
		return
	}
	var rows [][]cell
	for _, f := range d.Friction {
		rows = append(rows, []cell{{text: f.Name, style: bold}, {text: fmt.Sprint(f.Count)}, {text: num.Digits(f.Bar, 3)}, {text: num.Digits(f.SharePct, 3) + " %"}})
	}
	rows = append(rows, []cell{{text: "together", style: bold}, {}, {text: num.Digits(d.FMEPBar, 3)}, {text: "100 %"}})
	s.table([]column{{left: true, head: []string{""}}, {head: []string{"number"}}, {head: []string{"[bar]"}}, {head: []string{"share"}}}, rows)
	s.paragraph("  ", "Split by the model of the parts, which stands within a factor of two; the sum is the engine's friction.")
}

func (s *sheet) serviceRows(d *PartsDoc) {
	s.heading("Routine service, score " + num.Digits(d.Service.Score, 3))
	var list []entry
	for _, j := range d.Service.Jobs {
		var from []string
		for _, f := range j.From {
			from = append(from, fmt.Sprintf("%d %s", f.Places, f.Side))
		}
		text := strings.Join(from, ", ")
		if len(j.First) > 0 {
			text += "; first off: " + strings.Join(j.First, ", ")
		}
		list = append(list, entry{j.Name, fmt.Sprintf("%s; %s × as often as plugs, score %s", text, num.Digits(j.Often, 3), num.Digits(j.Score, 3))})
	}
	s.entries(list)
	s.paragraph("  ", "Score: "+d.Service.Rule+".")
}

func (s *sheet) coolingRows(d *PartsDoc) {
	s.heading("Cooling")
	s.paragraph("  ", strings.Join(d.Cooling.Path, " → "))
	var rows [][]cell
	for _, c := range d.Cooling.Cylinders {
		mark := ""
		if c.Cylinder == d.Cooling.Worst && d.Cooling.Spread > 0 {
			mark = " !"
		}
		list := func(names []string) string {
			if len(names) == 0 {
				return "–"
			}
			return strings.Join(names, ", ")
		}
		rows = append(rows, []cell{
			{text: c.Cylinder, style: bold},
			{text: c.Stream},
			{text: num.Digits(c.UpstreamPct, 3) + " %"},
			{text: list(c.Neighbours)},
			{text: list(c.Successive)},
			{text: num.Digits(c.Score, 3) + mark},
		})
	}
	s.table([]column{
		{left: true, head: []string{"cylinder"}},
		{left: true, head: []string{"stream"}},
		{head: []string{"upstream"}},
		{left: true, head: []string{"beside"}},
		{left: true, head: []string{"in succession"}},
		{head: []string{"score"}},
	}, rows)
	s.paragraph("  ", "Score: "+d.Cooling.Rule+".")
}

// costRests writes on what costs rest that the files do not give; of several engines it gives the numbers.
func (s *sheet) costRests(engines []CostDoc) {
	if len(engines) == 1 {
		s.rests(engines[0].Estimates, engines[0].Assumed)
		return
	}
	var rows []entry
	for _, e := range engines {
		if n, m := len(e.Estimates), len(e.Assumed); n+m > 0 {
			rows = append(rows, entry{e.Name, fmt.Sprintf("%d estimated, %d assumed", n, m)})
		}
	}
	if len(rows) > 0 {
		s.heading("Values that the files do not give")
		s.entries(rows)
		s.paragraph("  ", rulesStand)
	}
}

// CostText returns what engines cost as text for a terminal.
func CostText(d *CostsDoc, screen Screen) string {
	s := &sheet{Screen: screen}
	for i, e := range d.Engines {
		if i > 0 {
			s.blank()
		}
		s.lead(e.Name)
		for _, line := range e.Summary {
			s.paragraph("", line)
		}
	}
	if len(d.Engines) > 1 {
		s.heading("What makes the difference")
		for _, diff := range d.Differences {
			s.paragraph("  ", diff.Summary)
		}
		s.costGroups(d)
	} else {
		s.costRows(d.Engines[0])
	}
	s.costRests(d.Engines)
	s.blank()
	s.paragraph("", d.Invented)
	s.caution()
	return s.String()
}

// shortGroup is a group of parts in one word.
func shortGroup(group string) string {
	if short, ok := map[string]string{
		string(parts.CrankGroup): "crank", string(parts.BalanceGroup): "shafts", string(parts.FaceGroup): "faces", string(parts.PipeGroup): "pipes",
		string(parts.SealGroup): "seals", string(parts.OtherGroup): "other",
	}[group]; ok {
		return short
	}
	word, _, _ := strings.Cut(group, " ")
	return word
}

// costGroups sets the groups of engines side by side.
func (s *sheet) costGroups(d *CostsDoc) {
	s.heading("Points by group")
	heads := []column{{left: true, head: []string{"engine"}}}
	groups := []string{}
	points := map[string]map[int]float64{}
	for i, e := range d.Engines {
		for _, g := range e.Groups {
			if points[g.Group] == nil {
				points[g.Group] = map[int]float64{}
			}
			points[g.Group][i] = g.Points
		}
	}
	for _, g := range parts.Groups() {
		if points[string(g)] != nil {
			groups = append(groups, string(g))
		}
	}
	for _, g := range groups {
		heads = append(heads, column{head: []string{shortGroup(g)}})
	}
	heads = append(heads, column{head: []string{"all"}}, column{head: []string{"index"}})
	var rows [][]cell
	for i, e := range d.Engines {
		row := []cell{{text: e.Name, style: bold}}
		for _, g := range groups {
			row = append(row, cell{text: num.Digits(points[g][i], 3)})
		}
		rows = append(rows, append(row, cell{text: num.Digits(e.Points, 4)}, cell{text: num.Digits(e.Index, 3)}))
	}
	s.table(heads, rows)
}

func (s *sheet) costRows(e CostDoc) {
	s.heading("Points")
	var rows [][]cell
	group := ""
	for _, r := range e.Rows {
		if r.Group != group {
			group = r.Group
			at := GroupCostDoc{}
			for _, g := range e.Groups {
				if g.Group == group {
					at = g
				}
			}
			rows = append(rows, []cell{{text: group, style: bold}, {}, {}, {}, {text: num.Digits(at.Points, 4), style: bold}, {text: num.Digits(at.SharePct, 3) + " %", style: bold}})
		}
		kg := ""
		if r.MassKg > 0 {
			kg = fmt.Sprintf("%s kg × %s", num.Digits(r.MassKg, 3), num.Digits(r.PerKg, 3))
		}
		rows = append(rows, []cell{
			{text: "  " + r.Part}, {text: amount(r.Count, r.Unit)}, {text: num.Digits(r.Each, 4)}, {text: kg}, {text: num.Digits(r.Points, 4)}, {text: num.Digits(r.SharePct, 3) + " %"},
		})
	}
	s.table([]column{
		{left: true, head: []string{"part"}}, {head: []string{"count"}}, {head: []string{"each"}}, {head: []string{"and by mass"}}, {head: []string{"points"}}, {head: []string{"share"}},
	}, rows)
	unweighed := 0
	for _, r := range e.Rows {
		if r.PerKg > 0 && r.MassKg == 0 {
			unweighed++
		}
	}
	if unweighed > 0 {
		s.paragraph("  ", fmt.Sprintf("Of %s the table asks for points by the kilogram, and the mass is unknown: nothing is counted for it.", counted(unweighed, "row", "rows")))
	}
}

// PartsCSV returns the parts list.
func PartsCSV(d *PartsDoc) ([]byte, error) {
	rows := [][]string{{"part", "group", "count", "unit", "mass_kg", "from"}}
	for _, p := range d.Parts {
		mass := ""
		if p.MassKg > 0 {
			mass = number(p.MassKg)
		}
		rows = append(rows, []string{p.Part, p.Group, number(p.Count), p.Unit, mass, p.From})
	}
	return WriteCSV(rows)
}

// CostCSV returns what engines cost, a row a part.
func CostCSV(d *CostsDoc) ([]byte, error) {
	rows := [][]string{{"engine", "part", "group", "count", "unit", "price_each", "mass_kg", "price_per_kg", "points_1", "prices"}}
	for _, e := range d.Engines {
		for _, r := range e.Rows {
			rows = append(rows, []string{e.Name, r.Part, r.Group, number(r.Count), r.Unit, number(r.Each), number(r.MassKg), number(r.PerKg), number(r.Points), e.Prices})
		}
	}
	return WriteCSV(rows)
}
