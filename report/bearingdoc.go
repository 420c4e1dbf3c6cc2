package report

import (
	"math"

	"crankwright/analysis"
	"crankwright/explain"
	"crankwright/mechanics/bearing"
	"crankwright/mechanics/layout"
)

// BearingsDoc is what the bearings carry at one speed and load: the key bearings of evaluate --json, and what the verb
// bearings prints with --json. Forces are those of the part that loads on the part that is loaded: rod on pin, journal
// on bearing, piston on bore.
type BearingsDoc struct {
	WorkPoint
	Sharing    string         `json:"sharing" jsonschema:"enum=continuous,enum=determinate" jsonschema_description:"how the mains share: the crank bends as a continuous beam on elastic supports, or every bay is a simple beam of its own"`
	NoBeam     string         `json:"no_beam,omitempty" jsonschema_description:"why the mains share by bays although a continuous beam was asked for"`
	Oil        string         `json:"oil" jsonschema_description:"grade"`
	FeedC      float64        `json:"oil_feed_C" jsonschema_description:"temperature of the oil that is fed"`
	RiseK      float64        `json:"oil_rise_K" jsonschema_description:"of the oil from feed to outlet"`
	Mains      []BearingDoc   `json:"mains" jsonschema_description:"from the free end to the drive end"`
	BigEnds    []BearingDoc   `json:"big_ends" jsonschema_description:"one a bearing on a crankpin; rods of one throw in one plane share one, and the knuckle pin of a linked rod only rocks and has no film of this kind"`
	Pistons    []PistonLoad   `json:"pistons" jsonschema_description:"forces about each piston, by cylinder"`
	Policies   []PolicyDoc    `json:"counterweight_policies" jsonschema_description:"what counterweights make of the mains"`
	FilmPowerW float64        `json:"film_power_W" jsonschema_description:"that all films followed turn into heat"`
	Room       *RoomDoc       `json:"room,omitempty" jsonschema_description:"axial budget"`
	NoRoom     string         `json:"no_room,omitempty" jsonschema_description:"why there is no axial budget"`
	Curves     *BearingCurves `json:"curves,omitempty" jsonschema_description:"over two revolutions; only when asked for"`
	Notes      []string       `json:"notes" jsonschema_description:"how the gas was found, in sentences"`
	Summary    []string       `json:"summary" jsonschema_description:"the result in sentences"`
	Estimated
	Assumed []EstimateDoc `json:"assumed,omitempty" jsonschema_description:"what the file left out of bearings and crank"`
	Caution string        `json:"caution,omitempty" jsonschema_description:"what the numbers are not good for; left out in evaluate, which says it once"`
}

// BearingDoc is one bearing.
type BearingDoc struct {
	Name        string   `json:"name" jsonschema_description:"such as main 2"`
	AtMM        *float64 `json:"at_mm,omitempty" jsonschema_description:"place of a main along the crank"`
	Cylinders   []string `json:"cylinders,omitempty" jsonschema_description:"of a big end: the cylinders whose rods share it; its bush moves with the rod of the first, and carries the resultant"`
	DiameterMM  float64  `json:"diameter_mm" jsonschema_description:"0: unknown"`
	WidthMM     float64  `json:"width_mm" jsonschema_description:"running surface, clear of the fillets; 0: unknown"`
	LandMM      float64  `json:"land_mm" jsonschema_description:"what of the width carries: less the groove; 0: unknown"`
	Grooved     bool     `json:"grooved" jsonschema_description:"with an oil groove all round, which takes 20 % of the width"`
	ClearanceUM float64  `json:"clearance_um" jsonschema_description:"diametral"`
	PeakN       float64  `json:"peak_N" jsonschema_description:"largest force"`
	PeakAtDeg   float64  `json:"peak_at_deg" jsonschema_description:"crank angle of it"`
	MeanN       float64  `json:"mean_N" jsonschema_description:"mean of the force over the cycle"`
	OtherPeakN  float64  `json:"other_sharing_peak_N,omitempty" jsonschema_description:"largest force where the mains share the other way"`
	PeakMPa     float64  `json:"peak_MPa" jsonschema_description:"specific load on the projected area; 0: unknown"`
	MeanMPa     float64  `json:"mean_MPa" jsonschema_description:"mean over the cycle of the specific load on the projected area; 0: unknown"`
	Lining      string   `json:"lining" jsonschema_description:"material of the running surface"`
	LowMPa      float64  `json:"lining_low_MPa" jsonschema_description:"guidance for the peak specific load of the lining: safe up to here"`
	HighMPa     float64  `json:"lining_high_MPa" jsonschema_description:"up to here with care"`
	Source      string   `json:"lining_source" jsonschema_description:"of the guidance: key in the list of sources"`
	UsePct      float64  `json:"use_pct" jsonschema_description:"peak specific load over the upper end of the guidance; 0: unknown"`
	Film        *FilmDoc `json:"film,omitempty" jsonschema_description:"oil film over the cycle; left out where it is unknown"`
	NoFilm      string   `json:"no_film,omitempty" jsonschema_description:"why the oil film is unknown"`
}

// FilmDoc is the oil film of a bearing over the cycle, by the mobility method.
type FilmDoc struct {
	LeastUM      float64 `json:"least_um" jsonschema_description:"thinnest film"`
	AtDeg        float64 `json:"at_deg" jsonschema_description:"crank angle of it"`
	TowardDeg    float64 `json:"toward_deg" jsonschema_description:"where on the bearing: in a main from straight up, in a big end from the small end, in the sense of rotation"`
	Eccentricity float64 `json:"eccentricity_1" jsonschema_description:"largest, over the clearance"`
	MeanUM       float64 `json:"mean_um" jsonschema_description:"mean over the cycle of the thinnest place"`
	KnownLowUM   float64 `json:"known_low_um" jsonschema_description:"bearings of medium and large engines known to work have computed films from here"`
	KnownHighUM  float64 `json:"known_high_um" jsonschema_description:"to here"`
	PowerW       float64 `json:"power_W" jsonschema_description:"turned into heat, mean over the cycle"`
	FilmC        float64 `json:"temperature_C" jsonschema_description:"of the film, the mean of feed and outlet"`
	Viscosity    float64 `json:"viscosity_mPas" jsonschema_description:"dynamic viscosity of the oil at the temperature of the film"`
	FlowLMin     float64 `json:"flow_l_per_min" jsonschema_description:"that carries the heat away at this rise"`
	Floats       bool    `json:"floats" jsonschema_description:"the film holds the metals apart at every angle: it repeats, and is nowhere thinner than 0.5 µm, which roughness reaches through"`
	Touches      int     `json:"touches" jsonschema_description:"crank angles, of those of the cycle, at which the metals touch"`
	Settled      bool    `json:"settled" jsonschema_description:"the path of the journal repeats; where it does not, and the metals do not touch, the numbers of the film are about right"`
	Lost         bool    `json:"lost" jsonschema_description:"the metals touch at some angle, or the film is thinner there than 0.5 µm"`
	Cycles       int     `json:"cycles" jsonschema_description:"cycles that were followed until the path repeated, or without"`
}

// PistonLoad are the forces between rod, pin, piston and bore of one cylinder.
type PistonLoad struct {
	Cylinder  string  `json:"cylinder" jsonschema_description:"name of the cylinder"`
	SideN     float64 `json:"side_peak_N" jsonschema_description:"of the piston on its bore"`
	SmallEndN float64 `json:"small_end_peak_N" jsonschema_description:"of the rod on the piston pin"`
}

// PolicyDoc are the mains under one policy of counterweights.
type PolicyDoc struct {
	Name   string    `json:"name" jsonschema_description:"what the counterweights take, in words"`
	WorstN float64   `json:"worst_N" jsonschema_description:"largest force on any main"`
	MeanN  float64   `json:"mean_N" jsonschema_description:"mean force, mean of all mains"`
	MainsN []float64 `json:"mains_N" jsonschema_description:"largest force on each main"`
}

// BearingCurves are the forces over two revolutions, a value a degree.
type BearingCurves struct {
	AngleDeg []float64      `json:"angle_deg" jsonschema_description:"crank angle of the values"`
	Mains    []MainCurve    `json:"mains" jsonschema_description:"from the free end to the drive end"`
	Rods     []RodCurve     `json:"rods" jsonschema_description:"by cylinder"`
	Shared   []PinCurve     `json:"shared" jsonschema_description:"big ends that several rods share"`
	Torque   []float64      `json:"torque_Nm" jsonschema_description:"of the rods on the crank"`
	Orbits   []JournalOrbit `json:"orbits" jsonschema_description:"path of each journal in its bearing over the cycle"`
}

// MainCurve is the force of a journal on its main bearing.
type MainCurve struct {
	Name   string    `json:"name" jsonschema_description:"such as main 2"`
	YN     []float64 `json:"y_N" jsonschema_description:"in the block: to the right, seen from the drive end"`
	ZN     []float64 `json:"z_N" jsonschema_description:"in the block: up"`
	AlongN []float64 `json:"along_N" jsonschema_description:"in the journal: along the direction that points up at crank angle 0"`
	AheadN []float64 `json:"ahead_N" jsonschema_description:"in the journal: a quarter turn ahead of it in the sense of rotation"`
}

// RodCurve are the forces of one rod.
type RodCurve struct {
	Cylinder  string    `json:"cylinder" jsonschema_description:"name of the cylinder"`
	SideN     []float64 `json:"side_N" jsonschema_description:"of the piston on its bore, positive towards the axis + 90°"`
	PinAlong  []float64 `json:"pin_along_N" jsonschema_description:"of the rod on its crankpin, in the pin: outward along the throw"`
	PinAhead  []float64 `json:"pin_ahead_N" jsonschema_description:"a quarter turn ahead of it in the sense of rotation"`
	RodAlong  []float64 `json:"rod_along_N" jsonschema_description:"of the rod on its crankpin, in the rod: towards the small end"`
	RodAhead  []float64 `json:"rod_ahead_N" jsonschema_description:"a quarter turn ahead of it in the sense of rotation"`
	SmallEndN []float64 `json:"small_end_N" jsonschema_description:"of the rod on the piston pin: size"`
}

// PinCurve is the resultant force of the rods that share a big end.
type PinCurve struct {
	Name     string    `json:"name" jsonschema_description:"as in big_ends"`
	PinAlong []float64 `json:"pin_along_N" jsonschema_description:"on the crankpin, in the pin: outward along the throw"`
	PinAhead []float64 `json:"pin_ahead_N" jsonschema_description:"a quarter turn ahead of it in the sense of rotation"`
	RodAlong []float64 `json:"rod_along_N" jsonschema_description:"on the crankpin, in the first of the rods: towards its small end"`
	RodAhead []float64 `json:"rod_ahead_N" jsonschema_description:"a quarter turn ahead of it in the sense of rotation"`
}

// JournalOrbit is the path of a journal's centre in its clearance, over one cycle.
type JournalOrbit struct {
	Name   string    `json:"name" jsonschema_description:"of the bearing, as in mains and big_ends"`
	X      []float64 `json:"x_1" jsonschema_description:"eccentricity over the radial clearance; in a main to the right, seen from the drive end; in a big end towards the small end"`
	Y      []float64 `json:"y_1" jsonschema_description:"in a main up; in a big end a quarter turn ahead in the sense of rotation"`
	FilmUM []float64 `json:"film_um" jsonschema_description:"thinnest film at each angle"`
}

// NewBearingsDoc collects what the bearings of an engine carry; curves adds forces and orbits by crank angle.
func NewBearingsDoc(b *analysis.Bearings, curves bool) (*BearingsDoc, error) {
	t := b.Drive.Driver.Train
	d := &BearingsDoc{
		WorkPoint: workPoint(b.Drive), Sharing: sharingWord(b.Method), NoBeam: b.NoBeam, Oil: t.Bearings.Oil,
		FeedC: tidy(t.Bearings.Feed - bearing.Zero), RiseK: tidy(t.Bearings.Rise),
		Mains: []BearingDoc{}, BigEnds: []BearingDoc{}, Pistons: []PistonLoad{}, Policies: []PolicyDoc{}, NoRoom: b.NoBudget,
		Notes: append([]string{}, b.Drive.Driver.Notes...), Summary: explain.Bearings(b), Estimated: estimatedOf(t), Assumed: assumedFor(t, analysis.OfBearings), Caution: Caution,
	}
	for i := range b.Mains {
		m := bearingDoc(&b.Mains[i], t.Bearings.Main)
		at := millimetres(b.Mechanism.Mains[i].At)
		m.AtMM = &at
		if b.ByOther != nil {
			m.OtherPeakN = tidy(b.ByOther[i].Force)
		}
		d.Mains = append(d.Mains, m)
	}
	for i := range b.BigEnds {
		c := &b.BigEnds[i]
		e := bearingDoc(c, t.Bearings.BigEnd)
		for _, k := range append([]int{c.Index}, c.Sharing...) {
			e.Cylinders = append(e.Cylinders, t.Cylinders[k].Name)
		}
		d.BigEnds = append(d.BigEnds, e)
	}
	for _, list := range [][]BearingDoc{d.Mains, d.BigEnds} {
		for _, m := range list {
			if m.Film != nil {
				d.FilmPowerW = tidy(d.FilmPowerW + m.Film.PowerW)
			}
		}
	}
	for i := range t.Cylinders {
		d.Pistons = append(d.Pistons, PistonLoad{Cylinder: t.Cylinders[i].Name, SideN: tidy(b.Sides[i]), SmallEndN: tidy(b.SmallEnds[i])})
	}
	for _, p := range b.Policies {
		q := PolicyDoc{Name: p.Name, WorstN: tidy(p.Worst.Force), MeanN: tidy(p.Mean), MainsN: []float64{}}
		for _, s := range p.Mains {
			q.MainsN = append(q.MainsN, tidy(s.Force))
		}
		d.Policies = append(d.Policies, q)
	}
	if b.Budget != nil {
		var err error
		if d.Room, err = NewRoomDoc(t, b.Budget, b.Bays, RoomWish{}); err != nil {
			return nil, err
		}
		d.Room.Name, d.Room.Estimates, d.Room.Caution = "", nil, ""
	}
	if curves {
		var err error
		if d.Curves, err = bearingCurves(b); err != nil {
			return nil, err
		}
	}
	return d, nil
}

func sharingWord(m bearing.Method) string {
	if m == bearing.Determinate {
		return string(layout.SharedByBays)
	}
	return string(layout.SharedByBeam)
}

func bearingDoc(c *analysis.Carried, seat layout.Seat) BearingDoc {
	d := BearingDoc{
		Name: c.Name, DiameterMM: millimetres(c.Bearing.Diameter), WidthMM: millimetres(c.Bearing.Width), LandMM: millimetres(c.Land.Width), Grooved: seat.Grooved,
		ClearanceUM: tidy(2e6 * c.Gap.Clearance), PeakN: tidy(c.Specific.Force), PeakAtDeg: deg(c.Specific.PeakAt), MeanN: tidy(c.Specific.MeanForce),
		PeakMPa: tidy(c.Specific.Peak / 1e6), MeanMPa: tidy(c.Specific.Mean / 1e6),
		Lining: c.Lining.Name, LowMPa: tidy(c.Lining.Low / 1e6), HighMPa: tidy(c.Lining.High / 1e6), Source: c.Lining.Source, UsePct: tidy(100 * c.Use), NoFilm: c.NoFilm,
	}
	if f := c.Film; f != nil {
		toward := f.MinToward
		if c.Known.Name == "big end" {
			toward += math.Pi / 2 // its frame has the small end on the real axis
		}
		toward = math.Mod(toward+4*math.Pi, 2*math.Pi)
		d.Film = &FilmDoc{
			LeastUM: tidy(1e6 * f.MinFilm), AtDeg: tidy(720 * float64(f.MinAt) / analysis.BearingSamples), TowardDeg: tidy(toward * 180 / math.Pi),
			Eccentricity: tidy(f.MaxEcc), MeanUM: tidy(1e6 * f.MeanFilm), KnownLowUM: tidy(1e6 * c.Known.Low), KnownHighUM: tidy(1e6 * c.Known.High),
			PowerW: tidy(f.MeanPower), FilmC: tidy(f.Temperature - bearing.Zero), Viscosity: tidy(1e3 * f.Viscosity), FlowLMin: tidy(6e4 * f.Flow),
			Floats: c.Floats(), Touches: f.Touches, Settled: f.Settled, Lost: c.Lost(), Cycles: f.Cycles,
		}
	}
	return d
}

// shortList is a curve of seven digits.
func shortList(n int, at func(int) float64) []float64 {
	out := make([]float64, n)
	for j := range out {
		out[j] = noMinusZero(shortened(at(j)))
	}
	return out
}

func bearingCurves(b *analysis.Bearings) (*BearingCurves, error) {
	m, l := b.Mechanism, b.Loads
	n := m.Samples()
	parts := func(f []complex128) (x, y []float64) {
		return shortList(len(f), func(j int) float64 { return real(f[j]) }), shortList(len(f), func(j int) float64 { return imag(f[j]) })
	}
	out := &BearingCurves{AngleDeg: shortList(n, func(j int) float64 { return 720 * float64(j) / float64(n) }), Torque: shortList(n, func(j int) float64 { return l.Torque[j] }), Orbits: []JournalOrbit{}, Shared: []PinCurve{}}
	for i := range m.Mains {
		c := MainCurve{Name: b.Mains[i].Name}
		c.YN, c.ZN = parts(l.Mains[i])
		own, err := m.PolarMain(nil, l, i, bearing.InJournal)
		if err != nil {
			return nil, err
		}
		c.AlongN, c.AheadN = parts(own)
		out.Mains = append(out.Mains, c)
	}
	t := b.Drive.Driver.Train
	for i := range t.Cylinders {
		c := RodCurve{Cylinder: t.Cylinders[i].Name}
		pin, err := m.PolarBigEnd(nil, l, i, bearing.InJournal)
		if err != nil {
			return nil, err
		}
		c.PinAlong, c.PinAhead = parts(pin)
		rod, err := m.PolarBigEnd(nil, l, i, bearing.InRod)
		if err != nil {
			return nil, err
		}
		c.RodAlong, c.RodAhead = parts(rod)
		of := &l.Of[i]
		c.SideN = shortList(n, func(j int) float64 { return of.Side[j] })
		c.SmallEndN = shortList(n, func(j int) float64 { return math.Hypot(real(of.SmallEnd[j]), imag(of.SmallEnd[j])) })
		out.Rods = append(out.Rods, c)
	}
	for _, c := range b.BigEnds {
		if len(c.Sharing) == 0 {
			continue
		}
		s := PinCurve{Name: c.Name}
		pin, err := m.PolarBigEnd(nil, l, c.Index, bearing.InJournal, c.Sharing...)
		if err != nil {
			return nil, err
		}
		s.PinAlong, s.PinAhead = parts(pin)
		rod, err := m.PolarBigEnd(nil, l, c.Index, bearing.InRod, c.Sharing...)
		if err != nil {
			return nil, err
		}
		s.RodAlong, s.RodAhead = parts(rod)
		out.Shared = append(out.Shared, s)
	}
	for k, list := range [][]analysis.Carried{b.Mains, b.BigEnds} {
		for _, c := range list {
			if c.Film == nil {
				continue
			}
			o := JournalOrbit{Name: c.Name, FilmUM: shortList(len(c.Film.Film), func(j int) float64 { return 1e6 * c.Film.Film[j] })}
			o.X, o.Y = parts(c.Film.Ecc)
			if k == 0 && t.Rotation == layout.Clockwise {
				for j := range o.X {
					o.X[j] = noMinusZero(-o.X[j])
				}
			}
			out.Orbits = append(out.Orbits, o)
		}
	}
	return out, nil
}
