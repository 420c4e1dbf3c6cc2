package report

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"crankwright/analysis"
	"crankwright/num"
)

// Comparison is several engines side by side: the JSON object that compare --json prints.
type Comparison struct {
	Engines  []*Document   `json:"engines"`
	Figures  []ComparedRow `json:"figures" jsonschema_description:"one row a figure, its values in the sequence of the engines"`
	Caution  string        `json:"caution"`
	Baseline *Baseline     `json:"baseline,omitempty"`
}

// ComparedRow is one figure of all engines.
type ComparedRow struct {
	Key    string    `json:"key" jsonschema_description:"of the figure, such as free_force_order_2"`
	Name   string    `json:"name" jsonschema_description:"in words"`
	Unit   string    `json:"unit" jsonschema_description:"of the values; 1: none"`
	Better string    `json:"better" jsonschema:"enum=less,enum=more,enum=neither" jsonschema_description:"which way is better"`
	Values []float64 `json:"values" jsonschema_description:"by engine"`
	Best   []int     `json:"best" jsonschema_description:"indices of the best engines; empty where all are alike"`
	Worst  []int     `json:"worst" jsonschema_description:"indices of the worst engines; empty where all are alike"`
}

// Baseline names the engine that the others are measured against.
type Baseline struct {
	Index int    `json:"index"`
	Name  string `json:"name"`
}

// CompareJSON returns several results side by side. baseline is the index of the engine that the
// others are measured against, or negative.
func CompareJSON(rs []*analysis.Result, baseline int) ([]byte, error) {
	c := Comparison{Engines: []*Document{}, Figures: ComparedRows(rs), Caution: Caution}
	for _, r := range rs {
		c.Engines = append(c.Engines, NewDocument(r, Detail{}))
	}
	if baseline >= 0 && baseline < len(rs) {
		c.Baseline = &Baseline{baseline, rs[baseline].Train.Name}
	}
	return Encode(c)
}

// ComparedRows returns the figures of several results, one row a figure, with the best and the
// worst engines of each. A figure that not every engine has, such as one of gas and torque where one engine has no
// bore, is left out.
func ComparedRows(rs []*analysis.Result) []ComparedRow {
	rows := []ComparedRow{}
	at := map[string]int{}
	for i, r := range rs {
		for _, f := range r.Figures() {
			if i == 0 {
				at[f.Key] = len(rows)
				rows = append(rows, ComparedRow{Key: f.Key, Name: f.Name, Unit: f.Unit, Better: betterWord(f.Better), Best: []int{}, Worst: []int{}})
			}
			if j, ok := at[f.Key]; ok && len(rows[j].Values) == i {
				rows[j].Values = append(rows[j].Values, tidy(noMinusZero(f.Value)))
			}
		}
	}
	rows = slices.DeleteFunc(rows, func(r ComparedRow) bool { return len(r.Values) < len(rs) })
	for i := range rows {
		rows[i].mark()
	}
	return rows
}

// mark finds the best and the worst. Values that differ by less than a part in a million count as
// equal; where all are equal nothing is marked.
func (row *ComparedRow) mark() {
	if row.Better == "neither" || len(row.Values) < 2 {
		return
	}
	lowest, highest := math.Inf(1), math.Inf(-1)
	for _, v := range row.Values {
		lowest, highest = math.Min(lowest, v), math.Max(highest, v)
	}
	same := 1e-6 * math.Max(math.Abs(lowest), math.Abs(highest))
	if highest-lowest <= same {
		return
	}
	for i, v := range row.Values {
		atLow, atHigh := v-lowest <= same, highest-v <= same
		if atLow == (row.Better == "less") && (atLow || atHigh) {
			row.Best = append(row.Best, i)
		} else if atLow || atHigh {
			row.Worst = append(row.Worst, i)
		}
	}
}

// Find returns the index of the engine with a name, or with the beginning of one.
func Find(rs []*analysis.Result, name string) (int, error) {
	names := make([]string, len(rs))
	for i, r := range rs {
		names[i] = r.Train.Name
	}
	return find(names, name)
}

var errNoName = errors.New("the name is empty")

func find(names []string, name string) (int, error) {
	if name == "" {
		return 0, errNoName
	}
	found := -1
	for i, n := range names {
		if n == name {
			return i, nil
		}
		if len(n) > len(name) && n[:len(name)] == name {
			if found >= 0 {
				return 0, fmt.Errorf("%q is the beginning of both %q and %q", name, names[found], n)
			}
			found = i
		}
	}
	if found < 0 {
		return 0, fmt.Errorf("no engine is called %q; there are %s", name, quotedList(names))
	}
	return found, nil
}

func quotedList(names []string) string {
	var quoted []string
	for _, n := range names {
		quoted = append(quoted, fmt.Sprintf("%q", n))
	}
	return num.List(quoted, "and")
}
