package spec

// This file holds the types of an engine file. Their doc comments are the descriptions in the
// JSON Schema, so they speak to the person who writes the file.

// Engine is an engine file in short or custom form.
type Engine struct {
	Mark `yaml:"-"`
	// What the engine is called in tables and figures.
	Name Text `yaml:"name" chapter:"engine"`
	// Working cycle: four-stroke fires each cylinder once in two revolutions, two-stroke in every revolution.
	Cycle Word[cycleWords] `yaml:"cycle" chapter:"engine"`
	// Sense of rotation seen from the drive end; left out: anticlockwise. Clockwise mirrors the engine.
	Rotation Word[rotationWords] `yaml:"rotation" chapter:"engine"`
	// What the engine is for; moves all estimates towards light or stout parts. Left out: general.
	Duty Word[dutyWords] `yaml:"duty" chapter:"engine"`
	// Cylinder bore.
	Bore Quantity[Length] `yaml:"bore" chapter:"engine" limit:"size"`
	// Stroke, twice the crank radius. In the custom form the radius of throws that give none.
	Stroke Quantity[Length] `yaml:"stroke" chapter:"engine" limit:"size"`
	// How the cylinders stand and how the throws are phased.
	Layout Layout `yaml:"layout" chapter:"layout"`
	// The connecting rods. In the custom form for the cylinders that say nothing else.
	Rod Rod `yaml:"rod" chapter:"rod-piston"`
	// The pistons. In the custom form for the cylinders that say nothing else.
	Piston Piston `yaml:"piston" chapter:"rod-piston"`
	// The crank.
	Crank Crank `yaml:"crank" chapter:"crank"`
	// Balance shafts.
	BalanceShafts []Shaft `yaml:"balance_shafts" chapter:"balance"`
	// Where moments are taken, along the crank; left out: the middle of the crank.
	Reference Quantity[Length] `yaml:"reference" chapter:"balance"`
	// The flywheel.
	Flywheel Flywheel `yaml:"flywheel" chapter:"crank"`
	// Crank speeds.
	Speeds Speeds `yaml:"speeds" chapter:"speeds"`
	// The working gas.
	Gas Gas `yaml:"gas" chapter:"gas"`
	// Friction.
	Friction Friction `yaml:"friction" chapter:"friction"`
	// How the crank is carried and oiled.
	Bearings Bearings `yaml:"bearings" chapter:"bearings"`
	// How the shaft winds up beyond what its geometry tells.
	Torsion Torsion `yaml:"torsion" chapter:"torsion"`
	// How the engine stands on its mounts, and what is bolted to it.
	Mounts Mounts `yaml:"mounts" chapter:"mounts"`
	// Who feels the engine.
	People People `yaml:"people" chapter:"mounts"`
	// What stands round the crank train: block, heads, sump, masses.
	Block Block `yaml:"block" chapter:"space"`
	// How the engine is made.
	Making Making `yaml:"making" chapter:"making"`

	file string    // its name in messages
	doc  *document // for Locate
}

// Layout is the section layout.
type Layout struct {
	Mark `yaml:"-"`
	// Arrangement of the cylinders: inline, vee, opposed, radial, or custom with everything explicit.
	Arrangement Word[arrangementWords] `yaml:"arrangement"`
	// Number of cylinders; in the custom form the list of them.
	Cylinders Cylinders `yaml:"cylinders"`
	// Throw angles, free end first, one a throw, or a word such as flat-plane or cross-plane. even-fire: the crank that fires evenly, in a vee without pin_split with the smallest split that does it; refused where there is none. Left out: that crank too, but never a split of its own, so that a vee, or opposed cylinders on one pin, may fire unevenly. Radial: either is one row.
	Pins Pins `yaml:"pins" for:"inline vee opposed radial"`
	// Cylinder names in the order of firing. Left out: the most even order is chosen.
	FiringOrder Names `yaml:"firing_order" chapter:"firing"`
	// Distance of neighbouring throws along the crank.
	CylinderSpacing Quantity[Length] `yaml:"cylinder_spacing" limit:"positive" for:"inline vee opposed radial"`
	// Distance of the cylinder axis from the crank axis, positive towards axis + 90 deg; one value, or one a bank. Left out: 0 mm; in a narrow vee outwards.
	CylinderOffset Lengths `yaml:"cylinder_offset" for:"inline vee opposed radial"`
	// Vee: angle between the banks.
	BankAngle Quantity[Angle] `yaml:"bank_angle" limit:"positive" for:"vee"`
	// Vee: angle by which the second bank's pin trails the first's; left out: 0 deg, or with pins: even-fire the smallest that fires evenly.
	PinSplit Quantity[Angle] `yaml:"pin_split" for:"vee"`
	// Vee, opposed: axial distance of the two cylinders of one throw, the second bank nearer to the drive end.
	BankStagger Quantity[Length] `yaml:"bank_stagger" limit:"not negative" for:"vee opposed"`
	// Vee, opposed: cylinder numbers bank by bank (left out), or alternately along the crank.
	Numbering Word[numberingWords] `yaml:"numbering" for:"vee opposed"`
	// Opposed: true (left out) gives facing cylinders a pin each, half a turn apart; false lets them share one.
	EachRodOwnPin Flag `yaml:"each_rod_own_pin" for:"opposed"`
	// Radial: all rods on the crankpin (plain, left out), or one master rod that carries the others.
	Rods Word[rodWords] `yaml:"rods" for:"radial"`
	// Radial with master and link: knuckle pin from the middle of the master's big end.
	KnuckleRadius Quantity[Length] `yaml:"knuckle_radius" limit:"positive" for:"radial"`
	// Radial with master and link: knuckle angles of the linked rods of a row; left out: the angles between the cylinder axes.
	KnuckleAngles Angles `yaml:"knuckle_angles" for:"radial"`
	// Radial with master and link: length of the linked rods; left out: rod length less knuckle radius.
	LinkLength Quantity[Length] `yaml:"link_length" limit:"positive" for:"radial"`
	// Radial: angle by which every second row is turned; left out: half the angle between cylinders.
	RowStagger Quantity[Angle] `yaml:"row_stagger" for:"radial"`
	// Exhaust groups: by-bank (left out), all-in-one, each, or lists of cylinders.
	ExhaustGroups Groups `yaml:"exhaust_groups" chapter:"firing"`
	// Labels of the cylinders for people: from-free-end (left out), iso-1204, or a list. No result depends on them.
	Labels Labels `yaml:"labels" chapter:"engine"`
	// Custom: the throws of the crank.
	Throws []Throw `yaml:"throws" for:"custom"`
}

// Throw is a crankpin of the custom form.
type Throw struct {
	Mark `yaml:"-"`
	// Short name by which cylinders refer to it.
	Name Text `yaml:"name"`
	// Axial place, from free end to drive end.
	At Quantity[Length] `yaml:"at"`
	// Direction of the pin at crank angle 0, from the reference line in the sense of rotation.
	Angle Quantity[Angle] `yaml:"angle"`
	// Crank radius, half the stroke.
	Radius Quantity[Length] `yaml:"radius" limit:"positive"`
	// Mass times radius of pin and webs without counterweights.
	Unbalance Quantity[Moment] `yaml:"unbalance" limit:"not negative"`
	// Name of the first pin of the throw from which this pin is split.
	Pair Text `yaml:"pair"`
}

// Cylinder is a cylinder of the custom form.
type Cylinder struct {
	Mark `yaml:"-"`
	// Name, a number or a text.
	Name Text `yaml:"name"`
	// Name of the throw that carries its rod.
	Throw Text `yaml:"throw"`
	// Axial place of the cylinder axis; left out: that of the throw.
	At Quantity[Length] `yaml:"at"`
	// Cylinder axis angle from the reference line in the sense of rotation.
	Axis Quantity[Angle] `yaml:"axis"`
	// Distance of the cylinder axis from the crank axis, positive towards axis + 90 deg; left out: 0 mm.
	Offset Quantity[Length] `yaml:"offset"`
	// Crank angle of its firing top dead centre, from 0 up to below a cycle.
	FiresAt Quantity[Angle] `yaml:"fires_at" chapter:"firing"`
	// Exhaust group; left out: its bank.
	Exhaust Text `yaml:"exhaust" chapter:"firing"`
	// Name of its bank; left out: cylinders with one axis angle are a bank.
	Bank Text `yaml:"bank"`
	// Piston with rings and pin.
	Piston Piston `yaml:"piston" chapter:"rod-piston"`
	// Connecting rod.
	Rod CylinderRod `yaml:"rod" chapter:"rod-piston"`
	// Linked rod: name of the cylinder with the master rod; may stand in rod as well.
	Master Text `yaml:"master" chapter:"rod-piston"`
	// Linked rod: knuckle pin from the middle of the master's big end; may stand in rod as well.
	KnuckleRadius Quantity[Length] `yaml:"knuckle_radius" limit:"positive" chapter:"rod-piston"`
	// Linked rod: knuckle pin from the direction big end to small end of the master; may stand in rod as well.
	KnuckleAngle Quantity[Angle] `yaml:"knuckle_angle" chapter:"rod-piston"`
}

// Rod is a connecting rod.
type Rod struct {
	Mark `yaml:"-"`
	// Length between the eye centres.
	Length Quantity[Length] `yaml:"length" limit:"positive"`
	// Mass with bolts and shells.
	Mass Quantity[Mass] `yaml:"mass" limit:"not negative"`
	// Centre of gravity from the middle of the big end.
	CG Quantity[Length] `yaml:"cg_from_big_end"`
	// Moment of inertia about the centre of gravity.
	Inertia Quantity[Inertia] `yaml:"inertia" limit:"not negative"`
}

// CylinderRod is the rod of one cylinder of the custom form, which a master rod may carry.
type CylinderRod struct {
	Mark `yaml:"-"`
	// Length between the eye centres; of a linked rod from knuckle pin to piston pin.
	Length Quantity[Length] `yaml:"length" limit:"positive"`
	// Mass with bolts and shells.
	Mass Quantity[Mass] `yaml:"mass" limit:"not negative"`
	// Centre of gravity from the middle of the big end, of a linked rod from the knuckle pin.
	CG Quantity[Length] `yaml:"cg_from_big_end"`
	// Moment of inertia about the centre of gravity.
	Inertia Quantity[Inertia] `yaml:"inertia" limit:"not negative"`
	// Linked rod: name of the cylinder with the master rod.
	Master Text `yaml:"master"`
	// Linked rod: knuckle pin from the middle of the master's big end.
	KnuckleRadius Quantity[Length] `yaml:"knuckle_radius" limit:"positive"`
	// Linked rod: knuckle pin from the direction big end to small end of the master, in the sense of rotation.
	KnuckleAngle Quantity[Angle] `yaml:"knuckle_angle"`
}

// Piston is a piston with its rings and pin.
type Piston struct {
	Mark `yaml:"-"`
	// Mass of piston, rings and pin.
	Mass Quantity[Mass] `yaml:"mass" limit:"not negative"`
	// Piston pin beside the cylinder axis, positive towards axis + 90 deg; left out: 0 mm.
	PinOffset Quantity[Length] `yaml:"pin_offset"`
	// Height from piston pin to crown; for drawings and space only.
	CompressionHeight Quantity[Length] `yaml:"compression_height" limit:"not negative"`
}

// Crank is the section crank.
type Crank struct {
	Mark `yaml:"-"`
	// Mass times radius of one crankpin with its webs, without counterweights; where each rod has a pin of its own, of each of these.
	ThrowUnbalance Quantity[Moment] `yaml:"throw_unbalance" limit:"not negative"`
	// Counterweights: none (left out), {balance_factor: 50 %}, or a list.
	Counterweights Counterweights `yaml:"counterweights" chapter:"balance"`
	// Main journals.
	MainJournal Journal `yaml:"main_journal"`
	// Crankpins.
	Crankpin Journal `yaml:"crankpin"`
	// Webs.
	Web Web `yaml:"web"`
	// Fillet radius between crankpin and web.
	FilletRadius Quantity[Length] `yaml:"fillet_radius" limit:"not negative"`
	// Fillet radius between main journal and web; left out: that of the crankpin.
	JournalFilletRadius Quantity[Length] `yaml:"journal_fillet_radius" limit:"not negative" chapter:"strength"`
	// Depth to which the fillets are cut into the web; left out: not at all.
	FilletRecess Quantity[Length] `yaml:"fillet_recess" limit:"not negative" chapter:"strength"`
	// The oil bore in each crankpin.
	OilBore OilBore `yaml:"oil_bore" chapter:"strength"`
	// Tensile strength of the steel.
	TensileStrength Quantity[Strength] `yaml:"tensile_strength" limit:"positive" chapter:"strength"`
	// Yield strength of the steel.
	YieldStrength Quantity[Strength] `yaml:"yield_strength" limit:"positive" chapter:"strength"`
	// How the crank is made: grain-flow (drop forged too), free-form forged, or cast with rolled fillets.
	Make Word[makeWords] `yaml:"make" chapter:"strength"`
	// Moment of inertia of the crank with its counterweights, without flywheel, rods and pistons.
	Inertia Quantity[Inertia] `yaml:"inertia" limit:"not negative"`
}

// Journal is a bearing seat.
type Journal struct {
	Mark `yaml:"-"`
	// Diameter.
	Diameter Quantity[Length] `yaml:"diameter" limit:"positive"`
	// Width along the crank.
	Width Quantity[Length] `yaml:"width" limit:"positive"`
	// Bore of a hollow journal; left out: solid.
	Bore Quantity[Length] `yaml:"bore" limit:"not negative" chapter:"strength"`
}

// Web is the cheek between a main journal and a crankpin.
type Web struct {
	Mark `yaml:"-"`
	// Thickness along the crank.
	Thickness Quantity[Length] `yaml:"thickness" limit:"positive"`
	// Width across the throw.
	Width Quantity[Length] `yaml:"width" limit:"positive"`
}

// Unbalance is a mass at a radius on the crank.
type Unbalance struct {
	Mark `yaml:"-"`
	// Axial place.
	At Quantity[Length] `yaml:"at"`
	// Direction at crank angle 0.
	Angle Quantity[Angle] `yaml:"angle"`
	// Mass times radius.
	Unbalance Quantity[Moment] `yaml:"unbalance"`
	// Custom: name of the throw whose web carries it.
	Throw Text `yaml:"throw"`
}

// Shaft is a balance shaft.
type Shaft struct {
	Mark `yaml:"-"`
	// Turns per turn of the crank, negative against it; a multiple of 0.5.
	SpeedRatio Quantity[PureRatio] `yaml:"speed_ratio"`
	// Place of its axis, across.
	Y Quantity[Length] `yaml:"y"`
	// Place of its axis, up.
	Z Quantity[Length] `yaml:"z"`
	// Its masses.
	Masses []ShaftMass `yaml:"masses"`
}

// ShaftMass is a mass at a radius on a balance shaft.
type ShaftMass struct {
	Mark `yaml:"-"`
	// Axial place.
	At Quantity[Length] `yaml:"at"`
	// Direction at crank angle 0.
	Angle Quantity[Angle] `yaml:"angle"`
	// Mass times radius.
	Unbalance Quantity[Moment] `yaml:"unbalance"`
}

// Flywheel is the section flywheel.
type Flywheel struct {
	Mark `yaml:"-"`
	// Moment of inertia.
	Inertia Quantity[Inertia] `yaml:"inertia" limit:"not negative"`
	// Moment of inertia of a driven machine that is rigidly coupled, as the crank feels it; left out: none.
	DrivenInertia Quantity[Inertia] `yaml:"driven_inertia" limit:"not negative"`
	// Coefficient of fluctuation of speed that a flywheel shall hold, largest less smallest over mean.
	Fluctuation Quantity[Share] `yaml:"fluctuation"`
	// Outer diameter of the flywheel that is sized.
	Diameter Quantity[Length] `yaml:"diameter" limit:"positive"`
	// Density of its material.
	Density Quantity[Density] `yaml:"density" limit:"positive"`
}

// Speeds is the section speeds.
type Speeds struct {
	Mark `yaml:"-"`
	// Idle speed.
	Idle Quantity[Speed] `yaml:"idle" limit:"positive"`
	// Speed of rated power; results are for this speed unless another is asked for.
	Rated Quantity[Speed] `yaml:"rated" limit:"positive"`
	// Highest permitted speed.
	Limit Quantity[Speed] `yaml:"limit" limit:"positive"`
}

// Gas is the section gas: how a cylinder works at full load.
type Gas struct {
	Mark `yaml:"-"`
	// Compression ratio.
	CompressionRatio Quantity[PureRatio] `yaml:"compression_ratio" limit:"positive"`
	// Indicated mean effective pressure at full load and rated speed; left out: the model finds it.
	IMEP Quantity[Pressure] `yaml:"imep" limit:"positive"`
	// File with a measured cylinder pressure, in place of imep.
	Trace Text `yaml:"trace"`
	// Added to the crank angles of the trace, to correct its top dead centre; left out: 0 deg.
	TraceShift Quantity[Angle] `yaml:"trace_shift"`
	// How the zero of the trace is found: from the intake pressure about bottom dead centre, from polytropic compression, or none. Left out: none for pressures from vacuum, else polytropic.
	TracePegging Word[peggingWords] `yaml:"trace_pegging"`
	// How the charge is lit: spark or compression; left out: by the compression ratio.
	Ignition Word[ignitionWords] `yaml:"ignition"`
	// Air over the air that the fuel needs; 1 burns all of both.
	AirRatio Quantity[PureRatio] `yaml:"air_ratio" limit:"positive"`
	// Boost at full load: pressure in the intake manifold above the air outside (1 bar); of a four-stroke it falls with the load.
	Boost Quantity[Pressure] `yaml:"boost"`
	// Pressure in the intake manifold at full load, absolute, in place of boost.
	IntakePressure Quantity[Pressure] `yaml:"intake_pressure" limit:"positive"`
	// Temperature of the charge in the intake manifold.
	IntakeTemperature Quantity[Temperature] `yaml:"intake_temperature" limit:"positive"`
	// Pressure in the exhaust manifold at full load, absolute; of a boosted four-stroke it falls with the load.
	ExhaustPressure Quantity[Pressure] `yaml:"exhaust_pressure" limit:"positive"`
	// Combustion phasing: crank angle after firing top dead centre at which half the heat has been released.
	HalfBurned Quantity[Angle] `yaml:"half_burned"`
	// Combustion duration: crank angle over which the heat is released.
	BurnDuration Quantity[Angle] `yaml:"burn_duration" limit:"positive"`
	// Compression ignition: share of the heat that is released in the premixed part.
	PremixedShare Quantity[Share] `yaml:"premixed_share" limit:"not negative"`
	// When valves or ports open and close.
	Valves ValveTimes `yaml:"valves"`
	// Mean temperature of the walls of the cylinder.
	WallTemperature Quantity[Temperature] `yaml:"wall_temperature" limit:"positive"`
	// Factor on the heat that the walls take; 0: none.
	WallHeat Quantity[PureRatio] `yaml:"wall_heat" limit:"not negative"`
	// Pressure below the pistons, absolute.
	CrankcasePressure Quantity[Pressure] `yaml:"crankcase_pressure" limit:"positive"`
	// Cylinders that are switched off or misfire.
	Off Names `yaml:"off"`
	// Volumetric efficiency over speed at full load, such as - {speed: 3000 rpm, value: 88 %}, which gas and power show; left out: the model finds it.
	VolumetricEfficiency []Filling `yaml:"volumetric_efficiency"`
}

// ValveTimes are crank angles from firing top dead centre, so that 180 deg is the bottom after it.
type ValveTimes struct {
	Mark `yaml:"-"`
	// Intake opens, from firing top dead centre.
	IntakeOpens Quantity[Angle] `yaml:"intake_opens"`
	// Intake closes, from firing top dead centre; after it opens.
	IntakeCloses Quantity[Angle] `yaml:"intake_closes"`
	// Exhaust opens, from firing top dead centre.
	ExhaustOpens Quantity[Angle] `yaml:"exhaust_opens"`
	// Exhaust closes, from firing top dead centre; after it opens.
	ExhaustCloses Quantity[Angle] `yaml:"exhaust_closes"`
	// Largest effective flow area of all intake valves of a cylinder together.
	IntakeArea Quantity[Area] `yaml:"intake_area" limit:"positive"`
	// Largest effective flow area of all exhaust valves of a cylinder together.
	ExhaustArea Quantity[Area] `yaml:"exhaust_area" limit:"positive"`
}

// Filling is the volumetric efficiency at one speed.
type Filling struct {
	Mark `yaml:"-"`
	// Crank speed.
	Speed Quantity[Speed] `yaml:"speed" limit:"positive"`
	// Fresh charge that comes in, fuel that is premixed and what is lost by the exhaust with it, over what the swept volume holds at intake_pressure and intake_temperature.
	Value Quantity[Share] `yaml:"value" limit:"positive"`
}

// Friction is the section friction.
type Friction struct {
	Mark `yaml:"-"`
	// Where friction is taken from: a motored correlation, one in peak pressure and piston speed, or the sum of the parts that rub.
	By Word[frictionWords] `yaml:"by"`
	// Factor on the result, to match a measured engine.
	Factor Quantity[PureRatio] `yaml:"factor" limit:"positive"`
	// Valves of one cylinder; counts where friction is summed by parts.
	ValvesPerCylinder Quantity[PureRatio] `yaml:"valves_per_cylinder" limit:"not negative"`
	// Drives of camshafts and pumps; counts where friction is summed by parts.
	Drives Quantity[PureRatio] `yaml:"drives" limit:"not negative"`
}

type (
	cycleWords       struct{}
	rotationWords    struct{}
	dutyWords        struct{}
	arrangementWords struct{}
	numberingWords   struct{}
	rodWords         struct{}
	ignitionWords    struct{}
	frictionWords    struct{}
	peggingWords     struct{}
)

func (cycleWords) words() []string    { return []string{"four-stroke", "two-stroke"} }
func (rotationWords) words() []string { return []string{"anticlockwise", "clockwise"} }
func (dutyWords) words() []string     { return []string{"light", "general", "heavy"} }
func (arrangementWords) words() []string {
	return []string{"inline", "vee", "opposed", "radial", "custom"}
}
func (numberingWords) words() []string { return []string{"by-bank", "along-crank"} }
func (rodWords) words() []string       { return []string{"plain", "master-and-link"} }
func (ignitionWords) words() []string  { return []string{"spark", "compression"} }
func (frictionWords) words() []string {
	return []string{"spark-motored", "compression-motored", "peak-pressure", "parts"}
}
func (peggingWords) words() []string { return []string{"intake", "polytropic", "none"} }
