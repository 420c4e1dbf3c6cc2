package num

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestOrthogonalise holds rows, what is turned along and what a matrix keeps: its sum of squares, and AᵀA.
func TestOrthogonalise(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	for n := 1; n < 40; n++ {
		rows, before := make([][]float64, n), make([][]float64, n)
		used := n + 2
		for i := range rows {
			rows[i] = make([]float64, used+n)
			scale := math.Pow(10, -float64(i%7)) // small values beside large ones
			for j := range used {
				rows[i][j] = scale * (r.Float64() - 0.5)
			}
			rows[i][used+i] = 1
			before[i] = append([]float64(nil), rows[i]...)
		}
		if !Orthogonalise(rows, used) {
			t.Fatalf("%d rows: it did not converge", n)
		}
		dot := func(a, b []float64) (sum, sizes float64) {
			var p, q float64
			for j := range a {
				sum, p, q = sum+a[j]*b[j], p+a[j]*a[j], q+b[j]*b[j]
			}
			return sum, math.Sqrt(p * q)
		}
		for i, a := range rows {
			for k, b := range rows[:i] {
				if v, all := dot(a[:used], b[:used]); math.Abs(v) > 1e-14*all {
					t.Fatalf("%d rows: %d and %d are not square to each other: %g of %g", n, i, k, v, all)
				}
			}
			for j := range used { // what was turned along says how the rows came about
				sum := 0.0
				for k := range before {
					sum += a[used+k] * before[k][j]
				}
				if math.Abs(sum-a[j]) > 1e-14 {
					t.Fatalf("%d rows: row %d, entry %d is %g, turned along it is %g", n, i, j, a[j], sum)
				}
			}
		}
	}
	two := [][]float64{{1, 1}, {1, 1}} // of rank one
	if !Orthogonalise(two, 2) || math.Abs(math.Hypot(two[0][0], two[0][1])+math.Hypot(two[1][0], two[1][1])-2) > 1e-14 {
		t.Errorf("two equal rows become %v", two)
	}
}
