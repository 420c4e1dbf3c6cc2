package draw

import (
	"math"
	"strconv"

	"crankwright/num"
)

// CourseStep is how far a search was after a generation.
type CourseStep struct {
	Looked uint64    // candidates looked at so far
	Front  int       // candidates of the front
	Best   []float64 // so far, by aim, in its unit; no number where none was kept
}

// course is how the best by one aim went.
type course struct {
	looked, parts []float64 // corners of the line: candidates looked at, and the part of the whole gain in percent
	first, last   float64   // best, in the unit of the aim
	gained        uint64    // candidates looked at when it last became better; 0: it never did
	known         bool
}

// StudyCourse shows whether a search was still gaining when it ended: for each aim the best so far, as a part of the way from
// its first value to its last, and below them the number of candidates of the front, over the candidates that were looked at.
//
//   - of: what was searched, such as the name of a study; may be empty
//   - aims: what was wanted; of each a row
//   - all: how many candidates there are in all [1]
//   - steps: generations in their sequence
//
// Result [-], candidates in [1], gains in [%], best values in the units of the aims. Definition.
func StudyCourse(of string, aims []Criterion, all uint64, steps []CourseStep) Figure {
	s := newChoiceSheet("study-course", "How the search went", of)
	steps = inSequence(steps)
	if len(steps) == 0 {
		return s.empty("No generation was looked at")
	}
	end := steps[len(steps)-1]
	s.say(num.Counted(len(steps), "generation", "generations") + "; " + partOf(end.Looked, all))
	if len(steps) == 1 {
		return s.empty("There is one generation: nothing to compare it with")
	}
	var courses []course
	kept := false
	for k := range aims {
		courses = append(courses, courseOf(k, steps))
		kept = kept || courses[k].known
	}
	if !kept {
		return s.empty("No candidate was kept")
	}
	across := tightScale(0, float64(end.Looked), 5)
	for k, a := range aims {
		s.courseRow(across, named(a.Name), a.Unit, &courses[k])
	}
	s.frontRow(across, steps)
	s.courseTable(aims, courses)
	s.sayCourse(aims, courses, steps)
	return s.figure()
}

// inSequence returns the generations that have a place: each looked at more than the one before.
func inSequence(steps []CourseStep) (out []CourseStep) {
	for _, t := range steps {
		if drawable(float64(t.Looked)) && t.Looked > 0 && (len(out) == 0 || t.Looked > out[len(out)-1].Looked) {
			out = append(out, t)
		}
	}
	return out
}

// lookedAt writes how many candidates were looked at.
func lookedAt(n uint64) string { return num.Counted(n, "candidate", "candidates") }

// partOf says how many of all candidates were looked at.
func partOf(looked, all uint64) string {
	switch {
	case looked < all:
		return strconv.FormatUint(looked, 10) + " of " + lookedAt(all) + " were looked at: what was not may be better."
	case all > 1:
		return "all " + lookedAt(all) + " were looked at."
	}
	return lookedAt(looked) + " looked at."
}

// courseOf follows the best by an aim. What a generation found counts from its end on, so the line has steps.
func courseOf(aim int, steps []CourseStep) course {
	var g course
	var values []float64
	for _, t := range steps {
		if aim >= len(t.Best) || !drawable(t.Best[aim]) {
			continue
		}
		v := t.Best[aim]
		if !g.known {
			g.known, g.first = true, v
		} else if v != g.last {
			g.gained = t.Looked
		}
		g.last = v
		g.looked, values = append(g.looked, float64(t.Looked)), append(values, v)
	}
	var looked []float64
	for i, v := range values {
		part := 0.0
		if g.last != g.first {
			part = 100 * math.Min(1, math.Max(0, (v-g.first)/(g.last-g.first)))
		}
		if i > 0 {
			looked, g.parts = append(looked, g.looked[i]), append(g.parts, g.parts[len(g.parts)-1])
		}
		looked, g.parts = append(looked, g.looked[i]), append(g.parts, part)
	}
	g.looked = looked
	return g
}

// when says when the best by an aim last became better.
func (g *course) when() string {
	switch {
	case !g.known:
		return "not known"
	case g.gained == 0:
		return "never better than at first"
	}
	return "last gain after " + lookedAt(g.gained)
}

// courseRow draws the line of an aim.
func (s *sheet) courseRow(across scale, name, unit string, g *course) {
	up := scale{low: -6, high: 106, ticks: []float64{0, 50, 100}, text: func(v float64) string { return decimal(v, 0) + " %" }}
	c := s.rowChart(across, up, 50, "", name+", best so far", g.when())
	if !g.known {
		return
	}
	title := name + ": " + g.when()
	if g.gained > 0 {
		first, last := apart(g.first, g.last, unit)
		title = name + " from " + first + " to " + last + ", " + g.when()
	}
	c.along(s, g.looked, g.parts, pen(with, 2.2), title)
	if g.gained > 0 {
		s.add(circle{c.at(float64(g.gained), 100), spotRadius}, pen(with, normal).filled(paper))
	}
}

// frontRow draws the number of candidates of the front.
func (s *sheet) frontRow(across scale, steps []CourseStep) {
	var looked, counts []float64
	most := 1.0
	for i, t := range steps {
		n := math.Max(0, float64(t.Front))
		if i > 0 {
			looked, counts = append(looked, float64(t.Looked)), append(counts, counts[len(counts)-1])
		}
		looked, counts = append(looked, float64(t.Looked)), append(counts, n)
		most = math.Max(most, n)
	}
	up := scale{low: -0.06 * most, high: 1.06 * most, ticks: []float64{0, most}, text: func(v float64) string { return tickText(v, 0) }}
	c := s.rowChart(across, up, 60, "candidates looked at", "Candidates of the front", "at the end "+strconv.Itoa(steps[len(steps)-1].Front))
	c.along(s, looked, counts, pen(third, 2.2), "candidates of the front")
}

// rowChart is a low chart with what it shows above it at the left, and what came of it at the right.
func (s *sheet) rowChart(across, up scale, height float64, acrossName, name, came string) *chart {
	cut, full := fitted(name, column-2*margin-textWidth(came, sizeSmall, false)-16, sizeSmall, true)
	y := s.bottom + 34
	s.text(label{at: point{margin, y - 13}, text: cut, size: sizeSmall, bold: true, paint: ink, title: full})
	s.text(label{at: point{column - margin, y - 13}, text: came, size: sizeSmall, align: end, paint: soft})
	return s.newChart(y, height, across, up, acrossName, "")
}

func (s *sheet) courseTable(aims []Criterion, courses []course) {
	var rows [][]string
	for k, a := range aims {
		g := &courses[k]
		row := []string{named(a.Name), unknown, unknown, unknown}
		if g.known {
			row[1], row[2] = apart(g.first, g.last, a.Unit)
			row[3] = "none"
		}
		if g.gained > 0 {
			row[3] = lookedAt(g.gained)
		}
		rows = append(rows, row)
	}
	s.tableBelow([]string{"", "at first", "at the end", "last gain after"}, rows)
}

// sayCourse says what became better, from what to what and when.
func (s *sheet) sayCourse(aims []Criterion, courses []course, steps []CourseStep) {
	for k, a := range aims {
		g := &courses[k]
		switch {
		case !g.known:
			s.say(named(a.Name) + ": not known.")
		case g.gained == 0:
			s.say(named(a.Name) + ": " + valued(g.last, a.Unit) + " from the first candidates on, no gain since.")
		default:
			first, last := apart(g.first, g.last, a.Unit)
			s.say(named(a.Name) + ": from " + first + " to " + last + ", the last gain after " + lookedAt(g.gained) + ".")
		}
	}
	s.say("The front had " + lookedAt(uint64(max(0, steps[0].Front))) + " after the first generation and has " + lookedAt(uint64(max(0, steps[len(steps)-1].Front))) + " at the end.")
	s.note("0 % is the best of the first generation that kept a candidate, 100 % the best at the end; the ring is the last gain.")
}
