package balance

import (
	"errors"
	"fmt"
	"math"
	"math/cmplx"

	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"

	"gonum.org/v1/gonum/mat"
)

// OptimumResult is the best set of counterweights by a measure.
type OptimumResult struct {
	Webs      []Web
	Unbalance []complex128 // of each web, U e^{ia} [kg m]
	AtLimit   []bool       // the web carries the largest unbalance allowed

	Measure Measure // with its length filled in
	Bare    float64 // the measure without any counterweight, per ω⁴ [kg² m²]
	After   float64 // the measure with these counterweights, per ω⁴ [kg² m²]
	Least   float64 // what counterweights without limit and at any place would leave, per ω⁴ [kg² m²]
}

// ErrLimit is returned where the limit of unbalance is no limit.
var ErrLimit = errors.New("the largest unbalance of a web must lie between 1e-9 kg m and 1e9 kg m")

// Optimum returns the counterweights that make a measure smallest.
//
//	W⁺ = W⁺_0 + i Σ u_j     M⁺ = M⁺_0 − Σ (x_j − x_ref) u_j     u = U e^{ia} on web j
//	best force   W⁺ = −conj W⁻ (w_Fy − w_Fz)/(w_Fy + w_Fz)    and likewise for the moment
//
// with
//   - t: a train that layout.Validate accepts; its own counterweights do not count
//   - m: the measure
//   - limit: largest unbalance of one web [kg m]; 0: none
//
// Result: unbalances [kg m], in the frame of the train as written. Only the first-order parts that turn
// with the crank are in reach. Where all weights are equal the optimum takes just these, 50 % of the
// reciprocating mass; with the upright force alone it takes the force upright, 100 %, at the cost of the one
// across. Among equally good sets it returns the one with the smallest sum of squares of the unbalances.
// With a limit the problem stays convex; the measure is least to 1e-9 of the bare one. Errors:
// layout.Problems, a bad measure or limit. Source: DEFINITION, linear least squares; see notation.md for the
// axes.
func Optimum(t *layout.Train, m Measure, limit float64) (*OptimumResult, error) {
	if err := layout.Validate(t); err != nil {
		return nil, err
	}
	m, err := m.checked(t)
	if err != nil {
		return nil, err
	}
	if limit != 0 && (!(limit >= 1e-9) || limit > 1e9) {
		return nil, fmt.Errorf("%w; it is %g kg m", ErrLimit, limit)
	}
	bare := *t
	bare.Counterweights, bare.Rotation = nil, layout.Anticlockwise
	var s inertia.Solver
	b, err := s.Solve(nil, &bare, inertia.Options{})
	if err != nil {
		return nil, err
	}
	r := &OptimumResult{Webs: Webs(t), Measure: m, Bare: m.Of(b)}
	p := reachOf(b, m, r.Webs)
	r.Unbalance = p.free()
	if limit > 0 && !within(r.Unbalance, limit) {
		if r.Unbalance, err = p.limited(limit); err != nil {
			return nil, err
		}
	}
	for _, u := range r.Unbalance {
		r.AtLimit = append(r.AtLimit, limit > 0 && cmplx.Abs(u) > limit*(1-1e-6))
	}
	r.Least = math.Max(0, r.Bare-(square(p.want[0])+square(p.want[1]))/2)
	r.After = r.Least + p.left(r.Unbalance)
	return r, nil
}

func within(us []complex128, limit float64) bool {
	for _, u := range us {
		if cmplx.Abs(u) > limit {
			return false
		}
	}
	return true
}

// reach is the least-squares problem of the two sums that counterweights can change, force and moment:
//
//	J = least + ½ Σ_i | want_i − Σ_j rows_ij u_j |²
type reach struct {
	rows [2][]float64
	want [2]complex128
}

// reachOf sets the problem up. For one pair of weights
//
//	w_y |P + q|² + w_z |P − q|² = (w_y + w_z) |P + q (w_y − w_z)/(w_y + w_z)|² + const
//
// with P the part with the crank and q the conjugate of the part against it.
func reachOf(b *inertia.Balance, m Measure, webs []Web) reach {
	goal := func(with, against complex128, wy, wz float64) complex128 { // what must be added to with
		return -cmplx.Conj(against)*complex((wy-wz)/(wy+wz), 0) - with
	}
	var p reach
	force, moment := math.Sqrt(m.ForceY+m.ForceZ), math.Sqrt(m.MomentY+m.MomentZ)/m.Length
	for _, w := range webs {
		p.rows[0] = append(p.rows[0], force)
		p.rows[1] = append(p.rows[1], moment*(w.At-b.Reference))
	}
	if force > 0 {
		with, against := b.Force.Order(2)
		p.want[0] = complex(0, -force) * goal(with, against, m.ForceY, m.ForceZ)
	}
	if moment > 0 {
		with, against := b.Moment.Order(2)
		p.want[1] = complex(-moment, 0) * goal(with, against, m.MomentY, m.MomentZ)
	}
	return p
}

// residual returns want − rows u.
func (p reach) residual(us []complex128) (r [2]complex128) {
	for i := range r {
		r[i] = p.want[i]
		for j, u := range us {
			r[i] -= complex(p.rows[i][j], 0) * u
		}
	}
	return r
}

func (p reach) left(us []complex128) float64 {
	r := p.residual(us)
	return (square(r[0]) + square(r[1])) / 2
}

// free returns the solution without limit that has the smallest sum of squares.
func (p reach) free() []complex128 {
	n := len(p.rows[0])
	a := mat.NewDense(2, n, nil)
	a.SetRow(0, p.rows[0])
	a.SetRow(1, p.rows[1])
	b := mat.NewDense(2, 2, []float64{real(p.want[0]), imag(p.want[0]), real(p.want[1]), imag(p.want[1])})
	us := make([]complex128, n)
	var svd mat.SVD
	if !svd.Factorize(a, mat.SVDThin) {
		return us // of a finite 2 × n matrix it does not happen; no counterweights are an answer, too
	}
	values := svd.Values(nil)
	rank := 0
	for _, v := range values {
		if v > 1e-10*values[0] {
			rank++
		}
	}
	if rank == 0 {
		return us
	}
	var x mat.Dense
	svd.SolveTo(&x, b, rank)
	largest := 0.0
	for j := range us {
		us[j] = complex(x.At(j, 0), x.At(j, 1))
		largest = math.Max(largest, cmplx.Abs(us[j]))
	}
	for j := range us { // what is nothing but rounding is no counterweight
		if cmplx.Abs(us[j]) < 1e-12*largest {
			us[j] = 0
		}
	}
	return us
}
