package num

import "math"

// sweeps is after how many rounds over all pairs of rows rotations have failed [1]; six to ten do.
const sweeps = 60

// Orthogonalise turns pairs of rows in their common plane until all are square to each other.
//
//	a' = c a − s b   b' = s a + c b      a'·b' = 0
//
// with
//   - rows: of equal length [any unit], changed in place
//   - used: how many of the first entries are to be square to each other [1]; what stands behind them is turned along
//
// Result: whether it converged. The lengths of the rows are then the singular values of the matrix that they were [unit of
// rows], their directions its right singular vectors: the eigenvectors of AᵀA without squaring, which keeps the digits of
// small values. A row below 1e-15 of the longest is taken as zero. Source: Hestenes' one-sided Jacobi method, from memory.
func Orthogonalise(rows [][]float64, used int) bool {
	var room [32]float64
	square := room[:]
	if len(rows) > len(square) {
		square = make([]float64, len(rows))
	}
	for range sweeps {
		most := 0.0
		for i, r := range rows {
			square[i] = 0
			for _, v := range r[:used] {
				square[i] += v * v
			}
			most = max(most, square[i])
		}
		least, done := 1e-30*most, true
		for i, a := range rows {
			for k := i + 1; k < len(rows); k++ {
				b := rows[k][:len(a)]
				p, q, between := square[i], square[k], 0.0
				for j, v := range a[:used] {
					between += v * b[j]
				}
				if p <= least || q <= least || between*between <= 1e-31*p*q {
					continue
				}
				done = false
				ratio := (q - p) / (2 * between)
				t := math.Copysign(1/(math.Abs(ratio)+math.Sqrt(1+ratio*ratio)), ratio)
				c := 1 / math.Sqrt(1+t*t)
				s := c * t
				for j, v := range a {
					w := b[j]
					a[j], b[j] = c*v-s*w, s*v+c*w
				}
				square[i], square[k] = max(0, p-t*between), q+t*between
			}
		}
		if done {
			return true
		}
	}
	return false
}
