package analysis_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"crankwright/analysis"
	"crankwright/mechanics/layout"
)

func mountsOf(t *testing.T, tr *layout.Train) *analysis.Mounts {
	t.Helper()
	d, err := analysis.NewDriver(tr)
	if err != nil {
		t.Fatal(err)
	}
	r, err := d.Mounts(0)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Examples of every kind swing on their mounts with finite numbers; with mounts of steel all of the load arrives.
func TestMountsOfExamples(t *testing.T) {
	seen := 0
	examples(t, func(name string, tr *layout.Train) {
		if !slices.Contains([]string{"inline-four-flat", "vee-six-60", "single"}, name) {
			return // the gas takes its time
		}
		r := mountsOf(t, tr)
		seen++
		w := r.Worst()
		t.Logf("%-36s m %5.0f modes %4.1f…%4.1f Hz roll %3.0f %% main %g idle %6.0f N rated %6.0f N worst %6.0f N at %4.0f rpm passes %.2f", name, r.System.Body.Mass,
			r.Modes[0].Frequency/2/math.Pi, r.Modes[5].Frequency/2/math.Pi, 100*r.Merit.Decoupling, float64(r.Main)/2, r.Idle.Total, r.Tries[0].Rated.Total, w.Total, w.Speed*30/math.Pi, r.Tries[0].Rated.Passes)
		for _, try := range r.Tries {
			for _, x := range []float64{try.Idle.Total, try.Rated.Total, try.Worst.Total} {
				if math.IsNaN(x) || math.IsInf(x, 0) || x < 0 {
					t.Errorf("%s, %s: %g N", name, try.Name, x)
				}
			}
		}
		if !strings.Contains(name, "four-flat") && name != "vee-six-60" {
			return // the gas takes its time
		}
		stiff := *tr
		for _, m := range r.System.Mounts {
			i := layout.Isolator{Name: m.Name, X: m.At.X, Y: m.At.Y, Z: m.At.Z, Loss: 0.1}
			for a, k := range m.Stiffness {
				i.Stiffness[a] = 1e5 * k
			}
			stiff.Mounting.Isolators = append(stiff.Mounting.Isolators, i)
		}
		if s := mountsOf(t, &stiff); math.Abs(s.Idle.Passes-1) > 1e-3 {
			t.Errorf("%s on mounts of steel: %g of the load arrives", name, s.Idle.Passes)
		}
	})
	if seen != 3 {
		t.Errorf("only %d examples stand on mounts", seen)
	}
}

// An engine that turns the other way is the mirror image: the same reaches the structure.
func TestMountsOfMirroredEngine(t *testing.T) {
	examples(t, func(name string, tr *layout.Train) {
		if name != "vee-twin-52" {
			return
		}
		other := *tr
		other.Mounting.Isolators = nil
		other.Rotation = layout.Clockwise - tr.Rotation
		d, err := analysis.NewDriver(tr)
		if err != nil {
			return
		}
		a, err := d.Mounts(0)
		if err != nil {
			return
		}
		b := mountsOf(t, &other)
		for i := range a.Modes {
			if math.Abs(a.Modes[i].Frequency-b.Modes[i].Frequency) > 1e-6*a.Modes[5].Frequency {
				t.Errorf("%s: mode %d at %g and %g rad/s", name, i, a.Modes[i].Frequency, b.Modes[i].Frequency)
			}
		}
		for i, x := range a.Sweep {
			if y := b.Sweep[i]; math.Abs(x.Total-y.Total) > 1e-6*(x.Total+1) {
				t.Errorf("%s at %g rad/s: %g N, mirrored %g N", name, x.Speed, x.Total, y.Total)
				return
			}
		}
	})
}

// The orders of an inline four at idle are led by its firing order 2, perfect shafts take most of the force at speed, and
// softer mounts let less through well above the modes.
func TestMountsOfInlineFour(t *testing.T) {
	examples(t, func(name string, tr *layout.Train) {
		if name != "inline-four-flat" {
			return
		}
		tr.Mounting.Receivers = []layout.Receiver{
			{Name: "lever", Touch: layout.ByHand, On: layout.OnEngine, Z: 0.3},
			{Name: "seat", Touch: layout.BySeat, On: layout.OnStructure, Mass: 4000},
			{Name: "plate", Touch: layout.ByFeet, On: layout.OnStructure, Mobility: 1e-4},
		}
		r := mountsOf(t, tr)
		if r.Main != 4 {
			t.Errorf("main half order %d", r.Main)
		}
		by := map[string]analysis.MountTry{}
		for _, try := range r.Tries {
			by[try.Name] = try
		}
		shafts, ok := by["order 2 of force and moment taken by perfect shafts"]
		if !ok || shafts.Rated.Total > 0.5*r.Tries[0].Rated.Total {
			t.Errorf("perfect shafts leave %g of %g N (%v)", shafts.Rated.Total, r.Tries[0].Rated.Total, ok)
		}
		if soft := by["mounts half as stiff"]; soft.Rated.Total > 0.6*r.Tries[0].Rated.Total || soft.Rated.Total < 0.4*r.Tries[0].Rated.Total {
			t.Errorf("soft mounts pass %g of %g N", soft.Rated.Total, r.Tries[0].Rated.Total)
		}
		// a rigid structure of known mass: a = F/M, and the seat feels its weighted part
		seat, lever := r.Tries[0].Rated.Felt[1], r.Tries[0].Rated.Felt[0]
		if seat.Raw > 2*r.Tries[0].Rated.Total/4000 || seat.Raw <= 0 || seat.Value > seat.Raw*1.5 {
			t.Errorf("seat feels %+v under %g N", seat, r.Tries[0].Rated.Total)
		}
		if lever.Raw <= seat.Raw {
			t.Errorf("the engine shakes with %g, the structure with %g m/s2", lever.Raw, seat.Raw)
		}
		d, err := analysis.NewDriver(tr)
		if err != nil {
			t.Fatal(err)
		}
		found, try, err := r.Find(d, analysis.UsualWish())
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("before %+v, after %+v, idle %g to %g N", found.Before, found.After, r.Idle.Total, try.Idle.Total)
		if found.After.Decoupling < found.Before.Decoupling-1e-9 && found.After.Separation < found.Before.Separation-1e-9 {
			t.Errorf("found %+v from %+v", found.After, found.Before)
		}
	})
}

// A cross-plane four has an order that runs through its roll mode: its frequency is that of the mode, and several times as
// much reaches the structure as at idle.
func TestMountsMeetModes(t *testing.T) {
	r := mountsOf(t, exampleTrain(t, "inline-four-cross"))
	if len(r.Meets) == 0 {
		t.Fatal("no order meets a mode")
	}
	for _, m := range r.Meets {
		if f := m.Speed * float64(m.K) / 2; math.Abs(f-r.Modes[m.Mode].Frequency) > 1e-9*f {
			t.Errorf("order %g at %g rad/s is not mode %d", float64(m.K)/2, m.Speed, m.Mode)
		}
		if m.Total < 4*r.Idle.Total {
			t.Errorf("%+v passes little more than the %g N at idle", m, r.Idle.Total)
		}
	}
	if r := mountsOf(t, exampleTrain(t, "inline-six")); len(r.Meets) > 0 {
		t.Errorf("a six that idles far above its modes meets %+v", r.Meets)
	}
}

// A weighed engine with a gearbox is taken as it was weighed; without sizes for a mass the reason is told.
func TestMountsOfWeighedEngine(t *testing.T) {
	examples(t, func(name string, tr *layout.Train) {
		if name != "inline-four-flat" {
			return
		}
		tr.Mounting.Engine = layout.Lump{Mass: 150, Z: 0.1, Inertia: [6]float64{8, 12, 10}}
		tr.Mounting.Gearbox = layout.Lump{Mass: 50, X: 0.5, Inertia: [6]float64{0.5, 0.8, 0.8}}
		r := mountsOf(t, tr)
		if b := r.System.Body; math.Abs(b.Mass-200) > 1e-9 || math.Abs(b.Centre.X-0.125) > 1e-9 || math.Abs(b.Centre.Z-0.075) > 1e-9 {
			t.Errorf("whole %+v", b)
		}
		// 150·50/200 kg times the squares of the distances beside the sum of both
		if j := r.System.Body.Inertia; math.Abs(j[0][0]-(8.5+37.5*0.01)) > 1e-9 || math.Abs(j[1][1]-(12.8+37.5*(0.25+0.01))) > 1e-9 {
			t.Errorf("inertia %v", j)
		}
	})
}

func BenchmarkMounts(b *testing.B) {
	examples(b, func(name string, tr *layout.Train) {
		if name != "inline-four-flat" {
			return
		}
		d, err := analysis.NewDriver(tr)
		if err != nil {
			b.Fatal(err)
		}
		for b.Loop() {
			if _, err := d.Mounts(0); err != nil {
				b.Fatal(err)
			}
		}
	})
}
