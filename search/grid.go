package search

import (
	"slices"

	"crankwright/brief"
	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
)

// orders lists the whole orders that the figures of the fast path need.
func (p *Problem) orders() []int {
	var list []int
	for _, f := range p.figures {
		if n := orderOf(f.fast); n > 0 && !slices.Contains(list, n) {
			list = append(list, n)
		}
	}
	slices.Sort(list)
	return list
}

// speedOf returns the speed at which an engine of the study is looked at [rad/s].
func (p *Problem) speedOf(t *layout.Train) float64 {
	if p.Study.Speed > 0 {
		return p.Study.Speed
	}
	return t.Speeds.Rated
}

// designedDigits is how many digits of what they would be if nothing cancelled forces and moments have where counterweights or
// shafts are designed: the files have these to nine digits, and what that leaves must not tell candidates apart.
const designedDigits = 8

// setGrains finds by order the steps in a newton and a newton metre to which forces and moments are rounded: twelve digits of
// what they would be in the reference of a block if nothing cancelled, of the largest block. The steps are the same for every
// candidate; if each had steps of its own, two candidates that are equal would not be, and one would dominate the other.
func (p *Problem) setGrains() {
	digits := exact
	orders := append(p.orders(), 1) // the last for the figures that are no order
	most := make([][2]float64, len(orders))
	var solver inertia.Solver
	for _, b := range p.blocks {
		if b.dead != "" {
			continue
		}
		if slices.ContainsFunc(b.axes, func(a *axis) bool { return a.kind == policy }) {
			digits = designedDigits
		}
		k, err := newKernel(&solver, b.train, orders, make([]int, len(b.train.Throws)), 1, p.speedOf(b.train))
		if err != nil {
			continue // rebuild leaves out what cannot be computed
		}
		for o, s := range k.spreads {
			most[o][0], most[o][1] = max(most[o][0], s[0]), max(most[o][1], s[1])
		}
	}
	p.grains = nil
	for _, m := range most {
		p.grains = append(p.grains, [2]float64{grain(m[0], digits), grain(m[1], digits)})
	}
}

// settled rounds a figure of the analysis, so that candidates that are equal have the same, and one at a bound keeps it.
func (p *Problem) settled(f *figure, v float64) float64 {
	if v == 0 {
		return 0
	}
	return rounded(v, p.grainOf(f, v))
}

// grainOf returns the steps in a unit to which a figure of the analysis is rounded: forces and moments of an order like those of
// the fast path, others of inertia like those of order 1, everything else to twelve digits of itself.
func (p *Problem) grainOf(f *figure, v float64) float64 {
	if n := orderOf(f.fast); n > 0 {
		return p.grains[slices.Index(p.orders(), n)][kindOf(f.fast)]
	}
	if f.Needs == brief.Always {
		switch last := p.grains[len(p.grains)-1]; f.Unit {
		case "N":
			return last[0]
		case "N m":
			return last[1]
		}
	}
	return grain(v, exact)
}
