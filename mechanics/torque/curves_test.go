package torque

import (
	"math"
	"math/cmplx"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"crankwright/mechanics/layout"
	"crankwright/mechanics/motion"
	"crankwright/num"
)

// TestMeanIsTheWork holds mean torque × period against Σ∮ p dV, with the volumes from the piston places and
// the integral by parts, on a grid of its own.
func TestMeanIsTheWork(t *testing.T) {
	worst := 0.0
	rapid.Check(t, func(t *rapid.T) {
		train := anyTrain(t)
		m := preparedOrSkip(t, train)
		c, err := m.Curves(nil, [][]float64{smoothCurve(m)}, 0.7e5, 300)
		if err != nil {
			t.Fatal(err)
		}
		want, area := 0.0, math.Pi/4*train.Bore*train.Bore
		const steps = 3000 // −∮ V dp, V from the places
		for i := range train.Cylinders {
			link, _, phase := motion.LinkageOf(train, i)
			h := float64(train.Cycle.Period()) / steps
			for j := range steps {
				θ := h * float64(j)
				s, err := link.At(num.Angle(θ) + m.places[i].at + phase)
				if err != nil {
					t.Fatal(err)
				}
				dp := (smooth(θ+1e-4, m.Cycle) - smooth(θ-1e-4, m.Cycle)) / 2e-4
				want += area * real(s.Piston.Pos) * dp * h
			}
		}
		scale := c.Parts.peakGas() * float64(m.Cycle.Period())
		for name, got := range map[string]float64{"work": c.Work, "mean of the curve": meanOf(c.Gas) * float64(m.Cycle.Period())} {
			gap := math.Abs(got-want) / scale
			worst = max(worst, gap)
			if gap > 2e-7 {
				t.Fatalf("%s %.10g J, ∮ p dV %.10g J", name, got, want)
			}
		}
	})
	t.Logf("worst gap %.2g of peak torque × period", worst)
}

func (p *Parts) peakGas() float64 {
	hi, _ := highest(p.Gas)
	return max(hi, 1e-9)
}

// TestVirtualWork holds the torque of each cylinder against −(p − p0) A Δs/Δθ from piston places.
func TestVirtualWork(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		train := anyTrain(t)
		m := preparedOrSkip(t, train)
		c, err := m.Curves(nil, [][]float64{smoothCurve(m)}, 0.7e5, 300)
		if err != nil {
			t.Fatal(err)
		}
		area := math.Pi / 4 * train.Bore * train.Bore
		for i := range train.Cylinders {
			link, _, phase := motion.LinkageOf(train, i)
			peak := c.Of[i].peakGas()
			for j, got := range c.Of[i].Gas {
				θ := m.Step() * num.Angle(j)
				a, _ := link.At(θ + phase - 1e-5)
				b, _ := link.At(θ + phase + 1e-5)
				want := -(smooth(float64(θ-m.places[i].at), m.Cycle) - 0.7e5) * area * real(b.Piston.Pos-a.Piston.Pos) / 2e-5
				if math.Abs(got-want) > 2e-5*peak {
					t.Fatalf("cylinder %d at %g deg: %g N m, virtual work %g N m, peak %g", i, θ.Deg(), got, want, peak)
				}
			}
		}
	})
}

// TestOrdersAreThoseOfTheCurve transforms the curve directly.
func TestOrdersAreThoseOfTheCurve(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := preparedOrSkip(t, anyTrain(t))
		c, err := m.Curves(nil, [][]float64{smoothCurve(m)}, 1e5, 300)
		if err != nil {
			t.Fatal(err)
		}
		for k := range 25 {
			var want complex128
			for j, v := range c.Gas {
				want += complex(v/float64(m.n), 0) * cmplx.Exp(complex(0, -2*math.Pi*float64(k*j)/float64(m.n)))
			}
			if k > 0 {
				want *= 2
			}
			if cmplx.Abs(c.Orders.Order(k)-want) > 2e-6*c.peakGas() {
				t.Fatalf("order %g: %v, of the curve %v", float64(k)/2, c.Orders.Order(k), want)
			}
		}
	})
}

// TestEnergyGivesTheInertiaTorque holds −E' against the inertia torque, which package inertia computes from
// accelerations, and the sum of the cylinders against the whole.
func TestEnergyGivesTheInertiaTorque(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := preparedOrSkip(t, anyTrain(t))
		peak, _ := highest(m.Unit)
		work := make([]float64, m.n)
		accumulated(work, m.Unit, float64(m.Step()))
		for j := range work {
			if math.Abs(work[j]+m.Energy[j]-m.Energy[0]) > 1e-6*peak {
				t.Fatalf("at index %d the work of inertia is %g, the energy fell by %g", j, work[j], m.Energy[0]-m.Energy[j])
			}
			m.byCylinder()
			sum := 0.0
			for _, u := range m.units {
				sum += u[j]
			}
			if math.Abs(sum-m.Unit[j]) > 1e-12*peak {
				t.Fatalf("the cylinders add up to %g, the whole is %g", sum, m.Unit[j])
			}
		}
	})
}

// TestWholeIsCurves: leaving single cylinders out changes nothing, to the last digit.
func TestWholeIsCurves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := preparedOrSkip(t, anyTrain(t))
		pressure, ω := [][]float64{smoothCurve(m)}, rapid.Float64Range(0, 700).Draw(t, "speed")
		whole, err := m.Whole(nil, pressure, 1e5, ω)
		if err != nil {
			t.Fatal(err)
		}
		all, err := m.Curves(nil, pressure, 1e5, ω)
		if err != nil || len(all.Of) != len(m.places) {
			t.Fatalf("%v; %d of %d cylinders", err, len(all.Of), len(m.places))
		}
		all.Of = nil
		if !reflect.DeepEqual(whole, all) {
			t.Fatal("the sums differ")
		}
		if reused, err := m.Whole(whole, pressure, 1e5, ω); err != nil || !reflect.DeepEqual(reused, all) {
			t.Fatalf("used again: %v", err)
		}
	})
}

// TestEqualFiringHasOnlyFiringOrders: N cylinders that fire evenly leave the multiples of N/2 (four-stroke) or N.
func TestEqualFiringHasOnlyFiringOrders(t *testing.T) {
	for name, c := range map[string]struct {
		train *layout.Train
		every int // in half orders
	}{
		"inline four":             {pilotBoat([]float64{0, 180, 180, 0}, 0), 4},
		"inline five":             {pilotBoat([]float64{0, 144, 216, 288, 72}, 0), 5},
		"vee eight":               {pilotBoat([]float64{0, 90, 270, 180}, -45, 45), 8},
		"two-stroke inline three": {pilotBoat([]float64{0, 120, 240}, 0), 6},
	} {
		if name == "two-stroke inline three" {
			c.train.Cycle = layout.TwoStroke
		}
		m := prepared(t, c.train, 0)
		curves, err := m.Curves(nil, [][]float64{smoothCurve(m)}, 1e5, 0)
		if err != nil {
			t.Fatal(err)
		}
		for k, v := range curves.Orders {
			if k%c.every != 0 && v != 0 {
				t.Errorf("%s: order %g is %v, want exactly zero", name, float64(k)/2, v)
			}
		}
		if curves.Orders[c.every] == 0 {
			t.Errorf("%s has no order %g", name, float64(c.every)/2)
		}
	}
}

// TestMirrorImage: a clockwise engine is the mirror image of its numbers, and its torque is the same.
func TestMirrorImage(t *testing.T) {
	train := pilotBoat([]float64{0, 90, 270, 180}, -40, 45)
	train.Cylinders[2].Offset = 0.004
	other := *train
	other.Rotation = layout.Clockwise
	a, b := prepared(t, train, 0), prepared(t, &other, 0)
	ca, err := a.Curves(nil, [][]float64{smoothCurve(a)}, 1e5, 500)
	if err != nil {
		t.Fatal(err)
	}
	cb, err := b.Curves(nil, [][]float64{smoothCurve(b)}, 1e5, 500)
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(ca.Total, cb.Total) || !slices.Equal(ca.Orders, cb.Orders) {
		t.Error("the torque of the clockwise engine differs")
	}
}

// TestSilentCylinder: a cylinder without pressure gives nothing, and the others stay.
func TestSilentCylinder(t *testing.T) {
	m := prepared(t, pilotBoat([]float64{0, 180, 180, 0}, 0), 0)
	p := smoothCurve(m)
	all, err := m.Curves(nil, [][]float64{p, p, p, p}, 1e5, 200)
	if err != nil {
		t.Fatal(err)
	}
	three, err := m.Curves(nil, [][]float64{p, nil, p, p}, 1e5, 200)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(three.Work-0.75*all.Work) > 1e-12*all.Work {
		t.Errorf("three of four cylinders do %g J of %g J", three.Work, all.Work)
	}
	if three.Orders[1] == 0 {
		t.Error("a silent cylinder leaves no half order")
	}
	if hi, _ := highest(three.Of[1].Gas); hi != 0 {
		t.Error("the silent cylinder pushes")
	}
}

func TestShares(t *testing.T) {
	m := prepared(t, pilotBoat([]float64{0, 180, 180, 0}, 0), 0)
	c, err := m.Curves(nil, [][]float64{smoothCurve(m)}, 1e5, 400)
	if err != nil {
		t.Fatal(err)
	}
	ω, ok := EqualSpeed(c.Orders, m.Torque)
	if !ok {
		t.Fatal("no equal speed")
	}
	s, err := Shares(c.Orders, m.Torque, []float64{0, ω, 2 * ω, 400})
	if err != nil {
		t.Fatal(err)
	}
	if s[0].Ratio != 0 || math.Abs(s[1].Ratio-1) > 1e-12 || math.Abs(s[2].Ratio-4) > 1e-11 {
		t.Errorf("ratios %v", s)
	}
	rms := func(x []float64) float64 { // of the curves, sample by sample
		mean, sum := meanOf(x), 0.0
		for _, v := range x {
			sum += (v - mean) * (v - mean)
		}
		return math.Sqrt(sum / float64(len(x)))
	}
	for name, pair := range map[string][2]float64{"gas": {s[3].Gas, rms(c.Gas)}, "inertia": {s[3].Inertia, rms(c.Inertia)}, "total": {s[3].Total, rms(c.Total)}} {
		if math.Abs(pair[0]-pair[1]) > 1e-6*pair[1] {
			t.Errorf("%s: %g by orders, %g by samples", name, pair[0], pair[1])
		}
	}
	orders, err := Orders(c.Orders, m.Torque, 400)
	if err != nil {
		t.Fatal(err)
	}
	sum := 0.0
	for i, o := range orders {
		sum += o.Share
		if i > 0 && o.Share > orders[i-1].Share {
			t.Error("the orders are not in sequence")
		}
	}
	if math.Abs(sum-1) > 1e-12 {
		t.Errorf("shares add up to %g", sum)
	}
	if still, err := Orders(c.Orders, m.Torque, 0); err != nil || still[0].K != 4 {
		t.Errorf("the largest order of the gas alone is %+v, %v; want order 2", still[0], err)
	}
}

func TestImpulses(t *testing.T) {
	m := prepared(t, pilotBoat([]float64{0, 180, 180, 0}, 0), 0)
	c, err := m.Curves(nil, [][]float64{smoothCurve(m)}, 1e5, 0)
	if err != nil {
		t.Fatal(err)
	}
	four, err := Impulses(c.Total)
	if err != nil {
		t.Fatal(err)
	}
	if len(four) != 4 {
		t.Fatalf("%d impulses, want 4", len(four))
	}
	for _, p := range four {
		if math.Abs(p.Gap.Deg()-180) > 1e-9 || math.Abs(p.Peak-four[0].Peak) > 1e-9*p.Peak || p.Trough >= c.Mean {
			t.Errorf("impulse %+v", p)
		}
	}
	one, err := Impulses(make([]float64, 720))
	if err != nil || len(one) != 0 {
		t.Errorf("a constant torque has the impulses %v, %v", one, err)
	}
}

func BenchmarkCurvesOfVeeEight(b *testing.B) {
	m := prepared(b, pilotBoat([]float64{0, 90, 270, 180}, -45, 45), 0)
	p := [][]float64{smoothCurve(m)}
	var c Curves
	b.ReportAllocs()
	for b.Loop() {
		if _, err := m.Curves(&c, p, 1e5, 500); err != nil {
			b.Fatal(err)
		}
	}
}

// Every cylinder with a curve of its own and none of its firings on a sample: the most work there is.
func BenchmarkCurvesOfVeeEightUnlike(b *testing.B) {
	m := prepared(b, pilotBoat([]float64{0.3, 90.3, 270.3, 180.3}, -45, 45), 0)
	var p [][]float64
	for range 8 {
		p = append(p, smoothCurve(m))
	}
	var c Curves
	b.ReportAllocs()
	for b.Loop() {
		if _, err := m.Curves(&c, p, 1e5, 500); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkNewMechanism(b *testing.B) {
	train := pilotBoat([]float64{0, 90, 270, 180}, -45, 45)
	s := schedule(b, train)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := NewMechanism(train, s, 0); err != nil {
			b.Fatal(err)
		}
	}
}

// TestExtremes refines the ends of a cosine whose top lies between two angles.
func TestExtremes(t *testing.T) {
	const n, at = 1440, 0.4 // steps beyond the sample
	x := make([]float64, n)
	for j := range x {
		x[j] = 3 + 7*math.Cos((float64(j)-100-at)*2*math.Pi/n)
	}
	most, mostAt, least, leastAt := Extremes(x)
	h := 4 * math.Pi / n
	for _, v := range []struct{ got, want, tolerance float64 }{
		{most, 10, 1e-9}, {least, -4, 1e-9}, {float64(mostAt), (100 + at) * h, 1e-6}, {float64(leastAt), (820 + at) * h, 1e-6},
	} {
		if math.Abs(v.got-v.want) > v.tolerance {
			t.Errorf("%g, want %g", v.got, v.want)
		}
	}
	if most, _, least, _ := Extremes(nil); most != 0 || least != 0 {
		t.Error("a curve without values has extremes")
	}
}
