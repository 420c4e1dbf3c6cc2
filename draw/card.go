package draw

import (
	"math"
	"strings"
)

// Card is a page of tables and sentences for the workshop: what a printed card says.
type Card struct {
	ID       string
	Title    string
	Facts    string // one line below the title
	Sections []CardSection
	Foot     string
}

// CardSection is a heading with a table, sentences, or both.
type CardSection struct {
	Heading string
	Heads   []string   // of the columns; the first column is text, the others are numbers
	Rows    [][]string // as many cells as heads
	Lines   []string   // sentences below
}

// The measures of a card: an A4 page in units of 1/96 inch.
const (
	pageWidth  = 793.7
	pageHeight = 1122.5
	pageMargin = 57.
)

// CardFigure sets a card on an A4 page, black on white; a card that is longer makes the page longer.
//
//   - c: the card; cells that are too wide are cut
//
// Result [-]. Definition.
func CardFigure(c Card) Figure {
	s := &sheet{id: c.ID, title: c.Title, bottom: pageMargin}
	const width = pageWidth - 2*pageMargin
	line := func(text string, size float64, isBold bool, p paint) {
		for _, t := range wrapped(text, width, size) {
			s.bottom += 1.35 * size
			s.text(label{at: point{pageMargin, s.bottom}, text: t, size: size, bold: isBold, paint: p})
		}
	}
	line(c.Title, 22, true, ink)
	s.bottom += 4
	line(c.Facts, sizeText, false, soft)
	s.say(c.Title+".", c.Facts)
	for _, section := range c.Sections {
		s.bottom += 16
		line(section.Heading, sizeTitle, true, ink)
		s.bottom += 4
		s.cardTable(section, width)
		for _, t := range section.Lines {
			s.bottom += 3
			line(t, sizeText, false, ink)
			s.say(t)
		}
	}
	s.bottom += 14
	line(c.Foot, sizeSmall, false, soft)
	return Figure{
		ID: slug(s.id), Title: s.title, Desc: strings.Join(s.desc, " "),
		Width: pageWidth, Height: math.Max(pageHeight, math.Ceil(s.bottom+pageMargin)), nodes: s.nodes,
	}
}

// cardTable sets a table over the width of the page: numbers take what they need, text the rest.
func (s *sheet) cardTable(t CardSection, width float64) {
	if len(t.Heads) == 0 {
		return
	}
	const gap, row = 18., 19.
	widths := make([]float64, len(t.Heads))
	rest := width
	for i, h := range t.Heads {
		widths[i] = textWidth(h, sizeSmall, true)
		for _, r := range t.Rows {
			widths[i] = math.Max(widths[i], textWidth(r[i], sizeText, false))
		}
		if i > 0 {
			widths[i] = math.Min(widths[i], width/float64(len(t.Heads)))
			rest -= widths[i] + gap
		}
	}
	widths[0] = math.Max(40, rest)
	put := func(cells []string, size float64, isBold bool) {
		s.bottom += row
		x := pageMargin
		for i, text := range cells {
			l := label{at: point{x, s.bottom - 5}, size: size, bold: isBold, paint: ink}
			l.text, l.title = fitted(text, widths[i], size, isBold)
			if i > 0 {
				l.at.x, l.align = x+widths[i], end
			}
			s.text(l)
			x += widths[i] + gap
		}
	}
	put(t.Heads, sizeSmall, true)
	s.line(point{pageMargin, s.bottom}, point{pageMargin + width, s.bottom}, pen(ink, normal))
	for _, r := range t.Rows {
		put(r, sizeText, false)
		s.line(point{pageMargin, s.bottom}, point{pageMargin + width, s.bottom}, pen(rule, thin))
	}
}
