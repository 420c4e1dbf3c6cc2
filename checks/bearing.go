package checks

import (
	"fmt"
	"math"

	"crankwright/mechanics/bearing"
	"crankwright/mechanics/firing"
	"crankwright/num"
)

// bearings lists what bearing loads and the sharing among mains are held to.
func (l *list) bearings() {
	l.continuousBeams()
	l.pistonAndPin()
}

// spansOf returns a beam of equal spans of length 1 on supports that give by f per force, and places and weight of loads
// that stand for an even one: influence lines are cubic in every span, so two of Gauss's places a span are exact.
func spansOf(spans int, stiffness, f float64) (sections []bearing.Section, supports []bearing.Support, even []float64) {
	for i := range spans + 1 {
		supports = append(supports, bearing.Support{At: float64(i), Compliance: f})
		if i < spans {
			off := 0.5 / math.Sqrt(3)
			even = append(even, float64(i)+0.5-off, float64(i)+0.5+off)
		}
	}
	return []bearing.Section{{From: 0, To: float64(spans), Stiffness: stiffness}}, supports, even
}

// continuousBeams are reactions of beams that the tables print as fractions.
func (l *list) continuousBeams() {
	const rounding = "rounding; the fraction is exact"
	add := func(id, what, printed string, want float64, ours func() (float64, error)) {
		l.add(Check{
			ID: "beam/" + id, Chapter: "bearing", Kind: Published, Source: "TIMOSHENKO1", Place: "continuous beams, theorem of three moments", Seen: Memory,
			What: what, Printed: printed, Want: want, Tol: 1e-12, TolWhy: rounding, Ours: ours,
		})
	}
	reaction := func(spans, support int, f float64, at ...float64) func() (float64, error) {
		return func() (float64, error) {
			sections, supports, even := spansOf(spans, 1, f)
			weight := 1.0
			if at == nil {
				at, weight = even, 0.5
			}
			share, err := bearing.BeamShares(sections, supports, at)
			if err != nil {
				return 0, err
			}
			sum := 0.0
			for _, s := range share[support] {
				sum += weight * s
			}
			return sum, nil
		}
	}
	for _, c := range []struct {
		spans, over int
		reactions   []int
	}{{2, 8, []int{3, 10}}, {3, 10, []int{4, 11}}, {4, 28, []int{11, 32, 26}}, {5, 38, []int{15, 43, 37}}} {
		for k, r := range c.reactions {
			add(fmt.Sprintf("even-%d-spans/R%d", c.spans, k), fmt.Sprintf("reaction %d of %d equal spans under an even load, over load times span", k+1, c.spans),
				fmt.Sprintf("%d/%d", r, c.over), float64(r)/float64(c.over), reaction(c.spans, k, 0))
		}
	}
	for k, r := range []int{13, 22, -3} {
		add(fmt.Sprintf("one-load-2-spans/R%d", k), fmt.Sprintf("reaction %d of two equal spans to a load amid the first", k+1),
			fmt.Sprintf("%d/32", r), float64(r)/32, reaction(2, k, 0, 0.5))
	}
	for k, r := range []int{1, -6, 9} {
		add(fmt.Sprintf("overhang-2-spans/R%d", k), fmt.Sprintf("reaction %d of two equal spans to a load one span beyond the last support", k+1),
			fmt.Sprintf("%d/4", r), float64(r)/4, reaction(2, k, 0, 3))
	}
	l.add(Check{
		ID: "beam/springs/R1", Chapter: "bearing", Kind: ClosedForm, Source: "DEFINITION", Place: "the beam gives l³/(6 E I) = f, the two springs at its ends f/2: 1.5 f beside f", Seen: Recomputed,
		What:    "share of the middle of three springs with f = l³/(6 E I) under a beam loaded over it",
		Printed: "3/5", Want: 0.6, Tol: 1e-12, TolWhy: rounding,
		Ours: reaction(2, 1, 1./6, 1),
	})
}

// pistonAndPin are the forces of a standing crank, from the triangle of rod, throw and axis.
func (l *list) pistonAndPin() {
	const r, rod, bore, p0, p = 0.045, 0.15, 0.08, 1e5, 61e5
	forces := func(of func(*bearing.Loads, int) float64) func() (float64, error) {
		return func() (float64, error) {
			t := inline(0).train()
			t.Bore = bore
			t.Throws[0].Radius, t.Cylinders[0].Rod.Length = r, rod
			s, err := firing.ForTrain(t)
			if err != nil {
				return 0, err
			}
			m, err := bearing.NewMechanism(t, s, bearing.Options{Method: bearing.Determinate})
			if err != nil {
				return 0, err
			}
			curve := make([]float64, m.CycleSamples())
			for j := range curve {
				curve[j] = p
			}
			loads, err := m.Loads(nil, [][]float64{curve}, p0, 0)
			if err != nil {
				return 0, err
			}
			return of(loads, m.Samples()/8), nil // a quarter turn past top dead centre
		}
	}
	push := (p - p0) * math.Pi / 4 * bore * bore
	lean := math.Asin(r / rod)
	add := func(id, what, unit string, want float64, of func(*bearing.Loads, int) float64) {
		l.add(Check{
			ID: "standing-crank/" + id, Chapter: "bearing", Kind: ClosedForm, Source: "DEFINITION", Place: "triangle of forces", Seen: Recomputed,
			What: what + ", 60 bar on an 80 mm bore, rod 150 mm, throw 45 mm square to the axis", Unit: unit,
			Printed: num.Digits(want, 10) + " " + unit, Want: want, Tol: 1e-9 * math.Abs(want), TolWhy: "rounding", Ours: forces(of),
		})
	}
	add("side", "side force on the bore", "N", push*math.Tan(lean), func(b *bearing.Loads, j int) float64 { return math.Abs(b.Of[0].Side[j]) })
	add("pin", "force on the crankpin", "N", push/math.Cos(lean), func(b *bearing.Loads, j int) float64 {
		return math.Hypot(real(b.Of[0].BigEnd[j]), imag(b.Of[0].BigEnd[j]))
	})
	add("torque", "torque on the crank", "N m", push*r, func(b *bearing.Loads, j int) float64 { return b.Torque[j] })
}
