package report

import (
	"strings"

	"crankwright/draw"
)

// titlePage sets title, kind, lead, engines and caution.
func (c *paper) titlePage(part *draw.Part) paperSheet {
	sheet := newSheetOf()
	p := sheet.page
	maker := paperStyle{draw.Font{Size: 9.5, Bold: true}, 13, draw.InkPlain}
	p.As(part.Add("P"))
	p.Text(paperLeft, 64, "Crankwright", maker.font, maker.ink)
	soft := draw.Font{Size: 9.5}
	p.Text(paperLeft+maker.font.Width("Crankwright")+18, 64, soft.Cut(c.page.Kind, 380), soft, draw.InkSoft)
	p.As(nil)
	p.Line(paperLeft+maker.font.Width("Crankwright")+9, 55, paperLeft+maker.font.Width("Crankwright")+9, 66, 0.6, draw.InkSoft)
	y := 150.0
	title := paperStyle{draw.Font{Size: 27, Bold: true}, 33, draw.InkPlain}
	lead := paperStyle{draw.Font{Size: 11}, 15.5, draw.InkSoft}
	set := func(kind string, t paperStyle, text string, width float64, most int) {
		p.As(part.Add(kind))
		lines := t.font.Lines(text, width)
		if len(lines) > most {
			lines = append(lines[:most-1], t.font.Cut(strings.Join(lines[most-1:], " "), width))
		}
		for _, l := range lines {
			p.Text(paperLeft, t.baseline(y), l, t.font, t.ink)
			y += t.leading
		}
	}
	set("H1", title, c.page.Title, paperFull, 5)
	y += 10
	set("P", lead, c.page.Lead, paperMeasure, 12)
	y += 22
	p.As(nil)
	p.Fill(paperLeft, y, paperFull, 3, draw.InkPlain)
	y += 16
	caution := paperStyle{draw.Font{Size: 9}, 12.5, draw.InkPlain}
	lines := caution.font.Lines(c.page.Caution, paperFull-24)
	lines = lines[:min(len(lines), 8)]
	room := paperHeight - 70 - (float64(len(lines))*caution.leading + 10)
	if c.page.One {
		c.titleFacts(p, part, y, room-20)
	} else {
		c.engineList(p, part, y, room-20)
	}
	cautionBox(spot{page: p, y: room}, part.Add("Note"), caution, paperLeft, paperFull, lines)
	return sheet
}

// titleFacts sets what the only engine is, between two heights.
func (c *paper) titleFacts(p *draw.Page, part *draw.Part, top, bottom float64) {
	name, t := softStyle(), plainStyle()
	t.font.Size, t.leading, name.leading = 10, 14, 14
	const width = 120.0
	for _, f := range c.page.Engines[0].Facts {
		lines := c.lines(t, f.Text, paperFull-width)
		h := float64(len(lines)) * t.leading
		if top+h > bottom {
			return
		}
		p.As(part.Add("P"))
		p.Text(paperLeft, t.baseline(top), name.font.Cut(f.Name, width-8), name.font, name.ink)
		for i, l := range lines {
			p.Text(paperLeft+width, t.baseline(top+float64(i)*t.leading), l, t.font, t.ink)
		}
		top += h + 5
		p.As(nil)
		p.Line(paperLeft, top, paperRight, top, 0.4, draw.InkRule)
		top += 5
	}
}

// engineList sets the names of the engines between two heights, in two columns where there are many.
func (c *paper) engineList(p *draw.Page, part *draw.Part, top, bottom float64) {
	t, kind := draw.Font{Size: 10, Bold: true}, draw.Font{Size: 8.4}
	const step = 30.0
	n := len(c.page.Engines)
	rows := int((bottom - top) / step)
	columns := 1
	if n > 8 || n > rows {
		columns = 2
	}
	width := (paperFull - paperGutter*float64(columns-1)) / float64(columns)
	rows = min(rows, (n+columns-1)/columns)
	list := part.Add("L")
	for i := range c.page.Engines {
		if rows == 0 || i >= rows*columns {
			break
		}
		e := &c.page.Engines[i]
		x, y := paperLeft+float64(i/rows)*(width+paperGutter), top+float64(i%rows)*step
		name, words := e.Name, e.Kind
		if i == rows*columns-1 && i < n-1 {
			name, words = "and "+plain(float64(n-i))+" more", "The contents list them all."
		}
		p.As(nil)
		p.Line(x, y+step-4, x+width, y+step-4, 0.4, draw.InkRule)
		item := list.Add("LI").Add("LBody").Add("Link")
		p.As(item)
		number := plain(float64(e.Number))
		p.TextRight(x+18, y+10, number, t, draw.InkSoft)
		p.Text(x+28, y+10, t.Cut(name, width-30), t, draw.InkPlain)
		p.Text(x+28, y+21, kind.Cut(words, width-30), kind, draw.InkSoft)
		p.Link(x, y-2, width, step-4, e.ID)
	}
}

// contents sets the table of contents. where: the page of each target, counted from the first after it.
func (c *paper) contents(part *draw.Part, where map[string]int) []paperSheet {
	deepest := 2
	if count(c.heads, 2) > 110 { // three pages of them help nobody
		deepest = 1
	}
	var shown []paperHead
	for _, h := range c.heads {
		if h.level <= deepest {
			shown = append(shown, h)
		}
	}
	sheets := c.setContents(part, shown, nil, 0)
	return c.setContents(part, shown, where, len(sheets)+1)
}

func count(heads []paperHead, deepest int) int {
	n := 0
	for _, h := range heads {
		if h.level <= deepest {
			n++
		}
	}
	return n
}

// contentsTarget is where the contents stand.
const contentsTarget = "contents"

// setContents sets the entries; where is nil to find out how many pages they take.
func (c *paper) setContents(part *draw.Part, shown []paperHead, where map[string]int, before int) []paperSheet {
	in := &paper{sect: &draw.Part{Kind: "Sect"}, known: map[string]bool{}}
	if where != nil {
		in.sect = part
	}
	in.heading(1, "Contents", contentsTarget)
	toc := in.sect.Add("TOC")
	for _, h := range shown {
		t := paperStyle{draw.Font{Size: 9.4, Bold: true}, 15, draw.InkPlain}
		x, above := paperLeft, 5.0
		if h.level > 1 {
			t = paperStyle{draw.Font{Size: 8.6}, 12.6, draw.InkPlain}
			x, above = paperLeft+18, 0
		}
		in.add(block{height: t.leading, before: above, keep: h.level == 1, draw: func(s spot) {
			if where == nil {
				return
			}
			page := plain(float64(where[h.target] + before + 1))
			item := toc.Add("TOCI").Add("Link")
			name := t.font.Cut(h.title, paperFull-60)
			y, w := t.baseline(s.y), t.font.Width(page)
			s.page.As(item)
			s.page.Text(x, y, name, t.font, t.ink)
			s.page.Link(x, s.y, paperRight-x, t.leading, h.target)
			s.page.As(nil)
			leader := draw.Font{Size: 7}
			dot := leader.Width(". ")
			from := x + t.font.Width(name) + 8
			if n := int((paperRight - w - 8 - from) / dot); n > 0 {
				s.page.TextRight(paperRight-w-6, y, strings.Repeat(". ", n), leader, draw.InkSoft)
			}
			s.page.As(item)
			s.page.TextRight(paperRight, y, page, t.font, t.ink)
		}})
	}
	sheets, _ := in.flow()
	for i := range sheets {
		sheets[i].section = "Contents"
	}
	return sheets
}

// bookmarks nests the headings.
func (c *paper) bookmarks(contents bool) []draw.Bookmark {
	var out []draw.Bookmark
	if contents {
		out = append(out, draw.Bookmark{Title: "Contents", Target: contentsTarget})
	}
	rest := c.heads
	for len(rest) > 0 {
		var b draw.Bookmark
		b, rest = nested(rest)
		out = append(out, b)
	}
	return out
}

// nested takes a heading and the deeper ones that follow it.
func nested(heads []paperHead) (draw.Bookmark, []paperHead) {
	b := draw.Bookmark{Title: heads[0].title, Target: heads[0].target}
	level, rest := heads[0].level, heads[1:]
	for len(rest) > 0 && rest[0].level > level {
		var kid draw.Bookmark
		kid, rest = nested(rest)
		b.Kids = append(b.Kids, kid)
	}
	return b, rest
}
