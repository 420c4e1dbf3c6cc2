package layout

import (
	"fmt"
	"math"

	"crankwright/num"
)

// Mounting says how an engine stands on its mounts, what is bolted to it, and who feels it. A value of zero is unknown,
// unless its comment says otherwise.
type Mounting struct {
	Engine    Lump // the engine as it was weighed; without mass: from its parts
	Gearbox   Lump // what is bolted to the drive end and swings with the engine; without mass: nothing
	Isolators []Isolator
	Exposure  float64 // a day of those who feel it [s]
	Receivers []Receiver
}

// Lump is a rigid body of which mass, centre of gravity and inertia are known.
type Lump struct {
	Mass    float64    // [kg]
	X, Y, Z float64    // centre of gravity [m]; 0 is a value
	Inertia [6]float64 // about the centre of gravity: xx, yy, zz, and the entries xy, xz, yz of the tensor [kg m²]
}

// Isolator is a resilient mount.
type Isolator struct {
	Name      string
	X, Y, Z   float64    // place of its elastic centre [m]; 0 is a value
	Lean      num.Angle  // of its third axis from +z about +x [rad]; 0 is a value
	Stiffness [3]float64 // along its axes [N/m]; the first lies along x
	Loss      float64    // loss factor [1]; 0 is a value
}

// Receiver is a place at which somebody feels the engine.
type Receiver struct {
	Name     string
	Touch    Touch
	On       Carrier
	X, Y, Z  float64 // of the place, where it is on the engine or on a structure that is a rigid body [m]; 0 is a value
	Mass     float64 // of a structure that is a rigid body [kg]
	Mobility float64 // velocity of the place over the force of a mount on the structure [m/(N s)]
}

// Touch is the part of a person that feels a vibration.
type Touch string

// The parts of a person for which there are published weightings.
const (
	BySeat Touch = "seat"
	ByFeet Touch = "feet"
	ByHand Touch = "hand"
)

// Carrier is what a person touches.
type Carrier string

// The carriers: the engine itself, and the structure on which the mounts stand.
const (
	OnEngine    Carrier = "engine"
	OnStructure Carrier = "structure"
)

// Limits of mounts and what stands on them. Definition: beyond what engines have, so that a wrong unit is told from a mount.
const (
	MaxLumpMass   = 1e7  // [kg]
	MaxIsolator   = 1e12 // stiffness [N/m]
	MaxLossFactor = 2.0
	MaxMobility   = 10.0 // [m/(N s)]
	MaxIsolators  = 60
	MaxReceivers  = 60
	MaxMountPlace = 100.0 // distance of a mount or place from the origin along each axis [m]
)

// mounting checks what the file says of mounts and people; zero is unknown.
func (v *validator) mounting() {
	m := &v.t.Mounting
	within := func(where string, x, lo, hi float64, limit, unit string) {
		if !(x >= lo && x <= hi) {
			v.fail(where, limit, "the value is %.4g%s", x, unit)
		}
	}
	place := func(where string, x, y, z float64) {
		for i, c := range [3]float64{x, y, z} {
			within(where+[3]string{".at", ".y", ".z"}[i], c, -MaxMountPlace, MaxMountPlace, "it must lie within 100 m of the origin", " m")
		}
	}
	for _, l := range []struct {
		where string
		of    *Lump
	}{{"mounts.engine", &m.Engine}, {"mounts.gearbox", &m.Gearbox}} {
		within(l.where+".mass", l.of.Mass, 0, MaxLumpMass, "it must lie between 0 and 10000 t, such as 45 kg", " kg")
		place(l.where, l.of.X, l.of.Y, l.of.Z)
		for i, x := range l.of.Inertia {
			where := l.where + ".inertia." + [6]string{"xx", "yy", "zz", "xy", "xz", "yz"}[i]
			if i < 3 {
				within(where, x, 0, MaxPart, "it must lie between 0 and 1e6 kg m2, such as 0.6 kg m2", " kg m2")
			} else {
				within(where, x, -MaxPart, MaxPart, "a product of inertia lies between those of the axes, such as -0.1 kg m2", " kg m2")
			}
		}
		if l.of.Mass > 0 {
			v.lump(l.where, l.of)
		}
	}
	if n := len(m.Isolators); n > MaxIsolators {
		v.fail("mounts.isolators", fmt.Sprintf("%d is the most", MaxIsolators), "there are %d isolators", n)
	}
	mounts, people := map[string]int{}, map[string]int{}
	for i := range m.Isolators {
		s, where := &m.Isolators[i], fmt.Sprintf("mounts.isolators[%d]", i)
		v.unique(mounts, where, s.Name, i)
		place(where, s.X, s.Y, s.Z)
		if !(math.Abs(float64(s.Lean)) <= 2*math.Pi) {
			v.fail(where+".lean", "it must lie between -360 and 360 deg", "the value is %.4g deg", s.Lean.Deg())
		}
		most := 0.0
		for a, k := range s.Stiffness {
			within(where+".stiffness."+[3]string{"x", "y", "z"}[a], k, 0, MaxIsolator, "it must lie between 0 and 1e6 kN/mm, such as 0.3 kN/mm", " N/m")
			most = max(most, k)
		}
		if most == 0 {
			v.fail(where+".stiffness", "give it, such as {x: 0.2 kN/mm, y: 0.2 kN/mm, z: 0.5 kN/mm}", "%s holds nothing", s.Name)
		}
		within(where+".loss_factor", s.Loss, 0, MaxLossFactor, "it must lie between 0 and 2, such as 0.1", "")
	}
	const hour = 3600
	within("people.exposure", m.Exposure/hour, 0, 24, "a day has 24 h; give the time of a working day, such as 4 h", " h")
	if n := len(m.Receivers); n > MaxReceivers {
		v.fail("people.points", fmt.Sprintf("%d is the most", MaxReceivers), "there are %d points", n)
	}
	for i := range m.Receivers {
		r, where := &m.Receivers[i], fmt.Sprintf("people.points[%d]", i)
		v.unique(people, where, r.Name, i)
		place(where, r.X, r.Y, r.Z)
		within(where+".mass", r.Mass, 0, MaxLumpMass, "it must lie between 0 and 10000 t, such as 4000 kg", " kg")
		within(where+".mobility", r.Mobility, 0, MaxMobility, "it must lie between 0 and 10 m/N s, such as 1e-5 m/N s", " m/N s")
		switch {
		case r.Touch != BySeat && r.Touch != ByFeet && r.Touch != ByHand:
			v.fail(where+".felt_by", "seat, feet or hand is needed", "the value is %q", string(r.Touch))
		case r.On != OnEngine && r.On != OnStructure:
			v.fail(where+".on", "engine or structure is needed", "the value is %q", string(r.On))
		case r.On == OnEngine && (r.Mass != 0 || r.Mobility != 0):
			v.fail(where, "leave mass and mobility out, or give on: structure", "%s is on the engine, which needs neither mass nor mobility", r.Name)
		case r.On == OnStructure && (r.Mass == 0) == (r.Mobility == 0):
			v.fail(where, "give either the mass of a rigid structure, such as mass: 4000 kg, or its mobility, such as mobility: 1e-5 m/N s",
				"how the structure under %s answers a force is not told, or told twice", r.Name)
		}
	}
}

// lump checks that a weighed body can exist: no moment of inertia above the sum of the others, products no larger than
// the axes allow.
func (v *validator) lump(where string, l *Lump) {
	j := l.Inertia
	for i := range 3 {
		if !(j[i] > 0) {
			v.fail(where+".inertia", "give the moments of inertia about its centre of gravity, such as {xx: 0.6 kg m2, yy: 1.2 kg m2, zz: 1.1 kg m2}", "a body of %.4g kg has a moment of inertia of %g", l.Mass, j[i])
			return
		}
	}
	// the matrix of second moments ½ tr(J) 1 − J must be positive semidefinite: leading minors and determinant
	h := (j[0] + j[1] + j[2]) / 2
	a, b, c, d, e, f := h-j[0], h-j[1], h-j[2], -j[3], -j[4], -j[5]
	det := a*(b*c-f*f) - d*(d*c-f*e) + e*(d*f-b*e)
	least := -1e-9 * h
	if a < least || b < least || c < least || a*b-d*d < least*h || a*c-e*e < least*h || b*c-f*f < least*h || det < least*h*h {
		v.fail(where+".inertia", "no principal moment can be above the sum of the others; hold the numbers against the drawing", "no rigid body has the moments of inertia %.4g, %.4g, %.4g kg m2 with these products", j[0], j[1], j[2])
	}
}
