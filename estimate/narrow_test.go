package estimate_test

import (
	"math"
	"testing"

	"crankwright/estimate"
	"crankwright/num"
)

// By hand, 15° between the banks of 81 × 90 mm with rods of 144 mm: skirts come down to √(99² − 12.15²) − 24.3 = 73.95 mm; there the
// axes are 2 (73.95 · 0.130526 + 12.15 · 0.991445) = 43.40 mm apart across the crank, so that 82.62 mm ask for 70.30 mm along it.
func TestNarrowVeeByHand(t *testing.T) {
	e := estimate.Unknown()
	e.Bore, e.Stroke, e.RodLength, e.BankAngle, e.Cylinders, e.RodsPerPin = 0.081, 0.09, 0.144, num.Degrees(15), 6, 2
	got, _ := estimate.Fill(e)
	if math.Abs(got.CylinderOffset-0.01215) > 1e-9 || math.Abs(got.BankStagger-0.07030) > 5e-6 || got.CylinderSpacing < 2*got.BankStagger {
		t.Errorf("offset %g m, stagger %g m, spacing %g m", got.CylinderOffset, got.BankStagger, got.CylinderSpacing)
	}
	e.CylinderSpacing = 0.13
	if got, _ = estimate.Fill(e); got.BankStagger != 0.065 {
		t.Errorf("with 130 mm between the cylinders of a bank the banks are staggered by %g m", got.BankStagger)
	}
	for angle, want := range map[float64]bool{0: false, 10: true, 26: true, 27: false, 60: false, 180: false, 350: false} { // 2 · 189 sin(β/2) = 1.08 · 81 mm at 26.76°
		if e.BankAngle = num.Degrees(angle); estimate.Narrow(e) != want {
			t.Errorf("a vee of %g° is narrow: %t", angle, !want)
		}
	}
	if estimate.Narrow(estimate.Unknown()) {
		t.Error("an engine of which nothing is known is a narrow vee")
	}
}
