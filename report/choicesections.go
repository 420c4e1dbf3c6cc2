package report

import (
	"fmt"
	"strings"

	"crankwright/choice"
	"crankwright/num"
)

// choiceSections are what a report says of a choice: the brief, the verdict, how firm it is, and each engine in words.
func choiceSections(d *ChoiceDoc) []pageSection {
	if d == nil {
		return nil
	}
	out := []pageSection{briefSection(d), verdictSection(d)}
	if len(d.decision.Order) > 1 {
		out = append(out, firmSection(d))
	}
	return append(out, worthSection(d), candidatesSection(d))
}

func briefSection(d *ChoiceDoc) pageSection {
	s := pageSection{ID: "brief", Title: "The brief", Lead: d.Brief.Application}
	if len(d.Brief.Limits) > 0 {
		t := plainTable{ID: "brief-limits", Caption: "Limits: what does not keep them is ruled out", Head: []plainHead{{Text: "Figure"}, {Text: "Limit"}, {Text: "Reason", Wide: true}}}
		for _, l := range d.Brief.Limits {
			t.Rows = append(t.Rows, []string{l.Name, l.Side + "\u00a0" + strings.ReplaceAll(l.Shown, " ", "\u00a0"), l.Why})
		}
		s.Tables = append(s.Tables, t)
	}
	t := plainTable{ID: "brief-priorities", Caption: "Priorities, from 0 to 10; a range where people disagree", Head: []plainHead{{Text: "Priority"}, {Text: "Weight"}, {Text: "Made of", Wide: true}, {Text: "Reason", Wide: true}}}
	for _, p := range d.Brief.Priorities {
		t.Rows = append(t.Rows, []string{p.Name, strings.ReplaceAll(weightShown(p), " ", "\u00a0"), partsShown(p), p.Why})
	}
	s.Tables = append(s.Tables, t)
	return s
}

func verdictSection(d *ChoiceDoc) pageSection {
	s := pageSection{ID: "verdict", Title: "Verdict", Lines: unbroken(d.Verdict.Words)}
	if len(d.decision.Order) > 0 {
		t := plainTable{ID: "ranking", Caption: "Ranking in points of 100; front: no other is at least as good on everything that counts and better on something", Head: []plainHead{{Text: "Place"}, {Text: "Engine"}, {Text: "Points", Number: true}, {Text: "Nine times of ten", Number: true}, {Text: "First, by the brief", Number: true}, {Text: "First, any priorities", Number: true}, {Text: "Front, or beaten by"}}}
		for _, p := range d.Brief.Priorities {
			t.Head = append(t.Head, plainHead{Text: p.Name, Number: true})
		}
		for _, i := range d.decision.Order {
			e := d.Engines[i]
			row := []string{fmt.Sprint(e.Place), e.Name, choice.Points(e.Points / 100), choice.Points(e.Band.P05/100) + "–" + choice.Points(e.Band.P95/100), choice.Percent(e.Rank[0]), choice.Percent(e.RankAny[0]), d.beatenByName(e)}
			for _, v := range e.ByPriority {
				row = append(row, choice.Points(v/100))
			}
			t.Rows = append(t.Rows, row)
		}
		s.Tables = append(s.Tables, t)
	}
	if t := outTable(d); len(t.Rows) > 0 {
		s.Tables = append(s.Tables, t)
	}
	s.figure(d, "worths")
	s.Caution = d.Caution
	return s
}

// beatenByName says that an engine is on the front, or who is at least as good on everything and better on something.
func (d *ChoiceDoc) beatenByName(e ChosenDoc) string {
	if e.Front {
		return "front"
	}
	best := d.Engines[e.Dominated[0]]
	for _, j := range e.Dominated {
		if d.Engines[j].Place < best.Place {
			best = d.Engines[j]
		}
	}
	if more := len(e.Dominated) - 1; more > 0 {
		return fmt.Sprintf("%s and %d more", best.Name, more)
	}
	return best.Name
}

func outTable(d *ChoiceDoc) plainTable {
	t := plainTable{ID: "ruled-out", Caption: "Ruled out", Head: []plainHead{{Text: "Engine"}, {Text: "Why", Wide: true}}}
	for _, e := range d.Engines {
		if len(e.Out) > 0 {
			t.Rows = append(t.Rows, []string{e.Name, e.ruledOut()})
		}
	}
	for _, l := range d.Left {
		t.Rows = append(t.Rows, []string{l.Name, "left out: " + l.Why})
	}
	return t
}

// figure adds a figure of a choice; one that cannot be drawn, such as a trade-off of one criterion, is left out.
func (s *pageSection) figure(d *ChoiceDoc, name string) {
	if f, err := d.Figure(name, "", ""); err == nil {
		s.Figures = append(s.Figures, placed(f, "choice-"+name))
	}
}

func firmSection(d *ChoiceDoc) pageSection {
	s := pageSection{ID: "firmness", Title: "How firm the choice is", Lead: "What would have to change for another engine to lead: one priority, all of them, one figure of the second, one estimated input."}
	t := plainTable{ID: "weight-flips", Caption: "One priority at a time, the others kept", Head: []plainHead{{Text: "Priority"}, {Text: "Now", Number: true}, {Text: "Down to"}, {Text: "Up to"}}}
	turn := func(t *LeadTurnDoc) string {
		if t == nil {
			return "–"
		}
		return num.Digits(t.At, 3) + ": " + d.Engines[t.Leader].Name + " leads"
	}
	for k, f := range d.Weights {
		t.Rows = append(t.Rows, []string{d.Brief.Priorities[k].Name, num.Digits(f.Now, 3), turn(f.Down), turn(f.Up)})
	}
	s.Tables = append(s.Tables, t)
	t = plainTable{ID: "joint-flips", Caption: "All priorities at once, each in favour of the other", Head: []plainHead{{Text: "Engine"}, {Text: "Level when every priority is off by", Number: true}}}
	for _, j := range d.Joint {
		by := "never"
		if j.Possible {
			by = num.Digits(j.By, 2) + " points"
		}
		t.Rows = append(t.Rows, []string{d.Engines[j.Other].Name, by})
	}
	s.Tables = append(s.Tables, t)
	if d.Verdict.Second >= 0 && d.Engines[d.Verdict.Second].Place > 1 {
		t = plainTable{ID: "value-flips", Caption: "One figure of " + d.Engines[d.Verdict.Second].Name + ", all else kept", Head: []plainHead{{Text: "Figure"}, {Text: "Now", Number: true}, {Text: "Level at", Number: true}}}
		for _, f := range d.Values {
			if c := d.Criteria[d.criterion(f.Criterion)]; f.Possible {
				t.Rows = append(t.Rows, []string{c.Name, unitText(c.Unit, f.Now), unitText(c.Unit, f.Needs)})
			}
		}
		switch rest := len(d.Values) - len(t.Rows); {
		case len(t.Rows) == 0:
			s.Lines = append(s.Lines, "No single figure of "+d.Engines[d.Verdict.Second].Name+", at its best, would bring it level.")
		case rest > 0:
			t.Caption += fmt.Sprintf("; none of the other %d alone would bring it level", rest)
		}
		if len(t.Rows) > 0 {
			s.Tables = append(s.Tables, t)
		}
	}
	if t := inputTable(d); len(t.Rows) > 0 {
		s.Tables = append(s.Tables, t)
	}
	s.figure(d, "acceptability")
	s.figure(d, "acceptability-any")
	s.figure(d, "flips")
	s.figure(d, "central-weights")
	s.figure(d, "trade-off")
	return s
}

func inputTable(d *ChoiceDoc) plainTable {
	t := plainTable{
		ID: "inputs-that-matter", Caption: "Estimated inputs, by what they leave open of the lead",
		Head: []plainHead{{Text: "Input"}, {Text: "Engine"}, {Text: "Share", Number: true}, {Text: "Estimate, and where nearly all lie", Wide: true}, {Text: "Alone it makes another lead"}},
	}
	for _, m := range d.Inputs[:min(mostInputs, len(d.Inputs))] {
		e := d.Engines[m.Engine]
		at, span := "no", ""
		if m.Flips {
			at = m.At + ": " + d.Engines[m.Leader].Name
		}
		for _, x := range e.Doubts {
			if x.Key == m.Key {
				span = fmt.Sprintf("%s, %s to %s", x.Shown, x.Low, x.High)
			}
		}
		t.Rows = append(t.Rows, []string{m.Name + " (" + m.Key + ")", e.Name, choice.Percent(m.Share), span, at})
	}
	if more := len(d.Inputs) - mostInputs; more > 0 {
		t.Caption += fmt.Sprintf("; %d more move it less", more)
	}
	return t
}

func (d *ChoiceDoc) criterion(key string) int {
	for i, c := range d.Criteria {
		if c.Key == key {
			return i
		}
	}
	return 0
}

func worthSection(d *ChoiceDoc) pageSection {
	s := pageSection{ID: "worths", Title: "How points are given", Lines: append([]string{}, d.Notes...)}
	s.Lines = append(s.Lines, fmt.Sprintf("%d draws, seed %d.", d.Draws, d.Seed))
	t := plainTable{ID: "value-functions", Caption: "Value functions: straight lines between these points, level beyond", Head: []plainHead{{Text: "Figure"}, {Text: "What values are worth", Wide: true}, {Text: "Given by"}}}
	for _, c := range d.Criteria {
		if len(c.Worth) == 0 {
			continue
		}
		by := "the engines that stand"
		if c.Own {
			by = "the brief"
		}
		t.Rows = append(t.Rows, []string{c.Name, worthShown(c), by})
	}
	s.Tables = append(s.Tables, t)
	return s
}

func candidatesSection(d *ChoiceDoc) pageSection {
	s := pageSection{ID: "candidates", Title: "Each engine in words"}
	for _, i := range d.order() {
		e := d.Engines[i]
		s.Parts = append(s.Parts, pageSection{ID: fmt.Sprintf("candidate-%d", i+1), Title: e.Name, Lead: strings.Join(unbroken(e.Words), " ")})
	}
	return s
}
