package search

import (
	"fmt"
	"math"
	"math/big"

	"crankwright/num"
)

// Twins says which phasings of a crank count as the same one. Turned as a whole, a crank is always the same crank.
type Twins struct {
	Mirror   bool // every angle negated: the mirror image
	Reversal bool // the sequence of throws reversed: the engine end for end
	Both     bool // mirrored and reversed; always true where Mirror and Reversal are
}

// operations lists those other than the identity.
func (t Twins) operations() []func([]int) {
	var list []func([]int)
	if t.Mirror {
		list = append(list, negate)
	}
	if t.Reversal {
		list = append(list, reverse)
	}
	if t.Both || t.Mirror && t.Reversal {
		list = append(list, func(a []int) { negate(a); reverse(a) })
	}
	return list
}

func negate(a []int) {
	for i := range a {
		a[i] = -a[i]
	}
}

func reverse(a []int) {
	for i, j := 0, len(a)-1; i < j; i, j = i+1, j-1 {
		a[i], a[j] = a[j], a[i]
	}
}

// MostPhasings is how many phasings are gone through one by one at most, before symmetric twins are taken together.
const MostPhasings = 1 << 26

// Phasings are the distinct ways to set the throws of a crank in steps of a turn.
type Phasings struct {
	Throws int
	Steps  int // in a turn
	Twins  Twins
	ranks  []uint32 // of the representatives: throws 2, 3, … as digits to the base Steps, throw 1 stands at 0
}

// NewPhasings lists every phasing of which no earlier one is a twin: of every class of twins the one whose angles,
// counted from the first throw, come first in the sequence of numbers.
//
//   - throws: at least 1
//   - steps: in a turn, at least 1; a step is 360°/steps
//
// Error: more than MostPhasings with the first throw at 0.
func NewPhasings(throws, steps int, twins Twins) (*Phasings, error) {
	if throws < 1 || steps < 1 {
		return nil, fmt.Errorf("phasings need throws and steps, there are %d and %d", throws, steps)
	}
	if float64(throws-1)*math.Log2(float64(steps)) > math.Log2(MostPhasings)+1e-9 {
		return nil, fmt.Errorf("%d throws in steps of %s deg have more than %d phasings; take a coarser step", throws, num.Digits(360/float64(steps), 6), MostPhasings)
	}
	p := &Phasings{Throws: throws, Steps: steps, Twins: twins}
	operations := twins.operations()
	a, b := make([]int, throws), make([]int, throws)
	for rank := uint32(0); ; rank++ {
		if p.first(a, b, operations) {
			p.ranks = append(p.ranks, rank)
		}
		k := throws - 1
		for ; k > 0; k-- {
			if a[k]++; a[k] < steps {
				break
			}
			a[k] = 0
		}
		if k <= 0 {
			return p, nil
		}
	}
}

// first tells whether no twin of a comes before it; b is room for one.
func (p *Phasings) first(a, b []int, operations []func([]int)) bool {
	for _, do := range operations {
		copy(b, a)
		do(b)
		zero := b[0]
		for i := range b {
			d := (b[i] - zero) % p.Steps
			if d < 0 {
				d += p.Steps
			}
			if d != a[i] {
				if d < a[i] {
					return false
				}
				break
			}
		}
	}
	return true
}

// Len returns how many distinct phasings there are.
func (p *Phasings) Len() int { return len(p.ranks) }

// At returns a phasing as steps of each throw, the first at 0.
func (p *Phasings) At(dst []int, i int) []int {
	dst = append(dst[:0], make([]int, p.Throws)...)
	rank := p.ranks[i]
	for k := p.Throws - 1; k > 0; k-- {
		dst[k] = int(rank % uint32(p.Steps))
		rank /= uint32(p.Steps)
	}
	return dst
}

// Degrees returns a phasing as angles.
func (p *Phasings) Degrees(i int) []float64 {
	steps := p.At(nil, i)
	out := make([]float64, len(steps))
	for k, s := range steps {
		out[k] = 360 * float64(s) / float64(p.Steps)
	}
	return out
}

// CountPhasings returns the number of distinct phasings without listing any, by Burnside's lemma: the mean, over all
// symmetries, of how many phasings a symmetry leaves as they are.
//
// With m steps in a turn and N throws, summed over the m turns c that go with each:
//
//	turn alone            a + c = a               m^N
//	mirror                c − a_j = a_j           m (m odd);  m/2 · 2^N (m even)
//	reversal              a_{N−1−j} + c = a_j     m^{N/2} (N even, m odd);  2 m^{N/2} (N even, m even);  m^{(N+1)/2} (N odd)
//	mirror and reversal   c − a_{N−1−j} = a_j     m · m^{N/2} (N even);  m^{(N−1)/2} · m (N odd)
//
// Source: Burnside's lemma (Cauchy and Frobenius), a standard theorem, from memory.
func CountPhasings(throws, steps int, twins Twins) *big.Int {
	n, m := int64(throws), int64(steps)
	power := func(base, e int64) *big.Int { return new(big.Int).Exp(big.NewInt(base), big.NewInt(e), nil) }
	sum, symmetries := power(m, n), int64(1)
	if twins.Mirror {
		symmetries++
		if m%2 == 1 {
			sum.Add(sum, big.NewInt(m))
		} else {
			sum.Add(sum, new(big.Int).Mul(big.NewInt(m/2), power(2, n)))
		}
	}
	if twins.Reversal {
		symmetries++
		fixed := power(m, (n+1)/2)
		if n%2 == 0 && m%2 == 0 {
			fixed.Mul(fixed, big.NewInt(2))
		}
		sum.Add(sum, fixed)
	}
	if twins.Both || twins.Mirror && twins.Reversal {
		symmetries++
		sum.Add(sum, new(big.Int).Mul(big.NewInt(m), power(m, n/2)))
	}
	return sum.Div(sum, big.NewInt(m*symmetries))
}
