package report

import (
	"slices"
	"strconv"
)

// StudyCSV returns the front of a study, a line a candidate: its inputs as they would stand in an engine file, then the figures.
// Candidates that were refined follow, where there are any; a column then tells them apart.
func StudyCSV(d *StudyDoc) ([]byte, error) {
	head := []string{"candidate", "alike"}
	if len(d.Refined) > 0 {
		head = append(head, "refined")
	}
	points := append(slices.Clone(d.Front), d.refinedPoints()...)
	keys := inputKeys(points)
	head = append(head, keys...)
	for _, c := range d.Columns {
		if c.Kind == "figure" {
			head = append(head, c.Key+unitSuffix(c.Unit))
		}
	}
	rows := [][]string{head}
	for i, q := range points {
		row := []string{strconv.FormatUint(q.Number, 10), strconv.FormatUint(q.Alike, 10)}
		if len(d.Refined) > 0 {
			row = append(row, map[bool]string{true: "yes", false: "no"}[i >= len(d.Front)])
		}
		for _, k := range keys {
			text := ""
			for _, in := range q.Inputs {
				if in.Key == k {
					text = in.Text
				}
			}
			row = append(row, text)
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
	return WriteCSV(rows)
}

// refinedPoints are the candidates that got better by refinement, as points of the front are.
func (d *StudyDoc) refinedPoints() []StudyPointDoc {
	var out []StudyPointDoc
	for _, r := range d.Refined {
		if !r.Better {
			continue
		}
		q := StudyPointDoc{Number: r.Number, Inputs: r.Settings, Values: make([]any, len(d.Columns))}
		for i, c := range d.Columns {
			for _, f := range r.Figures {
				if f.Key == c.Key && c.Kind == "figure" {
					q.Values[i] = f.After
				}
			}
		}
		out = append(out, q)
	}
	return out
}
