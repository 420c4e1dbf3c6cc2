package gas

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"crankwright/mechanics/layout"
	"crankwright/mechanics/motion"
	"crankwright/num"
)

// finite fails where a number of the result is none.
func finite(t interface{ Fatalf(string, ...any) }, r *Result) {
	for _, curve := range [][]float64{
		r.Pressure, r.Temperature, r.Volume, r.Mass, r.Burned, r.ReleaseRate, r.WallRate,
		{r.PeakPressure, float64(r.PeakAngle), r.PeakTemperature, r.Work, r.IMEP, r.Gross, r.Pumping, r.Efficiency, r.Fuel, r.FuelEnclosed, r.Lambda, r.Trapped, r.Residual, r.Back, r.Fresh, r.Volumetric, r.Lost, r.ExhaustT},
		{r.Balance.Fuel, r.Balance.Released, r.Balance.Wall, r.Balance.Work, r.Balance.In, r.Balance.Out, r.Balance.Stored, r.Balance.Residual, r.Balance.Share},
	} {
		for j, v := range curve {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("number %d is %g", j, v)
			}
		}
	}
}

// TestAnySetting draws settings, sensible and not: an error or a finite result whose first law closes.
func TestAnySetting(t *testing.T) {
	worst, accepted, sensible := 0.0, 0, 0
	rapid.Check(t, func(rt *rapid.T) {
		draw := func(name string, lo, hi float64) float64 {
			return lo * math.Pow(hi/lo, rapid.Float64Range(0, 1).Draw(rt, name))
		}
		bore := draw("bore", 0.02, 0.9)
		c, err := NewChamber(motion.Linkage{
			Radius: bore * draw("stroke", 0.3, 1.5), Length: bore * draw("rod", 1.2, 4), Offset: bore * rapid.Float64Range(-0.3, 0.3).Draw(rt, "offset"),
		}, bore, draw("ratio", 2, 25))
		if err != nil {
			return
		}
		cycle := layout.Cycle(rapid.IntRange(0, 1).Draw(rt, "cycle"))
		v := TypicalValves(bore, cycle)
		v.Intake.Area *= draw("intake area", 0.05, 3)
		v.Exhaust.Closes += num.Degrees(rapid.Float64Range(-40, 30).Draw(rt, "closes"))
		s := Setting{
			Chamber: c, Cycle: cycle, Speed: draw("piston speed", 1, 25) * math.Pi / c.Stroke(),
			Intake: draw("intake", 0.2e5, 5e5), Temperature: draw("temperature", 250, 450), Exhaust: draw("exhaust", 0.8e5, 4e5),
			Release: SparkRelease(num.Degrees(rapid.Float64Range(-45, 20).Draw(rt, "start")), num.Degrees(draw("duration", 1, 90))),
			Fuel:    Petrol(draw("lambda", 0.6, 4)), Motored: rapid.Bool().Draw(rt, "motored"), Samples: 720,
		}
		if rapid.Bool().Draw(rt, "diesel") {
			s.Fuel = DieselFuel(draw("lambda", 0.9, 8))
		}
		if rapid.Bool().Draw(rt, "walls") {
			s.Wall = &Wall{Temperature: draw("wall", 280, 700)}
		}
		if rapid.Bool().Draw(rt, "valves") {
			s.Valves = &v
		}
		if s.Check() == nil {
			sensible++
		}
		r, err := Solve(s)
		if err != nil {
			// where the gas goes round from the exhaust, it becomes ever hotter
			backwards := s.Cycle == layout.TwoStroke && s.Intake < s.Exhaust || s.Exhaust > s.Intake*c.Ratio/2
			if says := err.Error(); !backwards && (strings.Contains(says, "steady") || strings.Contains(says, "first law")) {
				rt.Fatal(err)
			}
			return
		}
		accepted++
		finite(rt, r)
		worst = max(worst, r.Balance.Share)
		if !(r.Balance.Share <= Closes) {
			rt.Fatalf("the first law closes to %g only: %+v", r.Balance.Share, r.Balance)
		}
	})
	t.Logf("%d of %d solved, first law closes to %.2g", accepted, sensible, worst)
}

// TestAnyTarget draws wanted pressures: they are met, or the error says that they are out of reach.
func TestAnyTarget(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := [3]Setting{pilotDiesel(t), launchPetrol(t), outboard(t)}[rapid.IntRange(0, 2).Draw(rt, "engine")]
		s.Samples = 720
		s.Speed *= rapid.Float64Range(0.3, 2).Draw(rt, "speed")
		imep := rapid.Float64Range(0.2e5, 35e5).Draw(rt, "imep")
		r, at, err := SolveIMEP(s, imep, LeverOf(s.Fuel))
		if err != nil {
			if !strings.Contains(err.Error(), "is not reached") {
				rt.Fatal(err)
			}
			return
		}
		again, err := Solve(at)
		if err != nil {
			rt.Fatal(err)
		}
		good := max(2, 3e-6*imep)
		if s.Cycle == layout.TwoStroke { // hardly scavenged, a ten-millionth of the intake's pressure is felt
			good = max(20, 1e-4*imep)
		}
		if math.Abs(r.IMEP-imep) > good || math.Abs(again.IMEP-imep) > good {
			rt.Fatalf("%g Pa wanted, %g Pa, solved again %g Pa", imep, r.IMEP, again.IMEP)
		}
	})
}

// FuzzSetting feeds arbitrary numbers: nothing panics, and no NaN leaves.
func FuzzSetting(f *testing.F) {
	f.Add(0.1, 0.09, 10.0, 300.0, 1e5, 300.0, 1e5, 1.4, 1000.0, -0.3, 1.0, 5.0, 2.0, 0.001, byte(0))
	f.Add(0.1, 0.09, 10.0, 300.0, 1e5, 300.0, 1e5, 0.0, 0.0, -0.3, 1.0, 5.0, 2.0, 0.001, byte(7))
	f.Add(math.NaN(), math.Inf(1), 0.0, -1.0, 1e300, 0.0, 1e-300, 1.0, 1e300, 9.0, 0.0, -1.0, 1e9, 1.0, byte(255))
	f.Fuzz(func(t *testing.T, bore, stroke, ratio, speed, intake, temperature, exhaust, k, heat, start, duration, a, m, area float64, flags byte) {
		c, err := InfiniteRod(bore, stroke, ratio)
		if err != nil {
			return
		}
		s := Setting{
			Chamber: c, Cycle: layout.Cycle(flags & 1), Speed: speed, Intake: intake, Temperature: temperature, Exhaust: exhaust,
			Fluid: Fluid{K: k}, Fuel: Fuel{Heat: heat, HeatingValue: 43e6, Air: 14.5, Premixed: flags&2 != 0},
			Release: Release{{Share: 1, Start: num.Angle(start), Duration: num.Angle(duration), A: a, M: m}},
			Motored: flags&8 != 0, Samples: 360,
		}
		if flags&4 != 0 {
			v := TypicalValves(bore, s.Cycle)
			v.Intake.Area, v.Exhaust.Opens = area, v.Exhaust.Opens+num.Angle(m/10)
			s.Valves, s.Wall = &v, &Wall{Temperature: temperature}
		}
		r, err := Solve(s)
		if err != nil {
			_ = err.Error()
			return
		}
		finite(t, r)
	})
}
