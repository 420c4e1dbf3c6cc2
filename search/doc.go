// Package search joins studies and engines: it makes a study.Problem of a study file, its base engine and its brief.
//
//   - problem.go: the files joined, the figures that are wanted, the limits, cheap ones first;
//   - block.go, build.go, columns.go: the shapes of engines, what varies within each, the engine of a candidate;
//   - phasing.go, twins.go: the distinct phasings of a crank, listed and counted by Burnside's lemma; which of mirror image and
//     reversal make a twin of this engine;
//   - angles.go: which axes change nothing but angles, so that the fast path need not read the engine anew;
//   - kernel.go, firings.go, fast.go, grid.go: the fast path: forces and moments by order, firing intervals, without allocation;
//     the steps to which they are rounded;
//   - evaluate.go, further.go: candidate by candidate; the fast path first, then the analysis chapter by chapter, as long as
//     what is required is kept; the fast path is held against the analysis in every range;
//   - candidate.go: a candidate as an engine file; how many there are, and why; words.go: what a kept one sets in the base;
//   - refine.go: continuous refinement of a candidate.
package search
