package independent

import (
	"fmt"
	"math"

	"crankwright/mechanics/inertia"
	"crankwright/num"
)

// Tolerance is the largest accepted deviation from Simbody, relative to the peak [1]. Definition:
// the project's promise is 1e-9; found is 3e-12 where all but 4e-5 of the force cancels (the evenly
// firing vee six), else below 2e-14, so this leaves room for other processors and none for a mistake.
const Tolerance = 1e-11

// NumericTolerance is the largest accepted deviation from the central differences of numeric.py,
// relative to the gross value [1]. Definition: second differences of double precision positions
// carry rounding of about 1e-16/h² = 2e-13 of every part's own share, and what cancels does not
// cancel the rounding; 3e-12 is found.
const NumericTolerance = 2e-11

// Limit returns the largest accepted difference between ours and a computation.
//
//	Simbody: Tolerance · scale   Numeric: NumericTolerance · gross
//
// with
//   - d: the deviation of one quantity
//
// Result [d.Unit]. Definition.
func (s Source) Limit(d Deviation) float64 {
	if s == Numeric {
		return NumericTolerance * d.Gross
	}
	return Tolerance * d.Scale()
}

// Ours computes an engine's curves with the package inertia at the crank angles of the raw output.
//
// Result [N] and [N m] at SamplesPerTurn·Turns equal angles; motion.ErrReach where a rod cannot
// reach. Definition.
func Ours(e Engine) (*inertia.Curves, error) {
	var s inertia.Solver
	var b inertia.Balance
	c := &inertia.Curves{}
	if err := s.Evaluate(&b, c, &e.Train, inertia.Options{}, num.NewGrid(2*SamplesPerTurn), e.Speed); err != nil {
		return nil, err
	}
	n := SamplesPerTurn * e.Turns()
	for _, x := range []*[]float64{&c.ForceY, &c.ForceZ, &c.MomentY, &c.MomentZ, &c.Torque, &c.Roll} {
		*x = (*x)[:n]
	}
	return c, nil
}

// Deviation is how far two computations of one quantity are apart over the cycle.
type Deviation struct {
	Quantity string  // force, moment, torque, roll
	Unit     string  // of the values
	Most     float64 // largest difference
	Peak     float64 // largest value of theirs
	Gross    float64 // what the parts would make together if nothing cancelled
}

// balanced is the share of the gross value below which a peak is the rounding of what cancels, and
// no measure of anything.
const balanced = 1e-10

// Scale returns what the deviation is measured against: the peak, or the gross value of a quantity
// that is zero (an opposed four has no free force).
//
// Result [d.Unit]. Definition.
func (d Deviation) Scale() float64 {
	if d.Peak < balanced*d.Gross {
		return d.Gross
	}
	return d.Peak
}

// Relative returns the deviation relative to its scale.
//
// Result [1]. Definition.
func (d Deviation) Relative() float64 { return d.Most / d.Scale() }

// Compare measures the difference of two sets of curves.
//
//	force, moment: max |Δw| and max |w|   torque, roll: max |Δq| and max |q|
//
// with
//   - ours, theirs: curves at the same crank angles [N], [N m]
//   - gross: what the parts would make together if nothing cancelled
//
// Result: one deviation each of force, moment, torque and roll. Definition.
func Compare(ours, theirs *inertia.Curves, gross Gross) []Deviation {
	plane := func(d Deviation, y, z, oy, oz []float64) Deviation {
		for j := range y {
			d.Peak = math.Max(d.Peak, math.Hypot(y[j], z[j]))
			d.Most = math.Max(d.Most, math.Hypot(y[j]-oy[j], z[j]-oz[j]))
		}
		return d
	}
	scalar := func(d Deviation, q, oq []float64) Deviation {
		none := make([]float64, len(q))
		return plane(d, q, none, oq, none)
	}
	return []Deviation{
		plane(Deviation{Quantity: "force", Unit: "N", Gross: gross.Force}, theirs.ForceY, theirs.ForceZ, ours.ForceY, ours.ForceZ),
		plane(Deviation{Quantity: "moment", Unit: "N m", Gross: gross.Moment}, theirs.MomentY, theirs.MomentZ, ours.MomentY, ours.MomentZ),
		scalar(Deviation{Quantity: "torque", Unit: "N m", Gross: gross.Torque}, theirs.Torque, ours.Torque),
		scalar(Deviation{Quantity: "roll", Unit: "N m", Gross: gross.Torque}, theirs.Roll, ours.Roll),
	}
}

// Gross is what the parts of an engine would make together if nothing cancelled.
type Gross struct {
	Force  float64 // [N]
	Moment float64 // [N m]
	Torque float64 // [N m]
}

// Gross estimates what the engine's parts would make if nothing cancelled.
//
//	F = ω² Σ m r   M = ω² Σ m r |x − x_ref|   T = ω² Σ m r²
//
// over pistons with their rods, throws, counterweights and balance shafts. Result [N] and [N m].
// Definition.
func (e Engine) Gross() Gross {
	var g Gross
	t, square := &e.Train, e.Speed*e.Speed
	add := func(amount, x float64) {
		g.Force += square * amount
		g.Moment += square * amount * math.Abs(x-t.Reference)
	}
	for _, c := range t.Cylinders {
		r, m := t.Throws[c.Throw].Radius, c.Piston.Mass+c.Rod.Mass
		add(m*r, c.At)
		g.Torque += square * m * r * r
	}
	for _, th := range t.Throws {
		add(th.Unbalance, th.At)
	}
	for _, c := range t.Counterweights {
		add(math.Abs(c.Amount), c.At)
	}
	for _, s := range t.Shafts {
		for _, m := range s.Masses {
			add(s.SpeedRatio*s.SpeedRatio*math.Abs(m.Amount), m.At)
		}
	}
	return g
}

// Against compares an engine's results with one of the committed computations.
//
//   - s: whose
//
// Result: one deviation each of force, moment, torque and roll. An error where the raw output is
// missing or damaged. Definition.
func (e Engine) Against(s Source) ([]Deviation, error) {
	raw, err := Committed(e.Stem, s)
	if err != nil {
		return nil, err
	}
	ours, err := Ours(e)
	if err != nil {
		return nil, err
	}
	if len(raw.Angle) != len(ours.Torque) {
		return nil, fmt.Errorf("independent: %s has %d crank angles, not %d: regenerate it with make independent",
			fileName(e.Stem, s), len(raw.Angle), len(ours.Torque))
	}
	return Compare(ours, &raw.Curves, e.Gross()), nil
}
