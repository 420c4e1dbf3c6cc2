package balance

import (
	"math"
	"math/rand/v2"
	"slices"

	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
)

// places is the assignment as a problem of vectors: a part in a place is a vector, the residual is their
// sum with what is fixed, and its length squared is to be least.
type places struct {
	n     int
	fixed []float64
	sides []side // pistons, rods, or both
	kinds []bool // whether a side is the rods
}

// side is one kind of part: side[c][p] is the vector of part p in cylinder c.
type side [][][]float64

// chosen is one permutation for each side: the part of each cylinder.
type chosen [][]int

func (c chosen) clone() chosen {
	out := make(chosen, len(c))
	for i := range c {
		out[i] = slices.Clone(c[i])
	}
	return out
}

// newPlaces makes the vectors, weighted so that the measure is the plain sum of squares. It also returns
// the measure of the train as it is.
func newPlaces(t *layout.Train, pistons []WeighedPiston, rods []WeighedRod, m MatchMeasure) (*places, float64, error) {
	p := &places{n: len(t.Cylinders)}
	var s inertia.Solver
	atPin, atPiston := make([][]float64, p.n), make([][]float64, p.n)
	rest := *t
	rest.Rotation = layout.Anticlockwise
	force, moment := math.Sqrt(m.Force), math.Sqrt(m.Moment)/m.Length
	vector := func(dst []float64, at float64, with, against complex128) []float64 {
		arm := at - t.Reference
		return append(dst,
			force*real(with), force*imag(with), force*real(against), force*imag(against),
			moment*arm*real(with), moment*arm*imag(with), moment*arm*real(against), moment*arm*imag(against))
	}
	for _, k := range m.Orders {
		piston, pin, err := unitShares(&s, t, k)
		if err != nil {
			return nil, 0, err
		}
		for c := range p.n {
			at := t.Cylinders[c].At
			atPiston[c] = vector(atPiston[c], at, piston[c][0], piston[c][1])
			atPin[c] = vector(atPin[c], at, pin[c][0], pin[c][1])
		}
		parts, err := s.Contributions(&rest, k, inertia.Options{})
		if err != nil {
			return nil, 0, err
		}
		sum := make([]float64, 8)
		for _, q := range parts {
			if q.Kind != inertia.FromCylinder {
				accumulate(sum, vector(nil, q.At, q.With, q.Against), 1)
			}
		}
		p.fixed = append(p.fixed, sum...)
	}
	whole := slices.Clone(p.fixed)
	for c := range t.Cylinders {
		y := &t.Cylinders[c]
		small, big := inertia.ReciprocatingShare(y.Rod), inertia.RotatingShare(y.Rod)
		accumulate(whole, atPiston[c], y.Piston.Mass+small)
		accumulate(whole, atPin[c], big)
		if pistons == nil {
			accumulate(p.fixed, atPiston[c], y.Piston.Mass)
		}
		if rods == nil {
			accumulate(p.fixed, atPiston[c], small)
			accumulate(p.fixed, atPin[c], big)
		}
	}
	drawn := squareOf(whole)
	if m.FromDrawn {
		accumulate(p.fixed, whole, -1)
		drawn = 0
	}
	add := func(isRods bool, count int, small, big func(i int) float64) {
		if count == 0 {
			return
		}
		v := make(side, p.n)
		for c := range v {
			v[c] = make([][]float64, count)
			for i := range v[c] {
				v[c][i] = make([]float64, len(p.fixed))
				accumulate(v[c][i], atPiston[c], small(i))
				accumulate(v[c][i], atPin[c], big(i))
			}
		}
		p.sides, p.kinds = append(p.sides, v), append(p.kinds, isRods)
	}
	add(false, len(pistons), func(i int) float64 { return pistons[i].Mass }, func(int) float64 { return 0 })
	add(true, len(rods), func(i int) float64 { return rods[i].SmallEnd }, func(i int) float64 { return rods[i].BigEnd })
	return p, drawn, nil
}

func accumulate(dst, v []float64, f float64) {
	for i, x := range v {
		dst[i] += f * x
	}
}

func squareOf(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x * x
	}
	return sum
}

// inOrder is the assignment of the parts as listed.
func (p *places) inOrder() chosen {
	c := make(chosen, len(p.sides))
	for s := range c {
		for i := range p.n {
			c[s] = append(c[s], i)
		}
	}
	return c
}

// residual is the vector that an assignment leaves.
func (p *places) residual(dst []float64, c chosen) []float64 {
	dst = append(dst[:0], p.fixed...)
	for s, parts := range c {
		for at, part := range parts {
			accumulate(dst, p.sides[s][at][part], 1)
		}
	}
	return dst
}

func (p *places) assignment(c chosen) Assignment {
	a := Assignment{J: squareOf(p.residual(nil, c))}
	for s, isRods := range p.kinds {
		if isRods {
			a.Rods = slices.Clone(c[s])
		} else {
			a.Pistons = slices.Clone(c[s])
		}
	}
	return a
}

// meanOfAll is the root of the mean of J over all assignments. The sums of two sides are independent,
// and the variance of a sum Σ_c v[c][π(c)] over all permutations π is that of the doubly centred v,
//
//	E = ‖mean‖² + Σ_sides 1/(n−1) Σ_c Σ_p ‖ v[c][p] − v̄[c] − v̄[p] + v̄ ‖²
//
// (Hoeffding's law of permuted sums, from memory; tested against every permutation).
func (p *places) meanOfAll() float64 {
	mean := slices.Clone(p.fixed)
	variance := 0.0
	n := float64(p.n)
	for _, v := range p.sides {
		byPlace, byPart := make([][]float64, p.n), make([][]float64, p.n)
		total := make([]float64, len(mean))
		for i := range p.n {
			byPlace[i], byPart[i] = make([]float64, len(mean)), make([]float64, len(mean))
		}
		for c := range v {
			for q := range v[c] {
				accumulate(byPlace[c], v[c][q], 1/n)
				accumulate(byPart[q], v[c][q], 1/n)
				accumulate(total, v[c][q], 1/(n*n))
			}
		}
		accumulate(mean, total, n)
		if p.n == 1 {
			continue
		}
		for c := range v {
			for q := range v[c] {
				d := slices.Clone(v[c][q])
				accumulate(d, byPlace[c], -1)
				accumulate(d, byPart[q], -1)
				accumulate(d, total, 1)
				variance += squareOf(d) / (n - 1)
			}
		}
	}
	return math.Sqrt(squareOf(mean) + variance)
}

// shuffle makes an assignment random.
func (c chosen) shuffle(random *rand.Rand) {
	for _, parts := range c {
		random.Shuffle(len(parts), func(i, j int) { parts[i], parts[j] = parts[j], parts[i] })
	}
}

// drawn is the distribution of the measure over random assignments.
func (p *places) drawn(random *rand.Rand, samples int) Scatter {
	values := make([]float64, samples)
	c := p.inOrder()
	var v []float64
	for i := range values {
		c.shuffle(random)
		v = p.residual(v, c)
		values[i] = math.Sqrt(squareOf(v))
	}
	return scatterOf(values)
}

// searched goes from several starting points down to assignments that no exchange of two parts improves, and
// returns the best of them. The first start is the given one.
func (p *places) searched(start chosen, random *rand.Rand, restarts int) chosen {
	best, least := start, squareOf(p.residual(nil, start))
	c := start.clone()
	for i := range restarts {
		if i > 0 {
			c.shuffle(random)
		}
		if j := p.descend(c); j < least*(1-matchRounding) {
			best, least = c.clone(), j
		}
	}
	return best
}

// descend exchanges two parts as long as that makes the residual smaller by more than rounding.
func (p *places) descend(c chosen) float64 {
	r := p.residual(nil, c)
	now := squareOf(r)
	trial := make([]float64, len(r))
	for better := true; better; {
		better = false
		for s, parts := range c {
			v := p.sides[s]
			for a := range parts {
				for b := range a {
					x, y := parts[a], parts[b]
					after := 0.0
					for i := range r {
						trial[i] = r[i] - v[a][x][i] - v[b][y][i] + v[a][y][i] + v[b][x][i]
						after += trial[i] * trial[i]
					}
					if after < now*(1-matchRounding) {
						parts[a], parts[b] = y, x
						copy(r, trial)
						now, better = after, true
					}
				}
			}
		}
	}
	return squareOf(p.residual(nil, c))
}
