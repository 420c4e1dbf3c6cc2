package independent

import (
	"math"
	"math/cmplx"
	"testing"

	"crankwright/mechanics/bearing"
	"crankwright/mechanics/firing"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// What mains and bores together do to the block, without gas, is what the multibody model found: force and moment,
// with the masses of balance shafts, which have bearings of their own, added.
func TestBearingLoadsAgree(t *testing.T) {
	for _, e := range Engines() {
		s, err := firing.ForTrain(&e.Train)
		if err != nil {
			t.Fatal(e.Stem, err)
		}
		raw, err := Committed(e.Stem, Simbody)
		if err != nil {
			t.Fatal(err)
		}
		m, err := bearing.NewMechanism(&e.Train, s, bearing.Options{Method: bearing.Determinate, Samples: 2 * SamplesPerTurn})
		if err != nil {
			t.Fatal(e.Stem, err)
		}
		l, err := m.Loads(nil, [][]float64{nil}, 0, e.Speed)
		if err != nil {
			t.Fatal(e.Stem, err)
		}
		worst, gross := 0.0, e.Gross()
		for j := range raw.ForceY {
			var force, moment complex128
			add := func(f complex128, x float64) {
				force += f
				moment += complex(0, x-e.Train.Reference) * f
			}
			for k, main := range l.Mains {
				add(main[j], m.Mains[k].At)
			}
			asWritten := func(f complex128, x float64) {
				if e.Train.Rotation == layout.Clockwise {
					f = -cmplx.Conj(f)
				}
				add(f, x)
			}
			for _, shaft := range e.Train.Shafts {
				v := e.Speed * shaft.SpeedRatio
				for _, u := range shaft.Masses {
					asWritten(complex(0, u.Amount*v*v)*(u.Angle+m.Angle(j)*num.Angle(shaft.SpeedRatio)).Unit(), u.At)
				}
			}
			for i, of := range l.Of {
				c := &e.Train.Cylinders[i]
				asWritten(complex(0, of.Side[j])*(1i*c.Axis.Unit()), c.At)
			}
			worst = math.Max(worst, cmplx.Abs(force-complex(raw.ForceY[j], raw.ForceZ[j]))/gross.Force)
			worst = math.Max(worst, cmplx.Abs(moment-complex(raw.MomentY[j], raw.MomentZ[j]))/math.Max(gross.Moment, gross.Force*0.1))
			worst = math.Max(worst, math.Abs(l.Torque[j]-raw.Torque[j])/gross.Torque)
		}
		t.Logf("%-18s %.1e of the gross values", e.Stem, worst)
		if !(worst <= Tolerance) {
			t.Errorf("%s: bearing loads differ from the multibody model by %.2g of the gross values; %.2g is accepted", e.Stem, worst, Tolerance)
		}
	}
}

// A rigid crank in two mains loads them by statics alone: what the multibody model found at ground, less what the pistons
// load onto the bores and the balance shafts onto their own bearings, resolves into the two.
func TestTwoMainsAgree(t *testing.T) {
	for _, e := range Engines() {
		if len(e.Train.Shafts) > 0 {
			continue
		}
		s, err := firing.ForTrain(&e.Train)
		if err != nil {
			t.Fatal(e.Stem, err)
		}
		raw, err := Committed(e.Stem, Simbody)
		if err != nil {
			t.Fatal(err)
		}
		ends := bearing.Mains(&e.Train)
		a, b := ends[0].At, ends[len(ends)-1].At
		m, err := bearing.NewMechanism(&e.Train, s, bearing.Options{
			Method: bearing.Determinate, Samples: 2 * SamplesPerTurn, Mains: []bearing.Main{{At: a}, {At: b}},
		})
		if err != nil {
			t.Fatal(e.Stem, err)
		}
		l, err := m.Loads(nil, [][]float64{nil}, 0, e.Speed)
		if err != nil {
			t.Fatal(e.Stem, err)
		}
		worst, gross := 0.0, e.Gross()
		for j := range raw.ForceY {
			force := complex(raw.ForceY[j], raw.ForceZ[j])
			moment := complex(raw.MomentY[j], raw.MomentZ[j])
			for i, of := range l.Of {
				c := &e.Train.Cylinders[i]
				side := complex(0, of.Side[j]) * (1i * c.Axis.Unit())
				if e.Train.Rotation == layout.Clockwise {
					side = -cmplx.Conj(side)
				}
				force -= side
				moment -= complex(0, c.At-e.Train.Reference) * side
			}
			// moment of a force f at x about the reference is i (x − reference) f
			atB := (moment/1i - complex(a-e.Train.Reference, 0)*force) / complex(b-a, 0)
			worst = math.Max(worst, cmplx.Abs(l.Mains[1][j]-atB)/gross.Force)
			worst = math.Max(worst, cmplx.Abs(l.Mains[0][j]-(force-atB))/gross.Force)
		}
		t.Logf("%-18s %.1e of the gross force", e.Stem, worst)
		if !(worst <= 10*Tolerance) {
			t.Errorf("%s: main-bearing forces differ from the multibody model by %.2g of the gross force", e.Stem, worst)
		}
	}
}
