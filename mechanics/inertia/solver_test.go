package inertia

import (
	"fmt"
	"math"
	"math/cmplx"
	"testing"

	"crankwright/mechanics/layout"
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

func BenchmarkFlatFourOrdersAnd720AngleCurves(b *testing.B) {
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
	}
}

func BenchmarkFlatFourOrdersAnd720AngleCurvesNewKind(b *testing.B) {
	var s Solver
	t := flatFour()
	grid := num.NewGrid(720)
	var bal Balance
	var c Curves
	b.ReportAllocs()
	for b.Loop() {
		s.kinds = s.kinds[:0] // the motion is transformed afresh
		if _, err := s.Solve(&bal, t, Options{}); err != nil {
			b.Fatal(err)
		}
		s.Curves(&c, &bal, grid, 600)
	}
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
