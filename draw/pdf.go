package draw

import (
	"bytes"
	"fmt"
	"image/color"
	"strings"
)

// pointsPerUnit is the length of one unit of a drawing in PDF points: a pixel of 1/96 inch.
const pointsPerUnit = 0.75

// PDF returns the figure as a page of its own size, in the light theme.
//
// Result: a PDF 1.7 file [-] with vector marks and text that can be searched and copied; the fonts are
// embedded. It holds no date, so that the same figure gives the same bytes. Definition.
func (f Figure) PDF() ([]byte, error) {
	page := &Page{Width: f.Width * pointsPerUnit, Height: f.Height * pointsPerUnit}
	root := &Part{Kind: "Document"}
	figure := root.Add("Figure")
	figure.Alt = f.Desc
	page.As(figure)
	page.Place(f, 0, 0, pointsPerUnit)
	return Book{Title: f.Title, Subject: f.Desc, Language: "en", Pages: []*Page{page}, Root: root}.PDF()
}

// pdfPage writes the marks of a page as its content.
type pdfPage struct {
	b     bytes.Buffer
	theme theme
	fonts *pdfFonts
	used  [3]bool // which of the fonts it uses
	words bool    // lines are parts of a text: a space ends each, so that a reader does not join their words
}

func (p *pdfPage) nodes(nodes []node) {
	for _, n := range nodes {
		switch n := n.(type) {
		case shape:
			p.shape(n)
		case label:
			p.label(n)
		case *group:
			p.nodes(n.nodes)
		}
	}
}

func colourOperands(c color.RGBA) string {
	return fmt.Sprintf("%.3f %.3f %.3f", float64(c.R)/255, float64(c.G)/255, float64(c.B)/255)
}

func (p *pdfPage) shape(s shape) {
	outline := s.geometry.outline()
	if len(outline) == 0 || s.look.fill == none && s.look.stroke == none {
		return
	}
	paintOperator := "f"
	if s.look.fill != none {
		fmt.Fprintf(&p.b, "%s rg\n", colourOperands(p.theme[s.look.fill]))
	}
	if s.look.stroke != none {
		paintOperator = "S"
		if s.look.fill != none {
			paintOperator = "B"
		}
		texts := make([]string, 0, 4)
		for _, d := range s.look.dash.lengths() {
			texts = append(texts, coordinate(d))
		}
		fmt.Fprintf(&p.b, "%s RG %s w [%s] 0 d\n", colourOperands(p.theme[s.look.stroke]), coordinate(s.look.width), strings.Join(texts, " "))
	}
	for _, s := range outline {
		a, b, c := s.p[0], s.p[1], s.p[2]
		switch s.op {
		case 'M':
			fmt.Fprintf(&p.b, "%s %s m\n", coordinate(a.x), coordinate(a.y))
		case 'L':
			fmt.Fprintf(&p.b, "%s %s l\n", coordinate(a.x), coordinate(a.y))
		case 'C':
			fmt.Fprintf(&p.b, "%s %s %s %s %s %s c\n", coordinate(a.x), coordinate(a.y), coordinate(b.x), coordinate(b.y), coordinate(c.x), coordinate(c.y))
		case 'Z':
			p.b.WriteString("h\n")
		}
	}
	p.b.WriteString(paintOperator + "\n")
}

func (p *pdfPage) label(l label) {
	index := 0
	switch {
	case l.mono:
		index = 2
	case l.bold:
		index = 1
	}
	p.used[index] = true
	var code strings.Builder
	for _, r := range l.text {
		fmt.Fprintf(&code, "%04x", p.fonts.code(index, r))
	}
	if p.words {
		fmt.Fprintf(&code, "%04x", p.fonts.code(index, ' '))
	}
	show := func(mode int) {
		fmt.Fprintf(&p.b, "BT /F%d %s Tf %d Tr 1 0 0 -1 %s %s Tm <%s> Tj ET\n", index, coordinate(l.size), mode, coordinate(l.left()), coordinate(l.at.y), code.String())
	}
	if l.halo {
		fmt.Fprintf(&p.b, "%s RG 3 w [] 0 d\n", colourOperands(p.theme[paper]))
		show(1)
	}
	fmt.Fprintf(&p.b, "%s rg\n", colourOperands(p.theme[l.paint]))
	show(0)
}
