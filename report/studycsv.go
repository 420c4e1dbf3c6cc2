package report

import (
	"strconv"
)

// StudyCSV returns the front of a study, a line a candidate: its inputs as they would stand in an engine file, then the figures.
func StudyCSV(d *StudyDoc) ([]byte, error) {
	head := []string{"candidate", "alike"}
	keys := inputKeys(d.Front)
	head = append(head, keys...)
	for _, c := range d.Columns {
		if c.Kind == "figure" {
			head = append(head, c.Key+unitSuffix(c.Unit))
		}
	}
	rows := [][]string{head}
	for _, q := range d.Front {
		row := []string{strconv.FormatUint(q.Number, 10), strconv.FormatUint(q.Alike, 10)}
		for _, k := range keys {
			text := ""
			for _, in := range q.Inputs {
				if in.Key == k {
					text = in.Text
				}
			}
			row = append(row, cellText(text))
		}
		for i, c := range d.Columns {
			if c.Kind == "figure" {
				text := ""
				if v, ok := q.Values[i].(float64); ok {
					text = number(tidy(noMinusZero(v)))
				}
				row = append(row, text)
			}
		}
		rows = append(rows, row)
	}
	return writeCSV(rows)
}
