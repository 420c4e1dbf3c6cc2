package analysis

import (
	"fmt"
	"math"

	"crankwright/mechanics/balance"
	"crankwright/mechanics/bearing"
	"crankwright/mechanics/layout"
)

// Bearings is what the bearings of an engine carry at one speed and load, on what film of oil, and in what room.
type Bearings struct {
	Drive     *Drive
	Mechanism *bearing.Mechanism
	Loads     *bearing.Loads // at BearingSamples angles over two revolutions [N]
	Method    bearing.Method
	NoBeam    string // why the mains share by bays although a continuous beam was asked for; empty: they do not

	Mains     []Carried // from the free end to the drive end
	BigEnds   []Carried // as bearing.BigEnds has them; a linked rod has none, its knuckle pin only rocks
	SmallEnds []float64 // largest force on each piston pin, by cylinder [N]
	Sides     []float64 // largest force of each piston on its bore [N]

	Other    bearing.Method
	ByOther  []bearing.Specific // of the mains by the other method; nil where it cannot be had
	Policies []PolicyLoads      // what counterweights make of the mains

	Budget   *bearing.Budget
	NoBudget string           // why there is none
	Bays     []bearing.Widths // what fills each bay; one without entry in it has three pins or more
}

// Carried is one bearing.
type Carried struct {
	Name     string
	Index    int            // of the main, or of the cylinder
	Sharing  []int          // other cylinders whose rods share the big end, on whose bush Force is the resultant
	Bearing  layout.Journal // its running surface [m]; zero: unknown
	Land     layout.Journal // what of it carries: less the groove [m]
	Gap      bearing.Gap
	Specific bearing.Specific // Force and MeanForce alone where the surface is unknown
	Lining   bearing.Material
	Use      float64       // of the upper end of the lining's guidance [1]; 0: unknown
	Film     *bearing.Warm // nil where it was not asked for or cannot be found
	NoFilm   string        // why it cannot be found
	Known    bearing.FilmLimit
}

// RoughFilm is the film that the roughness of run-in journals and bearings reaches through [m]. Source: PRACTICE, 0.3 to 1 µm.
const RoughFilm = 0.5e-6

// Floats reports whether the film holds the metals apart at every angle [-]. Definition: its orbit repeats, no sample
// touches, and it is nowhere thinner than RoughFilm.
func (c *Carried) Floats() bool { return c.Film != nil && c.Film.Settled && !c.Lost() }

// Lost reports whether the metals touch at some angle [-]. Definition: a sample touches, or the film is somewhere thinner
// than RoughFilm. A film that is neither lost nor floats is one whose path has not repeated: its numbers are rough.
func (c *Carried) Lost() bool {
	return c.Film != nil && (c.Film.Touches > 0 || c.Film.MinFilm < RoughFilm)
}

// PolicyLoads are the mains under one policy of counterweights.
type PolicyLoads struct {
	Name  string
	Mains []bearing.Specific
	Worst bearing.Specific // the main with the largest force
	Mean  float64          // mean over the mains of their mean forces [N]
}

// BearingSamples is the number of crank angles over two revolutions at which bearing loads are found [1]: one a degree.
// Definition.
const BearingSamples = 720

// BearingOptions say what is wanted beside the loads.
type BearingOptions struct {
	Films  bool          // follow the oil films
	Needs  bearing.Needs // least widths for the axial budget [m]; zero: those of common practice
	Others bool          // the other way of sharing, and the policies of counterweights
}

// Bearings computes what an engine's bearings carry as it pushes.
//
//   - r: of At, of this driver
//   - opt: what is wanted
//
// Result in SI [N, Pa, m, W, K]. Where the crank's widths are unknown the mains share by bays, and specific loads and
// films are missing. Errors: those of package bearing. Definition.
func (d *Driver) Bearings(r *Drive, opt BearingOptions) (*Bearings, error) {
	b := &Bearings{Drive: r}
	if err := b.prepare(d); err != nil {
		return nil, err
	}
	pressure := d.everyDegree(r)
	var err error
	if b.Loads, err = b.Mechanism.Loads(nil, pressure, d.Train.Gas.Crankcase, r.Speed); err != nil {
		return nil, err
	}
	lining := func(name string) bearing.Material {
		for _, m := range bearing.Materials() {
			if m.Name == name {
				return m
			}
		}
		return bearing.Material{}
	}
	t := d.Train
	limits := bearing.FilmLimits()
	for i, main := range b.Mechanism.Mains {
		surface, _ := bearing.MainBearing(t, main)
		c := carried(fmt.Sprintf("main %d", i+1), i, surface, t.Bearings.Main, b.Loads.Mains[i])
		c.Lining, c.Known = lining(t.Bearings.Main.Lining), limits[0]
		b.Mains = append(b.Mains, c)
	}
	for i := range t.Cylinders {
		of := &b.Loads.Of[i]
		b.SmallEnds = append(b.SmallEnds, largest(of.SmallEnd))
		side := 0.0
		for _, f := range of.Side {
			side = math.Max(side, math.Abs(f))
		}
		b.Sides = append(b.Sides, side)
	}
	for _, rods := range bearing.BigEnds(t) {
		first := rods[0]
		force, err := b.Mechanism.PolarBigEnd(nil, b.Loads, first, bearing.InBlock, rods[1:]...)
		if err != nil {
			return nil, err
		}
		surface, _ := bearing.PinBearing(t, t.Cylinders[first].Throw)
		name := "big end " + t.Cylinders[first].Name
		for _, i := range rods[1:] {
			name += "+" + t.Cylinders[i].Name
		}
		c := carried(name, first, surface, t.Bearings.BigEnd, force)
		c.Sharing, c.Lining, c.Known = rods[1:], lining(t.Bearings.BigEnd.Lining), limits[1]
		b.BigEnds = append(b.BigEnds, c)
	}
	for _, list := range [][]Carried{b.Mains, b.BigEnds} {
		for i := range list {
			if c := &list[i]; c.Lining.High > 0 && c.Specific.Peak > 0 {
				c.Use = c.Lining.Use(c.Specific.Peak)
			}
		}
	}
	if opt.Films {
		b.films(d)
	}
	if opt.Others {
		if err := b.others(d, pressure); err != nil {
			return nil, err
		}
	}
	b.room(t, opt.Needs)
	return b, nil
}

// prepare settles how the mains share.
func (b *Bearings) prepare(d *Driver) error {
	t := d.Train
	set := bearing.Options{Samples: BearingSamples, Support: t.Bearings.Support}
	if t.Bearings.Sharing == layout.SharedByBays {
		set.Method = bearing.Determinate
	}
	b.Other = bearing.Determinate
	m, err := bearing.NewMechanism(t, d.Schedule, set)
	if err != nil && set.Method == bearing.Continuous {
		by := set
		by.Method = bearing.Determinate
		if other, again := bearing.NewMechanism(t, d.Schedule, by); again == nil {
			b.NoBeam = Said(err)
			m, err, set = other, nil, by
		}
	}
	if err != nil {
		return err
	}
	if set.Method == bearing.Determinate {
		b.Other = bearing.Continuous
	}
	b.Mechanism, b.Method = m, set.Method
	return nil
}

// everyDegree returns the pressures of the cylinders at the angles of bearing loads.
func (d *Driver) everyDegree(r *Drive) [][]float64 {
	const every = DriveSamples / BearingSamples
	pressure := make([][]float64, len(d.Train.Cylinders))
	for i := range r.Cycles {
		var p []float64
		for j := 0; j < len(r.Cycles[i].Pressure); j += every {
			p = append(p, r.Cycles[i].Pressure[j])
		}
		for _, c := range r.Cycles[i].Cylinders {
			pressure[c] = p
		}
	}
	return pressure
}

func largest(force []complex128) float64 {
	most := 0.0
	for _, f := range force {
		most = math.Max(most, math.Hypot(real(f), imag(f)))
	}
	return most
}

// carried is a bearing with its specific load, on the land that a groove leaves.
func carried(name string, index int, surface layout.Journal, seat layout.Seat, force []complex128) Carried {
	c := Carried{Name: name, Index: index, Bearing: surface}
	land := surface
	if seat.Grooved {
		land.Width *= 1 - bearing.GrooveShare
	}
	var err error
	if c.Specific, err = bearing.SpecificLoad(force, land); err != nil {
		// forces need no surface: over one square metre they are what they are
		c.Specific, _ = bearing.SpecificLoad(force, layout.Journal{Diameter: 1, Width: 1})
		c.Specific.Peak, c.Specific.Mean = 0, 0
		c.NoFilm = "the widths of journals and fillets are unknown, or leave no running surface"
		c.Bearing = layout.Journal{}
		return c
	}
	c.Land, c.Gap = land, bearing.GapOf(surface, seat)
	return c
}

// films follows the oil film of every bearing.
func (b *Bearings) films(d *Driver) {
	t := d.Train
	oil, unknown := bearing.OilNamed(t.Bearings.Oil)
	supply := bearing.Supply{Feed: t.Bearings.Feed, Rise: t.Bearings.Rise}
	maps := map[float64]*bearing.Mobility{}
	follow := func(c *Carried, duty func(*Carried) (bearing.Duty, error)) error {
		if unknown != nil {
			return unknown
		}
		if err := c.Gap.Validate(); err != nil {
			return err
		}
		m := maps[c.Gap.Ratio()]
		if m == nil {
			var err error
			if m, err = bearing.NewMobility(c.Gap.Ratio()); err != nil {
				return err
			}
			maps[c.Gap.Ratio()] = m
		}
		load, err := duty(c)
		if err != nil {
			return err
		}
		film, err := bearing.FindWarm(m, c.Gap, load, oil, supply)
		if err != nil {
			return err
		}
		c.Film = &film
		return nil
	}
	for _, kind := range []struct {
		list []Carried
		duty func(*Carried) (bearing.Duty, error)
	}{
		{b.Mains, func(c *Carried) (bearing.Duty, error) { return b.Mechanism.MainDuty(b.Loads, c.Index) }},
		{b.BigEnds, func(c *Carried) (bearing.Duty, error) {
			return b.Mechanism.BigEndDuty(b.Loads, c.Index, c.Sharing...)
		}},
	} {
		for i := range kind.list {
			c := &kind.list[i]
			if c.NoFilm != "" {
				continue
			}
			if err := follow(c, kind.duty); err != nil {
				c.NoFilm = Said(err)
			}
		}
	}
}

// others compares the other way of sharing and the policies of counterweights.
func (b *Bearings) others(d *Driver, pressure [][]float64) error {
	t := d.Train
	set := bearing.Options{Samples: BearingSamples, Support: t.Bearings.Support, Method: b.Other}
	if m, err := bearing.NewMechanism(t, d.Schedule, set); err == nil {
		l, err := m.Loads(nil, pressure, t.Gas.Crankcase, b.Drive.Speed)
		if err != nil {
			return err
		}
		for i := range m.Mains {
			b.ByOther = append(b.ByOther, carried("", i, b.Mains[i].Bearing, t.Bearings.Main, l.Mains[i]).Specific)
		}
	}
	set.Method = b.Method
	for _, p := range []struct {
		name    string
		factor  float64
		weights bool
		own     bool
	}{
		{name: "as the file has them", own: true},
		{name: "none"},
		{name: "turning masses alone", weights: true},
		{name: "turning masses and 25 % of the sliding", weights: true, factor: 0.25},
		{name: "turning masses and 50 % of the sliding", weights: true, factor: 0.5},
	} {
		u := *t
		if !p.own {
			u.Counterweights = nil
			if p.weights {
				var err error
				if u.Counterweights, err = balance.OneFactor(t, p.factor); err != nil {
					return err
				}
			}
		}
		m, err := bearing.NewMechanism(&u, d.Schedule, set)
		if err != nil {
			return err
		}
		l, err := m.Loads(nil, pressure, t.Gas.Crankcase, b.Drive.Speed)
		if err != nil {
			return err
		}
		loads := PolicyLoads{Name: p.name}
		for i := range m.Mains {
			s := carried("", i, b.Mains[i].Bearing, t.Bearings.Main, l.Mains[i]).Specific
			loads.Mains = append(loads.Mains, s)
			loads.Mean += s.MeanForce / float64(len(m.Mains))
			if s.Force > loads.Worst.Force {
				loads.Worst = s
			}
		}
		b.Policies = append(b.Policies, loads)
	}
	return nil
}

// room writes the axial budget.
func (b *Bearings) room(t *layout.Train, need bearing.Needs) {
	budget, err := bearing.Axial(t, b.Mechanism.Mains, need)
	if err != nil {
		b.NoBudget = Said(err)
		return
	}
	b.Budget = budget
	b.Bays = make([]bearing.Widths, len(bearing.Bays(t)))
	for i := range b.Bays {
		if w, err := bearing.WidthsOf(t, b.Mechanism.Mains, i, need); err == nil {
			b.Bays[i] = w
		}
	}
}

// Room returns the axial budget of a train that needs nothing but its sizes.
//
//   - t: a train that layout.Validate accepts
//   - need: least widths [m]; zero: those of common practice
//
// Result [m]; bays as in Bearings. Errors: those of bearing.Axial. Definition.
func Room(t *layout.Train, need bearing.Needs) (*bearing.Budget, []bearing.Widths, error) {
	b := &Bearings{Mechanism: &bearing.Mechanism{Mains: bearing.Mains(t)}}
	if b.room(t, need); b.NoBudget != "" {
		return nil, nil, fmt.Errorf("%s", b.NoBudget)
	}
	return b.Budget, b.Bays, nil
}
