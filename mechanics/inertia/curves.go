package inertia

import (
	"math/cmplx"

	"crankwright/num"
)

// Curves are time histories over two revolutions at equal crank angles, the samples of a num.Grid.
type Curves struct {
	ForceY, ForceZ   []float64 // shaking force [N]
	MomentY, MomentZ []float64 // shaking moment about y and z [N m]
	Torque           []float64 // inertia torque on the crank [N m]
	Roll             []float64 // roll moment on the block about +x [N m]
}

// Curves evaluates a balance at every angle of a grid.
//
//   - dst: receives the result; its slices are reused where they are long enough; nil allocates
//   - b: a balance per ω²
//   - grid: crank angles over two revolutions
//   - ω: crank speed [rad/s]
//
// Result [N] and [N m]. No sine or cosine is computed and, with a used dst, nothing is allocated.
// Definition.
func (s *Solver) Curves(dst *Curves, b *Balance, grid *num.Grid, ω float64) *Curves {
	if dst == nil {
		dst = &Curves{}
	}
	for q := range curves {
		to := dst.at(q)
		*to = s.sample(*to, b, q, grid, ω*ω)
	}
	return dst
}

// curve names one of the curves.
type curve int

// The curves.
const (
	forceY curve = iota
	forceZ
	momentY
	momentZ
	torque
	roll
	curves // how many there are
)

func (c *Curves) at(q curve) *[]float64 {
	switch q {
	case forceY:
		return &c.ForceY
	case forceZ:
		return &c.ForceZ
	case momentY:
		return &c.MomentY
	case momentZ:
		return &c.MomentZ
	case torque:
		return &c.Torque
	default:
		return &c.Roll
	}
}

// quantity returns the place of a curve's quantity among force, moment, torque and roll moment.
func (q curve) quantity() int {
	if q < torque {
		return int(q) / 2
	}
	return int(q-torque) + 2
}

// turned returns what i e^{iβ} becomes where a curve of force or moment is the real part of it times a force along the cylinders,
// less the imaginary part times a force across them: Z is Y of −i w, and a moment is i x times a force.
func (q curve) turned(place complex128) complex128 {
	switch q {
	case forceZ:
		return complex(imag(place), -real(place))
	case momentY:
		return complex(-imag(place), real(place))
	default:
		return place
	}
}

// sample evaluates a curve from its orders.
func (s *Solver) sample(dst []float64, b *Balance, q curve, grid *num.Grid, square float64) []float64 {
	series := b.Torque
	switch q {
	case forceY:
		s.series = b.Force.Y(s.series)
		series = s.series
	case forceZ:
		s.series = b.Force.Z(s.series)
		series = s.series
	case momentY:
		s.series = b.Moment.Y(s.series)
		series = s.series
	case momentZ:
		s.series = b.Moment.Z(s.series)
		series = s.series
	case roll:
		series = b.Roll
	}
	return grid.Scaled(dst, series, square)
}

// order returns what stands in the series of a curve of force or moment, by half orders; see num.Orbit's Y and Z.
func (b *Balance) order(q curve, k int) complex128 {
	orbit := &b.Force
	if q == momentY || q == momentZ {
		orbit = &b.Moment
	}
	plus, minus := orbit.With[k], cmplx.Conj(orbit.Against[k])
	if orbit.Reversed {
		plus, minus = orbit.Against[k], cmplx.Conj(orbit.With[k])
	}
	if q == forceY || q == momentY {
		return plus + minus
	}
	d := plus - minus
	return complex(imag(d), -real(d))
}

// rests reports whether a curve of force or moment that has no half orders nor the first one is zero.
func (b *Balance) rests(q curve) bool {
	for k := 4; k < len(b.Torque); k += 2 {
		if b.order(q, k) != 0 {
			return false
		}
	}
	return true
}

// Peaks are the largest values over the cycle, refined between samples.
type Peaks struct {
	Force  float64 // largest resultant force [N]
	Moment float64 // largest resultant moment about y and z [N m]
	Torque float64 // largest magnitude of the inertia torque [N m]
	Roll   float64 // largest magnitude of the roll moment [N m]

	ForceAt, MomentAt, TorqueAt, RollAt num.Angle // crank angles where they occur [rad]
}

// PeaksOf returns the largest values of a balance over the cycle.
//
//   - b: a balance per ω²
//   - c: its curves at the speed ω
//   - ω: crank speed [rad/s], greater than zero
//
// Result [N] and [N m]. The best sample is refined on the harmonics, so the values do not depend on
// the grid. Definition.
func PeaksOf(b *Balance, c *Curves, ω float64) Peaks {
	var p Peaks
	square := ω * ω
	p.Force, p.ForceAt = b.Force.Peak(c.ForceY, c.ForceZ)
	p.Moment, p.MomentAt = b.Moment.Peak(c.MomentY, c.MomentZ)
	p.Torque, p.TorqueAt = b.Torque.Peak(c.Torque)
	p.Roll, p.RollAt = b.Roll.Peak(c.Roll)
	p.Force, p.Moment, p.Torque, p.Roll = p.Force*square, p.Moment*square, p.Torque*square, p.Roll*square
	return p
}
