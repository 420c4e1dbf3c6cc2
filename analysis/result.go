package analysis

import (
	"crankwright/mechanics/envelope"
	"crankwright/mechanics/firing"
	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/parts"
	"crankwright/num"
)

// Result is all that is known of one engine at one speed.
type Result struct {
	Train *layout.Train
	Speed float64 // crank speed [rad/s]

	Cylinders []CylinderMotion // one for each of Train.Cylinders
	Swept     float64          // displacement of all cylinders [m³]; 0 where the bore is unknown

	Balance *inertia.Balance // per ω²
	Curves  *inertia.Curves  // at Speed, over two revolutions at Grid angles
	Angles  []num.Angle      // crank angle of each sample of Curves [rad]
	Peaks   inertia.Peaks    // at Speed
	Orders  []Order          // at Speed; orders with content only, ascending
	parts   [][]inertia.Contribution

	TwoMass TwoMass

	Firing      firing.Schedule
	OrderChosen bool // neither firing order nor firing angles settle it: Firing is the most even order
	Measures    firing.Measures
	Even        firing.EvenTest // whether the crank could fire evenly, and what would have to change

	at      DriveOptions // of Drive
	detail  bool         // Drive has the flywheel, and what no figure needs
	Drive   *Drive       // gas, torque and friction; nil where they were not asked for or cannot be found
	NoDrive string       // why they cannot be found
	Lasting *Lasting     // bearings, torsion and strength; nil where they were not asked for or there is no Drive

	Mounts   *Mounts // on its mounts; nil where Lasting is
	NoMounts string  // why they cannot be found

	Space   *envelope.Envelope // room and mass; nil where they were not asked for or cannot be found
	NoSpace string             // why they cannot be found

	Parts   *Parts        // parts, cost, service and cooling; nil where they were not asked for or cannot be found
	NoParts string        // why they cannot be found
	Prices  *parts.Prices // that were asked for; nil: the invented ones

	Guidance *Guidance // that it misses; nil where that was not asked for
}

// CylinderMotion is what the geometry says of one cylinder.
type CylinderMotion struct {
	TopDeadCentre   num.Angle // crank angle [rad], in [0, 2π)
	Stroke          float64   // [m]
	Rotating        float64   // rod mass that the two-mass view puts on the crankpin [kg]
	Reciprocating   float64   // piston, and rod mass that the two-mass view puts on the piston pin [kg]
	PeakPistonSpeed float64   // largest piston speed at Speed [m/s]
	MeanPistonSpeed float64   // 2 × stroke × revolutions per second [m/s]
}

// Order is one order of everything that shakes.
type Order struct {
	K      int // twice the order
	Force  Pair
	Moment Pair
	Roll   complex128 // R(θ) = Re Roll e^{inθ} [N m]
	Torque complex128 // inertia torque on the crank, T(θ) = Re Torque e^{inθ} [N m]
}

// N returns the order per crank revolution [1]. Definition.
func (o Order) N() float64 { return float64(o.K) / 2 }

// Pair is a plane vector of one order: two counter-turning phasors and the ellipse they describe.
type Pair struct {
	With, Against complex128 // [N] or [N m]
	Ellipse       num.Ellipse
}

func pairOf(with, against complex128, scale float64) Pair {
	f := complex(scale, 0)
	with, against = with*f, against*f
	return Pair{With: with, Against: against, Ellipse: num.EllipseOf(with, against)}
}

// TwoMass is what the two-mass replacement of the rods gets wrong. Forces are exact in it.
type TwoMass struct {
	Used        bool    // the result itself was computed with the replacement
	TorqueError float64 // largest error of the inertia torque at Speed [N m]
	RollError   float64 // largest error of the roll moment at Speed [N m]
}

// Order returns one order of the result, zero where it has no content.
//
//   - k: twice the order [1]
//
// Result [N] and [N m]. Definition.
func (r *Result) Order(k int) Order {
	for _, o := range r.Orders {
		if o.K == k {
			return o
		}
	}
	return Order{K: k}
}

// Contributions returns what each part of the engine adds to one order.
//
//   - k: twice the order [1], from 1 to twice the highest order asked for
//
// Result at Speed [N] and [N m], cylinders first; nil for an order beyond. Definition.
func (r *Result) Contributions(k int) []inertia.Contribution {
	if k < 0 || k >= len(r.parts) {
		return nil
	}
	return r.parts[k]
}
