package report

import (
	"fmt"
	"math"

	"crankwright/draw"
)

const (
	mostGenerationsPrinted = 12 // in a report
	mostGenerationRows     = 5  // on a terminal
)

// spread returns at most so many places of a list, evenly from the first to the last.
func spread(n, most int) (places []int) {
	if n <= most {
		most = n
	}
	for i := range most {
		at := n - 1
		if most > 1 {
			at = int(math.Round(float64(i) * float64(n-1) / float64(most-1)))
		}
		places = append(places, at)
	}
	return places
}

// best returns the best by an aim after a generation, NaN where none was kept.
func (t *EvolutionStepDoc) best(aim int) float64 {
	if aim < len(t.Best) {
		if v, ok := t.Best[aim].(float64); ok {
			return v
		}
	}
	return math.NaN()
}

// gained returns how many candidates were looked at when the best by some aim last became better; 0: never after the first
// that was kept.
func (e *EvolutionDoc) gained() (looked uint64) {
	for i := 1; i < len(e.Course); i++ {
		for k := range e.Course[i].Best {
			before, now := e.Course[i-1].best(k), e.Course[i].best(k)
			if !math.IsNaN(before) && !math.IsNaN(now) && before != now {
				looked = e.Course[i].Looked
			}
		}
	}
	return looked
}

// gain says when the best by some aim last became better; empty where that says nothing.
func (e *EvolutionDoc) gain() string {
	switch n := e.gained(); {
	case len(e.Course) < 2 || e.Course[len(e.Course)-1].Kept == 0:
		return ""
	case n == 0:
		return "By no aim has it found a better candidate since the first generation that kept any."
	default:
		return fmt.Sprintf("The last gain by any aim came when %s of %s were looked at.", exactly(n), candidates(e.Evaluations))
	}
}

// part writes how much of the space was looked at.
func (d *StudyDoc) part() string {
	of := candidates(d.Size.Total)
	share := 100 * float64(d.Evolution.Evaluations) / float64(max(1, d.Size.Total))
	switch {
	case d.Whole:
		return "all " + of
	case share < 0.01:
		return fmt.Sprintf("%s of %s, less than 0.01\u00a0%%", exactly(d.Evolution.Evaluations), of)
	}
	return fmt.Sprintf("%s of %s, %.2g\u00a0%%", exactly(d.Evolution.Evaluations), of, share)
}

// studyCourseSection says how an evolutionary search went; nil: every candidate was asked for.
func studyCourseSection(d *StudyDoc) *pageSection {
	e := d.Evolution
	if e == nil {
		return nil
	}
	s := &pageSection{ID: "study-went", Title: "How the search went", Lead: "It chose each generation among what came of those before. Whether to look longer: a search that was still finding better candidates at its end has probably not found the best."}
	if d.Whole {
		s.Lead = "It chose each generation among what came of those before, until none was left to look at."
	}
	stayed := counted(e.Still, "generation", "generations")
	if e.Still == 0 {
		stayed += ": the last one changed it"
	}
	s.Facts = []pageFact{
		{"Looked at", d.part()},
		{"Generations", fmt.Sprintf("%d of %s", e.Generations, candidates(uint64(max(0, e.Size))))},
		{"Seed", fmt.Sprint(e.Seed)},
		{"The front has stayed for", stayed},
	}
	s.Lines = []string{e.ending(d.Whole)}
	if gain := e.gain(); gain != "" {
		s.Lines = append(s.Lines, gain)
	}
	if len(e.Course) == 0 {
		return s
	}
	s.Tables = []plainTable{studyCourseTable(d)}
	s.Figures = []pageFigure{placed(d.courseFigure(), courseName)}
	return s
}

func studyCourseTable(d *StudyDoc) plainTable {
	course := d.Evolution.Course
	places := spread(len(course), mostGenerationsPrinted)
	t := plainTable{ID: "study-generations", Caption: "Best so far by generation", Head: []plainHead{
		{Text: "Generation"}, {Text: "Looked at", Number: true}, {Text: "Kept", Number: true}, {Text: "On the front", Number: true},
	}}
	if len(places) < len(course) {
		t.Caption += fmt.Sprintf("; %d of %d, spread evenly", len(places), len(course))
	}
	for _, a := range d.Study.Aims {
		t.Head = append(t.Head, plainHead{Text: headOf(a), Number: true})
	}
	for _, i := range places {
		g := &course[i]
		row := []string{fmt.Sprint(i + 1), exactly(g.Looked), exactly(g.Kept), exactly(uint64(max(0, g.Front)))}
		for k := range d.Study.Aims {
			row = append(row, plain(g.best(k)))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// headOf is the head of a column of an aim.
func headOf(a StudyAimDoc) string {
	if u := unitShown(a.Unit); u != "" {
		return a.Name + ", " + u
	}
	return a.Name
}

// courseName is the figure of how an evolutionary search went.
const courseName = "study-course"

func (d *StudyDoc) courseFigure() draw.Figure {
	var aims []draw.Criterion
	for k := range d.aims {
		aims = append(aims, d.drawn(k))
	}
	var steps []draw.CourseStep
	for i := range d.Evolution.Course {
		g := &d.Evolution.Course[i]
		step := draw.CourseStep{Looked: g.Looked, Front: g.Front}
		for k := range aims {
			step.Best = append(step.Best, g.best(k))
		}
		steps = append(steps, step)
	}
	return draw.StudyCourse(d.Study.Name, aims, d.Size.Total, steps)
}

// studyCourse writes how an evolutionary search went, in a few generations.
func (s *sheet) studyCourse(d *StudyDoc) {
	e := d.Evolution
	if e == nil || e.gain() == "" {
		return
	}
	s.heading("How the search went")
	if e.gained() > 0 {
		heads := []column{{head: []string{"looked at"}}, {head: []string{"front"}}}
		places := spread(len(e.Course), mostGenerationRows)
		rows := make([][]cell, len(places))
		for i, at := range places {
			rows[i] = []cell{{text: exactly(e.Course[at].Looked)}, {text: fmt.Sprint(e.Course[at].Front)}}
		}
		for k, a := range d.Study.Aims {
			values := make([]float64, len(places))
			for i, at := range places {
				values[i] = e.Course[at].best(k)
			}
			heads = append(heads, aimColumn(a, values, rows))
		}
		s.wideTable(heads, rows)
	}
	s.paragraph("  ", e.gain())
}
