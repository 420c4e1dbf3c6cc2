package spec

import (
	"math"
	"strings"
	"testing"
)

func TestInUnit(t *testing.T) {
	for _, c := range []struct {
		text, unit string
		want       float64
	}{
		{"2 kN", "N", 2000},
		{"41 deg", "deg", 41},
		{"90 °", "deg", 90},
		{"1 in", "mm", 25.4},
		{"0.5", "%", 50},
		{"50 %", "1", 0.5},
		{"50 %", "%", 50},
		{"3", "1", 3},
		{"0", "N m", 0},
		{"-2e3 N mm", "N m", -2},
		{"3 kg m2", "kg m²", 3},
		{"12 points", "points", 12},
		{"1 l", "cm³", 1000},
		{"36 m/s", "m/s", 36},
	} {
		got, err := InUnit(c.text, c.unit)
		if err != nil || math.Abs(got-c.want) > 1e-12*math.Abs(c.want) {
			t.Errorf("%s in %s: want %g, have %g, %v", c.text, c.unit, c.want, got, err)
		}
	}
	for text, words := range map[string]string{
		"2": "write it, such as '2 N'", "2 deg": "deg is not a unit of what is measured in N", "2 newtons": "\"newtons\" is not a unit; a number in N",
		"two": "not a number", "": "empty", "2,5 N": "decimal point",
	} {
		if x, err := InUnit(text, "N"); err == nil || !strings.Contains(err.Error(), words) {
			t.Errorf("%q: want %q, have %g, %v", text, words, x, err)
		}
	}
}
