package envelope

import (
	"math"
	"math/cmplx"
	"slices"

	"crankwright/mechanics/bearing"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// BlockCam is how far the axis of a camshaft in the block lies beyond the crank radius, over the bore [1]. Source: PRACTICE.
const BlockCam = 0.75

// ringAhead is how far before its row of a star a cam ring and its pushrods stand, over the bore [1]. Source: PRACTICE.
const ringAhead = 0.6

// Star reports whether cylinder axes leave no half turn free, as in a radial engine.
//
//   - axes: of the banks [rad], in any sequence
//
// Definition.
func Star(axes []num.Angle) bool {
	if len(axes) < 3 {
		return false
	}
	sorted := make([]num.Angle, len(axes))
	for i, a := range axes {
		sorted[i] = a.Wrap(num.Turn)
	}
	slices.Sort(sorted)
	widest := sorted[0] + num.Turn - sorted[len(sorted)-1]
	for i := 1; i < len(sorted); i++ {
		widest = max(widest, sorted[i]-sorted[i-1])
	}
	return widest < num.Turn/2-1e-6
}

// pushrods builds the camshaft in the crankcase, or a cam ring before each row of a star, and a pushrod to each valve.
func (f *frame) pushrods() []Solid {
	if f.t.Making.ValveDrive != layout.Pushrods {
		return nil
	}
	axes := make([]num.Angle, len(f.rows))
	for k, r := range f.rows {
		axes[k] = r.Axis
	}
	star := Star(axes)
	at := f.camPlace()
	var out []Solid
	if star {
		for _, bay := range bearing.Bays(f.t) {
			x := bay.Lo - ringAhead*f.bore
			out = append(out, alongX(ValvePart, "cam ring", x-0.075*f.bore, x+0.075*f.bore, 0, 0.75*f.bore, 0.6*f.bore, SteelDensity))
		}
	} else {
		out = f.camshaft("camshaft", f.front, f.rear, at)
	}
	perCylinder := int(math.Round(f.t.Friction.ValvesPerCylinder))
	if perCylinder == 0 {
		perCylinder = 4
	}
	for k := range f.heads {
		r := &f.heads[k].Row
		for _, i := range r.Cylinders {
			c := &f.t.Cylinders[i]
			row := &f.rows[f.rowOf[i]]
			foot, x := at, c.At
			side := real(at * cmplx.Conj(row.at(1, -row.Offset)*1i)) // where the camshaft stands, positive towards axis + 90°
			rocker := row.at(f.joint(r), math.Copysign(0.55*f.bore, side))
			if star { // before the barrel, from the ring out
				foot, rocker, x = row.at(0.75*f.bore, -row.Offset), row.at(f.joint(r), 0), c.At-ringAhead*f.bore
			}
			for v := range perCylinder {
				along := x + 0.12*f.bore*(float64(v)-float64(perCylinder-1)/2)
				out = append(out, Solid{
					Part: ValvePart, Name: "pushrod", Kind: Tube, Density: SteelDensity, Fill: 1,
					A: point(along, foot), B: point(along, rocker), Outer: 0.045 * f.bore, Inner: 0.03 * f.bore,
				})
			}
		}
	}
	return out
}

// camPlace is where the camshaft stands in the crankcase: in the middle of the banks, or beside the cylinders where a bank
// stands in that middle.
func (f *frame) camPlace() complex128 {
	sum := complex(0, 0)
	for _, r := range f.rows {
		sum += r.Axis.Unit() * complex(float64(len(r.Cylinders)), 0)
	}
	axis := num.Angle(0)
	if cmplx.Abs(sum) > 1e-6 {
		axis = num.Angle(cmplx.Phase(sum))
	}
	for _, r := range f.rows {
		if math.Abs(math.Remainder(float64(axis-r.Axis), 2*math.Pi)) < beside {
			axis += num.Turn / 8
			break
		}
	}
	return complex(f.most+BlockCam*f.bore, 0) * 1i * axis.Unit()
}

// beside is the angle to the next row from which a camshaft finds place between rows [rad]. Source: PRACTICE.
const beside = 20 * math.Pi / 180
