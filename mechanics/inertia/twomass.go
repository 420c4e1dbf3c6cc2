package inertia

import (
	"crankwright/mechanics/layout"
)

// twoMassInertia is the moment of inertia about the centre of gravity that the rod would have with
// its mass gathered at its two eyes.
func twoMassInertia(r layout.Rod) float64 { return r.Mass * r.CG * (r.Length - r.CG) }

// RotatingShare returns the part of a rod's mass that the two-mass replacement puts on the crankpin.
//
//	m_rot = m (1 − c/l)
//
// with
//   - rod: mass m, length l, centre of gravity c from the big end
//
// Result [kg]. Together with ReciprocatingShare it keeps mass and centre of gravity, so forces are
// exact; the moment of inertia is not kept. Source: KG, ch. 15, dynamically equivalent masses.
func RotatingShare(rod layout.Rod) float64 { return rod.Mass * (1 - rod.CG/rod.Length) }

// ReciprocatingShare returns the part of a rod's mass that the two-mass replacement puts on the
// piston pin.
//
//	m_rec = m c/l
//
// with
//   - rod: mass m, length l, centre of gravity c from the big end
//
// Result [kg]. Source: KG, ch. 15, dynamically equivalent masses.
func ReciprocatingShare(rod layout.Rod) float64 { return rod.Mass * rod.CG / rod.Length }

// ExcessInertia returns by how much the two-mass replacement overstates a rod's moment of inertia.
//
//	ΔJ = m c (l − c) − J
//
// with
//   - rod: mass m, length l, centre of gravity c, moment of inertia J about it
//
// Result [kg m²]. With ω_r and α the rod's angular speed and acceleration in the sense of rotation, ω that of the crank,
// the replacement's inertia torque on the crank is too small by ΔJ α ω_r/ω, its roll moment by ΔJ α (1 − ω_r/ω).
// Source: KG, ch. 15, correction couple m (l1 l3 − k²) α.
func ExcessInertia(rod layout.Rod) float64 { return twoMassInertia(rod) - rod.Inertia }
