package report

import (
	"fmt"
	"math"

	"crankwright/brief"
	"crankwright/num"
	"crankwright/search"
	"crankwright/study"
)

// StudyRefinedDoc is a candidate that was refined: what the verb study refine prints with --json.
type StudyRefinedDoc struct {
	Number      uint64             `json:"candidate_1" jsonschema_description:"from which it began"`
	Better      bool               `json:"better" jsonschema_description:"some aim is better and none is worse; else it is the candidate itself"`
	Evaluations int                `json:"evaluations_1" jsonschema_description:"engines that were analysed"`
	Moved       []StudyMoveDoc     `json:"moved" jsonschema_description:"what could move, and how far it went"`
	Figures     []RefinedFigureDoc `json:"figures" jsonschema_description:"what that does"`
	Settings    []StudySettingDoc  `json:"settings" jsonschema_description:"what it sets in the base"`
	File        string             `json:"file,omitempty" jsonschema_description:"of the engine that it became; left out: none was written"`
}

// StudyMoveDoc is how far an input went.
type StudyMoveDoc struct {
	Key    string  `json:"key" jsonschema_description:"such as layout.bank_angle"`
	Name   string  `json:"name" jsonschema_description:"in words"`
	Unit   string  `json:"unit" jsonschema_description:"of its values; 1: none"`
	Before float64 `json:"before" jsonschema_description:"in the unit"`
	After  float64 `json:"after" jsonschema_description:"in the unit"`
}

// RefinedFigureDoc is what became of a figure.
type RefinedFigureDoc struct {
	Key    string  `json:"key" jsonschema_description:"such as free_force_order_2"`
	Name   string  `json:"name" jsonschema_description:"in words"`
	Unit   string  `json:"unit" jsonschema_description:"of its values; 1: none"`
	Wanted string  `json:"wanted" jsonschema:"enum=less,enum=more,enum=limit" jsonschema_description:"limit: it is no aim, and it has to keep what is required"`
	Before float64 `json:"before" jsonschema_description:"in the unit"`
	After  float64 `json:"after" jsonschema_description:"in the unit"`
	Change string  `json:"change" jsonschema:"enum=less,enum=more,enum=same" jsonschema_description:"same: as near as a search tells"`
}

// NewStudyRefinedDoc describes a candidate that was refined.
func NewStudyRefinedDoc(p *search.Problem, r *search.Refined) *StudyRefinedDoc {
	d := &StudyRefinedDoc{
		Number: r.From, Better: r.Better, Evaluations: r.Evaluations,
		Moved: []StudyMoveDoc{}, Figures: []RefinedFigureDoc{}, Settings: settingDocs(r.Settings),
	}
	for _, m := range r.Moved {
		move := StudyMoveDoc{Key: m.Key, Name: m.Key, Unit: m.Unit, Before: m.Before, After: m.After}
		for _, c := range p.Columns() {
			if c.Key == m.Key {
				move.Name = c.Name
			}
		}
		d.Moved = append(d.Moved, move)
	}
	i := 0
	for c, column := range p.Columns() {
		if column.Kind != study.Figure {
			continue
		}
		wanted := "limit"
		for _, a := range p.Aims() {
			switch {
			case a.Column != c:
			case a.More:
				wanted = "more"
			default:
				wanted = "less"
			}
		}
		f := RefinedFigureDoc{Key: column.Key, Name: column.Name, Unit: column.Unit, Wanted: wanted, Before: tidy(noMinusZero(r.Before[i])), After: tidy(noMinusZero(r.After[i]))}
		f.compare()
		d.Figures = append(d.Figures, f)
		i++
	}
	return d
}

// compare says whether a figure is less or more than it was, leaving out what is rounding only.
func (f *RefinedFigureDoc) compare() {
	m, _ := brief.MeasureOf(f.Key)
	if m.FromZero {
		for _, v := range []*float64{&f.Before, &f.After} {
			if math.Abs(*v) < 1e-6*m.Least {
				*v = 0
			}
		}
	}
	switch {
	case math.Abs(f.After-f.Before) <= 1e-6*max(math.Abs(f.Before), m.Least):
		f.Change = "same"
	case f.After < f.Before:
		f.Change = "less"
	default:
		f.Change = "more"
	}
}

// shown writes both values, with more digits where fewer do not tell them apart.
func (f *RefinedFigureDoc) shown() (before, after string) {
	before, after = FigureShown(f.Unit, f.Before), FigureShown(f.Unit, f.After)
	if before == after && f.Change != "same" {
		return movedTo(f.Unit, f.Before), movedTo(f.Unit, f.After)
	}
	return before, after
}

// words say in a sentence what was found.
func (d *StudyRefinedDoc) words() string {
	after := counted(d.Evaluations, "analysis", "analyses")
	if !d.Better {
		return fmt.Sprintf("Nothing better was found in %s: none in which some aim is better, no other worse, and everything required kept.", after)
	}
	return fmt.Sprintf("Found in %s: some aim is better, none is worse, and everything required is kept.", after)
}

// StudyRefinedText returns what refinement did as text for a terminal.
func StudyRefinedText(d *StudyRefinedDoc, screen Screen) string {
	s := &sheet{Screen: screen}
	s.lead(fmt.Sprintf("Candidate %d, refined", d.Number))
	s.paragraph("", d.words())
	if !d.Better {
		return s.String()
	}
	s.heading("What moved")
	heads := []column{{head: []string{""}, left: true}, {head: []string{"before"}}, {head: []string{"after"}}}
	var rows [][]cell
	for _, m := range d.Moved {
		rows = append(rows, []cell{{text: m.Key}, {text: movedTo(m.Unit, m.Before)}, {text: movedTo(m.Unit, m.After), style: bold}})
	}
	s.table(heads, rows)
	s.heading("What it does")
	heads = append(heads, column{head: []string{"wanted"}, left: true})
	rows = nil
	for _, f := range d.Figures {
		before, after := f.shown()
		rows = append(rows, []cell{{text: f.Name}, {text: before}, {text: after, style: bold}, {text: f.Wanted}})
	}
	s.table(heads, rows)
	s.heading("What it sets in the base")
	s.settings(d.Settings)
	s.caution()
	return s.String()
}

// movedTo writes an input with six digits, as its engine file has it.
func movedTo(unit string, v float64) string {
	if unit == "1" || unit == "" {
		return num.Digits(v, 6)
	}
	return num.Digits(v, 6) + " " + unit
}

// Rate writes candidates a second.
func Rate(perSecond float64) string { return grouped(num.Digits(perSecond, 3)) }
