package server

import (
	"cmp"
	"context"
	"math"

	"crankwright/analysis"
	"crankwright/draw"
	"crankwright/mechanics/balance"
	"crankwright/num"
	"crankwright/report"
	"crankwright/spec"
)

// The tools of balancing answer about a draft, so that they follow while an input is dragged. Each is the
// same call as its verb of the command, and answers with the same object.

// soundDraft evaluates a draft; an engine that cannot be evaluated is refused with all that is wrong.
func (s *Server) soundDraft(d Draft) (*evaluated, error) {
	data, _, err := s.drafted(d)
	if err != nil {
		return nil, err
	}
	v := s.evaluate(d.File, data, optionsFor(d.SpeedRPM))
	if v.result == nil {
		return nil, notEvaluated(v)
	}
	return v, nil
}

// result is the analysis of a draft.
func (s *Server) result(d Draft) (*analysis.Result, error) {
	v, err := s.soundDraft(d)
	if err != nil {
		return nil, err
	}
	return v.result, nil
}

type toolAnswer[T any] struct{ Body T }

// answered wraps what a tool says; what it refuses is a mistake of the request.
func answered[T any](doc T, err error) (*toolAnswer[T], error) {
	if err != nil {
		return nil, badField("body", err.Error())
	}
	return &toolAnswer[T]{doc}, nil
}

// CounterweightsRequest asks what counterweights do.
type CounterweightsRequest struct {
	Draft
	report.CounterweightWish
}

func (s *Server) counterweights(_ context.Context, in *struct{ Body CounterweightsRequest }) (*toolAnswer[*report.CounterweightsDoc], error) {
	r, err := s.result(in.Body.Draft)
	if err != nil {
		return nil, err
	}
	q, err := in.Body.Request(r.Train)
	if err != nil {
		return answered[*report.CounterweightsDoc](nil, err)
	}
	return answered(report.Counterweights(r, q))
}

// ShaftsRequest asks for the smallest set of balance shafts.
type ShaftsRequest struct {
	Draft
	Targets       []ShaftTargetRequest `json:"targets,omitempty" maxItems:"12" doc:"left out: force and moment of order 1, force of order 2"`
	Ratios        []float64            `json:"speed_ratios,omitempty" maxItems:"16" doc:"multiples of 0.5, negative against the crank; left out: -1, 1, -2, 2"`
	Places        []ShaftPlaceRequest  `json:"places,omitempty" maxItems:"24" doc:"where axes may run; left out: places beside and below the crank, for a roll moment also two at the heights that take it"`
	PlanesMM      []float64            `json:"planes_mm,omitempty" maxItems:"12" doc:"axial places of masses; left out: first and last throw, and midway"`
	Most          int                  `json:"most_shafts,omitempty" minimum:"0" maximum:"8" doc:"0: 4"`
	Crank         bool                 `json:"crank,omitempty" doc:"counterweights may take what turns with the crank in order 1"`
	RadiusMM      float64              `json:"radius_mm,omitempty" minimum:"0" doc:"of the half-round bars; 0: half the crank radius"`
	DensityKgM3   float64              `json:"density_kg_per_m3,omitempty" minimum:"0" doc:"0: steel"`
	TimingDeg     float64              `json:"timing_deg,omitempty" minimum:"0" maximum:"90" doc:"timing error of a shaft; 0: 5"`
	BearingRadius float64              `json:"bearing_radius_mm,omitempty" minimum:"0" doc:"0: that of the bars"`
	Friction      float64              `json:"friction,omitempty" minimum:"0" maximum:"1" doc:"coefficient of the bearings; 0: 0.005"`
}

// ShaftTargetRequest is a quantity that shafts are to bring down.
type ShaftTargetRequest struct {
	Order       float64 `json:"order" minimum:"0.5" maximum:"12" multipleOf:"0.5" doc:"order per crank revolution"`
	Quantity    string  `json:"quantity" enum:"force,moment,roll" doc:"what is to come down: shaking force, shaking moment, or roll moment"`
	KeepPercent float64 `json:"keep_percent,omitempty" minimum:"0" maximum:"99.9" doc:"share of the largest resultant that may remain"`
}

// ShaftPlaceRequest is where the axis of a shaft may run.
type ShaftPlaceRequest struct {
	YMM float64 `json:"y_mm" minimum:"-1e5" maximum:"1e5" doc:"to the right of the crank axis, seen from the drive end"`
	ZMM float64 `json:"z_mm" minimum:"-1e5" maximum:"1e5" doc:"above the crank axis"`
}

func (s *Server) balanceShafts(_ context.Context, in *struct{ Body ShaftsRequest }) (*toolAnswer[*report.ShaftsDoc], error) {
	b := in.Body
	r, err := s.result(b.Draft)
	if err != nil {
		return nil, err
	}
	task := balance.ShaftTask{Ratios: b.Ratios, MostShafts: b.Most, Crank: b.Crank}
	if b.Most == 0 {
		task.MostShafts = 4
	}
	for _, t := range b.Targets {
		aim := map[string]balance.ShaftAim{"force": balance.AimForce, "moment": balance.AimMoment, "roll": balance.AimRoll}[t.Quantity]
		task.Targets = append(task.Targets, balance.ShaftTarget{K: int(math.Round(2 * t.Order)), Aim: aim, Keep: t.KeepPercent / 100})
	}
	for _, p := range b.Places {
		task.Places = append(task.Places, balance.ShaftPlace{Y: p.YMM / 1e3, Z: p.ZMM / 1e3})
	}
	for _, x := range b.PlanesMM {
		task.Planes = append(task.Planes, x/1e3)
	}
	found, err := balance.FindShafts(r.Train, task)
	if err != nil {
		return answered[*report.ShaftsDoc](nil, err)
	}
	return answered(report.NewShaftsDoc(r.Train, found, report.ShaftChoice{
		Speed: r.Speed, Radius: b.RadiusMM / 1e3, Density: b.DensityKgM3, BearingRadius: b.BearingRadius / 1e3,
		Friction: b.Friction, Timing: num.Degrees(b.TimingDeg),
	}))
}

// BobweightsRequest asks for the card of the balancing machine.
type BobweightsRequest struct {
	Draft
	FactorPercent *float64 `json:"factor_percent,omitempty" minimum:"0" maximum:"100" doc:"share of the reciprocating masses; left out: 50"`
	Parts         string   `json:"parts,omitempty" maxLength:"200000" doc:"list of weighed parts as comma-separated values; left out: the masses of the engine file"`
	PartsName     string   `json:"parts_name,omitempty" maxLength:"200" doc:"what the list is called"`
}

func (s *Server) bobweightDoc(b BobweightsRequest) (report.BobweightDoc, error) {
	var none report.BobweightDoc
	r, err := s.result(b.Draft)
	if err != nil {
		return none, err
	}
	parts, from := balance.FileParts(r.Train), report.PartsFromFile
	if b.Parts != "" {
		from = cmp.Or(b.PartsName, "parts.csv")
		if parts, err = spec.ReadParts(from, []byte(b.Parts), r.Train); err != nil {
			return none, badField("body.parts", err.Error())
		}
	}
	factor := 0.5
	if b.FactorPercent != nil {
		factor = *b.FactorPercent / 100
	}
	card, err := balance.BobweightCard(r.Train, parts, factor)
	if err != nil {
		return none, badField("body", err.Error())
	}
	return report.Bobweights(r.Train, card, r.Speed, from), nil
}

func (s *Server) bobweights(_ context.Context, in *struct{ Body BobweightsRequest }) (*toolAnswer[report.BobweightDoc], error) {
	doc, err := s.bobweightDoc(in.Body)
	return &toolAnswer[report.BobweightDoc]{doc}, err
}

func (s *Server) bobweightCard(_ context.Context, in *struct {
	Format string `query:"format" enum:"html,pdf,svg,png,csv" default:"html"`
	Body   BobweightsRequest
},
) (*download, error) {
	doc, err := s.bobweightDoc(in.Body)
	if err != nil {
		return nil, err
	}
	name := "bobweights." + in.Format
	switch in.Format {
	case "html":
		data, err := report.BobweightHTML(doc)
		return &download{"text/html; charset=utf-8", disposition(true, name), data}, err
	case "csv":
		data, err := report.BobweightCSV(doc)
		return &download{"text/csv; charset=utf-8", disposition(true, name), data}, err
	}
	return drawn(report.BobweightFigure(doc), picture{format: in.Format, name: name, save: true})
}

// GradeRequest asks for the unbalance that a rotor may keep.
type GradeRequest struct {
	Grade       string    `json:"grade,omitempty" maxLength:"20" default:"G16" doc:"balance quality grade, such as G16"`
	MassKg      float64   `json:"mass_kg" exclusiveMinimum:"0" maximum:"1e7" doc:"mass of the rotor"`
	SpeedRPM    float64   `json:"speed_rpm" exclusiveMinimum:"0" maximum:"900000" doc:"highest speed in service"`
	DistancesMM []float64 `json:"distances_mm,omitempty" maxItems:"2" doc:"of the centre of gravity from the two planes; left out: not split"`
	FoundGmm    []float64 `json:"found_gmm,omitempty" maxItems:"2" doc:"what is left: of the whole rotor, or in each of the planes"`
}

func (s *Server) grade(_ context.Context, in *struct{ Body GradeRequest }) (*toolAnswer[report.GradeDoc], error) {
	grade, err := balance.GradeNamed(in.Body.Grade)
	if err != nil {
		return nil, badField("body.grade", err.Error())
	}
	var distances, found []float64
	for _, d := range in.Body.DistancesMM {
		distances = append(distances, d/1e3)
	}
	for _, u := range in.Body.FoundGmm {
		found = append(found, u/1e6)
	}
	return answered(report.ResidualUnbalance(grade, in.Body.MassKg, in.Body.SpeedRPM*math.Pi/30, distances, found))
}

// CorrectionRequest is a job of the balancing shop.
type CorrectionRequest struct {
	Job string `json:"job" minLength:"1" maxLength:"200000" doc:"what was measured and where metal may go or come, as the command balance correct reads it"`
}

// CorrectionAnswer is the solution of a job, with its drawing.
type CorrectionAnswer struct {
	report.CorrectionDoc
	Figure string `json:"figure" doc:"both planes as SVG"`
}

func (s *Server) correction(_ context.Context, in *struct{ Body CorrectionRequest }) (*toolAnswer[CorrectionAnswer], error) {
	doc, f, err := corrected(in.Body.Job)
	if err != nil {
		return nil, err
	}
	return &toolAnswer[CorrectionAnswer]{CorrectionAnswer{doc, string(f.SVG())}}, nil
}

func (s *Server) correctionFigure(_ context.Context, in *struct {
	Format string `query:"format" enum:"svg,png,pdf" default:"svg"`
	Body   CorrectionRequest
},
) (*download, error) {
	_, f, err := corrected(in.Body.Job)
	if err != nil {
		return nil, err
	}
	return drawn(f, picture{format: in.Format, name: "correction." + in.Format, save: true})
}

func corrected(text string) (report.CorrectionDoc, draw.Figure, error) {
	var none draw.Figure
	job, err := spec.ReadBalanceJob("job", []byte(text))
	if err != nil {
		return report.CorrectionDoc{}, none, badField("body.job", err.Error())
	}
	doc, solved, err := report.CorrectUnbalance(job.Name, job.Grade, job.Planes, job.Sites)
	if err != nil {
		return doc, none, badField("body.job", err.Error())
	}
	return doc, draw.UnbalanceCorrection(job.Name, job.Planes, job.Sites, solved), nil
}

// TolerancesRequest asks how far the balance scatters because the parts do. Tolerances are half widths: 2 g is
// ±2 g; one that is left out is that of common practice.
type TolerancesRequest struct {
	Draft
	PistonG          *float64  `json:"piston_g,omitempty" minimum:"0" doc:"of the mass of a piston"`
	RodG             *float64  `json:"rod_g,omitempty" minimum:"0" doc:"of the mass of a rod"`
	RodCGMM          *float64  `json:"rod_cg_mm,omitempty" minimum:"0" doc:"centre of gravity of the rod, along it"`
	StrokeMM         *float64  `json:"stroke_mm,omitempty" minimum:"0" doc:"of the stroke of each throw"`
	RodLengthMM      *float64  `json:"rod_length_mm,omitempty" minimum:"0" doc:"of the length of a rod"`
	PinAngleDeg      *float64  `json:"pin_angle_deg,omitempty" minimum:"0" doc:"of the angle of a crankpin"`
	SpacingMM        *float64  `json:"spacing_mm,omitempty" minimum:"0" doc:"place of each crankpin along the crank, with its cylinders"`
	ThrowGmm         *float64  `json:"throw_gmm,omitempty" minimum:"0" doc:"of the unbalance of a throw"`
	CounterweightGmm *float64  `json:"counterweight_gmm,omitempty" minimum:"0" doc:"of the unbalance of a counterweight"`
	CounterweightDeg *float64  `json:"counterweight_angle_deg,omitempty" minimum:"0" doc:"of the angle of a counterweight"`
	ShaftGmm         *float64  `json:"shaft_gmm,omitempty" minimum:"0" doc:"of the unbalance of a mass on a balance shaft"`
	ShaftDeg         *float64  `json:"shaft_angle_deg,omitempty" minimum:"0" doc:"of the angle of a balance shaft"`
	Only             bool      `json:"only,omitempty" doc:"what is left out stays as drawn"`
	Uniform          bool      `json:"uniform,omitempty" doc:"parts scatter evenly over the tolerance, not normally"`
	Samples          int       `json:"samples,omitempty" minimum:"0" maximum:"100000" doc:"engines built by chance; 0: 20 000"`
	Seed             uint64    `json:"seed,omitempty" doc:"of the engines built by chance; 0: 1"`
	Orders           []float64 `json:"orders,omitempty" maxItems:"4" doc:"left out: 1 and 2"`
}

func (s *Server) tolerances(_ context.Context, in *struct{ Body TolerancesRequest }) (*toolAnswer[*report.TolerancesDoc], error) {
	b := in.Body
	r, err := s.result(b.Draft)
	if err != nil {
		return nil, err
	}
	var tol balance.Tolerances
	if !b.Only {
		tol = balance.UsualTolerances(r.Train)
	}
	if b.Uniform {
		tol.Spread = balance.UniformSpread
	}
	const degree = math.Pi / 180
	usual := map[balance.ToleranceClass]bool{}
	for _, v := range []struct {
		class balance.ToleranceClass
		given *float64
		unit  float64 // SI
		to    *float64
	}{
		{balance.PistonMass, b.PistonG, 1e-3, &tol.PistonMass},
		{balance.RodMass, b.RodG, 1e-3, &tol.RodMass},
		{balance.RodCG, b.RodCGMM, 1e-3, &tol.RodCG},
		{balance.CrankRadius, b.StrokeMM, 0.5e-3, &tol.CrankRadius},
		{balance.RodLength, b.RodLengthMM, 1e-3, &tol.RodLength},
		{balance.PinAngle, b.PinAngleDeg, degree, &tol.PinAngle},
		{balance.PinPlace, b.SpacingMM, 1e-3, &tol.PinPlace},
		{balance.ThrowUnbalance, b.ThrowGmm, 1e-6, &tol.ThrowUnbalance},
		{balance.CounterweightUnbalance, b.CounterweightGmm, 1e-6, &tol.CounterweightUnbalance},
		{balance.CounterweightAngle, b.CounterweightDeg, degree, &tol.CounterweightAngle},
		{balance.ShaftUnbalance, b.ShaftGmm, 1e-6, &tol.ShaftUnbalance},
		{balance.ShaftAngle, b.ShaftDeg, degree, &tol.ShaftAngle},
	} {
		if v.given == nil {
			usual[v.class] = !b.Only
			continue
		}
		*v.to = *v.given * v.unit
	}
	opt := balance.SimOptions{Samples: cmp.Or(b.Samples, 20_000), Seed: cmp.Or(b.Seed, 1)}
	for _, n := range b.Orders {
		opt.Orders = append(opt.Orders, int(math.Round(2*n)))
	}
	return answered(report.NewTolerancesDoc(r.Train, r.Speed, tol, usual, opt))
}

// MatchingRequest asks which weighed part goes into which cylinder.
type MatchingRequest struct {
	Draft
	Parts        string    `json:"parts" minLength:"1" maxLength:"200000" doc:"weighed pistons and rods as comma-separated values, as the command balance match reads them"`
	PartsName    string    `json:"parts_name,omitempty" maxLength:"200" doc:"what the list is called"`
	Orders       []float64 `json:"orders,omitempty" maxItems:"4" doc:"orders that count; left out: 1 and 2"`
	ForceWeight  float64   `json:"force_weight,omitempty" minimum:"0" doc:"both weights 0: both 1"`
	MomentWeight float64   `json:"moment_weight,omitempty" minimum:"0" doc:"weight of the moment against that of the force"`
	FromDrawn    bool      `json:"from_drawn,omitempty" doc:"measure the distance from the engine as drawn, not what remains in all"`
}

func (s *Server) matching(_ context.Context, in *struct{ Body MatchingRequest }) (*toolAnswer[*report.MatchDoc], error) {
	b := in.Body
	r, err := s.result(b.Draft)
	if err != nil {
		return nil, err
	}
	pistons, rods, err := spec.ReadWeighed(cmp.Or(b.PartsName, "weighed.csv"), []byte(b.Parts))
	if err != nil {
		return nil, badField("body.parts", err.Error())
	}
	m := balance.MatchMeasure{Force: b.ForceWeight, Moment: b.MomentWeight, FromDrawn: b.FromDrawn}
	for _, n := range b.Orders {
		m.Orders = append(m.Orders, int(math.Round(2*n)))
	}
	return answered(report.NewMatchDoc(r.Train, r.Speed, pistons, rods, m, balance.MatchOptions{Seed: 1}))
}
