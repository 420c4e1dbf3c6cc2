package draw

import (
	"math"
	"strings"

	"crankwright/num"
)

// Flip is an input or a weight and what would have to become of it for another alternative to lead.
type Flip struct {
	Name      string
	Unit      string  // in which its values are given; "%" for weights
	Now       float64 // the present value
	Low, High float64 // between which it may lie
	At        []Lead  // where another takes the lead; empty where none does

	BriefLow, BriefHigh float64 // between which the brief lets it lie; BriefHigh is not above BriefLow where it says nothing
}

// Lead is a value from which on an alternative leads.
type Lead struct {
	Value float64
	Who   string
}

// flipLine is the height of a line of text in a row of flips.
const flipLine = 16.

// Flips shows what would give another alternative the lead: for each input or weight its possible range, where it stands
// and how far it would have to go.
//
//   - leader: who leads now
//   - list: the inputs and weights, in the order in which they shall stand
//
// Result [-], values in their own units. Values outside the range widen it. Definition.
func Flips(leader string, list []Flip) Figure {
	const row = 60.
	leader = named(leader)
	s := newSheet("flips", "What would take the lead from "+leader, nil)
	var firm, missing []string
	briefed := false
	nearest, least, shown := "", math.Inf(1), 0
	for _, f := range list {
		f = f.clean()
		switch {
		case !drawable(f.Now):
			missing = append(missing, f.Name)
			continue
		case len(f.At) == 0:
			firm = append(firm, f.Name)
			continue
		}
		shown++
		briefed = briefed || f.briefed()
		low, high := f.ends()
		s.flipRow(&f, low, high, s.bottom+6)
		s.bottom += row + flipLine*float64(len(f.At)-1)
		for _, l := range f.At {
			from, to := apart(f.Now, l.Value, f.Unit)
			text := f.Name + " would have to go from " + from + " to " + to + " for " + l.Who + " to lead"
			switch {
			case !f.briefed():
			case l.Value >= f.BriefLow && l.Value <= f.BriefHigh:
				text += ", which the brief allows"
			default:
				text += ", beyond what the brief allows"
			}
			if d := math.Abs(l.Value-f.Now) / math.Max(high-low, nothing); d < least {
				nearest, least = f.Name, d
			}
			s.say(text + ".")
		}
	}
	if len(missing) > 0 {
		s.note("Without a present value: " + num.List(missing, "and") + ".")
	}
	if shown == 0 && len(firm) == 0 {
		return s.empty("There is nothing that could be varied")
	}
	if shown == 0 {
		s.note("None of these, alone and within its range, would take the lead from " + leader + ": " + num.List(firm, "and") + ".")
		return s.figure()
	}
	s.bottom += 6
	s.flipKeys(briefed)
	s.desc = append([]string{"Nearest to a change: " + nearest + ", by " + percent(least) + " of its range."}, s.desc...)
	if len(firm) > 0 {
		s.note("These, alone and within their ranges, would not take the lead from " + leader + ": " + num.List(firm, "and") + ".")
	}
	return s.figure()
}

// clean returns a flip with names and without values that have no place.
func (f Flip) clean() Flip {
	f.Name = named(f.Name)
	var kept []Lead
	for _, l := range f.At {
		if drawable(l.Value) {
			kept = append(kept, Lead{l.Value, named(l.Who)})
		}
	}
	f.At = kept
	return f
}

// briefed says whether the brief gives a range.
func (f *Flip) briefed() bool {
	return drawable(f.BriefLow) && drawable(f.BriefHigh) && f.BriefHigh > f.BriefLow
}

// ends returns the range of a flip, wide enough for all its values.
func (f *Flip) ends() (low, high float64) {
	low, high = f.Now, f.Now
	values := []float64{f.Low, f.High}
	if f.briefed() {
		values = append(values, f.BriefLow, f.BriefHigh)
	}
	for _, l := range f.At {
		values = append(values, l.Value)
	}
	for _, v := range values {
		if drawable(v) {
			low, high = math.Min(low, v), math.Max(high, v)
		}
	}
	return low, high
}

// flipRow draws one input: its name and what it takes in words, then its range with the way to the change.
func (s *sheet) flipRow(f *Flip, low, high, top float64) {
	var texts []string
	for _, l := range f.At {
		a, b := apart(f.Now, l.Value, f.Unit)
		if len(texts) == 0 {
			texts = append(texts, a)
		}
		texts = append(texts, b+": "+l.Who)
	}
	words := texts[0] + " → " + strings.Join(texts[1:], "; ")
	s.group("flip", f.Name+": "+words, "", func(in *scene) {
		name, full := fitted(f.Name, 180, sizeSmall, true)
		in.text(label{at: point{margin, top + 14}, text: name, size: sizeSmall, bold: true, paint: ink, title: full})
		for i, t := range texts[1:] {
			text, full := fitted(t, column-2*margin-textWidth(name, sizeSmall, true)-20, sizeSmall, false)
			in.text(label{at: point{column - margin, top + 14 + flipLine*float64(i)}, text: text, size: sizeSmall, align: end, paint: ink, title: full})
		}
		x0, x1, mid := margin+4, column-margin-4, top+32+flipLine*float64(len(f.At)-1)
		at := func(v float64) float64 {
			if !(high > low) {
				return (x0 + x1) / 2
			}
			return x0 + (x1-x0)*(v-low)/(high-low)
		}
		in.rect(x0, mid-4, x1-x0, 8, pen(rule, thin).filled(band))
		if f.briefed() {
			in.rect(at(f.BriefLow), mid-4, at(f.BriefHigh)-at(f.BriefLow), 8, pen(soft, thin).filled(steel))
		}
		now := point{at(f.Now), mid}
		for i := len(f.At) - 1; i >= 0; i-- {
			to := point{at(f.At[i].Value), mid}
			if w := math.Abs(to.x - now.x); w > 0 {
				in.tile(math.Min(to.x, now.x), mid-2.5, w, 5, against, plainFill)
			}
		}
		for _, l := range f.At {
			in.add(leadMark(point{at(l.Value), mid - 4}), pen(against, thin).filled(against))
		}
		in.add(circle{now, 4.6}, pen(with, normal).filled(with))
		in.flipEnds(f, low, high, now, x0, x1, mid+19)
	})
}

// flipEnds writes the present value and, where there is room, the ends of the range.
func (s *scene) flipEnds(f *Flip, low, high float64, now point, x0, x1, y float64) {
	first, _ := apart(f.Now, f.At[0].Value, f.Unit)
	p := placer{limit: box{2, y - 14, column - 2, y + 6}}
	l := label{text: "now " + first, size: sizeSmall, align: middle, paint: with}
	half := textWidth(l.text, sizeSmall, false) / 2
	p.try(s, l, []point{{math.Min(math.Max(now.x, x0-4+half), x1+4-half), y}})
	p.try(s, label{text: valued(low, f.Unit), size: sizeSmall, align: start, paint: soft}, []point{{x0 - 4, y}})
	p.try(s, label{text: valued(high, f.Unit), size: sizeSmall, align: end, paint: soft}, []point{{x1 + 4, y}})
}

// leadMark points down at a place.
func leadMark(tip point) polygon {
	return polygon{points: []point{tip, {tip.x + 5, tip.y - 8}, {tip.x - 5, tip.y - 8}}}
}

// flipKeys explains the marks.
func (s *sheet) flipKeys(briefed bool) {
	keys := []key{
		{name: "present value", shape: func(in *scene, at point) { in.add(circle{at, 4.6}, pen(with, normal).filled(with)) }},
		{name: "where another leads", shape: func(in *scene, at point) {
			in.add(leadMark(point{at.x, at.y + 4}), pen(against, thin).filled(against))
		}},
		{name: "possible range", shape: func(in *scene, at point) { in.rect(at.x-13, at.y-4, 26, 8, pen(rule, thin).filled(band)) }},
	}
	if briefed {
		keys = append(keys, key{name: "allowed by the brief", shape: func(in *scene, at point) { in.rect(at.x-13, at.y-4, 26, 8, pen(soft, thin).filled(steel)) }})
	}
	s.legend(keys)
}
