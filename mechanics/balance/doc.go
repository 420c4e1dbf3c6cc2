// Package balance says what can be done about what shakes: by counterweights on the crank, by balance
// shafts, in the balancing shop, and by choosing which piston goes where.
//
// One fact carries the chapter. The shaking force of an order is two vectors that turn in opposite senses,
//
//	F_n(θ) = W⁺_n e^{inθ} + W⁻_n e^{−inθ}
//
// and a mass that turns s times as fast as the crank makes one such vector, at the order |s|, with the
// crank where s > 0 and against it where s < 0:
//
//	ΔW = s² U i e^{ia}      U = m·e, the unbalance; a, its direction at θ = 0      per ω²
//
// So counterweights, which turn with the crank at s = 1, take W⁺ of the first order and nothing else: W⁻
// does not change whatever is hung on the crank. A shaft with s = −1 takes that, two shafts with s = ±2
// the second order. Moments follow with the axial place x, roll moments with the place of the shaft.
//
// Everything is per ω² [kg m] and [kg m²] unless it says otherwise, and in the axes of docs/notation.md.
package balance
