package spec

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// CylinderLabels returns what people call the cylinders, by cylinder: the list of the file, or a scheme.
//
//   - from-free-end, also where the file says nothing: the names, which count from the free end;
//   - iso-1204: numbers from the drive end, and with two or more banks a letter before them: A is
//     the bank furthest to the left seen from the drive end, and the letters go on clockwise as
//     seen from there.
//
// No result depends on labels.
func (e *Engine) CylinderLabels(t *layout.Train) []string {
	labels := make([]string, len(t.Cylinders))
	for i, c := range t.Cylinders {
		labels[i] = c.Name
	}
	l := &e.Layout.Labels
	if l.List != nil {
		for i := range min(len(labels), len(l.List)) {
			labels[i] = l.List[i].Value
		}
		return labels
	}
	if l.Word != "iso-1204" {
		return labels
	}
	letters := bankLetters(t)
	for b := range t.Banks {
		var row []int
		for i, c := range t.Cylinders {
			if c.Bank == b {
				row = append(row, i)
			}
		}
		slices.SortStableFunc(row, func(i, j int) int { return cmp.Compare(t.Cylinders[j].At, t.Cylinders[i].At) })
		for n, i := range row {
			labels[i] = fmt.Sprintf("%s%d", letters[b], n+1)
		}
	}
	return labels
}

// bankLetters returns the letter of each bank, from the left clockwise as seen from the drive end;
// a single bank has none.
func bankLetters(t *layout.Train) []string {
	letters := make([]string, len(t.Banks))
	if len(t.Banks) < 2 {
		return letters
	}
	order := make([]int, len(t.Banks))
	left := make([]float64, len(t.Banks)) // angle clockwise from straight down
	for b, bank := range t.Banks {
		order[b] = b
		axis := bank.Axis
		if t.Rotation == layout.Clockwise {
			axis = -axis
		}
		left[b] = float64((num.Turn/2 - axis).Wrap(num.Turn))
	}
	slices.SortStableFunc(order, func(a, b int) int {
		if math.Abs(left[a]-left[b]) < 1e-9 {
			return 0
		}
		return cmp.Compare(left[a], left[b])
	})
	for n, b := range order {
		letters[b] = string(rune('A' + n%26))
	}
	return letters
}
