package report

import (
	"bytes"
	"fmt"
	"strings"

	"crankwright/draw"
)

// markdownOf writes a page as Markdown.
func markdownOf(p page) []byte {
	var m markdown
	m.heading(1, p.Title, "")
	m.paragraph("Crankwright: " + p.Kind + ".")
	m.paragraph(p.Lead)
	m.caution(p.Caution)
	for i := range p.Front {
		m.section(&p.Front[i], 2)
	}
	if p.Count > 0 {
		m.comparison(&p)
	}
	if len(p.Bars) > 0 {
		m.heading(2, "Comparison bars", "bars")
		m.figures(p.Bars)
	}
	if len(p.Reading) > 0 {
		m.heading(2, readingTitle, "reading")
	}
	for _, t := range p.Reading {
		m.b.WriteString("**" + escaped(t.Name) + ".** " + escaped(t.Text) + "\n\n")
	}
	for i := range p.Engines {
		m.engine(&p.Engines[i])
	}
	for i := range p.Back {
		m.section(&p.Back[i], 2)
	}
	return append(bytes.TrimRight(m.b.Bytes(), "\n"), '\n')
}

// markdown is a text in the making; every part ends in an empty line.
type markdown struct{ b bytes.Buffer }

// escaped makes text safe in Markdown: nothing in it is taken as markup.
func escaped(text string) string {
	text = strings.TrimSpace(draw.Plain(text))
	var b strings.Builder
	for i, r := range text {
		switch {
		case strings.ContainsRune("\\`*_[]<>#|~$&", r):
			b.WriteByte('\\')
		case i == 0 && strings.ContainsRune("-+=:", r), (r == '.' || r == ')') && counts(text[:i]) && strings.HasPrefix(text[i+1:]+" ", " "): // a list, a rule
			b.WriteByte('\\')
		}
		b.WriteRune(r)
	}
	return b.String()
}

// counts tells whether a text is a number as a list has it.
func counts(s string) bool {
	return s != "" && strings.Trim(s, "0123456789") == ""
}

// code sets a key as code, or as text where it holds what code in a table cannot.
func code(text string) string {
	if text = draw.Plain(text); strings.TrimSpace(text) == "" || strings.ContainsAny(text, "`|\\") {
		return escaped(text)
	}
	return "`" + text + "`"
}

// longestRun counts the backticks that stand in a row.
func longestRun(text string) int {
	longest, run := 0, 0
	for _, r := range text {
		if r == '`' {
			run++
			longest = max(longest, run)
			continue
		}
		run = 0
	}
	return longest
}

func (m *markdown) heading(level int, title, id string) {
	if title == "" {
		return
	}
	if id != "" {
		fmt.Fprintf(&m.b, "<a id=\"%s\"></a>\n\n", anchor(id))
	}
	m.b.WriteString(strings.Repeat("#", min(level, 6)) + " " + escaped(title) + "\n\n")
}

// anchor keeps what a name of a place may have.
func anchor(id string) string {
	return strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' || r == '_' {
			return r
		}
		return '-'
	}, id)
}

func (m *markdown) paragraph(text string) {
	if text = escaped(text); text != "" {
		m.b.WriteString(text + "\n\n")
	}
}

func (m *markdown) caution(text string) {
	if text != "" {
		m.b.WriteString("> **Caution.** " + escaped(text) + "\n\n")
	}
}

func (m *markdown) list(items []string) {
	for _, item := range items {
		m.b.WriteString("- " + escaped(item) + "\n")
	}
	if len(items) > 0 {
		m.b.WriteByte('\n')
	}
}

func (m *markdown) facts(facts []pageFact) {
	for _, f := range facts {
		m.b.WriteString("- **" + escaped(f.Name) + ":** " + escaped(f.Text) + "\n")
	}
	if len(facts) > 0 {
		m.b.WriteByte('\n')
	}
}

// figures tells what drawings show.
func (m *markdown) figures(list []pageFigure) {
	for _, f := range list {
		text := "*Figure: " + escaped(strings.TrimRight(f.Figure.Title, ".")) + ".* " + escaped(f.Figure.Desc)
		if strings.HasPrefix(f.Figure.Desc, f.Figure.Title) { // it begins with the same words
			text = "*Figure.* " + escaped(f.Figure.Desc)
		}
		if f.Caption != "" {
			text += " " + escaped(f.Caption)
		}
		m.b.WriteString(strings.TrimSpace(text) + "\n\n")
	}
}

// table writes a table of cells that are already Markdown; every row gets as many cells as the head.
func (m *markdown) table(caption string, head []string, right []bool, rows [][]string) {
	if len(head) == 0 {
		return
	}
	m.paragraph(caption)
	line := func(cells []string) {
		for i := range head {
			text := ""
			if i < len(cells) {
				text = cells[i]
			}
			m.b.WriteString("| " + text + " ")
		}
		m.b.WriteString("|\n")
	}
	line(head)
	rule := make([]string, len(head))
	for i := range rule {
		rule[i] = ":---"
		if right[i] {
			rule[i] = "---:"
		}
	}
	line(rule)
	for _, r := range rows {
		line(r)
	}
	m.b.WriteByte('\n')
}

// plainTable writes a table of finished words.
func (m *markdown) plainTable(t plainTable) {
	var head []string
	var right []bool
	for _, h := range t.Head {
		head, right = append(head, escaped(h.Text)), append(right, h.Number)
	}
	var rows [][]string
	for _, r := range t.Rows {
		row := make([]string, len(r))
		for i, text := range r {
			row[i] = escaped(text)
		}
		rows = append(rows, row)
	}
	m.table(t.Caption, head, right, rows)
}

func (m *markdown) section(s *pageSection, level int) {
	m.heading(level, s.Title, s.ID)
	m.paragraph(s.Lead)
	m.facts(s.Facts)
	m.list(s.Lines)
	for _, t := range s.Tables {
		m.plainTable(t)
	}
	m.figures(s.Figures)
	for _, l := range s.Listings {
		m.heading(min(level+1, 6), l.Name, "")
		fence := strings.Repeat("`", max(3, longestRun(l.Text)+1))
		m.b.WriteString(fence + "\n" + strings.TrimRight(strings.ReplaceAll(l.Text, "\r\n", "\n"), "\n") + "\n" + fence + "\n\n")
	}
	m.caution(s.Caution)
	for i := range s.Parts {
		m.section(&s.Parts[i], level+1)
	}
}
