package inertia

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"crankwright/mechanics/layout"
	"crankwright/mechanics/motion"
	"crankwright/num"
)

// TestTwoMassError holds what the two-mass replacement gets wrong against what ExcessInertia says, rod by rod.
func TestTwoMassError(t *testing.T) {
	const ω = 300.0
	rapid.Check(t, func(rt *rapid.T) {
		train := anyTrain(rt)
		var s Solver
		grid := num.NewGrid(720)
		curves := func(two bool) *Curves {
			b, err := s.Solve(nil, train, Options{TwoMass: two})
			if err != nil {
				rt.Skip(err)
			}
			return s.Curves(nil, b, grid, ω)
		}
		exact, two := curves(false), curves(true)
		mirror := 1.0
		if train.Rotation == layout.Clockwise {
			mirror = -1
		}
		for j := 0; j < grid.Len(); j += 7 {
			torque, roll, size := 0.0, 0.0, 1.0
			for i := range train.Cylinders {
				link, _, phase := motion.LinkageOf(train, i)
				at, err := link.At(phase + grid.Angle(j))
				if err != nil {
					rt.Skip(err)
				}
				couple := ExcessInertia(train.Cylinders[i].Rod) * at.Rod.Acc * ω * ω
				torque -= couple * at.Rod.Vel
				roll -= couple * (1 - at.Rod.Vel)
				size += math.Abs(ExcessInertia(train.Cylinders[i].Rod)) * ω * ω
			}
			if got := two.Torque[j] - exact.Torque[j]; math.Abs(got-torque) > 1e-8*size {
				rt.Fatalf("angle %d: the torque is off by %g N m, not %g", j, got, torque)
			}
			if got := two.Roll[j] - exact.Roll[j]; math.Abs(got-mirror*roll) > 1e-8*size {
				rt.Fatalf("angle %d: the roll moment is off by %g N m, not %g", j, got, mirror*roll)
			}
		}
	})
}

// Definition: a motion has no more orders to speak of where its terms cancel. A rod whose weight lies almost at the crankpin
// leaves next to no torque, and what was rounded on the way to it is not to be taken for orders.
func TestCancelledTermsMakeNoOrders(t *testing.T) {
	for _, cg := range []float64{0, 1e-6, 0.0009765625, 0.01} {
		for _, offset := range []float64{0, 0.01} {
			train := &layout.Train{Name: "one", Bore: 0.08, Throws: []layout.Throw{{Name: "T", Radius: 0.04}}}
			train.Cylinders = []layout.Cylinder{{
				Name: "1", Offset: offset, Piston: layout.Piston{Mass: 0.0005},
				Rod: layout.Rod{Length: 0.2, Mass: 1, CG: cg, Inertia: 0.004},
			}}
			for _, two := range []bool{false, true} {
				var s Solver
				b, err := s.Solve(nil, train, Options{TwoMass: two})
				if err != nil {
					t.Fatal(err)
				}
				if got := len(b.Torque) - 1; got > 2*24 {
					t.Errorf("weight %g m from the pin, offset %g m, two masses %v: %d half orders", cg, offset, two, got)
				}
			}
		}
	}
}
