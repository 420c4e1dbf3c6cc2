package draw

import (
	"math"
	"slices"

	"crankwright/analysis"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// sideMap maps the plane x–z to the paper.
type sideMap struct {
	origin point // where x = 0, z = 0 stands
	scale  float64
}

func (m sideMap) at(x, z float64) point {
	return point{m.origin.x + x*m.scale, m.origin.y - z*m.scale}
}

// box returns a rectangle between two corners [m].
func (m sideMap) box(x0, x1, z0, z1 float64) polygon {
	a, b := m.at(x0, z1), m.at(x1, z0)
	return rectangle(a.x, a.y, b.x-a.x, b.y-a.y)
}

// SideView shows the crank train along the crank at one crank angle, to scale: the free end on the left,
// the drive end on the right, z up.
//
//   - r: a result
//   - at: crank angle [rad], turned the way the engine turns
//
// Result [-]. Everything is projected to the plane x–z; cylinders between the viewer and the crank are
// outlines. Widths that are not known are assumed, and the figure says so. Definition.
func SideView(r *analysis.Result, at num.Angle) Figure {
	t := r.Train
	s := newSheet("side-view", "Crank train from the side, θ = "+degrees(at), r)
	z := sizesOf(t)
	line := crankLineOf(t, z)
	lo, hi := endExtent(t, z)
	x0, x1 := line.from, line.to
	for _, c := range t.Cylinders {
		x0, x1 = math.Min(x0, c.At-0.55*z.bore), math.Max(x1, c.At+0.55*z.bore)
	}
	for _, sh := range t.Shafts {
		for _, u := range sh.Masses {
			x0, x1 = math.Min(x0, u.At-0.2*z.bore), math.Max(x1, u.At+0.2*z.bore)
		}
	}
	const most, names = 440., 40.
	m := sideMap{scale: math.Min((column-2*margin-52)/(x1-x0), most/(imag(hi)-imag(lo)))}
	top := s.bottom + names
	m.origin = point{column/2 - m.scale*(x0+x1)/2, top + m.scale*imag(hi)}
	bottom := top + m.scale*(imag(hi)-imag(lo))

	var near, far []int
	poses := make([]pose, len(t.Cylinders))
	for i := range t.Cylinders {
		p, ok := poseOf(t, i, at)
		if !ok {
			continue
		}
		poses[i] = p
		if real(p.axis) < -0.05 {
			near = append(near, i)
		} else {
			far = append(far, i)
		}
	}
	deepest := func(a, b int) int { return -compare(real(poses[a].piston), real(poses[b].piston)) }
	slices.SortStableFunc(near, deepest)
	slices.SortStableFunc(far, deepest)

	s.line(point{margin, m.origin.y}, point{column - margin, m.origin.y}, pen(soft, 0.8).in(chain))
	s.group("shafts", "Balance shafts", "", func(g *scene) { sideShafts(g, t, z, m, at, line) })
	s.group("pistons", "Pistons", "", func(g *scene) {
		for _, i := range far {
			sidePiston(g, t.Cylinders[i], z, m, poses[i], pen(ink, normal).filled(metal))
		}
	})
	s.group("rods", "Connecting rods", "", func(g *scene) {
		for _, i := range slices.Concat(far, near) {
			sideRod(g, t.Cylinders[i], z, m, poses[i])
		}
	})
	s.group("crank", "Crank", "", func(g *scene) { sideCrank(g, t, z, m, at, line) })
	s.group("big-ends", "Big ends", "", func(g *scene) {
		for _, i := range slices.Concat(far, near) {
			sideBigEnd(g, t.Cylinders[i], z, m, poses[i])
		}
	})
	s.group("near", "Pistons in front of the crank", "", func(g *scene) {
		for _, i := range near {
			sidePiston(g, t.Cylinders[i], z, m, poses[i], pen(ink, normal).in(dashed))
		}
	})
	s.sideNames(t, m, top, bottom)
	s.bottom = bottom + 40
	s.text(label{at: point{margin, s.bottom}, text: "free end", size: sizeSmall, paint: soft})
	s.text(label{at: point{column - margin, s.bottom}, text: "drive end", size: sizeSmall, align: end, paint: soft})
	c := point{margin + 12, s.bottom + 50}
	s.group("axes", "Axes", "", func(g *scene) {
		g.arrow(c, point{c.x + 30, c.y}, pen(ink, normal))
		g.arrow(c, point{c.x, c.y - 30}, pen(ink, normal))
		g.text(label{at: point{c.x + 35, c.y + 4}, text: "x", size: sizeText, paint: ink})
		g.text(label{at: point{c.x + 8, c.y - 24}, text: "z", size: sizeText, paint: ink})
	})
	s.scaleBar(m.scale, point{column - margin, c.y})
	s.bottom = c.y + 8
	s.say("Seen from the side, the free end on the left and the drive end on the right, to scale.",
		"The "+count(len(t.Throws))+" throws stand at x = "+throwPlaces(t)+".")
	s.note("T: throw; plain numbers: cylinders.")
	if len(near) > 0 {
		s.note("Dashed: pistons that stand in front of the crank.")
	}
	s.note(z.assumption())
	return s.figure()
}

func throwPlaces(t *layout.Train) string {
	var parts []string
	for i, th := range t.Throws {
		if i == 16 {
			parts = append(parts, count(len(t.Throws)-16)+" more")
			break
		}
		parts = append(parts, millimetres(th.At))
	}
	return num.List(parts, "and")
}

// sidePiston draws a piston as a round body whose axis leans towards the viewer or away.
func sidePiston(g *scene, c layout.Cylinder, z sizes, m sideMap, p pose, l look) {
	beside := real((p.piston - p.foot) * complex(real(p.axis), -imag(p.axis)) * -1i)
	o := p.piston - p.axis*complex(0, beside)
	half := (z.bore/2 - 0.012*z.bore) * m.scale
	lean := math.Abs(real(p.axis)) * half
	crown := m.at(c.At, imag(o+p.axis*complex(z.crown(c.Piston), 0)))
	skirt := m.at(c.At, imag(o-p.axis*complex(z.skirt(), 0)))
	up, down := crown, skirt
	if crown.y > skirt.y {
		up, down = skirt, crown
	}
	var body path
	body.arc(up, half, lean, 0, math.Pi)
	body.arc(down, half, lean, math.Pi, 2*math.Pi)
	body.close()
	g.titled(body, l, "piston of cylinder "+c.Name)
	if lean < 0.3*half { // rings
		for i := range 3 {
			at := m.at(c.At, imag(o+p.axis*complex(z.crown(c.Piston)-0.07*z.bore*float64(i+1), 0)))
			ring := pen(ink, 0.8)
			ring.dash = l.dash
			g.line(point{at.x - half, at.y}, point{at.x + half, at.y}, ring)
		}
		if l.fill != none {
			w := 0.3 * half
			at := m.at(c.At, imag(p.piston))
			g.add(circle{at, 1.6}, solid(ink))
			g.line(point{at.x - w*2.4, at.y}, point{at.x + w*2.4, at.y}, pen(soft, 0.8).in(chain))
		}
	} else if l.fill != none {
		// a piston behind the crank shows its open end, as its crown points away
		g.add(ellipse{centre: skirt, rx: half, ry: lean}, pen(ink, thin).filled(paper))
	}
}

// sideRod draws the shank of a rod.
func sideRod(g *scene, c layout.Cylinder, z sizes, m sideMap, p pose) {
	w := 0.32 * z.rodWidth
	a, b := imag(p.pin), imag(p.piston)
	g.titled(m.box(c.At-w, c.At+w, math.Min(a, b), math.Max(a, b)), pen(ink, thin).filled(paper), "rod of cylinder "+c.Name)
}

// sideBigEnd draws the big end of a rod round its pin.
func sideBigEnd(g *scene, c layout.Cylinder, z sizes, m sideMap, p pose) {
	if c.Rod.Linked {
		return
	}
	w, h := 0.5*z.rodWidth, 0.68*z.pin
	g.add(m.box(c.At-w, c.At+w, imag(p.pin)-h, imag(p.pin)+h), pen(ink, 1.2).filled(paper))
	y := m.at(0, imag(p.pin)).y
	g.line(point{m.at(c.At-w, 0).x, y}, point{m.at(c.At+w, 0).x, y}, pen(soft, 0.8).in(chain))
}

func sideCrank(g *scene, t *layout.Train, z sizes, m sideMap, at num.Angle, line crankLine) {
	pinZ := func(i int) float64 { return imag(direction(t.Throws[i].Angle+at)) * t.Throws[i].Radius }
	outer := counterweightRadius(t, z)
	for _, c := range t.Counterweights {
		if c.Amount == 0 {
			continue
		}
		middle := math.Copysign(1, c.Amount)
		lo, hi := 0.0, 0.0
		for k := range 9 { // the projection of a sector of 110°
			v := middle * outer * imag(direction(c.Angle+at+num.Degrees(float64(k-4)*55/4)))
			lo, hi = math.Min(lo, v), math.Max(hi, v)
		}
		w := 0.55 * z.webThickness
		g.titled(m.box(c.At-w, c.At+w, lo, hi), pen(ink, thin).filled(steel), "counterweight")
	}
	for _, x := range line.mains {
		g.add(m.box(x.from, x.to, -z.main/2, z.main/2), pen(ink, 1.2).filled(steel))
	}
	for _, x := range line.pins {
		i := x.throws[0]
		g.titled(m.box(x.from, x.to, pinZ(i)-z.pin/2, pinZ(i)+z.pin/2), pen(ink, 1.2).filled(steel), "crankpin of throw "+t.Throws[i].Name)
	}
	for _, x := range line.webs {
		lo, hi := -z.webWidth/2, z.webWidth/2
		if len(x.throws) > 1 { // between two pins, with no main journal
			lo, hi = math.Inf(1), math.Inf(-1)
		}
		for _, i := range x.throws {
			lo, hi = math.Min(lo, pinZ(i)-0.625*z.pin), math.Max(hi, pinZ(i)+0.625*z.pin)
		}
		g.add(m.box(x.from, x.to, lo, hi), pen(ink, 1.2).filled(metal))
	}
}

func sideShafts(g *scene, t *layout.Train, z sizes, m sideMap, at num.Angle, line crankLine) {
	r := shaftRadius(t)
	for i, sh := range t.Shafts {
		zs := sh.Z
		g.titled(m.box(line.from, line.to, zs-0.25*r, zs+0.25*r), pen(fourth, 1.2).filled(paper), "balance shaft "+count(i+1))
		for _, u := range sh.Masses {
			v := imag(direction(u.Angle+at*num.Angle(sh.SpeedRatio))) * r * math.Copysign(1, u.Amount)
			g.add(m.box(u.At-0.2*z.bore, u.At+0.2*z.bore, zs+v/2-r/2, zs+v/2+r/2), pen(fourth, normal).filled(paper))
			g.hatch(m.box(u.At-0.2*z.bore, u.At+0.2*z.bore, zs+v/2-r/2, zs+v/2+r/2), 6, pen(fourth, thin))
		}
	}
}

// sideNames writes cylinder names above and throw names below the train.
func (s *sheet) sideNames(t *layout.Train, m sideMap, top, bottom float64) {
	labels := placer{limit: box{0, top - 46, column, bottom + 46}}
	rows := func(x, y, step float64) []point { return []point{{x, y}, {x, y + step}, {x, y + 2*step}} }
	left := 0
	for _, c := range t.Cylinders {
		l := label{text: c.Name, size: sizeText, bold: true, align: middle, paint: ink}
		if !labels.try(&s.scene, l, rows(m.at(c.At, 0).x, top-6, -15)) {
			left++
		}
	}
	for _, th := range t.Throws {
		l := label{text: throwName(th.Name), size: sizeSmall, align: middle, paint: soft}
		if !labels.try(&s.scene, l, rows(m.at(th.At, 0).x, bottom+16, 13)[:1]) {
			left++
		}
	}
	if left > 0 {
		s.note("Not every name has room.")
	}
}
