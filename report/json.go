package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/cmplx"
	"regexp"
	"slices"

	"crankwright/analysis"
	"crankwright/explain"
	"crankwright/mechanics/firing"
	"crankwright/mechanics/inertia"
	"crankwright/num"
)

// Detail says what a Document holds beyond the usual.
type Detail struct {
	Curves        bool      // time histories over two revolutions
	Push          bool      // those of gas and torque too
	Contributions bool      // what each part of the engine adds to each order
	Sweep         []float64 // crank speeds of a sweep [rad/s]
}

// JSON returns a result as the JSON object that Schema describes, without curves.
func JSON(r *analysis.Result) ([]byte, error) { return Encode(NewDocument(r, Detail{})) }

// Encode writes a value as indented JSON with a newline at the end. A number that is not finite is
// an error: it never leaves the program.
func Encode(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	if err := e.Encode(v); err != nil {
		return nil, fmt.Errorf("the result cannot be written as JSON: %w", err)
	}
	return flat.ReplaceAllFunc(b.Bytes(), func(list []byte) []byte {
		return append(append([]byte("["), bytes.Join(bytes.Fields(list[1:len(list)-1]), []byte(" "))...), ']')
	}), nil
}

// flat finds lists of numbers alone, which stand on one line. A text holds no line end, so that a
// bracket before one is never part of a text.
var flat = regexp.MustCompile(`\[\n[^\[\]{}"]*\]`)

// NewDocument collects everything that is known of one engine.
func NewDocument(r *analysis.Result, detail Detail) *Document {
	t := r.Train
	d := &Document{
		Name: t.Name, SpeedRPM: rpm(r.Speed), AboveLimit: rpm(t.Speeds.Above(r.Speed)),
		Cycle: t.Cycle.String(), Rotation: t.Rotation.String(), Arrangement: string(t.Arrangement),
		DisplacementCM3: 1e6 * r.Swept, Method: "rigid-body",
		Cylinders: cylinderDocs(r), Balance: balanceDoc(r, detail), Firing: firingDoc(r),
		TwoMass: TwoMassDoc{Used: r.TwoMass.Used, TorqueErrorNm: r.TwoMass.TorqueError, RollErrorNm: r.TwoMass.RollError},
		Summary: explain.Engine(r), Guidance: explain.Guidance(r.Guidance), Estimates: []EstimateDoc{}, Caution: Caution,
	}
	if r.TwoMass.Used {
		d.Method = "two-mass"
	}
	for _, f := range r.Figures() {
		d.Figures = append(d.Figures, FigureDoc{f.Key, f.Name, f.Unit, tidy(noMinusZero(f.Value)), betterWord(f.Better)})
	}
	d.Estimates, d.Assumed = append(d.Estimates, EstimateDocs(t.Estimates)...), assumedOfAll(r)
	if detail.Curves {
		d.Curves = curvesDoc(r)
	}
	d.NoTorque = r.NoDrive
	if r.Drive != nil {
		d.Torque, d.Friction, d.Gas = NewTorqueDoc(r.Drive, detail.Push), NewFrictionDoc(r.Drive), NewGasDoc(r.Drive, detail.Push)
		d.Torque.Estimates, d.Torque.Assumed, d.Torque.Caution = nil, nil, ""
		d.Gas.Estimates, d.Gas.Assumed, d.Gas.Caution = nil, nil, ""
	}
	d.lasting(r.Lasting)
	d.mounted(r)
	if d.NoEnvelope = r.NoSpace; r.Space != nil {
		d.Envelope = NewSpaceDoc(t, r.Space, false)
		d.Envelope.Name, d.Envelope.Estimates, d.Envelope.Assumed, d.Envelope.Caution = "", nil, nil, ""
	}
	d.parts(r)
	if len(detail.Sweep) > 0 {
		d.Sweep = sweepDocs(r.Sweep(detail.Sweep))
	}
	return d
}

// mounted adds the engine on its mounts.
func (d *Document) mounted(r *analysis.Result) {
	d.NoMounts = r.NoMounts
	if r.Mounts != nil {
		d.Mounts = NewMountsDoc(r.Mounts, false)
		d.Mounts.Estimates, d.Mounts.Assumed, d.Mounts.Caution = nil, EstimateDocs(r.Mounts.Assumed), ""
	}
}

// parts adds parts and cost; what stands in the document once is left out of them.
func (d *Document) parts(r *analysis.Result) {
	if d.NoParts = r.NoParts; r.Parts == nil {
		return
	}
	d.Parts, d.NoCost = NewPartsDoc(r, r.Parts), r.Parts.NoCost
	d.Parts.Estimates, d.Parts.Assumed, d.Parts.Caution = nil, nil, ""
	if d.Parts.NoFriction != "" && d.Parts.NoFriction == d.NoTorque {
		d.Parts.NoFriction = ""
	}
	if r.Parts.Cost != nil {
		d.Cost = NewCostDoc(r.Train.Name, r.Parts.Cost)
	}
}

// lasting adds bearings, torsion and strength; what stands in the document once is left out of them.
func (d *Document) lasting(l *analysis.Lasting) {
	if l == nil {
		return
	}
	d.NoBearings, d.NoTorsion, d.NoStrength = l.NoBearings, l.NoTorsion, l.NoStrength
	if l.Bearings != nil {
		b, err := NewBearingsDoc(l.Bearings, false)
		if err != nil {
			d.NoBearings = analysis.Said(err)
		} else {
			b.Estimates, b.Assumed, b.Caution = nil, nil, ""
			d.Bearings = b
		}
	}
	if l.Torsion != nil {
		d.Torsion = NewTorsionDoc(l.Torsion, false)
		d.Torsion.Estimates, d.Torsion.Assumed, d.Torsion.Caution = nil, nil, ""
	}
	if l.Strength != nil {
		d.Strength = NewStrengthDoc(l.Strength)
		d.Strength.Estimates, d.Strength.Assumed, d.Strength.Caution = nil, nil, ""
	}
}

func betterWord(better int) string {
	switch {
	case better < 0:
		return "less"
	case better > 0:
		return "more"
	default:
		return "neither"
	}
}

func cylinderDocs(r *analysis.Result) []CylinderDoc {
	t := r.Train
	var out []CylinderDoc
	for i, c := range t.Cylinders {
		m := r.Cylinders[i]
		d := CylinderDoc{
			Name: c.Name, Throw: t.Throws[c.Throw].Name, AtMM: millimetres(c.At), AxisDeg: deg(c.Axis),
			TDCDeg: deg(m.TopDeadCentre), StrokeMM: millimetres(m.Stroke),
			MeanPistonSpeed: m.MeanPistonSpeed, PeakPistonSpeed: m.PeakPistonSpeed,
			ReciprocatingKg: m.Reciprocating, RotatingKg: m.Rotating, LinkedRod: c.Rod.Linked,
			ThrowAngleDeg: deg(t.Throws[c.Throw].Angle), CylinderOffsetMM: millimetres(c.Offset), Exhaust: c.Exhaust,
		}
		if c.Bank >= 0 && c.Bank < len(t.Banks) {
			d.Bank = t.Banks[c.Bank].Name
		}
		if at, ok := r.Firing.FiringAngle(i); ok {
			d.FiresAtDeg = deg(at)
		}
		out = append(out, d)
	}
	return out
}

func balanceDoc(r *analysis.Result, detail Detail) BalanceDoc {
	p := r.Peaks
	b := BalanceDoc{
		ReferenceMM: millimetres(r.Balance.Reference), Orders: []OrderDoc{},
		PeakForceN: p.Force, PeakMomentNm: p.Moment, PeakTorqueNm: p.Torque, PeakRollNm: p.Roll,
		PeakForceAt: deg(p.ForceAt), PeakMomentAt: deg(p.MomentAt), PeakTorqueAt: deg(p.TorqueAt), PeakRollAt: deg(p.RollAt),
		RMSTorqueNm: r.Balance.Torque.RMS() * r.Speed * r.Speed,
	}
	for _, o := range ordersShown(r, detail) {
		d := OrderDoc{
			Order: o.N(),
			Force: ForceDoc{
				WithN: pair(o.Force.With), AgainstN: pair(o.Force.Against),
				MajorN: o.Force.Ellipse.Major, MinorN: o.Force.Ellipse.Minor, AxisDeg: deg(o.Force.Ellipse.Axis),
			},
			Moment: MomentDoc{
				WithNm: pair(o.Moment.With), AgainstNm: pair(o.Moment.Against),
				MajorNm: o.Moment.Ellipse.Major, MinorNm: o.Moment.Ellipse.Minor, AxisDeg: deg(o.Moment.Ellipse.Axis),
			},
			RollNm: pair(o.Roll), TorqueNm: pair(o.Torque),
		}
		if detail.Contributions {
			d.Contributions = contributionDocs(r, o.K)
		}
		b.Orders = append(b.Orders, d)
	}
	return b
}

// ordersShown are the orders that a document holds: those with content, and where the contributions are
// wanted orders 1 and 2 always, because how they cancel is what the contributions show.
func ordersShown(r *analysis.Result, detail Detail) []analysis.Order {
	if !detail.Contributions {
		return r.Orders
	}
	out := slices.Clone(r.Orders)
	for _, k := range []int{2, 4} {
		if r.Contributions(k) == nil || slices.ContainsFunc(out, func(o analysis.Order) bool { return o.K == k }) {
			continue
		}
		out = append(out, r.Order(k))
	}
	slices.SortFunc(out, func(a, b analysis.Order) int { return a.K - b.K })
	return out
}

func contributionDocs(r *analysis.Result, k int) []ContributionDoc {
	kinds := map[inertia.SourceKind]string{
		inertia.FromCylinder: "cylinder", inertia.FromThrow: "throw",
		inertia.FromCounterweight: "counterweight", inertia.FromShaft: "shaft",
	}
	var out []ContributionDoc
	for _, c := range r.Contributions(k) {
		out = append(out, ContributionDoc{
			Part: explain.PartName(r.Train, c), Kind: kinds[c.Kind], AtMM: millimetres(c.At),
			ForceWithN: pair(c.With), ForceAgainstN: pair(c.Against),
			MomentWithNm: pair(c.MomentWith(r.Balance.Reference)), MomentAgainstNm: pair(c.MomentAgainst(r.Balance.Reference)),
			RollNm: pair(c.Roll), TorqueNm: pair(c.Torque),
		})
	}
	return out
}

func firingDoc(r *analysis.Result) FiringDoc {
	names := firing.Names(r.Train)
	m, s := r.Measures, r.Firing
	f := FiringDoc{
		Order: namesOf(s.Order, names), AtDeg: degs(s.At), IntervalsDeg: degs(s.Intervals), TDCDeg: map[string]float64{},
		Chosen: r.OrderChosen, Evenness: m.Evenness, MeanDeg: deg(m.Mean), LongestDeg: deg(m.Longest), ShortestDeg: deg(m.Shortest),
		DepartureDeg: deg(m.Departure), BeatErrorDeg: deg(m.BeatError), RepeatsDeg: deg(m.Repetition), Quick: m.Quick,
		Neighbours: [][2]string{}, SharedThrow: m.SharedThrow, SameBank: m.SameBank, AlternateShare: m.AlternateShare,
		Spectrum: []ImpulseDoc{}, Even: evenDoc(r),
	}
	for i, c := range r.Cylinders {
		f.TDCDeg[names[i]] = deg(c.TopDeadCentre)
	}
	for _, p := range m.Neighbours {
		f.Neighbours = append(f.Neighbours, [2]string{names[p[0]], names[p[1]]})
	}
	for _, g := range m.Exhaust {
		f.Exhaust = append(f.Exhaust, ExhaustDoc{
			Name: g.Name, Cylinders: namesOf(g.Cylinders, names), IntervalsDeg: degs(g.Intervals),
			Evenness: g.Evenness, ShortestDeg: deg(g.Shortest), BackToBack: g.BackToBack,
		})
	}
	for i, a := range m.Spectrum {
		if a > 1e-9 {
			f.Spectrum = append(f.Spectrum, ImpulseDoc{Order: float64(i+1) / 2, Amplitude: a})
		}
	}
	return f
}

func evenDoc(r *analysis.Result) EvenDoc {
	e := r.Even
	d := EvenDoc{
		Possible: e.Even, IntervalDeg: deg(e.Interval), BestOrder: namesOf(e.Best.Order, firing.Names(r.Train)),
		PinSplits: []ChangeDoc{}, BankAngles: []ChangeDoc{}, Turns: []TurnDoc{}, Sentences: e.Sentences,
	}
	for _, s := range e.Splits {
		if s.Paired {
			d.PinSplits = append(d.PinSplits, ChangeDoc{deg(s.From), deg(s.To)})
		}
	}
	for _, b := range e.BankAngles {
		d.BankAngles = append(d.BankAngles, ChangeDoc{deg(b.From), deg(b.To)})
	}
	if e.Turn != nil {
		for _, u := range e.Turn.Turns {
			d.Turns = append(d.Turns, TurnDoc{r.Train.Throws[u.Throw].Name, deg(u.By), deg(u.To)})
		}
	}
	return d
}

func curvesDoc(r *analysis.Result) *CurvesDoc {
	c := r.Curves
	return &CurvesDoc{
		AngleDeg: degs(r.Angles), ForceYN: c.ForceY, ForceZN: c.ForceZ,
		MomentYNm: c.MomentY, MomentZNm: c.MomentZ, TorqueNm: c.Torque, RollNm: c.Roll,
	}
}

func sweepDocs(points []analysis.SweepPoint) []SweepDoc {
	var out []SweepDoc
	for _, p := range points {
		d := SweepDoc{
			SpeedRPM: rpm(p.Speed), MeanPistonSpeed: p.MeanPistonSpeed, PeakForceN: p.Force, PeakMomentNm: p.Moment,
			PeakTorqueNm: p.Torque, PeakRollNm: p.Roll, Orders: []SweepOrder{},
		}
		for _, o := range p.Orders {
			d.Orders = append(d.Orders, SweepOrder{
				Order: o.N(), ForceN: o.Force.Ellipse.Major, MomentNm: o.Moment.Ellipse.Major,
				TorqueNm: cmplx.Abs(o.Torque), RollNm: cmplx.Abs(o.Roll),
			})
		}
		out = append(out, d)
	}
	return out
}

func namesOf(indices []int, names []string) []string {
	out := make([]string, len(indices))
	for i, c := range indices {
		out[i] = names[c]
	}
	return out
}

func pair(c complex128) Complex { return Complex{noMinusZero(real(c)), noMinusZero(imag(c))} }

func noMinusZero(v float64) float64 {
	if v == 0 {
		return 0
	}
	return v
}

// tidy removes the dust that a change of units leaves: it keeps 14 significant digits.
func tidy(v float64) float64 {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return v
	}
	scale := math.Pow(10, 13-math.Floor(math.Log10(math.Abs(v))))
	if t := math.Round(v*scale) / scale; !math.IsNaN(t) && !math.IsInf(t, 0) {
		return t
	}
	return v
}

// deg returns an angle in degrees without the dust of rounding, which is below 1e-11 deg.
func deg(a num.Angle) float64 { return noMinusZero(math.Round(a.Deg()*1e11) / 1e11) }

func degs(as []num.Angle) []float64 {
	out := make([]float64, len(as))
	for i, a := range as {
		out[i] = deg(a)
	}
	return out
}

func rpm(ω float64) float64 { return tidy(ω * 30 / math.Pi) }

func millimetres(m float64) float64 { return noMinusZero(tidy(1e3 * m)) }
