package report

import (
	"math"
	"math/cmplx"

	"crankwright/analysis"
	"crankwright/explain"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/torque"
)

// The documents of gas, torque and friction; flywheeldoc.go and powerdoc.go have the others. Torques count in the sense of rotation.

// WorkPoint is where an engine works.
type WorkPoint struct {
	Name     string  `json:"name" jsonschema_description:"name of the engine"`
	SpeedRPM float64 `json:"speed_rpm" jsonschema_description:"crank speed of all values"`
	LoadPct  float64 `json:"load_pct" jsonschema_description:"brake torque over that of full load at this speed, with all cylinders firing; 0 runs light"`
	Measured bool    `json:"measured" jsonschema_description:"the cylinder pressure is measured, not modelled"`
}

// TorqueDoc is the torque of gas and inertia on the crank: the key torque of evaluate --json, and what the verb
// torque prints with --json.
type TorqueDoc struct {
	WorkPoint
	MeanNm     float64       `json:"mean_Nm" jsonschema_description:"mean torque of the gas, which is the indicated work of a cycle over its angle; inertia has none"`
	BrakeNm    float64       `json:"brake_Nm" jsonschema_description:"mean torque less friction"`
	PowerKW    float64       `json:"power_kW" jsonschema_description:"brake power"`
	WorkJ      float64       `json:"work_J" jsonschema_description:"indicated work of all cylinders in one cycle"`
	IMEPBar    float64       `json:"imep_bar" jsonschema_description:"indicated mean effective pressure, net"`
	BMEPBar    float64       `json:"bmep_bar" jsonschema_description:"brake mean effective pressure"`
	LargestNm  float64       `json:"largest_Nm" jsonschema_description:"of gas and inertia together, over two revolutions"`
	LargestAt  float64       `json:"largest_at_deg" jsonschema_description:"crank angle of it"`
	LeastNm    float64       `json:"least_Nm" jsonschema_description:"smallest torque of gas and inertia together, over two revolutions"`
	LeastAt    float64       `json:"least_at_deg" jsonschema_description:"crank angle of it"`
	Share      ShareDoc      `json:"share" jsonschema_description:"how much of what makes the torque uneven is inertia, and not combustion"`
	Orders     []PushOrder   `json:"orders" jsonschema_description:"by (half) order, those that make the torque most uneven first"`
	Impulses   []PushDoc     `json:"impulses" jsonschema_description:"stretches over two revolutions in which the torque lies above its mean"`
	CrankSpeed CrankSpeedDoc `json:"crank_speed" jsonschema_description:"how fast the crank turns within the cycle, from the exact energy equation"`
	Curves     *PushCurves   `json:"curves,omitempty" jsonschema_description:"over two revolutions; only when asked for"`
	Notes      []string      `json:"notes" jsonschema_description:"how the gas was found, in sentences"`
	Summary    []string      `json:"summary" jsonschema_description:"what the driver feels, in sentences"`
	Estimated
	Assumed []EstimateDoc `json:"assumed,omitempty" jsonschema_description:"what the file left out of gas, friction and what turns, and how it was filled; in evaluate it stands beside the estimates"`
	Caution string        `json:"caution,omitempty" jsonschema_description:"what the numbers are not good for; left out in evaluate, which says it once"`
}

// ShareDoc compares gas and inertia in the uneven torque.
type ShareDoc struct {
	GasNm     float64 `json:"gas_rms_Nm" jsonschema_description:"root mean square of the gas torque less its mean"`
	InertiaNm float64 `json:"inertia_rms_Nm" jsonschema_description:"root mean square of the inertia torque"`
	TotalNm   float64 `json:"total_rms_Nm" jsonschema_description:"of both together; they may cancel"`
	Ratio     float64 `json:"inertia_over_gas_1" jsonschema_description:"inertia_rms_Nm over gas_rms_Nm; 0 where the gas gives no torque"`
	EqualRPM  float64 `json:"equal_rpm,omitempty" jsonschema_description:"speed at which inertia is as uneven as this gas torque; left out where there is none"`
}

// PushOrder is one order of the torque.
type PushOrder struct {
	Order     float64 `json:"order" jsonschema_description:"per crank revolution"`
	GasNm     Complex `json:"gas_Nm" jsonschema_description:"T(θ) = Re amplitude · e^{i·order·θ}"`
	InertiaNm Complex `json:"inertia_Nm" jsonschema_description:"the same of the inertia torque"`
	TotalNm   Complex `json:"total_Nm" jsonschema_description:"the same of both together"`
	SharePct  float64 `json:"share_pct" jsonschema_description:"of the mean square of the whole uneven torque"`
	EqualRPM  float64 `json:"equal_rpm,omitempty" jsonschema_description:"speed at which gas and inertia are equally large in it"`
}

// PushDoc is one tractive impulse.
type PushDoc struct {
	AtDeg     float64 `json:"at_deg" jsonschema_description:"crank angle of its peak"`
	PeakNm    float64 `json:"peak_Nm" jsonschema_description:"highest torque in it"`
	WorkJ     float64 `json:"work_J" jsonschema_description:"above the mean"`
	LengthDeg float64 `json:"length_deg" jsonschema_description:"crank angle for which the torque lies above its mean"`
	GapDeg    float64 `json:"gap_deg" jsonschema_description:"to the next peak"`
	TroughNm  float64 `json:"trough_Nm" jsonschema_description:"lowest torque before the next impulse"`
}

// CrankSpeedDoc is the crank speed within the cycle.
type CrankSpeedDoc struct {
	InertiaKgm2    float64 `json:"inertia_kgm2" jsonschema_description:"of crank, flywheel and driven machine; pistons and rods are counted besides"`
	FluctuationPct float64 `json:"fluctuation_pct" jsonschema_description:"coefficient of fluctuation, largest less smallest over mean; 0 where the crank would almost stop"`
	ClassicPct     float64 `json:"classic_pct" jsonschema_description:"the textbook value, ΔE over Jω²"`
	LeastRPM       float64 `json:"least_rpm" jsonschema_description:"lowest crank speed within the cycle; 0 where there is none"`
	LeastAt        float64 `json:"least_at_deg" jsonschema_description:"crank angle of it"`
	MostRPM        float64 `json:"most_rpm" jsonschema_description:"highest crank speed within the cycle; 0 where there is none"`
	MostAt         float64 `json:"most_at_deg" jsonschema_description:"crank angle of it"`
	ExcessJ        float64 `json:"excess_J" jsonschema_description:"excess of energy of gas and inertia torque over the mean"`
	GasExcessJ     float64 `json:"gas_excess_J" jsonschema_description:"the same of the gas torque alone"`
	Stalls         string  `json:"stalls,omitempty" jsonschema_description:"why there is no crank speed"`
}

// PushCurves are the torques over two revolutions, a value a degree.
type PushCurves struct {
	AngleDeg  []float64     `json:"angle_deg" jsonschema_description:"crank angle of the values"`
	GasNm     []float64     `json:"gas_Nm" jsonschema_description:"torque of the gas, all cylinders"`
	InertiaNm []float64     `json:"inertia_Nm" jsonschema_description:"torque of inertia, all cylinders"`
	TotalNm   []float64     `json:"total_Nm" jsonschema_description:"both together"`
	SpeedRPM  []float64     `json:"crank_speed_rpm,omitempty" jsonschema_description:"within the cycle; left out where the crank would almost stop"`
	Cylinders []PushOfDoc   `json:"cylinders" jsonschema_description:"the torque of each"`
	Pressures []PressureDoc `json:"pressures" jsonschema_description:"by cylinder, at the same crank angles"`
}

// PushOfDoc is the torque of one cylinder.
type PushOfDoc struct {
	Name      string    `json:"name" jsonschema_description:"name of the cylinder"`
	GasNm     []float64 `json:"gas_Nm" jsonschema_description:"torque of its gas"`
	InertiaNm []float64 `json:"inertia_Nm" jsonschema_description:"torque of its inertia"`
}

// PressureDoc is the pressure in one cylinder.
type PressureDoc struct {
	Name        string    `json:"name" jsonschema_description:"name of the cylinder"`
	PressureBar []float64 `json:"pressure_bar" jsonschema_description:"of its gas, absolute"`
}

func workPoint(d *analysis.Drive) WorkPoint {
	return WorkPoint{Name: d.Driver.Train.Name, SpeedRPM: rpm(d.Speed), LoadPct: tidy(100 * d.Load), Measured: d.Driver.Measured}
}

// listedOrders is the number of orders that a document lists at most.
const listedOrders = 24

// NewTorqueDoc collects the torque of an engine; curves adds the time histories.
func NewTorqueDoc(d *analysis.Drive, curves bool) *TorqueDoc {
	c := d.Curves
	most, mostAt, least, leastAt := torque.Extremes(c.Total)
	doc := &TorqueDoc{
		WorkPoint: workPoint(d), MeanNm: tidy(c.Mean), BrakeNm: tidy(d.Brake), PowerKW: tidy(d.Power / 1e3), WorkJ: tidy(c.Work),
		IMEPBar: bars(d.IMEP), BMEPBar: bars(d.BMEP),
		LargestNm: tidy(most), LargestAt: tidy(mostAt.Deg()), LeastNm: tidy(least), LeastAt: tidy(leastAt.Deg()),
		Share: ShareDoc{
			GasNm: tidy(d.Share.Gas), InertiaNm: tidy(d.Share.Inertia), TotalNm: tidy(d.Share.Total), Ratio: tidy(d.Share.Ratio), EqualRPM: rpm(d.Equal),
		},
		Orders: []PushOrder{}, Impulses: []PushDoc{}, Notes: append([]string{}, d.Driver.Notes...),
		Summary: explain.Drive(d), Estimated: estimatedOf(d.Driver.Train), Assumed: assumedFor(d.Driver.Train, analysis.OfTorque), Caution: Caution,
	}
	for i, o := range d.Orders {
		if i == listedOrders || o.Share < 1e-6 {
			break
		}
		doc.Orders = append(doc.Orders, PushOrder{
			Order: float64(o.K) / 2, GasNm: pair(o.Gas), InertiaNm: pair(o.Inertia), TotalNm: pair(o.Total),
			SharePct: tidy(100 * o.Share), EqualRPM: rpm(o.Equal),
		})
	}
	for _, p := range d.Impulses {
		doc.Impulses = append(doc.Impulses, PushDoc{
			AtDeg: deg(p.At), PeakNm: tidy(p.Peak), WorkJ: tidy(p.Work), LengthDeg: deg(p.Length), GapDeg: deg(p.Gap), TroughNm: tidy(p.Trough),
		})
	}
	doc.CrankSpeed = CrankSpeedDoc{InertiaKgm2: tidy(d.Rotor), Stalls: d.Stalls}
	if s := d.Crank; s != nil {
		doc.CrankSpeed = CrankSpeedDoc{
			InertiaKgm2: tidy(d.Rotor), FluctuationPct: tidy(100 * s.Fluctuation), ClassicPct: tidy(100 * s.Classic),
			LeastRPM: rpm(s.Least), LeastAt: deg(s.LeastAt), MostRPM: rpm(s.Most), MostAt: deg(s.MostAt),
			ExcessJ: tidy(s.Excess), GasExcessJ: tidy(s.GasExcess),
		}
	}
	if curves {
		doc.Curves = pushCurves(d)
	}
	return doc
}

func bars(p float64) float64 { return tidy(p / 1e5) }

// eachDegree takes every second value of a curve with a value each half degree.
func eachDegree(x []float64, f float64) []float64 {
	most := 0.0
	for _, v := range x {
		most = math.Max(most, math.Abs(v))
	}
	out := make([]float64, 0, len(x)/2)
	for j := 0; j < len(x); j += 2 {
		v := x[j]
		if math.Abs(v) < 1e-12*most { // what rounding leaves of zero
			v = 0
		}
		out = append(out, noMinusZero(shortened(f*v)))
	}
	return out
}

// shortened keeps seven significant digits: a curve is drawn, not computed with.
func shortened(v float64) float64 {
	if v == 0 {
		return 0
	}
	scale := math.Pow(10, 6-math.Floor(math.Log10(math.Abs(v))))
	return math.Round(v*scale) / scale
}

func pushCurves(d *analysis.Drive) *PushCurves {
	c := d.Curves
	out := &PushCurves{GasNm: eachDegree(c.Gas, 1), InertiaNm: eachDegree(c.Inertia, 1), TotalNm: eachDegree(c.Total, 1)}
	for j := range out.GasNm {
		out.AngleDeg = append(out.AngleDeg, 720*float64(j)/float64(len(out.GasNm)))
	}
	if d.Crank != nil {
		out.SpeedRPM = eachDegree(d.Crank.At, 30/math.Pi)
	}
	t := d.Driver.Train
	for i := range t.Cylinders {
		out.Cylinders = append(out.Cylinders, PushOfDoc{t.Cylinders[i].Name, eachDegree(c.Of[i].Gas, 1), eachDegree(c.Of[i].Inertia, 1)})
	}
	for i := range d.Cycles {
		for _, at := range d.Cycles[i].Cylinders {
			fires, ok := d.Driver.Schedule.FiringAngle(at)
			if !ok {
				continue
			}
			p := d.Cycles[i].Pressure
			shift := int(math.Round(fires.Deg() * 2))
			list := make([]float64, 0, len(c.Gas)/2)
			for j := 0; j < len(c.Gas); j += 2 {
				k := (j - shift) % len(p)
				if k < 0 {
					k += len(p)
				}
				list = append(list, shortened(p[k]/1e5))
			}
			out.Pressures = append(out.Pressures, PressureDoc{t.Cylinders[at].Name, list})
		}
	}
	return out
}

// FrictionDoc is the friction of an engine: the key friction of evaluate --json.
type FrictionDoc struct {
	By         string           `json:"by" jsonschema:"enum=spark-motored,enum=compression-motored,enum=peak-pressure,enum=parts" jsonschema_description:"where it is taken from: a correlation of motored engines, one of the peak pressure, or the parts that rub"`
	FMEPBar    float64          `json:"fmep_bar" jsonschema_description:"what the brake lacks of the net indicated mean effective pressure"`
	LowBar     float64          `json:"low_bar" jsonschema_description:"engines of the kind scatter from here"`
	HighBar    float64          `json:"high_bar" jsonschema_description:"to here"`
	TorqueNm   float64          `json:"torque_Nm" jsonschema_description:"mean torque that friction takes from the crank"`
	Scale      float64          `json:"parts_over_inline_four_1,omitempty" jsonschema_description:"what rubs here over what rubs in an in-line four of the same cylinders; a correlation is scaled by it"`
	PumpingBar float64          `json:"pumping_taken_out_bar" jsonschema_description:"that the motored correlation counts and the gas cycle too"`
	Beyond     string           `json:"beyond,omitempty" jsonschema_description:"where the correlation is used beyond the engines that it was made from"`
	Parts      *FrictionPartDoc `json:"parts,omitempty" jsonschema_description:"from counts and sizes of what rubs; an estimate to tell layouts apart"`
}

// FrictionPartDoc is friction by part.
type FrictionPartDoc struct {
	MainsBar  float64 `json:"mains_bar" jsonschema_description:"of the main bearings, as a mean effective pressure"`
	PinsBar   float64 `json:"pins_bar" jsonschema_description:"of the crankpin bearings"`
	RingsBar  float64 `json:"rings_bar" jsonschema_description:"of the piston rings"`
	SkirtsBar float64 `json:"skirts_bar" jsonschema_description:"of the piston skirts"`
	ValvesBar float64 `json:"valves_bar" jsonschema_description:"of the valve train"`
	DrivesBar float64 `json:"drives_bar" jsonschema_description:"of camshaft and pump drives and balance shafts"`
	TotalBar  float64 `json:"total_bar" jsonschema_description:"of all these"`
}

func frictionDoc(f analysis.FrictionLoss, t *layout.Train, swept float64) *FrictionDoc {
	d := &FrictionDoc{
		By: string(f.By), FMEPBar: bars(f.Total), LowBar: bars(f.Low), HighBar: bars(f.High), PumpingBar: bars(f.Pumping),
		Scale: tidy(f.Scale), Beyond: f.Beyond, TorqueNm: tidy(torque.MeanTorque(f.Total, swept, t.Cycle)),
	}
	if p := f.Parts; p.Total > 0 {
		d.Parts = &FrictionPartDoc{bars(p.Mains), bars(p.Pins), bars(p.Rings), bars(p.Skirts), bars(p.Valves), bars(p.Drives), bars(p.Total)}
	}
	return d
}

// NewFrictionDoc collects the friction of an engine at one speed and load.
func NewFrictionDoc(d *analysis.Drive) *FrictionDoc {
	return frictionDoc(d.Friction, d.Driver.Train, d.Driver.Mechanism().Swept)
}

// sizeOf returns the size of a complex amplitude.
func sizeOf(c Complex) float64 { return cmplx.Abs(complex(c[0], c[1])) }
