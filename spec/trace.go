package spec

import (
	"encoding/csv"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// The limits of a file with a measured pressure: a hundred cycles to half a degree, or four cylinders to a tenth.
const (
	MaxTraceSize     = 16 << 20 // bytes
	maxTraceColumns  = 64
	maxTraceErrors   = 20
	leastTraceValues = 36
)

// ReadTrace reads a measured cylinder pressure from a table of text. file is the name that messages show.
//
// The columns may stand in any order, divided by commas, semicolons, tabs or blanks, with decimal point or comma;
// above them may stand names, units and free text. There is a column of crank angle, or of time where the file
// tells the speed, or none: then the samples are spread evenly over one cycle. The words that are recognised are in
// traceWords, the units in traceUnits. Several cycles are averaged; several pressure columns are several cylinders.
// What the file does not say is guessed by size; each guess is one of the remarks, which are in the trace as well.
// The error is an Errors with the mistakes in their places.
func ReadTrace(file string, data []byte, cycle layout.Cycle) (*layout.Trace, []string, error) {
	r := &traceReader{collector: &collector{file: file}, cycle: cycle}
	text, ok := r.decode(data)
	if ok && r.table(text) && r.choose() {
		if t := r.curves(); t != nil && len(r.list) == 0 {
			t.File, t.Remarks = file, r.remarks
			return t, r.remarks, nil
		}
	}
	if len(r.list) == 0 {
		r.fail(Position{}, "", "the trace cannot be read")
	}
	return nil, r.remarks, r.sorted()
}

type traceReader struct {
	*collector
	cycle   layout.Cycle
	lines   []string
	sep     rune
	comma   bool // decimal comma
	columns []traceColumn
	first   int // index of the first line of numbers
	rows    []traceRow
	speed   float64 // [rad/s]
	remarks []string

	angle, time, number int   // columns; −1: none
	pressures           []int // columns
}

// traceRow is one line of numbers.
type traceRow struct {
	line int // from 1
	v    []float64
}

func (r *traceReader) remark(format string, args ...any) {
	r.remarks = append(r.remarks, clip(fmt.Sprintf(format, args...)))
}

// decode makes UTF-8 of the file.
func (r *traceReader) decode(data []byte) (string, bool) {
	switch {
	case len(data) > MaxTraceSize:
		r.fail(Position{}, fmt.Sprintf("%d MiB are the most; keep fewer cycles", MaxTraceSize>>20), "the file has %d bytes", len(data))
		return "", false
	case strings.HasPrefix(string(data[:min(2, len(data))]), "\xff\xfe"), strings.HasPrefix(string(data[:min(2, len(data))]), "\xfe\xff"), slices.Contains(data, 0):
		r.fail(Position{1, 1}, "save it as plain text (UTF-8)", "the file is not plain text: it is UTF-16 or holds binary data")
		return "", false
	}
	text := strings.TrimPrefix(string(data), "\ufeff")
	if !utf8.ValidString(text) { // an older table: one byte a letter
		var b strings.Builder
		for i := range len(text) {
			b.WriteRune(rune(text[i]))
		}
		text = b.String()
	}
	return strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text), true
}

// cell is one field of a line.
type cell struct {
	text string
	at   int // column in characters, from 1
}

// split divides a line at a separator; a blank stands for any run of blanks and tabs.
func split(line string, sep rune) []cell {
	var out []cell
	add := func(from, to int) {
		text := line[from:to]
		lead := len(text) - len(strings.TrimLeft(text, " \t"))
		out = append(out, cell{strings.TrimSpace(text), utf8.RuneCountInString(line[:from+lead]) + 1})
	}
	if sep != ' ' && strings.ContainsRune(line, '"') {
		c := csv.NewReader(strings.NewReader(line))
		c.Comma, c.FieldsPerRecord, c.TrimLeadingSpace, c.LazyQuotes = sep, -1, true, true
		if fields, err := c.Read(); err == nil {
			for i, f := range fields {
				_, at := c.FieldPos(i)
				out = append(out, cell{strings.TrimSpace(f), utf8.RuneCountInString(line[:min(len(line), at-1)]) + 1})
			}
			return trimmed(out)
		}
	}
	start := -1
	for i, c := range line {
		blank := sep == ' ' && (c == ' ' || c == '\t' || c == '\u00a0')
		switch {
		case sep == ' ' && blank && start >= 0:
			add(start, i)
			start = -1
		case sep == ' ' && !blank && start < 0:
			start = i
		case sep != ' ' && c == sep:
			add(max(start, 0), i)
			start = i + utf8.RuneLen(c)
		}
	}
	if sep != ' ' {
		add(max(start, 0), len(line))
	} else if start >= 0 {
		add(start, len(line))
	}
	return trimmed(out)
}

// trimmed drops an empty field at the end, which a separator there leaves.
func trimmed(out []cell) []cell {
	for len(out) > 0 && out[len(out)-1].text == "" {
		out = out[:len(out)-1]
	}
	return out
}

// traceNumber reads a number of a table.
func traceNumber(text string, comma bool) (float64, bool) {
	if comma {
		text = strings.Replace(text, ",", ".", 1)
	}
	text = strings.Replace(strings.Trim(text, `"`), "−", "-", 1)
	if text == "" || strings.Trim(text, "0123456789+-.eE") != "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(text, 64)
	return v, err == nil && math.Abs(v) < 1e12
}

// comment takes the mark of a remark from a line.
func comment(line string) (string, bool) {
	line = strings.TrimSpace(line)
	for _, mark := range []string{"//", "#", ";", "%", "!", "'", "*"} {
		if rest, ok := strings.CutPrefix(line, mark); ok {
			return strings.TrimSpace(strings.TrimLeft(rest, "/#;%!*")), true
		}
	}
	if strings.HasPrefix(line, `"`) && strings.Count(line, `"`) == 1 {
		return strings.TrimSpace(line[1:]), true
	}
	return line, false
}

// format is a way to divide lines into numbers.
type format struct {
	sep   rune
	comma bool
}

// table finds how the lines are divided, where the numbers begin, and what stands above them.
func (r *traceReader) table(text string) bool {
	r.lines = strings.Split(text, "\n")
	var full []int
	for i, l := range r.lines {
		if len(l) > 1<<14 {
			r.fail(Position{Line: i + 1, Column: 1}, "a line of a table has at most 16384 characters", "the line has %d characters", len(l))
			return false
		}
		if _, note := comment(l); !note && strings.TrimSpace(l) != "" {
			full = append(full, i)
		}
	}
	width := r.divide(full)
	if width == 0 {
		r.noTable()
		return false
	}
	r.first = -1
	for k, i := range full {
		if r.numeric(i, width) && (k+1 == len(full) || r.numeric(full[k+1], width)) {
			r.first = i
			break
		}
	}
	if r.first < 0 {
		r.noTable()
		return false
	}
	if width > maxTraceColumns {
		r.fail(Position{Line: r.first + 1, Column: 1}, fmt.Sprintf("%d columns are the most", maxTraceColumns), "the table has %d columns", width)
		return false
	}
	for _, l := range r.lines[:r.first] {
		if v, ok := spokenSpeed(l); ok {
			r.speed = v
		}
	}
	r.head(width)
	return true
}

func (r *traceReader) noTable() {
	r.fail(Position{1, 1}, "give a table with one line for each sample, such as: -360, 1.02", "the file has no numbers in lines and columns")
}

// divide tries the separators and marks of decimals on a sample of the lines; it returns the number of columns.
func (r *traceReader) divide(full []int) (width int) {
	step := max(1, len(full)/300)
	best := 0.0
	for _, f := range []format{{';', false}, {'\t', false}, {',', false}, {' ', false}, {';', true}, {'\t', true}, {' ', true}} {
		rows := map[int]float64{}
		rises, last := 0, math.Inf(-1)
		whole := true
		for k := 0; k < len(full); k += step {
			cells := split(r.lines[full[k]], f.sep)
			good := 0
			for _, c := range cells {
				if _, ok := traceNumber(c.text, f.comma); ok || c.text == "" {
					good++
				}
				whole = whole && strings.Trim(c.text, "0123456789-") == ""
			}
			switch {
			case len(cells) > 0 && good == len(cells):
				rows[len(cells)]++
				v, _ := traceNumber(cells[0].text, f.comma)
				if v > last {
					rises++
				}
				last = v
			case len(cells) > 2 && good == len(cells)-1:
				rows[len(cells)] += 0.4
			}
		}
		for w, n := range rows {
			if f.sep == ',' && w == 2 && whole && float64(rises) < 0.9*n {
				continue // "1,013" line by line: one column with decimal commas
			}
			if n > best || n == best && w > width {
				best, width, r.sep, r.comma = n, w, f.sep, f.comma
			}
		}
	}
	return width
}

// numeric reports whether a line is a row of numbers.
func (r *traceReader) numeric(i, width int) bool {
	cells := split(r.lines[i], r.sep)
	good := 0
	for _, c := range cells {
		if _, ok := traceNumber(c.text, r.comma); ok {
			good++
		}
	}
	return len(cells) == width && (good == width || width > 2 && good == width-1)
}

// head reads names and units from the lines above the numbers.
func (r *traceReader) head(width int) {
	var units []cell
	for i, left := r.first-1, 4; i >= 0 && left > 0; i-- {
		line, _ := comment(r.lines[i])
		if line == "" {
			continue
		}
		left--
		lead := max(0, strings.Index(r.lines[i], line))
		cells := r.headCells(line, width)
		if cells == nil {
			continue
		}
		if units == nil && isUnits(cells) {
			units = cells
			continue
		}
		columns, known := make([]traceColumn, width), 0
		for j := range columns {
			text, unit, at := "", "", Position{Line: i + 1, Column: 1}
			if j < len(cells) {
				text, at.Column = cells[j].text, cells[j].at+utf8.RuneCountInString(r.lines[i][:lead])
			}
			if j < len(units) {
				unit = units[j].text
			}
			columns[j] = parseColumn(text, unit, at)
			if columns[j].known() {
				known++
			}
		}
		if known > 0 {
			r.columns = columns
			return
		}
	}
	r.columns = make([]traceColumn, width)
	for j := range r.columns {
		text := ""
		if j < len(units) {
			text = units[j].text
		}
		r.columns[j] = parseColumn("", text, Position{Line: r.first + 1, Column: 1})
	}
}

// headCells divides a line of names, at the separator of the numbers or at another that gives as many.
func (r *traceReader) headCells(line string, width int) []cell {
	for _, sep := range []rune{r.sep, ';', '\t', ',', ' '} {
		if cells := split(line, sep); len(cells) == width {
			return cells
		}
	}
	return nil
}

func isUnits(cells []cell) bool {
	for _, c := range cells {
		if c.text != "" && unitRow(c.text) < 0 {
			return false
		}
	}
	return true
}

// read takes the numbers of the columns that are used.
func (r *traceReader) read(used []int) bool {
	for i := r.first; i < len(r.lines); i++ {
		line := r.lines[i]
		if strings.TrimSpace(line) == "" {
			continue
		}
		if rest, note := comment(line); note {
			if v, ok := spokenSpeed(rest); ok {
				r.speed = v
			}
			continue
		}
		cells := split(line, r.sep)
		row := traceRow{line: i + 1, v: make([]float64, len(used))}
		ok := true
		for k, j := range used {
			if j >= len(cells) || cells[j].text == "" {
				r.fail(Position{i + 1, utf8.RuneCountInString(line) + 1}, "give every sample a value in each column, or leave the line out", "column %d has no value", j+1)
				ok = false
				break
			}
			if row.v[k], ok = traceNumber(cells[j].text, r.comma); !ok {
				r.fail(Position{i + 1, cells[j].at}, "give a number such as 1.02", "%q is not a number", cells[j].text)
				break
			}
		}
		if ok && len(cells) > len(r.columns) {
			r.fail(Position{i + 1, cells[len(r.columns)].at}, "give one value for each column", "the line has %d values, but there are %d columns", len(cells), len(r.columns))
			ok = false
		}
		if !ok && len(r.list) >= maxTraceErrors {
			r.fail(Position{i + 1, 1}, "", "this file has more mistakes; the rest is not read")
			return false
		}
		if ok {
			r.rows = append(r.rows, row)
		}
	}
	if len(r.list) == 0 && len(r.rows) < leastTraceValues {
		r.fail(Position{r.first + 1, 1}, fmt.Sprintf("a cycle needs at least %d, and should have 360 or more", leastTraceValues), "the trace has only %s", num.Counted(len(r.rows), "sample", "samples"))
	}
	return len(r.list) == 0
}
