package inertia

import "crankwright/num"

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
	square := ω * ω
	sample := func(to *[]float64, q num.Series) { *to = grid.Scaled(*to, q, square) }
	s.series = b.Force.Y(s.series)
	sample(&dst.ForceY, s.series)
	s.series = b.Force.Z(s.series)
	sample(&dst.ForceZ, s.series)
	s.series = b.Moment.Y(s.series)
	sample(&dst.MomentY, s.series)
	s.series = b.Moment.Z(s.series)
	sample(&dst.MomentZ, s.series)
	sample(&dst.Torque, b.Torque)
	sample(&dst.Roll, b.Roll)
	return dst
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
