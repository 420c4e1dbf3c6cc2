package spec

import (
	"crankwright/mechanics/bearing"
	"crankwright/mechanics/layout"
)

// This file holds the types of an engine file that say how the crank is carried, oiled and wound up. Their doc
// comments are the descriptions in the JSON Schema, so they speak to the person who writes the file.

// OilBore is the oil bore in a crankpin.
type OilBore struct {
	Mark `yaml:"-"`
	// Diameter; 0: none.
	Diameter Quantity[Length] `yaml:"diameter" limit:"not negative"`
	// Direction in which it leaves the pin, from the throw in the sense of rotation.
	Angle Quantity[Angle] `yaml:"angle"`
}

// Bearings is the section bearings.
type Bearings struct {
	Mark `yaml:"-"`
	// How the main bearings share the loads: the crank as a continuous beam on elastic supports, or determinate, every bay a simple beam of its own.
	Sharing Word[sharingWords] `yaml:"sharing"`
	// Common stiffness of a main bearing with its housing.
	SupportStiffness Quantity[Stiffness] `yaml:"support_stiffness" limit:"positive"`
	// The main bearings.
	Main Seat `yaml:"main"`
	// The big-end bearings.
	BigEnd Seat `yaml:"big_end"`
	// Grade of the oil.
	Oil Word[oilWords] `yaml:"oil"`
	// Temperature of the oil that arrives.
	OilFeed Quantity[Temperature] `yaml:"oil_feed" limit:"positive"`
	// How much warmer the oil leaves a bearing than it arrives.
	OilRise Quantity[TemperatureStep] `yaml:"oil_rise" limit:"positive"`
}

// Seat is what the bearings of one kind have in common.
type Seat struct {
	Mark `yaml:"-"`
	// Clearance, of the diameter.
	Clearance Quantity[Length] `yaml:"clearance" limit:"positive"`
	// Lining of the bearing.
	Lining Word[liningWords] `yaml:"lining"`
	// Whether an oil groove runs all round; left out: not.
	Grooved Flag `yaml:"grooved"`
}

// Torsion is the section torsion.
type Torsion struct {
	Mark `yaml:"-"`
	// Formula for the stiffness of a throw: carter, ker-wilson, or the mean of the two.
	Formula Word[formulaWords] `yaml:"formula"`
	// Dynamic magnifier of the mode that winds the crank up, without damper.
	Magnifier Quantity[PureRatio] `yaml:"magnifier" limit:"positive"`
	// Damper on the free end.
	Damper Damper `yaml:"damper"`
	// What sits on the free end, from the crank outwards.
	FreeEnd []ShaftPart `yaml:"free_end"`
	// What the flywheel drives, from it outwards.
	Driven []ShaftPart `yaml:"driven"`
}

// Damper is a damper of torsional vibration.
type Damper struct {
	Mark `yaml:"-"`
	// Kind: none (left out), rubber or viscous.
	Kind Word[damperWords] `yaml:"kind"`
	// Moment of inertia of its ring; left out: sized by the usual ratio to the mode.
	Inertia Quantity[Inertia] `yaml:"inertia" limit:"positive"`
	// Moment of inertia of its hub or housing; left out: none.
	HubInertia Quantity[Inertia] `yaml:"hub_inertia" limit:"not negative"`
	// Torsional stiffness of its rubber; left out: the published optimum.
	Stiffness Quantity[TwistStiffness] `yaml:"stiffness" limit:"positive"`
	// Damping between ring and hub; left out: the published optimum.
	Damping Quantity[TwistDamping] `yaml:"damping" limit:"positive"`
}

// ShaftPart is a disc beyond the crank with the shaft that leads to it, as they are.
type ShaftPart struct {
	Mark `yaml:"-"`
	// Name.
	Name Text `yaml:"name"`
	// Moment of inertia.
	Inertia Quantity[Inertia] `yaml:"inertia" limit:"positive"`
	// Torsional stiffness of the shaft that leads to it.
	Stiffness Quantity[TwistStiffness] `yaml:"stiffness" limit:"positive"`
	// Damping against the block; left out: none.
	Damping Quantity[TwistDamping] `yaml:"damping" limit:"not negative"`
	// Turns of the part per turn of the crank; left out: 1.
	Ratio Quantity[PureRatio] `yaml:"ratio"`
	// Diameter of the shaft that leads to it, for its stress.
	Diameter Quantity[Length] `yaml:"diameter" limit:"positive"`
}

type (
	makeWords    struct{}
	sharingWords struct{}
	liningWords  struct{}
	oilWords     struct{}
	formulaWords struct{}
	damperWords  struct{}
)

func (makeWords) words() []string {
	return []string{string(layout.GrainFlow), string(layout.FreeForged), string(layout.CastSteel)}
}

func (sharingWords) words() []string {
	return []string{string(layout.SharedByBeam), string(layout.SharedByBays)}
}

func (formulaWords) words() []string {
	return []string{string(layout.ByMean), string(layout.ByCarter), string(layout.ByKerWilson)}
}

func (damperWords) words() []string {
	return []string{string(layout.NoDamper), string(layout.Rubber), string(layout.Viscous)}
}

func (liningWords) words() []string {
	var out []string
	for _, m := range bearing.Materials() {
		out = append(out, m.Name)
	}
	return out
}

func (oilWords) words() []string {
	var out []string
	for _, o := range bearing.Oils() {
		out = append(out, o.Name)
	}
	return out
}
