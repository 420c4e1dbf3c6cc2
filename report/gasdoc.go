package report

import (
	"crankwright/analysis"
	"crankwright/mechanics/gas"
	"crankwright/mechanics/layout"
)

// GasDoc is the working cycle: the key gas of evaluate --json, and what the verb gas prints with --json.
type GasDoc struct {
	WorkPoint
	Ignition     string     `json:"ignition" jsonschema:"enum=spark,enum=compression" jsonschema_description:"by spark or by compression"`
	Ratio        float64    `json:"compression_ratio_1" jsonschema_description:"largest volume of a cylinder over its smallest"`
	MetBy        string     `json:"met_by,omitempty" jsonschema_description:"what was changed to meet the wanted mean effective pressure"`
	CrankcaseBar float64    `json:"crankcase_bar" jsonschema_description:"pressure below the pistons, absolute"`
	Cycles       []CycleDoc `json:"cycles" jsonschema_description:"cylinders that work alike share one"`
	Notes        []string   `json:"notes" jsonschema_description:"how the gas was found, in sentences"`
	Estimated
	Assumed []EstimateDoc `json:"assumed,omitempty" jsonschema_description:"what the file left out of gas and friction, and how it was filled; in evaluate it stands beside the estimates"`
	Caution string        `json:"caution,omitempty" jsonschema_description:"what the numbers are not good for; left out in evaluate, which says it once"`
}

// CycleDoc is the cycle of cylinders that work alike.
type CycleDoc struct {
	Cylinders  []string    `json:"cylinders" jsonschema_description:"names of those that work so"`
	Fires      bool        `json:"fires" jsonschema_description:"otherwise they are switched off or misfire, and breathe only"`
	IMEPBar    float64     `json:"imep_bar" jsonschema_description:"net, over the whole cycle"`
	GrossBar   float64     `json:"gross_bar" jsonschema_description:"of the revolution about firing top dead centre"`
	PumpingBar float64     `json:"pumping_bar" jsonschema_description:"net less gross; negative where the exchange of the charge costs work"`
	WorkJ      float64     `json:"work_J" jsonschema_description:"net indicated work of one cylinder in one cycle"`
	PeakBar    float64     `json:"peak_bar" jsonschema_description:"largest pressure, absolute"`
	PeakAtDeg  float64     `json:"peak_at_deg" jsonschema_description:"from firing top dead centre"`
	Model      *ModelDoc   `json:"model,omitempty" jsonschema_description:"what only the model knows; left out where the pressure is measured"`
	Trace      *TraceDoc   `json:"trace,omitempty" jsonschema_description:"what was done to a measured pressure"`
	Curves     *CycleCurve `json:"curves,omitempty" jsonschema_description:"over one cycle; only when asked for"`
}

// ModelDoc is what the model says of a cycle.
type ModelDoc struct {
	IntakeBar     float64   `json:"intake_bar" jsonschema_description:"pressure in the intake manifold, absolute"`
	IntakeK       float64   `json:"intake_K" jsonschema_description:"temperature of the charge in the intake manifold"`
	ExhaustBar    float64   `json:"exhaust_bar" jsonschema_description:"pressure in the exhaust manifold, absolute"`
	AirRatio      float64   `json:"air_ratio_1" jsonschema_description:"of the charge enclosed; 0 where it does not fire"`
	FuelMg        float64   `json:"fuel_mg" jsonschema_description:"of a cycle and cylinder, that came in with the air or was injected"`
	EnclosedMg    float64   `json:"fuel_enclosed_mg" jsonschema_description:"of it, enclosed; the rest leaves by the exhaust with the air"`
	TrappedMg     float64   `json:"trapped_mg" jsonschema_description:"mass enclosed"`
	ResidualPct   float64   `json:"residual_pct" jsonschema_description:"share of spent gas in it"`
	BackPct       float64   `json:"blown_back_pct" jsonschema_description:"spent gas that flows back into the intake, over the mass enclosed; in truth it comes in again, in this model it does not, so that there is more spent gas than residual_pct"`
	VolumetricPct float64   `json:"volumetric_pct" jsonschema_description:"fresh charge that comes in, with its fuel where that is premixed, over what the swept volume holds at volumetric_at_bar and the intake's temperature"`
	VolumetricBar float64   `json:"volumetric_at_bar" jsonschema_description:"intake_pressure of the file, at which volumetric_pct counts"`
	LostPct       float64   `json:"lost_pct" jsonschema_description:"share of the fresh charge that leaves by the exhaust before it is enclosed"`
	EfficiencyPct float64   `json:"efficiency_pct" jsonschema_description:"indicated: work over the heat of fuel_mg"`
	PeakK         float64   `json:"peak_K" jsonschema_description:"highest mean temperature of the gas"`
	ExhaustK      float64   `json:"exhaust_K" jsonschema_description:"mean temperature of what leaves by the exhaust"`
	Energy        EnergyDoc `json:"energy" jsonschema_description:"the first law over the cycle"`
}

// EnergyDoc is the balance of energy over one cycle.
type EnergyDoc struct {
	FuelJ     float64 `json:"fuel_J" jsonschema_description:"heat of fuel_mg"`
	ReleasedJ float64 `json:"released_J" jsonschema_description:"of it, released by combustion"`
	WallJ     float64 `json:"wall_J" jsonschema_description:"heat to the walls"`
	WorkJ     float64 `json:"work_J" jsonschema_description:"on the piston"`
	InJ       float64 `json:"in_J" jsonschema_description:"enthalpy that came in, from zero at 298.15 K"`
	OutJ      float64 `json:"out_J" jsonschema_description:"enthalpy that went out, from zero at 298.15 K"`
	StoredJ   float64 `json:"stored_J" jsonschema_description:"energy of the gas at the end less that at the beginning"`
	ClosesTo  float64 `json:"closes_to_1" jsonschema_description:"what is missing over the heat released"`
}

// CycleCurve is a cycle by crank angle, a value a degree, from firing top dead centre.
type CycleCurve struct {
	AngleDeg     []float64 `json:"angle_deg" jsonschema_description:"from firing top dead centre"`
	PressureBar  []float64 `json:"pressure_bar" jsonschema_description:"in the cylinder, absolute"`
	VolumeCM3    []float64 `json:"volume_cm3" jsonschema_description:"of the cylinder's space"`
	TemperatureK []float64 `json:"temperature_K,omitempty" jsonschema_description:"mean of the gas; left out where the pressure is measured"`
	BurnedPct    []float64 `json:"released_pct,omitempty" jsonschema_description:"share of the heat that has been released since combustion began"`
}

// NewGasDoc collects the working cycles of an engine; curves adds them by crank angle.
func NewGasDoc(d *analysis.Drive, curves bool) *GasDoc {
	t := d.Driver.Train
	doc := &GasDoc{
		WorkPoint: workPoint(d), Ignition: string(t.Gas.Ignition), Ratio: tidy(t.Gas.CompressionRatio), MetBy: d.Driver.Lever, CrankcaseBar: bars(t.Gas.Crankcase),
		Cycles: []CycleDoc{}, Notes: append([]string{}, d.Driver.Notes...), Estimated: estimatedOf(t), Assumed: assumedFor(t, analysis.OfGas), Caution: Caution,
	}
	for i := range d.Cycles {
		c := &d.Cycles[i]
		vh := d.Driver.Displacement(c.Cylinders[0])
		e := CycleDoc{
			Fires: c.Fires, IMEPBar: bars(c.IMEP), GrossBar: bars(c.IMEP - c.Pumping), PumpingBar: bars(c.Pumping), WorkJ: tidy(c.IMEP * vh),
			PeakBar: bars(c.Peak), PeakAtDeg: deg(c.PeakAt), Trace: traceDoc(c, t),
		}
		for _, at := range c.Cylinders {
			e.Cylinders = append(e.Cylinders, t.Cylinders[at].Name)
		}
		if c.Result != nil {
			e.Model = modelDoc(c, t.Gas.IntakePressure)
		}
		if curves {
			e.Curves = cycleCurve(c)
		}
		doc.Cycles = append(doc.Cycles, e)
	}
	return doc
}

// modelDoc is what the model says of a cycle; file is the intake's pressure in the file [Pa].
func modelDoc(c *analysis.GasCycle, file float64) *ModelDoc {
	r, s, b := c.Result, &c.Setting, &c.Result.Balance
	return &ModelDoc{
		IntakeBar: bars(s.Intake), IntakeK: tidy(s.Temperature), ExhaustBar: bars(s.Exhaust),
		AirRatio: tidy(r.Lambda), FuelMg: tidy(1e6 * r.Fuel), EnclosedMg: tidy(1e6 * r.FuelEnclosed), TrappedMg: tidy(1e6 * r.Trapped), ResidualPct: tidy(100 * r.Residual),
		BackPct: tidy(100 * r.Back), VolumetricPct: tidy(100 * c.Volumetric), VolumetricBar: bars(file), LostPct: tidy(100 * r.Lost), EfficiencyPct: tidy(100 * r.Efficiency),
		PeakK: tidy(r.PeakTemperature), ExhaustK: tidy(r.ExhaustT),
		Energy: EnergyDoc{
			FuelJ: tidy(b.Fuel), ReleasedJ: tidy(b.Released), WallJ: tidy(b.Wall), WorkJ: tidy(b.Work), InJ: tidy(b.In), OutJ: tidy(b.Out),
			StoredJ: tidy(b.Stored), ClosesTo: tidy(b.Share),
		},
	}
}

func cycleCurve(c *analysis.GasCycle) *CycleCurve {
	out := &CycleCurve{PressureBar: eachDegree(c.Pressure, 1e-5), VolumeCM3: eachDegree(c.Volume, 1e6)}
	for j := range out.PressureBar {
		out.AngleDeg = append(out.AngleDeg, float64(j))
	}
	if r := c.Result; r != nil {
		out.TemperatureK = eachDegree(r.Temperature, 1)
		if c.Fires {
			out.BurnedPct = releasedShare(r, c.Setting.Release)
		}
	}
	return out
}

// releasedShare is the share of the heat that has been released, from −half a cycle to half a cycle, laid out from
// firing top dead centre.
func releasedShare(r *gas.Result, release gas.Release) []float64 {
	n := len(r.Pressure)
	out := make([]float64, 0, n/2)
	for j := 0; j < n; j += 2 {
		θ := r.Angle(j)
		if θ >= r.Period/2 {
			θ -= r.Period
		}
		out = append(out, shortened(100*release.Burned(θ)))
	}
	return out
}

// TraceDoc is what was done to a measured pressure.
type TraceDoc struct {
	File       string   `json:"file" jsonschema_description:"with the measured pressure"`
	OffsetBar  float64  `json:"offset_bar" jsonschema_description:"that pegging added to the pressures of the file"`
	Exponent   float64  `json:"exponent_1" jsonschema_description:"polytropic exponent of compression"`
	FromDeg    float64  `json:"fitted_from_deg" jsonschema_description:"part of compression that was fitted, from firing top dead centre"`
	ToDeg      float64  `json:"fitted_to_deg" jsonschema_description:"to here"`
	ShiftDeg   float64  `json:"shift_deg" jsonschema_description:"that the engine file adds to the crank angles of the trace"`
	SuspectDeg float64  `json:"suspected_error_deg" jsonschema_description:"what would have to be added besides for compression to follow a polytrope; never done silently"`
	SpreadDeg  float64  `json:"suspected_error_spread_deg" jsonschema_description:"standard deviation of that from the noise of the trace"`
	Cycles     int      `json:"cycles" jsonschema_description:"of which the curve is the mean"`
	Warnings   []string `json:"warnings" jsonschema_description:"what is doubtful in the trace, in sentences"`
}

func traceDoc(c *analysis.GasCycle, t *layout.Train) *TraceDoc {
	m := c.Measured
	if m == nil {
		return nil
	}
	return &TraceDoc{
		File: t.Gas.Trace, OffsetBar: bars(m.Offset), Exponent: tidy(m.Exponent), FromDeg: deg(m.From), ToDeg: deg(m.To),
		ShiftDeg: deg(t.Gas.TraceShift), SuspectDeg: deg(m.TDCError), SpreadDeg: deg(m.TDCSpread), Cycles: t.Gas.Measured.Cycles,
		Warnings: append([]string{}, m.Warnings...),
	}
}
