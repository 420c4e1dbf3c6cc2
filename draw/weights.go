package draw

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"crankwright/num"
)

// AimRange is an aim with the weights that the brief allows it.
type AimRange struct {
	Name      string
	Low, High float64 // share of all weights [1]; equal where the weight is fixed
}

// CentralWeight says with which weights an alternative is first.
type CentralWeight struct {
	Name    string
	First   float64   // how often it is first [1]
	Weights []float64 // the mean of the weights with which it is, one for each aim [1]
}

// mostCentral is how many alternatives a row tells apart.
const mostCentral = 8

// CentralWeights shows, for every aim, the mean weight with which each alternative is first, within the range that the
// brief allows.
//
//   - of: what is chosen, such as the name of a brief; may be empty
//   - aims: with their ranges
//   - list: the alternatives that can be first; those that never are, are left out, and beyond eight the rarest
//
// Result [-], weights in [%] of all. Definition.
func CentralWeights(of string, aims []AimRange, list []CentralWeight) Figure {
	s := newChoiceSheet("central-weights", "With which weights each alternative is first", of)
	var kept []CentralWeight
	for _, a := range list {
		if drawable(a.First) && a.First > 0 {
			a.Name = named(a.Name)
			kept = append(kept, a)
		}
	}
	if len(kept) == 0 || len(aims) == 0 {
		return s.empty("There is no alternative that can be first")
	}
	slices.SortStableFunc(kept, func(a, b CentralWeight) int { return -cmp.Compare(a.First, b.First) })
	left := len(kept) - mostCentral
	kept = kept[:min(len(kept), mostCentral)]
	most := 0.05
	for k, a := range aims {
		if drawable(a.High) {
			most = math.Max(most, a.High)
		}
		for _, c := range kept {
			most = math.Max(most, share(c.Weights, k))
		}
	}
	s.weightRows(aims, kept, evenScale(0, 100*most, 5))
	keys := []key{{name: "allowed by the brief", shape: func(in *scene, at point) { in.rect(at.x-13, at.y-4, 26, 8, pen(soft, thin).filled(steel)) }}}
	for i, a := range kept {
		name, _ := fitted(a.Name, 200, sizeSmall, false)
		keys = append(keys, key{name: strconv.Itoa(i+1) + " " + name + ", first in " + percent(a.First), shape: func(in *scene, at point) { weightMark(in, at, i) }})
	}
	s.legend(keys)
	if left > 0 {
		s.note(num.Counted(left, "more alternative", "more alternatives") + " can be first, each in no more than " + percent(kept[mostCentral-1].First) + " of all cases.")
	}
	s.sayWeights(aims, kept)
	return s.figure()
}

// weightRows draws a row for every aim: the range as a bar, the weights as marks.
func (s *sheet) weightRows(aims []AimRange, kept []CentralWeight, axis scale) {
	const row = 46.
	x0, x1 := margin+6, column-margin-6
	top := s.bottom + 12
	bottom := top + row*float64(len(aims))
	at := func(weight float64) float64 { return x0 + (x1-x0)*math.Min(1, math.Max(0, axis.part(100*weight))) }
	for _, v := range axis.ticks {
		s.line(point{at(v / 100), top}, point{at(v / 100), bottom}, pen(rule, thin))
		l := label{at: point{at(v / 100), bottom + 16}, text: axis.text(v) + " %", size: sizeSmall, align: middle, paint: soft}
		if b := boxOf(l); b.x1 > column {
			l.at.x, l.align = column-4, end
		}
		s.text(l)
	}
	for k, aim := range aims {
		name := named(aim.Name)
		y := top + row*float64(k)
		low, high := aim.Low, aim.High
		known := drawable(low) && drawable(high) && high >= low && high >= 0
		text := "no range given"
		if known {
			text = "allowed: " + percentRange(low, high)
		}
		cut, full := fitted(name, x1-x0-textWidth(text, sizeSmall, false)-16, sizeSmall, true)
		s.text(label{at: point{margin, y + 14}, text: cut, size: sizeSmall, bold: true, paint: ink, title: full, halo: true})
		s.text(label{at: point{column - margin, y + 14}, text: text, size: sizeSmall, align: end, paint: soft, halo: true})
		mid := y + 26.
		s.line(point{x0, mid}, point{x1, mid}, pen(soft, thin))
		if known {
			w := math.Max(1.5, at(high)-at(low))
			s.titled(rectangle(at(low), mid-4, w, 8), pen(soft, thin).filled(steel), name+": "+text)
		}
		places := placer{limit: box{0, mid + 4, column, y + row + 1}}
		for i, a := range kept {
			v := share(a.Weights, k)
			s.group("weight", a.Name+": "+name+" "+percent(v), "", func(in *scene) { weightMark(in, point{at(v), mid}, i) })
		}
		s.weightNumbers(k, mid+17, kept, at, &places)
	}
	s.bottom = bottom + 20
}

// weightNumbers writes below each mark whose it is; neighbours share a text.
func (s *sheet) weightNumbers(k int, y float64, kept []CentralWeight, at func(float64) float64, places *placer) {
	order := make([]int, len(kept))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(share(kept[a].Weights, k), share(kept[b].Weights, k)) })
	for i := 0; i < len(order); {
		texts := []string{strconv.Itoa(order[i] + 1)}
		from := at(share(kept[order[i]].Weights, k))
		j := i + 1
		for ; j < len(order); j++ {
			// the texts so far and one more must end before the next mark that stands alone
			if at(share(kept[order[j]].Weights, k))-from > 6+textWidth(strings.Join(texts, ", ")+", 8", sizeSmall, false) {
				break
			}
			texts = append(texts, strconv.Itoa(order[j]+1))
		}
		to := at(share(kept[order[j-1]].Weights, k))
		l := label{text: strings.Join(texts, ", "), size: sizeSmall, align: middle, paint: ink, halo: true}
		x := math.Min(column-6-textWidth(l.text, sizeSmall, false)/2, (from+to)/2)
		var tries []point
		for d := range 40 {
			tries = append(tries, point{x + 3*float64(d), y}, point{x - 3*float64(d), y})
		}
		places.try(&s.scene, l, tries)
		i = j
	}
}

func percentRange(low, high float64) string {
	if percent(low) == percent(high) {
		return percent(low)
	}
	return strings.TrimSuffix(percent(low), " %") + " to " + percent(high)
}

// weightMark is the mark of one of eight alternatives: a shape and a colour.
func weightMark(in *scene, at point, i int) {
	l := pen(paper, thin).filled(bankPaint(i))
	if i >= 4 {
		l = pen(bankPaint(i), normal).filled(paper)
	}
	const r = 5.2
	up := func(p ...point) polygon {
		for k := range p {
			p[k] = at.plus(p[k].times(r))
		}
		return polygon{points: p}
	}
	switch i % 4 {
	case 0:
		in.add(circle{at, r}, l)
	case 1:
		in.add(up(point{-0.9, -0.9}, point{0.9, -0.9}, point{0.9, 0.9}, point{-0.9, 0.9}), l)
	case 2:
		in.add(up(point{0, -1.15}, point{1.1, 0.85}, point{-1.1, 0.85}), l)
	default:
		in.add(up(point{0, -1.25}, point{1.25, 0}, point{0, 1.25}, point{-1.25, 0}), l)
	}
}

// sayWeights says what each alternative needs to be first.
func (s *sheet) sayWeights(aims []AimRange, kept []CentralWeight) {
	for _, a := range kept {
		order := make([]int, len(aims))
		for k := range order {
			order[k] = k
		}
		slices.SortStableFunc(order, func(i, j int) int { return -cmp.Compare(share(a.Weights, i), share(a.Weights, j)) })
		var words []string
		for _, k := range order[:min(3, len(order))] {
			words = append(words, named(aims[k].Name)+" "+percent(share(a.Weights, k)))
		}
		s.say(a.Name + " is first in " + percent(a.First) + " of all cases, on average with " + num.List(words, "and") + ".")
	}
	if len(kept) < 2 {
		return
	}
	widest := 0
	gap := func(k int) float64 { return math.Abs(share(kept[0].Weights, k) - share(kept[1].Weights, k)) }
	for k := range aims {
		if gap(k) > gap(widest) {
			widest = k
		}
	}
	if gap(widest) < 0.005 {
		s.say("The weights do not tell " + kept[0].Name + " from " + kept[1].Name + ".")
		return
	}
	more := kept[0].Name
	if share(kept[1].Weights, widest) > share(kept[0].Weights, widest) {
		more = kept[1].Name
	}
	s.say("Of the first two, " + more + " needs more weight on " + named(aims[widest].Name) + ".")
}
