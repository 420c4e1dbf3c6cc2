package report

import (
	"math"
	"slices"
	"strings"

	"crankwright/draw"
)

// paperTable is a table in the making.
type paperTable struct {
	caption string
	right   []bool // columns of numbers
	widths  []float64
	heads   [][]paperCell
	rows    []paperRow
	lined   []int // columns with a line before them
	gap     int   // a column without rules, between two tables; 0: none
	second  *draw.Part
}

type paperRow struct {
	cells []paperCell
	group bool // a heading within the table
}

// paperCell is what stands in a place of a table, one run of text below the other.
type paperCell struct {
	runs []paperRun
	span int    // columns; 0 is one
	mark string // best or worst
	link string
	left bool // to the left although the column is of numbers
}

type paperRun struct {
	style paperStyle
	text  string
}

func cellOf(text string, style paperStyle) paperCell {
	return paperCell{runs: []paperRun{{style, text}}}
}

// wholeTable is how tall the rows of a table are that is not cut by the end of a page.
const wholeTable = 150.0

const (
	cellPad   = 4.0 // beside the text of a cell
	cellAbove = 2.6
	headLines = 8  // of a run of text in the head, which is repeated on every page
	cellLines = 44 // a row with more lines goes on in a second one
)

// setLine is a line of a cell that has its place.
type setLine struct {
	style paperStyle
	text  string
	y     float64 // from the top of the cell's text
}

// setCell is a cell whose text is broken to its width.
type setCell struct {
	cell      paperCell
	x, width  float64
	lines     []setLine
	height    float64
	right     bool
	markBelow bool
	part      *draw.Part
}

// table sets a table; its head is repeated on every page.
func (c *paper) table(t paperTable) {
	if len(t.rows) == 0 {
		return
	}
	part := c.sect.Add("Table")
	if t.gap > 0 {
		t.second = c.sect.Add("Table")
	}
	if t.caption != "" {
		style := softStyle()
		style.font.Size, style.leading = 7.8, 10.5
		c.running(part.Add("Caption"), style, paperLeft, 6, c.lines(style, t.caption, paperFull))
		c.keepLast()
		c.blocks[len(c.blocks)-1].height += 2
	}
	var heads []block
	for i, h := range t.heads {
		row := c.row(t, part, paperRow{cells: h}, true)
		for _, b := range row {
			if i == len(t.heads)-1 {
				b = underlined(b, t)
			}
			b.keep = true
			heads = append(heads, b)
		}
	}
	for i, b := range heads {
		if i == 0 && t.caption == "" {
			b.before = 5
		}
		c.add(b)
	}
	first, high := len(c.blocks), 0.0
	again := heads
	for i, r := range t.rows {
		row := c.row(t, part, r, false)
		for j, b := range row {
			b.again = again
			if r.group {
				b.again = heads
			}
			b.keep = r.group || i == len(t.rows)-2 && j == len(row)-1 || i == 0 && j == 0
			high += b.height
			c.add(b)
		}
		if r.group { // a page that begins within the group says so
			more := r
			more.cells = slices.Clone(r.cells)
			more.cells[0] = cellOf(r.cells[0].runs[0].text+", continued", r.cells[0].runs[0].style)
			more.cells[0].span = r.cells[0].span
			again = append(slices.Clone(heads), c.row(t, &draw.Part{}, more, false)[0])
		}
	}
	if last := len(c.blocks) - 1; high < wholeTable && last > first {
		for i := first; i < last; i++ {
			c.blocks[i].keep = true
		}
	}
	c.space(4)
}

// underlined closes the head of a table.
func underlined(b block, t paperTable) block {
	inner, h := b.draw, b.height
	b.draw = func(s spot) {
		inner(s)
		t.rule(s, s.y+h, 0.9, draw.InkPlain)
	}
	return b
}

// rule draws a line across the table.
func (t paperTable) rule(s spot, y, width float64, ink draw.Ink) {
	s.page.As(nil)
	from := paperLeft
	if t.gap > 0 {
		s.page.Line(from, y, from+sum(t.widths[:t.gap]), y, width, ink)
		from += sum(t.widths[:t.gap+1])
	}
	s.page.Line(from, y, paperLeft+sum(t.widths), y, width, ink)
}

func sum(list []float64) float64 {
	total := 0.0
	for _, v := range list {
		total += v
	}
	return total
}

// row breaks the text of a row; one that is too tall becomes several.
func (c *paper) row(t paperTable, part *draw.Part, r paperRow, isHead bool) []block {
	tr := part.Add("TR")
	var cells []setCell
	x, column, most := paperLeft, 0, 0
	for i, cell := range r.cells {
		span := max(1, cell.span)
		if column+span > len(t.widths) {
			break
		}
		s := setCell{cell: cell, x: x, width: sum(t.widths[column : column+span]), right: t.right[column] && !cell.left}
		switch {
		case t.gap > 0 && column == t.gap:
			tr, s.part = t.second.Add("TR"), &draw.Part{} // what is between two tables belongs to neither
		default:
			s.part = tr.Add("TD")
		}
		if isHead || i == 0 || t.gap > 0 && column == t.gap+1 {
			s.part.Kind, s.part.Head = "TH", "Row"
			if isHead {
				s.part.Head = "Column"
			}
		}
		s.part.Columns = span
		y := 0.0
		for _, run := range cell.runs {
			lines := c.lines(run.style, run.text, s.width-2*cellPad)
			if isHead && len(lines) > headLines {
				lines = append(lines[:headLines-1], run.style.font.Cut(lines[headLines-1]+"…", s.width-2*cellPad))
			}
			for _, l := range lines {
				s.lines = append(s.lines, setLine{run.style, l, y})
				y += run.style.leading
			}
		}
		s.height = y
		if cell.mark != "" {
			s.markBelow = markWidth(cell.mark)+4+s.widest() > s.width-2*cellPad
			if s.markBelow {
				s.height += smallStyle().leading
			}
		}
		most = max(most, len(s.lines))
		cells = append(cells, s)
		x += s.width
		column += span
	}
	var out []block
	for from := 0; from == 0 || from < most; from += cellLines {
		some := cells
		if most > cellLines {
			some = slices.Clone(cells)
			for i := range some {
				some[i] = some[i].between(from, from+cellLines)
			}
		}
		out = append(out, c.rowBlock(t, r, some, isHead, from+cellLines >= most))
	}
	return out
}

func (s setCell) widest() float64 {
	w := 0.0
	for _, l := range s.lines {
		w = math.Max(w, l.style.font.Width(l.text))
	}
	return w
}

// between returns a cell with some of its lines.
func (s setCell) between(from, to int) setCell {
	from, to = min(from, len(s.lines)), min(to, len(s.lines))
	lines := slices.Clone(s.lines[from:to])
	s.height = 0
	for i := range lines {
		lines[i].y = s.height
		s.height += lines[i].style.leading
	}
	s.lines = lines
	if from > 0 {
		s.cell.mark = ""
	}
	if s.markBelow {
		s.height += smallStyle().leading
	}
	return s
}

// rowBlock draws a row: head cells stand at the foot of their row, all others at its top.
func (c *paper) rowBlock(t paperTable, r paperRow, cells []setCell, isHead, last bool) block {
	h := 0.0
	for _, s := range cells {
		h = math.Max(h, s.height)
	}
	h += 2 * cellAbove
	if r.group {
		h += 5
	}
	return block{height: h, draw: func(at spot) {
		at.page.As(nil)
		if !isHead && last {
			ink := draw.InkRule
			if r.group {
				ink = draw.InkSoft
			}
			t.rule(at, at.y+h, 0.4, ink)
		}
		for _, i := range t.lined {
			x := paperLeft + sum(t.widths[:i])
			at.page.Line(x, at.y, x, at.y+h, 0.4, draw.InkRule)
		}
		for _, s := range cells {
			top := at.y + cellAbove
			if isHead || r.group {
				top = at.y + h - cellAbove - s.height
			}
			c.drawCell(at, s, top)
		}
	}}
}

func (c *paper) drawCell(at spot, s setCell, top float64) {
	at.as(s.part)
	if s.cell.link != "" && c.known[s.cell.link] {
		link := s.part
		if !at.again {
			link = s.part.Add("Link")
		}
		at.as(link)
		at.page.Link(s.x, top, s.width, s.height, s.cell.link)
	}
	for _, l := range s.lines {
		y := l.style.baseline(top + l.y)
		if s.right {
			at.page.TextRight(s.x+s.width-cellPad, y, l.text, l.style.font, l.style.ink)
		} else {
			at.page.Text(s.x+cellPad, y, l.text, l.style.font, l.style.ink)
		}
	}
	if s.cell.mark == "" || len(s.lines) == 0 {
		return
	}
	y, x := s.lines[0].style.baseline(top), s.x+cellPad
	if s.markBelow {
		y, x = smallStyle().baseline(top+s.height-smallStyle().leading), s.x+s.width-cellPad-markWidth(s.cell.mark)
	}
	drawMark(at, s.part, x, y, s.cell.mark)
}

func markFont() draw.Font { return draw.Font{Size: 6, Bold: true} }

func markWidth(mark string) float64 { return 7 + markFont().Width(mark) }

// drawMark sets a word with a triangle: filled and upright for the best, hollow and upside down for the worst.
func drawMark(s spot, part *draw.Part, x, y float64, mark string) {
	ink := draw.InkThird
	if mark != "best" {
		ink = draw.InkAgainst
	}
	s.page.As(nil)
	s.page.Pointer(x, y, 4.6, mark == "best", ink)
	s.as(part)
	s.page.Text(x+7, y, mark, markFont(), ink)
}

// columnWidths shares a width among columns by what stands in them: numbers take what they need, texts share the rest. Nil
// where not even the longest words fit.
func (t *paperTable) columnWidths(width float64) []float64 {
	n := len(t.right)
	least, natural := make([]float64, n), make([]float64, n)
	all := make([][]paperCell, 0, len(t.heads)+len(t.rows))
	all = append(all, t.heads...)
	for _, r := range t.rows {
		all = append(all, r.cells)
	}
	for _, cells := range all {
		for i, cell := range cells {
			if i >= n {
				break
			}
			for _, run := range cell.runs {
				natural[i] = math.Max(natural[i], run.style.font.Width(draw.Plain(run.text))+2*cellPad+0.5)
				for word := range strings.FieldsSeq(run.text) {
					most := 110.0
					if t.right[i] {
						most = 70
					}
					least[i] = math.Max(least[i], math.Min(most, run.style.font.Width(word)+2*cellPad+0.5))
				}
			}
		}
	}
	for i := range natural {
		least[i] = math.Max(least[i], 18)
		natural[i] = math.Max(least[i], math.Min(natural[i], 330))
	}
	if sum(least) > width {
		return nil
	}
	return shareOut(least, natural, width)
}

// shareOut gives every column its least and shares what is left by what each still wants.
func shareOut(least, natural []float64, width float64) []float64 {
	out := make([]float64, len(least))
	want := sum(natural) - sum(least)
	left := width - sum(least)
	for i := range out {
		out[i] = least[i]
		switch {
		case want > left && want > 0:
			out[i] += left * (natural[i] - least[i]) / want
		default:
			out[i] = natural[i]
		}
	}
	return out
}

// plainTable sets a table of words; one that is too wide is cut into pieces that repeat the first column.
func (c *paper) plainTable(p plainTable) {
	if len(p.Head) == 0 || len(p.Rows) == 0 {
		return
	}
	if p.ID != "" {
		c.known[p.ID] = true
		c.add(block{keep: true, target: p.ID, draw: func(spot) {}})
	}
	columns := make([]int, len(p.Head))
	for i := range columns {
		columns[i] = i
	}
	for part := 1; len(columns) > 0; part++ {
		n := len(columns)
		t := p.piece(columns)
		for t.widths = t.columnWidths(paperFull); t.widths == nil && n > 2; t.widths = t.columnWidths(paperFull) {
			n--
			t = p.piece(columns[:n])
		}
		if t.widths == nil { // two columns of long words: half the page each
			t.widths = slices.Repeat([]float64{paperFull / float64(n)}, n)
		}
		t.caption = p.Caption
		if part > 1 {
			t.caption = strings.TrimSpace(p.Caption + " (further columns)")
		}
		c.table(t)
		if n == len(columns) {
			return
		}
		columns = append([]int{columns[0]}, columns[n:]...)
	}
}

// piece returns some columns of a table.
func (p plainTable) piece(columns []int) paperTable {
	style := tableStyle()
	bold := style
	bold.font.Bold = true
	var t paperTable
	var head []paperCell
	for _, i := range columns {
		t.right = append(t.right, p.Head[i].Number)
		head = append(head, cellOf(p.Head[i].Text, bold))
	}
	t.heads = [][]paperCell{head}
	for _, r := range p.Rows {
		var row paperRow
		for _, i := range columns {
			text := ""
			if i < len(r) {
				text = r[i]
			}
			row.cells = append(row.cells, cellOf(text, style))
		}
		t.rows = append(t.rows, row)
	}
	return t
}
