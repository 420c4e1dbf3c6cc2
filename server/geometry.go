package server

import (
	"math"

	"crankwright/analysis"
	"crankwright/draw"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// geometryOf collects what a drawing needs of one engine. Sizes that nobody gives are those that the
// figures draw with, and are named as such.
func geometryOf(r *analysis.Result) *Geometry {
	t := r.Train
	s := draw.SizesOf(t)
	g := &Geometry{
		Clockwise: t.Rotation == layout.Clockwise, CycleDeg: deg(t.Cycle.Period()), BoreMM: mm(s.Bore), ReferenceMM: mm(t.Reference),
		Throws: []ThrowGeometry{}, Cylinders: []CylinderGeometry{}, Shafts: []ShaftGeometry{},
		Counterweights: unbalances(t.Counterweights),
		MainJournal:    JournalGeometry{mm(s.Main), mm(s.MainWidth)}, Crankpin: JournalGeometry{mm(s.Pin), mm(s.PinWidth)},
		WebThicknessMM: mm(s.WebThickness), WebWidthMM: mm(s.WebWidth), DrawnOnly: append([]string{}, s.Assumed...),
	}
	for _, th := range t.Throws {
		g.Throws = append(g.Throws, ThrowGeometry{th.Name, mm(th.At), deg(th.Angle), mm(th.Radius), th.Pair})
	}
	crownAssumed := false
	for i, c := range t.Cylinders {
		m := r.Cylinders[i]
		d := CylinderGeometry{
			Name: c.Name, Bank: c.Bank, Throw: c.Throw, AtMM: mm(c.At), AxisDeg: deg(c.Axis),
			OffsetMM: mm(c.Offset + c.Piston.PinOffset), BoreOffsetMM: mm(c.Offset), RodMM: mm(c.Rod.Length),
			Linked: c.Rod.Linked, Master: -1, CrownMM: mm(c.Piston.CompressionHeight),
			StrokeMM: mm(m.Stroke), TDCDeg: deg(m.TopDeadCentre), ReciprocatingKg: m.Reciprocating,
		}
		if c.Piston.CompressionHeight <= 0 {
			d.CrownMM, crownAssumed = mm(s.Crown), true
		}
		if c.Rod.Linked {
			d.Master, d.KnuckleMM, d.KnuckleDeg = c.Rod.Master, mm(c.Rod.KnuckleRadius), deg(c.Rod.KnuckleAngle)
		}
		if at, ok := r.Firing.FiringAngle(i); ok {
			d.FiresAtDeg = deg(at)
		}
		g.Cylinders = append(g.Cylinders, d)
	}
	if crownAssumed {
		g.DrawnOnly = append(g.DrawnOnly, "height from piston pin to crown")
	}
	for _, sh := range t.Shafts {
		g.Shafts = append(g.Shafts, ShaftGeometry{sh.SpeedRatio, mm(sh.Y), mm(sh.Z), unbalances(sh.Masses)})
	}
	g.FlywheelMM = mm(flywheelDiameter(t, s))
	g.DrawnOnly = append(g.DrawnOnly, "flywheel diameter")
	return g
}

// flywheelDiameter is the diameter to draw the flywheel with [m]: that of a steel disc, a tenth as thick
// as wide, with its inertia; twice the largest throw and a bit more where no inertia is known.
func flywheelDiameter(t *layout.Train, s draw.Sizes) float64 {
	const steel = 7850 // [kg/m³]
	if t.Flywheel > 0 {
		return math.Pow(320*t.Flywheel/(math.Pi*steel), 0.2) // J = π/32 ρ (d/10) d⁴
	}
	radius := 0.0
	for _, th := range t.Throws {
		radius = math.Max(radius, th.Radius)
	}
	return 2*radius + 1.5*s.Bore
}

func unbalances(list []layout.Unbalance) []UnbalanceGeometry {
	out := []UnbalanceGeometry{}
	for _, u := range list {
		out = append(out, UnbalanceGeometry{mm(u.At), deg(u.Angle), tidy(1e3 * u.Amount), u.Throw - 1})
	}
	return out
}

// deg and mm turn SI values into those that people read, without the dust of rounding.
func deg(a num.Angle) float64 { return tidy(a.Deg()) }

func mm(m float64) float64 { return tidy(1e3 * m) }

func tidy(v float64) float64 {
	if t := math.Round(v*1e9) / 1e9; t != 0 {
		return t
	}
	return 0
}
