package report

import (
	"fmt"
	"slices"
	"strings"

	"crankwright/num"
)

// StudyQueryDoc is what a question to the results of a study yields: what the verb study query prints with --json.
type StudyQueryDoc struct {
	Columns []StudyQueryColumnDoc `json:"columns" jsonschema_description:"in the sequence of the values of a row"`
	Rows    [][]any               `json:"rows" jsonschema_description:"a value of every column: a number in its unit, a text, or null"`
	Matched uint64                `json:"matched_1" jsonschema_description:"rows that satisfy the filter, also those beyond the limit; of SQL: rows returned"`
	More    bool                  `json:"more" jsonschema_description:"there are more than the limit"`
	Whole   bool                  `json:"whole" jsonschema_description:"the study is finished: these are all that there will be"`
}

// StudyQueryColumnDoc says what a column holds.
type StudyQueryColumnDoc struct {
	Key  string `json:"key" jsonschema_description:"such as layout.bank_angle, or the name that SQL gives it"`
	Name string `json:"name" jsonschema_description:"in words"`
	Unit string `json:"unit" jsonschema_description:"empty: not known, of SQL that computes"`
	Text bool   `json:"text" jsonschema_description:"values are texts"`
}

// StudyQueryText returns the rows of a query as text for a terminal.
func StudyQueryText(d *StudyQueryDoc, screen Screen) string {
	s := &sheet{Screen: screen}
	if len(d.Rows) > 0 {
		s.queryRows(d)
		s.blank()
	}
	switch n := uint64(len(d.Rows)); {
	case d.More && d.Matched <= n: // SQL stops at the limit, and nobody counts the others
		s.paragraph("", fmt.Sprintf("The first %s; --most prints more.", counted(n, "row", "rows")))
	case d.More:
		s.paragraph("", fmt.Sprintf("%s of %s; --most prints more.", exactly(n), counted(d.Matched, "row", "rows")))
	case d.Matched == 0:
		s.paragraph("", "No candidate satisfies it.")
	default:
		s.paragraph("", counted(d.Matched, "row", "rows")+".")
	}
	if !d.Whole {
		s.paragraph("", "The study is not finished: there may be more.")
	}
	return s.String()
}

// queryRows writes the rows.
func (s *sheet) queryRows(d *StudyQueryDoc) {
	heads := make([]column, len(d.Columns))
	rows := make([][]cell, len(d.Rows))
	for i := range rows {
		rows[i] = make([]cell, len(d.Columns))
	}
	for c, col := range d.Columns {
		heads[c] = column{head: keyHead(col.Key), left: col.Text}
		if u := unitShown(col.Unit); u != "" && !col.Text {
			heads[c].head = append(heads[c].head, "["+strings.ReplaceAll(u, "\u202f", " ")+"]")
		}
		for i, row := range d.Rows {
			rows[i][c].text = queryCell(row[c])
		}
	}
	s.wideTable(heads, rows)
}

// wideTable writes a table; where it is too wide, its columns as far as they go, then the others below, each time behind the
// first column.
func (s *sheet) wideTable(heads []column, rows [][]cell) {
	for from := 1; from == 1 || from < len(heads); {
		part, lines := heads[:1], make([][]cell, len(rows))
		for i := range rows {
			lines[i] = rows[i][:1]
		}
		to := from
		for ; to < len(heads); to++ {
			wide, longer := append(slices.Clone(part), heads[to]), make([][]cell, len(rows))
			for i := range rows {
				longer[i] = append(slices.Clone(lines[i]), rows[i][to])
			}
			if tableWidth(wide, longer) > s.width() && to > from {
				break
			}
			part, lines = wide, longer
		}
		if from > 1 {
			s.blank()
		}
		s.table(part, lines)
		from = to
		if len(heads) == 1 {
			return
		}
	}
}

// queryCell writes a value of a row.
func queryCell(v any) string {
	switch x := v.(type) {
	case nil:
		return "–"
	case float64:
		return signed(num.Digits(noMinusZero(tidy(x)), 6))
	default:
		return fmt.Sprint(x)
	}
}

// StudyQueryCSV returns the rows of a query as comma-separated values, the unit in the name of a column.
func StudyQueryCSV(d *StudyQueryDoc) ([]byte, error) {
	var head []string
	for _, c := range d.Columns {
		name := strings.NewReplacer(".", "_", "[", "_", "]", "").Replace(c.Key)
		if suffix := unitSuffix(c.Unit); c.Unit != "" && !c.Text && !strings.HasSuffix(name, suffix) {
			name += suffix
		}
		head = append(head, name)
	}
	rows := [][]string{head}
	for _, r := range d.Rows {
		var row []string
		for _, v := range r {
			switch x := v.(type) {
			case nil:
				row = append(row, "")
			case float64:
				row = append(row, number(tidy(noMinusZero(x))))
			default:
				row = append(row, fmt.Sprint(x))
			}
		}
		rows = append(rows, row)
	}
	return WriteCSV(rows)
}
