package bearing

import (
	"errors"
	"math"
	"math/cmplx"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"crankwright/mechanics/firing"
	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/motion"
	"crankwright/mechanics/torque"
	"crankwright/num"
)

// A standing crank at which the rod stands square to it: forces from a triangle, by hand.
func TestStandingCrankByHand(t *testing.T) {
	train := pilotBoat([]float64{0}, 0)
	m := prepared(t, train, Options{Method: Determinate})
	p := make([]float64, m.CycleSamples())
	for j := range p {
		p[j] = 31e5
	}
	l := loads(t, m, [][]float64{p}, 0)
	j := m.Samples() / 8 // a quarter turn on: the pin points to −y, which is Axis + 90°
	f := 30e5 * math.Pi / 4 * 0.084 * 0.084
	tan := 0.045 / math.Sqrt(0.145*0.145-0.045*0.045)
	near(t, "gas", l.Of[0].Gas[j], f, 1e-14, f)
	// The rod leans with its big end towards Axis + 90°: it pushes the piston away from there.
	near(t, "side", l.Of[0].Side[j], -f*tan, 1e-12, f)
	near(t, "along", real(l.Of[0].SmallEnd[j]), f, 1e-12, f)
	near(t, "pin y", real(l.Of[0].BigEnd[j]), -f*tan, 1e-12, f)
	near(t, "pin z", imag(l.Of[0].BigEnd[j]), -f, 1e-12, f)
	near(t, "torque", l.Torque[j], f*0.045, 1e-12, f*0.045)
	near(t, "rod's share of main", cmplx.Abs(l.Mains[0][j]-l.Of[0].BigEnd[j]/2), 0, 1e-12, f)
	in, err := m.PolarBigEnd(nil, l, 0, InRod)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "along the rod", real(in[j]), -f*math.Sqrt(1+tan*tan), 1e-12, f)
	near(t, "across the rod", imag(in[j]), 0, 1e-12, f)
	small, err := m.PolarSmallEnd(nil, l, 0)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "a rod without mass pulls straight", cmplx.Abs(small[j]+in[j]), 0, 1e-12, f)
}

// block returns force, moment about x = reference and roll moment of everything on the block, at one sample, in the
// frame of the train as written.
func block(t failer, m *Mechanism, l *Loads, j int) (force, moment complex128, roll float64) {
	add := func(f complex128, x float64) {
		force += f
		moment += complex(0, x-m.train.Reference) * f
	}
	for k, main := range l.Mains {
		f := main[j]
		if m.train.Rotation == layout.Clockwise {
			f = -cmplx.Conj(f)
		}
		add(f, m.Mains[k].At)
	}
	for i, of := range l.Of {
		c := &m.train.Cylinders[i]
		add(complex(of.Gas[j], of.Side[j])*(1i*c.Axis.Unit()), c.At)
		link, _, phase := motion.LinkageOf(m.train, i)
		s, err := link.At(phase + m.Angle(j))
		if err != nil {
			t.Fatal(err)
		}
		roll += cross(s.Piston.Pos, complex(of.Gas[j], of.Side[j]))
	}
	return force, moment, roll
}

// What all bearings and bores do to the block is the shaking force, shaking moment and roll moment of package
// inertia, whatever the gas; the torque of the rods on the crank is that of package torque.
func TestSumsAreThoseOfInertiaAndTorque(t *testing.T) {
	for _, method := range []Method{Determinate, Continuous} {
		rapid.Check(t, func(t *rapid.T) {
			m, s, pressure, ω := anyMechanism(t, Options{Method: method})
			sumsAgree(t, m, s, pressure, ω)
		})
	}
	train := radialFive()
	m := prepared(t, train, Options{Method: Determinate})
	sumsAgree(t, m, schedule(t, train), [][]float64{smooth(m)}, 300)
	train.Rotation = layout.Clockwise
	sumsAgree(t, m, schedule(t, train), [][]float64{smooth(m)}, 300)
}

// failer is a test, plain or drawn.
type failer interface {
	Fatal(args ...any)
	Errorf(format string, args ...any)
}

func sumsAgree(tb failer, m *Mechanism, s firing.Schedule, pressure [][]float64, ω float64) {
	l, err := m.Loads(nil, pressure, 1e5, ω)
	if err != nil {
		tb.Fatal(err)
	}
	var solver inertia.Solver
	b, err := solver.Solve(nil, m.train, inertia.Options{})
	if err != nil {
		tb.Fatal(err)
	}
	c := solver.Curves(nil, b, num.NewGrid(m.n), ω)
	tm, err := torque.NewMechanism(m.train, s, m.n)
	if err != nil {
		tb.Fatal(err)
	}
	curves, err := tm.Curves(nil, pressure, 1e5, ω)
	if err != nil {
		tb.Fatal(err)
	}
	gross := 1.0
	for i := range l.Of {
		for j := range l.Torque {
			gross = math.Max(gross, cmplx.Abs(l.Of[i].BigEnd[j]))
		}
	}
	mirror := 1.0
	if m.train.Rotation == layout.Clockwise {
		mirror = -1
	}
	const arm = 1.0 // [m]: no lever is longer by much
	for j := range l.Torque {
		force, moment, roll := block(tb, m, l, j)
		check := func(what string, got, want, tolerance float64) {
			if !(math.Abs(got-want) <= tolerance*gross) {
				tb.Errorf("%s at sample %d: %.12g, want %.12g; forces are %.4g", what, j, got, want, gross)
			}
		}
		check("force y", real(force), mirror*c.ForceY[j], 1e-11)
		check("force z", imag(force), c.ForceZ[j], 1e-11)
		check("moment y", real(moment), c.MomentY[j], 1e-11*arm)
		check("moment z", imag(moment), mirror*c.MomentZ[j], 1e-11*arm)
		// A firing between two samples: package torque interpolates the torque, we the pressure.
		check("torque", l.Torque[j], curves.Total[j], 1e-5*arm)
		check("roll", roll, mirror*c.Roll[j]-curves.Gas[j], 1e-5*arm)
		check("roll and torque", roll+l.Torque[j], mirror*c.Roll[j]+curves.Inertia[j], 1e-11*arm)
	}
}

// ∮ T dθ of the rods on the crank is the work of the gas.
func TestPowerIsWork(t *testing.T) {
	train := veeEight()
	m := prepared(t, train, Options{})
	tm, err := torque.NewMechanism(train, schedule(t, train), m.n)
	if err != nil {
		t.Fatal(err)
	}
	curves, err := tm.Curves(nil, [][]float64{smooth(m)}, 1e5, 0)
	if err != nil {
		t.Fatal(err)
	}
	for _, ω := range []float64{0, 100, 600} {
		work := 0.0
		for _, v := range loads(t, m, [][]float64{smooth(m)}, ω).Torque {
			work += v * float64(m.Step())
		}
		near(t, "work", work, curves.Work, 1e-11, curves.Work)
	}
}

// Forces are gas and inertia: the first does not depend on the speed, the second grows with its square.
func TestLoadsAreASum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, _, pressure, ω := anyMechanism(t, Options{})
		none := make([][]float64, len(pressure))
		at := func(p [][]float64, ω float64) *Loads {
			l, err := m.Loads(nil, p, 1e5, ω)
			if err != nil {
				t.Fatal(err)
			}
			return l
		}
		whole, gas, slow := at(pressure, ω), at(pressure, 0), at(none, 10)
		for k := range whole.Mains {
			for j, f := range whole.Mains[k] {
				want := gas.Mains[k][j] + complex(ω*ω/100, 0)*slow.Mains[k][j]
				if cmplx.Abs(f-want) > 1e-9*(1+cmplx.Abs(f)+cmplx.Abs(gas.Mains[k][j])) {
					t.Fatalf("main %d at %d: %v, the parts give %v", k+1, j, f, want)
				}
			}
		}
	})
}

// An engine that is turned as a whole has turned forces; one that is built mirrored has mirrored forces.
func TestTurnedAndMirroredEngines(t *testing.T) {
	by := num.Degrees(37)
	for _, build := range []func() *layout.Train{veeEight, radialFive} {
		plain, turned, mirrored := build(), build(), build()
		plain.FiringOrder, turned.FiringOrder, mirrored.FiringOrder = nil, nil, nil
		mirrored.Rotation = layout.Clockwise
		for i := range turned.Throws {
			turned.Throws[i].Angle += by
		}
		for i := range turned.Cylinders {
			turned.Cylinders[i].Axis += by
		}
		s := schedule(t, plain)
		var all [3]*Loads
		var ms [3]*Mechanism
		for k, train := range []*layout.Train{plain, turned, mirrored} {
			m, err := NewMechanism(train, s, Options{})
			if err != nil {
				t.Fatal(err)
			}
			ms[k], all[k] = m, loads(t, m, [][]float64{smooth(m)}, 500)
		}
		for k := range all[0].Mains {
			for j, f := range all[0].Mains[k] {
				near(t, "turned", cmplx.Abs(all[1].Mains[k][j]-f*by.Unit()), 0, 1e-9, 1e4)
				near(t, "mirrored", cmplx.Abs(all[2].Mains[k][j]+cmplx.Conj(f)), 0, 1e-9, 1e4)
			}
			a, err := ms[0].PolarMain(nil, all[0], k, InJournal)
			if err != nil {
				t.Fatal(err)
			}
			b, err := ms[2].PolarMain(nil, all[2], k, InJournal)
			if err != nil {
				t.Fatal(err)
			}
			for j := range a {
				near(t, "in the journal", cmplx.Abs(a[j]-b[j]), 0, 1e-9, 1e4)
			}
		}
	}
}

// A polar diagram keeps the size of the force; a mass that turns with the crank stands still in the journal's frame.
func TestFrames(t *testing.T) {
	train := radialFive()
	train.Rotation = layout.Clockwise
	m := prepared(t, train, Options{})
	l := loads(t, m, [][]float64{smooth(m)}, 400)
	for i := range train.Cylinders {
		for _, f := range []Frame{InBlock, InJournal, InRod} {
			x, err := m.PolarBigEnd(nil, l, i, f)
			if err != nil {
				t.Fatal(err)
			}
			for j := range x {
				near(t, "size in the "+f.String(), cmplx.Abs(x[j]), cmplx.Abs(l.Of[i].BigEnd[j]), 1e-12, 1e4)
			}
		}
	}
	bare := pilotBoat([]float64{30}, 0)
	bare.Cylinders[0].Piston.Mass, bare.Cylinders[0].Rod = 0, layout.Rod{Length: 0.145, CG: 0.04}
	m = prepared(t, bare, Options{})
	l = loads(t, m, [][]float64{nil}, 100)
	x, err := m.PolarMain(nil, l, 1, InJournal)
	if err != nil {
		t.Fatal(err)
	}
	for j := range x {
		near(t, "half the throw", cmplx.Abs(x[j]-60*num.Degrees(30).Unit()), 0, 1e-12, 60)
	}
}

// A rotating weight at the big end, a rod without inertia beyond: the pin feels m r ω² outward, always.
func TestBigEndMassInTheJournalsFrame(t *testing.T) {
	train := pilotBoat([]float64{75}, 0)
	c := &train.Cylinders[0]
	c.Piston.Mass, c.Rod = 0, layout.Rod{Length: 0.145, Mass: 0.8}
	m := prepared(t, train, Options{})
	l := loads(t, m, [][]float64{nil}, 200)
	x, err := m.PolarBigEnd(nil, l, 0, InJournal)
	if err != nil {
		t.Fatal(err)
	}
	for j := range x {
		near(t, "big end", cmplx.Abs(x[j]-complex(0.8*0.045*200*200, 0)), 0, 1e-12, 1440)
	}
}

// Counterweights against the turning masses take load off the mains at speed.
func TestCounterweightsRelieveMains(t *testing.T) {
	plain, heavy := pilotBoat([]float64{0, 180, 180, 0}, 0), pilotBoat([]float64{0, 180, 180, 0}, 0)
	for _, th := range heavy.Throws {
		for _, side := range []float64{-0.029, 0.029} {
			heavy.Counterweights = append(heavy.Counterweights, layout.Unbalance{At: th.At + side, Angle: th.Angle + num.Turn/2, Amount: 0.014})
		}
	}
	for _, method := range []Method{Determinate, Continuous} {
		peak := func(train *layout.Train) float64 {
			m := prepared(t, train, Options{Method: method})
			l := loads(t, m, [][]float64{smooth(m)}, 6500*rpm)
			s, err := SpecificLoad(l.Mains[2], layout.Journal{Diameter: 0.06, Width: 0.02})
			if err != nil {
				t.Fatal(err)
			}
			return s.Force
		}
		a, b := peak(plain), peak(heavy)
		t.Logf("%s: middle main %.1f kN bare, %.1f kN with counterweights", method, a/1e3, b/1e3)
		if !(b < 0.8*a) {
			t.Errorf("%s: the middle main carries %.4g N with counterweights, %.4g N without", method, b, a)
		}
	}
}

func TestRefusals(t *testing.T) {
	train := veeEight()
	s := schedule(t, train)
	m := prepared(t, train, Options{})
	for _, c := range []struct {
		says string
		of   func() error
	}{
		{"there is none", func() error { _, err := NewMechanism(nil, s, Options{}); return err }},
		{"multiple of 8", func() error { _, err := NewMechanism(train, s, Options{Samples: 70}); return err }},
		{"the firing is that of", func() error {
			two := veeEight()
			two.Cycle = layout.TwoStroke
			_, err := NewMechanism(two, s, Options{})
			return err
		}},
		{"leaves out cylinder 1", func() error { _, err := NewMechanism(train, firing.Schedule{}, Options{}); return err }},
		{"no method", func() error { _, err := NewMechanism(train, s, Options{Method: 7}); return err }},
		{"at least two main", func() error { _, err := NewMechanism(train, s, Options{Mains: []Main{{At: 1}}}); return err }},
		{"from the free end", func() error {
			_, err := NewMechanism(train, s, Options{Mains: []Main{{At: 1}, {At: 0}}})
			return err
		}},
		{"stiffness of a main", func() error { _, err := NewMechanism(train, s, Options{Support: math.NaN()}); return err }},
		{"of no metal", func() error { _, err := NewMechanism(train, s, Options{Young: 5}); return err }},
		{"overhung mass 1", func() error {
			_, err := NewMechanism(train, s, Options{Overhung: []Overhung{{At: 0.5, Mass: -3}}})
			return err
		}},
		{"2 pressure curves", func() error { _, err := m.Loads(nil, make([][]float64, 2), 1e5, 1); return err }},
		{"has 3 values", func() error { _, err := m.Loads(nil, [][]float64{{1, 2, 3}}, 1e5, 1); return err }},
		{"crank speed", func() error { _, err := m.Loads(nil, [][]float64{nil}, 1e5, -1); return err }},
		{"below the piston", func() error { _, err := m.Loads(nil, [][]float64{nil}, math.Inf(1), 1); return err }},
		{"no loads of main 9", func() error { _, err := m.PolarMain(nil, &Loads{}, 8, InBlock); return err }},
		{"no loads of cylinder", func() error { _, err := m.PolarBigEnd(nil, nil, 0, InBlock); return err }},
	} {
		if err := c.of(); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("got %v, want an error that says %q", err, c.says)
		}
	}
	bad := smooth(m)
	bad[5] = math.NaN()
	if _, err := m.Loads(nil, [][]float64{bad}, 1e5, 1); err == nil {
		t.Error("a pressure that is no number was taken")
	}
	none := veeEight()
	none.Bore = 0
	if _, err := NewMechanism(none, s, Options{}); !errors.Is(err, ErrNoBore) {
		t.Errorf("without a bore: %v", err)
	}
	bare := veeEight()
	bare.Crank = layout.CrankGeometry{}
	if _, err := NewMechanism(bare, s, Options{}); !errors.Is(err, ErrNoWidths) {
		t.Errorf("without widths: %v", err)
	}
	if _, err := NewMechanism(bare, s, Options{Method: Determinate}); err != nil {
		t.Errorf("statics need no widths: %v", err)
	}
	tight := veeEight()
	tight.Crank.MainJournal.Width = 0.07
	var room *NoRoomError
	if _, err := NewMechanism(tight, s, Options{}); !errors.As(err, &room) {
		t.Errorf("without room for webs: %v", err)
	}
}

func BenchmarkLoadsVeeEight(b *testing.B) {
	m := prepared(b, veeEight(), Options{})
	p := [][]float64{smooth(m)}
	var l Loads
	if _, err := m.Loads(&l, p, 1e5, 600); err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := m.Loads(&l, p, 1e5, 600); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPrepareVeeEight(b *testing.B) {
	train := veeEight()
	s := schedule(b, train)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := NewMechanism(train, s, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
