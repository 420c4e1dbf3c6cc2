package firing

import (
	"testing"

	"crankwright/mechanics/layout"
)

// The firing column of the layout table and the facts of common practice: the most even intervals
// of each layout, up to the choice of the first. Source: CHECKS §2 (computed there independently)
// and "a shared-pin vee fires at its bank angle or 360° later".
func TestIntervalsOfCommonLayouts(t *testing.T) {
	for _, c := range []struct {
		name  string
		train *layout.Train
		want  []float64
	}{
		{"single", inline(layout.FourStroke, 0), []float64{720}},
		{"inline 2, 360", inline(layout.FourStroke, 0, 0), []float64{360, 360}},
		{"inline 2, 180", inline(layout.FourStroke, 0, 180), []float64{180, 540}},
		{"inline 2, 90/270", inline(layout.FourStroke, 0, 270), []float64{270, 450}},
		{"inline 2, 270/90", inline(layout.FourStroke, 0, 90), []float64{270, 450}},
		{"inline 3", inline(layout.FourStroke, 0, 240, 120), rep(3, 240)},
		{"inline 4 flat", inline(layout.FourStroke, 0, 180, 180, 0), rep(4, 180)},
		{"inline 4 cross", inline(layout.FourStroke, 0, 90, 270, 180), []float64{180, 90, 180, 270}},
		{"inline 5", inline(layout.FourStroke, 0, 216, 144, 72, 288), rep(5, 144)},
		{"inline 6", inline(layout.FourStroke, 0, 120, 240, 240, 120, 0), rep(6, 120)},
		{"inline 8", inline(layout.FourStroke, 0, 180, 90, 270, 270, 90, 180, 0), rep(8, 90)},
		{"V2 45", vee(45, 0, 0), []float64{315, 405}},
		{"V2 60", vee(60, 0, 0), []float64{300, 420}},
		{"V2 90", vee(90, 0, 0), []float64{270, 450}},
		{"V2 120", vee(120, 0, 0), []float64{240, 480}},
		{"V4 90, pins 0,180", vee(90, 0, 0, 180), []float64{180, 90, 180, 270}},
		{"V6 60, split 60", vee(60, 60, 0, 240, 120), rep(6, 120)},
		// By Σ interval² this is more even than 90-150, which the trade prefers; see TestNamedIntervals.
		{"V6 90 shared", vee(90, 0, 0, 240, 120), []float64{120, 90, 120, 120, 150, 120}},
		{"V6 90, split 30", vee(90, 30, 0, 240, 120), rep(6, 120)},
		{"V6 120 shared", vee(120, 0, 0, 240, 120), rep(6, 120)},
		{"V8 90 cross", vee(90, 0, 0, 90, 270, 180), rep(8, 90)},
		{"V8 90 flat", vee(90, 0, 0, 180, 180, 0), rep(8, 90)},
		{"V8 60 flat", vee(60, 0, 0, 180, 180, 0), []float64{60, 120, 60, 120, 60, 120, 60, 120}},
		{"V10 72", vee(72, 0, 0, 216, 144, 72, 288), rep(10, 72)},
		{"V12 60", vee(60, 0, 0, 120, 240, 240, 120, 0), rep(12, 60)},
		{"V16 45", vee(45, 0, 0, 90, 270, 180, 180, 270, 90, 0), rep(16, 45)},
		{"flat 2 boxer", vee(180, 180, 0), rep(2, 360)},
		{"flat 2 one pin", vee(180, 0, 0), []float64{180, 540}},
		{"flat 4 boxer", vee(180, 180, 0, 180), rep(4, 180)},
		{"flat 6 boxer", vee(180, 180, 0, 240, 120), rep(6, 120)},
		{"flat 4 shared pins", vee(180, 0, 0, 180), rep(4, 180)},
		{"flat 8 shared", vee(180, 0, 0, 90, 270, 180), rep(8, 90)},
		{"flat 12 shared", vee(180, 0, 0, 120, 240, 240, 120, 0), rep(12, 60)},
		{"radial 3", radial(3), rep(3, 240)},
		{"radial 5", radial(5), rep(5, 144)},
		{"radial 7", radial(7), rep(7, 720.0/7)},
		{"radial 9", radial(9), rep(9, 80)},
		{"two-stroke inline 3", inline(layout.TwoStroke, 0, 240, 120), rep(3, 120)},
		{"two-stroke inline 4", inline(layout.TwoStroke, 0, 180, 180, 0), []float64{0, 180, 0, 180}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := must(ForTrain(c.train))(t)
			if got := degs(s.Intervals); !turned(got, c.want) {
				t.Errorf("%s: intervals %v, want %v", s.Label(nil), got, c.want)
			}
		})
	}
}

func rep(n int, x float64) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = x
	}
	return out
}
