package strength

import (
	"errors"
	"fmt"
	"math"

	"crankwright/num"
)

// Force is what one rod loads onto a pin over the cycle.
type Force struct {
	Pin int          // index into Bay.Pins
	At  float64      // place along the crank of the middle of its bearing [m]
	Of  []complex128 // in the frame of the crank: real part outward along the direction that points up at θ = 0, imaginary part ahead of it in the sense of rotation [N]
}

// Pin is a crankpin of a bay.
type Pin struct {
	Angle  num.Angle // direction of its throw at θ = 0, in the sense of rotation from where the frame points [rad]
	Radius float64   // throw [m]
	At     float64   // place of its middle [m]
	Oil    num.Angle // direction in which its oil bore leaves it, from the throw in the sense of rotation [rad]
}

// Bay is the stretch of a crank between two main bearings, with what its rods load onto it.
type Bay struct {
	From, To float64    // places of the middles of the two mains [m]
	Webs     [2]float64 // places of the middle planes of the webs beside the first and the second main [m]
	Pins     []Pin      // along the crank, at least one
	Forces   []Force
	Torque   []float64 // in the journal before the bay, which the shaft carries from the free end [N m]
}

// Histories are the loads of a bay over the cycle.
type Histories struct {
	Bending [2][]float64 // bending moment in the middle plane of the web beside each main, in the plane of the pin next to it [N m]
	Radial  [2][]float64 // radial force on that web, outward [N]
	OilBore [][]float64  // by pin: bending moment that stresses the mouth of its oil bore [N m]
	Pin     [][]float64  // by pin: torque in its middle [N m]
	After   []float64    // torque in the journal behind the bay [N m]
}

// Load returns the loads of a bay that its two mains carry as simple supports.
//
//	A = Σ F (x_B − x)/(x_B − x_A)      web: M = A_r (x_w − x_A), Q = A_r      pin: M = A (x_p − x_A) − Σ_{x<x_p} F (x_p − x)
//	oil bore: M_r cos ψ + M_t sin ψ      torque in a pin: T + r A_t, less what rods before its middle add
//
// with
//   - b: a bay; forces of rods alone: what turns with the crank at constant speed adds nothing that alternates
//
// Result [N, N m], as long as the forces. A_r is the part of the reaction along the throw of the pin next to the web, which
// counts as bending that opens or closes the throw; ψ is the direction of the bore from the throw. Errors: places out of
// order, histories of different length. Source: IACSM53, bending moments and radial forces of a throw between two
// mains taken as a simple beam; DEFINITION, statics.
func (b *Bay) Load() (*Histories, error) {
	n, err := b.check()
	if err != nil {
		return nil, err
	}
	h := &Histories{}
	for side := range 2 {
		h.Bending[side], h.Radial[side] = make([]float64, n), make([]float64, n)
	}
	h.OilBore, h.Pin = make([][]float64, len(b.Pins)), make([][]float64, len(b.Pins))
	for i := range b.Pins {
		h.OilBore[i], h.Pin[i] = make([]float64, n), make([]float64, n)
	}
	h.After = make([]float64, n)
	length := b.To - b.From
	last := len(b.Pins) - 1
	for j := range n {
		var first, second complex128 // what the crank loads onto the two mains; the reactions are opposite
		torque := 0.0
		for _, f := range b.Forces {
			share := (b.To - f.At) / length
			first += f.Of[j] * complex(share, 0)
			second += f.Of[j] * complex(1-share, 0)
			p := &b.Pins[f.Pin]
			torque += imag(along(f.Of[j], p.Angle)) * p.Radius
		}
		before := 0.0
		if b.Torque != nil {
			before = b.Torque[j]
		}
		h.After[j] = before + torque
		a, z := real(along(first, b.Pins[0].Angle)), real(along(second, b.Pins[last].Angle))
		h.Radial[0][j], h.Radial[1][j] = a, z
		h.Bending[0][j], h.Bending[1][j] = a*(b.Webs[0]-b.From), z*(b.To-b.Webs[1])
		for i := range b.Pins {
			p := &b.Pins[i]
			moment := first * complex(p.At-b.From, 0)
			shear := first
			t := before
			for _, f := range b.Forces {
				if f.At < p.At {
					moment -= f.Of[j] * complex(p.At-f.At, 0)
					shear -= f.Of[j]
					q := &b.Pins[f.Pin]
					t += imag(along(f.Of[j], q.Angle)) * q.Radius
				}
			}
			m := along(moment, p.Angle)
			sin, cos := math.Sincos(float64(p.Oil))
			h.OilBore[i][j] = real(m)*cos + imag(m)*sin
			// about the pin's own axis the shear that passes through it has no lever; about the crank's it has
			h.Pin[i][j] = t + p.Radius*imag(along(shear, p.Angle))
		}
	}
	return h, nil
}

// along brings a force into the frame of a direction: real part outward along it, imaginary part ahead.
func along(f complex128, a num.Angle) complex128 {
	sin, cos := math.Sincos(-float64(a))
	return f * complex(cos, sin)
}

func (b *Bay) check() (n int, err error) {
	if !(b.From < b.Webs[0] && b.Webs[0] < b.Webs[1] && b.Webs[1] < b.To) || !(b.To-b.From < 100) {
		return 0, fmt.Errorf("strength: mains and webs of a bay must follow each other along the crank; they stand at %.4g, %.4g, %.4g and %.4g mm", 1e3*b.From, 1e3*b.Webs[0], 1e3*b.Webs[1], 1e3*b.To)
	}
	if len(b.Pins) == 0 {
		return 0, errors.New("strength: a bay needs a crankpin")
	}
	for _, p := range b.Pins {
		if !(p.At > b.From && p.At < b.To) || !(p.Radius > 0 && p.Radius < 10) || !(math.Abs(float64(p.Angle)) < 1e6) || !(math.Abs(float64(p.Oil)) < 1e6) {
			return 0, fmt.Errorf("strength: a crankpin at %.4g mm with a throw of %.4g mm does not stand between its mains", 1e3*p.At, 1e3*p.Radius)
		}
	}
	n = len(b.Torque)
	for _, f := range b.Forces {
		if f.Pin < 0 || f.Pin >= len(b.Pins) {
			return 0, fmt.Errorf("strength: there is no crankpin %d in the bay", f.Pin+1)
		}
		if !(f.At > b.From && f.At < b.To) {
			return 0, fmt.Errorf("strength: a rod at %.4g mm does not stand between the mains at %.4g and %.4g mm", 1e3*f.At, 1e3*b.From, 1e3*b.To)
		}
		if n == 0 {
			n = len(f.Of)
		}
		if len(f.Of) != n {
			return 0, errors.New("strength: the histories of a bay must be of one length")
		}
	}
	if n == 0 {
		return 0, errors.New("strength: a bay needs at least one history of forces")
	}
	return n, nil
}

// Alternating returns what alternates in a history.
//
//	amplitude = (max − min)/2      mean = (max + min)/2
//
// with
//   - history: values over the cycle [any unit]
//
// Result [unit of the history]; 0 for an empty one. Source: IACSM53.
func Alternating(history []float64) (amplitude, mean float64) {
	if len(history) == 0 {
		return 0, 0
	}
	lo, hi := history[0], history[0]
	for _, v := range history {
		lo, hi = math.Min(lo, v), math.Max(hi, v)
	}
	return (hi - lo) / 2, (hi + lo) / 2
}
