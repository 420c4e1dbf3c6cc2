package study

import (
	"cmp"
	"math"
	"slices"
)

// byNumber orders candidates by their numbers.
func byNumber(a, b *member) int { return cmp.Compare(a.index, b.index) }

// survive returns the best of all, at most n: by rank, then by crowding distance. All must have different numbers.
func survive(all []*member, n int) []*member {
	slices.SortFunc(all, byNumber) // whoever was told first is not remembered
	rank(all)
	slices.SortStableFunc(all, crowded)
	return slices.Clone(all[:min(n, len(all))])
}

// crowded is the crowded comparison: below 0 where a is better.
func crowded(a, b *member) int {
	return cmp.Or(cmp.Compare(a.rank, b.rank), cmp.Compare(b.crowd, a.crowd))
}

// rank gives every member its rank and crowding distance. Rank 0 is dominated by no other, rank 1 by those of rank 0 only,
// and so on. Those that were left out have the last rank.
//
// Source: NSGA2.
func rank(all []*member) {
	over := make([][]int32, len(all)) // whom each one dominates
	above := make([]int, len(all))    // by how many each one is dominated
	var level []int
	for i := range all {
		for j := range i {
			if all[i].cost == nil || all[j].cost == nil {
				continue
			}
			switch compare(all[j].cost, all[i].cost) {
			case dominated, equalled: // the sequence is that of the numbers: the lower one stands for all that are equal
				over[j] = append(over[j], int32(i))
				above[i]++
			case dominates:
				over[i] = append(over[i], int32(j))
				above[j]++
			}
		}
	}
	for i := range all {
		if all[i].cost != nil && above[i] == 0 {
			level = append(level, i)
		}
		all[i].rank, all[i].crowd = len(all), 0
	}
	for r := 0; len(level) > 0; r++ {
		crowd(all, level)
		var next []int
		for _, i := range level {
			all[i].rank = r
			for _, j := range over[i] {
				if above[j]--; above[j] == 0 {
					next = append(next, int(j))
				}
			}
		}
		level = next
	}
}

// crowd gives the members of one rank their crowding distance:
//
//	Σ over the aims (cost of the next − cost of the one before) / (largest − least)
//
// and infinite where a member is the first or the last by an aim.
//
// Source: NSGA2.
func crowd(all []*member, level []int) {
	order := slices.Clone(level)
	slices.Sort(order)
	for k := range all[level[0]].cost {
		slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(all[i].cost[k], all[j].cost[k]) })
		first, last := order[0], order[len(order)-1]
		span := all[last].cost[k] - all[first].cost[k]
		all[first].crowd, all[last].crowd = math.Inf(1), math.Inf(1)
		for n := 1; n < len(order)-1; n++ {
			gap := (all[order[n+1]].cost[k] - all[order[n-1]].cost[k]) / span
			if gap > 0 { // neither 0/0 nor ∞/∞
				all[order[n]].crowd += gap
			}
		}
	}
}
