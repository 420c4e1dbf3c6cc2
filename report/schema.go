package report

import (
	"encoding/json"

	"github.com/invopop/jsonschema"

	"crankwright/spec"
)

// Published is a JSON Schema that is published.
type Published struct {
	Name  string // after which its file is named
	Of    string // what it describes, such as engine files
	Write func() ([]byte, error)
}

// File returns the name under which it is published.
func (p Published) File() string { return p.Name + ".schema.json" }

// Schemas returns all schemas, those of files that people write first.
func Schemas() []Published {
	return []Published{
		{"engine", "engine files", spec.EngineSchema},
		{"prices", "price tables", spec.PricesSchema},
		{"job", "jobs of the balancing shop", spec.JobSchema},
		{"brief", "briefs", spec.BriefSchema},
		{"study", "studies", spec.StudySchema},
		{"result", "evaluate --json", Schema},
		{"balance", "the verbs of balance with --json", BalanceSchema},
		{"drive", "gas, torque, power, flywheel and sound with --json", DriveSchema},
		{"lasting", "room, bearings, strength and torsion with --json", LastingSchema},
		{"space", "space --json", SpaceSchema},
		{"mounts", "mounts and people with --json", MountsSchema},
		{"parts", "parts and cost with --json", PartsSchema},
		{"choice", "choose --json", ChoiceSchema},
		{"search", "the verbs of study with --json", SearchSchema},
	}
}

// Schema returns the JSON Schema (draft 2020-12) of the object that evaluate --json prints,
// generated from the types of this package. Keys that it does not know are allowed, because later
// versions add some.
func Schema() ([]byte, error) {
	return schemaOf(&Document{}, "result", "Crankwright result",
		"What is known of one engine at one crank speed. Units stand in the keys; complex numbers are [re, im]. x runs along the crank to the drive end, z up, y right seen from the drive end.")
}

// BalanceSchema returns the JSON Schema of what the verbs of balance print with --json: each property is the
// object of the verb of that name.
func BalanceSchema() ([]byte, error) {
	return schemaOf(&struct {
		Counterweights *CounterweightsDoc `json:"counterweights,omitempty" jsonschema_description:"counterweights and what they do"`
		Shafts         *ShaftsDoc         `json:"shafts,omitempty" jsonschema_description:"the smallest sets of balance shafts"`
		Bobweight      *BobweightDoc      `json:"bobweight,omitempty" jsonschema_description:"the bobweights for the balancing machine"`
		Grade          *GradeDoc          `json:"grade,omitempty" jsonschema_description:"the unbalance that a rotor may keep"`
		Correct        *CorrectionDoc     `json:"correct,omitempty" jsonschema_description:"where to take metal off or put it on"`
		Tolerances     *TolerancesDoc     `json:"tolerances,omitempty" jsonschema_description:"how far the shaking scatters because parts do"`
		Match          *MatchDoc          `json:"match,omitempty" jsonschema_description:"which weighed part goes into which cylinder"`
	}{}, "balance", "Crankwright balancing",
		"What the verbs of balance print with --json; each property is the object that the verb of that name prints. Units stand in the keys; complex numbers are [re, im].")
}

// DriveSchema returns the JSON Schema of what the verbs gas, torque, power, flywheel and sound print with --json: each
// property is the object of the verb of that name.
func DriveSchema() ([]byte, error) {
	return schemaOf(&struct {
		Gas      *GasDoc      `json:"gas,omitempty" jsonschema_description:"the working cycle"`
		Torque   *TorqueDoc   `json:"torque,omitempty" jsonschema_description:"torque of gas and inertia"`
		Power    *PowerDoc    `json:"power,omitempty" jsonschema_description:"torque, power and friction over speed"`
		Flywheel *FlywheelDoc `json:"flywheel,omitempty" jsonschema_description:"a flywheel for a wanted fluctuation of speed"`
		Sound    *SoundDoc    `json:"sound,omitempty" jsonschema_description:"which orders the exhaust sounds in"`
	}{}, "drive", "Crankwright gas, torque and sound",
		"What the verbs gas, torque, power, flywheel and sound print with --json; each property is the object that the verb of that name prints. Units stand in the keys; complex numbers are [re, im].")
}

// LastingSchema returns the JSON Schema of what the verbs room, bearings, strength and torsion print with --json: each
// property is the object of the verb of that name.
func LastingSchema() ([]byte, error) {
	return schemaOf(&struct {
		Room     *RoomDoc     `json:"room,omitempty" jsonschema_description:"what stands along the crank"`
		Bearings *BearingsDoc `json:"bearings,omitempty" jsonschema_description:"what the bearings carry"`
		Strength *StrengthDoc `json:"strength,omitempty" jsonschema_description:"whether the throws of the crank last"`
		Torsion  *TorsionDoc  `json:"torsion,omitempty" jsonschema_description:"torsional vibration over speed"`
	}{}, "lasting", "Crankwright room, bearings, strength and torsion",
		"What the verbs room, bearings, strength and torsion print with --json; each property is the object that the verb of that name prints. Units stand in the keys; complex numbers are [re, im].")
}

// SpaceSchema returns the JSON Schema of what the verb space prints with --json.
func SpaceSchema() ([]byte, error) {
	return schemaOf(&SpaceDoc{}, "space", "Crankwright room and mass",
		"What the verb space prints with --json. Units stand in the keys. x runs along the crank to the drive end, z up, y right seen from the drive end, origin on the crank axis.")
}

// MountsSchema returns the JSON Schema of what the verbs mounts and people print with --json.
func MountsSchema() ([]byte, error) {
	return schemaOf(&MountsDoc{}, "mounts", "Crankwright mounts and people",
		"What the verbs mounts and people print with --json. Units stand in the keys. x runs along the crank to the drive end, z up, y right seen from the drive end, origin on the crank axis.")
}

// PartsSchema returns the JSON Schema of what the verbs parts and cost print with --json: each property is the object of
// the verb of that name.
func PartsSchema() ([]byte, error) {
	return schemaOf(&struct {
		Parts *PartsDoc `json:"parts,omitempty" jsonschema_description:"what the engine is made of"`
		Cost  *CostsDoc `json:"cost,omitempty" jsonschema_description:"what engines cost by a price table"`
	}{}, "parts", "Crankwright parts and cost",
		"What the verbs parts and cost print with --json; each property is the object that the verb of that name prints. Units stand in the keys; a count is in the unit beside it.")
}

// ChoiceSchema returns the JSON Schema of what the verb choose prints with --json.
func ChoiceSchema() ([]byte, error) {
	return schemaOf(&ChoiceDoc{}, "choice", "Crankwright choice",
		"What the verb choose prints with --json. Values are in the unit of their criterion; shares and probabilities run from 0 to 1, points from 0 to 100, weights from 0 to 10.")
}

// SearchSchema returns the JSON Schema of what the verbs of study print with --json: each property is the object of the verb
// of that name.
func SearchSchema() ([]byte, error) {
	return schemaOf(&struct {
		Size   *StudySizesDoc   `json:"size,omitempty" jsonschema_description:"how many candidates there are"`
		Run    *StudyDoc        `json:"run,omitempty" jsonschema_description:"what a search found, also of show"`
		Evolve *StudyDoc        `json:"evolve,omitempty" jsonschema_description:"what an evolutionary search found"`
		Query  *StudyQueryDoc   `json:"query,omitempty" jsonschema_description:"candidates that were asked for"`
		Keep   *StudyKeptDoc    `json:"keep,omitempty" jsonschema_description:"candidates that became engine files"`
		Refine *StudyRefinedDoc `json:"refine,omitempty" jsonschema_description:"a candidate between the steps of its study"`
	}{}, "search", "Crankwright search",
		"What the verbs of study print with --json; each property is the object that the verb of that name prints, and choose prints a choice. Units stand in the keys or beside the values.")
}

func schemaOf(v any, name, title, description string) ([]byte, error) {
	r := jsonschema.Reflector{AllowAdditionalProperties: true, Anonymous: true}
	s := r.Reflect(v)
	s.ID = jsonschema.ID("urn:crankwright:schema:" + name)
	s.Title, s.Description = title, description
	raw, err := json.Marshal(s)
	if err != nil {
		return nil, err
	}
	var plain any
	if err := json.Unmarshal(raw, &plain); err != nil {
		return nil, err
	}
	return Encode(plain)
}
