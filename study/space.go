package study

import (
	"fmt"
	"math/bits"
	"slices"
)

// MostCandidates is the largest size of a space [1]: numbers stay exact as float64. Definition.
const MostCandidates = 1 << 53

// Axis is one thing that varies.
type Axis struct {
	Key     string // such as layout.bank_angle
	Count   int    // of its values, at least 1
	Ordered bool   // neighbouring values are alike: steps of an angle, not names; a search may then go step by step
}

// Block is a part of a space in which every value of an axis goes with every value of the others.
type Block struct {
	Name string // empty where there is one block only
	Axes []Axis // the first varies slowest
}

// Space is all that a study looks at: block after block.
type Space struct{ Blocks []Block }

// Size returns the number of candidates of a block.
//
// Result [1]. Error: more than MostCandidates, or an axis without values. Definition.
func (b Block) Size() (uint64, error) {
	n := uint64(1)
	for _, a := range b.Axes {
		if a.Count < 1 {
			return 0, fmt.Errorf("%s has no values", a.Key)
		}
		high, low := bits.Mul64(n, uint64(a.Count))
		if high != 0 || low > MostCandidates {
			return 0, fmt.Errorf("there are more than %d candidates, so they cannot be numbered", uint64(MostCandidates))
		}
		n = low
	}
	return n, nil
}

// Size returns the number of candidates.
//
// Result [1]. Errors as of Block.Size. Definition.
func (s Space) Size() (uint64, error) {
	n := uint64(0)
	for _, b := range s.Blocks {
		m, err := b.Size()
		if err != nil {
			return 0, err
		}
		if n += m; n > MostCandidates {
			return 0, fmt.Errorf("there are more than %d candidates, so they cannot be numbered", uint64(MostCandidates))
		}
	}
	return n, nil
}

// At returns the block of a candidate and the index of its value on every axis of that block.
//
//   - dst: used for the digits where it has room; may be nil
//   - i: number of the candidate [1], below Size
//
// Result [1]; block −1 where there is no such candidate. Definition.
func (s Space) At(dst []int, i uint64) (block int, digits []int) {
	for k, b := range s.Blocks {
		n, err := b.Size()
		if err != nil {
			return -1, nil
		}
		if i >= n {
			i -= n
			continue
		}
		digits = slices.Grow(dst[:0], len(b.Axes))[:len(b.Axes)]
		for a := len(b.Axes) - 1; a >= 0; a-- {
			c := uint64(b.Axes[a].Count)
			digits[a] = int(i % c)
			i /= c
		}
		return k, digits
	}
	return -1, nil
}

// Index returns the number of a candidate.
//
//   - block, digits: as At returns them [1]
//
// Result [1]; MostCandidates, which is the number of none, where there is no such block or value. Definition.
func (s Space) Index(block int, digits []int) uint64 {
	if block < 0 || block >= len(s.Blocks) || len(digits) != len(s.Blocks[block].Axes) {
		return MostCandidates
	}
	n := uint64(0)
	for _, b := range s.Blocks[:block] {
		m, err := b.Size()
		if err != nil {
			return MostCandidates
		}
		n += m
	}
	return min(n+s.Blocks[block].index(digits), MostCandidates)
}

// index returns the number of a candidate within its block, MostCandidates where there is no such value.
func (b Block) index(digits []int) uint64 {
	i := uint64(0)
	for a, d := range digits {
		count := b.Axes[a].Count
		if d < 0 || d >= count || i > MostCandidates {
			return MostCandidates
		}
		high, low := bits.Mul64(i, uint64(count))
		if high != 0 {
			return MostCandidates
		}
		i = low + uint64(d)
	}
	return min(i, MostCandidates)
}
