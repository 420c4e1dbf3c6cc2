package num

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// Definition: lanes are another way to the same bits, whatever the length.
func TestLanesGiveTheSameBits(t *testing.T) {
	chance := rand.New(rand.NewPCG(1, 2))
	random := func(n int) []float64 {
		v := make([]float64, n)
		for j := range v {
			v[j] = chance.NormFloat64()
		}
		return v
	}
	for n := range 100 {
		sum := make(terms, 1+n%7)
		for i := range sum {
			sum[i] = Term{chance.NormFloat64(), random(n)}
		}
		mean := chance.NormFloat64()
		got := random(n)
		sum.over(got, mean)
		for j := range got {
			want := mean
			for _, t := range sum {
				want += t.Factor * t.Row[j]
			}
			if got[j] != want {
				t.Fatalf("%d terms of %d values: %v at %d, want %v", len(sum), n, got[j], j, want)
			}
		}
	}
	for half := range 50 {
		row := random(half + 7)
		sums := [2]terms{make(terms, half%4), make(terms, half%3)}
		for _, sum := range sums {
			for i := range sum {
				sum[i] = Term{chance.NormFloat64(), row[i:]}
			}
		}
		got := random(4 * half)
		double(got, sums[0], sums[1])
		for j, v := range got {
			var parts [2]float64
			for p, sum := range sums {
				for _, t := range sum {
					parts[p] += t.Factor * t.Row[j%half]
				}
			}
			want := parts[0] + parts[1]
			if j/half%2 == 1 {
				want = parts[0] - parts[1]
			}
			if v != want {
				t.Fatalf("%d angles of half a revolution: %v at %d, want %v", half, v, j, want)
			}
		}
	}
	for period := 1; period < 100; period++ {
		cos, sin := random(period/2+1), random(period/2+1)
		got := random(period)
		reflect(got, cos, sin)
		for j, v := range got {
			want := cos[0]
			switch {
			case j > 0 && 2*j < period:
				want = cos[j] + sin[j]
			case 2*j == period:
				want = cos[j]
			case 2*j > period:
				want = cos[period-j] - sin[period-j]
			}
			if v != want {
				t.Fatalf("a period of %d angles: %v at %d, want %v", period, v, j, want)
			}
		}
	}
	for quarter := 1; quarter < 60; quarter++ {
		cos, sin := random(quarter+1), random(quarter+1)
		got := random(4 * quarter)
		want := slices.Clone(got)
		spread(got, cos, sin)
		even := slices.Clone(want[:2*quarter])
		for j := range want {
			e, at := even[j%(2*quarter)], j%(2*quarter)
			var odd float64
			switch {
			case at == 0:
				odd = cos[0]
			case at < quarter:
				odd = sin[at] + cos[at]
			case at == quarter:
				odd = sin[at]
			default:
				odd = sin[2*quarter-at] - cos[2*quarter-at]
			}
			if j >= 2*quarter {
				odd = -odd
			}
			want[j] = e + odd
		}
		if !slices.Equal(got, want) {
			t.Fatalf("a period of %d angles: %v, want %v", 4*quarter, got, want)
		}
	}
}
