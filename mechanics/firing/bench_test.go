package firing

import (
	"fmt"
	"testing"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// evenTDC spreads n top dead centres so that they fire evenly, with pairs for an even number.
func evenTDC(n int) []num.Angle {
	out := make([]num.Angle, n)
	for c := range out {
		out[c] = (layout.FourStroke.Period() * num.Angle(c*13%n) / num.Angle(n)).Wrap(num.Turn)
	}
	return out
}

func benchTrain(n int) *layout.Train {
	t := &layout.Train{}
	for c := range n {
		t.Cylinders = append(t.Cylinders, layout.Cylinder{Bank: c % 2, At: float64(c), Throw: c})
		t.Throws = append(t.Throws, layout.Throw{Pair: c})
	}
	return t
}

func BenchmarkOrders(b *testing.B) {
	for _, n := range []int{4, 8, 12, 16, 20, 24, 56} {
		train, tdc := benchTrain(n), evenTDC(n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				if _, err := Orders(train, tdc, Options{Limit: 10}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkAssign(b *testing.B) {
	for _, n := range []int{4, 8, 16} {
		tdc := evenTDC(n)
		r, _ := newRing(tdc, layout.FourStroke)
		order := r.fromRevolutions(r.evenest(nil, flat{})).Order
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				if _, err := Assign(tdc, layout.FourStroke, order); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkResolveMostEven(b *testing.B) {
	for _, n := range []int{4, 8, 16} {
		train, tdc := benchTrain(n), evenTDC(n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				if _, err := Resolve(train, tdc); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkEvenFiring(b *testing.B) {
	train := vee(90, 0, 0, 90, 270, 150)
	tdc, err := TopDeadCentres(train)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := EvenFiring(train, tdc); err != nil {
			b.Fatal(err)
		}
	}
}
