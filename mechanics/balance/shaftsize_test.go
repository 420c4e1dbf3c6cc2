package balance

import (
	"math"
	"testing"

	"crankwright/mechanics/layout"
)

// The bar's numbers against sums over thin slices of the half disc.
func TestBarAgainstSlices(t *testing.T) {
	b := Bar{Radius: 0.02, Density: 7850}
	u, m, j := b.PerLength()
	var su, sm, sj float64
	const n = 2000
	for i := range n {
		for k := range n / 2 {
			r, a := (float64(i)+0.5)/n*b.Radius, (float64(k)+0.5)/(n/2)*math.Pi
			d := b.Density * r * b.Radius / n * math.Pi / (n / 2)
			su, sm, sj = su+d*r*math.Sin(a), sm+d, sj+d*r*r
		}
	}
	for _, p := range [][2]float64{{u, su}, {m, sm}, {j, sj}} {
		if math.Abs(p[0]-p[1]) > 1e-5*p[0] {
			t.Errorf("%g, sum over slices %g", p[0], p[1])
		}
	}
}

func TestPiecesMustFit(t *testing.T) {
	s := layout.Shaft{SpeedRatio: -1, Masses: []layout.Unbalance{{At: 0, Amount: 0.01}, {At: 0.2, Angle: math.Pi, Amount: 0.01}}}
	small := Bar{Radius: 0.01, Density: 7850}
	if _, err := small.Pieces(s); err == nil {
		t.Error("a bar of 10 mm radius cannot make 10 kg mm within 200 mm")
	}
	// the radius that the message names fits just so: ⅔ ρ R³ · 0.2 m = 0.01 kg m
	right := Bar{Radius: math.Cbrt(0.01 / 0.2 * 3 / 2 / 7850), Density: 7850}
	pieces, err := right.Pieces(s)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(pieces[0].Length-0.2) > 1e-9 {
		t.Errorf("length %g", pieces[0].Length)
	}
	for _, b := range []Bar{{}, {Radius: 0.02}, {Radius: math.NaN(), Density: 7850}, {Radius: 0.02, Density: 7.85}} {
		if _, err := b.Pieces(s); err == nil {
			t.Errorf("%+v is not refused", b)
		}
	}
}

func TestBearingLoads(t *testing.T) {
	// a couple of 0.002 kg m, 0.3 m apart, on bearings 0.4 m apart, at −1 and 300 rad/s: 180 N × 0.3/0.4
	s := layout.Shaft{SpeedRatio: -1, Masses: []layout.Unbalance{{At: 0.05, Amount: 0.002}, {At: 0.35, Angle: math.Pi, Amount: 0.002}}}
	b, err := BearingLoads(s, [2]float64{0, 0.4}, 300, 0.01, 0.005)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range b.Load {
		if math.Abs(l-135) > 1e-9 {
			t.Errorf("load %g N, want 135 N", l)
		}
	}
	if want := 0.005 * 270 * 3.0; math.Abs(b.Loss-want) > 1e-9 {
		t.Errorf("loss %g W, want %g W", b.Loss, want)
	}
	for _, bad := range [][5]float64{{0, 0, 300, 0.01, 0.005}, {0, 0.4, -1, 0.01, 0.005}, {0, 0.4, 300, math.NaN(), 0.005}, {0, 0.4, 300, 0.01, 2}, {0, math.Inf(1), 300, 0.01, 0}} {
		if _, err := BearingLoads(s, [2]float64{bad[0], bad[1]}, bad[2], bad[3], bad[4]); err == nil {
			t.Errorf("%v is not refused", bad)
		}
	}
}
