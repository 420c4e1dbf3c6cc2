package checks

import (
	"math"
	"math/cmplx"

	"crankwright/mechanics/layout"
)

// trade lists facts of the trade: what every engineer of the field knows without looking it up.
func (l *list) trade() {
	add := func(id, chapter, place, what, unit, printed string, want, tol float64, why string, ours func() (float64, error)) {
		l.add(Check{
			ID: "trade/" + id, Chapter: chapter, Kind: CommonPractice, Source: "PRACTICE", Place: place, Seen: Memory, What: what, Unit: unit,
			Printed: printed, Want: want, Tol: tol, TolWhy: why, Ours: ours,
		})
	}
	part := func(e ideal, n int, moment bool, i int) func() (float64, error) {
		return func() (float64, error) { v, err := e.ellipse(n, moment); return v[i], err }
	}
	const rounding = "rounding; the fact is exact"
	add("second-to-first", "inertia", "the second order is about a quarter of the first", "second-order over first-order force of one cylinder, r/l 0.28",
		"1", "0.25", 0.25, 0.06, "a rule of thumb", func() (float64, error) {
			b, err := solve(single(slider{r: 0.28, l: 1}, 1, layout.Rod{}))
			if err != nil {
				return 0, err
			}
			w1, _ := b.Force.Order(2)
			w2, _ := b.Force.Order(4)
			return cmplx.Abs(w2) / cmplx.Abs(w1), nil
		})
	add("second-twice", "inertia", "the second-order force of a flat-crank four comes twice a revolution",
		"force at 90° plus force at 0°, over their size, orders 2, 6, 10, …", "1", "0", 0, 0.02,
		"the fourth order comes four times and does not change sign; it is small", func() (float64, error) {
			b, err := solve(inline(0, 180, 180, 0).train())
			if err != nil {
				return 0, err
			}
			top, side := imag(b.Force.At(0)), imag(b.Force.At(angle(90)))
			return (top + side) / top, nil
		})
	add("flat-four-adds", "inertia", "four in line with a flat crank add four second-order forces", "second-order force", "F2", "4", 4, 1e-10, rounding,
		part(inline(0, 180, 180, 0), 2, false, 0))
	vee90 := vee(90, 0, 0)
	add("vee-90-constant", "inertia", "a 90° vee pair on one pin leaves a constant first-order vector", "smallest first-order force", "F1", "1", 1, 1e-12, rounding,
		part(vee90, 1, false, 3))
	add("vee-90-counterweight", "inertia", "a counterweight takes the first order of a 90° vee pair", "first-order force left", "F1", "0", 0, 1e-12, rounding,
		func() (float64, error) {
			t := vee90.train()
			t.Counterweights = []layout.Unbalance{{Angle: angle(180), Amount: idealRadius}}
			return remainder(t, 1, false)
		})
	add("vee-90-second", "inertia", "second-order force of a 90° vee pair, about 1.4 times that of one cylinder", "second-order force", "F2", "1.4", 1.4, 0.05, "",
		part(vee90, 2, false, 0))
	add("vee-90-across", "inertia", "second-order force of a 90° vee pair acts across the vee", "its largest component along the middle of the vee", "F2", "0", 0, 1e-12, rounding,
		func() (float64, error) {
			b, err := solve(vee90.train())
			if err != nil {
				return 0, err
			}
			return cmplx.Abs(b.Force.Z(nil).Order(4)) / (idealRadius * seriesA(2, idealRatio)), nil
		})
	add("boxer-first", "inertia", "opposed four on own pins leaves no first-order couple", "first-order moment", "F1 a", "0", 0, 1e-11, rounding,
		part(boxer(0.4, 0, 180), 1, true, 0))
	add("boxer-second", "inertia", "opposed four on own pins leaves a second-order couple: 2 F2 b, b 0.4 spacings", "second-order moment", "F2 a", "0.8", 0.8, 1e-10, rounding,
		part(boxer(0.4, 0, 180), 2, true, 0))
	add("opposed-shared-first", "inertia", "opposed four on shared pins leaves a first-order couple", "first-order moment", "F1 a", "2", 2, 1e-11, rounding,
		part(vee(180, 0, 0, 180), 1, true, 0))
	add("opposed-shared-second", "inertia", "opposed four on shared pins leaves no second-order couple", "second-order moment", "F2 a", "0", 0, 1e-11, rounding,
		part(vee(180, 0, 0, 180), 2, true, 0))
	for _, c := range []struct {
		id   string
		bank float64
	}{{"vee-52-fires", 52}, {"vee-65-fires", 65}, {"vee-90-fires", 90}} {
		add(c.id, "firing", "a shared-pin vee fires at its bank angle or 360° later", "departure of the intervals from that", "deg", "bank angle or 360° later", 0, 1e-6, rounding,
			func() (float64, error) {
				s, err := fire(vee(c.bank, 0, 0), "1-2")
				if err != nil {
					return 0, err
				}
				gap := s.Intervals[0].Deg()
				return math.Min(math.Abs(gap-c.bank), math.Abs(gap-c.bank-360)), nil
			})
	}
}
