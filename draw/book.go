package draw

import "math"

// Book is a document of pages, with bookmarks, links and a structure that tells a reader what each mark is.
type Book struct {
	Title, Subject string
	Language       string // such as "en"
	Pages          []*Page
	Bookmarks      []Bookmark
	Root           *Part // what the document consists of, in the sequence in which it is read; nil: not told
}

// Bookmark is an entry of the outline beside the pages.
type Bookmark struct {
	Title, Target string // Target: a name given to Page.Target
	Kids          []Bookmark
}

// Part is a piece of the structure: a heading, a paragraph, a cell, a figure. It holds parts or marks.
type Part struct {
	Kind    string // a standard type of PDF: Document, Sect, H1 to H6, P, L, LI, LBody, Table, TR, TH, TD, Figure, Caption, Code, Link, Note
	Alt     string // what a figure shows, in words
	Head    string // of a TH: Row or Column
	Columns int    // how many columns a cell spans, where it is more than one
	parts   []*Part
	marks   []partMark // filled when the book is written, as is the rest
	links   []int
	object  int
}

// partMark is where a part's content stands.
type partMark struct{ page, id int }

// Add adds a part at the end and returns it. Definition.
func (p *Part) Add(kind string) *Part {
	q := &Part{Kind: kind}
	p.parts = append(p.parts, q)
	return q
}

// Page is one page. Lengths are in points, x to the right and y down from the upper left corner.
type Page struct {
	Width, Height float64
	spans         []span
	links         []pageLink
	targets       []pageTarget
}

// span is a run of marks that belong to one part.
type span struct {
	part  *Part // nil: decoration
	nodes []node
	zoom  float64 // of a figure; 0: page coordinates
	at    point   // where the figure's corner stands
}

type pageLink struct {
	box    box
	target string
	part   *Part
}

type pageTarget struct {
	name string
	y    float64
}

// Ink is a paint of text, lines and areas on a page.
type Ink = paint

// The paints of pages, by the role that they have in figures.
const (
	InkPlain   = ink
	InkSoft    = soft
	InkWith    = with
	InkAgainst = against
	InkThird   = third
	InkRule    = rule
	InkPaper   = paper
	InkBand    = band
)

// As says what the marks that follow belong to; nil: they are decoration, such as rules and page numbers. Definition.
func (p *Page) As(part *Part) {
	if len(p.spans) > 0 && p.spans[len(p.spans)-1].part == part && p.spans[len(p.spans)-1].zoom == 0 {
		return
	}
	p.spans = append(p.spans, span{part: part})
}

func (p *Page) add(n node) {
	switch n := len(p.spans); {
	case n == 0:
		p.spans = append(p.spans, span{})
	case p.spans[n-1].zoom != 0: // what stands below a figure belongs to it
		p.spans = append(p.spans, span{part: p.spans[n-1].part})
	}
	s := &p.spans[len(p.spans)-1]
	s.nodes = append(s.nodes, n)
}

// Text sets a line of text that begins at x, on the baseline y [pt]. Definition.
func (p *Page) Text(x, y float64, text string, f Font, i Ink) {
	if text == "" {
		return
	}
	p.add(label{at: point{x, y}, text: Plain(text), size: f.Size, bold: f.Bold, mono: f.Mono, paint: i})
}

// TextRight sets a line of text that ends at x, on the baseline y [pt]. Definition.
func (p *Page) TextRight(x, y float64, text string, f Font, i Ink) {
	p.Text(x-f.Width(Plain(text)), y, text, f, i)
}

// Line draws a straight line of a width [pt]. Definition.
func (p *Page) Line(x0, y0, x1, y1, width float64, i Ink) {
	p.add(shape{geometry: segment{point{x0, y0}, point{x1, y1}}, look: pen(i, width)})
}

// Fill fills a rectangle [pt]. Definition.
func (p *Page) Fill(x, y, w, h float64, i Ink) {
	p.add(shape{geometry: rectangle(x, y, w, h), look: solid(i)})
}

// Frame draws the outline of a rectangle with a line of a width [pt]. Definition.
func (p *Page) Frame(x, y, w, h, width float64, i Ink) {
	p.add(shape{geometry: rectangle(x, y, w, h), look: pen(i, width)})
}

// Pointer draws a triangle of a size [pt] on the baseline y: filled and upright, or hollow and upside down.
// Definition.
func (p *Page) Pointer(x, y, size float64, up bool, i Ink) {
	h := size * 0.86
	if up {
		p.add(shape{geometry: polygon{points: []point{{x, y}, {x + size, y}, {x + size/2, y - h}}}, look: solid(i)})
		return
	}
	p.add(shape{geometry: polygon{points: []point{{x, y - h}, {x + size, y - h}, {x + size/2, y}}}, look: pen(i, 0.7).filled(paper)})
}

// Place sets a figure with its upper left corner at x, y [pt], drawn as the part that the page is at.
//
//   - zoom: points per unit of the figure [pt]; 0.75 is its own size
//
// Definition.
func (p *Page) Place(f Figure, x, y, zoom float64) {
	var part *Part
	if n := len(p.spans); n > 0 {
		part = p.spans[n-1].part
	}
	p.spans = append(p.spans, span{part: part, nodes: f.nodes, zoom: zoom, at: point{x, y}})
}

// Link makes a rectangle [pt] lead to a target of that name, which may stand on any page. Definition.
func (p *Page) Link(x, y, w, h float64, target string) {
	var part *Part
	if n := len(p.spans); n > 0 {
		part = p.spans[n-1].part
	}
	p.links = append(p.links, pageLink{box{x, y, x + w, y + h}, target, part})
}

// Target gives the height y [pt] of this page a name to which links and bookmarks lead. Definition.
func (p *Page) Target(name string, y float64) {
	p.targets = append(p.targets, pageTarget{name, y})
}

// Placed is a line of text and the room that it takes on its page [pt].
type Placed struct {
	Text                     string
	Left, Top, Right, Bottom float64
	Figure                   bool // it stands inside a figure
}

// Texts returns every line of text of a page and where it stands, so that it can be held against margins and
// neighbours [pt]. Definition.
func (p *Page) Texts() []Placed {
	var out []Placed
	for _, s := range p.spans {
		zoom, inFigure := s.zoom, s.zoom != 0
		if !inFigure {
			zoom = 1
		}
		labelsOf(s.nodes, func(l label) {
			left := s.at.x + zoom*l.left()
			top := s.at.y + zoom*(l.at.y-0.75*l.size)
			out = append(out, Placed{
				Text: l.text, Left: left, Top: top, Right: left + zoom*Font{l.size, l.bold, l.mono}.Width(l.text),
				Bottom: top + zoom*0.95*l.size, Figure: inFigure,
			})
		})
	}
	return out
}

func labelsOf(nodes []node, visit func(label)) {
	for _, n := range nodes {
		switch n := n.(type) {
		case label:
			visit(n)
		case *group:
			labelsOf(n.nodes, visit)
		}
	}
}

// pageLength tells whether a length can stand in a file.
func pageLength(x float64) bool { return x > 0 && !math.IsInf(x, 0) && x < 1e5 }
