package draw

import (
	"math"
	"slices"
	"strconv"

	"crankwright/num"
)

// Place is a candidate between two criteria.
type Place struct{ X, Y float64 }

// FrontPlace is a candidate of a front, between two criteria.
type FrontPlace struct {
	Number uint64 // of the candidate
	X, Y   float64
}

// mostFrontNamed is how many candidates of a front stand in the table below.
const mostFrontNamed = 8

// StudyFront shows all candidates that a search kept between two criteria, and those of the front on top. Where there are
// only these two criteria the front is joined by the staircase on whose far side every candidate would lose to one of it.
//
//   - of: what was searched, such as the name of a study; may be empty
//   - x, y: the criteria, with the direction of better and limits
//   - kept: the candidates, or some of them; any number: those that would lie on each other are one mark
//   - all: how many there are in all [1]
//   - front: those that no other beats in all criteria
//   - two: there are no other criteria
//
// Result [-], values in the units of the criteria. Definition.
func StudyFront(of string, x, y Criterion, kept []Place, all uint64, front []FrontPlace, two bool) Figure {
	x.Name, y.Name = named(x.Name), named(y.Name)
	s := newChoiceSheet("study-front-"+x.Name+"-"+y.Name, num.Capital(y.Name+" against "+x.Name), of)
	var xs, ys []Spread
	var shown []FrontPlace
	add := func(x, y float64) bool {
		if !drawable(x) || !drawable(y) {
			return false
		}
		xs, ys = append(xs, Spread{Value: x}), append(ys, Spread{Value: y})
		return true
	}
	for _, p := range front {
		if add(p.X, p.Y) {
			shown = append(shown, p)
		}
	}
	for _, p := range kept {
		add(p.X, p.Y)
	}
	if len(xs) == 0 {
		return s.empty("There is no candidate of which both are known")
	}
	upName, _ := fitted(unitIn(y.Name, y.Unit), 300, sizeSmall, false)
	acrossName, _ := fitted(unitIn(x.Name, x.Unit), 280, sizeSmall, false)
	c := s.newChart(s.bottom+34, 290, criterionScale(x, xs), criterionScale(y, ys), acrossName, upName)
	s.betterArrows(c, x, y, acrossName, upName)
	s.boundsOf(c, x, y)
	s.cloud(c, kept)
	if two {
		s.frontSteps(c, x, y, shown)
	}
	s.group("front", "The front: "+num.Counted(len(shown), "candidate", "candidates"), "", func(in *scene) {
		r := spotRadius
		if len(shown) > 60 {
			r = 2.6
		}
		for _, p := range shown {
			in.add(circle{c.at(p.X, p.Y), r}, pen(with, normal).filled(with))
		}
	})
	s.boundNames(c, x, y)
	keys := []key{{name: "on the front", shape: func(in *scene, at point) { in.add(circle{at, spotRadius}, pen(with, normal).filled(with)) }}}
	if len(kept) > 0 {
		keys = append(keys, key{name: "kept, and beaten by one of them", shape: func(in *scene, at point) {
			for i := range 3 {
				in.add(rectangle(at.x-6+5*float64(i), at.y-1.5, 3, 3), solid(steel))
			}
		}})
	}
	s.legend(keys)
	s.frontTable(x, y, shown)
	s.say(strconv.FormatUint(all, 10)+" candidates were kept, "+strconv.Itoa(len(front))+" of them are on the front.", directionWords(x)+"; "+directionWords(y)+".")
	if n := uint64(len(kept)); n > 0 && n < all {
		s.note("The picture has " + strconv.FormatUint(n, 10) + " of the " + strconv.FormatUint(all, 10) + " candidates, spread evenly.")
	}
	return s.figure()
}

func directionWords(c Criterion) string {
	if c.LowerIsBetter {
		return c.Name + ", lower is better"
	}
	return c.Name + ", higher is better"
}

// cloudCell is how large the marks of a cloud are.
const cloudCell = 3.0

// cloud draws candidates as marks on a grid: those that would lie on each other are one, and rows of them one shape.
func (s *sheet) cloud(c *chart, kept []Place) {
	type place struct{ row, column int }
	taken := map[place]bool{}
	rows, columns := int(c.h/cloudCell), int(c.w/cloudCell)
	for _, p := range kept {
		if !drawable(p.X) || !drawable(p.Y) {
			continue
		}
		at := c.at(p.X, p.Y)
		row, column := int((at.y-c.y)/cloudCell), int((at.x-c.x)/cloudCell)
		taken[place{max(0, min(rows-1, row)), max(0, min(columns-1, column))}] = true
	}
	if len(taken) == 0 {
		return
	}
	s.group("kept", "Candidates that were kept", "", func(in *scene) {
		for row := range rows {
			for column := 0; column < columns; column++ {
				if !taken[place{row, column}] {
					continue
				}
				from := column
				for column+1 < columns && taken[place{row, column + 1}] {
					column++
				}
				in.add(rectangle(c.x+cloudCell*float64(from), c.y+cloudCell*float64(row), cloudCell*float64(column-from+1)-0.6, cloudCell-0.6), solid(steel))
			}
		}
	})
}

// frontSteps joins the front of two criteria.
func (s *sheet) frontSteps(c *chart, x, y Criterion, front []FrontPlace) {
	var list []TradePoint
	for _, p := range front {
		list = append(list, TradePoint{X: Spread{Value: p.X}, Y: Spread{Value: p.Y}})
	}
	order := make([]int, len(list))
	for i := range order {
		order[i] = i
	}
	bestFirst(x, list, order)
	s.staircase(c, x, y, list, order)
}

// frontTable lists some candidates of a front: the best in x, the best in y, and some between, evenly along x.
func (s *sheet) frontTable(x, y Criterion, front []FrontPlace) {
	if len(front) == 0 {
		return
	}
	sorted := slices.Clone(front)
	slices.SortStableFunc(sorted, func(a, b FrontPlace) int {
		switch {
		case a.X == b.X && a.Y == b.Y:
			return 0
		case a.X < b.X || a.X == b.X && a.Y < b.Y:
			return -1
		}
		return 1
	})
	n := min(len(sorted), mostFrontNamed)
	var rows [][]string
	for i := range n {
		at := 0
		if n > 1 {
			at = int(math.Round(float64(i) * float64(len(sorted)-1) / float64(n-1)))
		}
		p := sorted[at]
		rows = append(rows, []string{"no. " + strconv.FormatUint(p.Number, 10), knownValue(p.X, x.Unit), knownValue(p.Y, y.Unit)})
	}
	s.tableBelow([]string{"", x.Name, y.Name}, rows)
	if len(sorted) > n {
		s.note(strconv.Itoa(n) + " of the " + strconv.Itoa(len(sorted)) + " candidates of the front, from one end to the other.")
	}
}
