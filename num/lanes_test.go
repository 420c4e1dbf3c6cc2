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
		terms := [4]term{}
		for i := range terms {
			terms[i] = term{chance.NormFloat64(), random(n)}
		}
		got := random(n)
		want := slices.Clone(got)
		add(got, &terms)
		a, b, c, d := terms[0], terms[1], terms[2], terms[3]
		for j := range want {
			want[j] += a.f*a.row[j] + b.f*b.row[j] + c.f*c.row[j] + d.f*d.row[j]
		}
		if !slices.Equal(got, want) {
			t.Fatalf("four terms of %d angles: %v, want %v", n, got, want)
		}
		addScaled(got, a)
		for j := range want {
			want[j] += a.f * a.row[j]
		}
		if !slices.Equal(got, want) {
			t.Fatalf("one term of %d angles: %v, want %v", n, got, want)
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
