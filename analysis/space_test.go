package analysis_test

import (
	"testing"

	"crankwright/analysis"
	"crankwright/mechanics/envelope"
	"crankwright/mechanics/layout"
)

func TestTry(t *testing.T) {
	examples(t, func(name string, tr *layout.Train) {
		s, err := analysis.Space(tr)
		if err != nil {
			t.Error(name, err)
			return
		}
		t.Logf("%-30s L %4.0f W %4.0f H %4.0f banks %4.0f dry %6.1f cg %5.0f block %4.0f crank %4.0f bores %4.0f", name, 1e3*s.Length, 1e3*s.Width, 1e3*s.Height, 1e3*s.Banks, s.Dry.Mass, 1e3*s.CentreAbove, 1e3*(s.Rear-s.Front), 1e3*s.Extents.Crank(), 1e3*s.Extents.Bores())
		for _, c := range s.Clearances {
			t.Logf("      %-45s %6.2f at %4.0f  %s", c.Kind, 1e3*c.Room, c.At.Deg(), c.Parts)
		}
		b, err := envelope.OverBore(tr, []float64{0.8, 0.9, 1, 1.1, 1.2, 1.3})
		if err != nil {
			t.Error(name, err)
			return
		}
		t.Log("      slope", b.Slope, b.Held)
		for _, p := range b.Points {
			t.Logf("      B %5.1f S %5.1f L %5.1f W %5.1f H %5.1f block %5.1f set %d/%d %v least %5.1f", 1e3*p.Bore, 1e3*p.Stroke, 1e3*p.Length, 1e3*p.Width, 1e3*p.Height, 1e3*p.Block, p.BoresSet, len(p.Steps), p.EndsByBores, 1e3*p.LeastBlock)
		}
	})
}

func BenchmarkSpace(b *testing.B) {
	t := exampleTrain(b, "vee-eight-90-cross")
	for b.Loop() {
		if _, err := analysis.Space(t); err != nil {
			b.Fatal(err)
		}
	}
}
