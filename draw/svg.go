package draw

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// SVG returns the figure as a document of its own [-]: style sheet, title and description inside,
// nothing fetched. It may also stand inside a page. Definition.
func (f Figure) SVG() []byte { return []byte(f.svg(true)) }

// Inline returns the figure without the style sheet [-], for pages that carry Stylesheet once.
// Definition.
func (f Figure) Inline() []byte { return []byte(f.svg(false)) }

func (f Figure) svg(style bool) string {
	w := &svgWriter{id: f.ID}
	fmt.Fprintf(&w.b, `<svg xmlns="http://www.w3.org/2000/svg" class="cw-fig" id="%s" role="img" aria-labelledby="%s-title %s-desc" viewBox="0 0 %s %s" width="%s" height="%s" font-family='%s' stroke-linejoin="round" fill="none">`+"\n",
		f.ID, f.ID, f.ID, coordinate(f.Width), coordinate(f.Height), coordinate(f.Width), coordinate(f.Height), fontStack)
	fmt.Fprintf(&w.b, "<title id=\"%s-title\">%s</title>\n<desc id=\"%s-desc\">%s</desc>\n", f.ID, escape(f.Title), f.ID, escape(f.Desc))
	if style {
		w.b.WriteString("<style>\n" + Stylesheet() + "</style>\n")
	}
	w.shape(shape{geometry: rectangle(0, 0, f.Width, f.Height), look: solid(paper)})
	w.nodes(f.nodes)
	w.b.WriteString("</svg>\n")
	return w.b.String()
}

type svgWriter struct {
	b  strings.Builder
	id string
}

func (w *svgWriter) nodes(nodes []node) {
	for _, n := range nodes {
		switch n := n.(type) {
		case shape:
			w.shape(n)
		case label:
			w.label(n)
		case *group:
			w.group(n)
		}
	}
}

func (w *svgWriter) group(g *group) {
	fmt.Fprintf(&w.b, `<g class="cw-g-%s">`, escape(g.role))
	if g.title != "" {
		w.b.WriteString("<title>" + escape(g.title) + "</title>")
	}
	if g.desc != "" {
		w.b.WriteString("<desc>" + escape(g.desc) + "</desc>")
	}
	w.b.WriteByte('\n')
	w.nodes(g.nodes)
	w.b.WriteString("</g>\n")
}

func (w *svgWriter) shape(s shape) {
	var tag string
	switch g := s.geometry.(type) {
	case segment:
		tag = "line"
		w.open(tag, s.look)
		w.number("x1", g.from.x)
		w.number("y1", g.from.y)
		w.number("x2", g.to.x)
		w.number("y2", g.to.y)
	case circle:
		tag = "circle"
		w.open(tag, s.look)
		w.number("cx", g.centre.x)
		w.number("cy", g.centre.y)
		w.number("r", math.Max(0, g.r))
	case ellipse:
		tag = "ellipse"
		w.open(tag, s.look)
		w.number("cx", g.centre.x)
		w.number("cy", g.centre.y)
		w.number("rx", math.Max(0, g.rx))
		w.number("ry", math.Max(0, g.ry))
		if turned := coordinate(g.turned); turned != "0" { // not by rounding alone
			fmt.Fprintf(&w.b, ` transform="rotate(%s %s %s)"`, turned, coordinate(g.centre.x), coordinate(g.centre.y))
		}
	case polygon:
		tag = "polygon"
		if g.open {
			tag = "polyline"
		}
		w.open(tag, s.look)
		w.b.WriteString(` points="`)
		for i, p := range g.points {
			if i > 0 {
				w.b.WriteByte(' ')
			}
			w.b.WriteString(coordinate(p.x) + "," + coordinate(p.y))
		}
		w.b.WriteByte('"')
	default:
		tag = "path"
		w.open(tag, s.look)
		w.b.WriteString(` d="` + pathData(g.outline()) + `"`)
	}
	if s.title == "" {
		w.b.WriteString("/>\n")
		return
	}
	fmt.Fprintf(&w.b, "><title>%s</title></%s>\n", escape(s.title), tag)
}

func pathData(p path) string {
	var b strings.Builder
	count := map[byte]int{'M': 1, 'L': 1, 'C': 3}
	for _, s := range p {
		b.WriteByte(s.op)
		for j := range count[s.op] {
			if j > 0 {
				b.WriteByte(' ')
			}
			b.WriteString(coordinate(s.p[j].x) + " " + coordinate(s.p[j].y))
		}
	}
	return b.String()
}

// open begins a tag with what its look asks for.
func (w *svgWriter) open(tag string, l look) {
	w.b.WriteString("<" + tag)
	var classes []string
	if l.stroke != none {
		classes = append(classes, "cw-s-"+paintName(l.stroke))
	}
	if l.fill != none {
		classes = append(classes, "cw-f-"+paintName(l.fill))
	}
	if len(classes) > 0 {
		w.b.WriteString(` class="` + strings.Join(classes, " ") + `"`)
	}
	if l.stroke == none {
		return
	}
	w.number("stroke-width", l.width)
	if d := l.dash.lengths(); d != nil {
		texts := make([]string, len(d))
		for i, x := range d {
			texts[i] = coordinate(x)
		}
		w.b.WriteString(` stroke-dasharray="` + strings.Join(texts, " ") + `"`)
	}
}

func (w *svgWriter) label(l label) {
	class := "cw-f-" + paintName(l.paint)
	if l.halo {
		class += " cw-halo"
	}
	fmt.Fprintf(&w.b, `<text class="%s"`, class)
	w.number("x", l.at.x)
	w.number("y", l.at.y)
	w.number("font-size", l.size)
	if l.bold {
		w.b.WriteString(` font-weight="700"`)
	}
	if l.align != start {
		fmt.Fprintf(&w.b, ` text-anchor="%s"`, [...]string{"start", "middle", "end"}[l.align])
	}
	w.b.WriteByte('>')
	if l.title != "" {
		w.b.WriteString("<title>" + escape(l.title) + "</title>")
	}
	w.b.WriteString(escape(l.text) + "</text>\n")
}

func (w *svgWriter) number(name string, x float64) {
	w.b.WriteString(" " + name + `="` + coordinate(x) + `"`)
}

// coordinate writes a place on the paper with two decimals. Whatever is no number becomes zero.
func coordinate(x float64) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		x = 0
	}
	x = math.Round(math.Max(-1e6, math.Min(1e6, x))*100) / 100
	if x == 0 {
		return "0"
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

// escape makes text safe in XML: markup is escaped, and what XML 1.0 forbids is replaced.
func escape(s string) string {
	var b strings.Builder
	for i, r := range s {
		switch {
		case r == '&':
			b.WriteString("&amp;")
		case r == '<':
			b.WriteString("&lt;")
		case r == '>':
			b.WriteString("&gt;")
		case r == '"':
			b.WriteString("&quot;")
		case r == '\'':
			b.WriteString("&#39;")
		case r == '\t' || r == '\n' || r == '\r':
			b.WriteByte(' ')
		case r < 0x20 || r == 0xfffe || r == 0xffff || r >= 0x7f && r < 0xa0:
			b.WriteRune(utf8.RuneError)
		case r == utf8.RuneError && !strings.HasPrefix(s[i:], string(utf8.RuneError)):
			b.WriteRune(utf8.RuneError)
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}
