package analysis_test

import (
	"os"
	"testing"

	"crankwright/analysis"
	"crankwright/spec"
)

func benchmarkRun(b *testing.B, file string) {
	data, err := os.ReadFile("../examples/" + file)
	if err != nil {
		b.Fatal(err)
	}
	train, _, err := spec.ReadEngine(file, data, spec.Options{})
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := analysis.Run(train, analysis.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkRunInlineFour(b *testing.B) { benchmarkRun(b, "inline-four-flat.engine.yaml") }
func BenchmarkRunVeeEight(b *testing.B)   { benchmarkRun(b, "vee-eight-90-cross.engine.yaml") }
func BenchmarkRunRadialFive(b *testing.B) { benchmarkRun(b, "radial-five.engine.yaml") }
