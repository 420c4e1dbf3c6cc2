package layout

// Block says what stands round the crank train: block, heads, sump and what hangs on them. Room and mass are found from it.
// A value of zero is unknown, unless its comment says otherwise.
type Block struct {
	DeckHeight          float64 // crank axis to head joint, along the cylinders [m]
	HeadHeight          float64 // head joint to the top of the head with its cover [m]
	BoreLength          float64 // head joint to the lower edge of the bores [m]
	SkirtDepth          float64 // crank axis to the joint of block and sump [m]; 0 is a value
	SumpDepth           float64 // crank axis to the bottom of the sump [m]; 0: the engine has none
	Wall                float64 // thickness of the walls of crankcase and jackets [m]
	BoreWall            float64 // least metal between two bores, and outside the outermost [m]
	FrontRoom, RearRoom float64 // beyond block's faces: drives and damper, flywheel [m]; 0 is a value

	Metal     Metal   // of the block
	Density   float64 // [kg/m³]
	HeadMetal Metal
	HeadDense float64 // density of the heads' metal [kg/m³]
	SumpMetal Metal
	SumpDense float64 // density of the sump's metal [kg/m³]

	BigEndWidth         float64 // of the rods' big ends across their bolts [m]
	PistonSkirt         float64 // how far pistons reach below their pins [m]; 0 is a value
	CounterweightRadius float64 // in which the counterweights turn [m]
	Camshafts           float64 // over each bank, or over the one head of a narrow vee [1]; 0 is a value

	Accessories float64 // mass of what is bolted on: generator, starter, pumps [kg]; 0 is a value
	Oil         float64 // mass [kg]; 0 is a value
	Coolant     float64 // mass inside the engine [kg]; 0 is a value
	DryMass     float64 // weighed, without oil and coolant [kg]; 0: not weighed
}

// Metal is what a casting or pressing is made of.
type Metal string

// The metals of blocks, heads and sumps.
const (
	CastIron  Metal = "cast-iron"
	Compacted Metal = "compacted-iron"
	Aluminium Metal = "aluminium"
	Magnesium Metal = "magnesium"
	Sheet     Metal = "sheet-steel"
)

// Metals returns the metals that blocks, heads and sumps can be made of, each with its usual density.
//
// Result [kg/m³]. Source: PRACTICE, foundry metals from memory.
func Metals() []MetalDensity {
	return []MetalDensity{{CastIron, 7200}, {Compacted, 7100}, {Aluminium, 2700}, {Magnesium, 1800}, {Sheet, 7850}}
}

// MetalDensity is a metal with its density [kg/m³].
type MetalDensity struct {
	Metal   Metal
	Density float64
}

// Limits of block and masses. Definition: beyond what engines have, so that a wrong unit is told from an engine.
const (
	MaxBlockLength = 100.0 // [m]
	MaxBlockMass   = 5e6   // [kg]
	MaxCamshafts   = 2.0   // over each bank
)

// block checks what the file says of block and masses; zero is unknown.
func (v *validator) block() {
	b := &v.t.Block
	for _, l := range []struct {
		where string
		x     float64
	}{
		{"deck_height", b.DeckHeight},
		{"head_height", b.HeadHeight},
		{"bore_length", b.BoreLength},
		{"skirt_depth", b.SkirtDepth},
		{"sump_depth", b.SumpDepth},
		{"wall", b.Wall},
		{"bore_wall", b.BoreWall},
		{"front_room", b.FrontRoom},
		{"rear_room", b.RearRoom},
		{"big_end_width", b.BigEndWidth},
		{"piston_skirt", b.PistonSkirt},
		{"counterweight_radius", b.CounterweightRadius},
	} {
		if !(l.x >= 0 && l.x <= MaxBlockLength) {
			v.fail("block."+l.where, "it must lie between 0 mm and 100 m", "the value is %.6g mm", 1e3*l.x)
		}
	}
	for _, d := range []struct {
		where string
		x     float64
	}{{"density", b.Density}, {"head_density", b.HeadDense}, {"sump_density", b.SumpDense}} {
		if d.x != 0 && !(d.x >= 100 && d.x <= 25000) {
			v.fail("block."+d.where, "it must lie between 100 and 25000 kg/m3, such as 2700 kg/m3 of aluminium", "the value is %.4g kg/m3", d.x)
		}
	}
	for _, m := range []struct {
		where string
		x     float64
	}{{"accessories", b.Accessories}, {"oil_mass", b.Oil}, {"coolant_mass", b.Coolant}, {"dry_mass", b.DryMass}} {
		if !(m.x >= 0 && m.x <= MaxBlockMass) {
			v.fail("block."+m.where, "it must lie between 0 and 5000 t", "the value is %.4g kg", m.x)
		}
	}
	if !(b.Camshafts >= 0 && b.Camshafts <= MaxCamshafts) {
		v.fail("block.camshafts", "count those over one bank: 0, 1 or 2", "the value is %.4g", b.Camshafts)
	}
	if b.SumpDepth > 0 && b.SumpDepth < b.SkirtDepth {
		v.fail("block.sump_depth", "the sump must reach below its joint with the block, or be 0 mm where the engine has none",
			"the sump ends %.4g mm below the crank axis and its joint lies %.4g mm below it", 1e3*b.SumpDepth, 1e3*b.SkirtDepth)
	}
}
