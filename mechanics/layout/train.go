package layout

import "crankwright/num"

// Cycle is the working cycle.
type Cycle int

// The two working cycles.
const (
	FourStroke Cycle = iota // one firing of each cylinder in two revolutions
	TwoStroke               // one firing of each cylinder in every revolution
)

// Period returns the crank angle of one working cycle.
//
// Result [rad]: 4π for four-stroke, 2π for two-stroke. Definition.
func (c Cycle) Period() num.Angle {
	if c == TwoStroke {
		return num.Turn
	}
	return 2 * num.Turn
}

// String returns the cycle in the words of the engine file [-]. Definition.
func (c Cycle) String() string {
	if c == TwoStroke {
		return "two-stroke"
	}
	return "four-stroke"
}

// Rotation is the sense in which the crank turns, seen from the drive end.
type Rotation int

// The two senses of rotation.
const (
	Anticlockwise Rotation = iota // right-handed about +x
	Clockwise                     // the mirror image (y → −y) of the train as written
)

// String returns the sense in the words of the engine file [-]. Definition.
func (r Rotation) String() string {
	if r == Clockwise {
		return "clockwise"
	}
	return "anticlockwise"
}

// Train is a whole crank train: everything that moves, and what the choice of a layout needs to
// know of the rest.
type Train struct {
	Name        string
	Arrangement Arrangement // what the file called it; no result depends on it
	Cycle       Cycle
	Rotation    Rotation
	Bore        float64 // [m]; 0 where unknown
	Throws      []Throw
	Cylinders   []Cylinder
	Banks       []Bank

	Counterweights []Unbalance // masses fixed to the crank
	Shafts         []Shaft     // balance shafts
	Reference      float64     // x about which moments are taken [m]

	Crank    CrankGeometry
	Flywheel float64 // moment of inertia of the flywheel [kg m²]
	Speeds   Speeds
	Gas      Gas
	Friction Friction
	Turning  Turning
	Bearings Bearings
	Steel    Steel
	Twisting Twisting
	Mounting Mounting
	Block    Block
	Making   Making

	FiringOrder []int // cylinder indices; nil: taken from FiresAt, or the most even order

	Estimates []Estimate // what the file left out and how it was filled
	Assumed   []Estimate // the same of gas, friction and what turns, of bearings, steel and shafts: the balance does not depend on them
}

// Arrangement is how the cylinders stand round and along the crank.
type Arrangement string

// The arrangements that an engine file can name.
const (
	Inline  Arrangement = "inline"
	Vee     Arrangement = "vee"
	Opposed Arrangement = "opposed"
	Radial  Arrangement = "radial"
	Custom  Arrangement = "custom"
)

// Throw is one crankpin with its webs.
type Throw struct {
	Name      string
	At        float64   // axial place x [m]
	Angle     num.Angle // direction of the pin at θ = 0, from +z about +x [rad]
	Radius    float64   // crank radius, half the stroke [m]
	Unbalance float64   // mass × radius of pin and webs in the pin's direction, no counterweight [kg m]
	Pair      int       // index of the throw of which this pin is a part: pins split from one throw share it
}

// PairOf returns the throw from which a pin is split.
//
//   - throw: index into Throws [-]
//
// Result: index into Throws [-], the throw itself where it is not split. Definition: see Throw.Pair.
func (t *Train) PairOf(throw int) int {
	if p := t.Throws[throw].Pair; p >= 0 && p < len(t.Throws) {
		return p
	}
	return throw
}

// Bank is a row of cylinders with one axis angle.
type Bank struct {
	Name string
	Axis num.Angle // cylinder axis angle from +z about +x [rad]
}

// Cylinder is one cylinder with its piston and connecting rod.
type Cylinder struct {
	Name   string
	Throw  int       // index into Train.Throws
	Bank   int       // index into Train.Banks
	At     float64   // axial place x of the cylinder axis [m]
	Axis   num.Angle // cylinder axis angle from +z about +x [rad]
	Offset float64   // distance of the cylinder axis from the crank axis, positive towards Axis + 90° [m]

	FiresAt    num.Angle // crank angle of its firing top dead centre [rad], where FiresGiven
	FiresGiven bool
	Exhaust    string // exhaust group; empty: the bank

	Piston Piston
	Rod    Rod
}

// Piston is the piston with its rings and pin, a body that only slides.
type Piston struct {
	Mass      float64 // [kg]
	PinOffset float64 // pin beside the cylinder axis, positive towards Axis + 90° [m]; the mass is counted at the pin
	// Height from pin to crown [m] (compression height); 0 where unknown; used in drawings and space only.
	CompressionHeight float64
}

// Rod is a connecting rod, a rigid body in plane motion.
type Rod struct {
	Length  float64 // between the eye centres [m]; of a linked rod from knuckle pin to piston pin
	Mass    float64 // [kg]
	CG      float64 // centre of gravity from the big end (linked rod: from the knuckle pin) [m]
	Inertia float64 // about the centre of gravity, axis along x [kg m²]

	Linked        bool      // carried by the knuckle pin of a master rod instead of the crankpin
	Master        int       // index of the cylinder whose rod is the master, where Linked
	KnuckleRadius float64   // knuckle pin from the master's big end [m]
	KnuckleAngle  num.Angle // from the direction big end → small end of the master, about +x [rad]
}

// Unbalance is a mass × radius fixed to a turning part.
type Unbalance struct {
	At     float64   // axial place x [m]
	Angle  num.Angle // direction at θ = 0, from +z about +x [rad]
	Amount float64   // mass × radius [kg m]
	Throw  int       // 1 + index of the throw it belongs to; 0: none
}

// Shaft is a balance shaft: masses that turn about an axis parallel to the crank.
type Shaft struct {
	SpeedRatio float64 // turns per crank turn, negative against the crank; a multiple of ½
	Y, Z       float64 // place of its axis [m]
	Masses     []Unbalance
}

// CrankGeometry holds the widths and diameters that space, drawings and strength need. A zero
// means unknown; no inertia result reads it.
type CrankGeometry struct {
	MainJournal Journal
	Crankpin    Journal
	Web         Web
	Fillet      float64 // fillet radius between crankpin and web [m]

	JournalFillet float64   // fillet radius between main journal and web [m]; 0: that of the pin
	Recess        float64   // depth to which both fillets are cut into the web [m]; 0 is a value
	OilBore       float64   // diameter of the oil bore in the pin [m]
	OilBoreAngle  num.Angle // direction in which it leaves the pin, from the throw in the sense of rotation [rad]; 0 is a value
}

// Journal is a cylindrical bearing seat.
type Journal struct {
	Diameter float64 // [m]
	Width    float64 // [m]
	Bore     float64 // of a hollow journal [m]; 0: solid
}

// Web is the cheek between a main journal and a crankpin.
type Web struct {
	Thickness float64 // along x [m]
	Width     float64 // across the throw [m]
}

// Speeds are the crank speeds that matter to the user.
type Speeds struct {
	Idle, Rated, Limit float64 // [rad/s]
}

// Above returns the highest speed where a crank speed lies above it.
//
//   - ω: crank speed [rad/s]
//
// Result: Limit [rad/s]; 0: the speed keeps it, or none is known. Definition.
func (s Speeds) Above(ω float64) float64 {
	if s.Limit > 0 && ω > s.Limit*(1+1e-9) {
		return s.Limit
	}
	return 0
}

// Pegging is how the zero of a measured cylinder pressure is found.
type Pegging int

// The ways to find the zero.
const (
	PegUsual      Pegging = iota // none for absolute pressures, by the polytrope for others
	PegIntake                    // the pressure about bottom dead centre of intake is that of the intake
	PegPolytropic                // compression follows p V^n = const
	PegNone                      // the pressures are taken as they are
)

// String returns the way in the words of the engine file [-]. Definition.
func (p Pegging) String() string {
	return [...]string{"", "intake", "polytropic", "none"}[max(0, min(p, PegNone))]
}

// Trace is a measured cylinder pressure, as its file has it: no shift, no pegging.
type Trace struct {
	File      string
	Angles    []num.Angle // from firing top dead centre [rad], growing, over less than a cycle
	Pressures [][]float64 // one curve a column, at Angles [Pa]
	Cylinders []string    // names of the cylinders of the columns; empty: one curve for all
	Shared    bool        // Angles count from the firing top dead centre of the first column's cylinder, for all columns
	Speed     float64     // crank speed, where the file has it [rad/s]; 0: unknown
	Absolute  bool        // the pressures count from vacuum, not from the atmosphere
	Cycles    int         // number of cycles of which the curves are the mean
	Variation []float64   // coefficient of variation of their IMEP, by column [1]; nil for a single cycle
	Remarks   []string    // what was taken for granted when the file was read, for people
}

// Estimate records one value that the file left out.
type Estimate struct {
	Key    string  // where it would stand in the file, such as rod.mass
	Value  float64 // SI
	Unit   string  // SI unit of Value
	Shown  string  // the value in the unit that people read
	Rule   string  // how it was found
	Source string  // where the rule comes from
}
