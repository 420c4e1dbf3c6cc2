package report

import (
	"fmt"

	"crankwright/num"
	"crankwright/search"
	"crankwright/study"
)

// StudyRefinedDoc is a candidate that was refined: what the verb study refine prints with --json.
type StudyRefinedDoc struct {
	Number      uint64             `json:"candidate_1" jsonschema_description:"from which it began"`
	Better      bool               `json:"better" jsonschema_description:"some aim is better and none is worse; else it is the candidate itself"`
	Evaluations int                `json:"evaluations_1" jsonschema_description:"engines that were analysed"`
	Moved       []StudyMoveDoc     `json:"moved"`
	Figures     []RefinedFigureDoc `json:"figures"`
	Settings    []StudySettingDoc  `json:"settings" jsonschema_description:"what it sets in the base"`
	File        string             `json:"file,omitempty"`
}

// StudyMoveDoc is how far an input went.
type StudyMoveDoc struct {
	Key    string  `json:"key"`
	Name   string  `json:"name"`
	Unit   string  `json:"unit"`
	Before float64 `json:"before" jsonschema_description:"in the unit"`
	After  float64 `json:"after"`
}

// RefinedFigureDoc is what became of a figure.
type RefinedFigureDoc struct {
	Key    string  `json:"key"`
	Name   string  `json:"name"`
	Unit   string  `json:"unit"`
	Wanted string  `json:"wanted" jsonschema:"enum=less,enum=more,enum=limit"`
	Before float64 `json:"before" jsonschema_description:"in the unit"`
	After  float64 `json:"after"`
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
		d.Figures = append(d.Figures, RefinedFigureDoc{column.Key, column.Name, column.Unit, wanted, tidy(noMinusZero(r.Before[i])), tidy(noMinusZero(r.After[i]))})
		i++
	}
	return d
}

// StudyRefinedText returns what refinement did as text for a terminal.
func StudyRefinedText(d *StudyRefinedDoc, screen Screen) string {
	s := &sheet{Screen: screen}
	s.lead(fmt.Sprintf("Candidate %d, refined", d.Number))
	if !d.Better {
		s.paragraph("", fmt.Sprintf("Nothing better was found in %s: none in which some aim is better, no other worse, and everything required kept.", counted(d.Evaluations, "analysis", "analyses")))
		return s.String()
	}
	s.paragraph("", fmt.Sprintf("Found in %s: some aim is better, none is worse, and everything required is kept.", counted(d.Evaluations, "analysis", "analyses")))
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
		rows = append(rows, []cell{{text: f.Name}, {text: FigureShown(f.Unit, f.Before)}, {text: FigureShown(f.Unit, f.After), style: bold}, {text: f.Wanted}})
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

// NewEvolvedDoc describes what an evolutionary search with a seed found.
func NewEvolvedDoc(p *search.Problem, e *search.Evolved, seed uint64) *StudyDoc {
	d := NewStudyDoc(p, e.Outcome, "", e.Whole)
	d.Evolution = &EvolutionDoc{Evaluations: e.Outcome.Looked, Generations: e.Generations, Seed: seed}
	if !e.Whole {
		d.Certificate.Words = []string{fmt.Sprintf("%s of %s were looked at, chosen by an evolutionary search: what it has not looked at may be better.",
			exactly(e.Outcome.Looked), candidates(d.Size.Total))}
	}
	return d
}

// Rate writes candidates a second.
func Rate(perSecond float64) string { return grouped(num.Digits(perSecond, 3)) }
