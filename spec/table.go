package spec

import (
	"encoding/csv"
	"strings"
	"unicode/utf8"
)

// table is a list of comma-separated values that people write. A line that begins with # is a remark, and lines may end as
// in any system.
type table struct {
	lines []string // without their ends
	csv   *csv.Reader
}

// openTable opens a list; false where it is too large or no text, which is said.
func (c *collector) openTable(data []byte) (*table, bool) {
	if len(data) > MaxFileSize {
		c.fail(Position{}, "1 MiB is the most", "the file has %d bytes", len(data))
		return nil, false
	}
	src := strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(strings.TrimPrefix(string(data), "\ufeff"))
	if !c.readable(src, func(r rune) bool { return r == '\n' }) {
		return nil, false
	}
	t := &table{lines: strings.Split(src, "\n"), csv: csv.NewReader(strings.NewReader(src))}
	t.csv.Comment, t.csv.TrimLeadingSpace, t.csv.FieldsPerRecord = '#', true, -1
	return t, true
}

// broken says that a line cannot be divided into its fields.
func (t *table) broken(c *collector, err *csv.ParseError) {
	c.fail(t.place(err.Line, err.Column), "close every quotation mark, and quote a text that has one in it", "this is not comma-separated text")
}

// place turns a column that counts bytes into one that counts characters.
func (t *table) place(line, column int) Position {
	text := t.lineAt(line)
	return Position{line, 1 + utf8.RuneCountInString(text[:min(max(0, column-1), len(text))])}
}

// at is where a field of the last line stands.
func (t *table) at(field int) Position {
	line, column := t.csv.FieldPos(field)
	return t.place(line, column)
}

// lineAt returns a line of the text, from 1, without its end; empty where there is none.
func (t *table) lineAt(n int) string {
	if n < 1 || n > len(t.lines) {
		return ""
	}
	return t.lines[n-1]
}
