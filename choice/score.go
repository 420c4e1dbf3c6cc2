package choice

import (
	"cmp"
	"slices"
)

// Score is what an alternative is worth at one set of weights.
type Score struct {
	Total  float64   // 0 to 1
	ByAim  []float64 // what each aim adds to Total
	Worths []float64 // what each aim is worth by itself, 0 to 1
}

// Shares returns weights as shares of their sum.
//
//	s_k = w_k / Σ w
//
// with
//   - weights: 0 or more, one above 0 [points]
//
// Result [1]. Definition.
func Shares(weights []float64) []float64 {
	sum := 0.0
	for _, w := range weights {
		sum += w
	}
	out := make([]float64, len(weights))
	for k, w := range weights {
		if sum > 0 {
			out[k] = w / sum
		}
	}
	return out
}

// Middles returns the weights in the middle of their ranges [points]. Definition.
func (p *Problem) Middles() []float64 {
	out := make([]float64, len(p.Aims))
	for k, a := range p.Aims {
		out[k] = a.Weight.Middle()
	}
	return out
}

// Scores returns what the alternatives are worth.
//
//	u(A) = Σ_k s_k a_k(A)        a_k = Σ_j share_j u_j(A) / Σ_j share_j
//
// with
//   - weights: one for each aim, 0 or more and one above 0 [points]
//
// Result [1], one for each alternative of a problem that Validate accepts. Source: SMAA1998, the additive
// value function.
func (p *Problem) Scores(weights []float64) []Score {
	shares := Shares(weights)
	out := make([]Score, len(p.Alternatives))
	for i := range p.Alternatives {
		s := Score{ByAim: make([]float64, len(p.Aims)), Worths: make([]float64, len(p.Aims))}
		p.worths(p.Alternatives[i].Values, s.Worths)
		for k, a := range s.Worths {
			s.ByAim[k] = shares[k] * a
			s.Total += s.ByAim[k]
		}
		out[i] = s
	}
	return out
}

// worths fills in what each aim is worth at some values.
func (p *Problem) worths(values, into []float64) {
	for k := range p.Aims {
		into[k] = p.worthOf(k, values)
	}
}

// worthOf returns what an aim is worth at some values.
func (p *Problem) worthOf(aim int, values []float64) float64 {
	sum, of := 0.0, 0.0
	for _, part := range p.Aims[aim].Parts {
		sum += part.Share * p.Criteria[part.Criterion].Worth.Of(values[part.Criterion])
		of += part.Share
	}
	return sum / of
}

// Places returns the ranks of scores, from 1: the best total has the rank 1, and equal totals share the
// better rank. An alternative that is dominated stands behind an equal one that is not.
//
//   - totals: what each is worth [1]
//   - dominated: which ones are dominated; nil: none
//
// Result [1]. Definition.
func Places(totals []float64, dominated []bool) []int {
	order := sequence(totals, dominated)
	out := make([]int, len(totals))
	for n, i := range order {
		out[i] = n + 1
		if n > 0 && tied(totals, dominated, order[n-1], i) {
			out[i] = out[order[n-1]]
		}
	}
	return out
}

// sequence orders alternatives by total, the best first.
func sequence(totals []float64, dominated []bool) []int {
	order := make([]int, len(totals))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return compare(totals, dominated, a, b) })
	return order
}

// compare orders two alternatives: below 0 where a stands before b.
func compare(totals []float64, dominated []bool, a, b int) int {
	if d := totals[a] - totals[b]; d > same || d < -same {
		return cmp.Compare(totals[b], totals[a])
	}
	if dominated != nil && dominated[a] != dominated[b] {
		if dominated[b] {
			return -1
		}
		return 1
	}
	return 0
}

// tied tells whether two alternatives share a rank.
func tied(totals []float64, dominated []bool, a, b int) bool {
	return compare(totals, dominated, a, b) == 0
}
