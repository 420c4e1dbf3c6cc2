package balance

import (
	"math"
	"testing"
)

func TestGradeNames(t *testing.T) {
	for name, g := range map[string]float64{"G16": 0.016, "g 6.3": 0.0063, "G2,5": -1, "G2.5": 0.0025, "16": -1, "G17": -1, "": -1, "G0.40": 0.0004} {
		got, err := GradeNamed(name)
		if (err == nil) != (g > 0) || err == nil && got.G != g {
			t.Errorf("%q: %v %v", name, got, err)
		}
	}
}

func TestSplitOverTwoPlanes(t *testing.T) {
	for _, c := range []struct {
		a, b, wantA float64
		limited     bool
	}{{0.2, 0.2, 0.5, false}, {0.15, 0.25, 0.625, false}, {0.01, 0.3, 0.7, true}, {0, 0.3, 0.7, true}, {0.3, 0.01, 0.3, true}} {
		a, b, limited, err := SplitUnbalance(2, c.a, c.b)
		if err != nil || math.Abs(a-2*c.wantA) > 1e-12 || math.Abs(a+b-2) > 1e-12 || limited != c.limited {
			t.Errorf("%v: %g %g %v %v", c, a, b, limited, err)
		}
	}
	for _, c := range [][3]float64{{-1, 1, 1}, {1, -0.1, 0.3}, {1, 0, 0}, {math.NaN(), 1, 1}, {1, math.NaN(), 1}, {1, 1e9, 1}} {
		if _, _, _, err := SplitUnbalance(c[0], c[1], c[2]); err == nil {
			t.Errorf("%v was accepted", c)
		}
	}
}

func TestPermissibleUnbalanceOfAnything(t *testing.T) {
	g := Grades()[6]
	for _, v := range []float64{0, -1, math.NaN(), math.Inf(1), 1e300} {
		if _, err := PermissibleUnbalance(g, v, 300); err == nil {
			t.Errorf("mass %g was accepted", v)
		}
		if _, err := PermissibleUnbalance(g, 20, v); err == nil {
			t.Errorf("speed %g was accepted", v)
		}
	}
	if _, err := PermissibleUnbalance(Grade{}, 20, 300); err == nil {
		t.Error("no grade was accepted")
	}
}

func TestResidualAgainstPermissible(t *testing.T) {
	for _, c := range []struct {
		found, permissible float64
		within             bool
	}{{0, 1, true}, {1, 1, true}, {1.01, 1, false}} {
		if r, err := ResidualOf(c.found, c.permissible); err != nil || r.Within != c.within || r.Share != c.found {
			t.Errorf("%+v %v", r, err)
		}
	}
	for _, c := range [][2]float64{{-1, 1}, {1, 0}, {math.NaN(), 1}, {1, math.NaN()}, {math.Inf(1), 1}} {
		if _, err := ResidualOf(c[0], c[1]); err == nil {
			t.Errorf("%v was accepted", c)
		}
	}
}
