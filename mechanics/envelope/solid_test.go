package envelope

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"crankwright/mechanics/mount"
)

type complainer interface {
	Helper()
	Errorf(format string, args ...any)
}

func near(t complainer, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol*math.Max(1, math.Abs(want))) {
		t.Errorf("%s is %.12g, want %.12g", what, got, want)
	}
}

func sameBody(t testing.TB, what string, a, b mount.Body, tol float64) {
	t.Helper()
	size := math.Abs(b.Inertia[0][0]) + math.Abs(b.Inertia[1][1]) + math.Abs(b.Inertia[2][2])
	if math.Abs(a.Mass-b.Mass) > tol*math.Abs(b.Mass) || r3.Norm(r3.Sub(a.Centre, b.Centre)) > tol*(1+r3.Norm(b.Centre)) {
		t.Errorf("%s: mass %g at %v, want %g at %v", what, a.Mass, a.Centre, b.Mass, b.Centre)
	}
	for i := range 3 {
		for k := range 3 {
			if math.Abs(a.Inertia[i][k]-b.Inertia[i][k]) > tol*size {
				t.Errorf("%s: inertia %d%d is %g, want %g", what, i, k, a.Inertia[i][k], b.Inertia[i][k])
			}
		}
	}
}

// Boxes and tubes along x agree with the closed forms of package mount: homogeneous solids, common practice.
func TestSolidsAgainstClosedForms(t *testing.T) {
	box := Box(r3.Vec{X: 0.1, Y: -0.3, Z: 0.2}, r3.Vec{X: 0.5, Y: 0.1, Z: 0.9})
	box.Density = 2700
	sameBody(t, "box", box.Body(), mount.Cuboid(2700*0.4*0.4*0.7, r3.Vec{X: 0.3, Y: -0.1, Z: 0.55}, r3.Vec{X: 0.4, Y: 0.4, Z: 0.7}), 1e-12)
	tube := alongX(CrankPart, "", 0.2, 0.7, complex(0.1, -0.2), 0.06, 0.02, 7850)
	sameBody(t, "tube", tube.Body(), mount.Cylinder(7850*math.Pi*(0.0036-0.0004)*0.5, r3.Vec{X: 0.45, Y: 0.1, Z: -0.2}, 0.06, 0.02, 0.5), 1e-12)
	// a right triangle with legs a along y and b along z: Jx about its centroid is m (a² + b²)/18, the product m a b/36
	const a, b, l, ρ = 0.3, 0.2, 0.5, 1000.0
	m := ρ * a * b / 2 * l
	wedge := prism(BlockPart, "", 0, l, []complex128{0, complex(a, 0), complex(0, b)}, ρ).asBody()
	near(t, "mass of a wedge", wedge.Mass, m, 1e-12)
	near(t, "its centroid", wedge.Centre.Y, a/3, 1e-12)
	near(t, "its Jx", wedge.Inertia[0][0], m*(a*a+b*b)/18, 1e-12)
	near(t, "its product", wedge.Inertia[1][2], m*a*b/36, 1e-12) // −∫ y z dm of a triangle is positive
	near(t, "its Jy", wedge.Inertia[1][1], m*b*b/18+m*l*l/12, 1e-12)
}

func (s Solid) asBody() mount.Body { return s.Body() }

// A polygon's moments against a sum over a fine grid of points inside it, which knows nothing of Green's theorem.
func TestPolygonAgainstGrid(t *testing.T) {
	shape := []complex128{complex(0.1, 0.1), complex(0.9, 0.2), complex(0.7, 0.5), complex(1.0, 0.9), complex(0.3, 0.8), complex(0.4, 0.45)}
	inside := func(y, z float64) bool {
		in := false
		for i, a := range shape {
			b := shape[(i+1)%len(shape)]
			if (imag(a) > z) != (imag(b) > z) && y < real(a)+(z-imag(a))/(imag(b)-imag(a))*real(b-a) {
				in = !in
			}
		}
		return in
	}
	const n = 1500
	var area, my, mz, yy, zz, yz float64
	for i := range n {
		for k := range n {
			y, z := (float64(i)+0.5)/n, (float64(k)+0.5)/n
			if inside(y, z) {
				area++
				my, mz, yy, zz, yz = my+y, mz+z, yy+y*y, zz+z*z, yz+y*z
			}
		}
	}
	p := PolygonOf(shape)
	const cell = 1.0 / n / n
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"area", p.Area, area * cell},
		{"y", real(p.Centre), my / area},
		{"z", imag(p.Centre), mz / area},
		{"∫y²", p.YY, yy * cell},
		{"∫z²", p.ZZ, zz * cell},
		{"∫yz", p.YZ, yz * cell},
	} {
		near(t, c.what, c.got, c.want, 3e-4)
	}
	reversed := PolygonOf([]complex128{shape[5], shape[4], shape[3], shape[2], shape[1], shape[0]})
	near(t, "area the other way round", reversed.Area, p.Area, 1e-12)
	near(t, "product the other way round", reversed.YZ, p.YZ, 1e-12)
}

// A tube in any direction is a turned tube: its principal moments are those of the one along x, and its axis is a principal one.
func TestTubesTurn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		outer := f("outer", 0.01, 0.2)
		s := Solid{Kind: Tube, Density: 7850, Fill: 1, Outer: outer, Inner: outer * f("inner", 0, 0.9)}
		s.A = r3.Vec{X: f("ax", -1, 1), Y: f("ay", -1, 1), Z: f("az", -1, 1)}
		s.B = r3.Vec{X: f("bx", -1, 1), Y: f("by", -1, 1), Z: f("bz", -1, 1)}
		l := r3.Norm(r3.Sub(s.B, s.A))
		if l < 1e-3 {
			t.Skip("too short")
		}
		straight := alongX(CrankPart, "", 0, l, 0, s.Outer, s.Inner, 7850)
		a, b := s.Body(), straight.Body()
		near(t, "mass", a.Mass, b.Mass, 1e-12)
		pa, err := a.Inertia.Principal()
		if err != nil {
			t.Fatal(err)
		}
		pb, err := b.Inertia.Principal()
		if err != nil {
			t.Fatal(err)
		}
		for i := range pa {
			near(t, "principal moment", pa[i]/b.Mass, pb[i]/b.Mass, 1e-10)
		}
		u := r3.Unit(r3.Sub(s.B, s.A))
		along := 0.0
		for i, x := range []float64{u.X, u.Y, u.Z} {
			for k, y := range []float64{u.X, u.Y, u.Z} {
				along += x * a.Inertia[i][k] * y
			}
		}
		near(t, "moment about the axis", along/b.Mass, b.Inertia[0][0]/b.Mass, 1e-10)
		lo, hi := s.Extent()
		if lo.X > hi.X || hi.X-lo.X > l+2*s.Outer {
			t.Errorf("extent %v to %v", lo, hi)
		}
	})
}

// A ring as a disc less a hole, a mirrored solid, and a body spread over a revolution against the sum of its places.
func TestVoidsMirrorsAndSpread(t *testing.T) {
	full := alongX(CrankPart, "", 0, 0.1, complex(0.2, 0.1), 0.05, 0, 7850)
	hole := void(alongX(CrankPart, "", 0, 0.1, complex(0.2, 0.1), 0.02, 0, 7850))
	ring := alongX(CrankPart, "", 0, 0.1, complex(0.2, 0.1), 0.05, 0.02, 7850)
	sameBody(t, "ring", mount.Join(full.Body(), hole.Body()), ring.Body(), 1e-12)
	shape := prism(BlockPart, "", 0, 0.1, []complex128{0, complex(0.3, 0), complex(0.1, 0.4)}, 2700)
	a, b := shape.Body(), shape.Mirrored().asBody()
	if math.Abs(a.Centre.Y+b.Centre.Y) > 1e-12 || math.Abs(a.Inertia[1][2]+b.Inertia[1][2]) > 1e-12 || math.Abs(a.Inertia[0][0]-b.Inertia[0][0]) > 1e-12 {
		t.Errorf("%+v is no mirror image of %+v", b, a)
	}
	var turned []mount.Body
	const n = 90
	for k := range n {
		s := shape
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / n)
		s.Section = nil
		for _, c := range shape.Section {
			s.Section = append(s.Section, c*complex(cos, sin))
		}
		s.Density /= n
		turned = append(turned, s.Body())
	}
	sameBody(t, "spread", Spread(shape.Body()), mount.Join(turned...), 1e-10)
}

// Two squares apart, touching at a corner's height and meeting; two barrels apart and meeting.
func TestDistances(t *testing.T) {
	square := func(y, z, h float64) []complex128 {
		return []complex128{complex(y-h, z-h), complex(y+h, z-h), complex(y+h, z+h), complex(y-h, z+h)}
	}
	near(t, "side by side", Distance(square(0, 0, 1), square(3, 0.5, 1)), 1, 1e-12)
	near(t, "across a corner", Distance(square(0, 0, 1), square(5, 6, 1)), 5, 1e-12) // 3, 4, 5
	near(t, "meeting", Distance(square(0, 0, 1), square(1.5, 0.2, 1)), -0.5, 1e-12)
	bore := func(at, offset float64, axis complex128) *barrel {
		return &barrel{at: at, foot: 0.1, top: 0.2, axis: axis, offset: offset, diameter: 0.08}
	}
	near(t, "parallel bores", bore(0, 0, 1i).room(bore(0.1, 0, 1i)), 0.02, 1e-9)
	near(t, "parallel bores askew", bore(0, 0, 1i).room(bore(0.06, 0.08, 1i)), 0.02, 1e-9)
	// two bores that lean 90° from each other in one plane: their lower inner corners stand at 45°
	r := math.Sqrt2 * (0.1 - 0.04)
	near(t, "bores of a right-angled vee", bore(0, 0, complex(-1, 1)/complex(math.Sqrt2, 0)).room(bore(0, 0, complex(1, 1)/complex(math.Sqrt2, 0))), r, 1e-7)
	if room := bore(0, 0, 1i).room(bore(0.05, 0, 1i)); math.Abs(room+math.Sqrt(0.08*0.08-0.05*0.05)) > 1e-3 {
		t.Errorf("bores that meet: %g", room)
	}
}
