package balance

import (
	"errors"
	"math"
	"strings"
	"testing"

	"crankwright/mechanics/layout"
	"crankwright/mechanics/motion"
	"crankwright/num"

	"pgregory.net/rapid"
)

// TestCheekAgainstQuadrature adds up the sector in small pieces.
func TestCheekAgainstQuadrature(t *testing.T) {
	c := Cheek{Outer: 0.085, Inner: 0.0275, Thickness: 0.018, Density: 7850}
	φ := num.Degrees(57)
	const n = 1500
	mass, unbalance, inertia := 0.0, 0.0, 0.0
	dr, da := (c.Outer-c.Inner)/n, 2*float64(φ)/n
	for i := range n {
		r := c.Inner + (float64(i)+0.5)*dr
		for j := range n {
			a := -float64(φ) + (float64(j)+0.5)*da
			m := c.Density * c.Thickness * r * dr * da
			mass, unbalance, inertia = mass+m, unbalance+m*r*math.Cos(a), inertia+m*r*r
		}
	}
	for _, v := range [][2]float64{{c.Mass(φ), mass}, {c.Unbalance(φ), unbalance}, {c.Inertia(φ), inertia}} {
		if math.Abs(v[0]-v[1]) > 1e-6*v[1] {
			t.Errorf("%g, by small pieces %g", v[0], v[1])
		}
	}
}

// TestHalfAngle: the half angle gives the wanted unbalance, and where it does not fit each of the stated
// remedies makes it fit.
func TestHalfAngle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		c := Cheek{Outer: v("outer", 0.03, 0.3), Inner: v("inner", 0, 0.029), Thickness: v("thickness", 0.001, 0.1), Density: v("density", 1000, 19000)}
		u := c.Most() * v("share", 0, 3)
		φ, err := c.HalfAngle(u)
		var not *NoFitError
		if errors.As(err, &not) {
			for _, better := range []Cheek{
				{not.Radius, c.Inner, c.Thickness, c.Density},
				{c.Outer, c.Inner, not.Thickness, c.Density},
				{c.Outer, c.Inner, c.Thickness, not.Density},
			} {
				if math.Abs(better.Most()-u) > 1e-9*u {
					t.Errorf("%v: %+v has %g, want %g", err, better, better.Most(), u)
				}
			}
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		if φ < 0 || φ.Deg() > 90+1e-9 || math.Abs(c.Unbalance(φ)-u) > 1e-9*c.Most() {
			t.Errorf("half angle %g deg has %g, want %g", φ.Deg(), c.Unbalance(φ), u)
		}
	})
}

func TestNoFitSaysWhatWouldDo(t *testing.T) {
	c := Cheek{Outer: 0.06, Inner: 0.0275, Thickness: 0.012, Density: 7850}
	_, err := c.HalfAngle(1.5 * c.Most())
	if err == nil || !strings.Contains(err.Error(), "tungsten alloy") || !strings.Contains(err.Error(), "11.8 g/cm³") {
		t.Errorf("%v", err)
	}
	_, err = c.HalfAngle(5 * c.Most())
	if err == nil || !strings.Contains(err.Error(), "no metal is heavy enough") {
		t.Errorf("%v", err)
	}
	for _, bad := range []Cheek{
		{},
		{Outer: 0.05, Inner: 0.06, Thickness: 0.01, Density: 7850},
		{Outer: 0.05, Thickness: 0.01, Density: 1e6},
		{Outer: math.NaN(), Thickness: 0.01, Density: 7850},
		{Outer: 0.05, Thickness: math.Inf(1), Density: 7850},
	} {
		if bad.Check() == nil {
			t.Errorf("%+v is accepted", bad)
		}
	}
	if _, err := c.HalfAngle(math.NaN()); err == nil {
		t.Error("no number is accepted")
	}
}

// TestSkirtClearanceByHand: l − r − below − R on the crank's own cylinder, and nothing from a web that
// stands beside the bore.
func TestSkirtClearanceByHand(t *testing.T) {
	train := crankOf([]float64{0, 180}, 0)
	webs := Webs(train)
	list, err := SkirtClearances(train, webs, []float64{0.07, 0.07, 0.06, 0}, 0.025)
	if err != nil {
		t.Fatal(err)
	}
	if len(list) != 3 {
		t.Fatalf("%d clearances, want 3: %+v", len(list), list)
	}
	for i, want := range []float64{0.145 - 0.045 - 0.025 - 0.07, 0.145 - 0.045 - 0.025 - 0.07, 0.145 - 0.045 - 0.025 - 0.06} {
		if math.Abs(list[i].Gap-want) > 1e-15 {
			t.Errorf("gap %g, want %g", list[i].Gap, want)
		}
	}
}

// TestSkirtEdgeIsTheLowest holds the edge against the piston's place at many crank angles, linked rods and
// offsets included.
func TestSkirtEdgeIsTheLowest(t *testing.T) {
	train := crankOf([]float64{0}, 0, 70)
	train.Bore = 0.07
	train.Cylinders[1].Rod = layout.Rod{Length: 0.112, Mass: 0.3, CG: 0.05, Linked: true, Master: 0, KnuckleRadius: 0.035, KnuckleAngle: num.Degrees(70)}
	train.Cylinders[0].Offset, train.Cylinders[0].Piston.PinOffset = 0.008, 0.001
	webs := Webs(train)
	list, err := SkirtClearances(train, webs, []float64{0.05, 0.05}, 0.02)
	if err != nil {
		t.Fatal(err)
	}
	if len(list) != 4 {
		t.Fatalf("%d clearances, want 4", len(list))
	}
	for _, c := range list {
		link, _, _ := motion.LinkageOf(train, c.Cylinder)
		least := math.Inf(1)
		for i := range 7200 {
			s, err := link.At(num.Turn * num.Angle(i) / 7200)
			if err != nil {
				t.Fatal(err)
			}
			least = math.Min(least, real(s.Piston.Pos)-0.02)
		}
		if math.Abs(c.Edge-least) > 1e-7 {
			t.Errorf("cylinder %d: edge %g, by sampling %g", c.Cylinder+1, c.Edge, least)
		}
	}
	if _, err := SkirtClearances(&layout.Train{}, nil, nil, 0.02); err == nil {
		t.Error("an empty train is accepted")
	}
	train.Bore = 0
	if _, err := SkirtClearances(train, webs, []float64{0.05, 0.05}, 0.02); !errors.Is(err, ErrBore) {
		t.Errorf("%v, want ErrBore", err)
	}
}

// TestPlan: what fits is added up, and what the room allows is kept by the radius that is stated.
func TestPlan(t *testing.T) {
	train := crankOf([]float64{0, 90, 270, 180}, -45, 45)
	q := Request{Policy: ByFactor, Factors: []float64{0.5}, Cheek: Cheek{Outer: 0.07, Inner: 0.0275, Thickness: 0.018, Density: 7850}, Skirt: 0.025, Room: 0.002}
	p, err := Counterweights(train, q)
	if err != nil {
		t.Fatal(err)
	}
	mass := 0.0
	for _, w := range p.Webs {
		if w.Sector != nil {
			mass += w.Sector.Mass
		}
		if (w.Sector == nil) == (w.NoFit == nil) {
			t.Errorf("web at %g: %+v, %v", w.At, w.Sector, w.NoFit)
		}
	}
	if mass != p.Mass || len(p.Counterweights) != 8 {
		t.Errorf("mass %g, sum %g, %d counterweights", p.Mass, mass, len(p.Counterweights))
	}
	q.Cheek.Outer = p.MostRadius
	if p, err = Counterweights(train, q); err != nil || math.Abs(p.Clearances[0].Gap-0.002) > 1e-12 {
		t.Errorf("gap %+v, error %v", p.Clearances, err)
	}
	// the optimum keeps to what fits
	q.Policy = ByOptimum
	q.Cheek.Thickness = 0.006
	if p, err = Counterweights(train, q); err != nil || p.Misfits != 0 || p.Limit != q.Cheek.Most() {
		t.Errorf("%d misfits, limit %g, error %v", p.Misfits, p.Limit, err)
	}
}

// TestNothingIsNoNumber puts any request to any crank.
func TestNothingIsNoNumber(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		train := anyCrank(t, true)
		any := rapid.OneOf(rapid.Float64(), rapid.Float64Range(0, 0.1), rapid.SampledFrom([]float64{0, math.NaN(), math.Inf(1), -1}))
		v := func(name string) float64 { return any.Draw(t, name) }
		q := Request{
			Policy: rapid.SampledFrom(Policies()).Draw(t, "policy"), Factors: []float64{v("factor")},
			Measure: Measure{v("fy"), v("fz"), v("my"), v("mz"), v("length")}, Limit: v("limit"), Skirt: v("skirt"), Room: v("room"),
		}
		for range Webs(train) {
			q.Unbalance = append(q.Unbalance, complex(v("y"), v("z")))
		}
		if rapid.Bool().Draw(t, "cheek") {
			q.Cheek = Cheek{v("outer"), v("inner"), v("thickness"), v("density")}
		}
		p, err := Counterweights(train, q)
		if err != nil {
			return
		}
		check := func(name string, x float64) {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				t.Errorf("%s is %g", name, x)
			}
		}
		check("mass", p.Mass)
		check("inertia", p.Inertia)
		check("radius", p.MostRadius)
		for _, u := range p.Counterweights {
			check("unbalance", u.Amount)
			check("angle", float64(u.Angle))
		}
		for _, c := range p.Clearances {
			check("gap", c.Gap)
		}
		if p.Optimum != nil {
			check("measure", p.Optimum.After)
		}
	})
}
