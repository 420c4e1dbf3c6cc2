// Package motion computes how pistons and connecting rods move, exactly and by harmonic.
//
// Everything is a function of the crank angle alone, so derivatives are taken with respect to it:
// velocity per radian [m/rad], acceleration per radian squared [m/rad²]. At a constant crank speed ω
// multiply them by ω and ω².
//
// One mechanism is solved: a pin that moves on any closed path drives a slider through a rod
// (Drive). With the crankpin as the driving pin it is the plain slider-crank; with the knuckle pin
// of a master rod it is the articulated rod, whose path is no circle and whose stroke differs from
// cylinder to cylinder.
//
// Places are complex numbers in the frame of a cylinder: real part along the cylinder axis, outward
// positive, imaginary part across it, positive towards the axis turned by +90 degrees. The block's
// y + i·z is that number times i·e^{iβ}.
package motion
