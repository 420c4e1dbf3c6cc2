package report

import (
	"math"

	"crankwright/analysis"

	"gonum.org/v1/gonum/spatial/r3"

	"crankwright/explain"
	"crankwright/mechanics/bearing"
	"crankwright/mechanics/envelope"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/mount"
	"crankwright/num"
)

// SpaceDoc is the room that an engine takes and what it weighs: the key envelope of evaluate --json, and what the verb space
// prints with --json. Places are in the engine's axes: x along the crank from the reference of the throws' places, y right and
// z up seen from the drive end, origin on the crank axis.
type SpaceDoc struct {
	Name          string           `json:"name,omitempty" jsonschema_description:"name of the engine; left out in evaluate, which says it once"`
	LengthMM      float64          `json:"length_mm" jsonschema_description:"of the box round the engine, along the crank"`
	WidthMM       float64          `json:"width_mm" jsonschema_description:"of the box, across the crank"`
	HeightMM      float64          `json:"height_mm" jsonschema_description:"of the box, upright"`
	AboveMM       float64          `json:"above_mm" jsonschema_description:"height above the crank axis"`
	BelowMM       float64          `json:"below_mm" jsonschema_description:"depth below the crank axis"`
	BankWidthMM   float64          `json:"bank_width_mm,omitempty" jsonschema_description:"width over the heads; left out where all cylinders stand in one plane with the crank"`
	BlockMM       float64          `json:"block_mm" jsonschema_description:"length of the block between its faces"`
	DryKg         float64          `json:"dry_kg" jsonschema_description:"without oil and coolant"`
	MassKg        float64          `json:"mass_kg" jsonschema_description:"ready to run"`
	CentreAboveMM float64          `json:"centre_above_crank_mm" jsonschema_description:"centre of gravity, ready to run, above the crank axis"`
	CentreBaseMM  float64          `json:"centre_above_base_mm" jsonschema_description:"and above the lowest point"`
	Scale         float64          `json:"scale_1" jsonschema_description:"factor on the parts that nobody weighed, so that the dry mass is the weighed one"`
	Box           SpaceBox         `json:"box" jsonschema_description:"round the whole engine"`
	Engine        BodyDoc          `json:"engine" jsonschema_description:"the whole engine ready to run as a rigid body"`
	Dry           BodyDoc          `json:"dry" jsonschema_description:"the same without oil and coolant"`
	Parts         []SpacePart      `json:"parts" jsonschema_description:"what it weighs, by part"`
	Deck          SpaceDeck        `json:"deck" jsonschema_description:"geometry of block, heads and sump"`
	Rows          []SpaceRow       `json:"rows" jsonschema_description:"cylinders of one bank along one line, with their block and head"`
	Along         SpaceAlong       `json:"along" jsonschema_description:"what bores and crank ask for along the engine"`
	Swept         SpaceSwept       `json:"swept" jsonschema_description:"by rods, webs and counterweights about the crank axis"`
	Clearances    []SpaceClearance `json:"clearances" jsonschema_description:"the nearest of each kind over a cycle"`
	Conflicts     []string         `json:"conflicts" jsonschema_description:"parts that meet, in words; empty: none do"`
	Solids        []SolidDoc       `json:"solids,omitempty" jsonschema_description:"everything that is weighed, as prisms and tubes, so that it can be drawn; not in evaluate"`
	BoreStroke    *BoreStrokeDoc   `json:"bore_stroke,omitempty" jsonschema_description:"bore against stroke at fixed displacement; only when asked for"`
	Summary       []string         `json:"summary" jsonschema_description:"the result in sentences"`
	Estimated
	Assumed []EstimateDoc `json:"assumed,omitempty" jsonschema_description:"what the file left out of the block"`
	Caution string        `json:"caution,omitempty" jsonschema_description:"what the numbers are not good for; left out in evaluate, which says it once"`
}

// SpaceBox is two opposite corners.
type SpaceBox struct {
	FromMM [3]float64 `json:"from_mm" jsonschema_description:"x, y, z"`
	ToMM   [3]float64 `json:"to_mm" jsonschema_description:"x, y, z of the opposite corner"`
}

// BodyDoc is a rigid body.
type BodyDoc struct {
	MassKg   float64       `json:"mass_kg" jsonschema_description:"of the whole body"`
	CentreMM [3]float64    `json:"centre_mm" jsonschema_description:"x, y, z of its centre of gravity"`
	Inertia  [3][3]float64 `json:"inertia_kgm2" jsonschema_description:"inertia tensor about its centre of gravity; entries off the diagonal are −∫ x y dm and so on"`
}

// SpacePart is a part with its mass.
type SpacePart struct {
	Part string `json:"part" jsonschema_description:"what it is, in words"`
	BodyDoc
	SharePct float64 `json:"share_pct" jsonschema_description:"of the mass ready to run"`
}

// SpaceDeck is the geometry of block, heads and sump.
type SpaceDeck struct {
	DeckMM      float64 `json:"deck_height_mm" jsonschema_description:"crank axis to head joint"`
	HeadMM      float64 `json:"head_height_mm" jsonschema_description:"head joint to the top of the cover"`
	BoreMM      float64 `json:"bore_mm" jsonschema_description:"diameter of the cylinders"`
	BoreLongMM  float64 `json:"bore_length_mm" jsonschema_description:"head joint to the lower edge of the bores"`
	SkirtMM     float64 `json:"skirt_depth_mm" jsonschema_description:"crank axis to the joint of the sump"`
	SumpMM      float64 `json:"sump_depth_mm" jsonschema_description:"crank axis to the bottom of the sump; 0: none"`
	WallMM      float64 `json:"wall_mm" jsonschema_description:"thickness of the walls of crankcase and jackets"`
	BoreWallMM  float64 `json:"bore_wall_mm" jsonschema_description:"least metal between two bores, and outside the outermost"`
	FrontRoomMM float64 `json:"front_room_mm" jsonschema_description:"beyond the block at the free end: drives and damper"`
	RearRoomMM  float64 `json:"rear_room_mm" jsonschema_description:"beyond the block at the drive end: flywheel"`
	Block       string  `json:"block_metal" jsonschema_description:"what the block is cast of"`
	Head        string  `json:"head_metal" jsonschema_description:"what the heads are cast of"`
	Sump        string  `json:"sump_metal" jsonschema_description:"what the sump is made of"`
}

// SpaceRow is a row of cylinders.
type SpaceRow struct {
	Name       string   `json:"name" jsonschema_description:"of the row"`
	AxisDeg    float64  `json:"axis_deg" jsonschema_description:"cylinder axis from +z about +x"`
	OffsetMM   float64  `json:"offset_mm" jsonschema_description:"of its cylinder axes from the crank axis, positive towards axis_deg + 90"`
	Cylinders  []string `json:"cylinders" jsonschema_description:"from the free end"`
	FromMM     float64  `json:"from_mm" jsonschema_description:"faces of its block along x"`
	ToMM       float64  `json:"to_mm" jsonschema_description:"its face towards the drive end"`
	LowerMM    float64  `json:"lower_mm" jsonschema_description:"lower edge of the bores, along the cylinders from the crank axis"`
	DeckMM     float64  `json:"deck_mm" jsonschema_description:"head joint, along the cylinders from the crank axis"`
	TopMM      float64  `json:"top_mm" jsonschema_description:"of the head with its cover"`
	HalfMM     float64  `json:"half_mm" jsonschema_description:"half the width of its block"`
	HeadHalfMM float64  `json:"head_half_mm" jsonschema_description:"half the width of its head"`
}

// SpaceAlong is what bores and crank ask for along the engine.
type SpaceAlong struct {
	CrankMM     float64     `json:"crank_mm" jsonschema_description:"over the faces of the end mains"`
	BoresMM     float64     `json:"bores_mm" jsonschema_description:"over the end bores with their walls"`
	SetBy       string      `json:"set_by" jsonschema:"enum=bores,enum=crank" jsonschema_description:"which of the two ends the block"`
	CrankFromMM float64     `json:"crank_from_mm" jsonschema_description:"x of the outer face of the first main"`
	CrankToMM   float64     `json:"crank_to_mm" jsonschema_description:"x of the outer face of the last main"`
	BoresFromMM float64     `json:"bores_from_mm" jsonschema_description:"x of the outer face of the wall round the first bore"`
	BoresToMM   float64     `json:"bores_to_mm" jsonschema_description:"x of the outer face of the wall round the last bore"`
	Held        []string    `json:"held" jsonschema_description:"widths of the crank against which the bores are held: the file's own, or the usual ones of this bore"`
	Pitches     []RoomPitch `json:"pitches" jsonschema_description:"distances of neighbouring bays, and what asks for them with those widths"`
}

// SpaceSwept is the outline of what turns in the crankcase.
type SpaceSwept struct {
	LargestMM float64   `json:"largest_mm" jsonschema_description:"largest radius"`
	LeftMM    float64   `json:"left_mm" jsonschema_description:"largest half-width to the left, seen from the drive end"`
	RightMM   float64   `json:"right_mm" jsonschema_description:"largest half-width to the right"`
	BelowMM   float64   `json:"below_mm" jsonschema_description:"largest depth below the crank axis"`
	OutlineMM []float64 `json:"outline_mm,omitempty" jsonschema_description:"radius by direction, one a degree from +z about +x"`
}

// SpaceClearance is the room between two parts where they come nearest.
type SpaceClearance struct {
	Kind     string   `json:"kind" jsonschema_description:"what comes near to what"`
	Parts    string   `json:"parts" jsonschema_description:"which they are, in words"`
	RoomMM   float64  `json:"room_mm" jsonschema_description:"negative: they meet"`
	AtDeg    *float64 `json:"at_deg,omitempty" jsonschema_description:"crank angle at which they are nearest, where it depends on it"`
	Conflict bool     `json:"conflict" jsonschema_description:"they meet"`
	Means    string   `json:"means" jsonschema_description:"what to do where they meet"`
}

// SolidDoc is one piece that is weighed.
type SolidDoc struct {
	Part      string       `json:"part" jsonschema_description:"to whose mass it belongs"`
	Name      string       `json:"name" jsonschema_description:"the piece in words"`
	Kind      string       `json:"kind" jsonschema:"enum=prism,enum=tube" jsonschema_description:"its shape"`
	Void      bool         `json:"void,omitempty" jsonschema_description:"it is taken away from the solids of its part"`
	Moving    bool         `json:"moving,omitempty" jsonschema_description:"it belongs to the crank train: the crank at crank angle 0, pistons and rods at their mean place"`
	Density   float64      `json:"density_kgm3" jsonschema_description:"of its material"`
	Fill      float64      `json:"fill_1" jsonschema_description:"share of the volume that is material"`
	SectionMM [][2]float64 `json:"section_mm,omitempty" jsonschema_description:"of a prism: corners y, z"`
	FromMM    float64      `json:"from_mm" jsonschema_description:"of a prism: along x"`
	ToMM      float64      `json:"to_mm" jsonschema_description:"of a prism: its other end along x"`
	AMM       [3]float64   `json:"a_mm" jsonschema_description:"of a tube: one end of its axis, x, y, z"`
	BMM       [3]float64   `json:"b_mm" jsonschema_description:"and the other"`
	OuterMM   float64      `json:"outer_mm" jsonschema_description:"of a tube: radius"`
	InnerMM   float64      `json:"inner_mm" jsonschema_description:"of a tube: radius of its hole; 0: full"`
}

// BoreStrokeDoc is what bore against stroke does at fixed displacement.
type BoreStrokeDoc struct {
	Held    []string   `json:"held" jsonschema_description:"widths of the crank, held at every bore"`
	Slope   float64    `json:"slope_1" jsonschema_description:"d length/d bore at the present ratio"`
	HaveMM  float64    `json:"have_mm" jsonschema_description:"length of the engine as it stands"`
	Present SizedDoc   `json:"present" jsonschema_description:"the shortest engine at the present ratio"`
	Points  []SizedDoc `json:"points" jsonschema_description:"by ratio, ascending"`
	Summary []string   `json:"summary" jsonschema_description:"the result in sentences"`
}

// SizedDoc is an engine at another ratio of bore to stroke.
type SizedDoc struct {
	Ratio        float64 `json:"ratio_1" jsonschema_description:"bore over stroke"`
	BoreMM       float64 `json:"bore_mm" jsonschema_description:"at this ratio"`
	StrokeMM     float64 `json:"stroke_mm" jsonschema_description:"at this ratio"`
	LengthMM     float64 `json:"length_mm" jsonschema_description:"of the box round the engine, along the crank"`
	WidthMM      float64 `json:"width_mm" jsonschema_description:"of the box, across the crank"`
	HeightMM     float64 `json:"height_mm" jsonschema_description:"of the box, upright"`
	BlockMM      float64 `json:"block_mm" jsonschema_description:"length of the block between its faces"`
	LeastBlockMM float64 `json:"least_block_mm" jsonschema_description:"with a crank of least widths"`
	Pitches      int     `json:"pitches" jsonschema_description:"how many distances of neighbouring bays there are"`
	BoresSet     int     `json:"bores_set" jsonschema_description:"how many of them the bores set"`
	EndsByBores  bool    `json:"ends_by_bores" jsonschema_description:"the end bores, not the end mains, end the block"`
}

// NewSpaceDoc collects room and mass of an engine; whole adds the solids and the outline of what turns.
func NewSpaceDoc(t *layout.Train, e *envelope.Envelope, whole bool) *SpaceDoc {
	b := &t.Block
	d := &SpaceDoc{
		Name: t.Name, LengthMM: inMM(e.Length), WidthMM: inMM(e.Width), HeightMM: inMM(e.Height), AboveMM: inMM(e.Above), BelowMM: inMM(e.Below),
		BankWidthMM: inMM(e.Banks), BlockMM: inMM(e.Rear - e.Front), DryKg: tidy(e.Dry.Mass), MassKg: tidy(e.Body.Mass),
		CentreAboveMM: inMM(e.CentreAbove), CentreBaseMM: inMM(e.CentreBottom), Scale: tidy(e.Scale),
		Box: SpaceBox{vecMM(e.Lo), vecMM(e.Hi)}, Engine: bodyDoc(e.Body), Dry: bodyDoc(e.Dry),
		Parts: []SpacePart{}, Rows: []SpaceRow{}, Clearances: []SpaceClearance{}, Conflicts: []string{},
		Deck: SpaceDeck{
			DeckMM: inMM(b.DeckHeight), HeadMM: inMM(b.HeadHeight), BoreMM: inMM(t.Bore), BoreLongMM: inMM(b.BoreLength), SkirtMM: inMM(b.SkirtDepth),
			SumpMM: inMM(b.SumpDepth), WallMM: inMM(b.Wall), BoreWallMM: inMM(b.BoreWall), FrontRoomMM: inMM(b.FrontRoom), RearRoomMM: inMM(b.RearRoom),
			Block: string(b.Metal), Head: string(b.HeadMetal), Sump: string(b.SumpMetal),
		},
		Swept: SpaceSwept{
			LargestMM: inMM(e.Swept.Largest()), LeftMM: inMM(e.Swept.Reach(num.Turn / 4)), RightMM: inMM(e.Swept.Reach(-num.Turn / 4)),
			BelowMM: inMM(e.Swept.Reach(num.Turn / 2)),
		},
		Summary: explain.Space(t, e), Estimated: estimatedOf(t), Assumed: assumedFor(t, analysis.OfSpace), Caution: Caution,
	}
	d.along(t, e)
	for _, p := range e.Pieces {
		d.Parts = append(d.Parts, SpacePart{Part: string(p.Part), BodyDoc: bodyDoc(p.Body), SharePct: tidy(100 * p.Body.Mass / e.Body.Mass)})
	}
	for _, r := range e.Rows {
		row := SpaceRow{
			Name: r.Name, AxisDeg: deg(r.Axis), OffsetMM: inMM(r.Offset), Cylinders: []string{}, FromMM: inMM(r.From), ToMM: inMM(r.To),
			LowerMM: inMM(r.Lower), DeckMM: inMM(r.Deck), TopMM: inMM(r.Top), HalfMM: inMM(r.Half), HeadHalfMM: inMM(r.HeadHalf),
		}
		for _, i := range r.Cylinders {
			row.Cylinders = append(row.Cylinders, t.Cylinders[i].Name)
		}
		d.Rows = append(d.Rows, row)
	}
	for _, c := range e.Clearances {
		doc := SpaceClearance{Kind: string(c.Kind), Parts: c.Parts, RoomMM: inMM(c.Room), Conflict: c.Conflict(), Means: c.Means}
		if c.Turns {
			at := tidy(deg(c.At))
			doc.AtDeg = &at
		}
		d.Clearances = append(d.Clearances, doc)
		if c.Conflict() {
			d.Conflicts = append(d.Conflicts, string(c.Kind)+": "+c.Parts)
		}
	}
	if whole {
		for _, r := range e.Swept {
			d.Swept.OutlineMM = append(d.Swept.OutlineMM, math.Round(1e6*r)/1e3)
		}
		for i := range e.Solids {
			d.Solids = append(d.Solids, solidDoc(&e.Solids[i]))
		}
	}
	return d
}

// along adds what bores and crank ask for.
func (d *SpaceDoc) along(t *layout.Train, e *envelope.Envelope) {
	x := e.Extents
	d.Along = SpaceAlong{
		CrankMM: inMM(x.Crank()), BoresMM: inMM(x.Bores()), SetBy: "crank", CrankFromMM: inMM(x.CrankFrom), CrankToMM: inMM(x.CrankTo),
		BoresFromMM: inMM(x.BoresFrom), BoresToMM: inMM(x.BoresTo), Held: []string{}, Pitches: []RoomPitch{},
	}
	if x.Bores() > x.Crank() {
		d.Along.SetBy = "bores"
	}
	needs, held := envelope.HeldNeeds(t)
	needs.Wall = t.Block.BoreWall
	budget, err := bearing.Axial(t, nil, needs)
	if err != nil {
		return
	}
	d.Along.Held = held
	for _, p := range budget.Pitches {
		d.Along.Pitches = append(d.Along.Pitches, pitchDoc(p))
	}
}

// AddBoreStroke adds what bore against stroke does.
func (d *SpaceDoc) AddBoreStroke(b *envelope.BoreStroke) {
	doc := &BoreStrokeDoc{Held: b.Held, Slope: tidy(b.Slope), HaveMM: inMM(b.Have), Present: sizedDoc(&b.Present), Points: []SizedDoc{}, Summary: explain.BoreStroke(b)}
	for i := range b.Points {
		doc.Points = append(doc.Points, sizedDoc(&b.Points[i]))
	}
	d.BoreStroke = doc
}

func sizedDoc(p *envelope.Sized) SizedDoc {
	return SizedDoc{
		Ratio: tidy(p.Ratio), BoreMM: inMM(p.Bore), StrokeMM: inMM(p.Stroke), LengthMM: inMM(p.Length), WidthMM: inMM(p.Width), HeightMM: inMM(p.Height),
		BlockMM: inMM(p.Block), LeastBlockMM: inMM(p.LeastBlock), Pitches: len(p.Steps), BoresSet: p.BoresSet, EndsByBores: p.EndsByBores,
	}
}

func bodyDoc(b mount.Body) BodyDoc {
	d := BodyDoc{MassKg: tidy(b.Mass), CentreMM: vecMM(b.Centre)}
	for i := range b.Inertia {
		for k, x := range b.Inertia[i] {
			d.Inertia[i][k] = tidy(noMinusZero(math.Round(1e12*x) / 1e12))
		}
	}
	return d
}

func vecMM(v r3.Vec) [3]float64 { return [3]float64{inMM(v.X), inMM(v.Y), inMM(v.Z)} }

func solidDoc(s *envelope.Solid) SolidDoc {
	d := SolidDoc{
		Part: string(s.Part), Name: s.Name, Kind: string(s.Kind), Void: s.Void, Moving: s.Moving, Density: tidy(s.Density), Fill: tidy(s.Fill),
		FromMM: inMM(s.From), ToMM: inMM(s.To), AMM: vecMM(s.A), BMM: vecMM(s.B), OuterMM: inMM(s.Outer), InnerMM: inMM(s.Inner),
	}
	for _, c := range s.Section {
		d.SectionMM = append(d.SectionMM, [2]float64{inMM(real(c)), inMM(imag(c))})
	}
	return d
}
