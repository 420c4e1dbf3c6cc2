package checks

import (
	"sync"

	"crankwright/mechanics/balance"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// weighedEight is a 90° vee eight with a cross-plane crank, counterweights for half the reciprocating mass,
// and eight invented pistons and rods.
func weighedEight() (t *layout.Train, pistons []balance.WeighedPiston, rods []balance.WeighedRod) {
	t = vee(90, 0, 0, 90, 270, 180).train()
	for i := range t.Throws {
		th := &t.Throws[i]
		th.At *= 0.1
		t.Counterweights = append(t.Counterweights, layout.Unbalance{At: th.At, Angle: th.Angle + num.Turn/2, Amount: 0.075})
	}
	for i := range t.Cylinders {
		c := &t.Cylinders[i]
		c.At *= 0.1
		c.Rod.Mass, c.Rod.CG, c.Rod.Inertia = 0.3, c.Rod.Length/3, 0.005
	}
	grams := [3][8]float64{{3, -1, 4, 1, -5, 9, -2, 6}, {2, -7, 1, 8, -2, 8, -1, 8}, {1, 0.5, -1.5, 0.2, 2.5, -2, 0.7, -0.4}}
	for i := range t.Cylinders {
		id := t.Cylinders[i].Name
		pistons = append(pistons, balance.WeighedPiston{ID: id, Mass: 1 + 1e-3*grams[0][i]})
		rods = append(rods, balance.WeighedRod{ID: id, BigEnd: 0.2 + 1e-3*grams[1][i], SmallEnd: 0.1 + 1e-3*grams[2][i]})
	}
	return t, pistons, rods
}

// matching lists what the best assignment of weighed parts must leave.
func (l *list) matching() {
	matched := sync.OnceValues(func() (*balance.Matching, error) {
		t, pistons, rods := weighedEight()
		return balance.Match(t, pistons, rods, balance.MatchMeasure{}, balance.MatchOptions{Samples: 1})
	})
	add := func(id, place, what, printed string, want float64, ours func(m *balance.Matching) float64) {
		l.add(Check{
			ID: "matching/" + id, Chapter: "balance", Kind: ClosedForm, Source: "DEFINITION", Place: place, Seen: Recomputed,
			What: what, Unit: "g m", Printed: printed, Want: want, Ours: func() (float64, error) {
				m, err := matched()
				if err != nil {
					return 0, err
				}
				return 1e3 * ours(m), nil
			},
		})
	}
	const place = "all 40,320 × 40,320 assignments, one after the other, by a program that shares nothing with ours; forces by the closed form"
	add("eight-best", place, "measure of the best assignment of eight pistons and rods to a vee eight", "0.537113", 0.5371125221161,
		func(m *balance.Matching) float64 { return m.Best.RMS() })
	add("eight-listed", place, "measure of the same parts in the order of their list", "0.954077", 0.9540772617367,
		func(m *balance.Matching) float64 { return m.Listed.RMS() })
	add("eight-mean", place, "root of the mean square over all assignments", "1.40814", 1.408143313600,
		func(m *balance.Matching) float64 { return m.Mean })
}
