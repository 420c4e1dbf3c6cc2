// Package inertia computes what the moving masses of a crank train do to the block and to the
// crank: shaking force, shaking moment, roll moment and inertia torque.
//
// Everything follows from three sums over rigid bodies (pistons slide, rods move in a plane, the
// crank and the balance shafts turn), each a function of the crank angle θ:
//
//	first moment of mass   Q(θ) = Σ m w           w = y + i·z of each centre of gravity
//	kinetic energy         E(θ) = ½ Σ m|w'|² + J χ'²          per ω²
//	angular momentum       H(θ) = Σ m Im(conj w · w') + J χ'  per ω, about the crank axis
//
// At constant crank speed ω the block receives
//
//	shaking force    F = −ω² Q''
//	shaking moment   M = i Σ (x − x_ref) F      about the y and z axes through the reference
//	inertia torque   T = −ω² E'                 on the crank
//	roll moment      R = −T − ω² H'             about x
//
// All of it grows with ω², so a Balance is kept per ω²; multiply by ω² for newtons. The harmonics
// come from a transform of the exact motion, one for each kind of cylinder; a cylinder's place in
// the engine then only turns and shifts them:
//
//	W⁺_n = i e^{iβ} c_n e^{in(ψ−β)}     W⁻_n = i e^{iβ} c_{−n} e^{−in(ψ−β)}
//
// which for a central crank is the closed form ½ m r A_n i e^{i(nψ−(n−1)β)} with the crank and
// ½ m r A_n i e^{i((n+1)β−nψ)} against it. The forward first order does not depend on β: that is
// why a counterweight can always take it.
package inertia
