package report

import (
	"math"

	"crankwright/analysis"
	"crankwright/explain"
	"crankwright/mechanics/strength"
)

// StrengthDoc is whether the throws of a crank last, by the rule for crankshafts: the key strength of evaluate --json, and
// what the verb strength prints with --json.
type StrengthDoc struct {
	WorkPoint
	Rule       string   `json:"rule" jsonschema_description:"the rule by which it is assessed"`
	TensileMPa float64  `json:"tensile_MPa" jsonschema_description:"tensile strength of the steel"`
	Make       string   `json:"make" jsonschema:"enum=grain-flow,enum=free-form,enum=cast" jsonschema_description:"how the crank is made: forged with grain flow, free forged, or cast with rolled fillets"`
	MakeFactor float64  `json:"make_factor_1" jsonschema_description:"factor of the rule for how the crank is made"`
	Vibration  bool     `json:"torsional_vibration" jsonschema_description:"torques are the largest of the torsional vibration over the speeds that are run; else those of this speed, as if the shaft were stiff"`
	Required   float64  `json:"required_1" jsonschema_description:"acceptability factor that the rule demands"`
	Least      float64  `json:"least_1" jsonschema_description:"smallest acceptability factor of the crank; 0: no web could be assessed"`
	LeastAt    string   `json:"least_at,omitempty" jsonschema_description:"web and point of it"`
	Webs       []WebDoc `json:"webs" jsonschema_description:"beside the mains, from the free end to the drive end"`
	Notes      []string `json:"notes" jsonschema_description:"what was taken and what was left out, in sentences"`
	Summary    []string `json:"summary" jsonschema_description:"the result in sentences"`
	Estimated
	Assumed []EstimateDoc `json:"assumed,omitempty" jsonschema_description:"what the file left out of crank and torsion and how it was filled; in evaluate it stands beside the estimates"`
	Caution string        `json:"caution,omitempty" jsonschema_description:"what the numbers are not good for; left out in evaluate, which says it once"`
}

// WebDoc is one web with the journal and the pin beside it.
type WebDoc struct {
	Name      string       `json:"name" jsonschema_description:"the main and the throw that it joins"`
	Throw     int          `json:"throw" jsonschema_description:"place in the file, from 1"`
	Main      int          `json:"main" jsonschema_description:"from the free end, from 1"`
	BendingNm float64      `json:"bending_Nm" jsonschema_description:"alternating bending moment in the middle plane of the web, half of largest less smallest, as all loads here"`
	RadialN   float64      `json:"radial_N" jsonschema_description:"alternating radial force on the web"`
	OilBoreNm float64      `json:"oil_bore_Nm" jsonschema_description:"alternating bending moment of the pin that stresses the mouth of the oil bore"`
	PinNm     float64      `json:"pin_torque_Nm" jsonschema_description:"alternating torque in the pin"`
	JournalNm float64      `json:"journal_torque_Nm" jsonschema_description:"alternating torque in the journal"`
	TwistRPM  float64      `json:"torque_at_rpm,omitempty" jsonschema_description:"crank speed at which the vibratory torque is largest"`
	Ratios    []RatioDoc   `json:"ratios,omitempty" jsonschema_description:"sizes over the pin's diameter, with the range of the rule"`
	Factors   *FactorsDoc  `json:"factors,omitempty" jsonschema_description:"stress concentration factors"`
	Nominal   *NominalDoc  `json:"nominal,omitempty" jsonschema_description:"nominal alternating stresses"`
	Points    []PointDoc   `json:"points" jsonschema_description:"where a crack may start; none where the rule does not hold"`
	UsePct    float64      `json:"use_pct" jsonschema_description:"required over smallest acceptability factor; 0: not assessed"`
	Outside   []string     `json:"outside" jsonschema_description:"ratios beyond the rule that were held at the end of its range: the result is an approximation"`
	Refused   string       `json:"refused,omitempty" jsonschema_description:"why the rule does not hold"`
	Changes   []SizeChange `json:"changes" jsonschema_description:"what a millimetre buys"`
}

// RatioDoc is a size over the pin's diameter.
type RatioDoc struct {
	Name   string   `json:"name" jsonschema_description:"the size in words"`
	Value  float64  `json:"value_1" jsonschema_description:"the size over the pin's diameter"`
	Low    *float64 `json:"low_1,omitempty" jsonschema_description:"lower end of the range of the rule; left out: it has none"`
	High   float64  `json:"high_1" jsonschema_description:"upper end of the range of the rule"`
	Inside bool     `json:"inside" jsonschema_description:"the ratio lies in the range"`
}

// FactorsDoc are stress concentration factors.
type FactorsDoc struct {
	PinBending     float64 `json:"pin_bending_1" jsonschema_description:"bending at the fillet of the pin"`
	PinTorsion     float64 `json:"pin_torsion_1" jsonschema_description:"torsion at the fillet of the pin"`
	JournalBending float64 `json:"journal_bending_1" jsonschema_description:"bending at the fillet of the journal"`
	JournalShear   float64 `json:"journal_shear_1" jsonschema_description:"shear at the fillet of the journal"`
	JournalTorsion float64 `json:"journal_torsion_1" jsonschema_description:"torsion at the fillet of the journal"`
	OilBending     float64 `json:"oil_bore_bending_1" jsonschema_description:"bending at the oil bore of the pin; 0: there is none"`
	OilTorsion     float64 `json:"oil_bore_torsion_1" jsonschema_description:"torsion at the oil bore of the pin; 0: there is none"`
}

// NominalDoc are nominal alternating stresses.
type NominalDoc struct {
	BendingMPa        float64 `json:"bending_MPa" jsonschema_description:"by bending, in the web"`
	ShearMPa          float64 `json:"shear_MPa" jsonschema_description:"by the radial force, in the web"`
	OilBoreMPa        float64 `json:"oil_bore_MPa" jsonschema_description:"by bending, in the pin at the oil bore"`
	PinTorsionMPa     float64 `json:"pin_torsion_MPa" jsonschema_description:"by torsion, in the pin"`
	JournalTorsionMPa float64 `json:"journal_torsion_MPa" jsonschema_description:"by torsion, in the journal"`
}

// PointDoc is a place where a crack may start.
type PointDoc struct {
	Name          string  `json:"name" jsonschema:"enum=pin fillet,enum=journal fillet,enum=oil bore" jsonschema_description:"where it lies"`
	BendingMPa    float64 `json:"bending_MPa" jsonschema_description:"alternating stress there by bending, at the journal by shear too"`
	TorsionMPa    float64 `json:"torsion_MPa" jsonschema_description:"alternating stress there by torsion"`
	EquivalentMPa float64 `json:"equivalent_MPa" jsonschema_description:"alternating stress that both together are worth"`
	FatigueMPa    float64 `json:"fatigue_MPa" jsonschema_description:"alternating stress that it endures"`
	Q             float64 `json:"q_1" jsonschema_description:"acceptability factor"`
}

// SizeChange is what a millimetre more of one size buys.
type SizeChange struct {
	Size    string      `json:"size" jsonschema_description:"in words"`
	NowMM   float64     `json:"now_mm" jsonschema_description:"as it is"`
	Q       float64     `json:"q_1" jsonschema_description:"smallest acceptability factor with a millimetre more; 0: beyond the rule"`
	Gain    float64     `json:"gain_1" jsonschema_description:"what that adds to the smallest acceptability factor"`
	Points  []PointGain `json:"points" jsonschema_description:"acceptability factor of each point with a millimetre more"`
	LeastMM *float64    `json:"least_mm,omitempty" jsonschema_description:"smallest change by which the rule's factor is reached; left out where it is reached already, or not within a fifth of the size"`
	SpareMM *float64    `json:"spare_mm,omitempty" jsonschema_description:"how much the size may shrink, loads as they are, with the rule's factor still reached; left out where it is not reached now, and of an oil bore"`
	SpareBy string      `json:"spare_by,omitempty" jsonschema:"enum=factor,enum=range" jsonschema_description:"what ends it: the rule's factor, or the range in which the rule holds"`
}

// PointGain is the acceptability factor of a point after a change.
type PointGain struct {
	Name string  `json:"name" jsonschema_description:"of the point, as in points of the web"`
	Q    float64 `json:"q_1" jsonschema_description:"acceptability factor with a millimetre more"`
}

// mostQ bounds an acceptability factor in documents: where next to nothing alternates it has no meaning.
const mostQ = 1e3

func boundedQ(q float64) float64 { return tidy(math.Min(q, mostQ)) }

// NewStrengthDoc collects the strength of a crank.
func NewStrengthDoc(s *analysis.Strength) *StrengthDoc {
	t := s.Drive.Driver.Train
	d := &StrengthDoc{
		WorkPoint: workPoint(s.Drive), Rule: "IACS UR M53, from memory", TensileMPa: tidy(s.Steel.Tensile / 1e6), Make: string(t.Steel.Make), MakeFactor: tidy(s.Steel.Factor),
		Vibration: s.Twist, Required: strength.Required, Webs: []WebDoc{}, Notes: append([]string{}, s.Notes...), Summary: explain.Strength(s),
		Estimated: estimatedOf(t), Assumed: assumedFor(t, analysis.OfStrength), Caution: Caution,
	}
	if w := s.Worst(); w != nil {
		p := w.Assessment.Worst()
		d.Least, d.LeastAt = boundedQ(p.Q), w.Name+", "+p.Name
	}
	for i := range s.Webs {
		d.Webs = append(d.Webs, webDoc(&s.Webs[i], analysis.ThrowOf(t, s.Webs[i].Throw)))
	}
	return d
}

func webDoc(w *analysis.WebStrength, throw strength.Throw) WebDoc {
	d := WebDoc{
		Name: w.Name, Throw: w.Throw + 1, Main: w.Main + 1, BendingNm: tidy(w.Loads.Bending), RadialN: tidy(w.Loads.Radial), OilBoreNm: tidy(w.Loads.OilBore),
		PinNm: tidy(w.Loads.PinTorque), JournalNm: tidy(w.Loads.JournalTorque), TwistRPM: rpm(w.TwistSpeed), Points: []PointDoc{}, Outside: []string{}, Refused: w.Refused, Changes: []SizeChange{},
	}
	ratios := throw.Ratios()
	for _, l := range strength.Limits() {
		v := ratios.Of(l.Key)
		r := RatioDoc{Name: l.Name, Value: tidy(v), High: l.High, Inside: v >= l.Low-1e-9 && v <= l.High+1e-9}
		if !math.IsInf(l.Low, -1) {
			low := l.Low
			r.Low = &low
		}
		d.Ratios = append(d.Ratios, r)
	}
	a := w.Assessment
	if a == nil {
		return d
	}
	f, n := &a.Factors, &a.Nominal
	d.Factors = &FactorsDoc{
		PinBending: tidy(f.PinBending), PinTorsion: tidy(f.PinTorsion), JournalBending: tidy(f.JournalBending), JournalShear: tidy(f.JournalShear),
		JournalTorsion: tidy(f.JournalTorsion), OilBending: tidy(f.OilBending), OilTorsion: tidy(f.OilTorsion),
	}
	mpa := func(pa float64) float64 { return tidy(pa / 1e6) }
	d.Nominal = &NominalDoc{BendingMPa: mpa(n.Bending), ShearMPa: mpa(n.Shear), OilBoreMPa: mpa(n.OilBore), PinTorsionMPa: mpa(n.PinTorsion), JournalTorsionMPa: mpa(n.JournalTorsion)}
	for _, p := range a.Points {
		d.Points = append(d.Points, PointDoc{
			Name: p.Name, BendingMPa: mpa(p.Bending), TorsionMPa: mpa(p.Torsion), EquivalentMPa: mpa(p.Equivalent), FatigueMPa: mpa(p.Fatigue), Q: boundedQ(p.Q),
		})
	}
	d.UsePct = tidy(100 * a.Use())
	for _, x := range a.Outside {
		d.Outside = append(d.Outside, x.String())
	}
	for _, c := range w.Changes {
		e := SizeChange{Size: string(c.Size), NowMM: millimetres(c.Now), Q: boundedQ(c.Q), Gain: tidy(c.Gain), Points: []PointGain{}}
		for i, q := range c.Points {
			e.Points = append(e.Points, PointGain{Name: a.Points[min(i, len(a.Points)-1)].Name, Q: boundedQ(q)})
		}
		if c.Reaches {
			least := millimetres(c.Least)
			e.LeastMM = &least
		}
		if a.Worst().Q >= strength.Required && c.Size != strength.OilBoreSize {
			spare := millimetres(c.Spare)
			e.SpareMM, e.SpareBy = &spare, "range"
			if c.Bound {
				e.SpareBy = "factor"
			}
		}
		d.Changes = append(d.Changes, e)
	}
	return d
}
