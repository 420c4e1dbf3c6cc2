package spec

import (
	"encoding/csv"
	"strings"
	"unicode/utf8"
)

// table is a list of comma-separated values that people write. A line that begins with # is a remark, and lines may end as
// in any system.
type table struct {
	src string
	csv *csv.Reader
}

// openTable opens a list; false where it is too large or no text, which is said.
func (c *collector) openTable(data []byte) (*table, bool) {
	if len(data) > MaxFileSize {
		c.fail(Position{}, "1 MiB is the most", "the file has %d bytes", len(data))
		return nil, false
	}
	src := strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(strings.TrimPrefix(string(data), "\ufeff"))
	if !c.readable(src) {
		return nil, false
	}
	t := &table{src: src, csv: csv.NewReader(strings.NewReader(src))}
	t.csv.Comment, t.csv.TrimLeadingSpace, t.csv.FieldsPerRecord = '#', true, -1
	return t, true
}

// broken says that a line cannot be divided into its fields.
func (t *table) broken(c *collector, err *csv.ParseError) {
	c.fail(t.place(err.Line, err.Column), "close every quotation mark, and quote a text that has one in it", "this is not comma-separated text")
}

// place turns a column that counts bytes into one that counts characters.
func (t *table) place(line, column int) Position {
	text := lineOf(t.src, line)
	return Position{line, 1 + utf8.RuneCountInString(text[:min(max(0, column-1), len(text))])}
}

// at is where a field of the last line stands.
func (t *table) at(field int) Position {
	line, column := t.csv.FieldPos(field)
	return t.place(line, column)
}

// lineOf returns a line of a text, from 1, without its end.
func lineOf(src string, line int) string {
	for n := 1; n < line; n++ {
		i := strings.IndexByte(src, '\n')
		if i < 0 {
			return ""
		}
		src = src[i+1:]
	}
	text, _, _ := strings.Cut(src, "\n")
	return text
}
