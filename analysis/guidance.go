package analysis

import (
	"crankwright/mechanics/envelope"
	"crankwright/mechanics/strength"
)

// Guidance is where an engine misses guidance that the program knows, whether anybody asked for it or not.
type Guidance struct {
	Bearings []Carried            // loaded above the upper end of the guidance for their lining: mains, then big ends
	Web      *WebStrength         // the weakest, where its acceptability factor is below that of the rule; nil: it is not
	Meet     []envelope.Clearance // parts that meet
}

// GuidanceOf looks for the guidance that an engine misses.
//
//   - r: of Run; chapters that it lacks are computed for this alone, without oil films
//
// Result: loads [MPa] and room [m] of what misses it; what cannot be found misses nothing. r is not changed, and several may
// look at once. Definition.
func GuidanceOf(r *Result) *Guidance {
	g := &Guidance{}
	if l := r.guided(); l != nil {
		if b := l.Bearings; b != nil {
			for _, list := range [][]Carried{b.Mains, b.BigEnds} {
				for _, c := range list {
					if c.Use > 1 {
						g.Bearings = append(g.Bearings, c)
					}
				}
			}
		}
		if l.Strength != nil {
			if w := l.Strength.Worst(); w != nil && w.Assessment.Worst().Q < strength.Required {
				g.Web = w
			}
		}
	}
	space := r.Space
	if space == nil {
		space = r.Extend(Options{Space: true}, nil).Space
	}
	if space != nil {
		for _, c := range space.Clearances {
			if c.Conflict() {
				g.Meet = append(g.Meet, c)
			}
		}
	}
	return g
}

// guided returns what crank and bearings bear: that of the result, or without oil films; nil where the gas is not known.
func (r *Result) guided() *Lasting {
	if r.Lasting != nil {
		return r.Lasting
	}
	if r.Drive == nil && r.NoDrive != "" {
		return nil
	}
	d, err := NewDriverLike(r.Train, r.driver()) // its own, for a driver remembers what it solves
	if err != nil {
		return nil
	}
	at := r.at
	at.Speed = r.Speed
	push, err := d.pushing(at, false)
	if err != nil {
		return nil
	}
	return d.bear(push, BearingOptions{}, false)
}
