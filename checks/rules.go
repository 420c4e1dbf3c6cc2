package checks

import (
	"fmt"
	"math"
	"math/cmplx"

	"crankwright/mechanics/firing"
	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
)

// layoutRules lists the rules that hold for any layout, over every layout of the table.
func (l *list) layoutRules() {
	rule := func(id, source, place, what, unit string, tol float64, ours func() (float64, error)) {
		l.add(Check{
			ID: "rule/" + id, Chapter: "inertia", Kind: ClosedForm, Source: source, Place: place, Seen: Recomputed,
			What: what, Unit: unit, Printed: "0", Tol: tol, Ours: ours,
		})
	}
	for _, row := range layouts() {
		e := row.engine
		rule("bank-angle/"+row.id, "DEFINITION", "forward phasor ½ m r ω² Σ i e^{iψ}",
			"change of the forward first order of force and moment when every cylinder axis is turned at random", "F1", 1e-11,
			func() (float64, error) {
				other := ideal{pins: e.pins, axes: make([]float64, len(e.axes)), x: e.x}
				for i, a := range e.axes {
					other.axes[i] = a + float64((i*i*37+11*i+5)%180)
				}
				return e.gap(other, []int{1}, func(v, w [4]float64) float64 { return math.Abs(v[1] - w[1]) })
			})
		rule("reversed/"+row.id, "DEFINITION", "the crank read from the other end",
			"change of the magnitudes of orders 1 to 4 when the throws stand in reversed order", "F", 1e-7,
			func() (float64, error) {
				other := ideal{pins: e.pins, axes: e.axes, x: make([]float64, len(e.x))}
				for i, x := range e.x {
					other.x[i] = -x
				}
				return e.gap(other, []int{1, 2, 4}, func(v, w [4]float64) float64 {
					return max(math.Abs(v[1]-w[1]), math.Abs(v[2]-w[2]))
				})
			})
	}
	for _, n := range []int{3, 4, 5, 6, 7, 8, 9, 10, 12} {
		// the even crank whose cylinders fire in the sequence of their numbers
		var pins []float64
		for i := range n {
			pins = append(pins, -720*float64(i)/float64(n))
		}
		e := inline(pins...)
		l.add(Check{
			ID: fmt.Sprintf("rule/even-firing/inline-%d", n), Chapter: "inertia", Kind: Published, Source: "ADAPALA", Seen: Read,
			Place: "statement 1: harmonic forces balance, except multiples of half the number of cylinders",
			What:  "largest force of the orders 1 to 12 that are no multiple of half the number of cylinders, over that of one cylinder",
			Unit:  "F1", Printed: "balanced", Tol: 1e-11, TolWhy: "rounding; the sum is exactly zero",
			Ours: func() (float64, error) {
				b, err := solve(e.train())
				if err != nil {
					return 0, err
				}
				worst := 0.0
				for order := 1; order <= 12; order++ {
					if 2*order%n != 0 {
						w, a := b.Force.Order(2 * order)
						worst = max(worst, cmplx.Abs(w)+cmplx.Abs(a))
					}
				}
				return worst / idealRadius, nil
			},
		})
	}
}

// gap returns the largest difference between two engines over orders, forces and moments.
func (e ideal) gap(other ideal, orders []int, differ func(v, w [4]float64) float64) (float64, error) {
	worst := 0.0
	for _, n := range orders {
		for _, moment := range []bool{false, true} {
			v, err := e.ellipse(n, moment)
			if err != nil {
				return 0, err
			}
			w, err := other.ellipse(n, moment)
			if err != nil {
				return 0, err
			}
			worst = max(worst, differ(v, w))
		}
	}
	return worst, nil
}

// remainder returns the largest resultant of one order of force or moment of a train, per m r ω² of
// one ideal cylinder.
func remainder(t *layout.Train, n int, moment bool) (float64, error) {
	w, a, err := orderOf(t, n, moment)
	return (cmplx.Abs(w) + cmplx.Abs(a)) / idealRadius, err
}

// couple adds two equal and opposite unbalances, one spacing apart, that cancel a turning moment.
func couple(moment complex128, ratio float64) []layout.Unbalance {
	// moment = i x F = i x k² U i e^{iα}: the masses at ±½ make −k² U e^{iα}
	u := moment / complex(ratio*ratio, 0)
	dir := cmplx.Phase(u)
	amount := cmplx.Abs(u)
	return []layout.Unbalance{
		{At: 0.5, Angle: angle(dir * 180 / math.Pi), Amount: amount},
		{At: -0.5, Angle: angle(dir*180/math.Pi + 180), Amount: amount},
	}
}

// balanceShafts lists the identities of balance shafts.
func (l *list) balanceShafts() {
	const r, λ = idealRadius, idealRatio
	four := inline(0, 180, 180, 0)
	add := func(id, place, what, printed string, want, tol float64, ours func() (float64, error)) {
		l.add(Check{
			ID: "shaft/" + id, Chapter: "inertia", Kind: ClosedForm, Source: "DEFINITION", Place: place, Seen: Recomputed, What: what, Unit: "F1",
			Printed: printed, Want: want, Tol: tol, TolWhy: "rounding; an identity", Ours: ours,
		})
	}
	shafts := func(u, height float64) *layout.Train {
		t := four.train()
		for _, ratio := range []float64{2, -2} {
			t.Shafts = append(t.Shafts, layout.Shaft{
				SpeedRatio: ratio, Y: 0.1 * ratio, Z: height * (2 - ratio) / 4,
				Masses: []layout.Unbalance{{Angle: angle(180), Amount: u}},
			})
		}
		return t
	}
	place := "two shafts at twice the crank speed, unbalance m r²/(2l) each"
	add("inline-4/first-term", place, "second-order force left by the shafts: that beyond the first term of A2", "4 (A2 − λ)",
		4*(seriesA(2, λ)-λ), 1e-12, func() (float64, error) { return remainder(shafts(r*λ/2, 0), 2, false) })
	add("inline-4/exact", "two shafts at twice the crank speed, unbalance ½ m r A2 each", "second-order force left", "0",
		0, 1e-12, func() (float64, error) { return remainder(shafts(r*seriesA(2, λ)/2, 0), 2, false) })
	add("inline-4/one-shaft", "one of the two shafts only", "second-order force left: half of it turns the other way", "2 A2",
		2*seriesA(2, λ), 1e-12, func() (float64, error) {
			t := shafts(r*seriesA(2, λ)/2, 0)
			t.Shafts = t.Shafts[:1]
			return remainder(t, 2, false)
		})
	l.add(Check{
		ID: "shaft/inline-4/height", Chapter: "inertia", Kind: ClosedForm, Source: "DEFINITION", Seen: Recomputed,
		Place:   "shafts at a height difference of one rod length: U (2ω)² h = 4 · ½ m r² ω²",
		What:    "roll moment of the shafts over m r² ω²; equals the leading term of the second-order inertia torque of four cylinders",
		Printed: "2", Want: 2, Tol: 1e-12,
		Ours: func() (float64, error) {
			t := shafts(r*λ/2, r/λ)
			t.Cylinders = nil
			b, err := solve(t)
			if err != nil {
				return 0, err
			}
			return cmplx.Abs(b.Roll.Order(4)) / (r * r), nil
		},
	})
	// engines whose remaining couple one shaft against the crank can take
	for _, c := range []struct {
		id, what, place string
		engine          ideal
		order           int
		counterweights  bool
	}{
		{"inline-3", "first-order moment left by counterweights and one shaft against the crank", "inline three, shaft at −1", inline(0, 240, 120), 1, true},
		{"v6-90-split", "first-order moment left by counterweights and one shaft against the crank", "even-fire 90° vee six, shaft at −1", vee(90, 30, 0, 240, 120), 1, true},
		{"v6-60-split", "second-order moment left by a single shaft against the crank", "even-fire 60° vee six, shaft at −2", vee(60, 60, 0, 240, 120), 2, false},
		{"v8-90-cross", "first-order moment left by counterweights alone", "90° vee eight with cross crank, no shaft", vee(90, 0, 0, 90, 270, 180), 1, true},
	} {
		add(c.id, c.place, c.what, "0", 0, 1e-12, func() (float64, error) {
			t := c.engine.train()
			b, err := solve(t)
			if err != nil {
				return 0, err
			}
			with, against := b.Moment.Order(2 * c.order)
			if c.counterweights {
				t.Counterweights = couple(with, 1)
			}
			if against != 0 && c.id != "v8-90-cross" { // there counterweights alone must do
				t.Shafts = []layout.Shaft{{SpeedRatio: -float64(c.order), Masses: couple(against, float64(c.order))}}
			}
			return remainder(t, c.order, true)
		})
	}
	l.add(Check{
		ID: "shaft/v6-60-split/sense", Chapter: "inertia", Kind: Published, Source: "LIQUISEARCH", Seen: Read,
		Place: "page on the vee six: a single shaft cancels the second-order couple", Unit: "F2 a",
		What:    "second-order moment of the even-fire 60° vee six that turns with the crank: none, so one shaft is enough",
		Printed: "co-rotating", Tol: 1e-11, TolWhy: "rounding; the part is exactly zero",
		Disagrees: "the page lets the shaft turn with the crank; the moment turns against it, −20° per 10° of the crank",
		Ours: func() (float64, error) {
			v, err := vee(60, 60, 0, 240, 120).ellipse(2, true)
			return v[1], err
		},
	})
	add("half-counterweight", "one cylinder, counterweight of half the reciprocating mass and a shaft at −1", "first-order force left", "0", 0, 1e-13,
		func() (float64, error) {
			t := inline(0).train()
			t.Counterweights = []layout.Unbalance{{Angle: angle(180), Amount: r / 2}}
			t.Shafts = []layout.Shaft{{SpeedRatio: -1, Masses: []layout.Unbalance{{Angle: angle(180), Amount: r / 2}}}}
			return remainder(t, 1, false)
		})
}

// spectrumOf returns the sum of the firing phasors of an order, each weighted by its cylinder.
//
//	| Σ w_c e^{−i n θ_c} |
func spectrumOf(s firing.Schedule, n float64, weight func(cylinder int) float64) float64 {
	var sum complex128
	for k, c := range s.Order {
		sum += complex(weight(c), 0) * cmplx.Exp(complex(0, -n*float64(s.At[k])))
	}
	return cmplx.Abs(sum)
}

// forceAt returns the size of one order of our shaking force at a crank angle [unit of Balance].
func forceAt(b *inertia.Balance, n int, deg float64) float64 {
	w, a := b.Force.Order(2 * n)
	turn := cmplx.Pow(angle(deg).Unit(), complex(float64(n), 0))
	return cmplx.Abs(w*turn + a*cmplx.Conj(turn))
}
