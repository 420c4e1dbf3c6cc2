package balance

import (
	"fmt"
	"math"
	"math/cmplx"
	"slices"
	"strings"
	"testing"

	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
	"crankwright/num"

	"pgregory.net/rapid"
)

func find(t *testing.T, train *layout.Train, task ShaftTask) (*ShaftAnswer, ShaftSet) {
	t.Helper()
	a, err := FindShafts(train, task)
	if err != nil {
		t.Fatal(err)
	}
	if a.Smallest < 0 {
		t.Fatalf("no set meets the targets; needs %q, sets %+v", a.Needs, a.Sets)
	}
	return a, a.Sets[a.Smallest]
}

func ratiosOf(s ShaftSet) []float64 {
	var out []float64
	for _, x := range s.Shafts {
		out = append(out, x.SpeedRatio)
	}
	slices.Sort(out)
	return out
}

// The classic answers come out of the search: the trade's table of layouts (checks.md section 2; common practice).
func TestClassicShafts(t *testing.T) {
	moment := func(k int) []ShaftTarget { return []ShaftTarget{{K: k, Aim: AimForce}, {K: k, Aim: AimMoment}} }
	for _, c := range []struct {
		name   string
		train  *layout.Train
		task   ShaftTask
		want   []float64
		masses int // on each shaft
	}{
		{"inline three, order 1", inlineOf(0, 240, 120), ShaftTask{Crank: true}, []float64{-1}, 2},
		{"inline three, orders 1 and 2", inlineOf(0, 240, 120), ShaftTask{Crank: true, Targets: append(moment(2), moment(4)...)}, []float64{-2, -1, 2}, 2},
		{"inline four, flat", inlineOf(0, 180, 180, 0), ShaftTask{}, []float64{-2, 2}, 1},
		{"inline four, cross", inlineOf(0, 90, 270, 180), ShaftTask{Crank: true}, []float64{-1}, 2},
		{"inline six", inlineOf(0, 120, 240, 240, 120, 0), ShaftTask{}, nil, 0},
		{"vee six 90, split by 30", veeOf(90, 30, 0, 240, 120), ShaftTask{Crank: true}, []float64{-1}, 2},
		{"vee six 90, shared pins", veeOf(90, 0, 0, 240, 120), ShaftTask{Crank: true}, nil, 0},
		{"vee six 60, split by 60, order 2", veeOf(60, 60, 0, 240, 120), ShaftTask{Targets: moment(4)}, []float64{-2}, 2},
		{"vee eight 90, cross", veeOf(90, 0, 0, 90, 270, 180), ShaftTask{Crank: true}, nil, 0},
		{"vee twin 90", veeOf(90, 0, 0), ShaftTask{Crank: true, Targets: moment(2)}, nil, 0},
	} {
		c.train.Reference += 0.013 // wherever moments are taken
		_, s := find(t, c.train, c.task)
		if got := ratiosOf(s); !slices.Equal(got, c.want) {
			t.Errorf("%s: shafts at %v, want %v", c.name, got, c.want)
		}
		for _, shaft := range s.Shafts {
			if len(shaft.Masses) != c.masses {
				t.Errorf("%s: the shaft at %g has %d masses, want %d: %+v", c.name, shaft.SpeedRatio, len(shaft.Masses), c.masses, shaft.Masses)
			}
		}
	}
}

// Two shafts of the flat four each have half the second-order force: U = ½ m r A2/2² ·4, exactly W⁺/4.
func TestFlatFourUnbalance(t *testing.T) {
	train := inlineOf(0, 180, 180, 0)
	_, s := find(t, train, ShaftTask{})
	var solver inertia.Solver
	b, err := solver.Solve(nil, train, inertia.Options{})
	if err != nil {
		t.Fatal(err)
	}
	with, _ := b.Force.Order(4)
	for _, shaft := range s.Shafts {
		if d := shaft.Masses[0].Amount - cmplx.Abs(with)/4; math.Abs(d) > 1e-12*cmplx.Abs(with) {
			t.Errorf("unbalance %g, want a quarter of %g", shaft.Masses[0].Amount, cmplx.Abs(with))
		}
		if d := math.Abs(shaft.Masses[0].At - train.Reference); d > 1e-9 {
			t.Errorf("the mass stands %g m off the middle", d)
		}
	}
	if a, b := s.Shafts[0], s.Shafts[1]; a.Z != b.Z || a.Y != -b.Y {
		t.Errorf("with the roll moment not asked for, the shafts stand level: %+v %+v", a, b)
	}
}

// Asked for the roll moment too, the shafts of a flat four take the height difference nearest to the one that
// removes it: h = |R|/|W⁺| here, a rod length to leading order.
func TestFlatFourHeight(t *testing.T) {
	train := inlineOf(0, 180, 180, 0)
	var solver inertia.Solver
	b, err := solver.Solve(nil, train, inertia.Options{})
	if err != nil {
		t.Fatal(err)
	}
	with, _ := b.Force.Order(4)
	ideal := cmplx.Abs(b.Roll.Order(4)) / cmplx.Abs(with)
	task := ShaftTask{Targets: []ShaftTarget{{K: 4, Aim: AimForce}, {K: 4, Aim: AimRoll, Keep: 0.1}}, MostShafts: 2}
	for i := -6; i <= 6; i++ {
		task.Places = append(task.Places, ShaftPlace{0.09, 0.02 * float64(i)}, ShaftPlace{-0.09, 0.02 * float64(i)})
	}
	_, s := find(t, train, task)
	if len(s.Shafts) != 2 {
		t.Fatalf("%d shafts", len(s.Shafts))
	}
	h := math.Abs(s.Shafts[0].Z - s.Shafts[1].Z)
	if math.Abs(h-ideal) > 0.01+1e-9 {
		t.Errorf("height difference %g m, the nearest of the places to %g m is within 10 mm", h, ideal)
	}
	// offered just that height, nothing is left
	task.Places = []ShaftPlace{{0.09, ideal}, {-0.09, 0}, {0.09, 0}, {-0.09, ideal}}
	task.Targets[1].Keep = 0
	_, s = find(t, train, task)
	for _, l := range s.Left {
		if l.Asked && l.After > 1e-10*l.Before {
			t.Errorf("order %g %v: %g of %g is left", float64(l.K)/2, l.Aim, l.After, l.Before)
		}
	}
	// With nothing said of places the height stagger comes out by itself: near the rod's length, as the
	// two-term series has it (checks.md, balance-shaft formulas; exact to λ²/4).
	_, s = find(t, train, ShaftTask{Targets: task.Targets})
	if len(s.Shafts) != 2 || !s.Meets {
		t.Fatalf("usual places: %d shafts, meets %v", len(s.Shafts), s.Meets)
	}
	h = math.Abs(s.Shafts[0].Z - s.Shafts[1].Z)
	rod, λ := train.Cylinders[0].Rod.Length, train.Throws[0].Radius/train.Cylinders[0].Rod.Length
	if math.Abs(h-ideal) > 1e-9 || math.Abs(h/rod-1) > λ*λ/2 {
		t.Errorf("height difference %g m, for the force %g m, rod %g m", h, ideal, rod)
	}
}

// What was written into a file with its digits needs no further shafts, and no shaft weighs micrograms.
func TestNothingIsLeftOfDust(t *testing.T) {
	train := inlineOf(0, 180, 180, 0)
	answer, s := find(t, train, ShaftTask{Targets: []ShaftTarget{{K: 4, Aim: AimForce}}})
	written := *train
	for _, shaft := range s.Shafts {
		for j := range shaft.Masses {
			shaft.Masses[j].Amount *= 1 + 1e-7
		}
		written.Shafts = append(written.Shafts, shaft)
	}
	written.Counterweights = append(written.Counterweights, layout.Unbalance{Amount: 1e-9})
	again, s := find(t, &written, ShaftTask{Targets: []ShaftTarget{{K: 2, Aim: AimForce}, {K: 2, Aim: AimMoment}}})
	if len(answer.Sets) == 0 || again.Smallest != 0 || len(s.Shafts) != 0 {
		t.Errorf("%d shafts against dust", len(s.Shafts))
	}
	for _, l := range s.Left {
		if l.Asked && l.Before != 0 {
			t.Errorf("order %g %v: %g before", float64(l.K)/2, l.Aim, l.Before)
		}
	}
}

// Halving: one shaft leaves just half of the flat four's force, and no heavier than needed.
func TestHalve(t *testing.T) {
	train := inlineOf(0, 180, 180, 0)
	_, s := find(t, train, ShaftTask{Targets: []ShaftTarget{{K: 4, Aim: AimForce, Keep: 0.5}}})
	if len(s.Shafts) != 1 {
		t.Errorf("%d shafts halve a straight-line force, one does", len(s.Shafts))
	}
	_, s = find(t, train, ShaftTask{Targets: []ShaftTarget{{K: 4, Aim: AimForce, Keep: 0.6}}})
	if l := s.Left[0]; math.Abs(l.After-0.6*l.Before) > 1e-6*l.Before {
		t.Errorf("%g of %g is left where 0.6 may remain", l.After, l.Before)
	}
}

// Without what is needed no set is called good, and the answer says what is missing.
func TestNeeds(t *testing.T) {
	for _, c := range []struct {
		name  string
		train *layout.Train
		task  ShaftTask
		want  string
	}{
		{"one sense", inlineOf(0, 180, 180, 0), ShaftTask{Ratios: []float64{2}}, "both senses"},
		{"one plane", inlineOf(0, 240, 120), ShaftTask{Crank: true, Planes: []float64{0.05}}, "two planes"},
		{"no crank", inlineOf(0, 240, 120), ShaftTask{Ratios: []float64{-1}}, "counterweights"},
		{"one place", inlineOf(0, 180, 180, 0), ShaftTask{Places: []ShaftPlace{{0.1, 0}}}, "places"},
		{"one shaft", inlineOf(0, 180, 180, 0), ShaftTask{MostShafts: 1}, "more shafts"},
	} {
		a, err := FindShafts(c.train, c.task)
		if err != nil {
			t.Fatal(err)
		}
		if a.Smallest >= 0 {
			t.Errorf("%s: a set is said to meet the targets", c.name)
		}
		if text := fmt.Sprint(a.Needs); !strings.Contains(text, c.want) {
			t.Errorf("%s: needs %s, want a word of %s", c.name, text, c.want)
		}
	}
}

// anyTrain draws a crank train with two to five odd cylinders.
func anyTrain(t *rapid.T) *layout.Train {
	n := rapid.IntRange(2, 5).Draw(t, "cylinders")
	angle := rapid.Float64Range(-180, 180)
	var pins, axes, x []float64
	for i := range n {
		pins = append(pins, angle.Draw(t, "pin"))
		axes = append(axes, rapid.Float64Range(-60, 60).Draw(t, "axis"))
		x = append(x, float64(i)+rapid.Float64Range(0, 0.05).Draw(t, "x"))
	}
	tr := row(0.1, pins, axes, x)
	for i := range tr.Cylinders {
		tr.Cylinders[i].Offset = rapid.Float64Range(-0.006, 0.006).Draw(t, "offset")
		tr.Cylinders[i].Piston.Mass = rapid.Float64Range(0.3, 0.5).Draw(t, "piston")
	}
	return tr
}

// For any engine two shafts at ±1 and two at ±2 remove both orders; the solver, which knows nothing of the
// search, confirms it.
func TestAnyEngine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tr := anyTrain(t)
		task := ShaftTask{Targets: []ShaftTarget{{K: 2, Aim: AimForce}, {K: 2, Aim: AimMoment}, {K: 4, Aim: AimForce}, {K: 4, Aim: AimMoment}}}
		a, err := FindShafts(tr, task)
		if err != nil {
			t.Fatal(err)
		}
		if a.Smallest != len(a.Sets)-1 || a.Smallest < 0 {
			t.Fatalf("no set of four shafts removes orders 1 and 2: %+v", a)
		}
		for i, s := range a.Sets {
			if s.Meets != (i == a.Smallest) {
				t.Fatalf("set %d meets: %v, smallest %d", i, s.Meets, a.Smallest)
			}
		}
		tr.Shafts = a.Sets[a.Smallest].Shafts
		if err := layout.Validate(tr); err != nil {
			t.Fatal(err)
		}
	})
}

// The mirror image of an engine, and its shafts' places, gets the mirror image of the shafts; a clockwise copy the same.
func TestMirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tr := anyTrain(t)
		mirrored, clockwise := *tr, *tr
		mirrored.Throws, mirrored.Cylinders = slices.Clone(tr.Throws), slices.Clone(tr.Cylinders)
		for i := range mirrored.Throws {
			mirrored.Throws[i].Angle *= -1
		}
		for i := range mirrored.Cylinders {
			c := &mirrored.Cylinders[i]
			c.Axis, c.Offset, c.Piston.PinOffset = -c.Axis, -c.Offset, -c.Piston.PinOffset
		}
		clockwise.Rotation = layout.Clockwise
		task := ShaftTask{Places: []ShaftPlace{{0.1, -0.05}, {-0.08, 0.02}, {0.06, 0.03}}, MostShafts: 2, Targets: []ShaftTarget{{K: 4, Aim: AimForce}, {K: 4, Aim: AimRoll}}}
		other := task
		other.Places = slices.Clone(task.Places)
		for i := range other.Places {
			other.Places[i].Y *= -1
		}
		same := func(name string, a, b *ShaftAnswer, sense float64) {
			if len(a.Sets) != len(b.Sets) {
				t.Fatalf("%s: %d sets and %d", name, len(a.Sets), len(b.Sets))
			}
			for i := range a.Sets {
				p, q := a.Sets[i].Shafts, b.Sets[i].Shafts
				if len(p) != len(q) {
					t.Fatalf("%s: %d shafts and %d", name, len(p), len(q))
				}
				for j := range p {
					if p[j].SpeedRatio != q[j].SpeedRatio || p[j].Y != sense*q[j].Y || p[j].Z != q[j].Z || len(p[j].Masses) != len(q[j].Masses) {
						t.Fatalf("%s: %+v and %+v", name, p[j], q[j])
					}
					for m := range p[j].Masses {
						u, v := p[j].Masses[m], q[j].Masses[m]
						d := complex(u.Amount, 0)*u.Angle.Unit() - complex(v.Amount, 0)*(v.Angle*num.Angle(sense)).Unit()
						if u.At != v.At || cmplx.Abs(d) > 1e-9*(0.01+u.Amount) {
							t.Fatalf("%s: %+v and %+v", name, u, v)
						}
					}
				}
			}
		}
		plain, err1 := FindShafts(tr, task)
		image, err2 := FindShafts(&mirrored, other)
		turned, err3 := FindShafts(&clockwise, task)
		if err1 != nil || err2 != nil || err3 != nil {
			t.Fatal(err1, err2, err3)
		}
		same("mirrored", plain, image, -1)
		same("clockwise", plain, turned, 1)
	})
}

func TestTaskRefused(t *testing.T) {
	train := inlineOf(0, 240, 120)
	nan, inf := math.NaN(), math.Inf(1)
	for name, task := range map[string]ShaftTask{
		"ratio 0":       {Ratios: []float64{0}},
		"ratio 0.7":     {Ratios: []float64{0.7}},
		"ratio NaN":     {Ratios: []float64{nan}},
		"ratio twice":   {Ratios: []float64{1, 1}},
		"place":         {Places: []ShaftPlace{{nan, 0}}},
		"place twice":   {Places: []ShaftPlace{{1, 0}, {1, 0}}},
		"plane":         {Planes: []float64{inf}},
		"keep 1":        {Targets: []ShaftTarget{{K: 2, Keep: 1}}},
		"keep NaN":      {Targets: []ShaftTarget{{K: 2, Keep: nan}}},
		"order 0":       {Targets: []ShaftTarget{{K: 0}}},
		"aim":           {Targets: []ShaftTarget{{K: 2, Aim: 7}}},
		"target twice":  {Targets: []ShaftTarget{{K: 2}, {K: 2, Keep: 0.5}}},
		"nine shafts":   {MostShafts: 9},
		"crank plane":   {Crank: true, CrankPlanes: []float64{nan}},
		"minus shafts":  {MostShafts: -1},
		"no such train": {},
	} {
		tr := train
		if name == "no such train" {
			tr = &layout.Train{}
		}
		if _, err := FindShafts(tr, task); err == nil {
			t.Errorf("%s is not refused", name)
		}
	}
}

// Many places are no burden where only forces and moments are asked for, and refused where they would be.
func TestManyPlaces(t *testing.T) {
	train := inlineOf(0, 180, 180, 0)
	task := ShaftTask{Ratios: []float64{2}, MostShafts: 8}
	for i := range mostPlaces {
		task.Places = append(task.Places, ShaftPlace{0.1, 0.01 * float64(i)})
	}
	a, err := FindShafts(train, task)
	if err != nil || a.Smallest >= 0 || len(a.Sets) != 2 {
		t.Errorf("%v %+v", err, a)
	}
	task.Targets = []ShaftTarget{{K: 4, Aim: AimRoll}}
	if _, err := FindShafts(train, task); err == nil || !strings.Contains(err.Error(), "fewer places") {
		t.Errorf("4 thousand million sets are not refused: %v", err)
	}
	task.Places = append(task.Places, ShaftPlace{})
	if _, err := FindShafts(train, task); err == nil {
		t.Error("65 places are not refused")
	}
}

// A timing error of one shaft leaves 2 sin(δ/2) of its force.
func TestPhaseErrorClosedForm(t *testing.T) {
	train := veeOf(60, 60, 0, 240, 120)
	_, s := find(t, train, ShaftTask{Targets: []ShaftTarget{{K: 4, Aim: AimMoment}}})
	rapid.Check(t, func(t *rapid.T) {
		δ := rapid.Float64Range(0, math.Pi).Draw(t, "δ")
		left, err := PhaseError(train, s.Shafts, num.Angle(δ))
		if err != nil {
			t.Fatal(err)
		}
		for _, l := range left {
			if want := 2 * math.Sin(δ/2) * l.Before; l.Aim == AimMoment && math.Abs(l.Worst-want) > 1e-9*l.Before {
				t.Fatalf("left %g, want %g", l.Worst, want)
			}
		}
	})
	for _, δ := range []num.Angle{-0.1, 4, num.Angle(math.NaN())} {
		if _, err := PhaseError(train, s.Shafts, δ); err == nil {
			t.Errorf("%g is not refused", δ)
		}
	}
	if _, err := PhaseError(train, make([]layout.Shaft, 9), 0.1); err == nil {
		t.Error("nine shafts are not refused")
	}
	if _, err := PhaseError(train, make([]layout.Shaft, 1), 0.1); err == nil {
		t.Error("a shaft that stands still is not refused")
	}
}

func BenchmarkShaftsFlatFour(b *testing.B) {
	t := inlineOf(0, 180, 180, 0)
	task := ShaftTask{Targets: []ShaftTarget{{K: 4, Aim: AimForce}, {K: 4, Aim: AimRoll}}}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := FindShafts(t, task); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkShaftsSix(b *testing.B) {
	t := veeOf(90, 30, 0, 240, 120)
	task := ShaftTask{Crank: true, Targets: []ShaftTarget{{K: 2, Aim: AimForce}, {K: 2, Aim: AimMoment}, {K: 4, Aim: AimForce}, {K: 4, Aim: AimMoment}}}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := FindShafts(t, task); err != nil {
			b.Fatal(err)
		}
	}
}

// Shafts at orders that are no target stay, keep their place and are not counted.
func TestOtherShaftsStay(t *testing.T) {
	train := inlineOf(0, 240, 120)
	place := ShaftTask{}.Filled(train).Places[0]
	train.Shafts = []layout.Shaft{
		{SpeedRatio: -2, Y: place.Y, Z: place.Z, Masses: []layout.Unbalance{{Amount: 1e-4}}},
		{SpeedRatio: 1, Y: 0.3, Masses: []layout.Unbalance{{Amount: 1e-4}}},
	}
	a, s := find(t, train, ShaftTask{Crank: true, Targets: []ShaftTarget{{K: 2, Aim: AimForce}, {K: 2, Aim: AimMoment}}})
	if len(a.Kept) != 1 || a.Kept[0].SpeedRatio != -2 {
		t.Errorf("kept %+v", a.Kept)
	}
	if len(s.Shafts) != 1 || s.Shafts[0].Y == place.Y && s.Shafts[0].Z == place.Z {
		t.Errorf("shafts %+v at the place of one that stays, %+v", s.Shafts, place)
	}
}

func TestJoinCounterweights(t *testing.T) {
	got := JoinCounterweights(
		[]layout.Unbalance{{At: 0.1, Angle: 0, Amount: 3, Throw: 2}, {At: 0.2, Angle: 1, Amount: 1}},
		[]layout.Unbalance{{At: 0.1, Angle: math.Pi / 2, Amount: 4}, {At: 0.3, Angle: 1, Amount: 2}})
	if len(got) != 3 || got[0].Throw != 2 || math.Abs(got[0].Amount-5) > 1e-12 || math.Abs(math.Tan(float64(got[0].Angle))-4.0/3) > 1e-12 || got[2].At != 0.3 {
		t.Errorf("%+v", got)
	}
}

// Whatever is asked, an answer has finite numbers only and claims no set that leaves too much.
func FuzzFindShafts(f *testing.F) {
	f.Add(0.0, 180.0, 0.0, 0.09, 0.1, 0.05, -0.05, 0.0, uint8(3), uint8(2), true)
	f.Add(10.0, 200.0, 30.0, 0.05, 0.0, 0.0, 0.0, 0.5, uint8(2), uint8(0), false)
	f.Fuzz(func(t *testing.T, pin1, pin2, axis, spacing, y, z, plane, keep float64, most, ratios uint8, crank bool) {
		tr := row(spacing, []float64{pin1, pin2}, []float64{axis, -axis}, []float64{0, 1})
		task := ShaftTask{
			Places: []ShaftPlace{{y, z}, {-y, z}, {y, -z - 0.1}}, Planes: []float64{plane, spacing}, MostShafts: 1 + int(most%4), Crank: crank,
			Targets: []ShaftTarget{{K: 2, Aim: AimForce, Keep: keep}, {K: 4, Aim: AimMoment, Keep: keep}, {K: 4, Aim: AimRoll, Keep: 0.5}},
			Ratios:  [][]float64{nil, {-1}, {1, 2}, {-2, 2, -1}}[ratios%4],
		}
		a, err := FindShafts(tr, task)
		if err != nil {
			return
		}
		for _, s := range a.Sets {
			met := true
			for _, l := range s.Left {
				for _, v := range []float64{l.Before, l.After, s.Total} {
					if math.IsNaN(v) || math.IsInf(v, 0) {
						t.Fatalf("%v in %+v", v, s)
					}
				}
				met = met && (!l.Asked || l.Met)
			}
			if met != s.Meets {
				t.Fatalf("meets %v, targets %+v", s.Meets, s.Left)
			}
			if !s.Meets {
				continue
			}
			with := *tr
			with.Shafts, with.Counterweights = s.Shafts, s.Counterweights
			if err := layout.Validate(&with); err != nil {
				t.Fatal(err)
			}
		}
	})
}
