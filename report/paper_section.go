package report

import (
	"fmt"
	"strings"

	"crankwright/draw"
)

// section sets a section that is not of one engine, with the sections inside it.
func (c *paper) section(s *pageSection, level int, fresh bool) {
	outer := c.sect
	c.sect = outer.Add("Sect")
	defer func() { c.sect = outer }()
	target := s.ID
	if target == "" || c.known[target] {
		target = fmt.Sprintf("section-%d", len(c.heads)+1)
	}
	first := len(c.blocks)
	c.heading(level, s.Title, target)
	if fresh && len(c.blocks) > first {
		c.blocks[first].fresh = true
	}
	c.lead(s.Lead)
	c.facts(s.Facts, false)
	c.list(plainStyle(), s.Lines)
	for _, t := range s.Tables {
		c.plainTable(t)
	}
	c.figures(s.Figures)
	if len(s.Listings) > 0 {
		for _, l := range s.Listings {
			c.listing(l)
		}
		c.paragraph(softStyle(), "Numbers count the lines; → goes on with a line that is too long for the page.")
	}
	c.caution(s.Caution)
	for i := range s.Parts {
		c.section(&s.Parts[i], level+1, false)
	}
}

// comparison sets the table of all figures, in pieces where there are many engines.
func (c *paper) comparison(p page) {
	first := len(c.blocks)
	c.heading(1, comparisonTitle(&p), p.Table.ID)
	c.blocks[first].fresh = true
	if !p.One {
		c.lead(strings.Replace(marksHint, "▽", "▼", 1) + " The name of an engine leads to its sheet.")
	}
	if p.One {
		c.single(p.Table)
		return
	}
	pieces := p.Sheets
	if pieces == nil {
		pieces = []pageTable{p.Table}
	}
	for i, t := range pieces {
		first := len(c.blocks)
		c.compared(t)
		c.blocks[first].fresh = i > 0
	}
}

// compared sets one piece of the comparison.
func (c *paper) compared(t pageTable) {
	style := tableStyle()
	bold, soft := style, smallStyle()
	bold.font.Bold, soft.font.Size, soft.leading = true, 6.4, 8.2
	n := len(t.Engines)
	head := paperFull - float64(n)*min(92, (paperFull-140)/float64(n))
	table := paperTable{caption: t.Caption, right: []bool{false}, widths: []float64{min(head, 190)}}
	heads := []paperCell{cellOf("Figure", bold)}
	for _, e := range t.Engines {
		table.right = append(table.right, true)
		table.lined = append(table.lined, len(table.widths))
		table.widths = append(table.widths, min(92, (paperFull-140)/float64(n)))
		heads = append(heads, paperCell{runs: []paperRun{{soft, plain(float64(e.Number))}, {bold, cutName(e.Name)}, {soft, e.Kind}}, link: e.ID})
	}
	table.heads = [][]paperCell{heads}
	for _, g := range t.Groups {
		group := cellOf(g.Name, bold)
		group.span = n + 1
		table.rows = append(table.rows, paperRow{group: true, cells: []paperCell{group}})
		for _, r := range g.Rows {
			first := cellOf(rowName(r), style)
			if r.Aim != "" {
				first.runs = append(first.runs, paperRun{soft, r.Aim})
			}
			row := paperRow{cells: []paperCell{first}}
			for _, cell := range r.Cells {
				s := style
				s.font.Bold = cell.Mark == "best"
				set := cellOf(cell.Text, s)
				set.mark, set.link = cell.Mark, cell.Link
				row.cells = append(row.cells, set)
			}
			table.rows = append(table.rows, row)
		}
	}
	c.table(table)
}

// rowName is the name of a figure with its unit, which stays on the line of the last word.
func rowName(r pageRow) string {
	if r.Unit == "" {
		return r.Name
	}
	return r.Name + "\u00a0[" + strings.ReplaceAll(r.Unit, " ", "\u00a0") + "]"
}

// single sets the figures of one engine as two tables beside each other, read down the left one first.
func (c *paper) single(t pageTable) {
	style := tableStyle()
	bold := style
	bold.font.Bold = true
	var cells [][2]paperCell
	for _, g := range t.Groups {
		cells = append(cells, [2]paperCell{cellOf(g.Name, bold), cellOf("", style)})
		for _, r := range g.Rows {
			name, value := cellOf(rowName(r), style), cellOf("", style)
			if len(r.Cells) > 0 {
				value = cellOf(r.Cells[0].Text, style)
				value.link = r.Cells[0].Link
			}
			cells = append(cells, [2]paperCell{name, value})
		}
	}
	half := (len(cells) + 1) / 2
	if half < len(cells) && cells[half-1][1].runs[0].text == "" { // a heading stays above its rows
		half++
	}
	const name = paperHalf - 62
	table := paperTable{
		caption: t.Caption, right: []bool{false, true, false, false, true}, gap: 2,
		widths: []float64{name, 62, paperGutter, name, 62},
		heads:  [][]paperCell{{cellOf("Figure", bold), cellOf("Value", bold), cellOf("", style), cellOf("Figure", bold), cellOf("Value", bold)}},
	}
	for i := range half {
		row := []paperCell{cells[i][0], cells[i][1]}
		if i+half < len(cells) {
			row = append(row, cellOf("", style), cells[i+half][0], cells[i+half][1])
		}
		table.rows = append(table.rows, paperRow{cells: row})
	}
	c.table(table)
}

// cutName shortens a name for the head of a column; the sheet of the engine has it in full.
func cutName(name string) string {
	const most = 70
	if r := []rune(name); len(r) > most {
		return string(r[:most]) + "…"
	}
	return name
}

// lacking tells which letters the document cannot show, where there are any.
func (c *paper) lacking() {
	all := map[rune]bool{}
	var letters []rune
	for _, text := range c.said {
		for _, r := range draw.Lacking(text) {
			if !all[r] {
				all[r] = true
				letters = append(letters, r)
			}
		}
	}
	if len(letters) == 0 {
		return
	}
	const most = 40
	list := ""
	for i, r := range letters {
		if i == most {
			list += " and " + counted(len(letters)-most, "more", "more")
			break
		}
		if i > 0 {
			list += ", "
		}
		list += fmt.Sprintf("U+%04X", r)
	}
	c.heading(1, "Letters that are shown as boxes", "lacking")
	c.paragraph(plainStyle(), "The letters of this document cover Latin, Greek and Cyrillic. An empty box stands for each of these, which can be searched and copied all the same: "+list+".")
}
