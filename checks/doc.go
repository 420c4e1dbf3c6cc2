// Package checks is the registry of published checks: what others print, derive or compute, held
// against what we compute.
//
// One Check is one number. It says where the number stands, how far its text was seen, what the
// source prints, what we expect, how near we must come and why. The same list feeds the tests, the
// command verify, and the appendix of reports: users see the evidence.
//
// Rules of the registry:
//
//   - no expected value comes from our own program: it is printed by a source, or evaluated here
//     from a closed form that shares no code with the chapters;
//   - the default tolerance is half a unit of the last printed digit; a wider one says why;
//   - a printed number that is wrong stays in the list: the check expects the recomputed value and
//     Disagrees says what is wrong with the printed one;
//   - sources often keep two terms of a series that we compute exactly. Then ours is reduced by the
//     terms that the source leaves out, evaluated from the exact series of this package, and held
//     to the printed digits.
//
// Of the worked examples these are left out: the accelerations of flywheels (KG 15.12), crankpin loads
// drawn by polygons (KG 15.22), flywheels of one-cylinder engines by ratio (BEV 12.9, 12.11), hammer
// blow of locomotive wheels (SAR 12.2, 12.3, 12.6), and KG 16.13, whose printed numbers are known to
// be wrong. Forces that are simple statics of the slider-crank are checked with the gas force as the
// source gives it. Which end cylinders are numbered from is a matter of labels: no number of mechanics
// depends on it.
package checks
