package mount

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// TestQuickIsCareful holds the solution without pivots against that with pivots, in systems made by chance, damped much, little
// and not at all.
func TestQuickIsCareful(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 10))
	between := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	taken, all, worst := 0, 0, 0.0
	for range 400 {
		s := System{Body: Cuboid(between(50, 300), r3.Vec{X: between(-0.1, 0.1)}, r3.Vec{X: between(0.3, 0.9), Y: between(0.3, 0.6), Z: between(0.3, 0.7)})}
		for range 2 + r.IntN(4) {
			s.Mounts = append(s.Mounts, Mount{
				At: r3.Vec{X: between(-0.5, 0.5), Y: between(-0.3, 0.3), Z: between(-0.3, 0.3)}, Axes: Leaning(between(-0.8, 0.8)),
				Stiffness: [3]float64{between(5e4, 4e5), between(5e4, 4e5), between(1e5, 9e5)}, Loss: []float64{0, 0.02, 0.1, 0.3}[r.IntN(4)],
			})
		}
		v, err := NewSolver(&s)
		if err != nil {
			t.Fatal(err)
		}
		for range 100 {
			var f [6]complex128
			for i := range f {
				f[i] = complex(between(-1, 1), between(-1, 1))
			}
			ω := math.Pow(10, between(0, 3.5))
			all++
			quick, ok := v.quick(ω*ω, f)
			if !ok {
				continue
			}
			taken++
			slow, err := v.careful(ω, f)
			if err != nil {
				t.Fatalf("at %g rad/s: %v", ω, err)
			}
			most, gap := 0.0, 0.0
			for i := range quick {
				most, gap = max(most, size(slow[i])*v.root[i]), max(gap, size(slow[i]-quick[i])*v.root[i])
			}
			worst = max(worst, gap/most)
		}
	}
	t.Logf("%d of %d without pivots, at most %.1e apart", taken, all, worst)
	if worst > 1e-11 {
		t.Errorf("without pivots %.2g apart", worst)
	}
	if taken < all*8/10 {
		t.Errorf("only %d of %d are solved without pivots", taken, all)
	}
}
