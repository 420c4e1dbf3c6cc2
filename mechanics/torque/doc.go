// Package torque says how an engine pushes: the torque of gas and of inertia on the crank, how unevenly the
// crank therefore turns, what flywheel evens it out, and what friction leaves at the drive end.
//
// The gas pushes by virtual work, with the exact motion s(θ) of the piston pin,
//
//	T_gas = −(p − p0) A s'(θ)
//
// so that the mean torque is the work of the cycle whatever the mechanism. A cylinder's torque is computed
// once on its own cycle, which begins at its firing top dead centre α, and then put in its place:
//
//	T(θ) = T_own(θ − α)      Q_k = Q_k,own e^{−ikα/2}
//
// Inertia pushes with −ω² E'(θ), E the kinetic energy of pistons and rods per ω² (package inertia). Its mean is
// zero, it grows with ω², and the gas does not: at low speed the driver feels the gas, at high speed inertia.
//
// The crank speed follows from the energy, without integration in time:
//
//	½ I(θ) ω² − ∫ (T_gas − T_load) dθ = constant      I(θ) = J + 2 E(θ)
//
// All curves run over two revolutions at equal crank angles. Orders are by half orders: index k is order k/2.
// The crank is rigid here; its twist belongs to torsional vibration. The sense of rotation does not
// matter: torque is counted in the sense of rotation, and a clockwise engine has that of its mirror image.
package torque
