package draw

import "math"

// box is a rectangle that a label takes.
type box struct{ x0, y0, x1, y1 float64 }

func (b box) overlaps(c box) bool {
	return b.x0 < c.x1 && c.x0 < b.x1 && b.y0 < c.y1 && c.y0 < b.y1
}

// placer sets labels so that they do not lie on each other.
type placer struct {
	taken []box
	limit box // labels stay inside
}

// boxOf returns the space of a label, with a little air.
func boxOf(l label) box {
	w := textWidth(l.text, l.size, l.bold)
	x := l.at.x
	switch l.align {
	case middle:
		x -= w / 2
	case end:
		x -= w
	}
	return box{x - 2, l.at.y - 0.8*l.size - 1, x + w + 2, l.at.y + 0.25*l.size + 1}
}

// keepFree marks space that labels must not take.
func (p *placer) keepFree(b box) { p.taken = append(p.taken, b) }

// keepLineFree marks the space round a line.
func (p *placer) keepLineFree(a, b point, half float64) {
	n := int(math.Min(60, b.minus(a).length()/5)) + 1
	for i := range n + 1 {
		c := a.towards(b, float64(i)/float64(n))
		p.keepFree(box{c.x - half, c.y - half, c.x + half, c.y + half})
	}
}

func (p *placer) free(b box) bool {
	if b.x0 < p.limit.x0 || b.y0 < p.limit.y0 || b.x1 > p.limit.x1 || b.y1 > p.limit.y1 {
		return false
	}
	for _, t := range p.taken {
		if b.overlaps(t) {
			return false
		}
	}
	return true
}

// try sets a label at the first of some places that is free, and says whether there was one.
func (p *placer) try(s *scene, l label, places []point) bool {
	for _, at := range places {
		l.at = at
		if b := boxOf(l); p.free(b) {
			p.taken = append(p.taken, b)
			s.text(l)
			return true
		}
	}
	return false
}

// outwards returns places for the centre-aligned text of a label beyond a tip, in the direction u, then
// farther out and to both sides of it.
func outwards(tip, u point, l label) []point {
	w, h := textWidth(l.text, l.size, l.bold)/2+3, l.size*0.5+2
	reach := 1 / math.Max(math.Abs(u.x)/w, math.Abs(u.y)/h)
	var out []point
	for _, far := range []float64{2, 8, 14, 22, 32, 44} {
		for _, turn := range []float64{0, 0.22, -0.22, 0.45, -0.45, 0.8, -0.8, 1.2, -1.2} {
			sin, cos := math.Sincos(turn)
			d := point{u.x*cos - u.y*sin, u.x*sin + u.y*cos}
			c := tip.plus(d.times(far + reach))
			out = append(out, point{c.x, c.y + 0.36*l.size})
		}
	}
	return out
}
