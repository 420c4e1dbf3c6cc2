package report

import (
	"strconv"

	"crankwright/num"
)

// overviewHeads are the figures of the overview, one line an engine, with their short heads.
var overviewHeads = []struct {
	key  string
	head []string
}{
	{"free_force_order_1", []string{"free force", "order 1"}},
	{"free_force_order_2", []string{"", "order 2"}},
	{"free_moment_order_1", []string{"free moment", "order 1"}},
	{"free_moment_order_2", []string{"", "order 2"}},
	{"firing_evenness", []string{"firing", "evenness"}},
	{"peak_inertia_torque", []string{"inertia", "torque"}},
	{"longest_firing_interval", []string{"longest", "interval"}},
}

// overview sets many engines below each other with the figures that decide most; the full blocks
// follow.
func (c *comparison) overview() {
	rows := map[string]ComparedRow{}
	for _, row := range c.rows {
		rows[row.Key] = row
	}
	most := 0
	for _, r := range c.rs {
		most = max(most, columns(r.Train.Name))
	}
	heads := []column{{}, {left: true, head: []string{"engine"}}, {head: []string{"speed", "[rpm]"}}}
	const figure, fixed = 12, 15 // columns that a figure takes at the most, and that number and speed take
	name := min(most, max(20, c.width()-figure*len(overviewHeads)-fixed))
	var shown []ComparedRow
	var scales []scale
	for _, h := range overviewHeads {
		row, ok := rows[h.key]
		if !ok || name+fixed+figure*(len(shown)+1) > c.width() {
			continue
		}
		s := scaleOf(row.Unit, row.Values...).whole(row.Values...)
		unit := "[" + s.unit + "]"
		if s.unit == "" {
			unit = ""
		}
		heads = append(heads, column{head: append(append([]string{}, h.head...), unit)})
		shown, scales = append(shown, row), append(scales, s)
	}
	var table [][]cell
	for i, r := range c.rs {
		lines := wrap(shownText(r.Train.Name), name)
		line := []cell{{text: "[" + strconv.Itoa(i+1) + "]"}, {text: lines[0]}, {text: num.Digits(rpm(r.Speed), 5)}}
		for j, row := range shown {
			line = append(line, markedCell(row, scales[j], i))
		}
		table = append(table, line)
		for _, rest := range lines[1:] {
			more := make([]cell, len(line))
			more[1].text = "  " + rest
			table = append(table, more)
		}
	}
	c.table(heads, table)
}
