package draw

import "math"

// point is a place on the paper, y downwards.
type point struct{ x, y float64 }

func (p point) plus(q point) point               { return point{p.x + q.x, p.y + q.y} }
func (p point) minus(q point) point              { return point{p.x - q.x, p.y - q.y} }
func (p point) times(f float64) point            { return point{p.x * f, p.y * f} }
func (p point) length() float64                  { return math.Hypot(p.x, p.y) }
func (p point) towards(q point, f float64) point { return p.plus(q.minus(p).times(f)) }

// unit returns the direction of p, to the right where p is nothing.
func (p point) unit() point {
	if l := p.length(); l > 0 {
		return p.times(1 / l)
	}
	return point{1, 0}
}

// left returns p turned by a quarter turn, anticlockwise as seen on the paper.
func (p point) left() point { return point{p.y, -p.x} }

// onPaper returns the plane vector y + i·z in paper directions: y right, z up.
func onPaper(w complex128) point { return point{real(w), -imag(w)} }

// dash is a pattern of a line.
type dash int

// The patterns, told apart also where colours are not.
const (
	through dash = iota
	dashed
	dotted
	chain // centre lines
)

func (d dash) lengths() []float64 {
	return [...][]float64{nil, {6, 3.5}, {1.6, 3}, {10, 3, 1.6, 3}}[d]
}

// look says how a mark is drawn.
type look struct {
	stroke paint
	width  float64
	dash   dash
	fill   paint
}

func pen(p paint, width float64) look { return look{stroke: p, width: width} }
func solid(p paint) look              { return look{fill: p} }

func (l look) in(d dash) look      { l.dash = d; return l }
func (l look) filled(p paint) look { l.fill = p; return l }

// node is one mark or group of a scene.
type node interface{ node() }

// shape is a mark with an outline.
type shape struct {
	geometry geometry
	look     look
	title    string // what it is, for readers who point at it; may be empty
}

// label is a line of text.
type label struct {
	at    point
	text  string
	size  float64
	bold  bool
	mono  bool // letters of one width; on pages only
	align align
	paint paint
	halo  bool   // a rim of paper round the letters, where lines pass
	title string // the full text where it was cut
}

func (l label) face() *face { return Font{Bold: l.bold, Mono: l.mono}.face() }

// left returns where the text begins.
func (l label) left() float64 {
	switch l.align {
	case middle:
		return l.at.x - Font{l.size, l.bold, l.mono}.Width(l.text)/2
	case end:
		return l.at.x - Font{l.size, l.bold, l.mono}.Width(l.text)
	}
	return l.at.x
}

type align int

const (
	start align = iota
	middle
	end
)

// group is a part of a scene that readers can be told about as one.
type group struct {
	role  string // what the group is, a class of its own
	title string
	desc  string
	nodes []node
}

func (shape) node()  {}
func (label) node()  {}
func (*group) node() {}

// geometry is the outline of a mark.
type geometry interface{ outline() path }

type (
	segment struct{ from, to point }
	circle  struct {
		centre point
		r      float64
	}
)

type ellipse struct {
	centre point
	rx, ry float64
	turned float64 // of the rx axis, clockwise on the paper [deg]
}
type polygon struct {
	points []point
	open   bool
}

// path is a sequence of moves, lines and cubic curves.
type path []step

type step struct {
	op byte // M, L, C or Z
	p  [3]point
}

func (p *path) move(a point)        { *p = append(*p, step{op: 'M', p: [3]point{a}}) }
func (p *path) line(a point)        { *p = append(*p, step{op: 'L', p: [3]point{a}}) }
func (p *path) curve(a, b, c point) { *p = append(*p, step{op: 'C', p: [3]point{a, b, c}}) }
func (p *path) close()              { *p = append(*p, step{op: 'Z'}) }

// arc appends an arc round c from angle a to b [rad], anticlockwise on the paper where b > a, starting
// with a line to its beginning, or a move where the path is empty.
func (p *path) arc(c point, rx, ry, a, b float64) {
	at := func(t float64) point { return point{c.x + rx*math.Cos(t), c.y - ry*math.Sin(t)} }
	if len(*p) == 0 {
		p.move(at(a))
	} else {
		p.line(at(a))
	}
	n := int(math.Ceil(math.Abs(b-a)/(math.Pi/2) - 1e-9))
	for i := range n {
		s := a + (b-a)*float64(i)/float64(n)
		t := a + (b-a)*float64(i+1)/float64(n)
		k := 4. / 3 * math.Tan((t-s)/4)
		p0, p3 := at(s), at(t)
		p.curve(
			point{p0.x - k*rx*math.Sin(s), p0.y - k*ry*math.Cos(s)},
			point{p3.x + k*rx*math.Sin(t), p3.y + k*ry*math.Cos(t)}, p3)
	}
}

func (p path) outline() path { return p }

func (s segment) outline() path {
	var p path
	p.move(s.from)
	p.line(s.to)
	return p
}

func (c circle) outline() path { return ellipse{centre: c.centre, rx: c.r, ry: c.r}.outline() }

func (e ellipse) outline() path {
	var p path
	p.arc(point{}, e.rx, e.ry, 0, 2*math.Pi)
	p.close()
	sin, cos := math.Sincos(e.turned * math.Pi / 180)
	for i := range p {
		for j, q := range p[i].p {
			p[i].p[j] = point{e.centre.x + q.x*cos - q.y*sin, e.centre.y + q.x*sin + q.y*cos}
		}
	}
	return p
}

func (g polygon) outline() path {
	var p path
	for i, a := range g.points {
		if i == 0 {
			p.move(a)
		} else {
			p.line(a)
		}
	}
	if !g.open && len(p) > 0 {
		p.close()
	}
	return p
}

// scene collects nodes.
type scene struct{ nodes []node }

func (s *scene) add(g geometry, l look) { s.nodes = append(s.nodes, shape{geometry: g, look: l}) }
func (s *scene) titled(g geometry, l look, title string) {
	s.nodes = append(s.nodes, shape{g, l, title})
}
func (s *scene) line(a, b point, l look) { s.add(segment{a, b}, l) }
func (s *scene) text(l label)            { s.nodes = append(s.nodes, l) }

func (s *scene) rect(x, y, w, h float64, l look) { s.add(rectangle(x, y, w, h), l) }

func rectangle(x, y, w, h float64) polygon {
	return polygon{points: []point{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}}}
}

// group adds what fill draws as one part.
func (s *scene) group(role, title, desc string, fill func(*scene)) {
	var in scene
	fill(&in)
	if len(in.nodes) > 0 {
		s.nodes = append(s.nodes, &group{role: role, title: title, desc: desc, nodes: in.nodes})
	}
}

// arrow draws an arrow with a filled head.
func (s *scene) arrow(a, b point, l look) {
	d := b.minus(a)
	if d.length() < 0.5 {
		return
	}
	head := math.Min(9, 0.8*d.length())
	u := d.unit()
	neck := b.minus(u.times(head * 0.8))
	s.line(a, neck, l)
	s.add(arrowhead(b, u, head), solid(l.stroke))
}

// arrowhead returns a slim triangle whose tip stands at p and points along the unit vector u.
func arrowhead(p, u point, size float64) polygon {
	back, side := p.minus(u.times(size)), u.left().times(size*0.36)
	return polygon{points: []point{p, back.plus(side), back.minus(side)}}
}

// turning draws an arc with an arrowhead, anticlockwise where turn is positive.
func (s *scene) turning(c point, r, from, turn float64, l look, head float64) {
	to := from + turn
	sign := math.Copysign(1, turn)
	short := to - sign*math.Min(0.7*head/r, math.Abs(turn)/2)
	var p path
	p.arc(c, r, r, from, short)
	s.add(p, l)
	tip := point{c.x + r*math.Cos(to), c.y - r*math.Sin(to)}
	// aim along the chord of the head, which lies on the arc
	aim := to - sign*head/(2*r)
	u := point{-math.Sin(aim) * sign, -math.Cos(aim) * sign}
	s.add(arrowhead(tip, u, head), solid(l.stroke))
}

// hatch fills a convex polygon with slanted lines, so that areas differ without colour.
func (s *scene) hatch(g polygon, gap float64, l look) {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range g.points {
		lo, hi = math.Min(lo, p.x+p.y), math.Max(hi, p.x+p.y)
	}
	if hi-lo > 4000*gap { // never more lines than a figure can show
		gap = (hi - lo) / 4000
	}
	var out path
	for c := math.Ceil(lo/gap) * gap; c < hi; c += gap {
		var cut []point
		for i, a := range g.points {
			b := g.points[(i+1)%len(g.points)]
			u, v := a.x+a.y-c, b.x+b.y-c
			if (u < 0) != (v < 0) {
				cut = append(cut, a.towards(b, u/(u-v)))
			}
		}
		if len(cut) == 2 {
			out.move(cut[0])
			out.line(cut[1])
		}
	}
	if len(out) > 0 {
		s.add(out, l)
	}
}
