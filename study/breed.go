package study

import "slices"

// How children differ from their parents. The figures are those with which the problems of the tests need the fewest
// candidates, of a few that were tried.
const (
	mixed     = 0.5  // of the children are of two parents
	elsewhere = 0.05 // of the mutations go to another block
	exchanged = 0.3  // of the mutations exchange the values of two axes, where these have equally many, such as two pins
	anywhere  = 0.5  // of the new values of an ordered axis may be any, the others are near the old one
	further   = 0.5  // of those near it are one step further, and again
	attempts  = 30   // to make a candidate that was not asked yet of one child, by more mutations
)

// breed returns the next generation: the first at random, block by block, the others of the parents. Where the surroundings
// of the parents are known, chance fills the generation up.
func (e *Evolution) breed() []*member {
	var list []*member
	if len(e.parents) > 0 {
		for range 2 * e.size {
			if len(list) == e.size {
				return list
			}
			child := e.cross(e.pick(), e.pick())
			for range attempts {
				e.mutate(&child)
				if e.take(&list, child) {
					break
				}
			}
		}
	}
	for range 10 * e.size {
		if len(list) == e.size {
			return list
		}
		k := e.random.IntN(len(e.space.Blocks))
		e.take(&list, e.number(e.starts[k]+e.random.Uint64N(e.starts[k+1]-e.starts[k])))
	}
	total := e.starts[len(e.space.Blocks)]
	at := e.random.Uint64N(total)
	for uint64(len(e.known)) < total && len(list) < e.size {
		e.take(&list, e.number(at))
		at = (at + 1) % total
	}
	return list
}

// number returns a candidate by its number.
func (e *Evolution) number(index uint64) member {
	block, digits := e.space.At(nil, index)
	return member{index: index, block: block, digits: digits}
}

// take adds a child to a generation unless it was asked before.
func (e *Evolution) take(list *[]*member, child member) bool {
	index := e.starts[child.block] + e.space.Blocks[child.block].index(child.digits)
	if _, ok := e.known[index]; ok {
		return false
	}
	e.known[index] = struct{}{}
	*list = append(*list, &member{index: index, block: child.block, digits: slices.Clone(child.digits)})
	return true
}

// pick returns the better of two parents that are drawn.
func (e *Evolution) pick() *member {
	a, b := e.parents[e.random.IntN(len(e.parents))], e.parents[e.random.IntN(len(e.parents))]
	if crowded(b, a) < 0 {
		return b
	}
	return a
}

// cross returns a child that has every digit from one of its parents, where they are of the same block.
func (e *Evolution) cross(a, b *member) member {
	child := member{block: a.block, digits: slices.Clone(a.digits)}
	if a.block != b.block || e.random.Float64() >= mixed {
		return child
	}
	for k := range child.digits {
		if e.random.IntN(2) == 0 {
			child.digits[k] = b.digits[k]
		}
	}
	return child
}

// mutate changes one digit of a child, and others by chance, so that one more changes on average; or it exchanges two
// digits, or goes to another block.
func (e *Evolution) mutate(child *member) {
	if len(e.space.Blocks) > 1 && e.random.Float64() < elsewhere {
		e.move(child)
		return
	}
	axes := e.space.Blocks[child.block].Axes
	vary := 0
	for _, a := range axes {
		if a.Count > 1 {
			vary++
		}
	}
	if vary == 0 {
		if len(e.space.Blocks) > 1 {
			e.move(child)
		}
		return
	}
	if e.random.Float64() < exchanged {
		a, b := e.random.IntN(len(axes)), e.random.IntN(len(axes))
		if axes[a].Count == axes[b].Count && child.digits[a] != child.digits[b] {
			child.digits[a], child.digits[b] = child.digits[b], child.digits[a]
			return
		}
	}
	one := e.random.IntN(vary)
	for k, a := range axes {
		if a.Count < 2 {
			continue
		}
		if one == 0 || e.random.IntN(vary) == 0 {
			child.digits[k] = e.other(a, child.digits[k])
		}
		one--
	}
}

// other returns another value of an axis of at least two.
func (e *Evolution) other(a Axis, digit int) int {
	if !a.Ordered || e.random.Float64() < anywhere {
		d := e.random.IntN(a.Count - 1)
		if d >= digit {
			d++
		}
		return d
	}
	step := 1
	for step < a.Count && e.random.Float64() < further {
		step++
	}
	up := e.random.IntN(2) == 0
	if up && digit == a.Count-1 || !up && digit == 0 {
		up = !up
	}
	if up {
		return min(digit+step, a.Count-1)
	}
	return max(digit-step, 0)
}

// move takes a child to another block, with the values of the axes that both have.
func (e *Evolution) move(child *member) {
	k := e.random.IntN(len(e.space.Blocks) - 1)
	if k >= child.block {
		k++
	}
	old := e.space.Blocks[child.block].Axes
	axes := e.space.Blocks[k].Axes
	digits := make([]int, len(axes))
	for i, a := range axes {
		digits[i] = e.random.IntN(a.Count)
		if at := slices.IndexFunc(old, func(b Axis) bool { return b.Key == a.Key }); at >= 0 && child.digits[at] < a.Count {
			digits[i] = child.digits[at]
		}
	}
	child.block, child.digits = k, digits
}
