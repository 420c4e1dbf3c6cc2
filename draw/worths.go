package draw

import (
	"math"
	"strconv"
)

// ScoreParts says what makes up the score of an alternative.
type ScoreParts struct {
	Name     string
	Parts    []float64 // weight times worth, one for each aim [1]
	Total    Spread    // their sum, from 5 to 95 % of the tries where that is known [1]
	RuledOut string    // why, in words; empty where it is not ruled out
}

// Worths shows what makes up the score of each alternative.
//
//	each part is the weight of an aim times the worth of the alternative in it
//
// with
//   - of: what is chosen, such as the name of a brief; may be empty
//   - aims: the names of the aims, in the order of the parts
//   - list: the alternatives, in the order in which they shall stand
//   - best: the score of what would be best in every aim, such as 1 or 100 [1]
//
// Result [-]. Parts below zero are drawn as nothing. Definition.
func Worths(of string, aims []string, list []ScoreParts, best float64) Figure {
	const bar = 16.
	s := newChoiceSheet("worths", "What makes up each score", of)
	if len(list) == 0 || len(aims) == 0 {
		return s.empty("There are no scores to show")
	}
	row, ranges := 25., false
	var names, totals []string
	most, value := 0.0, 0.0
	for i := range list {
		a := &list[i]
		names = append(names, named(a.Name))
		text := knownValue(roundTo(a.Total.Value, 1e-3), "")
		if a.Total.ranged() {
			text = twoPlaces(a.Total.Value) + " (" + twoPlaces(a.Total.Low) + "–" + twoPlaces(a.Total.High) + ")"
			most, ranges, row = math.Max(most, a.Total.High), true, 31
		} else if drawable(a.Total.Value) {
			text = twoPlaces(a.Total.Value)
		}
		if a.RuledOut != "" {
			text = "ruled out"
		}
		totals = append(totals, text)
		value = math.Min(130, math.Max(value, textWidth(text, sizeSmall, true)))
		whole := 0.0
		for k := range aims {
			whole += share(a.Parts, k)
		}
		most = math.Max(most, whole)
	}
	nameWidth := nameColumn(names, 130)
	left, right := margin+nameWidth+8, column-margin-value-10
	axis := tightScale(0, math.Max(1.02*most, 0.01), 4)
	top := s.bottom + 14
	bottom := top + row*float64(len(list))
	at := func(v float64) float64 { return left + (right-left)*math.Min(1, math.Max(0, axis.part(v))) }
	last := math.Inf(-1)
	for _, v := range axis.ticks {
		s.line(point{at(v), top}, point{at(v), bottom + 2}, pen(rule, thin))
		l := label{at: point{at(v), bottom + 16}, text: axis.text(v), size: sizeSmall, align: middle, paint: soft}
		if b := boxOf(l); b.x0 > last {
			s.text(l)
			last = b.x1
		}
	}
	for i := range list {
		a := &list[i]
		y := top + row*float64(i) + 3
		cut, full := fitted(names[i], nameWidth, sizeSmall, false)
		s.text(label{at: point{margin, y + 12}, text: cut, size: sizeSmall, paint: ink, title: full})
		sum := 0.0
		for k, aim := range aims {
			part := share(a.Parts, k)
			x, w := at(sum), at(sum+part)-at(sum)
			sum += part
			if w < 0.05 {
				continue
			}
			s.group("part", names[i]+", "+named(aim)+": "+twoPlaces(part), "", func(in *scene) {
				p, how := partLook(k)
				in.tile(x, y, w, bar, p, how)
				in.inTile(x, y, w, bar, how, strconv.Itoa(k+1))
			})
		}
		if a.Total.ranged() {
			s.whisker(at(a.Total.Low), at(a.Total.High), y+bar+5)
		}
		text, full := fitted(totals[i], value, sizeSmall, true)
		s.text(label{at: point{column - margin, y + 12}, text: text, size: sizeSmall, bold: true, align: end, paint: ink, title: full})
	}
	s.line(point{left, top}, point{left, bottom}, pen(soft, thin))
	s.bottom = bottom + 20
	var keys []key
	for k, aim := range aims {
		keys = append(keys, key{name: strconv.Itoa(k+1) + " " + named(aim), shape: func(in *scene, at point) {
			p, how := partLook(k)
			in.tile(at.x-13, at.y-6, 26, 12, p, how)
		}})
	}
	s.legend(keys)
	if ranges {
		s.note("The line below a bar: from 5 to 95 % of the tries with other weights and estimates.")
	}
	s.sayWorths(aims, names, list, best)
	return s.figure()
}

// whisker draws a range as a line with ends.
func (s *sheet) whisker(from, to, y float64) {
	s.line(point{from, y}, point{to, y}, pen(ink, normal))
	for _, x := range []float64{from, to} {
		s.line(point{x, y - 3.5}, point{x, y + 3.5}, pen(ink, normal))
	}
}

// twoPlaces writes a number of 0 to 1 with two decimals.
func twoPlaces(v float64) string {
	if !drawable(v) {
		return unknown
	}
	if math.Abs(v) >= 100 {
		return digits(v)
	}
	if math.Abs(v) >= 2 { // points of 100
		return signed(strconv.FormatFloat(v, 'f', 1, 64))
	}
	return signed(strconv.FormatFloat(math.Round(100*v)/100+0, 'f', 2, 64))
}

// sayWorths says who scores highest and from what, and who comes next.
func (s *sheet) sayWorths(aims, names []string, list []ScoreParts, best float64) {
	first, second := -1, -1
	for i := range list {
		v := list[i].Total.Value
		switch {
		case list[i].RuledOut != "" || !drawable(v):
		case first < 0 || v > list[first].Total.Value:
			first, second = i, first
		case second < 0 || v > list[second].Total.Value:
			second = i
		}
	}
	if first >= 0 {
		a := &list[first]
		s.say(names[first] + " scores highest, " + twoPlaces(a.Total.Value) + " of " + digits(best) + mostOf(aims, a.Parts) + ".")
	}
	if second >= 0 {
		a, b := list[first].Total, list[second].Total
		text := names[second] + " is next with " + twoPlaces(b.Value)
		switch {
		case twoPlaces(a.Value) == twoPlaces(b.Value):
			text = names[second] + " scores the same as far as can be shown"
		case a.ranged() && b.ranged() && b.High >= a.Low:
			text += "; their ranges overlap"
		}
		s.say(text + ".")
	}
	for i := range list {
		switch {
		case list[i].RuledOut != "":
			s.say(names[i] + " is ruled out: " + list[i].RuledOut + ".")
		case i != first && i != second:
			s.say(names[i] + ": " + twoPlaces(list[i].Total.Value) + ".")
		}
	}
}

// mostOf names the aim that gives the most.
func mostOf(aims []string, parts []float64) string {
	best := 0
	for k := range aims {
		if share(parts, k) > share(parts, best) {
			best = k
		}
	}
	if !(share(parts, best) > 0) {
		return ""
	}
	return ", the most from " + named(aims[best]) + " (" + twoPlaces(parts[best]) + ")"
}
