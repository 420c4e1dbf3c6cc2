package report

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"crankwright/analysis"
	"crankwright/explain"
	"crankwright/num"
)

// The widths of the columns of a comparison.
const (
	leastColumn = 9
	usualColumn = 14 // a column grows to this to give a name room
)

// gasWords says what stands behind the figures of gas and torque; empty where there are none.
func gasWords(rs []*analysis.Result) string {
	for _, r := range rs {
		if r.Drive == nil {
			return ""
		}
	}
	load := loadShown(rs[0].Drive)
	for _, r := range rs {
		if loadShown(r.Drive) != load {
			load = "each engine's load"
		}
	}
	return " Those of brake, torque and flywheel count the gas too, at " + load + " and with values that files leave out assumed."
}

// CompareText returns several results side by side, one row a figure, in blocks of as many engines as
// the screen is wide. baseline is the index of an engine that stands first in every block and against
// which the others show their change; negative: none.
func CompareText(rs []*analysis.Result, baseline int, screen Screen) string {
	c := comparison{sheet: &sheet{Screen: screen}, rs: rs, rows: ComparedRows(rs), baseline: baseline}
	if len(rs) == 0 {
		return ""
	}
	if baseline >= len(rs) {
		c.baseline = -1
	}
	c.lead(counted(len(rs), "engine", "engines") + " side by side")
	c.paragraph("", c.speed()+" Forces and moments are the free ones on the block; an order's value is the longer semi-axis of its ellipse. Every figure comes from rigid bodies."+gasWords(rs))
	c.above()
	c.legend()
	blocks := c.blocks()
	if len(blocks) > 1 {
		c.blank()
		c.overview()
	}
	for _, block := range blocks {
		c.blank()
		c.block(block)
	}
	c.winners()
	c.guidance()
	c.guesses()
	c.caution()
	return c.String()
}

// speed says at which speeds the engines are compared.
func (c *comparison) speed() string {
	for _, r := range c.rs {
		if math.Abs(r.Speed-c.rs[0].Speed) > 1e-9*r.Speed {
			return "Each engine stands at its own speed."
		}
	}
	return "All at " + num.Digits(rpm(c.rs[0].Speed), 5) + " rpm."
}

// above names the engines that stand above their highest speed.
func (c *comparison) above() {
	var list []string
	for i, r := range c.rs {
		if text := aboveLimit(r); text != "" {
			list = append(list, "["+strconv.Itoa(i+1)+"] "+r.Train.Name+" stands "+text)
		}
	}
	if len(list) > 0 {
		c.paragraph("", "Too fast: "+strings.Join(list, "; ")+".")
	}
}

type comparison struct {
	*sheet
	rs       []*analysis.Result
	rows     []ComparedRow
	baseline int
}

func (c *comparison) legend() {
	text := "* best of the row, ! worst of the row; rows where all are alike, or where neither is better, have no mark."
	if c.baseline >= 0 {
		text += fmt.Sprintf(" Changes are against %s; new: it has none, gone: only it has some.", c.rs[c.baseline].Train.Name)
	}
	c.paragraph("", text)
}

// blocks spreads the engines over blocks of nearly the same size.
func (c *comparison) blocks() [][]int {
	var all []int
	for i := range c.rs {
		if i != c.baseline {
			all = append(all, i)
		}
	}
	column := leastColumn + 2 + columnSpace
	if c.baseline >= 0 {
		column += changeWidth
	}
	room := c.width() - c.labels() - columnSpace
	if c.baseline >= 0 {
		room -= leastColumn + 2 + columnSpace
	}
	fit := max(1, room/column)
	n := max(1, (len(all)+fit-1)/fit)
	size := max(1, (len(all)+n-1)/n)
	var out [][]int
	for i := 0; i < len(all); i += size {
		out = append(out, all[i:min(len(all), i+size)])
	}
	if len(out) == 0 {
		out = [][]int{nil}
	}
	if c.baseline >= 0 {
		for i := range out {
			out[i] = append([]int{c.baseline}, out[i]...)
		}
	}
	return out
}

// labels is the width of the figures' names with their units.
func (c *comparison) labels() int {
	most := 0
	for _, row := range c.rows {
		most = max(most, columns(row.Name))
	}
	return most + columnSpace + 4
}

// changeWidth is the room for a change against the baseline.
const changeWidth = 8

// block writes one table.
func (c *comparison) block(engines []int) {
	wide := (c.width() - c.labels() - len(engines)*(columnSpace+2)) / max(1, len(engines))
	wide = min(max(wide, leastColumn), usualColumn)
	heads := []column{{left: true}, {left: true}}
	for _, i := range engines {
		h := wrap(shownText(c.rs[i].Train.Name), wide)
		heads = append(heads, column{head: append([]string{"[" + strconv.Itoa(i+1) + "]"}, h...)})
	}
	rows := [][]cell{c.speeds(engines)}
	for _, row := range c.rows {
		rows = append(rows, c.row(row, engines))
	}
	c.table(heads, append(rows, c.estimated(engines)))
}

func (c *comparison) speeds(engines []int) []cell {
	out := []cell{{text: "Crank speed"}, {text: "rpm"}}
	for _, i := range engines {
		out = append(out, cell{text: num.Digits(rpm(c.rs[i].Speed), 5)})
	}
	return out
}

func (c *comparison) estimated(engines []int) []cell {
	out := []cell{{text: "Values estimated, not given"}, {text: ""}}
	for _, i := range engines {
		text := "0"
		if n := len(c.rs[i].Train.Estimates); n > 0 {
			text = strconv.Itoa(n) + "e"
		}
		out = append(out, cell{text: text})
	}
	return out
}

func (c *comparison) row(row ComparedRow, engines []int) []cell {
	scale := scaleOf(row.Unit, row.Values...).whole(row.Values...)
	out := []cell{{text: row.Name}, {text: scale.unit}}
	for _, i := range engines {
		v := markedCell(row, scale, i)
		if c.baseline >= 0 && i != c.baseline {
			v.text += " " + padLeft(change(row.Values[i], row.Values[c.baseline]), changeWidth-1)
		}
		out = append(out, v)
	}
	return out
}

// markedCell shows one engine's value of a row, with its mark where it is the best or the worst.
func markedCell(row ComparedRow, s scale, i int) cell {
	v := cell{text: s.show(row.Values[i])}
	switch {
	case slices.Contains(row.Best, i):
		v.mark, v.style = "*", green
	case slices.Contains(row.Worst, i):
		v.mark, v.style = "!", red
	}
	return v
}

func padLeft(text string, n int) string {
	return strings.Repeat(" ", max(0, n-columns(text))) + text
}

// change writes a change in per cent of a base.
func change(v, base float64) string {
	switch {
	case math.Abs(v-base) <= 1e-6*math.Max(math.Abs(v), math.Abs(base)):
		return "same"
	case base == 0:
		return "new"
	case v == 0:
		return "gone"
	}
	p := 100 * (v - base) / math.Abs(base)
	if math.Abs(p) >= 999.5 {
		return "×" + num.Digits(v/base, 3)
	}
	if p < 0 {
		return fmt.Sprintf("−%.0f %%", -p)
	}
	return fmt.Sprintf("+%.0f %%", p)
}

// winners sums up who is best in what, where the engines do not fit into one table.
func (c *comparison) winners() {
	if len(c.rs) < 3 {
		return
	}
	c.heading("Best in each figure")
	var list []entry
	for _, row := range c.rows {
		if len(row.Best) == 0 {
			continue
		}
		var who []string
		for _, i := range row.Best {
			who = append(who, "["+strconv.Itoa(i+1)+"]")
		}
		scale := scaleOf(row.Unit, row.Values...).whole(row.Values...)
		value := strings.TrimSpace(scale.show(row.Values[row.Best[0]]) + " " + scale.unit)
		list = append(list, entry{row.Name, value + ": " + strings.Join(who, " ")})
	}
	c.entries(list)
	c.heading("Engines")
	list = nil
	for i, r := range c.rs {
		list = append(list, entry{"[" + strconv.Itoa(i+1) + "]", r.Train.Name + " (" + kindOf(r) + ")"})
	}
	c.entries(list)
}

// guidance says which engines miss guidance, where it was looked at.
func (c *comparison) guidance() {
	title := false
	for _, r := range c.rs {
		text := explain.GuidanceSentence(r.Train.Name, r.Guidance)
		if text == "" {
			continue
		}
		if !title {
			c.heading("Guidance that they miss")
			title = true
		}
		c.paragraph("  ", text)
	}
}

// guesses says how much was estimated.
func (c *comparison) guesses() {
	total, assumed := 0, 0
	for _, r := range c.rs {
		total += len(r.Train.Estimates)
		assumed += len(assumedOfAll(r))
	}
	c.blank()
	if assumed > 0 {
		defer c.paragraph("", counted(assumed, "value is assumed", "values are assumed")+" beyond the crank trains, for gas, room and the rest. Of each file "+rulesStand)
	}
	if total == 0 {
		said := "e: nothing of the crank trains is estimated."
		if assumed == 0 {
			said = "e: nothing is estimated, the files give every value."
		}
		c.paragraph("", said)
		return
	}
	c.paragraph("", fmt.Sprintf("e: %s, because the files leave them out. Every file that leaves something out leaves out %s. The rest, and each rule with its source: crankwright evaluate FILE.",
		counted(total, "value is estimated", "values are estimated"), c.common()))
}

// common lists what is estimated in every engine that estimates anything.
func (c *comparison) common() string {
	count := map[string]int{}
	with := 0
	var keys []string
	for _, r := range c.rs {
		if len(r.Train.Estimates) > 0 {
			with++
		}
		for _, e := range r.Train.Estimates {
			if count[e.Key] == 0 {
				keys = append(keys, e.Key)
			}
			count[e.Key]++
		}
	}
	var out []string
	for _, k := range keys {
		if count[k] == with {
			out = append(out, k)
		}
	}
	if len(out) == 0 {
		return "something else"
	}
	return strings.Join(out, ", ")
}
