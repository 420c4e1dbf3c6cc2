package report

import (
	"math"
	"slices"

	"crankwright/analysis"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/torque"
	"crankwright/num"
)

// FlywheelDoc is a flywheel and what it has to hold.
type FlywheelDoc struct {
	WorkPoint
	WantedPct   float64   `json:"wanted_pct" jsonschema_description:"wanted coefficient of fluctuation of speed"`
	CrankKgm2   float64   `json:"crank_kgm2" jsonschema_description:"moment of inertia of the crank without flywheel"`
	DrivenKgm2  float64   `json:"driven_kgm2" jsonschema_description:"of a driven machine that is rigidly coupled"`
	PresentKgm2 float64   `json:"present_kgm2" jsonschema_description:"of the flywheel that the engine has: of the file, or estimated"`
	Guessed     bool      `json:"present_estimated,omitempty" jsonschema_description:"the file gives no flywheel, and this one is estimated"`
	PresentPct  float64   `json:"present_pct" jsonschema_description:"coefficient of fluctuation with it; 0 where the crank would almost stop"`
	NeededKgm2  float64   `json:"needed_kgm2" jsonschema_description:"moment of inertia that a flywheel must have; 0: none is needed"`
	ClassicKgm2 float64   `json:"classic_kgm2" jsonschema_description:"the same by the textbook rule"`
	ExcessJ     float64   `json:"excess_J" jsonschema_description:"excess of energy of gas and inertia torque"`
	Disc        *WheelDoc `json:"disc,omitempty" jsonschema_description:"full disc of the wanted diameter"`
	Rim         *WheelDoc `json:"rim,omitempty" jsonschema_description:"rim of the wanted diameter and width, arms or web not counted"`
	RimFailure  string    `json:"rim_failure,omitempty" jsonschema_description:"why there is no such rim"`
	Failure     string    `json:"failure,omitempty" jsonschema_description:"why there is no such flywheel"`
	Edits       []EditDoc `json:"edits" jsonschema_description:"that put the flywheel into the file"`
	Summary     []string  `json:"summary" jsonschema_description:"the result in sentences"`
	Estimated
	Assumed []EstimateDoc `json:"assumed" jsonschema_description:"what the file left out of gas, friction and what turns, and how it was filled"`
	Caution string        `json:"caution" jsonschema_description:"what the numbers are not good for"`
}

// WheelDoc is the size of a flywheel.
type WheelDoc struct {
	OuterMM       float64 `json:"outer_diameter_mm" jsonschema_description:"as wanted"`
	InnerMM       float64 `json:"inner_diameter_mm" jsonschema_description:"of the rim; 0: a full disc"`
	WidthMM       float64 `json:"width_mm" jsonschema_description:"along the crank"`
	MassKg        float64 `json:"mass_kg" jsonschema_description:"of the disc or rim"`
	StressRPM     float64 `json:"stress_at_rpm" jsonschema_description:"speed of the stresses, the highest permitted"`
	RimSpeed      float64 `json:"rim_speed_m_per_s" jsonschema_description:"at the outer diameter and the speed of the stresses"`
	RingStressMPa float64 `json:"ring_stress_MPa" jsonschema_description:"hoop stress of a thin ring at the outer diameter"`
	DiscStressMPa float64 `json:"disc_stress_MPa" jsonschema_description:"largest hoop stress of the turning disc, at its centre or bore, no holes"`
}

func wheelDoc(w torque.Wheel, speed float64) *WheelDoc {
	return &WheelDoc{
		OuterMM: millimetres(w.Outer), InnerMM: millimetres(w.Inner), WidthMM: millimetres(w.Width), MassKg: tidy(w.Mass), StressRPM: rpm(speed),
		RimSpeed: tidy(w.RimSpeed), RingStressMPa: tidy(w.RingStress / 1e6), DiscStressMPa: tidy(w.DiscStress / 1e6),
	}
}

// FlywheelWish is what is asked of a flywheel; 0: as the file has it.
type FlywheelWish struct {
	Fluctuation float64 // coefficient of fluctuation of speed [1]
	Diameter    float64 // [m]
	Density     float64 // [kg/m³]
	Width       float64 // of a rim besides the full disc [m]; 0: none
}

// wished is a value of a wish, where it goes in the train and in the file.
type wished struct {
	at   *float64
	with float64
	edit EditDoc
}

// in lists what is asked for of a train.
func (q FlywheelWish) in(t *layout.Train) []wished {
	w := &t.Turning
	all := []wished{
		{&w.Fluctuation, q.Fluctuation, EditDoc{"flywheel.fluctuation", num.Digits(100*q.Fluctuation, 6) + " %"}},
		{&w.Diameter, q.Diameter, EditDoc{"flywheel.diameter", num.Digits(1e3*q.Diameter, 6) + " mm"}},
		{&w.Density, q.Density, EditDoc{"flywheel.density", num.Digits(q.Density, 6) + " kg/m3"}},
	}
	return slices.DeleteFunc(all, func(v wished) bool { return !(v.with > 0) })
}

// Put puts a wish into a train, in the place of what the file says or leaves out.
func (q FlywheelWish) Put(t *layout.Train) {
	for _, v := range q.in(t) {
		*v.at = v.with
	}
	analysis.Replace(t, q.Keys()...)
}

// Keys lists the keys of the engine file that a wish replaces.
func (q FlywheelWish) Keys() []string {
	var out []string
	for _, v := range q.in(&layout.Train{}) {
		out = append(out, v.edit.Path)
	}
	return out
}

// NewFlywheelDoc sizes a flywheel for a wish, which the train of d already has in it.
func NewFlywheelDoc(d *analysis.Drive, wish FlywheelWish) *FlywheelDoc {
	t, width := d.Driver.Train, wish.Width
	w := &t.Turning
	doc := &FlywheelDoc{
		WorkPoint: workPoint(d), WantedPct: tidy(100 * w.Fluctuation), CrankKgm2: tidy(w.Crank), DrivenKgm2: tidy(w.Driven), PresentKgm2: tidy(t.Flywheel),
		Guessed: slices.ContainsFunc(t.Estimates, func(e layout.Estimate) bool { return e.Key == "flywheel.inertia" }),
		Failure: d.NoWheel, Edits: []EditDoc{}, Estimated: estimatedOf(t), Assumed: assumedFor(t, analysis.OfFlywheel), Caution: Caution,
	}
	if d.Crank != nil {
		doc.PresentPct = tidy(100 * d.Crank.Fluctuation)
	}
	f := d.Flywheel
	if f == nil {
		doc.Summary = flywheelSentences(doc)
		return doc
	}
	doc.NeededKgm2, doc.ClassicKgm2, doc.ExcessJ = tidy(f.Inertia), tidy(f.Classic), tidy(f.Speed.Excess)
	most := math.Max(t.Speeds.Limit, d.Speed)
	if f.Wheel.Mass > 0 {
		doc.Disc = wheelDoc(f.Wheel, most)
	}
	if width > 0 && f.Inertia > 0 {
		rim, err := torque.RimWheel(f.Inertia, torque.Material{Density: w.Density, Poisson: torque.WheelPoisson}, w.Diameter, width, most)
		if err != nil {
			doc.RimFailure = analysis.Said(err)
		} else {
			doc.Rim = wheelDoc(rim, most)
		}
	}
	if f.Inertia > 0 {
		doc.Edits = []EditDoc{{Path: "flywheel.inertia", Text: num.Digits(f.Inertia, 5) + " kg m2"}}
		for _, v := range wish.in(t) { // without its diameter the engine would get another wheel
			doc.Edits = append(doc.Edits, v.edit)
		}
	}
	doc.Summary = flywheelSentences(doc)
	return doc
}

func flywheelSentences(d *FlywheelDoc) []string {
	switch {
	case d.Failure != "":
		return []string{"There is no flywheel to give: " + d.Failure + "."}
	case d.NeededKgm2 == 0:
		return []string{"The crank alone holds the wanted fluctuation here; a flywheel is not needed for it. At a lower speed it may be: look at idle."}
	}
	out, present := []string{}, "The flywheel of the file"
	if d.Guessed {
		present = "The estimated flywheel"
	}
	switch ratio := d.PresentKgm2 / d.NeededKgm2; {
	case d.PresentKgm2 == 0:
	case ratio > 1:
		out = append(out, present+" has "+num.Digits(ratio, 3)+" times what is needed here.")
	default:
		out = append(out, present+" has "+num.Digits(100*ratio, 3)+" % of what is needed here.")
	}
	if w := d.Disc; w != nil && w.WidthMM > w.OuterMM {
		out = append(out, "The disc is wider than its diameter: a larger diameter makes it narrower, by the fourth power.")
	}
	return append(out, "The same engine needs another flywheel at another speed and load: look at idle, where the gas has long to push, and at the highest speed, where inertia pushes.")
}
