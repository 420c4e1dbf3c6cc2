package envelope

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"crankwright/mechanics/layout"
	"crankwright/mechanics/mount"
)

// Part is a group of solids that are weighed together.
type Part string

// The parts of an engine, in the order of tables.
const (
	BlockPart     Part = "block"
	CapPart       Part = "main bearing caps"
	HeadPart      Part = "heads"
	CoverPart     Part = "covers"
	ValvePart     Part = "camshafts and valves"
	DrivePart     Part = "camshaft drive"
	FrontPart     Part = "front cover"
	SumpPart      Part = "sump"
	CrankPart     Part = "crank"
	FlywheelPart  Part = "flywheel and damper"
	PistonPart    Part = "pistons"
	RodPart       Part = "rods"
	ShaftPart     Part = "balance shafts"
	IntakePart    Part = "intake"
	ExhaustPart   Part = "exhaust"
	AccessoryPart Part = "accessories"
	OilPart       Part = "oil"
	CoolantPart   Part = "coolant"
)

// Parts returns the parts in the order of tables [-]. Definition.
func Parts() []Part {
	return []Part{
		BlockPart, CapPart, HeadPart, CoverPart, ValvePart, DrivePart, FrontPart, SumpPart, CrankPart, FlywheelPart, PistonPart, RodPart,
		ShaftPart, IntakePart, ExhaustPart, AccessoryPart, OilPart, CoolantPart,
	}
}

// Piece is one part with its mass.
type Piece struct {
	Part Part
	Body mount.Body // what turns on the mean over a revolution [kg], [m], [kg m²]
}

// Envelope is the room that an engine takes and what it weighs.
type Envelope struct {
	Solids []Solid
	Pieces []Piece    // in the order of Parts, those that the engine has
	Body   mount.Body // of the engine ready to run [kg], [m], [kg m²]
	Dry    mount.Body // without oil and coolant
	Scale  float64    // factor on the parts that nobody weighed, so that the dry mass is the one that was weighed [1]

	Lo, Hi                r3.Vec  // corners of the box round the engine [m]
	Length, Width, Height float64 // of that box [m]
	Above, Below          float64 // height above the crank axis, and depth below it [m]
	Banks                 float64 // width over the heads [m]; 0: all cylinders stand in one plane with the crank
	CentreAbove           float64 // centre of gravity of the engine ready to run above the crank axis [m]
	CentreBottom          float64 // and above the lowest point of the engine [m]

	Rows       []Row
	Front      float64 // face of the block at the free end [m]
	Rear       float64 // and at the drive end [m]
	Extents    Extents
	Swept      Outline // by rods, webs and counterweights about the crank axis [m]
	Clearances []Clearance
	Cautions   []string

	round *crankcase // for Size
}

// Extents say what bores and crank ask for along the engine [m].
type Extents struct {
	CrankFrom, CrankTo float64 // outer faces of the end main bearings
	BoresFrom, BoresTo float64 // outer faces of the walls round the end bores
}

// Crank returns the length over the main bearings [m]. Definition.
func (e Extents) Crank() float64 { return e.CrankTo - e.CrankFrom }

// Bores returns the length over bores and end walls [m]. Definition.
func (e Extents) Bores() float64 { return e.BoresTo - e.BoresFrom }

// Of returns the room that an engine takes and what it weighs.
//
//   - t: a train that layout.Validate accepts, with its bore and the sizes of its block as package estimate fills them
//
// Result [m], [kg], [kg m²]; what turns counts on the mean over a revolution. Masses that are not known follow from
// geometry and density and scatter by ±20 %. Errors: layout.Problems, ErrNoBore, ErrNoBlock, motion.ErrReach, a weighed
// mass that the known parts exceed. Source: DEFINITION for bodies and sizes, PRACTICE for what nobody drew.
func Of(t *layout.Train) (*Envelope, error) { return of(t, nil, true) }

// Size is Of without Clearances, for many engines that are much like each other.
//
//   - t: as for Of
//   - like: of another engine; what its crankcase depends on may be the same, which saves half the time. It may be nil
//
// Result [m], [kg], [kg m²], the same as of Of. Errors: as Of. Source: as Of.
func Size(t *layout.Train, like *Envelope) (*Envelope, error) {
	var round *crankcase
	if like != nil {
		round = like.round
	}
	return of(t, round, false)
}

func of(t *layout.Train, like *crankcase, clearances bool) (*Envelope, error) {
	f, err := newFrame(t, like)
	if err != nil {
		return nil, err
	}
	e := &Envelope{
		Rows: f.rows, Front: f.front, Rear: f.rear, Swept: f.swept, round: f.round,
		Extents: Extents{f.crankFrom, f.crankTo, f.boresFrom, f.boresTo},
	}
	for _, build := range []func() []Solid{
		f.block, f.headsAndCams, f.pushrods, f.frontCover, f.sump, f.crank, f.flywheel, f.damper, f.pistons, f.rods, f.shafts, f.manifolds, f.accessories, f.fluids,
	} {
		e.Solids = append(e.Solids, build()...)
	}
	if err := e.weigh(f); err != nil {
		return nil, err
	}
	e.size(f)
	if clearances {
		e.Clearances = f.clearances()
	}
	e.Cautions = f.cautions
	if t.Rotation == layout.Clockwise {
		e.mirror()
	}
	return e, nil
}

// exact reports whether the mass of a part is the file's own, and not one of proportions.
func exact(t *layout.Train, p Part) bool {
	switch p {
	case PistonPart, RodPart, OilPart, CoolantPart:
		return true
	case AccessoryPart:
		return !slices.ContainsFunc(t.Assumed, func(e layout.Estimate) bool { return e.Key == "block.accessories" })
	}
	return false
}

// weigh joins the solids to bodies, and scales the estimated ones to the weighed mass.
func (e *Envelope) weigh(f *frame) error {
	of := map[Part][]mount.Body{}
	for i := range e.Solids {
		s := &e.Solids[i]
		b := s.Body()
		switch {
		case s.Part == RodPart:
			continue
		case s.Part == CrankPart || s.Part == FlywheelPart:
			b = Spread(b)
		}
		of[s.Part] = append(of[s.Part], b)
	}
	of[RodPart] = f.rodBodies()
	known, guessed := 0.0, 0.0
	for _, p := range Parts() {
		b := mount.Join(of[p]...)
		if !(b.Mass > 0) {
			continue
		}
		b.Name = string(p)
		e.Pieces = append(e.Pieces, Piece{p, b})
		switch {
		case p == OilPart || p == CoolantPart:
		case exact(f.t, p):
			known += b.Mass
		default:
			guessed += b.Mass
		}
	}
	e.Scale = 1
	if dry := f.b.DryMass; dry > 0 {
		if dry <= known {
			return fmt.Errorf("envelope: a dry mass of %.4g kg is not possible: the parts whose masses are known weigh %.4g kg alone; give the mass of the whole engine without oil and coolant", dry, known)
		}
		e.Scale = (dry - known) / guessed
		if e.Scale < 0.5 || e.Scale > 2 {
			f.say("The weighed mass is %.2g times what geometry and density give for the parts that nobody weighed; check metals and sizes.", e.Scale)
		}
	}
	var all, dry []mount.Body
	for i := range e.Pieces {
		p := &e.Pieces[i]
		if !exact(f.t, p.Part) {
			p.Body = scaled(p.Body, e.Scale)
		}
		all = append(all, p.Body)
		if p.Part != OilPart && p.Part != CoolantPart {
			dry = append(dry, p.Body)
		}
	}
	for i := range e.Solids {
		if s := &e.Solids[i]; !exact(f.t, s.Part) {
			s.Density *= e.Scale
		}
	}
	e.Body, e.Dry = mount.Join(all...), mount.Join(dry...)
	e.Body.Name, e.Dry.Name = "engine", "engine, dry"
	return e.Body.Check()
}

func scaled(b mount.Body, by float64) mount.Body {
	b.Mass *= by
	for i := range b.Inertia {
		for k := range b.Inertia[i] {
			b.Inertia[i][k] *= by
		}
	}
	return b
}

// size finds the box round the engine.
func (e *Envelope) size(f *frame) {
	e.Lo, e.Hi = r3.Vec{X: f.front - f.b.FrontRoom, Y: math.Inf(1), Z: math.Inf(1)}, r3.Vec{X: f.rear + f.b.RearRoom, Y: math.Inf(-1), Z: math.Inf(-1)}
	for i := range e.Solids {
		if s := &e.Solids[i]; !s.Void {
			lo, hi := s.Extent()
			e.Lo, e.Hi = least(e.Lo, lo), most(e.Hi, hi)
		}
	}
	e.Length, e.Width, e.Height = e.Hi.X-e.Lo.X, e.Hi.Y-e.Lo.Y, e.Hi.Z-e.Lo.Z
	e.Above, e.Below = e.Hi.Z, -e.Lo.Z
	e.CentreAbove, e.CentreBottom = e.Body.Centre.Z, e.Body.Centre.Z-e.Lo.Z
	lo, hi, axes := math.Inf(1), math.Inf(-1), false
	for _, r := range f.rows {
		axes = axes || !sameAngle(r.Axis, f.rows[0].Axis)
	}
	for i := range f.tops {
		r := &f.tops[i].Row
		for _, p := range append(f.headSection(r), f.coverSection(r)...) {
			lo, hi = min(lo, real(p)), max(hi, real(p))
		}
	}
	if axes {
		e.Banks = hi - lo
	}
}

// mirror turns an engine into its mirror image, y → −y.
func (e *Envelope) mirror() {
	body := func(b *mount.Body) {
		b.Centre.Y = -b.Centre.Y
		for _, i := range []int{0, 2} {
			b.Inertia[1][i], b.Inertia[i][1] = -b.Inertia[1][i], -b.Inertia[i][1]
		}
	}
	for i := range e.Solids {
		e.Solids[i] = e.Solids[i].Mirrored()
	}
	for i := range e.Pieces {
		body(&e.Pieces[i].Body)
	}
	body(&e.Body)
	body(&e.Dry)
	e.Lo.Y, e.Hi.Y = -e.Hi.Y, -e.Lo.Y
	e.Swept = e.Swept.Mirrored()
	for i := range e.Rows {
		r := &e.Rows[i]
		r.Axis, r.Offset = -r.Axis, -r.Offset
	}
}
