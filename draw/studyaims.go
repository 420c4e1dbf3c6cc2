package draw

import (
	"math"
	"strconv"

	"crankwright/num"
)

// FrontLine is a candidate of a front with a value of every criterion.
type FrontLine struct {
	Number uint64
	Values []float64 // by criterion, in its unit
	Marked bool      // drawn above the others, with its number
}

// StudyAims shows the candidates of a front as lines across one upright axis for each criterion, better at the top.
//
//   - of: what was searched, such as the name of a study; may be empty
//   - aims: the criteria, two or more
//   - front: the candidates; marked ones, of which four can be told apart, are named
//
// Result [-], values in the units of the criteria. Definition.
func StudyAims(of string, aims []Criterion, front []FrontLine) Figure {
	s := newChoiceSheet("study-aims", "What the front gives up in what", of)
	if len(aims) < 2 || len(front) == 0 {
		return s.empty("There is nothing to show")
	}
	best, worst := make([]float64, len(aims)), make([]float64, len(aims))
	for k, a := range aims {
		var values []float64
		for _, l := range front {
			if k < len(l.Values) {
				values = append(values, l.Values[k])
			}
		}
		low, high := rangeOf(values)
		if best[k], worst[k] = low, high; !a.LowerIsBetter {
			best[k], worst[k] = high, low
		}
	}
	top, height := s.bottom+40, 210.0
	left, right := margin+26.0, column-margin-26
	across := func(k int) float64 { return left + (right-left)*float64(k)/float64(len(aims)-1) }
	at := func(k int, v float64) point {
		part := 0.0
		if worst[k] != best[k] {
			part = (v - best[k]) / (worst[k] - best[k])
		}
		return point{across(k), top + height*math.Min(1, math.Max(0, part))}
	}
	s.text(label{at: point{margin, top - 22}, text: "best", size: sizeSmall, bold: true, paint: third})
	for k := range aims {
		s.line(point{across(k), top}, point{across(k), top + height}, pen(soft, thin))
		s.text(label{at: point{across(k), top - 6}, text: strconv.Itoa(k + 1), size: sizeSmall, align: middle, paint: soft})
	}
	line := func(l FrontLine) (g polygon, ok bool) {
		g.open = true
		for k := range aims {
			if k >= len(l.Values) || !drawable(l.Values[k]) {
				return g, false
			}
			g.points = append(g.points, at(k, l.Values[k]))
		}
		return g, true
	}
	var keys []key
	s.group("front", "The front: "+num.Counted(len(front), "candidate", "candidates"), "", func(in *scene) {
		for _, l := range front {
			if g, ok := line(l); ok && !l.Marked {
				in.add(g, pen(steel, thin))
			}
		}
	})
	for _, l := range front {
		g, ok := line(l)
		if !ok || !l.Marked || len(keys) >= 4 {
			continue
		}
		look, name := lineLook(len(keys)), "no. "+strconv.FormatUint(l.Number, 10)
		s.titled(g, look, name)
		keys = append(keys, key{look: look, name: name})
	}
	s.bottom = top + height + 8
	s.legend(keys)
	var rows [][]string
	for k, a := range aims {
		direction := "more is better"
		if a.LowerIsBetter {
			direction = "less is better"
		}
		rows = append(rows, []string{strconv.Itoa(k+1) + " " + named(a.Name), knownValue(best[k], a.Unit), knownValue(worst[k], a.Unit)})
		s.say(named(a.Name) + ", " + direction + ": " + knownValue(best[k], a.Unit) + " to " + knownValue(worst[k], a.Unit) + ".")
	}
	s.tableBelow([]string{"", "best", "worst on the front"}, rows)
	return s.figure()
}
