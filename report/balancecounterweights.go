package report

import (
	"fmt"
	"math"
	"math/cmplx"
	"slices"

	"crankwright/analysis"
	"crankwright/mechanics/balance"
	"crankwright/mechanics/layout"
	"crankwright/num"
	"crankwright/spec"
)

// CounterweightsDoc is a set of counterweights and what it does: the JSON object that balance
// counterweights --json prints.
type CounterweightsDoc struct {
	Name     string  `json:"name" jsonschema_description:"name of the engine"`
	SpeedRPM float64 `json:"speed_rpm" jsonschema_description:"crank speed of all forces and moments"`
	Policy   string  `json:"policy" jsonschema:"enum=none,enum=factor,enum=per-throw,enum=per-web,enum=optimum" jsonschema_description:"how the counterweights were chosen"`

	ReferenceMM float64             `json:"reference_mm" jsonschema_description:"place on the crank about which moments are taken"`
	Webs        []CounterweightWeb  `json:"webs" jsonschema_description:"cheeks that may carry a counterweight, along the crank"`
	Optimum     *CounterweightBest  `json:"optimum,omitempty" jsonschema_description:"what the optimum made small; only with that policy"`
	Form        *CounterweightForm  `json:"form,omitempty" jsonschema_description:"the metal; only where a form is given"`
	Skirt       *CounterweightSkirt `json:"skirt,omitempty" jsonschema_description:"room between counterweights and piston skirts; only where the bore is known and there are counterweights"`

	Before CounterweightState `json:"before" jsonschema_description:"with the counterweights that the engine has"`
	After  CounterweightState `json:"after" jsonschema_description:"with the counterweights proposed here"`

	Remains []string  `json:"remains" jsonschema_description:"what is left, why nothing on the crank can take it, and what would"`
	Edits   []EditDoc `json:"edits" jsonschema_description:"changes of the engine file that put these counterweights on its crank"`
	Estimated
	Caution string `json:"caution" jsonschema_description:"what the numbers are not good for"`
}

// CounterweightWeb is one web with its counterweight.
type CounterweightWeb struct {
	Throw         string   `json:"throw" jsonschema_description:"throw whose pin is next to the web"`
	Side          string   `json:"side" jsonschema:"enum=free end,enum=drive end" jsonschema_description:"on which side of the pin the web stands"`
	AtMM          float64  `json:"at_mm" jsonschema_description:"axial place"`
	OppositeDeg   float64  `json:"opposite_deg" jsonschema_description:"direction opposite the pin next to the web"`
	AngleDeg      float64  `json:"angle_deg" jsonschema_description:"direction of the counterweight at crank angle 0, from +z about +x"`
	UnbalanceKgmm float64  `json:"unbalance_kgmm" jsonschema_description:"of its counterweight, mass times radius; 0: none"`
	AtLimit       bool     `json:"at_limit" jsonschema_description:"the optimum would put more here than the limit allows"`
	HalfAngleDeg  *float64 `json:"half_angle_deg,omitempty" jsonschema_description:"of the sector; missing where no form is given or it does not fit"`
	MassKg        *float64 `json:"mass_kg,omitempty" jsonschema_description:"added by the sector; missing where no form is given or it does not fit"`
	InertiaKgm2   *float64 `json:"inertia_kgm2,omitempty" jsonschema_description:"about the crank axis"`
	ClearanceMM   *float64 `json:"clearance_mm,omitempty" jsonschema_description:"smallest to any piston skirt; missing where no piston stands beside it"`
	NoFit         string   `json:"no_fit,omitempty" jsonschema_description:"why the unbalance does not fit into the form, and what would do"`
}

// CounterweightBest is the measure of an optimum.
type CounterweightBest struct {
	ForceWeight  [2]float64 `json:"force_weight_y_z" jsonschema_description:"weights of the force across and upright"`
	MomentWeight [2]float64 `json:"moment_weight_y_z" jsonschema_description:"weights of the moment about y and about z"`
	LengthMM     float64    `json:"length_mm" jsonschema_description:"by which moments are divided"`
	LimitKgmm    float64    `json:"limit_kgmm" jsonschema_description:"largest unbalance of a web; 0: none"`
	BareN        float64    `json:"bare_N" jsonschema_description:"root of the weighted mean square without any counterweight"`
	BeforeN      float64    `json:"before_N" jsonschema_description:"with the counterweights that the engine has"`
	AfterN       float64    `json:"after_N" jsonschema_description:"with these"`
	LeastN       float64    `json:"least_N" jsonschema_description:"what no counterweights, of any size and at any place, could undercut"`
}

// CounterweightForm is the metal of the counterweights.
type CounterweightForm struct {
	RadiusMM       float64 `json:"radius_mm" jsonschema_description:"radius limit"`
	InnerRadiusMM  float64 `json:"inner_radius_mm" jsonschema_description:"at which the sectors begin"`
	ThicknessMM    float64 `json:"thickness_mm" jsonschema_description:"of the sectors along the crank"`
	DensityKgPerM3 float64 `json:"density_kg_per_m3" jsonschema_description:"of the metal"`
	MostKgmm       float64 `json:"most_kgmm" jsonschema_description:"unbalance of a half ring, the most that fits"`
	MassKg         float64 `json:"mass_kg" jsonschema_description:"added by all sectors that fit"`
	InertiaKgm2    float64 `json:"inertia_kgm2" jsonschema_description:"added by all sectors that fit, about the crank axis"`
	Misfits        int     `json:"misfits" jsonschema_description:"webs whose unbalance does not fit"`
}

// CounterweightSkirt is the room between counterweights and piston skirts at bottom dead centre.
type CounterweightSkirt struct {
	BelowPinMM   float64                  `json:"below_pin_mm" jsonschema_description:"how far skirts reach below the piston pin"`
	Estimated    bool                     `json:"estimated" jsonschema_description:"that length is a usual share of the bore, not given"`
	WantedMM     float64                  `json:"wanted_mm" jsonschema_description:"clearance wanted"`
	MostRadiusMM float64                  `json:"most_radius_mm" jsonschema_description:"largest radius of counterweights that keeps the wanted clearance"`
	Pairs        []CounterweightClearance `json:"pairs" jsonschema_description:"webs and pistons beside them, smallest clearance first; none where no form is given"`
}

// CounterweightClearance is the room between one web and one piston.
type CounterweightClearance struct {
	Web         int     `json:"web" jsonschema_description:"place in the list of webs, from 1"`
	Cylinder    string  `json:"cylinder" jsonschema_description:"name of the cylinder whose piston it is"`
	EdgeMM      float64 `json:"edge_mm" jsonschema_description:"nearest point of the skirt from the crank axis"`
	ClearanceMM float64 `json:"clearance_mm" jsonschema_description:"negative: they meet"`
}

// CounterweightState is the first order and the largest values over the cycle.
type CounterweightState struct {
	Force        ForceDoc  `json:"force_order_1" jsonschema_description:"force of the first order on the block"`
	Moment       MomentDoc `json:"moment_order_1" jsonschema_description:"moment of the first order on the block"`
	PeakForceN   float64   `json:"peak_force_N" jsonschema_description:"largest resultant over the cycle, all orders"`
	PeakMomentNm float64   `json:"peak_moment_Nm" jsonschema_description:"largest resultant over the cycle, all orders"`
	Weights      int       `json:"counterweights" jsonschema_description:"number of counterweights"`
}

// Counterweights plans the counterweights of an engine and says what they do at the speed of its result.
// An error says what is wrong with the request.
func Counterweights(before *analysis.Result, q balance.Request) (*CounterweightsDoc, error) {
	p, err := balance.Counterweights(before.Train, q)
	if err != nil {
		return nil, err
	}
	changed := *before.Train
	changed.Counterweights = p.Counterweights
	after, err := analysis.Run(&changed, analysis.Options{Speed: before.Speed})
	if err != nil {
		return nil, err
	}
	return counterweightsDoc(before, after, p), nil
}

func counterweightsDoc(before, after *analysis.Result, p *balance.Plan) *CounterweightsDoc {
	t := before.Train
	d := &CounterweightsDoc{
		Name: t.Name, SpeedRPM: rpm(before.Speed), Policy: string(p.Policy), ReferenceMM: millimetres(before.Balance.Reference),
		Webs: []CounterweightWeb{}, Before: counterweightState(before), After: counterweightState(after),
		Remains: balance.Remains(after.Train, after.Balance, after.Speed), Edits: []EditDoc{{"crank.counterweights", planText(t, p)}},
		Estimated: estimatedOf(t), Caution: Caution,
	}
	for j, w := range p.Webs {
		web := CounterweightWeb{
			Throw: t.Throws[w.Throw].Name, Side: "free end", AtMM: millimetres(w.At), OppositeDeg: deg(w.Opposite), AngleDeg: deg(w.Opposite),
			UnbalanceKgmm: tidy(1e3 * cmplx.Abs(w.Unbalance)), AtLimit: p.Optimum != nil && p.Optimum.AtLimit[j],
		}
		if w.DriveEnd {
			web.Side = "drive end"
		}
		if w.Unbalance != 0 {
			web.AngleDeg = deg(num.Angle(cmplx.Phase(w.Unbalance)).Wrap(num.Turn))
		}
		if s := w.Sector; s != nil {
			half, mass, inertia := deg(num.Angle(s.HalfAngle)), s.Mass, s.Inertia
			web.HalfAngleDeg, web.MassKg, web.InertiaKgm2 = &half, &mass, &inertia
		}
		if w.NoFit != nil {
			web.NoFit = w.NoFit.Error()
		}
		if i := slices.IndexFunc(p.Clearances, func(c balance.Clearance) bool { return c.Web == j }); i >= 0 {
			gap := millimetres(p.Clearances[i].Gap)
			web.ClearanceMM = &gap
		}
		d.Webs = append(d.Webs, web)
	}
	d.Optimum = counterweightBest(before, p)
	if c := p.Cheek; c != (balance.Cheek{}) {
		d.Form = &CounterweightForm{
			RadiusMM: millimetres(c.Outer), InnerRadiusMM: millimetres(c.Inner), ThicknessMM: millimetres(c.Thickness), DensityKgPerM3: c.Density,
			MostKgmm: tidy(1e3 * c.Most()), MassKg: p.Mass, InertiaKgm2: p.Inertia, Misfits: p.Misfits,
		}
	}
	if p.MostRadius > 0 || len(p.Clearances) > 0 {
		d.Skirt = &CounterweightSkirt{
			BelowPinMM: millimetres(p.Skirt), Estimated: p.SkirtGuess, WantedMM: millimetres(p.Room), MostRadiusMM: millimetres(p.MostRadius),
			Pairs: []CounterweightClearance{},
		}
		for _, c := range p.Clearances {
			d.Skirt.Pairs = append(d.Skirt.Pairs, CounterweightClearance{c.Web + 1, t.Cylinders[c.Cylinder].Name, millimetres(c.Edge), millimetres(c.Gap)})
		}
	}
	return d
}

func counterweightBest(before *analysis.Result, p *balance.Plan) *CounterweightBest {
	o := p.Optimum
	if o == nil {
		return nil
	}
	m := o.Measure
	root := func(j float64) float64 { return math.Sqrt(j) * before.Speed * before.Speed }
	return &CounterweightBest{
		ForceWeight: [2]float64{m.ForceY, m.ForceZ}, MomentWeight: [2]float64{m.MomentY, m.MomentZ}, LengthMM: millimetres(m.Length),
		LimitKgmm: tidy(1e3 * p.Limit), BareN: root(o.Bare), BeforeN: root(m.Of(before.Balance)), AfterN: root(o.After), LeastN: root(o.Least),
	}
}

// counterweightState takes the first order and the peaks from a result. What turns with the crank is the
// difference of masses on the crank and may cancel but for the nine decimals of their directions: less than
// that of the sum of the masses is nothing.
func counterweightState(r *analysis.Result) CounterweightState {
	force, moment := 0.0, 0.0
	for _, c := range r.Train.Counterweights {
		u := math.Abs(c.Amount) * r.Speed * r.Speed
		force += u
		moment += u * math.Abs(c.At-r.Balance.Reference)
	}
	part := func(p analysis.Pair, of float64) (with, against Complex, e num.Ellipse) {
		if cmplx.Abs(p.With) < 1e-10*of {
			p.With = 0
		}
		return pair(p.With), pair(p.Against), num.EllipseOf(p.With, p.Against)
	}
	o := r.Order(2)
	s := CounterweightState{PeakForceN: r.Peaks.Force, PeakMomentNm: r.Peaks.Moment, Weights: len(r.Train.Counterweights)}
	with, against, e := part(o.Force, force)
	s.Force = ForceDoc{with, against, e.Major, e.Minor, deg(e.Axis)}
	with, against, e = part(o.Moment, moment)
	s.Moment = MomentDoc{with, against, e.Major, e.Minor, deg(e.Axis)}
	return s
}

// planText writes the counterweights of a plan as the value of crank.counterweights. One balance factor stays
// a factor, so that it follows the masses of the file.
func planText(t *layout.Train, p *balance.Plan) string {
	if p.Policy == balance.ByFactor {
		return fmt.Sprintf("{balance_factor: %s %%}", num.Digits(100*p.Factors[0], 12))
	}
	return spec.CounterweightsText(t, p.Counterweights)
}
