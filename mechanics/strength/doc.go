// Package strength says whether a crank throw lasts: nominal stresses from the real loads, stress concentration at the
// fillets and the oil bore, fatigue strength, and how far the two are apart, by the rule for crankshafts of the
// classification societies (IACS UR M53). It is written down here from memory and has to be held against the printed rule
// before anybody relies on it; it is for concept work, and replaces neither the rule, a test nor a licensed engineer.
//
// The chapter in the order in which it is best read:
//
//   - throw.go: Throw, the sizes that count, their ratios, and the ranges within which the rule holds;
//   - factors.go: stress concentration factors in bending, shear and torsion;
//   - assess.go: nominal and local stresses, fatigue strength, the acceptability factor Q of each point;
//   - loads.go: from the forces on the pins between two mains to the alternating moments that the rule wants;
//   - change.go: what a millimetre buys, and how much of it is needed;
//   - shaft.go: plain shafts by the rule for propulsion shafts (IACS UR M68).
//
// # The one idea
//
// A fatigue crack starts where the alternating stress is largest: in the fillet of the pin, in the fillet of the journal
// or at the mouth of the oil bore. The rule takes the throw as a beam on its two mains, finds nominal stresses in the web
// and the pin, multiplies each with a factor that was fitted to measured throws, adds bending and torsion up to an
// equivalent stress, and compares it with what the steel endures.
//
// # Where it does not hold
//
// The factors are polynomials, fitted within ranges. Outside them the rule says nothing, and neither does this package
// unless Beyond is asked for: then the ratio is held at the end of its range and the result is labelled an approximation.
// One throw between two mains is what the rule knows; of split pins with a flying web between them only the two webs beside
// the mains are assessed.
package strength
