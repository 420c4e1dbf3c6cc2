package layout

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"crankwright/num"
)

func vee() *Train {
	t := &Train{Name: "test", Bore: 0.08, Banks: []Bank{{Name: "1", Axis: num.Degrees(-45)}, {Name: "2", Axis: num.Degrees(45)}}}
	for i, x := range []float64{-0.05, 0.05} {
		t.Throws = append(t.Throws, Throw{Name: string(rune('A' + i)), At: x, Angle: num.Degrees(180 * float64(i)), Radius: 0.04, Pair: i})
		for b := range 2 {
			t.Cylinders = append(t.Cylinders, Cylinder{
				Name: string(rune('1' + 2*i + b)), Throw: i, Bank: b, At: x, Axis: t.Banks[b].Axis,
				Piston: Piston{Mass: 0.4}, Rod: Rod{Length: 0.14, Mass: 0.5, CG: 0.04, Inertia: 0.0015},
			})
		}
	}
	return t
}

func TestGoodTrain(t *testing.T) {
	if err := Validate(vee()); err != nil {
		t.Fatal(err)
	}
}

// TestImpossibleTrains breaks one thing at a time and wants the place, the reason and the limit.
func TestImpossibleTrains(t *testing.T) {
	for _, c := range []struct {
		name, where, says, limit string
		spoil                    func(*Train)
	}{
		{"no throw", "throws", "there is no throw", "at least one", func(t *Train) { t.Throws = nil }},
		{"no cylinder", "cylinders", "there is no cylinder", "at least one", func(t *Train) { t.Cylinders = nil }},
		{"short rod", "cylinders[2].rod.length", "too short for a throw of 40 mm", "at least 40.4 mm", func(t *Train) { t.Cylinders[2].Rod.Length = 0.0403 }},
		{"short rod for the offset", "cylinders[0].rod.length", "and 110 mm offset", "at least", func(t *Train) { t.Cylinders[0].Offset = 0.11 }},
		{"one place", "cylinders[1]", "cylinders 1 and 2 are in one place", "at least one bore, 80 mm, apart", func(t *Train) { t.Cylinders[1].Axis = t.Cylinders[0].Axis }},
		{"bores that meet", "cylinders[", "are in one place: at top dead centre their pistons are 70 mm apart, and so it is with", "one bore", func(t *Train) {
			for i := range t.Cylinders {
				t.Cylinders[i].At *= 0.7
			}
		}},
		{"no web", "throws[1]", "no web fits between the pins of throws A and B", "overlap", func(t *Train) {
			t.Throws[1].At = t.Throws[0].At + 0.02
			t.Crank.Crankpin = Journal{Diameter: 0.05, Width: 0.024}
		}},
		{"a throw that is not there", "cylinders[3].throw", "the throw 8 does not exist", "there are 2 throws", func(t *Train) { t.Cylinders[3].Throw = 7 }},
		{"not a number", "cylinders[0].piston.mass", "NaN", "finite", func(t *Train) { t.Cylinders[0].Piston.Mass = math.NaN() }},
		{"negative mass", "cylinders[0].piston.mass", "-1", "not be negative", func(t *Train) { t.Cylinders[0].Piston.Mass = -1 }},
		{"two names", "cylinders[1].name", `the name "1"`, "must differ", func(t *Train) { t.Cylinders[1].Name = "1" }},
		{"a rod as its own master", "cylinders[1].rod.master", "does not exist", "another cylinder", func(t *Train) {
			t.Cylinders[1].Rod.Linked, t.Cylinders[1].Rod.Master, t.Cylinders[1].Rod.KnuckleRadius = true, 1, 0.03
		}},
		{"a master on another throw", "cylinders[1].rod.master", "on another throw", "share one throw", func(t *Train) {
			t.Cylinders[1].Rod.Linked, t.Cylinders[1].Rod.Master, t.Cylinders[1].Rod.KnuckleRadius = true, 2, 0.03
		}},
		{"a shaft out of step", "balance_shafts[0].speed_ratio", "0.3", "multiple of 0.5", func(t *Train) { t.Shafts = []Shaft{{SpeedRatio: 0.3}} }},
		{"an order with a gap", "firing_order", "leaves out cylinder 4", "once", func(t *Train) { t.FiringOrder = []int{0, 1, 2} }},
		{"an order with a repeat", "firing_order", "cylinder 1 twice", "once", func(t *Train) { t.FiringOrder = []int{0, 0, 1, 2} }},
		{"fires outside the cycle", "cylinders[0].fires_at", "720 deg", "below 720 deg", func(t *Train) {
			t.Cylinders[0].FiresGiven, t.Cylinders[0].FiresAt = true, 2*num.Turn
		}},
		{"a heavy end outside", "cylinders[0].rod.cg_from_big_end", "far outside a rod", "between the eyes", func(t *Train) { t.Cylinders[0].Rod.CG = 0.4 }},
		{"more inertia than mass", "cylinders[0].rod.inertia", "not possible", "more than any rod", func(t *Train) { t.Cylinders[0].Rod.Inertia = 1.8 }},
		{"a pin outside the piston", "cylinders[0].piston.pin_offset", "outside the piston", "half the bore", func(t *Train) { t.Cylinders[0].Piston.PinOffset = 0.05 }},
		{"a wrong unit of pressure", "gas.imep", "1100 bar", "100 bar", func(t *Train) { t.Gas.IMEP = 1100e5 }},
		{"a block of metres", "block.deck_height", "250000 mm", "100 m", func(t *Train) { t.Block.DeckHeight = 250 }},
		{"a sump above its joint", "block.sump_depth", "ends 40 mm below", "below its joint", func(t *Train) { t.Block.SkirtDepth, t.Block.SumpDepth = 0.05, 0.04 }},
		{"a metal of wood", "block.density", "2.7 kg/m3", "2700 kg/m3", func(t *Train) { t.Block.Density = 2.7 }},
		{"a negative mass of oil", "block.oil_mass", "-1 kg", "5000 t", func(t *Train) { t.Block.Oil = -1 }},
		{"a forest of camshafts", "block.camshafts", "20", "0, 1 or 2", func(t *Train) { t.Block.Camshafts = 20 }},
		{"camshafts over heads that pushrods reach", "block.camshafts", "with pushrods 0 stand over each bank", "give 0", func(t *Train) {
			t.Making.ValveDrive, t.Block.DeckHeight, t.Block.Camshafts = Pushrods, 0.2, 2
		}},
		{"overhead camshafts that are none", "block.camshafts", "with overhead-double 2 stand over each bank", "give 2", func(t *Train) {
			t.Making.ValveDrive, t.Block.DeckHeight = OverheadDouble, 0.2
		}},
		{"coolant that air replaces", "block.coolant_mass", "3 kg of coolant", "cooling: liquid", func(t *Train) {
			t.Making.Cooling, t.Block.Coolant = Air, 3
		}},
		{"a throw of metres", "throws[0].radius", "40000 mm", "10 m", func(t *Train) { t.Throws[0].Radius = 40 }},
	} {
		train := vee()
		c.spoil(train)
		err := Validate(train)
		var ps Problems
		if !errors.As(err, &ps) {
			t.Errorf("%s: accepted", c.name)
			continue
		}
		found := false
		for _, p := range ps {
			found = found || strings.HasPrefix(p.Where, c.where) && strings.Contains(p.What, c.says) && strings.Contains(p.Limit, c.limit)
		}
		if !found {
			t.Errorf("%s: no problem at %s that says %q with the limit %q in\n%v", c.name, c.where, c.says, c.limit, err)
		}
	}
}

// TestAllProblemsAtOnce wants every fault of the parts, not only the first.
func TestAllProblemsAtOnce(t *testing.T) {
	train := vee()
	train.Cylinders[0].Piston.Mass, train.Cylinders[1].Rod.Mass, train.Cylinders[2].Rod.Length = -1, -1, 0.01
	var ps Problems
	if !errors.As(Validate(train), &ps) || len(ps) != 3 {
		t.Errorf("three faults, reported:\n%v", ps)
	}
}

// TestPinsThatOverlapNeedNoWeb: a small split joins the pins.
func TestPinsThatOverlapNeedNoWeb(t *testing.T) {
	train := vee()
	train.Throws[1].At, train.Throws[1].Angle = train.Throws[0].At+0.02, train.Throws[0].Angle+num.Degrees(30)
	train.Crank.Crankpin = Journal{Diameter: 0.05, Width: 0.024}
	if err := Validate(train); err != nil {
		t.Error(err)
	}
}

// TestNoNumberPassesUnseen puts what is no number into every field of a train in turn, and Validate must see each.
func TestNoNumberPassesUnseen(t *testing.T) {
	full := func() *Train {
		tr := vee()
		tr.Counterweights = []Unbalance{{At: 0.1, Amount: 0.01}}
		tr.Shafts = []Shaft{{SpeedRatio: 2, Y: 0.1, Z: 0.1, Masses: []Unbalance{{At: 0.1, Amount: 0.01}}}}
		tr.Gas.Filling = []Filling{{Speed: 100, Volumetric: 0.8}}
		tr.Twisting.Driven = []ShaftPart{{Inertia: 0.1, Stiffness: 1e5}}
		return tr
	}
	if err := Validate(full()); err != nil {
		t.Fatal(err)
	}
	for i := range numbers(full()) {
		for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
			tr := full()
			n := numbers(tr)[i]
			n.at.SetFloat(x)
			if Validate(tr) == nil {
				t.Errorf("%s = %g is let through", n.name, x)
			}
		}
	}
}

type number struct {
	name string
	at   reflect.Value
}

// numbers gathers every number of a train, with the Go names that lead to it.
func numbers(t *Train) []number {
	var found []number
	var walk func(name string, v reflect.Value)
	walk = func(name string, v reflect.Value) {
		switch v.Kind() {
		case reflect.Float64:
			found = append(found, number{name, v})
		case reflect.Struct:
			for i := range v.NumField() {
				walk(name+"."+v.Type().Field(i).Name, v.Field(i))
			}
		case reflect.Slice, reflect.Array:
			for i := range v.Len() {
				walk(fmt.Sprintf("%s[%d]", name, i), v.Index(i))
			}
		}
	}
	walk("train", reflect.ValueOf(t).Elem())
	return found
}

// TestPlausible scales each size that is held against the bore until it is refused, and accepts it just below.
func TestPlausible(t *testing.T) {
	const bore = 0.1
	most := bore * bore * bore * MaxDensity
	for where, c := range map[string]struct {
		set  func(*Train, float64)
		most float64
	}{
		"crank.main_journal.diameter": {func(t *Train, x float64) { t.Crank.MainJournal.Diameter = x }, MaxJournal * bore},
		"crank.crankpin.width":        {func(t *Train, x float64) { t.Crank.Crankpin.Width = x }, MaxJournal * bore},
		"crank.web.thickness":         {func(t *Train, x float64) { t.Crank.Web.Thickness = x }, MaxJournal * bore},
		"crank.web.width":             {func(t *Train, x float64) { t.Crank.Web.Width = x }, MaxWeb * bore},
		"crank.fillet_radius":         {func(t *Train, x float64) { t.Crank.Fillet = x }, bore / 2},
		"cylinders[0].piston.mass":    {func(t *Train, x float64) { t.Cylinders[0].Piston.Mass = x }, most},
		"cylinders[0].rod.mass":       {func(t *Train, x float64) { t.Cylinders[0].Rod.Mass = x }, most},
		"throws[0].unbalance":         {func(t *Train, x float64) { t.Throws[0].Unbalance = x }, most * 0.05},
		"speeds.rated":                {func(t *Train, x float64) { t.Speeds.Rated = x }, MaxPistonSpeed * math.Pi / 0.1},
	} {
		for _, share := range []float64{0.999, 1.001} {
			train := &Train{Bore: bore, Throws: []Throw{{Radius: 0.05}}, Cylinders: []Cylinder{{}}}
			c.set(train, c.most*share)
			err := Plausible(train)
			if (err == nil) != (share < 1) || err != nil && err.(Problems)[0].Where != where { //nolint:errorlint // it returns nothing else
				t.Errorf("%s at %g of its limit: %v", where, share, err)
			}
			if train.Bore = 0; Plausible(train) != nil {
				t.Errorf("%s is refused without a bore", where)
			}
		}
	}
}
