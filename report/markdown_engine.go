package report

import "fmt"

// comparison writes the table of all figures, with all engines in one table.
func (m *markdown) comparison(p *page) {
	m.heading(2, comparisonTitle(p), p.Table.ID)
	if !p.One {
		m.paragraph(marksHint)
	}
	head, right := []string{"Figure"}, []bool{false}
	for _, e := range p.Table.Engines {
		head = append(head, fmt.Sprintf("%d [%s](#%s), %s", e.Number, named(e.Name), anchor(e.ID), escaped(e.Kind)))
		right = append(right, true)
	}
	var rows [][]string
	for _, g := range p.Table.Groups {
		rows = append(rows, []string{"**" + escaped(g.Name) + "**"})
		for _, r := range g.Rows {
			name := escaped(r.Name)
			if r.Unit != "" {
				name += ", " + escaped(r.Unit)
			}
			if r.Aim != "" && !p.One {
				name += " (" + escaped(r.Aim) + ")"
			}
			row := []string{name}
			for _, c := range r.Cells {
				row = append(row, markdownCell(c))
			}
			rows = append(rows, row)
		}
	}
	m.table(p.Table.Caption, head, right, rows)
}

// named is the name of an engine, never nothing.
func named(name string) string {
	if text := escaped(name); text != "" {
		return text
	}
	return "unnamed engine"
}

func markdownCell(c pageCell) string {
	text := escaped(c.Text)
	if c.Link != "" {
		text = "[" + text + "](#" + anchor(c.Link) + ")"
	}
	switch c.Mark {
	case "":
		return text
	case "best":
		return "**" + text + "** ▲ best"
	}
	return text + " ▽ " + escaped(c.Mark)
}

// engine writes one engine's sheet.
func (m *markdown) engine(e *pageEngine) {
	m.heading(2, fmt.Sprintf("Engine %d: %s", e.Number, e.Name), e.ID)
	m.facts(e.Facts)
	m.heading(3, "In short", "")
	m.list(e.Summary)
	m.heading(3, "Crank train", "")
	m.figures(e.Shape)
	m.heading(3, "What shakes: orders 1 and 2", "")
	m.figures(e.Stars)
	m.heading(3, "Over the cycle", "")
	m.figures(e.Cycle)
	m.heading(3, "Firing", "")
	m.figures(e.Fires)
	m.list(e.Firing)
	m.drive(e.Drive)
	for _, c := range e.Chapters {
		m.chapter(c)
	}
	m.heading(3, "Why each order is what it is", "")
	for _, w := range e.Whys {
		m.heading(4, w.Title+": "+w.Result, "")
		for _, s := range w.Sections {
			m.heading(5, s.Heading, "")
			m.list(s.Lines)
		}
	}
	m.orders(e)
	m.heading(3, "Estimates", e.ID+"-estimates")
	if len(e.Estimates) == 0 {
		m.paragraph(e.NoEstimates)
		return
	}
	m.paragraph(estimatesHint(len(e.Estimates)))
	m.estimates(e.Estimates)
}

func (m *markdown) drive(d *pageDrive) {
	if d == nil {
		return
	}
	m.heading(3, "Torque", "")
	if d.Missing != "" {
		m.paragraph(d.Missing)
		return
	}
	m.paragraph(d.Lead)
	m.facts(d.Facts)
	m.list(d.Notes)
	m.figures(d.Figures)
	if len(d.Assumed) > 0 {
		m.heading(4, "What torque, bearings and shaft assume", "")
		m.paragraph(assumedHint)
		m.estimates(d.Assumed)
	}
	m.caution(d.Caution)
}

func (m *markdown) chapter(c *pageChapter) {
	m.heading(3, c.Title, "")
	m.paragraph(c.Lead)
	m.facts(c.Facts)
	m.list(c.Lines)
	for _, t := range c.Tables {
		m.plainTable(t)
	}
	m.figures(c.Figures)
	m.paragraph(c.Rule)
	if len(c.Assumed) > 0 {
		m.heading(4, "Assumed of "+c.About, "")
		m.estimates(c.Assumed)
	}
	m.caution(c.Caution)
}

func (m *markdown) estimates(list []pageEstimate) {
	var rows [][]string
	for _, e := range list {
		rows = append(rows, []string{code(e.Key), escaped(e.Shown), escaped(e.Rule), escaped(e.Source)})
	}
	m.table("", []string{"Key", "Value", "Rule", "Source"}, make([]bool, 4), rows)
}

func (m *markdown) orders(e *pageEngine) {
	m.heading(3, "All orders", "")
	m.paragraph(ordersHint + e.TwoMass)
	if len(e.Orders) == 0 {
		m.paragraph(noOrders)
		return
	}
	head, right := []string{"Order"}, []bool{false}
	for _, of := range []string{"Force", "Moment"} {
		unit := map[string]string{"Force": "N", "Moment": "N m"}[of]
		for _, part := range []string{"with, " + unit, "against, " + unit, "most, " + unit, "least, " + unit, "along"} {
			head, right = append(head, of+" "+part), append(right, true)
		}
	}
	head, right = append(head, "Roll moment, N m", "Inertia torque, N m"), append(right, true, true)
	var rows [][]string
	for _, o := range e.Orders {
		row := []string{o.Order}
		for _, p := range []pagePair{o.Force, o.Moment} {
			row = append(row, p.With, p.Against, p.Major, p.Minor, p.Axis)
		}
		row = append(row, o.Roll, o.Torque)
		for i := range row {
			row[i] = escaped(row[i])
		}
		rows = append(rows, row)
	}
	m.table("", head, right, rows)
}
