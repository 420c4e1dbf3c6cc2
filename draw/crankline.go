package draw

import (
	"math"
	"slices"

	"crankwright/mechanics/layout"
)

// stretch is a part of the crank along its axis [m].
type stretch struct {
	from, to float64
	throws   []int // a pin: its throw; a web: the pins it joins; a main journal: none
}

// crankLine is the crank cut into its parts along the axis.
type crankLine struct {
	mains, webs, pins []stretch
	from, to          float64
}

// crankLineOf lays main journals, webs and pins along the crank. Throws of one pair stand between two
// main journals. Widths shrink where the places of the throws leave less room, for a drawing must
// not overlap.
func crankLineOf(t *layout.Train, z sizes) crankLine {
	sets := throwSets(t)
	fit := math.Inf(1) // the most crowded gap decides for all
	half := func(i int) float64 { return pinWidth(t, z, i) / 2 }
	for i := 1; i < len(sets); i++ {
		a, b := sets[i-1][len(sets[i-1])-1], sets[i][0]
		gap := t.Throws[b].At - t.Throws[a].At
		fit = math.Min(fit, gap/(half(a)+half(b)+2*z.webThickness+z.mainWidth))
	}
	for _, set := range sets {
		for i := 1; i < len(set); i++ {
			gap := t.Throws[set[i]].At - t.Throws[set[i-1]].At
			fit = math.Min(fit, gap/(half(set[i-1])+half(set[i])+0.25*z.webThickness))
		}
	}
	f := math.Max(0.02, math.Min(1, fit))
	web, main := f*z.webThickness, f*z.mainWidth
	var c crankLine
	before := math.NaN()
	for _, set := range sets {
		first, last := set[0], set[len(set)-1]
		left, right := t.Throws[first].At-f*half(first), t.Throws[last].At+f*half(last)
		if math.IsNaN(before) {
			before = left - web - main
			c.from = before
		}
		c.mains = append(c.mains, stretch{from: before, to: left - web})
		c.webs = append(c.webs, stretch{left - web, left, []int{first}})
		for i, k := range set {
			x := t.Throws[k].At
			c.pins = append(c.pins, stretch{x - f*half(k), x + f*half(k), []int{k}})
			if i > 0 {
				c.webs = append(c.webs, stretch{t.Throws[set[i-1]].At + f*half(set[i-1]), x - f*half(k), []int{set[i-1], k}})
			}
		}
		c.webs = append(c.webs, stretch{right, right + web, []int{last}})
		before = right + web
	}
	c.to = before + main
	c.mains = append(c.mains, stretch{from: before, to: c.to})
	return c
}

// throwSets gathers the throws that stand between two main journals, along the crank.
func throwSets(t *layout.Train) [][]int {
	order := make([]int, len(t.Throws))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return compare(t.Throws[a].At, t.Throws[b].At) })
	var sets [][]int
	for n, i := range order {
		if n > 0 && t.Throws[i].Pair == t.Throws[order[n-1]].Pair {
			sets[len(sets)-1] = append(sets[len(sets)-1], i)
			continue
		}
		sets = append(sets, []int{i})
	}
	return sets
}

// pinWidth is how long a crankpin is drawn: for all rods that stand on it [m].
func pinWidth(t *layout.Train, z sizes, throw int) float64 {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, c := range t.Cylinders {
		if c.Throw == throw {
			lo, hi = math.Min(lo, c.At), math.Max(hi, c.At)
		}
	}
	if hi > lo {
		return math.Max(z.pinWidth, hi-lo+z.rodWidth)
	}
	return z.pinWidth
}
