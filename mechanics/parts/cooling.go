package parts

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"crankwright/mechanics/bearing"
	"crankwright/mechanics/firing"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Cooled is how a cylinder is placed on the way of the coolant or the air.
type Cooled struct {
	Cylinder   int
	Stream     string   // the bank or row that it stands in
	Upstream   float64  // heat that its stream has taken up before it, over all heat of the stream [1]
	Neighbours []string // cylinders beside it in its bank
	Successive []string // of them, those that fire directly before or after it
	Score      float64  // [1]; more is hotter
	Why        string
}

// Flow is the way of the coolant or the air.
type Flow struct {
	Path   []string // from pump or fan to where it leaves
	Of     []Cooled // by cylinder
	Worst  int      // index into Of
	Rule   string
	Spread float64 // largest score less smallest [1]
}

// Weights of a hot neighbour, and of one that fires in direct succession [1]. Definition: a stated score.
const (
	NeighbourWeight  = 0.2
	SuccessionWeight = 0.2
)

// Flows says how coolant or air flows, and which cylinder is worst placed.
//
//	score = heat upstream + 0.2 · neighbours in the bank + 0.2 · neighbours that fire in succession with it
//
// with
//   - t: the train that was counted
//   - l: of Count
//   - m: of firing.Measure, for the successions
//
// Result [1]. Every cylinder gives the same heat. Coolant enters each bank at the free end and passes its bores in turn; air
// comes from the free end, along a bank, or through a star row by row. A blower that feeds every cylinder from the side, or
// coolant that is led to each bore, would leave the neighbours alone. Source: PRACTICE.
func Flows(t *layout.Train, l *List, m firing.Measures) Flow {
	f := Flow{Of: make([]Cooled, len(t.Cylinders))}
	succession := map[[2]int]bool{}
	for _, p := range m.Neighbours {
		succession[p], succession[[2]int{p[1], p[0]}] = true, true
	}
	f.Rule = fmt.Sprintf("heat taken up upstream, as a share of the stream's, plus %g for each neighbour in the bank and %g more where it fires directly before or after; every cylinder gives the same heat", NeighbourWeight, SuccessionWeight)
	byAir := l.Making.Cooling == layout.Air
	if byAir {
		f.Path = []string{"fan at the free end"}
	} else {
		f.Path = []string{"pump at the free end"}
	}
	rows := rowOf(t)
	lastRow := slices.Max(rows)
	sizes := make([]int, lastRow+1)
	for _, r := range rows {
		sizes[r]++
	}
	var streams []string
	for _, b := range l.Stand.Banks {
		name := b.Name
		var names []string
		for j, i := range b.Cylinders {
			names = append(names, t.Cylinders[i].Name)
			c := &f.Of[i]
			c.Cylinder, c.Stream = i, name
			c.Upstream = float64(j) / float64(len(b.Cylinders))
			if l.Stand.Star && byAir { // row by row, each abreast
				ahead := 0
				for _, n := range sizes[:rows[i]] {
					ahead += n
				}
				c.Stream, c.Upstream = "the star", float64(ahead)/float64(len(t.Cylinders))
			}
			for _, n := range []int{j - 1, j + 1} {
				if n < 0 || n >= len(b.Cylinders) {
					continue
				}
				other := b.Cylinders[n]
				c.Neighbours = append(c.Neighbours, t.Cylinders[other].Name)
				if succession[[2]int{i, other}] {
					c.Successive = append(c.Successive, t.Cylinders[other].Name)
				}
			}
			c.Score = c.Upstream + NeighbourWeight*float64(len(c.Neighbours)) + SuccessionWeight*float64(len(c.Successive))
			c.Why = why(c, byAir)
		}
		streams = append(streams, fmt.Sprintf("%s: %s in turn", name, strings.Join(names, ", ")))
	}
	if !l.Stand.Star { // banks stand side by side in the stream
		f.Path = append(f.Path, "cylinders of "+strings.Join(streams, "; beside it "))
	}
	switch {
	case l.Stand.Star && byAir:
		for r := range sizes {
			f.Path = append(f.Path, fmt.Sprintf("row %d of %d: %s abreast", r+1, lastRow+1, num.Counted(sizes[r], "cylinder", "cylinders")))
		}
		f.Path = append(f.Path, "out behind the star")
	case byAir:
		f.Path = append(f.Path, "out at the drive end")
	case l.Stand.Star:
		f.Path = append(f.Path, "each cylinder of the star abreast", "radiator or heat exchanger")
	default:
		f.Path = append(f.Path, "up into the heads", "radiator or heat exchanger")
	}
	f.worst(t)
	return f
}

// worst finds the cylinder with the highest score; of equals the one nearest to the drive end.
func (f *Flow) worst(t *layout.Train) {
	low, high := math.Inf(1), math.Inf(-1)
	for i := range f.Of {
		s := f.Of[i].Score
		low = math.Min(low, s)
		if s > high+1e-9 || s > high-1e-9 && along(t, i, f.Worst) > 0 {
			f.Worst = i
		}
		high = math.Max(high, s)
	}
	f.Spread = high - low
}

// rowOf is the bay of each cylinder, free end first: the row of a star in which it stands.
func rowOf(t *layout.Train) []int {
	rows := make([]int, len(t.Cylinders))
	for b, bay := range bearing.Bays(t) {
		for i := range t.Cylinders {
			if slices.Contains(bay.Throws, t.Cylinders[i].Throw) {
				rows[i] = b
			}
		}
	}
	return rows
}

func why(c *Cooled, byAir bool) string {
	what := "coolant"
	if byAir {
		what = "air"
	}
	parts := []string{fmt.Sprintf("its %s has taken up %.0f %% of the heat of %s before it", what, 100*c.Upstream, c.Stream)}
	switch n := len(c.Neighbours); {
	case n == 0:
		parts = append(parts, "no bore beside it in its bank")
	case len(c.Successive) == 0:
		parts = append(parts, fmt.Sprintf("beside %s", strings.Join(c.Neighbours, " and ")))
	default:
		parts = append(parts, fmt.Sprintf("beside %s, in succession with %s", strings.Join(c.Neighbours, " and "), strings.Join(c.Successive, " and ")))
	}
	return strings.Join(parts, "; ")
}
