package report

import (
	"fmt"
	"slices"
	"strings"

	"crankwright/draw"
	"crankwright/num"
)

// mostFrontPrinted is how many candidates of a front a report lists.
const mostFrontPrinted = 60

// studySections are what a report says of a search: what was asked, how large it is, the certificate, the front, how the search
// went where it chose what to look at, and what was refined.
func studySections(d *StudyDoc) []pageSection {
	if d == nil {
		return nil
	}
	out := []pageSection{studyAskedSection(d), studySizeSection(d), studyFoundSection(d)}
	if went := studyCourseSection(d); went != nil {
		out = append(out, *went)
	}
	if len(d.Refined) > 0 {
		out = append(out, studyRefinedSection(d.Refined))
	}
	return out
}

// studyLead says in a sentence what a search is.
func studyLead(d *StudyDoc) string {
	state := "All of them were looked at."
	switch {
	case d.Evolution != nil:
		state = fmt.Sprintf("%s, chosen by an evolutionary search with seed %d.", num.Capital(d.Evolution.looked(d.Whole)), d.Evolution.Seed)
	case !d.Whole:
		state = fmt.Sprintf("%s of them were looked at so far.", exactly(d.Certificate.Looked))
	}
	return fmt.Sprintf("%s, varied from %s. %s", candidates(d.Size.Total), d.Study.Base, state)
}

func studyAskedSection(d *StudyDoc) pageSection {
	s := pageSection{ID: "study", Title: "What is searched", Lead: studyLead(d)}
	s.Facts = append(s.Facts, pageFact{"Study", d.Study.File}, pageFact{"Base", d.Study.Base})
	if d.Study.Brief != "" {
		s.Facts = append(s.Facts, pageFact{"Brief", d.Study.Brief})
	}
	if d.Study.SpeedRPM > 0 {
		s.Facts = append(s.Facts, pageFact{"Crank speed", num.Digits(d.Study.SpeedRPM, 5) + "\u00a0rpm"})
	}
	t := plainTable{ID: "study-varies", Caption: "What varies; every value goes with every value of the others", Head: []plainHead{{Text: "Key"}, {Text: "Values", Wide: true}}}
	for _, v := range d.Study.Vary {
		t.Rows = append(t.Rows, []string{v.Key, variesShown(v)})
	}
	s.Tables = append(s.Tables, t)
	t = plainTable{ID: "study-wanted", Caption: "What is wanted, and what is required", Head: []plainHead{{Text: "Figure"}, {Text: "Wanted"}, {Text: "Key"}}}
	for _, a := range d.Study.Aims {
		t.Rows = append(t.Rows, []string{a.Name, a.Better, a.Key})
	}
	for _, l := range d.Study.Required {
		t.Rows = append(t.Rows, []string{l.Name, l.Side + "\u00a0" + strings.ReplaceAll(l.Shown, " ", "\u00a0"), l.Measure})
	}
	s.Tables = append(s.Tables, t)
	return s
}

func studySizeSection(d *StudyDoc) pageSection {
	s := pageSection{ID: "study-size", Title: "How many candidates there are, and why", Lead: d.Size.Path}
	t := plainTable{ID: "study-blocks", Caption: "Candidates by shape of the engine", Head: []plainHead{{Text: "Engines"}, {Text: "What varies", Wide: true}, {Text: "Candidates", Number: true}}}
	for _, b := range d.Size.Blocks {
		var parts []string
		for _, a := range b.Axes {
			parts = append(parts, exactly(uint64(a.Count))+" "+a.Key)
		}
		text := strings.Join(parts, " × ")
		if b.Dead != "" {
			text = "none can be built: " + b.Dead
		}
		t.Rows = append(t.Rows, []string{blockName(b), text, exactly(b.Total)})
	}
	s.Tables = append(s.Tables, t)
	for i, p := range d.Size.Phasings {
		part := pageSection{ID: fmt.Sprintf("study-phasings-%d", i+1), Title: phasingsTitle(p), Lines: p.Words}
		part.Facts = []pageFact{{"With the first throw at 0", p.All}, {"Distinct, twins once", exactly(uint64(p.Distinct))}, {"By Burnside's lemma", p.Burnside}}
		s.Parts = append(s.Parts, part)
	}
	return s
}

func studyFoundSection(d *StudyDoc) pageSection {
	s := pageSection{ID: "study-found", Title: "What was found", Lines: slices.Clone(d.Certificate.Words), Caution: d.Caution}
	t := plainTable{ID: "study-certificate", Caption: "Certificate", Head: []plainHead{{Text: "What became of the candidates"}, {Text: "Candidates", Number: true}, {Text: "The first", Number: true}}}
	t.Rows = append(t.Rows, []string{"enumerated", exactly(d.Certificate.Enumerated), ""}, []string{"looked at", exactly(d.Certificate.Looked), ""})
	for _, l := range d.Certificate.Left {
		first := "–"
		if l.First != nil {
			first = "no. " + fmt.Sprint(*l.First)
		}
		t.Rows = append(t.Rows, []string{"left out: " + l.Rule, exactly(l.N), first})
	}
	t.Rows = append(t.Rows, []string{"kept", exactly(d.Certificate.Kept), ""})
	s.Tables = append(s.Tables, t)
	s.Facts = append(s.Facts, pageFact{"Digest of the study", d.Digest})
	if len(d.Front) == 0 {
		s.Lines = append(s.Lines, d.noFront())
		return s
	}
	s.Tables = append(s.Tables, studyFrontTable(d))
	if len(d.aims) > 1 {
		s.Tables = append(s.Tables, studyBestTable(d))
	}
	for _, name := range d.Figures() {
		if name == courseName {
			continue // the section of how it went has it
		}
		if f, err := d.Figure(name); err == nil {
			s.Figures = append(s.Figures, placed(f, name))
		}
	}
	return s
}

func studyFrontTable(d *StudyDoc) plainTable {
	t := plainTable{ID: "study-front", Caption: d.frontCaption(), Head: []plainHead{{Text: "Candidate"}}}
	places := d.telling(mostFrontPrinted)
	if len(d.Front) > len(places) {
		t.Caption += fmt.Sprintf("; %d of them, the best by each aim, then those that give up least in all aims together", len(places))
	}
	slices.Sort(places)
	var points []StudyPointDoc
	for _, i := range places {
		points = append(points, d.Front[i])
	}
	for _, a := range d.Study.Aims {
		t.Head = append(t.Head, plainHead{Text: headOf(a), Number: true})
	}
	t.Head = append(t.Head, plainHead{Text: "Alike", Number: true})
	keys := inputKeys(points)
	for _, k := range keys {
		t.Head = append(t.Head, plainHead{Text: strings.Join(keyHead(k), " ")})
	}
	for _, q := range points {
		row := []string{fmt.Sprint(q.Number)}
		for k := range d.aims {
			row = append(row, plain(d.value(q, k)))
		}
		row = append(row, exactly(q.Alike))
		for _, k := range keys {
			i := slices.IndexFunc(q.Inputs, func(in StudySettingDoc) bool { return in.Key == k })
			if i < 0 {
				row = append(row, "–")
				continue
			}
			row = append(row, q.Inputs[i].Text)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

func studyBestTable(d *StudyDoc) plainTable {
	t := plainTable{ID: "study-best", Caption: "Best by each aim alone", Head: []plainHead{{Text: "Aim"}, {Text: "Best", Number: true}, {Text: "Candidate", Number: true}, {Text: "Sets", Wide: true}}}
	for k, b := range d.Best {
		if len(b.Points) == 0 {
			continue
		}
		q := b.Points[0]
		var sets []string
		for _, in := range q.Inputs {
			sets = append(sets, strings.Join(keyHead(in.Key), " ")+" "+in.Text)
		}
		a := d.Study.Aims[k]
		t.Rows = append(t.Rows, []string{a.Name, strings.ReplaceAll(FigureShown(a.Unit, d.value(q, k)), " ", "\u00a0"), fmt.Sprint(q.Number), strings.Join(sets, "; ")})
	}
	return t
}

// mostScatters is how many pairs of aims a report draws.
const mostScatters = 3

// Figures returns the names of the figures of a search, in the sequence of a report: each further aim against the first, then
// all aims together where there are more than two, then how an evolutionary search went.
func (d *StudyDoc) Figures() []string {
	var out []string
	for k := 1; k < len(d.aims) && k <= mostScatters; k++ {
		out = append(out, fmt.Sprintf("study-front-%d", k))
	}
	if len(d.aims) > 2 {
		out = append(out, "study-aims")
	}
	if d.Evolution != nil {
		out = append(out, courseName)
	}
	return out
}

// Figure draws a figure of a search.
//
//   - name: one of Figures
//
// Errors: an unknown name.
func (d *StudyDoc) Figure(name string) (draw.Figure, error) {
	at := slices.Index(d.Figures(), name)
	switch {
	case at < 0:
		return draw.Figure{}, fmt.Errorf("there is no figure %q of this study; there are %s", name, strings.Join(d.Figures(), ", "))
	case name == "study-aims":
		return d.aimsFigure(), nil
	case name == courseName:
		return d.courseFigure(), nil
	}
	return d.frontFigure(at+1, 0), nil
}

// drawn is an aim for a figure, with what is required of it.
func (d *StudyDoc) drawn(aim int) draw.Criterion {
	a := d.Study.Aims[aim]
	c := draw.Criterion{Name: a.Name, Unit: unitShown(a.Unit), LowerIsBetter: a.Better == "less"}
	for _, l := range d.Study.Required {
		if l.Measure == a.Key {
			c.Limits = append(c.Limits, draw.Bound{Value: l.Bound, AtMost: l.Side == "at most"})
		}
	}
	return c
}

func (d *StudyDoc) frontFigure(x, y int) draw.Figure {
	var kept []draw.Place
	if c := d.Cloud; c != nil && x < len(c.Values) && y < len(c.Values) {
		for i := range c.Index {
			kept = append(kept, draw.Place{X: float64(c.Values[x][i]), Y: float64(c.Values[y][i])})
		}
	}
	var front []draw.FrontPlace
	for _, q := range d.Front {
		front = append(front, draw.FrontPlace{Number: q.Number, X: d.value(q, x), Y: d.value(q, y)})
	}
	return draw.StudyFront(d.Study.Name, d.drawn(x), d.drawn(y), kept, d.Certificate.Kept, front, len(d.aims) == 2)
}

// mostLines is how many candidates of a front are drawn as lines.
const mostLines = 400

func (d *StudyDoc) aimsFigure() draw.Figure {
	var aims []draw.Criterion
	for k := range d.aims {
		aims = append(aims, d.drawn(k))
	}
	var lines []draw.FrontLine
	for n, i := range d.telling(mostLines) {
		q := d.Front[i]
		l := draw.FrontLine{Number: q.Number, Marked: n < 4}
		for k := range d.aims {
			l.Values = append(l.Values, d.value(q, k))
		}
		lines = append(lines, l)
	}
	return draw.StudyAims(d.Study.Name, aims, lines)
}
