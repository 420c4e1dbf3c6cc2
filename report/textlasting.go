package report

import (
	"fmt"
	"math"

	"crankwright/analysis"
	"crankwright/mechanics/strength"
	"crankwright/num"
)

// lasting writes what crank and bearings bear, where that was asked for.
func (s *sheet) lasting(r *analysis.Result) {
	if r.Lasting == nil {
		return
	}
	s.heading("Crank and bearings")
	s.entries(lastingEntries(r.Lasting))
}

// lastingEntries are the main numbers of crank and bearings.
func lastingEntries(l *analysis.Lasting) []entry {
	var list []entry
	not := func(name, why string) {
		if why != "" {
			list = append(list, entry{name, "not known: " + why})
		}
	}
	if b := l.Bearings; b != nil {
		list = append(list, carriedEntry("main bearings", b.Mains), carriedEntry("big ends", b.BigEnds))
	}
	not("bearings", l.NoBearings)
	if x := l.Torsion; x != nil && x.Winding >= 0 {
		text := fmt.Sprintf("winds up at %s Hz", num.Digits(x.Bare[x.Winding].Frequency/(2*math.Pi), 4))
		worst := analysis.SpanPeak{}
		for _, p := range x.Spans {
			if p.Stress > worst.Stress {
				worst = p
			}
		}
		if worst.Stress > 0 {
			text += fmt.Sprintf("; largest vibratory stress %s MPa at %s rpm", num.Digits(worst.Stress/1e6, 3), num.Digits(rpm(worst.Speed), 4))
		}
		list = append(list, entry{"shaft", text})
	}
	not("shaft", l.NoTorsion)
	if st := l.Strength; st != nil {
		if w := st.Worst(); w != nil {
			p := w.Assessment.Worst()
			list = append(list, entry{"weakest point", fmt.Sprintf("%s of %s, acceptability factor %s (the rule demands %s)", p.Name, w.Name, num.Digits(p.Q, 3), num.Digits(strength.Required, 3))})
		} else if len(st.Webs) > 0 {
			not("strength", st.Webs[0].Refused)
		}
	}
	not("strength", l.NoStrength)
	return list
}

// carriedEntry is the most loaded of some bearings, and the thinnest film among them.
func carriedEntry(name string, list []analysis.Carried) entry {
	var load, film *analysis.Carried
	for i := range list {
		c := &list[i]
		if load == nil || c.Specific.Force > load.Specific.Force*(1+1e-6) {
			load = c
		}
		if c.Film != nil && (film == nil || c.Film.MinFilm < film.Film.MinFilm*(1-1e-3)) {
			film = c
		}
	}
	if load == nil {
		return entry{name, "none"}
	}
	text := fmt.Sprintf("up to %s in %s", num.Shown(load.Specific.Force, "N"), load.Name)
	if load.Specific.Peak > 0 {
		text += fmt.Sprintf(" (%s MPa)", num.Digits(load.Specific.Peak/1e6, 3))
	}
	if film != nil {
		switch {
		case film.Lost():
			text += "; the oil film of " + film.Name + " is lost"
		case !film.Film.Settled:
			text += fmt.Sprintf("; thinnest oil film about %s µm in %s, whose path has not repeated", num.Digits(1e6*film.Film.MinFilm, 2), film.Name)
		default:
			text += fmt.Sprintf("; thinnest oil film %s µm in %s", num.Digits(1e6*film.Film.MinFilm, 3), film.Name)
		}
	}
	return entry{name, text}
}
