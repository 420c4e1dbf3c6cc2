package independent

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// SamplesPerTurn is the number of crank angles in a revolution of the raw output [1]. Definition:
// every 5 degrees, enough for 36 orders.
const SamplesPerTurn = 72

// Turns returns the number of revolutions after which the motion of a train repeats.
//
// Result [1]: 2 where a balance shaft turns at an odd multiple of one half, else 1. Definition.
func (e Engine) Turns() int {
	for _, s := range e.Train.Shafts {
		if s.SpeedRatio != math.Trunc(s.SpeedRatio) {
			return 2
		}
	}
	return 1
}

// Describe writes an engine as bodies, joints and masses for programs that know nothing of engines.
//
// Result: the text of input/<stem>.txt in [m], [kg], [rad], every number exact; README.md lists the
// items. An unbalance becomes a point mass at the throw's radius, or at 40 mm; a negative one goes
// to the other side. A clockwise train is written out mirrored (y → −y) with a negative speed: what
// the readers compute is the real thing, not a rule about it. Definition.
func Describe(e Engine) []byte {
	t, sense := &e.Train, 1.0
	if t.Rotation == layout.Clockwise {
		sense = -1
	}
	angle := func(a num.Angle) float64 { return sense*float64(a) + 0 } // + 0: no negative zero
	across := func(y float64) float64 { return sense*y + 0 }

	var b bytes.Buffer
	line := func(item string, values ...any) {
		b.WriteString(item)
		for _, v := range values {
			b.WriteByte(' ')
			if f, ok := v.(float64); ok {
				b.WriteString(strconv.FormatFloat(f, 'g', -1, 64))
			} else {
				fmt.Fprint(&b, v)
			}
		}
		b.WriteByte('\n')
	}
	mass := func(carrier string, radius float64, u layout.Unbalance) {
		if u.Amount == 0 {
			return
		}
		if u.Amount < 0 {
			radius = -radius
		}
		line("mass", carrier, u.At, radius, angle(u.Angle), u.Amount/radius)
	}

	fmt.Fprintf(&b, "# %s\n# Written by Describe; the items are explained in README.md. SI units, radians.\n", t.Name)
	line("engine", e.Stem)
	line("speed", across(e.Speed))
	line("sample", SamplesPerTurn*e.Turns(), e.Turns())
	line("reference", t.Reference)

	b.WriteString("# crank: mass and inertia of a disc on its axis; point masses: carrier x radius angle mass\n")
	line("crank", 12.0, 0.08)
	for _, th := range t.Throws {
		mass("crank", th.Radius, layout.Unbalance{At: th.At, Angle: th.Angle, Amount: th.Unbalance})
	}
	const anyRadius = 0.04
	for _, c := range t.Counterweights {
		mass("crank", anyRadius, c)
	}
	if len(t.Shafts) > 0 {
		b.WriteString("# shaft: name, turns per crank turn, place y z\n")
	}
	for i, s := range t.Shafts {
		name := fmt.Sprint("shaft", i+1)
		line("shaft", name, s.SpeedRatio, across(s.Y), s.Z)
		for _, m := range s.Masses {
			mass(name, anyRadius, m)
		}
	}
	b.WriteString("# rod: name carrier, its pin on the carrier x radius angle, length mass cg inertia\n")
	b.WriteString("# piston: name rod, axis angle, offset of the piston pin's path, mass\n")
	for _, linked := range []bool{false, true} { // masters first
		for i := range t.Cylinders {
			c := &t.Cylinders[i]
			r := &c.Rod
			if r.Linked != linked {
				continue
			}
			if linked {
				line("rod", rodName(t, i), rodName(t, r.Master), c.At, r.KnuckleRadius, angle(r.KnuckleAngle), r.Length, r.Mass, r.CG, r.Inertia)
			} else {
				th := &t.Throws[c.Throw]
				line("rod", rodName(t, i), "crank", c.At, th.Radius, angle(th.Angle), r.Length, r.Mass, r.CG, r.Inertia)
			}
			line("piston", "piston"+strings.ReplaceAll(c.Name, " ", "_"), rodName(t, i), angle(c.Axis), across(c.Offset+c.Piston.PinOffset), c.Piston.Mass)
		}
	}
	return b.Bytes()
}

func rodName(t *layout.Train, i int) string {
	return "rod" + strings.ReplaceAll(t.Cylinders[i].Name, " ", "_")
}
