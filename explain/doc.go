// Package explain says why a number is what it is, in words derived from the numbers alone.
//
// It never looks at what a layout is called. For one order it takes the vectors that every part of
// the engine contributes, finds which of them point the same way, which cancel as opposite pairs or
// as closed regular polygons and what remains, and says which part of the rest stands still against
// the crank (so that a counterweight takes it), and which needs a shaft, turning which way and how
// fast. It is therefore right for a crank that nobody has seen.
package explain
