package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"crankwright/num"
)

// mostFrontRows is how many candidates of a front are listed as text.
const mostFrontRows = 20

// hopeless is how long a search of every candidate may take before another way is named [s]: a week.
const hopeless = 7 * 86400

// StudySizeText returns the size of a study as text for a terminal.
func StudySizeText(d *StudySizesDoc, screen Screen) string {
	s := &sheet{Screen: screen}
	s.lead(d.Study.Name)
	s.paragraph("", candidates(d.Size.Total)+", varied from "+d.Study.Base+".")
	s.studyTask(&d.Study)
	s.studySize(&d.Size)
	s.heading("How they are looked at")
	s.paragraph("  ", d.Size.Path)
	if d.Size.Rate > 0 {
		s.paragraph("  ", fmt.Sprintf("About %s on this machine: a short trial did %s candidates a second on one of its %s.",
			roughly(d.Size.Time), grouped(num.Digits(d.Size.Rate, 2)), counted(d.Size.Shared, "processor", "processors")))
		if d.Size.Time > hopeless {
			s.paragraph("  ", "That is too long to wait for: 'crankwright study evolve' looks at a part of them, chosen generation by generation, and more machines share the work (docs/many-machines.md).")
		}
	}
	s.caution()
	return s.String()
}

// roughly writes a time as people say it.
func roughly(seconds float64) string {
	for _, u := range []struct {
		of        float64
		one, many string
	}{{365.25 * 86400, "year", "years"}, {86400, "day", "days"}, {3600, "hour", "hours"}, {60, "minute", "minutes"}} {
		if seconds >= 1.5*u.of {
			return grouped(num.Digits(seconds/u.of, 2)) + " " + u.many
		}
	}
	switch {
	case seconds < 1:
		return "a second or less"
	case seconds < 10:
		return num.Digits(seconds, 1) + " s"
	}
	return num.Digits(seconds, 2) + " s"
}

// Lasting writes a remaining time.
func Lasting(seconds float64) string { return roughly(seconds) }

// studyTask writes what varies and what is wanted.
func (s *sheet) studyTask(d *StudyTaskDoc) {
	s.heading("What varies")
	var list []entry
	for _, v := range d.Vary {
		list = append(list, entry{v.Key, variesShown(v)})
	}
	s.entries(list)
	s.heading("What is wanted")
	list = nil
	for _, a := range d.Aims {
		list = append(list, entry{a.Better, namedKey(a.Name, a.Key)})
	}
	for _, l := range d.Required {
		list = append(list, entry{l.Side, l.Shown + ": " + namedKey(l.Name, l.Measure)})
	}
	if d.SpeedRPM > 0 {
		list = append(list, entry{"at", num.Digits(d.SpeedRPM, 5) + " rpm"})
	}
	s.entries(list)
}

// namedKey writes a name with its key, where that says more.
func namedKey(name, key string) string {
	if strings.EqualFold(strings.ReplaceAll(name, " ", "_"), key) {
		return name
	}
	return name + " (" + key + ")"
}

// variesShown writes the values of something that varies.
func variesShown(v StudyVariesDoc) string {
	switch n := len(v.Values); {
	case n == 0 && v.Key == "layout.pins":
		return "all distinct phasings"
	case n == 0:
		return "every order that the crank can do"
	case n > 6:
		return fmt.Sprintf("%d values, %s to %s", n, v.Values[0], v.Values[n-1])
	default:
		return strings.Join(v.Values, ", ")
	}
}

// studySize writes the parts of a study, and how phasings were counted.
func (s *sheet) studySize(d *StudySizeDoc) {
	s.heading("Size")
	var keys []string
	for _, b := range d.Blocks {
		for _, a := range b.Axes {
			if !slices.Contains(keys, a.Key) {
				keys = append(keys, a.Key)
			}
		}
	}
	heads := []column{{head: []string{"engines"}, left: true}}
	for _, k := range keys {
		heads = append(heads, column{head: keyHead(k)})
	}
	heads = append(heads, column{head: []string{"candidates"}})
	var rows [][]cell
	for _, b := range d.Blocks {
		row := []cell{{text: blockName(b)}}
		for _, k := range keys {
			text := "–"
			for _, a := range b.Axes {
				if a.Key == k {
					text = exactly(uint64(a.Count))
				}
			}
			row = append(row, cell{text: text})
		}
		row = append(row, cell{text: exactly(b.Total), style: bold})
		if b.Dead != "" {
			row[0].text, row[0].style = row[0].text+" (dead)", dim
		}
		rows = append(rows, row)
	}
	s.table(heads, rows)
	s.paragraph("  ", "Every value of an axis goes with every value of the others.")
	s.deadBlocks(d.Blocks)
	for _, p := range d.Phasings {
		s.heading(phasingsTitle(p))
		s.entries([]entry{
			{"first throw at 0", p.All},
			{"distinct, twins once", exactly(uint64(p.Distinct))},
			{"by Burnside's lemma", p.Burnside},
		})
		for _, w := range p.Words {
			s.paragraph("  ", w)
		}
	}
}

// deadBlocks says which shapes cannot be built, those with the same reason together.
func (s *sheet) deadBlocks(blocks []StudyBlockDoc) {
	var reasons []string
	names := map[string][]string{}
	for _, b := range blocks {
		if b.Dead == "" {
			continue
		}
		if names[b.Dead] == nil {
			reasons = append(reasons, b.Dead)
		}
		names[b.Dead] = append(names[b.Dead], blockName(b))
	}
	for _, why := range reasons {
		s.paragraph("  ", fmt.Sprintf("Dead, so that none can be built: %s: %s.", strings.Join(names[why], "; "), strings.TrimSuffix(why, ".")))
	}
}

func phasingsTitle(p StudyPhasingsDoc) string {
	of := ""
	if len(p.Blocks) > 1 || p.Blocks[0] != "" {
		of = " (" + strings.Join(p.Blocks, ", ") + ")"
	}
	return fmt.Sprintf("Phasings of %s in steps of %s°%s", counted(p.Throws, "throw", "throws"), num.Digits(p.StepDeg, 4), of)
}

func blockName(b StudyBlockDoc) string {
	if b.Name == "" {
		return "all"
	}
	return b.Name
}

// keyHead writes the last part of a key as the head of a column.
func keyHead(key string) []string {
	last := key[strings.LastIndexByte(key, '.')+1:]
	if last == "length" || last == "width" || last == "radius" || last == "mass" { // of what?
		last = key
	}
	return strings.FieldsFunc(last, func(r rune) bool { return r == '_' || r == '.' })
}

// StudyText returns what a study found as text for a terminal.
func StudyText(d *StudyDoc, screen Screen) string {
	s := &sheet{Screen: screen}
	s.lead(d.Study.Name)
	state := "whole"
	switch {
	case d.Evolution != nil:
		state = d.Evolution.looked(d.Whole) + " by an evolutionary search, seed " + fmt.Sprint(d.Evolution.Seed)
		if !d.Evolution.Ended {
			state += "; it has not ended: run it again to go on"
		}
	case !d.Whole:
		state = "not finished: run the study again to go on"
	}
	s.paragraph("", candidates(d.Size.Total)+", varied from "+d.Study.Base+"; "+state+".")
	s.studyCertificate(&d.Certificate)
	s.studyCourse(d)
	s.studyFront(d)
	s.studyBest(d)
	s.caution()
	return s.String()
}

func (s *sheet) studyCertificate(c *CertificateDoc) {
	s.heading("Certificate")
	heads := []column{{head: []string{""}, left: true}, {head: []string{"candidates"}}, {head: []string{"the first"}}}
	rows := [][]cell{{{text: "enumerated"}, {text: exactly(c.Enumerated)}, {}}}
	if c.Looked != c.Enumerated {
		rows = append(rows, []cell{{text: "looked at"}, {text: exactly(c.Looked)}, {}})
	}
	for _, l := range c.Left {
		row := []cell{{text: "left out: " + l.Rule}, {text: exactly(l.N)}, {}}
		if l.First != nil {
			row[2].text = "no. " + fmt.Sprint(*l.First)
		}
		if l.N > 0 {
			rows = append(rows, row)
		}
	}
	rows = append(rows, []cell{{text: "kept", style: bold}, {text: exactly(c.Kept), style: bold}, {}})
	if tableWidth(heads, rows) > s.width() {
		for _, row := range rows {
			text := row[0].text
			if row[2].text != "" {
				text += "; the first is " + row[2].text
			}
			s.paragraph("  "+padded(row[1].text, len("1234567890"))+" ", text)
		}
	} else {
		s.table(heads, rows)
	}
	var none []string
	for _, l := range c.Left {
		if l.N == 0 {
			none = append(none, l.Rule)
		}
	}
	if len(none) > 0 {
		s.paragraph("  ", "No candidate was left out because: "+strings.Join(none, "; ")+".")
	}
	for _, w := range c.Words {
		s.paragraph("  ", w)
	}
}

func (s *sheet) studyFront(d *StudyDoc) {
	n := len(d.Front)
	s.heading(d.frontCaption())
	if n == 0 {
		s.paragraph("  ", d.noFront())
		return
	}
	var points []StudyPointDoc
	for _, i := range d.telling(mostFrontRows) {
		points = append(points, d.Front[i])
	}
	slices.SortStableFunc(points, func(a, b StudyPointDoc) int {
		v, w := d.value(a, 0), d.value(b, 0)
		if d.aims[0].More {
			v, w = w, v
		}
		switch {
		case v < w:
			return -1
		case v > w:
			return 1
		}
		return 0
	})
	s.studyPoints(d, points, true)
	if n > mostFrontRows {
		s.paragraph("  ", fmt.Sprintf("%d of %s: the best by each aim, then those that give up least in all aims together, each as a share of its range over the front. --json and --csv have all.", mostFrontRows, exactly(uint64(n))))
	}
}

func (s *sheet) studyBest(d *StudyDoc) {
	if len(d.aims) < 2 || len(d.Front) == 0 {
		return
	}
	s.heading("Best by each aim")
	var list []entry
	for k, b := range d.Best {
		if len(b.Points) == 0 {
			continue
		}
		best, a := d.value(b.Points[0], k), d.Study.Aims[k]
		same := 0
		for _, q := range b.Points {
			if d.value(q, k) == best {
				same++
			}
		}
		text := FigureShown(a.Unit, best) + ": no. " + fmt.Sprint(b.Points[0].Number)
		switch {
		case same == len(b.Points) && same >= 20:
			text += ", and others that are as good"
		case same > 1:
			text += fmt.Sprintf(", and %d more that are as good", same-1)
		}
		list = append(list, entry{a.Name, text})
	}
	s.entries(list)
}

// FigureShown writes a value with its unit.
func FigureShown(unit string, v float64) string {
	if unit == "N" || unit == "N m" {
		return num.Shown(tidy(v), unit)
	}
	return unitText(unit, v)
}

// studyPoints writes candidates with their aims and inputs: a row each, or where that is too wide a row and a line.
func (s *sheet) studyPoints(d *StudyDoc, points []StudyPointDoc, alike bool) {
	heads := []column{{head: []string{"no."}}}
	rows := make([][]cell, len(points))
	for i, q := range points {
		rows[i] = []cell{{text: fmt.Sprint(q.Number), style: bold}}
	}
	for k, a := range d.Study.Aims {
		var values []float64
		for _, q := range points {
			values = append(values, d.value(q, k))
		}
		heads = append(heads, aimColumn(a, values, rows))
	}
	if alike && slices.ContainsFunc(points, func(q StudyPointDoc) bool { return q.Alike > 0 }) {
		heads = append(heads, column{head: []string{"alike"}})
		for i, q := range points {
			text := "–"
			if q.Alike > 0 {
				text = "+" + exactly(q.Alike)
			}
			rows[i] = append(rows[i], cell{text: text})
		}
	}
	inputHeads, inputRows := studyInputs(points)
	wide := append(slices.Clone(heads), inputHeads...)
	joined := make([][]cell, len(rows))
	for i := range rows {
		joined[i] = append(slices.Clone(rows[i]), inputRows[i]...)
	}
	if tableWidth(wide, joined) <= s.width() {
		s.table(wide, joined)
		return
	}
	s.wideTable(heads, rows)
	s.blank()
	most := 0
	for _, q := range points {
		most = max(most, len(fmt.Sprint(q.Number)))
	}
	for _, q := range points {
		var texts []string
		for _, in := range q.Inputs {
			texts = append(texts, strings.Join(keyHead(in.Key), " ")+" "+in.Text)
		}
		number := fmt.Sprint(q.Number)
		s.paragraph("  no. "+number+strings.Repeat(" ", most-len(number))+"  ", strings.Join(texts, "; "))
	}
}

// aimColumn adds the values of an aim to rows, and returns the head of their column.
func aimColumn(a StudyAimDoc, values []float64, rows [][]cell) column {
	known := slices.DeleteFunc(slices.Clone(values), math.IsNaN)
	scale := scaleOf(a.Unit, known...).whole(known...)
	for i, v := range values {
		rows[i] = append(rows[i], cell{text: shownOr(scale, v)})
	}
	head := wrap(a.Name, 11)
	if scale.unit != "" {
		head = append(head, "["+scale.unit+"]")
	}
	return column{head: head}
}

func shownOr(scale scale, v float64) string {
	if math.IsNaN(v) {
		return "–"
	}
	return scale.show(v)
}

// inputKeys lists the keys that candidates set.
func inputKeys(points []StudyPointDoc) []string {
	var keys []string
	for _, q := range points {
		for _, in := range q.Inputs {
			if !slices.Contains(keys, in.Key) {
				keys = append(keys, in.Key)
			}
		}
	}
	return keys
}

// studyInputs makes a column of every key that candidates set.
func studyInputs(points []StudyPointDoc) (heads []column, rows [][]cell) {
	keys := inputKeys(points)
	for _, k := range keys {
		heads = append(heads, column{head: keyHead(k), left: true})
	}
	rows = make([][]cell, len(points))
	for i, q := range points {
		rows[i] = make([]cell, len(keys))
		for _, in := range q.Inputs {
			rows[i][slices.Index(keys, in.Key)].text = in.Text
		}
	}
	return heads, rows
}

// tableWidth returns how many columns of a terminal a table takes.
func tableWidth(heads []column, rows [][]cell) int {
	total := columnSpace * (len(heads) - 1)
	for i, h := range heads {
		most := 0
		for _, l := range h.head {
			most = max(most, columns(l))
		}
		for _, row := range rows {
			most = max(most, columns(shownText(row[i].text)))
		}
		total += most
	}
	return total
}
