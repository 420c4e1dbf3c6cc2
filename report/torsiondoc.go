package report

import (
	"math"
	"math/cmplx"

	"crankwright/analysis"
	"crankwright/explain"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/torsion"
)

// TorsionDoc is the torsional vibration of a crank over its range of speeds: the key torsion of evaluate --json, and
// what the verb torsion prints with --json.
type TorsionDoc struct {
	Name      string         `json:"name" jsonschema_description:"name of the engine"`
	LoadPct   float64        `json:"load_pct" jsonschema_description:"brake torque over that of full load at every speed"`
	Measured  bool           `json:"measured" jsonschema_description:"the cylinder pressure is measured; it is taken at every speed"`
	FromRPM   float64        `json:"from_rpm" jsonschema_description:"crank speeds that are run: from here"`
	ToRPM     float64        `json:"to_rpm" jsonschema_description:"to here"`
	Formula   string         `json:"stiffness_by" jsonschema:"enum=mean,enum=carter,enum=ker-wilson" jsonschema_description:"which formula gives the stiffness of the throws in the model; mean: that of the two"`
	Throws    []ThrowDoc     `json:"throws" jsonschema_description:"stiffness of each throw by two published formulas, and its moment of inertia by part"`
	Discs     []DiscDoc      `json:"discs" jsonschema_description:"the model, from the free end to the drive end; the ring of a damper last"`
	Spans     []SpanDoc      `json:"spans" jsonschema_description:"the springs between them, with the largest vibratory stress at the speeds that are run"`
	Magnifier float64        `json:"magnifier_1" jsonschema_description:"dynamic magnifier of the mode that winds the crank up, without damper"`
	Modes     []ModeDoc      `json:"modes" jsonschema_description:"natural modes with the damper's ring, undamped, slowest first"`
	Criticals []CriticalDoc  `json:"critical_speeds" jsonschema_description:"up to a fifth above the highest speed that is run"`
	Vectors   []VectorDoc    `json:"vector_sums" jsonschema_description:"of the firing order, by mode of the crank without damper"`
	Dampers   []DamperDoc    `json:"dampers" jsonschema_description:"none, and one of each kind sized by the published optimum, in the forced model"`
	Fitted    *DamperDoc     `json:"fitted,omitempty" jsonschema_description:"the damper of the file"`
	Kind      []KindOrderDoc `json:"firing_orders" jsonschema_description:"that the crank allows, kindest to the mode that winds the crank up first"`
	Curves    *TorsionCurves `json:"curves,omitempty" jsonschema_description:"over the speeds; only when asked for"`
	Notes     []string       `json:"notes" jsonschema_description:"what was taken and what was left out, in sentences"`
	Summary   []string       `json:"summary" jsonschema_description:"the result in sentences"`
	Estimated
	Assumed []EstimateDoc `json:"assumed,omitempty" jsonschema_description:"what the file left out of torsion, crank and flywheel and how it was filled; in evaluate it stands beside the estimates"`
	Caution string        `json:"caution,omitempty" jsonschema_description:"what the numbers are not good for; left out in evaluate, which says it once"`
}

// ThrowDoc is a throw as it winds up and swings.
type ThrowDoc struct {
	Name      string  `json:"name" jsonschema_description:"of the throw"`
	Carter    float64 `json:"carter_Nm_per_rad" jsonschema_description:"stiffness by Carter's formula, from middle to middle of the journals beside it; 0 where it has none at a side"`
	KerWilson float64 `json:"ker_wilson_Nm_per_rad" jsonschema_description:"stiffness by Ker Wilson's formula, between the same places"`
	SpreadPct float64 `json:"spread_pct" jsonschema_description:"how far apart the two are"`
	JournalJ  float64 `json:"journal_kgm2" jsonschema_description:"moment of inertia of its share of the journals"`
	PinJ      float64 `json:"pin_kgm2" jsonschema_description:"of the pin, about the crank axis"`
	WebsJ     float64 `json:"webs_kgm2" jsonschema_description:"of the webs"`
	WeightsJ  float64 `json:"counterweights_kgm2" jsonschema_description:"of the counterweights"`
	MovingJ   float64 `json:"rods_and_pistons_kgm2" jsonschema_description:"on the mean of a revolution"`
}

// DiscDoc is a disc of the model.
type DiscDoc struct {
	Name    string  `json:"name" jsonschema_description:"what it stands for, in words"`
	Inertia float64 `json:"inertia_kgm2" jsonschema_description:"moment of inertia"`
	Damping float64 `json:"damping_Nms_per_rad" jsonschema_description:"against the block"`
}

// SpanDoc is a spring of the model with its largest vibratory torque.
type SpanDoc struct {
	Name      string  `json:"name" jsonschema_description:"what it stands for, in words"`
	Stiffness float64 `json:"stiffness_Nm_per_rad" jsonschema_description:"of the spring"`
	TorqueNm  float64 `json:"torque_Nm" jsonschema_description:"largest vibratory torque, half the range of the cycle, all orders with their phases"`
	StressMPa float64 `json:"stress_MPa" jsonschema_description:"nominal shear stress of it, without concentration; 0: the section is not known"`
	AtRPM     float64 `json:"at_rpm" jsonschema_description:"crank speed of the largest torque"`
	Order     float64 `json:"order" jsonschema_description:"with the largest share there"`
	OrderMPa  float64 `json:"order_MPa" jsonschema_description:"stress of that order alone"`
}

// ModeDoc is a natural mode.
type ModeDoc struct {
	Hz      float64   `json:"frequency_Hz" jsonschema_description:"natural frequency; 0: the shaft turns as one"`
	PerMin  float64   `json:"frequency_per_min" jsonschema_description:"the same in swings a minute, to be laid beside crank speeds"`
	Nodes   int       `json:"nodes" jsonschema_description:"places where the twist changes sign: in spans, and at discs that stand still"`
	Shape   []float64 `json:"shape_1" jsonschema_description:"twist of each disc; the largest is 1"`
	Winding bool      `json:"winds_crank" jsonschema_description:"the mode for which dampers are sized and firing orders ranked; with a damper fitted, the one nearest to it"`
}

// CriticalDoc is a critical speed.
type CriticalDoc struct {
	Mode  int     `json:"mode" jsonschema_description:"place in modes, from 1; the first may be the shaft turning as one"`
	Order float64 `json:"order" jsonschema_description:"per crank revolution"`
	RPM   float64 `json:"rpm" jsonschema_description:"crank speed at which the order meets the mode"`
	Sum   float64 `json:"vector_sum_1" jsonschema_description:"size of the phase-vector sum of the firing order in it"`
	Run   bool    `json:"run" jsonschema_description:"within the speeds that are run"`
}

// VectorDoc are the phase-vector sums in one mode.
type VectorDoc struct {
	Hz   float64     `json:"frequency_Hz" jsonschema_description:"natural frequency of the mode"`
	Sums []VectorSum `json:"sums" jsonschema_description:"by order, ascending"`
}

// VectorSum is the phase-vector sum of one order.
type VectorSum struct {
	Order float64   `json:"order" jsonschema_description:"per crank revolution"`
	Size  float64   `json:"sum_1" jsonschema_description:"size of the sum"`
	Parts []Complex `json:"parts" jsonschema_description:"of each cylinder, in the sequence of the file: twist in the mode at the phase of its firing"`
}

// DamperDoc is a damper.
type DamperDoc struct {
	Kind      string  `json:"kind" jsonschema:"enum=none,enum=rubber,enum=viscous" jsonschema_description:"what is between ring and hub; none: there is no damper"`
	Ring      float64 `json:"ring_kgm2" jsonschema_description:"moment of inertia of the ring; 0: none"`
	Ratio     float64 `json:"inertia_ratio_1" jsonschema_description:"ring over the moment of inertia that swings with the energy of the mode at the free end"`
	Stiffness float64 `json:"stiffness_Nm_per_rad" jsonschema_description:"of the rubber; 0: viscous or none"`
	Damping   float64 `json:"damping_Nms_per_rad" jsonschema_description:"viscous, between ring and hub; 0: none"`
	Tuning    float64 `json:"tuning_1" jsonschema_description:"frequency of the ring alone over that of the mode; 0: viscous"`
	Zeta      float64 `json:"zeta_1" jsonschema_description:"c/(2 J ω) with the ring's J and the mode's ω"`
	Magnifier float64 `json:"formula_magnifier_1" jsonschema_description:"that the formula promises; 0: it is not the optimum"`
	StressMPa float64 `json:"stress_MPa" jsonschema_description:"largest vibratory stress in the crank at the speeds that are run, by the forced model"`
	AtRPM     float64 `json:"at_rpm" jsonschema_description:"crank speed of the largest stress"`
	TwistDeg  float64 `json:"twist_deg" jsonschema_description:"largest of the free end against the flywheel, half the range of the cycle"`
	HeatW     float64 `json:"heat_W" jsonschema_description:"that it turns into where it does most"`
}

// KindOrderDoc is a firing order by what it does to the mode that winds the crank up.
type KindOrderDoc struct {
	Order      []string  `json:"order" jsonschema_description:"names of the cylinders in the order of firing"`
	WorstOrder float64   `json:"worst_order" jsonschema_description:"among those whose critical speed is run; 0: none is"`
	WorstNm    float64   `json:"worst_Nm" jsonschema_description:"phase-vector sum times the torque of one cylinder in it"`
	TotalNm    float64   `json:"total_Nm" jsonschema_description:"root of the sum of squares of all that are run"`
	Own        bool      `json:"own" jsonschema_description:"the order of the engine as it stands"`
	Sums       []float64 `json:"vector_sums_1" jsonschema_description:"sizes of the phase-vector sums in the mode that winds the crank up, of orders 0.5, 1, 1.5 and so on"`
}

// TorsionCurves are the vibration over speed.
type TorsionCurves struct {
	SpeedRPM []float64    `json:"speed_rpm" jsonschema_description:"crank speed of the values"`
	Spans    []SpanCurve  `json:"spans" jsonschema_description:"of those that have a section"`
	TwistDeg []float64    `json:"free_end_deg" jsonschema_description:"amplitude of the free end about steady turning, half the range of the cycle; the whole shaft's unsteadiness is in it"`
	Orders   []OrderAlong `json:"orders" jsonschema_description:"stress by order in the span that is worst, those with the largest first"`
}

// SpanCurve is the vibratory stress of a span over speed.
type SpanCurve struct {
	Name      string    `json:"name" jsonschema_description:"of the span, as in spans"`
	StressMPa []float64 `json:"stress_MPa" jsonschema_description:"half the range of the cycle, all orders with their phases"`
}

// OrderAlong is the stress of one order over speed.
type OrderAlong struct {
	Order     float64   `json:"order" jsonschema_description:"per crank revolution"`
	StressMPa []float64 `json:"stress_MPa" jsonschema_description:"nominal shear stress of it, by speed"`
}

// NewTorsionDoc collects the torsional vibration of an engine; curves adds stresses over speed.
func NewTorsionDoc(r *analysis.Torsion, curves bool) *TorsionDoc {
	t := r.Train
	d := &TorsionDoc{
		Name: t.Name, LoadPct: tidy(100 * r.Load), Measured: t.Gas.Trace != "", FromRPM: rpm(r.Lo), ToRPM: rpm(r.Hi), Formula: string(t.Twisting.Formula),
		Throws: []ThrowDoc{}, Discs: []DiscDoc{}, Spans: []SpanDoc{}, Magnifier: tidy(r.Magnifier), Modes: []ModeDoc{}, Criticals: []CriticalDoc{},
		Vectors: []VectorDoc{}, Dampers: []DamperDoc{}, Kind: []KindOrderDoc{}, Notes: append([]string{}, r.Notes...), Summary: explain.Torsion(r),
		Estimated: estimatedOf(t), Assumed: assumedFor(t, analysis.OfTorsion), Caution: Caution,
	}
	for i := range t.Throws {
		k, p := r.Crank.Stiffness[i], r.Crank.Parts[i]
		d.Throws = append(d.Throws, ThrowDoc{
			Name: t.Throws[i].Name, Carter: tidy(k.Carter), KerWilson: tidy(k.KerWilson), SpreadPct: tidy(100 * k.Spread),
			JournalJ: tidy(p.Journal), PinJ: tidy(p.Pin), WebsJ: tidy(p.Webs), WeightsJ: tidy(p.Counterweights), MovingJ: tidy(p.Moving),
		})
	}
	for _, disc := range r.Model.Discs {
		d.Discs = append(d.Discs, DiscDoc{Name: disc.Name, Inertia: tidy(disc.Inertia), Damping: tidy(disc.Damping)})
	}
	for i, s := range r.Model.Spans {
		span := SpanDoc{Name: s.Name, Stiffness: tidy(s.Stiffness)}
		for _, p := range r.Spans {
			if p.Span == i {
				span.TorqueNm, span.StressMPa, span.AtRPM = tidy(p.Torque), tidy(p.Stress/1e6), rpm(p.Speed)
				span.Order, span.OrderMPa = float64(p.Order)/2, tidy(p.OrderPart/1e6)
			}
		}
		d.Spans = append(d.Spans, span)
	}
	d.modes(r)
	for _, try := range r.Tries {
		d.Dampers = append(d.Dampers, damperDoc(string(try.Kind), try.Damper, try))
	}
	if r.Damper != nil {
		fitted := damperDoc(string(t.Twisting.Damper.Kind), *r.Damper, r.Fitted)
		d.Fitted = &fitted
	}
	for i, k := range r.Kind {
		o := KindOrderDoc{Sums: []float64{}, Order: []string{}, WorstOrder: float64(k.Worst) / 2, WorstNm: tidy(k.Size), TotalNm: tidy(k.Total), Own: i == r.Own}
		for _, v := range k.Sums[1:] {
			o.Sums = append(o.Sums, tidy(v))
		}
		for _, c := range r.Orders[k.Index].Order {
			o.Order = append(o.Order, t.Cylinders[c].Name)
		}
		d.Kind = append(d.Kind, o)
	}
	if curves {
		d.Curves = torsionCurves(r)
	}
	return d
}

func damperDoc(kind string, p torsion.Damper, try analysis.DamperTry) DamperDoc {
	return DamperDoc{
		Kind: kind, Ring: tidy(p.Ring), Ratio: tidy(p.Ratio), Stiffness: tidy(p.Stiffness), Damping: tidy(p.Damping), Tuning: tidy(p.Tuning), Zeta: tidy(p.Zeta),
		Magnifier: tidy(p.Peak), StressMPa: tidy(try.Stress / 1e6), AtRPM: rpm(try.At), TwistDeg: tidy(try.Twist * 180 / math.Pi), HeatW: tidy(try.Heat),
	}
}

func (d *TorsionDoc) modes(r *analysis.Torsion) {
	near := -1
	if r.Winding >= 0 {
		for i, m := range r.Modes {
			if m.Frequency > 0 && (near < 0 || math.Abs(m.Frequency-r.Bare[r.Winding].Frequency) < math.Abs(r.Modes[near].Frequency-r.Bare[r.Winding].Frequency)) {
				near = i
			}
		}
	}
	for i, m := range r.Modes {
		shape := make([]float64, len(m.Shape))
		for j, v := range m.Shape {
			shape[j] = noMinusZero(tidy(v))
		}
		d.Modes = append(d.Modes, ModeDoc{Hz: tidy(m.Frequency / (2 * math.Pi)), PerMin: rpm(m.Frequency), Nodes: m.Nodes, Shape: shape, Winding: i == near})
	}
	for _, c := range r.Criticals {
		d.Criticals = append(d.Criticals, CriticalDoc{Mode: c.Mode + 1, Order: float64(c.K) / 2, RPM: rpm(c.Speed), Sum: tidy(cmplx.Abs(r.SumOf(c))), Run: c.Speed <= r.Hi})
	}
	for i, sums := range r.Vectors {
		v := VectorDoc{Hz: tidy(r.VectorModes[i].Frequency / (2 * math.Pi)), Sums: []VectorSum{}}
		for k := 1; k < len(sums); k++ {
			if k%2 == 1 && r.Train.Cycle == layout.TwoStroke { // it has no half orders
				continue
			}
			sum := VectorSum{Order: float64(k) / 2, Size: tidy(cmplx.Abs(sums[k]))}
			for _, p := range r.VectorParts(i, k) {
				sum.Parts = append(sum.Parts, pair(p))
			}
			v.Sums = append(v.Sums, sum)
		}
		d.Vectors = append(d.Vectors, v)
	}
}

// drawnOrders is the number of orders whose stress is given over speed.
const drawnOrders = 8

func torsionCurves(r *analysis.Torsion) *TorsionCurves {
	points := r.Sweep.Points
	c := &TorsionCurves{
		Spans: []SpanCurve{}, Orders: []OrderAlong{},
		SpeedRPM: shortList(len(points), func(i int) float64 { return points[i].Speed * 30 / math.Pi }),
		TwistDeg: shortList(len(points), func(i int) float64 { return points[i].Discs[r.Crank.FreeEnd].Half * 180 / math.Pi }),
	}
	worst := -1
	for i, p := range r.Spans {
		c.Spans = append(c.Spans, SpanCurve{Name: p.Name, StressMPa: shortList(len(points), func(j int) float64 {
			stress, _ := r.Model.Stress(p.Span, points[j].Spans[p.Span].Half)
			return stress / 1e6
		})})
		if worst < 0 || p.Stress > r.Spans[worst].Stress {
			worst = i
		}
	}
	if worst < 0 {
		return c
	}
	for _, k := range r.LargestOrders(r.Spans[worst].Span, drawnOrders) {
		c.Orders = append(c.Orders, OrderAlong{Order: float64(k) / 2, StressMPa: shortList(len(points), func(j int) float64 {
			stress, _ := r.Model.Stress(r.Spans[worst].Span, cmplx.Abs(points[j].Torque[r.Spans[worst].Span].Order(k)))
			return stress / 1e6
		})})
	}
	return c
}
