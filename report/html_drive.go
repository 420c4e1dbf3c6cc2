package report

import (
	"strings"

	"crankwright/analysis"
	"crankwright/draw"
	"crankwright/num"
)

// pageDrive is what an engine's sheet says of gas and torque.
type pageDrive struct {
	Lead    string
	Facts   []pageFact
	Figures []pageFigure
	Notes   []string
	Assumed []pageEstimate
	Caution string
	Missing string // why there is nothing else
}

// newPageDrive returns nil where gas and torque were not asked for.
func newPageDrive(id string, r *analysis.Result) *pageDrive {
	d := r.Drive
	if d == nil {
		if r.NoDrive == "" {
			return nil
		}
		return &pageDrive{Missing: "Gas and torque cannot be computed: " + r.NoDrive + "."}
	}
	p := &pageDrive{
		Lead: "At " + rpmOf(d.Speed) + " rpm and " + loadShown(d) + ". " + cycleShown(d), Facts: driveFacts(d),
		Notes: append([]string{}, d.Driver.Notes...), Caution: Caution,
	}
	if d.Stalls != "" {
		p.Notes = append(p.Notes, "the crank speed within the cycle: "+d.Stalls)
	}
	if d.NoWheel != "" {
		p.Notes = append(p.Notes, "the flywheel: "+d.NoWheel)
	}
	if d.Friction.Beyond != "" {
		p.Notes = append(p.Notes, "friction: "+d.Friction.Beyond)
	}
	for _, name := range []string{"torque", "crank-speed"} {
		e, err := draw.Find(name)
		if err != nil {
			continue
		}
		p.Figures = append(p.Figures, placed(e.Draw(e.Defaults, r), id+"-drive-"+name))
	}
	p.Figures = append(p.Figures, placed(draw.Pressure(draw.HeadOf(d), draw.PressuresOf(d), true), id+"-drive-pressure"))
	for _, e := range assumedOfDrive(r) {
		p.Assumed = append(p.Assumed, estimateOnPage(e))
	}
	return p
}

func loadShown(d *analysis.Drive) string {
	switch {
	case d.Driver.Measured:
		return "the measured pressure"
	case d.Light:
		return "no load"
	case d.Load < 1:
		return num.Digits(100*d.Load, 3) + " % of full load"
	}
	return "full load"
}

// cycleShown says where the pressure comes from.
func cycleShown(d *analysis.Drive) string {
	if d.Driver.Measured {
		return "The pressure in the cylinders was measured."
	}
	return "The pressure in the cylinders comes from a model of one zone with the values below."
}

// driveFacts are the key figures of gas and torque.
func driveFacts(d *analysis.Drive) []pageFact {
	var facts []pageFact
	add := func(name, text string) { facts = append(facts, pageFact{name, unbroken([]string{text})[0]}) }
	bar := func(v float64) string { return plain(v/1e5) + "\u00a0bar" }
	add("Mean torque", num.Shown(d.Curves.Mean, "N m")+" indicated, "+num.Shown(d.Brake, "N m")+" at the brake")
	low, high := d.Curves.Total[0], d.Curves.Total[0]
	for _, v := range d.Curves.Total {
		low, high = min(low, v), max(high, v)
	}
	add("Torque over the cycle", strings.Replace(num.Shown(low, "N m"), "-", "−", 1)+" to "+num.Shown(high, "N m"))
	add("Brake power", plain(d.Power/1e3)+"\u00a0kW")
	add("Mean effective pressure", bar(d.IMEP)+" indicated, "+bar(d.BMEP)+" at the brake")
	add("Friction", bar(d.Friction.Total)+", engines of the kind "+bar(d.Friction.Low)+" to "+bar(d.Friction.High)+" ("+draw.FrictionWords(d.Friction.By)+")")
	if d.Crank != nil {
		add("Coefficient of fluctuation", plain(100*d.Crank.Fluctuation)+"\u00a0% of the speed, with "+plain(d.Rotor)+"\u00a0kg\u00a0m² turning")
	}
	if d.Flywheel != nil {
		add("Flywheel", flywheelShown(d.Flywheel))
	}
	add("Inertia in the uneven torque", plain(d.Share.Ratio)+" times the gas (root mean squares)")
	if d.Equal > 0 {
		add("Gas and inertia equally uneven", "at "+rpmOf(d.Equal)+"\u00a0rpm with this gas torque")
	}
	add("Impulses", counted(len(d.Impulses), "impulse", "impulses")+" in two revolutions")
	return facts
}

// flywheelShown says which flywheel the wanted fluctuation needs.
func flywheelShown(f *analysis.Flywheel) string {
	wanted := plain(100*f.Wanted) + "\u00a0%"
	if !(f.Inertia > 0) {
		return "none is needed for " + wanted
	}
	text := plain(f.Inertia) + "\u00a0kg\u00a0m² for " + wanted
	if w := f.Wheel; w.Mass > 0 {
		text += "; a disc of " + plain(1e3*w.Outer) + "\u00a0mm by " + plain(1e3*w.Width) + "\u00a0mm has it and weighs " + plain(w.Mass) + "\u00a0kg"
	}
	return text
}
