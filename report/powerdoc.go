package report

import (
	"crankwright/analysis"
	"crankwright/explain"
)

// PowerDoc is the power curve with friction and the share of inertia over speed.
type PowerDoc struct {
	Name        string          `json:"name" jsonschema_description:"name of the engine"`
	LoadPct     float64         `json:"load_pct" jsonschema_description:"brake torque over that of full load at every speed"`
	Measured    bool            `json:"measured" jsonschema_description:"one measured pressure serves all speeds"`
	Points      []PowerPointDoc `json:"points" jsonschema_description:"one a speed"`
	BestPower   int             `json:"best_power" jsonschema_description:"index of the point with the most power"`
	BestTorque  int             `json:"best_torque" jsonschema_description:"index of the point with the most torque"`
	EqualRPM    float64         `json:"equal_rpm,omitempty" jsonschema_description:"speed at which inertia becomes as uneven as the gas; left out where it does not in this range"`
	Friction    []FrictionDoc   `json:"friction" jsonschema_description:"by point"`
	FrictionWhy string          `json:"friction_why" jsonschema_description:"where friction is taken from and how it scatters"`
	Notes       []string        `json:"notes" jsonschema_description:"how the gas was found, in sentences"`
	Estimated
	Assumed []EstimateDoc `json:"assumed" jsonschema_description:"what the file left out of gas, friction and what turns, and how it was filled"`
	Caution string        `json:"caution" jsonschema_description:"what the numbers are not good for"`
}

// PowerPointDoc is one speed of a power curve.
type PowerPointDoc struct {
	SpeedRPM      float64 `json:"speed_rpm" jsonschema_description:"crank speed"`
	TorqueNm      float64 `json:"torque_Nm" jsonschema_description:"brake"`
	PowerKW       float64 `json:"power_kW" jsonschema_description:"brake"`
	IMEPBar       float64 `json:"imep_bar" jsonschema_description:"indicated mean effective pressure, net"`
	FMEPBar       float64 `json:"fmep_bar" jsonschema_description:"friction mean effective pressure"`
	BMEPBar       float64 `json:"bmep_bar" jsonschema_description:"brake mean effective pressure"`
	MechanicalPct float64 `json:"mechanical_pct" jsonschema_description:"mechanical efficiency"`
	VolumetricPct float64 `json:"volumetric_pct" jsonschema_description:"fresh charge of the model over what the swept volume holds at the intake_pressure of the file; 0 where the pressure is measured"`
	IndicatedPct  float64 `json:"indicated_pct" jsonschema_description:"indicated efficiency of the model, over the heat of all the fuel that comes in; 0 where the pressure is measured"`
	PeakBar       float64 `json:"peak_bar" jsonschema_description:"largest cylinder pressure"`
	PistonSpeed   float64 `json:"mean_piston_speed_m_per_s" jsonschema_description:"mean over a stroke"`
	GasNm         float64 `json:"gas_rms_Nm" jsonschema_description:"of the uneven gas torque"`
	InertiaNm     float64 `json:"inertia_rms_Nm" jsonschema_description:"root mean square of the inertia torque"`
	TotalNm       float64 `json:"total_rms_Nm" jsonschema_description:"of both together; they may cancel"`
	Ratio         float64 `json:"inertia_over_gas_1" jsonschema_description:"inertia_rms_Nm over gas_rms_Nm; 0 where the gas gives no torque"`
	Fluctuation   float64 `json:"fluctuation_pct" jsonschema_description:"coefficient of fluctuation of speed with the flywheel of the file; 0 where the crank would almost stop"`
}

// NewPowerDoc collects a sweep over speed.
func NewPowerDoc(d *analysis.Driver, points []analysis.DrivePoint, load float64) *PowerDoc {
	t := d.Train
	doc := &PowerDoc{
		Name: t.Name, LoadPct: tidy(100 * load), Measured: d.Measured, Points: []PowerPointDoc{}, Friction: []FrictionDoc{},
		FrictionWhy: explain.Friction(t), Notes: append([]string{}, d.Notes...), Estimated: estimatedOf(t), Assumed: assumedFor(t, analysis.OfTorque), Caution: Caution,
	}
	swept := d.Mechanism().Swept
	for i, p := range points {
		doc.Points = append(doc.Points, PowerPointDoc{
			SpeedRPM: rpm(p.Speed), TorqueNm: tidy(p.Torque), PowerKW: tidy(p.Power / 1e3),
			IMEPBar: bars(p.IMEP), FMEPBar: bars(p.FMEP), BMEPBar: bars(p.BMEP), MechanicalPct: tidy(100 * p.Mechanical),
			VolumetricPct: tidy(100 * p.Volumetric), IndicatedPct: tidy(100 * p.Efficiency), PeakBar: bars(p.Peak), PistonSpeed: tidy(d.MeanPistonSpeed(p.Speed)),
			GasNm: tidy(p.Share.Gas), InertiaNm: tidy(p.Share.Inertia), TotalNm: tidy(p.Share.Total), Ratio: tidy(p.Share.Ratio),
			Fluctuation: tidy(100 * p.Fluctuation),
		})
		doc.Friction = append(doc.Friction, *frictionDoc(p.Friction, t, swept))
		if p.Power > points[doc.BestPower].Power {
			doc.BestPower = i
		}
		if p.Torque > points[doc.BestTorque].Torque {
			doc.BestTorque = i
		}
	}
	if ω, ok := analysis.EqualSpeed(points); ok {
		doc.EqualRPM = rpm(ω)
	}
	return doc
}
