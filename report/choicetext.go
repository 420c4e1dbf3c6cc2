package report

import (
	"fmt"
	"slices"
	"strings"

	"crankwright/choice"
	"crankwright/num"
)

// ChoiceText returns a choice as text for a terminal.
func ChoiceText(d *ChoiceDoc, screen Screen) string {
	s := &sheet{Screen: screen}
	s.lead("Choice for: " + d.Brief.Name)
	if d.Brief.Application != "" {
		s.paragraph("", d.Brief.Application)
	}
	s.heading("Verdict")
	for _, w := range d.Verdict.Words {
		s.paragraph("  ", w)
	}
	s.ranking(d)
	s.outs(d)
	s.heading("Each engine")
	for _, i := range d.order() {
		e := d.Engines[i]
		s.paragraph("  ", e.Name)
		s.paragraph("    ", strings.Join(e.Words, " "))
	}
	s.flipRows(d)
	s.inputRows(d)
	s.briefRows(d)
	s.worthRows(d)
	if len(d.Left) > 0 {
		s.heading("Left out")
		for _, l := range d.Left {
			s.paragraph("  ", l.Name+": "+l.Why)
		}
	}
	s.heading("How it was found")
	for _, n := range d.Notes {
		s.paragraph("  ", n)
	}
	s.paragraph("  ", fmt.Sprintf("%d draws, seed %d.", d.Draws, d.Seed))
	s.caution()
	return s.String()
}

// order lists the engines by place, those that are ruled out last.
func (d *ChoiceDoc) order() []int {
	out := append([]int{}, d.decision.Order...)
	for i, e := range d.Engines {
		if len(e.Out) > 0 {
			out = append(out, i)
		}
	}
	return out
}

// shortName cuts a name for a table.
func shortName(name string, n int) string {
	if columns(name) <= n {
		return name
	}
	letters := []rune(name)
	return strings.TrimRight(string(letters[:min(n-1, len(letters))]), " ,") + "…"
}

func (s *sheet) ranking(d *ChoiceDoc) {
	if len(d.decision.Order) == 0 {
		return
	}
	s.heading("Ranking, points of 100")
	heads := []column{{head: []string{""}}, {head: []string{"", "engine"}, left: true}, {head: []string{"", "points"}}, {head: []string{"nine of", "ten times"}}, {head: []string{"first,", "brief"}}, {head: []string{"first,", "any"}}, {head: []string{"front, or", "beaten by"}, left: true}}
	fixed := len(heads)
	name := min(30, max(14, s.width()-59)) // the columns of numbers take the rest
	room := (s.width() - 59 - name) / 9
	for n, p := range d.Brief.Priorities {
		if n < max(0, room) {
			first, second, _ := strings.Cut(p.Name, " ")
			heads = append(heads, column{head: []string{shortName(first, 9), shortName(second, 9)}})
		}
	}
	var rows [][]cell
	for _, i := range d.decision.Order {
		e := d.Engines[i]
		row := []cell{
			{text: fmt.Sprint(e.Place)},
			{text: shortName(shownText(e.Name), name), style: bold},
			{text: choice.Points(e.Points / 100)},
			{text: choice.Points(e.Band.P05/100) + "–" + choice.Points(e.Band.P95/100)},
			{text: choice.Percent(e.Rank[0])},
			{text: choice.Percent(e.RankAny[0])},
			{text: d.beatenBy(e)},
		}
		for k := range len(heads) - fixed {
			row = append(row, cell{text: choice.Points(e.ByPriority[k] / 100)})
		}
		rows = append(rows, row)
	}
	s.table(heads, rows)
	text := "First, brief: how often it is first within what the brief and the estimates leave open; first, any: with any priorities. Front: no other is at least as good on everything that counts and better on something; else the places of those that are."
	switch shown, all := len(heads)-fixed, len(d.Brief.Priorities); {
	case shown == 0:
		text += " There is no room for the points by priority: a larger --width shows them, --csv and --json always."
	case shown == 1 && all > 1:
		text += fmt.Sprintf(" Behind stand the points of the first of %d priorities, for which there is room; a larger --width shows more, --csv and --json all.", all)
	case shown < all:
		text += fmt.Sprintf(" Behind stand the points of the first %d of %d priorities, for which there is room; a larger --width shows more, --csv and --json all.", shown, all)
	default:
		text += " Points by priority behind."
	}
	s.paragraph("  ", text)
}

// mostPlaces is how many places of those that beat an engine a table shows.
const mostPlaces = 2

// beatenBy says that an engine is on the front, or the places of those that are at least as good on everything.
func (d *ChoiceDoc) beatenBy(e ChosenDoc) string {
	if e.Front {
		return "front"
	}
	var places []int
	for _, j := range e.Dominated {
		places = append(places, d.Engines[j].Place)
	}
	slices.Sort(places)
	var words []string
	for _, p := range places[:min(mostPlaces, len(places))] {
		words = append(words, fmt.Sprint(p))
	}
	if more := len(places) - mostPlaces; more > 0 {
		words = append(words, fmt.Sprintf("+%d", more))
	}
	return strings.Join(words, ", ")
}

func (s *sheet) outs(d *ChoiceDoc) {
	title := false
	for _, e := range d.Engines {
		if len(e.Out) == 0 {
			continue
		}
		if !title {
			s.heading("Ruled out")
			title = true
		}
		s.paragraph("  "+e.Name+": ", e.ruledOut())
	}
}

func (s *sheet) flipRows(d *ChoiceDoc) {
	if len(d.Weights) == 0 {
		return
	}
	s.heading("What moves the first place: one priority at a time")
	turn := func(t *LeadTurnDoc) string {
		if t == nil {
			return "–"
		}
		return num.Digits(t.At, 3) + ": " + shortName(shownText(d.Engines[t.Leader].Name), 24)
	}
	var rows [][]cell
	for k, f := range d.Weights {
		rows = append(rows, []cell{{text: d.Brief.Priorities[k].Name, style: bold}, {text: num.Digits(f.Now, 3)}, {text: turn(f.Down)}, {text: turn(f.Up)}})
	}
	s.table([]column{{head: []string{"priority"}, left: true}, {head: []string{"now"}}, {head: []string{"down to"}, left: true}, {head: []string{"up to"}, left: true}}, rows)
}

// mostInputs is how many estimated inputs a text shows.
const mostInputs = 10

func (s *sheet) inputRows(d *ChoiceDoc) {
	if len(d.Inputs) == 0 {
		return
	}
	s.heading("Estimated inputs, by what they leave open of the lead")
	var rows [][]cell
	for _, m := range d.Inputs[:min(mostInputs, len(d.Inputs))] {
		at := "no other leads"
		if m.Flips {
			at = m.At + ": " + shortName(shownText(d.Engines[m.Leader].Name), 24)
		}
		rows = append(rows, []cell{{text: m.Key, style: bold}, {text: shortName(shownText(d.Engines[m.Engine].Name), 24)}, {text: choice.Percent(m.Share)}, {text: at}})
	}
	s.table([]column{{head: []string{"input"}, left: true}, {head: []string{"of"}, left: true}, {head: []string{"share"}}, {head: []string{"alone it makes"}, left: true}}, rows)
	if more := len(d.Inputs) - mostInputs; more > 0 {
		s.paragraph("  ", fmt.Sprintf("%d more move it less; --json lists them.", more))
	}
}

// weightShown writes a priority as a brief has it.
func weightShown(p PriorityDoc) string {
	if p.Low == p.High {
		return num.Digits(p.Low, 3)
	}
	return num.Digits(p.Low, 3) + " to " + num.Digits(p.High, 3)
}

// partsShown says what a priority is made of.
func partsShown(p PriorityDoc) string {
	if len(p.Parts) == 1 {
		return choice.Within(p.Parts[0].Name)
	}
	var words []string
	for _, part := range p.Parts {
		words = append(words, choice.Within(part.Name)+" "+choice.Percent(part.Share))
	}
	return strings.Join(words, ", ")
}

func (s *sheet) briefRows(d *ChoiceDoc) {
	s.heading("The brief")
	var list []entry
	for _, l := range d.Brief.Limits {
		text := l.Side + " " + l.Shown
		if l.Why != "" {
			text += ". " + l.Why
		}
		list = append(list, entry{l.Name, text})
	}
	for _, p := range d.Brief.Priorities {
		text := weightShown(p) + " of 10: " + partsShown(p) + "."
		if p.Why != "" {
			text += " " + p.Why
		}
		list = append(list, entry{p.Name, text})
	}
	s.entries(list)
}

// worthShown says what values are worth.
func worthShown(c CriterionDoc) string {
	var words []string
	for _, w := range c.Worth {
		words = append(words, unitText(c.Unit, w.At)+" is worth "+num.Digits(w.Worth, 3))
	}
	return strings.Join(words, ", ")
}

// unitText writes a value with a unit of the figures.
func unitText(unit string, v float64) string {
	if unit == "1" || unit == "" {
		return num.Digits(noMinusZero(tidy(v)), 4)
	}
	return num.Digits(noMinusZero(tidy(v)), 4) + " " + unit
}

func (s *sheet) worthRows(d *ChoiceDoc) {
	s.heading("Value functions")
	var list []entry
	for _, c := range d.Criteria {
		if len(c.Worth) == 0 {
			continue
		}
		text := worthShown(c)
		if c.Own {
			text += " (given by the brief)"
		}
		list = append(list, entry{c.Name, text})
	}
	s.entries(list)
}

// ChoiceCSV returns a choice as comma-separated values: one line an engine, in the sequence in which they were given.
func ChoiceCSV(d *ChoiceDoc) ([]byte, error) {
	head := []string{"name", "file", "place", "points", "p05_points", "p95_points", "first_pct", "first_any_pct", "confidence_pct", "front", "ruled_out"}
	for _, p := range d.Brief.Priorities {
		head = append(head, p.Key+"_points")
	}
	for _, c := range d.Criteria {
		head = append(head, c.Key+unitSuffix(c.Unit))
	}
	rows := [][]string{head}
	for _, e := range d.Engines {
		row := []string{e.Name, e.File, fmt.Sprint(e.Place)}
		for _, v := range []float64{e.Points, e.Band.P05, e.Band.P95, 100 * e.Rank[0], 100 * e.RankAny[0], 100 * e.Confidence} {
			row = append(row, number(tidy(v)))
		}
		row = append(row, fmt.Sprint(e.Front), e.ruledOut())
		for _, v := range e.ByPriority {
			row = append(row, number(tidy(v)))
		}
		for _, v := range e.Values {
			row = append(row, number(tidy(noMinusZero(v))))
		}
		rows = append(rows, row)
	}
	return WriteCSV(rows)
}
