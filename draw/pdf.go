package draw

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"image/color"
	"slices"
	"strings"
	"unicode/utf16"

	"golang.org/x/image/font"
	"golang.org/x/image/math/fixed"
)

// pointsPerUnit is the length of one unit of a drawing in PDF points: a pixel of 1/96 inch.
const pointsPerUnit = 0.75

// PDF returns the figure as a page of its own size, in the light theme.
//
// Result: a PDF 1.7 file [-] with vector marks and text that can be searched and copied; the fonts are
// embedded. It holds no date, so that the same figure gives the same bytes. Definition.
func (f Figure) PDF() ([]byte, error) {
	p := &pdfPage{theme: lightTheme(), used: [2]map[rune]bool{{}, {}}}
	fmt.Fprintf(&p.b, "%g 0 0 %g 0 %s cm\n1 j\n", pointsPerUnit, -pointsPerUnit, coordinate(f.Height*pointsPerUnit))
	p.shape(shape{geometry: rectangle(0, 0, f.Width, f.Height), look: solid(paper)})
	p.nodes(f.nodes)

	var w pdfWriter
	w.b.WriteString("%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")
	const catalog, pages, page, content, info, fonts = 1, 2, 3, 4, 5, 6 // two fonts of five objects each
	w.object(catalog, "<</Type/Catalog/Pages 2 0 R/Lang(en)/ViewerPreferences<</DisplayDocTitle true>>>>")
	w.object(pages, "<</Type/Pages/Kids[3 0 R]/Count 1>>")
	var names strings.Builder
	for i := range p.used {
		if len(p.used[i]) > 0 {
			fmt.Fprintf(&names, "/F%d %d 0 R", i, fonts+5*i)
		}
	}
	w.object(page, fmt.Sprintf("<</Type/Page/Parent 2 0 R/MediaBox[0 0 %s %s]/Contents 4 0 R/Resources<</Font<<%s>>>>>>",
		coordinate(f.Width*pointsPerUnit), coordinate(f.Height*pointsPerUnit), names.String()))
	if err := w.stream(content, "", p.b.Bytes()); err != nil {
		return nil, err
	}
	w.object(info, fmt.Sprintf("<</Title %s/Subject %s/Producer(crankwright)>>", pdfText(f.Title), pdfText(f.Desc)))
	for i := range p.used {
		if len(p.used[i]) == 0 {
			continue
		}
		if err := w.font(fonts+5*i, faceOf(i == 1), p.used[i]); err != nil {
			return nil, err
		}
	}
	return w.finish(catalog, info), nil
}

// pdfPage writes the marks of a scene as page content.
type pdfPage struct {
	b     bytes.Buffer
	theme theme
	used  [2]map[rune]bool // letters of the regular and the bold font
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
	at, index := l.at.x, 0
	if l.bold {
		index = 1
	}
	switch l.align {
	case middle:
		at -= textWidth(l.text, l.size, l.bold) / 2
	case end:
		at -= textWidth(l.text, l.size, l.bold)
	}
	var code strings.Builder
	for _, r := range l.text {
		p.used[index][r] = true
		fmt.Fprintf(&code, "%04x", int(faceOf(l.bold).glyph(r).index))
	}
	show := func(mode int) {
		fmt.Fprintf(&p.b, "BT /F%d %s Tf %d Tr 1 0 0 -1 %s %s Tm <%s> Tj ET\n", index, coordinate(l.size), mode, coordinate(at), coordinate(l.at.y), code.String())
	}
	if l.halo {
		fmt.Fprintf(&p.b, "%s RG 3 w [] 0 d\n", colourOperands(p.theme[paper]))
		show(1)
	}
	fmt.Fprintf(&p.b, "%s rg\n", colourOperands(p.theme[l.paint]))
	show(0)
}

// pdfWriter writes numbered objects and remembers where they stand.
type pdfWriter struct {
	b  bytes.Buffer
	at []int
}

func (w *pdfWriter) object(n int, body string) {
	for len(w.at) <= n {
		w.at = append(w.at, 0)
	}
	w.at[n] = w.b.Len()
	fmt.Fprintf(&w.b, "%d 0 obj\n%s\nendobj\n", n, body)
}

func (w *pdfWriter) stream(n int, entries string, data []byte) error {
	var packed bytes.Buffer
	z := zlib.NewWriter(&packed)
	if _, err := z.Write(data); err != nil {
		return fmt.Errorf("the page cannot be packed: %w", err)
	}
	if err := z.Close(); err != nil {
		return fmt.Errorf("the page cannot be packed: %w", err)
	}
	w.object(n, fmt.Sprintf("<</Filter/FlateDecode/Length %d%s>>\nstream\n%s\nendstream", packed.Len(), entries, packed.String()))
	return nil
}

// font writes a font with the widths of the letters used: five objects from n on.
func (w *pdfWriter) font(n int, f *face, used map[rune]bool) error {
	name := "Go"
	if f == bold() {
		name = "Go-Bold"
	}
	letters := make([]rune, 0, len(used))
	for r := range used {
		letters = append(letters, r)
	}
	slices.Sort(letters)
	var widths, unicode strings.Builder
	for _, r := range letters {
		g := f.glyph(r)
		fmt.Fprintf(&widths, "%d[%d]", g.index, int(1000*g.advance+0.5))
		fmt.Fprintf(&unicode, "1 beginbfchar\n<%04x> <%s>\nendbfchar\n", int(g.index), utf16Hex(string(r)))
	}
	ascent, descent := 950, -220
	if f.font != nil {
		f.mu.Lock()
		if m, err := f.font.Metrics(&f.buffer, fixed.I(1000), font.HintingNone); err == nil {
			ascent, descent = m.Ascent.Round(), -m.Descent.Round()
		}
		f.mu.Unlock()
	}
	w.object(n, fmt.Sprintf("<</Type/Font/Subtype/Type0/BaseFont/%s/Encoding/Identity-H/DescendantFonts[%d 0 R]/ToUnicode %d 0 R>>", name, n+1, n+4))
	w.object(n+1, fmt.Sprintf("<</Type/Font/Subtype/CIDFontType2/BaseFont/%s/CIDSystemInfo<</Registry(Adobe)/Ordering(Identity)/Supplement 0>>/FontDescriptor %d 0 R/CIDToGIDMap/Identity/W[%s]>>", name, n+2, widths.String()))
	w.object(n+2, fmt.Sprintf("<</Type/FontDescriptor/FontName/%s/Flags 32/FontBBox[-440 -250 1160 1070]/ItalicAngle 0/Ascent %d/Descent %d/CapHeight 720/StemV 90/FontFile2 %d 0 R>>", name, ascent, descent, n+3))
	if err := w.stream(n+3, fmt.Sprintf("/Length1 %d", len(f.data)), f.data); err != nil {
		return err
	}
	return w.stream(n+4, "", []byte("/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n"+
		"/CIDSystemInfo <</Registry (Adobe) /Ordering (UCS) /Supplement 0>> def\n/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n"+
		"1 begincodespacerange\n<0000> <ffff>\nendcodespacerange\n"+unicode.String()+"endcmap\nCMapName currentdict /CMap defineresource pop\nend\n"))
}

func (w *pdfWriter) finish(catalog, info int) []byte {
	start := w.b.Len()
	fmt.Fprintf(&w.b, "xref\n0 %d\n0000000000 65535 f \n", len(w.at))
	for _, at := range w.at[1:] {
		if at == 0 {
			w.b.WriteString("0000000000 65535 f \n")
			continue
		}
		fmt.Fprintf(&w.b, "%010d 00000 n \n", at)
	}
	fmt.Fprintf(&w.b, "trailer\n<</Size %d/Root %d 0 R/Info %d 0 R>>\nstartxref\n%d\n%%%%EOF\n", len(w.at), catalog, info, start)
	return w.b.Bytes()
}

func pdfText(s string) string { return "<feff" + utf16Hex(s) + ">" }

func utf16Hex(s string) string {
	var b strings.Builder
	for _, u := range utf16.Encode([]rune(s)) {
		fmt.Fprintf(&b, "%04x", u)
	}
	return b.String()
}
