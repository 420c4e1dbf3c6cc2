package draw

import (
	"math"

	"crankwright/num"
)

// RankShares says how often an alternative takes each rank.
type RankShares struct {
	Name   string
	Shares []float64 // of rank 1, 2, …; together 1

	RuledOut string // why, in words; empty where it is ranked
}

// rankLook returns the look of a rank: the first stands out, the last fade.
func rankLook(rank int) (paint, pattern) {
	switch rank {
	case 1:
		return with, plainFill
	case 2:
		return with, slanted
	case 3:
		return soft, striped
	}
	return soft, hollow
}

// RankAcceptability shows how often each alternative takes each rank, over all weights and values that are possible.
//
//   - of: what is chosen, such as the name of a brief; may be empty
//   - list: the alternatives, in the order in which they shall stand
//
// Result [-], shares in [%]. Shares that add up to more than 1 are drawn as parts of their sum. Definition.
func RankAcceptability(of string, list []RankShares) Figure {
	const row, bar, value = 24., 16., 62.
	s := newChoiceSheet("rank-acceptability", "How often each alternative takes each rank", of)
	ranks := 0
	var names []string
	for _, a := range list {
		ranks = max(ranks, len(a.Shares))
		names = append(names, named(a.Name))
	}
	if ranks == 0 {
		return s.empty("There are no ranks to show")
	}
	nameWidth := nameColumn(names, 150)
	left, right := margin+nameWidth+8, column-margin-value
	s.bottom += 18
	s.text(label{at: point{column - margin, s.bottom}, text: "ranks first", size: sizeSmall, align: end, paint: soft})
	top := s.bottom + 4
	bottom := top + row*float64(len(list))
	for _, f := range []float64{0, 0.25, 0.5, 0.75, 1} {
		x := left + f*(right-left)
		s.line(point{x, top}, point{x, bottom + 4}, pen(rule, thin))
		s.text(label{at: point{x, bottom + 18}, text: digits(100*f) + " %", size: sizeSmall, align: middle, paint: soft})
	}
	for i, a := range list {
		y := top + row*float64(i) + 3
		cut, full := fitted(names[i], nameWidth, sizeSmall, false)
		s.text(label{at: point{margin, y + 12}, text: cut, size: sizeSmall, paint: ink, title: full})
		if a.RuledOut != "" {
			l := label{at: point{left + 4, y + 12}, size: sizeSmall, paint: soft, halo: true}
			l.text, l.title = fitted("ruled out: "+a.RuledOut, right-left-8, sizeSmall, false)
			s.text(l)
			continue
		}
		whole := 0.0
		for k := range a.Shares {
			whole += share(a.Shares, k)
		}
		whole = math.Max(1, whole)
		x := left
		for k := range a.Shares {
			part := share(a.Shares, k) / whole
			w := part * (right - left)
			if w < 0.05 {
				continue
			}
			s.group("share", names[i]+": "+ordinal(k+1)+" in "+percent(part), "", func(in *scene) {
				p, how := rankLook(k + 1)
				in.tile(x, y, w, bar, p, how)
				in.inTile(x, y, w, bar, how, ordinal(k+1)+" "+percent(part), ordinal(k+1))
			})
			x += w
		}
		s.text(label{at: point{column - margin, y + 12}, text: percent(share(a.Shares, 0) / whole), size: sizeSmall, bold: true, align: end, paint: ink})
	}
	s.bottom = bottom + 24
	keys := []key{{name: "1st"}, {name: "2nd"}, {name: "3rd"}, {name: "4th and later, in this order"}}
	for k := range keys {
		keys[k].shape = func(in *scene, at point) {
			p, how := rankLook(k + 1)
			in.tile(at.x-13, at.y-6, 26, 12, p, how)
		}
	}
	s.legend(keys[:min(ranks, 4)])
	s.sayRanks(names, list)
	return s.figure()
}

// sayRanks says who ranks first how often.
func (s *sheet) sayRanks(names []string, list []RankShares) {
	most := 0.0
	for _, a := range list {
		if a.RuledOut == "" {
			most = math.Max(most, share(a.Shares, 0))
		}
	}
	var best, others, never, out []string
	for i, a := range list {
		switch f := share(a.Shares, 0); {
		case a.RuledOut != "":
			out = append(out, names[i]+" is ruled out: "+a.RuledOut+".")
		case f > 0 && percent(f) == percent(most):
			best = append(best, names[i])
		case f > 0:
			others = append(others, names[i]+" in "+percent(f))
		default:
			never = append(never, names[i])
		}
	}
	switch {
	case len(best) == 0:
		s.say("None of them ranks first.")
	case len(best) > 1:
		s.say(num.List(best, "and") + " rank first equally often, each in " + percent(most) + " of all cases.")
	case most > 0.9999:
		s.say(best[0] + " ranks first in all cases.")
	default:
		s.say(best[0] + " ranks first most often, in " + percent(most) + " of all cases.")
	}
	if len(others) > 0 {
		s.say("Also first: " + num.List(others, "and") + ".")
	}
	if len(never) > 0 && len(best) > 0 {
		s.say("Never first: " + num.List(never, "and") + ".")
	}
	s.say(out...)
}
