package balance

import (
	"fmt"
	"math"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Spread is how a dimension scatters within its tolerance.
type Spread int

// The two spreads. A half width is the largest deviation that occurs in either.
const (
	NormalSpread  Spread = iota // normal, the half width three standard deviations, cut there: parts beyond are refused
	UniformSpread               // every value within the half width equally likely
)

// String returns the spread in a word [-]. Definition.
func (s Spread) String() string {
	if s == UniformSpread {
		return "uniform"
	}
	return "normal"
}

// Sigma returns the standard deviation of a spread.
//
//	uniform  h/√3
//	normal   (h/3) √( 1 − 6 φ(3)/(2Φ(3) − 1) ) = 0.98658 h/3
//
// with
//   - half: half width h of the tolerance [any unit]
//
// Result [that unit]; φ and Φ are the density and the distribution of the normal law, and the root is
// what cutting at three standard deviations takes away. Source: DEFINITION, variance of the uniform
// and of the cut normal law.
func (s Spread) Sigma(half float64) float64 {
	if s == UniformSpread {
		return half / math.Sqrt(3)
	}
	density := math.Exp(-4.5) / math.Sqrt(2*math.Pi)
	return half / 3 * math.Sqrt(1-6*density/math.Erf(3/math.Sqrt2))
}

// ToleranceClass is what a tolerance is given for.
type ToleranceClass int

// The classes of tolerances.
const (
	PistonMass ToleranceClass = iota
	RodMass
	RodCG
	CrankRadius
	RodLength
	PinAngle
	PinPlace
	ThrowUnbalance
	CounterweightUnbalance
	CounterweightAngle
	ShaftUnbalance
	ShaftAngle
	toleranceClasses // how many there are
)

// String returns the class in the words of the trade [-]. Definition.
func (c ToleranceClass) String() string {
	names := [...]string{
		"piston mass", "rod mass", "rod centre of gravity", "crank radius", "rod length", "pin angle", "pin spacing",
		"throw unbalance", "counterweight unbalance", "counterweight angle", "shaft unbalance", "shaft angle",
	}
	if c < 0 || int(c) >= len(names) {
		return "unknown"
	}
	return names[c]
}

// ToleranceClasses returns all classes, in the order in which they are listed [-]. Definition.
func ToleranceClasses() []ToleranceClass {
	out := make([]ToleranceClass, toleranceClasses)
	for i := range out {
		out[i] = ToleranceClass(i)
	}
	return out
}

// ToleratedParts returns the names of the parts that a class of tolerances holds for, in the order of
// ToleranceShare.Parts.
//
//   - t: a train
//   - c: the class
//
// Result [-], such as "cylinder 3" or "throw T1"; masses on the crank and on shafts are counted from 1.
// Definition.
func ToleratedParts(t *layout.Train, c ToleranceClass) []string {
	var out []string
	switch c {
	case PistonMass, RodMass, RodCG, RodLength:
		for i := range t.Cylinders {
			out = append(out, "cylinder "+t.Cylinders[i].Name)
		}
	case CrankRadius, PinAngle, PinPlace, ThrowUnbalance:
		for i := range t.Throws {
			out = append(out, "throw "+t.Throws[i].Name)
		}
	case CounterweightUnbalance, CounterweightAngle:
		for i := range t.Counterweights {
			out = append(out, fmt.Sprintf("counterweight %d", i+1))
		}
	case ShaftUnbalance:
		for i, s := range t.Shafts {
			for j := range s.Masses {
				out = append(out, fmt.Sprintf("shaft %d, mass %d", i+1, j+1))
			}
		}
	case ShaftAngle:
		for i := range t.Shafts {
			out = append(out, fmt.Sprintf("shaft %d", i+1))
		}
	}
	return out
}

// Unit returns the SI unit of a tolerance of the class, such as [kg]. Definition.
func (c ToleranceClass) Unit() string {
	switch c {
	case PistonMass, RodMass:
		return "kg"
	case RodCG, CrankRadius, RodLength, PinPlace:
		return "m"
	case PinAngle, CounterweightAngle, ShaftAngle:
		return "rad"
	default:
		return "kg m"
	}
}

// Tolerances are half widths: the largest deviation from the nominal value on either side, alike for all
// parts of a class and independent from part to part. A zero holds the class at its nominal value. What
// is not listed (offsets, pin offsets, knuckle pins, places of counterweights) stays nominal.
type Tolerances struct {
	PistonMass  float64 // of each piston [kg]
	RodMass     float64 // of each rod, its centre of gravity in place [kg]
	RodCG       float64 // centre of gravity of each rod along it [m]
	CrankRadius float64 // of each crankpin, half that of the stroke [m]
	RodLength   float64 // between the eye centres of each rod [m]
	PinAngle    float64 // direction of each crankpin, with its throw [rad]
	PinPlace    float64 // axial place of each crankpin, with its cylinders and its throw [m]

	ThrowUnbalance         float64 // of each throw, in the direction of its pin [kg m]
	CounterweightUnbalance float64 // of each counterweight [kg m]
	CounterweightAngle     float64 // of each counterweight [rad]
	ShaftUnbalance         float64 // of each mass on a balance shaft [kg m]
	ShaftAngle             float64 // of each balance shaft as a whole [rad]

	Spread Spread
}

// Half returns the half width of one class.
//
//   - c: the class
//
// Result [unit of the class, see ToleranceClass.Unit]; 0 for a class that does not exist. Definition.
func (tol Tolerances) Half(c ToleranceClass) float64 {
	halves := [...]float64{
		tol.PistonMass, tol.RodMass, tol.RodCG, tol.CrankRadius, tol.RodLength, tol.PinAngle, tol.PinPlace,
		tol.ThrowUnbalance, tol.CounterweightUnbalance, tol.CounterweightAngle, tol.ShaftUnbalance, tol.ShaftAngle,
	}
	if c < 0 || int(c) >= len(halves) {
		return 0
	}
	return halves[c]
}

// UsualTolerances returns half widths that series engines are commonly built to.
//
//	pistons 0.5 %, rods 1 % of the mean mass   centre of gravity 0.25 %, length 0.05 % of the mean rod length
//	crank radius 0.1 %, pin spacing 0.2 % of the mean radius
//	pins and shafts 0.25°, counterweights 0.5°   throws, counterweights and shaft masses 1 % of the largest of their kind
//
// with
//   - t: a train that layout.Validate accepts
//
// Result in SI, such as [kg]; the normal spread. Definition: ±1 g on a piston of 200 g, ±0.05 mm on a
// stroke of 50 mm; common practice, from memory, and no substitute for the drawing. Source: PRACTICE.
func UsualTolerances(t *layout.Train) Tolerances {
	var piston, rod, length, radius float64
	for i := range t.Cylinders {
		c := &t.Cylinders[i]
		share := 1 / float64(len(t.Cylinders))
		piston += share * c.Piston.Mass
		rod += share * c.Rod.Mass
		length += share * c.Rod.Length
	}
	var throw, weight, shaft float64
	for i := range t.Throws {
		radius += t.Throws[i].Radius / float64(len(t.Throws))
		throw = max(throw, t.Throws[i].Unbalance)
	}
	for _, c := range t.Counterweights {
		weight = max(weight, math.Abs(c.Amount))
	}
	for _, s := range t.Shafts {
		for _, m := range s.Masses {
			shaft = max(shaft, math.Abs(m.Amount))
		}
	}
	quarter := float64(num.Degrees(0.25))
	return Tolerances{
		PistonMass: 0.005 * piston, RodMass: 0.01 * rod, RodCG: 0.0025 * length,
		CrankRadius: 0.001 * radius, RodLength: 0.0005 * length, PinAngle: quarter, PinPlace: 0.002 * radius,
		ThrowUnbalance: 0.01 * throw, CounterweightUnbalance: 0.01 * weight, CounterweightAngle: 2 * quarter,
		ShaftUnbalance: 0.01 * shaft, ShaftAngle: quarter,
	}
}

// The bounds of tolerances. Within them the second-order expansion of the motion is good to a few parts in a
// million of the value, and no sample is a train that cannot exist.
const (
	mostGeometry = 0.01 // of the crank radius and of what the rod is longer than its reach [1]
	mostAngle    = 5.0  // [deg]
)

// check says what is wrong with tolerances for a valid train.
func (tol Tolerances) check(t *layout.Train) error {
	refuse := func(c ToleranceClass, limit, what string, args ...any) error {
		return fmt.Errorf("the tolerance of the %s: %s; %s", c, fmt.Sprintf(what, args...), limit)
	}
	if tol.Spread != NormalSpread && tol.Spread != UniformSpread {
		return fmt.Errorf("the spread %d is unknown; spreads are normal and uniform", tol.Spread)
	}
	for c := range toleranceClasses {
		if h := tol.Half(c); !(h >= 0) || math.IsInf(h, 0) {
			return refuse(c, "it must be a finite number that is not negative", "the half width is %g %s", h, c.Unit())
		}
	}
	least := [toleranceClasses]float64{}
	for c := range least {
		least[c] = math.Inf(1)
	}
	for i := range t.Cylinders {
		c := &t.Cylinders[i]
		radius := t.Throws[c.Throw].Radius
		least[PistonMass] = min(least[PistonMass], c.Piston.Mass)
		least[RodMass] = min(least[RodMass], c.Rod.Mass)
		least[RodCG] = min(least[RodCG], c.Rod.Length)
		least[CrankRadius] = min(least[CrankRadius], mostGeometry*radius)
		if !c.Rod.Linked { // a linked rod's reach shows in the transform
			spare := mostGeometry * (c.Rod.Length - radius - math.Abs(c.Offset+c.Piston.PinOffset))
			least[CrankRadius] = min(least[CrankRadius], spare)
			least[RodLength] = min(least[RodLength], spare)
		}
		least[RodLength] = min(least[RodLength], mostGeometry*c.Rod.Length)
	}
	for _, c := range []ToleranceClass{PistonMass, RodMass} {
		if h := tol.Half(c); h > least[c] {
			return refuse(c, fmt.Sprintf("it must not exceed the lightest part, %.6g g", 1e3*least[c]), "the half width is %.6g g", 1e3*h)
		}
	}
	for _, c := range []ToleranceClass{RodCG, CrankRadius, RodLength} {
		if h := tol.Half(c); h > least[c] {
			return refuse(c, fmt.Sprintf("%.4g mm is the most that this engine can be expanded for", 1e3*least[c]), "the half width is %.6g mm", 1e3*h)
		}
	}
	for _, c := range []ToleranceClass{PinAngle, CounterweightAngle, ShaftAngle} {
		if h := num.Angle(tol.Half(c)).Deg(); h > mostAngle {
			return refuse(c, fmt.Sprintf("%g° is the most", mostAngle), "the half width is %.6g°", h)
		}
	}
	for _, c := range []ToleranceClass{PinPlace, ThrowUnbalance, CounterweightUnbalance, ShaftUnbalance} {
		if h := tol.Half(c); h > 1e6 {
			return refuse(c, "1e6 in SI units is the most", "the half width is %g %s", h, c.Unit())
		}
	}
	return nil
}
