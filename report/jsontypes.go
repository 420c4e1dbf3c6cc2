package report

// The types of this file are the JSON object that evaluate --json prints, and from them the schema is
// generated: a field's description is what the schema says of it. Keys may be added; those that are
// there stay.

// Complex is a complex number as [real part, imaginary part].
type Complex [2]float64

// Document is everything that is known of one engine at one speed.
type Document struct {
	Name            string  `json:"name" jsonschema_description:"name of the engine, as its file gives it"`
	SpeedRPM        float64 `json:"speed_rpm" jsonschema_description:"crank speed of all values"`
	AboveLimit      float64 `json:"above_limit_rpm,omitempty" jsonschema_description:"the highest speed of the engine, where the crank speed is above it; left out: it keeps it, or none is known"`
	Cycle           string  `json:"cycle" jsonschema:"enum=four-stroke,enum=two-stroke" jsonschema_description:"whether each cylinder fires every second revolution or every one"`
	Rotation        string  `json:"rotation" jsonschema:"enum=anticlockwise,enum=clockwise" jsonschema_description:"seen from the drive end"`
	Arrangement     string  `json:"arrangement" jsonschema_description:"what the file calls it; no result depends on it"`
	DisplacementCM3 float64 `json:"displacement_cm3" jsonschema_description:"of all cylinders; 0 where the bore is unknown"`
	Method          string  `json:"method" jsonschema:"enum=rigid-body,enum=two-mass" jsonschema_description:"how rods are treated: as rigid bodies, or replaced by a mass at each eye"`

	Cylinders []CylinderDoc `json:"cylinders" jsonschema_description:"by number"`
	Balance   BalanceDoc    `json:"balance" jsonschema_description:"what inertia does to the block and to the crank"`
	Firing    FiringDoc     `json:"firing" jsonschema_description:"how the engine fires"`
	TwoMass   TwoMassDoc    `json:"two_mass" jsonschema_description:"the rods replaced by two masses: what that view would get wrong; forces are exact in it"`
	Figures   []FigureDoc   `json:"figures" jsonschema_description:"the single numbers by which engines are compared"`
	Summary   []string      `json:"summary" jsonschema_description:"what shakes and what could take it, in sentences"`
	Torque    *TorqueDoc    `json:"torque,omitempty" jsonschema_description:"torque of gas and inertia; left out where the gas is not known well enough"`
	Friction  *FrictionDoc  `json:"friction,omitempty" jsonschema_description:"what friction takes; left out where there is no torque"`
	Gas       *GasDoc       `json:"gas,omitempty" jsonschema_description:"the working cycle"`
	NoTorque  string        `json:"no_torque,omitempty" jsonschema_description:"why there is no torque"`

	Bearings   *BearingsDoc `json:"bearings,omitempty" jsonschema_description:"what the bearings carry, on what film of oil and in what room; not in the workbench's answer, which asks for it by itself"`
	NoBearings string       `json:"no_bearings,omitempty" jsonschema_description:"why there are none"`
	Torsion    *TorsionDoc  `json:"torsion,omitempty" jsonschema_description:"torsional vibration over the range of speeds"`
	Mounts     *MountsDoc   `json:"mounts,omitempty" jsonschema_description:"how the engine swings on its mounts, what reaches the structure and who feels it"`
	NoMounts   string       `json:"no_mounts,omitempty" jsonschema_description:"why they are not known"`
	NoTorsion  string       `json:"no_torsion,omitempty" jsonschema_description:"why there is none"`
	Strength   *StrengthDoc `json:"strength,omitempty" jsonschema_description:"whether the throws last, by the rule for crankshafts"`
	NoStrength string       `json:"no_strength,omitempty" jsonschema_description:"why it is not known"`
	Envelope   *SpaceDoc    `json:"envelope,omitempty" jsonschema_description:"the room that the engine takes and what it weighs, without its solids"`
	NoEnvelope string       `json:"no_envelope,omitempty" jsonschema_description:"why they are not known"`

	Parts   *PartsDoc `json:"parts,omitempty" jsonschema_description:"what the engine is made of, friction by part, service and cooling; not in the workbench's answer, which asks for it by itself"`
	NoParts string    `json:"no_parts,omitempty" jsonschema_description:"why they are not known"`
	Cost    *CostDoc  `json:"cost,omitempty" jsonschema_description:"by the invented price table"`
	NoCost  string    `json:"no_cost,omitempty" jsonschema_description:"why there is none"`

	Guidance  []string      `json:"guidance,omitempty" jsonschema_description:"guidance that the program knows and the engine misses, in words: a bearing above that for its lining, a crank below its rule, parts that meet; left out: none, or it was not looked at"`
	Curves    *CurvesDoc    `json:"curves,omitempty" jsonschema_description:"over two revolutions; only when asked for"`
	Sweep     []SweepDoc    `json:"sweep,omitempty" jsonschema_description:"the balance at other speeds; only when asked for"`
	Estimates []EstimateDoc `json:"estimates" jsonschema_description:"what the file left out of the crank train and how it was filled"`
	Assumed   []EstimateDoc `json:"assumed,omitempty" jsonschema_description:"the same of all else on which the results here rest: gas, friction and what turns, bearings, steel and shaft, block, making; the balance does not depend on them"`
	Caution   string        `json:"caution" jsonschema_description:"what the numbers are not good for"`
}

// CylinderDoc is one cylinder.
type CylinderDoc struct {
	Name             string  `json:"name" jsonschema_description:"of the cylinder"`
	Bank             string  `json:"bank" jsonschema_description:"name of its bank; empty: it has none"`
	Throw            string  `json:"throw" jsonschema_description:"name of its throw"`
	AtMM             float64 `json:"at_mm" jsonschema_description:"axial place of the cylinder axis"`
	AxisDeg          float64 `json:"axis_deg" jsonschema_description:"cylinder axis from +z about +x"`
	TDCDeg           float64 `json:"tdc_deg" jsonschema_description:"true top dead centre, from the geometry"`
	StrokeMM         float64 `json:"stroke_mm" jsonschema_description:"true stroke, from the geometry"`
	MeanPistonSpeed  float64 `json:"mean_piston_speed_m_per_s" jsonschema_description:"mean over a stroke"`
	PeakPistonSpeed  float64 `json:"peak_piston_speed_m_per_s" jsonschema_description:"largest over a revolution"`
	ReciprocatingKg  float64 `json:"reciprocating_kg" jsonschema_description:"piston, and the share of the rod that the two-mass view puts on the piston pin"`
	RotatingKg       float64 `json:"rotating_kg" jsonschema_description:"share of the rod that the two-mass view puts on the crankpin"`
	LinkedRod        bool    `json:"linked_rod" jsonschema_description:"whether a master rod carries its rod"`
	FiresAtDeg       float64 `json:"fires_at_deg" jsonschema_description:"crank angle of its firing top dead centre"`
	ThrowAngleDeg    float64 `json:"throw_angle_deg" jsonschema_description:"crankpin from +z about +x at crank angle 0"`
	CylinderOffsetMM float64 `json:"offset_mm" jsonschema_description:"distance of the cylinder axis from the crank axis"`
	Exhaust          string  `json:"exhaust,omitempty" jsonschema_description:"exhaust group that the file gives"`
}

// BalanceDoc is the shaking of one engine at one speed.
type BalanceDoc struct {
	ReferenceMM float64    `json:"reference_mm" jsonschema_description:"place on the crank about which moments are taken"`
	Orders      []OrderDoc `json:"orders" jsonschema_description:"orders 0.5, 1, 1.5 to 12; one without content is left out"`

	PeakForceN   float64 `json:"peak_force_N" jsonschema_description:"largest resultant force in the y-z plane over the cycle"`
	PeakForceAt  float64 `json:"peak_force_at_deg" jsonschema_description:"crank angle of it"`
	PeakMomentNm float64 `json:"peak_moment_Nm" jsonschema_description:"largest resultant moment about y and z over the cycle"`
	PeakMomentAt float64 `json:"peak_moment_at_deg" jsonschema_description:"crank angle of it"`
	PeakTorqueNm float64 `json:"peak_inertia_torque_Nm" jsonschema_description:"largest magnitude of the inertia torque over the cycle"`
	PeakTorqueAt float64 `json:"peak_inertia_torque_at_deg" jsonschema_description:"crank angle of it"`
	PeakRollNm   float64 `json:"peak_roll_Nm" jsonschema_description:"largest magnitude of the roll moment over the cycle"`
	PeakRollAt   float64 `json:"peak_roll_at_deg" jsonschema_description:"crank angle of it"`
	RMSTorqueNm  float64 `json:"rms_inertia_torque_Nm" jsonschema_description:"root mean square of the inertia torque over the cycle"`
}

// OrderDoc is one order per crank revolution.
type OrderDoc struct {
	Order         float64           `json:"order" jsonschema_description:"per crank revolution"`
	Force         ForceDoc          `json:"force" jsonschema_description:"shaking force on the block"`
	Moment        MomentDoc         `json:"moment" jsonschema_description:"shaking moment on the block about y and z"`
	RollNm        Complex           `json:"roll_Nm" jsonschema_description:"moment about x on the block because of inertia: real part of this times e^(i n theta)"`
	TorqueNm      Complex           `json:"inertia_torque_Nm" jsonschema_description:"torque that inertia exerts on the crank: real part of this times e^(i n theta)"`
	Contributions []ContributionDoc `json:"contributions,omitempty" jsonschema_description:"what each part of the engine adds; only when asked for"`
}

// ForceDoc is a force of one order: two counter-turning vectors y + iz and the ellipse they describe.
type ForceDoc struct {
	WithN    Complex `json:"with_crank_N" jsonschema_description:"turns with the crank: W+ in w = W+ e^(i n theta) + W- e^(-i n theta), w = y + iz"`
	AgainstN Complex `json:"against_crank_N" jsonschema_description:"turns against the crank: W-"`
	MajorN   float64 `json:"major_N" jsonschema_description:"longer semi-axis of the ellipse, the largest value of the order"`
	MinorN   float64 `json:"minor_N" jsonschema_description:"shorter semi-axis; 0: the force swings along a line"`
	AxisDeg  float64 `json:"axis_deg" jsonschema_description:"direction of the longer semi-axis from +y about +x, 0 up to 180; 90 is upright"`
}

// MomentDoc is a moment of one order: two counter-turning vectors y + iz and the ellipse they describe.
type MomentDoc struct {
	WithNm    Complex `json:"with_crank_Nm" jsonschema_description:"turns with the crank: W+ in w = W+ e^(i n theta) + W- e^(-i n theta), w = y + iz"`
	AgainstNm Complex `json:"against_crank_Nm" jsonschema_description:"turns against the crank: W-"`
	MajorNm   float64 `json:"major_Nm" jsonschema_description:"longer semi-axis of the ellipse, the largest value of the order"`
	MinorNm   float64 `json:"minor_Nm" jsonschema_description:"shorter semi-axis; 0: the moment swings along a line"`
	AxisDeg   float64 `json:"axis_deg" jsonschema_description:"direction of the longer semi-axis from +y about +x, 0 up to 180; 0: a couple that pitches the engine about y, 90: one that yaws it about z"`
}

// ContributionDoc is what one part adds to one order.
type ContributionDoc struct {
	Part            string  `json:"part" jsonschema_description:"such as 3, throw 2, counterweight 1, shaft 1"`
	Kind            string  `json:"kind" jsonschema:"enum=cylinder,enum=throw,enum=counterweight,enum=shaft" jsonschema_description:"of the part"`
	AtMM            float64 `json:"at_mm" jsonschema_description:"axial place"`
	ForceWithN      Complex `json:"force_with_crank_N" jsonschema_description:"what it adds to the part of the force that turns with the crank"`
	ForceAgainstN   Complex `json:"force_against_crank_N" jsonschema_description:"what it adds to the part of the force that turns against the crank"`
	MomentWithNm    Complex `json:"moment_with_crank_Nm" jsonschema_description:"what it adds to the part of the moment that turns with the crank"`
	MomentAgainstNm Complex `json:"moment_against_crank_Nm" jsonschema_description:"what it adds to the part of the moment that turns against the crank"`
	RollNm          Complex `json:"roll_Nm" jsonschema_description:"what it adds to the moment about x on the block"`
	TorqueNm        Complex `json:"inertia_torque_Nm" jsonschema_description:"what it adds to the torque on the crank"`
}

// TwoMassDoc says what the two-mass view of the rods would get wrong.
type TwoMassDoc struct {
	Used          bool    `json:"used" jsonschema_description:"the whole result was computed with it"`
	TorqueErrorNm float64 `json:"inertia_torque_error_Nm" jsonschema_description:"largest error of the inertia torque"`
	RollErrorNm   float64 `json:"roll_error_Nm" jsonschema_description:"largest error of the roll moment"`
}

// FiringDoc is how the engine fires.
type FiringDoc struct {
	Order        []string           `json:"order" jsonschema_description:"names of the cylinders in the order of firing"`
	AtDeg        []float64          `json:"at_deg" jsonschema_description:"crank angle of each firing, in that order: 0 up to the cycle, passing its end at most once"`
	IntervalsDeg []float64          `json:"intervals_deg" jsonschema_description:"from each firing to the next, the first firing first"`
	TDCDeg       map[string]float64 `json:"tdc_deg" jsonschema_description:"true top dead centre of each cylinder by name, 0 up to 360"`

	Chosen       bool    `json:"order_chosen" jsonschema_description:"the file gives no order: this is the most even one that the crank allows"`
	Evenness     float64 `json:"evenness" jsonschema_description:"cycle^2 / (N sum of squared intervals): 1 for even firing, 1/N where all fire together"`
	MeanDeg      float64 `json:"mean_interval_deg" jsonschema_description:"cycle over the number of firings"`
	LongestDeg   float64 `json:"longest_interval_deg" jsonschema_description:"from one firing to the next"`
	ShortestDeg  float64 `json:"shortest_interval_deg" jsonschema_description:"from one firing to the next; 0: two fire together"`
	DepartureDeg float64 `json:"largest_departure_deg" jsonschema_description:"of an interval from the mean"`
	BeatErrorDeg float64 `json:"beat_error_deg" jsonschema_description:"root mean square distance of the firings from the evenly spaced beat that fits them best"`
	RepeatsDeg   float64 `json:"pattern_repeats_after_deg" jsonschema_description:"crank angle after which the intervals come again, at most the cycle"`
	Quick        int     `json:"quick_successions" jsonschema_description:"intervals shorter than half the mean"`

	Neighbours     [][2]string  `json:"neighbours_in_succession" jsonschema_description:"pairs next to each other in one bank that fire one after the other"`
	SharedThrow    int          `json:"shared_throw_in_succession" jsonschema_description:"successive firings of cylinders on one throw"`
	SameBank       int          `json:"same_bank_in_succession" jsonschema_description:"successive firings in one bank"`
	AlternateShare float64      `json:"alternate_bank_share" jsonschema_description:"share of successions that go from one bank to another"`
	Exhaust        []ExhaustDoc `json:"exhaust_groups" jsonschema_description:"cylinders whose exhaust flows together"`
	Spectrum       []ImpulseDoc `json:"impulse_spectrum" jsonschema_description:"order spectrum of equal impulses, N where all add; orders without content left out"`
	Even           EvenDoc      `json:"even_firing" jsonschema_description:"whether the crank can fire evenly, and if not what would have to change"`
}

// ExhaustDoc is one exhaust group.
type ExhaustDoc struct {
	Name         string    `json:"name" jsonschema_description:"of the group"`
	Cylinders    []string  `json:"cylinders" jsonschema_description:"in the order of firing"`
	IntervalsDeg []float64 `json:"intervals_deg" jsonschema_description:"from each pulse of the group to the next"`
	Evenness     float64   `json:"evenness" jsonschema_description:"as that of the engine, for the pulses of the group"`
	ShortestDeg  float64   `json:"shortest_interval_deg" jsonschema_description:"between two pulses of the group"`
	BackToBack   int       `json:"back_to_back" jsonschema_description:"pulses that directly follow another of the same group"`
}

// ImpulseDoc is one order of the impulse spectrum.
type ImpulseDoc struct {
	Order     float64 `json:"order" jsonschema_description:"per crank revolution"`
	Amplitude float64 `json:"amplitude" jsonschema_description:"of the sum of all impulses, each of size 1"`
}

// EvenDoc is the even-firing test.
type EvenDoc struct {
	Possible    bool        `json:"possible" jsonschema_description:"the crank as it stands can fire evenly"`
	IntervalDeg float64     `json:"interval_deg" jsonschema_description:"interval of even firing"`
	BestOrder   []string    `json:"best_order" jsonschema_description:"most even order of the crank as it stands"`
	PinSplits   []ChangeDoc `json:"pin_splits" jsonschema_description:"pin splits that alone would make it fire evenly"`
	BankAngles  []ChangeDoc `json:"bank_angles" jsonschema_description:"bank angles that alone would make it fire evenly"`
	Turns       []TurnDoc   `json:"turned_throws" jsonschema_description:"throws to be turned that alone would make it fire evenly"`
	Sentences   []string    `json:"sentences" jsonschema_description:"the same in words"`
}

// ChangeDoc is a change of one angle.
type ChangeDoc struct {
	FromDeg float64 `json:"from_deg" jsonschema_description:"as it is"`
	ToDeg   float64 `json:"to_deg" jsonschema_description:"as it would have to be"`
}

// TurnDoc is one throw to be turned.
type TurnDoc struct {
	Throw string  `json:"throw" jsonschema_description:"name of the throw"`
	ByDeg float64 `json:"by_deg" jsonschema_description:"angle by which it is turned, about +x"`
	ToDeg float64 `json:"to_deg" jsonschema_description:"its direction then, at crank angle 0, from +z about +x"`
}

// FigureDoc is one number by which engines are compared.
type FigureDoc struct {
	Key    string  `json:"key" jsonschema_description:"as in the limits of a brief, such as free_force_order_2"`
	Name   string  `json:"name" jsonschema_description:"in words"`
	Unit   string  `json:"unit" jsonschema_description:"of the value; 1: none"`
	Value  float64 `json:"value" jsonschema_description:"in the unit"`
	Better string  `json:"better" jsonschema:"enum=less,enum=more,enum=neither" jsonschema_description:"which way is better"`
}

// CurvesDoc are the time histories over two revolutions.
type CurvesDoc struct {
	AngleDeg  []float64 `json:"angle_deg" jsonschema_description:"crank angle of the values"`
	ForceYN   []float64 `json:"force_y_N" jsonschema_description:"shaking force on the block to the right, seen from the drive end"`
	ForceZN   []float64 `json:"force_z_N" jsonschema_description:"shaking force on the block upwards"`
	MomentYNm []float64 `json:"moment_y_Nm" jsonschema_description:"shaking moment on the block about y"`
	MomentZNm []float64 `json:"moment_z_Nm" jsonschema_description:"shaking moment on the block about z"`
	TorqueNm  []float64 `json:"inertia_torque_Nm" jsonschema_description:"torque that inertia exerts on the crank"`
	RollNm    []float64 `json:"roll_Nm" jsonschema_description:"moment about x on the block because of inertia"`
}

// SweepDoc is the balance at one speed.
type SweepDoc struct {
	SpeedRPM        float64      `json:"speed_rpm" jsonschema_description:"crank speed of the values"`
	MeanPistonSpeed float64      `json:"mean_piston_speed_m_per_s" jsonschema_description:"mean over a stroke"`
	PeakForceN      float64      `json:"peak_force_N" jsonschema_description:"largest resultant force in the y-z plane over the cycle"`
	PeakMomentNm    float64      `json:"peak_moment_Nm" jsonschema_description:"largest resultant moment about y and z over the cycle"`
	PeakTorqueNm    float64      `json:"peak_inertia_torque_Nm" jsonschema_description:"largest magnitude of the inertia torque over the cycle"`
	PeakRollNm      float64      `json:"peak_roll_Nm" jsonschema_description:"largest magnitude of the roll moment over the cycle"`
	Orders          []SweepOrder `json:"orders" jsonschema_description:"those with content"`
}

// SweepOrder is one order at one speed: semi-axes and amplitudes.
type SweepOrder struct {
	Order    float64 `json:"order" jsonschema_description:"per crank revolution"`
	ForceN   float64 `json:"force_major_N" jsonschema_description:"longer semi-axis of the force's ellipse"`
	MomentNm float64 `json:"moment_major_Nm" jsonschema_description:"longer semi-axis of the moment's ellipse"`
	TorqueNm float64 `json:"inertia_torque_amplitude_Nm" jsonschema_description:"of the torque that inertia exerts on the crank"`
	RollNm   float64 `json:"roll_amplitude_Nm" jsonschema_description:"of the moment about x on the block"`
}

// EstimateDoc is one value that the file left out.
type EstimateDoc struct {
	Key    string  `json:"key" jsonschema_description:"where it would stand in the file"`
	Value  float64 `json:"value" jsonschema_description:"in the SI unit named by unit"`
	Unit   string  `json:"unit" jsonschema_description:"SI unit of value; 1: none"`
	Shown  string  `json:"shown" jsonschema_description:"the value as people read it"`
	Rule   string  `json:"rule" jsonschema_description:"how it was found"`
	Source string  `json:"source" jsonschema_description:"key in the list of sources, or practice"`
}

// Caution is the line that stands under every result.
const Caution = "For concept work: these figures replace neither a classification rule, a test, nor a licensed engineer."
