package firing

import (
	"math"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// grid is the pattern of top dead centres within one revolution that fires evenly: slots at equal
// spacing, each with the same number of cylinders.
type grid struct {
	slots    int
	capacity int // cylinders in each slot
}

// newGrid returns the pattern of n cylinders. In a four-stroke cycle an even number of cylinders
// stands in n/2 slots, two in each, one revolution apart; an odd number, or a two-stroke cycle, in
// n slots.
func newGrid(n int, cycle layout.Cycle) grid {
	if cycle == layout.FourStroke && n%2 == 0 {
		return grid{slots: n / 2, capacity: 2}
	}
	return grid{slots: n, capacity: 1}
}

// spacing returns the angle between slots [rad].
func (g grid) spacing() num.Angle { return num.Turn / num.Angle(g.slots) }

// slot returns the slot nearest to an angle counted from slot 0, and how far off it lies.
func (g grid) slot(a num.Angle) (slot int, off num.Angle) {
	k := math.Round(float64(a / g.spacing()))
	off = a - num.Angle(k)*g.spacing()
	return ((int(k) % g.slots) + g.slots) % g.slots, off
}

// holds says whether the top dead centres fill the grid, wherever it begins, each to within half
// of EvenTolerance.
func (g grid) holds(tdc []num.Angle) bool {
	count := make([]int, g.slots)
	least, most := num.Angle(0), num.Angle(0)
	for _, a := range tdc {
		k, off := g.slot(a - tdc[0])
		count[k]++
		least, most = min(least, off), max(most, off)
	}
	if most-least > EvenTolerance {
		return false
	}
	for _, n := range count {
		if n != g.capacity {
			return false
		}
	}
	return true
}
