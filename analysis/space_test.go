package analysis_test

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"crankwright/analysis"
	"crankwright/estimate"
	"crankwright/mechanics/envelope"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/mount"
)

func spaceOf(t testing.TB, train *layout.Train) *envelope.Envelope {
	t.Helper()
	e, err := analysis.Space(train)
	if err != nil {
		t.Fatal(train.Name, err)
	}
	return e
}

// Every example is a body that can exist, its masses add up, its solids stand inside its box, and the masses of the file
// are the masses of the parts.
func TestSpaceOfExamples(t *testing.T) {
	examples(t, func(name string, train *layout.Train) {
		e := spaceOf(t, train)
		if err := e.Dry.Check(); err != nil {
			t.Error(name, err)
		}
		var all []mount.Body
		mass, pistons, rods := 0.0, 0.0, 0.0
		for _, p := range e.Pieces {
			all = append(all, p.Body)
			mass += p.Body.Mass
		}
		if math.Abs(mass-e.Body.Mass) > 1e-9*mass || math.Abs(e.Dry.Mass+train.Block.Oil+train.Block.Coolant-e.Body.Mass) > 1e-9*mass {
			t.Errorf("%s: parts weigh %g, the engine %g, dry %g", name, mass, e.Body.Mass, e.Dry.Mass)
		}
		if j := mount.Join(all...); math.Abs(j.Inertia[0][0]-e.Body.Inertia[0][0]) > 1e-9*j.Inertia[0][0] {
			t.Errorf("%s: the inertia of the parts is not that of the engine", name)
		}
		for _, c := range train.Cylinders {
			pistons, rods = pistons+c.Piston.Mass, rods+c.Rod.Mass
		}
		for _, p := range e.Pieces {
			want := map[envelope.Part]float64{
				envelope.PistonPart: pistons, envelope.RodPart: rods, envelope.OilPart: train.Block.Oil, envelope.CoolantPart: train.Block.Coolant,
				envelope.AccessoryPart: train.Block.Accessories,
			}
			if w, ok := want[p.Part]; ok && math.Abs(w-p.Body.Mass) > 1e-9 {
				t.Errorf("%s: %s weigh %g kg, the file says %g", name, p.Part, p.Body.Mass, w)
			}
		}
		for i := range e.Solids {
			s := &e.Solids[i]
			lo, hi := s.Extent()
			if !s.Void && (lo.X < e.Lo.X || lo.Y < e.Lo.Y || lo.Z < e.Lo.Z || hi.X > e.Hi.X || hi.Y > e.Hi.Y || hi.Z > e.Hi.Z) {
				t.Errorf("%s: %s stands out of the box", name, s.Name)
			}
		}
		if e.Length <= e.Rear-e.Front || e.Above+e.Below != e.Height {
			t.Errorf("%s: length %g, block %g, height %g", name, e.Length, e.Rear-e.Front, e.Height)
		}
	})
}

// The crank that was built from solids has the unbalance that package estimate gave its throws, where both are estimated: two
// ways to the same hull of circles.
func TestCrankHasItsUnbalance(t *testing.T) {
	train := exampleTrain(t, "single")
	e := spaceOf(t, train)
	sum := r3.Vec{}
	for i := range e.Solids {
		if s := &e.Solids[i]; s.Part == envelope.CrankPart {
			b := s.Body()
			sum = r3.Add(sum, r3.Scale(b.Mass, b.Centre))
		}
	}
	want := 0.0
	for _, th := range train.Throws {
		want += th.Unbalance
	}
	for _, c := range train.Counterweights {
		want -= math.Abs(c.Amount)
	}
	if math.Abs(sum.Z-want) > 0.02*math.Abs(train.Throws[0].Unbalance) {
		t.Errorf("the crank's solids have an unbalance of %g kg m upwards, the train %g", sum.Z, want)
	}
}

// A clockwise engine is the mirror image of the same numbers anticlockwise.
func TestSpaceIsMirrored(t *testing.T) {
	for _, name := range []string{"vee-six-90", "offset-pair", "inline-four-flat-shafts"} {
		train := exampleTrain(t, name)
		train.Cylinders[0].Offset += 0.004 // so that it is no mirror image of itself
		a := spaceOf(t, train)
		turned := *train
		turned.Rotation = layout.Clockwise
		if train.Rotation == layout.Clockwise {
			turned.Rotation = layout.Anticlockwise
		}
		b := spaceOf(t, &turned)
		for _, c := range [][2]float64{
			{a.Body.Centre.Y, -b.Body.Centre.Y},
			{a.Body.Inertia[0][1], -b.Body.Inertia[0][1]},
			{a.Body.Inertia[1][2], -b.Body.Inertia[1][2]},
			{a.Body.Inertia[0][2], b.Body.Inertia[0][2]},
			{a.Body.Mass, b.Body.Mass},
			{a.Lo.Y, -b.Hi.Y},
			{a.Width, b.Width},
			{a.Swept[90], b.Swept[270]},
		} {
			if math.Abs(c[0]-c[1]) > 1e-12*(1+math.Abs(c[0])) {
				t.Errorf("%s: %g and %g are no mirror images", name, c[0], c[1])
			}
		}
	}
}

// A weighed engine weighs what was weighed, and its pistons and rods stay.
func TestWeighedEngine(t *testing.T) {
	train := exampleTrain(t, "inline-four-flat")
	was := spaceOf(t, train)
	train.Block.DryMass = 128
	e := spaceOf(t, train)
	if math.Abs(e.Dry.Mass-128) > 1e-9 || e.Scale <= 1 {
		t.Errorf("it weighs %g kg, scale %g", e.Dry.Mass, e.Scale)
	}
	for i, p := range e.Pieces {
		if p.Part == envelope.PistonPart && p.Body != was.Pieces[i].Body {
			t.Error("the pistons were scaled")
		}
	}
	train.Block.DryMass = 3
	if _, err := analysis.Space(train); err == nil || !strings.Contains(err.Error(), "parts whose masses are known") {
		t.Errorf("3 kg: %v", err)
	}
}

// Trade trends, from the model: a vee is shorter and wider than an inline of the same cylinders, an opposed engine has the
// lowest centre of gravity and is the widest; an inline's length grows with its bore and a vee's hardly.
func TestTradeTrends(t *testing.T) {
	inline, vee, opposed := spaceOf(t, exampleTrain(t, "inline-four-flat")), spaceOf(t, exampleTrain(t, "vee-four-90-offset-180")), spaceOf(t, exampleTrain(t, "opposed-four-own-pins"))
	if vee.Length >= 0.8*inline.Length || vee.Width <= 1.3*inline.Width || opposed.Width <= vee.Width {
		t.Errorf("lengths %g, %g; widths %g, %g, %g", inline.Length, vee.Length, inline.Width, vee.Width, opposed.Width)
	}
	if opposed.CentreAbove >= vee.CentreAbove || vee.CentreAbove >= inline.CentreAbove {
		t.Errorf("centres of gravity %g, %g, %g above the crank axis", inline.CentreAbove, vee.CentreAbove, opposed.CentreAbove)
	}
	slope := func(name string) *envelope.BoreStroke {
		b, err := envelope.OverBore(exampleTrain(t, name), envelope.UsualRatios())
		if err != nil {
			t.Fatal(name, err)
		}
		return b
	}
	six, vee6 := slope("inline-six"), slope("vee-six-60")
	if six.Slope < 5*1.08-1e-6 || vee6.Slope > 0.3*six.Slope || six.Present.BoresSet != 5 || vee6.Present.BoresSet != 0 {
		t.Errorf("slopes %g and %g, set by bores %d and %d", six.Slope, vee6.Slope, six.Present.BoresSet, vee6.Present.BoresSet)
	}
	for _, b := range []*envelope.BoreStroke{six, vee6} {
		for i, p := range b.Points {
			if d := p.Bore * p.Bore * p.Stroke; math.Abs(d-b.Present.Bore*b.Present.Bore*b.Present.Stroke) > 1e-12 {
				t.Errorf("the displacement is not held: %g", d)
			}
			if i > 0 && p.Length < b.Points[i-1].Length-1e-9 || p.LeastBlock > p.Block+1e-9 {
				t.Errorf("length %g at a bore of %g; block %g, at least %g", p.Length, p.Bore, p.Block, p.LeastBlock)
			}
		}
	}
}

// Masses and lengths of engines that are built, from memory: a car four of 2 litres 100 to 170 kg, a vee eight of 4.5 litres
// 180 to 260 kg, an inline four of 84 mm bore 450 to 560 mm long with its front drive and without gearbox.
func TestPlausible(t *testing.T) {
	for _, c := range []struct {
		text                 string
		lo, hi, short, longs float64
	}{
		{"name: Four\ncycle: four-stroke\nbore: 84 mm\nstroke: 90 mm\nlayout: {arrangement: inline, cylinders: 4}\n", 100, 170, 0.45, 0.56},
		{"name: Iron four\ncycle: four-stroke\nbore: 86 mm\nstroke: 86 mm\nlayout: {arrangement: inline, cylinders: 4}\nblock: {metal: cast-iron}\n", 100, 170, 0.45, 0.58},
		{"name: Eight\ncycle: four-stroke\nbore: 93 mm\nstroke: 83 mm\nlayout: {arrangement: vee, bank_angle: 90 deg, cylinders: 8}\n", 150, 260, 0.45, 0.75},
		{"name: Iron eight\ncycle: four-stroke\nbore: 93 mm\nstroke: 83 mm\nlayout: {arrangement: vee, bank_angle: 90 deg, cylinders: 8}\nblock: {metal: cast-iron}\n", 180, 300, 0.45, 0.75},
	} {
		train := engineOf(t, c.text)
		e := spaceOf(t, train)
		t.Logf("%s: %.1f kg dry, %.0f × %.0f × %.0f mm", train.Name, e.Dry.Mass, 1e3*e.Length, 1e3*e.Width, 1e3*e.Height)
		if e.Dry.Mass < c.lo || e.Dry.Mass > c.hi || e.Length < c.short || e.Length > c.longs {
			t.Errorf("%s: %.4g kg and %.4g m; from memory %g to %g kg and %g to %g m", train.Name, e.Dry.Mass, e.Length, c.lo, c.hi, c.short, c.longs)
		}
	}
}

// Clearances against sums by hand, and conflicts that must be named: a deck that is too low, bores of a narrow vee that meet.
func TestClearances(t *testing.T) {
	find := func(e *envelope.Envelope, k envelope.ClearanceKind) *envelope.Clearance {
		for i := range e.Clearances {
			if e.Clearances[i].Kind == k {
				return &e.Clearances[i]
			}
		}
		return nil
	}
	train := exampleTrain(t, "inline-four-flat")
	train.Block.DeckHeight = 0.043 + 0.139 + train.Cylinders[0].Piston.CompressionHeight - 0.0005
	e := spaceOf(t, train)
	if c := find(e, envelope.CrownToHead); c == nil || math.Abs(c.Room+0.0005) > 1e-12 || !c.Conflict() {
		t.Errorf("a deck that is 0.5 mm too low: %+v", c)
	}
	train.Block.PistonSkirt = 0.02
	train.Block.CounterweightRadius = 0.139 - 0.043 - 0.02 - 0.001
	if c := find(spaceOf(t, train), envelope.SkirtToCheek); c == nil || math.Abs(c.Room-0.001) > 1e-9 {
		t.Errorf("a millimetre of room below the skirt: %+v", c)
	}
	for _, angle := range []struct {
		deg   string
		meets bool
	}{{"40 deg", true}, {"90 deg", false}} {
		vee := engineOf(t, "name: Vee\ncycle: four-stroke\nbore: 86 mm\nstroke: 86 mm\nlayout: {arrangement: vee, bank_angle: "+angle.deg+", cylinders: 6, bank_stagger: 22 mm}\n")
		c := find(spaceOf(t, vee), envelope.BoreToBore)
		if c == nil || c.Conflict() != angle.meets {
			t.Errorf("bores at %s: %+v", angle.deg, c)
		}
	}
}

// Facing pistons: what one pin carries comes up to the other piston when that is lowest. The web between the pins is nearest
// just then, so its room is a sum by hand; the cap of the rod, whose rod leans, up to half a millimetre nearer. Where nobody gave
// the skirt it clears them. Definition.
func TestSkirtsOfFacingPistons(t *testing.T) {
	find := func(e *envelope.Envelope, k envelope.ClearanceKind) envelope.Clearance {
		for _, c := range e.Clearances {
			if c.Kind == k {
				return c
			}
		}
		t.Fatalf("nothing is said of %s: %+v", k, e.Clearances)
		return envelope.Clearance{}
	}
	train := exampleTrain(t, "opposed-four-own-pins")
	e := spaceOf(t, train)
	if c := find(e, envelope.SkirtToBigEnd); c.Conflict() || c.Room > 0.012*train.Bore {
		t.Errorf("the skirt that is assumed: %+v", c)
	}
	train.Block.PistonSkirt = 0.3 * train.Bore
	e = spaceOf(t, train)
	lowest := train.Cylinders[0].Rod.Length - train.Throws[0].Radius
	room := func(share float64) float64 {
		return lowest - train.Block.PistonSkirt - train.Throws[0].Radius - share*train.Crank.Crankpin.Diameter
	}
	if c := find(e, envelope.SkirtToFlyingWeb); math.Abs(c.Room-room(0.625)) > 1e-4 { // the web is a polygon about its circles
		t.Errorf("room of %g mm to the web, want %g mm", 1e3*c.Room, 1e3*room(0.625))
	}
	if c := find(e, envelope.SkirtToBigEnd); !c.Conflict() || c.Room > room(0.72)+1e-9 || c.Room < room(0.72)-0.0005 {
		t.Errorf("room of %g mm to the cap, want %g mm or a little less", 1e3*c.Room, 1e3*room(0.72))
	}
	for _, name := range []string{"inline-four-flat", "opposed-four-shared-pins"} {
		for _, c := range spaceOf(t, exampleTrain(t, name)).Clearances {
			if c.Kind == envelope.SkirtToBigEnd || c.Kind == envelope.SkirtToFlyingWeb {
				t.Errorf("%s has no pins that come up to a skirt: %+v", name, c)
			}
		}
	}
	shafts := spaceOf(t, exampleTrain(t, "inline-four-flat-shafts"))
	if c := find(shafts, envelope.ShaftToCrank); c.Conflict() {
		t.Errorf("the shafts of the example: %+v", c)
	}
}

// The usual sizes of a crank that a train does not have are those of package estimate, and those against which a length is held.
func TestUsualSizesAreThoseOfEstimate(t *testing.T) {
	for _, c := range [][2]float64{
		{envelope.UsualMainDiameter, estimate.MainDiameter(1, estimate.General)},
		{envelope.UsualPinDiameter, estimate.PinDiameter(1, estimate.General)},
		{envelope.UsualWebWidth, estimate.WebWidth(1, 0, estimate.General)},
		{envelope.UsualCrown, estimate.CompressionHeight(1, estimate.General)},
		{envelope.UsualMain, estimate.MainWidth(1, 1, estimate.General)},
		{envelope.UsualMainOfTwo, estimate.MainWidth(1, 2, estimate.General)},
		{envelope.UsualRod, estimate.RodWidth(1, 1, estimate.General)},
		{envelope.UsualRodOfTwo, estimate.RodWidth(1, 2, estimate.General)},
		{envelope.UsualWeb, estimate.WebThickness(1, estimate.General)},
	} {
		if c[0] != c[1] {
			t.Errorf("%g here, %g there", c[0], c[1])
		}
	}
}

// Trains that nobody would build are bodies too, or an error says why not; nothing is NaN or infinite.
func TestSpaceOfAnyTrain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		train := anyTrain(t)
		train.Bore = rapid.Float64Range(0.03, 0.2).Draw(t, "bore")
		train.Rotation = layout.Rotation(rapid.IntRange(0, 1).Draw(t, "rotation"))
		train.Flywheel = rapid.Float64Range(0, 1).Draw(t, "flywheel")
		w, assumed := estimate.FillWorking(train, estimate.Duty(rapid.IntRange(0, 2).Draw(t, "duty")), estimate.UnknownWorking())
		train.Block, train.Turning, train.Assumed = w.Block, w.Turning, assumed
		e, err := analysis.Space(train)
		if err != nil {
			if err.Error() == "" {
				t.Error("an error without words")
			}
			return
		}
		sum := e.Length + e.Width + e.Height + e.Body.Mass + e.Body.Inertia[0][0] + e.Body.Inertia[1][2] + e.CentreAbove + e.Banks
		for _, c := range e.Clearances {
			sum += c.Room + float64(c.At)
		}
		for _, r := range e.Swept {
			sum += r
		}
		if math.IsNaN(sum) || math.IsInf(sum, 0) || e.Length <= 0 || e.Dry.Mass <= 0 {
			t.Errorf("%+v, clearances %+v", e.Body, e.Clearances)
		}
		if b, err := envelope.OverBore(train, []float64{0.8, 1.3}); err == nil {
			if s := b.Slope + b.Points[0].Length + b.Points[1].Width + b.Points[1].Height; math.IsNaN(s) || math.IsInf(s, 0) {
				t.Errorf("%+v", b)
			}
		}
	})
}

func BenchmarkSpaceVeeEight(b *testing.B) {
	t := exampleTrain(b, "vee-eight-90-cross")
	b.ReportAllocs()
	for b.Loop() {
		if _, err := analysis.Space(t); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkBoreStrokeVeeEight(b *testing.B) {
	t := exampleTrain(b, "vee-eight-90-cross")
	b.ReportAllocs()
	for b.Loop() {
		if _, err := envelope.OverBore(t, envelope.UsualRatios()); err != nil {
			b.Fatal(err)
		}
	}
}

// TestCrankInertia holds the moment of inertia that estimates give a crank against that of the solids of which the space of an
// engine is built: the same crank in more detail, with its bevels, nose and flange. The one throw of the star carries
// counterweights for five rods, which stand further out than the estimate has them.
func TestCrankInertia(t *testing.T) {
	examples(t, func(name string, train *layout.Train) {
		for _, p := range spaceOf(t, train).Pieces {
			if p.Part != envelope.CrankPart {
				continue
			}
			c := p.Body.Centre
			j := p.Body.Inertia[0][0] + p.Body.Mass*(c.Y*c.Y+c.Z*c.Z) // about the crank's axis
			if got := estimate.CrankInertia(train, estimate.General); math.Abs(got/j-1) > map[bool]float64{false: 0.2, true: 0.22}[name == "radial-five"] {
				t.Errorf("%s: %.4g kg m² assumed, %.4g of solids, %+.0f %%", name, got, j, 100*(got/j-1))
			}
		}
	})
}

// TestLowRow: a bank whose rods are shorter than the other's does not come up to the one head joint, and that is said; engines
// with pistons of one height have no such caution.
func TestLowRow(t *testing.T) {
	low := func(train *layout.Train) string {
		for _, c := range spaceOf(t, train).Cautions {
			if strings.Contains(c, "below the head joint") {
				return c
			}
		}
		return ""
	}
	examples(t, func(name string, train *layout.Train) {
		if got := low(train); (got != "") != (name == "offset-pair") {
			t.Errorf("%s: %q", name, got)
		}
	})
	train := exampleTrain(t, "offset-pair")
	train.Cylinders[1].Rod.Length = 0.13
	if got := low(train); !strings.Contains(got, "In the row of 2 the highest crown stops 3") {
		t.Errorf("a rod of 130 mm: %q", got)
	}
}
