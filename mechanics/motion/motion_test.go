package motion

import (
	"fmt"
	"math"
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"

	"crankwright/num"
)

func anyLinkage(t *rapid.T) Linkage {
	f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	k := Linkage{Radius: f("r", 0.02, 0.06), Length: f("l", 0.12, 0.25), Offset: f("e", -0.02, 0.02)}
	if rapid.Bool().Draw(t, "linked") {
		k.Linked, k.MasterLength, k.MasterOffset = true, f("L", 0.14, 0.25), f("E", -0.01, 0.01)
		k.Knuckle, k.KnuckleAngle, k.Lean = f("ρ", 0.02, 0.05), num.Degrees(f("κ", -180, 180)), 0
		k.Lean = k.KnuckleAngle + num.Degrees(f("lean", -10, 10))
	}
	return k
}

// TestDerivatives holds every velocity and acceleration against central differences of the place.
func TestDerivatives(t *testing.T) {
	const h = 1e-4
	rapid.Check(t, func(t *rapid.T) {
		k := anyLinkage(t)
		φ := num.Angle(rapid.Float64Range(-10, 10).Draw(t, "φ"))
		a, err := k.At(φ)
		if err != nil {
			t.Skip("out of reach")
		}
		hi, _ := k.At(φ + h)
		lo, _ := k.At(φ - h)
		points := func(s State) []Point { return []Point{s.Pin, s.Piston, Along(s.Pin, s.Piston, 0.3)} }
		for i, p := range points(a) {
			v := (points(hi)[i].Pos - points(lo)[i].Pos) / (2 * h)
			acc := (points(hi)[i].Vel - points(lo)[i].Vel) / (2 * h)
			if cmplx.Abs(v-p.Vel) > 1e-7 || cmplx.Abs(acc-p.Acc) > 1e-6 {
				t.Fatalf("point %d: velocity %v, differences %v; acceleration %v, differences %v", i, p.Vel, v, p.Acc, acc)
			}
		}
		turn := cmplx.Phase(hi.Rod.Direction/lo.Rod.Direction) / (2 * h)
		turnAcc := (hi.Rod.Vel - lo.Rod.Vel) / (2 * h)
		if math.Abs(turn-a.Rod.Vel) > 1e-6 || math.Abs(turnAcc-a.Rod.Acc) > 1e-5 {
			t.Fatalf("rod turns %g, differences %g; %g, %g", a.Rod.Vel, turn, a.Rod.Acc, turnAcc)
		}
		if length := cmplx.Abs(a.Piston.Pos - a.Pin.Pos); math.Abs(length-k.Length) > 1e-13 {
			t.Fatalf("the rod is %g m long, its eyes are %g m apart", k.Length, length)
		}
	})
}

// TestDeadCentres checks that nothing lies further out or in, for linked rods too.
func TestDeadCentres(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := anyLinkage(t)
		top, bottom, err := k.DeadCentres()
		if err != nil {
			t.Skip("out of reach")
		}
		a, _ := k.At(top)
		b, _ := k.At(bottom)
		for j := range 720 {
			s, err := k.At(num.Turn * num.Angle(j) / 720)
			if err != nil {
				t.Skip("out of reach")
			}
			if x := real(s.Piston.Pos); x > real(a.Piston.Pos)+1e-15 || x < real(b.Piston.Pos)-1e-15 {
				t.Fatalf("the piston is at %g m, dead centres at %g and %g", x, real(a.Piston.Pos), real(b.Piston.Pos))
			}
		}
		if math.Abs(real(a.Piston.Vel)) > 1e-12+1e-9*math.Abs(real(a.Piston.Acc)) { // num.Angle.Wrap rounds by 1e-9 rad at zero
			t.Fatalf("the piston moves at %g m/rad at top dead centre", real(a.Piston.Vel))
		}
		stroke, _ := k.Stroke()
		peak, _ := k.PeakSpeed()
		if peak*math.Pi < stroke {
			t.Fatalf("a peak speed of %g m/rad cannot cover the stroke of %g m", peak, stroke)
		}
	})
}

// A rod 3⅓ cranks long, as in most cars. The harmonics are those of the exact motion.
func ExampleLinkage_Harmonics() {
	k := Linkage{Radius: 0.3, Length: 1}
	a, _, err := k.Harmonics(6)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("A1 %.6f  A2 %.6f  A4 %.6f  A6 %.6f\n", a[1], a[2], a[4], a[6])
	// Output: A1 1.000000  A2 0.307051  A4 -0.007238  A6 0.000192
}

func TestOutOfReach(t *testing.T) {
	k := Linkage{Radius: 0.05, Length: 0.04}
	if _, _, err := k.DeadCentres(); err == nil {
		t.Error("a rod shorter than the crank is accepted")
	}
	if _, err := k.At(1.5); err == nil {
		t.Error("a rod that does not reach gives a place")
	}
}

func BenchmarkAt(b *testing.B) {
	s := Linkage{Radius: 0.045, Length: 0.145}.Sampler()
	b.ReportAllocs()
	for b.Loop() {
		_, _ = s.At(complex(0.6, 0.8))
	}
}
