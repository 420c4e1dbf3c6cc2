package motion

import (
	"math"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Linkage is all that the motion of one cylinder depends on.
type Linkage struct {
	Radius float64 // crank radius [m]
	Length float64 // rod length [m]; of a linked rod from knuckle pin to piston pin
	Offset float64 // piston pin's path from the crank axis [m]

	Linked       bool
	MasterLength float64   // [m]
	MasterOffset float64   // [m]
	Knuckle      float64   // knuckle radius [m]
	KnuckleAngle num.Angle // [rad]
	Lean         num.Angle // axis of this cylinder from the master's, about +x [rad]
}

// LinkageOf returns the linkage of one cylinder of a valid train, and the two angles that place it:
// its base axis and its phase.
//
//   - i: index of the cylinder
//
// Results: lengths [m]; the axis of the frame in which the crankpin moves [rad] (the master's for a
// linked rod, else the cylinder's own); the phase φ − θ [rad] of the crank in that frame.
// Definition.
func LinkageOf(t *layout.Train, i int) (k Linkage, axis, phase num.Angle) {
	c := &t.Cylinders[i]
	throw := &t.Throws[c.Throw]
	k = Linkage{Radius: throw.Radius, Length: c.Rod.Length, Offset: c.Offset + c.Piston.PinOffset}
	axis = c.Axis
	if c.Rod.Linked {
		m := &t.Cylinders[c.Rod.Master]
		k.Linked = true
		k.MasterLength, k.MasterOffset = m.Rod.Length, m.Offset+m.Piston.PinOffset
		k.Knuckle, k.KnuckleAngle = c.Rod.KnuckleRadius, c.Rod.KnuckleAngle
		k.Lean = c.Axis - m.Axis
		axis = m.Axis
	}
	return k, axis, throw.Angle - axis
}

// State is where the moving parts of one cylinder are, in that cylinder's own frame.
type State struct {
	Pin    Point // the driving pin: crankpin or knuckle pin
	Piston Point // the piston pin
	Rod    Rod
}

// At returns the state of the linkage at one crank angle.
//
//   - φ: crank angle from the position in which the throw points along the base axis, that of the
//     cylinder or of its master [rad], any value
//
// Result [m] with derivatives; ErrReach where the rod cannot reach. Accuracy: closed form, rounding
// only. Source: KOEHLER, TAYLOR2; see Drive and Knuckle.
func (k Linkage) At(φ num.Angle) (State, error) {
	return k.atPin(Crankpin(φ, k.Radius), (-k.Lean).Unit())
}

// atPin is At with the crankpin and the turning into the cylinder's frame already known.
func (k Linkage) atPin(pin Point, turn complex128) (State, error) {
	if k.Linked {
		_, master, err := Drive(pin, k.MasterLength, k.MasterOffset)
		if err != nil {
			return State{}, err
		}
		p := Knuckle(pin, master, k.Knuckle, k.KnuckleAngle)
		pin = Point{Pos: turn * p.Pos, Vel: turn * p.Vel, Acc: turn * p.Acc}
	}
	piston, rod, err := Drive(pin, k.Length, k.Offset)
	return State{Pin: pin, Piston: piston, Rod: rod}, err
}

// Sampler evaluates a linkage at crank angles whose sine and cosine are known, for tables and
// transforms.
type Sampler struct {
	k    Linkage
	turn complex128
}

// Sampler returns a sampler of the linkage [-]. Definition.
func (k Linkage) Sampler() Sampler { return Sampler{k: k, turn: (-k.Lean).Unit()} }

// At returns the state for a crank direction.
//
//   - unit: e^{iφ} [1]
//
// Result [m] with derivatives; ErrReach where the rod cannot reach. Definition.
func (s Sampler) At(unit complex128) (State, error) {
	return s.k.atPin(circling(complex(s.k.Radius, 0)*unit), s.turn)
}

// Velocity returns the piston velocity along the cylinder axis at constant crank speed.
//
//	v = ω s'(φ)
//
// with
//   - φ: crank angle [rad], as in At
//   - ω: crank speed [rad/s]
//
// Result [m/s], positive outwards, towards top dead centre. Source: KOEHLER, see Drive.
func (k Linkage) Velocity(φ num.Angle, ω float64) (float64, error) {
	s, err := k.At(φ)
	return ω * real(s.Piston.Vel), err
}

// Acceleration returns the piston acceleration along the cylinder axis at constant crank speed.
//
//	a = ω² s''(φ)
//
// with
//   - φ: crank angle [rad], as in At
//   - ω: crank speed [rad/s]
//
// Result [m/s²], positive outwards: about −rω²(1 + r/l) at top dead centre. Source: KOEHLER, see
// Drive.
func (k Linkage) Acceleration(φ num.Angle, ω float64) (float64, error) {
	s, err := k.At(φ)
	return ω * ω * real(s.Piston.Acc), err
}

// DeadCentres returns the crank angles at which the piston stands furthest out and furthest in.
//
// Plain rod:
//
//	φ_top = asin(e/(l + r))   φ_bottom = π + asin(e/(l − r))
//
// A linked rod's are found by bisection on s' and good to 1e-14 rad.
//
// Results [rad], in [0, 2π), as in At; ErrReach where the rod cannot reach. Source: KOEHLER, offset
// slider-crank.
func (k Linkage) DeadCentres() (top, bottom num.Angle, err error) {
	if !k.Linked {
		if k.Length <= k.Radius+math.Abs(k.Offset) {
			return 0, 0, ErrReach
		}
		top = num.Angle(math.Asin(k.Offset / (k.Length + k.Radius)))
		bottom = num.Turn/2 + num.Angle(math.Asin(k.Offset/(k.Length-k.Radius)))
		return top.Wrap(num.Turn), bottom.Wrap(num.Turn), nil
	}
	const steps = 360
	best, worst := 0, 0
	var most, least float64
	for j := range steps {
		s, err := k.At(num.Turn * num.Angle(j) / steps)
		if err != nil {
			return 0, 0, err
		}
		x := real(s.Piston.Pos)
		if j == 0 || x > most {
			best, most = j, x
		}
		if j == 0 || x < least {
			worst, least = j, x
		}
	}
	return k.turningPoint(best, steps), k.turningPoint(worst, steps), nil
}

// turningPoint bisects s' between the neighbours of sample j.
func (k Linkage) turningPoint(j, steps int) num.Angle {
	slope := func(φ num.Angle) float64 {
		s, _ := k.At(φ) // reach was checked at every sample
		return real(s.Piston.Vel)
	}
	h := num.Turn / num.Angle(steps)
	return bisect(slope, h*num.Angle(j-1), h*num.Angle(j+1)).Wrap(num.Turn)
}

// bisect returns where f changes sign between lo and hi.
func bisect(f func(num.Angle) float64, lo, hi num.Angle) num.Angle {
	rising := f(lo) > 0
	for hi-lo > 1e-15 {
		mid := (lo + hi) / 2
		if mid == lo || mid == hi {
			break
		}
		if (f(mid) > 0) == rising {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

// Stroke returns the distance between the piston's two dead centres.
//
//	plain rod: √((l + r)² − e²) − √((l − r)² − e²)
//
// Result [m]; ErrReach where the rod cannot reach. Source: KOEHLER, offset slider-crank.
func (k Linkage) Stroke() (float64, error) {
	top, bottom, err := k.DeadCentres()
	if err != nil {
		return 0, err
	}
	a, err := k.At(top)
	if err != nil {
		return 0, err
	}
	b, err := k.At(bottom)
	return real(a.Piston.Pos) - real(b.Piston.Pos), err
}

// TopDeadCentre returns the crank angle at which the piston of a cylinder stands furthest out.
//
//   - t: a valid train
//   - i: index of the cylinder
//
// Result θ [rad], in [0, 2π); ErrReach where the rod cannot reach. Source: DEFINITION, from the
// geometry alone; see DeadCentres.
func TopDeadCentre(t *layout.Train, i int) (num.Angle, error) {
	k, _, phase := LinkageOf(t, i)
	top, _, err := k.DeadCentres()
	return (top - phase).Wrap(num.Turn), err
}

// PeakSpeed returns the largest piston speed per crank speed.
//
//	max |s'(φ)|
//
// Result [m/rad]; multiply by ω for m/s. Found on a grid of one degree and refined by bisection on
// the acceleration. ErrReach where the rod cannot reach. Definition.
func (k Linkage) PeakSpeed() (float64, error) {
	const steps = 360
	h := num.Turn / steps
	var best float64
	at := num.Angle(0)
	for j := range steps {
		s, err := k.At(h * num.Angle(j))
		if err != nil {
			return 0, err
		}
		if v := math.Abs(real(s.Piston.Vel)); v > best {
			best, at = v, h*num.Angle(j)
		}
	}
	acceleration := func(φ num.Angle) float64 {
		s, _ := k.At(φ) // reach was checked at every sample
		return real(s.Piston.Acc)
	}
	s, _ := k.At(bisect(acceleration, at-h, at+h))
	return math.Max(best, math.Abs(real(s.Piston.Vel))), nil
}
