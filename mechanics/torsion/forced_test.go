package torsion

import (
	"errors"
	"math"
	"math/cmplx"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"crankwright/num"
)

// The banded complex elimination gives what a dense real solve of twice the size gives, and the heat is the work.
func TestForcedIsTheDenseSolve(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyModel(t)
		n := len(m.Discs)
		e := anyExcitation(t, n, 4)
		ω := rapid.Float64Range(5, 700).Draw(t, "speed")
		s, err := NewSolver(m)
		if err != nil {
			t.Fatal(err)
		}
		r, err := s.Respond(nil, e, ω, 4)
		if err != nil {
			if errors.Is(err, ErrUndamped) {
				t.Skip(err)
			}
			t.Fatal(err)
		}
		for k := 1; k <= 4; k++ {
			Ω := float64(k) * ω / 2
			a, b := mat.NewDense(2*n, 2*n, nil), mat.NewVecDense(2*n, nil)
			add := func(i, j int, z complex128) {
				a.Set(i, j, a.At(i, j)+real(z))
				a.Set(n+i, n+j, a.At(n+i, n+j)+real(z))
				a.Set(i, n+j, a.At(i, n+j)-imag(z))
				a.Set(n+i, j, a.At(n+i, j)+imag(z))
			}
			for i, d := range m.Discs {
				add(i, i, complex(d.Ground-Ω*Ω*d.Inertia, Ω*d.Damping))
				v := e.Gas[i][k] + complex(ω*ω, 0)*e.Inertia[i][k]
				b.SetVec(i, real(v))
				b.SetVec(n+i, imag(v))
			}
			for _, w := range m.Spans {
				z := complex(w.Stiffness, w.Stiffness*w.Loss+Ω*w.Damping)
				add(w.A, w.A, z)
				add(w.B, w.B, z)
				add(w.A, w.B, -z)
				add(w.B, w.A, -z)
			}
			var x mat.VecDense
			var lu mat.LU
			lu.Factorize(a)
			if lu.Cond() > 1e10 {
				t.Skip("driven at a resonance without damping")
			}
			if err := lu.SolveVecTo(&x, false, b); err != nil {
				t.Skip(err)
			}
			size := 0.0
			for i := range n {
				size = max(size, math.Hypot(x.AtVec(i), x.AtVec(n+i)))
			}
			for i := range n {
				if off := cmplx.Abs(r.Twist[i][k] - complex(x.AtVec(i), x.AtVec(n+i))); off > 1e-13*lu.Cond()*size+1e-300 {
					t.Fatalf("disc %d, order %g: %g off %g", i, float64(k)/2, off, size)
				}
			}
		}
		p, err := s.Power(r, e)
		if err != nil {
			t.Fatal(err)
		}
		gross := 0.0 // what the torques move to and fro
		for i := range m.Discs {
			for k := 1; k <= 4; k++ {
				gross += cmplx.Abs(e.at(i, k, ω*ω)) * cmplx.Abs(r.Twist[i][k]) * float64(k) * ω
			}
		}
		if math.Abs(p.Work-p.Lost) > 1e-7*gross {
			t.Fatalf("work %g W, heat %g W, gross %g W", p.Work, p.Lost, gross)
		}
	})
}

// Started from the response, a time integration over two revolutions follows it and comes back to its start.
func TestForcedIsTheTimeIntegration(t *testing.T) {
	m := thomson()
	m.Discs[0].Damping, m.Discs[2].Damping, m.Spans[0].Damping, m.Spans[1].Damping = 40, 20, 90, 30
	m.Discs[1].Ground = 3e4
	e := NewExcitation(3)
	e.Gas[0] = num.Series{7, 100, 200 - 50i, 0, 40i}
	e.Gas[2] = num.Series{0, 0, -30i, 60, 10}
	e.Inertia[1] = num.Series{0, 0, 0.02, 0, 0.01 + 0.03i}
	const ω = 100.0
	s, err := NewSolver(m)
	if err != nil {
		t.Fatal(err)
	}
	r, err := s.Respond(nil, e, ω, 4)
	if err != nil {
		t.Fatal(err)
	}
	series := func(x num.Series, θ float64) float64 { return x.At(num.Angle(θ)) }
	speed := func(x num.Series, θ float64) float64 {
		v := 0.0
		for k, c := range x {
			Ω := float64(k) * ω / 2
			v += real(complex(0, Ω) * c * cmplx.Exp(complex(0, float64(k)*θ/2)))
		}
		return v
	}
	state := make([]float64, 6)
	for d := range 3 {
		state[d], state[3+d] = series(r.Twist[d], 0), speed(r.Twist[d], 0)
	}
	slope := func(at float64, y []float64) []float64 {
		out := make([]float64, 6)
		for d := range 3 {
			out[d] = y[3+d]
			v := -m.Discs[d].Damping*y[3+d] - m.Discs[d].Ground*y[d]
			for k := 1; k <= 4; k++ {
				v += real(e.at(d, k, ω*ω) * cmplx.Exp(complex(0, float64(k)*ω*at/2)))
			}
			out[3+d] = v
		}
		for _, w := range m.Spans {
			v := w.Stiffness*(y[w.A]-y[w.B]) + w.Damping*(y[3+w.A]-y[3+w.B])
			out[3+w.A] -= v
			out[3+w.B] += v
		}
		for d := range 3 {
			out[3+d] /= m.Discs[d].Inertia
		}
		return out
	}
	const steps = 4000
	h := 4 * math.Pi / ω / steps
	shift := func(y, k []float64, f float64) []float64 {
		out := make([]float64, len(y))
		for i := range y {
			out[i] = y[i] + f*k[i]
		}
		return out
	}
	most, gap := 0.0, 0.0
	for j := range steps {
		at := h * float64(j)
		a := slope(at, state)
		b := slope(at+h/2, shift(state, a, h/2))
		c := slope(at+h/2, shift(state, b, h/2))
		d := slope(at+h, shift(state, c, h))
		for i := range state {
			state[i] += h / 6 * (a[i] + 2*b[i] + 2*c[i] + d[i])
		}
		for d := range 3 {
			want := series(r.Twist[d], ω*(at+h))
			most, gap = max(most, math.Abs(want)), max(gap, math.Abs(state[d]-want))
		}
		torque := m.Spans[0].Stiffness*(state[0]-state[1]) + m.Spans[0].Damping*(state[3]-state[4])
		near(t, "torque of the first span", torque, series(r.Torque[0], ω*(at+h)), 1e-6*200)
	}
	if !(gap < 1e-9*most) {
		t.Errorf("the integration is %g rad off %g rad", gap, most)
	}
}

// Far below every natural frequency the shaft turns as one, and each span carries the share of the inertia behind it.
func TestSlowShaftIsRigid(t *testing.T) {
	m := thomson()
	e := NewExcitation(3)
	e.Gas[0] = num.Series{0, 0, 300}
	s := run(t, m, e, 2, 0.05)
	r := s.Points[0].Response
	want := -300 / (0.05 * 0.05 * 38)
	for d := range 3 {
		near(t, "twist", real(r.Twist[d][2]), want, 1e-6*-want)
	}
	near(t, "torque behind the first disc", real(r.Torque[0][2]), 300*33/38., 1e-4)
	near(t, "torque before the last disc", real(r.Torque[1][2]), 300*22/38., 1e-4)
}

func TestUndampedResonanceIsRefused(t *testing.T) {
	m := &Model{Discs: []Disc{{Inertia: 1, Ground: 4e4}}}
	e := NewExcitation(1)
	e.Gas[0] = num.Series{0, 0, 1}
	if _, err := Run(m, []float64{200}, []*Excitation{e}, 2); !errors.Is(err, ErrUndamped) {
		t.Errorf("driven at resonance without damping: %v", err)
	}
	m.Discs[0].Damping = 2 // M = J ω/c = 100
	near(t, "amplitude", run(t, m, e, 2, 200).Points[0].Discs[0].Half, 100./4e4, 1e-12)
	m.Discs[0].Damping = 0
	m.Discs = append(m.Discs, Disc{Inertia: 1e9})
	m.Discs[0].Ground = 0
	m.Spans = []Span{{A: 0, B: 1, Stiffness: 4e4, Loss: 0.02}} // M = 1/η
	near(t, "amplitude", run(t, m, widened(e), 2, 200).Points[0].Discs[0].Half, 50./4e4, 1e-9)
}

// widened adds a still disc.
func widened(e *Excitation) *Excitation {
	return &Excitation{Gas: append(e.Gas, nil), Inertia: append(e.Inertia, nil)}
}

// The synthesis holds phases: two orders meet or miss each other.
func TestSwing(t *testing.T) {
	y, err := NewSynth(24)
	if err != nil {
		t.Fatal(err)
	}
	s := y.Swing(num.Series{99, 0, 3, 0, 4i})
	near(t, "root", s.Root, 5, 1e-12)
	if s.Worst != 4 || s.Size != 4 {
		t.Errorf("%+v", s)
	}
	lo, hi := math.Inf(1), math.Inf(-1) // by brute force
	for j := range 100000 {
		θ := 2 * math.Pi * float64(j) / 100000
		v := 3*math.Cos(θ) - 4*math.Sin(2*θ)
		lo, hi = min(lo, v), max(hi, v)
	}
	near(t, "half", s.Half, (hi-lo)/2, 1e-7)
	near(t, "one order", y.Swing(append(make(num.Series, 24), 1i)).Half, 1, 1e-12)
	if y.Swing(nil) != (Swing{}) {
		t.Error("nothing swings")
	}
}

// Any sum of orders has the range that ten thousand samples show.
func TestSwingOfAnything(t *testing.T) {
	y, err := NewSynth(24)
	if err != nil {
		t.Fatal(err)
	}
	grid := num.NewGrid(9600)
	rapid.Check(t, func(t *rapid.T) {
		x := make(num.Series, rapid.IntRange(2, 25).Draw(t, "orders"))
		for k := range x {
			if rapid.Bool().Draw(t, "there") {
				x[k] = complex(rapid.Float64Range(-1, 1).Draw(t, "re"), rapid.Float64Range(-1, 1).Draw(t, "im"))
			}
		}
		x[0] = complex(real(x[0]), 0)
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, v := range grid.Sample(nil, x) {
			lo, hi = min(lo, v), max(hi, v)
		}
		got := y.Swing(x)
		if off := got.Half - (hi-lo)/2; off < -1e-3*got.Root-1e-12 || off > 2e-4*got.Root+1e-12 {
			t.Fatalf("half range %g, samples say %g", got.Half, (hi-lo)/2)
		}
	})
}

func TestLimit(t *testing.T) {
	m := &Model{Discs: []Disc{{Inertia: 1}, {Inertia: 1e6}}, Spans: []Span{{A: 0, B: 1, Stiffness: 4e4, Loss: 0.05, Modulus: 1e-5}}}
	e := NewExcitation(2)
	e.Gas[0] = num.Series{0, 0, 10}
	var speeds []float64
	for ω := 100.0; ω <= 300; ω += 0.5 {
		speeds = append(speeds, ω)
	}
	s := run(t, m, e, 2, speeds...)
	got, err := s.Limit(10e6) // torque 100 N m: magnified ten times
	if err != nil {
		t.Fatal(err)
	}
	if len(got) != 1 || len(got[0].Barred) != 1 {
		t.Fatalf("%+v", got)
	}
	near(t, "largest stress", got[0].Most, 20e6*math.Hypot(1, 0.05), 1e4)
	for i, g := range []float64{0.952, 1.0417} { // |1 + iη|/√((1 − g²)² + η²) = 10
		want := 200 * math.Sqrt(1+map[int]float64{0: -1, 1: 1}[i]*math.Sqrt((1+0.0025)/100-0.0025))
		near(t, "barred range", got[0].Barred[0][i], want, 0.05)
		near(t, "barred range, roughly", got[0].Barred[0][i]/200, g, 0.01)
	}
	if _, err := s.Limit(math.NaN()); err == nil {
		t.Error("a limit that is no number is not refused")
	}
}

func FuzzHarmonic(f *testing.F) {
	f.Add(1.0, 1e4, 0.0, 10.0, 100.0)
	f.Add(1e-9, 1e13, 1e9, 1e9, 1e7)
	f.Add(math.Inf(1), -1.0, math.NaN(), 0.0, 0.0)
	f.Fuzz(func(t *testing.T, inertia, stiffness, damping, torque, Ω float64) {
		m := &Model{Discs: []Disc{{Inertia: inertia}, {Inertia: 2}}, Spans: []Span{{A: 0, B: 1, Stiffness: stiffness, Damping: damping}}}
		s, err := NewSolver(m)
		if err != nil {
			return
		}
		x, err := s.Harmonic(nil, []complex128{complex(torque, 0), 0}, Ω)
		if err != nil {
			return
		}
		for _, v := range x {
			if cmplx.IsNaN(v) || cmplx.IsInf(v) {
				t.Errorf("%v", v)
			}
		}
		all, err := Modes(m)
		if err != nil {
			return
		}
		for _, a := range all {
			if !finite(a.Frequency, a.Mass) || !finite(a.Shape...) {
				t.Errorf("%+v", a)
			}
		}
		if _, err := HolzerFrequencies(m); err != nil && !errors.Is(err, ErrNoChain) {
			t.Error(err)
		}
	})
}
