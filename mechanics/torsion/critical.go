package torsion

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Critical is a crank speed at which an order drives a mode at its natural frequency.
type Critical struct {
	Mode  int     // index into the modes
	K     int     // twice the order
	Speed float64 // of the crank [rad/s]
}

// Criticals returns the critical speeds within a range of crank speeds, slowest first.
//
//	ω = 2 ω_n/k
//
// with
//   - modes: those of the shaft; modes at 0 are left out
//   - orders: highest half order k [1]
//   - lo, hi: crank speeds [rad/s]
//
// Result [rad/s]. Errors: a range that is none. Source: DENHARTOG, critical speeds.
func Criticals(modes []Mode, orders int, lo, hi float64) ([]Critical, error) {
	if err := checkOrders(orders); err != nil {
		return nil, err
	}
	if err := checkRange(lo, hi); err != nil {
		return nil, err
	}
	var out []Critical
	for i, m := range modes {
		if !(m.Frequency > 0) || !finite(m.Frequency) {
			continue
		}
		for k := 1; k <= orders; k++ {
			if ω := 2 * m.Frequency / float64(k); ω >= lo && ω <= hi {
				out = append(out, Critical{Mode: i, K: k, Speed: ω})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Critical) int { return cmp.Compare(a.Speed, b.Speed) })
	return out, nil
}

func checkOrders(k int) error {
	if k < 1 || k > MaxOrders {
		return fmt.Errorf("torsion: the highest order must lie between 0.5 and %d, such as 12, it is %g", MaxOrders/2, float64(k)/2)
	}
	return nil
}

func checkRange(lo, hi float64) error {
	if !(lo >= 0 && hi <= MaxSpeed && lo <= hi) {
		return fmt.Errorf("torsion: the range of speeds must run upwards between 0 and %g rad/s, it runs from %g to %g rad/s", MaxSpeed, lo, hi)
	}
	return nil
}

// Magnifier returns how much one mode with viscous damping magnifies at a share of its natural frequency.
//
//	M = 1/√( (1 − g²)² + (2 ζ g)² )
//
// with
//   - g: frequency over natural frequency [1]
//   - ζ: damping over critical damping [1]
//
// Result [1]; ok is false where it would be infinite. Source: DENHARTOG, ch. 2.
func Magnifier(g, ζ float64) (magnifier float64, ok bool) {
	m := 1 / math.Hypot(1-g*g, 2*ζ*g)
	if !finite(m) {
		return 0, false
	}
	return m, true
}
