package torsion

import (
	"errors"
	"fmt"
	"math"
)

// HolzerRow is one line of a Holzer table.
type HolzerRow struct {
	Inertia   float64 // J [kg m²]
	Twist     float64 // θ, 1 at the first disc [1]
	Torque    float64 // (J ω² − k_ground) θ [N m]
	Sum       float64 // of the torques so far, which the next span carries [N m]
	Stiffness float64 // k of the next span [N m/rad]; 0 behind the last disc
	Change    float64 // Sum/k, by which the twist falls to the next disc [1]
}

// ErrNoChain is returned where a table needs a plain row of discs.
var ErrNoChain = errors.New("torsion: a Holzer table needs discs in one row, each joined to the next by a spring; a shaft with branches or viscous films has none")

// chain returns the spans of a row of discs in its sequence.
func (m *Model) chain() ([]Span, error) {
	if err := m.Check(); err != nil {
		return nil, err
	}
	spans := make([]Span, len(m.Discs)-1)
	if len(m.Spans) != len(spans) {
		return nil, ErrNoChain
	}
	for _, s := range m.Spans {
		a, b := min(s.A, s.B), max(s.A, s.B)
		if b != a+1 || !(s.Stiffness > 0) {
			return nil, ErrNoChain
		}
		spans[a] = s
	}
	return spans, nil
}

// Holzer returns the Holzer table of a row of discs at an assumed frequency.
//
//	θ_1 = 1      θ_{i+1} = θ_i − Σ_{j≤i} J_j ω² θ_j/k_i
//
// with
//   - m: discs in one row, each joined to the next by a spring
//   - ω: assumed frequency [rad/s], from 0 to 1e6
//
// Result [N m]: the last Sum is the torque that would have to be added at the end; it is zero at a natural frequency. Errors:
// ErrNoChain, a frequency out of range, those of Check. Source: DENHARTOG, Holzer's method.
func Holzer(m *Model, ω float64) ([]HolzerRow, error) {
	spans, err := m.chain()
	if err != nil {
		return nil, err
	}
	if !(ω >= 0 && ω <= 1e6) {
		return nil, fmt.Errorf("torsion: the assumed frequency must lie between 0 and 1e6 rad/s, it is %g rad/s", ω)
	}
	rows := make([]HolzerRow, len(m.Discs))
	twist, sum := 1.0, 0.0
	for i, d := range m.Discs {
		r := &rows[i]
		r.Inertia, r.Twist = d.Inertia, twist
		r.Torque = (d.Inertia*ω*ω - d.Ground) * twist
		sum += r.Torque
		r.Sum = sum
		if i < len(spans) {
			r.Stiffness = spans[i].Stiffness
			r.Change = sum / r.Stiffness
			twist -= r.Change
		}
		if !finite(r.Torque, sum, twist) {
			return nil, fmt.Errorf("torsion: at %g rad/s the twist of %s grows beyond all numbers; assume a lower frequency", ω, m.disc(i))
		}
	}
	return rows, nil
}

// below counts the natural frequencies below ω: the changes of sign along the table, the torque left over at the end
// being the last.
func (m *Model) below(spans []Span, ω float64) int {
	count := 0
	twist, sum := 1.0, 0.0
	for i, d := range m.Discs {
		sum += (d.Inertia*ω*ω - d.Ground) * twist
		k := 1.0
		if i < len(spans) {
			k = spans[i].Stiffness
		}
		next := twist - sum/k
		if i == len(spans) {
			next = -sum
		}
		if (next < 0) != (twist < 0) {
			count++
		}
		twist = next
		if size := math.Abs(twist) + math.Abs(sum)/k; size > 1e100 { // only signs count
			twist, sum = twist/size, sum/size
		}
	}
	return count
}

// HolzerFrequencies returns the natural frequencies of a row of discs by Holzer's table and bisection.
//
//   - m: discs in one row, each joined to the next by a spring
//
// Result [rad/s], slowest first, one for each disc, 0 where the shaft turns as one: the second method beside Modes. Errors:
// ErrNoChain, those of Check. Source: DENHARTOG, Holzer's method; the number of nodes tells how many
// frequencies lie below.
func HolzerFrequencies(m *Model) ([]float64, error) {
	spans, err := m.chain()
	if err != nil {
		return nil, err
	}
	top, free := 0.0, true
	for i, d := range m.Discs { // no frequency lies above that of the stiffest surroundings of a disc
		k := d.Ground
		free = free && d.Ground == 0
		if i > 0 {
			k += 2 * spans[i-1].Stiffness
		}
		if i < len(spans) {
			k += 2 * spans[i].Stiffness
		}
		top = max(top, k/d.Inertia)
	}
	most := math.Sqrt(top) * (1 + 1e-9)
	out := make([]float64, len(m.Discs))
	for n := range out {
		if n == 0 && free {
			continue
		}
		lo, hi := 0.0, most
		for range 200 {
			mid := (lo + hi) / 2
			if mid <= lo || mid >= hi {
				break
			}
			if m.below(spans, mid) > n {
				hi = mid
			} else {
				lo = mid
			}
		}
		out[n] = (lo + hi) / 2
	}
	return out, nil
}
