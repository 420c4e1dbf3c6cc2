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
	ReferenceMM    float64             `json:"reference_mm" jsonschema_description:"place on the crank about which moments are taken"`
	Throws         []ThrowGeometry     `json:"throws" jsonschema_description:"crankpins; pins split from one throw stand one by one"`
	Cylinders      []CylinderGeometry  `json:"cylinders" jsonschema_description:"by number"`
	Counterweights []UnbalanceGeometry `json:"counterweights" jsonschema_description:"on the crank, in the sequence of the file"`
	Shafts         []ShaftGeometry     `json:"shafts" jsonschema_description:"balance shafts, in the sequence of the file"`
	MainJournal    JournalGeometry     `json:"main_journal" jsonschema_description:"size of the main journals"`
	Crankpin       JournalGeometry     `json:"crankpin" jsonschema_description:"size of the crankpins"`
	WebThicknessMM float64             `json:"web_thickness_mm" jsonschema_description:"of the crank's webs, along the crank"`
	WebWidthMM     float64             `json:"web_width_mm" jsonschema_description:"of the crank's webs, across the throw"`
	FlywheelMM     float64             `json:"flywheel_mm" jsonschema_description:"diameter to draw it with"`
	DrawnOnly      []string            `json:"drawn_only" jsonschema_description:"sizes that neither the file nor an estimate gives and that stand for the drawing alone"`
}

// ThrowGeometry is one crankpin.
type ThrowGeometry struct {
	Name     string  `json:"name" jsonschema_description:"of the throw"`
	AtMM     float64 `json:"at_mm" jsonschema_description:"axial place"`
	AngleDeg float64 `json:"angle_deg" jsonschema_description:"direction at crank angle 0, from +z about +x"`
	RadiusMM float64 `json:"radius_mm" jsonschema_description:"from the crank axis to the pin's axis"`
	Pair     int     `json:"pair" jsonschema_description:"index of the throw that it is a part of"`
}

// CylinderGeometry is one cylinder with its piston and rod.
type CylinderGeometry struct {
	Name            string  `json:"name" jsonschema_description:"of the cylinder"`
	Bank            int     `json:"bank" jsonschema_description:"index of its bank"`
	Throw           int     `json:"throw" jsonschema_description:"index of its throw"`
	AtMM            float64 `json:"at_mm" jsonschema_description:"axial place of the cylinder axis"`
	AxisDeg         float64 `json:"axis_deg" jsonschema_description:"cylinder axis from +z about +x"`
	OffsetMM        float64 `json:"offset_mm" jsonschema_description:"of the piston pin's path from the crank axis"`
	BoreOffsetMM    float64 `json:"bore_offset_mm" jsonschema_description:"of the bore's axis"`
	RodMM           float64 `json:"rod_mm" jsonschema_description:"between the eyes of the rod; of a linked rod from knuckle pin to piston pin"`
	Linked          bool    `json:"linked" jsonschema_description:"a master rod carries its rod"`
	Master          int     `json:"master" jsonschema_description:"index of the cylinder whose rod carries this one; -1: none"`
	KnuckleMM       float64 `json:"knuckle_mm" jsonschema_description:"from the master's big end to the knuckle pin; 0: no linked rod"`
	KnuckleDeg      float64 `json:"knuckle_deg" jsonschema_description:"direction of the knuckle pin, from that of the master's small end about +x; 0 too without a linked rod"`
	CrownMM         float64 `json:"crown_mm" jsonschema_description:"from piston pin to crown"`
	StrokeMM        float64 `json:"stroke_mm" jsonschema_description:"true stroke, from the geometry"`
	TDCDeg          float64 `json:"tdc_deg" jsonschema_description:"true top dead centre, from the geometry"`
	FiresAtDeg      float64 `json:"fires_at_deg" jsonschema_description:"crank angle of its firing top dead centre"`
	ReciprocatingKg float64 `json:"reciprocating_kg" jsonschema_description:"piston, and the share of the rod that the two-mass view puts on the piston pin"`
}

// UnbalanceGeometry is a mass times radius on a turning part.
type UnbalanceGeometry struct {
	AtMM     float64 `json:"at_mm" jsonschema_description:"axial place"`
	AngleDeg float64 `json:"angle_deg" jsonschema_description:"direction at crank angle 0, from +z about +x"`
	KgMM     float64 `json:"unbalance_kgmm" jsonschema_description:"mass times radius"`
	Throw    int     `json:"throw" jsonschema_description:"index of the throw that it belongs to; -1: none"`
}

// ShaftGeometry is one balance shaft.
type ShaftGeometry struct {
	SpeedRatio float64             `json:"speed_ratio" jsonschema_description:"turns per turn of the crank, negative against it"`
	YMM        float64             `json:"y_mm" jsonschema_description:"of its axis, to the right of the crank axis, seen from the drive end"`
	ZMM        float64             `json:"z_mm" jsonschema_description:"of its axis, above the crank axis"`
	Masses     []UnbalanceGeometry `json:"masses" jsonschema_description:"unbalances that stand on it"`
}

// JournalGeometry is a cylindrical seat.
type JournalGeometry struct {
	DiameterMM float64 `json:"diameter_mm" jsonschema_description:"of the seat"`
	WidthMM    float64 `json:"width_mm" jsonschema_description:"along the crank"`
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
	if t.Flywheel > 0 {
		return math.Pow(320*t.Flywheel/(math.Pi*crankSteel), 0.2) // J = π/32 ρ (d/10) d⁴
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
