package decision

import (
	"context"
	"testing"

	"crankwright/analysis"
)

func BenchmarkDoubts(b *testing.B) {
	c := candidate(b, "../examples/vee-four-90-offset-070.engine.yaml")
	for _, bench := range []struct {
		name string
		c    Candidate
		opt  analysis.Options
	}{
		{"balance", text(shortFour), analysis.Options{}},
		{"torque, space and parts", c, analysis.Options{Drive: true, Space: true, Parts: true}},
		{"lasting too", c, analysis.Options{Drive: true, Space: true, Parts: true, Lasting: true}},
	} {
		b.Run(bench.name, func(b *testing.B) {
			for b.Loop() {
				d, err := DoubtsOf(context.Background(), bench.c, bench.opt, DoubtOptions{})
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(float64(len(d.List)), "doubts")
			}
		})
	}
}
