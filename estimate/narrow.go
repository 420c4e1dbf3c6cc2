package estimate

import (
	"math"

	"crankwright/mechanics/balance"
	"crankwright/mechanics/bearing"
	"crankwright/num"
)

// NarrowOffset and NarrowRoom are for narrow vees: how far the cylinder axes of each bank usually pass outside the crank axis,
// and the room that the two banks keep between their pistons and bores, over the bore [1]. Source: PRACTICE, from memory, narrow
// vees of 10 to 15 degrees.
const (
	NarrowOffset = 0.15
	NarrowRoom   = 0.02
)

// Narrow reports whether the banks of a vee stand so near to each other that two bores find no place side by side.
//
//	2 (l + r) sin(β/2) < 1.08 D
//
// with
//   - e: bore D and stroke 2 r [m], of which one may be unknown; rod length l [m], estimated where it is unknown; bank angle β [rad]
//
// Result: false where β is 0 or more than half a turn, and where bore and stroke are unknown. Then their bores take turns
// along the crank. Definition.
func Narrow(e Engine) bool {
	if math.IsNaN(e.Bore) && math.IsNaN(e.Stroke) {
		return false
	}
	f := &filler{e: e, quiet: true}
	f.sizes()
	return f.narrow()
}

func (f *filler) narrow() bool {
	e := &f.e
	if !(e.BankAngle > 0) || e.BankAngle >= num.Turn/2 {
		return false
	}
	return 2*(e.RodLength+e.Stroke/2)*math.Sin(float64(e.BankAngle)/2) < (1+bearing.LeastWall)*e.Bore
}

// narrowVee moves the two banks of a narrow vee apart, across the crank and along it.
func (f *filler) narrowVee() {
	e := &f.e
	if f.narrow() {
		f.set(&e.CylinderOffset, "layout.cylinder_offset", NarrowOffset*e.Bore, "PRACTICE",
			"%.3g × bore outwards, as narrow vees are built, for bores that find no place side by side", NarrowOffset)
		needed := NarrowStagger(*e)
		if e.CylinderSpacing/2 < needed {
			f.set(&e.BankStagger, "layout.bank_stagger", e.CylinderSpacing/2, "PRACTICE", "half the cylinder spacing, which is less than pistons and bores of a narrow vee ask for")
		}
		f.set(&e.BankStagger, "layout.bank_stagger", needed, "PRACTICE",
			"keeps pistons and bores of a narrow vee %.3g × bore apart where the skirts come lowest", NarrowRoom)
	} else if math.IsNaN(e.CylinderOffset) {
		e.CylinderOffset = 0
	}
}

// NarrowStagger returns how far apart along the crank the two cylinders of a throw must stand in a narrow vee.
//
//	s = √( (1.02 D)² − (2 (h sin β/2 + e cos β/2))² )      h = √( (l − r)² − e² ) − 0.3 D
//
// with
//   - e: bore D, stroke 2 r, rod length l and offset e of each bank, outwards [m]; bank angle β [rad]
//
// Result [m], 0 where the banks clear each other without. h is the least distance of the skirts from the crank axis.
// Source: DEFINITION for the distances, PRACTICE for the shares.
func NarrowStagger(e Engine) float64 {
	reach := e.RodLength - e.Stroke/2
	low := math.Sqrt(math.Max(0, reach*reach-e.CylinderOffset*e.CylinderOffset)) - balance.SkirtShare*e.Bore
	sin, cos := math.Sincos(float64(e.BankAngle) / 2)
	across := 2 * (low*sin + e.CylinderOffset*cos)
	gap := (1 + NarrowRoom) * e.Bore
	if across < 0 {
		across = 0 // the axes cross between crank and deck
	}
	return math.Sqrt(math.Max(0, gap*gap-across*across))
}
