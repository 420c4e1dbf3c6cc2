package choice

import (
	"cmp"
	"math/rand/v2"
	"slices"
)

// sampler draws weights and values. It stands in a sequence of its own, by name and values, so that the
// sequence of the alternatives changes nothing.
type sampler struct {
	p       *Problem
	any     bool        // over all weights that there are
	seq     []int       // alternatives by name and values
	counted []int       // criteria whose values decide anything
	column  []int       // place in counted of each criterion, or −1
	shares  [][]float64 // by aim and part: the part's share of the aim
	doubts  [][]effect  // by alternative
	keys    int         // different keys of doubts
	commonW float64     // weight of the common part of an error
	ownW    float64
}

// effect is what a doubt does to the values that count.
type effect struct {
	key   int
	steps []step
}

// step is how one value that counts changes: by a z + b z², where z runs from −1 at the low end to 1.
type step struct {
	at   int // place in counted
	a, b float64
}

func newSampler(p *Problem, opt Options) *sampler {
	s := &sampler{p: p, any: opt.AnyWeights, counted: p.counted(), column: make([]int, len(p.Criteria))}
	common := opt.Common
	if common == 0 {
		common = usualCommon
	}
	s.commonW, s.ownW = mixed(common)
	for i := range s.column {
		s.column[i] = -1
	}
	for n, i := range s.counted {
		s.column[i] = n
	}
	for _, a := range p.Aims {
		sum := 0.0
		for _, part := range a.Parts {
			sum += part.Share
		}
		row := make([]float64, len(a.Parts))
		for j, part := range a.Parts {
			row[j] = part.Share / sum
		}
		s.shares = append(s.shares, row)
	}
	s.seq = make([]int, len(p.Alternatives))
	for i := range s.seq {
		s.seq[i] = i
	}
	slices.SortStableFunc(s.seq, func(a, b int) int {
		x, y := &p.Alternatives[a], &p.Alternatives[b]
		return cmp.Or(cmp.Compare(x.Name, y.Name), slices.Compare(x.Values, y.Values))
	})
	s.effects()
	return s
}

// counted returns the criteria whose values decide anything: those of aims and of limits.
func (p *Problem) counted() []int {
	out := p.used()
	for _, l := range p.Limits {
		if !slices.Contains(out, l.Criterion) {
			out = append(out, l.Criterion)
		}
	}
	slices.Sort(out)
	return out
}

// effects finds what the doubts of every alternative do.
func (s *sampler) effects() {
	var names []string
	for _, a := range s.p.Alternatives {
		for _, d := range a.Doubts {
			names = append(names, d.Key)
		}
	}
	slices.Sort(names)
	names = slices.Compact(names)
	s.keys = len(names)
	s.doubts = make([][]effect, len(s.p.Alternatives))
	for i, a := range s.p.Alternatives {
		for _, d := range a.Doubts {
			key, _ := slices.BinarySearch(names, d.Key)
			if steps := s.steps(a.Values, d); len(steps) > 0 {
				s.doubts[i] = append(s.doubts[i], effect{key, steps})
			}
		}
		slices.SortStableFunc(s.doubts[i], func(a, b effect) int { return cmp.Compare(a.key, b.key) })
	}
}

// steps finds how the values that count change with one doubt; none where it changes none of them.
func (s *sampler) steps(values []float64, d Doubt) []step {
	var out []step
	for n, i := range s.counted {
		if a, b := bend(values[i], d.Low[i], d.High[i]); a != 0 || b != 0 {
			out = append(out, step{n, a, b})
		}
	}
	return out
}

// bend returns the parabola v + a z + b z² that is low at −1 and high at 1.
func bend(v, low, high float64) (a, b float64) { return (high - low) / 2, (high+low)/2 - v }

// doubtful tells whether any value that counts is doubtful.
func (s *sampler) doubtful() bool {
	return slices.ContainsFunc(s.doubts, func(d []effect) bool { return len(d) > 0 })
}

// drawn is one draw, and the room that it needs.
type drawn struct {
	rng    *rand.Rand
	shares []float64   // weights, as shares of 1
	values [][]float64 // by alternative, of the criteria that count
	worths [][]float64 // by alternative and aim
	common []float64   // error of each key, standard normal
}

// begin makes room for the draws of one stream.
func (s *sampler) begin(seed, stream uint64) *drawn {
	n := len(s.p.Alternatives)
	d := &drawn{
		rng:    rand.New(rand.NewPCG(seed, stream)), //nolint:gosec // drawn for a picture of doubt, not for a secret; the same seed must give the same picture
		shares: make([]float64, len(s.p.Aims)), values: make([][]float64, n), worths: make([][]float64, n),
		common: make([]float64, s.keys),
	}
	for i := range n {
		d.values[i] = make([]float64, len(s.counted))
		d.worths[i] = make([]float64, len(s.p.Aims))
		for n, c := range s.counted {
			d.values[i][n] = s.p.Alternatives[i].Values[c]
		}
		s.value(d, i)
	}
	return d
}

// weights draws a set of weights: uniform within the ranges, or uniform over all that there are.
func (s *sampler) weights(d *drawn) {
	sum := 0.0
	for k := range d.shares {
		if s.any {
			d.shares[k] = 0
			if s.p.Aims[k].Weight.High > 0 {
				d.shares[k] = d.rng.ExpFloat64() // normalised, these are uniform on the simplex
			}
		} else {
			r := s.p.Aims[k].Weight
			d.shares[k] = r.Low + (r.High-r.Low)*d.rng.Float64()
		}
		sum += d.shares[k]
	}
	if sum > 0 {
		for k := range d.shares {
			d.shares[k] /= sum
		}
	}
}

// vary draws the values that are doubtful, and what they are worth.
func (s *sampler) vary(d *drawn) {
	for k := range d.common {
		d.common[k] = d.rng.NormFloat64()
	}
	for _, i := range s.seq {
		if len(s.doubts[i]) == 0 {
			continue
		}
		a, v := &s.p.Alternatives[i], d.values[i]
		for n, c := range s.counted {
			v[n] = a.Values[c]
		}
		for _, e := range s.doubts[i] {
			z := s.commonW*d.common[e.key] + s.ownW*d.rng.NormFloat64()
			z = min(max(z, -1), 1)
			for _, t := range e.steps {
				v[t.at] += z * (t.a + z*t.b)
			}
		}
		s.value(d, i)
	}
}

// value finds what the values of one alternative are worth.
func (s *sampler) value(d *drawn, i int) {
	v := d.values[i]
	for k := range s.p.Aims {
		sum := 0.0
		for j, part := range s.p.Aims[k].Parts {
			if n := s.column[part.Criterion]; n >= 0 {
				sum += s.shares[k][j] * s.p.Criteria[part.Criterion].Worth.Of(v[n])
			}
		}
		d.worths[i][k] = sum
	}
}
