// Package firing says when the cylinders fire, which firing orders a crank allows, and how good
// each of them is.
//
// The chapter in the order in which it is best read:
//
//   - topcentre.go: the true top dead centres, from the geometry;
//   - schedule.go, round.go: a Schedule, the firing of one cycle, and its evenness;
//   - assign.go: Assign finds the schedule of a given firing order, FromAngles that of given
//     crank angles;
//   - impossible.go: why a crank cannot fire in a given order, and the orders that it can;
//   - orders.go: Orders, all firing orders that a crank allows, best first;
//   - evenest.go: the most even schedule of any number of cylinders;
//   - train.go: ForTrain, the schedule of an engine as its file describes it;
//   - measures.go, groups.go: Measures of a schedule, exhaust groups among them;
//   - even.go, split.go, turn.go: whether an engine can fire evenly, and what would have to change.
//
// # The one idea
//
// A piston comes to top dead centre once in every revolution, at an angle that the crank fixes. In
// a two-stroke cycle it fires each time, so that the crank alone settles the order. In a
// four-stroke cycle it fires every second time, and the camshaft decides which: each cylinder fires
// in the first revolution or in the second. Shifting all of them by one revolution changes nothing
// but the name of the revolutions, so N cylinders have 2^(N−1) schedules.
//
// A firing order says only who follows whom. From one cylinder to the next the crank must turn by
// h, the difference of their top dead centres, from 0 up to but not including 2π, or by whole
// revolutions more. The sum of all h round the order is a whole number w of revolutions. Where w
// is more than the cycle has, the crank cannot fire in that order. Where it is less, the missing
// revolutions may go into any of the intervals; the most even schedule gives them to the shortest.
//
// # Conventions
//
// Crank angles are those of docs/notation.md. A schedule begins with the first cylinder (index 0),
// unless a given order names another first. Cylinders that fire at the same moment stand in the
// order of their indices. Angles closer than Together count as the same.
package firing
