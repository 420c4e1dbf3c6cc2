package draw

import (
	"fmt"
	"strings"

	"golang.org/x/image/font"
	"golang.org/x/image/math/fixed"
)

// pdfFonts are the fonts of a file and the letters that it uses of each. A letter's code is its place in the
// list, so that letters which the font draws alike, or lacks, are still told apart when text is copied.
type pdfFonts struct {
	letters [3][]rune // of the regular, the bold and the fixed font; code 0 is no letter
	codes   [3]map[rune]int
}

func (f *pdfFonts) face(i int) *face {
	if i == 2 {
		return mono()
	}
	return faceOf(i == 1)
}

// code returns the code of a letter, a new one where it is used for the first time.
func (f *pdfFonts) code(i int, r rune) int {
	if f.codes[i] == nil {
		f.codes[i], f.letters[i] = map[rune]int{}, []rune{0}
	}
	if c, ok := f.codes[i][r]; ok {
		return c
	}
	if len(f.letters[i]) > 0xffff { // more letters than codes: none is left
		return 0
	}
	c := len(f.letters[i])
	f.codes[i][r], f.letters[i] = c, append(f.letters[i], r)
	return c
}

// subsetTag are six letters that stand for the letters a font is cut to.
func subsetTag(letters []rune) string {
	h := uint32(2166136261) // FNV-1a
	for _, r := range letters {
		h = (h ^ uint32(r)) * 16777619
	}
	tag := make([]byte, 6)
	for i := range tag {
		tag[i] = byte('A' + h%26)
		h /= 26
	}
	return string(tag)
}

// write writes a font that pages refer to as object n: its widths, which glyph and which character each code means, and the
// font file.
func (f *pdfFonts) write(w *pdfWriter, n, i int) error {
	face := f.face(i)
	data, name := face.data, face.name
	used := make([]int, 0, len(f.letters[i]))
	for _, r := range f.letters[i][1:] {
		used = append(used, int(face.glyph(r).index))
	}
	if part, err := subset(face.data, used); err == nil {
		data, name = part, subsetTag(f.letters[i])+"+"+face.name
	}
	var widths, unicode strings.Builder
	glyphs := make([]byte, 0, 2*len(f.letters[i]))
	for c, r := range f.letters[i] {
		if c == 0 {
			glyphs = append(glyphs, 0, 0)
			continue
		}
		g := face.glyph(r)
		glyphs = append(glyphs, byte(g.index>>8), byte(g.index))
		fmt.Fprintf(&widths, " %d", int(1000*g.advance+0.5))
		fmt.Fprintf(&unicode, "1 beginbfchar\n<%04x> <%s>\nendbfchar\n", c, utf16Hex(string(r)))
	}
	ascent, descent := 950, -220
	if face.font != nil {
		face.mu.Lock()
		if m, err := face.font.Metrics(&face.buffer, fixed.I(1000), font.HintingNone); err == nil {
			ascent, descent = m.Ascent.Round(), -m.Descent.Round()
		}
		face.mu.Unlock()
	}
	flags := 32
	if i == 2 {
		flags |= 1
	}
	down, descriptor, file, toGlyph, toUnicode := w.reserve(), w.reserve(), w.reserve(), w.reserve(), w.reserve()
	w.object(n, fmt.Sprintf("<</Type/Font/Subtype/Type0/BaseFont/%s/Encoding/Identity-H/DescendantFonts[%d 0 R]/ToUnicode %d 0 R>>", name, down, toUnicode))
	w.object(down, fmt.Sprintf("<</Type/Font/Subtype/CIDFontType2/BaseFont/%s/CIDSystemInfo<</Registry(Adobe)/Ordering(Identity)/Supplement 0>>/FontDescriptor %d 0 R/CIDToGIDMap %d 0 R/W[1[%s]]>>",
		name, descriptor, toGlyph, strings.TrimSpace(widths.String())))
	w.object(descriptor, fmt.Sprintf("<</Type/FontDescriptor/FontName/%s/Flags %d/FontBBox[-440 -250 1160 1070]/ItalicAngle 0/Ascent %d/Descent %d/CapHeight 720/StemV 90/FontFile2 %d 0 R>>",
		name, flags, ascent, descent, file))
	if err := w.stream(file, fmt.Sprintf("/Length1 %d", len(data)), data); err != nil {
		return err
	}
	if err := w.stream(toGlyph, "", glyphs); err != nil {
		return err
	}
	return w.stream(toUnicode, "", []byte("/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n"+
		"/CIDSystemInfo <</Registry (Adobe) /Ordering (UCS) /Supplement 0>> def\n/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n"+
		"1 begincodespacerange\n<0000> <ffff>\nendcodespacerange\n"+unicode.String()+"endcmap\nCMapName currentdict /CMap defineresource pop\nend\n"))
}
