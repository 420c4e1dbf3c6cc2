package report

import (
	"crankwright/draw"
)

// The measures of a page of paper, in points: A4 upright with a grid of two columns.
const (
	paperWidth, paperHeight = 595.28, 841.89
	paperLeft, paperRight   = 42.5, paperWidth - 42.5
	paperTop, paperBottom   = 70.0, paperHeight - 58
	paperFull               = paperRight - paperLeft
	paperGutter             = 18.0
	paperHalf               = (paperFull - paperGutter) / 2
	paperMeasure            = 420.0 // of running text: about 90 letters
)

// paperStyle is how running text is set: letters, the height of a line, and the paint.
type paperStyle struct {
	font    draw.Font
	leading float64
	ink     draw.Ink
}

func plainStyle() paperStyle { return paperStyle{draw.Font{Size: 9}, 12.5, draw.InkPlain} }
func softStyle() paperStyle  { return paperStyle{draw.Font{Size: 8.4}, 11.4, draw.InkSoft} }
func smallStyle() paperStyle { return paperStyle{draw.Font{Size: 7}, 9, draw.InkSoft} }
func tableStyle() paperStyle { return paperStyle{draw.Font{Size: 7.4}, 9.4, draw.InkPlain} }

// pdfOf sets a page on paper.
func pdfOf(p page) ([]byte, error) { return bookOf(p).PDF() }

// bookOf lays a page out on sheets of paper.
func bookOf(p page) draw.Book {
	root := &draw.Part{Kind: "Document"}
	title, contents := root.Add("Sect"), root.Add("Sect")
	c := &paper{sect: root, page: p, known: map[string]bool{}}
	c.body()
	sheets, where := c.flow()
	lists := c.contents(contents, where)
	book := draw.Book{
		Title: p.Title, Subject: p.Kind + ". " + p.Lead, Language: "en", Root: root,
		Bookmarks: c.bookmarks(lists != nil),
	}
	all := append([]paperSheet{c.titlePage(title)}, append(lists, sheets...)...)
	for i := range all {
		if i > 0 {
			c.frame(all[i], i+1, len(all))
		}
		book.Pages = append(book.Pages, all[i].page)
	}
	return book
}

// body composes everything but title and contents.
func (c *paper) body() {
	p := c.page
	for i := range p.Front {
		c.section(&p.Front[i], 1, i == 0)
	}
	if p.Count > 0 {
		c.comparison(p)
	}
	if len(p.Bars) > 0 {
		c.heading(1, "Comparison bars", "bars")
		c.figures(p.Bars)
	}
	if len(p.Reading) > 0 {
		c.heading(1, readingTitle, "reading")
		c.readingNotes()
	}
	for i := range p.Engines {
		c.engine(&p.Engines[i])
	}
	for i := range p.Back {
		c.section(&p.Back[i], 1, i == 0)
	}
	c.lacking()
}

// frame sets the running head and foot of a page.
func (c *paper) frame(s paperSheet, n, of int) {
	font := draw.Font{Size: 7.4}
	p := s.page
	p.As(nil)
	section := font.Cut(s.section, paperFull*0.45)
	p.Text(paperLeft, 40, font.Cut(c.page.Title, paperFull*0.5), draw.Font{Size: 7.4, Bold: true}, draw.InkPlain)
	p.TextRight(paperRight, 40, section, font, draw.InkSoft)
	p.Line(paperLeft, 47, paperRight, 47, 0.6, draw.InkPlain)
	foot := paperHeight - 36
	p.Line(paperLeft, foot-11, paperRight, foot-11, 0.4, draw.InkRule)
	p.Text(paperLeft, foot, Caution, draw.Font{Size: 6.6}, draw.InkSoft)
	p.TextRight(paperRight, foot, "Page "+plain(float64(n))+" of "+plain(float64(of)), font, draw.InkPlain)
}

func (c *paper) readingNotes() {
	texts := c.page.Reading
	for i, t := range texts {
		c.labelled(t.Name, t.Text)
		if i < len(texts)-1 {
			c.keepLast()
		}
	}
}
