package draw

import (
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// face is one of the embedded fonts. They cover Latin, Greek and Cyrillic letters and the signs
// that figures use (λ, ω, θ, Σ, °, ², −, ·). They measure all text, and draw it in PNG and PDF.
type face struct {
	name string
	data []byte
	font *sfnt.Font
	em   fixed.Int26_6

	mu     sync.Mutex // guards the rest
	buffer sfnt.Buffer
	glyphs map[rune]glyph
}

// glyph is one letter at a size of 1, y downwards.
type glyph struct {
	index   sfnt.GlyphIndex
	advance float64
	outline path
}

var (
	regular = sync.OnceValue(func() *face { return newFace("Go", goregular.TTF) })
	bold    = sync.OnceValue(func() *face { return newFace("Go-Bold", gobold.TTF) })
	mono    = sync.OnceValue(func() *face { return newFace("GoMono", gomono.TTF) }) // listings on pages
)

func faceOf(isBold bool) *face {
	if isBold {
		return bold()
	}
	return regular()
}

// newFace parses an embedded font; that it can be parsed is tested.
func newFace(name string, data []byte) *face {
	f := &face{name: name, data: data, glyphs: map[rune]glyph{}}
	if parsed, err := sfnt.Parse(data); err == nil {
		f.font = parsed
		f.em = fixed.I(int(parsed.UnitsPerEm()))
	}
	return f
}

// glyph returns a letter; one that the font lacks is its empty box.
func (f *face) glyph(r rune) glyph {
	f.mu.Lock()
	defer f.mu.Unlock()
	if g, ok := f.glyphs[r]; ok {
		return g
	}
	g := glyph{advance: 0.6}
	if f.font != nil {
		g = f.load(r)
	}
	if len(f.glyphs) < 4096 {
		f.glyphs[r] = g
	}
	return g
}

func (f *face) load(r rune) glyph {
	g := glyph{advance: 0.6}
	index, err := f.font.GlyphIndex(&f.buffer, r)
	if err != nil {
		return g
	}
	if other, advance, ok := standIn(r); ok && index == 0 {
		g = f.load(other)
		if advance >= 0 {
			g.advance = advance
		}
		return g
	}
	g.index = index
	unit := float64(f.em)
	if a, err := f.font.GlyphAdvance(&f.buffer, index, f.em, font.HintingNone); err == nil {
		g.advance = float64(a) / unit
	}
	segments, err := f.font.LoadGlyph(&f.buffer, index, f.em, nil)
	if err != nil {
		return g
	}
	at := func(p fixed.Point26_6) point { return point{float64(p.X) / unit, float64(p.Y) / unit} }
	var last point
	for _, s := range segments {
		a, b, c := at(s.Args[0]), at(s.Args[1]), at(s.Args[2])
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			if len(g.outline) > 0 {
				g.outline.close()
			}
			g.outline.move(a)
			last = a
		case sfnt.SegmentOpLineTo:
			g.outline.line(a)
			last = a
		case sfnt.SegmentOpQuadTo:
			g.outline.curve(last.towards(a, 2./3), b.towards(a, 2./3), b)
			last = b
		case sfnt.SegmentOpCubeTo:
			g.outline.curve(a, b, c)
			last = c
		}
	}
	if len(g.outline) > 0 {
		g.outline.close()
	}
	return g
}

// standIn returns the letter that is drawn for one that the fonts lack, and its width at a size of 1,
// less than zero where it keeps its own.
func standIn(r rune) (other rune, advance float64, ok bool) {
	switch r {
	case '\u202f', '\u2009', '\u2006': // narrow spaces
		return ' ', 0.18, true
	case '\u200a':
		return ' ', 0.1, true
	case '\u2000', '\u2002', '\u2007', '\u2008':
		return ' ', 0.5, true
	case '\u2003', '\u3000':
		return ' ', 1, true
	case '\u00ad', '\u200b', '\u200c', '\u200d', '\u200e', '\u200f', '\u2060', '\ufeff': // no width, no mark
		return ' ', 0, true
	case '\u2010', '\u2011':
		return '-', -1, true
	case '\u2300', '\u2205': // diameter, empty set
		return 'Ø', -1, true
	case '\u2126':
		return 'Ω', -1, true
	}
	return 0, 0, false
}

// textWidth returns how wide a line of text is.
func textWidth(s string, size float64, isBold bool) float64 {
	return Font{Size: size, Bold: isBold}.Width(s)
}

// fitted cuts a text to a width; full is the whole text where it was cut, else empty.
func fitted(s string, width, size float64, isBold bool) (cut, full string) {
	if textWidth(s, size, isBold) <= width {
		return s, ""
	}
	runes := []rune(s)
	if len(runes) > 400 { // longer than any line
		runes = runes[:400]
	}
	for n := len(runes); n > 0; n-- {
		if c := string(runes[:n]) + "…"; textWidth(c, size, isBold) <= width {
			return c, s
		}
	}
	return "…", s
}

// wrapped breaks a text into lines of a width, at spaces where it can.
func wrapped(s string, width, size float64) []string {
	var lines []string
	line := ""
	rest := []rune(s)
	for i := 0; i < len(rest); {
		j := i
		for j < len(rest) && rest[j] == ' ' {
			j++
		}
		k := j
		for k < len(rest) && rest[k] != ' ' {
			k++
		}
		word := string(rest[j:k])
		switch {
		case word == "":
		case line == "":
			line = word
		case textWidth(line+" "+word, size, false) <= width:
			line += " " + word
		default:
			lines = append(lines, line)
			line = word
		}
		i = k
	}
	if line != "" {
		lines = append(lines, line)
	}
	for i, l := range lines {
		lines[i], _ = fitted(l, width, size, false)
	}
	return lines
}
