package envelope

import (
	"math"
	"math/cmplx"
	"testing"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// leaning is one cylinder that leans, with an offset, and the sizes that a frame needs.
func leaning() *layout.Train {
	return &layout.Train{
		Name: "one", Bore: 0.086, Cycle: layout.FourStroke, Arrangement: layout.Custom, Speeds: layout.Speeds{Rated: 500},
		Throws:    []layout.Throw{{Name: "T1", Radius: 0.043, Unbalance: 0.01}},
		Banks:     []layout.Bank{{Name: "1", Axis: num.Degrees(30)}},
		Cylinders: []layout.Cylinder{{Name: "1", Axis: num.Degrees(30), Offset: 0.008, Piston: layout.Piston{Mass: 0.4, CompressionHeight: 0.033}, Rod: layout.Rod{Length: 0.139, Mass: 0.5, CG: 0.04, Inertia: 0.0018}}},
		Turning:   layout.Turning{Diameter: 0.28, Density: 7200},
		Block: layout.Block{
			DeckHeight: 0.22, HeadHeight: 0.16, BoreLength: 0.13, SkirtDepth: 0.05, SumpDepth: 0.19, Wall: 0.005, BoreWall: 0.007, FrontRoom: 0.08, RearRoom: 0.04,
			Density: 2700, HeadDense: 2700, SumpDense: 2700, BigEndWidth: 0.08, PistonSkirt: 0.026, CounterweightRadius: 0.07, Camshafts: 2,
			Accessories: 10, Oil: 2, Coolant: 2,
		},
	}
}

// The outline against brute force: no point of a rod's edges at any of 1800 crank angles stands beyond it, the rod's motion
// found from the geometry alone, and away from the bore it is no further out than the
// furthest point of its direction.
func TestOutlineAgainstBruteForce(t *testing.T) {
	train := leaning()
	f, err := newFrame(train, nil)
	if err != nil {
		t.Fatal(err)
	}
	c := &train.Cylinders[0]
	axis := 1i * c.Axis.Unit()
	var points []complex128
	big, shank := f.rodCorners(0)
	for _, corners := range [][]complex128{big, shank} {
		for j, a := range corners {
			for k := range 50 {
				points = append(points, a+(corners[(j+1)%len(corners)]-a)*complex(float64(k)/50, 0))
			}
		}
	}
	row := &f.rows[0]
	var most Outline
	for k := range 1800 {
		θ := 2 * math.Pi * float64(k) / 1800
		pin := complex(0.043, 0) * 1i * cmplx.Exp(complex(0, θ))
		// the piston pin is where a circle round the crankpin cuts the line of the cylinder
		local := pin / axis
		b := imag(local) - c.Offset
		piston := complex(real(local)+math.Sqrt(c.Rod.Length*c.Rod.Length-b*b), c.Offset) * axis
		along := (piston - pin) / complex(c.Rod.Length, 0)
		for _, p := range points {
			w := pin + p*along
			if q := w / axis; real(q) >= row.Lower && math.Abs(imag(q)-c.Offset) <= f.bore/2 {
				continue
			}
			if q := w / axis; real(q) >= row.Lower-2e-3 && math.Abs(imag(q)-c.Offset) <= f.bore/2 {
				continue // in the mouth of the bore, where the outline ends between two directions
			}
			at := cmplx.Phase(w/1i) * 180 / math.Pi
			near := (int(math.Round(at)) + 2*Directions) % Directions
			most[near] = max(most[near], cmplx.Abs(w))
			lo := f.swept[(int(math.Floor(at))+2*Directions)%Directions]
			hi := f.swept[(int(math.Floor(at))+1+2*Directions)%Directions]
			if cmplx.Abs(w) > max(lo, hi)+2e-4 {
				t.Fatalf("a point at %.1f deg reaches %.3f mm, the outline %.3f mm", at, 1e3*cmplx.Abs(w), 1e3*max(lo, hi))
			}
		}
	}
	for k := range most {
		if k > 90 && k < 330 && f.swept[k] > max(f.cheekRadius(), most[k])+4e-4 { // away from the mouth of the bore at 30 deg
			t.Errorf("at %d deg the outline has %.3f mm, the furthest point %.3f mm", k, 1e3*f.swept[k], 1e3*most[k])
		}
	}
	if m := f.swept.Mirrored(); m[30] != f.swept[330] || m[0] != f.swept[0] {
		t.Error("the mirrored outline")
	}
}

// What is unknown or impossible is refused with words.
func TestRefusals(t *testing.T) {
	if _, err := Of(leaning()); err != nil {
		t.Fatal(err)
	}
	for name, spoil := range map[string]func(*layout.Train){
		"bore":        func(t *layout.Train) { t.Bore = 0 },
		"deck_height": func(t *layout.Train) { t.Block.DeckHeight = 0 },
		"density":     func(t *layout.Train) { t.Block.Density = 0 },
		"rod":         func(t *layout.Train) { t.Cylinders[0].Rod.Length = 0.02 },
		"dry mass":    func(t *layout.Train) { t.Block.DryMass = 0.5 },
	} {
		train := leaning()
		spoil(train)
		if _, err := Of(train); err == nil {
			t.Errorf("%s: accepted", name)
		}
	}
	if _, err := Of(nil); err == nil {
		t.Error("no train: accepted")
	}
	for _, q := range [][]float64{nil, {0}, {math.NaN()}, {9}} {
		if _, err := OverBore(leaning(), q); err == nil {
			t.Errorf("%g: accepted", q)
		}
	}
}
