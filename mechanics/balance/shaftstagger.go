package balance

import (
	"math"
	"math/cmplx"

	"crankwright/mechanics/layout"
)

// stagger returns the two places, beside the crank at ± beside, at which the shafts that take the force of an
// order also take its roll moment: the height stagger.
//
// A shaft at y + iz whose force is A e^{inθ} adds −i (y − iz) A to the roll phasor, one of B e^{−inθ} adds
// i (y + iz) conj B. With both forces settled (A = −W⁺, B = −W⁻), the heights follow from
//
//	z₁ A + z₂ conj B = R − i y₁ A + i y₂ conj B
//
// in least squares, of many answers the one nearest to the height of the crank. None where the order has no
// force to turn into a roll moment, or where both senses of rotation are not offered.
func (f *shaftFinder) stagger(o *shaftOrder, beside float64) []ShaftPlace {
	w := o.has[AimForce]
	if len(o.ratios) < 2 || w.size() <= nothing*o.force {
		return nil
	}
	a, b := -w[0], cmplx.Conj(-w[1])
	want := o.has[AimRoll][0] - complex(0, beside)*a + complex(0, -beside)*b
	z, _ := inOrder(2, []level{{
		a:    [][]float64{{real(a), real(b)}, {imag(a), imag(b)}},
		want: []float64{real(want), imag(want)},
	}})
	if math.Hypot(z[0], z[1]) > 20*beside {
		return nil // no room for that
	}
	return []ShaftPlace{{beside, z[0]}, {-beside, z[1]}}
}

// staggered adds the places at which the roll moments that are asked for can be taken.
func (f *shaftFinder) staggered(t *layout.Train, places []ShaftPlace) []ShaftPlace {
	for i := range f.orders {
		if !f.orders[i].wants(AimRoll) {
			continue
		}
		for _, p := range f.stagger(&f.orders[i], beside(t)) {
			known := false
			for _, q := range places {
				known = known || math.Hypot(p.Y-q.Y, p.Z-q.Z) < 1e-6
			}
			if !known {
				places = append(places, p)
			}
		}
	}
	return places
}

// beside is how far from the crank axis a shaft with its weights clears what rods and webs sweep [m].
func beside(t *layout.Train) float64 {
	radius := largestRadius(t)
	if t.Bore == 0 {
		return 2.5 * radius
	}
	return radius + 0.75*t.Bore
}
