package draw

import (
	"strconv"

	"crankwright/num"
)

// WorthAt is a value of a criterion and what it is worth.
type WorthAt struct {
	Name  string  // of the alternative; not read at corners of the function
	Value float64 // in the unit of the criterion
	Worth float64 // 0 to 1 [1]
}

// ValueFunction shows what each value of a criterion is worth, and where the alternatives stand.
//
//   - c: the criterion
//   - corners: of the function, by rising value; worth is linear between them and level outside
//   - list: the alternatives, numbered from 1 in this order
//
// Result [-], values in the unit of the criterion, worth from 0 to 1. Definition.
func ValueFunction(c Criterion, corners, list []WorthAt) Figure {
	c.Name = named(c.Name)
	s := newSheet("value-function-"+c.Name, "What "+unitIn(c.Name, c.Unit)+" is worth", nil)
	var at, worth []float64
	for _, p := range corners {
		if drawable(p.Value) && drawable(p.Worth) {
			at, worth = append(at, p.Value), append(worth, min(1, max(0, p.Worth)))
		}
	}
	if len(at) == 0 {
		return s.empty("There is no function to show")
	}
	all := append([]float64{}, at...)
	for _, p := range list {
		all = append(all, p.Value)
	}
	for _, b := range c.Limits {
		all = append(all, b.Value)
	}
	low, high := rangeOf(all)
	across := roomyScale(low, high)
	up := tightScale(-0.06, 1.06, 5)
	acrossName, _ := fitted(unitIn(c.Name, c.Unit), 300, sizeSmall, false)
	plot := s.newChart(s.bottom+30, 190, across, up, acrossName, "worth, 1 is best")
	s.boundsOf(plot, c, Criterion{})
	n := len(at) - 1
	plot.along(s, append(append([]float64{across.low}, at...), across.high), append(append([]float64{worth[0]}, worth...), worth[n]), pen(with, 2.2), "worth")
	var spots []spot
	var rows [][]string
	var words []string
	for i, p := range list {
		name := named(p.Name)
		rows = append(rows, []string{strconv.Itoa(i+1) + " " + name, knownValue(p.Value, c.Unit), twoPlaces(p.Worth)})
		if !drawable(p.Value) || !drawable(p.Worth) {
			continue
		}
		text := knownValue(p.Value, c.Unit) + " is worth " + twoPlaces(p.Worth)
		place := plot.at(p.Value, min(1, max(0, p.Worth)))
		s.group("alternative", strconv.Itoa(i+1)+" "+name+": "+text, "", func(in *scene) {
			in.line(point{place.x, plot.y + plot.h}, place, pen(soft, thin).in(dotted))
			in.add(circle{place, spotRadius}, pen(against, normal).filled(paper))
		})
		plot.places.keepLineFree(point{place.x, plot.y + plot.h}, place, 1.5)
		spots = append(spots, spot{place, i + 1, name})
		words = append(words, name+": "+text)
	}
	unnamed := plot.nameSpots(s, spots, s.boundNames(plot, c, Criterion{}))
	if len(rows) > 0 {
		s.tableBelow([]string{"", c.Name, "worth"}, rows)
	}
	if unnamed > 0 {
		s.note(num.Counted(unnamed, "dot has", "dots have") + " no room for a number in the picture; the table has them.")
	}
	s.sayFunction(c, at, worth)
	if len(words) > 0 {
		s.say(num.List(words, "and") + ".")
	}
	return s.figure()
}

// sayFunction says where the worth begins and ends to change.
func (s *sheet) sayFunction(c Criterion, at, worth []float64) {
	least, most := 0, 0
	for i := range at {
		if worth[i] < worth[least] {
			least = i
		}
		if worth[i] > worth[most] {
			most = i
		}
	}
	if worth[least] == worth[most] {
		s.say("Every value is worth " + twoPlaces(worth[0]) + ".")
		return
	}
	s.say("Worth goes from " + twoPlaces(worth[least]) + " at " + valued(at[least], c.Unit) + " to " + twoPlaces(worth[most]) + " at " + valued(at[most], c.Unit) + ".")
}
