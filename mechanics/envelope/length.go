package envelope

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"crankwright/mechanics/bearing"
	"crankwright/mechanics/layout"
)

// Usual sizes of a crank that a train does not have, as shares of the bore [1], widths of journals for one rod between two mains
// and for two, and the height of a piston from pin to crown; those of package estimate for general duty. Source: MANUALS, PRACTICE.
const (
	UsualMainDiameter = 0.70
	UsualPinDiameter  = 0.58
	UsualMain         = 0.30
	UsualMainOfTwo    = 0.255
	UsualRod          = 0.30
	UsualRodOfTwo     = 0.235
	UsualWeb          = 0.22
	UsualWebWidth     = 1.05
	UsualCrown        = 0.38
)

// Least widths of a crank that engines get along with: of a main journal over its diameter, of pin for each rod over its
// diameter, of a web over the crankpin's diameter [1]. Source: PRACTICE, from memory.
const (
	LeastMainRatio = 0.30
	LeastRodRatio  = 0.35
	LeastWebRatio  = 0.30
)

// Step is the distance of two neighbouring bays at one bore, and what asks for it.
type Step struct {
	Crank float64 // what journals, webs and pins need [m]
	Bores float64 // what bores and walls need [m]; 0: no two bores of one bank stand there
}

// Pitch returns the larger of the two needs [m]. Definition.
func (s Step) Pitch() float64 { return max(s.Crank, s.Bores) }

// Sized is an engine of the same displacement at another ratio of bore to stroke, as short as bores and crank let it be.
type Sized struct {
	Ratio                 float64 // bore over stroke [1]
	Bore, Stroke          float64 // [m]
	Length, Width, Height float64 // [m]
	Block                 float64 // length of the block alone [m]
	Steps                 []Step  // from the free end
	BoresSet              int     // how many of them the bores set
	EndsByBores           bool    // the end bores, not the end mains, end the block
	LeastBlock            float64 // length of the block with a crank of least widths [m]
}

// BoreStroke is what bore against stroke does to an engine at fixed displacement.
type BoreStroke struct {
	Needs   bearing.Needs // widths of the crank, held at every bore [m]
	Held    []string      // where they come from
	Points  []Sized       // by ratio, ascending
	Present Sized         // at the present ratio
	Slope   float64       // d length/d bore at the present ratio [1]
	Have    float64       // length of the engine as it stands [m]
}

// UsualRatios returns factors on the ratio of bore to stroke for a study [1]: 0.8 to 1.3 in steps of 0.05. Definition.
func UsualRatios() []float64 {
	var out []float64
	for k := 16; k <= 26; k++ {
		out = append(out, float64(k)/20)
	}
	return out
}

// HeldNeeds returns the widths of a crank that bore against stroke leaves as they are.
//
// A width that the file gives is held; one that was estimated to fill the cylinder spacing gives way to the usual one of
// this bore, which is what bearings and webs need for their loads. No width is below the least ratio to its diameter.
//
//   - t: a train that layout.Validate accepts, with its bore
//
// Result [m], and for each width in words where it comes from. Source: PRACTICE.
func HeldNeeds(t *layout.Train) (bearing.Needs, []string) {
	rods := 1
	perPin := 1.0
	for _, bay := range bearing.Bays(t) {
		n := 0
		for i := range t.Cylinders {
			if !t.Cylinders[i].Rod.Linked && slices.Contains(bay.Throws, t.Cylinders[i].Throw) {
				n++
			}
		}
		if places := placesOf(t, bay); places >= 2 && n >= 2 {
			rods = 2
			if len(bay.Throws) == 1 {
				perPin = 2
			}
		}
	}
	main, rod := UsualMain, UsualRod
	if rods == 2 {
		main, rod = UsualMainOfTwo, UsualRodOfTwo
	}
	estimated := func(key string) bool {
		return slices.ContainsFunc(t.Estimates, func(e layout.Estimate) bool { return e.Key == key })
	}
	c := &t.Crank
	pin, journal := c.Crankpin.Diameter, c.MainJournal.Diameter
	if pin <= 0 {
		pin = UsualPinDiameter * t.Bore
	}
	if journal <= 0 {
		journal = UsualMainDiameter * t.Bore
	}
	var n bearing.Needs
	var words []string
	for _, w := range []struct {
		put                *float64
		name, key          string
		own, usual, lowest float64
	}{
		{&n.Main, "main journal", "crank.main_journal.width", c.MainJournal.Width, main * t.Bore, LeastMainRatio * journal},
		{&n.Pin, "crankpin", "crank.crankpin.width", c.Crankpin.Width, perPin * rod * t.Bore, perPin * LeastRodRatio * pin},
		{&n.Web, "web", "crank.web.thickness", c.Web.Thickness, UsualWeb * t.Bore, LeastWebRatio * pin},
	} {
		from := "the file's own"
		*w.put = w.own
		if w.own <= 0 || estimated(w.key) {
			*w.put, from = w.usual, "usual for this bore"
		}
		if *w.put < w.lowest {
			*w.put, from = w.lowest, "least for its diameter"
		}
		words = append(words, fmt.Sprintf("%s %.3g mm (%s)", w.name, 1e3**w.put, from))
	}
	return n, words
}

// placesOf counts the places along the crank at which the rods of a bay stand.
func placesOf(t *layout.Train, bay bearing.Bay) int {
	var at []float64
	for i := range t.Cylinders {
		c := &t.Cylinders[i]
		if c.Rod.Linked || !slices.Contains(bay.Throws, c.Throw) {
			continue
		}
		if !slices.ContainsFunc(at, func(x float64) bool { return math.Abs(x-c.At) < 1e-6 }) {
			at = append(at, c.At)
		}
	}
	return len(at)
}

// leastNeeds returns the least widths that engines get along with.
func leastNeeds(t *layout.Train, held bearing.Needs) bearing.Needs {
	c := &t.Crank
	pins := 1.0
	for _, bay := range bearing.Bays(t) {
		if len(bay.Throws) == 1 && placesOf(t, bay) > 1 {
			pins = 2
		}
	}
	at := func(least, have float64) float64 {
		if least <= 0 {
			return have
		}
		return min(least, have)
	}
	return bearing.Needs{
		Main: at(LeastMainRatio*c.MainJournal.Diameter, held.Main), Pin: at(pins*LeastRodRatio*c.Crankpin.Diameter, held.Pin),
		Web: at(LeastWebRatio*c.Crankpin.Diameter, held.Web),
	}
}

// OverBore returns what bore against stroke does to length, width and height at fixed displacement.
//
//	B' = B q^{1/3}    S' = S q^{−2/3}    pitch = max(crank, B' + wall')
//
// with
//   - t: as for Of
//   - factors: q on the present ratio of bore to stroke [1], each from 0.3 to 3
//
// Result [m], at every ratio for the shortest engine that bores and crank allow. Widths and diameters of the crank are
// held, rods keep their ratio to the stroke, walls and heads grow with the bore. An inline's pitches are set by its bores,
// so that every one of them grows with the bore; between two throws of a vee two big ends, two webs and a main stand side
// by side, and that is more than one bore wants, so that only its ends grow, until the bores overtake the crank.
// Errors: those of Of, factors that are none. Source: DEFINITION for the sums, PRACTICE for the widths.
func OverBore(t *layout.Train, factors []float64) (*BoreStroke, error) {
	if len(factors) == 0 || len(factors) > 200 {
		return nil, errors.New("envelope: give from 1 to 200 ratios of bore to stroke")
	}
	f, err := newFrame(t, nil)
	if err != nil {
		return nil, err
	}
	present, err := Of(t)
	if err != nil {
		return nil, err
	}
	out := &BoreStroke{Have: present.Length}
	out.Needs, out.Held = HeldNeeds(t)
	study := &boreStudy{t: f.t, needs: out.Needs, least: leastNeeds(f.t, out.Needs)}
	for i, at := range []*[]Step{&study.steps, &study.leastSteps} {
		budget, err := bearing.Axial(f.t, nil, []bearing.Needs{study.needs, study.least}[i])
		if err != nil {
			return nil, err
		}
		if len(bearing.Bays(t)) > 1 {
			for _, p := range budget.Pitches {
				*at = append(*at, Step{Crank: p.Crank, Bores: p.Bores})
			}
		}
	}
	list := slices.Clone(factors)
	slices.Sort(list)
	for _, q := range list {
		if !(q >= 0.3 && q <= 3) {
			return nil, fmt.Errorf("envelope: a factor of %g on bore over stroke is not allowed; take 0.3 to 3, such as 0.8 to 1.3", q)
		}
		p, err := study.at(q)
		if err != nil {
			return nil, err
		}
		out.Points = append(out.Points, p)
	}
	if out.Present, err = study.at(1); err != nil {
		return nil, err
	}
	const step = 1.003
	lo, err := study.at(1 / step)
	if err != nil {
		return nil, err
	}
	hi, err := study.at(step)
	if err != nil {
		return nil, err
	}
	out.Slope = (hi.Length - lo.Length) / (hi.Bore - lo.Bore)
	return out, nil
}

// boreStudy is an engine whose bore changes.
type boreStudy struct {
	t                 *layout.Train // with all widths of its crank
	needs, least      bearing.Needs
	steps, leastSteps []Step // at the present bore
}

// stepsAt returns the steps at another bore.
func (s *boreStudy) stepsAt(from []Step, bore float64) []Step {
	wall := s.t.Block.BoreWall / s.t.Bore
	out := slices.Clone(from)
	for i := range out {
		if out[i].Bores > 0 {
			out[i].Bores += bore*(1+wall) - s.t.Bore*(1+bearing.LeastWall)
		}
	}
	return out
}

func (s *boreStudy) at(q float64) (Sized, error) {
	k := math.Cbrt(q) // of the bore
	j := 1 / (k * k)  // of the stroke
	old := s.t
	longest := 0.0
	for _, th := range old.Throws {
		longest = max(longest, th.Radius)
	}
	p := Sized{Ratio: old.Bore * k / (2 * longest * j), Bore: old.Bore * k, Stroke: 2 * longest * j}
	p.Steps = s.stepsAt(s.steps, p.Bore)
	for _, st := range p.Steps {
		if st.Bores >= st.Crank {
			p.BoresSet++
		}
	}
	t := s.resized(k, j, p.Steps, s.needs)
	f, err := frameOf(t, nil)
	if err != nil {
		return p, err
	}
	e := &Envelope{}
	for _, build := range []func() []Solid{f.block, f.headsAndCams, f.pushrods, f.frontCover, f.sump, f.flywheel, f.damper, f.manifolds, f.accessories} {
		e.Solids = append(e.Solids, build()...)
	}
	e.size(f)
	p.Length, p.Width, p.Height, p.Block = e.Length, e.Width, e.Height, f.rear-f.front
	p.EndsByBores = f.boresTo-f.boresFrom > f.crankTo-f.crankFrom
	least, err := frameOf(s.resized(k, j, s.stepsAt(s.leastSteps, p.Bore), s.least), nil)
	if err != nil {
		return p, err
	}
	p.LeastBlock = least.rear - least.front
	return p, nil
}

// resized returns the train with another bore and stroke, its bays moved to the pitches that are needed.
func (s *boreStudy) resized(k, j float64, steps []Step, needs bearing.Needs) *layout.Train {
	old := s.t
	t := *old
	t.Throws, t.Cylinders = slices.Clone(old.Throws), slices.Clone(old.Cylinders)
	t.Counterweights = slices.Clone(old.Counterweights)
	t.Bore = old.Bore * k
	c := &t.Crank
	c.MainJournal.Width, c.Crankpin.Width, c.Web.Thickness = needs.Main, needs.Pin, needs.Web
	shift := make([]float64, len(t.Throws))
	bays := bearing.Bays(old)
	middle := func(b bearing.Bay) float64 { return (b.Lo + b.Hi) / 2 }
	place := make([]float64, len(bays))
	for i := range bays {
		if i == 0 {
			place[i] = middle(bays[0])
		} else {
			place[i] = place[i-1] + steps[i-1].Pitch()
		}
	}
	recentre := (middle(bays[0]) + middle(bays[len(bays)-1]) - place[0] - place[len(bays)-1]) / 2
	longest := 0.0
	for i, b := range bays {
		for _, th := range b.Throws {
			shift[th] = place[i] + recentre - middle(b)
		}
	}
	for i := range t.Throws {
		longest = max(longest, old.Throws[i].Radius)
		t.Throws[i].At += shift[i]
		t.Throws[i].Radius *= j
	}
	for i := range t.Cylinders {
		cyl := &t.Cylinders[i]
		cyl.At += shift[cyl.Throw]
		cyl.Rod.Length *= j
		cyl.Piston.CompressionHeight *= k
	}
	for i := range t.Counterweights {
		if th := t.Counterweights[i].Throw - 1; th >= 0 && th < len(shift) {
			t.Counterweights[i].At += shift[th]
		}
	}
	b, was := &t.Block, &old.Block
	dr := longest * (j - 1)
	rods, crown := 0.0, 0.0
	for i := range old.Cylinders {
		rods = max(rods, old.Cylinders[i].Rod.Length)
		crown = max(crown, old.Cylinders[i].Piston.CompressionHeight)
	}
	if crown == 0 {
		crown = UsualCrown * old.Bore
	}
	b.DeckHeight = max(0.3*was.DeckHeight, was.DeckHeight+dr+rods*(j-1)+crown*(k-1))
	b.HeadHeight = was.HeadHeight * k
	b.BoreLength = min(max(0.3*was.BoreLength, was.BoreLength+2*dr+(crown+0.1*old.Bore)*(k-1)), 0.95*b.DeckHeight)
	b.SkirtDepth = was.SkirtDepth * k
	if was.SumpDepth > 0 {
		b.SumpDepth = max(b.SkirtDepth, (was.SumpDepth-longest)*k+longest*j)
	}
	b.Wall, b.BoreWall, b.PistonSkirt = was.Wall*k, was.BoreWall*k, was.PistonSkirt*k
	b.CounterweightRadius = max(0.3*was.CounterweightRadius, was.CounterweightRadius+dr)
	return &t
}
