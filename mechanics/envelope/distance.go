package envelope

import (
	"math"
	"math/cmplx"
)

// Distance returns the room between two convex polygons.
//
//	apart: the least distance of a corner of one from an edge of the other
//	meeting: −(the shortest way that parts them), over the normals of all edges
//
// with
//   - a, b: corners y + i·z in either sense, at least three each [m]
//
// Result [m], exact; negative where they meet. Source: DEFINITION, separating axes.
func Distance(a, b []complex128) float64 {
	apart := separation(a, b)
	if apart <= 0 {
		return apart
	}
	near := math.Inf(1)
	for _, pair := range [2][2][]complex128{{a, b}, {b, a}} {
		for _, w := range pair[0] {
			q := pair[1]
			for i, c := range q {
				near = min(near, toSegment(w, c, q[(i+1)%len(q)]))
			}
		}
	}
	return near
}

// separation returns the room between two convex polygons along the best of their edges' normals: where they meet Distance,
// else at most that.
func separation(a, b []complex128) float64 {
	apart := math.Inf(-1)
	for _, pair := range [2][2][]complex128{{a, b}, {b, a}} {
		p, q := pair[0], pair[1]
		sense := turned(p)
		for i, c := range p {
			d := p[(i+1)%len(p)] - c
			l := cmplx.Abs(d)
			if l == 0 {
				continue
			}
			out := d * complex(0, -math.Copysign(1, sense)) / complex(l, 0)
			nearest := math.Inf(1)
			for _, w := range q {
				nearest = min(nearest, real((w-c)*cmplx.Conj(out)))
			}
			apart = max(apart, nearest)
		}
	}
	return apart
}

// turned is twice the area of a polygon, negative where its corners run clockwise.
func turned(p []complex128) float64 {
	sum := 0.0
	for i := range p {
		sum += imag(p[(i+1)%len(p)] * cmplx.Conj(p[i]))
	}
	return sum
}

// toSegment is the distance of a point from the straight line between two others.
func toSegment(w, a, b complex128) float64 {
	d := b - a
	l := real(d * cmplx.Conj(d))
	if l == 0 {
		return cmplx.Abs(w - a)
	}
	f := min(1, max(0, real((w-a)*cmplx.Conj(d))/l))
	return cmplx.Abs(w - a - d*complex(f, 0))
}

// barrel is a round solid that stands on the plane y–z: a bore or a piston.
type barrel struct {
	at               float64    // x of its axis [m]
	foot, top        float64    // along the axis [m]
	axis             complex128 // direction of the axis
	offset, diameter float64    // [m]
}

// section returns the rectangle in which a plane x = const cuts a barrel; nil beside it.
func (b *barrel) section(x float64) []complex128 {
	c := b.diameter*b.diameter/4 - (x-b.at)*(x-b.at)
	if c <= 0 || b.top <= b.foot {
		return nil
	}
	h := math.Sqrt(c)
	at := func(s, e float64) complex128 { return complex(s, b.offset+e) * b.axis }
	return []complex128{at(b.foot, -h), at(b.top, -h), at(b.top, h), at(b.foot, h)}
}

// nearest returns the point of a barrel that is nearest to a point.
func (b *barrel) nearest(x float64, w complex128) (float64, complex128) {
	p := w / b.axis
	s := min(b.top, max(b.foot, real(p)))
	u, v := x-b.at, imag(p)-b.offset
	if r := math.Hypot(u, v); r > b.diameter/2 {
		u, v = u*b.diameter/2/r, v*b.diameter/2/r
	}
	return b.at + u, complex(s, b.offset+v) * b.axis
}

// room returns the distance of two barrels; where they meet, minus the shortest way across the engine that parts them.
//
// Apart, points are projected from one to the other by turns, which leads to the nearest pair of convex bodies.
func (b *barrel) room(o *barrel) float64 {
	lo, hi := max(b.at-b.diameter/2, o.at-o.diameter/2), min(b.at+b.diameter/2, o.at+o.diameter/2)
	if hi > lo {
		const n = 16
		overlap := math.Inf(1)
		for k := 1; k < n; k++ {
			x := lo + (hi-lo)*float64(k)/n
			if p, q := b.section(x), o.section(x); p != nil && q != nil {
				overlap = min(overlap, Distance(p, q))
			}
		}
		if overlap <= 0 {
			return overlap
		}
	}
	x, w := (b.at+o.at)/2, complex(0, 0)
	for range 400 {
		x1, w1 := b.nearest(x, w)
		x2, w2 := o.nearest(x1, w1)
		if math.Hypot(x2-x, cmplx.Abs(w2-w)) < 1e-9 {
			break
		}
		x, w = x2, w2
	}
	x1, w1 := b.nearest(x, w)
	return math.Hypot(x1-x, cmplx.Abs(w1-w))
}
