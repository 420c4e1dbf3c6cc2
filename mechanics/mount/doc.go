// Package mount is an engine as a rigid body on resilient mounts: how it swings by itself, how it moves under the shaking
// forces and moments of its crank train, and what reaches the structure that carries it.
//
// The chapter in the order in which it is best read:
//
//   - body.go: mass, centre of gravity and inertia tensor of a body, and of several bodies bolted together;
//   - mounts.go: a mount with its place, directions, stiffnesses and loss factor, and the stiffness of all mounts together;
//   - modes.go: the six natural modes with their energy shares, the sag under gravity, the torque roll axis;
//   - response.go: vibration under a harmonic load, the force into each mount, the transmissibility of one degree of freedom;
//   - find.go: places and stiffnesses that keep the modes below the excitation at idle and decouple the roll.
//
// # The one idea
//
// A rigid body has six degrees of freedom, three shifts and three turns about its centre of gravity. A small motion
// q = (u, φ) moves a point at r from the centre by
//
//	u + φ × r = B q        B = [ 1 | −[r]× ]
//
// so that a mount with the stiffness k there adds Bᵀ k B to the 6 × 6 stiffness of the body, and the same B carries a motion
// to any point and a force back from it. Everything in this chapter is M q̈ + K q = F with these matrices.
//
// # What it is not
//
// Engine and structure are rigid, motions are small, and a mount's stiffness is that at the frequency and preload of
// interest, with damping by its loss factor. Real rubber stiffens with frequency and preload; the maker's curves and a
// measurement on the finished installation decide.
package mount
