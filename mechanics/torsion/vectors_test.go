package torsion

import (
	"math"
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"

	"crankwright/mechanics/firing"
	"crankwright/num"
)

func TestVectorSumsByBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "cylinders")
		shape, at := make([]float64, n), make([]num.Angle, n)
		for c := range n {
			shape[c] = rapid.Float64Range(-1, 1).Draw(t, "twist")
			at[c] = num.Angle(rapid.Float64Range(0, 4*math.Pi).Draw(t, "fires"))
		}
		sums, err := VectorSums(shape, at, 24)
		if err != nil {
			t.Fatal(err)
		}
		for k, s := range sums {
			re, im := 0.0, 0.0
			for c := range n {
				re += shape[c] * math.Cos(float64(k)*float64(at[c])/2)
				im -= shape[c] * math.Sin(float64(k)*float64(at[c])/2)
			}
			if cmplx.Abs(s-complex(re, im)) > 1e-12*float64(n) {
				t.Fatalf("order %g: %v, want %g%+gi", float64(k)/2, s, re, im)
			}
		}
	})
}

// With equal twists an even four-stroke engine keeps the multiples of half its number of cylinders.
func TestMajorOrders(t *testing.T) {
	for n, pins := range map[int][]float64{3: {0, 240, 120}, 4: {0, 180, 180, 0}, 5: {0, 216, 144, 72, 288}, 6: {0, 240, 120, 120, 240, 0}} {
		at, err := FiringAngles(schedule(t, pilotBoat(pins, 0)).FiringAngle, n)
		if err != nil {
			t.Fatal(err)
		}
		ones := make([]float64, n)
		for i := range ones {
			ones[i] = 1
		}
		sums, err := VectorSums(ones, at, 24)
		if err != nil {
			t.Fatal(err)
		}
		for k, s := range sums {
			want := 0.0
			if k%n == 0 {
				want = float64(n)
			}
			near(t, "sum", cmplx.Abs(s), want, 1e-9)
		}
	}
}

// The work of the vector sums at a critical speed is that of the forced model.
func TestVectorSumsAreTheWork(t *testing.T) {
	train := pilotBoat([]float64{0, 240, 120, 120, 240, 0}, 0)
	for i := range train.Cylinders { // no inertia: every cylinder pushes with the same gas
		train.Cylinders[i].Piston.Mass, train.Cylinders[i].Rod.Mass, train.Cylinders[i].Rod.Inertia = 1e-6, 1e-6, 1e-9
	}
	c := crank(t, train, CrankSetting{})
	mode := modes(t, &c.Model)[1]
	at, err := FiringAngles(schedule(t, train).FiringAngle, 6)
	if err != nil {
		t.Fatal(err)
	}
	sums, err := VectorSums(mode.At(c.Cylinders), at, 24)
	if err != nil {
		t.Fatal(err)
	}
	e := excited(t, c, train, 100, 24)
	for _, k := range []int{3, 6, 9, 11, 12} {
		var work complex128
		for _, d := range c.Throws {
			work += e.Gas[d][k] * complex(mode.Shape[d], 0)
		}
		want := cmplx.Abs(sums[k]) * cmplx.Abs(e.Gas[c.Throws[0]][k])
		near(t, "torque on the mode", cmplx.Abs(work), want, 1e-4*want+1e-6)
	}
}

// An inline six: 1-5-3-6-2-4 and its mirror are alike; firing one end after the other drives the first mode at low orders.
func TestRankFirings(t *testing.T) {
	train := pilotBoat([]float64{0, 240, 120, 120, 240, 0}, 0)
	c := crank(t, train, CrankSetting{})
	mode := modes(t, &c.Model)[1]
	tdc, err := firing.TopDeadCentres(train)
	if err != nil {
		t.Fatal(err)
	}
	var list []firing.Schedule
	for _, order := range [][]int{{0, 4, 2, 5, 1, 3}, {0, 1, 2, 5, 4, 3}, {0, 1, 3, 5, 4, 2}, {0, 4, 3, 5, 1, 2}} {
		s, err := firing.Assign(tdc, train.Cycle, order)
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, s)
	}
	weights, err := WeightsWithin(mode.Frequency, nil, 24, 80, 650)
	if err != nil {
		t.Fatal(err)
	}
	ranked, err := RankFirings(mode.At(c.Cylinders), list, weights)
	if err != nil {
		t.Fatal(err)
	}
	if len(ranked) != 4 {
		t.Fatal(ranked)
	}
	for i, r := range ranked {
		if i > 0 && r.Size < ranked[i-1].Size*(1-1e-9) {
			t.Errorf("%d is kinder than what stands before it", i)
		}
		at, err := FiringAngles(list[r.Index].FiringAngle, 6)
		if err != nil {
			t.Fatal(err)
		}
		sums, err := VectorSums(mode.At(c.Cylinders), at, 24)
		if err != nil {
			t.Fatal(err)
		}
		worst := 0.0
		for k, w := range weights[1:] {
			worst = max(worst, w*cmplx.Abs(sums[k+1]))
		}
		near(t, "worst", r.Size, worst, 1e-12)
	}
	if _, err := RankFirings([]float64{1}, list, nil); err == nil {
		t.Error("no weights are not refused")
	}
	if _, err := RankFirings(make([]float64, 7), list, weights); err == nil {
		t.Error("a cylinder that does not fire is not refused")
	}
}

func TestCriticals(t *testing.T) {
	all, err := Criticals([]Mode{{}, {Frequency: 900}, {Frequency: 2000}}, 12, 150, 500)
	if err != nil {
		t.Fatal(err)
	}
	count := 0
	for _, ω := range []float64{900, 2000} {
		for k := 1.0; k <= 12; k++ {
			if v := 2 * ω / k; v >= 150 && v <= 500 {
				count++
			}
		}
	}
	if len(all) != count || all[0].Speed != 150 || all[0].K != 12 || all[0].Mode != 1 {
		t.Errorf("%d of %d: %+v", len(all), count, all)
	}
	for _, bad := range [][2]float64{{5, 1}, {-1, 5}, {0, math.Inf(1)}} {
		if _, err := Criticals(nil, 12, bad[0], bad[1]); err == nil {
			t.Errorf("%v is not refused", bad)
		}
	}
}
