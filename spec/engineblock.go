package spec

import (
	"crankwright/estimate"
	"crankwright/mechanics/layout"
)

// This file holds the types of an engine file that say what stands round the crank train. Their doc comments are the
// descriptions in the JSON Schema, so they speak to the person who writes the file.

// Block is the section block.
type Block struct {
	Mark `yaml:"-"`
	// Crank axis to head joint, along the cylinders; left out: what clears the pistons.
	DeckHeight Quantity[Length] `yaml:"deck_height" limit:"positive"`
	// Head joint to the top of the head with its cover; left out: as making.valve_drive asks for.
	HeadHeight Quantity[Length] `yaml:"head_height" limit:"positive"`
	// Head joint to the lower edge of the bores.
	BoreLength Quantity[Length] `yaml:"bore_length" limit:"positive"`
	// Crank axis to the joint of block and sump.
	SkirtDepth Quantity[Length] `yaml:"skirt_depth" limit:"not negative"`
	// Crank axis to the bottom of the sump; 0 mm: the engine has none.
	SumpDepth Quantity[Length] `yaml:"sump_depth" limit:"not negative"`
	// Thickness of the walls of crankcase and jackets.
	Wall Quantity[Length] `yaml:"wall" limit:"positive"`
	// Least metal between two bores, and outside the outermost.
	BoreWall Quantity[Length] `yaml:"bore_wall" limit:"positive"`
	// Room in front of the block for the drives of camshafts and pumps and for the damper.
	FrontRoom Quantity[Length] `yaml:"front_room" limit:"not negative"`
	// Room behind the block for the flywheel and its housing.
	RearRoom Quantity[Length] `yaml:"rear_room" limit:"not negative"`
	// Metal of the block.
	Metal Word[metalWords] `yaml:"metal"`
	// Density of the block's metal; left out: that of its word.
	Density Quantity[Density] `yaml:"density" limit:"positive"`
	// Metal of the heads.
	HeadMetal Word[metalWords] `yaml:"head_metal"`
	// Density of the heads' metal.
	HeadDensity Quantity[Density] `yaml:"head_density" limit:"positive"`
	// Metal of the sump.
	SumpMetal Word[metalWords] `yaml:"sump_metal"`
	// Density of the sump's metal.
	SumpDensity Quantity[Density] `yaml:"sump_density" limit:"positive"`
	// Width of the rods' big ends across their bolts.
	BigEndWidth Quantity[Length] `yaml:"big_end_width" limit:"positive"`
	// How far pistons reach below their pins.
	PistonSkirt Quantity[Length] `yaml:"piston_skirt" limit:"not negative"`
	// Radius in which the counterweights turn.
	CounterweightRadius Quantity[Length] `yaml:"counterweight_radius" limit:"positive"`
	// Camshafts over each bank, or over the one head of a narrow vee: 0, 1 or 2; left out: as making.valve_drive says.
	Camshafts Quantity[PureRatio] `yaml:"camshafts" limit:"not negative"`
	// Mass of what is bolted on: generator, starter, pumps, injection.
	Accessories Quantity[Mass] `yaml:"accessories" limit:"not negative"`
	// Mass of the oil.
	Oil Quantity[Mass] `yaml:"oil_mass" limit:"not negative"`
	// Mass of the coolant inside the engine; none where air cools it.
	Coolant Quantity[Mass] `yaml:"coolant_mass" limit:"not negative"`
	// Mass of the engine as weighed, without oil and coolant; the parts that nobody weighed are scaled to it.
	DryMass Quantity[Mass] `yaml:"dry_mass" limit:"positive"`
}

type metalWords struct{}

func (metalWords) words() []string {
	var out []string
	for _, m := range layout.Metals() {
		out = append(out, string(m.Metal))
	}
	return out
}

// knownBlock puts into w the words that the file has of the block; Working.Fields has its quantities.
func (r *resolver) knownBlock(w *estimate.Working) {
	b := &r.e.Block
	w.Block.Metal, w.Block.HeadMetal, w.Block.SumpMetal = layout.Metal(b.Metal.Value), layout.Metal(b.HeadMetal.Value), layout.Metal(b.SumpMetal.Value)
}

// block writes the section block.
func (w *writer) block() {
	b := &w.t.Block
	if *b == (layout.Block{}) {
		return
	}
	w.line("block:")
	for _, m := range []struct {
		key   string
		metal layout.Metal
	}{{"metal", b.Metal}, {"head_metal", b.HeadMetal}, {"sump_metal", b.SumpMetal}} {
		if m.metal != "" {
			w.value("  ", m.key, string(m.metal), "block."+m.key)
		}
	}
	w.workingKeys("  ", "block")
}
