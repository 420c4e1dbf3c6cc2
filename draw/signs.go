package draw

import (
	"math"

	"crankwright/mechanics/layout"
)

// axesSign draws the directions y and z and the sense of rotation.
func (s *sheet) axesSign(c point, rotation layout.Rotation) {
	s.group("axes", "Axes and sense of rotation", "", func(g *scene) {
		g.arrow(c, point{c.x + 30, c.y}, pen(ink, normal))
		g.arrow(c, point{c.x, c.y - 30}, pen(ink, normal))
		g.text(label{at: point{c.x + 35, c.y + 4}, text: "y", size: sizeText, paint: ink})
		g.text(label{at: point{c.x, c.y - 34}, text: "z", size: sizeText, align: middle, paint: ink})
		at := point{c.x + 86, c.y - 14}
		if rotation == layout.Anticlockwise {
			g.turning(at, 14, -1.3, 4.4, pen(with, 2), 10)
		} else {
			g.turning(at, 14, math.Pi+1.3, -4.4, pen(with, 2), 10)
		}
		g.text(label{at: point{at.x + 24, at.y + 4}, text: "turns " + rotation.String(), size: sizeSmall, paint: ink})
	})
}

// scaleBar draws a bar of a round length that ends at a place.
func (s *sheet) scaleBar(scale float64, at point) {
	if !(scale > 0) || !finite(scale) {
		return
	}
	length := niceBelow(130 / scale)
	w := length * scale
	s.group("scale", "Scale", "", func(g *scene) {
		g.line(point{at.x - w, at.y}, at, pen(ink, normal))
		g.line(point{at.x - w, at.y - 5}, point{at.x - w, at.y + 5}, pen(ink, normal))
		g.line(point{at.x, at.y - 5}, point{at.x, at.y + 5}, pen(ink, normal))
		g.text(label{at: point{at.x - w/2, at.y - 8}, text: digits(1e3*length) + " mm", size: sizeSmall, align: middle, paint: ink})
	})
}
