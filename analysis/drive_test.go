package analysis_test

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"crankwright/analysis"
	"crankwright/estimate"
	"crankwright/mechanics/layout"
	"crankwright/spec"
)

func engineOf(t testing.TB, text string) *layout.Train {
	t.Helper()
	train, _, err := spec.ReadEngine("test.engine.yaml", []byte(text), spec.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return train
}

func exampleTrain(t testing.TB, name string) *layout.Train {
	t.Helper()
	data, err := os.ReadFile("../examples/" + name + ".engine.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return engineOf(t, string(data))
}

func at(t testing.TB, train *layout.Train, opt analysis.DriveOptions) *analysis.Drive {
	t.Helper()
	d, err := analysis.NewDriver(train)
	if err != nil {
		t.Fatal(err)
	}
	r, err := d.At(opt)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func within(t testing.TB, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %.9g, not %.9g (± %.2g)", what, got, want, tolerance)
	}
}

// TestTorqueIsTheWork holds ∮ T dθ against ∮ p dV of every cylinder and the first law of its cycle, in every example.
func TestTorqueIsTheWork(t *testing.T) {
	files, err := filepath.Glob("../examples/*.engine.yaml")
	if err != nil || len(files) < 20 {
		t.Fatal(files, err)
	}
	for _, f := range files {
		name := strings.TrimSuffix(filepath.Base(f), ".engine.yaml")
		t.Run(name, func(t *testing.T) {
			train := exampleTrain(t, name)
			r := at(t, train, analysis.DriveOptions{})
			work := 0.0
			for _, c := range r.Cycles {
				work += c.Result.Work * float64(len(c.Cylinders))
				if c.Result.Balance.Share > 1e-6 {
					t.Errorf("the first law closes to %g", c.Result.Balance.Share)
				}
			}
			within(t, "work", r.Curves.Work, work, 2e-4*work)
			inertia := 0.0
			for _, v := range r.Curves.Inertia {
				inertia += v / float64(len(r.Curves.Inertia))
			}
			within(t, "mean inertia torque", inertia, 0, 1e-9*(1+r.Share.Inertia))
			within(t, "brake", r.Brake, r.Curves.Mean-r.Friction.Total*r.Driver.Mechanism().Swept/float64(train.Cycle.Period()), 1e-9*math.Abs(r.Brake)+1e-9)
			energyOfSpeed(t, r)
		})
	}
}

// energyOfSpeed holds the crank speed against the energy over the cycle: ½ I ω² gains what drive less load has done.
func energyOfSpeed(t *testing.T, r *analysis.Drive) {
	t.Helper()
	if r.Crank == nil {
		return
	}
	m := r.Driver.Mechanism()
	n := len(r.Crank.At)
	h := 4 * math.Pi / float64(n)
	work, least, most := 0.0, math.Inf(1), math.Inf(-1)
	for j := range n {
		e := 0.5*(r.Rotor+2*m.Energy[j])*r.Crank.At[j]*r.Crank.At[j] - work
		least, most = math.Min(least, e), math.Max(most, e)
		a, b := r.Curves.Gas[j], r.Curves.Gas[(j+1)%n]
		work += ((a+b)/2 - r.Crank.Load) * h
	}
	if swing := r.Crank.GasExcess; most-least > 2e-3*swing {
		t.Errorf("energy drifts by %g J of %g J", most-least, swing)
	}
}

// TestWantedIMEP holds the wanted mean effective pressure at rated speed, by every lever.
func TestWantedIMEP(t *testing.T) {
	const head = "name: x\ncycle: four-stroke\nbore: 100 mm\nstroke: 110 mm\nlayout: {arrangement: inline, cylinders: 3}\nspeeds: {rated: 2600 rpm}\n"
	for _, c := range []struct{ gas, lever string }{
		{"gas: {compression_ratio: 10, imep: 9 bar}", "pressure of the intake"},
		{"gas: {compression_ratio: 17, imep: 9 bar, boost: 0.8 bar}", "fuel of a cycle"},
		{"gas: {compression_ratio: 17, imep: 24 bar}", "pressure of the intake"}, // no air for that without boost
	} {
		train := engineOf(t, head+c.gas+"\n")
		r := at(t, train, analysis.DriveOptions{})
		within(t, c.gas+": imep", r.IMEP, train.Gas.IMEP, 2e-4*train.Gas.IMEP)
		if r.Driver.Lever != c.lever {
			t.Errorf("%s is met by the %s", c.gas, r.Driver.Lever)
		}
	}
}

// TestLoad holds the brake torque at part load to its share of full load, and running light to none; friction that
// follows the largest pressure must settle.
func TestLoad(t *testing.T) {
	for _, by := range []string{"spark-motored", "peak-pressure", "parts"} {
		train := exampleTrain(t, "inline-four-flat")
		train.Friction.By = layout.FrictionBy(by)
		d, err := analysis.NewDriver(train)
		if err != nil {
			t.Fatal(err)
		}
		full, err := d.At(analysis.DriveOptions{Speed: 300})
		if err != nil {
			t.Fatal(err)
		}
		for _, load := range []float64{0.15, 0.5, 0.9} {
			r, err := d.At(analysis.DriveOptions{Speed: 300, Load: load})
			if err != nil {
				t.Fatal(err)
			}
			within(t, by, r.Brake/full.Brake, load, 2e-4)
			if r.Cycles[0].Setting.Intake >= full.Cycles[0].Setting.Intake {
				t.Errorf("%s: part load needs %g Pa in the intake", by, r.Cycles[0].Setting.Intake)
			}
		}
		light, err := d.At(analysis.DriveOptions{Speed: 300, Light: true})
		if err != nil {
			t.Fatal(err)
		}
		within(t, by+" light", light.Brake, 0, 1e-3*full.Brake)
	}
}

// TestMisfire switches a cylinder off: half orders appear, work goes down by its share and what it costs to breathe.
func TestMisfire(t *testing.T) {
	train := exampleTrain(t, "inline-four-flat")
	all := at(t, train, analysis.DriveOptions{Speed: 200})
	train.Gas.Off = []int{1}
	one := at(t, train, analysis.DriveOptions{Speed: 200})
	if len(one.Cycles) != 2 || one.Cycles[1].Fires || one.Cycles[1].IMEP >= 0 {
		t.Fatalf("%d cycles, the last with %g Pa", len(one.Cycles), one.Cycles[len(one.Cycles)-1].IMEP)
	}
	within(t, "work", one.Curves.Work, 0.75*all.Curves.Work+one.Cycles[1].Result.Work, 1e-3*all.Curves.Work)
	if a := one.Curves.Orders.Order(1); math.Hypot(real(a), imag(a)) < 10 {
		t.Errorf("order 0.5 is %v N m", a)
	}
	if a := all.Curves.Orders.Order(1); a != 0 {
		t.Errorf("with all firing order 0.5 is %v N m", a)
	}
}

// TestMirroredTorque holds a clockwise engine, which is the mirror image of what its numbers say, to the same torque.
func TestMirroredTorque(t *testing.T) {
	train := exampleTrain(t, "vee-six-90")
	a := at(t, train, analysis.DriveOptions{Speed: 250})
	train.Rotation = layout.Clockwise
	b := at(t, train, analysis.DriveOptions{Speed: 250})
	for j := range a.Curves.Total {
		if math.Abs(a.Curves.Total[j]-b.Curves.Total[j]) > 1e-9*a.Share.Total {
			t.Fatalf("at sample %d: %g and %g N m", j, a.Curves.Total[j], b.Curves.Total[j])
		}
	}
}

// TestFrictionTellsLayoutsApart: what rubs decides, and in the expected sense.
func TestFrictionTellsLayoutsApart(t *testing.T) {
	fmep := func(name string) float64 {
		return at(t, exampleTrain(t, name), analysis.DriveOptions{}).Friction.Total
	}
	if four, vee := fmep("inline-four-flat"), fmep("vee-four-65"); vee >= four {
		t.Errorf("a vee four with three main bearings rubs with %g Pa, an in-line four with five with %g Pa", vee, four)
	}
	if plain, shafts := fmep("inline-four-flat"), fmep("inline-four-flat-shafts"); shafts <= plain {
		t.Errorf("with balance shafts %g Pa, without %g Pa", shafts, plain)
	}
}

// TestTwoStroke gives the torque of a two-stroke engine twice in two revolutions.
func TestTwoStroke(t *testing.T) {
	train := engineOf(t, "name: x\ncycle: two-stroke\nbore: 80 mm\nstroke: 80 mm\nlayout: {arrangement: inline, cylinders: 2}\nspeeds: {rated: 3000 rpm}\n")
	r := at(t, train, analysis.DriveOptions{})
	n := len(r.Curves.Total)
	for j := range n / 2 {
		within(t, "torque a revolution later", r.Curves.Total[j+n/2], r.Curves.Total[j], 1e-9*r.Share.Total)
	}
	if r.IMEP < 4e5 || r.IMEP > 14e5 {
		t.Errorf("imep %g bar", r.IMEP/1e5)
	}
}

// TestDriveRefuses says what is missing.
func TestDriveRefuses(t *testing.T) {
	train := exampleTrain(t, "inline-four-flat")
	train.Gas.CompressionRatio = 0
	if _, err := analysis.NewDriver(train); !errors.Is(err, analysis.ErrNoRatio) {
		t.Error(err)
	}
	r, err := analysis.Run(train, analysis.Options{Drive: true})
	if err != nil || r.Drive != nil || !strings.Contains(r.NoDrive, "compression ratio") {
		t.Errorf("%v, %q", err, r.NoDrive)
	}
	train = exampleTrain(t, "inline-four-flat")
	d, err := analysis.NewDriver(train)
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range []analysis.DriveOptions{{Load: 1.5}, {Load: -0.1}, {Speed: -3}, {Speed: math.NaN()}, {Load: math.NaN()}, {Speed: 1e9}} {
		if _, err := d.At(o); err == nil {
			t.Errorf("%+v is accepted", o)
		}
	}
}

// TestAnyWorking draws gas, friction and inertia at random: an error or a finite result, never a panic.
func TestAnyWorking(t *testing.T) {
	base := exampleTrain(t, "vee-twin-52")
	rapid.Check(t, func(t *rapid.T) {
		train := *base
		w := estimate.Working{Gas: train.Gas, Friction: train.Friction, Turning: train.Turning}
		for range rapid.IntRange(1, 4).Draw(t, "changes") {
			fields := w.Fields()
			f := fields[rapid.IntRange(0, len(fields)-1).Draw(t, "field")]
			*f.At = rapid.OneOf(
				rapid.Custom(func(t *rapid.T) float64 { return *f.At * rapid.Float64Range(0, 3).Draw(t, "factor") }),
				rapid.SampledFrom([]float64{0, -1, math.NaN(), math.Inf(1), 1e300, 1e-300, 1e9}),
			).Draw(t, "value")
		}
		train.Gas, train.Friction, train.Turning = w.Gas, w.Friction, w.Turning
		if rapid.Bool().Draw(t, "off") {
			train.Gas.Off = []int{rapid.IntRange(-1, 2).Draw(t, "which")}
		}
		d, err := analysis.NewDriver(&train)
		if err != nil {
			return
		}
		r, err := d.At(analysis.DriveOptions{Speed: rapid.Float64Range(20, 900).Draw(t, "speed"), Load: rapid.Float64Range(0.05, 1).Draw(t, "load")})
		if err != nil {
			return
		}
		for _, v := range append([]float64{r.Brake, r.Power, r.IMEP, r.Friction.Total, r.Equal}, r.Curves.Total...) {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("%g in the result", v)
			}
		}
	})
}

// BenchmarkDrive is one engine at one speed: cycles, torque, crank speed, flywheel.
func BenchmarkDrive(b *testing.B) {
	for _, name := range []string{"inline-four-flat", "vee-eight-90-cross", "radial-five"} {
		train := exampleTrain(b, name)
		b.Run(name, func(b *testing.B) {
			d, err := analysis.NewDriver(train)
			if err != nil {
				b.Fatal(err)
			}
			b.ReportAllocs()
			for b.Loop() {
				if _, err := d.At(analysis.DriveOptions{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkPowerCurve is twelve speeds at full load.
func BenchmarkPowerCurve(b *testing.B) {
	train := exampleTrain(b, "inline-four-flat")
	d, err := analysis.NewDriver(train)
	if err != nil {
		b.Fatal(err)
	}
	speeds := analysis.UsualSpeeds(train.Speeds)
	for b.Loop() {
		if _, err := d.Sweep(speeds, analysis.DriveOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}

// TestFrictionIgnoresBoost: what a motored correlation counts as pumping is that of engines that draw from outside; boost
// or a throttle at full load must not lower what rubs.
func TestFrictionIgnoresBoost(t *testing.T) {
	engine := "name: A\ncycle: four-stroke\nbore: 84 mm\nstroke: 90 mm\nlayout: {arrangement: inline, cylinders: 4}\n"
	plain := at(t, engineOf(t, engine), analysis.DriveOptions{})
	for _, imep := range []string{"2 bar", "30 bar"} {
		r := at(t, engineOf(t, engine+"gas: {imep: "+imep+"}\n"), analysis.DriveOptions{})
		t.Logf("%s: friction %.3f bar, %.3f bar without boost", imep, r.Friction.Total/1e5, plain.Friction.Total/1e5)
		within(t, "friction at "+imep, r.Friction.Total, plain.Friction.Total, 0.1e5)
	}
}
