package report

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode"

	"golang.org/x/text/width"
)

// Screen is what text is written for.
type Screen struct {
	Width  int  // columns; 0: 100
	Colour bool // bold and colour by escape sequences; nothing is said by colour alone
}

// The widths between which tables are laid out.
const (
	usualWidth  = 100
	leastWidth  = 60
	columnSpace = 2
)

func (s Screen) width() int {
	if s.Width == 0 {
		return usualWidth
	}
	return max(leastWidth, s.Width)
}

// sheet is text that grows line by line.
type sheet struct {
	strings.Builder
	Screen
}

// The styles, as parameters of the terminal's "select graphic rendition".
const (
	bold  = "1"
	dim   = "2"
	green = "32"
	red   = "31"
)

func (s *sheet) styled(style, text string) string {
	if !s.Colour || style == "" || text == "" {
		return text
	}
	return "\x1b[" + style + "m" + text + "\x1b[0m"
}

// line writes one line as it is.
func (s *sheet) line(text string) {
	s.WriteString(strings.TrimRight(text, " "))
	s.WriteByte('\n')
}

func (s *sheet) blank() { s.WriteByte('\n') }

// heading starts a part of the text.
func (s *sheet) heading(text string) {
	if s.Len() > 0 {
		s.blank()
	}
	s.lead(text)
}

// lead writes a bold paragraph.
func (s *sheet) lead(text string) {
	for _, l := range wrap(shownText(text), s.width()) {
		s.line(s.styled(bold, l))
	}
}

// paragraph writes text wrapped to the width. The first line starts with first, the others with the
// same width of blanks.
func (s *sheet) paragraph(first, text string) { s.block(first, "", text) }

func (s *sheet) block(first, style, text string) {
	indent := columns(first)
	for i, l := range wrap(shownText(text), s.width()-indent) {
		if i > 0 {
			first = strings.Repeat(" ", indent)
		}
		s.line(first + s.styled(style, l))
	}
}

// entry is a name with what it says.
type entry struct{ name, text string }

// entries writes names in one column and wrapped texts in the next.
func (s *sheet) entries(list []entry) {
	most := 0
	for _, e := range list {
		most = max(most, columns(e.name))
	}
	for _, e := range list {
		s.paragraph("  "+padded(e.name, most)+"  ", e.text)
	}
}

// cell is one place of a table.
type cell struct {
	text  string
	mark  string // behind the text: * or !, one column wide
	style string
}

// column is the head of a table's column; its lines stand one above the other.
type column struct {
	head []string
	left bool // text; otherwise numbers, to the right
}

// table writes columns two blanks apart, heads above.
func (s *sheet) table(heads []column, rows [][]cell) {
	widths := make([]int, len(heads))
	marked := make([]bool, len(heads))
	tall := 0
	for i, h := range heads {
		tall = max(tall, len(h.head))
		for _, l := range h.head {
			widths[i] = max(widths[i], columns(l))
		}
	}
	for _, row := range rows {
		for i, c := range row {
			row[i].text = shownText(c.text)
			widths[i] = max(widths[i], columns(row[i].text))
			marked[i] = marked[i] || c.mark != ""
		}
	}
	put := func(b *strings.Builder, i int, c cell) {
		if i > 0 {
			b.WriteString(strings.Repeat(" ", columnSpace))
		}
		space := strings.Repeat(" ", widths[i]-columns(c.text))
		switch {
		case heads[i].left && i == len(heads)-1:
			b.WriteString(s.styled(c.style, c.text))
		case heads[i].left:
			b.WriteString(s.styled(c.style, c.text) + space)
		default:
			b.WriteString(space + s.styled(c.style, c.text))
		}
		if marked[i] {
			b.WriteString(" " + s.styled(c.style, c.mark) + strings.Repeat(" ", 1-columns(c.mark)))
		}
	}
	for l := range tall {
		var b strings.Builder
		for i, h := range heads {
			text := ""
			if skip := tall - len(h.head); l >= skip {
				text = h.head[l-skip]
			}
			put(&b, i, cell{text: text, style: bold})
		}
		s.line(b.String())
	}
	for _, row := range rows {
		var b strings.Builder
		for i, c := range row {
			put(&b, i, c)
		}
		s.line(b.String())
	}
}

// columns returns how many columns of a terminal a text takes.
func columns(text string) int {
	n := 0
	for _, r := range text {
		switch k := width.LookupRune(r).Kind(); {
		case unicode.Is(unicode.Mn, r):
		case k == width.EastAsianWide, k == width.EastAsianFullwidth:
			n += 2
		default:
			n++
		}
	}
	return n
}

func padded(text string, n int) string {
	return text + strings.Repeat(" ", max(0, n-columns(text)))
}

// shownText replaces what would move the cursor: names come from files.
func shownText(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, text)
}

// glue is where a line must not break: between a number and its unit, and inside a unit.
var glue = regexp.MustCompile(`(\d|N|kg) ([kmM]?N|kg|rpm|mm|m|m2|deg|cm³|m/s)\b`)

// heldBlank stands for a blank at which no line breaks.
const heldBlank = "\x00"

// wrap breaks text between words into lines of at most n columns. A word that is longer is broken,
// behind a hyphen where it has one.
func wrap(text string, n int) []string {
	n = max(n, 8)
	for range 2 { // 5 N m has two such places, one behind the other
		text = glue.ReplaceAllString(text, "${1}"+heldBlank+"${2}")
	}
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		for columns(word) > n {
			if line != "" {
				lines, line = append(lines, line), ""
			}
			head := ""
			for _, r := range word {
				if columns(head+string(r)) > n {
					break
				}
				head += string(r)
			}
			if i := strings.LastIndexByte(head, '-'); i > 0 { // rather behind a hyphen
				head = head[:i+1]
			}
			lines, word = append(lines, head), word[len(head):]
		}
		switch {
		case line == "":
			line = word
		case columns(line)+1+columns(word) <= n:
			line += " " + word
		default:
			lines, line = append(lines, line), word
		}
	}
	if line != "" || len(lines) == 0 {
		lines = append(lines, line)
	}
	for i := range lines {
		lines[i] = strings.ReplaceAll(lines[i], heldBlank, " ")
	}
	return lines
}

// scale is one unit and one count of decimals for numbers that stand together.
type scale struct {
	factor   float64
	unit     string
	decimals int
}

// scaleOf returns the scale on which the largest of some values shows four digits, and the prefix
// that keeps it below a hundred thousand.
func scaleOf(unit string, values ...float64) scale {
	most := 0.0
	for _, v := range values {
		most = math.Max(most, math.Abs(v))
	}
	s := scale{factor: 1, unit: unit}
	switch unit {
	case "N", "N m":
		switch {
		case most >= 99999.5e3:
			s.factor, s.unit = 1e6, "M"+unit
		case most >= 99999.5:
			s.factor, s.unit = 1e3, "k"+unit
		}
	case "1":
		s.unit = ""
	}
	if most > 0 {
		s.decimals = min(3, max(0, 3-int(math.Floor(math.Log10(most/s.factor)+1e-12))))
	}
	return s
}

// show writes a number on the scale. Zero is 0 without decimals; what rounds to zero without being
// zero is ~0.
func (s scale) show(v float64) string {
	if v == 0 {
		return "0"
	}
	text := strconv.FormatFloat(v/s.factor, 'f', s.decimals, 64)
	if strings.Trim(text, "-0.") == "" {
		return "~0"
	}
	return signed(text)
}

// signed writes a negative number with the sign that is as wide as a plus.
func signed(text string) string {
	if rest, negative := strings.CutPrefix(text, "-"); negative {
		return "−" + rest
	}
	return text
}

// fixed writes a number with at most so many decimals, without trailing zeros.
func fixed(v float64, decimals int) string {
	text := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	if text == "-0" {
		text = "0"
	}
	return signed(text)
}

// whole drops the decimals where all values are whole numbers.
func (s scale) whole(values ...float64) scale {
	for _, v := range values {
		if math.Abs(v/s.factor-math.Round(v/s.factor)) > 1e-9*math.Abs(v/s.factor) {
			return s
		}
	}
	s.decimals = 0
	return s
}
