package report

import (
	"strings"

	"crankwright/analysis"
	"crankwright/num"
)

// enginesPerSheet is how many columns of the comparison fit the width of a printed page.
const enginesPerSheet = 6

// pageTable is the comparison: a row for each figure, a column for each engine.
type pageTable struct {
	ID      string
	Caption string
	Engines []pageColumn
	Groups  []pageGroup
}

// pageColumn is the head of one engine's column.
type pageColumn struct {
	ID, Name, Kind string
	Number         int
}

// pageGroup is a block of rows of one kind.
type pageGroup struct {
	ID, Name string
	Rows     []pageRow
}

// pageRow is one figure of all engines.
type pageRow struct {
	Name, Unit, Aim string
	Cells           []pageCell
}

// pageCell is one number.
type pageCell struct {
	Text, Mark string // Mark: best, worst or nothing
	Link, Note string // a link to where the number is explained, and what it leads to
}

// groupNames are the blocks of the table in their sequence; a figure belongs to the first whose word
// stands in its key.
func groupNames() [][2]string {
	return [][2]string{
		{"force", "Force on the block"},
		{"moment", "Moment on the block"},
		{"inertia_torque", "Torque"},
		{"torque", "Gas and torque"},
		{"inertia_share", "Gas and torque"},
		{"brake_power", "Gas and torque"},
		{"impulses", "Gas and torque"},
		{"friction", "Gas and torque"},
		{"fluctuation", "Gas and torque"},
		{"flywheel", "Gas and torque"},
		{"fir", "Firing"},
		{"neighbour", "Firing"},
		{"", "Size and speed"},
	}
}

func groupOf(key string) string {
	if strings.Contains(key, "roll") {
		return "Torque"
	}
	for _, g := range groupNames() {
		if strings.Contains(key, g[0]) {
			return g[1]
		}
	}
	return ""
}

// newTable sets the figures of all engines side by side.
func newTable(rs []*analysis.Result) pageTable {
	t := pageTable{ID: "comparison", Caption: "All figures, one column for each engine"}
	if len(rs) == 1 {
		t.Caption = "All figures of this engine"
	}
	speeds, guesses := pageRow{Name: "Crank speed", Unit: "rpm"}, pageRow{Name: "Values estimated, not given"}
	for i, r := range rs {
		t.Engines = append(t.Engines, pageColumn{ID: engineID(i), Name: r.Train.Name, Kind: kindOf(r), Number: i + 1})
		speeds.Cells = append(speeds.Cells, pageCell{Text: rpmOf(r.Speed)})
		guesses.Cells = append(guesses.Cells, estimateCell(i, r))
	}
	t.add("Size and speed", speeds)
	for _, compared := range ComparedRows(rs) {
		row := pageRow{Name: compared.Name, Unit: unitShown(compared.Unit), Aim: aimShown(compared.Better)}
		for _, v := range compared.Values {
			row.Cells = append(row.Cells, pageCell{Text: plain(v)})
		}
		for _, i := range compared.Best {
			row.Cells[i].Mark = "best"
		}
		for _, i := range compared.Worst {
			row.Cells[i].Mark = "worst"
		}
		row.apart(compared.Values)
		t.add(groupOf(compared.Key), row)
	}
	t.add("What stands behind it", guesses)
	return t
}

// add appends a row to the group of a name, which it begins where there is none.
func (t *pageTable) add(group string, row pageRow) {
	for i := range t.Groups {
		if t.Groups[i].Name == group {
			t.Groups[i].Rows = append(t.Groups[i].Rows, row)
			return
		}
	}
	t.Groups = append(t.Groups, pageGroup{Name: group, Rows: []pageRow{row}})
}

// apart gives more digits to the values that read like a marked one and are not.
func (row *pageRow) apart(values []float64) {
	marked := map[string]bool{}
	for _, c := range row.Cells {
		if c.Mark != "" {
			marked[c.Text] = true
		}
	}
	for i := range row.Cells {
		if c := &row.Cells[i]; c.Mark == "" && marked[c.Text] {
			c.Text = grouped(num.Digits(values[i], 7))
		}
	}
}

func estimateCell(i int, r *analysis.Result) pageCell {
	n := len(r.Train.Estimates)
	if n == 0 {
		return pageCell{Text: "none"}
	}
	return pageCell{Text: "≈ " + plain(float64(n)), Link: engineID(i) + "-estimates", Note: "list of estimates of " + r.Train.Name}
}

func unitShown(unit string) string {
	switch unit {
	case "1", "":
		return ""
	case "deg":
		return "°"
	case "N m":
		return "N\u202fm"
	}
	return unit
}

// aimShown says what is better where it is not less: the page says that once for all rows.
func aimShown(better string) string {
	if better == "more" {
		return "more is better"
	}
	return ""
}

// cut returns the table in pieces of at most n engines, nil where it is no wider than that.
func (t pageTable) cut(n int) []pageTable {
	if len(t.Engines) <= n {
		return nil
	}
	pieces := (len(t.Engines) + n - 1) / n
	size := (len(t.Engines) + pieces - 1) / pieces
	var out []pageTable
	for from := 0; from < len(t.Engines); from += size {
		to := min(from+size, len(t.Engines))
		piece := pageTable{Caption: t.Caption + ": engines " + plain(float64(from+1)) + " to " + plain(float64(to)), Engines: t.Engines[from:to]}
		for _, g := range t.Groups {
			part := pageGroup{Name: g.Name}
			for _, r := range g.Rows {
				r.Cells = r.Cells[from:to]
				part.Rows = append(part.Rows, r)
			}
			piece.Groups = append(piece.Groups, part)
		}
		out = append(out, piece)
	}
	return out
}
