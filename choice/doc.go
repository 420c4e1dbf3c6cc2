// Package choice ranks alternatives by many criteria, and says how firm the ranking is. It knows no
// engine: an alternative is a row of numbers.
//
// The chapter, in the sequence in which to read it:
//
//   - problem.go: criteria with units and direction, aims made of them, ranges of weights, limits,
//     alternatives and what of them is doubtful;
//   - worth.go: value functions, which say what a number is worth between 0 and 1;
//   - dominance.go: what is beaten on everything, and the Pareto front of the rest;
//   - score.go: weighted sums and the ranking at one set of weights;
//   - acceptance.go: the same over all weights and all values that are possible: how often each
//     alternative takes each rank, for which weights it is first, how sure that is (SMAA);
//   - draws.go: how those weights and values are drawn;
//   - flips.go: what would have to change for another alternative to take the lead;
//   - doubts.go: which doubtful input matters most;
//   - decide.go: all of it at once, with the verdict;
//   - words.go, paragraph.go: the verdict and a paragraph for each alternative, in words.
//
// Numbers of one criterion are in its own unit; weights are in points of the scale of 0 to Most, or
// shares of 1 where they are normalised. Everything is deterministic for a seed, whatever the number of
// processors and whatever the sequence of the alternatives.
package choice
