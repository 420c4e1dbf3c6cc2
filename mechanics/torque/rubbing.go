package torque

import (
	"errors"
	"fmt"
	"math"

	"crankwright/mechanics/layout"
	"crankwright/mechanics/motion"
	"crankwright/num"
)

// Rubbing is what rubs in an engine. Two layouts of one swept volume differ in these counts and sizes.
type Rubbing struct {
	Cycle     layout.Cycle
	Cylinders int
	Bore      float64 // [m]
	Stroke    float64 // [m]
	Mains     Bearings
	Pins      Bearings
	Valves    int     // of the whole engine
	Drives    int     // camshaft, pump and balance shaft drives
	RingGas   float64 // pressure that loads the top ring, mean over the cycle above the crankcase's [Pa]
}

// Bearings are equal journal bearings.
type Bearings struct {
	Count    int     // that turn with the crank's speed
	Swing    float64 // sum over more that only swing: mean square of their speed over the crank's [1]
	Diameter float64 // [m]
	Width    float64 // [m]
}

// FrictionConstants say how much each part rubs.
type FrictionConstants struct {
	Viscosity  float64 // dynamic viscosity of the oil in the bearings and on the bore [Pa s]
	Clearance  float64 // radial clearance of a bearing over its radius [1]
	RingLoad   float64 // radial load of all rings of a piston by length of bore [N/m]
	TopRing    float64 // height of the top ring, behind which the gas presses [m]
	RingFactor float64 // coefficient of friction of the rings, mean over the stroke [1]
	SkirtShare float64 // wetted skirt area over π/2 bore² [1]
	SkirtFilm  float64 // oil film between skirt and bore [m]
	ValveWork  float64 // work that one opening of a valve costs [J]
	Drive      float64 // torque of a drive at the crank, at any speed [N m]
	DriveRise  float64 // its rise with the square of the speed [N m s²]
}

// UsualFriction returns constants of a warm engine of today.
//
// Result: 10 mPa s, a clearance of 1/1000 of the radius, 900 N/m of ring load, 1.2 mm top ring, a
// coefficient of 0.07, a third of the bore's half wetted through 20 µm, 1.2 J an opening, 0.3 N m and
// 1.5e-6 N m s² a drive; [SI]. Engines scatter by a factor of two in each. Source: PRACTICE.
func UsualFriction() FrictionConstants {
	return FrictionConstants{
		Viscosity: 0.010, Clearance: 0.001,
		RingLoad: 900, TopRing: 0.0012, RingFactor: 0.07,
		SkirtShare: 0.33, SkirtFilm: 20e-6,
		ValveWork: 1.2, Drive: 0.3, DriveRise: 1.5e-6,
	}
}

// RubbingOf counts what rubs in a train.
//
//   - t: a train that layout.Validate accepts, with bore
//   - stroke: mean stroke of its cylinders [m]
//   - valvesPerCylinder: valves of a cylinder [1]
//   - drives: camshaft and pump drives [1]; balance shafts are added
//
// Result: one main bearing on each side of every throw (split pins are one throw), one pin bearing for every
// rod on the crank; knuckle pins, taken as wide and thick as the crankpin, only swing; sizes from the crank [m].
// Errors: none of its own: missing sizes are told by FMEP. Definition.
func RubbingOf(t *layout.Train, stroke float64, valvesPerCylinder, drives int) Rubbing {
	pairs := map[int]bool{}
	for i := range t.Throws {
		pairs[t.Throws[i].Pair] = true
	}
	c := &t.Crank
	linked, swing := knuckles(t)
	return Rubbing{
		Cycle: t.Cycle, Cylinders: len(t.Cylinders), Bore: t.Bore, Stroke: stroke,
		Mains:  Bearings{Count: len(pairs) + 1, Diameter: c.MainJournal.Diameter, Width: c.MainJournal.Width},
		Pins:   Bearings{Count: len(t.Cylinders) - linked, Swing: swing, Diameter: c.Crankpin.Diameter, Width: pinWidth(t)},
		Valves: valvesPerCylinder * len(t.Cylinders), Drives: drives + len(t.Shafts),
	}
}

// knuckles counts the linked rods and adds up how they swing on their pins: the mean square of their speed against the
// master rod over the crank's.
func knuckles(t *layout.Train) (linked int, swing float64) {
	const angles = 72
	for i := range t.Cylinders {
		rod := &t.Cylinders[i].Rod
		if !rod.Linked {
			continue
		}
		linked++
		link, _, _ := motion.LinkageOf(t, i)
		master, _, _ := motion.LinkageOf(t, rod.Master)
		for j := range angles {
			φ := num.Turn * num.Angle(j) / angles
			a, err := link.At(φ)
			b, again := master.At(φ)
			if err == nil && again == nil { // else there is no such engine, which others say
				swing += (a.Rod.Vel - b.Rod.Vel) * (a.Rod.Vel - b.Rod.Vel) / angles
			}
		}
	}
	return linked, swing
}

// pinWidth is the bearing width of one rod: rods side by side on a throw share its pin.
func pinWidth(t *layout.Train) float64 {
	most := 1
	count := make([]int, len(t.Throws))
	for i := range t.Cylinders {
		if c := &t.Cylinders[i]; !c.Rod.Linked && c.Throw >= 0 && c.Throw < len(count) {
			count[c.Throw]++
			most = max(most, count[c.Throw])
		}
	}
	return t.Crank.Crankpin.Width / float64(most)
}

// Losses are friction mean effective pressures by part [Pa].
type Losses struct {
	Mains, Pins, Rings, Skirts, Valves, Drives float64
	Total                                      float64
}

// FMEP returns the friction mean effective pressure of the parts that rub.
//
//	bearing   T = 2π µ ω R² L/ψ                    Petroff, ψ clearance over radius; W = ∮ T dθ, of one that swings its
//	                                               share Δχ'² of it in the mean
//	rings     W = f π D (q + p h) 2s               a revolution: load q by length, gas pressure p on height h
//	skirt     W = µ A/δ · π ω s²/4                 a revolution: ∮ v dx = ∫ v² dt of a sine motion of stroke s
//	valves    W = openings · work
//	drives    T = a + b ω²
//	fmep = W of a cycle over the swept volume
//
// with
//   - k: constants, such as UsualFriction
//   - ω: crank speed [rad/s], from 0 up to 3000
//
// Result [Pa] by part. Pumping is not in it. It is an estimate to tell layouts apart, within a factor of
// two (common practice), and no measurement. Errors: a size that is missing or impossible. Source: PETROFF
// for the bearings; DEFINITION for the work of the others.
func (r Rubbing) FMEP(k FrictionConstants, ω float64) (Losses, error) {
	if err := r.check(k, ω); err != nil {
		return Losses{}, err
	}
	turns := float64(r.Cycle.Period()) / (2 * math.Pi)
	n := float64(r.Cylinders)
	swept := n * math.Pi / 4 * r.Bore * r.Bore * r.Stroke
	cycle := turns / swept // work of a revolution → mean pressure
	bearings := func(b Bearings) float64 {
		radius := b.Diameter / 2
		t := 2 * math.Pi * k.Viscosity * ω * radius * radius * b.Width / k.Clearance
		return (float64(b.Count) + b.Swing) * t * 2 * math.Pi * cycle
	}
	var l Losses
	l.Mains, l.Pins = bearings(r.Mains), bearings(r.Pins)
	l.Rings = n * k.RingFactor * math.Pi * r.Bore * (k.RingLoad + r.RingGas*k.TopRing) * 2 * r.Stroke * cycle
	area := k.SkirtShare * math.Pi / 2 * r.Bore * r.Bore
	l.Skirts = n * k.Viscosity * area / k.SkirtFilm * math.Pi / 4 * ω * r.Stroke * r.Stroke * cycle
	l.Valves = float64(r.Valves) * k.ValveWork / swept
	l.Drives = float64(r.Drives) * (k.Drive + k.DriveRise*ω*ω) * 2 * math.Pi * cycle
	l.Total = l.Mains + l.Pins + l.Rings + l.Skirts + l.Valves + l.Drives
	if !finite(l.Total) {
		return Losses{}, errors.New("torque: the friction is beyond all measure; check the units of sizes and constants")
	}
	return l, nil
}

func (r Rubbing) check(k FrictionConstants, ω float64) error {
	if err := checkSpeed(ω); err != nil {
		return err
	}
	if r.Cylinders < 1 || r.Cylinders > layout.MaxCylinders {
		return fmt.Errorf("torque: an engine has 1 to %d cylinders, not %d", layout.MaxCylinders, r.Cylinders)
	}
	for _, b := range []struct {
		name string
		v    float64
	}{
		{"bore", r.Bore},
		{"stroke", r.Stroke},
		{"main journal diameter", r.Mains.Diameter},
		{"main journal width", r.Mains.Width},
		{"crankpin diameter", r.Pins.Diameter},
		{"crankpin width", r.Pins.Width},
	} {
		if !(b.v >= 1e-4 && b.v <= 20) {
			return fmt.Errorf("torque: friction needs the %s between 0.1 mm and 20 m, it is %g mm", b.name, 1e3*b.v)
		}
	}
	for _, c := range []int{r.Mains.Count, r.Pins.Count, r.Valves, r.Drives} {
		if c < 0 || c > 10000 {
			return fmt.Errorf("torque: a count of bearings, valves or drives must lie between 0 and 10000, it is %d", c)
		}
	}
	if !(k.Clearance > 0) || !(k.SkirtFilm > 0) {
		return errors.New("torque: bearing clearance and skirt film must be greater than zero, such as 0.001 of the radius and 20 µm")
	}
	for _, v := range []float64{r.Mains.Swing, r.Pins.Swing, k.Viscosity, k.RingLoad, k.TopRing, k.RingFactor, k.SkirtShare, k.ValveWork, k.Drive, k.DriveRise, r.RingGas} {
		if !(v >= 0 && v < 1e9) {
			return fmt.Errorf("torque: constants and swings of friction must be finite and not negative, one is %g", v)
		}
	}
	return nil
}
