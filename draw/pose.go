package draw

import (
	"math"

	"crankwright/mechanics/layout"
	"crankwright/mechanics/motion"
	"crankwright/num"
)

// pose is where the parts of one cylinder are, in the plane y + i·z seen from the drive end [m].
type pose struct {
	pin    complex128 // the driving pin: crankpin or knuckle pin
	piston complex128 // piston pin
	foot   complex128 // point of the cylinder axis nearest to the crank axis
	axis   complex128 // direction of the cylinder axis, outwards [1]
}

// direction returns the unit vector of an angle measured from +z about +x.
func direction(a num.Angle) complex128 { return 1i * a.Unit() }

// seen turns a train's plane vector into what is seen: a clockwise train is the mirror image.
func seen(t *layout.Train, w complex128) complex128 {
	if t.Rotation == layout.Clockwise {
		return complex(-real(w), imag(w))
	}
	return w
}

// poseOf places cylinder i at a crank angle; ok is false where its rod cannot reach.
func poseOf(t *layout.Train, i int, θ num.Angle) (p pose, ok bool) {
	c := &t.Cylinders[i]
	link, _, phase := motion.LinkageOf(t, i)
	state, err := link.At(θ + phase)
	if err != nil {
		return pose{}, false
	}
	u := direction(c.Axis)
	p = pose{
		pin:    seen(t, u*state.Pin.Pos),
		piston: seen(t, u*state.Piston.Pos),
		foot:   seen(t, u*complex(0, c.Offset)),
		axis:   seen(t, u),
	}
	for _, w := range []complex128{p.pin, p.piston, p.foot, p.axis} {
		if !finite(real(w)) || !finite(imag(w)) {
			return pose{}, false
		}
	}
	return p, true
}

// sizes are the measures that a drawing needs beyond what the results need [m].
type sizes struct {
	bore                         float64
	pin, pinWidth                float64 // crankpin
	main, mainWidth              float64 // main journal
	webThickness, webWidth       float64
	rodWidth, pistonPin          float64
	assumed                      []string // what the file does not know, in words
	boreAssumed, journalsAssumed bool
}

// sizesOf fills unknown measures with plain proportions of the bore, for drawing only, and says which.
func sizesOf(t *layout.Train) sizes {
	s := sizes{bore: t.Bore}
	stroke := 0.0
	for _, th := range t.Throws {
		stroke = math.Max(stroke, 2*th.Radius)
	}
	if !(s.bore > 0) {
		s.bore, s.boreAssumed = stroke, true
		s.assumed = append(s.assumed, "bore = stroke")
	}
	d := s.bore
	fill := func(known, share float64, name string) float64 {
		if known > 0 {
			return known
		}
		s.journalsAssumed = true
		s.assumed = append(s.assumed, name+" "+digits(share)+" × bore")
		return share * d
	}
	g := t.Crank
	s.pin = fill(g.Crankpin.Diameter, 0.58, "crankpin")
	s.pinWidth = fill(g.Crankpin.Width, 0.3, "crankpin width")
	s.main = fill(g.MainJournal.Diameter, 0.66, "main journal")
	s.mainWidth = fill(g.MainJournal.Width, 0.3, "main journal width")
	s.webThickness = fill(g.Web.Thickness, 0.22, "web thickness")
	s.webWidth = fill(g.Web.Width, 1.05, "web width")
	s.rodWidth, s.pistonPin = 0.22*d, 0.25*d
	return s
}

// crown and skirt return how far the piston reaches from its pin, outwards and inwards [m].
func (s sizes) crown(p layout.Piston) float64 {
	if p.CompressionHeight > 0 {
		return p.CompressionHeight
	}
	return 0.36 * s.bore
}

func (s sizes) skirt() float64 { return 0.28 * s.bore }

// assumption is the note that tells what was assumed, empty where nothing was.
func (s sizes) assumption() string {
	if len(s.assumed) == 0 {
		return ""
	}
	return "Assumed for the drawing only: " + num.List(s.assumed, "and") + "."
}
