package study

import (
	"math"
	"slices"
)

// verdict is what becomes of a candidate that is held against a point or a set of points.
type verdict int

const (
	free      verdict = iota // neither dominated nor equalled
	dominated                // by a point
	equalled                 // by a point, in every aim
	dominates                // the point: of two that are compared only
)

// compare holds a candidate against a point, by their costs.
func compare(point, candidate []float64) verdict {
	better, worse := false, false // is the point, by some aim
	candidate = candidate[:len(point)]
	for k, p := range point {
		c := candidate[k]
		if p > c {
			if better {
				return free
			}
			worse = true
		} else if p < c {
			if worse {
				return free
			}
			better = true
		}
	}
	switch {
	case better:
		return dominated
	case worse:
		return dominates
	}
	return equalled
}

// noWorse says whether a is worse than b by no aim.
func noWorse(a, b []float64) bool {
	b = b[:len(a)]
	for k, v := range a {
		if v > b[k] {
			return false
		}
	}
	return true
}

// leafRoom is how many points a box holds before it is divided: the value that the source recommends.
const leafRoom = 20

// box is a node of the tree in which a front is kept, an ND-tree: a box in the space of the costs, around all points below
// it. Points that are close to each other are below the same box, so that one look at the corners of a box decides over all
// of them: where the worst corner is no worse than a candidate, each of the points dominates it; where the candidate is no
// worse than the best corner, it dominates all of them; where neither corner compares, none does.
// A box is not made smaller when points go; its corners then stand further out, and what they decide stays true.
//
// Source: NDTREE.
type box struct {
	best, worst []float64 // corners
	kids        []*box    // boxes within; none in a leaf
	slots       []int32   // points of a leaf
}

func newBox(cost []float64) *box {
	return &box{best: slices.Clone(cost), worst: slices.Clone(cost)}
}

func (b *box) empty() bool { return len(b.kids) == 0 && len(b.slots) == 0 }

// each calls do with every point of the box; a box may be nil.
func (b *box) each(do func(slot int32)) {
	if b == nil {
		return
	}
	for _, slot := range b.slots {
		do(slot)
	}
	for _, kid := range b.kids {
		kid.each(do)
	}
}

// any returns a point of a box that is not empty.
func (b *box) any() int32 {
	for len(b.kids) > 0 {
		b = b.kids[0]
	}
	return b.slots[0]
}

// visit holds the candidate of f.row against the points of a box that is not empty and drops those that it dominates; the
// box may be empty afterwards. Where a point is dropped, no other dominates or equals the candidate, since points of a
// front do not dominate each other.
func (f *Front) visit(b *box) (verdict, int32) {
	if noWorse(b.best, f.row) {
		if compare(b.worst, f.row) == dominated {
			return dominated, b.any()
		}
	} else if !noWorse(f.row, b.worst) {
		return free, 0
	}
	if compare(b.best, f.row) == dominates {
		b.each(f.drop)
		b.kids, b.slots = nil, nil
		return free, 0
	}
	if len(b.kids) == 0 {
		return f.visitLeaf(b)
	}
	gone := false
	for _, kid := range b.kids {
		v, slot := f.visit(kid)
		if v != free {
			return v, slot
		}
		gone = gone || kid.empty()
	}
	if gone {
		b.kids = slices.DeleteFunc(b.kids, (*box).empty)
		if len(b.kids) == 1 {
			*b = *b.kids[0]
		}
	}
	return free, 0
}

// visitLeaf does as visit with a box that has points and no boxes within.
func (f *Front) visitLeaf(b *box) (verdict, int32) {
	for i := 0; i < len(b.slots); {
		slot := b.slots[i]
		switch v := compare(f.at(slot), f.row); v {
		case dominated, equalled:
			return v, slot
		case dominates:
			f.drop(slot)
			last := len(b.slots) - 1
			b.slots[i] = b.slots[last]
			b.slots = b.slots[:last]
		default:
			i++
		}
	}
	return free, 0
}

// insert puts a point into a box, and from there into the box within whose middle is closest.
func (f *Front) insert(b *box, slot int32) {
	cost := f.at(slot)
	for {
		for k, c := range cost {
			b.best[k] = min(b.best[k], c)
			b.worst[k] = max(b.worst[k], c)
		}
		if len(b.kids) == 0 {
			break
		}
		near, least := b.kids[0], math.Inf(1)
		for _, kid := range b.kids {
			if d := b.away(cost, kid.best, kid.worst); d < least {
				near, least = kid, d
			}
		}
		b = near
	}
	if b.slots = append(b.slots, slot); len(b.slots) > leafRoom {
		f.divide(b)
	}
}

// divide makes boxes of a leaf: one more than there are aims, each around a point that is far from the others.
func (f *Front) divide(b *box) {
	slots := b.slots
	far := make([]float64, len(slots)) // sum of the distances to all points, then to the points chosen
	for i, s := range slots {
		for _, t := range slots {
			far[i] += b.away(f.at(s), f.at(t), f.at(t))
		}
	}
	b.slots = nil
	for n := range min(len(f.aims)+1, len(slots)) {
		next := 0
		for i := range slots {
			if far[i] > far[next] {
				next = i
			}
		}
		s := slots[next]
		slots = slices.Delete(slots, next, next+1)
		far = slices.Delete(far, next, next+1)
		if n == 0 {
			clear(far)
		}
		for i, t := range slots {
			far[i] += b.away(f.at(t), f.at(s), f.at(s))
		}
		kid := newBox(f.at(s))
		kid.slots = append(make([]int32, 0, leafRoom+1), s)
		b.kids = append(b.kids, kid)
	}
	for _, s := range slots {
		f.insert(b, s)
	}
}

// away returns the square of the distance of a cost from the middle between two corners, each aim in parts of the size of
// the box; it decides how fast the tree is, never what is in it.
func (b *box) away(cost, best, worst []float64) float64 {
	sum := 0.0
	for k, c := range cost {
		if span := b.worst[k] - b.best[k]; span > 0 {
			d := (c - best[k]/2 - worst[k]/2) / span
			sum += d * d
		}
	}
	return sum
}
