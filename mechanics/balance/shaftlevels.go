package balance

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// level is one demand on the unknowns: least squares of a x − want.
type level struct {
	a    [][]float64
	want []float64
}

// small is the share of the largest entry below which a singular value is rounding.
const small = 1e-10

// inOrder solves a ladder of demands: the first in least squares, the second with what freedom the
// first leaves, and so on; the rest of the freedom goes into the shortest x. left are the sums of
// squares that remain.
//
// Each level is solved by singular values in the null space N of those before, x ← x + N z with z the
// shortest least-squares solution of A N z = want − A x.
func inOrder(n int, levels []level) (x, left []float64) {
	x, left = make([]float64, n), make([]float64, len(levels))
	free := mat.NewDense(max(1, n), max(1, n), nil)
	for i := range n {
		free.Set(i, i, 1)
	}
	freedom := n
	for _, l := range levels {
		if freedom == 0 {
			break
		}
		if len(l.a) == 0 {
			continue
		}
		rest := l.rest(x)
		rows := mat.NewDense(len(l.a), n, nil)
		size := 0.0
		for r, row := range l.a {
			rows.SetRow(r, row)
			for _, v := range row {
				size = math.Max(size, math.Abs(v))
			}
		}
		if size == 0 {
			continue
		}
		var reach mat.Dense
		reach.Mul(rows, free)
		var svd mat.SVD
		if !svd.Factorize(&reach, mat.SVDFull) {
			continue // does not happen with finite entries; x stays a solution of the levels before
		}
		var u, v mat.Dense
		svd.UTo(&u)
		svd.VTo(&v)
		rank := 0
		z := make([]float64, freedom)
		for _, σ := range svd.Values(nil) {
			if σ <= small*size {
				break
			}
			dot := 0.0
			for r := range rest {
				dot += u.At(r, rank) * rest[r]
			}
			for c := range z {
				z[c] += v.At(c, rank) * dot / σ
			}
			rank++
		}
		for i := range x {
			for c := range z {
				x[i] += free.At(i, c) * z[c]
			}
		}
		if freedom -= rank; freedom > 0 {
			var narrower mat.Dense
			narrower.Mul(free, v.Slice(0, freedom+rank, rank, freedom+rank))
			free = &narrower
		}
	}
	for i, l := range levels {
		for _, r := range l.rest(x) {
			left[i] += r * r
		}
	}
	return x, left
}

// rest returns want − a x.
func (l level) rest(x []float64) []float64 {
	out := make([]float64, len(l.want))
	for r, row := range l.a {
		out[r] = l.want[r]
		for c, v := range row {
			out[r] -= v * x[c]
		}
	}
	return out
}
