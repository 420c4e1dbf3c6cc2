package envelope

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"crankwright/mechanics/mount"
)

// Kind is the form of a solid.
type Kind string

// The forms of solids.
const (
	Prism Kind = "prism" // a polygon in the plane y–z, extruded along x
	Tube  Kind = "tube"  // a hollow or full cylinder with its axis in any direction
)

// Solid is one homogeneous piece of an engine.
type Solid struct {
	Part    Part
	Name    string
	Kind    Kind
	Density float64 // [kg/m³]
	Fill    float64 // share of the volume that is material, the rest ports, jackets and pockets [1]
	Void    bool    // it is taken away: a bore, the inside of a shell
	Moving  bool    // it belongs to the crank train, shown at one place of its motion

	Section  []complex128 // of a prism: its corners y + i·z, in either sense [m]
	From, To float64      // of a prism: along x [m]

	A, B         r3.Vec  // of a tube: the ends of its axis [m]
	Outer, Inner float64 // of a tube: radii [m]; Inner 0: full
}

// Box returns a prism with a rectangular section.
//
//   - lo, hi: two opposite corners [m]
//
// Result [m], edges along the axes. Definition.
func Box(lo, hi r3.Vec) Solid {
	return Solid{Kind: Prism, Fill: 1, From: lo.X, To: hi.X, Section: []complex128{
		complex(lo.Y, lo.Z), complex(hi.Y, lo.Z), complex(hi.Y, hi.Z), complex(lo.Y, hi.Z),
	}}
}

// Polygon is the area of a plane figure with its first and second moments about the origin.
type Polygon struct {
	Area   float64    // [m²]
	Centre complex128 // y + i·z [m]
	YY, ZZ float64    // ∫ y² dA, ∫ z² dA [m⁴]
	YZ     float64    // ∫ y z dA [m⁴]
}

// PolygonOf returns the area and the moments of a polygon.
//
//	A = ½ Σ c,  c = y_i z_{i+1} − y_{i+1} z_i       A y_c = ⅙ Σ c (y_i + y_{i+1})
//	∫ y² = 1/12 Σ c (y_i² + y_i y_{i+1} + y_{i+1}²)
//	∫ y z = 1/24 Σ c (y_i z_{i+1} + 2 y_i z_i + 2 y_{i+1} z_{i+1} + y_{i+1} z_i)
//
// with
//   - corners: y + i·z in either sense [m]; edges that cross count with their sign
//
// Result [m²], [m], [m⁴], exact, the area not negative; a figure without area has its first corner as centre.
// Source: DEFINITION, Green's theorem.
func PolygonOf(corners []complex128) Polygon {
	var p Polygon
	if len(corners) == 0 {
		return p
	}
	base := corners[0] // near the figure, so that nothing is lost far from the origin
	var area, my, mz float64
	for i := range corners {
		a, b := corners[i]-base, corners[(i+1)%len(corners)]-base
		ya, za, yb, zb := real(a), imag(a), real(b), imag(b)
		c := ya*zb - yb*za
		area += c / 2
		my += c * (ya + yb) / 6
		mz += c * (za + zb) / 6
		p.YY += c * (ya*ya + ya*yb + yb*yb) / 12
		p.ZZ += c * (za*za + za*zb + zb*zb) / 12
		p.YZ += c * (ya*zb + 2*ya*za + 2*yb*zb + yb*za) / 24
	}
	if area < 0 {
		area, my, mz, p.YY, p.ZZ, p.YZ = -area, -my, -mz, -p.YY, -p.ZZ, -p.YZ
	}
	p.Area, p.Centre = area, base
	if area > 0 {
		p.Centre += complex(my/area, mz/area)
	}
	y, z := real(base), imag(base)
	p.YY += 2*y*my + y*y*area
	p.ZZ += 2*z*mz + z*z*area
	p.YZ += y*mz + z*my + y*z*area
	return p
}

// Body returns mass, centre and inertia of a solid.
//
//	prism  m = ρ f A L    J_x = ρ f L ∫ (y² + z²)    J_y = ρ f L ∫ z² + m L²/12
//	tube   m = ρ f π (R² − r²) L    J = J_q 1 + (J_a − J_q) u uᵀ,  J_a = m (R² + r²)/2,  J_q = m (3 (R² + r²) + L²)/12
//
// with
//   - f: share of the volume that is material, u: direction of the axis
//
// Result [kg], [m], [kg m²] about its own centre; negative for a void, so that mount.Join takes it away.
// Source: moments of inertia of homogeneous solids; DEFINITION.
func (s *Solid) Body() mount.Body {
	b := mount.Body{Name: s.Name}
	ρ := s.Density * s.Fill
	if s.Void {
		ρ = -ρ
	}
	if s.Kind == Tube {
		axis := r3.Sub(s.B, s.A)
		l := r3.Norm(axis)
		squares := s.Outer*s.Outer + s.Inner*s.Inner
		b.Mass = ρ * math.Pi * (s.Outer*s.Outer - s.Inner*s.Inner) * l
		b.Centre = r3.Scale(0.5, r3.Add(s.A, s.B))
		along, across := b.Mass*squares/2, b.Mass*(3*squares+l*l)/12
		u := [3]float64{}
		if l > 0 {
			u = [3]float64{axis.X / l, axis.Y / l, axis.Z / l}
		}
		for i := range 3 {
			for k := range 3 {
				b.Inertia[i][k] = (along - across) * u[i] * u[k]
			}
			b.Inertia[i][i] += across
		}
		return b
	}
	l := s.To - s.From
	p := PolygonOf(s.Section)
	y, z := real(p.Centre), imag(p.Centre)
	yy, zz, yz := p.YY-y*y*p.Area, p.ZZ-z*z*p.Area, p.YZ-y*z*p.Area
	b.Mass = ρ * p.Area * l
	b.Centre = r3.Vec{X: (s.From + s.To) / 2, Y: y, Z: z}
	length := b.Mass * l * l / 12
	b.Inertia = mount.Tensor{
		{ρ * l * (yy + zz), 0, 0},
		{0, ρ*l*zz + length, -ρ * l * yz},
		{0, -ρ * l * yz, ρ*l*yy + length},
	}
	return b
}

// Extent returns the box that a solid just fits into.
//
//	tube: half-width along axis i  R √(1 − u_i²) beyond its ends
//
// Result: two opposite corners [m]. Definition.
func (s *Solid) Extent() (lo, hi r3.Vec) {
	if s.Kind == Tube {
		axis := r3.Sub(s.B, s.A)
		l := r3.Norm(axis)
		reach := func(component float64) float64 {
			if l < 1e-12 {
				return s.Outer
			}
			return s.Outer * math.Sqrt(max(0, 1-(component/l)*(component/l)))
		}
		d := r3.Vec{X: reach(axis.X), Y: reach(axis.Y), Z: reach(axis.Z)}
		return r3.Sub(least(s.A, s.B), d), r3.Add(most(s.A, s.B), d)
	}
	lo, hi = r3.Vec{X: s.From, Y: math.Inf(1), Z: math.Inf(1)}, r3.Vec{X: s.To, Y: math.Inf(-1), Z: math.Inf(-1)}
	for _, c := range s.Section {
		lo = least(lo, r3.Vec{X: s.From, Y: real(c), Z: imag(c)})
		hi = most(hi, r3.Vec{X: s.To, Y: real(c), Z: imag(c)})
	}
	return lo, hi
}

func least(a, b r3.Vec) r3.Vec {
	return r3.Vec{X: min(a.X, b.X), Y: min(a.Y, b.Y), Z: min(a.Z, b.Z)}
}

func most(a, b r3.Vec) r3.Vec {
	return r3.Vec{X: max(a.X, b.X), Y: max(a.Y, b.Y), Z: max(a.Z, b.Z)}
}

// Mirrored returns the mirror image of a solid, y → −y [m]. Definition.
func (s Solid) Mirrored() Solid {
	s.Section = slices.Clone(s.Section)
	for i, c := range s.Section {
		s.Section[i] = complex(-real(c), imag(c))
	}
	s.A.Y, s.B.Y = -s.A.Y, -s.B.Y
	return s
}

// Spread returns the mean over a revolution of a body that turns about the crank axis.
//
//	c = (c_x, 0, 0)    J_x' = J_x + m (c_y² + c_z²)    J_y' = J_z' = ½ (J_y + J_z + m (c_y² + c_z²))
//
// with
//   - b: at one crank angle [kg], [m], [kg m²] about its centre
//
// Result [kg m²], no products: what a rigid engine feels on the mean. Definition.
func Spread(b mount.Body) mount.Body {
	out := b.Mass * (b.Centre.Y*b.Centre.Y + b.Centre.Z*b.Centre.Z)
	across := (b.Inertia[1][1] + b.Inertia[2][2] + out) / 2
	return mount.Body{
		Name: b.Name, Mass: b.Mass, Centre: r3.Vec{X: b.Centre.X},
		Inertia: mount.Tensor{{b.Inertia[0][0] + out, 0, 0}, {0, across, 0}, {0, 0, across}},
	}
}

// cut returns the part of a polygon on the side of a line to which a direction points.
func cut(corners []complex128, through, towards complex128) []complex128 {
	side := func(p complex128) float64 {
		d := p - through
		return real(d)*real(towards) + imag(d)*imag(towards)
	}
	var out []complex128
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		sa, sb := side(a), side(b)
		if sa >= 0 {
			out = append(out, a)
		}
		if sa >= 0 != (sb >= 0) {
			out = append(out, a+(b-a)*complex(sa/(sa-sb), 0))
		}
	}
	return out
}

// hull returns the convex hull of points, anticlockwise in y–z.
func hull(points []complex128) []complex128 {
	p := slices.Clone(points)
	slices.SortFunc(p, func(a, b complex128) int {
		return cmp.Or(cmp.Compare(real(a), real(b)), cmp.Compare(imag(a), imag(b)))
	})
	p = slices.Compact(p)
	if len(p) < 3 {
		return p
	}
	turn := func(a, b, c complex128) float64 {
		return real(b-a)*imag(c-a) - imag(b-a)*real(c-a)
	}
	var out []complex128
	for pass := range 2 {
		start := len(out)
		for _, q := range p {
			for len(out) >= start+2 && turn(out[len(out)-2], out[len(out)-1], q) <= 0 {
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

// circleCorners is the number of corners of a polygon that stands for a circle of the same area.
const circleCorners = 48

// round returns a polygon of the same area as a circle.
func round(centre complex128, radius float64) []complex128 {
	const n = circleCorners
	r := radius * math.Sqrt(2*math.Pi/(n*math.Sin(2*math.Pi/n)))
	out := make([]complex128, n)
	for i := range out {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / n)
		out[i] = centre + complex(r*cos, r*sin)
	}
	return out
}
