package balance

import (
	"fmt"
	"math"
	"slices"

	"crankwright/mechanics/layout"
)

// ShaftAim is what balance shafts may be asked to take.
type ShaftAim int

// The quantities that a balance shaft acts on.
const (
	AimForce  ShaftAim = iota // shaking force
	AimMoment                 // shaking moment about y and z
	AimRoll                   // roll moment about x
)

// String returns the quantity in the words of the trade [-]. Definition.
func (a ShaftAim) String() string {
	return [...]string{"force", "moment", "roll moment"}[a]
}

// ShaftTarget asks for one quantity of one order.
type ShaftTarget struct {
	K    int      // twice the order
	Aim  ShaftAim // of what
	Keep float64  // share of the largest resultant that may remain [1]: 0 removes, 0.5 halves
}

// ShaftPlace is where the axis of a balance shaft may run.
type ShaftPlace struct{ Y, Z float64 } // [m]

// ShaftTask says which balance shafts are allowed and what they are to take. Filled gives the usual
// choice for what is left empty.
type ShaftTask struct {
	Targets     []ShaftTarget
	Ratios      []float64    // turns per crank turn, negative against the crank; multiples of ½
	Places      []ShaftPlace // of the axes; each takes one shaft
	Planes      []float64    // axial places of masses on shafts [m]
	MostShafts  int          // 1 to 8
	Crank       bool         // the crank's own webs may take what turns with it in order 1; no shaft is counted
	CrankPlanes []float64    // axial places of such counterweights [m]
}

// The largest task: beyond it a search takes longer than anybody waits.
const (
	MostShafts    = 8
	mostPlaces    = 64
	mostShaftSets = 50_000
)

// Filled returns the task with the usual choice for what is left empty.
//
//   - t: a train that layout.Validate accepts
//
// Result: targets order 1 force and moment and order 2 force, removed; ratios ±1, ±2; planes at the
// first and last throw or cylinder and midway [m]; places beside the crank at ± half the stroke
// and three quarters of the bore, three quarters of the stroke below the crank axis, at its height, and as much above, and right below it; four shafts; counterweights at the outermost ones of the train, else at the outermost throws [m].
// Source: PRACTICE, room beside the sweep of the webs; the rest is a choice.
func (s ShaftTask) Filled(t *layout.Train) ShaftTask {
	if len(s.Targets) == 0 {
		s.Targets = []ShaftTarget{{K: 2, Aim: AimForce}, {K: 2, Aim: AimMoment}, {K: 4, Aim: AimForce}}
	}
	if len(s.Ratios) == 0 {
		s.Ratios = []float64{-1, 1, -2, 2}
	}
	var throws, all, webs []float64
	for _, th := range t.Throws {
		throws = append(throws, th.At)
	}
	all = slices.Clone(throws)
	for _, c := range t.Cylinders {
		all = append(all, c.At)
	}
	for _, c := range t.Counterweights {
		webs = append(webs, c.At)
	}
	if len(s.Planes) == 0 && len(all) > 0 {
		lo, hi := slices.Min(all), slices.Max(all)
		s.Planes = []float64{lo, (lo + hi) / 2, hi}
	}
	if len(s.Places) == 0 {
		beside, up := beside(t), 1.5*largestRadius(t)
		for _, z := range []float64{-up, 0, up} {
			s.Places = append(s.Places, ShaftPlace{beside, z}, ShaftPlace{-beside, z})
		}
		s.Places = append(s.Places, ShaftPlace{0, -beside})
	}
	if s.MostShafts == 0 {
		s.MostShafts = 4
	}
	if len(s.CrankPlanes) == 0 {
		if len(webs) == 0 {
			webs = throws
		}
		if len(webs) > 0 {
			s.CrankPlanes = []float64{slices.Min(webs), slices.Max(webs)}
		}
	}
	s.Planes, s.CrankPlanes = distinct(s.Planes), distinct(s.CrankPlanes)
	return s
}

// distinct sorts places along the crank and drops those that stand twice.
func distinct(xs []float64) []float64 {
	xs = slices.Clone(xs)
	slices.Sort(xs)
	return slices.CompactFunc(xs, func(a, b float64) bool { return math.Abs(b-a) < 1e-9 })
}

// check refuses a filled task that makes no sense.
func (s ShaftTask) check() error {
	if s.MostShafts < 1 || s.MostShafts > MostShafts {
		return fmt.Errorf("the number of shafts must lie between 1 and %d, it is %d", MostShafts, s.MostShafts)
	}
	for i, t := range s.Targets {
		if t.K < 1 || t.K > 24 {
			return fmt.Errorf("an order of 0.5 to 12 is needed, it is %g", float64(t.K)/2)
		}
		if t.Aim < AimForce || t.Aim > AimRoll {
			return fmt.Errorf("shafts take force, moment or roll moment; %d is none of them", t.Aim)
		}
		if !(t.Keep >= 0 && t.Keep < 1) {
			return fmt.Errorf("the share that may remain must lie between 0 %% and below 100 %%, it is %.4g %%", 100*t.Keep)
		}
		if slices.ContainsFunc(s.Targets[:i], func(o ShaftTarget) bool { return o.K == t.K && o.Aim == t.Aim }) {
			return fmt.Errorf("the %s of order %g is asked for twice; name it once", t.Aim, float64(t.K)/2)
		}
	}
	for i, r := range s.Ratios {
		if r == 0 || !(math.Abs(r) <= 16) || 2*r != math.Trunc(2*r) {
			return fmt.Errorf("a speed ratio is a multiple of 0.5 up to 16, negative against the crank; it is %g", r)
		}
		if slices.Contains(s.Ratios[:i], r) {
			return fmt.Errorf("the speed ratio %g stands twice; name it once", r)
		}
	}
	if len(s.Places) > mostPlaces || len(s.Planes) > mostPlaces {
		return fmt.Errorf("%d places and %d planes are too many; %d of each is the most", len(s.Places), len(s.Planes), mostPlaces)
	}
	for i, p := range s.Places {
		if !(math.Abs(p.Y) <= 100 && math.Abs(p.Z) <= 100) {
			return fmt.Errorf("the place of a shaft must lie within 100 m of the crank, it is y %g m, z %g m", p.Y, p.Z)
		}
		if slices.ContainsFunc(s.Places[:i], func(o ShaftPlace) bool { return math.Hypot(o.Y-p.Y, o.Z-p.Z) < 1e-9 }) {
			return fmt.Errorf("the place y %.4g mm, z %.4g mm stands twice; it takes one shaft", 1e3*p.Y, 1e3*p.Z)
		}
	}
	for _, x := range slices.Concat(s.Planes, s.CrankPlanes) {
		if !(math.Abs(x) <= 1000) {
			return fmt.Errorf("a plane must lie within 1000 m along the crank, it is at %g m", x)
		}
	}
	return nil
}

// sets counts the sets of up to MostShafts shafts of one order.
func (s ShaftTask) sets(candidates int) float64 {
	sum, choose := 0.0, 1.0
	for m := 1; m <= min(s.MostShafts, candidates); m++ {
		choose *= float64(candidates-m+1) / float64(m)
		sum += choose
	}
	return sum
}
