package spec

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"crankwright/estimate"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// known gathers what the file says for package estimate.
func (r *resolver) known() estimate.Engine {
	e := r.e
	k := estimate.Unknown()
	k.Cycle = r.t.Cycle
	if d, err := estimate.ParseDuty(e.Duty.Value); err == nil {
		k.Duty = d
	}
	k.Bore, k.Stroke = e.Bore.known(), e.Stroke.known()
	k.PistonMass, k.CompressionHeight = e.Piston.Mass.known(), e.Piston.CompressionHeight.known()
	k.RodLength, k.RodMass, k.RodCG, k.RodInertia = e.Rod.Length.known(), e.Rod.Mass.known(), e.Rod.CG.known(), e.Rod.Inertia.known()
	k.ThrowUnbalance = e.Crank.ThrowUnbalance.known()
	k.MainDiameter, k.MainWidth = e.Crank.MainJournal.Diameter.known(), e.Crank.MainJournal.Width.known()
	k.PinDiameter, k.PinWidth = e.Crank.Crankpin.Diameter.known(), e.Crank.Crankpin.Width.known()
	k.WebThickness, k.WebWidth = e.Crank.Web.Thickness.known(), e.Crank.Web.Width.known()
	k.Fillet = e.Crank.FilletRadius.known()
	k.CylinderSpacing, k.BankStagger = e.Layout.CylinderSpacing.known(), e.Layout.BankStagger.known()
	k.KnuckleRadius = e.Layout.KnuckleRadius.known()
	k.FlywheelInertia = e.Flywheel.Inertia.known()
	k.Idle, k.Rated, k.Limit = e.Speeds.Idle.known(), e.Speeds.Rated.known(), e.Speeds.Limit.known()
	return k
}

// fill estimates what a short form leaves out and puts crank geometry, flywheel and speeds into
// the train. ok is false where bore and stroke are unknown.
func (r *resolver) fill(s *shape) (e estimate.Engine, ok bool) {
	k := r.known()
	if math.IsNaN(k.Bore) && math.IsNaN(k.Stroke) {
		return k, false
	}
	k.Cylinders, k.RodsPerPin = len(r.t.Cylinders), s.banks
	k.OwnPins, k.PinSplit = s.own && s.separate(), s.split
	r.bankPlaces(s, &k)
	k.Finned = !s.radial && layout.Cooling(r.e.Making.Cooling.Value) == layout.Air
	fill := estimate.Fill
	if r.opt.quiet {
		fill = estimate.FillQuietly
	}
	e, list := fill(k)
	drop := []string{}
	if !s.linked {
		drop = append(drop, "layout.knuckle_radius")
	}
	if s.banks != 2 || s.radial {
		drop = append(drop, "layout.bank_stagger")
	}
	if s.throws == 1 {
		drop = append(drop, "layout.cylinder_spacing")
	}
	if r.opt.Strict {
		drop = append(drop, "piston.compression_height") // for drawings only: it stays unknown
		e.CompressionHeight = r.e.Piston.CompressionHeight.SI
	}
	for _, est := range list {
		if est.Key == "layout.cylinder_offset" {
			s.offsets = []float64{-e.CylinderOffset, e.CylinderOffset}
			if !r.opt.quiet {
				number, unit, _ := strings.Cut(est.Shown, " ")
				est.Shown = fmt.Sprintf("[-%s, %s] %s", number, number, unit)
			}
		}
		if !slices.Contains(drop, est.Key) {
			r.estimated(est)
		}
	}
	r.t.Crank = layout.CrankGeometry{
		MainJournal: layout.Journal{Diameter: e.MainDiameter, Width: e.MainWidth},
		Crankpin:    layout.Journal{Diameter: e.PinDiameter, Width: e.PinWidth},
		Web:         layout.Web{Thickness: e.WebThickness, Width: e.WebWidth},
		Fillet:      e.Fillet,
	}
	r.t.Flywheel = e.FlywheelInertia
	r.t.Speeds = layout.Speeds{Idle: e.Idle, Rated: e.Rated, Limit: e.Limit}
	return e, true
}

// bankPlaces puts into k how the banks of a vee stand to each other; elsewhere cylinders that nobody offset have no offset.
func (r *resolver) bankPlaces(s *shape, k *estimate.Engine) {
	switch {
	case r.e.Layout.Arrangement.Value != string(layout.Vee):
		k.CylinderOffset = 0
		return
	case r.e.Layout.CylinderOffset.Given():
		k.CylinderOffset = (s.offsets[1] - s.offsets[0]) / 2
	}
	k.BankAngle = s.axes[1] - s.axes[0]
}

// lean returns the angle by which the offsets of two banks turn the top dead centres of the second against the first's.
func (r *resolver) lean(s *shape, k estimate.Engine) num.Angle {
	if s.banks != 2 || s.radial || !s.narrow && s.offsets[0] == s.offsets[1] {
		return 0
	}
	e, _ := estimate.FillQuietly(k)
	first, second := s.offsets[0], s.offsets[1]
	if !r.e.Layout.CylinderOffset.Given() {
		first, second = -e.CylinderOffset, e.CylinderOffset
	}
	pin, reach := r.e.Piston.PinOffset.SI, e.RodLength+e.Stroke/2
	lean := math.Asin((second+pin)/reach) - math.Asin((first+pin)/reach)
	if math.IsNaN(lean) { // the rod does not reach, which layout.Validate says
		return 0
	}
	return num.Angle(lean)
}

// narrowPins makes an estimated crankpin width fit between the places of the throws, so that an
// estimate never makes an engine impossible. Where the throws leave no room at all the width stays,
// and layout.Validate says so.
func (r *resolver) narrowPins(e estimate.Engine) {
	t := r.t
	if !r.e.Crank.Crankpin.Width.missing() {
		return
	}
	room := math.Inf(1)
	for i := range t.Throws {
		for j := range i {
			a, b := &t.Throws[j], &t.Throws[i]
			apart := math.Hypot(
				a.Radius*math.Cos(float64(a.Angle))-b.Radius*math.Cos(float64(b.Angle)),
				a.Radius*math.Sin(float64(a.Angle))-b.Radius*math.Sin(float64(b.Angle)))
			if apart >= e.PinDiameter {
				room = math.Min(room, math.Abs(b.At-a.At))
			}
		}
	}
	if room < 1e-3 || e.PinWidth < room {
		return
	}
	width := 0.7 * room
	t.Crank.Crankpin.Width = width
	for i := range t.Estimates {
		if est := &t.Estimates[i]; est.Key == "crank.crankpin.width" {
			est.Value, est.Shown = width, fmt.Sprintf("%.4g mm", 1e3*width)
			est.Rule += ", narrowed to 0.7 of the distance of the pins along the crank"
		}
	}
}
