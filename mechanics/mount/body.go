package mount

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Tensor is a symmetric inertia tensor about axes x, y, z [kg m²]. Its products are entries of the tensor, −∫ x y dm and so
// on, not the integrals themselves.
type Tensor [3][3]float64

// Body is a rigid body.
type Body struct {
	Name    string
	Mass    float64 // [kg]
	Centre  r3.Vec  // of gravity [m]
	Inertia Tensor  // about the centre of gravity [kg m²]
}

// ErrBody is a body that cannot exist.
var ErrBody = errors.New("no rigid body")

// Check tells whether a body can exist: a positive mass, and an inertia tensor that is symmetric, positive definite, and
// whose principal moments obey the triangle inequality [kg], [kg m²]. Errors: ErrBody.
// Definition: I₁ + I₂ = I₃ + 2 ∫ x₃² dm, so that no principal moment is above the sum of the others.
func (b Body) Check() error {
	if !(b.Mass > 0) || math.IsInf(b.Mass, 0) {
		return fmt.Errorf("%w: %s has a mass of %g kg; it must be greater than 0", ErrBody, b.called(), b.Mass)
	}
	if !finite(b.Centre.X, b.Centre.Y, b.Centre.Z) {
		return fmt.Errorf("%w: the centre of gravity of %s is not finite", ErrBody, b.called())
	}
	j := b.Inertia
	for i := range j {
		for k := range j {
			if !finite(j[i][k]) || math.Abs(j[i][k]-j[k][i]) > 1e-9*(math.Abs(j[i][i])+math.Abs(j[k][k])) {
				return fmt.Errorf("%w: the inertia tensor of %s must be finite and symmetric", ErrBody, b.called())
			}
		}
	}
	principal, err := j.Principal()
	if err != nil {
		return err
	}
	if !(principal[0] > 0) || principal[2] > (principal[0]+principal[1])*(1+1e-9) {
		return fmt.Errorf("%w: the principal moments of inertia of %s are %.4g, %.4g and %.4g kg m2; each must be greater than 0 and at most the sum of the others",
			ErrBody, b.called(), principal[0], principal[1], principal[2])
	}
	return nil
}

func (b Body) called() string {
	if b.Name == "" {
		return "the body"
	}
	return b.Name
}

func finite(all ...float64) bool {
	for _, x := range all {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}

// Join returns several bodies bolted together as one.
//
//	m = Σ mᵢ      c = Σ mᵢ cᵢ/m      J = Σ ( Jᵢ + mᵢ (d² 1 − d dᵀ) ),  d = cᵢ − c
//
// with
//   - parts: their masses [kg], centres [m] and tensors [kg m²]; a part of no size may have an inertia of 0
//
// Result [kg], [m], [kg m²], named as the first part. Without parts, or without mass, it is the zero body.
// Source: theorem of parallel axes (Huygens and Steiner).
func Join(parts ...Body) Body {
	var all Body
	var moment r3.Vec
	for i, p := range parts {
		if i == 0 {
			all.Name = p.Name
		}
		all.Mass += p.Mass
		moment = r3.Add(moment, r3.Scale(p.Mass, p.Centre))
	}
	if all.Mass == 0 {
		return Body{}
	}
	all.Centre = r3.Scale(1/all.Mass, moment)
	for _, p := range parts {
		d := r3.Sub(p.Centre, all.Centre)
		e := [3]float64{d.X, d.Y, d.Z}
		for i := range 3 {
			for k := range 3 {
				all.Inertia[i][k] += p.Inertia[i][k] - p.Mass*e[i]*e[k]
			}
			all.Inertia[i][i] += p.Mass * r3.Norm2(d)
		}
	}
	return all
}

// Cuboid returns the body of a homogeneous block with edges along the axes.
//
//	Jx = m (b² + c²)/12, and so on
//
// with
//   - mass: [kg]
//   - centre: [m]
//   - edges: along x, y and z [m]
//
// Result [kg m²] about the centre. Source: moments of inertia of homogeneous solids, common practice.
func Cuboid(mass float64, centre, edges r3.Vec) Body {
	x, y, z := edges.X*edges.X, edges.Y*edges.Y, edges.Z*edges.Z
	return Body{Mass: mass, Centre: centre, Inertia: Tensor{{mass * (y + z) / 12, 0, 0}, {0, mass * (x + z) / 12, 0}, {0, 0, mass * (x + y) / 12}}}
}

// Cylinder returns the body of a homogeneous hollow cylinder whose axis is parallel to x.
//
//	Jx = m (ro² + ri²)/2      Jy = Jz = m (3 (ro² + ri²) + L²)/12
//
// with
//   - mass: [kg]
//   - centre: [m]
//   - outer, inner: radii [m]; inner 0 is a solid one
//   - length: along x [m]
//
// Result [kg m²] about the centre. Source: moments of inertia of homogeneous solids, common practice.
func Cylinder(mass float64, centre r3.Vec, outer, inner, length float64) Body {
	s := outer*outer + inner*inner
	across := mass * (3*s + length*length) / 12
	return Body{Mass: mass, Centre: centre, Inertia: Tensor{{mass * s / 2, 0, 0}, {0, across, 0}, {0, 0, across}}}
}
