package analysis

import "math"

// Margins are how far bearings and crank of an engine are from what they bear, at one speed and load.
type Margins struct {
	Speed   float64  // crank speed [rad/s]
	Main    *Carried // with the largest specific load of its kind; nil: unknown
	BigEnd  *Carried
	Thin    *Carried // with the thinnest film; nil: unknown
	Weakest *WebStrength

	NoStrength string // why there is no Weakest
}

// Margins returns the worst of bearings, oil films and webs.
//
//   - opt: speed [rad/s] and load
//
// Result as Lasting has it, in less time [Pa, m, 1]. Errors: those of At and Bearings. Definition.
func (d *Driver) Margins(opt DriveOptions) (*Margins, error) {
	r, err := d.At(opt)
	if err != nil {
		return nil, err
	}
	b, err := d.Bearings(r, BearingOptions{Films: true})
	if err != nil {
		return nil, err
	}
	m := &Margins{Speed: r.Speed, Main: hardest(b.Mains), BigEnd: hardest(b.BigEnds)}
	thin := math.Inf(1)
	for _, list := range [][]Carried{b.Mains, b.BigEnds} {
		for i := range list {
			if f := list[i].Film; f != nil && f.MinFilm < thin {
				m.Thin, thin = &list[i], f.MinFilm
			}
		}
	}
	var set StrengthOptions
	if !r.Light {
		if x, err := d.Torsion(r.Load); err == nil {
			set.Torsion = x
		}
	}
	s, err := d.Strength(r, set)
	switch {
	case err != nil:
		m.NoStrength = Said(err)
	case s.Worst() == nil:
		m.NoStrength = "no web stands beside a main bearing"
		for i := range s.Webs {
			if s.Webs[i].Refused != "" {
				m.NoStrength = s.Webs[i].Refused
			}
		}
	default:
		m.Weakest = s.Worst()
	}
	return m, nil
}

// hardest is the bearing with the largest specific load, the first of equals; nil where none is known.
func hardest(list []Carried) *Carried {
	var most *Carried
	for i := range list {
		if c := &list[i]; c.Specific.Peak > 0 && (most == nil || c.Specific.Peak > most.Specific.Peak*(1+tie)) {
			most = c
		}
	}
	return most
}
