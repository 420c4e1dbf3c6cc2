package parts

import (
	"errors"
	"fmt"
	"maps"
	"slices"
)

// Price is what a kind of part costs, in points.
type Price struct {
	Each  float64 // of a piece, a face or a metre [1]
	PerKg float64 // of a kilogram, where the mass is known [1/kg]
}

// Prices is a price table: points for every kind of part.
type Prices struct {
	Name      string
	Reference float64 // points that are a cost index of 1
	Of        map[string]Price
}

// Invented is what every output says of the prices. Definition.
const Invented = "The prices are invented points that anybody may edit; they tell layouts apart and are no offer."

// UsualReference is the number of points that is an index of 1 in the usual table: near those of an in-line four of 2
// litres without balance shafts [1]. Definition: invented, like the table.
const UsualReference = 825.0

// MaxPoints is the largest accepted price, and the largest reference [1]. Definition: so that sums stay finite.
const MaxPoints = 1e9

// Label is what figures call the table [-]. Definition: its name, which of the usual one begins with a small letter.
func (p Prices) Label() string {
	if usual := UsualPrices(); p.Name == usual.Name {
		return "invented prices"
	}
	return p.Name
}

// UsualPrices returns the invented price table.
//
// Result: points [1] for every one of Kinds. Definition: invented.
func UsualPrices() Prices {
	p := Prices{Name: "Invented prices", Reference: UsualReference, Of: map[string]Price{}}
	for _, k := range Kinds() {
		p.Of[k.Key] = Price{k.Each, k.PerKg}
	}
	return p
}

// Validate tells whether a price table can be used: every kind has its price, and all are finite and not negative [-].
// Definition.
func (p Prices) Validate() error {
	var wrong []error
	if !(p.Reference > 0 && p.Reference <= MaxPoints) {
		wrong = append(wrong, fmt.Errorf("parts: the reference must lie above 0 and up to %g points, it is %g", MaxPoints, p.Reference))
	}
	for _, k := range Kinds() {
		price, ok := p.Of[k.Key]
		if !ok {
			wrong = append(wrong, fmt.Errorf("parts: the price of %q is missing", k.Key))
			continue
		}
		for _, x := range []float64{price.Each, price.PerKg} {
			if !(x >= 0 && x <= MaxPoints) {
				wrong = append(wrong, fmt.Errorf("parts: a price lies between 0 and %g points, that of %q is %g", MaxPoints, k.Key, x))
			}
		}
	}
	known := map[string]bool{}
	for _, k := range Kinds() {
		known[k.Key] = true
	}
	for _, key := range slices.Sorted(maps.Keys(p.Of)) { // sorted, so that the same table always gives the same error
		if !known[key] {
			wrong = append(wrong, fmt.Errorf("parts: there is no part %q that could have a price", key))
		}
	}
	return errors.Join(wrong...)
}
