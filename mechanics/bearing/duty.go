package bearing

import (
	"math"
	"math/cmplx"

	"crankwright/mechanics/layout"
)

// GrooveShare is the share of a bearing's width that an oil groove all round it takes [1]. Source: PRACTICE.
const GrooveShare = 0.2

// GapOf returns the oil film of a bearing.
//
//	land = width, or with a groove all round two lands of width (1 − GrooveShare)/2
//
// with
//   - bearing: diameter and width [m], as MainBearing or PinBearing returns them
//   - seat: its clearance and groove; no clearance is that of a thousandth of the diameter
//
// Result [m], as Gap.Validate wants it where the bearing has sizes. Source: PRACTICE.
func GapOf(bearing layout.Journal, seat layout.Seat) Gap {
	g := Gap{Diameter: bearing.Diameter, Width: bearing.Width, Lands: 1, Clearance: seat.Clearance / 2}
	if g.Clearance == 0 {
		g.Clearance = bearing.Diameter * 1e-3 / 2
	}
	if seat.Grooved {
		g.Lands, g.Width = 2, bearing.Width*(1-GrooveShare)/2
	}
	return g
}

// MainDuty returns what the oil film of a main bearing has to carry over one cycle.
//
//   - l: of Loads, at a speed above 0
//   - main: index of the main
//
// Result [N] and [rad/s] in the block's frame of the train as written, in which the crank turns anticlockwise: for a
// clockwise engine the mirror image of Loads. Errors: those of PolarMain. Definition.
func (m *Mechanism) MainDuty(l *Loads, main int) (Duty, error) {
	force, err := m.PolarMain(nil, l, main, InBlock)
	if err != nil {
		return Duty{}, err
	}
	if m.train.Rotation == layout.Clockwise {
		for j, f := range force {
			force[j] = -cmplx.Conj(f)
		}
	}
	d := Duty{Load: m.oneCycle(force), Turns: m.turns(), Speed: l.Speed, Journal: []float64{l.Speed}}
	return d, d.Validate()
}

// BigEndDuty returns what the oil film of a big end has to carry over one cycle.
//
//	load on the pin = −force of the rod on the pin      journal  ω − ω_rod      sleeve at rest
//
// with
//   - l: of Loads, at a speed above 0
//   - cylinder: index of the cylinder; that of a linked rod is the knuckle pin, which only rocks
//   - sharing: other cylinders whose rods share its bearing; the bush moves with the rod of cylinder
//
// Result [N] and [rad/s] in the frame of that rod: real part towards the small end, imaginary part ahead of it in the
// sense of rotation. The speed of the rod is that of its direction from sample to sample, exact to 10⁻⁴ at 720 samples.
// Errors: those of PolarBigEnd. Definition.
func (m *Mechanism) BigEndDuty(l *Loads, cylinder int, sharing ...int) (Duty, error) {
	force, err := m.PolarBigEnd(nil, l, cylinder, InRod, sharing...)
	if err != nil {
		return Duty{}, err
	}
	r := &m.rods[cylinder]
	turn := func(of *rod, j int) float64 { // angle over ω
		half := m.n / 2
		swing := cmplx.Phase(of.toward[(j+1)%half] * cmplx.Conj(of.toward[(j-1+half)%half]))
		return swing / (2 * float64(m.Step()))
	}
	journal := make([]float64, m.n)
	for j := range force {
		force[j] = -force[j]
		pin := 1.0
		if r.master >= 0 {
			pin = turn(&m.rods[r.master], j)
		}
		journal[j] = l.Speed * (pin - turn(r, j))
	}
	d := Duty{Load: m.oneCycle(force), Turns: m.turns(), Speed: l.Speed}
	d.Journal = journal[:len(d.Load)]
	return d, d.Validate()
}

// turns is the number of revolutions of a cycle.
func (m *Mechanism) turns() float64 {
	return math.Round(float64(m.Cycle.Period() / (2 * math.Pi)))
}

// oneCycle cuts two revolutions down to a cycle.
func (m *Mechanism) oneCycle(force []complex128) []complex128 { return force[:m.CycleSamples()] }
