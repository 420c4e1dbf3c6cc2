package draw

import (
	"math"
	"math/cmplx"
	"slices"

	"crankwright/analysis"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// view maps the plane y + i·z to the paper, at one scale in both directions.
type view struct {
	centre point   // where y + i·z = 0 stands
	scale  float64 // units of the drawing for 1 m
}

func (v view) at(w complex128) point { return v.centre.plus(onPaper(w).times(v.scale)) }

// EndView shows the crank train from the drive end at one crank angle, to scale: y to the right, z up.
//
//   - r: a result
//   - at: crank angle [rad], turned the way the engine turns
//
// Result [-]. Frames at different angles have the same scale and place. Widths that are not known are
// assumed, and the figure says so. Definition.
func EndView(r *analysis.Result, at num.Angle) Figure {
	t := r.Train
	s := newSheet("end-view", "Crank train from the drive end, θ = "+degrees(at), r)
	z := sizesOf(t)
	lo, hi := endExtent(t, z)
	const most = 470.
	w, h := real(hi)-real(lo), imag(hi)-imag(lo)
	v := view{scale: math.Min((column-2*margin-64)/w, most/h)}
	top := s.bottom + 22
	v.centre = point{column/2 - v.scale*(real(lo)+real(hi))/2, top + v.scale*imag(hi)}
	bottom := top + v.scale*h

	var poses []pose
	var shown []int
	for i := range t.Cylinders {
		if p, ok := poseOf(t, i, at); ok {
			poses, shown = append(poses, p), append(shown, i)
		}
	}
	order := make([]int, len(poses)) // from the free end to the drive end
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return compare(t.Cylinders[shown[a]].At, t.Cylinders[shown[b]].At)
	})
	s.group("bores", "Cylinders", "", func(g *scene) { endBores(g, t, z, v, poses, shown) })
	s.group("crank", "Crank", "", func(g *scene) { endCrank(g, t, z, v, at) })
	s.group("pistons", "Pistons", "", func(g *scene) {
		for _, i := range order {
			endPiston(g, t.Cylinders[shown[i]].Piston, z, v, poses[i])
		}
	})
	s.group("rods", "Connecting rods", "", func(g *scene) {
		for _, i := range order {
			endRod(g, t, shown[i], z, v, poses[i])
		}
	})
	s.group("pins", "Crankpins", "", func(g *scene) { endPins(g, t, z, v, at) })
	s.group("shafts", "Balance shafts", "", func(g *scene) { endShafts(g, t, v, at) })
	s.endNames(t, z, v, poses, shown, box{2, s.bottom + 4, column - 2, bottom + 14})
	s.bottom = bottom + 12
	s.axesSign(point{margin + 30, s.bottom + 56}, t.Rotation)
	s.scaleBar(v.scale, point{column - margin, s.bottom + 56})
	s.bottom += 66
	s.endWords(t, poses, shown)
	s.note(z.assumption())
	if len(t.Counterweights) > 0 {
		s.note("Counterweights show where they stand, not how large they are.")
	}
	return s.figure()
}

// endExtent returns two corners of the space that the train takes at any crank angle, seen from the
// drive end [m].
func endExtent(t *layout.Train, z sizes) (lo, hi complex128) {
	reach := 0.0
	for _, th := range t.Throws {
		reach = math.Max(reach, th.Radius+0.75*z.pin)
	}
	reach = math.Max(reach, z.webWidth/2)
	if len(t.Counterweights) > 0 {
		reach = math.Max(reach, counterweightRadius(t, z))
	}
	x0, x1, y0, y1 := -reach, reach, -reach, reach
	grow := func(w complex128) {
		x0, x1 = math.Min(x0, real(w)), math.Max(x1, real(w))
		y0, y1 = math.Min(y0, imag(w)), math.Max(y1, imag(w))
	}
	for i := range t.Cylinders {
		for step := range 24 {
			p, ok := poseOf(t, i, num.Turn*num.Angle(step)/24)
			if !ok {
				continue
			}
			crown := p.piston + p.axis*complex(z.crown(t.Cylinders[i].Piston)+0.08*z.bore, 0)
			grow(crown + p.axis*complex(0, z.bore/2))
			grow(crown - p.axis*complex(0, z.bore/2))
		}
	}
	for _, sh := range t.Shafts {
		w, d := seen(t, complex(sh.Y, sh.Z)), shaftRadius(t)
		grow(w + complex(d, d))
		grow(w - complex(d, d))
	}
	return complex(x0, y0), complex(x1, y1)
}

// rectangleAlong returns the corners of a rectangle along the unit vector u: from a to b along it, half
// a width to each side of the point o.
func rectangleAlong(v view, o, u complex128, a, b, half float64) polygon {
	n := u * 1i * complex(half, 0)
	p, q := o+u*complex(a, 0), o+u*complex(b, 0)
	return polygon{points: []point{v.at(p + n), v.at(q + n), v.at(q - n), v.at(p - n)}}
}

// endBores draws cylinder walls and centre lines; cylinders that hide each other are drawn once.
func endBores(g *scene, t *layout.Train, z sizes, v view, poses []pose, shown []int) {
	type wall struct{ axis, foot complex128 }
	var done []wall
	for i, p := range poses {
		if slices.ContainsFunc(done, func(w wall) bool {
			return cmplx.Abs(w.axis-p.axis) < 1e-3 && cmplx.Abs(w.foot-p.foot) < 1e-3*z.bore
		}) {
			continue
		}
		done = append(done, wall{p.axis, p.foot})
		low, high := boreEnds(t, shown[i], z)
		n := p.axis * complex(0, z.bore/2)
		for _, side := range []complex128{n, -n} {
			g.line(v.at(p.foot+side+p.axis*complex(low, 0)), v.at(p.foot+side+p.axis*complex(high, 0)), pen(soft, normal))
		}
		g.line(v.at(p.foot), v.at(p.foot+p.axis*complex(high+0.05*z.bore, 0)), pen(soft, 0.8).in(chain))
	}
}

// boreEnds returns where the wall of cylinder i begins and ends along its axis [m].
func boreEnds(t *layout.Train, i int, z sizes) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for step := range 24 {
		if p, ok := poseOf(t, i, num.Turn*num.Angle(step)/24); ok {
			x := real(p.piston * cmplx.Conj(p.axis))
			low, high = math.Min(low, x), math.Max(high, x)
		}
	}
	if !finite(low) {
		return 0, 0
	}
	return low - z.skirt()*0.4, high + z.crown(t.Cylinders[i].Piston) + 0.06*z.bore
}

func endPiston(g *scene, piston layout.Piston, z sizes, v view, p pose) {
	// the piston is round the cylinder axis, the pin may stand beside it
	beside := real((p.piston - p.foot) * cmplx.Conj(p.axis) * -1i)
	o := p.piston - p.axis*complex(0, beside)
	crown := z.crown(piston)
	half := z.bore/2 - 0.012*z.bore
	g.add(rectangleAlong(v, o, p.axis, -z.skirt(), crown, half), pen(ink, normal).filled(metal))
	for i := range 3 {
		a := crown - 0.07*z.bore*float64(i+1)
		n := p.axis * complex(0, half)
		g.line(v.at(o+p.axis*complex(a, 0)+n), v.at(o+p.axis*complex(a, 0)-n), pen(ink, 0.8))
	}
}

// endRod draws a rod from its driving pin to its piston pin.
func endRod(g *scene, t *layout.Train, i int, z sizes, v view, p pose) {
	d := p.piston - p.pin
	if cmplx.Abs(d) == 0 {
		return
	}
	u := d / complex(cmplx.Abs(d), 0)
	big, small := 0.68*z.pin, 0.66*z.pistonPin
	hole := z.pin / 2
	if t.Cylinders[i].Rod.Linked {
		hole = 0.3 * z.pistonPin * 1.3
		big = 1.5 * hole
	}
	for _, other := range t.Cylinders { // a master rod carries the knuckle pins in its big end
		if other.Rod.Linked && other.Rod.Master == i {
			big = math.Max(big, other.Rod.KnuckleRadius+0.3*z.pistonPin)
		}
	}
	a, b := math.Min(0.5*big, 0.3*z.bore), 0.55*small
	n := u * 1i
	shank := polygon{points: []point{
		v.at(p.pin + n*complex(a, 0)), v.at(p.piston + n*complex(b, 0)), v.at(p.piston - n*complex(b, 0)), v.at(p.pin - n*complex(a, 0)),
	}}
	l := pen(ink, 1.2).filled(paper)
	g.add(shank, l)
	g.add(circle{v.at(p.pin), big * v.scale}, l)
	g.add(circle{v.at(p.piston), small * v.scale}, l)
	g.add(circle{v.at(p.piston), 0.5 * z.pistonPin * v.scale}, pen(ink, thin).filled(steel))
	if t.Cylinders[i].Rod.Linked {
		g.add(circle{v.at(p.pin), hole * v.scale}, pen(ink, thin).filled(steel))
	}
}

// webOutline returns the outline of a web: two circles, round the main journal and round the pin, with
// straight flanks.
func webOutline(v view, pin complex128, large, small float64) path {
	r := cmplx.Abs(pin)
	if r <= math.Abs(large-small) {
		c, radius := complex128(0), large
		if small > large {
			c, radius = pin, small
		}
		return circle{v.at(c), radius * v.scale}.outline()
	}
	α := cmplx.Phase(pin)
	φ := math.Acos((large - small) / r)
	var p path
	p.arc(v.at(0), large*v.scale, large*v.scale, α+φ, α-φ+2*math.Pi)
	p.arc(v.at(pin), small*v.scale, small*v.scale, α-φ, α+φ)
	p.close()
	return p
}

// counterweightRadius is the outer radius at which counterweights are drawn [m].
func counterweightRadius(t *layout.Train, z sizes) float64 {
	r := 0.0
	for _, th := range t.Throws {
		r = math.Max(r, th.Radius)
	}
	return math.Max(0.55*z.webWidth, r+0.25*z.pin)
}

func endCrank(g *scene, t *layout.Train, z sizes, v view, at num.Angle) {
	outer := counterweightRadius(t, z)
	var done []complex128
	for _, c := range t.Counterweights {
		u := seen(t, direction(c.Angle+at))
		if c.Amount < 0 {
			u = -u
		}
		if c.Amount == 0 || slices.ContainsFunc(done, func(w complex128) bool { return cmplx.Abs(w-u) < 0.02 }) {
			continue
		}
		done = append(done, u)
		α := cmplx.Phase(u)
		var p path
		p.arc(v.at(0), outer*v.scale, outer*v.scale, α-0.95, α+0.95)
		p.arc(v.at(0), 0.4*z.webWidth*v.scale, 0.4*z.webWidth*v.scale, α+1.35, α-1.35)
		p.close()
		g.titled(p, pen(ink, 1.2).filled(steel), "counterweight")
	}
	radii := map[float64]bool{}
	for _, th := range t.Throws {
		pin := seen(t, direction(th.Angle+at)) * complex(th.Radius, 0)
		g.titled(webOutline(v, pin, z.webWidth/2, 0.625*z.pin), pen(ink, 1.2).filled(metal), "throw "+th.Name)
		radii[th.Radius] = true
	}
	var list []float64
	for r := range radii {
		list = append(list, r)
	}
	slices.Sort(list)
	for _, r := range list {
		g.titled(circle{v.at(0), r * v.scale}, pen(soft, thin).in(chain), "crank circle")
	}
	g.add(circle{v.at(0), z.main / 2 * v.scale}, pen(ink, 1.2).filled(steel))
}

func endPins(g *scene, t *layout.Train, z sizes, v view, at num.Angle) {
	for _, th := range t.Throws {
		c := v.at(seen(t, direction(th.Angle+at)) * complex(th.Radius, 0))
		g.titled(circle{c, z.pin / 2 * v.scale}, pen(ink, normal).filled(steel), "crankpin of throw "+th.Name)
		g.add(circle{c, 1.8}, solid(ink))
	}
	c := v.at(0)
	g.line(point{c.x - 7, c.y}, point{c.x + 7, c.y}, pen(ink, 1.2))
	g.line(point{c.x, c.y - 7}, point{c.x, c.y + 7}, pen(ink, 1.2))
}

// shaftRadius is the radius at which balance shafts are drawn [m].
func shaftRadius(t *layout.Train) float64 {
	r := math.Inf(1)
	for _, th := range t.Throws {
		r = math.Min(r, th.Radius)
	}
	return 0.5 * r
}

func endShafts(g *scene, t *layout.Train, v view, at num.Angle) {
	for i, sh := range t.Shafts {
		c, r := v.at(seen(t, complex(sh.Y, sh.Z))), shaftRadius(t)*v.scale
		g.titled(circle{c, r}, pen(fourth, normal).filled(paper), "balance shaft "+count(i+1))
		for _, m := range sh.Masses {
			u := seen(t, direction(m.Angle+at*num.Angle(sh.SpeedRatio)))
			if m.Amount < 0 {
				u = -u
			}
			α := cmplx.Phase(u)
			var p path
			p.arc(c, 0.86*r, 0.86*r, α-math.Pi/2, α+math.Pi/2)
			p.close()
			g.add(p, solid(fourth))
		}
		turn := 1.3
		if (sh.SpeedRatio > 0) == (t.Rotation == layout.Clockwise) {
			turn = -turn
		}
		g.turning(c, r+7, math.Pi/2-turn/2, turn, pen(fourth, normal), 8)
		g.text(label{at: point{c.x, c.y + r + 16}, text: signed(digits(sh.SpeedRatio)) + " ×", size: sizeSmall, bold: true, align: middle, paint: fourth, halo: true})
	}
}

// endNames writes the names of the cylinders beside their pistons; those in one place share a label.
func (s *sheet) endNames(t *layout.Train, z sizes, v view, poses []pose, shown []int, limit box) {
	labels := placer{limit: limit}
	var done []complex128
	for i, p := range poses {
		if slices.ContainsFunc(done, func(w complex128) bool { return cmplx.Abs(w-p.piston) < 0.03*z.bore }) {
			continue
		}
		done = append(done, p.piston)
		var names []string
		for j, q := range poses {
			if j >= i && cmplx.Abs(q.piston-p.piston) < 0.03*z.bore {
				names = append(names, t.Cylinders[shown[j]].Name)
			}
		}
		side := -p.axis * 1i // to the right of an upright cylinder
		if real(side)*real(p.axis) < -1e-9 {
			side = -side // outwards, away from other banks
		}
		u := onPaper(side)
		l := label{text: few(names, 4), size: sizeText, bold: true, align: middle, paint: ink, halo: true}
		if len(names) > 4 {
			l.title = num.List(names, "and")
		}
		var places []point
		along := onPaper(p.axis)
		for _, shift := range []float64{0, 1, -1, 2, -2, 3, -3, 4, -4} {
			from := v.at(p.piston + side*complex(z.bore/2, 0)).plus(along.times(18 * shift))
			reach := 5 + math.Abs(u.x)*textWidth(l.text, l.size, true)/2 + math.Abs(u.y)*l.size*0.4 // clear of the wall
			at := from.plus(u.times(reach))
			places = append(places, point{at.x, at.y + 0.36*l.size})
		}
		labels.try(&s.scene, l, places)
	}
}

func (s *sheet) endWords(t *layout.Train, poses []pose, shown []int) {
	s.say("Seen from the drive end, y to the right and z up, to scale. The crank turns " + t.Rotation.String() + ".")
	var parts []string
	for i, p := range poses {
		if i == 16 {
			parts = append(parts, count(len(poses)-16)+" more")
			break
		}
		parts = append(parts, t.Cylinders[shown[i]].Name+" "+millimetres(cmplx.Abs(p.piston)))
	}
	s.say("Distance of the piston pins from the crank axis: " + num.List(parts, "and") + ".")
}
