package envelope

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"crankwright/mechanics/bearing"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/motion"
	"crankwright/num"
)

// ErrNoBore is returned where the bore is unknown.
var ErrNoBore = errors.New("envelope: the bore is unknown, and all sizes follow from it; give it, such as 'bore: 86 mm'")

// ErrNoBlock is returned where a size of the block is unknown that should have been given or estimated.
var ErrNoBlock = errors.New("envelope: a size or density of the block is unknown")

// Proportions of the parts that nobody sizes in a layout, as shares of the bore [1]. Source: PRACTICE, from memory, ±30 %.
const (
	BarrelShare  = 0.08 // wall of a bore, with its liner
	JacketShare  = 0.12 // water jacket
	FinShare     = 0.25 // fins round an air-cooled barrel, beside the engine; along it the next barrel cuts them
	DeckShare    = 0.14 // plate under the head joint
	FootShare    = 0.08 // plate at the lower edge of the bores
	CaseShare    = 0.04 // clearance of what turns to the crankcase
	ShankAtBig   = 0.17 // half-width of a rod's shank at its big end
	ShankAtSmall = 0.12 // and at its small end
	TwinCamHalf  = 1.1  // half the width of a head with two camshafts
)

// Row is the cylinders of one bank that stand along one line, with their block and head.
type Row struct {
	Name      string
	Axis      num.Angle // from +z about +x [rad]
	Offset    float64   // of the cylinder axes from the crank axis, positive towards Axis + 90° [m]
	Cylinders []int     // from the free end
	From, To  float64   // faces of its block along x [m]
	Lower     float64   // lower edge of the bores, along the cylinders from the crank axis [m]
	Deck      float64   // head joint [m]
	Top       float64   // of the head with its cover [m]
	Half      float64   // half the width of its block [m]
	HeadHalf  float64   // half the width of its head [m]
}

// at returns the place of a point of the row, out along the cylinders and across them from the crank axis.
func (r *Row) at(out, across float64) complex128 {
	return complex(out, r.Offset+across) * 1i * r.Axis.Unit()
}

// rectangle returns a section of the row.
func (r *Row) rectangle(from, to, left, right float64) []complex128 {
	return []complex128{r.at(from, left), r.at(to, left), r.at(to, right), r.at(from, right)}
}

// frame is what all parts are built from.
type frame struct {
	t        *layout.Train // a copy with widths of the crank
	b        *layout.Block
	bore     float64
	mains    []bearing.Main
	rows     []Row
	rowOf    []int // by cylinder
	tops     []top // what stands on the rows: one a bank, or one over all of them
	heads    []top // the heads, of which each is a top or the part of one over a cylinder
	cylinder []moved
	most     float64 // largest crank radius [m]

	crankFrom, crankTo float64 // outer faces of the end mains [m]
	boresFrom, boresTo float64 // outer faces of the end walls [m]
	front, rear        float64 // faces of the block [m]
	hasSump            bool
	split              bool // the crankcase is a whole ring: no main bearing caps

	round    *crankcase
	swept    Outline      // by what turns
	in, out  []complex128 // inside and outside of the crankcase, convex
	cautions []string
}

// moved is where a piston and its rod are on the mean and at the dead centres.
type moved struct {
	link   motion.Linkage
	phase  num.Angle
	axis   complex128 // direction of the cylinder, i e^{iβ}
	crown  float64    // from pin to crown [m]
	high   float64    // piston pin at top dead centre [m]
	mean   float64    // of the piston pin over a revolution [m]
	bottom num.Angle  // crank angle of bottom dead centre in the linkage's frame [rad]
	offset float64    // of the pin's path from the crank axis [m]
}

func newFrame(train *layout.Train, like *crankcase) (*frame, error) {
	if train == nil {
		return nil, errors.New("envelope: a train is needed, there is none")
	}
	if err := layout.Validate(train); err != nil {
		return nil, err
	}
	return frameOf(train, like)
}

// frameOf is newFrame for a train that Validate has accepted, or that was made from one.
func frameOf(train *layout.Train, like *crankcase) (*frame, error) {
	if !(train.Bore > 0) {
		return nil, ErrNoBore
	}
	t := *train
	f := &frame{t: &t, b: &t.Block, bore: t.Bore}
	for _, n := range []struct {
		x   float64
		key string
	}{
		{t.Block.DeckHeight, "deck_height"},
		{t.Block.HeadHeight, "head_height"},
		{t.Block.BoreLength, "bore_length"},
		{t.Block.Wall, "wall"},
		{t.Block.BoreWall, "bore_wall"},
		{t.Block.Density, "density"},
		{t.Block.HeadDense, "head_density"},
		{t.Block.SumpDense, "sump_density"},
		{t.Block.BigEndWidth, "big_end_width"},
		{t.Block.CounterweightRadius, "counterweight_radius"},
	} {
		if n.x <= 0 {
			return nil, fmt.Errorf("%w: block.%s; give it a value greater than 0", ErrNoBlock, n.key)
		}
	}
	f.crankWidths()
	if err := f.motion(); err != nil {
		return nil, err
	}
	f.findRows()
	f.findTops()
	f.faces()
	f.hasSump = t.Block.SumpDepth > 0
	f.split = f.undivided()
	f.turning(like)
	return f, nil
}

// undivided reports whether whole rings of the crankcase hold the mains, and not caps: as the making says, or where it does
// not, as the rows stand.
func (f *frame) undivided() bool {
	if c := f.t.Making.Crankcase; c != "" {
		return c != layout.Caps
	}
	flat := true
	for _, r := range f.rows {
		flat = flat && math.Abs(math.Cos(float64(r.Axis))) < 0.35
	}
	return flat || !f.hasSump
}

// crankWidths gives the crank the widths that it lacks.
func (f *frame) crankWidths() {
	c := &f.t.Crank
	lacks := false
	or := func(x *float64, share float64) {
		if *x <= 0 {
			*x, lacks = share*f.bore, true
		}
	}
	or(&c.MainJournal.Diameter, UsualMainDiameter)
	or(&c.Crankpin.Diameter, UsualPinDiameter)
	or(&c.MainJournal.Width, UsualMain)
	or(&c.Crankpin.Width, UsualRod)
	or(&c.Web.Thickness, UsualWeb)
	or(&c.Web.Width, UsualWebWidth)
	if lacks {
		f.say("Sizes of the crank that the file does not have are those of a car engine of this bore.")
	}
	f.mains = bearing.Mains(f.t)
	for _, th := range f.t.Throws {
		f.most = max(f.most, th.Radius)
	}
}

func (f *frame) say(format string, args ...any) {
	f.cautions = append(f.cautions, fmt.Sprintf(format, args...))
}

// motion finds where pistons are at their dead centres and on the mean.
func (f *frame) motion() error {
	for i := range f.t.Cylinders {
		c := &f.t.Cylinders[i]
		link, _, phase := motion.LinkageOf(f.t, i)
		m := moved{link: link, phase: phase, axis: 1i * c.Axis.Unit(), crown: c.Piston.CompressionHeight, offset: link.Offset}
		if m.crown <= 0 {
			m.crown = UsualCrown * f.bore
		}
		top, bottom, err := link.DeadCentres()
		if err != nil {
			return fmt.Errorf("cylinder %s: %w", c.Name, err)
		}
		m.bottom = bottom
		n := max(64, link.Samples())
		for k, φ := range append([]num.Angle{top}, revolution(n)...) {
			s, err := link.At(φ)
			if err != nil {
				return fmt.Errorf("cylinder %s: %w", c.Name, err)
			}
			if x := real(s.Piston.Pos); k == 0 {
				m.high = x
			} else {
				m.mean += x / float64(n)
			}
		}
		f.cylinder = append(f.cylinder, m)
	}
	return nil
}

func revolution(n int) []num.Angle {
	out := make([]num.Angle, n)
	for i := range out {
		out[i] = num.Turn * num.Angle(i) / num.Angle(n)
	}
	return out
}

// findRows groups the cylinders by bank, axis and offset.
func (f *frame) findRows() {
	f.rowOf = make([]int, len(f.t.Cylinders))
	half := f.bore/2 + (BarrelShare+JacketShare)*f.bore + f.b.Wall
	if f.t.Making.Cooling == layout.Air {
		half = f.bore/2 + (BarrelShare+FinShare)*f.bore
	}
	for i := range f.t.Cylinders {
		c := &f.t.Cylinders[i]
		k := slices.IndexFunc(f.rows, func(r Row) bool {
			of := &f.t.Cylinders[r.Cylinders[0]]
			return of.Bank == c.Bank && sameAngle(r.Axis, c.Axis) && math.Abs(r.Offset-c.Offset) < 1e-9
		})
		if k < 0 {
			k = len(f.rows)
			r := Row{
				Axis: c.Axis, Offset: c.Offset, Lower: max(0, f.b.DeckHeight-f.b.BoreLength),
				Deck: f.b.DeckHeight, Top: f.b.DeckHeight + f.b.HeadHeight, Half: half, HeadHalf: half,
			}
			if f.b.Camshafts > 1 {
				r.HeadHalf = max(half, TwinCamHalf*f.bore)
			}
			if c.Bank >= 0 && c.Bank < len(f.t.Banks) {
				r.Name = f.t.Banks[c.Bank].Name
			}
			f.rows = append(f.rows, r)
		}
		f.rows[k].Cylinders = append(f.rows[k].Cylinders, i)
		f.rowOf[i] = k
	}
	end := f.bore/2 + f.b.BoreWall + f.b.Wall
	for k := range f.rows {
		r := &f.rows[k]
		slices.SortStableFunc(r.Cylinders, func(a, b int) int {
			return cmp.Compare(f.t.Cylinders[a].At, f.t.Cylinders[b].At)
		})
		r.From = f.t.Cylinders[r.Cylinders[0]].At - end
		r.To = f.t.Cylinders[r.Cylinders[len(r.Cylinders)-1]].At + end
		f.low(r)
	}
}

// lowShare is how far, over the bore, the highest crown of a row may stay below its head joint [1]: more has no engine.
const lowShare = 0.05

// low warns of a row whose pistons do not come up to its head joint.
func (f *frame) low(r *Row) {
	highest := math.Inf(-1)
	for _, i := range r.Cylinders {
		highest = max(highest, f.cylinder[i].high+f.cylinder[i].crown)
	}
	below := r.Deck - highest
	if below <= lowShare*f.bore {
		return
	}
	row := "The highest crown"
	if len(f.rows) > 1 {
		names := make([]string, len(r.Cylinders))
		for k, i := range r.Cylinders {
			names[k] = f.t.Cylinders[i].Name
		}
		row = "In the row of " + num.List(names, "and") + " the highest crown"
	}
	f.say("%s stops %s mm below the head joint: all rows have one deck height, %s mm, so that width, height and mass of this one come out too large.",
		row, num.Digits(1e3*below, 3), num.Digits(1e3*r.Deck, 4))
}

func sameAngle(a, b num.Angle) bool {
	return math.Abs(math.Remainder(float64(a-b), 2*math.Pi)) < 1e-9
}

// faces finds where the block ends along the crank.
func (f *frame) faces() {
	first, last := f.mains[0], f.mains[len(f.mains)-1]
	f.crankFrom, f.crankTo = first.At-first.Width/2, last.At+last.Width/2
	f.boresFrom, f.boresTo = math.Inf(1), math.Inf(-1)
	for _, r := range f.rows {
		f.boresFrom, f.boresTo = min(f.boresFrom, r.From), max(f.boresTo, r.To)
	}
	f.front, f.rear = min(f.crankFrom, f.boresFrom), max(f.crankTo, f.boresTo)
}

// borders returns, for the plane midway between a row and each that stands beside it, the direction across that plane
// towards the row; all these planes hold the crank axis.
func (f *frame) borders(k int) []complex128 {
	var out []complex128
	r := &f.rows[k]
	for j := range f.rows {
		o := &f.rows[j]
		turn := math.Remainder(float64(o.Axis-r.Axis), 2*math.Pi)
		if j == k || math.Abs(turn) < 1e-9 || math.Abs(turn) > 0.999*math.Pi || o.From >= r.To || r.From >= o.To {
			continue
		}
		// across the bisector, towards the row
		normal := 1i * num.Angle(float64(r.Axis)+turn/2-math.Copysign(math.Pi/2, turn)).Unit()
		out = append(out, normal)
	}
	return out
}

// own returns the part of a section that is nearer to its own row than to any other.
func (f *frame) own(k int, section []complex128) []complex128 {
	for _, towards := range f.borders(k) {
		section = cut(section, 0, towards)
	}
	return section
}
