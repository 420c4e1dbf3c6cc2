package choice

import "math"

// same is how near two numbers are when they count as equal: values relative to the larger, what is worth between 0 and 1 on
// that scale, weights in points.
const same = 1e-9

// Dominates tells whether one row of values is at least as good as another on everything and better on
// something.
//
//   - a, b: values, each in the unit of its criterion
//   - better: for each, −1 where less is better, +1 where more is better; others are not looked at
//
// Values that differ by less than a part in 10⁹ are equal [1]. Definition.
func Dominates(a, b []float64, better []int) bool {
	ahead := false
	for i, way := range better {
		if way == 0 {
			continue
		}
		d := (a[i] - b[i]) * float64(way)
		near := same * math.Max(math.Abs(a[i]), math.Abs(b[i]))
		if d < -near {
			return false
		}
		ahead = ahead || d > near
	}
	return ahead
}

// ways returns the directions of the criteria that aims with any weight use, 0 for all others.
func (p *Problem) ways() []int {
	out := make([]int, len(p.Criteria))
	for _, i := range p.used() {
		out[i] = p.Criteria[i].Better
	}
	return out
}

// dominators lists for each alternative of some those that dominate it.
func (p *Problem) dominators(some []int) [][]int {
	ways := p.ways()
	out := make([][]int, len(p.Alternatives))
	for _, i := range some {
		for _, j := range some {
			if Dominates(p.Alternatives[j].Values, p.Alternatives[i].Values, ways) {
				out[i] = append(out[i], j)
			}
		}
	}
	return out
}

// Keeping returns the alternatives that keep every limit, in their sequence [1]. Definition.
func (p *Problem) Keeping() []int {
	out := []int{}
	for i, a := range p.Alternatives {
		keeps := true
		for _, l := range p.Limits {
			keeps = keeps && l.holds(a.Values[l.Criterion])
		}
		if keeps {
			out = append(out, i)
		}
	}
	return out
}
