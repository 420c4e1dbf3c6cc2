package report

import (
	"crankwright/analysis"
	"crankwright/explain"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/parts"
)

// PartsDoc is what an engine is made of: what the verb parts prints with --json, and the key parts of evaluate --json.
type PartsDoc struct {
	Name       string        `json:"name" jsonschema_description:"name of the engine"`
	SpeedRPM   float64       `json:"speed_rpm" jsonschema_description:"at which friction is split"`
	Making     MakingDoc     `json:"making" jsonschema_description:"how the engine is made"`
	Totals     PartTotals    `json:"totals" jsonschema_description:"counts by which layouts are compared"`
	Parts      []PartDoc     `json:"parts" jsonschema_description:"what the engine has, by group"`
	Drives     []CamDriveDoc `json:"camshaft_drives" jsonschema_description:"what turns the camshafts; empty: nothing has to"`
	Exhausts   []PipesDoc    `json:"exhausts" jsonschema_description:"one an exhaust group; empty where the bore is unknown"`
	Intakes    []PipesDoc    `json:"intakes" jsonschema_description:"one a manifold; empty where the bore is unknown"`
	Friction   []RubDoc      `json:"friction" jsonschema_description:"by part; sums to the engine's friction"`
	FMEPBar    float64       `json:"fmep_bar" jsonschema_description:"friction mean effective pressure of the engine; 0: unknown"`
	NoFriction string        `json:"no_friction,omitempty" jsonschema_description:"why friction is not split"`
	Service    ServiceDoc    `json:"service" jsonschema_description:"how routine jobs are reached"`
	Cooling    CoolingDoc    `json:"cooling" jsonschema_description:"the way of coolant or air past the cylinders"`
	Summary    []string      `json:"summary" jsonschema_description:"the result in sentences"`
	Estimated
	Assumed []EstimateDoc `json:"assumed,omitempty" jsonschema_description:"what the file left out of the making"`
	Caution string        `json:"caution,omitempty" jsonschema_description:"what the numbers are not good for; left out in evaluate, which says it once"`
}

// MakingDoc is how the engine is made; what the file left open stands in assumed.
type MakingDoc struct {
	ValveDrive   string  `json:"valve_drive" jsonschema:"enum=overhead-single,enum=overhead-double,enum=pushrods,enum=ports" jsonschema_description:"how the valves are worked"`
	CamDrive     string  `json:"cam_drive" jsonschema_description:"chain, belt or gears; empty with ports"`
	Heads        string  `json:"heads" jsonschema:"enum=per-bank,enum=shared,enum=each" jsonschema_description:"what one head covers: a bank, both banks of a narrow vee, or one cylinder"`
	Crankcase    string  `json:"crankcase" jsonschema:"enum=caps,enum=bedplate,enum=halves,enum=tunnel" jsonschema_description:"how it lets the crank in"`
	Cooling      string  `json:"cooling" jsonschema:"enum=liquid,enum=air" jsonschema_description:"what takes the heat away"`
	CamHeightMM  float64 `json:"cam_height_mm" jsonschema_description:"of overhead camshafts above the deck; 0: none"`
	CamSpacingMM float64 `json:"cam_spacing_mm" jsonschema_description:"between the two camshafts of a head; 0: not two"`
	PitchMM      float64 `json:"pitch_mm" jsonschema_description:"of chain or belt; 0: neither"`
}

// PartTotals are the counts by which layouts are compared.
type PartTotals struct {
	Pieces        float64 `json:"pieces_1" jsonschema_description:"parts in the box"`
	Faces         float64 `json:"faces_1" jsonschema_description:"machined faces and honed bores"`
	Heads         int     `json:"heads_1" jsonschema_description:"cylinder heads"`
	Camshafts     int     `json:"camshafts_1" jsonschema_description:"camshafts or cam rings"`
	CamDrives     int     `json:"camshaft_drives_1" jsonschema_description:"chains, belts or trains of gears that turn them"`
	DriveLengthMM float64 `json:"camshaft_drive_length_mm" jsonschema_description:"of all chains or belts; 0 with gears"`
	Mains         int     `json:"main_bearings_1" jsonschema_description:"of the crank"`
	ExhaustMM     float64 `json:"exhaust_length_mm" jsonschema_description:"of all exhaust pipes together"`
	IntakeMM      float64 `json:"intake_length_mm" jsonschema_description:"of all intake pipes together"`
}

// PartDoc is one line of the parts list.
type PartDoc struct {
	Part   string  `json:"part" jsonschema_description:"as in a price table"`
	Group  string  `json:"group" jsonschema_description:"such as crank train"`
	Count  float64 `json:"count" jsonschema_description:"in the unit"`
	Unit   string  `json:"unit" jsonschema:"enum=1,enum=m" jsonschema_description:"pieces, or metres"`
	From   string  `json:"from" jsonschema_description:"from what it was counted"`
	MassKg float64 `json:"mass_kg,omitempty" jsonschema_description:"of all of them; left out: unknown"`
}

// CamDriveDoc is what turns the camshafts of a row.
type CamDriveDoc struct {
	Name      string     `json:"name" jsonschema_description:"of the row that it serves, such as bank 1"`
	By        string     `json:"by" jsonschema:"enum=chain,enum=belt,enum=gears" jsonschema_description:"what connects the wheels"`
	Camshafts int        `json:"camshafts_1" jsonschema_description:"camshafts or cam rings that it turns"`
	Cylinders []string   `json:"cylinders" jsonschema_description:"names of those whose valves they work"`
	CrankZ    float64    `json:"crank_teeth_1" jsonschema_description:"0: the bore is unknown"`
	CamZ      float64    `json:"camshaft_teeth_1" jsonschema_description:"of the wheel on a camshaft; 0: the bore is unknown"`
	Links     float64    `json:"links_1" jsonschema_description:"links of the chain, or teeth of the belt; 0 with gears"`
	LengthMM  float64    `json:"length_mm" jsonschema_description:"of chain or belt as made; 0 with gears"`
	Gears     int        `json:"gears_1" jsonschema_description:"without the one on the crank; 0 with chain or belt"`
	Wheels    []WheelPos `json:"wheels" jsonschema_description:"crank first; seen from the drive end"`
}

// WheelPos is a wheel of a drive.
type WheelPos struct {
	YMM      float64 `json:"y_mm" jsonschema_description:"of its axis, to the right of the crank axis"`
	ZMM      float64 `json:"z_mm" jsonschema_description:"of its axis, above the crank axis"`
	RadiusMM float64 `json:"radius_mm" jsonschema_description:"at the pitch line"`
}

// PipesDoc is a manifold.
type PipesDoc struct {
	Name        string    `json:"name" jsonschema_description:"of the manifold"`
	Cylinders   []string  `json:"cylinders" jsonschema_description:"names of those that it serves"`
	RunnersMM   []float64 `json:"runners_mm" jsonschema_description:"by cylinder"`
	CrossoverMM float64   `json:"crossover_mm" jsonschema_description:"pipes across the engine that join the collectors of banks"`
	LengthMM    float64   `json:"length_mm" jsonschema_description:"all pipes together"`
}

// RubDoc is the friction of one kind of part.
type RubDoc struct {
	Name      string  `json:"name" jsonschema_description:"the kind of part in words"`
	Count     int     `json:"count_1" jsonschema_description:"how many there are"`
	SharePct  float64 `json:"share_pct" jsonschema_description:"of the friction of the engine"`
	Bar       float64 `json:"bar" jsonschema_description:"its share of the engine's friction mean effective pressure"`
	ByPartBar float64 `json:"by_part_bar" jsonschema_description:"by the model of the parts alone, before it is scaled to where friction is taken from"`
}

// ServiceDoc is how an engine is reached.
type ServiceDoc struct {
	Score float64  `json:"score_1" jsonschema_description:"less is easier"`
	Rule  string   `json:"rule" jsonschema_description:"how the score is made, in words"`
	Jobs  []JobDoc `json:"jobs" jsonschema_description:"routine jobs, one by one"`
}

// JobDoc is a routine job.
type JobDoc struct {
	Name   string    `json:"name" jsonschema_description:"the job in words"`
	Places int       `json:"places_1" jsonschema_description:"how many places have to be reached"`
	From   []SideDoc `json:"from" jsonschema_description:"how many of them are reached from which side"`
	First  []string  `json:"comes_off_first" jsonschema_description:"what must come off before; empty: nothing"`
	Often  float64   `json:"often_1" jsonschema_description:"beside a change of plugs or injectors"`
	Score  float64   `json:"score_1" jsonschema_description:"what it adds to the score; less is easier"`
	Why    string    `json:"why" jsonschema_description:"the score in words"`
}

// SideDoc is how many places are reached from a side.
type SideDoc struct {
	Side   string `json:"side" jsonschema:"enum=from above,enum=slanting from above,enum=from the side,enum=from the free end,enum=from below" jsonschema_description:"from where they are reached"`
	Places int    `json:"places_1" jsonschema_description:"how many are reached from there"`
}

// CoolingDoc is the way of the coolant or the air.
type CoolingDoc struct {
	Path      []string    `json:"path" jsonschema_description:"from pump or fan to where it leaves"`
	Rule      string      `json:"rule" jsonschema_description:"how the score of a cylinder is made, in words"`
	Worst     string      `json:"worst" jsonschema_description:"the cylinder with the highest score"`
	Spread    float64     `json:"spread_1" jsonschema_description:"largest score less smallest; 0: all are cooled alike"`
	Cylinders []CooledDoc `json:"cylinders" jsonschema_description:"by number"`
}

// CooledDoc is how a cylinder is placed on that way.
type CooledDoc struct {
	Cylinder    string   `json:"cylinder" jsonschema_description:"name of the cylinder"`
	Stream      string   `json:"stream" jsonschema_description:"the bank or row that it stands in"`
	UpstreamPct float64  `json:"upstream_pct" jsonschema_description:"heat that its stream has taken up before it"`
	Neighbours  []string `json:"neighbours" jsonschema_description:"names of the cylinders beside it in its bank"`
	Successive  []string `json:"in_succession" jsonschema_description:"neighbours that fire directly before or after it"`
	Score       float64  `json:"score_1" jsonschema_description:"more is hotter"`
	Why         string   `json:"why" jsonschema_description:"the score in words"`
}

// ServiceRule is how service is scored.
const ServiceRule = "how often the job comes × (places, each 1 from above, 1.25 slanting, 1.5 from the side or an end, 3 from below, 2 for each thing that must come off first, and 20 where the engine must leave the boat or the crank the engine); a stated score, no time"

// NewPartsDoc collects what an engine is made of.
func NewPartsDoc(r *analysis.Result, p *analysis.Parts) *PartsDoc {
	t, l := r.Train, p.List
	m := l.Making
	of := []analysis.Chapter{analysis.OfParts}
	if r.Drive != nil {
		of = append(of, analysis.OfGas) // friction by part
	}
	d := &PartsDoc{
		Name: t.Name, SpeedRPM: rpm(r.Speed),
		Making: MakingDoc{
			string(m.ValveDrive), string(m.CamDrive), string(m.Heads), string(m.Crankcase), string(m.Cooling),
			millimetres(m.CamHeight), millimetres(m.CamSpacing), millimetres(m.Pitch),
		},
		Totals: PartTotals{
			Pieces: l.Pieces(), Faces: l.Faces(), Heads: l.Heads, Camshafts: int(l.Of("camshaft")), CamDrives: len(l.Drives),
			DriveLengthMM: inMM(l.DriveLength()), Mains: l.Mains, ExhaustMM: inMM(l.ExhaustLength()), IntakeMM: inMM(l.Of("intake pipe")),
		},
		Parts: []PartDoc{}, Drives: []CamDriveDoc{}, Exhausts: pipesDocs(p, l.Exhausts), Intakes: pipesDocs(p, l.Intakes),
		Friction: []RubDoc{}, NoFriction: p.NoRubs, Service: serviceDoc(p.Jobs), Cooling: coolingDoc(p),
		Summary: explain.Parts(p), Estimated: estimatedOf(t), Assumed: assumedFor(t, of...), Caution: Caution,
	}
	for _, row := range l.Rows {
		d.Parts = append(d.Parts, PartDoc{Part: row.Key, Group: string(row.Group), Count: tidy(row.Count), Unit: row.Unit, From: row.From, MassKg: tidy(row.Mass)})
	}
	for _, c := range l.Drives {
		one := CamDriveDoc{
			Name: c.Name, By: string(c.By), Camshafts: c.Cams, Cylinders: namesAt(p, c.Carry), CrankZ: c.Teeth[0], CamZ: c.Teeth[1],
			Links: c.Links, LengthMM: inMM(c.Length), Gears: c.Gears, Wheels: []WheelPos{},
		}
		for _, w := range c.Wheels {
			y := real(w.At)
			if t.Rotation == layout.Clockwise {
				y = -y
			}
			one.Wheels = append(one.Wheels, WheelPos{inMM(y), inMM(imag(w.At)), inMM(w.Radius)})
		}
		d.Drives = append(d.Drives, one)
	}
	if len(p.Rubs) > 0 {
		d.FMEPBar = bars(r.Drive.Friction.Total)
	}
	for _, f := range p.Rubs {
		d.Friction = append(d.Friction, RubDoc{Name: f.Name, Count: f.Count, SharePct: tidy(100 * f.Share), Bar: bars(f.OfAll), ByPartBar: bars(f.MEP)})
	}
	return d
}

func namesAt(p *analysis.Parts, list []int) []string {
	out := []string{}
	for _, i := range list {
		out = append(out, p.Cylinder(i))
	}
	return out
}

func pipesDocs(p *analysis.Parts, list []parts.Pipes) []PipesDoc {
	out := []PipesDoc{}
	for _, m := range list {
		one := PipesDoc{Name: m.Name, Cylinders: namesAt(p, m.Cylinders), RunnersMM: []float64{}, CrossoverMM: inMM(m.Crossover), LengthMM: inMM(m.Length())}
		for _, r := range m.Runners {
			one.RunnersMM = append(one.RunnersMM, inMM(r))
		}
		out = append(out, one)
	}
	return out
}

func serviceDoc(jobs []parts.Job) ServiceDoc {
	d := ServiceDoc{Score: tidy(parts.ServiceScore(jobs)), Rule: ServiceRule, Jobs: []JobDoc{}}
	for _, j := range jobs {
		one := JobDoc{Name: j.Name, Places: j.Places, From: []SideDoc{}, First: append([]string{}, j.First...), Often: j.Often, Score: tidy(j.Score), Why: j.Why}
		for _, side := range []parts.Side{parts.FromAbove, parts.Slanting, parts.FromSide, parts.FromEnd, parts.FromBelow} {
			if n := j.From[side]; n > 0 {
				one.From = append(one.From, SideDoc{string(side), n})
			}
		}
		d.Jobs = append(d.Jobs, one)
	}
	return d
}

func coolingDoc(p *analysis.Parts) CoolingDoc {
	f := p.Cooling
	d := CoolingDoc{Path: append([]string{}, f.Path...), Rule: f.Rule, Spread: tidy(f.Spread), Cylinders: []CooledDoc{}}
	for i, c := range f.Of {
		d.Cylinders = append(d.Cylinders, CooledDoc{
			Cylinder: p.Cylinder(i), Stream: c.Stream, UpstreamPct: tidy(100 * c.Upstream),
			Neighbours: append([]string{}, c.Neighbours...), Successive: append([]string{}, c.Successive...), Score: tidy(c.Score), Why: c.Why,
		})
	}
	if len(f.Of) > 0 {
		d.Worst = p.Cylinder(f.Worst)
	}
	return d
}
