package analysis

import "math"

// Lasting is what bearings and crank bear: each part, or why it cannot be found.
type Lasting struct {
	Bearings *Bearings
	Torsion  *Torsion // nil where it was not asked for
	Strength *Strength

	NoBearings, NoTorsion, NoStrength string
}

// Lasting computes bearings, torsional vibration and strength of an engine as it pushes.
//
//   - r: of At, of this driver
//   - beyond: hold ratios outside the range of the rule at its end, see StrengthOptions
//
// Result in SI [N, Pa, m, rad/s]. What cannot be found is no error of the rest. Definition.
func (d *Driver) Lasting(r *Drive, beyond bool) *Lasting {
	return d.bear(r, BearingOptions{Films: true, Others: true}, beyond)
}

// bear is Lasting with what is wanted of the bearings.
func (d *Driver) bear(r *Drive, of BearingOptions, beyond bool) *Lasting {
	l := &Lasting{}
	var err error
	if l.Bearings, err = d.Bearings(r, of); err != nil {
		l.NoBearings = Said(err)
	}
	if r.Light {
		l.NoTorsion = "torsional vibration is found at a load, and the engine runs light"
	} else if l.Torsion, err = d.Torsion(r.Load); err != nil {
		l.NoTorsion = Said(err)
	}
	if l.Strength, err = d.Strength(r, StrengthOptions{Torsion: l.Torsion, Beyond: beyond}); err != nil {
		l.NoStrength = Said(err)
	}
	return l
}

// figures lists the numbers of bearings, torsion and strength; none where they were not asked for.
func (l *Lasting) figures() []Figure {
	if l == nil {
		return nil
	}
	var out []Figure
	if b := l.Bearings; b != nil {
		main, film, pin := 0.0, 0.0, 0.0
		for _, list := range [][]Carried{b.Mains, b.BigEnds} {
			for _, c := range list {
				if c.Film != nil && (film == 0 || c.Film.MinFilm < film) {
					film = c.Film.MinFilm
				}
			}
		}
		for _, c := range b.Mains {
			main = max(main, c.Specific.Force)
		}
		for _, c := range b.BigEnds {
			pin = max(pin, c.Specific.Peak)
		}
		out = append(out, Figure{"main_bearing_load", "Largest load of a main bearing", "N", main, -1})
		if pin > 0 {
			out = append(out, Figure{"big_end_pressure", "Largest specific load of a big end", "MPa", pin / 1e6, -1})
		}
		if film > 0 {
			out = append(out, Figure{"oil_film", "Thinnest oil film", "µm", 1e6 * film, 1})
		}
	}
	if x := l.Torsion; x != nil && x.Winding >= 0 {
		out = append(out, Figure{"torsion_frequency", "Natural frequency of the crank's winding", "Hz", x.Bare[x.Winding].Frequency / (2 * math.Pi), 1})
		stress := 0.0
		for _, p := range x.Spans {
			stress = max(stress, p.Stress)
		}
		out = append(out, Figure{"torsion_stress", "Largest torsional vibration stress", "MPa", stress / 1e6, -1})
	}
	if s := l.Strength; s != nil {
		if w := s.Worst(); w != nil {
			out = append(out, Figure{"crank_acceptability", "Smallest acceptability factor of the crank", "1", w.Assessment.Worst().Q, 1})
		}
	}
	return out
}
