package inertia

import (
	"fmt"
	"math"
	"math/cmplx"
	"testing"

	"crankwright/mechanics/layout"
	"crankwright/mechanics/motion"
	"crankwright/num"
)

func plainEngine(pins, axes []float64, xs []float64) *layout.Train {
	t := &layout.Train{Name: "test", Bore: 0.08}
	for i, p := range pins {
		t.Throws = append(t.Throws, layout.Throw{Name: fmt.Sprint("T", i), At: xs[i], Angle: num.Degrees(p), Radius: 0.045, Pair: i})
		t.Cylinders = append(t.Cylinders, layout.Cylinder{
			Name: fmt.Sprint(i + 1), Throw: i, At: xs[i], Axis: num.Degrees(axes[i]),
			Piston: layout.Piston{Mass: 0.38},
			Rod:    layout.Rod{Length: 0.145, Mass: 0.55, CG: 0.04, Inertia: 0.0018},
		})
	}
	return t
}

func flatFour() *layout.Train {
	return plainEngine([]float64{0, 180, 180, 0}, []float64{0, 0, 0, 0}, []float64{-.138, -.046, .046, .138})
}

func TestFlatFourHasOnlyEvenForce(t *testing.T) {
	var s Solver
	b, err := s.Solve(nil, flatFour(), Options{})
	if err != nil {
		t.Fatal(err)
	}
	w, a := b.Force.Order(4)
	λ := 0.045 / 0.145
	m := 0.38 + 0.55*0.04/0.145
	want := 4 * 0.5 * m * 0.045 * (λ + λ*λ*λ/4 + 15*math.Pow(λ, 5)/128 + 35*math.Pow(λ, 7)/512 + 735*math.Pow(λ, 9)/16384)
	if math.Abs(cmplx.Abs(w)-want) > 1e-6*want || math.Abs(cmplx.Abs(a)-want) > 1e-6*want {
		t.Errorf("second order %v %v, want magnitude %g", w, a, want)
	}
	for k := range b.Force.With {
		if k%4 != 0 && (b.Force.With[k] != 0 || b.Force.Against[k] != 0) {
			t.Errorf("order %g force %v %v, want exactly zero", float64(k)/2, b.Force.With[k], b.Force.Against[k])
		}
		if b.Moment.With[k] != 0 || b.Moment.Against[k] != 0 {
			t.Errorf("order %g moment %v", float64(k)/2, b.Moment.With[k])
		}
	}
	t.Log(len(b.Force.With), b.Torque[:9], b.Roll[:9])
}

// TestCentralTransformIsAny holds the transform of a central crank, which uses its symmetries, against that of any linkage.
func TestCentralTransformIsAny(t *testing.T) {
	for _, ratio := range []float64{0.05, 0.2, 0.31, 0.45, 0.6} {
		k := kind{
			link:       motion.Linkage{Radius: 0.145 * ratio, Length: 0.145},
			pistonMass: 0.38, rodMass: 0.55, cg: 0.04, rodInertia: 0.0018,
		}
		var s Solver
		n := k.link.Samples()
		plan := s.transform(n)
		made := func(transform func(*harmonics, *num.Transform) error) *harmonics {
			h := &harmonics{kind: k, at: make([]harmonic, n/2)}
			if err := transform(h, plan); err != nil {
				t.Fatal(err)
			}
			return h
		}
		a, b := made(s.transformCentral), made(s.transformAny)
		for i := 1; i < n/2; i++ {
			p, o := &a.at[i], &b.at[i]
			for q, pair := range [][2]complex128{{p.with, o.with}, {p.against, o.against}, {p.torque, o.torque}, {p.roll, o.roll}} {
				most := size(b.at[1].with)
				if q > 1 {
					most = size(b.at[2].torque)
				}
				if size(pair[0]-pair[1]) > 2e-15*most {
					t.Errorf("ratio %g, order %d, quantity %d: %v, of any linkage %v", ratio, i, q, pair[0], pair[1])
				}
			}
		}
	}
}

// crossFour is a cross-plane four of which one piston is heavier: no order cancels.
func crossFour() *layout.Train {
	t := plainEngine([]float64{0, 90, 270, 180}, []float64{0, 0, 0, 0}, []float64{-.138, -.046, .046, .138})
	t.Cylinders[2].Piston.Mass = 0.43
	return t
}

// benchmarkCurves solves a train and evaluates its curves; fresh: the motion is transformed each time.
func benchmarkCurves(b *testing.B, t *layout.Train, fresh bool) {
	b.Helper()
	var s Solver
	grid := num.NewGrid(720)
	var bal Balance
	var c Curves
	b.ReportAllocs()
	for b.Loop() {
		if fresh {
			s.forgetKinds()
		}
		if _, err := s.Solve(&bal, t, Options{}); err != nil {
			b.Fatal(err)
		}
		s.Curves(&c, &bal, grid, 600)
	}
}

func BenchmarkCrossFourOrdersAnd720AngleCurves(b *testing.B) { benchmarkCurves(b, crossFour(), false) }

func BenchmarkFlatFourOrdersAnd720AngleCurves(b *testing.B) { benchmarkCurves(b, flatFour(), false) }

func BenchmarkFlatFourOrdersAnd720AngleCurvesNewKind(b *testing.B) {
	benchmarkCurves(b, flatFour(), true)
}

func BenchmarkFlatFourOrdersCurvesAndPeaks(b *testing.B) {
	var s Solver
	t := flatFour()
	grid := num.NewGrid(720)
	var bal Balance
	var c Curves
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.Solve(&bal, t, Options{}); err != nil {
			b.Fatal(err)
		}
		s.Curves(&c, &bal, grid, 600)
		_ = PeaksOf(&bal, &c, 600)
	}
}

func BenchmarkSumOrdersOfFour(b *testing.B) {
	var ps []Phasor
	for i, a := range []float64{0, 180, 180, 0} {
		ps = append(ps, Phasor{Throw: num.Degrees(a).Unit(), Axis: 1, X: float64(i) - 1.5})
	}
	b.ReportAllocs()
	for b.Loop() {
		_ = SumOrders(ps)
	}
}

func benchmarkSolve(b *testing.B, t *layout.Train) {
	b.Helper()
	var s Solver
	var bal Balance
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.Solve(&bal, t, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFlatFourOrders(b *testing.B) { benchmarkSolve(b, flatFour()) }

func BenchmarkCrossFourOrders(b *testing.B) { benchmarkSolve(b, crossFour()) }
