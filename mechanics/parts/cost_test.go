package parts_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"crankwright/mechanics/envelope"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/parts"
	"crankwright/mechanics/torque"
	"crankwright/num"
)

// row is an in-line engine of n cylinders of 86 mm bore, one throw a cylinder.
func row(n int) *layout.Train {
	t := &layout.Train{Bore: 0.086, Banks: []layout.Bank{{Name: "A"}}}
	for i := range n {
		at := 0.1 * float64(i)
		t.Throws = append(t.Throws, layout.Throw{Name: string(rune('a' + i)), At: at, Angle: num.Turn * num.Angle(i) / num.Angle(n), Radius: 0.043, Pair: i})
		t.Cylinders = append(t.Cylinders, layout.Cylinder{
			Name: string(rune('1' + i)), Throw: i, At: at, Piston: layout.Piston{Mass: 0.4}, Rod: layout.Rod{Length: 0.14, Mass: 0.5, CG: 0.04, Inertia: 0.0018},
		})
	}
	return t
}

func counted(t testing.TB, train *layout.Train) *parts.List {
	t.Helper()
	l, err := parts.Count(train)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func priced(t testing.TB, l *parts.List, p parts.Prices, masses map[string]float64) *parts.Cost {
	t.Helper()
	c, err := parts.CostOf(l, p, masses)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestAPriceChangesItsRowAlone(t *testing.T) {
	l := counted(t, row(4))
	before := priced(t, l, parts.UsualPrices(), nil)
	for _, k := range parts.Kinds() {
		p := parts.UsualPrices()
		p.Of[k.Key] = parts.Price{Each: k.Each + 10, PerKg: k.PerKg}
		after := priced(t, l, p, nil)
		for i, r := range after.Rows {
			want := before.Rows[i].Points
			if r.Key == k.Key {
				want += 10 * r.Count
			}
			if math.Abs(r.Points-want) > 1e-9 {
				t.Errorf("with %q dearer, %q costs %g points, want %g", k.Key, r.Key, r.Points, want)
			}
		}
		if want := before.Points + 10*l.Of(k.Key); math.Abs(after.Points-want) > 1e-9 {
			t.Errorf("with %q dearer all costs %g points, want %g", k.Key, after.Points, want)
		}
	}
}

func TestCostSums(t *testing.T) {
	l := counted(t, row(3))
	c := priced(t, l, parts.UsualPrices(), map[string]float64{"block casting": 40})
	rows, groups, shares := 0.0, 0.0, 0.0
	for _, r := range c.Rows {
		rows += r.Points
		shares += r.Share
		if r.Key == "block casting" && (r.Weight != 40 || r.Points != 70+40*2.5) {
			t.Errorf("a block of 40 kg costs %g points for %g kg", r.Points, r.Weight)
		}
		if r.Key == "piston" && math.Abs(r.Weight-1.2) > 1e-12 { // three of 0.4 kg in the train
			t.Errorf("pistons are paid for %g kg", r.Weight)
		}
	}
	for _, g := range c.Groups {
		groups += g.Points
	}
	if math.Abs(rows-c.Points) > 1e-9 || math.Abs(groups-c.Points) > 1e-9 || math.Abs(shares-1) > 1e-12 || math.Abs(c.Index-c.Points/parts.UsualReference) > 1e-12 {
		t.Errorf("rows %g, groups %g, all %g points, shares %g, index %g", rows, groups, c.Points, shares, c.Index)
	}
}

func TestDifferencesSumToTheDifference(t *testing.T) {
	a, b := priced(t, counted(t, row(3)), parts.UsualPrices(), nil), priced(t, counted(t, row(5)), parts.UsualPrices(), nil)
	sum, last := 0.0, math.Inf(1)
	for _, d := range parts.Differ(a, b) {
		sum += d.More
		if math.Abs(d.More) > last {
			t.Errorf("%q is out of sequence", d.Key)
		}
		last = math.Abs(d.More)
	}
	if math.Abs(sum-(b.Points-a.Points)) > 1e-9 {
		t.Errorf("the rows differ by %g points, the engines by %g", sum, b.Points-a.Points)
	}
	if parts.Differ(a, a) != nil {
		t.Error("an engine differs from itself")
	}
}

func TestPricesThatAreNone(t *testing.T) {
	for name, spoil := range map[string]func(*parts.Prices){
		"reference": func(p *parts.Prices) { p.Reference = 0 },
		"missing":   func(p *parts.Prices) { delete(p.Of, "valve") },
		"is NaN":    func(p *parts.Prices) { p.Of["valve"] = parts.Price{Each: math.NaN()} },
		"lies":      func(p *parts.Prices) { p.Of["valve"] = parts.Price{PerKg: -1} },
		"no part":   func(p *parts.Prices) { p.Of["flux"] = parts.Price{} },
	} {
		p := parts.UsualPrices()
		spoil(&p)
		if err := p.Validate(); err == nil || !strings.Contains(err.Error(), name) {
			t.Errorf("%s: %v", name, err)
		}
		if _, err := parts.CostOf(counted(t, row(2)), p, nil); err == nil {
			t.Errorf("%s: priced all the same", name)
		}
	}
	for _, masses := range []map[string]float64{{"flux": 1}, {"crank": math.NaN()}, {"crank": -1}, {"crank": math.Inf(1)}} {
		if _, err := parts.CostOf(counted(t, row(2)), parts.UsualPrices(), masses); err == nil {
			t.Errorf("%v: priced all the same", masses)
		}
	}
}

func TestFrictionIsSplitWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "cylinders")
		shafts := rapid.IntRange(0, 4).Draw(t, "shafts")
		rub := torque.Rubbing{
			Cylinders: n, Bore: 0.08, Stroke: 0.08, Mains: torque.Bearings{Count: n + 1, Diameter: 0.05, Width: 0.02},
			Pins: torque.Bearings{Count: n, Diameter: 0.045, Width: 0.02}, Valves: 4 * n, Drives: shafts + rapid.IntRange(0, 6).Draw(t, "drives"),
		}
		if n > 1 && rapid.Bool().Draw(t, "linked") {
			rub.Pins.Count, rub.Pins.Swing = 1, 0.25*float64(n-1)
		}
		by, err := rub.FMEP(torque.UsualFriction(), rapid.Float64Range(10, 800).Draw(t, "speed"))
		if err != nil {
			t.Fatal(err)
		}
		whole := rapid.Float64Range(0, 1e6).Draw(t, "whole")
		list, err := parts.Rubbed(by, whole, rub, shafts)
		if err != nil {
			t.Fatal(err)
		}
		mep, all, share := 0.0, 0.0, 0.0
		for _, r := range list {
			mep, all, share = mep+r.MEP, all+r.OfAll, share+r.Share
		}
		if math.Abs(mep-by.Total) > 1e-9*by.Total || math.Abs(all-whole) > 1e-9*(whole+1) || math.Abs(share-1) > 1e-9 {
			t.Errorf("parts of %g Pa for %g Pa; of the engine's %g Pa for %g Pa; shares %g", mep, by.Total, all, whole, share)
		}
	})
	if _, err := parts.Rubbed(torque.Losses{}, 1, torque.Rubbing{}, 0); err == nil {
		t.Error("no friction is split")
	}
	if _, err := parts.Rubbed(torque.Losses{Mains: 1}, 1, torque.Rubbing{Drives: 1}, 2); err == nil {
		t.Error("two balance shafts of one drive")
	}
}

func TestSidesFollowTheAxis(t *testing.T) {
	for deg, want := range map[float64]parts.Side{0: parts.FromAbove, -30: parts.FromAbove, 45: parts.Slanting, -90: parts.FromSide, 180: parts.FromBelow} {
		train := row(2)
		for i := range train.Cylinders {
			train.Cylinders[i].Axis = num.Degrees(deg)
		}
		jobs := parts.Service(train, counted(t, train))
		if jobs[0].From[want] != 2 || jobs[0].Places != 2 {
			t.Errorf("cylinders at %g° are reached %v, want %s", deg, jobs[0].From, want)
		}
	}
}

// An engine whose main journal is unknown has that of the envelope and of package estimate.
func TestDriveOfTheUsualMainJournal(t *testing.T) {
	unknown, usual := row(4), row(4)
	usual.Crank.MainJournal.Diameter = envelope.UsualMainDiameter * usual.Bore
	if a, b := counted(t, unknown).Drives[0].Teeth, counted(t, usual).Drives[0].Teeth; a != b {
		t.Errorf("wheels of %v teeth where the main journal is unknown, of %v with the usual one", a, b)
	}
}

func TestAnOpenMakingFollowsTheCylinders(t *testing.T) {
	two := row(2)
	two.Cycle = layout.TwoStroke
	l := counted(t, two)
	if l.Making.ValveDrive != layout.Ports || l.Of("valve")+l.Of("camshaft")+l.Of("head cover") != 0 || len(l.Drives) != 0 {
		t.Errorf("a two-stroke engine has %g valves and %s", l.Of("valve"), l.Making.ValveDrive)
	}
	two.Making.CamDrive = layout.Chain // so there is a camshaft, at crank speed
	if l = counted(t, two); l.Of("camshaft") != 1 || l.Drives[0].Teeth[0] != l.Drives[0].Teeth[1] {
		t.Errorf("a two-stroke engine with a chain has %g camshafts and wheels of %v teeth", l.Of("camshaft"), l.Drives[0].Teeth)
	}
	narrow := row(4)
	for i := range narrow.Cylinders {
		narrow.Cylinders[i].Axis = num.Degrees(7.5)
		if i%2 == 1 {
			narrow.Cylinders[i].Axis = num.Degrees(-7.5)
		}
	}
	if l = counted(t, narrow); l.Heads != 1 || len(l.Drives) != 1 || l.Of("camshaft") != 2 || l.Of("deck face") != 1 {
		t.Errorf("a vee of 15° has %d heads and %d drives", l.Heads, len(l.Drives))
	}
	narrow.Making.Heads = layout.HeadPerBank
	if l = counted(t, narrow); l.Heads != 2 || len(l.Drives) != 2 {
		t.Errorf("a vee of 15° with a head a bank has %d heads and %d drives", l.Heads, len(l.Drives))
	}
	air := row(4)
	air.Making.Cooling = layout.Air
	if l = counted(t, air); l.Heads != 4 || l.Of("barrel") != 4 || l.Of("fan") != 1 || l.Of("water pump") != 0 || l.Of("deck face") != 4 {
		t.Errorf("an air-cooled row has %d heads and %g barrels", l.Heads, l.Of("barrel"))
	}
	geared := row(4)
	geared.Making.CamDrive = layout.Gears
	if l = counted(t, geared); l.DriveLength() != 0 || l.Of("drive gear") < 4 {
		t.Errorf("gears: %g m of chain and %g gears", l.DriveLength(), l.Of("drive gear"))
	}
	rods := row(4)
	rods.Making.ValveDrive = layout.Pushrods
	if l = counted(t, rods); l.Of("camshaft") != 1 || l.Of("pushrod") != 16 {
		t.Errorf("pushrods: %g camshafts, %g rods", l.Of("camshaft"), l.Of("pushrod"))
	}
	if short, long := l.DriveLength(), counted(t, row(4)).DriveLength(); !(short > 0 && short < long) {
		t.Errorf("a chain to the block is %g m long, one to the head %g m", short, long)
	}
}
