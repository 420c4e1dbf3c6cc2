package choice

import (
	"cmp"
	"math"
	"slices"
)

// Matter is what one doubtful input does to the lead of one alternative over another.
type Matter struct {
	Key, Name   string
	Alternative int     // whose input
	Low, High   float64 // change of the lead with the input at its low and at its high end, as part of the scale of 0 to 1
	Share       float64 // of the variance of the lead that all such inputs make together
	Flips       *InputFlip
}

// InputFlip is where an input makes another alternative lead.
type InputFlip struct {
	At     float64 // −1: the low end, 0: the estimate, 1: the high end
	Leader int
}

// Matters returns the doubtful inputs by how much they move the lead of one alternative over another, and
// where each of them alone would make any other lead.
//
//	lead(z) = Σ_k s_k (a_k(leader; z) − a_k(other; z)), −1 ≤ z ≤ 1
//
// with
//   - weights: [points]
//   - leader, other: alternatives between which the lead is measured
//   - standing: alternatives that may take the lead
//
// An input is of one alternative, and moves alone. Share counts half the difference of both ends as what
// one input does. Result [1], the largest share first. Definition.
func (p *Problem) Matters(weights []float64, leader, other int, standing []int) []Matter {
	shares := Shares(weights)
	scores := p.Scores(weights)
	total := func(values []float64) float64 {
		sum := 0.0
		for k, s := range shares {
			if s > 0 {
				sum += s * p.worthOf(k, values)
			}
		}
		return sum
	}
	var out []Matter
	all := 0.0
	for _, i := range standing {
		a := &p.Alternatives[i]
		for _, d := range a.Doubts {
			m := Matter{Key: d.Key, Name: d.Name, Alternative: i}
			sign := 0.0
			switch i {
			case leader:
				sign = 1
			case other:
				sign = -1
			}
			at := func(z float64) float64 { return total(between(a.Values, d, z)) - scores[i].Total }
			m.Low, m.High = sign*at(-1), sign*at(1)
			m.Share = math.Pow((m.High-m.Low)/2, 2)
			all += m.Share
			m.Flips = p.inputFlip(i, leader, standing, scores, at)
			if m.Share > 0 || m.Flips != nil {
				out = append(out, m)
			}
		}
	}
	if all > 0 {
		for i := range out {
			out[i].Share /= all
		}
	}
	slices.SortStableFunc(out, func(a, b Matter) int {
		return cmp.Or(cmp.Compare(b.Share, a.Share), cmp.Compare(a.Key, b.Key), cmp.Compare(a.Alternative, b.Alternative))
	})
	return out
}

// between returns values with one doubtful input somewhere between its ends.
func between(values []float64, d Doubt, z float64) []float64 {
	out := make([]float64, len(values))
	for c, v := range values {
		a, b := bend(v, d.Low[c], d.High[c])
		out[c] = v + z*(a+z*b)
	}
	return out
}

// inputFlip returns the nearest place at which an input of alternative i changes who leads.
func (p *Problem) inputFlip(i, leader int, standing []int, scores []Score, change func(z float64) float64) *InputFlip {
	// lead is that of the leader over the best of the others, with i changed by so much.
	lead := func(by float64) (float64, int) {
		best, who := math.Inf(-1), -1
		for _, j := range standing {
			t := scores[j].Total
			if j == i {
				t += by
			}
			if j != leader && t > best {
				best, who = t, j
			}
		}
		t := scores[leader].Total
		if i == leader {
			t += by
		}
		return t - best, who
	}
	if d, who := lead(0); who < 0 || d < -same {
		return nil
	}
	const steps = 64 // the worth of a value bends in few places
	var found *InputFlip
	for _, way := range []float64{-1, 1} {
		for n := 1; n <= steps; n++ {
			z := way * float64(n) / steps
			d, who := lead(change(z))
			if d >= 0 {
				continue
			}
			in, out := way*float64(n-1)/steps, z
			for range 40 {
				mid := (in + out) / 2
				if d, w := lead(change(mid)); d < 0 {
					out, who = mid, w
				} else {
					in = mid
				}
			}
			if found == nil || math.Abs(out) < math.Abs(found.At) {
				found = &InputFlip{out, who}
			}
			break
		}
	}
	return found
}

// Reach returns where doubts leave nearly all of each value: the effects of the doubts, at their ends,
// joined as independent ones are.
//
//	low = v − √Σ down², high = v + √Σ up²
//
// Result: low and high of each criterion, in its unit [1]. Definition.
func (a *Alternative) Reach() (low, high []float64) {
	low, high = slices.Clone(a.Values), slices.Clone(a.Values)
	for c, v := range a.Values {
		down, up := 0.0, 0.0
		for _, d := range a.Doubts {
			least, most := min(d.Low[c], d.High[c], v), max(d.Low[c], d.High[c], v)
			down, up = math.Hypot(down, v-least), math.Hypot(up, most-v)
		}
		low[c], high[c] = v-down, v+up
	}
	return low, high
}
