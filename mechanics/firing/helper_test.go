package firing

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// inline builds an inline engine with one throw a cylinder, at pins [deg].
func inline(cycle layout.Cycle, pins ...float64) *layout.Train {
	t := &layout.Train{Cycle: cycle, Bore: 0.08, Banks: []layout.Bank{{Name: "1"}}}
	for i, p := range pins {
		x := 0.09 * float64(i)
		t.Throws = append(t.Throws, layout.Throw{Name: fmt.Sprint("T", i+1), At: x, Angle: num.Degrees(p), Radius: 0.045, Pair: i})
		t.Cylinders = append(t.Cylinders, layout.Cylinder{Name: fmt.Sprint(i + 1), Throw: i, At: x, Rod: layout.Rod{Length: 0.145}})
	}
	return t
}

// vee builds a vee with two cylinders a throw, bank 1 at −angle/2 and bank 2 at +angle/2, numbered
// by bank; the pins of bank 2 trail by split [deg].
func vee(angle, split float64, pins ...float64) *layout.Train {
	t := &layout.Train{Bore: 0.08}
	for b, side := range []float64{-0.5, 0.5} {
		axis := num.Degrees(side * angle)
		t.Banks = append(t.Banks, layout.Bank{Name: fmt.Sprint("bank ", b+1), Axis: axis})
		for i, p := range pins {
			x := 0.1*float64(i) + 0.02*float64(b)
			throw := i
			if split != 0 {
				throw = 2*i + b
			}
			t.Cylinders = append(t.Cylinders, layout.Cylinder{
				Name: fmt.Sprint(len(t.Cylinders) + 1), Throw: throw, Bank: b,
				At: x, Axis: axis, Rod: layout.Rod{Length: 0.145},
			})
			_ = p
		}
	}
	for i, p := range pins {
		if split == 0 {
			t.Throws = append(t.Throws, layout.Throw{Name: fmt.Sprint("T", i+1), At: 0.1 * float64(i), Angle: num.Degrees(p), Radius: 0.045, Pair: i})
			continue
		}
		for b := range 2 {
			t.Throws = append(t.Throws, layout.Throw{
				Name: fmt.Sprint("T", i+1, "ab"[b:b+1]), At: 0.1*float64(i) + 0.02*float64(b),
				Angle: num.Degrees(p - split*float64(b)), Radius: 0.045, Pair: 2 * i,
			})
		}
	}
	return t
}

// radial builds k cylinders round one throw, plain rods.
func radial(k int) *layout.Train {
	t := &layout.Train{Bore: 0.08, Throws: []layout.Throw{{Name: "T1", Radius: 0.045}}}
	for i := range k {
		axis := num.Degrees(360 * float64(i) / float64(k))
		t.Banks = append(t.Banks, layout.Bank{Name: fmt.Sprint("bank ", i+1), Axis: axis})
		t.Cylinders = append(t.Cylinders, layout.Cylinder{Name: fmt.Sprint(i + 1), Bank: i, Axis: axis, Rod: layout.Rod{Length: 0.145}})
	}
	return t
}

func must[T any](v T, err error) func(*testing.T) T {
	return func(t *testing.T) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func parseOrder(s string) []int {
	var out []int
	for _, f := range strings.Split(s, "-") {
		n, err := strconv.Atoi(f)
		if err != nil {
			panic(err)
		}
		out = append(out, n-1)
	}
	return out
}

func degs(as []num.Angle) []float64 {
	out := make([]float64, len(as))
	for i, a := range as {
		out[i] = math.Round(a.Deg()*1e6) / 1e6
	}
	return out
}

func closeTo(a, b []float64) bool {
	return slices.EqualFunc(a, b, func(x, y float64) bool { return math.Abs(x-y) < 1e-5 })
}

// turned says whether b is a rotation of a.
func turned(a, b []float64) bool {
	for i := range a {
		if closeTo(append(slices.Clone(a[i:]), a[:i]...), b) {
			return true
		}
	}
	return len(a) == 0 && len(b) == 0
}
