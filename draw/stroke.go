package draw

import "math"

// polyline is a curve made of straight pieces.
type polyline struct {
	points []point
	closed bool
}

// flattened turns a path into polylines after scaling, curves to within a tenth of a pixel.
func flattened(p path, scale float64) []polyline {
	var out []polyline
	var now polyline
	flush := func() {
		if len(now.points) > 0 {
			out = append(out, now)
		}
		now = polyline{}
	}
	for _, s := range p {
		a, b, c := s.p[0].times(scale), s.p[1].times(scale), s.p[2].times(scale)
		switch s.op {
		case 'M':
			flush()
			now.points = append(now.points, a)
		case 'L':
			now.points = append(now.points, a)
		case 'C':
			if len(now.points) == 0 {
				now.points = append(now.points, a)
			}
			from := now.points[len(now.points)-1]
			bend := math.Max(from.minus(a.times(2)).plus(b).length(), a.minus(b.times(2)).plus(c).length())
			n := int(math.Min(200, math.Ceil(math.Sqrt(7.5*bend))+1))
			for i := 1; i <= n; i++ {
				t := float64(i) / float64(n)
				u := 1 - t
				now.points = append(now.points, from.times(u*u*u).plus(a.times(3*u*u*t)).plus(b.times(3*u*t*t)).plus(c.times(t*t*t)))
			}
		case 'Z':
			now.closed = true
			flush()
		}
	}
	flush()
	return out
}

// dashes cuts a polyline by a pattern of on and off lengths.
func (l polyline) dashes(pattern []float64) []polyline {
	points := l.points
	if l.closed && len(points) > 0 {
		points = append(points[:len(points):len(points)], points[0])
	}
	total := 0.0
	for _, d := range pattern {
		total += d
	}
	if total <= 0 || len(points) < 2 {
		return []polyline{l}
	}
	var out []polyline
	i, left := 0, pattern[0]
	now := []point{points[0]}
	for k := 1; k < len(points); k++ {
		a, b := points[k-1], points[k]
		length := b.minus(a).length()
		done := 0.0
		for length-done > left {
			done += left
			p := a.towards(b, done/length)
			if i%2 == 0 {
				out = append(out, polyline{points: append(now, p)})
			}
			now = []point{p}
			i++
			left = pattern[i%len(pattern)]
		}
		left -= length - done
		now = append(now, b)
	}
	if i%2 == 0 && len(now) > 1 {
		out = append(out, polyline{points: now})
	}
	return out
}

// stroked returns convex pieces, all turning the same way, that together cover a line of a width.
func (l polyline) stroked(width float64) [][]point {
	points := l.points
	if l.closed && len(points) > 1 {
		points = append(points[:len(points):len(points)], points[0])
	}
	var out [][]point
	h := width / 2
	var before point
	for k := 1; k < len(points); k++ {
		a, b := points[k-1], points[k]
		d := b.minus(a)
		if d.length() < 1e-9 {
			continue
		}
		u := d.unit()
		n := u.left().times(h)
		out = append(out, []point{a.plus(n), b.plus(n), b.minus(n), a.minus(n)})
		if before != (point{}) && before.x*u.x+before.y*u.y < 0.995 {
			out = append(out, disc(a, h))
		}
		before = u
	}
	if l.closed && len(out) > 1 {
		out = append(out, disc(points[0], h))
	}
	return out
}

// disc returns a circle as a polygon that turns the same way as the pieces of a line.
func disc(c point, r float64) []point {
	n := int(math.Max(8, math.Min(64, 4*r)))
	out := make([]point, n)
	for i := range out {
		s, k := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		out[i] = point{c.x + r*k, c.y + r*s}
	}
	return out
}
