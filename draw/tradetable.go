package draw

import (
	"slices"
	"strconv"

	"crankwright/num"
)

// tradeLegend explains the dots that occur.
func (s *sheet) tradeLegend(list []TradePoint, onFront []int) {
	var keys []key
	step := func(in *scene, at point) {
		in.add(polygon{points: []point{{at.x - 13, at.y}, {at.x, at.y}, {at.x, at.y + 5}, {at.x + 13, at.y + 5}}, open: true}, pen(with, normal))
	}
	dot := func(name string, ruledOut, first bool) {
		keys = append(keys, key{name: name, shape: func(in *scene, at point) {
			if first {
				step(in, at)
			}
			tradeDot(in, at, ruledOut, first)
		}})
	}
	if len(onFront) > 0 {
		dot("on the front", false, true)
	}
	behind, out, ranges := false, false, false
	for i := range list {
		p := &list[i]
		if !p.drawable() {
			continue
		}
		out = out || p.RuledOut != ""
		behind = behind || p.RuledOut == "" && !slices.Contains(onFront, i)
		ranges = ranges || p.X.ranged() || p.Y.ranged()
	}
	if behind {
		dot("behind the front", false, false)
	}
	if out {
		dot("ruled out", true, false)
	}
	if ranges {
		keys = append(keys, key{name: "range from estimates", shape: func(in *scene, at point) {
			in.line(point{at.x - 10, at.y}, point{at.x + 10, at.y}, pen(soft, thin))
			for _, side := range []float64{-10, 10} {
				in.line(point{at.x + side, at.y - 3}, point{at.x + side, at.y + 3}, pen(soft, thin))
			}
		}})
	}
	s.legend(keys)
}

// tradeTable lists the alternatives with their values.
func (s *sheet) tradeTable(x, y Criterion, list []TradePoint, onFront []int) {
	var rows [][]string
	for i := range list {
		p := &list[i]
		state := "behind"
		switch {
		case p.RuledOut != "":
			state = "ruled out"
		case !p.drawable():
			state = unknown
		case slices.Contains(onFront, i):
			state = "front"
		}
		rows = append(rows, []string{
			strconv.Itoa(i+1) + " " + named(p.Name), knownValue(p.X.Value, x.Unit), knownValue(p.Y.Value, y.Unit), state,
		})
	}
	s.tableBelow([]string{"", x.Name, y.Name, ""}, rows)
}

// knownValue writes a value that has a place on paper, and no other.
func knownValue(v float64, unit string) string {
	if !drawable(v) {
		return unknown
	}
	return valued(v, unit)
}

// sayTrade says which alternatives stand on the front, and which do not.
func (s *sheet) sayTrade(x, y Criterion, list []TradePoint, onFront []int, shown int) {
	better := func(c Criterion) string {
		words := directionWords(c)
		for _, b := range c.Limits {
			if drawable(b.Value) {
				words += ", " + b.text(c.Unit)
			}
		}
		return words
	}
	s.say(better(x) + "; " + better(y) + ".")
	var first, behind []string
	for _, i := range onFront {
		first = append(first, named(list[i].Name)+" ("+valued(list[i].X.Value, x.Unit)+", "+valued(list[i].Y.Value, y.Unit)+")")
	}
	switch {
	case len(first) == 0:
		s.say("Nothing is left that could stand on the front.")
	case shown == 1:
		s.say(first[0] + " is the only one.")
	case len(first) == 1:
		s.say(first[0] + " is best in both.")
	default:
		s.say("On the front, from the best in " + x.Name + " to the best in " + y.Name + ": " + num.List(first, "and") + ".")
	}
	for i := range list {
		p := &list[i]
		switch {
		case p.RuledOut != "":
			s.say(named(p.Name) + " is ruled out: " + p.RuledOut + ".")
		case !p.drawable():
			s.say(named(p.Name) + " has no values.")
		case !slices.Contains(onFront, i):
			behind = append(behind, named(p.Name)+" by "+beatenBy(x, y, list, onFront, i))
		}
	}
	if len(behind) > 0 {
		s.say("Beaten in one and not better in the other: " + num.List(behind, "and") + ".")
	}
}

// beatenBy names the first on the front that beats an alternative.
func beatenBy(x, y Criterion, list []TradePoint, onFront []int, i int) string {
	for _, k := range onFront {
		if beats(x, y, &list[k], &list[i]) {
			return named(list[k].Name)
		}
	}
	return "another"
}
