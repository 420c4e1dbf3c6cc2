package report

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"crankwright/num"
)

// work writes the headline of a document that holds at one speed and load.
func (s *sheet) work(p WorkPoint) {
	s.lead(p.Name)
	load := num.Digits(p.LoadPct, 3) + " % load"
	switch {
	case p.Measured:
		load = "with the measured pressure"
	case p.LoadPct == 0:
		load = "running light"
	case p.LoadPct == 100:
		load = "full load"
	}
	s.paragraph("", fmt.Sprintf("At %s rpm, %s.", num.Digits(p.SpeedRPM, 5), load))
}

// told writes sentences.
func (s *sheet) told(lines []string) {
	for _, line := range lines {
		s.paragraph("  ", line)
	}
}

// inertiaShown writes a moment of inertia without a prefix before its unit, as people read it.
func inertiaShown(j float64) string { return num.Digits(j, 4) + " kg m²" }

// TorqueText returns the torque of an engine as text for a terminal.
func TorqueText(d *TorqueDoc, f *FrictionDoc, screen Screen) string {
	s := &sheet{Screen: screen}
	s.work(d.WorkPoint)
	s.torqueKey(d, f)
	s.heading("By order [N m]")
	heads := []column{
		{head: []string{"", "order"}},
		{head: []string{"", "gas"}},
		{head: []string{"", "inertia"}},
		{head: []string{"", "together"}},
		{head: []string{"share of the", "uneven torque"}},
		{head: []string{"gas and inertia", "equal at [rpm]"}},
	}
	var rows [][]cell
	for _, o := range d.Orders {
		if o.SharePct < 0.1 {
			break
		}
		equal := "–"
		if o.EqualRPM > 0 && o.EqualRPM < 1e5 {
			equal = num.Digits(o.EqualRPM, 4)
		}
		rows = append(rows, []cell{
			{text: num.Digits(o.Order, 3), style: bold},
			{text: num.Digits(sizeOf(o.GasNm), 4)},
			{text: num.Digits(sizeOf(o.InertiaNm), 4)},
			{text: num.Digits(sizeOf(o.TotalNm), 4)},
			{text: num.Digits(o.SharePct, 3) + " %"},
			{text: equal},
		})
	}
	s.table(heads, rows)
	s.heading("Pushes at the drive end over two revolutions")
	heads = []column{
		{head: []string{"", "at"}},
		{head: []string{"peak", "[N m]"}},
		{head: []string{"above the", "mean [J]"}},
		{head: []string{"", "lasts"}},
		{head: []string{"to the", "next peak"}},
		{head: []string{"lowest before", "it [N m]"}},
	}
	rows = nil
	for _, p := range d.Impulses {
		rows = append(rows, []cell{
			{text: num.Digits(p.AtDeg, 4) + "°", style: bold},
			{text: num.Digits(p.PeakNm, 4)},
			{text: num.Digits(p.WorkJ, 3)},
			{text: num.Digits(p.LengthDeg, 3) + "°"},
			{text: num.Digits(p.GapDeg, 4) + "°"},
			{text: num.Digits(p.TroughNm, 4)},
		})
	}
	s.table(heads, rows)
	s.heading("In words")
	s.told(d.Summary)
	s.beyond(*f)
	s.told(d.Notes)
	s.rests(d.Estimates, d.Assumed, "friction", "crank", "flywheel")
	s.caution()
	return s.String()
}

// torqueKey writes the main numbers of a torque.
func (s *sheet) torqueKey(d *TorqueDoc, f *FrictionDoc) {
	s.heading("Torque")
	list := []entry{
		{"mean of the gas", fmt.Sprintf("%s (indicated mean effective pressure %s bar, %s a cycle)", num.Shown(d.MeanNm, "N m"), num.Digits(d.IMEPBar, 4), num.Shown(d.WorkJ, "J"))},
		{"friction", fmt.Sprintf("%s (%s bar; engines scatter from %s to %s bar)", num.Shown(f.TorqueNm, "N m"), num.Digits(f.FMEPBar, 3), num.Digits(f.LowBar, 3), num.Digits(f.HighBar, 3))},
		{"brake", fmt.Sprintf("%s, %s kW (brake mean effective pressure %s bar)", num.Shown(d.BrakeNm, "N m"), num.Digits(d.PowerKW, 4), num.Digits(d.BMEPBar, 3))},
		{"largest", fmt.Sprintf("%s at %s°", num.Shown(d.LargestNm, "N m"), num.Digits(d.LargestAt, 4))},
		{"least", fmt.Sprintf("%s at %s°", num.Shown(d.LeastNm, "N m"), num.Digits(d.LeastAt, 4))},
		{"uneven, root mean square", fmt.Sprintf("%s; gas alone %s, inertia alone %s", num.Shown(d.Share.TotalNm, "N m"), num.Shown(d.Share.GasNm, "N m"), num.Shown(d.Share.InertiaNm, "N m"))},
	}
	c := d.CrankSpeed
	if c.Stalls != "" {
		list = append(list, entry{"crank speed", "with " + inertiaShown(c.InertiaKgm2) + " the crank would almost stop within the cycle"})
	} else {
		list = append(list, entry{"crank speed", fmt.Sprintf("%s rpm at %s° to %s rpm at %s°", num.Digits(c.LeastRPM, 5), num.Digits(c.LeastAt, 4), num.Digits(c.MostRPM, 5), num.Digits(c.MostAt, 4))},
			entry{"coefficient of fluctuation", fmt.Sprintf("%s %% with %s (textbook rule: %s %%)", num.Digits(c.FluctuationPct, 3), inertiaShown(c.InertiaKgm2), num.Digits(c.ClassicPct, 3))})
	}
	s.entries(list)
}

// GasText returns the working cycle as text for a terminal.
func GasText(d *GasDoc, screen Screen) string {
	s := &sheet{Screen: screen}
	s.work(d.WorkPoint)
	kind := num.Capital(cmp.Or(d.Ignition, "unknown")) + " ignition, compression ratio "
	if d.Measured {
		kind = "Compression ratio "
	}
	s.paragraph("", kind+num.Digits(d.Ratio, 4)+".")
	for _, c := range d.Cycles {
		title := "Cylinder "
		if len(c.Cylinders) > 1 {
			title = "Cylinders "
		}
		title += strings.Join(c.Cylinders, ", ")
		if !c.Fires {
			title += ": switched off"
		}
		s.heading(title)
		list := []entry{
			{"mean effective pressure", fmt.Sprintf("%s bar net, %s bar gross, pumping %s bar", num.Digits(c.IMEPBar, 4), num.Digits(c.GrossBar, 4), num.Digits(c.PumpingBar, 3))},
			{"work of a cycle", num.Shown(c.WorkJ, "J")},
			{"largest pressure", fmt.Sprintf("%s bar at %s° from firing top dead centre", num.Digits(c.PeakBar, 4), num.Digits(c.PeakAtDeg, 3))},
		}
		s.entries(append(list, modelEntries(c.Model)...))
		s.trace(c.Trace)
	}
	if len(d.Notes) > 0 {
		s.heading("Notes")
		s.told(d.Notes)
	}
	s.rests(d.Estimates, d.Assumed, "gas")
	s.caution()
	return s.String()
}

// trace writes what was done to a measured pressure.
func (s *sheet) trace(t *TraceDoc) {
	if t == nil {
		return
	}
	s.entries([]entry{
		{"measured", fmt.Sprintf("%s; pegging added %s bar", t.File, num.Digits(t.OffsetBar, 3))},
		{"compression", fmt.Sprintf("polytropic exponent %s from %s° to %s°", num.Digits(t.Exponent, 4), num.Digits(t.FromDeg, 4), num.Digits(t.ToDeg, 4))},
		{"top dead centre", fmt.Sprintf("compression would follow a polytrope with %s° more (± %s°)", num.Digits(t.SuspectDeg, 2), num.Digits(t.SpreadDeg, 2))},
	})
	s.told(t.Warnings)
}

// massShown writes a mass in g, kg or t, as scales do.
func massShown(kg float64) string {
	switch {
	case kg < 0.9995:
		return num.Digits(1e3*kg, 4) + " g"
	case kg < 9999.5:
		return num.Digits(kg, 4) + " kg"
	}
	return num.Digits(kg/1e3, 4) + " t"
}

// chargeShown writes a mass of gas or fuel; that of engines of a common size in mg.
func chargeShown(mg float64) string {
	if mg < 9999.5 {
		return num.Digits(mg, 4) + " mg"
	}
	return massShown(mg / 1e6)
}

func modelEntries(m *ModelDoc) []entry {
	if m == nil {
		return nil
	}
	held := ""
	if math.Abs(m.VolumetricBar-m.IntakeBar) > 5e-4*m.VolumetricBar {
		held = fmt.Sprintf(" at %s bar", num.Digits(m.VolumetricBar, 4))
	}
	list := []entry{
		{"intake", fmt.Sprintf("%s bar, %s K", num.Digits(m.IntakeBar, 4), num.Digits(m.IntakeK, 4))},
		{"exhaust", fmt.Sprintf("%s bar, gas leaves at %s K in the mean", num.Digits(m.ExhaustBar, 4), num.Digits(m.ExhaustK, 4))},
		{"charge", fmt.Sprintf("%s enclosed, %s %% spent gas; volumetric efficiency %s %%%s", chargeShown(m.TrappedMg), num.Digits(m.ResidualPct, 3), num.Digits(m.VolumetricPct, 3), held)},
	}
	if m.BackPct > 1 {
		list = append(list, entry{"blown back", fmt.Sprintf("spent gas of %s %% of the charge flows into the intake; it would come in again, which this model leaves out", num.Digits(m.BackPct, 3))})
	}
	if m.LostPct > 0.05 && m.FuelMg > 0 { // without a fire all of the charge leaves so
		list = append(list, entry{"lost charge", num.Digits(m.LostPct, 3) + " % of the fresh charge leaves by the exhaust before it is enclosed"})
	}
	if m.FuelMg > 0 {
		lost := ""
		if m.EnclosedMg < 0.9995*m.FuelMg {
			lost = fmt.Sprintf(", %s of it enclosed", chargeShown(m.EnclosedMg))
		}
		list = append(list,
			entry{"fuel", fmt.Sprintf("%s a cycle%s, air ratio %s", chargeShown(m.FuelMg), lost, num.Digits(m.AirRatio, 3))},
			entry{"efficiency", num.Digits(m.EfficiencyPct, 3) + " % indicated"})
	}
	e := m.Energy
	return append(list,
		entry{"highest temperature", num.Digits(m.PeakK, 4) + " K"},
		entry{"heat", fmt.Sprintf("%s of fuel, %s released, %s to the walls", num.Shown(e.FuelJ, "J"), num.Shown(e.ReleasedJ, "J"), num.Shown(e.WallJ, "J"))},
		entry{"first law", fmt.Sprintf("closes to %.1g of the heat", e.ClosesTo)})
}

// FlywheelText returns a flywheel as text for a terminal.
func FlywheelText(d *FlywheelDoc, screen Screen) string {
	s := &sheet{Screen: screen}
	s.work(d.WorkPoint)
	s.heading("Flywheel")
	present := "the crank would almost stop within the cycle"
	if d.PresentPct > 0 {
		present = "coefficient of fluctuation " + num.Digits(d.PresentPct, 3) + " %"
	}
	name := "flywheel of the file"
	if d.Guessed {
		name = "estimated flywheel"
	}
	list := []entry{
		{"crank and driven machine", inertiaShown(d.CrankKgm2 + d.DrivenKgm2)},
		{name, inertiaShown(d.PresentKgm2) + ": " + present},
		{"wanted", "coefficient of fluctuation " + num.Digits(d.WantedPct, 3) + " %"},
	}
	if d.Failure == "" {
		list = append(list,
			entry{"needed", inertiaShown(d.NeededKgm2) + " (textbook rule: " + inertiaShown(d.ClassicKgm2) + ")"},
			entry{"excess of energy", num.Shown(d.ExcessJ, "J")})
	}
	s.entries(list)
	s.wheel("Full disc", d.Disc)
	s.wheel("Rim", d.Rim)
	s.heading("In words")
	s.told(d.Summary)
	if d.RimFailure != "" {
		s.paragraph("  ", "There is no such rim: "+d.RimFailure+".")
	}
	s.paragraph("  ", "Stresses are those of a plain disc or ring that turns: holes, keys, arms, bolts and heat raise them. Burst safety follows the rules for the application, a test, and a licensed engineer.")
	s.rests(d.Estimates, d.Assumed, "crank", "flywheel")
	s.caution()
	return s.String()
}

func (s *sheet) wheel(title string, w *WheelDoc) {
	if w == nil {
		return
	}
	s.heading(title)
	size := num.Digits(w.OuterMM, 4) + " mm diameter, " + num.Digits(w.WidthMM, 3) + " mm wide"
	where := "centre"
	if w.InnerMM > 0 {
		where = "bore"
		size = fmt.Sprintf("%s mm outer and %s mm inner diameter, %s mm wide", num.Digits(w.OuterMM, 4), num.Digits(w.InnerMM, 4), num.Digits(w.WidthMM, 3))
	}
	s.entries([]entry{
		{"size", size},
		{"mass", massShown(w.MassKg)},
		{"rim speed", fmt.Sprintf("%s m/s at %s rpm", num.Digits(w.RimSpeed, 3), num.Digits(w.StressRPM, 4))},
		{"hoop stress there", fmt.Sprintf("%s MPa at the most, at the %s; %s MPa in a thin ring", num.Digits(w.DiscStressMPa, 3), where, num.Digits(w.RingStressMPa, 3))},
	})
}

// PowerText returns a power curve as text for a terminal.
func PowerText(d *PowerDoc, screen Screen) string {
	s := &sheet{Screen: screen}
	s.lead(d.Name)
	load := num.Digits(d.LoadPct, 3) + " % of the full-load torque of each speed."
	switch {
	case d.LoadPct == 100:
		load = "Full load."
	case d.LoadPct == 0:
		load = "Running light."
	}
	s.paragraph("", load)
	s.heading("Power over speed")
	heads := []column{
		{head: []string{"speed", "[rpm]"}},
		{head: []string{"torque", "[N m]"}},
		{head: []string{"power", "[kW]"}},
		{head: []string{"brake", "[bar]"}},
		{head: []string{"friction", "[bar]"}},
		{head: []string{"volumetric", "efficiency"}},
		{head: []string{"peak", "[bar]"}},
		{head: []string{"inertia", "over gas"}},
		{head: []string{"fluctuation", "of speed"}},
	}
	var rows [][]cell
	for _, p := range d.Points {
		volumetric, swing := "–", "stalls"
		if p.VolumetricPct > 0 {
			volumetric = num.Digits(p.VolumetricPct, 3) + " %"
		}
		if p.Fluctuation > 0 {
			swing = num.Digits(p.Fluctuation, 3) + " %"
		}
		rows = append(rows, []cell{
			{text: num.Digits(p.SpeedRPM, 4), style: bold},
			{text: num.Digits(p.TorqueNm, 4)},
			{text: num.Digits(p.PowerKW, 4)},
			{text: num.Digits(p.BMEPBar, 3)},
			{text: num.Digits(p.FMEPBar, 3)},
			{text: volumetric},
			{text: num.Digits(p.PeakBar, 3)},
			{text: num.Digits(p.Ratio, 3)},
			{text: swing},
		})
	}
	s.table(heads, rows)
	s.heading("In words")
	if len(d.Points) > 0 {
		t, p := d.Points[d.BestTorque], d.Points[d.BestPower]
		if t.TorqueNm <= 0 && d.LoadPct > 0 {
			s.paragraph("  ", "At none of these speeds does the gas give more than friction takes: the engine does not turn by itself.")
		} else {
			s.paragraph("  ", fmt.Sprintf("Most torque of these speeds: %s at %s rpm; most power: %s kW at %s rpm.",
				num.Shown(t.TorqueNm, "N m"), num.Digits(t.SpeedRPM, 4), num.Digits(p.PowerKW, 4), num.Digits(p.SpeedRPM, 4)))
		}
	}
	if d.EqualRPM > 0 {
		s.paragraph("  ", fmt.Sprintf("From %s rpm on inertia makes the torque more uneven than the gas does.", num.Digits(d.EqualRPM, 3)))
	}
	if d.Measured {
		s.paragraph("  ", "One measured pressure serves all speeds here: only friction and inertia change.")
	}
	s.paragraph("  ", d.FrictionWhy)
	s.beyond(d.Friction...)
	s.told(d.Notes)
	s.frictionParts(d)
	s.rests(d.Estimates, d.Assumed, "friction")
	s.caution()
	return s.String()
}

// beyond says where a correlation of friction is used beyond its engines.
func (s *sheet) beyond(list ...FrictionDoc) {
	for _, f := range list {
		if f.Beyond != "" {
			s.paragraph("  ", "Friction beyond the engines of its correlation: "+f.Beyond+".")
			return
		}
	}
}

// frictionParts writes what rubs at the speed of most power.
func (s *sheet) frictionParts(d *PowerDoc) {
	if len(d.Friction) == 0 || d.Friction[d.BestPower].Parts == nil {
		return
	}
	f := d.Friction[d.BestPower]
	p := f.Parts
	s.heading("What rubs at " + num.Digits(d.Points[d.BestPower].SpeedRPM, 4) + " rpm, by counts and sizes [bar]")
	s.entries([]entry{
		{"main bearings", num.Digits(p.MainsBar, 3)},
		{"pin bearings", num.Digits(p.PinsBar, 3)},
		{"rings", num.Digits(p.RingsBar, 3)},
		{"skirts", num.Digits(p.SkirtsBar, 3)},
		{"valves", num.Digits(p.ValvesBar, 3)},
		{"drives", num.Digits(p.DrivesBar, 3)},
		{"together", fmt.Sprintf("%s, %s of an in-line four of the same cylinders", num.Digits(p.TotalBar, 3), num.Digits(f.Scale, 3))},
	})
}
