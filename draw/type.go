package draw

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Font says how text on a page is set: size [pt] and which of the embedded letters.
type Font struct {
	Size float64
	Bold bool
	Mono bool // letters of one width, for listings; it has no bold
}

func (f Font) face() *face {
	if f.Mono {
		return mono()
	}
	return faceOf(f.Bold)
}

// Width returns how wide a line of text is [pt]. Definition.
func (f Font) Width(text string) float64 {
	letters, w := f.face(), 0.0
	for _, r := range text {
		w += letters.glyph(r).advance
	}
	return w * f.Size
}

// Lines breaks a text into lines.
//
//   - text: any text; line breaks in it stand for spaces
//   - width: the most that a line takes [pt]
//
// Result: lines broken at spaces, and within a word where the word alone is wider; at least one, which may be
// empty [-]. A no-break space binds. No line is wider than width, but one of a single letter.
// Definition.
func (f Font) Lines(text string, width float64) []string {
	var lines []string
	line, used := "", 0.0
	space := f.Width(" ")
	for word := range strings.FieldsFuncSeq(Plain(text), func(r rune) bool { return r == ' ' }) {
		w := f.Width(word)
		if line != "" && used+space+w <= width {
			line, used = line+" "+word, used+space+w
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for w > width {
			n := f.within(word, width)
			if n == len(word) {
				break
			}
			lines = append(lines, word[:n])
			word = word[n:]
			w = f.Width(word)
		}
		line, used = word, w
	}
	if line != "" || len(lines) == 0 {
		lines = append(lines, line)
	}
	return lines
}

// within returns how many bytes of a word stand in a width: at least one letter, to a joint such as a
// hyphen where there is one in the last half.
func (f Font) within(word string, width float64) int {
	letters, w, n, joint := f.face(), 0.0, 0, 0
	for i, r := range word {
		w += letters.glyph(r).advance * f.Size
		if i > 0 && w > width {
			break
		}
		n = i + utf8.RuneLen(r)
		if strings.ContainsRune("-_/.,;:)]}", r) {
			joint = n
		}
	}
	if joint > n/2 && n < len(word) {
		return joint
	}
	return n
}

// Cut returns a text on one line, ending in … where it was too wide for a width [pt]. Definition.
func (f Font) Cut(text string, width float64) string {
	text = Plain(text)
	if f.Width(text) <= width {
		return text
	}
	n := f.within(text, width-f.Width("…"))
	return strings.TrimRight(text[:n], " ") + "…"
}

// Plain makes text fit for paper [-]: line breaks and tabs become spaces, what is no letter becomes the sign for
// that. Definition.
func Plain(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\t' || r == '\n' || r == '\r' || r == '\u2028' || r == '\u2029':
			return ' '
		case unicode.IsControl(r):
			return utf8.RuneError
		}
		return r
	}, text)
}

// Lacking returns the letters of a text that the fonts do not have, each once, sorted [-]. They are
// drawn as an empty box, and can be searched and copied all the same. Definition.
func Lacking(text string) []rune {
	var out []rune
	for _, r := range Plain(text) {
		if regular().glyph(r).index == 0 && !slices.Contains(out, r) {
			out = append(out, r)
		}
	}
	slices.Sort(out)
	return out
}
