package draw

import (
	"crankwright/analysis"
	"crankwright/mechanics/bearing"
)

// lastingEntries are the figures of room, bearings, strength, torsion and mounts. A result that has no Lasting gets what a figure
// needs computed; the driver is made anew, for that of a drive serves one caller at a time.
func lastingEntries() []Entry {
	entry := func(name, shows string, f func(r *analysis.Result, d *analysis.Driver) (Figure, error)) Entry {
		return Entry{
			Name: name, Shows: shows, Defaults: Options{K: 2}, Drive: name != "room",
			draw: func(rs []*analysis.Result, _ Options) Figure {
				r := rs[0]
				s := newSheet(name, shows, r)
				if r.Drive == nil && name != "room" {
					if r.NoDrive != "" {
						s.note(r.NoDrive)
					}
					return s.empty("Gas and torque were not computed")
				}
				var d *analysis.Driver
				if r.Lasting == nil && name != "room" {
					t := *r.Train
					var err error
					if d, err = analysis.NewDriver(&t); err != nil {
						s.note(analysis.Said(err))
						return s.empty("There is nothing to show")
					}
				}
				fig, err := f(r, d)
				if err != nil {
					s.note(analysis.Said(err))
					return s.empty("There is nothing to show")
				}
				return fig
			},
		}
	}
	carried := func(name, shows string, f func(*analysis.Result, *analysis.Bearings) Figure) Entry {
		return entry(name, shows, func(r *analysis.Result, d *analysis.Driver) (Figure, error) {
			if r.Lasting != nil && r.Lasting.Bearings != nil {
				return f(r, r.Lasting.Bearings), nil
			}
			if d == nil {
				return Figure{}, whyNot(r.Lasting.NoBearings)
			}
			b, err := d.Bearings(r.Drive, analysis.BearingOptions{Films: name == "film-orbit"})
			if err != nil {
				return Figure{}, err
			}
			return f(r, b), nil
		})
	}
	wound := func(name, shows string, f func(*analysis.Result, *analysis.Torsion) Figure) Entry {
		return entry(name, shows, func(r *analysis.Result, d *analysis.Driver) (Figure, error) {
			if r.Lasting != nil && r.Lasting.Torsion != nil {
				return f(r, r.Lasting.Torsion), nil
			}
			if d == nil {
				return Figure{}, whyNot(r.Lasting.NoTorsion)
			}
			x, err := d.Torsion(r.Drive.Load)
			if err != nil {
				return Figure{}, err
			}
			return f(r, x), nil
		})
	}
	return []Entry{
		entry("room", "what stands along the crank, and what sets its length", func(r *analysis.Result, _ *analysis.Driver) (Figure, error) {
			budget, _, err := analysis.Room(r.Train, bearing.Needs{})
			if err != nil {
				return Figure{}, err
			}
			return Room(r, budget), nil
		}),
		carried("polar-main", "the loads of the main bearings as polar diagrams", PolarMains),
		carried("polar-big-end", "the load of the worst big end as polar diagrams", PolarBigEnds),
		carried("bearing-loads", "the force on every main bearing over the crank angle", MainLoads),
		carried("film-orbit", "the path of the journal with the thinnest oil film", FilmOrbit),
		entry("crank-strength", "how much of what the rule for crankshafts allows each web takes", func(r *analysis.Result, d *analysis.Driver) (Figure, error) {
			if r.Lasting != nil && r.Lasting.Strength != nil {
				return CrankUse(r, r.Lasting.Strength), nil
			}
			if d == nil {
				return Figure{}, whyNot(r.Lasting.NoStrength)
			}
			var set analysis.StrengthOptions
			if !r.Drive.Light {
				set.Torsion, _ = d.Torsion(r.Drive.Load) // without it the shaft counts as stiff
			}
			st, err := d.Strength(r.Drive, set)
			if err != nil {
				return Figure{}, err
			}
			return CrankUse(r, st), nil
		}),
		entry("mount-forces", "what reaches the structure through the mounts over speed", func(r *analysis.Result, d *analysis.Driver) (Figure, error) {
			if r.Mounts != nil {
				return MountForces(r, r.Mounts), nil
			}
			if d == nil {
				return Figure{}, whyNot(r.NoMounts)
			}
			m, err := d.Mounts(r.Drive.Load)
			if err != nil {
				return Figure{}, err
			}
			return MountForces(r, m), nil
		}),
		wound("campbell", "natural frequencies, orders and critical speeds of torsion", Campbell),
		wound("torsion-stress", "the torsional vibration stress over speed", TorsionStress),
	}
}

// whyNot is an error that says what it is told.
type whyNot string

// Error returns what it was told [-]. Definition.
func (w whyNot) Error() string { return string(w) }
