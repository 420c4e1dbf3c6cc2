// Package num holds the small numerical tools that every chapter shares and that a general
// library lacks: angles, periodic scalars (Series), periodic plane vectors (Orbit), a sampling
// grid that evaluates both without one call of sin or cos per sample, root refinement, and numbers
// and lists as sentences have them. Transform leads from samples to harmonics, Orthogonalise to
// singular values.
//
// Periodic quantities are stored by half orders: index k is order k/2 per crank revolution, so
// that one four-stroke cycle of 720 degrees is the common period. Half orders that do not occur
// are zero and cost nothing when a curve is sampled.
package num
