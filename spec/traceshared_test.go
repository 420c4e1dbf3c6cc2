package spec

import (
	"math"
	"strings"
	"testing"

	"crankwright/mechanics/firing"
	"crankwright/mechanics/gas"
)

// TestSharedAngles places four columns that stand on the crank angle of the first cylinder by the firing order.
func TestSharedAngles(t *testing.T) {
	head := okHead + "layout: {arrangement: inline, cylinders: 4, pins: [0, 180, 180, 0] deg, firing_order: [1, 3, 4, 2]}\n" +
		"gas: {compression_ratio: 10, trace: p.csv, trace_pegging: none}\n"
	train, e := read(t, head)
	// the case has the peaks of cylinder 2 at 180 deg and those of 3 at −180: it fires 1, 2, 4, 3
	text := strings.Replace(traceCases[15].text, "p2 [bar],p3 [bar]", "p3 [bar],p2 [bar]", 1)
	if err := e.ReadMeasured(train, "", func(string) ([]byte, error) { return []byte(text), nil }); err != nil {
		t.Fatal(err)
	}
	s, err := firing.ForTrain(train)
	if err != nil {
		t.Fatal(err)
	}
	first := 0.0
	for i := range train.Cylinders {
		r, err := gas.IndicateCylinder(train, s, i, 1e5, 0)
		if err != nil {
			t.Fatal(err)
		}
		if i == 0 {
			first = r.IMEP
		}
		if math.Abs(r.PeakAngle.Deg()-12) > 0.2 || math.Abs(r.IMEP-first) > 1e-4*first {
			t.Errorf("cylinder %d peaks at %g deg with an imep of %g Pa, the first has %g Pa", i+1, r.PeakAngle.Deg(), r.IMEP, first)
		}
	}
	train.Gas.Measured = nil
	if _, err := gas.IndicateCylinder(train, s, 0, 1e5, 0); err == nil {
		t.Error("a train without a trace is accepted")
	}
}
