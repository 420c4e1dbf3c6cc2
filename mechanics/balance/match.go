package balance

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"crankwright/mechanics/layout"
)

// WeighedPiston is a piston with its rings and pin, as the scales show it.
type WeighedPiston struct {
	ID   string
	Mass float64 // [kg]
}

// WeighedRod is a connecting rod weighed at its two eyes, each hung level from the other.
type WeighedRod struct {
	ID       string
	BigEnd   float64 // [kg]
	SmallEnd float64 // [kg]
}

// MatchMeasure says what a good assignment is: one in which
//
//	J = Σ_orders w_F (|W⁺|² + |W⁻|²) + w_M (|M⁺|² + |M⁻|²) / L²
//
// is least. Where both weights are 1 it is the mean square of the force over a revolution, the moment
// counted as a force at the arm L.
type MatchMeasure struct {
	Orders []int   // twice the orders, whole orders only; nil: 2 and 4
	Force  float64 // weight of the force [1]; both weights 0: both 1
	Moment float64 // weight of the moment [1]
	Length float64 // L [m]; 0: the radius of gyration of the cylinders' places about the reference
	// FromDrawn measures W and M less those of the train as it is: how far the parts take the engine from
	// what it was drawn for. For engines with a large order that no matching takes.
	FromDrawn bool
}

// MatchOptions say how hard is searched where the best cannot be proven, and how many assignments are drawn to
// compare with.
type MatchOptions struct {
	Seed     uint64 // of the random numbers
	Samples  int    // assignments drawn at random to compare with, up to 1,000,000; 0: 10,000
	Restarts int    // starting points of the search by exchanges, up to 10,000; 0: 50
}

// MostProven is the largest number of cylinders for which the best assignment is proven [1]. Definition:
// eight pistons stand in 40,320 ways, a set that fits in memory; nine would need 362,880.
const MostProven = 8

// Assignment is which part goes into which cylinder.
type Assignment struct {
	Pistons []int   // index of the piston of each cylinder; nil where no pistons were weighed
	Rods    []int   // index of the rod of each cylinder; nil where no rods were weighed
	J       float64 // the measure, per ω² squared [kg² m²]
}

// RMS returns the measure as a force, per ω² [kg m]: the root of J. Definition.
func (a Assignment) RMS() float64 { return math.Sqrt(a.J) }

// Matching is the best assignment of weighed parts and what it gains.
type Matching struct {
	Best     Assignment
	Proven   bool       // no assignment is better; otherwise no exchange of two parts makes it better
	Listed   Assignment // the parts as listed, the first in the first cylinder
	Mean     float64    // root of the mean of J over all assignments, exactly, per ω² [kg m]
	Random   Scatter    // the measure of assignments drawn at random, per ω² [kg m]; Nominal: of the train
	Measure  MatchMeasure
	parts    partsOf
	original *layout.Train
}

// partsOf are weighed parts.
type partsOf struct {
	pistons []WeighedPiston
	rods    []WeighedRod
}

// Match finds the assignment of weighed pistons and rods to cylinders that leaves the least residual.
//
//	J = ‖ C + Σ_c ( a_c p_{π(c)} ) + Σ_c ( a_c s_{σ(c)} + b_c b_{σ(c)} ) ‖²
//
// with
//   - t: a train that layout.Validate accepts; its counterweights and shafts stay
//   - pistons, rods: as many of each as cylinders, or none of a kind, which then stays as in the train [kg]
//   - measure: what a good assignment is
//   - opt: search and comparison
//
// C is what the rest of the train leaves, a_c and b_c the vectors of a kilogram at the piston pin and at
// the driving pin of cylinder c, p, s and b the weights of piston, small end and big end. Result per
// ω² [kg m]; up to MostProven cylinders the best of all assignments, see bestOf for the proof, beyond it
// one that no exchange of two parts improves. Of equal ones the first found. Errors: layout.Problems, a
// wrong number of parts, a weight that no part has, motion.ErrReach. Source: DEFINITION, the sums of
// package inertia are linear in the masses.
func Match(t *layout.Train, pistons []WeighedPiston, rods []WeighedRod, measure MatchMeasure, opt MatchOptions) (*Matching, error) {
	if err := layout.Validate(t); err != nil {
		return nil, err
	}
	if err := checkParts(t, pistons, rods); err != nil {
		return nil, err
	}
	measure, opt, err := checkedMeasure(measure, opt, leverOf(t))
	if err != nil {
		return nil, err
	}
	p, nominal, err := newPlaces(t, pistons, rods, measure)
	if err != nil {
		return nil, err
	}
	random := rand.New(rand.NewPCG(opt.Seed, 0x6d61746368)) //nolint:gosec // repeatable on purpose
	m := &Matching{
		Measure: measure, Mean: p.meanOfAll(), Random: p.drawn(random, opt.Samples),
		parts: partsOf{pistons, rods}, original: t,
	}
	m.Random.Nominal = math.Sqrt(nominal)
	start := p.inOrder()
	m.Listed = p.assignment(start)
	best := p.searched(start, random, opt.Restarts)
	if p.n <= MostProven {
		best, m.Proven = p.bestOf(best), true
	}
	m.Best = p.assignment(best)
	return m, nil
}

// Train returns a copy of the train with an assignment's parts in place.
//
//   - a: an assignment of these parts
//
// Result in SI, such as [kg]: each rod weighs both ends together, its centre of gravity where the ends
// balance; moments of inertia stay, which no force reads. Definition.
func (m *Matching) Train(a Assignment) *layout.Train {
	u := *m.original
	u.Cylinders = slices.Clone(u.Cylinders)
	for c := range u.Cylinders {
		y := &u.Cylinders[c]
		if a.Pistons != nil {
			y.Piston.Mass = m.parts.pistons[a.Pistons[c]].Mass
		}
		if a.Rods != nil {
			r := m.parts.rods[a.Rods[c]]
			y.Rod.Mass = r.BigEnd + r.SmallEnd
			y.Rod.CG = y.Rod.Length * r.SmallEnd / y.Rod.Mass
		}
	}
	return &u
}

// Better returns the share of the assignments drawn at random that the best one beats by more than rounding.
//
// Result [1]. Definition.
func (m *Matching) Better() float64 {
	limit := m.Best.RMS() * (1 + 1e-9)
	i, _ := slices.BinarySearch(m.Random.sorted, limit)
	return float64(len(m.Random.sorted)-i) / float64(len(m.Random.sorted))
}

func checkParts(t *layout.Train, pistons []WeighedPiston, rods []WeighedRod) error {
	n := len(t.Cylinders)
	for _, kind := range []struct {
		name  string
		count int
	}{{"pistons", len(pistons)}, {"rods", len(rods)}} {
		if kind.count != 0 && kind.count != n {
			return fmt.Errorf("there are %d weighed %s for %d cylinders; weigh one for each cylinder, or none", kind.count, kind.name, n)
		}
	}
	if len(pistons) == 0 && len(rods) == 0 {
		return fmt.Errorf("there are no weighed parts; weigh %d pistons, %d rods or both", n, n)
	}
	ok := func(mass float64) bool { return mass > 0 && mass <= 1e6 }
	seen := map[string]bool{}
	for _, p := range pistons {
		if !ok(p.Mass) {
			return fmt.Errorf("piston %s weighs %g kg; a weight lies above 0 and up to 1e6 kg", p.ID, p.Mass)
		}
		if seen[p.ID] {
			return fmt.Errorf("two pistons are called %q; every piston needs its own name", p.ID)
		}
		seen[p.ID] = true
	}
	clear(seen)
	for _, r := range rods {
		if !ok(r.BigEnd) || !ok(r.SmallEnd) {
			return fmt.Errorf("rod %s weighs %g kg at the big end and %g kg at the small end; a weight lies above 0 and up to 1e6 kg", r.ID, r.BigEnd, r.SmallEnd)
		}
		if seen[r.ID] {
			return fmt.Errorf("two rods are called %q; every rod needs its own name", r.ID)
		}
		seen[r.ID] = true
	}
	return nil
}

// CheckMeasure says what is wrong with a measure and the options of a search, nil where nothing is.
//
//   - m: weights [1] and arm [m]
//   - opt: counts [1]
//
// Zeros stand for the usual values. Definition.
func CheckMeasure(m MatchMeasure, opt MatchOptions) error {
	_, _, err := checkedMeasure(m, opt, 1)
	return err
}

// checkedMeasure fills in the usual values; arm is the usual arm [m].
func checkedMeasure(m MatchMeasure, opt MatchOptions, arm float64) (MatchMeasure, MatchOptions, error) {
	var err error
	if m.Orders, err = checkedOrders(m.Orders); err != nil {
		return m, opt, err
	}
	for _, k := range m.Orders {
		if k%2 != 0 {
			return m, opt, fmt.Errorf("order %g has no share of pistons and rods; give whole orders", float64(k)/2)
		}
	}
	if m.Force == 0 && m.Moment == 0 {
		m.Force, m.Moment = 1, 1
	}
	if m.Length == 0 {
		m.Length = arm
	}
	for _, w := range []float64{m.Force, m.Moment} {
		if !(w >= 0 && w <= 1e6) {
			return m, opt, fmt.Errorf("a weight of the measure is %g; weights lie between 0 and 1e6", w)
		}
	}
	if !(m.Length >= 1e-6 && m.Length <= 1e6) {
		return m, opt, fmt.Errorf("the arm of the measure is %g m; it lies between 1e-6 and 1e6 m", m.Length)
	}
	if opt.Samples == 0 {
		opt.Samples = 10_000
	}
	if opt.Restarts == 0 {
		opt.Restarts = 50
	}
	if opt.Samples < 1 || opt.Samples > MostSamples || opt.Restarts < 1 || opt.Restarts > 10_000 {
		return m, opt, fmt.Errorf("%d random assignments and %d restarts were asked for; 1 to %d and 1 to 10000 are possible", opt.Samples, opt.Restarts, MostSamples)
	}
	return m, opt, nil
}
