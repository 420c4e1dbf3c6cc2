package mount

import (
	"errors"
	"math"
	"math/cmplx"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// four is the plane-symmetric case of the handbook: see checks/mount.go.
func four() *System {
	s := &System{Body: Body{Name: "block", Mass: 200, Inertia: Tensor{{8, 0, 0}, {0, 14, 0}, {0, 0, 12}}}}
	for _, x := range []float64{-0.25, 0.25} {
		for _, y := range []float64{-0.2, 0.2} {
			s.Mounts = append(s.Mounts, Mount{Name: "m", At: r3.Vec{X: x, Y: y, Z: -0.15}, Stiffness: [3]float64{100e3, 100e3, 200e3}, Loss: 0.1})
		}
	}
	return s
}

// drawn is a body on three to six mounts by chance.
func drawn(t *rapid.T) *System {
	f := func(lo, hi float64, name string) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	at := func(name string) r3.Vec {
		return r3.Vec{X: f(-1, 1, name+".x"), Y: f(-1, 1, name+".y"), Z: f(-1, 1, name+".z")}
	}
	var parts []Body
	for range rapid.IntRange(2, 4).Draw(t, "parts") {
		parts = append(parts, Cuboid(f(1, 300, "mass"), at("centre"), r3.Vec{X: f(0.05, 1, "a"), Y: f(0.05, 1, "b"), Z: f(0.05, 1, "c")}))
	}
	s := &System{Body: Join(parts...)}
	for range rapid.IntRange(3, 6).Draw(t, "mounts") {
		s.Mounts = append(s.Mounts, Mount{
			At: at("mount"), Axes: Leaning(f(-1, 1, "lean")), Loss: f(0.02, 0.5, "loss"),
			Stiffness: [3]float64{f(1e4, 1e6, "k1"), f(1e4, 1e6, "k2"), f(1e4, 1e6, "k3")},
		})
	}
	return s
}

// turned turns a system about an axis through the origin.
func turned(s *System, by r3.Rotation) *System {
	out := &System{Body: s.Body}
	out.Body.Centre = by.Rotate(s.Body.Centre)
	e := [3]r3.Vec{by.Rotate(r3.Vec{X: 1}), by.Rotate(r3.Vec{Y: 1}), by.Rotate(r3.Vec{Z: 1})}
	col := func(k, i int) float64 { return [3]float64{e[k].X, e[k].Y, e[k].Z}[i] }
	out.Body.Inertia = Tensor{}
	for i := range 3 {
		for j := range 3 {
			for k := range 3 {
				for l := range 3 {
					out.Body.Inertia[i][j] += col(k, i) * s.Body.Inertia[k][l] * col(l, j)
				}
			}
		}
	}
	for _, m := range s.Mounts {
		for a, d := range m.axes() {
			m.Axes[a] = by.Rotate(d)
		}
		m.At = by.Rotate(m.At)
		out.Mounts = append(out.Mounts, m)
	}
	return out
}

// Turning or mirroring body and mounts together changes no frequency; the shares of a mode add up to one.
func TestModesKeepWhereTheWholeIsTurned(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawn(t)
		a, err := Modes(s)
		if err != nil {
			t.Fatal(err)
		}
		by := r3.NewRotation(rapid.Float64Range(-3, 3).Draw(t, "angle"), r3.Vec{X: 1, Y: rapid.Float64Range(-1, 1).Draw(t, "y"), Z: 0.3})
		b, err := Modes(turned(s, by))
		if err != nil {
			t.Fatal(err)
		}
		mirror := &System{Body: s.Body}
		mirror.Body.Centre.Y *= -1
		for _, k := range []int{0, 2} {
			mirror.Body.Inertia[1][k] *= -1
			mirror.Body.Inertia[k][1] *= -1
		}
		for _, m := range s.Mounts {
			axes := m.axes()
			for i := range axes {
				axes[i].Y *= -1
			}
			m.Axes, m.At.Y = axes, -m.At.Y
			mirror.Mounts = append(mirror.Mounts, m)
		}
		c, err := Modes(mirror)
		if err != nil {
			t.Fatal(err)
		}
		for i := range a {
			if top := a[5].Frequency; math.Abs(a[i].Frequency-b[i].Frequency) > 1e-9*top || math.Abs(a[i].Frequency-c[i].Frequency) > 1e-9*top {
				t.Errorf("mode %d: %g, turned %g, mirrored %g rad/s", i, a[i].Frequency, b[i].Frequency, c[i].Frequency)
			}
			sum := 0.0
			for _, e := range a[i].Energy {
				sum += e
			}
			if math.Abs(sum-1) > 1e-9 {
				t.Errorf("mode %d: shares add up to %g", i, sum)
			}
		}
	})
}

// What a load does per cycle, its work, is what the mounts turn into heat: π η k δ² along each axis of each mount.
func TestWorkIsHeat(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawn(t)
		v, err := NewSolver(s)
		if err != nil {
			t.Fatal(err)
		}
		c := func(name string) complex128 {
			return complex(rapid.Float64Range(-100, 100).Draw(t, name), rapid.Float64Range(-100, 100).Draw(t, name))
		}
		l := Load{Force: [3]complex128{c("fx"), c("fy"), 50}, Moment: [3]complex128{c("mx"), c("my"), c("mz")}, Point: r3.Vec{X: 0.3, Z: -0.2}}
		q, err := v.Respond(rapid.Float64Range(1, 1000).Draw(t, "ω"), l)
		if err != nil {
			t.Fatal(err)
		}
		work, heat, most := 0.0, 0.0, 0.0
		at := v.At(q, l.Point)
		for i := range 3 {
			for _, w := range []complex128{l.Force[i] * cmplx.Conj(at[i]), l.Moment[i] * cmplx.Conj(q[3+i])} {
				work += math.Pi * imag(w)
				most += math.Pi * cmplx.Abs(w)
			}
		}
		for _, m := range s.Mounts {
			δ := v.At(q, m.At)
			for a, e := range m.axes() {
				d := cmplx.Abs(complex(e.X, 0)*δ[0] + complex(e.Y, 0)*δ[1] + complex(e.Z, 0)*δ[2])
				heat += math.Pi * m.Loss * m.Stiffness[a] * d * d
			}
		}
		if math.Abs(work-heat) > 1e-8*most {
			t.Errorf("work %g J, heat %g J a cycle", work, heat)
		}
	})
}

// At rest the mounts carry the load as it is; far above all modes the body is free and moves by a = F/m.
func TestEndsOfTheResponse(t *testing.T) {
	s := four()
	v, err := NewSolver(s)
	if err != nil {
		t.Fatal(err)
	}
	l := Load{Force: [3]complex128{10, 20, 30}, Moment: [3]complex128{1, 2, 3}}
	q, err := v.Respond(0, l)
	if err != nil {
		t.Fatal(err)
	}
	var sum [3]complex128
	for _, f := range v.Forces(q) {
		for i := range f {
			sum[i] += f[i]
		}
	}
	for i := range sum {
		if cmplx.Abs(sum[i]-l.Force[i]) > 1e-9 {
			t.Errorf("mounts carry %v of %v", sum, l.Force)
		}
	}
	const ω = 1e5
	if q, err = v.Respond(ω, l); err != nil {
		t.Fatal(err)
	}
	for i := range 3 {
		if want := -l.Force[i] / (200 * ω * ω); cmplx.Abs(q[i]/want-1) > 1e-5 {
			t.Errorf("free motion %v, want %v", q[i], want)
		}
		if want := -l.Moment[i] / complex(s.Body.Inertia[i][i]*ω*ω, 0); cmplx.Abs(q[3+i]/want-1) > 1e-4 {
			t.Errorf("free turn %v, want %v", q[3+i], want)
		}
	}
}

// A single mode on one spring is the textbook's oscillator: force through the mount over force, with damping by loss factor.
func TestTransmitsAsOneDegreeOfFreedom(t *testing.T) {
	s := four()
	v, err := NewSolver(s)
	if err != nil {
		t.Fatal(err)
	}
	natural := math.Sqrt(4 * 200e3 / 200.0)
	for _, g := range []float64{0.3, 1, math.Sqrt2, 3} {
		q, err := v.Respond(g*natural, Load{Force: [3]complex128{0, 0, 1}})
		if err != nil {
			t.Fatal(err)
		}
		var sum complex128
		for _, f := range v.Forces(q) {
			sum += f[2]
		}
		// a loss factor η damps as the viscous ζ = η/(2g) does at this frequency
		if want := Transmissibility(g, 0.1/(2*g)); math.Abs(cmplx.Abs(sum)-want) > 1e-9*want {
			t.Errorf("g %g: %g, want %g", g, cmplx.Abs(sum), want)
		}
	}
}

// Weight is carried by the mounts, and the sag of symmetric mounts is m g/k.
func TestSag(t *testing.T) {
	q, each, err := Sag(four(), r3.Vec{Z: -1})
	if err != nil {
		t.Fatal(err)
	}
	want := -200 * Gravity / 800e3
	if math.Abs(q[Bounce]-want) > 1e-12 || math.Abs(each[0][2]-want) > 1e-12 {
		t.Errorf("sag %v %v, want %g", q, each, want)
	}
	one := four()
	one.Mounts = one.Mounts[:1]
	if _, _, err := Sag(one, r3.Vec{Z: -1}); !errors.Is(err, ErrMount) {
		t.Errorf("a body on one mount: %v", err)
	}
	if _, _, err := Sag(four(), r3.Vec{}); !errors.Is(err, ErrNumerics) {
		t.Errorf("gravity without direction: %v", err)
	}
}

// The shares of a torque in the modes add up to one, and a body whose mounts are laid on its torque roll axis answers
// with one mode alone.
func TestTorqueShares(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawn(t)
		m, err := Modes(s)
		if err != nil {
			t.Fatal(err)
		}
		shares, err := TorqueShares(s, m, r3.Vec{X: 1})
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for _, x := range shares {
			sum += x
		}
		if math.Abs(sum-1) > 1e-9 {
			t.Errorf("shares add up to %g", sum)
		}
	})
	s := four()
	for i := range s.Mounts {
		s.Mounts[i].At.Z = 0
	}
	m, err := Modes(s)
	if err != nil {
		t.Fatal(err)
	}
	shares, err := TorqueShares(s, m, r3.Vec{X: 1})
	if err != nil {
		t.Fatal(err)
	}
	most := 0.0
	for _, x := range shares {
		most = max(most, x)
	}
	if math.Abs(most-1) > 1e-12 {
		t.Errorf("shares %v: one mode should have all", shares)
	}
}

// Impossible bodies and mounts are refused with the reason.
func TestImpossible(t *testing.T) {
	for name, spoil := range map[string]func(*System){
		"no mass":            func(s *System) { s.Body.Mass = 0 },
		"NaN":                func(s *System) { s.Body.Centre.X = math.NaN() },
		"not symmetric":      func(s *System) { s.Body.Inertia[0][1] = 1 },
		"flat beyond reason": func(s *System) { s.Body.Inertia[2][2] = 30 },
		"no mounts":          func(s *System) { s.Mounts = nil },
		"negative spring":    func(s *System) { s.Mounts[1].Stiffness[0] = -1 },
		"too much loss":      func(s *System) { s.Mounts[1].Loss = 3 },
		"slanted axes":       func(s *System) { s.Mounts[1].Axes = [3]r3.Vec{{X: 1}, {X: 1}, {Z: 1}} },
		"infinite place":     func(s *System) { s.Mounts[1].At.Y = math.Inf(1) },
	} {
		s := four()
		spoil(s)
		_, err := Modes(s)
		if !errors.Is(err, ErrBody) && !errors.Is(err, ErrMount) {
			t.Errorf("%s: %v", name, err)
		}
		if _, err := NewSolver(s); err == nil {
			t.Errorf("%s: a solver takes it", name)
		}
	}
	s := four()
	for i := range s.Mounts {
		s.Mounts[i].Loss = 0
	}
	v, err := NewSolver(s)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := v.Respond(math.Sqrt(4*200e3/200.0), Load{Force: [3]complex128{0, 0, 1}}); !errors.Is(err, ErrNumerics) {
		t.Errorf("resonance without damping: %v", err)
	}
}

// Bodies bolted together: any grouping gives the same, and two halves of a block are the block.
func TestJoin(t *testing.T) {
	whole := Cuboid(10, r3.Vec{X: 1}, r3.Vec{X: 2, Y: 0.5, Z: 0.3})
	halves := Join(Cuboid(5, r3.Vec{X: 0.5}, r3.Vec{X: 1, Y: 0.5, Z: 0.3}), Cuboid(5, r3.Vec{X: 1.5}, r3.Vec{X: 1, Y: 0.5, Z: 0.3}))
	for i := range 3 {
		for k := range 3 {
			if math.Abs(whole.Inertia[i][k]-halves.Inertia[i][k]) > 1e-12 {
				t.Errorf("%v, of two halves %v", whole.Inertia, halves.Inertia)
			}
		}
	}
	if halves.Centre != whole.Centre || Join().Mass != 0 {
		t.Errorf("centre %v", halves.Centre)
	}
	c := Cylinder(3, r3.Vec{}, 0.2, 0.1, 0.5)
	if math.Abs(c.Inertia[0][0]-3*(0.04+0.01)/2) > 1e-15 || math.Abs(c.Inertia[1][1]-3*(3*0.05+0.25)/12) > 1e-15 {
		t.Errorf("cylinder %v", c.Inertia)
	}
}

// Finding mounts: what was asked comes out, within the bounds, and the same again from the same seed.
func TestFind(t *testing.T) {
	s := four()
	aim := Aim{Excitation: 2 * math.Pi * 26, Separation: 2, MostSag: 0.008, Crank: r3.Vec{X: 1}, Down: r3.Vec{Z: -1}}
	free := Freedoms{X: 0.05, Y: 0.08, Z: 0.16, Softest: 0.3, Stiffest: 2, Lean: 0.8}
	f, err := Find(s, aim, free, 1)
	if err != nil {
		t.Fatal(err)
	}
	again, err := Find(s, aim, free, 1)
	if err != nil {
		t.Fatal(err)
	}
	for i, m := range f.System.Mounts {
		was := s.Mounts[i]
		d := r3.Sub(m.At, was.At)
		if math.Abs(d.X) > free.X+1e-12 || math.Abs(d.Y) > free.Y+1e-12 || math.Abs(d.Z) > free.Z+1e-12 {
			t.Errorf("mount %d moved by %v", i, d)
		}
		for a, k := range m.Stiffness {
			if r := k / was.Stiffness[a]; r < free.Softest-1e-9 || r > free.Stiffest+1e-9 {
				t.Errorf("mount %d: stiffness times %g", i, r)
			}
		}
		if again.System.Mounts[i] != m {
			t.Errorf("mount %d: %v, again %v", i, m, again.System.Mounts[i])
		}
	}
	if f.After.Separation < aim.Separation || f.After.Decoupling < 0.98 || f.After.Sag > aim.MostSag {
		t.Errorf("found %+v from %+v", f.After, f.Before)
	}
	if f.Before.Separation >= f.After.Separation && f.Before.Decoupling >= f.After.Decoupling {
		t.Errorf("nothing became better: %+v, %+v", f.Before, f.After)
	}
	// the two sides stay mirror images, as they were
	for i := 0; i < 4; i += 2 {
		a, b := f.System.Mounts[i].At, f.System.Mounts[i+1].At
		if math.Abs(a.X-b.X) > 1e-12 || math.Abs(a.Y+b.Y) > 1e-12 || math.Abs(a.Z-b.Z) > 1e-12 {
			t.Errorf("mounts %d and %d stand at %v and %v", i, i+1, a, b)
		}
	}
	// an allowed force into the structure is kept where it can be
	aim.Excites = []Excite{{2 * math.Pi * 26, Load{Force: [3]complex128{0, 0, 100}, Moment: [3]complex128{80, 0, 0}}}}
	if f, err = Find(s, aim, free, 1); err != nil {
		t.Fatal(err)
	}
	if !(f.After.Force > 0) {
		t.Errorf("no force was judged: %+v", f.After)
	}
	aim.MostForce = 0.7 * f.Before.Force
	aim.MostSag = 0.02
	if f, err = Find(s, aim, free, 1); err != nil {
		t.Fatal(err)
	}
	if f.After.Force > aim.MostForce*1.001 {
		t.Errorf("%g N go into the structure, %g N are allowed, %g N before", f.After.Force, aim.MostForce, f.Before.Force)
	}
	if _, err := Find(s, Aim{}, free, 1); err == nil {
		t.Error("an aim without excitation is accepted")
	}
	if _, err := Find(s, aim, Freedoms{Softest: 2, Stiffest: 1}, 1); err == nil {
		t.Error("bounds the wrong way round are accepted")
	}
}

// FuzzRespond: a system of any numbers gives an error or finite values.
func FuzzRespond(f *testing.F) {
	f.Add(200.0, 8.0, 1.0, 0.2, 1e5, 0.1, 50.0)
	f.Add(1e-9, 1e9, 0.0, 1e6, 1e300, 2.0, 1e-9)
	f.Fuzz(func(t *testing.T, mass, inertia, product, at, stiffness, loss, ω float64) {
		s := four()
		s.Body.Mass, s.Body.Inertia[0][0], s.Body.Inertia[0][1], s.Body.Inertia[1][0] = mass, inertia, product, product
		s.Mounts[0].At.X, s.Mounts[1].Stiffness[2], s.Mounts[2].Loss = at, stiffness, loss
		modes, err := Modes(s)
		if err != nil {
			return
		}
		for _, m := range modes {
			if !finite(m.Frequency) || !finite(m.Shape[:]...) || !finite(m.Energy[:]...) {
				t.Fatalf("mode %+v", m)
			}
		}
		v, err := NewSolver(s)
		if err != nil {
			t.Fatal(err)
		}
		q, err := v.Respond(ω, Load{Force: [3]complex128{1, 1, 1}, Moment: [3]complex128{1, 1, 1}})
		if err != nil {
			return
		}
		for _, x := range q {
			if !finite(real(x), imag(x)) {
				t.Fatalf("motion %v", q)
			}
		}
		if _, _, err := Sag(s, r3.Vec{Z: -1}); err != nil {
			return
		}
	})
}

func BenchmarkModes(b *testing.B) {
	s := four()
	for b.Loop() {
		if _, err := Modes(s); err != nil {
			b.Fatal(err)
		}
	}
}

// Response of 200 speeds with 24 half orders each.
func BenchmarkResponse200Speeds(b *testing.B) {
	v, err := NewSolver(four())
	if err != nil {
		b.Fatal(err)
	}
	l := Load{Force: [3]complex128{1, 2, 3}, Moment: [3]complex128{4, 5, 6}}
	for b.Loop() {
		for n := range 200 {
			for k := 1; k <= 24; k++ {
				q, err := v.Respond((80+3*float64(n))*float64(k)/2, l)
				if err != nil {
					b.Fatal(err)
				}
				v.Forces(q)
			}
		}
	}
}

func BenchmarkFind(b *testing.B) {
	s := four()
	aim := Aim{Excitation: 2 * math.Pi * 26, Separation: 2, MostSag: 0.008, Crank: r3.Vec{X: 1}, Down: r3.Vec{Z: -1}}
	for b.Loop() {
		if _, err := Find(s, aim, Freedoms{X: 0.05, Y: 0.08, Z: 0.16, Softest: 0.3, Stiffest: 2, Lean: 0.8}, 1); err != nil {
			b.Fatal(err)
		}
	}
}
