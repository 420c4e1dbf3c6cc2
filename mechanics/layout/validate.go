package layout

import (
	"fmt"
	"math"
	"math/cmplx"
	"strings"
)

// Problem is one reason why a train cannot exist.
type Problem struct {
	Where string // the part, as a path such as cylinders[2].rod.length (indices from 0)
	What  string // what is wrong, with the value
	Limit string // what would be right
}

// Error returns the problem as one sentence [-]. Definition.
func (p Problem) Error() string {
	return p.Where + ": " + p.What + "; " + p.Limit
}

// Problems is a list of reasons why a train cannot exist.
type Problems []Problem

// Error returns all problems, one a line [-]. Definition.
func (ps Problems) Error() string {
	lines := make([]string, len(ps))
	for i, p := range ps {
		lines[i] = p.Error()
	}
	return strings.Join(lines, "\n")
}

// MaxCylinders is the largest number of cylinders that a train may have [1]. Definition: twice the
// largest number that common practice has put on one crank, so that a slip of the keyboard is
// told from an engine.
const MaxCylinders = 56

// MinRodRatio is the smallest accepted ratio of rod length to crank radius plus offset [1].
// Definition: at 1 the rod stands square to the cylinder axis and cannot push the piston; 1.01
// keeps the number of harmonics that the exact motion needs below a few hundred. Real rods have
// 1.5 or more (common practice).
const MinRodRatio = 1.01

// MinRadius and MaxRadius bound the crank radius [m]. Definition: from below the smallest model engine
// to above the largest ship's engine, so that a wrong unit is told from an engine.
const (
	MinRadius = 1e-4
	MaxRadius = 10.0
)

// MaxIMEP is the largest accepted indicated mean effective pressure [Pa]. Definition: twice what the
// most highly charged engines reach (common practice), so that a wrong unit is told from an engine.
const MaxIMEP = 100e5

// What parts may have, by the bore. Definition: several times what engines have, so that a wrong unit or a slip of the
// keyboard is told from an engine.
const (
	MaxJournal     = 2.0    // diameter and width of journals, thickness of webs, in bores [1]
	MaxWeb         = 4.0    // width of webs, in bores [1]
	MaxDensity     = 40_000 // mass of a piston or rod by the cube of the bore [kg/m³]
	MaxPistonSpeed = 60.0   // mean speed of a piston at the rated speed [m/s]
)

// Validate reports every reason for which the train is impossible.
//
// It returns nil for a train that can be built, else Problems. Lengths in the messages are in
// [mm], angles in [deg]. Definition.
func Validate(t *Train) error {
	v := &validator{t: t}
	v.parts()
	if len(v.problems) == 0 { // the rest may use indices and values that parts has checked
		v.clearances()
		v.crankRoom()
	}
	if len(v.problems) == 0 {
		return nil
	}
	return v.problems
}

type validator struct {
	t        *Train
	problems Problems
}

func (v *validator) fail(where, limit, what string, args ...any) {
	v.problems = append(v.problems, Problem{Where: where, What: fmt.Sprintf(what, args...), Limit: limit})
}

func (v *validator) finite(where string, x float64) bool { return v.finiteIn(where, "", x) }
func (v *validator) positive(where string, x float64)    { v.positiveIn(where, "", x) }
func (v *validator) notNegative(where string, x float64) { v.notNegativeIn(where, "", x) }

// finiteIn is finite of a value of a part; so are the others. The path is put together only where something is wrong.
func (v *validator) finiteIn(part, key string, x float64) bool {
	if math.IsNaN(x) || math.IsInf(x, 0) || math.Abs(x) > 1e9 {
		v.fail(part+key, "a finite number below 1e9 in SI units is needed", "the value is %g", x)
		return false
	}
	return true
}

func (v *validator) positiveIn(part, key string, x float64) {
	if v.finiteIn(part, key, x) && x <= 0 {
		v.fail(part+key, "it must be greater than zero", "the value is %g", x)
	}
}

func (v *validator) notNegativeIn(part, key string, x float64) {
	if v.finiteIn(part, key, x) && x < 0 {
		v.fail(part+key, "it must not be negative", "the value is %g", x)
	}
}

func (v *validator) parts() {
	t := v.t
	if len(t.Throws) == 0 {
		v.fail("throws", "a crank has at least one throw", "there is no throw")
	}
	if n := len(t.Cylinders); n == 0 {
		v.fail("cylinders", "an engine has at least one cylinder", "there is no cylinder")
	} else if n > MaxCylinders {
		v.fail("cylinders", fmt.Sprintf("%d is the most", MaxCylinders), "there are %d cylinders", n)
	}
	v.notNegative("bore", t.Bore)
	v.finite("reference", t.Reference)
	v.crankGeometry()
	if v.notNegative("gas.imep", t.Gas.IMEP); t.Gas.IMEP > MaxIMEP {
		v.fail("gas.imep", fmt.Sprintf("%g bar is the most", MaxIMEP/1e5), "the value is %.4g bar", t.Gas.IMEP/1e5)
	}
	if v.notNegative("gas.compression_ratio", t.Gas.CompressionRatio); t.Gas.CompressionRatio > 0 && t.Gas.CompressionRatio <= 1 {
		v.fail("gas.compression_ratio", "it must be greater than 1", "the value is %g", t.Gas.CompressionRatio)
	}
	v.working()
	v.lasting()
	v.mounting()
	v.block()
	v.making()
	v.notNegative("flywheel.inertia", t.Flywheel)
	for i, s := range []float64{t.Speeds.Idle, t.Speeds.Rated, t.Speeds.Limit} {
		v.notNegative([]string{"speeds.idle", "speeds.rated", "speeds.limit"}[i], s)
	}
	seenThrow := map[string]int{}
	for i, th := range t.Throws {
		at := fmt.Sprintf("throws[%d]", i)
		v.unique(seenThrow, at, th.Name, i)
		v.finiteIn(at, ".at", th.At)
		v.finiteIn(at, ".angle", float64(th.Angle))
		if v.finiteIn(at, ".radius", th.Radius) && (th.Radius < MinRadius || th.Radius > MaxRadius) {
			v.fail(at+".radius", fmt.Sprintf("it must lie between %g mm and %g m", 1e3*MinRadius, MaxRadius), "the radius is %.6g mm", 1e3*th.Radius)
		}
		v.notNegativeIn(at, ".unbalance", th.Unbalance)
		if root := t.PairOf(i); t.PairOf(root) != root {
			v.fail(at+".pair", "pins split from one throw all name that one", "the throw %s is itself split from another", t.Throws[root].Name)
		}
	}
	for i, b := range t.Banks {
		v.finite(fmt.Sprintf("banks[%d].axis", i), float64(b.Axis))
	}
	seen := map[string]int{}
	for i := range t.Cylinders {
		at := fmt.Sprintf("cylinders[%d]", i)
		v.unique(seen, at, t.Cylinders[i].Name, i)
		v.cylinder(at, i)
	}
	for i, c := range t.Counterweights {
		v.unbalance(fmt.Sprintf("crank.counterweights[%d]", i), c)
	}
	for i, s := range t.Shafts {
		at := fmt.Sprintf("balance_shafts[%d]", i)
		v.finiteIn(at, ".y", s.Y)
		v.finiteIn(at, ".z", s.Z)
		if v.finiteIn(at, ".speed_ratio", s.SpeedRatio) &&
			(s.SpeedRatio == 0 || math.Abs(s.SpeedRatio) > 16 || s.SpeedRatio*2 != math.Trunc(s.SpeedRatio*2)) {
			v.fail(at+".speed_ratio",
				"a multiple of 0.5 up to 16 is needed, negative against the crank, so that the motion repeats with the cycle",
				"the value is %g", s.SpeedRatio)
		}
		for j, m := range s.Masses {
			v.unbalance(fmt.Sprintf("%s.masses[%d]", at, j), m)
		}
	}
	v.firingOrder()
}

// Plausible reports sizes, masses and speeds that no engine of the train's bore has; all is plausible where the bore is not
// known.
//
//   - t: a train that Validate accepts; such a train can be evaluated, plausible or not
//
// It returns nil or Problems, which give lengths in [mm] and masses in [kg]. Definition.
func Plausible(t *Train) error {
	v := &validator{t: t}
	if t.Bore > 0 {
		v.measure()
	}
	if len(v.problems) == 0 {
		return nil
	}
	return v.problems
}

// measure holds sizes and masses against the bore.
func (v *validator) measure() {
	t, b := v.t, v.t.Bore
	length := func(where string, x, most float64) {
		if x > most*(1+1e-9) {
			v.fail(where, fmt.Sprintf("with a bore of %.4g mm, %.4g mm is the most", 1e3*b, 1e3*most), "%.7g mm is no part of this engine", 1e3*x)
		}
	}
	mass := func(where string, x float64) {
		if most := MaxDensity * b * b * b; x > most {
			v.fail(where, fmt.Sprintf("with a bore of %.4g mm, %.4g kg is the most", 1e3*b, most), "%.7g kg is no part of this engine", x)
		}
	}
	c := &t.Crank
	length("crank.main_journal.diameter", c.MainJournal.Diameter, MaxJournal*b)
	length("crank.main_journal.width", c.MainJournal.Width, MaxJournal*b)
	length("crank.crankpin.diameter", c.Crankpin.Diameter, MaxJournal*b)
	length("crank.crankpin.width", c.Crankpin.Width, MaxJournal*b)
	length("crank.web.thickness", c.Web.Thickness, MaxJournal*b)
	length("crank.web.width", c.Web.Width, MaxWeb*b)
	length("crank.fillet_radius", c.Fillet, b/2)
	for i := range t.Cylinders {
		mass(fmt.Sprintf("cylinders[%d].piston.mass", i), t.Cylinders[i].Piston.Mass)
		mass(fmt.Sprintf("cylinders[%d].rod.mass", i), t.Cylinders[i].Rod.Mass)
	}
	for i, th := range t.Throws {
		if most := MaxDensity * b * b * b * th.Radius; th.Unbalance > most {
			v.fail(fmt.Sprintf("throws[%d].unbalance", i), fmt.Sprintf("with a bore of %.4g mm and this throw, %.4g kg mm is the most", 1e3*b, 1e3*most),
				"%.8g kg mm is no part of this engine", 1e3*th.Unbalance)
		}
		if speed := 2 * th.Radius * t.Speeds.Rated / math.Pi; speed > MaxPistonSpeed {
			v.fail("speeds.rated", fmt.Sprintf("with this throw, %.0f rpm is the most", MaxPistonSpeed*math.Pi/(2*th.Radius)*30/math.Pi),
				"a mean piston speed of %.4g m/s is beyond any engine", speed)
			return
		}
	}
}

func (v *validator) crankGeometry() {
	c := &v.t.Crank
	v.notNegative("crank.main_journal.diameter", c.MainJournal.Diameter)
	v.notNegative("crank.main_journal.width", c.MainJournal.Width)
	v.notNegative("crank.crankpin.diameter", c.Crankpin.Diameter)
	v.notNegative("crank.crankpin.width", c.Crankpin.Width)
	v.notNegative("crank.web.thickness", c.Web.Thickness)
	v.notNegative("crank.web.width", c.Web.Width)
	v.notNegative("crank.fillet_radius", c.Fillet)
}

func (v *validator) unique(seen map[string]int, at, name string, i int) {
	if name == "" {
		v.fail(at+".name", "give each a short name", "the name is empty")
		return
	}
	if j, ok := seen[name]; ok {
		v.fail(at+".name", "names must differ", "the name %q is that of number %d too", name, j+1)
	}
	seen[name] = i
}

func (v *validator) unbalance(at string, u Unbalance) {
	v.finiteIn(at, ".at", u.At)
	v.finiteIn(at, ".angle", float64(u.Angle))
	v.finiteIn(at, ".unbalance", u.Amount)
}

func (v *validator) cylinder(at string, i int) {
	t := v.t
	c := &t.Cylinders[i]
	v.finiteIn(at, ".at", c.At)
	v.finiteIn(at, ".axis", float64(c.Axis))
	okOffset := v.finiteIn(at, ".offset", c.Offset) && v.finiteIn(at, ".piston.pin_offset", c.Piston.PinOffset)
	v.notNegativeIn(at, ".piston.mass", c.Piston.Mass)
	v.notNegativeIn(at, ".piston.compression_height", c.Piston.CompressionHeight)
	v.notNegativeIn(at, ".rod.mass", c.Rod.Mass)
	v.notNegativeIn(at, ".rod.inertia", c.Rod.Inertia)
	if half := v.t.Bore / 2; half > 0 && math.Abs(c.Piston.PinOffset) >= half {
		v.fail(at+".piston.pin_offset", fmt.Sprintf("it must be less than half the bore, %.4g mm", 1e3*half),
			"a pin offset of %.4g mm lies outside the piston", 1e3*c.Piston.PinOffset)
	}
	if v.positiveIn(at, ".rod.length", c.Rod.Length); c.Rod.Length > 100*MaxRadius {
		v.fail(at+".rod.length", fmt.Sprintf("%g m is the most", 100.0*MaxRadius), "the rod is %.4g m long", c.Rod.Length)
	}
	v.finiteIn(at, ".rod.knuckle_radius", c.Rod.KnuckleRadius)
	v.finiteIn(at, ".rod.knuckle_angle", float64(c.Rod.KnuckleAngle))
	if v.finiteIn(at, ".fires_at", float64(c.FiresAt)) && c.FiresGiven {
		if c.FiresAt < 0 || c.FiresAt >= t.Cycle.Period() {
			v.fail(at+".fires_at", fmt.Sprintf("a %s engine takes 0 deg up to below %g deg", t.Cycle, t.Cycle.Period().Deg()),
				"the value is %.6g deg", c.FiresAt.Deg())
		}
	}
	if len(t.Banks) > 0 && (c.Bank < 0 || c.Bank >= len(t.Banks)) {
		v.fail(at+".bank", fmt.Sprintf("there are %d banks", len(t.Banks)), "the bank %d does not exist", c.Bank+1)
	}
	if c.Throw < 0 || c.Throw >= len(t.Throws) {
		v.fail(at+".throw", fmt.Sprintf("there are %d throws", len(t.Throws)), "the throw %d does not exist", c.Throw+1)
		return
	}
	r := t.Throws[c.Throw].Radius
	if c.Rod.Linked {
		v.linked(at, i)
	}
	if e := math.Abs(c.Offset + c.Piston.PinOffset); okOffset && c.Rod.Length > 0 && c.Rod.Length < MinRodRatio*(r+e) {
		v.fail(at+".rod.length", fmt.Sprintf("with this throw it must be at least %.4g mm (%.3g times radius and offset), and real rods have %.4g mm or more",
			1e3*MinRodRatio*(r+e), MinRodRatio, 1e3*1.5*(r+e)),
			"the rod of %.4g mm is too short for a throw of %.4g mm radius and %.4g mm offset", 1e3*c.Rod.Length, 1e3*r, 1e3*e)
		return // the rest of the rod is measured by its length
	}
	v.rodBody(at, c.Rod)
}

// rodBody refuses rods that no rigid body can be: a centre of gravity far outside the eyes, or a moment of
// inertia as if the mass stood further out than two lengths of the rod.
func (v *validator) rodBody(at string, r Rod) {
	if !v.finiteIn(at, ".rod.cg_from_big_end", r.CG) || !(r.Length > 0) {
		return
	}
	if lo, hi := -0.5*r.Length, 1.5*r.Length; r.CG < lo || r.CG > hi {
		v.fail(at+".rod.cg_from_big_end", fmt.Sprintf("it lies between the eyes, or near them: %.4g to %.4g mm are accepted", 1e3*lo, 1e3*hi),
			"a centre of gravity %.4g mm from the big end is far outside a rod of %.4g mm", 1e3*r.CG, 1e3*r.Length)
	}
	if most := 4 * r.Mass * r.Length * r.Length; r.Mass > 0 && r.Inertia > most {
		v.fail(at+".rod.inertia", fmt.Sprintf("%.4g kg m², with all its mass two lengths away, is more than any rod has", most),
			"a moment of inertia of %.4g kg m² is not possible for a rod of %.4g kg and %.4g mm", r.Inertia, r.Mass, 1e3*r.Length)
	}
}

func (v *validator) linked(at string, i int) {
	t := v.t
	rod := &t.Cylinders[i].Rod
	if rod.KnuckleRadius <= 0 {
		v.fail(at+".rod.knuckle_radius", "it must be greater than zero", "the value is %g", rod.KnuckleRadius)
	}
	if rod.Master < 0 || rod.Master >= len(t.Cylinders) || rod.Master == i {
		v.fail(at+".rod.master", "name another cylinder", "the master does not exist")
		return
	}
	m := &t.Cylinders[rod.Master]
	if m.Rod.Linked {
		v.fail(at+".rod.master", "the master's own rod must sit on the crankpin", "cylinder %s is itself carried by a linked rod", m.Name)
	}
	if m.Throw != t.Cylinders[i].Throw {
		v.fail(at+".rod.master", "master and linked rod share one throw", "cylinder %s is on another throw", m.Name)
	}
	if rod.KnuckleRadius > 0 && m.Rod.Length > 0 && rod.KnuckleRadius >= m.Rod.Length {
		v.fail(at+".rod.knuckle_radius", fmt.Sprintf("it must be less than the master's length of %.4g mm", 1e3*m.Rod.Length),
			"the radius is %.4g mm", 1e3*rod.KnuckleRadius)
	}
}

func (v *validator) firingOrder() {
	t := v.t
	if t.FiringOrder == nil {
		return
	}
	seen := make([]bool, len(t.Cylinders))
	for _, c := range t.FiringOrder {
		if c < 0 || c >= len(seen) {
			v.fail("firing_order", "it names each cylinder once", "it names a cylinder that does not exist")
			return
		}
		if seen[c] {
			v.fail("firing_order", "it names each cylinder once", "it names cylinder %s twice", t.Cylinders[c].Name)
			return
		}
		seen[c] = true
	}
	for c, ok := range seen {
		if !ok {
			v.fail("firing_order", "it names each cylinder once", "it leaves out cylinder %s", t.Cylinders[c].Name)
		}
	}
}

// clearances refuses two cylinders in one place: at their top dead centres the pistons, discs of
// the bore's diameter, would be nearer to each other than the bore.
func (v *validator) clearances() {
	t := v.t
	worst, more := Problem{}, 0
	least := math.Inf(1)
	for i := range t.Cylinders {
		for j := range i {
			a, b := t.topPlace(j), t.topPlace(i)
			dx := t.Cylinders[i].At - t.Cylinders[j].At
			apart := math.Hypot(cmplx.Abs(a-b), dx)
			limit := math.Max(t.Bore, 1e-6)
			if apart < limit*(1-1e-9) {
				if more++; apart >= least {
					continue
				}
				least = apart
				worst = Problem{
					Where: fmt.Sprintf("cylinders[%d]", i),
					What: fmt.Sprintf("cylinders %s and %s are in one place: at top dead centre their pistons are %.4g mm apart",
						t.Cylinders[j].Name, t.Cylinders[i].Name, 1e3*apart),
					Limit: fmt.Sprintf("their pistons must be at least one bore, %.4g mm, apart: %s", 1e3*limit, t.wayApart(j, i)),
				}
			}
		}
	}
	if more == 0 {
		return
	}
	if more > 1 {
		worst.What += fmt.Sprintf(", and so it is with %d more pairs", more-1)
	}
	v.problems = append(v.problems, worst)
}

// wayApart says what would part two cylinders that stand in one place.
func (t *Train) wayApart(i, j int) string {
	a, b := &t.Cylinders[i], &t.Cylinders[j]
	turn := math.Abs(math.Remainder(float64(a.Axis-b.Axis), 2*math.Pi))
	switch {
	case turn < 1e-9:
		return "space them further along the crank"
	case t.Arrangement == Radial:
		return "take longer rods, or fewer cylinders in a row"
	}
	return "widen the angle between them, stagger their banks or space them further along the crank, or offset their banks outwards"
}

// topPlace returns where the piston pin stands at top dead centre, taken as if the rod sat on the
// crankpin (a linked rod's knuckle adds its radius).
func (t *Train) topPlace(i int) complex128 {
	c := &t.Cylinders[i]
	e := c.Offset + c.Piston.PinOffset
	reach := c.Rod.Length + t.Throws[c.Throw].Radius
	if c.Rod.Linked {
		reach += c.Rod.KnuckleRadius
	}
	return 1i * c.Axis.Unit() * complex(math.Sqrt(reach*reach-e*e), e)
}

// crankRoom refuses neighbouring pins that neither overlap nor leave a web between them. It needs
// the width and diameter of the pins, and says nothing where they are unknown.
func (v *validator) crankRoom() {
	t := v.t
	d, w := t.Crank.Crankpin.Diameter, t.Crank.Crankpin.Width
	if d <= 0 || w <= 0 {
		return
	}
	for i := range t.Throws {
		for j := range i {
			a, b := &t.Throws[j], &t.Throws[i]
			apart := cmplx.Abs(complex(a.Radius, 0)*a.Angle.Unit() - complex(b.Radius, 0)*b.Angle.Unit())
			room := math.Abs(b.At-a.At) - w
			if apart < d || room > 0 {
				continue
			}
			v.fail(fmt.Sprintf("throws[%d]", i),
				fmt.Sprintf("pins of %.4g mm width need their middles more than that apart, or a split of less than %.4g deg so that they overlap",
					1e3*w, 2*math.Asin(math.Min(1, d/(a.Radius+b.Radius)))*180/math.Pi),
				"no web fits between the pins of throws %s and %s: their middles are %.4g mm apart along the crank and %.4g mm across it",
				a.Name, b.Name, 1e3*math.Abs(b.At-a.At), 1e3*apart)
		}
	}
}
