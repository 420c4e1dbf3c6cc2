package bearing

import (
	"fmt"
	"math"

	"crankwright/mechanics/layout"
)

// Widths are the lengths that fill one bay of a crank, from the middle of one main to that of the next [m].
type Widths struct {
	Spacing float64 // of the mains
	Main    float64 // main journal
	Web     float64 // each of the two
	Pin     float64 // each
	Middle  float64 // flying web or flange between the pins; 0 with one pin
	Slack   float64 // what is left over; negative: the parts overlap
	Stagger float64 // of the two cylinders of a throw; 0 where they stand in one plane, or there is one
	Rod     float64 // of pin for each rod
	Pins    int
	Least   float64 // spacing that bore and wall ask for
}

// WidthsOf returns what fills a bay.
//
//	slack = spacing − (main + 2 web + pins × pin + (pins − 1) middle)
//
// with
//   - t: a train that Axial accepts
//   - mains: from the free end to the drive end; nil: those of Mains
//   - bay: index into Bays
//   - need: least widths [m]
//
// Result [m]. Spacing runs between the mains on either side of the bay and Main is half of each. With two pins the
// middle takes what the stagger leaves beside a pin. Errors: those of Axial, a bay that the crank has not, three pins
// or more in it. Source: DEFINITION, a sum of lengths.
func WidthsOf(t *layout.Train, mains []Main, bay int, need Needs) (Widths, error) {
	b, err := Axial(t, mains, need)
	if err != nil {
		return Widths{}, err
	}
	if mains == nil {
		mains = Mains(t)
	}
	bays := Bays(t)
	if bay < 0 || bay >= len(bays) {
		return Widths{}, fmt.Errorf("bearing: there is no bay %d; the crank has %d", bay+1, len(bays))
	}
	own := bays[bay]
	pins := len(own.Throws)
	if pins > 2 {
		return Widths{}, fmt.Errorf("bearing: bay %d has %d pins; the bookkeeping of wishes knows one or two", bay+1, pins)
	}
	left, right := -1, -1
	for i, m := range mains {
		if m.At < own.Lo {
			left = i
		} else if m.At > own.Hi && right < 0 {
			right = i
		}
	}
	if left < 0 || right < 0 {
		return Widths{}, fmt.Errorf("bearing: bay %d has no main on one side; the bookkeeping of wishes needs one on both", bay+1)
	}
	c := &t.Crank
	w := Widths{
		Spacing: mains[right].At - mains[left].At, Main: (mains[left].Width + mains[right].Width) / 2,
		Web: b.Needs.Web, Pin: c.Crankpin.Width, Pins: pins,
	}
	if len(bays) > 1 { // a bay alone has no neighbour whose bores could meet its own
		w.Least = t.Bore + b.Needs.Wall
	}
	if pins == 2 {
		w.Stagger = own.Hi - own.Lo
		w.Middle = w.Stagger - w.Pin
		w.Rod = w.Pin
	} else {
		lo, hi := math.Inf(1), math.Inf(-1)
		for i := range t.Cylinders {
			if t.Cylinders[i].Throw == own.Throws[0] && !t.Cylinders[i].Rod.Linked {
				lo, hi = math.Min(lo, t.Cylinders[i].At), math.Max(hi, t.Cylinders[i].At)
			}
		}
		w.Rod = w.Pin
		if hi-lo > 1e-6 && sideBySide(t, own.Throws[0]) == 2 {
			w.Stagger = hi - lo
			w.Rod = math.Min(w.Stagger, math.Max(0, w.Pin-w.Stagger))
		}
	}
	w.Slack = w.Spacing - w.filled()
	return w, nil
}

func (w Widths) filled() float64 {
	return w.Main + 2*w.Web + float64(w.Pins)*w.Pin + float64(w.Pins-1)*w.Middle
}

// Wish is what becomes of a bay when its spacing or stagger changes, by who gives way.
type Wish struct {
	Webs     Widths // webs alone change, journals and pins stay
	Bearings Widths // journals and pins change, webs stay
	All      Widths // all change by the same factor
}

// Possible reports whether every width is greater than zero and the bores have room [-]. Definition.
func (w Widths) Possible() bool { return w.Lacks() == "" }

// Lacks says what has no room, with lengths in mm; empty where everything has. Result [-]. Definition.
func (w Widths) Lacks() string {
	for _, p := range []struct {
		name  string
		width float64
		count bool
	}{{"main journal", w.Main, true}, {"webs", w.Web, true}, {"crankpin", w.Pin, true}, {"rods", w.Rod, true}, {"middle of the two pins", w.Middle, w.Pins > 1}} {
		if p.count && !(p.width > 0) {
			return "nothing is left of the " + p.name
		}
	}
	if w.Spacing < w.Least-1e-12 {
		return fmt.Sprintf("the bores need %.4g mm", 1e3*w.Least)
	}
	return ""
}

// Wish returns what less (or more) spacing or stagger does to webs and bearings.
//
//	one pin, two rods side by side: rod = min(rod, stagger), pin changes as stagger + rod
//	two pins: pin + middle = stagger
//	then main + 2 web + pins = spacing − slack
//
// with
//   - spacing: wanted [m]; 0: as it is
//   - stagger: wanted [m]; 0: as it is
//
// Result [m]: in each the lengths add up to the spacing. More stagger on one pin widens its rods. Free room is used up first and room that comes free goes to
// whoever gives way; the middle between two pins counts as a web. Widths may come out at zero or below: Possible says
// so. Errors: lengths that are none, a stagger for a throw that has none. Source: DEFINITION, a sum of lengths.
func (w Widths) Wish(spacing, stagger float64) (Wish, error) {
	if !(spacing >= 0) || spacing > 1e4 || !(stagger >= 0) || stagger > 1e4 {
		return Wish{}, fmt.Errorf("bearing: a spacing of %g mm with a stagger of %g mm is none; lengths that are not negative are needed", 1e3*spacing, 1e3*stagger)
	}
	if stagger > 0 && w.Stagger == 0 {
		return Wish{}, fmt.Errorf("bearing: the throw has no bank stagger that could become %.4g mm; its rods stand in one plane", 1e3*stagger)
	}
	if spacing == 0 {
		spacing = w.Spacing
	}
	if stagger == 0 {
		stagger = w.Stagger
	}
	room := spacing - w.Slack // what the parts may fill
	if w.Slack > 0 && spacing < w.Spacing {
		room = math.Min(spacing, w.Spacing-w.Slack)
	} else if w.Slack < 0 {
		room = spacing
	}
	w.Spacing = spacing
	start := w
	start.Stagger = stagger
	var r Wish
	switch {
	case w.Pins == 2:
		r.Webs, r.Bearings, r.All = start, start, start
		r.Webs.Middle = stagger - w.Pin
		r.Bearings.Pin = stagger - w.Middle
		k := stagger / w.Stagger
		r.All.Pin, r.All.Middle = k*w.Pin, k*w.Middle
		for _, x := range []*Widths{&r.Webs, &r.Bearings, &r.All} {
			x.Rod = x.Pin
		}
	case w.Stagger > 0:
		start.Rod = math.Min(w.Rod, stagger)
		if stagger > w.Stagger {
			start.Rod = w.Rod + stagger - w.Stagger
		}
		start.Pin += stagger - w.Stagger + start.Rod - w.Rod
		r.Webs, r.Bearings, r.All = start, start, start
	default:
		r.Webs, r.Bearings, r.All = start, start, start
		k := (room - 2*w.Web) / (w.Main + w.Pin)
		r.Bearings.Pin, r.Bearings.Main = k*w.Pin, k*w.Main
		r.All.Pin *= room / w.filled()
		r.Bearings.Rod, r.All.Rod = r.Bearings.Pin, r.All.Pin
	}
	pins := func(x Widths) float64 { return float64(x.Pins)*x.Pin + float64(x.Pins-1)*x.Middle }
	r.Webs.Web = (room - w.Main - pins(r.Webs)) / 2
	r.Bearings.Main = room - 2*w.Web - pins(r.Bearings)
	k := (room - pins(r.All)) / (w.Main + 2*w.Web)
	r.All.Main, r.All.Web = k*w.Main, k*w.Web
	for _, x := range []*Widths{&r.Webs, &r.Bearings, &r.All} {
		x.Slack = x.Spacing - x.filled()
	}
	return r, nil
}
