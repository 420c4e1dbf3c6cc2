package report

import (
	"math"

	"crankwright/analysis"
	"crankwright/draw"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Geometry is the crank train in numbers that a drawing needs: lengths in mm and angles in degrees.
// Positions at a crank angle follow from them by the formulas of docs/notation.md.
type Geometry struct {
	Clockwise      bool                `json:"clockwise" jsonschema_description:"mirror the drawing: y to the other side"`
	CycleDeg       float64             `json:"cycle_deg" jsonschema_description:"720 or 360"`
	BoreMM         float64             `json:"bore_mm" jsonschema_description:"0: unknown"`
	ReferenceMM    float64             `json:"reference_mm"`
	Throws         []ThrowGeometry     `json:"throws"`
	Cylinders      []CylinderGeometry  `json:"cylinders"`
	Counterweights []UnbalanceGeometry `json:"counterweights"`
	Shafts         []ShaftGeometry     `json:"shafts"`
	MainJournal    JournalGeometry     `json:"main_journal"`
	Crankpin       JournalGeometry     `json:"crankpin"`
	WebThicknessMM float64             `json:"web_thickness_mm"`
	WebWidthMM     float64             `json:"web_width_mm"`
	FlywheelMM     float64             `json:"flywheel_mm" jsonschema_description:"diameter to draw it with"`
	DrawnOnly      []string            `json:"drawn_only" jsonschema_description:"sizes that neither the file nor an estimate gives and that stand for the drawing alone"`
}

// ThrowGeometry is one crankpin.
type ThrowGeometry struct {
	Name     string  `json:"name"`
	AtMM     float64 `json:"at_mm"`
	AngleDeg float64 `json:"angle_deg"`
	RadiusMM float64 `json:"radius_mm"`
	Pair     int     `json:"pair" jsonschema_description:"index of the throw that it is a part of"`
}

// CylinderGeometry is one cylinder with its piston and rod.
type CylinderGeometry struct {
	Name            string  `json:"name"`
	Bank            int     `json:"bank"`
	Throw           int     `json:"throw"`
	AtMM            float64 `json:"at_mm"`
	AxisDeg         float64 `json:"axis_deg"`
	OffsetMM        float64 `json:"offset_mm" jsonschema_description:"of the piston pin's path from the crank axis"`
	BoreOffsetMM    float64 `json:"bore_offset_mm" jsonschema_description:"of the bore's axis"`
	RodMM           float64 `json:"rod_mm"`
	Linked          bool    `json:"linked"`
	Master          int     `json:"master" jsonschema_description:"index of the cylinder whose rod carries this one; -1: none"`
	KnuckleMM       float64 `json:"knuckle_mm"`
	KnuckleDeg      float64 `json:"knuckle_deg"`
	CrownMM         float64 `json:"crown_mm" jsonschema_description:"from piston pin to crown"`
	StrokeMM        float64 `json:"stroke_mm"`
	TDCDeg          float64 `json:"tdc_deg"`
	FiresAtDeg      float64 `json:"fires_at_deg"`
	ReciprocatingKg float64 `json:"reciprocating_kg"`
}

// UnbalanceGeometry is a mass times radius on a turning part.
type UnbalanceGeometry struct {
	AtMM     float64 `json:"at_mm"`
	AngleDeg float64 `json:"angle_deg"`
	KgMM     float64 `json:"unbalance_kgmm"`
	Throw    int     `json:"throw" jsonschema_description:"index of the throw that it belongs to; -1: none"`
}

// ShaftGeometry is one balance shaft.
type ShaftGeometry struct {
	SpeedRatio float64             `json:"speed_ratio"`
	YMM        float64             `json:"y_mm"`
	ZMM        float64             `json:"z_mm"`
	Masses     []UnbalanceGeometry `json:"masses"`
}

// JournalGeometry is a cylindrical seat.
type JournalGeometry struct {
	DiameterMM float64 `json:"diameter_mm"`
	WidthMM    float64 `json:"width_mm"`
}

// NewGeometry collects what a drawing needs of one engine. Sizes that nobody gives are those that the
// figures draw with, and are named as such.
func NewGeometry(r *analysis.Result) *Geometry {
	t := r.Train
	s := draw.SizesOf(t)
	g := &Geometry{
		Clockwise: t.Rotation == layout.Clockwise, CycleDeg: turned(t.Cycle.Period()), BoreMM: mm(s.Bore), ReferenceMM: mm(t.Reference),
		Throws: []ThrowGeometry{}, Cylinders: []CylinderGeometry{}, Shafts: []ShaftGeometry{},
		Counterweights: unbalances(t.Counterweights),
		MainJournal:    JournalGeometry{mm(s.Main), mm(s.MainWidth)}, Crankpin: JournalGeometry{mm(s.Pin), mm(s.PinWidth)},
		WebThicknessMM: mm(s.WebThickness), WebWidthMM: mm(s.WebWidth), DrawnOnly: append([]string{}, s.Assumed...),
	}
	for _, th := range t.Throws {
		g.Throws = append(g.Throws, ThrowGeometry{th.Name, mm(th.At), turned(th.Angle), mm(th.Radius), th.Pair})
	}
	crownAssumed := false
	for i, c := range t.Cylinders {
		m := r.Cylinders[i]
		d := CylinderGeometry{
			Name: c.Name, Bank: c.Bank, Throw: c.Throw, AtMM: mm(c.At), AxisDeg: turned(c.Axis),
			OffsetMM: mm(c.Offset + c.Piston.PinOffset), BoreOffsetMM: mm(c.Offset), RodMM: mm(c.Rod.Length),
			Linked: c.Rod.Linked, Master: -1, CrownMM: mm(c.Piston.CompressionHeight),
			StrokeMM: mm(m.Stroke), TDCDeg: turned(m.TopDeadCentre), ReciprocatingKg: m.Reciprocating,
		}
		if c.Piston.CompressionHeight <= 0 {
			d.CrownMM, crownAssumed = mm(s.Crown), true
		}
		if c.Rod.Linked {
			d.Master, d.KnuckleMM, d.KnuckleDeg = c.Rod.Master, mm(c.Rod.KnuckleRadius), turned(c.Rod.KnuckleAngle)
		}
		if at, ok := r.Firing.FiringAngle(i); ok {
			d.FiresAtDeg = turned(at)
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
		out = append(out, UnbalanceGeometry{mm(u.At), turned(u.Angle), drawn(1e3 * u.Amount), u.Throw - 1})
	}
	return out
}

// drawn rounds a value for a drawing, without the dust of rounding.
func drawn(v float64) float64 { return noMinusZero(math.Round(v*1e9) / 1e9) }

// mm is a length for a drawing.
func mm(m float64) float64 { return drawn(1e3 * m) }

// turned is an angle for a drawing [deg].
func turned(a num.Angle) float64 { return drawn(a.Deg()) }
