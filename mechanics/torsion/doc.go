// Package torsion says how a crank winds up and swings: its shaft as discs and springs, natural modes, critical
// speeds, and the twist, torque and stress that gas and inertia force on it.
//
// The chapter in the order in which it is best read:
//
//   - model.go: Model, discs (moments of inertia) joined by spans (springs), with damping;
//   - section.go, throw.go: how stiff a shaft and a crank throw are, the throw by two published formulas;
//   - inertia.go: what swings with a throw: pin, webs, counterweights, rods, the mean of the pistons;
//   - crank.go: NewCrank, the model of an engine from its layout;
//   - modes.go, holzer.go: natural frequencies and mode shapes, by two methods;
//   - critical.go: critical speeds by order;
//   - vectors.go: phase-vector sums of a firing order, and which firing orders are kind to a mode;
//   - excite.go: the torque of every cylinder by half orders;
//   - solve.go, response.go, sweep.go: forced response, order by order, synthesised over the cycle and over speed;
//   - damper.go, peak.go: tuned rubber and viscous dampers, their published optimum and a search of the true peak.
//
// # The one idea
//
// About its steady turning the shaft is a row of discs on springs,
//
//	J θ'' + C θ' + K(1 + iη) θ = T
//
// and at order k/2 every torque is Re T_k e^{ikθ/2}, so that each order is one linear equation at Ω = kω/2. A cylinder
// at disc d pushes mode θ with T_k θ_d e^{−ikα/2}, α its firing angle: the sum of these vectors over the
// cylinders says how strongly a firing order drives a mode.
//
// # What it leaves out
//
// The moment of inertia of pistons and rods changes within the revolution; here it is its mean, and the change acts
// as inertia torque at constant speed. Bending and axial motion of the crank, bearing clearance and gear
// backlash are left out. Damping is an input: nobody can compute it from a layout, and amplitude and stress at
// a critical speed go with one over it. Stiffness by rule of thumb is right to 5 or 10 %, and
// critical speeds to half of that. Every frequency, amplitude and stress here is for concept work; a crank is released by
// measurement.
//
// Twist and torque are positive in the sense of rotation, so that a clockwise engine has the results of its mirror image.
// Orders are by half orders: index k is order k/2.
package torsion
