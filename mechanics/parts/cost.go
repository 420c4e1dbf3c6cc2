package parts

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
)

// Cost is what an engine costs by a price table.
type Cost struct {
	Prices Prices
	Rows   []CostRow
	Groups []GroupCost // those with points, in the order of Groups
	Points float64     // of all rows [1]
	Index  float64     // Points over the reference of the table [1]
}

// CostRow is what one line of the parts list costs.
type CostRow struct {
	Row
	Price  Price
	Points float64 // [1]
	Share  float64 // of all points [1]
	Weight float64 // mass that was paid for [kg]; 0: unknown, or the price asks for none
}

// GroupCost is what one group costs.
type GroupCost struct {
	Group  Group
	Points float64 // [1]
	Share  float64 // [1]
}

// CostOf prices a parts list.
//
//	points = count · each + mass · per kg        index = Σ points / reference
//
// with
//   - l: of Count
//   - p: the price table
//   - masses: of all parts of a kind together, by key [kg], beside those that the list has; nil: none are known
//
// Result [1]. Where a mass is unknown nothing is paid by the kilogram. Errors: those of Prices.Validate, a mass that is not
// finite or negative, or one of a kind that does not exist. Definition; the prices are invented.
func CostOf(l *List, p Prices, masses map[string]float64) (*Cost, error) {
	if err := p.Validate(); err != nil {
		return nil, err
	}
	for _, key := range slices.Sorted(maps.Keys(masses)) { // sorted, so that the same masses always give the same error
		mass := masses[key]
		if _, ok := p.Of[key]; !ok {
			return nil, fmt.Errorf("parts: there is no part %q that could have a mass", key)
		}
		if !(mass >= 0 && mass <= MaxPoints) {
			return nil, fmt.Errorf("parts: the mass of %q must lie between 0 and %g kg, it is %g kg", key, MaxPoints, mass)
		}
	}
	c := &Cost{Prices: p}
	groups := map[Group]float64{}
	for _, r := range l.Rows {
		if mass := masses[r.Key]; mass > 0 {
			r.Mass = mass
		}
		row := CostRow{Row: r, Price: p.Of[r.Key]}
		row.Points = r.Count * row.Price.Each
		if row.Price.PerKg > 0 && r.Mass > 0 {
			row.Weight = r.Mass
			row.Points += r.Mass * row.Price.PerKg
		}
		c.Points += row.Points
		groups[r.Group] += row.Points
		c.Rows = append(c.Rows, row)
	}
	if math.IsInf(c.Points, 0) || math.IsNaN(c.Points) {
		return nil, fmt.Errorf("parts: the cost is beyond all measure; check masses and prices")
	}
	c.Index = c.Points / p.Reference
	if c.Points > 0 {
		for i := range c.Rows {
			c.Rows[i].Share = c.Rows[i].Points / c.Points
		}
	}
	for _, g := range Groups() {
		if groups[g] > 0 {
			c.Groups = append(c.Groups, GroupCost{g, groups[g], groups[g] / c.Points})
		}
	}
	return c, nil
}

// Dearer is what one row adds to the difference of two engines.
type Dearer struct {
	Key          string
	Group        Group
	Unit         string
	CountA       float64 // [1] or [m]
	CountB       float64
	More         float64 // points of B over those of A [1]
	MassA, MassB float64 // paid for [kg]
}

// Differ says what makes an engine dearer than another.
//
//	Σ More = points of b − points of a
//
// with
//   - a: the engine that is compared with
//   - b: the other
//
// Result [1]: rows that differ, the largest difference first. Both must be priced by one table to mean anything. Definition.
func Differ(a, b *Cost) []Dearer {
	var out []Dearer
	for _, k := range Kinds() {
		x, y := a.row(k.Key), b.row(k.Key)
		if x.Points == y.Points {
			continue
		}
		out = append(out, Dearer{
			Key: k.Key, Group: k.Group, Unit: k.Unit, CountA: x.Count, CountB: y.Count, More: y.Points - x.Points, MassA: x.Weight, MassB: y.Weight,
		})
	}
	slices.SortStableFunc(out, func(x, y Dearer) int { return cmp.Compare(math.Abs(y.More), math.Abs(x.More)) })
	return out
}

func (c *Cost) row(key string) CostRow {
	for _, r := range c.Rows {
		if r.Key == key {
			return r
		}
	}
	return CostRow{}
}
