package estimate

import (
	"fmt"
	"math"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Duty is what the engine is built for; it moves every proportion towards light or stout parts.
type Duty int

// The three duties.
const (
	General Duty = iota // petrol engines for cars, boats and machines
	Light               // sport and racing: light parts, high speed, short life
	Heavy               // diesel and continuous duty: stout parts, low speed
)

// String returns the duty in the words of the engine file [-]. Definition.
func (d Duty) String() string {
	switch d {
	case Light:
		return "light"
	case Heavy:
		return "heavy"
	default:
		return "general"
	}
}

// ParseDuty returns the duty that a word names [-]; the error lists the words. Definition.
func ParseDuty(word string) (Duty, error) {
	for _, d := range []Duty{General, Light, Heavy} {
		if word == d.String() {
			return d, nil
		}
	}
	return General, fmt.Errorf("%q is no duty; general, light or heavy is", word)
}

// Engine is what is known of a regular engine, all cylinders alike. NaN means unknown, in every
// field of type float64; Bore and Stroke must be known before Fill can do anything.
type Engine struct {
	Cycle layout.Cycle
	Duty  Duty

	Bore   float64 // [m]
	Stroke float64 // [m]

	Cylinders int
	// RodsPerPin counts the rods of one throw: 1 in line, 2 in a vee or with opposed cylinders.
	// 3 and more stand in one plane, as in a radial engine with a master rod.
	RodsPerPin int
	BankAngle  num.Angle // of a vee [rad]; 0: it is none
	OwnPins    bool      // the two rods of a throw have each a pin of their own, half a turn apart unless PinSplit says otherwise
	Finned     bool      // cylinders stand along the crank and are cooled by air
	PinSplit   num.Angle // angle between the two pins of a throw [rad]; 0: one pin, or half a turn with OwnPins

	PistonMass        float64 // piston, rings and pin [kg]
	CompressionHeight float64 // from piston pin to crown [m]

	RodLength  float64 // between the eye centres [m]
	RodMass    float64 // [kg]
	RodCG      float64 // centre of gravity from the big end [m]
	RodInertia float64 // about the centre of gravity [kg m²]

	ThrowUnbalance float64 // one pin with its share of the webs, no counterweight [kg m]

	MainDiameter, MainWidth float64 // main journal [m]
	PinDiameter, PinWidth   float64 // crankpin; a pin for two rods counts whole [m]
	WebThickness, WebWidth  float64 // [m]
	Fillet                  float64 // fillet radius at the crankpin [m]

	CylinderSpacing float64 // of neighbours in one bank [m]
	BankStagger     float64 // axial distance of the two cylinders of one throw [m]
	CylinderOffset  float64 // of a vee: how far the axes of each bank pass outside the crank axis [m]
	KnuckleRadius   float64 // knuckle pin from the master rod's big end [m]

	FlywheelInertia float64 // [kg m²]

	Idle, Rated, Limit float64 // crank speeds [rad/s]
}

// Unknown returns an engine of which nothing is known: every float64 is NaN [-], the rest zero.
// Definition.
func Unknown() Engine {
	var e Engine
	for _, f := range e.fields() {
		*f.At = math.NaN()
	}
	return e
}

// fields lists all quantities of the engine in the order in which Fill reports them.
func (e *Engine) fields() []WorkingField {
	return []WorkingField{
		{&e.Bore, "bore", "m"},
		{&e.Stroke, "stroke", "m"},
		{&e.PistonMass, "piston.mass", "kg"},
		{&e.CompressionHeight, "piston.compression_height", "m"},
		{&e.RodLength, "rod.length", "m"},
		{&e.RodMass, "rod.mass", "kg"},
		{&e.RodCG, "rod.cg_from_big_end", "m"},
		{&e.RodInertia, "rod.inertia", "kg m2"},
		{&e.MainDiameter, "crank.main_journal.diameter", "m"},
		{&e.MainWidth, "crank.main_journal.width", "m"},
		{&e.PinDiameter, "crank.crankpin.diameter", "m"},
		{&e.PinWidth, "crank.crankpin.width", "m"},
		{&e.WebThickness, "crank.web.thickness", "m"},
		{&e.WebWidth, "crank.web.width", "m"},
		{&e.Fillet, "crank.fillet_radius", "m"},
		{&e.ThrowUnbalance, "crank.throw_unbalance", "kg m"},
		{&e.CylinderSpacing, "layout.cylinder_spacing", "m"},
		{&e.BankStagger, "layout.bank_stagger", "m"},
		{&e.CylinderOffset, "layout.cylinder_offset", "m"},
		{&e.KnuckleRadius, "layout.knuckle_radius", "m"},
		{&e.Idle, "speeds.idle", "rad/s"},
		{&e.Rated, "speeds.rated", "rad/s"},
		{&e.Limit, "speeds.limit", "rad/s"},
		{&e.FlywheelInertia, "flywheel.inertia", "kg m2"},
	}
}
