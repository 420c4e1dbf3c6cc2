package estimate_test

import (
	"fmt"
	"math"
	"testing"

	"crankwright/estimate"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// within reports a value outside its range.
func within(t *testing.T, what string, got, least, most float64) {
	t.Helper()
	if !(least <= got && got <= most) {
		t.Errorf("%s: %.4g is outside %.4g to %.4g", what, got, least, most)
	}
}

// TestRulesAtRangeEnds holds every proportion to the scatter that its comment states, for the
// smallest and largest bore.
func TestRulesAtRangeEnds(t *testing.T) {
	for _, d := range []estimate.Duty{estimate.Light, estimate.General, estimate.Heavy} {
		for _, bore := range []float64{0.020, 1.100} {
			for _, ratio := range []float64{0.5, 4} {
				name := func(what string) string {
					return fmt.Sprintf("%s, %s duty, bore %g m, stroke/bore %g", what, d, bore, ratio)
				}
				stroke := ratio * bore
				length := estimate.RodLength(bore, stroke, d)
				mass := estimate.RodMass(bore, length, d)
				cg := estimate.RodCG(length)
				pin, main := estimate.PinDiameter(bore, d), estimate.MainDiameter(bore, d)
				within(t, name("piston mass / bore³"), estimate.PistonMass(bore, d)/(bore*bore*bore), 400, 1400)
				within(t, name("compression height"), estimate.CompressionHeight(bore, d)/bore, 0.3, 0.6)
				within(t, name("rod ratio l/r"), 2*length/stroke, 3, 5)
				within(t, name("rod beside the bore"), (length-stroke/2)/bore, 0.85, 8)
				within(t, name("rod mass / (bore² length)"), mass/(bore*bore*length), 400, 950)
				within(t, name("centre of gravity"), cg/length, 0.25, 0.33)
				within(t, name("radius of gyration / length"), math.Sqrt(estimate.RodInertia(mass, length, cg)/mass)/length, 0.35, 0.5)
				within(t, name("crankpin"), pin/bore, 0.54, 0.65)
				within(t, name("main journal"), main/bore, 0.6, 0.8)
				within(t, name("main journal / crankpin"), main/pin, 1.05, 1.3)
				within(t, name("web thickness"), estimate.WebThickness(bore, d)/bore, 0.18, 0.27)
				within(t, name("web width"), estimate.WebWidth(bore, main, d)/bore, 1, 1.25)
				within(t, name("cylinder spacing"), estimate.CylinderSpacing(bore, d)/bore, 1.08, 1.3)
				for rods := 1; rods <= 2; rods++ {
					width := estimate.RodWidth(bore, rods, d)
					within(t, name("rod width"), width/bore, 0.2, 0.36)
					within(t, name("main width"), estimate.MainWidth(bore, rods, d)/bore, 0.2, 0.36)
					within(t, name("fillet"), estimate.Fillet(pin, width)/pin, 0.03, 0.06)
				}
				within(t, name("knuckle radius"), estimate.KnuckleRadius(pin, bore)/bore, 0.4, 0.6)
				within(t, name("mean piston speed"), estimate.MeanPistonSpeed(bore, d), 8.5, 20)
				within(t, name("limit / rated"), estimate.LimitRatio(d), 1.05, 1.2)
				idle := estimate.Speed(estimate.IdlePistonSpeed, stroke)
				for _, n := range []int{1, 12} {
					within(t, name("flywheel / disc"), estimate.FlywheelInertia(layout.FourStroke, n, bore, stroke, idle)/estimate.FlywheelDisc(bore), 1, 1000)
				}
			}
		}
	}
}

// TestAgainstManuals compares the rules for general duty with built engines (MANUALS): each within
// the scatter that the rule states. Dimensions in mm, masses in g; 0: not in the manual.
func TestAgainstManuals(t *testing.T) {
	const mm = 1e-3
	for _, m := range []struct {
		name                                 string
		bore, piston, rod, pin, main, length float64
		stroke                               float64
	}{
		{"inline four 2.4 l, 2006", 87.5, 350, 565.8, 49.99, 60.00, 0, 0},
		{"vee eight 4.7 l, 2005", 93.01, 366, 555, 51.00, 63.50, 0, 0},
		{"vee six 3.5 l, 2004", 96.0, 438, 647, 57.99, 64.00, 0, 0},
		{"vee six 3.5 l, 1997", 96.0, 515, 0, 0, 0, 0, 0},
		{"vee eight 5.7 l, 2009", 99.5, 413, 0, 54.00, 65.00, 0, 0},
		{"vee eight 4.4 l, 2008", 91, 0, 0, 53.96, 0, 151.0, 84},
		{"vee eight 5.4 l, 2004", 90.2, 0, 0, 52.99, 67.49, 0, 105.8},
		{"vee six 3.6 l, 2009", 94.0, 0, 0, 0, 68.00, 0, 0},
		{"vee six 3.5 l, 2005", 94.0, 0, 0, 57.13, 67.25, 0, 0},
		{"inline four 2.0 l, 2004", 84.8, 0, 0, 0, 57.99, 0, 0},
		{"inline four 1.8 l, 2000", 81.0, 0, 0, 44.95, 54.95, 0, 87.0},
		{"inline four 2.25 l", 90.47, 0, 0, 58.73, 63.49, 175.4, 88.9},
		{"vee eight 4.4 l, 2004", 92.0, 0, 0, 0, 69.98, 0, 0},
	} {
		bore, d := m.bore*mm, estimate.General
		compare := func(what string, ours, theirs, scatter float64) {
			if theirs > 0 && math.Abs(ours/theirs-1) > scatter {
				t.Errorf("%s, %s: ours %.4g, theirs %.4g", m.name, what, ours, theirs)
			}
		}
		// Bare pistons; pin and rings add 150 to 200 kg/m³ × bore³ (common practice), here 175.
		compare("piston", estimate.PistonMass(bore, d)-175*bore*bore*bore, m.piston*1e-3, 0.25)
		compare("rod", estimate.RodMass(bore, 0.151, d), m.rod*1e-3, 0.3)
		compare("crankpin", estimate.PinDiameter(bore, d), m.pin*mm, 0.12)
		compare("main journal", estimate.MainDiameter(bore, d), m.main*mm, 0.12)
		if m.length > 0 {
			compare("rod length", estimate.RodLength(bore, m.stroke*mm, d), m.length*mm, 0.2)
		}
	}
}

// TestCarEngine holds an engine of a car's size to what such engines have (common practice).
func TestCarEngine(t *testing.T) {
	e := estimate.Unknown()
	e.Bore, e.Stroke, e.Cylinders, e.RodsPerPin = 0.084, 0.090, 4, 1
	full, _ := estimate.Fill(e)
	within(t, "piston [kg]", full.PistonMass, 0.30, 0.50)
	within(t, "compression height [m]", full.CompressionHeight, 0.026, 0.036)
	within(t, "rod length [m]", full.RodLength, 0.138, 0.158)
	within(t, "rod mass [kg]", full.RodMass, 0.45, 0.70)
	within(t, "rod inertia [kg m²]", full.RodInertia, 0.0014, 0.0028)
	within(t, "main journal [m]", full.MainDiameter, 0.050, 0.062)
	within(t, "crankpin [m]", full.PinDiameter, 0.044, 0.053)
	within(t, "crankpin width [m]", full.PinWidth, 0.021, 0.032)
	within(t, "web thickness [m]", full.WebThickness, 0.015, 0.023)
	within(t, "fillet [m]", full.Fillet, 0.0015, 0.0035)
	within(t, "throw unbalance [kg m]", full.ThrowUnbalance, 0.020, 0.060)
	within(t, "cylinder spacing [m]", full.CylinderSpacing, 0.090, 0.104)
	within(t, "flywheel [kg m²]", full.FlywheelInertia, 0.05, 0.20)
	within(t, "idle [rpm]", full.Idle*30/math.Pi, 650, 950)
	within(t, "rated [rpm]", full.Rated*30/math.Pi, 4500, 6500)
	within(t, "limit [rpm]", full.Limit*30/math.Pi, 5500, 7000)
}

// TestCheekMoment compares the closed form with a sum over strips of the hull, whose half height
// is the largest that any circle between the two gives.
func TestCheekMoment(t *testing.T) {
	for _, c := range []struct{ radius, width, pin float64 }{
		{0.045, 0.088, 0.049},
		{0.020, 0.088, 0.049},
		{0.4, 1.2, 0.7},
		{0.010, 0.088, 0.049},
		{0.045, 0.030, 0.049},
		{0.003, 0.010, 0.049},
		{0.3, 0.088, 0.049},
	} {
		large, small := c.width/2, 0.625*c.pin
		height := func(x float64) float64 {
			best := 0.0
			for i := range 2001 {
				s := float64(i) / 2000
				r, dx := large+s*(small-large), x-s*c.radius
				if h := r*r - dx*dx; h > best {
					best = h
				}
			}
			return math.Sqrt(best)
		}
		from, to := math.Min(-large, c.radius-small), math.Max(large, c.radius+small)
		sum, n := 0.0, 4000
		for i := range n {
			x := from + (float64(i)+0.5)*(to-from)/float64(n)
			sum += 2 * x * height(x) * (to - from) / float64(n)
		}
		got := estimate.CheekMoment(c.radius, c.width, c.pin)
		if scale := c.radius * small * small; math.Abs(got-sum) > 1e-3*scale {
			t.Errorf("radius %g, width %g, pin %g: %g, by strips %g", c.radius, c.width, c.pin, got, sum)
		}
	}
}

func TestThrowUnbalanceIsSteel(t *testing.T) {
	// A pin without webs: 50 mm × 25 mm of steel, 0.3853 kg, at 45 mm.
	got := estimate.ThrowUnbalance(0.045, 0.050, 0.025, 0, 0.088)
	want := 7850 * math.Pi * 0.025 * 0.025 * 0.025 * 0.045
	if math.Abs(got-want) > 1e-12 {
		t.Errorf("%g kg m, want %g", got, want)
	}
}

func TestEnergyFluctuationFitsTheTable(t *testing.T) {
	for n, table := range map[int]float64{1: 1.93, 4: 0.066, 6: 0.031} {
		if fit := estimate.EnergyFluctuation(n); math.Abs(fit/table-1) > 0.16 {
			t.Errorf("%d cylinders: %g, the table has %g", n, fit, table)
		}
	}
}

func TestRodInertiaOfTheMeanRod(t *testing.T) {
	two := 0.5 * 0.04 * 0.10 // mass × a × b of the two-mass replacement
	if got := two / estimate.RodInertia(0.5, 0.14, 0.04); math.Abs(got-1.0965) > 1e-12 {
		t.Errorf("two-mass inertia over ours: %g", got)
	}
	if got, want := estimate.RodInertia(0.5, 0.14, -1), estimate.RodInertia(0.5, 0.14, estimate.RodCG(0.14)); got != want {
		t.Errorf("a centre of gravity outside the rod: %g, want %g", got, want)
	}
	if got := estimate.RodMassOfInertia(estimate.RodInertia(0.5, 0.14, 0.04), 0.14, 0.04); math.Abs(got-0.5) > 1e-12 {
		t.Errorf("mass from inertia: %g", got)
	}
}

func TestPinOverlap(t *testing.T) {
	for split, want := range map[float64]float64{0: 1, 180: 1 - 90./50, 60: 1 - 45./50, -60: 1 - 45./50} {
		if got := estimate.PinOverlap(0.045, 0.050, num.Degrees(split)); math.Abs(got-want) > 1e-12 {
			t.Errorf("split %g deg: %g, want %g", split, got, want)
		}
	}
}

func TestDutyWords(t *testing.T) {
	for _, d := range []estimate.Duty{estimate.General, estimate.Light, estimate.Heavy} {
		if got, err := estimate.ParseDuty(d.String()); err != nil || got != d {
			t.Errorf("%s reads as %v, %v", d, got, err)
		}
	}
	if _, err := estimate.ParseDuty("brisk"); err == nil {
		t.Error("brisk is a duty")
	}
}
