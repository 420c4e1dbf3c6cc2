package envelope

import (
	"math"
	"math/cmplx"
	"slices"

	"crankwright/mechanics/motion"
	"crankwright/num"
)

// Directions is the number of directions of an outline [1]: one a degree. Definition.
const Directions = 360

// sweepSteps is the number of crank angles at which rods are placed for their outline: every two degrees; between them their corners
// run straight, which takes some hundredths of a millimetre at most from it.
const sweepSteps = 180

// Outline is the largest radius about the crank axis that something reaches in each direction [m]; its index is the
// direction in degrees from +z about +x.
type Outline [Directions]float64

// points returns the points of an outline, further out by some margin.
func (o *Outline) points(margin float64) []complex128 {
	out := make([]complex128, 0, Directions)
	for k, r := range o {
		if r > 0 {
			out = append(out, complex(r+margin, 0)*1i*num.Degrees(float64(k)).Unit())
		}
	}
	return out
}

// Largest returns the largest radius of an outline [m]. Definition.
func (o *Outline) Largest() float64 {
	r := 0.0
	for _, x := range o {
		r = max(r, x)
	}
	return r
}

// Reach returns how far an outline reaches towards a direction: the largest of r cos of the angle to it.
//
//   - towards: from +z about +x [rad]
//
// Result [m]. Definition.
func (o *Outline) Reach(towards num.Angle) float64 {
	most := 0.0
	for k, r := range o {
		most = max(most, r*math.Cos(float64(num.Degrees(float64(k))-towards)))
	}
	return most
}

// Mirrored returns the mirror image of an outline, y → −y [m]. Definition.
func (o Outline) Mirrored() Outline {
	var m Outline
	for k, r := range o {
		m[(Directions-k)%Directions] = r
	}
	return m
}

// corner is a point with the square of its distance from the crank axis, and the direction in which it stands, in degrees from
// +z about +x; NaN as long as nobody asked.
type corner struct {
	at                complex128
	square, direction float64
}

func cornerAt(p complex128) corner { return corner{p, real(p)*real(p) + imag(p)*imag(p), math.NaN()} }

func (c *corner) degrees() float64 {
	if math.IsNaN(c.direction) {
		c.direction = cmplx.Phase(c.at/1i) * 180 / math.Pi
	}
	return c.direction
}

// line keeps what a straight edge reaches in the directions that it spans; a nil test keeps all of it.
func (o *Outline) line(rays *[Directions]complex128, a, b *corner, keep func(complex128) bool) {
	turn := imag(b.at * cmplx.Conj(a.at)) // sense in which the edge passes the axis
	if turn < 0 {
		a, b, turn = b, a, -turn
	}
	if turn < 1e-18 {
		return
	}
	from, to := a.degrees(), b.degrees()
	if to < from {
		to += 360
	}
	d := b.at - a.at
	first := math.Ceil(from)
	i := (int(first)%Directions + Directions - 1) % Directions
	for k := first; k <= to; k++ {
		if i++; i == Directions {
			i = 0
		}
		u := rays[i]
		across := imag(d * cmplx.Conj(u))
		if turn < 0.999*o[i]*across {
			continue // well within
		}
		r := turn / across // along the ray to the edge
		if !(r < 1e6) {
			continue
		}
		if r > o[i] && (keep == nil || keep(complex(r, 0)*u)) {
			o[i] = r
		}
	}
}

// CapReach is how far the cap of a big end with its bolts reaches from the middle of its pin, over the pin's diameter [1].
// Source: PRACTICE.
const CapReach = 0.72

// rodCorners returns the corners of a big end with its cap and bolts, and of the shank, in the frame of the rod: along it
// from its driving pin, and across.
func (f *frame) rodCorners(i int) (big, shank []complex128) {
	rod := &f.t.Cylinders[i].Rod
	d := f.t.Crank.Crankpin.Diameter
	half := f.b.BigEndWidth / 2
	if rod.Linked {
		d, half = 0.6*d, 0.45*d
	}
	big = []complex128{
		complex(0.75*d, half*0.5), complex(0.45*d, half), complex(-0.45*d, half), complex(-CapReach*d, half*0.6),
		complex(-CapReach*d, -half*0.6), complex(-0.45*d, -half), complex(0.45*d, -half), complex(0.75*d, -half*0.5),
	}
	l := rod.Length
	shank = []complex128{
		complex(0.4*d, ShankAtBig*f.bore), complex(l, ShankAtSmall*f.bore), complex(l, -ShankAtSmall*f.bore), complex(0.4*d, -ShankAtBig*f.bore),
	}
	return big, shank
}

// poses calls visit with every place of a rod over a revolution, in the frame of its cylinder.
func (m *moved) poses(steps int, visit func(φ num.Angle, s motion.State)) {
	sampler := m.link.Sampler()
	for k := range steps {
		φ := num.Turn * num.Angle(k) / num.Angle(steps)
		if s, err := sampler.At(φ.Unit()); err == nil { // reach was checked when the frame was built
			visit(φ, s)
		}
	}
}

// states returns every place of a rod over a revolution, in the frame of its cylinder.
func (m *moved) states(steps int) []motion.State {
	out := make([]motion.State, 0, steps)
	m.poses(steps, func(_ num.Angle, s motion.State) { out = append(out, s) })
	return out
}

// placed returns corners of a rod in the frame of its cylinder.
func placed(corners []complex128, s motion.State) []complex128 {
	out := make([]complex128, len(corners))
	for i, c := range corners {
		out[i] = s.Pin.Pos + c*s.Rod.Direction
	}
	return out
}

// cheekRadius returns the radius in which webs and counterweights turn.
func (f *frame) cheekRadius() float64 {
	r := f.most + 0.625*f.t.Crank.Crankpin.Diameter
	for _, c := range f.t.Counterweights {
		if c.Amount != 0 {
			return max(r, f.b.CounterweightRadius)
		}
	}
	return r
}

// crankcase is what rods and cheeks sweep, and the crankcase round it, with all that they depend on.
type crankcase struct {
	by      basis
	paths   []path // of the rods
	rows    []foot
	swept   Outline
	in, out []complex128
}

// basis is what the crankcase depends on beyond the paths of the rods and the feet of the rows.
type basis struct {
	cheeks, hub, bore, pin, bigEnd, wall, skirt float64
	hasSump                                     bool
}

// path is all that the way of a rod through the crankcase depends on: over a revolution equal rods on one axis sweep the same.
type path struct {
	link motion.Linkage
	axis complex128
	row  float64
}

type foot struct {
	axis          num.Angle
	offset, lower float64
}

// turning finds what rods and cheeks sweep, and the crankcase; where all that they depend on is alike in another engine, its
// own serves.
func (f *frame) turning(like *crankcase) {
	c := &crankcase{by: basis{
		cheeks: f.cheekRadius(), bore: f.bore, pin: f.t.Crank.Crankpin.Diameter, bigEnd: f.b.BigEndWidth,
		wall: f.b.Wall, skirt: f.b.SkirtDepth, hasSump: f.hasSump,
	}}
	var first []int // cylinder of each path
	for i := range f.cylinder {
		m := &f.cylinder[i]
		if own := (path{m.link, m.axis, f.rows[f.rowOf[i]].Offset}); !slices.Contains(c.paths, own) {
			c.paths, first = append(c.paths, own), append(first, i)
		}
		if f.isMaster(i) {
			c.by.hub = max(c.by.hub, f.t.Throws[f.t.Cylinders[i].Throw].Radius+f.masterRadius(i))
		}
	}
	for k := range f.rows {
		r := &f.rows[k]
		c.rows = append(c.rows, foot{r.Axis, r.Offset, r.Lower})
	}
	if like != nil && c.by == like.by && slices.Equal(c.paths, like.paths) && slices.Equal(c.rows, like.rows) {
		c = like
	} else {
		f.sweep(c, first)
		f.wallIn(c)
	}
	f.round, f.swept, f.in, f.out = c, c.swept, slices.Clip(c.in), slices.Clip(c.out)
}

// sweep finds the outline of cheeks and of the rods of some cylinders.
func (f *frame) sweep(c *crankcase, rods []int) {
	cheeks := c.by.cheeks
	for k := range c.swept {
		c.swept[k] = max(cheeks, c.by.hub)
	}
	within := cheeks * cheeks * (1 - 1e-9) // what ends within the cheeks does not count
	var rays [Directions]complex128
	for k := range rays {
		rays[k] = 1i * num.Degrees(float64(k)).Unit()
	}
	for _, i := range rods {
		m := &f.cylinder[i]
		row := &f.rows[f.rowOf[i]]
		big, shank := f.rodCorners(i)
		turned := cmplx.Conj(m.axis)
		out := func(w complex128) bool { // out of the bore
			p := w * turned
			if up, aside := real(p)-row.Lower, math.Abs(imag(p)-row.Offset)-f.bore/2; up < -1e-9 || aside > 1e-9 || up > 1e-9 && aside < -1e-9 {
				return up < 0 || aside > 0
			}
			p = w / m.axis // so near to the border that rounding counts
			return !(real(p) >= row.Lower && math.Abs(imag(p)-row.Offset) <= f.bore/2)
		}
		states := m.states(sweepSteps)
		for _, corners := range [][]complex128{big, shank} {
			n := len(corners)
			before, first, at := make([]corner, n), make([]corner, n), make([]corner, n)
			edge := func(a, b *corner) {
				if max(a.square, b.square) > within { // else all of it is
					c.swept.line(&rays, a, b, out)
				}
			}
			for k, s := range states {
				for j, w := range corners {
					at[j] = cornerAt((s.Pin.Pos + w*s.Rod.Direction) * m.axis)
				}
				for j := range at {
					edge(&at[j], &at[(j+1)%n])
					if k > 0 {
						edge(&before[j], &at[j]) // the way of the corner since the place before
					}
				}
				if k == 0 {
					copy(first, at)
				}
				before, at = at, before
			}
			for j := range first {
				edge(&before[j], &first[j])
			}
		}
	}
}

func (f *frame) isMaster(i int) bool {
	for k := range f.t.Cylinders {
		if r := &f.t.Cylinders[k].Rod; r.Linked && r.Master == i {
			return true
		}
	}
	return false
}

// masterRadius returns the radius of the big end of a master rod that carries knuckle pins.
func (f *frame) masterRadius(i int) float64 {
	most := 0.0
	for k := range f.t.Cylinders {
		if r := &f.t.Cylinders[k].Rod; r.Linked && r.Master == i {
			most = max(most, r.KnuckleRadius)
		}
	}
	return most + 0.35*f.t.Crank.Crankpin.Diameter
}

// wallIn finds the inside and the outside of the crankcase.
func (f *frame) wallIn(c *crankcase) {
	points := c.swept.points(CaseShare * f.bore)
	for k := range f.rows {
		r := &f.rows[k]
		points = append(points, r.at(r.Lower, -f.bore/2), r.at(r.Lower, f.bore/2))
	}
	if f.hasSump {
		h := f.jointHalf(points)
		points = append(points, complex(-h, -f.b.SkirtDepth), complex(h, -f.b.SkirtDepth))
	}
	c.in = hull(points)
	c.out = hull(grown(c.in, f.b.Wall))
}

// jointHalf returns half the inside width of the crankcase at the joint of the sump.
func (f *frame) jointHalf(points []complex128) float64 {
	half := 0.0
	for _, p := range points {
		if math.Abs(imag(p)) <= max(f.b.SkirtDepth, 0.2*f.bore) {
			half = max(half, math.Abs(real(p)))
		}
	}
	return half
}

// grown returns the corners of a convex polygon moved outwards by a wall.
func grown(corners []complex128, wall float64) []complex128 {
	const n = 16
	var out []complex128
	for _, c := range corners {
		for k := range n {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / n)
			out = append(out, c+complex(wall*cos, wall*sin))
		}
	}
	return out
}

// shrunk returns a convex polygon moved inwards by a wall; empty where nothing is left.
func shrunk(corners []complex128, wall float64) []complex128 {
	corners = hull(corners)
	out := corners
	for i, a := range corners {
		d := corners[(i+1)%len(corners)] - a
		if cmplx.Abs(d) == 0 {
			continue
		}
		inward := d * 1i / complex(cmplx.Abs(d), 0) // hull runs anticlockwise
		out = cut(out, a+inward*complex(wall, 0), inward)
		if len(out) < 3 {
			return nil
		}
	}
	return out
}
