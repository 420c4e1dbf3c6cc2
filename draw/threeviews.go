package draw

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"crankwright/analysis"
	"crankwright/mechanics/envelope"
)

// spaceView is a direction from which an engine is seen, and where it stands on the paper.
type spaceView struct {
	name   string
	across func(v r3.Vec) float64 // to the right [m]
	up     func(v r3.Vec) float64
	origin point // where the crank axis and x = 0 stand
	scale  float64
}

func (v *spaceView) at(p r3.Vec) point {
	return point{v.origin.x + v.scale*v.across(p), v.origin.y - v.scale*v.up(p)}
}

// viewLook is how some parts are drawn, under one name.
type viewLook struct {
	parts []envelope.Part
	name  string
	look  look
}

// looks says how the parts are drawn, from the back to the front; parts that it leaves out are not drawn.
func looks() []viewLook {
	return []viewLook{
		{[]envelope.Part{envelope.AccessoryPart}, "accessories", pen(soft, thin).in(dotted).filled(band)},
		{[]envelope.Part{envelope.IntakePart, envelope.ExhaustPart}, "intake and exhaust", pen(soft, thin).filled(paper)},
		{[]envelope.Part{envelope.FlywheelPart}, "flywheel and damper", pen(fourth, normal).filled(steel)},
		{[]envelope.Part{envelope.SumpPart}, "sump", pen(against, normal).filled(paper)},
		{[]envelope.Part{envelope.BlockPart}, "block", pen(ink, normal).filled(metal)},
		{[]envelope.Part{envelope.FrontPart}, "front cover", pen(soft, thin).filled(metal)},
		{[]envelope.Part{envelope.HeadPart, envelope.CoverPart}, "heads", pen(third, normal).filled(metal)},
		{[]envelope.Part{envelope.CrankPart, envelope.ShaftPart}, "crank and shafts", pen(with, thin)},
		{[]envelope.Part{envelope.PistonPart}, "pistons", pen(soft, thin).in(dashed)},
	}
}

// ThreeViews shows an engine from the side, from the drive end and from above, to one scale, with its outer sizes and its
// centre of gravity.
//
//   - r: whose engine
//   - e: of analysis.Space
//
// Result [-], lengths in mm. Definition.
func ThreeViews(r *analysis.Result, e *envelope.Envelope) Figure {
	s := newSheet("three-views", "Room and mass, three views", r)
	if !drawable(e.Length) || !drawable(e.Width) || !drawable(e.Height) || e.Length <= 0 || e.Width <= 0 || e.Height <= 0 {
		return s.empty("There is no room to show")
	}
	const gap, left, right = 46., 34., 34.
	scale := math.Min((column-2*margin-left-gap-right)/(e.Length+e.Width), 520/(e.Height+e.Width))
	top := s.bottom + 26
	x0 := margin + left
	side := spaceView{"side", func(v r3.Vec) float64 { return v.X }, func(v r3.Vec) float64 { return v.Z }, point{x0 - scale*e.Lo.X, top + scale*e.Hi.Z}, scale}
	x1 := x0 + scale*e.Length + gap
	front := spaceView{"front", func(v r3.Vec) float64 { return v.Y }, func(v r3.Vec) float64 { return v.Z }, point{x1 - scale*e.Lo.Y, top + scale*e.Hi.Z}, scale}
	below := top + scale*e.Height + 66
	plan := spaceView{"plan", func(v r3.Vec) float64 { return v.X }, func(v r3.Vec) float64 { return v.Y }, point{x0 - scale*e.Lo.X, below + scale*e.Hi.Y}, scale}
	for _, v := range []*spaceView{&side, &front, &plan} {
		title := map[string]string{"side": "from the side", "front": "from the drive end", "plan": "from above"}[v.name]
		room := scale*e.Length + gap - 8
		if v.name == "front" {
			room = scale*e.Width + right
		}
		corner := v.at(r3.Vec{X: e.Lo.X, Y: e.Lo.Y, Z: e.Hi.Z})
		if v.name == "plan" {
			corner.y = below
		}
		cut, full := fitted(title, room, sizeSmall, false)
		s.text(label{at: point{corner.x, corner.y - 10}, text: cut, size: sizeSmall, paint: soft, title: full})
		s.group("view-"+v.name, title, "", func(g *scene) { v.engine(g, e) })
		v.centre(&s.scene, e)
	}
	base := top + scale*e.Height
	s.dimension(point{x1, base + 16}, point{x1 + scale*e.Width, base + 16}, e.Width)
	s.dimension(point{x0, base + 16}, point{x0 + scale*e.Length, base + 16}, e.Length)
	s.dimension(point{x1 + scale*e.Width + 16, base}, point{x1 + scale*e.Width + 16, top}, e.Height)
	s.dimension(point{x0 - 16, base}, point{x0 - 16, side.origin.y}, e.Below)
	s.bottom = below + scale*e.Width + 6
	s.facts(point{x1, below + 12}, e)
	s.bottom = math.Max(s.bottom, below+96)
	var keys []key
	for _, l := range looks() {
		if slices.ContainsFunc(e.Solids, func(p envelope.Solid) bool { return slices.Contains(l.parts, p.Part) }) {
			keys = append(keys, key{name: l.name, shape: func(s *scene, at point) { s.rect(at.x-11, at.y-5, 22, 10, l.look) }})
		}
	}
	s.legend(keys)
	s.say("From the side, from the drive end and from above, to one scale: " + millimetres(e.Length) + " long, " + millimetres(e.Width) + " wide, " +
		millimetres(e.Height) + " high.")
	s.note("Lengths in mm, the free end left. The crossed circle is the centre of gravity of the engine ready to run. Parts that nobody drew have proportions of common practice.")
	return s.figure()
}

// facts writes masses and the centre of gravity beside the plan.
func (s *sheet) facts(at point, e *envelope.Envelope) {
	lines := []string{
		digits(e.Dry.Mass) + " kg dry", digits(e.Body.Mass) + " kg ready to run",
		"centre of gravity " + digits(roundTo(1e3*e.CentreAbove, 1)) + " mm", "above the crank axis",
	}
	if e.Banks > 0 {
		lines = append(lines, "over the heads "+digits(roundTo(1e3*e.Banks, 1))+" mm")
	}
	for i, text := range lines {
		cut, full := fitted(text, column-margin-at.x, sizeSmall, false)
		s.text(label{at: point{at.x, at.y + 16*float64(i)}, text: cut, size: sizeSmall, paint: ink, title: full})
	}
	s.say(lines...)
}

// engine draws the solids of one view, parts at the back first.
func (v *spaceView) engine(g *scene, e *envelope.Envelope) {
	for _, l := range looks() {
		for i := range e.Solids {
			p := &e.Solids[i]
			if p.Void || !slices.Contains(l.parts, p.Part) || slices.Contains([]string{"barrel", "bulkhead", "end wall", "deck", "foot", "bank end"}, p.Name) {
				continue
			}
			if v.name == "front" && p.Part == envelope.FrontPart {
				continue // it stands behind the block
			}
			if outline := v.outline(p); len(outline) > 2 {
				g.titled(polygon{points: outline}, l.look, string(p.Part)+", "+p.Name)
			}
		}
	}
}

// outline returns what a solid covers in a view: the convex hull of its corners.
func (v *spaceView) outline(p *envelope.Solid) []point {
	var all []point
	if p.Kind == envelope.Prism {
		for _, x := range []float64{p.From, p.To} {
			for _, c := range p.Section {
				all = append(all, v.at(r3.Vec{X: x, Y: real(c), Z: imag(c)}))
			}
		}
		return covered(all)
	}
	axis := r3.Sub(p.B, p.A)
	if r3.Norm(axis) == 0 {
		return nil
	}
	u := r3.Unit(axis)
	q := r3.Vec{X: 1}
	if math.Abs(u.X) > 0.9 {
		q = r3.Vec{Y: 1}
	}
	a := r3.Unit(r3.Cross(u, q))
	b := r3.Cross(u, a)
	const n = 32
	for _, end := range []r3.Vec{p.A, p.B} {
		for k := range n {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / n)
			all = append(all, v.at(r3.Add(end, r3.Add(r3.Scale(p.Outer*cos, a), r3.Scale(p.Outer*sin, b)))))
		}
	}
	return covered(all)
}

// covered returns the convex hull of points.
func covered(p []point) []point {
	slices.SortFunc(p, func(a, b point) int {
		if c := compare(a.x, b.x); c != 0 {
			return c
		}
		return compare(a.y, b.y)
	})
	turn := func(a, b, c point) float64 { return (b.x-a.x)*(c.y-a.y) - (b.y-a.y)*(c.x-a.x) }
	var out []point
	for pass := range 2 {
		start := len(out)
		for _, q := range p {
			for len(out) >= start+2 && turn(out[len(out)-2], out[len(out)-1], q) <= 1e-9 {
				out = out[:len(out)-1]
			}
			out = append(out, q)
		}
		out = out[:len(out)-1]
		if pass == 0 {
			slices.Reverse(p)
		}
	}
	return out
}

// centre marks the centre of gravity.
func (v *spaceView) centre(s *scene, e *envelope.Envelope) {
	c := v.at(e.Body.Centre)
	s.titled(circle{c, 5}, pen(ink, normal).filled(paper), "centre of gravity")
	s.line(point{c.x - 8, c.y}, point{c.x + 8, c.y}, pen(ink, thin))
	s.line(point{c.x, c.y - 8}, point{c.x, c.y + 8}, pen(ink, thin))
	a, b := v.at(r3.Vec{X: e.Lo.X}), v.at(r3.Vec{X: e.Hi.X})
	if v.name == "front" {
		a, b = v.at(r3.Vec{Y: e.Lo.Y}), v.at(r3.Vec{Y: e.Hi.Y})
	}
	s.line(a, b, pen(soft, thin).in(chain))
}

// dimension draws a dimension line with its length [m], written in mm, along the paper's edges.
func (s *sheet) dimension(a, b point, length float64) {
	u := b.minus(a).unit()
	s.line(a, b, pen(soft, thin))
	for _, e := range []point{a, b} {
		s.line(e.plus(u.left().times(5)), e.plus(u.left().times(-5)), pen(soft, thin))
	}
	l := label{at: point{(a.x + b.x) / 2, a.y + 16}, text: digits(roundTo(1e3*length, 1)), size: sizeSmall, align: middle, paint: ink, halo: true}
	if math.Abs(u.y) > 0.5 {
		l.at = point{a.x, (a.y+b.y)/2 + 4}
	}
	s.text(l)
}
