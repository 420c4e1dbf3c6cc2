package spec

import "crankwright/mechanics/layout"

// This file holds the types of an engine file that say how the engine stands on its mounts, and who feels it. Their doc
// comments are the descriptions in the JSON Schema, so they speak to the person who writes the file.

// Mounts is the section mounts.
type Mounts struct {
	Mark `yaml:"-"`
	// The engine as it was weighed and swung; left out: from its parts.
	Engine Lump `yaml:"engine"`
	// What is bolted to the drive end and swings with the engine; left out: nothing.
	Gearbox Lump `yaml:"gearbox"`
	// The resilient mounts; left out: four that are usual.
	Isolators []Isolator `yaml:"isolators"`
}

// Lump is a rigid body.
type Lump struct {
	Mark `yaml:"-"`
	// Mass.
	Mass Quantity[Mass] `yaml:"mass" limit:"positive"`
	// Centre of gravity along the crank, from free end to drive end.
	At Quantity[Length] `yaml:"at"`
	// Centre of gravity to the right of the crank axis, seen from the drive end.
	Y Quantity[Length] `yaml:"y"`
	// Centre of gravity above the crank axis.
	Z Quantity[Length] `yaml:"z"`
	// Inertia about the centre of gravity.
	Inertia InertiaTensor `yaml:"inertia"`
}

// InertiaTensor are the entries of an inertia tensor.
type InertiaTensor struct {
	Mark `yaml:"-"`
	// Moment of inertia about the crank's direction.
	XX Quantity[Inertia] `yaml:"xx" limit:"positive"`
	// Moment of inertia about the crosswise axis.
	YY Quantity[Inertia] `yaml:"yy" limit:"positive"`
	// Moment of inertia about the upright axis.
	ZZ Quantity[Inertia] `yaml:"zz" limit:"positive"`
	// Entry xy of the tensor, minus the integral of x y; left out: none.
	XY Quantity[Inertia] `yaml:"xy"`
	// Entry xz of the tensor, minus the integral of x z; left out: none.
	XZ Quantity[Inertia] `yaml:"xz"`
	// Entry yz of the tensor, minus the integral of y z; left out: none.
	YZ Quantity[Inertia] `yaml:"yz"`
}

// Isolator is a resilient mount.
type Isolator struct {
	Mark `yaml:"-"`
	// Name; no other isolator has it.
	Name Text `yaml:"name"`
	// Place along the crank, from free end to drive end.
	At Quantity[Length] `yaml:"at"`
	// Place to the right of the crank axis, seen from the drive end.
	Y Quantity[Length] `yaml:"y"`
	// Place above the crank axis; negative: below.
	Z Quantity[Length] `yaml:"z"`
	// Lean of its upright axis about the crank's direction; left out: it stands upright.
	Lean Quantity[Angle] `yaml:"lean"`
	// Stiffness along its axes.
	Stiffness Stiffnesses `yaml:"stiffness"`
	// Loss factor, the share of its stiffness that is a quarter turn late.
	LossFactor Quantity[Share] `yaml:"loss_factor" limit:"not negative"`
}

// Stiffnesses are the stiffnesses of a mount along its axes.
type Stiffnesses struct {
	Mark `yaml:"-"`
	// Along the crank.
	X Quantity[Spring] `yaml:"x" limit:"not negative"`
	// Crosswise.
	Y Quantity[Spring] `yaml:"y" limit:"not negative"`
	// Upright, before it leans.
	Z Quantity[Spring] `yaml:"z" limit:"not negative"`
}

// People is the section people.
type People struct {
	Mark `yaml:"-"`
	// How long they feel it on a day; left out: 8 h.
	Exposure Quantity[Duration] `yaml:"exposure" limit:"positive"`
	// The places.
	Points []Point `yaml:"points"`
}

// Point is a place at which somebody feels the engine.
type Point struct {
	Mark `yaml:"-"`
	// Name; no other place has it.
	Name Text `yaml:"name"`
	// By what it is felt: seat, feet or hand.
	FeltBy Word[touchWords] `yaml:"felt_by"`
	// What is touched: the engine itself, or the structure on which the mounts stand.
	On Word[carrierWords] `yaml:"on"`
	// Place along the crank.
	At Quantity[Length] `yaml:"at"`
	// Place to the right of the crank axis, seen from the drive end.
	Y Quantity[Length] `yaml:"y"`
	// Place above the crank axis.
	Z Quantity[Length] `yaml:"z"`
	// Mass of a structure that moves as a whole.
	Mass Quantity[Mass] `yaml:"mass" limit:"positive"`
	// Velocity of the place over the force of a mount on the structure.
	Mobility Quantity[Mobility] `yaml:"mobility" limit:"positive"`
}

type (
	touchWords   struct{}
	carrierWords struct{}
)

func (touchWords) words() []string {
	return []string{string(layout.BySeat), string(layout.ByFeet), string(layout.ByHand)}
}

func (carrierWords) words() []string {
	return []string{string(layout.OnEngine), string(layout.OnStructure)}
}
