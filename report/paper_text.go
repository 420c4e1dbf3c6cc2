package report

import (
	"strconv"
	"strings"

	"crankwright/draw"
)

// baseline is where letters stand in a line that begins at y.
func (t paperStyle) baseline(y float64) float64 { return y + t.leading/2 + 0.36*t.font.Size }

// lines breaks a text to a width and remembers its letters.
func (c *paper) lines(t paperStyle, text string, width float64) []string {
	c.said = append(c.said, text)
	return t.font.Lines(text, width)
}

// running sets lines of text as blocks, so that neither a first nor a last line stands alone on a page.
func (c *paper) running(part *draw.Part, t paperStyle, x, before float64, lines []string) {
	for i, line := range lines {
		b := block{height: t.leading, keep: i == 0 && len(lines) > 1 || i == len(lines)-2}
		if i == 0 {
			b.before = before
		}
		b.draw = func(s spot) {
			s.as(part)
			s.page.Text(x, t.baseline(s.y), line, t.font, t.ink)
		}
		c.add(b)
	}
}

// paragraph sets a text in the measure of running text.
func (c *paper) paragraph(t paperStyle, text string) {
	if text != "" {
		c.running(c.sect.Add("P"), t, paperLeft, 4, c.lines(t, text, paperMeasure))
	}
}

// lead sets what a section is about; it stays with what follows.
func (c *paper) lead(text string) {
	c.paragraph(softStyle(), text)
	if text != "" {
		c.keepLast()
	}
}

// labelled sets a bold word with a text beside it.
func (c *paper) labelled(name, text string) {
	t, part := plainStyle(), c.sect.Add("P")
	bold := t
	bold.font.Bold = true
	const width = 96.0
	names := c.lines(bold, name, width-10)
	lines := c.lines(t, text, paperMeasure-10)
	c.add(block{height: max(float64(len(names)), float64(len(lines)))*t.leading + 3, before: 3, draw: func(s spot) {
		s.as(part)
		for i, l := range names {
			s.page.Text(paperLeft, t.baseline(s.y+float64(i)*t.leading), l, bold.font, t.ink)
		}
		for i, l := range lines {
			s.page.Text(paperLeft+width, t.baseline(s.y+float64(i)*t.leading), l, t.font, t.ink)
		}
	}})
}

// list sets sentences as items.
func (c *paper) list(t paperStyle, items []string) {
	if len(items) == 0 {
		return
	}
	list := c.sect.Add("L")
	for _, item := range items {
		part := list.Add("LI").Add("LBody")
		first := len(c.blocks)
		c.running(part, t, paperLeft+10, 2.2, c.lines(t, item, paperMeasure-10))
		b := &c.blocks[first]
		inner := b.draw
		b.draw = func(s spot) {
			bullet(s, t, s.y)
			inner(s)
		}
	}
}

// bullet marks the line of a list that begins at y.
func bullet(s spot, t paperStyle, y float64) {
	s.page.As(nil)
	s.page.Fill(paperLeft+1.5, y+t.leading/2-1, 2.6, 2.6, draw.InkSoft)
}

// heading begins a section: 1 of the report, 2 within it, 3 and 4 without an entry in the contents.
func (c *paper) heading(level int, title, target string) {
	if title == "" {
		return
	}
	c.target(level, title, target)
	t := [...]paperStyle{
		{draw.Font{Size: 17, Bold: true}, 22, draw.InkPlain},
		{draw.Font{Size: 12, Bold: true}, 15.5, draw.InkPlain},
		{draw.Font{Size: 9.6, Bold: true}, 13, draw.InkPlain},
		{draw.Font{Size: 8.6, Bold: true}, 12, draw.InkSoft},
	}[min(level, 4)-1]
	before := [...]float64{30, 20, 10, 7}[min(level, 4)-1]
	after := [...]float64{6, 4, 1, 0}[min(level, 4)-1]
	part := c.sect.Add("H" + strconv.Itoa(min(level+1, 6)))
	lines := c.lines(t, title, paperFull)
	section := ""
	if level == 1 {
		section = title
	}
	for i, line := range lines {
		b := block{height: t.leading, keep: true, draw: func(s spot) {
			if level <= 2 && i == 0 && s.y > paperTop+1 { // the running head has a line of its own
				s.page.As(nil)
				s.page.Line(paperLeft, s.y-4, paperRight, s.y-4, [...]float64{2, 0.5}[level-1], [...]draw.Ink{draw.InkPlain, draw.InkRule}[level-1])
			}
			s.as(part)
			s.page.Text(paperLeft, t.baseline(s.y), line, t.font, t.ink)
		}}
		if i == 0 {
			b.before, b.target, b.section = before, target, section
		}
		if i == len(lines)-1 {
			b.height += after
		}
		c.add(b)
	}
}

// target enters a heading in contents and bookmarks.
func (c *paper) target(level int, title, target string) {
	if target == "" {
		return
	}
	c.known[target] = true
	if level <= 3 {
		c.heads = append(c.heads, paperHead{level, title, target})
	}
}

// caution sets a text with a bar beside it.
func (c *paper) caution(text string) {
	if text == "" {
		return
	}
	t, part := plainStyle(), c.sect.Add("Note")
	t.font.Size, t.leading = 8.4, 11.4
	lines := c.lines(t, text, paperFull-24)
	c.add(block{height: float64(len(lines))*t.leading + 10, before: 9, draw: func(s spot) { cautionBox(s, part, t, paperLeft, paperFull, lines) }})
}

func cautionBox(s spot, part *draw.Part, t paperStyle, x, width float64, lines []string) {
	s.page.As(nil)
	h := float64(len(lines))*t.leading + 10
	s.page.Fill(x, s.y, width, h, draw.InkBand)
	s.page.Fill(x, s.y, 3, h, draw.InkAgainst)
	s.as(part)
	for i, l := range lines {
		s.page.Text(x+12, t.baseline(s.y+5+float64(i)*t.leading), l, t.font, t.ink)
	}
}

// facts sets what is known as a grid of small cells.
func (c *paper) facts(facts []pageFact, open bool) {
	if len(facts) == 0 {
		return
	}
	name, t := smallStyle(), paperStyle{draw.Font{Size: 8.4}, 11, draw.InkPlain}
	const pad, most = 6.0, 40 // lines of a cell
	columns := 4
	for ; columns > 2; columns-- {
		longest := 0
		for _, f := range facts {
			longest = max(longest, len(t.font.Lines(f.Text, paperFull/float64(columns)-2*pad)))
		}
		if longest <= 3 {
			break
		}
	}
	columns = min(columns, len(facts))
	start, total := len(c.blocks), 0.0
	width := paperFull / float64(columns)
	wide := func(i, n int) float64 { // the last of a row that is not full takes the rest
		if i == n-1 {
			return paperFull - float64(i)*width
		}
		return width
	}
	for from := 0; from < len(facts); from += columns {
		row := facts[from:min(from+columns, len(facts))]
		parts := make([]*draw.Part, len(row))
		names, texts, high := make([][]string, len(row)), make([][]string, len(row)), 0
		head := 0
		for i, f := range row {
			parts[i] = c.sect.Add("P")
			names[i], texts[i] = c.lines(name, f.Name, width-2*pad), c.lines(t, f.Text, wide(i, len(row))-2*pad)
			names[i] = names[i][:min(len(names[i]), most)]
			high, head = max(high, len(texts[i])), max(head, len(names[i]))
		}
		for begin := 0; begin < high; begin += most {
			n, first := min(most, high-begin), begin == 0
			h := float64(n)*t.leading + 8
			if first {
				h += float64(head) * name.leading
			}
			b := block{height: h, draw: func(s spot) {
				y := s.y + 4
				for i := range row {
					x := paperLeft + float64(i)*width
					s.page.As(nil)
					s.page.Frame(x, s.y, wide(i, len(row)), h, 0.5, draw.InkRule)
					s.as(parts[i])
					at := y
					if first {
						for j, l := range names[i] {
							s.page.Text(x+pad, name.baseline(y+float64(j)*name.leading), l, name.font, name.ink)
						}
						at += float64(head) * name.leading
					}
					for j := begin; j < min(begin+n, len(texts[i])); j++ {
						s.page.Text(x+pad, t.baseline(at+float64(j-begin)*t.leading), texts[i][j], t.font, t.ink)
					}
				}
			}}
			if from == 0 && first && !open {
				b.before = 6
			}
			total += h
			c.add(b)
		}
	}
	if total < wholeTable {
		for i := start; i < len(c.blocks)-1; i++ {
			c.blocks[i].keep = true
		}
	}
	c.space(4)
}

// space leaves room that may vanish at the end of a page.
func (c *paper) space(h float64) {
	c.add(block{before: h, draw: func(spot) {}})
}

// listing sets a file in letters of one width, with its lines counted.
func (c *paper) listing(l pageListing) {
	c.heading(3, l.Name, "")
	t := paperStyle{draw.Font{Size: 6.8, Mono: true}, 8.8, draw.InkPlain}
	number := paperStyle{draw.Font{Size: 6}, 8.8, draw.InkSoft}
	const gutter = 24.0
	part := c.sect.Add("Code")
	c.said = append(c.said, l.Text)
	rest := strings.Split(strings.TrimRight(strings.ReplaceAll(l.Text, "\r\n", "\n"), "\n"), "\n")
	for i, line := range rest {
		for j, piece := range pieces(t.font, strings.ReplaceAll(line, "\t", "    "), paperFull-gutter-4) {
			mark := strconv.Itoa(i + 1)
			if j > 0 {
				mark = "→"
			}
			c.add(block{height: t.leading, keep: i == 0 && len(rest) > 1 || i == len(rest)-2, draw: func(s spot) {
				s.page.As(nil)
				s.page.TextRight(paperLeft+gutter-8, number.baseline(s.y), mark, number.font, number.ink)
				s.page.Line(paperLeft+gutter-4, s.y, paperLeft+gutter-4, s.y+t.leading, 0.5, draw.InkRule)
				s.as(part)
				s.page.Text(paperLeft+gutter, t.baseline(s.y), piece, t.font, t.ink)
			}})
		}
	}
}

// pieces cuts a line of a listing where it is too wide, spaces and all.
func pieces(f draw.Font, line string, width float64) []string {
	runes := []rune(draw.Plain(line))
	var out []string
	for {
		n, w := 0, 0.0
		for n < len(runes) {
			w += f.Width(string(runes[n]))
			if w > width && n > 0 {
				break
			}
			n++
		}
		if n == len(runes) {
			return append(out, string(runes))
		}
		for k := n; k > n/2; k-- {
			if runes[k-1] == ' ' {
				n = k
				break
			}
		}
		out, runes = append(out, string(runes[:n])), runes[n:]
	}
}
