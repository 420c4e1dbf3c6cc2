package study

import (
	"encoding/binary"
	"math"
	"testing"
)

// FuzzFront reads any bits as values and wants the front of all pairs.
func FuzzFront(f *testing.F) {
	bits := func(v ...float64) []byte {
		var data []byte
		for _, x := range v {
			data = binary.LittleEndian.AppendUint64(data, math.Float64bits(x))
		}
		return data
	}
	f.Add(bits(1, 2, 2, 1, 1, 2, 0, 3), byte(2), byte(0))
	f.Add(bits(math.NaN(), 1, math.Inf(-1), math.Inf(1), 0, math.Copysign(0, -1)), byte(1), byte(1))
	f.Add(bits(math.SmallestNonzeroFloat64, math.MaxFloat64, -math.MaxFloat64, 0, 5, 5), byte(3), byte(5))
	f.Fuzz(func(t *testing.T, data []byte, columns, more byte) {
		n := int(columns)%8 + 1
		b := NewBatch(n)
		row := make([]float64, n)
		for ; len(data) >= 8*n && b.Len() < 500; data = data[8*n:] {
			for k := range row {
				row[k] = math.Float64frombits(binary.LittleEndian.Uint64(data[8*k:]))
			}
			b.Append(uint64(b.Len()), row)
		}
		aims := make([]Aim, n)
		for k := range aims {
			aims[k] = Aim{Column: k, More: more>>k&1 == 1}
		}
		front := NewFront(aims)
		front.AddBatch(b)
		if want := bruteFront(b, aims); !samePoints(front.Points(), want) {
			t.Fatalf("%v, want %v", front.Points(), want)
		}
	})
}
