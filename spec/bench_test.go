package spec

import (
	"os"
	"testing"
)

func BenchmarkReadEngine(b *testing.B) {
	data, err := os.ReadFile("../examples/vee-eight-90-cross.engine.yaml")
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := ReadEngine("vee-eight.engine.yaml", data, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
