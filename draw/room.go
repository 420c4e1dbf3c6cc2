package draw

import (
	"math"

	"crankwright/analysis"
	"crankwright/mechanics/bearing"
)

// Room shows the axial budget of a crank to scale: journals, webs, pins and what stands between pins, with what is short
// marked, and what sets the distances.
//
//   - r: whose crank
//   - budget: of analysis.Room or Bearings
//
// Result [-]. Definition.
func Room(r *analysis.Result, budget *bearing.Budget) Figure {
	s := newSheet("room", "Room along the crank", r)
	parts := budget.Parts
	if len(parts) == 0 {
		return s.empty("There is no crank to show")
	}
	from, to := parts[0].From, parts[len(parts)-1].To
	c := &r.Train.Crank
	web := math.Max(c.Web.Width, math.Max(c.MainJournal.Diameter, c.Crankpin.Diameter)*1.1)
	if !(to > from) || !drawable(to-from) || !(web > 0) {
		return s.empty("There is no crank to show")
	}
	scale := math.Min((column-2*margin)/(to-from), 190/web)
	left := (column - scale*(to-from)) / 2
	mid := s.bottom + 24 + scale*web/2
	at := func(x float64) float64 { return left + scale*(x-from) }
	s.line(point{left - 8, mid}, point{at(to) + 8, mid}, pen(soft, thin).in(chain))
	short := 0
	for _, p := range parts {
		h, l := web, pen(ink, thin).filled(metal)
		switch p.Kind {
		case bearing.MainPart, bearing.ShaftPart:
			h, l = c.MainJournal.Diameter, pen(ink, thin).filled(paper)
		case bearing.PinPart:
			h, l = c.Crankpin.Diameter, pen(with, normal).filled(paper)
		case bearing.FlyingWeb, bearing.Flange:
			l = pen(fourth, normal).in(dashed).filled(metal)
		default:
		}
		width := p.To - p.From
		tight := p.Slack() < -1e-6
		if tight {
			l = pen(against, thick).filled(paper)
			short++
		}
		x, y := at(p.From), mid-scale*h/2
		s.titled(rectangle(x, y, math.Max(0.5, scale*width), scale*h), l, string(p.Kind)+" "+p.Name+": "+millimetres(width))
		text := digits(roundTo(1e3*width, 0.1))
		if textWidth(text, sizeSmall, false) < scale*width-3 {
			s.text(label{at: point{x + scale*width/2, mid + 4}, text: text, size: sizeSmall, align: middle, paint: ink, halo: true})
		}
		s.say(string(p.Kind) + " " + p.Name + ": " + millimetres(width) + ", needs " + millimetres(p.Need) + ".")
	}
	s.bottom = mid + scale*web/2 + 12
	mains := middles(parts)
	for i := 1; i < len(mains); i++ {
		a, b := point{at(mains[i-1]), s.bottom + 10}, point{at(mains[i]), s.bottom + 10}
		s.line(a, b, pen(soft, thin))
		for _, e := range []point{a, b} {
			s.line(point{e.x, e.y - 5}, point{e.x, e.y + 5}, pen(soft, thin))
		}
		text := digits(roundTo(1e3*(mains[i]-mains[i-1]), 0.1))
		if textWidth(text, sizeSmall, false) < b.x-a.x {
			s.text(label{at: point{(a.x + b.x) / 2, a.y + 16}, text: text, size: sizeSmall, align: middle, paint: ink})
		}
	}
	s.bottom += 32
	bores, crank := 0, 0
	for _, p := range budget.Pitches {
		if p.BoresSet() {
			bores++
		} else {
			crank++
		}
	}
	switch {
	case bores+crank == 0:
	case crank == 0:
		s.note("The bores set the length.")
	case bores == 0:
		s.note("The crank sets the length: journals, webs and pins ask for more than the bores.")
	default:
		s.note("Bores set " + digits(float64(bores)) + " of the distances, the crank " + digits(float64(crank)) + ".")
	}
	if short > 0 {
		s.note("Thick outlines: less width than is needed.")
	}
	s.note("Lengths in mm, free end left. Blue outlines are crankpins, broken ones what stands between two pins.")
	return s.figure()
}

// middles returns the middles of the main journals.
func middles(parts []bearing.Part) []float64 {
	var out []float64
	for _, p := range parts {
		if p.Kind == bearing.MainPart {
			out = append(out, (p.From+p.To)/2)
		}
	}
	return out
}
