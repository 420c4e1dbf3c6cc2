package independent

import (
	"math"
	"math/cmplx"
	"testing"

	"crankwright/mechanics/balance"
	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
)

// The shafts that were written down are those that the search finds, to seven digits.
func TestFoundIsFoundAgain(t *testing.T) {
	for _, c := range []struct {
		bare, found layout.Train
		task        balance.ShaftTask
	}{{bareThree(), inlineThreeFound(), threeTask()}, {bareFour(), inlineFourFound(), fourTask()}} {
		a, err := balance.FindShafts(&c.bare, c.task)
		if err != nil || a.Smallest < 0 {
			t.Fatal(err, a)
		}
		s := a.Sets[a.Smallest]
		same := func(got, want []layout.Unbalance) {
			if len(got) != len(want) {
				t.Fatalf("%s: masses %+v, written down are %+v", c.bare.Name, got, want)
			}
			for i := range got {
				if math.Abs(got[i].At-want[i].At) > 1e-9 || math.Abs(float64(got[i].Angle-want[i].Angle)) > 1e-7 || math.Abs(got[i].Amount-want[i].Amount) > 5e-7*want[i].Amount {
					t.Errorf("%s: mass %+v, written down is %+v", c.bare.Name, got[i], want[i])
				}
			}
		}
		same(s.Counterweights, c.found.Counterweights)
		if len(s.Shafts) != len(c.found.Shafts) {
			t.Fatalf("%s: %d shafts", c.bare.Name, len(s.Shafts))
		}
		for i, shaft := range s.Shafts {
			w := c.found.Shafts[i]
			if shaft.SpeedRatio != w.SpeedRatio || math.Hypot(shaft.Y-w.Y, shaft.Z-w.Z) > 1e-9 {
				t.Errorf("%s: shaft %+v, written down is %+v", c.bare.Name, shaft, w)
			}
			same(shaft.Masses, w.Masses)
		}
	}
}

// In the multibody program's output, and in the central differences, what the shafts are to take is gone,
// and of the roll moment what our search says is left.
func TestFoundShaftsWorkElsewhere(t *testing.T) {
	for _, source := range []Source{Simbody, Numeric} {
		three, four := inlineThreeFound(), inlineFourFound()
		for _, c := range []struct {
			engine Engine
			bare   layout.Train
			order  int
		}{{Engine{"inline-three-found", three, 590}, bareThree(), 1}, {Engine{"inline-four-found", four, 570}, bareFour(), 2}} {
			raw, err := Committed(c.engine.Stem, source)
			if err != nil {
				t.Fatal(err)
			}
			var s inertia.Solver
			b, err := s.Solve(nil, &c.bare, inertia.Options{})
			if err != nil {
				t.Fatal(err)
			}
			square := c.engine.Speed * c.engine.Speed
			share := func(y, z []float64, with, against complex128) float64 {
				p, q := planeOrder(raw.Angle, y, z, c.order)
				return (cmplx.Abs(p) + cmplx.Abs(q)) / (square * (cmplx.Abs(with) + cmplx.Abs(against)))
			}
			if c.order == 1 {
				with, against := b.Moment.Order(2)
				if left := share(raw.MomentY, raw.MomentZ, with, against); left > 1e-6 {
					t.Errorf("%s: %.2g of the first-order moment is left", source, left)
				}
				continue
			}
			with, against := b.Force.Order(4)
			if left := share(raw.ForceY, raw.ForceZ, with, against); left > 1e-6 {
				t.Errorf("%s: %.2g of the second-order force is left", source, left)
			}
			none := make([]float64, len(raw.Roll))
			p, _ := planeOrder(raw.Angle, raw.Roll, none, 2)
			task := fourTask()
			a, err := balance.FindShafts(&c.bare, task)
			if err != nil {
				t.Fatal(err)
			}
			if left, ours := 2*cmplx.Abs(p)/square, a.Sets[a.Smallest].Left[1].After; math.Abs(left-ours) > 1e-6*a.Sets[a.Smallest].Left[1].Before {
				t.Errorf("%s: roll moment %.8g kg m² is left, ours says %.8g", source, left, ours)
			}
		}
	}
}

// planeOrder returns the parts of one order that turn with and against the crank.
func planeOrder(angle, y, z []float64, n int) (with, against complex128) {
	for j, θ := range angle {
		w := complex(y[j], z[j]) / complex(float64(len(angle)), 0)
		turn := cmplx.Exp(complex(0, float64(n)*θ))
		with += w * cmplx.Conj(turn)
		against += w * turn
	}
	return with, against
}
