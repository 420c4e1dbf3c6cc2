package analysis_test

import (
	"fmt"
	"math"
	"math/cmplx"
	"strings"
	"testing"

	"crankwright/analysis"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/motion"
	"crankwright/num"
)

const rpm = math.Pi / 30

// TestFilling gives the model the volumetric efficiency that it shows: the same cycle comes out. Other values are met, and
// with a wanted mean effective pressure they give the course over speed.
func TestFilling(t *testing.T) {
	const head = "name: x\nbore: 86 mm\nstroke: 86 mm\nlayout: {arrangement: inline, cylinders: 3}\nspeeds: {idle: 800 rpm, rated: 4000 rpm, limit: 5000 rpm}\n"
	for name, text := range map[string]string{
		"petrol":     "cycle: four-stroke\ngas: {compression_ratio: 10",
		"diesel":     "cycle: four-stroke\ngas: {compression_ratio: 17, boost: 0.8 bar",
		"two-stroke": "cycle: two-stroke\ngas: {compression_ratio: 9",
	} {
		free := at(t, engineOf(t, head+text+"}\n"), analysis.DriveOptions{})
		shown := free.Cycles[0].Volumetric
		filled := func(more string, values ...float64) *analysis.Driver {
			t.Helper()
			list := ""
			for i, v := range values {
				list += fmt.Sprintf("{speed: %d rpm, value: %.10g %%}, ", 2000*(i+1), 100*v)
			}
			d, err := analysis.NewDriver(engineOf(t, head+text+more+", volumetric_efficiency: ["+strings.TrimSuffix(list, ", ")+"]}\n"))
			if err != nil {
				t.Fatal(err)
			}
			return d
		}
		back, err := filled("", 0.9*shown, shown).At(analysis.DriveOptions{})
		if err != nil {
			t.Fatal(err)
		}
		within(t, name+": imep", back.IMEP, free.IMEP, 5e-3*free.IMEP)
		within(t, name+": intake", back.Cycles[0].Setting.Intake, free.Cycles[0].Setting.Intake, 1e-3*free.Cycles[0].Setting.Intake)
		points, err := filled("", 0.9*shown, 1.05*shown).Sweep([]float64{1000 * rpm, 3000 * rpm, 5000 * rpm}, analysis.DriveOptions{})
		if err != nil {
			t.Fatal(err)
		}
		for i, want := range []float64{0.9, 0.975, 1.05} {
			within(t, name+": volumetric efficiency", points[i].Volumetric, want*shown, 1e-4)
		}
		imep := 0.97 * free.IMEP
		course, err := filled(fmt.Sprintf(", imep: %.10g bar", imep/1e5), 0.9*shown, shown).Sweep([]float64{2000 * rpm, 4000 * rpm}, analysis.DriveOptions{})
		if err != nil {
			t.Fatal(err)
		}
		within(t, name+": imep at rated speed", course[1].IMEP, imep, 5e-4*imep)
		within(t, name+": course", course[0].Volumetric/course[1].Volumetric, 0.9, 1e-4)
	}
}

// TestSuppliedFuel holds the indicated efficiency to the work over the heat of all the fuel that comes in, that which leaves
// by the exhaust with it.
func TestSuppliedFuel(t *testing.T) {
	for _, cycle := range []string{"two-stroke", "four-stroke"} {
		r := at(t, engineOf(t, "name: x\ncycle: "+cycle+"\nbore: 86 mm\nstroke: 86 mm\nlayout: {arrangement: inline, cylinders: 3}\nspeeds: {rated: 3000 rpm}\n"), analysis.DriveOptions{})
		c := r.Cycles[0].Result
		f := r.Cycles[0].Setting.Fuel
		within(t, cycle+": efficiency", c.Efficiency*c.Fuel*f.HeatingValue, c.Work, 1e-9*c.Work)
		within(t, cycle+": fuel", c.Fuel, c.Fresh/(1+f.Lambda*f.Air), 1e-9*c.Fuel)
		if cycle == "two-stroke" {
			within(t, "enclosed", c.FuelEnclosed, (1-c.Lost)*c.Fuel, 1e-2*c.Fuel)
			if c.Lost < 0.3 {
				t.Errorf("a symmetrical two-stroke loses %g of its charge", c.Lost)
			}
		} else if c.Lost > 1e-3 {
			t.Errorf("a four-stroke with usual valves loses %g of its charge", c.Lost)
		}
	}
}

// TestFrictionIsContinuous lowers the load by a hair: friction must not jump, nor gas and brake.
func TestFrictionIsContinuous(t *testing.T) {
	train := engineOf(t, "name: x\ncycle: four-stroke\nbore: 86 mm\nstroke: 86 mm\nlayout: {arrangement: inline, cylinders: 4}\ngas: {compression_ratio: 17, boost: 1.5 bar, air_ratio: 1.4}\nspeeds: {idle: 900 rpm, rated: 4000 rpm}\n")
	full, part := at(t, train, analysis.DriveOptions{}), at(t, train, analysis.DriveOptions{Load: 0.9999})
	within(t, "friction", part.Friction.Total, full.Friction.Total, 1e-3*full.Friction.Total)
	within(t, "imep", part.IMEP, full.IMEP, 1e-3*full.IMEP)
	within(t, "peak", part.Cycles[0].Peak, full.Cycles[0].Peak, 1e-3*full.Cycles[0].Peak)
}

// TestBoostEases: boost and the pressure before the turbine fall with the load, and a note says so; without boost nothing
// does.
func TestBoostEases(t *testing.T) {
	const head = "name: x\ncycle: four-stroke\nbore: 86 mm\nstroke: 86 mm\nlayout: {arrangement: inline, cylinders: 4}\nspeeds: {idle: 900 rpm, rated: 4000 rpm}\n"
	idle := analysis.DriveOptions{Speed: 900 * rpm, Light: true}
	plain := at(t, engineOf(t, head+"gas: {compression_ratio: 17, air_ratio: 1.4}\n"), idle)
	train := engineOf(t, head+"gas: {compression_ratio: 17, air_ratio: 1.4, boost: 1.5 bar}\n")
	boosted := at(t, train, idle)
	within(t, "intake", boosted.Cycles[0].Setting.Intake, 1e5, 1)
	within(t, "exhaust", boosted.Cycles[0].Setting.Exhaust, 1.05e5, 1)
	within(t, "fluctuation", boosted.Crank.Fluctuation, plain.Crank.Fluctuation, 0.1*plain.Crank.Fluctuation)
	half := at(t, train, analysis.DriveOptions{Load: 0.5})
	within(t, "intake at half load", half.Cycles[0].Setting.Intake, 1.75e5, 1)
	for what, d := range map[string]*analysis.Driver{"boosted": boosted.Driver, "plain": plain.Driver} {
		notes := strings.Join(d.Notes, " ")
		if said := strings.Contains(notes, "turbocharger gives little at low speed") && strings.Contains(notes, "share that the load is of full load"); said != (what == "boosted") {
			t.Errorf("%s: %q", what, notes)
		}
	}
	petrol := at(t, engineOf(t, head+"gas: {compression_ratio: 9.5, intake_pressure: 1.8 bar, exhaust_pressure: 1.7 bar}\n"), idle)
	within(t, "exhaust of a throttled engine", petrol.Cycles[0].Setting.Exhaust, 1.05e5, 1)
}

// TestUnlikeCylinders holds wanted pressure and running light to the mean of all cylinders where they move unlike.
func TestUnlikeCylinders(t *testing.T) {
	const two = "name: x\ncycle: four-stroke\nbore: 86 mm\nstroke: 86 mm\nlayout: {arrangement: inline, cylinders: 2, pins: [0, 180] deg}\nspeeds: {idle: 900 rpm, rated: 4000 rpm}\n"
	unlike := engineOf(t, two)
	unlike.Throws[1].Radius *= 0.9
	for name, train := range map[string]*layout.Train{"radial": exampleTrain(t, "radial-five"), "offset pair": exampleTrain(t, "offset-pair"), "strokes": unlike} {
		full := at(t, train, analysis.DriveOptions{})
		if len(full.Cycles) < 2 {
			t.Fatalf("%s: all cylinders are alike", name)
		}
		light := at(t, train, analysis.DriveOptions{Light: true})
		within(t, name+": light", light.IMEP, light.Friction.Total, 1e-3*light.Friction.Total)
		half := at(t, train, analysis.DriveOptions{Load: 0.5})
		within(t, name+": half load", half.Brake/full.Brake, 0.5, 1e-3)
		wanted := *train
		wanted.Gas.IMEP = 9e5
		within(t, name+": imep", at(t, &wanted, analysis.DriveOptions{}).IMEP, 9e5, 2e-4*9e5)
	}
}

// TestTraceOfThrottledEngine writes the pressure of an engine that runs light and reads it back: friction is that of the
// model, though the trace has the pumping of a closed throttle.
func TestTraceOfThrottledEngine(t *testing.T) {
	train := exampleTrain(t, "inline-four-flat")
	idle := at(t, train, analysis.DriveOptions{Speed: 900 * rpm, Light: true})
	c := idle.Cycles[0]
	curve := &layout.Trace{File: "idle.csv", Pressures: [][]float64{c.Pressure}, Absolute: true, Cycles: 1}
	for j := range c.Pressure {
		curve.Angles = append(curve.Angles, c.Result.Angle(j))
	}
	traced := *train
	traced.Gas.Trace, traced.Gas.TracePegging, traced.Gas.Measured = "idle.csv", layout.PegNone, curve
	r := at(t, &traced, analysis.DriveOptions{Speed: 900 * rpm})
	within(t, "imep", r.IMEP, idle.IMEP, 1e-3*idle.IMEP)
	within(t, "friction", r.Friction.Total, idle.Friction.Total, 1e-3*idle.Friction.Total)
	if r.Brake != 0 {
		t.Errorf("%g N m are left", r.Brake)
	}
}

// TestKnucklePinsSwing holds what the pins of linked rods count for against the angles of the rods, differentiated here.
func TestKnucklePinsSwing(t *testing.T) {
	train := exampleTrain(t, "radial-five")
	pins := at(t, train, analysis.DriveOptions{}).Friction.Rub.Pins
	if pins.Count != 1 {
		t.Errorf("%d rods stand on the crank", pins.Count)
	}
	const n = 3600
	want := 0.0
	for i := range train.Cylinders {
		rod := &train.Cylinders[i].Rod
		if !rod.Linked {
			continue
		}
		link, _, _ := motion.LinkageOf(train, i)
		master, _, _ := motion.LinkageOf(train, rod.Master)
		angle := func(j int) float64 {
			φ := num.Turn * num.Angle(j) / n
			a, err := link.At(φ)
			b, again := master.At(φ)
			if err != nil || again != nil {
				t.Fatal(err, again)
			}
			return cmplx.Phase(a.Rod.Direction / b.Rod.Direction)
		}
		for j := range n {
			rate := (angle(j+1) - angle(j-1)) / (4 * math.Pi / n)
			want += rate * rate / n
		}
	}
	within(t, "swing", pins.Swing, want, 1e-5*want)
	if !(want < 2) {
		t.Errorf("four pins that swing count as %g that turn", want)
	}
}
