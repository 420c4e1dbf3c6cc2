package torsion

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"crankwright/mechanics/layout"
	"crankwright/mechanics/motion"
	"crankwright/num"
)

// The sample throw of our list of checks: Ker Wilson's and Carter's formulas from memory, the numbers computed by hand.
func sampleThrow() ThrowShape {
	return ThrowShape{Journal: Section{Outer: .056}, JournalLength: .024, Pin: Section{Outer: .05}, PinLength: .026, Radius: .043, Web: .02, WebWidth: .08}
}

func TestThrowStiffness(t *testing.T) {
	s, err := sampleThrow().Stiffness(80e9)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "Carter", s.Carter, .582374e6, .5)
	near(t, "Ker Wilson", s.KerWilson, .552825e6, .5)
	near(t, "mean", s.Mean, (.582374e6+.552825e6)/2, .5)
	near(t, "spread", s.Spread, (.582374-.552825)/.5675995, 2e-6)
	bored := sampleThrow()
	bored.Journal.Bore, bored.Pin.Bore = .02, .02
	if b, err := bored.Stiffness(80e9); err != nil || !(b.Carter < s.Carter && b.KerWilson < s.KerWilson) {
		t.Errorf("bores do not weaken: %+v %v", b, err)
	}
	// a throw with a radius that counts for nothing and webs as wide as can be is a plain shaft of journal and pin
	plain := ThrowShape{Journal: Section{Outer: .05}, JournalLength: 1, Pin: Section{Outer: .05}, PinLength: 1, Radius: 1e-4, Web: 1e-4, WebWidth: 10}
	p, err := plain.Stiffness(80e9)
	if err != nil {
		t.Fatal(err)
	}
	k, _, err := Stiffness(80e9, Piece{Section{Outer: .05}, 1.75})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "Carter without web", p.Carter, k, 2e-4*k)
	if !p.Beyond {
		t.Error("a pin that covers the axis is not marked as beyond the formula")
	}
	for name, spoil := range map[string]func(*ThrowShape){
		"pin":    func(s *ThrowShape) { s.Pin.Outer = 0 },
		"bore":   func(s *ThrowShape) { s.Pin.Bore = .05 },
		"web":    func(s *ThrowShape) { s.Web = math.NaN() },
		"radius": func(s *ThrowShape) { s.Radius = -1 },
	} {
		x := sampleThrow()
		spoil(&x)
		if _, err := x.Stiffness(80e9); err == nil || !strings.Contains(err.Error(), name) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// The moments of inertia of all cylinders together are the mean of twice the energy of package torque.
func TestMovingInertia(t *testing.T) {
	train := crossVee()
	train.Cylinders[3].Offset = 0.004
	train.Cylinders[5].Rod.Linked, train.Cylinders[5].Rod.Master = true, 4
	train.Cylinders[5].Rod.KnuckleRadius, train.Cylinders[5].Rod.KnuckleAngle = 0.03, num.Degrees(85)
	_, m := curves(t, train, 300)
	want, got := 0.0, 0.0
	for _, e := range m.Energy {
		want += 2 * e / float64(len(m.Energy))
	}
	for i := range train.Cylinders {
		j, err := MovingInertia(train, i)
		if err != nil {
			t.Fatal(err)
		}
		got += j.Mean
		near(t, "parts", j.Rotating+j.Reciprocating, j.Mean, 1e-15)
		if !(j.Least < j.Mean && j.Mean < j.Most) {
			t.Errorf("%+v", j)
		}
	}
	near(t, "mean of 2E", got, want, 1e-12*want)
	// two point masses and a long rod: m_rot r² + ½ m_rec r²
	long := pilotBoat([]float64{0}, 0)
	r := &long.Cylinders[0].Rod
	r.Length, r.CG = 9, 3
	r.Inertia = r.Mass * 3 * 6
	j, err := MovingInertia(long, 0)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "textbook rule", j.Mean, 0.045*0.045*(r.Mass*2/3+0.5*(0.38+r.Mass/3)), 2e-5*j.Mean)
	if _, err := MovingInertia(long, 1); err == nil {
		t.Error("a cylinder that does not exist is not refused")
	}
}

func TestCrank(t *testing.T) {
	train := crossVee()
	c := crank(t, train, CrankSetting{})
	if len(c.Discs) != 5 || c.Flywheel != 4 || len(c.Spans) != 4 || c.Cylinders[3] != 1 {
		t.Fatalf("%+v", c)
	}
	// journals of 100 − 32 − 2·20 mm between equal throws
	s, err := ThrowShape{Journal: Section{Outer: .058}, JournalLength: .028, Pin: Section{Outer: .05}, PinLength: .032, Radius: .045, Web: .02, WebWidth: .085}.Stiffness(SteelShear)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "span", c.Spans[1].Stiffness, s.Mean, 1e-6*s.Mean)
	near(t, "modulus", c.Spans[1].Modulus, math.Pi/16*math.Pow(.05, 3), 1e-12)
	for f, want := range map[Formula]float64{Carter: s.Carter, KerWilson: s.KerWilson} {
		near(t, f.String(), crank(t, train, CrankSetting{Formula: f}).Spans[1].Stiffness, want, 1e-6*want)
	}
	sum := train.Flywheel
	for _, p := range c.Parts {
		sum += p.Total()
		near(t, "counterweight", p.Counterweights, 0.02*0.045, 1e-15)
	}
	near(t, "inertia", c.Inertia(), sum, 1e-12)
	known := crank(t, train, CrankSetting{CrankInertia: 2 * c.CrankAlone, Loss: 0.02, CylinderDamping: 3})
	near(t, "known inertia", known.Inertia(), sum+c.CrankAlone, 1e-12)
	near(t, "damping of two cylinders", known.Discs[0].Damping, 6, 0)

	line := crank(t, train, CrankSetting{
		FreeEnd: []Part{{Name: "pulley", Inertia: .01, Stiffness: 1e6}},
		Drive:   []Part{{Name: "shaft flange", Inertia: .05, Stiffness: 2e4, Modulus: 1e-5}, {Name: "propeller", Inertia: .1, Stiffness: 3e4, Damping: 1}},
	})
	if names := line.Discs[0].Name + line.Discs[7].Name; names != "pulleypropeller" || line.Flywheel != 5 || line.Throws[0] != 1 {
		t.Errorf("%+v", line)
	}
	near(t, "front span", line.Spans[0].Stiffness, 1/(0.5/endThrow(t)+1e-6), 1)
	if a, b := modes(t, &line.Model), modes(t, &c.Model); !(a[1].Frequency < b[1].Frequency) {
		t.Error("a soft driven line does not slow the first mode")
	}
}

// endThrow is the stiffness of the throw at the end, whose journal is 26 mm long.
func endThrow(t *testing.T) float64 {
	s, err := ThrowShape{Journal: Section{Outer: .058}, JournalLength: .026, Pin: Section{Outer: .05}, PinLength: .032, Radius: .045, Web: .02, WebWidth: .085}.Stiffness(SteelShear)
	if err != nil {
		t.Fatal(err)
	}
	return s.Mean
}

func TestCrankWithoutRoom(t *testing.T) {
	close := func(spacing, split float64) *layout.Train { // each pin with a cylinder of the other bank
		train := pilotBoat([]float64{0, split}, -90, 90)
		train.Cylinders = []layout.Cylinder{train.Cylinders[0], train.Cylinders[3]}
		train.Throws[1].At, train.Cylinders[1].At = spacing, spacing
		return train
	}
	split := crank(t, close(0.04, 30), CrankSetting{})
	opposed := crank(t, close(0.05, 180), CrankSetting{})
	if len(split.Notes) != 1 || len(opposed.Notes) != 1 {
		t.Errorf("no note: %v %v", split.Notes, opposed.Notes)
	}
	if plain := crank(t, close(0.1, 30), CrankSetting{}); !(split.Spans[0].Stiffness > plain.Spans[0].Stiffness) || len(plain.Notes) != 0 {
		t.Error("pins joined by a thin web are softer than a whole throw")
	}
	if _, err := NewCrank(close(0.03, 30), CrankSetting{}); err == nil || !strings.Contains(err.Error(), "30 mm apart") {
		t.Errorf("pins without room: %v", err)
	}
	if _, err := NewCrank(close(0.032, 180), CrankSetting{}); err == nil {
		t.Error("pins that do not overlap and have no web are not refused")
	}
	bare := pilotBoat([]float64{0}, 0)
	bare.Crank.Web.Width = 0
	if _, err := NewCrank(bare, CrankSetting{}); err == nil || !strings.Contains(err.Error(), "width of the webs") {
		t.Errorf("a missing size: %v", err)
	}
}

// A clockwise engine twists as its mirror image.
func TestMirroredRotation(t *testing.T) {
	var half [2][]Swing
	for i, sense := range []layout.Rotation{layout.Anticlockwise, layout.Clockwise} {
		train := crossVee()
		train.Rotation = sense
		train.Cylinders[2].Offset = 0.003
		c := crank(t, train, CrankSetting{Loss: 0.03})
		half[i] = run(t, &c.Model, excited(t, c, train, 250, 24), 24, 250).Points[0].Spans
	}
	for w := range half[0] {
		near(t, "torque", half[1][w].Half, half[0][w].Half, 1e-9*half[0][w].Half)
	}
}

// The orders of the excitation are the torques again, and a heavy stiff shaft carries what stands before each span.
func TestExcitation(t *testing.T) {
	train := crossVee()
	const ω = 300.0
	k, _ := curves(t, train, ω)
	c := crank(t, train, CrankSetting{})
	const orders = 200
	e, err := c.Excite(k, ω, orders)
	if err != nil {
		t.Fatal(err)
	}
	grid := num.NewGrid(len(k.Gas))
	for d, disc := range c.Throws {
		x := make(num.Series, orders+1)
		for i := range x {
			x[i] = e.at(disc, i, ω*ω)
		}
		got := grid.Sample(nil, x)
		mean := 0.0
		for j := range got {
			mean += (k.Of[2*d].Gas[j] + k.Of[2*d+1].Gas[j]) / float64(len(got))
		}
		for j, v := range got {
			near(t, "torque", v+mean, k.Of[2*d].Total[j]+k.Of[2*d+1].Total[j], 0.1)
		}
	}
	for name, bad := range map[string]func() error{
		"other engine": func() error {
			_, err := crank(t, pilotBoat([]float64{0}, 0), CrankSetting{}).Excite(k, ω, 24)
			return err
		},
		"no speed": func() error { _, err := c.Excite(k, 0, 24); return err },
		"too fine": func() error { _, err := c.Excite(k, ω, 400); return err },
	} {
		if bad() == nil {
			t.Errorf("%s is not refused", name)
		}
	}
}

// Any crank has a model or an error, never something that is not a number.
func TestAnyCrank(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		pins := make([]float64, rapid.IntRange(1, 5).Draw(t, "throws"))
		for i := range pins {
			pins[i] = f("pin", -180, 180)
		}
		train := pilotBoat(pins, -30, 30)
		for i := range train.Throws {
			train.Throws[i].At = float64(i) * f("spacing", 0.03, 0.15)
			train.Throws[i].Radius = f("radius", 0.03, 0.05)
		}
		g := &train.Crank
		g.MainJournal = layout.Journal{Diameter: f("journal", 0, 0.1), Width: f("width", 0.001, 0.05)}
		g.Crankpin = layout.Journal{Diameter: f("pin", 0, 0.1), Width: f("pin width", 0.001, 0.05)}
		g.Web = layout.Web{Thickness: f("web", 0.001, 0.05), Width: f("web width", 0.01, 0.2)}
		c, err := NewCrank(train, CrankSetting{JournalBore: f("bore", 0, 0.03), Loss: f("loss", 0, 0.1), FreeEnd: []Part{{Name: "pulley", Inertia: 0.01}}})
		if err != nil {
			if errors.Is(err, motion.ErrReach) {
				t.Fatal(err)
			}
			return
		}
		for _, m := range modesOrFail(t, &c.Model) {
			if !finite(m.Frequency, m.Mass) {
				t.Fatalf("%+v", m)
			}
		}
	})
}

func TestPartErrors(t *testing.T) {
	for _, p := range []Part{{Inertia: 1, Stiffness: -1e9}, {Inertia: 1, Stiffness: math.NaN()}, {Inertia: 1, Loss: -1}, {Inertia: -1}, {Inertia: 1, Damping: -1}, {Inertia: 1, Relative: math.NaN()}} {
		if _, err := NewCrank(crossVee(), CrankSetting{Drive: []Part{p}}); err == nil {
			t.Errorf("%+v is not refused", p)
		}
	}
	for _, s := range []CrankSetting{{Shear: -1}, {Density: 1}, {JournalBore: 0.06}, {PinBore: math.NaN()}, {CrankInertia: -1}, {CylinderDamping: -1}, {Loss: 5}, {CounterweightRadius: math.NaN()}} {
		if _, err := NewCrank(crossVee(), s); err == nil {
			t.Errorf("%+v is not refused", s)
		}
	}
	if _, err := NewCrank(nil, CrankSetting{}); err == nil {
		t.Error("no train is not refused")
	}
}
