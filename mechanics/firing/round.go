package firing

import "math"

// SameRound reports whether two schedules fire the same cylinders after the same intervals, whichever fires first.
//
//   - b: another schedule of the same engine
//
// Result [-]; intervals may differ by 1e-6 rad. Definition.
func (s Schedule) SameRound(b Schedule) bool {
	if len(s.Order) != len(b.Order) || len(s.Order) == 0 {
		return false
	}
	n, shift := len(s.Order), 0
	for shift < n && b.Order[shift] != s.Order[0] {
		shift++
	}
	if shift == n {
		return false
	}
	for k := range n {
		j := (k + shift) % n
		if s.Order[k] != b.Order[j] || math.Abs(float64(s.Intervals[k]-b.Intervals[j])) > 1e-6 {
			return false
		}
	}
	return true
}
