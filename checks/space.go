package checks

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"crankwright/mechanics/envelope"
	"crankwright/mechanics/mount"
)

// spaces lists the mass properties of solids: numbers that the printed formulas give for round sizes, worked by hand.
func (l *list) spaces() {
	add := func(id, what, unit, printed string, want float64, ours float64) {
		l.add(Check{
			ID: "solid/" + id, Chapter: "envelope", Kind: ClosedForm, Source: "SHOCKHB", Place: "ch. 3, table of the properties of homogeneous solid bodies", Seen: Memory,
			What: what, Unit: unit, Printed: printed, Want: want, Tol: 1e-12 * math.Max(1, math.Abs(want)), TolWhy: "rounding; the formula is exact",
			Ours: func() (float64, error) { return ours, nil },
		})
	}
	const length = 6.0
	tube := func(outer, inner float64, a, u r3.Vec) mount.Body {
		s := envelope.Solid{Kind: envelope.Tube, Density: 1, Fill: 1, Outer: outer, Inner: inner, A: a, B: r3.Add(a, r3.Scale(length, u))}
		return s.Body()
	}
	per := func(b mount.Body, i, k int) float64 { return b.Inertia[i][k] / b.Mass }
	x := r3.Vec{X: 1}
	full := tube(2, 0, r3.Vec{}, x)
	add("cylinder-mass", "mass over pi of a cylinder of radius 2 m, length 6 m and density 1 kg/m³", "kg", "24", 24, full.Mass/math.Pi)
	add("cylinder-along", "I/m about the axis of a cylinder of radius 2 m: R²/2", "m²", "2", 2, per(full, 0, 0))
	add("cylinder-across", "I/m across a cylinder of radius 2 m and length 6 m: (3R² + L²)/12", "m²", "4", 4, per(full, 1, 1))
	ring := tube(3, 1, r3.Vec{}, x)
	add("tube-along", "I/m about the axis of a tube of radii 3 and 1 m: (R² + r²)/2", "m²", "5", 5, per(ring, 0, 0))
	add("tube-across", "I/m across a tube of radii 3 and 1 m, length 6 m: (3R² + 3r² + L²)/12", "m²", "5.5", 5.5, per(ring, 2, 2))
	askew := tube(2, 0, r3.Vec{}, r3.Vec{Y: 0.6, Z: 0.8})
	add("cylinder-turned", "I/m about z of that cylinder with its axis at (0, 0.6, 0.8): 4 − 2·0.64", "m²", "2.72", 2.72, per(askew, 2, 2))
	add("cylinder-product", "I_yz/m of it: (2 − 4)·0.6·0.8", "m²", "-0.96", -0.96, per(askew, 1, 2))
	box := envelope.Box(r3.Vec{}, r3.Vec{X: 1, Y: 2, Z: 3})
	box.Density = 1
	b := box.Body()
	add("box-x", "I/m about x of a box of 1 × 2 × 3 m: (b² + c²)/12", "m²", "13/12", 13./12, per(b, 0, 0))
	add("box-y", "I/m about y of it: (a² + c²)/12", "m²", "10/12", 10./12, per(b, 1, 1))
	wedge := envelope.Solid{Kind: envelope.Prism, Density: 1, Fill: 1, From: 0, To: 4, Section: []complex128{0, 6, complex(0, 3)}}
	w := wedge.Body()
	add("wedge-mass", "mass of a right-angled wedge of 6 × 3 m and 4 m length", "kg", "36", 36, w.Mass)
	add("wedge-along", "I/m of it about the lengthwise axis through its centre: (b² + h²)/18", "m²", "2.5", 2.5, per(w, 0, 0))
	add("wedge-across", "I/m of it about y: h²/18 + L²/12", "m²", "11/6", 11./6, per(w, 1, 1))
	both := mount.Join(tube(2, 0, r3.Vec{}, x), tube(2, 0, r3.Vec{Y: 10}, x))
	add("parallel-axes", "I/m about x of two such cylinders 10 m apart: R²/2 + 5²", "m²", "27", 27, per(both, 0, 0))
}
